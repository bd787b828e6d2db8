//! A syntax error of the TOML itself, in the words of someone who never heard of TOML.

use super::Source;
use crate::diagnostic::{Diagnostic, Place};

pub(super) fn explain(source: Source<'_>, fault: &toml::de::Error) -> Diagnostic {
    let end = source.text.len();
    let mut span = fault.span().unwrap_or(end..end);
    span.start = floor(source.text, span.start);
    span.end = floor(source.text, span.end.max(span.start));
    let message = fault.message();
    let line = line_at(source.text, span.start);
    let (message, help) = if message.starts_with("string values must be quoted") {
        let value = source.text.get(span.clone()).unwrap_or_default();
        if value.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.')) {
            let message = "a value with a unit or a fraction stands without quotes".to_string();
            (message, format!("put it in quotes: \"{}\"", value.trim()))
        } else {
            ("a text stands without quotes".to_string(), format!("put it in quotes: \"{}\"", value.trim()))
        }
    } else if message.starts_with("unexpected key or value") && source.text[span.start..].starts_with('"') {
        (
            "a quote ends the text before its end".to_string(),
            "write in or ″ for inches inside quotes: \"2 1/4 in\"".to_string(),
        )
    } else if message == "duplicate key" {
        let key = source.text.get(span.clone()).unwrap_or_default();
        (format!("`{key}` stands twice in one table"), "take one of them out".to_string())
    } else if message.contains("recurs") {
        let message = "brackets or dotted keys lie in each other deeper than is read".to_string();
        (message, "a spec needs no more than four: check that it is the file you meant".to_string())
    } else if let Some(control) = line.chars().find(|c| c.is_control() && !matches!(c, '\t' | '\r')) {
        let message = format!("the line has the control character U+{:04X}; none is allowed", u32::from(control));
        (message, "take it out, or check that this is a text and the file you meant".to_string())
    } else if line.contains('=') && is_comma_number(line) {
        ("a number has a decimal comma".to_string(), "write a decimal point, as in 1.5".to_string())
    } else {
        let help = if message.contains("basic string") {
            "close the text with a quote on the same line; an inch mark inside is written \\\""
        } else if message.contains("array") {
            "check the commas between the items and the closing ]"
        } else if message.contains("table") || message.contains("inline") {
            "check the brackets and braces on this line and the one before"
        } else {
            "write `key = value`, one to a line"
        };
        (format!("not TOML: {message}"), help.to_string())
    };
    let place = Place { file: source.name.to_string(), span };
    Diagnostic::error("syntax", message).at(Some(place)).help(help)
}

fn floor(text: &str, offset: usize) -> usize {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    offset
}

fn line_at(text: &str, offset: usize) -> &str {
    let (before, after) = text.split_at(offset);
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let end = after.find('\n').map_or(text.len(), |newline| offset + newline);
    &text[start..end]
}

/// `key = 1,5`.
fn is_comma_number(line: &str) -> bool {
    let value = line.split_once('=').map_or("", |(_, value)| value).split('#').next().unwrap_or_default().trim();
    value.split_once(',').is_some_and(|(whole, rest)| {
        let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        digits(whole.trim_start_matches(['-', '+'])) && digits(rest)
    })
}

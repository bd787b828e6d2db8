//! JSON for people and programs: short arrays on one line, numbers shortest round-trip without exponent or −0.

use serde::Serialize;
use serde_json::{Number, Value};

use super::ExportError;

/// A value as JSON text with a line feed at its end. Fails on a number that is not finite only where the caller's
/// round trip finds it, since JSON has no such number: see [`super::results`].
pub fn text<T: Serialize>(path: &str, value: &T) -> Result<String, ExportError> {
    let value = serde_json::to_value(value)
        .map_err(|error| ExportError { path: path.to_owned(), message: error.to_string() })?;
    let mut out = String::new();
    write(&mut out, &value, 0);
    out.push('\n');
    Ok(out)
}

/// Rows of at most this many characters stand on one line.
const LINE: usize = 110;

fn write(out: &mut String, value: &Value, depth: usize) {
    // What is longer than this cannot stand on one line, so it is not written out to find that.
    let short = if length(value, LINE) > LINE { String::new() } else { flat(value) };
    let fits = !short.is_empty() && short.len() + 2 * depth <= LINE;
    match value {
        _ if fits && !matches!(value, Value::Object(_)) => out.push_str(&short),
        Value::Array(items) => {
            out.push('[');
            for (i, item) in items.iter().enumerate() {
                next_line(out, depth + 1, i);
                write(out, item, depth + 1);
            }
            next_line(out, depth, 0);
            out.push(']');
        }
        Value::Object(_) if depth > 0 && fits => out.push_str(&short),
        Value::Object(map) => {
            out.push('{');
            for (i, (key, item)) in map.iter().enumerate() {
                next_line(out, depth + 1, i);
                out.push_str(&Value::from(key.as_str()).to_string());
                out.push_str(": ");
                write(out, item, depth + 1);
            }
            next_line(out, depth, 0);
            out.push('}');
        }
        _ => out.push_str(&flat(value)),
    }
}

/// Least length of the value on one line: each number and word at least two characters with its comma. Counted no
/// further than `enough`.
fn length(value: &Value, enough: usize) -> usize {
    let sum = |sizes: &mut dyn Iterator<Item = usize>| {
        let mut total = 2;
        for size in sizes {
            total += size + 2;
            if total > enough {
                break;
            }
        }
        total
    };
    match value {
        Value::Array(items) => sum(&mut items.iter().map(|item| length(item, enough))),
        Value::Object(map) => sum(&mut map.iter().map(|(key, item)| key.len() + length(item, enough))),
        _ => 1,
    }
}

fn next_line(out: &mut String, depth: usize, before: usize) {
    if before > 0 {
        out.push(',');
    }
    out.push('\n');
    out.extend(std::iter::repeat_n("  ", depth));
}

/// The value on one line.
fn flat(value: &Value) -> String {
    match value {
        Value::Number(number) => plain(number),
        Value::Array(items) => format!("[{}]", items.iter().map(flat).collect::<Vec<_>>().join(", ")),
        Value::Object(map) if map.is_empty() => "{}".to_owned(),
        Value::Object(map) => {
            let fields: Vec<_> =
                map.iter().map(|(key, item)| format!("{}: {}", Value::from(key.as_str()), flat(item))).collect();
            format!("{{ {} }}", fields.join(", "))
        }
        other => other.to_string(),
    }
}

/// Rust prints the shortest decimals that read back the same, never with an exponent.
fn plain(number: &Number) -> String {
    match number.as_f64() {
        Some(0.0) => "0".to_owned(),
        Some(float) if number.is_f64() => format!("{float}"),
        _ => number.to_string(),
    }
}

//! Diagnostics as people and programs read them.

use std::collections::BTreeMap;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde::Serialize;
use unicode_width::UnicodeWidthStr;

use crate::diagnostic::{Diagnostic, Severity, line_column};

/// Columns of a terminal, where the source line allows it.
const WIDTH: usize = 80;

/// Source lines are shown whole up to this width; a longer one is cut round the place.
const LINE_WIDTH: usize = 100;

/// A source line longer than this (bytes) was not written by hand, and is named but not shown.
const LONGEST_LINE: usize = 4000;

/// Nobody reads more than these in a terminal; `--json` gives them all.
const MOST_SHOWN: usize = 200;

/// One diagnostic as `--json` gives it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Row<'d> {
    /// `error` or `warning`.
    pub severity: &'static str,
    /// Short stable code.
    pub code: &'static str,
    /// File as the user gave it.
    pub file: Option<&'d str>,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Column in characters, from 1.
    pub column: Option<usize>,
    /// What was found and what is allowed.
    pub message: &'d str,
    /// One thing to do.
    pub help: Option<&'d str>,
}

/// Diagnostics with their source lines, a blank line after each. `sources` gives the text of a file by its name.
pub fn render<'d>(diagnostics: &'d [Diagnostic], sources: &dyn Fn(&str) -> Option<&'d str>, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() }.term_width(LINE_WIDTH);
    let mut out = String::new();
    let mut files = Files { sources, known: BTreeMap::new() };
    for diagnostic in diagnostics.iter().take(MOST_SHOWN) {
        out.push_str(&renderer.render(&[group(diagnostic, &mut files)]));
        out.push_str("\n\n");
    }
    if let Some(more) = diagnostics.len().checked_sub(MOST_SHOWN).filter(|more| *more > 0) {
        let title = format!("{more} more are not shown: mend these first");
        let note = Group::with_title(Level::NOTE.primary_title(title));
        out.push_str(&renderer.render(&[note]));
        out.push_str("\n\n");
    }
    out
}

/// Diagnostics for another program, in the same order.
pub fn rows<'d>(diagnostics: &'d [Diagnostic], sources: &dyn Fn(&str) -> Option<&'d str>) -> Vec<Row<'d>> {
    let mut files = Files { sources, known: BTreeMap::new() };
    let row = |diagnostic: &'d Diagnostic| {
        let place = diagnostic.place.as_ref();
        let at = place.and_then(|place| {
            let line = files.line(&place.file, &place.span)?;
            Some((line.number, line_column(line.text, line.span.start).1))
        });
        Row {
            severity: word(diagnostic.severity),
            code: diagnostic.code,
            file: place.map(|place| place.file.as_str()),
            line: at.map(|(line, _)| line),
            column: at.map(|(_, column)| column),
            message: &diagnostic.message,
            help: diagnostic.help.as_deref(),
        }
    };
    diagnostics.iter().map(row).collect()
}

const fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    }
}

fn group<'d>(diagnostic: &'d Diagnostic, files: &mut Files<'d, '_>) -> Group<'d> {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    // `error[code]: ` stands before the first line, and as many blanks before the others.
    let title = wrapped(&diagnostic.message, word(diagnostic.severity).len() + diagnostic.code.len() + 4);
    let mut group = Group::with_title(level.primary_title(title).id(diagnostic.code));
    let mut gutter = 1;
    if let Some(place) = &diagnostic.place
        && let Some(line) = files.line(&place.file, &place.span)
    {
        gutter = line.number.to_string().len();
        let column = line_column(line.text, line.span.start).1;
        group = if line.text.len() > LONGEST_LINE {
            group.element(Origin::path(place.file.as_str()).line(line.number).char_column(column))
        } else {
            let mark = AnnotationKind::Primary.span(line.span);
            let snippet = Snippet::source(line.text).path(place.file.as_str()).line_start(line.number);
            group.element(snippet.annotation(mark))
        };
    }
    if let Some(help) = &diagnostic.help {
        group = group.element(Level::HELP.message(wrapped(help, gutter + " = help: ".len())));
    }
    group
}

/// The texts, and where the lines of each begin: found once, not anew for every diagnostic.
struct Files<'d, 's> {
    sources: &'s dyn Fn(&str) -> Option<&'d str>,
    known: BTreeMap<String, (&'d str, Vec<usize>)>,
}

/// The line a span starts on, and what of the span lies on it.
struct Line<'d> {
    number: usize,
    text: &'d str,
    span: Range<usize>,
}

impl<'d> Files<'d, '_> {
    fn line(&mut self, file: &str, span: &Range<usize>) -> Option<Line<'d>> {
        if !self.known.contains_key(file) {
            let text = (self.sources)(file)?;
            let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(newline, _)| newline + 1));
            self.known.insert(file.to_string(), (text, starts.collect()));
        }
        let (text, starts) = self.known.get(file)?;
        let floor = |offset: usize| {
            let mut offset = offset.min(text.len());
            while !text.is_char_boundary(offset) {
                offset -= 1;
            }
            offset
        };
        let (start, end) = (floor(span.start), floor(span.end));
        let number = starts.partition_point(|first| *first <= start);
        let first = starts.get(number.checked_sub(1)?).copied()?;
        let rest = text.get(first..)?;
        let line = rest.split(['\n', '\r']).next()?;
        let within = |offset: usize| offset.saturating_sub(first).min(line.len());
        Some(Line { number, text: line, span: within(start)..within(end) })
    }
}

/// Broken at blanks to fit the width behind `indent` columns; a short stretch in quotes stays whole.
fn wrapped(text: &str, indent: usize) -> String {
    let room = WIDTH.saturating_sub(indent).max(30);
    let mut out = String::new();
    let mut column = 0;
    for word in words(text) {
        let width = word.width();
        if column > 0 && column + 1 + width > room {
            out.push('\n');
            column = 0;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += width;
    }
    out
}

/// Pieces between blanks, but for blanks inside quotes or backticks.
fn words(text: &str) -> Vec<&str> {
    /// A quoted stretch longer than this (bytes) is broken like any other text, or it would leave half a line empty.
    const WHOLE: usize = 36;
    let mut words = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let mut quote = None;
        let mut first = None;
        let end = rest.char_indices().find_map(|(i, c)| match (c, quote) {
            (' ', None) => Some(i),
            (' ', Some(_)) => {
                first = first.or(Some(i));
                (i > WHOLE).then_some(first.unwrap_or(i))
            }
            ('"' | '`', None) => {
                quote = Some(c);
                None
            }
            (_, Some(open)) if c == open => {
                quote = None;
                None
            }
            _ => None,
        });
        // A quote that never closes is an inch mark.
        let end = end.or(first.filter(|_| quote.is_some())).unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        words.push(word);
        rest = after.strip_prefix(' ').unwrap_or(after);
    }
    words
}

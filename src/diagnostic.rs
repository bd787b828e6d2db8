//! One plain type for all that the user is told, with its place in the file.
//!
//! A stage that can fail returns every diagnostic it has, never the first
//! alone. The byte range is kept; line and column are found when printing.

use std::ops::Range;

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing can be written.
    Error,
    /// The work goes on; the user should look.
    Warning,
}

/// A stretch of one of the files the user wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Name of the file as the user gave it.
    pub file: String,
    /// Bytes of that file.
    pub span: Range<usize>,
}

/// One thing the user is told: what was found, what is allowed, what to do.
///
/// Messages are lowercase fragments without a full stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// How bad it is.
    pub severity: Severity,
    /// Short stable code in kebab case, such as `unknown-key`.
    pub code: &'static str,
    /// Where it is, if it has a place.
    pub place: Option<Place>,
    /// What was found and what is allowed, both with units.
    pub message: String,
    /// One thing to do.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error without place or help.
    pub fn error(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, code, message.into())
    }

    /// A warning without place or help.
    pub fn warning(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code, message.into())
    }

    fn new(severity: Severity, code: &'static str, message: String) -> Self {
        Self { severity, code, place: None, message, help: None }
    }

    /// The same with its place.
    #[must_use]
    pub fn at(mut self, place: Option<Place>) -> Self {
        self.place = place;
        self
    }

    /// The same with one thing to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

/// 1-based line and column (in characters) of a byte offset in a text.
pub fn line_column(text: &str, offset: usize) -> (usize, usize) {
    let mut end = offset.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1;
    (line, column)
}

//! What SVG and PDF share: the words about a document, and the guard before writing.

use std::collections::BTreeSet;

use super::ExportError;
use crate::drawing::{Item, Sheet};

/// The words about a document, and how it is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperMeta {
    /// Title of the document.
    pub title: String,
    /// Who drew it.
    pub author: String,
    /// What it is, in a sentence.
    pub subject: String,
    /// Date of issue from the spec, `YYYY-MM-DD`; never the clock.
    pub date: String,
    /// Language of the words (BCP 47), such as `en`.
    pub language: String,
    /// Lengths measured on a test print over lengths drawn, in x and y: 1 for a true printer.
    ///
    /// The drawing of every full-scale PDF page is divided by it, so that the print comes out true.
    pub print_correction: [f64; 2],
    /// Documents bound in this one, each with its title and the index of its first sheet; empty for a single document.
    ///
    /// Bookmarks of a bound book have two levels.
    pub parts: Vec<(String, usize)>,
}

impl PaperMeta {
    /// An error about this document.
    pub(super) fn error(&self, message: impl Into<String>) -> ExportError {
        ExportError { path: self.title.clone(), message: message.into() }
    }
}

/// Smallest and largest side (mm) of a sheet: one inch, and the 5080 mm (14400 points) that PDF readers take.
const SIDES: std::ops::RangeInclusive<f64> = 25.4..=5080.0;

/// Refuses a sheet whose size or keys would make a broken file.
///
/// A key is `a` to `z` first, then `a` to `z`, `0` to `9`, `.` and `-`, and names one thing
/// on its sheet: it becomes an id in SVG and a marker in PDF.
pub(super) fn guard(sheet: &Sheet, meta: &PaperMeta) -> Result<(), ExportError> {
    if let Some(side) = sheet.size.into_iter().find(|side| !SIDES.contains(side)) {
        return Err(meta.error(format!(
            "sheet `{}` has a side of {side} mm; allowed are {} to {} mm",
            sheet.title,
            SIDES.start(),
            SIDES.end()
        )));
    }
    if let Some(view) = &sheet.view {
        if view.drawing.view.is_some() {
            return Err(meta.error(format!("sheet `{}` shows a part of a part of a drawing", sheet.title)));
        }
        guard(&view.drawing, meta)?;
    }
    let mut seen = BTreeSet::new();
    for item in &sheet.items {
        let key = match item {
            Item::Line(line) => &line.key,
            Item::Text(text) => &text.key,
        };
        let Some(key) = key else { continue };
        let letters = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '.' || c == '-';
        if !key.starts_with(|c: char| c.is_ascii_lowercase()) || !key.chars().all(letters) {
            return Err(meta.error(format!(
                "sheet `{}` has the key `{key}`; allowed are a to z first, then a to z, 0 to 9, `.` and `-`",
                sheet.title
            )));
        }
        if !seen.insert(key.as_str()) {
            return Err(meta.error(format!("sheet `{}` has the key `{key}` twice", sheet.title)));
        }
    }
    Ok(())
}

/// `words` with control characters and what XML forbids turned into spaces.
pub(super) fn plain(words: &str) -> String {
    words.chars().map(|c| if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') { ' ' } else { c }).collect()
}

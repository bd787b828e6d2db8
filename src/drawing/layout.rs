//! Areas of a sheet, and words set in them.

use super::font;
use super::sheet::{Anchor, Role, Sheet, Text};
use crate::geometry::Vec2;

/// Cap height of words for reading at the bench (mm, ISO 3098).
pub const BODY: f64 = 2.5;
/// Cap height of dimensions and headings (mm, ISO 3098).
pub const LARGE: f64 = 3.5;
/// Cap height of labels inside the title block (mm, ISO 3098).
pub const SMALL: f64 = 1.8;

/// Base line to base line, in cap heights. ISO 3098 asks for at least 1.4 (type B, from memory); looser reads better.
const LEADING: f64 = 1.75;
/// Depth of the longest descender, in cap heights.
const DESCENT: f64 = 0.32;

/// An upright rectangle of a sheet (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Lower left corner.
    pub low: Vec2,
    /// Upper right corner.
    pub high: Vec2,
}

impl Area {
    /// From two corners.
    pub const fn new(low: Vec2, high: Vec2) -> Self {
        Self { low, high }
    }

    /// Width.
    pub fn width(&self) -> f64 {
        self.high.x - self.low.x
    }

    /// Height.
    pub fn height(&self) -> f64 {
        self.high.y - self.low.y
    }

    /// Middle.
    pub fn centre(&self) -> Vec2 {
        (self.low + self.high) * 0.5
    }

    /// The same without a strip on the left, below, on the right, above.
    #[must_use]
    pub fn without(&self, left: f64, below: f64, right: f64, above: f64) -> Self {
        Self {
            low: Vec2::new(self.low.x + left, self.low.y + below),
            high: Vec2::new(self.high.x - right, self.high.y - above),
        }
    }

    /// The left part of the given width.
    #[must_use]
    pub fn left(&self, width: f64) -> Self {
        Self { low: self.low, high: Vec2::new(self.low.x + width, self.high.y) }
    }

    /// The right part of the given width.
    #[must_use]
    pub fn right(&self, width: f64) -> Self {
        Self { low: Vec2::new(self.high.x - width, self.low.y), high: self.high }
    }

    /// The upper part of the given height.
    #[must_use]
    pub fn top(&self, height: f64) -> Self {
        Self { low: Vec2::new(self.low.x, self.high.y - height), high: self.high }
    }

    /// The lower part of the given height.
    #[must_use]
    pub fn bottom(&self, height: f64) -> Self {
        Self { low: self.low, high: Vec2::new(self.high.x, self.low.y + height) }
    }
}

/// Width of a line of words (mm) at a cap height.
pub fn text_width(words: &str, height: f64, bold: bool) -> f64 {
    font::width(words, height, bold)
}

/// The four corners of a text's box, descenders included, anticlockwise from lower left.
pub fn text_box(text: &Text) -> [Vec2; 4] {
    let width = text_width(&text.words, text.height, text.bold);
    let left = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -0.5 * width,
        Anchor::End => -width,
    };
    let (low, high) = (-DESCENT * text.height, text.height);
    [(left, low), (left + width, low), (left + width, high), (left, high)]
        .map(|(x, y)| text.at + Vec2::new(x, y).turned(text.angle))
}

/// Words broken into lines no wider than `width` (mm); a word wider than that is broken inside, after a hyphen if it has one.
pub fn wrap(words: &str, height: f64, bold: bool, width: f64) -> Vec<String> {
    let fits = |line: &str| text_width(line, height, bold) <= width;
    let mut lines = Vec::new();
    for paragraph in words.split('\n') {
        let mut line = String::new();
        for word in paragraph.split_whitespace() {
            let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if fits(&longer) {
                line = longer;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for letter in word.chars() {
                line.push(letter);
                if !fits(&line) && line.chars().count() > 1 {
                    // After a hyphen where there is one, else before the letter that is too much.
                    let last = line.len() - letter.len_utf8();
                    let at = line[..last].rfind('-').map_or(last, |hyphen| hyphen + 1);
                    let rest = line.split_off(at);
                    lines.push(std::mem::replace(&mut line, rest));
                }
            }
        }
        lines.push(line);
    }
    lines
}

/// A paragraph of a notes column.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// The words.
    pub words: String,
    /// Cap height (mm).
    pub height: f64,
    /// Bold face.
    pub bold: bool,
}

impl Note {
    /// A heading.
    pub fn heading(words: impl Into<String>) -> Self {
        Self { words: words.into(), height: LARGE, bold: true }
    }

    /// A paragraph.
    pub fn body(words: impl Into<String>) -> Self {
        Self { words: words.into(), height: BODY, bold: false }
    }

    /// A paragraph that must not be missed.
    pub fn strong(words: impl Into<String>) -> Self {
        Self { words: words.into(), height: BODY, bold: true }
    }
}

/// Space between two notes, in cap heights of the second.
const NOTE_GAP: f64 = 0.6;

/// Height that notes take in a column of `width` (mm).
pub fn notes_height(notes: &[Note], width: f64) -> f64 {
    notes
        .iter()
        .map(|note| {
            let lines = wrap(&note.words, note.height, note.bold, width).len() as f64;
            note.height * (lines * LEADING + NOTE_GAP)
        })
        .sum()
}

/// Sets notes from the top of an area down; says how far down they reach.
pub fn set_notes(sheet: &mut Sheet, area: Area, notes: &[Note]) -> f64 {
    let mut y = area.high.y;
    for note in notes {
        y = set_lines(
            sheet,
            Vec2::new(area.low.x, y),
            &wrap(&note.words, note.height, note.bold, area.width()),
            note.height,
            note.bold,
        );
        y -= NOTE_GAP * note.height;
    }
    y
}

/// Sets lines of words from `top` (upper left corner) down; says how far down they reach.
pub fn set_lines(sheet: &mut Sheet, top: Vec2, lines: &[String], height: f64, bold: bool) -> f64 {
    let mut y = top.y;
    for line in lines {
        y -= LEADING * height;
        if !line.is_empty() {
            let at = Vec2::new(top.x, y + (LEADING - 1.0) * 0.5 * height);
            sheet.text(label(at, Anchor::Start, height, bold, line.clone()));
        }
    }
    y
}

/// Height of that many lines of words (mm).
pub fn lines_height(count: usize, height: f64) -> f64 {
    count as f64 * LEADING * height
}

/// A level text in ordinary words.
pub fn label(at: Vec2, anchor: Anchor, height: f64, bold: bool, words: impl Into<String>) -> Text {
    Text { role: Role::Text, key: None, at, anchor, angle: 0.0, height, bold, words: words.into() }
}

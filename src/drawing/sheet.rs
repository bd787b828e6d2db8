//! The neutral page: the only thing the paper writers read.
//!
//! Millimetres, x right, y up, origin at the sheet's lower left corner. Two
//! primitives, each with a role and a key. The role is the SVG group, the PDF
//! layer and the style; the key is the SVG id and the PDF marker, so that the
//! audit finds each thing by name.

use std::sync::Arc;

use crate::geometry::{Path, Vec2};

/// What an item is for. The order here is the order of drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Border and title block.
    Frame,
    /// Filled shading behind everything else on the sheet.
    Shade,
    /// Hatching.
    Hatch,
    /// Hidden edges.
    Hidden,
    /// Centre lines and axes.
    Centre,
    /// Fold lines and station marks: scored, not cut.
    Score,
    /// Visible edges.
    Outline,
    /// The line to cut.
    Cut,
    /// Holes to drill.
    Drill,
    /// Dimension, extension and leader lines.
    Dimension,
    /// Words.
    Text,
    /// Rulers and squares for proving the scale.
    Check,
    /// The "DO NOT CUT" band.
    Band,
}

/// Where a text hangs on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Point at the left end of the base line.
    Start,
    /// Point at the middle of the base line.
    Middle,
    /// Point at the right end of the base line.
    End,
}

/// A curve on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is for.
    pub role: Role,
    /// Name for the audit: lower-case letters, digits, `.` and `-`; unique on its sheet.
    pub key: Option<String>,
    /// The curve.
    pub path: Path,
    /// Filled in the role's colour in place of stroked (arrow heads, bands).
    pub filled: bool,
}

/// Words on the sheet, one line of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// What it is for.
    pub role: Role,
    /// Name for the audit.
    pub key: Option<String>,
    /// Where it hangs.
    pub at: Vec2,
    /// How it hangs.
    pub anchor: Anchor,
    /// Anticlockwise from +x (rad).
    pub angle: f64,
    /// Cap height (mm): 1.8, 2.5, 3.5, 5, 7, 10 (ISO 3098).
    pub height: f64,
    /// Bold face.
    pub bold: bool,
    /// The words.
    pub words: String,
}

/// One thing on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A curve.
    Line(Line),
    /// Words.
    Text(Text),
}

/// Part of a drawing larger than the sheet, at the scale of the sheet.
///
/// Every sheet that shows the drawing holds the same one; the PDF has it once.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The whole drawing, as a sheet of its own size.
    pub drawing: Arc<Sheet>,
    /// Where its lower left corner lies on this sheet (mm); often outside.
    pub at: Vec2,
    /// Lower left and upper right corner (mm) of what is seen of it on this sheet.
    pub window: [Vec2; 2],
}

/// One page.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// What the page shows, for title and bookmark.
    pub title: String,
    /// The same in sentences, for who cannot see it; the title where it is empty.
    pub alt: String,
    /// Width and height (mm).
    pub size: [f64; 2],
    /// Whether it is full scale: rulers and the printing hint apply.
    pub full_scale: bool,
    /// What is on it.
    pub items: Vec<Item>,
    /// Part of a larger drawing, under the items.
    pub view: Option<View>,
}

impl Sheet {
    /// An empty sheet.
    pub fn new(title: impl Into<String>, size: [f64; 2], full_scale: bool) -> Self {
        Self { title: title.into(), alt: String::new(), size, full_scale, items: Vec::new(), view: None }
    }

    /// Adds a stroked curve.
    pub fn line(&mut self, role: Role, path: Path) {
        self.items.push(Item::Line(Line { role, key: None, path, filled: false }));
    }

    /// Adds a stroked curve with a name.
    pub fn keyed(&mut self, role: Role, key: impl Into<String>, path: Path) {
        self.items.push(Item::Line(Line { role, key: Some(key.into()), path, filled: false }));
    }

    /// Adds a filled shape.
    pub fn fill(&mut self, role: Role, path: Path) {
        self.items.push(Item::Line(Line { role, key: None, path, filled: true }));
    }

    /// Adds level words of a cap height (mm).
    pub fn words(&mut self, at: Vec2, anchor: Anchor, height: f64, words: impl Into<String>) {
        self.text(Text {
            role: Role::Text,
            key: None,
            at,
            anchor,
            angle: 0.0,
            height,
            bold: false,
            words: words.into(),
        });
    }

    /// Adds words.
    pub fn text(&mut self, text: Text) {
        self.items.push(Item::Text(text));
    }
}

//! What lines and letters look like: a damaged colour could hide them.

use super::super::ink::{FAINT, THIN, lightness};

/// Colours, width, and where letters go.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pen {
    stroke: f64,
    fill: f64,
    width: f64,
    /// The text matrix.
    pub(super) text: [f64; 6],
    /// Size of the font.
    pub(super) size: f64,
}

impl Default for Pen {
    /// As a page begins (ISO 32000-1, 8.4.1): black, one unit wide.
    fn default() -> Self {
        Self { stroke: 0.0, fill: 0.0, width: 1.0, text: [1.0, 0.0, 0.0, 1.0, 0.0, 0.0], size: 0.0 }
    }
}

impl Pen {
    /// Follows an operator of looks; `None` with operands it cannot have.
    pub(super) fn set(&mut self, operator: &[u8], numbers: &[f64]) -> Option<()> {
        match (operator, numbers) {
            (b"w", &[width]) => self.width = width,
            (b"G", &[grey]) => self.stroke = grey,
            (b"g", &[grey]) => self.fill = grey,
            (b"RG", &[r, g, b]) => self.stroke = lightness([r, g, b]),
            (b"rg", &[r, g, b]) => self.fill = lightness([r, g, b]),
            (b"BT", []) => self.text = Self::default().text,
            (b"Tm", numbers) => self.text = <[f64; 6]>::try_from(numbers).ok()?,
            _ => return None,
        }
        Some(())
    }

    /// Whether a line can be seen; `scale` is a unit of its width in mm.
    pub(super) fn draws(&self, scale: f64) -> bool {
        self.stroke <= FAINT && self.width * scale >= THIN
    }

    /// Whether letters can be seen.
    pub(super) fn letters(&self) -> bool {
        self.fill <= FAINT
    }
}

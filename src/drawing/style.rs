//! Widths, dashes and colours by role: the only style table.
//!
//! Line types and the 2 : 1 ratio of wide to narrow follow ISO 128-2 (from
//! memory), line group 0.5 / 0.25. Dashes are given in line widths there: dash
//! 12 d, long dash 24 d, short dash 6 d, gap 3 d, dot at most 0.5 d. Every
//! colour is dark enough to print as a solid line in black and white; no
//! meaning rests on colour alone.

use super::Role;

/// A colour, red, green and blue from 0 to 255.
pub type Colour = [u8; 3];

/// How one role looks, and what its group and layer are called.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// Group in SVG files: lower-case ASCII.
    pub group: &'static str,
    /// Layer in PDF files: ASCII, as a viewer lists it.
    pub layer: &'static str,
    /// Line width (mm).
    pub width: f64,
    /// Dashes and gaps (mm) in turn; empty for a continuous line.
    pub dashes: &'static [f64],
    /// Of lines.
    pub stroke: Colour,
    /// Of filled shapes.
    pub fill: Colour,
    /// Of words.
    pub words: Colour,
}

/// Wide line (mm): visible edges.
pub const WIDE: f64 = 0.5;
/// Narrow line (mm): half the wide one.
pub const NARROW: f64 = 0.25;

const INK: Colour = [0x14, 0x18, 0x1d];
const SLATE: Colour = [0x3a, 0x46, 0x54];
const STONE: Colour = [0x7d, 0x86, 0x8f];
const MIST: Colour = [0xe4, 0xe8, 0xeb];
const MADDER: Colour = [0x8f, 0x1d, 0x2c];
const MARINE: Colour = [0x12, 0x3f, 0x78];
const PINE: Colour = [0x1c, 0x60, 0x48];
const SAND: Colour = [0xf3, 0xe2, 0xc0];

/// Dash 12 d, gap 3 d at d = 0.25 (ISO 128-2 type 02.1).
const DASHED: &[f64] = &[3.0, 0.75];
/// Long dash 24 d, gap 3 d, dot 0.5 d, gap 3 d at d = 0.25 (type 04.1).
const LONG_DASHED_DOTTED: &[f64] = &[6.0, 0.75, 0.125, 0.75];
/// Short dash 6 d, gap 3 d at d = 0.25: short enough for a station mark to hold several.
const SHORT_DASHED: &[f64] = &[1.5, 0.75];

/// A style of one ink.
const fn line(group: &'static str, layer: &'static str, width: f64, dashes: &'static [f64], ink: Colour) -> Style {
    Style { group, layer, width, dashes, stroke: ink, fill: ink, words: ink }
}

impl Role {
    /// Every role, in order of drawing.
    pub const ALL: [Self; 13] = [
        Self::Frame,
        Self::Shade,
        Self::Hatch,
        Self::Hidden,
        Self::Centre,
        Self::Score,
        Self::Outline,
        Self::Cut,
        Self::Drill,
        Self::Dimension,
        Self::Text,
        Self::Check,
        Self::Band,
    ];

    /// How it looks.
    pub const fn style(self) -> Style {
        match self {
            // ISO 5457 (from memory).
            Self::Frame => line("frame", "Frame", 0.7, &[], INK),
            Self::Shade => Style { fill: MIST, words: SLATE, ..line("shade", "Shading", NARROW, &[], STONE) },
            Self::Hatch => line("hatch", "Hatching", 0.18, &[], STONE),
            Self::Hidden => line("hidden", "Hidden edges", NARROW, DASHED, SLATE),
            Self::Centre => line("centre", "Centre lines", NARROW, LONG_DASHED_DOTTED, SLATE),
            Self::Score => line("score", "Fold and station marks", NARROW, SHORT_DASHED, PINE),
            Self::Outline => line("outline", "Visible edges", WIDE, &[], INK),
            // Continuous and not wide: a saw or scriber follows the line's middle.
            Self::Cut => line("cut", "Cut lines", 0.35, &[], MADDER),
            Self::Drill => line("drill", "Drilled holes", 0.35, &[], MARINE),
            Self::Dimension => line("dimension", "Dimensions", NARROW, &[], SLATE),
            Self::Text => line("text", "Words", NARROW, &[], INK),
            Self::Check => line("check", "Scale check", NARROW, &[], INK),
            Self::Band => Style { fill: SAND, ..line("band", "Warning", WIDE, &[], MADDER) },
        }
    }
}

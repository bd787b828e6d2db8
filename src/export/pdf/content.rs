//! What is on a page, as a PDF content stream.
//!
//! One matrix takes millimetres to points; all that follows is in millimetres.
//! Each role is one stretch of optional content (a layer). A key goes before
//! its thing as a marked-content point, `/key MP`: nothing is seen of it, and a
//! reader finds the thing by name (ISO 32000-1, 14.6).

use std::fmt::Write as _;

use super::super::number::{self, NotPrintable};
use super::super::paper::plain;
use super::{POINTS, Used, layer_name, resource, roles};
use crate::drawing::font::{self, Face};
use crate::drawing::sheet::{Line, Text};
use crate::drawing::style::{Colour, Style};
use crate::drawing::{Item, Sheet};
use crate::geometry::{Path, Piece, Vec2};

/// Decimals of coordinates (mm): a hundredth of a micrometre.
const DECIMALS: usize = 5;
/// Decimals of the matrix: under 1e-8 mm over the largest page.
const MATRIX_DECIMALS: usize = 12;
/// Decimals of a text's direction: under 1e-6 mm over a line of 100 mm.
const DIRECTION_DECIMALS: usize = 8;
/// Decimals of colours: a 255th is 0.0039.
const COLOUR_DECIMALS: usize = 4;

/// The content stream of one sheet.
pub(super) fn write(sheet: &Sheet, correction: [f64; 2], used: &Used) -> Result<Vec<u8>, NotPrintable> {
    let mut page = Content { out: String::new(), used, fill: None };
    let correction = if sheet.full_scale { correction } else { [1.0; 2] };
    let [w, h] = sheet.size;
    // p ↦ middle + (p − middle) / correction.
    let scale = correction.map(|c| POINTS / c);
    let [x, y] = [w * (POINTS - scale[0]) / 2.0, h * (POINTS - scale[1]) / 2.0];
    page.numbers(&[scale[0], 0.0, 0.0, scale[1], x, y], MATRIX_DECIMALS)?;
    // Butt caps, so that a ruler ends where it is measured; round joins, so that no corner spikes.
    page.out.push_str("cm\n0 J 1 j\n");
    for role in roles(sheet) {
        let style = role.style();
        // Writing to a string cannot fail, here and below.
        let _ = writeln!(page.out, "/OC /{} BDC", layer_name(role));
        page.pen(&style)?;
        for item in &sheet.items {
            match item {
                Item::Line(line) if line.role == role => page.line(line, &style)?,
                Item::Text(text) if text.role == role => page.text(text, &style)?,
                _ => {}
            }
        }
        page.out.push_str("EMC\n");
    }
    Ok(page.out.into_bytes())
}

struct Content<'a> {
    out: String,
    used: &'a Used,
    /// Fill colour in force.
    fill: Option<Colour>,
}

impl Content<'_> {
    fn numbers(&mut self, values: &[f64], decimals: usize) -> Result<(), NotPrintable> {
        for &value in values {
            number::push(&mut self.out, value, decimals)?;
            self.out.push(' ');
        }
        Ok(())
    }

    fn points(&mut self, points: &[Vec2], operator: &str) -> Result<(), NotPrintable> {
        for p in points {
            self.numbers(&[p.x, p.y], DECIMALS)?;
        }
        self.out.push_str(operator);
        self.out.push('\n');
        Ok(())
    }

    fn colour(&mut self, colour: Colour, operator: &str) -> Result<(), NotPrintable> {
        self.numbers(&colour.map(|part| f64::from(part) / 255.0), COLOUR_DECIMALS)?;
        self.out.push_str(operator);
        self.out.push('\n');
        Ok(())
    }

    fn pen(&mut self, style: &Style) -> Result<(), NotPrintable> {
        self.numbers(&[style.width], DECIMALS)?;
        self.out.push_str("w [");
        self.numbers(style.dashes, DECIMALS)?;
        self.out.push_str("] 0 d\n");
        self.colour(style.stroke, "RG")
    }

    fn ink(&mut self, colour: Colour) -> Result<(), NotPrintable> {
        if self.fill != Some(colour) {
            self.colour(colour, "rg")?;
            self.fill = Some(colour);
        }
        Ok(())
    }

    fn mark(&mut self, key: Option<&String>) {
        if let Some(key) = key {
            let _ = writeln!(self.out, "/{key} MP");
        }
    }

    fn line(&mut self, line: &Line, style: &Style) -> Result<(), NotPrintable> {
        if line.filled {
            self.ink(style.fill)?;
        }
        self.mark(line.key.as_ref());
        self.path(&line.path)?;
        self.out.push_str(if line.filled { "f\n" } else { "S\n" });
        Ok(())
    }

    fn path(&mut self, path: &Path) -> Result<(), NotPrintable> {
        self.points(&[path.start], "m")?;
        for (from, piece) in path.runs() {
            match *piece {
                Piece::Line { to } => self.points(&[to], "l")?,
                Piece::Arc { .. } | Piece::Cubic { .. } => {
                    for cubic in piece.cubics(from) {
                        self.points(&cubic, "c")?;
                    }
                }
            }
        }
        if path.closed {
            self.out.push_str("h\n");
        }
        Ok(())
    }

    fn text(&mut self, text: &Text, style: &Style) -> Result<(), NotPrintable> {
        let face = Face::of(text.bold);
        let em = face.em(text.height);
        let glyphs = face.glyphs(&text.words);
        if glyphs.is_empty() {
            return Ok(());
        }
        let width = glyphs.iter().map(|glyph| glyph.advance).sum::<f64>() * em;
        let along = Vec2::polar(text.angle);
        let start = text.at + along * -font::set_back(text.anchor, width);
        self.ink(style.words)?;
        self.mark(text.key.as_ref());
        // A reader copies what the glyphs stand for; where that is not what was written, the words go along.
        let letters = self.used.get(&face);
        let shown: String = glyphs
            .iter()
            .filter_map(|glyph| letters.and_then(|letters| letters.get(&glyph.index)).map(|&(letter, _)| letter))
            .collect();
        let words = plain(&text.words);
        let differs = shown != words;
        if differs {
            self.out.push_str("/Span << /ActualText <FEFF");
            for unit in words.encode_utf16() {
                let _ = write!(self.out, "{unit:04X}");
            }
            self.out.push_str("> >> BDC\n");
        }
        let _ = write!(self.out, "BT /{} ", resource(face));
        self.numbers(&[em], DECIMALS)?;
        self.out.push_str("Tf ");
        self.numbers(&[along.x, along.y, -along.y, along.x], DIRECTION_DECIMALS)?;
        self.numbers(&[start.x, start.y], DECIMALS)?;
        self.out.push_str("Tm <");
        for glyph in &glyphs {
            let _ = write!(self.out, "{:04X}", glyph.index);
        }
        self.out.push_str("> Tj ET\n");
        if differs {
            self.out.push_str("EMC\n");
        }
        Ok(())
    }
}

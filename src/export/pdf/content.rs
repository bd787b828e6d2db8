//! What is on a page, as a PDF content stream.
//!
//! One matrix takes millimetres to points; all that follows is in millimetres.
//! Each role is one stretch of optional content (a layer). A key goes before
//! its thing as a marked-content point, `/key MP`: nothing is seen of it, and a
//! reader finds the thing by name (ISO 32000-1, 14.6).

use std::fmt::Write as _;

use super::super::number::{self, NotPrintable};
use super::super::paper::plain;
use super::{POINTS, Used, form_name, layer_name, resource, roles};
use crate::drawing::font::{self, Face};
use crate::drawing::sheet::{Line, Text};
use crate::drawing::style::{Colour, Style};
use crate::drawing::{Item, Role, Sheet, View};
use crate::geometry::{Path, Piece, Vec2};

/// Decimals of coordinates (mm): a hundredth of a micrometre.
const DECIMALS: usize = 5;
/// Decimals of the matrix: under 1e-8 mm over the largest page.
const MATRIX_DECIMALS: usize = 12;
/// Decimals of a text's direction: under 1e-6 mm over a line of 100 mm.
const DIRECTION_DECIMALS: usize = 8;
/// Decimals of colours: a 255th is 0.0039.
const COLOUR_DECIMALS: usize = 4;

/// What a stretch of marked content is to someone who cannot see it (ISO 32000-1, 14.7 and 14.8).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tag {
    /// Part of the page's one figure.
    Figure,
    /// Words to be read.
    Words,
}

/// A page's content stream, and what each of its numbered stretches is.
pub(super) struct PageContent {
    /// Operators.
    pub(super) stream: Vec<u8>,
    /// By marked-content number.
    pub(super) tags: Vec<Tag>,
}

/// Roles whose lines make a page a figure; without any of them its rules and shades only carry words.
const DRAWN: [Role; 7] = [Role::Hidden, Role::Centre, Role::Score, Role::Outline, Role::Cut, Role::Drill, Role::Check];

/// What the things of a role are; `None` for what means nothing by itself.
fn tag(role: Role, figure: bool) -> Option<Tag> {
    match role {
        Role::Text | Role::Band => Some(Tag::Words),
        Role::Frame | Role::Shade => None,
        _ => figure.then_some(Tag::Figure),
    }
}

/// A drawing that pages show parts of, as the content stream of a form in millimetres.
pub(super) fn form(drawing: &Sheet, used: &Used) -> Result<Vec<u8>, NotPrintable> {
    let mut form = Content { out: String::new(), used, fill: None };
    for role in roles(drawing) {
        form.role(drawing, role)?;
    }
    Ok(form.out.into_bytes())
}

/// The content stream of one sheet; `shown` is the place of the drawing it shows part of.
pub(super) fn page(
    sheet: &Sheet,
    shown: Option<usize>,
    correction: [f64; 2],
    used: &Used,
) -> Result<PageContent, NotPrintable> {
    let mut page = Content { out: String::new(), used, fill: None };
    let mut tags = Vec::new();
    let correction = if sheet.full_scale { correction } else { [1.0; 2] };
    let [w, h] = sheet.size;
    // p ↦ middle + (p − middle) / correction.
    let scale = correction.map(|c| POINTS / c);
    let [x, y] = [w * (POINTS - scale[0]) / 2.0, h * (POINTS - scale[1]) / 2.0];
    page.numbers(&[scale[0], 0.0, 0.0, scale[1], x, y], MATRIX_DECIMALS)?;
    // Butt caps, so that a ruler ends where it is measured; round joins, so that no corner spikes.
    page.out.push_str("cm\n0 J 1 j\n");
    if let (Some(view), Some(place)) = (&sheet.view, shown) {
        page.tagged(Some(Tag::Figure), &mut tags);
        page.view(view, place)?;
        page.out.push_str("EMC\n");
    }
    let roles = roles(sheet);
    let figure = sheet.view.is_some() || roles.iter().any(|role| DRAWN.contains(role));
    for role in roles {
        page.tagged(tag(role, figure), &mut tags);
        page.role(sheet, role)?;
        page.out.push_str("EMC\n");
    }
    Ok(PageContent { stream: page.out.into_bytes(), tags })
}

struct Content<'a> {
    out: String,
    used: &'a Used,
    /// Fill colour in force.
    fill: Option<Colour>,
}

impl Content<'_> {
    /// Opens a stretch that structure can point at, or one that it may leave out.
    fn tagged(&mut self, tag: Option<Tag>, tags: &mut Vec<Tag>) {
        // Writing to a string cannot fail, here and below.
        let _ = match tag {
            Some(Tag::Figure) => writeln!(self.out, "/Figure << /MCID {} >> BDC", tags.len()),
            Some(Tag::Words) => writeln!(self.out, "/P << /MCID {} >> BDC", tags.len()),
            None => writeln!(self.out, "/Artifact BMC"),
        };
        tags.extend(tag);
    }

    /// Everything of one role, as one layer.
    fn role(&mut self, sheet: &Sheet, role: Role) -> Result<(), NotPrintable> {
        let style = role.style();
        let _ = writeln!(self.out, "/OC /{} BDC", layer_name(role));
        self.pen(&style)?;
        for item in &sheet.items {
            match item {
                Item::Line(line) if line.role == role => self.line(line, &style)?,
                Item::Text(text) if text.role == role => self.text(text, &style)?,
                _ => {}
            }
        }
        self.out.push_str("EMC\n");
        Ok(())
    }

    /// A window on a shared drawing.
    fn view(&mut self, view: &View, place: usize) -> Result<(), NotPrintable> {
        let [low, high] = view.window;
        let size = high - low;
        self.out.push_str("q\n");
        self.numbers(&[low.x, low.y, size.x, size.y], DECIMALS)?;
        self.out.push_str("re W n\n1 0 0 1 ");
        self.numbers(&[view.at.x, view.at.y], DECIMALS)?;
        let _ = writeln!(self.out, "cm\n/{} Do\nQ", form_name(place));
        Ok(())
    }

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

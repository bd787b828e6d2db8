//! Sheets as SVG, one user unit a millimetre.
//!
//! Two kinds of file: [`write()`] for people, [`write_cut`] for a laser or plasma
//! table. Both hold one group a role, arcs as arcs, and words as outlines with
//! the string in `aria-label`, because a shop's machine may lack any font.

use std::f64::consts::FRAC_PI_2;

use svg::Document;
use svg::node::Text as Words;
use svg::node::element::{Description, Group, Path as PathElement, Title};

use super::ExportError;
use super::number::{self, NotPrintable};
use super::paper::{PaperMeta, guard, plain};
use crate::drawing::font::{self, Curve, Face};
use crate::drawing::sheet::{Line, Text};
use crate::drawing::style::Colour;
use crate::drawing::{Item, Role, Sheet};
use crate::geometry::{Path, Piece, Vec2};

/// Decimals of geometry: a tenth of a micrometre.
const DECIMALS: usize = 4;
/// Decimals of letter outlines: 0.01 mm, under the dot of a 1200 dpi printer (0.021 mm).
const LETTER_DECIMALS: usize = 2;
/// The same as steps in a millimetre.
const LETTER_GRAIN: f64 = 100.0;
/// Decimals of ellipse rotations (degrees): under 1e-5 mm over a 500 mm axis.
const ANGLE_DECIMALS: usize = 6;
/// Line width (mm) of cut files: as thin as a screen shows well; the machine takes the line's middle.
const CUT_WIDTH: f64 = 0.1;

/// A drawing for people: every role, in the widths, dashes and colours of the style table.
///
/// # Errors
/// A number that is not finite, a key that is used twice or has other letters than allowed, a
/// sheet side out of range.
pub fn write(sheet: &Sheet, meta: &PaperMeta) -> Result<Vec<u8>, ExportError> {
    let groups = Role::ALL.map(|role| Operation { group: role.style().group, role, roles: &[] });
    render(sheet, meta, &groups, false)
}

/// A file for a cutting machine: groups `cut`, `drill`, `score` and `note`, nothing else.
///
/// `note` holds the words, the scale check and the "DO NOT CUT" band, to be engraved or left out; border, shading,
/// hatching, centre lines and dimensions are not in the file at all.
///
/// # Errors
/// As [`write()`].
pub fn write_cut(sheet: &Sheet, meta: &PaperMeta) -> Result<Vec<u8>, ExportError> {
    let operation = |group, role, roles| Operation { group, role, roles };
    let groups = [
        operation("note", Role::Text, &[Role::Check, Role::Band]),
        operation("score", Role::Score, &[]),
        operation("drill", Role::Drill, &[]),
        operation("cut", Role::Cut, &[]),
    ];
    render(sheet, meta, &groups, true)
}

/// A drawing for people as part of a web page: every role but the border's, words as words at the width they have in
/// print, no ids.
///
/// # Errors
/// As [`write()`].
pub fn inline(sheet: &Sheet, title: &str, meta: &PaperMeta) -> Result<String, ExportError> {
    guard(sheet, meta)?;
    let wrong = |error: NotPrintable| meta.error(format!("sheet `{}`: {error}", sheet.title));
    fragment(sheet, title).map(|document| document.to_string()).map_err(wrong)
}

fn fragment(sheet: &Sheet, title: &str) -> Result<Document, NotPrintable> {
    let [width, height] = sheet.size;
    let (w, h) = (number::print(width, DECIMALS)?, number::print(height, DECIMALS)?);
    let mut document =
        Document::new().set("viewBox", format!("0 0 {w} {h}")).set("role", "img").set("aria-label", plain(title));
    for role in Role::ALL {
        let style = role.style();
        let mut group = Group::new()
            .set("fill", "none")
            .set("stroke", hex(style.stroke))
            .set("stroke-width", number::print(style.width, DECIMALS)?);
        if !style.dashes.is_empty() {
            group = group.set("stroke-dasharray", list(style.dashes)?);
        }
        let mut any = false;
        for item in &sheet.items {
            group = match item {
                Item::Line(line) if line.role == role => {
                    group.add(stroke(&crate::drawing::sheet::Line { key: None, ..line.clone() }, height, false)?)
                }
                Item::Text(text) if text.role == role => group.add(words(text, height)?),
                _ => continue,
            };
            any = true;
        }
        if any {
            document = document.add(group);
        }
    }
    Ok(document)
}

/// Words that the reader's own letters show, stretched to the width they have in print.
fn words(text: &Text, height: f64) -> Result<svg::node::element::Text, NotPrintable> {
    let face = Face::of(text.bold);
    let anchor = match text.anchor {
        crate::drawing::Anchor::Start => "start",
        crate::drawing::Anchor::Middle => "middle",
        crate::drawing::Anchor::End => "end",
    };
    let (x, y) = (number::print(text.at.x, DECIMALS)?, number::print(height - text.at.y, DECIMALS)?);
    let width = face.width(&text.words, text.height);
    let mut element = svg::node::element::Text::new(plain(&text.words))
        .set("x", x.as_str())
        .set("y", y.as_str())
        .set("font-size", number::print(face.em(text.height), DECIMALS)?)
        .set("fill", hex(text.role.style().words))
        .set("stroke", "none");
    if width > 0.0 {
        element = element.set("textLength", number::print(width, DECIMALS)?).set("lengthAdjust", "spacingAndGlyphs");
    }
    if anchor != "start" {
        element = element.set("text-anchor", anchor);
    }
    if text.bold {
        element = element.set("font-weight", "bold");
    }
    if text.angle != 0.0 {
        let turn = number::print(-text.angle.to_degrees(), ANGLE_DECIMALS)?;
        element = element.set("transform", format!("rotate({turn} {x} {y})"));
    }
    Ok(element)
}

/// One group of the file: its name, the role that gives its look, and further roles in it.
struct Operation {
    group: &'static str,
    role: Role,
    roles: &'static [Role],
}

impl Operation {
    fn holds(&self, role: Role) -> bool {
        role == self.role || self.roles.contains(&role)
    }
}

fn render(sheet: &Sheet, meta: &PaperMeta, groups: &[Operation], cut: bool) -> Result<Vec<u8>, ExportError> {
    guard(sheet, meta)?;
    if sheet.view.is_some() {
        return Err(meta.error(format!("sheet `{}` is a tile; tiles are for paper only", sheet.title)));
    }
    let document =
        compose(sheet, meta, groups, cut).map_err(|error| meta.error(format!("sheet `{}`: {error}", sheet.title)))?;
    Ok(format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n").into_bytes())
}

fn compose(sheet: &Sheet, meta: &PaperMeta, groups: &[Operation], cut: bool) -> Result<Document, NotPrintable> {
    let [width, height] = sheet.size;
    let (w, h) = (number::print(width, DECIMALS)?, number::print(height, DECIMALS)?);
    let about = [&meta.title, &meta.subject, &meta.author, &meta.date, &sheet.alt];
    let about: Vec<String> = about.into_iter().map(|words| plain(words)).filter(|words| !words.is_empty()).collect();
    let mut document = Document::new()
        .set("width", format!("{w}mm"))
        .set("height", format!("{h}mm"))
        .set("viewBox", format!("0 0 {w} {h}"))
        .set("xml:lang", plain(&meta.language))
        .set("role", "img")
        .add(Title::new(plain(&sheet.title)))
        .add(Description::new().add(Words::new(about.join(", "))));
    for operation in groups {
        let style = operation.role.style();
        let mut group = Group::new()
            .set("class", operation.group)
            .set("fill", "none")
            .set("stroke", hex(style.stroke))
            .set("stroke-width", number::print(if cut { CUT_WIDTH } else { style.width }, DECIMALS)?);
        if !cut && !style.dashes.is_empty() {
            group = group.set("stroke-dasharray", list(style.dashes)?);
        }
        let mut any = false;
        for item in &sheet.items {
            group = match item {
                Item::Line(line) if operation.holds(line.role) => group.add(stroke(line, height, cut)?),
                Item::Text(text) if operation.holds(text.role) => group.add(letters(text, height)?),
                _ => continue,
            };
            any = true;
        }
        if any {
            document = document.add(group);
        }
    }
    Ok(document)
}

fn hex([r, g, b]: Colour) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn list(values: &[f64]) -> Result<String, NotPrintable> {
    let parts = values.iter().map(|&value| number::print(value, DECIMALS)).collect::<Result<Vec<_>, _>>()?;
    Ok(parts.join(" "))
}

fn stroke(line: &Line, height: f64, cut: bool) -> Result<PathElement, NotPrintable> {
    let mut element = PathElement::new().set("d", data(&line.path, height)?);
    if let Some(key) = &line.key {
        element = element.set("id", key.as_str());
    }
    if line.filled && !cut {
        element = element.set("fill", hex(line.role.style().fill)).set("stroke", "none");
    }
    Ok(element)
}

/// Path data of a curve; y down, from a sheet of `height` (mm).
fn data(path: &Path, height: f64) -> Result<String, NotPrintable> {
    let mut out = String::new();
    let point = |out: &mut String, p: Vec2| -> Result<(), NotPrintable> {
        out.push(' ');
        number::push(out, p.x, DECIMALS)?;
        out.push(' ');
        number::push(out, height - p.y, DECIMALS)
    };
    out.push('M');
    point(&mut out, path.start)?;
    for piece in &path.pieces {
        match *piece {
            Piece::Line { to } => {
                out.push_str(" L");
                point(&mut out, to)?;
            }
            Piece::Cubic { c1, c2, to } => {
                out.push_str(" C");
                for p in [c1, c2, to] {
                    point(&mut out, p)?;
                }
            }
            Piece::Arc { centre, major, minor, start, sweep } => {
                let (rx, ry, turn) = axes(major, minor);
                // An SVG arc is known by its ends and radii. Near a half turn a rounded end throws the centre
                // off by sqrt(2 r × rounding), 0.03 mm at r = 5; over a quarter, by no more than the rounding.
                let parts = (sweep.abs() / FRAC_PI_2 - 1e-9).ceil().max(1.0);
                // Turning the page over turns the sense; a left-handed pair of axes turns it again.
                let flag = if (sweep > 0.0) == (major.cross(minor) > 0.0) { '0' } else { '1' };
                for i in 1..=parts as u32 {
                    let (s, c) = libm::sincos(start + sweep * f64::from(i) / parts);
                    out.push_str(" A");
                    for (value, decimals) in [(rx, DECIMALS), (ry, DECIMALS), (-turn, ANGLE_DECIMALS)] {
                        out.push(' ');
                        number::push(&mut out, value, decimals)?;
                    }
                    out.push_str(" 0 ");
                    out.push(flag);
                    point(&mut out, centre + major * c + minor * s)?;
                }
            }
        }
    }
    if path.closed {
        out.push_str(" Z");
    }
    Ok(out)
}

/// Lengths of the principal axes of an ellipse given by two conjugate half-axes, and the turn (degrees) of the first.
///
/// With axes square to each other they are their own; else they follow from the singular values
/// of the matrix whose columns they are (any book on linear algebra).
fn axes(major: Vec2, minor: Vec2) -> (f64, f64, f64) {
    let (a, b) = (major.length(), minor.length());
    if (a - b).abs() <= 1e-12 * a.max(b) && major.dot(minor).abs() <= 1e-12 * a * b {
        return (a, b, 0.0);
    }
    let theta = 0.5 * libm::atan2(2.0 * major.dot(minor), a * a - b * b);
    let (s, c) = libm::sincos(theta);
    let first = major * c + minor * s;
    let second = minor * c - major * s;
    (first.length(), second.length(), first.angle().to_degrees())
}

/// Words as one path of letter outlines, filled, the string in `aria-label`.
fn letters(text: &Text, height: f64) -> Result<PathElement, NotPrintable> {
    let face = Face::of(text.bold);
    let em = face.em(text.height);
    let along = Vec2::polar(text.angle);
    let glyphs = face.glyphs(&text.words);
    let width = glyphs.iter().map(|glyph| glyph.advance).sum::<f64>() * em;
    let mut pen = text.at + along * -font::set_back(text.anchor, width);
    let mut trace = Trace { out: String::new(), at: [0.0; 2] };
    for glyph in &glyphs {
        let put = |p: Vec2| {
            let q = pen + (along * p.x + along.left() * p.y) * em;
            Vec2::new(q.x, height - q.y)
        };
        for contour in face.outline(glyph.index) {
            trace.step('M', &[put(contour.start)])?;
            let start = trace.at;
            for curve in contour.curves {
                match curve {
                    Curve::Line(to) => trace.step('l', &[put(to)])?,
                    Curve::Quadratic(control, to) => trace.step('q', &[put(control), put(to)])?,
                }
            }
            trace.out.push('z');
            trace.at = start;
        }
        pen = pen + along * (glyph.advance * em);
    }
    if trace.out.is_empty() {
        // Words of spaces alone: a path must still have a start.
        trace.step('M', &[Vec2::new(text.at.x, height - text.at.y)])?;
    }
    let mut element = PathElement::new()
        .set("d", trace.out)
        .set("fill", hex(text.role.style().words))
        .set("stroke", "none")
        .set("role", "img")
        .set("aria-label", plain(&text.words));
    if let Some(key) = &text.key {
        element = element.set("id", key.as_str());
    }
    Ok(element)
}

/// Letter outlines as relative path data: each step is taken from where the printed ones have led,
/// so rounding does not add up.
struct Trace {
    out: String,
    at: [f64; 2],
}

impl Trace {
    fn step(&mut self, command: char, points: &[Vec2]) -> Result<(), NotPrintable> {
        self.out.push(command);
        let from = if command == 'M' { [0.0; 2] } else { self.at };
        for (i, p) in points.iter().enumerate() {
            let p = [(p.x * LETTER_GRAIN).round() / LETTER_GRAIN, (p.y * LETTER_GRAIN).round() / LETTER_GRAIN];
            for (axis, value) in p.into_iter().enumerate() {
                let part = number::print(value - from[axis], LETTER_DECIMALS)?;
                if (i, axis) != (0, 0) && !part.starts_with('-') {
                    self.out.push(' ');
                }
                self.out.push_str(&part);
            }
            self.at = p;
        }
        Ok(())
    }
}

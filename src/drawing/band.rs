//! The band that stops a shop from cutting.

use super::font::{Contour, Curve, Face};
use super::layout::{label, text_width};
use super::sheet::{Anchor, Item, Role, Sheet, Text};
use crate::geometry::{Path, Piece, Vec2};

/// Cap heights tried for the hollow letters (mm), as large as the sheet's diagonal takes.
const HEIGHTS: [f64; 6] = [20.0, 14.0, 10.0, 7.0, 5.0, 3.5];
/// Share of the diagonal the words may fill.
const SHARE: f64 = 0.75;

/// Puts "DO NOT CUT: n checks fail" across every sheet; nothing where no check failed.
///
/// Hollow letters run over the diagonal, so that every line under them stays
/// readable; the same words stand in full in the upper and lower margin.
pub fn band(sheets: &mut [Sheet], failed: usize) {
    if failed == 0 {
        return;
    }
    let words =
        if failed == 1 { "DO NOT CUT: 1 check fails".to_owned() } else { format!("DO NOT CUT: {failed} checks fail") };
    for sheet in sheets {
        let [width, height] = sheet.size;
        let size = Vec2::new(width, height);
        let diagonal = size.length();
        let room = SHARE * diagonal;
        let tall = HEIGHTS.into_iter().find(|&tall| text_width(&words, tall, true) <= room).unwrap_or(2.5);
        let way = size.unit().unwrap_or(Vec2::new(1.0, 0.0));
        let long = text_width(&words, tall, true);
        let start = size * 0.5 - way * (0.5 * long) - way.left() * (0.5 * tall);
        hollow(sheet, &words, start, way, tall);
        for side in [-0.5 * tall, 1.5 * tall] {
            let from = start + way.left() * side - way * tall;
            sheet.line(Role::Band, Path::line(from, from + way * (long + 2.0 * tall)));
        }
        // A cut file has no frame, and little room round its outline.
        let framed = sheet.items.iter().any(|item| matches!(item, Item::Line(line) if line.role == Role::Frame));
        let (margin, margin_tall) = if framed { (5.0, 3.5) } else { (2.5, 1.8) };
        for y in [height - margin, margin] {
            // Left of the centring marks where the sheet is wide enough for them.
            let wide = text_width(&words, margin_tall, true);
            let at =
                Vec2::new(if wide + 10.0 < 0.5 * width { 0.25 * width } else { 0.5 * width }, y - 0.5 * margin_tall);
            if wide < width {
                sheet.text(Text { role: Role::Band, ..label(at, Anchor::Middle, margin_tall, true, words.clone()) });
            }
        }
    }
}

/// Outlines of letters along a direction.
fn hollow(sheet: &mut Sheet, words: &str, start: Vec2, way: Vec2, height: f64) {
    let face = Face::Bold;
    let em = face.em(height);
    let (x, y) = (way * em, way.left() * em);
    let mut at = start;
    for glyph in face.glyphs(words) {
        for contour in face.outline(glyph.index) {
            sheet.line(Role::Band, path(&contour).carried(at, x, y));
        }
        at = at + x * glyph.advance;
    }
}

/// A quadratic curve is the cubic with control points two thirds of the way to its own.
fn path(contour: &Contour) -> Path {
    let mut from = contour.start;
    let mut pieces = Vec::with_capacity(contour.curves.len());
    for curve in &contour.curves {
        let (piece, to) = match *curve {
            Curve::Line(to) => (Piece::Line { to }, to),
            Curve::Quadratic(c, to) => {
                let third = |p: Vec2| p + (c - p) * (2.0 / 3.0);
                (Piece::Cubic { c1: third(from), c2: third(to), to }, to)
            }
        };
        pieces.push(piece);
        from = to;
    }
    Path { start: contour.start, pieces, closed: true }
}

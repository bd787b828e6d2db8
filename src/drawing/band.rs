//! The band that stops a shop from cutting.

use super::collision::Taken;
use super::font::{Contour, Curve, Face};
use super::layout::{label, text_width};
use super::sheet::{Anchor, Item, Role, Sheet, Text};
use crate::geometry::{Path, Piece, Vec2};

/// Cap heights tried for the hollow letters (mm), as large as the sheet's diagonal takes.
const HEIGHTS: [f64; 6] = [20.0, 14.0, 10.0, 7.0, 5.0, 3.5];
/// Share of the diagonal the words may fill.
const SHARE: f64 = 0.75;

/// Step between the places tried for the letters (mm).
const STEP: f64 = 10.0;
/// Room kept between the band and a ruler, a square or a mark (mm): the tip of a rule reads the end ticks there.
const CLEAR: f64 = 2.0;

/// Puts "DO NOT CUT: n checks fail" across every sheet; nothing where no check failed.
///
/// Hollow letters run along the diagonal, so that every line under them stays
/// readable, and keep off rulers, squares and registration marks, which are
/// measured; the same words stand in full in the upper and lower margin.
pub fn band(sheets: &mut [Sheet], failed: usize) {
    if failed == 0 {
        return;
    }
    let words =
        if failed == 1 { "DO NOT CUT: 1 check fails".to_owned() } else { format!("DO NOT CUT: {failed} checks fail") };
    for sheet in sheets {
        let Strip { start, way, tall, long } = Strip::on(sheet, &words);
        hollow(sheet, &words, start, way, tall);
        for side in [-0.5 * tall, 1.5 * tall] {
            let from = start + way.left() * side - way * tall;
            sheet.line(Role::Band, Path::line(from, from + way * (long + 2.0 * tall)));
        }
        let [width, height] = sheet.size;
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

/// Where the hollow letters stand.
#[derive(Clone, Copy)]
struct Strip {
    /// Foot of the first letter.
    start: Vec2,
    /// Direction of reading.
    way: Vec2,
    /// Cap height (mm).
    tall: f64,
    /// Length of the words (mm).
    long: f64,
}

impl Strip {
    /// The largest letters, as near to the middle as can be, that touch nothing by which a print is measured.
    fn on(sheet: &Sheet, words: &str) -> Self {
        let [width, height] = sheet.size;
        let size = Vec2::new(width, height);
        let way = size.unit().unwrap_or(Vec2::new(1.0, 0.0));
        let room = SHARE * size.length();
        let measured = Taken::of_role(sheet, Role::Check);
        let at = |tall: f64, shift: Vec2| {
            let long = text_width(words, tall, true);
            Self { start: size * 0.5 + shift - way * (0.5 * long) - way.left() * (0.5 * tall), way, tall, long }
        };
        let fitting = HEIGHTS.into_iter().filter(|&tall| text_width(words, tall, true) <= room);
        let largest = fitting.clone().next().unwrap_or(2.5);
        let shifts = shifts(0.5 * width, 0.5 * height);
        let mut places = fitting.flat_map(|tall| shifts.iter().map(move |&shift| at(tall, shift)));
        places
            .find(|strip| {
                let corners = strip.corners();
                let inside = |p: &Vec2| (0.0..=width).contains(&p.x) && (0.0..=height).contains(&p.y);
                corners.iter().all(inside) && measured.spares_area(corners, CLEAR)
            })
            // A sheet without room for the least letters is a picture or a cut file, and nothing on it is printed to size.
            .unwrap_or_else(|| at(largest, Vec2::default()))
    }

    fn corners(&self) -> Vec<Vec2> {
        let Self { start, way, tall, long } = *self;
        let corner = |x: f64, y: f64| start + way * x + way.left() * y;
        let (left, right, low, high) = (-tall, long + tall, -0.5 * tall, 1.5 * tall);
        vec![corner(left, low), corner(right, low), corner(right, high), corner(left, high)]
    }
}

/// Shifts from the middle of a sheet up to its edges, the nearest first.
fn shifts(across: f64, up: f64) -> Vec<Vec2> {
    let steps = |reach: f64| {
        let count = (reach / STEP).floor();
        std::iter::successors(Some(-count), move |&k| (k < count).then_some(k + 1.0)).map(|k| k * STEP)
    };
    let mut shifts: Vec<Vec2> = steps(across).flat_map(|x| steps(up).map(move |y| Vec2::new(x, y))).collect();
    shifts.sort_by(|a, b| a.length().total_cmp(&b.length()));
    shifts
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

//! Dimensions, leaders, arrows, centre marks, hatching.
//!
//! By ISO 129-1 (from memory): filled arrows, values over the line and
//! readable from the bottom or the right, a gap between feature and extension
//! line, extension lines past the dimension line. Both units are stacked: the
//! first over the line, the second in square brackets under it.

use super::layout::{BODY, label, text_width};
use super::sheet::{Anchor, Role, Sheet, Text};
use crate::geometry::{Path, Piece, Vec2};

/// Length of an arrow head (mm).
const ARROW: f64 = 2.8;
/// Half width of an arrow head (mm): 15 degrees in all.
const ARROW_HALF: f64 = 0.37;
/// Gap between feature and extension line (mm).
const GAP: f64 = 1.0;
/// Extension line past the dimension line (mm).
const PAST: f64 = 1.5;
/// Words off the line they belong to (mm).
const CLEAR: f64 = 0.9;
/// Reach of a centre mark past its circle (mm).
const CENTRE_PAST: f64 = 2.0;

/// One length in both units, the first as `build.units` wants it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stacked {
    /// Over the line.
    pub first: String,
    /// Under the line, in brackets; empty for none.
    pub second: String,
}

impl Stacked {
    /// Width of the wider line at a cap height (mm).
    pub fn width(&self, height: f64) -> f64 {
        text_width(&self.first, height, false).max(text_width(&self.second, height, false))
    }
}

/// A filled arrow head with its tip at `tip`, pointing along the unit vector `toward`.
pub fn arrow(sheet: &mut Sheet, tip: Vec2, toward: Vec2) {
    let foot = tip - toward * ARROW;
    let side = toward.left() * ARROW_HALF;
    if let Some(path) = Path::polyline(&[tip, foot + side, foot - side], true) {
        sheet.fill(Role::Dimension, path);
    }
}

/// A large arrow of direction for templates: a shaft with an open-backed filled head.
pub fn direction_arrow(sheet: &mut Sheet, from: Vec2, to: Vec2) {
    let Some(toward) = (to - from).unit() else { return };
    let foot = to - toward * 5.0;
    let side = toward.left() * 1.6;
    sheet.line(Role::Outline, Path::line(from, foot));
    if let Some(path) = Path::polyline(&[to, foot + side, foot - side], true) {
        sheet.fill(Role::Text, path);
    }
}

/// Direction in which words along `along` read from the bottom or the right.
fn readable(along: Vec2) -> Vec2 {
    let from_bottom = along.x > 1e-9 || (along.x.abs() <= 1e-9 && along.y > 0.0);
    if from_bottom { along } else { -along }
}

/// A linear dimension between `a` and `b`, measured along the unit vector `along`.
///
/// The dimension line runs `reach` (mm) to the left of `along` from `a`
/// (negative: to the right). Words that do not fit between the arrows stand
/// past the end `b`, and the arrows turn outside.
pub fn linear(sheet: &mut Sheet, [a, b]: [Vec2; 2], along: Vec2, reach: f64, words: &Stacked, height: f64) {
    let out = along.left();
    let a_line = a + out * reach;
    let b_line = a_line + along * (b - a).dot(along);
    for (feature, foot) in [(a, a_line), (b, b_line)] {
        if let Some(way) = (foot - feature).unit()
            && (foot - feature).length() > GAP
        {
            sheet.line(Role::Dimension, Path::line(feature + way * GAP, foot + way * PAST));
        }
    }
    let span = (b_line - a_line).length();
    let Some(way) = (b_line - a_line).unit() else { return };
    let reading = readable(along);
    let width = words.width(height);
    let inside = span >= width + 2.0 * ARROW + 1.0;
    let middle = if inside {
        sheet.line(Role::Dimension, Path::line(a_line, b_line));
        arrow(sheet, a_line, -way);
        arrow(sheet, b_line, way);
        (a_line + b_line) * 0.5
    } else {
        let tail = ARROW + 1.0;
        let far = b_line + way * (tail + width + 1.0);
        sheet.line(Role::Dimension, Path::line(a_line - way * tail, far));
        arrow(sheet, a_line, way);
        arrow(sheet, b_line, -way);
        b_line + way * (tail + 0.5 * width + 0.5)
    };
    set_stacked(sheet, middle, reading, words, height);
}

/// Words over and under a line through `middle`.
fn set_stacked(sheet: &mut Sheet, middle: Vec2, reading: Vec2, words: &Stacked, height: f64) {
    let up = reading.left();
    let angle = reading.angle();
    sheet.text(Text { angle, ..label(middle + up * CLEAR, Anchor::Middle, height, false, words.first.clone()) });
    if !words.second.is_empty() {
        let at = middle - up * (CLEAR + height);
        sheet.text(Text { angle, ..label(at, Anchor::Middle, height, false, words.second.clone()) });
    }
}

/// An ordinate: a thin line from the feature to `end`, the words past it along the line.
pub fn ordinate(sheet: &mut Sheet, feature: Vec2, end: Vec2, words: &str, height: f64) {
    let Some(way) = (end - feature).unit() else { return };
    sheet.line(Role::Dimension, Path::line(feature + way * GAP, end));
    let reading = readable(way);
    let anchor = if reading.dot(way) > 0.0 { Anchor::Start } else { Anchor::End };
    let at = end + way * CLEAR - reading.left() * (0.5 * height);
    sheet.text(Text { angle: reading.angle(), ..label(at, anchor, height, false, words) });
}

/// A leader: an arrow at `tip`, a bend at `elbow`, a shoulder under the first line of words toward +x or −x.
pub fn leader(sheet: &mut Sheet, tip: Vec2, elbow: Vec2, to_right: bool, lines: &[String], height: f64) {
    let Some(way) = (tip - elbow).unit() else { return };
    let width = lines.iter().map(|line| text_width(line, height, false)).fold(0.0, f64::max);
    let shoulder = Vec2::new(if to_right { width } else { -width }, 0.0);
    if let Some(path) = Path::polyline(&[tip, elbow, elbow + shoulder], false) {
        sheet.line(Role::Dimension, path);
    }
    arrow(sheet, tip, way);
    let left = if to_right { elbow.x } else { elbow.x - width };
    for (row, line) in lines.iter().enumerate() {
        let y = if row == 0 { elbow.y + CLEAR } else { elbow.y - CLEAR - height - (row as f64 - 1.0) * height * 1.6 };
        sheet.text(label(Vec2::new(left, y), Anchor::Start, height, false, line.clone()));
    }
}

/// Crossed centre lines of a circle.
pub fn centre_mark(sheet: &mut Sheet, centre: Vec2, radius: f64) {
    let reach = radius + CENTRE_PAST;
    for way in [Vec2::new(reach, 0.0), Vec2::new(0.0, reach)] {
        sheet.line(Role::Centre, Path::line(centre - way, centre + way));
    }
}

/// A short cross of full lines for a centre punch; never dashed, however short.
pub fn punch_cross(sheet: &mut Sheet, centre: Vec2, radius: f64) {
    for way in [Vec2::new(radius, 0.0), Vec2::new(0.0, radius)] {
        sheet.line(Role::Drill, Path::line(centre - way, centre + way));
    }
}

/// An angle dimension: an arc about `centre` from `from` over `sweep` (rad), arrows at both ends, words at its middle.
pub fn angle(sheet: &mut Sheet, centre: Vec2, radius: f64, from: f64, sweep: f64, words: &str) {
    let point = |t: f64| centre + Vec2::polar(t) * radius;
    let arc = Path { start: point(from), pieces: vec![Piece::circle_arc(centre, radius, from, sweep)], closed: false };
    sheet.line(Role::Dimension, arc);
    let sense = if sweep < 0.0 { -1.0 } else { 1.0 };
    // An arrow follows the arc's chord over its own length, so that it sits on the line.
    let lean = 0.5 * ARROW / radius;
    if sweep.abs() * radius > 2.5 * ARROW {
        arrow(sheet, point(from), -(Vec2::polar(from).left().turned(sense * lean) * sense));
    }
    let last = from + sweep;
    arrow(sheet, point(last), Vec2::polar(last).left().turned(-sense * lean) * sense);
    let way = Vec2::polar(from + 0.5 * sweep);
    let anchor = if way.x > 0.3 {
        Anchor::Start
    } else if way.x < -0.3 {
        Anchor::End
    } else {
        Anchor::Middle
    };
    let at = centre + way * (radius + CLEAR + 0.5 * BODY) - Vec2::new(0.0, 0.5 * BODY);
    sheet.text(label(at, anchor, BODY, false, words));
}

/// Hatching of an area bounded by closed paths (even-odd), lines at 45 degrees, `spacing` (mm) apart.
pub fn hatch(sheet: &mut Sheet, loops: &[Path], spacing: f64) {
    /// Chords of the boundary stray by at most this (mm): below a line's width.
    const STRAY: f64 = 0.05;
    let way = Vec2::polar(std::f64::consts::FRAC_PI_4);
    let across = way.left();
    let edges: Vec<[Vec2; 2]> = loops
        .iter()
        .flat_map(|path| {
            let points = path.flattened(STRAY);
            let next = points.iter().copied().cycle().skip(1).take(points.len()).collect::<Vec<_>>();
            points.into_iter().zip(next).map(|(a, b)| [a, b])
        })
        .collect();
    let (low, high) = edges.iter().flatten().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
        let d = p.dot(across);
        (low.min(d), high.max(d))
    });
    if !(low.is_finite() && high.is_finite() && spacing > 0.0) {
        return;
    }
    for step in 1..=((high - low) / spacing) as usize {
        let d = low + step as f64 * spacing;
        let mut cuts: Vec<f64> = edges
            .iter()
            .filter_map(|[a, b]| {
                let (da, db) = (a.dot(across) - d, b.dot(across) - d);
                ((da < 0.0) != (db < 0.0)).then(|| (*a + (*b - *a) * (da / (da - db))).dot(way))
            })
            .collect();
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2) {
            if let [from, to] = *pair {
                let at = |s: f64| across * d + way * s;
                sheet.line(Role::Hatch, Path::line(at(from), at(to)));
            }
        }
    }
}

//! Dimensions, leaders, arrows, centre marks, hatching.
//!
//! By ISO 129-1 (from memory): filled arrows, values over the line and
//! readable from the bottom or the right, a gap between feature and extension
//! line, extension lines past the dimension line. Both units are stacked: the
//! first over the line, the second in square brackets under it.

use super::collision::Taken;
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

/// A linear dimension between two points, measured along a unit vector.
#[derive(Debug, Clone)]
pub struct Linear {
    /// From and to: words that do not fit between the arrows stand past the second first.
    pub ends: [Vec2; 2],
    /// Unit vector.
    pub along: Vec2,
    /// From the first end to the dimension line (mm), to the left of `along` (negative: to the right).
    pub reach: f64,
    /// What it says.
    pub words: Stacked,
    /// Cap height (mm).
    pub height: f64,
}

impl Linear {
    /// Where the dimension line begins and ends.
    fn feet(&self) -> [Vec2; 2] {
        let [a, b] = self.ends;
        let first = a + self.along.left() * self.reach;
        [first, first + self.along * (b - a).dot(self.along)]
    }
}

/// One linear dimension.
pub fn linear(sheet: &mut Sheet, ends: [Vec2; 2], along: Vec2, reach: f64, words: &Stacked, height: f64) {
    linears(sheet, &[Linear { ends, along, reach, words: words.clone(), height }]);
}

/// Linear dimensions that stand near one another: all lines first, then each one's words on the first place of its
/// line where they touch nothing, from the middle outward, then past its ends.
///
/// Where the words do not fit between the arrows, the arrows turn outside.
pub fn linears(sheet: &mut Sheet, dimensions: &[Linear]) {
    /// Step by which words are moved along their line (mm).
    const STEP: f64 = 0.5;
    let tail = ARROW + 1.0;
    for dimension in dimensions {
        let feet = dimension.feet();
        for (feature, foot) in dimension.ends.into_iter().zip(feet) {
            if let Some(way) = (foot - feature).unit()
                && (foot - feature).length() > GAP
            {
                sheet.line(Role::Dimension, Path::line(feature + way * GAP, foot + way * PAST));
            }
        }
        let [a, b] = feet;
        let Some(way) = (b - a).unit() else { continue };
        let inside = (b - a).length() >= dimension.words.width(dimension.height) + 2.0 * ARROW + 1.0;
        if inside {
            sheet.line(Role::Dimension, Path::line(a, b));
            arrow(sheet, a, -way);
            arrow(sheet, b, way);
        } else {
            sheet.line(Role::Dimension, Path::line(a - way * tail, b + way * tail));
            arrow(sheet, a, way);
            arrow(sheet, b, -way);
        }
    }
    let mut taken = Taken::of(sheet);
    let mut set: Vec<Text> = Vec::new();
    for dimension in dimensions {
        let [a, b] = dimension.feet();
        let Some(way) = (b - a).unit() else { continue };
        let (span, width) = ((b - a).length(), dimension.words.width(dimension.height));
        let reading = readable(dimension.along);
        let slack = 0.5 * (span - width) - ARROW - 0.5;
        let steps = (slack / STEP).floor().max(0.0) as usize;
        let middle = 0.5 * span;
        // Distance from `a` of the words' middle; how far the line must reach for them.
        let within = (0..=steps).flat_map(|i| [middle + i as f64 * STEP, middle - i as f64 * STEP]);
        let within = within.filter(|_| slack >= 0.0).map(|at| (at, None));
        let past = (0..8).map(|i| span + tail + 0.5 * width + 0.5 + f64::from(i));
        let past = past.map(|at| (at, Some(at + 0.5 * width + 0.5)));
        let before = (0..8).map(|i| -(tail + 0.5 * width + 0.5 + f64::from(i)));
        let before = before.map(|at| (at, Some(at - 0.5 * width - 0.5)));
        let places: Vec<(f64, Option<f64>)> = within.chain(past).chain(before).collect();
        let free = places.iter().find(|(at, far)| {
            let clear = stacked(a + way * *at, reading, &dimension.words, dimension.height);
            let line = far.map_or([a, b], |far| [a, a + way * far]);
            clear.iter().all(|text| taken.free(text, 0.2)) && Taken::spares(line, Role::Dimension, &set)
        });
        let Some(&(at, far)) = free.or(places.first()) else { continue };
        if let Some(far) = far {
            let from = if far > 0.0 { b } else { a };
            sheet.line(Role::Dimension, Path::line(from, a + way * far));
            taken.take_line([from, a + way * far], Role::Dimension);
        }
        for text in stacked(a + way * at, reading, &dimension.words, dimension.height) {
            taken.take(&text);
            set.push(text.clone());
            sheet.text(text);
        }
    }
}

/// Words over and under a line through `middle`.
fn stacked(middle: Vec2, reading: Vec2, words: &Stacked, height: f64) -> Vec<Text> {
    let up = reading.left();
    let angle = reading.angle();
    let over = Text { angle, ..label(middle + up * CLEAR, Anchor::Middle, height, false, words.first.clone()) };
    let at = middle - up * (CLEAR + height);
    let under = Text { angle, ..label(at, Anchor::Middle, height, false, words.second.clone()) };
    if words.second.is_empty() { vec![over] } else { vec![over, under] }
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
    let [[_, _], [_, end]] = call_line(tip, elbow, to_right, lines, height);
    if let Some(path) = Path::polyline(&[tip, elbow, end], false) {
        sheet.line(Role::Dimension, path);
    }
    arrow(sheet, tip, way);
    for text in call_words(elbow, to_right, lines, height) {
        sheet.text(text);
    }
}

/// A call-out: what its leader points at, and its words, one line over the shoulder, the others under it.
#[derive(Debug, Clone)]
pub struct Call {
    /// Where the arrow ends.
    pub tip: Vec2,
    /// Whether the words are wanted to the right of the bend.
    pub to_right: bool,
    /// The words.
    pub lines: Vec<String>,
}

/// Sets call-outs over the level `top` and between `left` and `right`, each in the lowest row where its words touch
/// nothing and its leader touches no words; returns how far up they reach.
pub fn calls(sheet: &mut Sheet, calls: &[Call], top: f64, [left, right]: [f64; 2]) -> f64 {
    /// From a call's row to the next (mm): two lines of words.
    const ROW: f64 = 5.0;
    /// From the level to the lowest shoulder (mm).
    const FIRST: f64 = 7.0;
    /// From the tip aside to the bend (mm): leaders slope, no edge does.
    const ASIDE: [f64; 3] = [3.5, 1.5, 6.0];
    let within = [left, right];
    let mut taken = Taken::of(sheet);
    let mut set: Vec<Text> = Vec::new();
    let mut reached = top;
    for call in calls {
        let width = call.lines.iter().map(|line| text_width(line, BODY, false)).fold(0.0, f64::max);
        // All rows on the side wanted, then on the other.
        let mut places: Vec<(Vec2, bool)> = Vec::new();
        for right in [call.to_right, !call.to_right] {
            for row in 0..8 {
                for aside in ASIDE {
                    let side = if right { 1.0 } else { -1.0 };
                    let elbow = Vec2::new(call.tip.x + side * aside, top + FIRST + f64::from(row) * ROW);
                    let far = elbow.x + side * width;
                    if far.min(elbow.x) >= within[0] && far.max(elbow.x) <= within[1] {
                        places.push((elbow, right));
                    }
                }
            }
        }
        let first = Vec2::new(call.tip.x + if call.to_right { 3.5 } else { -3.5 }, top + FIRST);
        let free = places.iter().find(|(elbow, right)| {
            let words = call_words(*elbow, *right, &call.lines, BODY);
            let [first, second] = call_line(call.tip, *elbow, *right, &call.lines, BODY);
            words.iter().all(|text| taken.free(text, 0.3))
                && [first, second].into_iter().all(|line| Taken::spares(line, Role::Dimension, &set))
        });
        let &(elbow, right) = free.unwrap_or(&(first, call.to_right));
        leader(sheet, call.tip, elbow, right, &call.lines, BODY);
        for line in call_line(call.tip, elbow, right, &call.lines, BODY) {
            taken.take_line(line, Role::Dimension);
        }
        for text in call_words(elbow, right, &call.lines, BODY) {
            taken.take(&text);
            set.push(text);
        }
        reached = reached.max(elbow.y + CLEAR + BODY);
    }
    reached
}

/// A leader's line up to the bend, and its shoulder.
fn call_line(tip: Vec2, elbow: Vec2, to_right: bool, lines: &[String], height: f64) -> [[Vec2; 2]; 2] {
    let width = lines.iter().map(|line| text_width(line, height, false)).fold(0.0, f64::max);
    [[tip, elbow], [elbow, elbow + Vec2::new(if to_right { width } else { -width }, 0.0)]]
}

/// The words of a leader.
fn call_words(elbow: Vec2, to_right: bool, lines: &[String], height: f64) -> Vec<Text> {
    let width = lines.iter().map(|line| text_width(line, height, false)).fold(0.0, f64::max);
    let left = if to_right { elbow.x } else { elbow.x - width };
    let level = |row: usize| match row {
        0 => elbow.y + CLEAR,
        _ => elbow.y - CLEAR - height - (row as f64 - 1.0) * height * 1.6,
    };
    let set =
        |(row, line): (usize, &String)| label(Vec2::new(left, level(row)), Anchor::Start, height, false, line.clone());
    lines.iter().enumerate().map(set).collect()
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

//! A notch in three small views of its rail, with what a tape reads from the mark and from the rail's own faces.

use super::dimension::{Linear, linears};
use super::layout::{BODY, Note, label, set_notes, text_width};
use super::notch::datum_of;
use super::plate::direction_words;
use super::sheet::{Anchor, Item, Line, Role, Sheet};
use super::title_block::{self, room};
use super::value;
use crate::geometry::{Path, Vec2, Vec3};
use crate::solve::rail_part;
use crate::solve::solution::{NotchResult, RailResult};
use crate::spec::Spec;

/// Space round the views (mm), and between two of them for dimensions.
const ROUND: f64 = 6.0;
const BETWEEN: f64 = 30.0;
/// Shown of the rail beyond the notch and its mark (mm).
const BEYOND: f64 = 30.0;
/// Curves are followed to this (mm).
const FINE: f64 = 0.3;

/// Least and greatest of some numbers.
fn span(values: impl Iterator<Item = f64>) -> [f64; 2] {
    values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| [low.min(value), high.max(value)])
}

/// Whence a view looks, by the vehicle.
fn seen_from(way: Vec3) -> String {
    match direction_words(way) {
        "up" => "seen from above".to_owned(),
        "down" => "seen from below".to_owned(),
        toward => format!("seen from {}", toward.trim_start_matches("to ")),
    }
}

/// The sheet; `None` where the outline lies on no face.
pub(super) fn sheet(spec: &Spec, index: usize, result: &NotchResult, rail: &RailResult) -> Option<Sheet> {
    let (datum, datum_words) = datum_of(spec, index)?;
    let strips = rail_part::strips(rail);
    let place = |v: f64| {
        let girth = rail.girth.unwrap_or(0.0);
        [0.0, girth, -girth].into_iter().find_map(|turn| {
            let strip = strips.iter().find(|strip| (strip.low()..=strip.high()).contains(&(v + turn)))?;
            Some(strip.0.point(v + turn - strip.low()).0)
        })
    };
    // (u, right, up) of every loop.
    let loops: Vec<Vec<Vec3>> = rail_part::paths(result)
        .iter()
        .map(|path| {
            let points = path.flattened(FINE).into_iter();
            points.filter_map(|q| place(q.y).map(|at| Vec3::new(q.x, at.x, at.y))).collect()
        })
        .collect();
    let cut = || loops.iter().flatten();
    cut().next()?;
    let section: Vec<Vec2> = strips
        .iter()
        .flat_map(|strip| (0..=12).map(|k| strip.0.point(strip.0.length * f64::from(k) / 12.0).0))
        .collect();
    let [left, right] = span(section.iter().map(|q| q.x));
    let [foot, top] = span(section.iter().map(|q| q.y));
    let [near, far] = span(cut().map(|q| q.x));
    let [from, to] = [near.min(datum) - BEYOND, far.max(datum) + BEYOND];

    let size = title_block::upright(spec);
    let title = result.name.clone();
    let mut sheet = Sheet::new(format!("Notch: {title}, where it is"), size, false);
    sheet.alt = format!("Three views of the rail with the notch {title}, and its distances by tape. Not to scale.");
    let area = room(size).body.without(ROUND, ROUND, ROUND, ROUND);
    let reach = set_notes(
        &mut sheet,
        area,
        &[
            Note::heading(format!("{title}: where it is")),
            Note::strong("Three views of the rail, not to scale. Check the taped template by these before you cut."),
            Note::body(format!("Lengths along the rail count from {datum_words}, the others from its faces.")),
        ],
    );
    let wide = area.width() - 2.0 * BETWEEN - 24.0;
    let tall = reach - area.low.y - 2.5 * BETWEEN;
    let scale = (wide / (to - from + right - left)).min(tall / (top - foot + right - left)).min(1.0);
    let low = Vec2::new(area.low.x + 8.0, area.low.y + BETWEEN + 4.0);
    let side = |u: f64, up: f64| low + Vec2::new(u - from, up - foot) * scale;
    let above = low + Vec2::new(0.0, (top - foot) * scale + BETWEEN);
    let plan = |u: f64, r: f64| above + Vec2::new(u - from, right - r) * scale;
    let beside = low + Vec2::new((to - from) * scale + BETWEEN + 12.0, 0.0);
    let end = |r: f64, up: f64| beside + Vec2::new(right - r, up - foot) * scale;

    let mut draw = |points: Vec<Vec2>, closed: bool, role: Role, filled: bool| {
        if let Some(path) = Path::polyline(&points, closed) {
            sheet.items.push(Item::Line(Line { role, key: None, path, filled }));
        }
    };
    let box_of = |a: Vec2, b: Vec2| vec![a, Vec2::new(b.x, a.y), b, Vec2::new(a.x, b.y)];
    draw(box_of(side(from, foot), side(to, top)), true, Role::Outline, false);
    draw(box_of(plan(from, right), plan(to, left)), true, Role::Outline, false);
    draw(section.iter().map(|q| end(q.x, q.y)).collect(), rail.girth.is_some(), Role::Outline, false);
    for points in &loops {
        draw(points.iter().map(|q| side(q.x, q.z)).collect(), true, Role::Hatch, false);
        draw(points.iter().map(|q| plan(q.x, q.y)).collect(), true, Role::Hatch, false);
    }
    for [a, b] in [[side(datum, foot), side(datum, top)], [plan(datum, right), plan(datum, left)]] {
        let over = Vec2::new(0.0, 3.0);
        draw(vec![a - over, b + over], false, Role::Centre, false);
    }
    let frame = &rail.frame;
    let names = [
        (side(0.5 * (from + to), top) + Vec2::new(0.0, 6.0), seen_from(frame.right)),
        (plan(0.5 * (from + to), left) + Vec2::new(0.0, 6.0), seen_from(frame.up)),
        (end(0.5 * (left + right), foot) - Vec2::new(0.0, 6.0 + BODY), seen_from(frame.along)),
    ];
    for (at, words) in names {
        let half = 0.5 * text_width(&words, BODY, true);
        let x = (at.x).min(area.high.x - half);
        sheet.text(label(Vec2::new(x, at.y), Anchor::Middle, BODY, true, words));
    }
    let mut dimensions = Vec::new();
    let mut add = |ends: [Vec2; 2], along: Vec2, reach: f64, length: f64| {
        if length > 1.0 {
            dimensions.push(Linear {
                ends,
                along,
                reach,
                words: value::stacked_tape(&spec.build, length),
                height: BODY,
            });
        }
    };
    let x = Vec2::new(1.0, 0.0);
    let y = Vec2::new(0.0, 1.0);
    for (k, u) in [near, far].into_iter().enumerate() {
        let ends = [datum.min(u), datum.max(u)].map(|u| side(u, foot));
        add(ends, x, -9.0 - 10.0 * k as f64, (u - datum).abs());
    }
    let [deep, high] = span(cut().map(|q| q.z));
    let edge = end(left, 0.0).x;
    for (k, up) in [high, deep].into_iter().enumerate() {
        add([Vec2::new(edge, end(0.0, up).y), Vec2::new(edge, end(0.0, top).y)], y, -9.0 - 12.0 * k as f64, top - up);
    }
    linears(&mut sheet, &dimensions);
    Some(sheet)
}

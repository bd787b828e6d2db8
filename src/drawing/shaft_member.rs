//! Drawings of shafts piece by piece: a member of a slip shaft, or a bar with cut ends. Plain bar has its own drawing.

use super::dimension::{leader, linear};
use super::layout::{Area, BODY, LARGE, label};
use super::shaft_views::{BREAK, FACING, Side, end_view, groove_z};
use super::sheet::{Anchor, Role, Sheet};
use super::table::Pages;
use super::title_block::{self, Heading};
use super::{shaft, shaft_milled, shaft_words, value};
use crate::geometry::{Path, Vec2};
use crate::solve::Solution;
use crate::solve::member::{Member, Seat, diameter, members};
use crate::solve::solution::{End, SpotWhen};
use crate::spec::Spec;

/// Scales of ISO 5455 that are tried for the side view, largest first.
const SCALES: [f64; 6] = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02];
/// Scales tried for the end view.
const END_SCALES: [f64; 4] = [2.0, 1.0, 0.5, 0.2];
/// Height of one leader's words (mm).
const LEADER: f64 = 10.0;
/// From one dimension line to the next (mm).
const TIER: f64 = 11.0;
/// Room at the right of the side view for a diameter (mm).
const RIGHT: f64 = 20.0;

/// The drawing of one piece of a shaft.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize, number: usize) -> Vec<Sheet> {
    let pieces = members(spec, solution, index);
    let Some(member) = pieces.get(number) else { return Vec::new() };
    if pieces.len() == 1 && member.is_plain() {
        return shaft::sheets(spec, solution, index);
    }
    let size = title_block::upright(spec);
    let body = title_block::room(size).body.without(3.0, 2.0, 3.0, 3.0);
    let mut sheet = Sheet::new(format!("Shaft: {}", member.name), size, false);
    let (side, under) = arrange(member, body);
    side.draw(&mut sheet, member);
    marks(&mut sheet, spec, member, &side);
    let mut y = lengths(&mut sheet, spec, solution, (index, number), member, &side);
    sheet.text(label(Vec2::new(side.left, y - 4.0), Anchor::Start, BODY, false, seen_from(member)));
    y = y.min(under) - 8.0;
    y = ends(&mut sheet, member, body, y);

    let mut pages = Pages::under(sheet, body, y);
    let table = shaft_milled::spots(spec, member);
    if !table.rows.is_empty() {
        pages.section("Spots under the set screws");
        pages.table(&table);
    }
    pages.section("Order of work");
    pages.notes(&shaft_milled::order(spec, solution, (index, number), member));
    pages.section("Notes");
    pages.notes(&shaft_milled::notes(spec, solution, (index, number), member));
    let mut sheets = pages.finish();
    let broken = if side.parts.is_some() { ", broken" } else { "" };
    let scale = format!("{}{broken}; do not measure it", shaft_words::scale(side.scale));
    title_block::draw(&mut sheets, spec, &Heading { document: "shaft drawing".into(), scale });
    sheets
}

fn seen_from(member: &Member) -> &'static str {
    let flat = |end| matches!(member.section_at(end).0, crate::catalog::forms::FormShape::DoubleD { .. });
    if flat(End::Upper) || flat(End::Lower) { "seen square on flat A" } else { "seen from +x, the upper yoke's ears" }
}

/// The end a seat's middle is nearer to, and the stations of its shoulders from there.
fn nearer(member: &Member, seat: Seat) -> (End, [f64; 2]) {
    if seat.from + seat.to <= member.length {
        (End::Upper, [seat.from, seat.to])
    } else {
        (End::Lower, [member.length - seat.from, member.length - seat.to])
    }
}

/// Deepest feature or shoulder from either end (mm).
fn deepest(member: &Member) -> f64 {
    let dimples = member.dimples.iter().map(|d| d.station + d.diameter);
    let grooves = member.grooves.iter().map(|g| g.station + g.diameter);
    let cut = member.ends.iter().flatten().map(|end| end.length + 4.0);
    let seat = member.journal.map(|seat| nearer(member, seat).1.into_iter().fold(0.0, f64::max) + 4.0);
    dimples.chain(grooves).chain(cut).chain(seat).fold(0.0, f64::max)
}

/// Scale and place of the side view, and how far down the bar reaches.
fn arrange(member: &Member, body: Area) -> (Side, f64) {
    let width = body.width() - 8.0 - RIGHT;
    let half = 0.5 * (width - BREAK);
    let radius = 0.5 * diameter(member.bar);
    let fits = |scale: f64| {
        2.0 * radius * scale <= 40.0 && (member.length * scale <= width || deepest(member) * scale + 8.0 <= half)
    };
    let scale = SCALES.into_iter().find(|&scale| fits(scale)).unwrap_or(0.02);
    let left = body.low.x + 6.0;
    let whole = member.length * scale <= width;
    let right = if whole { left + member.length * scale } else { left + width };
    let parts = (!whole).then_some((left + half, right - half));
    let calls = |end: End| {
        let spots = member.dimples.iter().filter(|d| d.end == end && d.spot != SpotWhen::None).count();
        spots + usize::from(member.journal.is_some_and(|seat| nearer(member, seat).0 == end))
    };
    let rows =
        if whole { calls(End::Upper) + calls(End::Lower) + 1 } else { calls(End::Lower).max(calls(End::Upper) + 1) };
    let axis = body.high.y - rows as f64 * LEADER - 9.0 - radius * scale;
    (Side { scale, length: member.length, left, right, parts, axis }, axis - radius * scale)
}

/// Leaders over the view: the punch dot, the spots, the bar's diameter.
fn marks(sheet: &mut Sheet, spec: &Spec, member: &Member, side: &Side) {
    let dot = Vec2::new(side.x(0.0) + 3.0, side.axis);
    sheet.fill(Role::Outline, Path::circle(dot, 0.6));
    let words = if seen_from(member).ends_with("flat A") {
        "one punch dot: flat A, column end"
    } else {
        "one punch dot: column end"
    };
    let mut calls: Vec<(End, f64, Vec2, Vec<String>)> =
        vec![(End::Upper, 0.0, dot + Vec2::new(0.0, 0.6), vec![words.into()])];
    for (number, dimple) in member.dimples.iter().enumerate().filter(|(_, dimple)| dimple.spot != SpotWhen::None) {
        let behind = libm::cos(dimple.clock.to_radians()) < -FACING;
        calls.push((
            dimple.end,
            dimple.station,
            side.spot(member, dimple),
            shaft_words::call(spec, number, dimple, behind),
        ));
    }
    if let Some(seat) = member.journal {
        let (end, from) = nearer(member, seat);
        let tip = Vec2::new(side.x(f64::midpoint(seat.from, seat.to)), side.axis + 0.5 * seat.diameter * side.scale);
        let words = vec![format!("journal ⌀{}", value::both(&spec.build, seat.diameter)), "seat of the bearing".into()];
        calls.push((end, f64::midpoint(from[0], from[1]), tip, words));
    }
    calls.sort_by(|a, b| (a.0 == End::Lower).cmp(&(b.0 == End::Lower)).then(b.1.total_cmp(&a.1)));
    let top = side.axis + 0.5 * diameter(member.bar) * side.scale;
    let mut rows = [0.0, 0.0];
    for (end, _, tip, lines) in calls {
        let slot = usize::from(end == End::Lower && side.parts.is_some());
        let elbow = top + 7.0 + rows[slot] * LEADER;
        rows[slot] += 1.0;
        let to_right = end == End::Upper;
        let aside = if to_right { 3.5 } else { -3.5 };
        leader(sheet, tip, Vec2::new(tip.x + aside, elbow), to_right, &lines, BODY);
    }
    let radius = 0.5 * diameter(member.bar) * side.scale;
    let ends = [Vec2::new(side.right, side.axis - radius), Vec2::new(side.right, side.axis + radius)];
    let words = value::stacked(&spec.build, diameter(member.bar), "⌀");
    linear(sheet, ends, Vec2::new(0.0, 1.0), -9.0, &words, BODY);
}

/// Dimensions under the view: stations and cut ends from each end, then the whole; returns how far down they reach.
fn lengths(
    sheet: &mut Sheet,
    spec: &Spec,
    solution: &Solution,
    at: (usize, usize),
    member: &Member,
    side: &Side,
) -> f64 {
    let bottom = side.axis - 0.5 * diameter(member.bar) * side.scale;
    let place = |z: f64| Vec2::new(side.x(z), bottom);
    let mut stations: Vec<(End, f64, f64)> = Vec::new();
    for dimple in member.dimples.iter().filter(|dimple| dimple.spot != SpotWhen::None) {
        stations.push((dimple.end, dimple.station, dimple.z));
    }
    stations.extend(member.grooves.iter().map(|groove| (groove.end, groove.station, groove_z(member, groove))));
    let [upper, lower] = member.ends;
    stations.extend(upper.map(|end| (End::Upper, end.length, end.length)));
    stations.extend(lower.map(|end| (End::Lower, end.length, member.length - end.length)));
    if let Some(seat) = member.journal {
        let (end, from) = nearer(member, seat);
        stations.extend(from.into_iter().zip([seat.from, seat.to]).map(|(station, z)| (end, station, z)));
    }
    stations.sort_by(|a, b| a.1.total_cmp(&b.1));
    stations.dedup_by(|a, b| a.0 == b.0 && (a.1 - b.1).abs() < 1e-6);
    let mut rows = [0.0, 0.0];
    for (end, station, z) in stations {
        // The ends of a broken view share rows; those of a whole one may not be far enough apart.
        let slot = usize::from(end == End::Lower && side.parts.is_some());
        let reach = 9.0 + TIER * rows[slot];
        rows[slot] += 1.0;
        let words = value::stacked(&spec.build, station, "");
        // Past the end `b` is where words that do not fit stand: toward the middle of the bar.
        match end {
            End::Upper => linear(sheet, [place(0.0), place(z)], Vec2::new(1.0, 0.0), -reach, &words, BODY),
            End::Lower => linear(sheet, [place(member.length), place(z)], Vec2::new(-1.0, 0.0), reach, &words, BODY),
        }
    }
    let reach = 9.0 + TIER * f64::max(rows[0], rows[1]) + 1.0;
    let words = value::toleranced(&spec.build, member.length, shaft_milled::tolerance(solution, at));
    linear(sheet, [place(0.0), place(member.length)], Vec2::new(1.0, 0.0), -reach, &words, LARGE);
    bottom - reach - 5.0
}

/// The end view with what it shows beside it; returns how far down it reaches.
fn ends(sheet: &mut Sheet, member: &Member, body: Area, top: f64) -> f64 {
    let width = diameter(member.bar);
    let scale = END_SCALES.into_iter().find(|scale| width * scale <= 40.0).unwrap_or(0.2);
    let radius = 0.5 * width * scale;
    let out = radius + 17.0;
    let centre = Vec2::new(body.low.x + out + 16.0, top - out);
    end_view(sheet, member, centre, scale);
    let mut y = top - out + 14.0;
    for words in shaft_milled::legend(member, scale) {
        sheet.text(label(Vec2::new(centre.x + out + 9.0, y), Anchor::Start, BODY, false, words));
        y -= 1.75 * BODY;
    }
    top - out - radius - 5.0
}

//! Drawings of shafts piece by piece: a member of a slip shaft, or a bar with cut ends. Plain bar has its own drawing.

use super::collision::Taken;
use super::dimension::{Call, Linear, calls, linear, linears};
use super::layout::{Area, BODY, LARGE, Note, label, notes_height, set_notes};
use super::shaft_views::{BREAK, FACING, Side, end_view, groove_z};
use super::sheet::{Anchor, Role, Sheet};
use super::table::Pages;
use super::title_block::{self, Heading};
use super::{shaft, shaft_detail, shaft_milled, shaft_words, value};
use crate::geometry::{Path, Vec2};
use crate::solve::Solution;
use crate::solve::member::{Member, Seat, diameter, members};
use crate::solve::solution::{End, SpotWhen};
use crate::spec::Spec;

/// Scales of ISO 5455 that are tried for the side view, largest first.
const SCALES: [f64; 6] = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02];
/// Scales tried for the end view.
const END_SCALES: [f64; 4] = [2.0, 1.0, 0.5, 0.2];
/// Largest and least end view (mm): larger shows no more, in a smaller one no mark is told from another.
const LARGEST_END: f64 = 40.0;
const LEAST_END: f64 = 18.0;
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
    // How tall the call-outs stand is known once they are set: on a sheet of their own first.
    let trial = arrange(member, body, 0.0);
    let mut scratch = sheet.clone();
    trial.draw(&mut scratch, member);
    let radius = 0.5 * diameter(member.bar);
    let tall = marks(&mut scratch, spec, member, &trial) - trial.axis - radius * trial.scale;
    let side = arrange(member, body, tall.max(14.0) + 1.5);
    side.draw(&mut sheet, member);
    marks(&mut sheet, spec, member, &side);
    let details = shaft_detail::details(&member.dimples, side.scale);
    for dimple in member.dimples.iter().filter(|dimple| shaft_detail::is_small(dimple, side.scale)) {
        let ring = shaft_detail::ring(side.spot(member, dimple), 0.5 * dimple.diameter * side.scale);
        sheet.line(Role::Dimension, ring);
    }
    let reach = lengths(&mut sheet, spec, solution, (index, number), member, &side);
    let taken = Taken::of(&sheet);
    let seen = [1.0, 4.6]
        .map(|under| label(Vec2::new(side.left, reach + 1.0 - under), Anchor::Start, BODY, false, seen_from(member)));
    let [first, second] = seen;
    let seen = if taken.free(&first, 0.8) { first } else { second };
    let y = seen.at.y - 3.0;
    sheet.text(seen);

    let notes = shaft_milled::notes(spec, solution, (index, number), member);
    let order = shaft_milled::order(spec, solution, (index, number), member);
    let table = shaft_milled::spots(spec, member);
    // The end view as large and the words as loose as leaves the whole on one sheet.
    let mut sheets: Vec<Sheet> = Vec::new();
    let width = diameter(member.bar);
    let scales = END_SCALES.into_iter().filter(|scale| width * scale <= LARGEST_END || *scale <= 0.2);
    let ways = scales.flat_map(|scale| [(scale, false), (scale, true)]);
    for (scale, close) in ways {
        if !sheets.is_empty() && width * scale < LEAST_END {
            break;
        }
        let mut sheet = sheet.clone();
        let beside = ends(&mut sheet, member, (body, y), scale);
        let left = shaft_detail::beside(&mut sheet, spec, &details, beside);
        let (beside, flowing) = left.map_or((beside, details.as_slice()), |left| (left, &[]));
        // As many notes beside it as there is room for, the others last.
        let here = (0..=notes.len())
            .rev()
            .find(|&count| notes_height(notes.get(..count).unwrap_or_default(), beside.width()) <= beside.height());
        let (here, rest) = notes.split_at(here.unwrap_or(0));
        set_notes(&mut sheet, beside, here);
        let mut pages = Pages::under(sheet, body, beside.low.y).close(close);
        if !table.rows.is_empty() {
            pages.section("Spots under the set screws");
            pages.table(&table);
        }
        shaft_detail::set(&mut pages, spec, flowing);
        let together = close && !rest.is_empty();
        pages.section(if together { "Order of work, notes" } else { "Order of work" });
        pages.notes(&order);
        if !rest.is_empty() && !close {
            pages.section("Notes");
        }
        pages.notes(rest);
        let written = pages.finish();
        let better = sheets.is_empty() || written.len() < sheets.len();
        if better {
            sheets = written;
        }
        if sheets.len() == 1 {
            break;
        }
    }
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

/// Scale and place of the side view, `calls` (mm) left over it for the call-outs.
fn arrange(member: &Member, body: Area, calls: f64) -> Side {
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
    let axis = body.high.y - calls - radius * scale;
    Side { scale, length: member.length, left, right, parts, axis }
}

/// Call-outs over the view, of the punch dot and the spots, and the bar's diameter; returns how far up they reach.
fn marks(sheet: &mut Sheet, spec: &Spec, member: &Member, side: &Side) -> f64 {
    let dot = Vec2::new(side.x(0.0) + 3.0, side.axis);
    sheet.fill(Role::Outline, Path::circle(dot, 0.6));
    let words = if seen_from(member).ends_with("flat A") {
        "one punch dot: flat A, column end"
    } else {
        "one punch dot: column end"
    };
    let mut marked: Vec<(End, f64, Call)> = Vec::new();
    let call = |tip, end, lines| Call { tip, to_right: end == End::Upper, lines };
    marked.push((End::Upper, 0.0, call(dot + Vec2::new(0.0, 0.6), End::Upper, vec![words.into()])));
    for (number, dimple) in member.dimples.iter().enumerate().filter(|(_, dimple)| dimple.spot != SpotWhen::None) {
        let behind = libm::cos(dimple.clock.to_radians()) < -FACING;
        let lines = shaft_words::call(spec, number, dimple, behind);
        marked.push((dimple.end, dimple.station, call(side.spot(member, dimple), dimple.end, lines)));
    }
    if let Some(seat) = member.journal {
        let (end, from) = nearer(member, seat);
        let tip = Vec2::new(side.x(f64::midpoint(seat.from, seat.to)), side.axis + 0.5 * seat.diameter * side.scale);
        let words = vec![format!("journal ⌀{}", value::both(&spec.build, seat.diameter)), "seat of the bearing".into()];
        marked.push((end, f64::midpoint(from[0], from[1]), call(tip, end, words)));
    }
    marked.sort_by(|a, b| (a.0 == End::Lower).cmp(&(b.0 == End::Lower)).then(b.1.total_cmp(&a.1)));
    let radius = 0.5 * diameter(member.bar) * side.scale;
    // Words that do not fit stand under the lower end, where no call-out is.
    let ends = [Vec2::new(side.right, side.axis + radius), Vec2::new(side.right, side.axis - radius)];
    let words = value::stacked(&spec.build, diameter(member.bar), "⌀");
    linear(sheet, ends, Vec2::new(0.0, -1.0), 9.0, &words, BODY);
    let marked: Vec<Call> = marked.into_iter().map(|(.., call)| call).collect();
    calls(sheet, &marked, side.axis + radius, [side.left - 4.0, side.right + 6.0])
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
    let tolerance = spec.shafts.get(at.0).map(|shaft| shaft.station_tolerance);
    let mut stations: Vec<(End, f64, f64, Option<f64>)> = Vec::new();
    for dimple in member.dimples.iter().filter(|dimple| dimple.spot != SpotWhen::None) {
        stations.push((dimple.end, dimple.station, dimple.z, tolerance));
    }
    let grooves = member.grooves.iter();
    stations.extend(grooves.map(|groove| (groove.end, groove.station, groove_z(member, groove), tolerance)));
    let [upper, lower] = member.ends;
    stations.extend(upper.map(|end| (End::Upper, end.length, end.length, None)));
    stations.extend(lower.map(|end| (End::Lower, end.length, member.length - end.length, None)));
    if let Some(seat) = member.journal {
        let (end, from) = nearer(member, seat);
        stations.extend(from.into_iter().zip([seat.from, seat.to]).map(|(station, z)| (end, station, z, None)));
    }
    // The farthest nearest the view, as on the drawing of plain bar.
    stations.sort_by(|a, b| b.1.total_cmp(&a.1));
    stations.dedup_by(|a, b| a.0 == b.0 && (a.1 - b.1).abs() < 1e-6);
    let mut rows = [0.0, 0.0];
    let mut lengths = Vec::new();
    let along = Vec2::new(1.0, 0.0);
    for (end, station, z, tolerance) in stations {
        // The ends of a broken view share rows; those of a whole one may not be far enough apart.
        let slot = usize::from(end == End::Lower && side.parts.is_some());
        let reach = 9.0 + TIER * rows[slot];
        rows[slot] += 1.0;
        let words = match tolerance {
            Some(tolerance) => value::toleranced(&spec.build, station, tolerance),
            // The general class.
            None => value::stacked(&spec.build, station, ""),
        };
        // Past the second end is where words that do not fit stand: toward the middle of the bar.
        let (ends, along, reach) = match end {
            End::Upper => ([place(0.0), place(z)], along, -reach),
            End::Lower => ([place(member.length), place(z)], -along, reach),
        };
        lengths.push(Linear { ends, along, reach, words, height: BODY });
    }
    let reach = 9.0 + TIER * f64::max(rows[0], rows[1]) + 1.0;
    let words = value::toleranced(&spec.build, member.length, shaft_milled::tolerance(solution, at));
    let ends = [place(0.0), place(member.length)];
    lengths.push(Linear { ends, along, reach: -reach, words, height: LARGE });
    linears(sheet, &lengths);
    bottom - reach - 5.0
}

/// The end view with its words beside it; returns the room left under those words, as far down as the view.
fn ends(sheet: &mut Sheet, member: &Member, (body, top): (Area, f64), scale: f64) -> Area {
    let radius = 0.5 * diameter(member.bar) * scale;
    // Marks, flat A and the angle of a twist stand round the view.
    let out = radius + 16.0;
    let centre = Vec2::new(body.low.x + out + 4.0, top - out);
    end_view(sheet, member, centre, scale);
    let left = centre.x + out + 7.0;
    let area = Area::new(Vec2::new(left, top - out - radius - 5.0), Vec2::new(body.high.x, top));
    let words = [Note::body(shaft_milled::legend(member, scale).join(" "))];
    let reach = set_notes(sheet, area, &words);
    Area::new(area.low, Vec2::new(area.high.x, reach))
}

//! A tube set into a notch: where its axis runs, how large it must be, what its outside looks like laid flat.
//!
//! The part of the tube inside the rail's outside closes the notch. A line
//! along the tube's outside, a generator, meets the rail's outside, which is
//! convex, in at most one stretch: the two ends of all these stretches are the
//! two cut ends of the tube, its fish mouths. Across its axis the rail is a
//! strip between two lines; generators beyond either miss it, and the tube
//! is then open on that side.

use std::f64::consts::{PI, TAU};

use crate::diagnostic::Diagnostic;
use crate::geometry::{Vec2, Vec3, segment};
use crate::quantity;
use crate::solve::bodies::{Room, RoomShape};
use crate::solve::rail::RailShape;
use crate::solve::section::cells::Tube;
use crate::solve::solution::{LinerFrame, LinerResult};
use crate::spec::Spec;
use crate::spec::types::{Body, Liner, LinerKind, Notch};

use super::wall::Solid;
use crate::solve::sweep::Slid;

/// Generators of a whole tube.
const GENERATORS: usize = 720;

/// Generators looked at while the size is sought; the last look is at all of them.
const FEW: usize = 120;

/// Least angle between the tube's axis and the rail: flatter ones run along it. Common practice, no source.
const LEAST_ANGLE: f64 = 15.0 * PI / 180.0;

/// How near (mm) the least bore is sought at first, and then: far under what the rules let pass.
const ROUGH: f64 = 0.05;
const FINE: f64 = 1e-6;

/// A tube in a rail, and what the results say of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// In the rail's frame.
    pub tube: Tube,
    /// Its row.
    pub result: LinerResult,
}

/// Where a tube's axis runs in the rail's frame, and the directions across it.
#[derive(Debug, Clone, Copy)]
struct Axis {
    base: Vec3,
    along: Vec3,
    /// As near to the vehicle's up as can be.
    x: Vec3,
    y: Vec3,
}

impl Axis {
    fn spoke(&self, angle: f64) -> Vec3 {
        let (s, c) = libm::sincos(angle);
        self.x * c + self.y * s
    }
}

/// The tube a notch asks for.
pub(super) fn fitted(
    spec: &Spec,
    index: usize,
    row: &Notch,
    liner: &Liner,
    rail: &RailShape,
    (rooms, swept): (&[Room], &[Slid]),
) -> Result<Fitted, Diagnostic> {
    let word = liner.kind.word();
    let fault = |code, message: String, help: &str| {
        let key = format!("notch.{index}.{word}");
        Diagnostic::error(code, format!("notch \"{}\": {message}", row.name)).at(spec.place(&key)).help(help)
    };
    let axis = axis(rail, rooms, liner.square).ok_or_else(|| {
        let message =
            format!("the shaft runs within {:.0}° of the rail, and no {word} can cross it", LEAST_ANGLE.to_degrees());
        fault("liner-axis", message, "leave it out, and move the shaft or the rail")
    })?;
    let taped = rooms.iter().map(|room| (Solid::new(room, rail), 0.0));
    let solids: Vec<(Solid, f64)> = taped.chain(super::slid(swept, rail)).collect();
    let gap = |inside: f64, count: usize| bore_gap(rail, &axis, inside, &solids, count);
    // The least bore that keeps the clearance: from one too small to one far larger than any rail.
    let (mut small, mut large) = (0.0, rail.girth);
    let halved = |small: &mut f64, large: &mut f64, count: usize, until: f64| {
        while *large - *small > until {
            let middle = f64::midpoint(*small, *large);
            if gap(middle, count) >= row.clearance {
                *large = middle;
            } else {
                *small = middle;
            }
        }
    };
    halved(&mut small, &mut large, FEW, ROUGH);
    // A few generators see no less than the gap: the true size is a little larger.
    (small, large) = (large - ROUGH, large + 10.0 * ROUGH);
    halved(&mut small, &mut large, GENERATORS, FINE);
    let outside_least = 2.0 * (large + liner.wall);
    let step = spec.build.tape_step;
    let outside = liner.outside.unwrap_or_else(|| (outside_least / step - 1e-5).ceil() * step);
    let tube = Tube { base: axis.base, axis: axis.along, outside: outside / 2.0, inside: outside / 2.0 - liner.wall };
    let shown = faced(rail, axis, tube.outside);
    let outline = outline(rail, &shown, tube.outside).map_err(|misfit| {
        let size = quantity::both_units(outside, spec.build.units);
        match misfit {
            Misfit::Misses => {
                let message = format!("a {word} of {size} does not touch the rail");
                fault("liner-misses", message, "leave it out")
            }
            Misfit::Severs => {
                let message = format!("a {word} of {size} is as large as the rail and would cut it through");
                fault("rail-cut-through", message, "move the shaft away from the rail, or reroute the rail")
            }
        }
    })?;
    match (liner.kind, outline.whole) {
        (LinerKind::Liner, true) => {
            let message = format!(
                "a liner of {} lies inside the rail all round",
                quantity::both_units(outside, spec.build.units)
            );
            return Err(fault("liner-whole", message, "it is a whole tube: ask for `sleeve`"));
        }
        (LinerKind::Sleeve, false) => {
            let message = format!(
                "a sleeve of {} stands out of the rail on one side all along",
                quantity::both_units(outside, spec.build.units)
            );
            return Err(fault("sleeve-open", message, "only part of it would be inside: ask for `liner`"));
        }
        _ => {}
    }
    let (low, high) =
        outline.points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.y), b.max(p.y)));
    let middle = f64::midpoint(low, high);
    let direction = |d: Vec3| rail.frame.out(d) - rail.frame.origin;
    let frame = LinerFrame {
        origin: rail.frame.out(axis.base + axis.along * middle),
        axis: direction(axis.along),
        x: direction(shown.x),
    };
    let points = outline.points.iter().map(|p| Vec2::new(p.x, p.y - middle)).collect();
    Ok(Fitted {
        tube,
        result: LinerResult {
            kind: liner.kind,
            frame,
            outside,
            wall: liner.wall,
            outside_least,
            gap: gap(tube.inside, GENERATORS),
            outline: points,
            length: high - low,
        },
    })
}

/// The axis of the shaft that passes nearest to the rail's middle, or square to the rail where it does.
fn axis(rail: &RailShape, rooms: &[Room], square: bool) -> Option<Axis> {
    let middle = middle(rail);
    let lines = rooms.iter().filter_map(|room| match room.shape {
        RoomShape::Cylinder { from, to, .. } => {
            let (from, to) = (rail.frame.local(from), rail.frame.local(to));
            let along = (to - from).unit()?;
            Some((room.body, from, to, along))
        }
        RoomShape::Ball { .. } => None,
    });
    let off = |from: Vec3, to: Vec3| {
        // Convex along the segment: its least distance from the rail's middle line.
        let flat = |p: Vec3| Vec2::new(p.z, p.y);
        segment::off(middle, flat(from), flat(to))
    };
    let rank = |body: Body| usize::from(!matches!(body, Body::Shaft(_)));
    let (_, from, _, along) = lines.min_by(|a, b| {
        let key = |line: &(Body, Vec3, Vec3, Vec3)| (off(line.1, line.2), rank(line.0));
        let (a, b) = (key(a), key(b));
        a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
    })?;
    let across = Vec2::new(along.z, along.y);
    if across.length() < libm::sin(LEAST_ANGLE) {
        return None;
    }
    // Where the line passes the rail: the middle of its way through, or its nearest point to the rail's middle.
    let at = Vec2::new(from.z, from.y);
    let share = match passage(rail, at, across) {
        Some((enter, leave)) => f64::midpoint(enter, leave),
        None => (middle - at).dot(across) / across.dot(across),
    };
    let base = from + along * share;
    let along = if square { Vec3::new(0.0, along.y, along.z).unit()? } else { along };
    let up = Vec3::new(0.0, 1.0, 0.0);
    let level = up - along * along.dot(up);
    let x = if level.length() > 1e-6 { level.unit()? } else { Vec3::new(1.0, 0.0, 0.0) };
    Some(Axis { base, along, x, y: along.cross(x) })
}

/// The axis with x toward the middle of the wall where only part of the tube meets the rail.
fn faced(rail: &RailShape, axis: Axis, radius: f64) -> Axis {
    match meeting(rail, &axis, radius) {
        Ok(range) if !is_whole(range) => {
            let x = axis.spoke(f64::midpoint(range.0, range.1));
            Axis { x, y: axis.along.cross(x), ..axis }
        }
        _ => axis,
    }
}

/// Middle (right, up) of a rail's outside.
fn middle(rail: &RailShape) -> Vec2 {
    let (low, high) = rail.pieces().map(|piece| piece.from).chain(rail.path.last().map(|last| last.at)).fold(
        (Vec2::new(f64::INFINITY, f64::INFINITY), Vec2::new(f64::NEG_INFINITY, f64::NEG_INFINITY)),
        |(low, high), p| (Vec2::new(low.x.min(p.x), low.y.min(p.y)), Vec2::new(high.x.max(p.x), high.y.max(p.y))),
    );
    (low + high) * 0.5
}

/// Stretch of a line `at + way t` (right, up) inside the outside; a channel's open side is closed between its lips.
fn passage(rail: &RailShape, at: Vec2, way: Vec2) -> Option<(f64, f64)> {
    let mut meetings: Vec<f64> = Vec::new();
    let line = |from: Vec2, to: Vec2| {
        let side = to - from;
        let cross = way.cross(side);
        if cross.abs() <= 1e-14 * side.length() * way.length() {
            return None;
        }
        let share = (from - at).cross(way) / cross;
        (-1e-12..=1.0 + 1e-12).contains(&share).then(|| (from - at).cross(side) / cross)
    };
    let lips = rail.path.first().zip(rail.path.last()).filter(|_| !rail.closed);
    meetings.extend(lips.and_then(|(first, last)| line(last.at, first.at)));
    for piece in rail.pieces() {
        let Some(centre) = piece.centre else {
            meetings.extend(line(piece.from, piece.to));
            continue;
        };
        let radius = (piece.from - centre).length();
        let (w, a) = (at - centre, way.dot(way));
        let b = w.dot(way);
        let under = b * b - a * (w.dot(w) - radius * radius);
        if under < 0.0 {
            continue;
        }
        for t in [(-b - under.sqrt()) / a, (-b + under.sqrt()) / a] {
            // Clockwise from its start, by its length.
            let arm = w + way * t;
            let turned = libm::atan2(arm.cross(piece.from - centre), arm.dot(piece.from - centre)).rem_euclid(TAU);
            if turned <= piece.length / radius + 1e-12 || turned >= TAU - 1e-12 {
                meetings.push(t);
            }
        }
    }
    let first = *meetings.first()?;
    Some(meetings.into_iter().fold((first, first), |(low, high), t| (low.min(t), high.max(t))))
}

/// How far the rail's outside reaches across the tube: least and greatest along the unit vector `n` (right, up).
fn reach(rail: &RailShape, n: Vec2) -> (f64, f64) {
    let support = |n: Vec2| {
        let points = rail.path.iter().map(|vertex| vertex.at.dot(n));
        // An arc reaches its centre and a radius where the direction lies within it.
        let crests = rail.pieces().filter_map(|piece| {
            let centre = piece.centre?;
            let arm = piece.from - centre;
            let turned = libm::atan2(n.cross(arm), n.dot(arm)).rem_euclid(TAU);
            (turned <= piece.length / arm.length()).then(|| centre.dot(n) + arm.length())
        });
        points.chain(crests).fold(f64::NEG_INFINITY, f64::max)
    };
    (-support(-n), support(n))
}

/// Angles of the generators at a radius that meet the rail: from, to; a whole turn where all do.
fn meeting(rail: &RailShape, axis: &Axis, radius: f64) -> Result<(f64, f64), Misfit> {
    let Some(n) = Vec2::new(axis.along.z, axis.along.y).unit().map(Vec2::left) else { return Err(Misfit::Misses) };
    let (low, high) = reach(rail, n);
    let own = Vec2::new(axis.base.z, axis.base.y).dot(n);
    // Signed distances of the strip's two lines from the axis, in radii.
    let (below, above) = ((low - own) / radius, (high - own) / radius);
    if below >= 1.0 || above <= -1.0 {
        return Err(Misfit::Misses);
    }
    let out = Vec3::new(0.0, n.y, n.x);
    let heading = libm::atan2(out.dot(axis.y), out.dot(axis.x));
    match (below > -1.0, above < 1.0) {
        (false, false) => Ok((-PI, PI)),
        // Open toward +n, or toward −n.
        (false, true) => {
            let open = libm::acos(above);
            Ok((heading + open, heading + TAU - open))
        }
        (true, false) => {
            let open = PI - libm::acos(below);
            let back = heading + PI;
            Ok((back + open, back + TAU - open))
        }
        (true, true) => Err(Misfit::Severs),
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Misfit {
    Misses,
    Severs,
}

struct Flat {
    points: Vec<Vec2>,
    whole: bool,
}

/// Angles at which generators are laid: evenly round a whole tube, else crowded toward both open edges.
fn angles((from, to): (f64, f64), whole: bool, count: usize) -> impl Iterator<Item = f64> {
    (0..=count).map(move |i| {
        let share = i as f64 / count as f64;
        let share = if whole { share } else { 0.5 - 0.5 * libm::cos(PI * share) };
        from + (to - from) * share
    })
}

fn is_whole((from, to): (f64, f64)) -> bool {
    to - from >= TAU - 1e-12
}

/// The outside of the part inside the rail, laid flat.
fn outline(rail: &RailShape, axis: &Axis, radius: f64) -> Result<Flat, Misfit> {
    let range = meeting(rail, axis, radius)?;
    let whole = is_whole(range);
    // Of a part, x points to the middle of its wall, and s runs as far to either side.
    let turn = TAU * (f64::midpoint(range.0, range.1) / TAU).round();
    let (mut lower, mut upper) = (Vec::new(), Vec::new());
    for angle in angles(range, whole, GENERATORS) {
        let from = axis.base + axis.spoke(angle) * radius;
        let Some((enter, leave)) = stretch(rail, axis, from) else { continue };
        let s = radius * (angle - turn);
        lower.push(Vec2::new(s, enter));
        if leave - enter > 1e-9 {
            upper.push(Vec2::new(s, leave));
        }
    }
    if lower.len() < 3 {
        return Err(Misfit::Misses);
    }
    lower.extend(upper.into_iter().rev());
    Ok(Flat { points: lower, whole })
}

/// Stretch of the line from `from` along the axis inside the rail's outside.
fn stretch(rail: &RailShape, axis: &Axis, from: Vec3) -> Option<(f64, f64)> {
    passage(rail, Vec2::new(from.z, from.y), Vec2::new(axis.along.z, axis.along.y))
}

/// Least distance from the bore to the rooms (mm), 0 where they touch.
fn bore_gap(rail: &RailShape, axis: &Axis, inside: f64, solids: &[(Solid, f64)], count: usize) -> f64 {
    if inside <= 0.0 {
        return 0.0;
    }
    let range = match meeting(rail, axis, inside) {
        Ok(range) => range,
        // Too small to reach the rail: nothing is closed by it. As large as the rail: nothing of it is left.
        Err(Misfit::Misses) => return 0.0,
        Err(Misfit::Severs) => return f64::INFINITY,
    };
    let at = |angle: f64| {
        let from = axis.base + axis.spoke(angle) * inside;
        let Some((enter, leave)) = stretch(rail, axis, from) else { return f64::INFINITY };
        let from = from + axis.along * enter;
        let near =
            |(solid, slide): &(Solid, f64)| (solid.near(from, axis.along, leave - enter).distance - slide).max(0.0);
        solids.iter().map(near).fold(f64::INFINITY, f64::min)
    };
    let angles: Vec<f64> = angles(range, is_whole(range), count).collect();
    let (place, mut least) = angles
        .iter()
        .enumerate()
        .map(|(i, &angle)| (i, at(angle)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((0, f64::INFINITY));
    // Closed in on between its two neighbours.
    let (mut low, mut high) = (angles[place.saturating_sub(1)], angles[(place + 1).min(angles.len() - 1)]);
    for _ in 0..if count == FEW { 0 } else { 40 } {
        let third = (high - low) / 3.0;
        let (a, b) = (at(low + third), at(high - third));
        least = least.min(a).min(b);
        if a < b {
            high -= third;
        } else {
            low += third;
        }
    }
    least
}

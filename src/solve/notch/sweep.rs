//! The rooms that pass a rail over all motions.

use crate::geometry::Vec3;
use crate::geometry::distance::Solid;
use crate::solve::bodies::{Room, RoomShape};
use crate::solve::clearance::solid;
use crate::solve::rail::RailShape;
use crate::solve::sweep::{Slid, Sweep};
use crate::solve::travel::{Carried, Linkage, moving};
use crate::spec::Spec;
use crate::spec::types::{Moved, Notch};

/// Every place that the chosen rooms go through, beside those as taped; `None` where no motion moves them against the
/// rail.
pub(super) fn swept(
    spec: &Spec,
    linkage: Option<&Linkage>,
    row: &Notch,
    rail: &RailShape,
    rooms: &[Room],
) -> Option<Vec<Slid>> {
    let ends = [rail.origin, rail.origin + rail.frame.x * rail.length];
    let radius = rail.girth / 2.0;
    let block = Solid::Convex(solid(RoomShape::Cylinder { from: ends[0], to: ends[1], radius }));
    let carrier = Carried::new(vec![block], moving(&spec.motions, Moved::Rail(row.rail)));
    let far = |room: &Room, slide: f64| far(rail, room, row.clearance + slide);
    Sweep { spec, linkage, carrier, far: &far }.places(&row.bodies, rooms)
}

/// Whether a room, grown by so much (mm), stays outside the rail's box.
fn far(rail: &RailShape, room: &Room, more: f64) -> bool {
    let (from, to, radius) = match room.shape {
        RoomShape::Cylinder { from, to, radius } => (from, to, radius),
        RoomShape::Ball { centre, radius } => (centre, centre, radius),
    };
    let ends = [from, to].map(|p| rail.frame.local(p));
    let reach = radius + more;
    let span = |pick: fn(Vec3) -> f64| (pick(ends[0]).min(pick(ends[1])), pick(ends[0]).max(pick(ends[1])));
    let apart = |(low, high): (f64, f64), (from, to): (f64, f64)| low - reach > to || high + reach < from;
    let across = |pick: fn(crate::geometry::Vec2) -> f64| {
        rail.path
            .iter()
            .map(|vertex| pick(vertex.at))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x - rail.wall), b.max(x + rail.wall)))
    };
    // A pipe's vertices may lie on one side only.
    let grown = |(a, b): (f64, f64)| {
        if b - a < 4.0 * rail.wall { (a - rail.girth, b + rail.girth) } else { (a, b) }
    };
    apart(span(|p| p.x), (0.0, rail.length))
        || apart(span(|p| p.y), grown(across(|p| p.y)))
        || apart(span(|p| p.z), grown(across(|p| p.x)))
}

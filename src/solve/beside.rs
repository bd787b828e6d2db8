//! Gaps to obstacles measured from a string stretched along a shaft.
//!
//! One point of the obstacle is known, the nearest to the string. So a gap is
//! claimed for the shaft or joint that the point stands beside; against their
//! neighbours the point can only prove that there is too little room, never
//! that there is enough.

use std::collections::BTreeMap;

use super::bodies::Room;
use super::chain::Chain;
use super::clearance::{solid, usual_need};
use super::solution::Clearance;
use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::geometry::distance::{Convex, Solid, closest_below};
use crate::quantity::both_units;
use crate::spec::Spec;
use crate::spec::types::{Body, ObstacleShape};

/// Adds a row for each obstacle so measured, among those of its body, the tightest against its need first.
///
/// Fails where the string ends before the station it is measured at.
pub fn add(spec: &Spec, chain: &Chain, rooms: &[Room], rows: &mut Vec<Clearance>) -> Result<(), Vec<Diagnostic>> {
    let mut errors = Vec::new();
    for (i, obstacle) in spec.obstacles.iter().enumerate() {
        let ObstacleShape::Beside { shaft, from_upper_face, gap, clock } = obstacle.shape else { continue };
        let (from, to, axis) = (chain.lower_cross(shaft), chain.upper_cross(shaft + 1), chain.axes[shaft + 1]);
        let (upper, lower) = (&spec.joints[shaft].lower, &spec.joints[shaft + 1].upper);
        let string = (to - from).length();
        let station = upper.reach + from_upper_face;
        if !(0.0..=string).contains(&station) {
            errors.push(off_the_string(spec, i, [-upper.reach, string - upper.reach]));
            continue;
        }
        let side = chain.normals[shaft].cross(axis);
        let point = from + axis * station + side.turned(axis, clock) * gap;
        let beside = if from_upper_face < 0.0 {
            Body::Joint(shaft)
        } else if station > string - lower.reach {
            Body::Joint(shaft + 1)
        } else {
            Body::Shaft(shaft)
        };
        let need = obstacle.need.unwrap_or(usual_need(obstacle.kind));
        for body in [Body::Joint(shaft), Body::Shaft(shaft), Body::Joint(shaft + 1)] {
            let gap = distance(rooms, body, point).filter(|gap| body == beside || *gap < need);
            let Some(gap) = gap else { continue };
            let row = Clearance {
                part: spec.body_name(body).to_owned(),
                obstacle: obstacle.name.clone(),
                gap,
                gap_sigma: None,
                need,
                at: BTreeMap::new(),
                point,
                lower: None,
                taped: None,
            };
            insert(rows, row, rooms, spec);
        }
    }
    if errors.is_empty() { Ok(()) } else { Err(errors) }
}

/// Least distance (mm) from a body to a point; 0 inside it.
fn distance(rooms: &[Room], body: Body, point: Vec3) -> Option<f64> {
    let point = Solid::Convex(Convex::Ball { centre: point, radius: 0.0 });
    let gaps = rooms.iter().filter(|room| room.body == body);
    gaps.filter_map(|room| closest_below(&solid(room.shape), &point, f64::INFINITY))
        .map(|found| found.gap)
        .min_by(f64::total_cmp)
}

/// Bodies keep the order of the rooms; within one the tightest against its need comes first.
fn insert(rows: &mut Vec<Clearance>, row: Clearance, rooms: &[Room], spec: &Spec) {
    let place = |part: &str| rooms.iter().position(|room| spec.body_name(room.body) == part);
    let comes_before = |other: &Clearance| match place(&other.part).cmp(&place(&row.part)) {
        std::cmp::Ordering::Equal => other.judged() - other.need <= row.gap - row.need,
        order => order.is_lt(),
    };
    let at = rows.iter().position(|other| !comes_before(other)).unwrap_or(rows.len());
    rows.insert(at, row);
}

fn off_the_string(spec: &Spec, obstacle: usize, [low, high]: [f64; 2]) -> Diagnostic {
    let text = |mm: f64| both_units(mm, spec.build.units);
    let found = format!(
        "obstacle \"{}\" is measured past the end of the string, which runs from {} to {} from that face",
        spec.obstacles[obstacle].name,
        text(low),
        text(high)
    );
    Diagnostic::error("off-the-string", found)
        .at(spec.place(&format!("obstacle.{obstacle}.beside.from_upper_face")))
        .help("measure from the outer face of the hub at the shaft's upper end, toward the gear")
}

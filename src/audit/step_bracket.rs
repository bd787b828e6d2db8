//! STEP files of bent plates measured against the solution.

use super::AuditReport;
use super::step::{ALLOWED, SQUARE};
use super::step_file::{CylinderFace, StepMeasure};
use super::step_plate::DRILL_POINT;
use crate::geometry::{Vec2, Vec3};
use crate::solve::folded::{Flange, Folded, folded};
use crate::solve::outline;
use crate::solve::solution::{HoleResult, PlateResult};

/// Compares what a file holds with the plate folded.
///
/// Of every flange the drawn face and the back, of every bend both cylinders, of every hole its axis, size and cones,
/// and every corner of the outline, of slots and of openings on the flanges, on both faces.
pub(super) fn compare(file: &str, plate: &PlateResult, found: &StepMeasure, report: &mut AuditReport) {
    let Some(folded) = folded(plate) else {
        report.wrong(file, "bends", "ones with a length", "one without");
        return;
    };
    let (low, high) = outline::path(&plate.outline).map_or_else(Default::default, |path| path.bounds());
    let arm = (high - low).length();
    for flange in &folded.flanges {
        let name = flange.after.and_then(|bend| plate.bends.get(bend)).map_or("first", |bend| bend.name.as_str());
        for (side, depth) in [("drawn face", 0.0), ("back", plate.thick)] {
            let out = if depth > 0.0 { -flange.frame.z } else { flange.frame.z };
            let level = (flange.frame.origin - flange.frame.z * depth).dot(out);
            let off = |normal: Vec3, at: f64| (normal - out).length() * arm + (at - level).abs();
            let least = found.planes.iter().map(|plane| off(plane.normal, plane.distance)).min_by(f64::total_cmp);
            tell(report, file, format!("flange {name}, {side}"), least);
        }
    }
    for (bend, told) in folded.bends.iter().zip(&plate.bends) {
        for (side, radius, hollow) in [("inside", told.inside, true), ("outside", told.inside + plate.thick, false)] {
            let least = nearest(found, (bend.axis.origin, bend.axis.z), radius, hollow);
            tell(report, file, format!("bend {}, {side}", told.name), least);
        }
    }
    for hole in &plate.holes {
        if let Some(flange) = folded.flange(hole.centre) {
            holes(file, plate, hole, flange, found, report);
        }
    }
    corners(file, plate, &folded, found, report);
}

/// A line for how far the nearest is off its plan, or that there is none.
fn tell(report: &mut AuditReport, file: &str, what: String, off: Option<f64>) {
    match off {
        Some(off) => report.number(file, format!("{what}, off its place"), 0.0, off, ALLOWED, "mm"),
        None => report.wrong(file, what, "one", "none"),
    }
}

/// How far the nearest cylinder is off this axis and radius.
fn nearest(found: &StepMeasure, (at, axis): (Vec3, Vec3), radius: f64, hollow: bool) -> Option<f64> {
    let off = |face: &CylinderFace| {
        let beside = face.origin - at;
        (beside - axis * beside.dot(axis)).length() + (face.radius - radius).abs()
    };
    let own = found.cylinders.iter().filter(|face| face.hollow == hollow && face.axis.cross(axis).length() <= SQUARE);
    own.map(off).min_by(f64::total_cmp)
}

fn holes(
    file: &str,
    plate: &PlateResult,
    hole: &HoleResult,
    flange: &Flange,
    found: &StepMeasure,
    report: &mut AuditReport,
) {
    let frame = &flange.frame;
    let (along, length) =
        hole.slot.map_or((Vec2::default(), 0.0), |slot| (Vec2::polar(slot.angle.to_radians()), slot.length));
    for side in if length > 0.0 { vec![-0.5, 0.5] } else { vec![0.0] } {
        let at = frame.on_plane(hole.centre + along * (side * length));
        let least = nearest(found, (at, frame.z), hole.diameter / 2.0, true);
        tell(report, file, format!("hole {}", hole.name), least);
    }
    let mut cone = |what: &str, depth: f64, half_angle: f64, up: bool| {
        let tip = frame.on_plane(hole.centre) - frame.z * depth;
        let way = if up { frame.z } else { -frame.z };
        let own = found.cones.iter().filter(|cone| cone.hollow && (cone.axis - way).length() <= SQUARE);
        let off = own.map(|cone| (cone.apex - tip).length() + (cone.half_angle - half_angle).abs() * hole.diameter);
        tell(report, file, format!("hole {}, {what}", hole.name), off.min_by(f64::total_cmp));
    };
    if let Some(sunk) = &hole.countersink {
        let half_angle = sunk.angle.to_radians() / 2.0;
        let deep = sunk.diameter / 2.0 / libm::tan(half_angle);
        let up = sunk.side == "face";
        cone("countersink", if up { deep } else { plate.thick - deep }, half_angle, up);
    }
    if let Some(depth) = hole.depth {
        cone("bottom", depth + hole.diameter / 2.0 / libm::tan(DRILL_POINT), DRILL_POINT, true);
    }
}

/// Every corner on a flange stands on both faces.
fn corners(file: &str, plate: &PlateResult, folded: &Folded, found: &StepMeasure, report: &mut AuditReport) {
    let slots = plate.holes.iter().filter(|hole| hole.slot.is_some());
    let slots = slots.map(|hole| (format!("hole {}", hole.name), outline::hole(hole)));
    let openings = plate.openings.iter().map(|opening| {
        let round = opening.outline.len() == 2 && opening.outline.iter().all(|vertex| vertex.axes.is_none());
        // A round one is a circle, wherever its halves meet on the flat pattern.
        (format!("opening {}", opening.name), if round { Vec::new() } else { opening.outline.clone() })
    });
    let all = std::iter::once(("outline".to_owned(), plate.outline.clone())).chain(slots).chain(openings);
    for (name, vertices) in all {
        let mut worst = 0.0f64;
        for vertex in vertices {
            let Some(flange) = folded.flange(vertex.at) else { continue };
            for depth in [0.0, plate.thick] {
                let at = flange.frame.on_plane(vertex.at) - flange.frame.z * depth;
                let off = found.corners.iter().map(|corner| (*corner - at).length()).fold(f64::INFINITY, f64::min);
                worst = worst.max(off);
            }
        }
        report.number(file, format!("{name}, corners missed by"), 0.0, worst, ALLOWED, "mm");
    }
}

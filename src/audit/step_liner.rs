//! STEP files of liners and sleeves measured against the solution.

use std::f64::consts::TAU;

use super::AuditReport;
use super::step::{ALLOWED, VOLUME};
use super::step_file::StepMeasure;
use super::step_shell::{self, Said};
use crate::geometry::{Vec2, Vec3, segment};
use crate::solve::identity::Identity;
use crate::solve::liner_part::{LinerPart, Side};
use crate::spec::types::Unit;

/// How far (mm) a corner of the solid may lie off the outline on paper, which runs straight between 720 generators.
const ON_PAPER: f64 = 0.01;

/// What the file of a liner or sleeve should hold.
#[derive(Debug, Clone)]
pub struct LinerPlan<'a> {
    /// File in the package.
    pub file: &'a str,
    /// Length unit of the file.
    pub unit: Unit,
    /// What it is called and what is said of it.
    pub identity: Identity,
    /// The tube, and the rail round it.
    pub part: LinerPart<'a>,
}

/// Measures a file and compares it with its plan, line by line.
///
/// Product, unit, that the shell closes; the outside and the bore round the axis; that every other face is one of the
/// rail's sides or corners; that the corners outside lie on the outline the template is cut to; volume and area.
pub fn check(plan: &LinerPlan<'_>, bytes: &[u8], report: &mut AuditReport) {
    let said = Said { file: plan.file, unit: plan.unit, identity: &plan.identity };
    let Some(found) = step_shell::read(&said, bytes, report) else { return };
    let LinerPlan { file, ref part, .. } = *plan;
    let [outside, inside] = part.radii();
    let z = Vec3::new(0.0, 0.0, 1.0);
    // A part as long as this turns a little off its axis by no more than it may be out of place.
    let arm = part.liner.length.max(outside);
    let off_axis =
        |origin: Vec3, axis: Vec3| Vec2::new(origin.x, origin.y).length().max((axis * axis.dot(z) - z).length() * arm);
    for (name, radius, hollow) in [("outside", outside, false), ("bore", inside, true)] {
        let own = found.cylinders.iter().filter(|face| face.hollow == hollow);
        let off = own.map(|face| off_axis(face.origin, face.axis) + (face.radius - radius).abs());
        match off.min_by(f64::total_cmp) {
            Some(off) => report.number(file, format!("{name}, off its place"), 0.0, off, ALLOWED, "mm"),
            None => report.wrong(file, name, "one", "none"),
        }
    }
    report.equal(file, "faces of other kinds", "none", if found.others.is_empty() { "none" } else { "some" });
    report.number(file, "ends, off the rail's outside", 0.0, off_rail(part, &found, arm), ALLOWED, "mm");
    let on_outside = found.corners.iter().filter(|p| (Vec2::new(p.x, p.y).length() - outside).abs() <= ALLOWED);
    let off = on_outside.map(|p| off_outline(part, *p, outside)).fold(0.0, f64::max);
    report.number(file, "corners outside, off the template's outline", 0.0, off, ON_PAPER, "mm");
    let volume = part.volume();
    report.number(file, "volume", volume, found.volume, VOLUME * volume, "mm³");
    let area = part.ends() + part.cylinder(outside) + part.cylinder(inside);
    report.number(file, "area", area, found.area, VOLUME * area, "mm²");
}

/// How far (mm) a plane, or a cylinder that is not the tube's own, lies at most from all sides and corners of the rail.
fn off_rail(part: &LinerPart<'_>, found: &StepMeasure, arm: f64) -> f64 {
    let [across, onward, along] = part.axes;
    let flat = |side: &Side, normal: Vec3, distance: f64| {
        let way = (side.to - side.from).unit().unwrap_or_default();
        let out = across * way.y - onward * way.x;
        let level = side.from.x * way.y - side.from.y * way.x;
        (out - normal).length() * arm + (level - distance).abs()
    };
    let least = |offs: &mut dyn Iterator<Item = f64>| offs.fold(f64::INFINITY, f64::min);
    let flats = || part.sides.iter().filter(|side| side.centre.is_none());
    let planes = found.planes.iter().map(|face| least(&mut flats().map(|side| flat(side, face.normal, face.distance))));
    let [outside, inside] = part.radii();
    let tube = |axis: Vec3, radius: f64| {
        axis.z.abs() > 1.0 - 1e-9 && [outside, inside].iter().any(|own| (own - radius).abs() <= ALLOWED)
    };
    let corners = found.cylinders.iter().filter(|face| !tube(face.axis, face.radius)).map(|face| {
        least(&mut part.sides.iter().filter_map(|side| Some((side.centre?, side.corner()?.0))).map(
            |(centre, radius)| {
                let at = Vec2::new(face.origin.dot(across), face.origin.dot(onward));
                let lean = (face.axis * face.axis.dot(along) - along).length();
                (at - centre).length() + (face.radius - radius).abs() + lean * arm
            },
        ))
    });
    planes.chain(corners).fold(0.0, f64::max)
}

/// Distance (mm) of a place of the outside, laid flat, from the outline on paper.
fn off_outline(part: &LinerPart<'_>, p: Vec3, outside: f64) -> f64 {
    let outline = &part.liner.outline;
    let turn = libm::atan2(p.y, p.x);
    let next = outline.iter().cycle().skip(1);
    let mut least = f64::INFINITY;
    for (a, b) in outline.iter().zip(next) {
        for turn in [turn - TAU, turn, turn + TAU] {
            least = least.min(segment::off(Vec2::new(turn * outside, p.z), *a, *b));
        }
    }
    least
}

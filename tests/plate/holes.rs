//! Mirrored, tapped, blind and countersunk holes, read from a spec.

use yokeline::check::{self, Status};
use yokeline::pipeline;
use yokeline::solve::plate::{centre_marks, drill_in_words, pilot};
use yokeline::solve::solution::PlateResult;
use yokeline::spec::types::Unit;

use super::near;
use crate::common::HERON;

/// The roadster with a bracket of steel 12 mm thick and these holes.
fn with(holes: &str) -> (PlateResult, Vec<check::Finding>) {
    let hole = HERON.find("[[plate.hole]]").unwrap();
    let opening = HERON.find("[[plate.opening]]").unwrap();
    let text = format!("{}{holes}\n{}", &HERON[..hole], &HERON[opening..]);
    let text = text.replacen("thick     = \"3/16 in\"", "thick     = \"12 mm\"", 1);
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    (solved.solution.plates[0].clone(), solved.findings)
}

fn verdict(findings: &[check::Finding], rule: &str) -> Vec<Status> {
    findings
        .iter()
        .filter(|row| row.rule == rule && row.subject.contains("column bracket"))
        .map(|row| row.status)
        .collect()
}

/// Across u = 3 in and v = 2.5 in a hole becomes four, a hole on the line two, and a slot leans the other way.
#[test]
fn mirrored_holes() {
    let (plate, _) = with(
        "[[plate.hole]]\nname = \"a\"\nat = [[\"1 in\", \"1 in\"], [\"3 in\", \"0.5 in\"]]\n\
         mirror = { u = \"3 in\", v = \"2.5 in\" }\nbolt = \"1/4 normal\"\n\
         slot = { length = \"0.25 in\", angle = \"30 deg\" }",
    );
    let found: Vec<(i64, i64, i64)> = plate
        .holes
        .iter()
        .map(|hole| {
            let tenths = |mm: f64| (mm / 2.54).round() as i64;
            (tenths(hole.centre.x), tenths(hole.centre.y), hole.slot.unwrap().angle.round() as i64)
        })
        .collect();
    let wanted = [(10, 10, 30), (30, 5, 30), (50, 10, 150), (10, 40, 150), (30, 45, 150), (50, 40, 30)];
    assert_eq!(found, wanted);
}

/// Tap drills: 5/16-18 is F, 0.257 in; M8 × 1.25 is 6.8 mm (ISO 2306 and trade tables, from memory).
#[test]
fn tapped_and_blind_holes() {
    let hole = |tap: &str, more: &str| {
        with(&format!("[[plate.hole]]\nname = \"a\"\nat = [\"1 in\", \"1 in\"]\ntap = \"{tap}\"\n{more}"))
    };
    let (plate, findings) = hole("5/16-18", "");
    let row = &plate.holes[0];
    assert_eq!((row.kind.as_str(), row.drill.as_str(), row.tap.as_deref()), ("tap", "F", Some("5/16-18")));
    near(row.diameter, 0.257 * 25.4, 1e-12, "tap drill");
    assert_eq!((row.depth, row.thread_depth), (None, None));
    // 12 mm of thread on 7.94 mm: one and a half diameters.
    assert_eq!(verdict(&findings, "thread-engagement"), [Status::Pass]);
    assert!(verdict(&findings, "hole-floor").is_empty());
    // Blind: three threads of lead under the full thread, then a 118 degree point of 6.8 / 2 / tan 59.
    let (plate, findings) = hole("M8x1.25", "depth = \"5 mm\"");
    let row = &plate.holes[0];
    near(row.depth.unwrap(), 8.75, 1e-12, "drilled depth");
    near(row.thread_depth.unwrap(), 5.0, 1e-12, "thread");
    assert_eq!(verdict(&findings, "thread-engagement"), [Status::Warn]);
    let floor = findings.iter().find(|row| row.rule == "hole-floor").unwrap();
    near(floor.value.unwrap(), 12.0 - 8.75 - 2.042_926, 1e-6, "floor");
    assert_eq!(floor.status, Status::Pass);
    // A cutter would go through it: it is marked, however wide.
    assert_eq!(centre_marks(row, plate.thick, 0.0).len(), 1);
    let (_, findings) = hole("M8x1.25", "depth = \"9 mm\"");
    assert_eq!(verdict(&findings, "hole-floor"), [Status::Fail]);
}

/// Flat heads: 5/16 in 0.656 in at 82 degrees (ASME B18.3), M8 17.92 mm at 90 degrees (ISO 10642), from memory.
#[test]
fn countersunk_holes() {
    let hole = |bolt: &str, table: &str| {
        with(&format!(
            "[[plate.hole]]\nname = \"a\"\nat = [\"1 in\", \"1 in\"]\nbolt = \"{bolt}\"\ncountersink = {table}"
        ))
    };
    let (plate, findings) = hole("5/16 normal", "{}");
    let cone = plate.holes[0].countersink.clone().unwrap();
    near(cone.diameter, 0.656 * 25.4, 1e-12, "diameter");
    near(cone.angle, 82.0, 1e-12, "angle");
    near(cone.depth, (0.656 - 11.0 / 32.0) * 12.7 / 41_f64.to_radians().tan(), 1e-12, "depth");
    assert_eq!(cone.side, "face");
    assert_eq!(verdict(&findings, "countersink-depth"), [Status::Pass]);
    let (plate, _) = hole("M8 medium", "{ side = \"back\" }");
    let cone = plate.holes[0].countersink.clone().unwrap();
    // (17.92 − 9) / 2 at 45 degrees.
    near(cone.depth, 4.46, 1e-12, "depth");
    assert_eq!(cone.side, "back");
    let (_, findings) = hole("M8 medium", "{ diameter = \"34 mm\" }");
    assert_eq!(verdict(&findings, "countersink-depth"), [Status::Fail]);
    let (_, findings) = hole("M8 medium", "{ diameter = \"27 mm\" }");
    assert_eq!(verdict(&findings, "countersink-depth"), [Status::Warn]);
}

/// M8: 13 mm hexagon, socket 18.25 mm, corners 15.01 mm: centres 16.63 mm apart leave nothing.
#[test]
fn a_socket_beside_a_head() {
    let pair = |apart: f64| {
        let (_, findings) = with(&format!(
            "[[plate.hole]]\nname = \"a\"\nat = [[\"40 mm\", \"20 mm\"], [\"{} mm\", \"20 mm\"]]\nbolt = \"M8 medium\"",
            40.0 + apart
        ));
        verdict(&findings, "wrench-circle")
    };
    assert_eq!(pair(16.6), [Status::Warn]);
    assert_eq!(pair(17.0), [Status::Warn]);
    assert_eq!(pair(17.2), [Status::Pass]);
}

/// Common practice, no source: what a drill's web is.
#[test]
fn pilots() {
    let words = |diameter: f64, units| pilot(diameter, units).map(|pilot| drill_in_words(pilot, units));
    assert_eq!(words(0.25 * 25.4, Unit::Inch), None);
    assert_eq!(words(11.0 / 32.0 * 25.4, Unit::Inch).as_deref(), Some("1/8 in"));
    assert_eq!(words(13.0 / 32.0 * 25.4, Unit::Inch).as_deref(), Some("3/16 in"));
    assert_eq!(words(5.5, Unit::Millimetre), None);
    assert_eq!(words(9.0, Unit::Millimetre).as_deref(), Some("3 mm"));
    assert_eq!(words(11.0, Unit::Millimetre).as_deref(), Some("5 mm"));
}

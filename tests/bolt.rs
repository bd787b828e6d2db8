//! Bolts through several plates and rails.

use std::f64::consts::PI;

use yokeline::check::{Finding, Status};
use yokeline::pipeline::{self, Solved};
use yokeline::solve::solution::BoltResult;

use crate::common::HERON;

const INCH: f64 = 25.4;

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}");
}

/// The roadster with two upright plates across the car, 1/4 and 1/2 in thick, faces at x = 10 and x = 9, and a bolt.
fn with(bolt: &str) -> Solved {
    let plates = r#"
[[plate]]
name    = "near"
origin  = [10, 0, 10]
right   = [10, 5, 10]
up      = [10, 0, 15]
outline = { rectangle = [5, 5] }
thick   = 0.25
[[plate]]
name    = "far"
origin  = [9, 0.5, 10.25]
right   = [9, 5, 10.25]
up      = [9, 0.5, 15]
outline = { rectangle = [5, 5] }
thick   = 0.5
[[bolt]]
name = "long bolt"
bolt = "5/16 normal"
"#;
    pipeline::solve("linkage.toml", format!("{HERON}{plates}{bolt}\n").as_bytes(), &mut |_| ()).unwrap()
}

fn only(solved: &Solved) -> &BoltResult {
    let [bolt] = &solved.solution.bolts[..] else { panic!("one bolt") };
    bolt
}

fn square(findings: &[Finding]) -> Status {
    findings.iter().find(|row| row.rule == "bolt-square").unwrap().status
}

/// Worked out by hand: holes at (2, 2) and (1.5, 1.75) in, from x = 10 to x = 8.5 a grip of 1.5 in; with two washers of
/// 0.083, a nut of 0.273 and two threads of 1/18 in that wants 2.05 in: a bolt of 2 1/4 in.
#[test]
fn two_plates() {
    let solved = with("from = [12, 2, 12]\nto = [5, 2, 12]");
    let bolt = only(&solved);
    let found: Vec<(&str, f64, f64)> = bolt.passes.iter().map(|pass| (pass.part.as_str(), pass.u, pass.v)).collect();
    assert_eq!(found.len(), 2);
    for ((part, u, v), (name, wanted)) in found.into_iter().zip([("near", [2.0, 2.0]), ("far", [1.5, 1.75])]) {
        assert_eq!(part, name);
        near(u, wanted[0] * INCH, 1e-9, "u");
        near(v, wanted[1] * INCH, 1e-9, "v");
    }
    near(bolt.grip, 1.5 * INCH, 1e-9, "grip");
    near(bolt.length.unwrap(), 2.25 * INCH, 1e-9, "length");
    for plate in &solved.solution.plates[2..] {
        let hole = plate.holes.last().unwrap();
        assert_eq!((hole.name.as_str(), hole.kind.as_str(), hole.drill.as_str()), ("long bolt", "bolt", "11/32 in"));
        near(hole.diameter, 11.0 / 32.0 * INCH, 1e-12, "clearance hole");
        let circle = PI / 4.0 * hole.diameter * hole.diameter;
        near(plate.area, 25.0 * INCH * INCH - circle, 1e-6, "net area");
    }
    let order = solved.solution.order.iter().find(|line| line.what.contains("long bolt")).unwrap();
    assert_eq!((order.item.as_str(), order.quantity), ("bolt", 1));
    near(order.length.unwrap(), 2.25 * INCH, 1e-9, "length in the order list");
    assert_eq!(square(&solved.findings), Status::Pass);
    // By a direction it is the same bolt; short of the far plate it passes the near one alone.
    let same = with("from = [12, 2, 12]\nalong = [-1, 0, 0]\nreach = 7");
    assert_eq!(only(&same).passes, bolt.passes);
    let short = with("from = [12, 2, 12]\nto = [9.3, 2, 12]");
    assert_eq!(only(&short).passes.len(), 1);
}

/// A drill goes in square, so the hole lies where the axis passes the middle of the thickness.
#[test]
fn a_leaning_bolt() {
    let lean = 3_f64.to_radians();
    let solved = with(&format!("from = [12, 2, 12]\nalong = [-1, {}, 0]\nreach = 7", lean.tan()));
    let bolt = only(&solved);
    for (pass, (middle, zero)) in bolt.passes.iter().zip([(9.875, 0.0), (8.75, 0.5)]) {
        near(pass.u, (2.0 + (12.0 - middle) * lean.tan() - zero) * INCH, 1e-9, "u");
        near(pass.slant, 3.0, 1e-9, "slant");
    }
    near(bolt.grip, 1.5 * INCH / lean.cos(), 1e-9, "grip");
    assert_eq!(square(&solved.findings), Status::Warn);
}

/// Across the left rail, 4 by 2 in with 0.24 in corners, 2 in under its top: its first point lies at x = 30 in, and v
/// counts clockwise from the middle of the top right corner's arc (plane geometry).
#[test]
fn both_walls_of_a_rail() {
    let solved = with("from = [20, -9, 4]\nto = [20, -15, 4]");
    let bolt = only(&solved);
    let (r, half_arc) = (0.24, 0.24 * PI / 4.0);
    let girth = 2.0 * (4.0 + 2.0) - 8.0 * r + 2.0 * PI * r;
    let wanted = [half_arc + 2.0 - r, girth - (half_arc + (2.0 - 2.0 * r) + 2.0 * half_arc + 2.0 - r)];
    assert_eq!(bolt.passes.len(), 2);
    for (pass, v) in bolt.passes.iter().zip(wanted) {
        assert_eq!((pass.kind.as_str(), pass.part.as_str()), ("rail", "left rail"));
        near(pass.u, 10.0 * INCH, 1e-9, "along the rail");
        near(pass.v, v * INCH, 1e-9, "round the rail");
    }
    near(bolt.grip, 2.0 * INCH, 1e-9, "grip");
    near(bolt.length.unwrap(), 2.75 * INCH, 1e-9, "length");
}

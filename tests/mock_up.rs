//! Mock-ups: a linkage laid out from four readings a shaft, compared with places where there are any.
//!
//! References: chains of `tests/reference/check-values.json`, whose joint angles, dihedrals and errors were computed
//! independently of this project from points in space.

use std::fmt::Write as _;

use proptest::prelude::*;
use serde_json::Value;
use yokeline::check::{self, Finding, Status};
use yokeline::geometry::Vec3;
use yokeline::pipeline;
use yokeline::solve::phase::apart;
use yokeline::solve::{self, Solution};
use yokeline::spec::Spec;
use yokeline::spec::types::Axes;

use crate::common::read;
use crate::reference::check_values;

/// Reach and depth of every hub (mm); the hubs of the reference chains are ours to choose.
const REACH: f64 = 10.0;
const DEPTH: f64 = 6.0;

fn chain(name: &str) -> Value {
    let values = check_values();
    let rows = values["chains"].as_array().unwrap();
    rows.iter().find(|row| row["name"] == name).unwrap_or_else(|| panic!("{name}")).clone()
}

fn numbers(row: &Value, key: &str) -> Vec<f64> {
    row[key].as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

fn points(row: &Value) -> Vec<Vec3> {
    let all = row["points"].as_array().unwrap().iter();
    all.map(|p| {
        let p: Vec<f64> = p.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect();
        Vec3::new(p[0], p[1], p[2])
    })
    .collect()
}

/// A spec of bare hubs on 5 mm bars; `ends` are the lines of column and gear, `mock_ups` one a shaft.
fn spec(joints: usize, ends: [&str; 2], centres: &[Vec3], mock_ups: &[String]) -> String {
    let bar = "{ dd = { diameter = 5, flats = 4 } }";
    let mut text = format!(
        "format = 1\nbuild = {{ title = \"t\", units = \"mm\" }}\n[column]\nform = {bar}\nexposed = 20\n{}\n[gear]\n\
         form = {bar}\nexposed = 20\n{}\n",
        ends[0], ends[1]
    );
    for i in 0..joints {
        let hub = format!("{{ fits = {bar}, reach = {REACH}, depth = {DEPTH}, ears = \"parallel\", weld = false }}");
        let centre = centres.get(i.wrapping_sub(1)).map(|c| format!("centre = [{}, {}, {}]\n", c.x, c.y, c.z));
        let centre = centre.unwrap_or_default();
        let _ = write!(text, "[[joint]]\nname = \"j{i}\"\nswing = 12\n{centre}upper = {hub}\nlower = {hub}\n");
    }
    for i in 0..joints - 1 {
        let mock_up = mock_ups.get(i).cloned().unwrap_or_default();
        let _ = write!(text, "[[shaft]]\nname = \"s{i}\"\nstock = {bar}\nmaterial = \"1018-cold-drawn\"\n{mock_up}\n");
    }
    text
}

fn mock_up(faces: f64, upper: f64, lower: f64, planes: f64) -> String {
    format!("mockup = {{ faces = {faces}, upper_angle = {upper}, lower_angle = {lower}, planes = {planes} }}")
}

/// The readings a shop would take of a reference chain.
fn readings(row: &Value) -> Vec<String> {
    let (beta, psi, p) = (numbers(row, "beta"), numbers(row, "psi"), points(row));
    (0..psi.len())
        .map(|i| mock_up((p[i + 2] - p[i + 1]).length() - 2.0 * REACH, beta[i], beta[i + 1], psi[i]))
        .collect()
}

fn solved(text: &str) -> (Spec, Solution, Vec<Finding>) {
    let spec = read(text);
    let (solution, _) = solve::solve(&spec).unwrap_or_else(|errors| panic!("{errors:#?}"));
    let findings = check::run(&spec, &solution);
    (spec, solution, findings)
}

fn near(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() < 1e-9, "{what}: found {found}, expected {expected}");
}

/// The chains A and B and one with a negative dihedral: angles, lengths, wanted phase and evenness from the readings.
#[test]
fn a_mock_up_gives_what_the_points_give() {
    for (name, phases) in [
        // Two joints: the phase is the dihedral (Fischer and Paul, J. Mech. Des. 113, 263 (1991)).
        ("A delta = psi", vec![-98.571_665_364_766]),
        ("spatial 22/33 negative dihedral", vec![-110.0]),
        // Three joints: the two smaller oppose the largest; figures of the independent simulation.
        ("B delta = psi", vec![-142.125_016_348_902 + 90.0, -57.734_850_493_941]),
    ] {
        let row = chain(name);
        let (beta, points) = (numbers(&row, "beta"), points(&row));
        let (spec, solution, _) = solved(&spec(beta.len(), ["", ""], &[], &readings(&row)));
        assert_eq!(spec.axes, Axes::MockUp);
        for (joint, beta) in solution.joints.iter().zip(&beta) {
            near(joint.angle, *beta, name);
        }
        for (i, shaft) in solution.shafts.iter().enumerate() {
            let span = (points[i + 2] - points[i + 1]).length();
            near(shaft.centre_distance, span, name);
            near(shaft.cut_length, span - 2.0 * (REACH - DEPTH), name);
            assert!(apart(shaft.twist.wanted.unwrap(), phases[i]) < 1e-6, "{name}: {:?}", shaft.twist);
        }
        if beta.len() == 2 {
            assert!(apart(solution.shafts[0].twist.wanted.unwrap(), phases[0]) < 1e-9, "{name}");
        }
    }
    // E½ of A with its best phase: the simulation's twelve digits.
    let (_, solution, _) = solved(&spec(2, ["", ""], &[], &readings(&chain("A delta = psi"))));
    near(solution.motion.best.error, 3.775_472_840_973, "error of A at its best phase");
}

/// A double joint's crosses stand span / (2 cos(β/2)) back from where the axes meet (isosceles triangle), so a tape
/// between the hubs' faces is that much shorter on its side.
#[test]
fn a_double_joint_in_a_mock_up_alone() {
    const SPAN: f64 = 8.0;
    let row = chain("B delta = psi");
    let (beta, psi, p) = (numbers(&row, "beta"), numbers(&row, "psi"), points(&row));
    for double in 0..3 {
        let back = SPAN / (2.0 * (beta[double].to_radians() / 2.0).cos());
        let setback = |joint: usize| if joint == double { back } else { 0.0 };
        let span = |i: usize| (p[i + 2] - p[i + 1]).length() - setback(i) - setback(i + 1);
        let readings: Vec<String> =
            (0..2).map(|i| mock_up(span(i) - 2.0 * REACH, beta[i], beta[i + 1], psi[i])).collect();
        let named = format!("name = \"j{double}\"\nswing = 12\n");
        let text = spec(3, ["", ""], &[], &readings)
            .replace(&named, &format!("{named}limit = 60\ndouble = {{ span = {SPAN}, centred = true }}\n"));
        let (_, solution, _) = solved(&text);
        for (i, joint) in solution.joints.iter().enumerate() {
            near(joint.angle, beta[i], "angle");
            assert_eq!(joint.crosses.len(), if i == double { 2 } else { 1 });
        }
        let crosses = &solution.joints[double].crosses;
        near((crosses[1] - crosses[0]).length(), SPAN, "between the crosses of the double");
        for (i, shaft) in solution.shafts.iter().enumerate() {
            near(shaft.centre_distance, span(i), "between the crosses of a shaft");
            near(shaft.cut_length, span(i) - 2.0 * (REACH - DEPTH), "cut length");
        }
    }
}

/// What stands in space cannot be told by a mock-up alone.
#[test]
fn a_bearing_at_a_point_needs_places() {
    let row = chain("B delta = psi");
    let text = spec(3, ["", ""], &[], &readings(&row))
        .replace("name = \"s0\"\n", "name = \"s0\"\nbearing = { at = [0, 0, 0], to = \"15 in\", bore = 5 }\n");
    let source = yokeline::spec::Source { name: "linkage.toml", text: &text };
    let errors = yokeline::spec::read(source, &check::rules::limits()).unwrap_err();
    assert!(errors.iter().any(|error| error.code == "needs-positions"), "{errors:#?}");
}

/// The same chain by its points and by its readings: the whole answer agrees but for where it lies.
#[test]
fn places_and_mock_up_agree() {
    for name in ["A delta = psi", "B delta = psi"] {
        let row = chain(name);
        let p = points(&row);
        let last = p.len() - 1;
        let way = |a: Vec3, b: Vec3| (b - a).unit().unwrap();
        let gap = REACH - DEPTH;
        let at = |p: Vec3| format!("[{}, {}, {}]", p.x, p.y, p.z);
        let (into, out) = (way(p[0], p[1]), way(p[last - 1], p[last]));
        let column = format!("end = {}\ntoward = {}", at(p[1] - into * gap), at(p[1] - into * 300.0));
        let gear = format!("end = {}\ntoward = {}", at(p[last - 1] + out * gap), at(p[last - 1] + out * 300.0));
        let both = spec(last - 1, [&column, &gear], &p[2..last - 1], &readings(&row));
        let (by_places, placed, findings) = solved(&both);
        assert_eq!(by_places.axes, Axes::Vehicle);
        let (_, mocked, _) = solved(&spec(last - 1, ["", ""], &[], &readings(&row)));
        for (a, b) in placed.joints.iter().zip(&mocked.joints) {
            near(a.angle, b.angle, "angle");
            near(a.end_clearance, b.end_clearance, "end clearance");
            assert!((a.captive.upper - b.captive.upper).abs() < 1e-6, "{:?} {:?}", a.captive, b.captive);
            assert!((a.captive.lower - b.captive.lower).abs() < 1e-6, "{:?} {:?}", a.captive, b.captive);
        }
        for (a, b) in placed.shafts.iter().zip(&mocked.shafts) {
            near(a.cut_length, b.cut_length, "cut length");
            assert!(apart(a.twist.wanted.unwrap(), b.twist.wanted.unwrap()) < 1e-9);
        }
        near(placed.motion.error, mocked.motion.error, "error");
        // And the rules that compare the two have nothing to say against either.
        let compared: Vec<_> = findings.iter().filter(|finding| finding.rule.starts_with("mock-up")).collect();
        assert_eq!(compared.len(), 4 * (p.len() - 3), "{compared:#?}");
        assert!(compared.iter().all(|f| f.status == Status::Pass && f.value.unwrap() < 1e-6), "{compared:#?}");
    }
}

/// The shape in its own frame: first cross at the origin, first shaft along z, the column leaning to +x.
#[test]
fn the_frame_is_the_mock_ups_own() {
    let (spec, solution, findings) = solved(&spec(2, ["", ""], &[], &[mock_up(80.0, 20.0, 30.0, 0.0)]));
    assert_eq!(solution.joints[0].centre, Vec3::default());
    assert!((solution.joints[1].centre - Vec3::new(0.0, 0.0, 100.0)).length() < 1e-9);
    let leans = -spec.column.axis;
    assert!(leans.x > 0.3 && leans.y.abs() < 1e-12 && leans.z < 0.0, "{leans:?}");
    // Planes 0: the gear shaft leans to the same side.
    assert!(spec.gear.axis.x > 0.4 && spec.gear.axis.y.abs() < 1e-12);
    let open = findings.iter().find(|finding| finding.rule == "positions").unwrap();
    assert_eq!(open.status, Status::Open);
    assert!(open.message.contains("rail notches and plates need positions"));
    let text = yokeline::export::results::text(&spec, &solution, &findings).unwrap();
    let json: Value = serde_json::from_str(&text).unwrap();
    assert!(json["frame"].as_str().unwrap().contains("not vehicle axes"), "{}", json["frame"]);
}

/// A tape 1/2 in out, a bend 5 degrees out, planes a quarter turn out and half a turn out are each named.
#[test]
fn a_disagreement_is_named() {
    let row = chain("A delta = psi");
    let (beta, psi, p) = (numbers(&row, "beta"), numbers(&row, "psi"), points(&row));
    let faces = (p[2] - p[1]).length() - 2.0 * REACH;
    let way = |a: Vec3, b: Vec3| (b - a).unit().unwrap();
    let gap = REACH - DEPTH;
    let at = |p: Vec3| format!("[{}, {}, {}]", p.x, p.y, p.z);
    let column = format!("end = {}\ntoward = {}", at(p[1] - way(p[0], p[1]) * gap), at(p[1] - way(p[0], p[1]) * 300.0));
    let gear = format!("end = {}\ntoward = {}", at(p[2] + way(p[2], p[3]) * gap), at(p[2] + way(p[2], p[3]) * 300.0));
    let said = |mock_up: String| {
        let (_, _, findings) = solved(&spec(2, [&column, &gear], &[], &[mock_up]));
        let off = findings.into_iter().filter(|f| f.rule.starts_with("mock-up") && f.status != Status::Pass);
        off.map(|f| (f.rule, f.subject, f.message, f.status)).collect::<Vec<_>>()
    };
    // Past the limit a warning, past twice the limit nothing is to be cut.
    let status = |more: f64| said(mock_up(faces + more, beta[0], beta[1], psi[0]))[0].3;
    assert_eq!((status(5.1), status(9.9), status(10.1)), (Status::Warn, Status::Warn, Status::Fail));
    assert!(said(mock_up(faces + 4.9, beta[0] + 1.9, beta[1] - 1.9, psi[0] + 6.0)).is_empty());
    let [(rule, subject, message, _)] = &said(mock_up(faces + 12.7, beta[0], beta[1], psi[0]))[..] else { panic!() };
    assert_eq!((rule.as_str(), subject.as_str()), ("mock-up-length", "shaft s0"));
    assert!(message.contains("apart by 12.7 mm"), "{message}");
    let [(_, subject, message, _)] = &said(mock_up(faces, beta[0], beta[1] + 5.0, psi[0]))[..] else { panic!() };
    assert_eq!(subject, "shaft s0, joint j1");
    assert!(message.contains("apart by 5.0°"), "{message}");
    let [(_, subject, message, _)] = &said(mock_up(faces, beta[0], beta[1], psi[0] + 90.0))[..] else { panic!() };
    assert_eq!(subject, "shaft s0, bend planes");
    assert!(message.contains("off by 90.0°"), "{message}");
    let [(_, _, message, status)] = &said(mock_up(faces, beta[0], beta[1], psi[0] + 180.0))[..] else { panic!() };
    assert!(*status == Status::Fail && message.contains("far side"), "{message}");
}

/// A joint in line has no bend plane: nothing is compared, and it is not called good.
#[test]
fn planes_of_a_straight_joint_are_not_judged() {
    let column = "end = [0, 0, 0]\ntoward = [-300, 0, 0]";
    let gear = "end = [108, 0, 0]\ntoward = [300, 80, 0]";
    let (_, _, findings) = solved(&spec(2, [column, gear], &[], &[mock_up(84.0, 0.0, 22.0, 10.0)]));
    let planes = findings.iter().find(|f| f.subject.ends_with("bend planes")).unwrap();
    assert_eq!(planes.status, Status::Open, "{planes:?}");
}

/// A reading 5 degrees short of true at 45 degrees round on a slope of 25: why the planes are not read on the ears.
#[test]
fn an_angle_finder_on_a_sloping_bar_misreads() {
    let (slope, clock) = (25f64.to_radians(), 45f64.to_radians());
    let bar = Vec3::new(slope.cos(), 0.0, -slope.sin());
    let level = Vec3::new(0.0, 1.0, 0.0);
    let reads = level.turned(bar, clock).z.abs().asin().to_degrees();
    assert!((reads - 39.9).abs() < 0.1 && 45.0 - reads > 5.0, "{reads}");
}

const BENCH: &str = include_str!("../examples/bench-mockup/linkage.toml");

/// The string line of the example, by hand: 1 1/4 in off the axis of a 3/4 in bar leaves 7/8 in.
#[test]
fn a_string_line_gives_clearance_without_places() {
    let (_, solution, _) = solved(BENCH);
    let [row] = &solution.clearances[..] else { panic!("{:?}", solution.clearances) };
    assert_eq!((row.part.as_str(), row.obstacle.as_str()), ("bar", "vice handle"));
    near(row.gap, 0.875 * 25.4, "gap");
    // 1.6 in of reach and 7 1/2 in down the string; 150 degrees from the column's side, clockwise about +z.
    let turn = 150f64.to_radians();
    let expected = Vec3::new(1.25 * turn.cos(), 1.25 * turn.sin(), 9.1) * 25.4;
    assert!((row.point - expected).length() < 1e-9, "{:?}", row.point);
}

/// Beside a hub the joint is judged; past a hub's face its neighbour is named only where there is too little room.
#[test]
fn a_string_line_beside_a_hub() {
    let rows = |from: &str, gap: &str| {
        let text = BENCH.replace("\"7 1/2 in\"", from).replace("gap = \"1 1/4 in\"", &format!("gap = {gap}"));
        let (_, solution, _) = solved(&text);
        solution.clearances.iter().map(|row| (row.part.clone(), row.gap / 25.4)).collect::<Vec<_>>()
    };
    // Half an inch inside the upper hub's face: a hub of 1 3/4 in.
    let [(part, gap)] = &rows("-0.5", "\"1 1/4 in\"")[..] else { panic!() };
    assert_eq!(part, "upper");
    near(*gap, 1.25 - 0.875, "hub");
    // A quarter inch past the lower hub's mouth side: 5/8 in off the string is inside the hub's own radius.
    let near_face = rows("16.09375", "0.7");
    let parts: Vec<_> = near_face.iter().map(|(part, _)| part.as_str()).collect();
    assert_eq!(parts, ["lower", "bar"]);
    near(near_face[0].1, 0.25, "face of the lower hub");
    near(near_face[1].1, 0.7 - 0.375, "bar");
}

/// The package of a mock-up alone is made and proves true.
#[test]
fn a_mock_up_makes_a_package() {
    let solved = pipeline::solve("linkage.toml", BENCH.as_bytes(), &mut |_| ()).unwrap();
    let artifacts = pipeline::make(BENCH.as_bytes(), &solved, &mut |_| ()).unwrap();
    let kinds: Vec<_> = artifacts.iter().map(|file| file.path.as_str()).collect();
    for wanted in ["record/build-record.pdf", "solids/shaft-bar.step", "drawings/shaft-bar.pdf"] {
        assert!(kinds.contains(&wanted), "{kinds:?}");
    }
}

proptest! {
    /// Whatever is read comes out again: both angles, the span, and the turn from plane to plane; mirrored, the
    /// planes alone change their sign and the wanted phase with them.
    #[test]
    fn readings_come_out_again(faces in 30.0f64..900.0, upper in 0.5f64..60.0, lower in 0.5f64..60.0, planes in -360.0f64..360.0) {
        let here = read(&spec(2, ["", ""], &[], &[mock_up(faces, upper, lower, planes)]));
        let chain = yokeline::solve::chain::chain(&here).unwrap();
        prop_assert!((chain.angles[0].to_degrees() - upper).abs() < 1e-7);
        prop_assert!((chain.angles[1].to_degrees() - lower).abs() < 1e-7);
        let off = (chain.psi[0].to_degrees() - planes + 180.0).rem_euclid(360.0) - 180.0;
        prop_assert!(off.abs() < 1e-6, "{off}");
        let (_, a, _) = solved(&spec(2, ["", ""], &[], &[mock_up(faces, upper, lower, planes)]));
        let (_, b, _) = solved(&spec(2, ["", ""], &[], &[mock_up(faces, upper, lower, -planes)]));
        prop_assert!((a.shafts[0].cut_length - (faces + 2.0 * DEPTH)).abs() < 1e-9);
        prop_assert!((a.shafts[0].cut_length - b.shafts[0].cut_length).abs() < 1e-9);
        prop_assert!(apart(a.shafts[0].twist.wanted.unwrap(), -b.shafts[0].twist.wanted.unwrap()) < 1e-6);
    }
}

/// A string line beside a survey: the errors of the survey travel as before, and the taped gap has none of them.
#[test]
fn a_string_line_leaves_a_survey_its_errors() {
    let text = include_str!("../examples/heron-surveyed/linkage.toml");
    let string = "\n[[obstacle]]\nname = \"vice handle\"\nbeside = { shaft = \"intermediate\", \
                  from_upper_face = \"3 in\", gap = \"2 in\" }\n";
    let solve = |text: &str| pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap().solution;
    let (plain, beside) = (solve(text), solve(&format!("{text}{string}")));
    assert!(plain.shafts[0].cut_length_sigma.unwrap() > 0.1);
    assert_eq!(plain.shafts, beside.shafts);
    let taped = beside.clearances.iter().find(|row| row.obstacle == "vice handle").unwrap();
    assert_eq!((taped.part.as_str(), taped.gap_sigma), ("intermediate", None));
    for row in &plain.clearances {
        assert!(beside.clearances.contains(row), "{row:?}");
    }
}

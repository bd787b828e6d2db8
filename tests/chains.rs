//! Chains of 2 to 8 joints, single and double, against a simulation of their own.
//!
//! The simulation turns rigid bodies by rotation matrices and knows of a joint only that its two trunnion axes stay
//! square to each other. A double joint is two such joints and a housing. Nothing of it is shared with the program.

mod bad;
mod linkage;
mod moving;
mod paper;
mod simulation;

use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use yokeline::check::Status;
use yokeline::geometry::Vec3;
use yokeline::pipeline::{self, Solved};
use yokeline::solve::solution::End;

use crate::reference::check_values;
use linkage::{Hold, Linkage};
use simulation::Simulation;

/// Largest difference allowed, in mm, deg and of ratios: a thousandth of a thousandth of what a shop can measure.
const NEAR: f64 = 1e-9;

fn near(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() <= NEAR * expected.abs().max(1.0), "{what}: found {found}, expected {expected}");
}

pub(super) fn solve(text: &str) -> Solved {
    match pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) {
        Ok(solved) => solved,
        Err(errors) => panic!("{errors:#?}\n{text}"),
    }
}

fn simulated(solved: &Solved, drawn: &Linkage) -> Simulation {
    let twists: Vec<f64> = solved.solution.shafts.iter().map(|shaft| shaft.twist.set.to_radians()).collect();
    Simulation::new(&drawn.axes(), &drawn.crosses(), &twists)
}

/// Places of the crosses, lengths, angles; then the whole turn.
fn compare(drawn: &Linkage) {
    let solved = solve(&drawn.text());
    let solution = &solved.solution;
    let crosses = drawn.crosses();
    for (i, joint) in solution.joints.iter().enumerate() {
        let expected = &crosses[i];
        assert_eq!(joint.crosses.len(), expected.len());
        for (found, expected) in joint.crosses.iter().zip(expected) {
            assert!((*found - *expected).length() < NEAR, "joint {i}: {found:?} {expected:?}");
        }
        near(joint.angle, drawn.joints[i].angle.to_degrees(), "angle");
        // Half the angle at each cross of a double, the housing in the plane of the two shafts.
        if let [first, second] = joint.crosses[..] {
            let (above, below) = (drawn.axes()[i], drawn.axes()[i + 1]);
            let housing = (second - first).unit().unwrap();
            near(housing.angle_to(above).to_degrees(), joint.angle / 2.0, "upper half");
            near(housing.angle_to(below).to_degrees(), joint.angle / 2.0, "lower half");
            near(housing.dot(above.cross(below)), 0.0, "out of plane");
            near((second - first).length(), drawn.joints[i].span.unwrap(), "span");
        }
    }
    for (i, shaft) in solution.shafts.iter().enumerate() {
        near(shaft.centre_distance, drawn.shafts[i].length, "between crosses");
        // Reach 40 less depth 25 at both ends.
        near(shaft.cut_length, drawn.shafts[i].length - 30.0, "cut length");
    }
    let simulation = simulated(&solved, drawn);
    let turned = simulation.turn(360);
    assert_eq!(turned.len(), solution.motion.curve.len());
    for (row, (lead, ratio)) in solution.motion.curve.iter().zip(&turned) {
        near(row[1], lead.to_degrees(), "lead");
        near(row[2], *ratio, "ratio");
    }
    let (error, ratio_max, ratio_min) = simulation.extremes();
    near(solution.motion.error, error.to_degrees(), "error");
    near(solution.motion.ratio_max, ratio_max, "greatest ratio");
    near(solution.motion.ratio_min, ratio_min, "least ratio");
}

/// 200 chains drawn at random, always the same ones: any count of joints, doubles and joints in line among them,
/// inner joints placed by their centre or by a bearing.
#[test]
fn random_chains_against_the_simulation() {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[17; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let (mut doubles, mut in_line, mut eyes) = (0, 0, 0);
    for number in 0..200 {
        let drawn = Linkage::draw(2 + number % 7, runner.rng());
        doubles += drawn.joints.iter().filter(|joint| joint.span.is_some()).count();
        in_line += drawn.joints.iter().filter(|joint| joint.angle == 0.0).count();
        eyes += drawn.shafts.iter().filter(|shaft| shaft.eye.is_some()).count();
        compare(&drawn);
    }
    assert!(doubles > 100 && in_line > 100 && eyes > 50, "{doubles} {in_line} {eyes}");
}

/// Every joint in line, single and double: it turns evenly and no phase is wanted.
#[test]
fn all_in_line() {
    let drawn = Linkage::planar(&[(0.0, None), (0.0, Some(45.0)), (0.0, None), (0.0, None)], 250.0);
    compare(&drawn);
    let solved = solve(&drawn.text());
    assert!(solved.solution.motion.error < 1e-12);
    assert!(solved.solution.shafts.iter().all(|shaft| shaft.twist.wanted.is_none() && shaft.twist.off_max == 0.0));
}

/// A joint in line anywhere changes nothing for the others: W of 25 and 25 deg stays even, phases as the ears give.
#[test]
fn a_joint_in_line_anywhere() {
    let bend = 25f64.to_radians();
    for place in 0..3 {
        let mut joints = vec![(bend, None), (bend, None)];
        joints.insert(place, (0.0, None));
        let drawn = Linkage::planar(&joints, 300.0);
        compare(&drawn);
    }
}

/// Alone a double is even. Between two equal single joints in one plane only the sum of the two phases counts: 0 or a
/// half turn cancels, a quarter turn is the worst, 3.561642212572 deg at 20 deg (phase rule: Fischer and Paul, J. Mech.
/// Des. 113, 263 (1991); number derived, verified numerically).
#[test]
fn a_double_joint_turns_evenly() {
    let alone = solve(&Linkage::planar(&[(50f64.to_radians(), Some(45.0)), (0.0, None)], 300.0).text());
    assert!(alone.solution.motion.error < 1e-9 && (alone.solution.motion.ratio_max - 1.0).abs() < 1e-12);
    assert!(alone.solution.shafts[0].twist.wanted.is_none(), "one single joint has nothing to be in phase with");

    let twenty = 20f64.to_radians();
    let drawn = Linkage::planar(&[(twenty, None), (50f64.to_radians(), Some(45.0)), (twenty, None)], 300.0);
    for (ears, error, off) in [([0.0, 0.0], 0.0, 0.0), ([90.0, 90.0], 0.0, 0.0), ([0.0, 90.0], 3.561_642_212_572, 90.0)]
    {
        let mut drawn = drawn.clone();
        for (shaft, ears) in drawn.shafts.iter_mut().zip(ears) {
            shaft.ears = ears;
        }
        compare(&drawn);
        let solution = solve(&drawn.text()).solution;
        near(solution.motion.error, error, "error");
        near(solution.motion.best.error, 0.0, "best");
        near(solution.shafts[0].twist.off_max, 0.0, "the first shaft keeps what its ends give");
        near(solution.shafts[1].twist.off_max, off, "the last makes up for both");
    }
}

/// Layout B of the reference: three joints, error with the yokes in line, with δ = ψ, and at the best phases, which are
/// 127.874984 and 122.265150 deg with an error of 4.220824850892 deg (derived; verified numerically).
#[test]
fn layout_b() {
    let values = check_values();
    let b = values["chains"].as_array().unwrap().iter().find(|c| c["name"] == "B delta 0, 0").unwrap().clone();
    let points: Vec<Vec3> =
        b["points"].as_array().unwrap().iter().map(|p| serde_json::from_value(p.clone()).unwrap()).collect();
    let keyed = Linkage::through(&points);
    let in_line = solve(&keyed.text()).solution;
    near(in_line.motion.error, b["error_half_pp"].as_f64().unwrap(), "yokes in line");
    near(in_line.motion.best.error, 4.220_824_850_892, "best");
    for (point, joint) in points[1..4].iter().zip(&in_line.joints) {
        assert!((*point - joint.centre).length() < NEAR);
    }
    let free = Linkage { hold: Hold::Round, ..keyed };
    let free = solve(&free.text()).solution;
    near(free.motion.error, 4.220_824_850_892, "set at the best");
    for (shaft, wanted) in free.shafts.iter().zip([127.874_984, 122.265_150]) {
        assert!((shaft.twist.set - wanted).abs() < 1e-6, "{}", shaft.twist.set);
    }
}

/// Couples of a joint at 30 deg and 50 N m (Seherr-Thoss, Schmelz and Aucktor, Universal Joints and Driveshafts, from
/// memory; numbers derived): at most T tan β = 28.867513 N m on the driving shaft, which over 300 mm is 96.225 N, and
/// T sin β = 25 N m on the driven one.
#[test]
fn bearing_forces() {
    let thirty = 30f64.to_radians();
    let force = |joints: &[(f64, Option<f64>)], bearing: usize, station: f64| {
        let mut drawn = Linkage::planar(joints, 600.0);
        drawn.torque = Some(50.0);
        drawn.shafts[bearing].along = Some(station);
        let solved = solve(&drawn.text());
        assert_eq!(solved.solution.strength.bearings.len(), 1);
        solved.solution.strength.bearings[0].force_max
    };
    let last = [(0.0, None), (0.0, None), (thirty, None)];
    // The bearing and the last cross hold the couple between them, 300 mm apart.
    assert!((force(&last, 1, 300.0) - 96.225).abs() < 1e-3);
    let first = [(thirty, None), (0.0, None), (0.0, None)];
    // The free shaft passes 25 N m / 600 mm to the next, which turns about its far cross on a bearing half way.
    assert!((force(&first, 1, 300.0) - 2.0 * 25_000.0 / 600.0).abs() < 1e-3);
    // Below a bearing on the first shaft the free one passes its force up; the couple of 25 N m acts there itself.
    assert!((force(&first, 0, 300.0) - 25_000.0 / 300.0).abs() < 1e-3);
    assert!(force(&[(0.0, None); 3], 0, 200.0) < 1e-9);
}

/// Three joints float without a bearing, stand with one, and a second is one too many.
#[test]
fn bearings_are_counted() {
    let verdict = |stations: [Option<f64>; 2]| {
        let mut drawn = Linkage::planar(&[(0.3, None), (0.2, None), (0.3, None)], 300.0);
        for (shaft, station) in drawn.shafts.iter_mut().zip(stations) {
            shaft.along = station;
        }
        let solved = solve(&drawn.text());
        let found: Vec<_> = solved.findings.iter().filter(|finding| finding.rule == "support-bearing").collect();
        assert_eq!(found.len(), 1);
        found[0].status
    };
    assert_eq!(verdict([None, None]), Status::Fail);
    assert_eq!(verdict([None, Some(150.0)]), Status::Pass);
    assert_eq!(verdict([Some(150.0), None]), Status::Pass);
    assert_eq!(verdict([Some(150.0), Some(150.0)]), Status::Warn);
}

/// A bearing where it was put: by its distance, by its point; an eye beside the shaft is found to be off it.
#[test]
fn bearings_stand_where_they_are_put() {
    let mut drawn = Linkage::planar(&[(0.3, None), (0.2, None), (0.3, None)], 300.0);
    drawn.shafts[1].along = Some(110.0);
    let solution = solve(&drawn.text()).solution;
    let bearing = solution.shafts[1].bearing.clone().unwrap();
    near(bearing.station, 110.0, "station");
    // The bar begins 15 mm beyond its cross.
    near(bearing.z, 95.0, "from the end of the bar");
    let cross = solution.joints[1].centre;
    assert!((bearing.centre - (cross + drawn.axes()[2] * 110.0)).length() < NEAR);

    let side = drawn.axes()[2].any_normal();
    drawn.shafts[1].along = None;
    drawn.shafts[1].loose_eye = Some(cross + drawn.axes()[2] * 110.0 + side * 2.5);
    let solved = solve(&drawn.text());
    near(solved.solution.shafts[1].bearing.clone().unwrap().off_axis, 2.5, "off the axis");
    assert!(solved.findings.iter().any(|f| f.rule == "bearing-line" && f.status != Status::Pass));
}

/// With every screw lost all shafts of a chain in line slide down until they stand on the gear's: the bite left is the
/// engagement less every gap between shaft ends below (two gaps of 15 mm a joint, and the crosses of a double).
#[test]
fn slack_adds_up_along_the_chain() {
    let drawn = Linkage::planar(&[(0.0, None), (0.0, Some(45.0)), (0.0, None)], 300.0);
    let joints = solve(&drawn.text()).solution.joints;
    let expect = |joint: usize, end: End, slack: f64| {
        let captive = &joints[joint].captive;
        let left = if end == End::Upper { captive.upper } else { captive.lower };
        // Where ends meet is found by halving, to a billionth of a millimetre.
        assert!((left - (25.0 - slack)).abs() < 1e-6, "{joint} {end:?}: {left}");
    };
    expect(1, End::Lower, 30.0);
    expect(0, End::Lower, 30.0 + 75.0);
    expect(1, End::Upper, 30.0);
    expect(2, End::Upper, 30.0 + 75.0);
    // A joint on the column is followed to twice its engagement, well off it.
    expect(0, End::Upper, 50.0);
}

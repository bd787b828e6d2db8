//! Straight ahead: places on the ripple, teeth, tie rods, locks, screws.
//!
//! Outside source of the motion: the relation tan φ = cos β tan θ of a single joint and the vector simulation of
//! `chains`; the teeth are counted out one by one here.

use std::f64::consts::{FRAC_PI_2, PI};

use proptest::prelude::*;
use yokeline::pipeline::{self, Solved};
use yokeline::solve::clocking::{ClockingResult, Ripple};

use crate::common::HERON;

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}");
}

fn solve(text: &str) -> Solved {
    match pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) {
        Ok(solved) => solved,
        Err(errors) => panic!("{errors:#?}"),
    }
}

fn heron_without() -> String {
    HERON.split("\n[clocking]").next().unwrap().to_owned()
}

fn straight(keys: &str) -> ClockingResult {
    solve(&format!("{}\n[clocking]\n{keys}\n", heron_without())).solution.clocking.unwrap()
}

/// A single joint is slowest with the trunnion axis on the plane's normal, quickest a quarter turn on; there and there
/// alone left and right agree, and halfway they differ by the most.
#[test]
fn one_joint_has_its_even_places_on_the_axes() {
    let ripple = Ripple::new(&[30f64.to_radians()], &[], &[]);
    near(ripple.calmest().sin(), 0.0, 1e-12, "slowest on the normal");
    for quarter in 0..4 {
        let theta = f64::from(quarter) * FRAC_PI_2;
        near(ripple.left_right(theta), 0.0, 1e-12, "even place");
    }
    // Halfway between, from the relation itself: θ = 45 deg, a quarter turn to both sides.
    let phi = |theta: f64| ((30f64.to_radians().cos() * theta.sin()).atan2(theta.cos())).to_degrees();
    let at =
        |x: f64| (phi((45.0 + x).to_radians()) + phi((45.0 - x).to_radians()) - 2.0 * phi(45f64.to_radians())).abs();
    let worst = (0..=9000).map(|i| at(f64::from(i) / 100.0)).fold(0.0, f64::max);
    near(ripple.left_right(PI / 4.0).to_degrees(), worst, 1e-6, "halfway");
    assert!(ripple.left_right_worst().to_degrees() >= worst - 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Any chain: even where it is slowest and where it is quickest; the gear's angle and the column's undo each other.
    #[test]
    fn any_chain_is_even_at_its_extremes(
        angles in prop::collection::vec(0.05f64..0.6, 2..6),
        psi in prop::collection::vec(-3.0f64..3.0, 5),
        twists in prop::collection::vec(-3.0f64..3.0, 5),
        theta in -7.0f64..7.0,
    ) {
        let count = angles.len() - 1;
        let ripple = Ripple::new(&angles, &psi[..count], &twists[..count]);
        prop_assert!((ripple.column(ripple.gear(theta)) - theta).abs() < 1e-10);
        prop_assume!(!ripple.is_even());
        for quarter in 0..4 {
            prop_assert!(ripple.left_right(ripple.calmest() + f64::from(quarter) * FRAC_PI_2) < 1e-9);
        }
        let slope = |at: f64| (ripple.gear(at + 1e-5) - ripple.gear(at - 1e-5)) / 2e-5;
        prop_assert!(slope(ripple.calmest()) <= slope(theta) + 1e-9);
        prop_assert!(ripple.left_right(theta) <= ripple.left_right_worst() + 1e-6);
    }
}

const MEASURED: &str = "wheel_teeth = 36\nwheel_off = \"23 deg\"\nyoke = \"31 deg\"\n";

/// Every tooth of the gear's hub with every tooth of the wheel counted out: none is better than the pair found.
#[test]
fn no_pair_of_teeth_is_better() {
    let solved = solve(&format!("{}\n[clocking]\n{MEASURED}", heron_without()));
    let found = solved.solution.clocking.unwrap();
    let best = found.best.unwrap();
    near(found.gear_step.unwrap(), 10.0, 1e-12, "36 teeth on the gear");
    near(found.wheel_step.unwrap(), 10.0, 1e-12, "36 teeth at the wheel, two places of the double-D");
    // The curve of the results, read between its rows: the angle of the gear from the column yoke's.
    let rows = &solved.solution.motion.curve;
    let gear = |theta: f64| {
        let place = theta.rem_euclid(360.0);
        let i = (place.floor() as usize).min(359);
        let share = place - i as f64;
        theta + rows[i][1] * (1.0 - share) + rows[i + 1][1] * share
    };
    let column = |angle: f64| {
        let (mut low, mut high) = (angle - 100.0, angle + 100.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if gear(middle) < angle { low = middle } else { high = middle }
        }
        low
    };
    let uneven = |theta: f64| {
        let differ = |x: f64| (gear(theta + x) + gear(theta - x) - 2.0 * gear(theta)).abs();
        (0..=360).map(|i| differ(f64::from(i) / 4.0)).fold(0.0, f64::max)
    };
    let theta = 31.0 + 90.0;
    let mut least = f64::INFINITY;
    for k in 0..36 {
        let at = column(gear(theta) + 10.0 * f64::from(k));
        for j in 0..36 {
            let off = (23.0 + at - theta + 10.0 * f64::from(j) + 180.0).rem_euclid(360.0) - 180.0;
            least = least.min(off.abs().max(uneven(at)));
        }
    }
    near(best.wheel_left.abs().max(best.left_right), least, 2e-3, "the worse of the two figures");
    // What it says to do adds up.
    let sum = (23.0 + best.yoke_turn + best.wheel_turn - best.wheel_left + 180.0).rem_euclid(360.0) - 180.0;
    near(sum, 0.0, 1e-9, "what is turned is what is left");
    near((best.yoke - 31.0 - best.yoke_turn + 90.0).rem_euclid(180.0), 90.0, 1e-9, "yoke after the turn");
}

/// A wheel that is tied has one place; a half turn of its double-D hub is all that is left.
#[test]
fn a_tied_wheel_goes_by_the_gear_alone() {
    let tied = straight(&format!("{MEASURED}wheel_tied = true\n"));
    near(tied.wheel_step.unwrap(), 180.0, 1e-12, "step");
    let best = tied.best.unwrap();
    assert!(best.gear_steps != 0, "36 teeth at the gear straighten a wheel 23 deg off");
    assert!(best.wheel_left.abs() < 7.0, "{best:?}");
    let free = straight(MEASURED).best.unwrap();
    assert!(free.wheel_left.abs().max(free.left_right) <= best.wheel_left.abs().max(best.left_right) + 1e-9);
}

/// One turn of the gear moves the rods 48 mm: 4.5 deg of the gear are 0.6 mm, 0.4 turns of a rod end of 1.5 mm.
#[test]
fn tie_rods_take_out_what_is_left() {
    let keys = format!("{MEASURED}rod_travel = \"48 mm\"\nrod_pitch = \"1.5 mm\"\n");
    let found = straight(&keys);
    let (best, rods) = (found.best.unwrap(), found.rods.unwrap());
    near(rods.change, rods.gear_off.abs() / 360.0 * 48.0, 1e-12, "change");
    near(rods.turns, rods.change / 1.5, 1e-12, "turns");
    assert!(rods.gear_off * best.wheel_left < 0.0, "the gear goes the way the wheel is turned back");
    // Within the ratio's swing the gear turns as the wheel does.
    let ratio = rods.gear_off.abs() / best.wheel_left.abs();
    assert!((0.7..1.4).contains(&ratio), "{ratio}");
}

/// Whole turns of an uneven chain are whole turns: 1.5 turns to each lock are 540 deg of the wheel, and what a half turn
/// more adds to one side is 180 deg.
#[test]
fn locks_count_whole_turns() {
    let even = straight(&format!("{MEASURED}lock_to_lock = 3\n")).locks.unwrap();
    near(even.left, 540.0, 1e-9, "left");
    near(even.right, 540.0, 1e-9, "right");
    let off = straight(&format!("{MEASURED}lock_to_lock = 3\ngear_centre = 1\n")).locks.unwrap();
    near(off.left, 360.0, 1e-9, "left");
    near(off.right, 720.0, 1e-9, "right");
}

/// The line of a screw is square to its shaft, and clocked from straight up; a rail beside it takes its room.
#[test]
fn screws_point_square_to_their_shafts() {
    let solved = solve(&format!("{}\n[clocking]\nyoke = \"0 deg\"\n", heron_without()));
    let found = solved.solution.clocking.unwrap();
    assert_eq!(found.screws.len(), 3, "the pinched hub has none");
    let shaft = solved.solution.shafts[0].frame.z;
    let below = &found.screws[1];
    near(below.toward.dot(shaft), 0.0, 1e-12, "square");
    let up = (yokeline::geometry::Vec3::new(0.0, 0.0, 1.0) - shaft * shaft.z).unit().unwrap();
    near(up.angle_to(below.toward).to_degrees(), below.clock, 1e-6, "clock");
    // Straight edges parallel to the ears: with the column yoke's ears in the bend plane the screw is square to it, along
    // the plane's normal.
    let upper = &found.screws[0];
    let plane = solved.spec.column.axis.cross(shaft).unit().unwrap();
    near(upper.toward.dot(plane).abs(), 1.0, 1e-9, "along the normal");
    // A block over each end of the line leaves no room.
    let at = solved.solution.joints[0].centre;
    let block = |name: &str, side: f64| {
        let c = at + upper.toward * (side * 75.0) - yokeline::geometry::Vec3::new(40.0, 40.0, 40.0);
        format!(
            "\n[[obstacle]]\nname = \"{name}\"\nneed = 0\nbox = {{ corner = [\"{} mm\", \"{} mm\", \"{} mm\"], edges = \
             [[\"80 mm\", 0, 0], [0, \"80 mm\", 0], [0, 0, \"80 mm\"]] }}\n",
            c.x, c.y, c.z
        )
    };
    assert_eq!(upper.room, [true, true]);
    for (side, room) in [(1.0, [false, true]), (-1.0, [true, false])] {
        let text = format!("{}\n{}\n[clocking]\nyoke = \"0 deg\"\n", heron_without(), block("block", side));
        let blocked = solve(&text).solution.clocking.unwrap();
        assert_eq!(blocked.screws[0].room, room, "{side}");
    }
}

/// Without measurements: half a tooth, and the ripple at its worst.
#[test]
fn nothing_measured_is_judged_at_worst() {
    let found = straight("wheel_teeth = 36\n");
    near(found.wheel_left_worst, 5.0, 1e-12, "half a tooth");
    assert!(found.best.is_none() && found.left_right.is_none() && found.screws.is_empty());
    assert!(found.left_right_worst > 0.0);
}

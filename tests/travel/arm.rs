//! A control arm against printed places and distances.

use yokeline::geometry::distance::{Convex, Solid};
use yokeline::solve::travel::{BUDGET, Carried, First, least};

use super::{arm, near, p, turn};

/// Pivots and ball joint of the control arm in tests/reference/segments.json.
const PIVOTS: [yokeline::geometry::Vec3; 2] = [p(100.0, 300.0, 200.0), p(-150.0, 320.0, 210.0)];
const BALL: yokeline::geometry::Vec3 = p(0.0, 650.0, 180.0);

#[test]
fn the_ball_joint_goes_where_rodrigues_puts_it() {
    // Rodrigues' formula by an independent computation, printed to 1e-8.
    let motion = turn(PIVOTS, [-12.0, 12.0]);
    for (degrees, x, y, z) in [
        (-12.0_f64, 2.658_201_27, 647.542_305_45, 251.370_420_88),
        (12.0, -3.802_850_76, 637.602_225_41, 109.724_280_26),
    ] {
        let at = motion.at(motion.step(degrees.to_radians())).point(BALL);
        near(at.x, x, 1e-8);
        near(at.y, y, 1e-8);
        near(at.z, z, 1e-8);
    }
}

#[test]
fn bump_and_droop_turn_the_arm_as_far_as_printed() {
    // The same source: 75 mm up is -12.614993989 degrees, 75 mm down 12.827039925.
    let motion = arm(PIVOTS, BALL, [-75.0, 75.0]);
    near(motion.step(75.0).to_degrees(), -12.614_993_989, 1e-8);
    near(motion.step(-75.0).to_degrees(), 12.827_039_925, 1e-8);
    for height in [-75.0, -10.0, 0.0, 33.0, 75.0] {
        near(motion.at(motion.step(height)).point(BALL).z - BALL.z, height, 1e-10);
        near(motion.value(motion.step(height)), height, 1e-10);
    }
}

#[test]
fn an_arm_taped_at_droop_counts_from_its_height_at_zero() {
    // Taped 20 mm down: at value 0 the ball joint is 20 mm higher than taped.
    let mut motion = arm(PIVOTS, BALL, [-60.0, 60.0]);
    motion.measured = -20.0;
    near(motion.at(motion.step(0.0)).point(BALL).z - BALL.z, 20.0, 1e-10);
    near(motion.step(-20.0), 0.0, 1e-12);
    near(motion.value(0.0), -20.0, 1e-12);
}

#[test]
fn the_least_gap_over_travel_stands_at_the_printed_end() {
    // The same source: centre line of the arm to a fixed segment, least at the end of travel, -12 degrees: 96.090792.
    let radii = [10.0, 12.5];
    let fixed = Convex::Cylinder { from: p(-200.0, 250.0, 420.0), to: p(150.0, 420.0, 230.0), radius: radii[0] };
    let middle = (PIVOTS[0] + PIVOTS[1]) * 0.5;
    let moved = Convex::Cylinder { from: middle, to: BALL, radius: radii[1] };
    let motions = [turn(PIVOTS, [-12.0, 12.0])];
    let first = Carried::new(vec![Solid::Convex(fixed)], vec![]);
    let second = Carried::new(vec![Solid::Convex(moved)], vec![0]);
    let found = least(&motions, First::Carried(&first), &second, BUDGET).unwrap();
    near(found.gap, 96.090_792 - radii[0] - radii[1], 1e-6);
    near(found.steps[0].to_degrees(), -12.0, 1e-12);
    assert!(found.lower <= found.gap && found.gap - found.lower <= 0.05, "{found:?}");
    // With the arm stopped at each printed angle the gap is the printed one.
    for (degrees, distance) in
        [(-12.0, 96.090_792), (-6.0, 101.919_222), (0.0, 106.927_665), (6.0, 110.906_274), (12.0, 113.616_279)]
    {
        let stopped = [turn(PIVOTS, [degrees, degrees + 1e-9])];
        let found = least(&stopped, First::Carried(&first), &second, BUDGET).unwrap();
        near(found.gap, distance - radii[0] - radii[1], 1e-6);
    }
}

#[test]
fn a_least_gap_inside_the_travel_is_found() {
    // A ball on an arm of 300 about x passes a point straight over the axis at 320: nearest in mid travel, 20 less its
    // radius; and a shift along x of 40 either way changes nothing where it is 0.
    let motions = [
        turn([p(0.0, 0.0, 0.0), p(1.0, 0.0, 0.0)], [-40.0, 70.0]),
        super::motion(yokeline::spec::types::MotionPath::Shift { along: p(1.0, 0.0, 0.0) }, [-40.0, 40.0]),
    ];
    let ball = Solid::Convex(Convex::Ball { centre: p(3.0, 0.0, 300.0), radius: 8.0 });
    let point = Solid::Convex(Convex::Ball { centre: p(0.0, 0.0, 320.0), radius: 0.0 });
    let (first, second) = (Carried::new(vec![point], vec![]), Carried::new(vec![ball], vec![0, 1]));
    let found = least(&motions, First::Carried(&first), &second, BUDGET).unwrap();
    assert!(found.lower <= 12.0 && 12.0 <= found.gap + 1e-9, "{found:?}");
    assert!(found.gap - found.lower <= 0.05, "{found:?}");
    assert!(found.looked < 2000, "{found:?}");
}

#[test]
fn a_small_budget_tells_the_truth() {
    let motions = [turn(PIVOTS, [-60.0, 60.0])];
    let fixed = Convex::Cylinder { from: p(-200.0, 700.0, 420.0), to: p(150.0, 420.0, 230.0), radius: 10.0 };
    let moved = Convex::Cylinder { from: PIVOTS[0], to: BALL, radius: 12.5 };
    let first = Carried::new(vec![Solid::Convex(fixed)], vec![]);
    let second = Carried::new(vec![Solid::Convex(moved)], vec![0]);
    let whole = least(&motions, First::Carried(&first), &second, BUDGET).unwrap();
    for budget in [0, 3, 5, 9, 20] {
        let found = least(&motions, First::Carried(&first), &second, budget).unwrap();
        assert!(found.lower <= whole.gap && found.gap >= whole.lower, "{budget}: {found:?} {whole:?}");
    }
    assert!(
        least(&motions, First::Carried(&first), &second, 3).unwrap().gap
            - least(&motions, First::Carried(&first), &second, 3).unwrap().lower
            > 0.05
    );
}

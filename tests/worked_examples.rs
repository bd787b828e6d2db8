//! Ten worked examples of a single joint and of two, to the digits of their answers.
//!
//! E1 to E6: Khurmi and Gupta, Theory of Machines, ch. 9 (from memory). E7 to E10: exercises of the trade (common
//! practice, no source). Answers recomputed from the closed forms; where the book rounds on the way, its own answer is met
//! within what it rounds by.

use yokeline::solve::motion::{Unevenness, follow, relative_phases};

const TURN: f64 = std::f64::consts::TAU;

fn near(found: f64, expected: f64, allowed: f64, what: &str) {
    assert!((found - expected).abs() <= allowed, "{what}: found {found}, expected {expected}");
}

/// Half of the last of so many decimals.
fn digits(found: f64, expected: f64, decimals: i32, what: &str) {
    near(found, expected, 0.5 * 10f64.powi(-decimals) * (1.0 + 1e-9), what);
}

fn joint(beta: f64) -> Unevenness {
    Unevenness::of_joint(beta.to_radians())
}

/// Speeds (rpm or rad/s) at the most and the least.
fn extremes(beta: f64, speed: f64) -> (f64, f64) {
    (speed * joint(beta).ratio_max(), speed / joint(beta).ratio_max())
}

/// The angle (deg) at which greatest less least speed ratio is that much, closed in on by halving.
fn angle_of_swing(swing: f64) -> f64 {
    let (mut low, mut high) = (0.0, 80.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        let ratio = joint(middle).ratio_max();
        if ratio - 1.0 / ratio < swing { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

/// d²φ/dθ² at θ' from the fork in plane (rad): the slope of the program's own ratio, by Richardson's rule on central
/// differences (error under 1e-10).
fn slope(beta: f64, from_fork: f64) -> f64 {
    let ratio = |x: f64| follow(&[beta.to_radians()], &[], x + std::f64::consts::FRAC_PI_2).1;
    let central = |h: f64| (ratio(from_fork + h) - ratio(from_fork - h)) / (2.0 * h);
    let (wide, narrow) = (central(2e-3), central(1e-3));
    narrow + (narrow - wide) / 3.0
}

/// The greatest slope and its place (deg from the fork in plane).
fn greatest_slope(beta: f64) -> (f64, f64) {
    let (mut low, mut high) = (0.0f64, std::f64::consts::FRAC_PI_2);
    for _ in 0..100 {
        let (a, b) = (low + (high - low) * 0.382, low + (high - low) * 0.618);
        if slope(beta, a).abs() > slope(beta, b).abs() { high = b } else { low = a }
    }
    let at = f64::midpoint(low, high);
    (slope(beta, at).abs(), at.to_degrees())
}

#[test]
fn e1_a_swing_of_100_rpm_at_1200() {
    let beta = angle_of_swing(100.0 / 1200.0);
    digits(beta, 16.422_908, 6, "angle");
    digits(beta.to_radians().cos(), 0.9592, 4, "printed cosine");
    let (most, least) = extremes(beta, 1200.0);
    digits(most, 1251.0412, 4, "greatest");
    digits(least, 1151.0412, 4, "least");
    near(most, 1251.0, 0.5, "printed");
    near(least, 1151.0, 0.5, "printed");
}

#[test]
fn e2_six_per_cent_either_way() {
    let beta = angle_of_swing(0.12);
    digits(beta, 19.644_202, 6, "angle");
    digits(beta, 19.64, 2, "printed");
}

#[test]
fn e3_flywheel_at_1500_rpm() {
    let speed = 1500.0 * TURN / 60.0;
    let (slope, at) = greatest_slope(20.0);
    let alpha = slope * speed * speed;
    digits(alpha, 3083.402, 3, "acceleration");
    digits(at, 41.4587, 4, "place");
    digits(12.0 * 0.1 * 0.1 * alpha, 370.008, 3, "torque");
    near(alpha, 3090.0, 0.003 * 3090.0, "printed, cos 2θ rounded");
    near(12.0 * 0.1 * 0.1 * alpha, 371.0, 0.003 * 371.0, "printed, cos 2θ rounded");
}

#[test]
fn e4_where_the_ratio_is_one() {
    for (printed, exact) in [(44.3, 44.281_274), (135.7, 135.718_726f64)] {
        near(follow(&[18f64.to_radians()], &[], (exact + 90.0).to_radians()).1, 1.0, 1e-8, "ratio");
        digits(exact, printed, 1, "printed");
    }
}

#[test]
fn e5_torque_to_drive_a_flywheel() {
    let speed = 240.0 * TURN / 60.0;
    let at = std::f64::consts::FRAC_PI_4;
    let alpha = slope(20.0, at) * speed * speed;
    digits(alpha, -78.328, 3, "acceleration");
    let driven = 200.0 + 55.0 * 0.15 * 0.15 * alpha;
    let ratio = follow(&[20f64.to_radians()], &[], at + std::f64::consts::FRAC_PI_2).1;
    digits(driven * ratio, 102.8698, 4, "driving torque");
    near(driven * ratio, 102.6, 0.3, "printed, rounded on the way");
    digits(angle_of_swing(0.1), 17.964_236, 6, "angle of a swing of 0.1");
}

#[test]
fn e6_two_joints_at_their_worst() {
    let twenty = 20f64.to_radians();
    let worst = Unevenness::of_chain(&[twenty, twenty], &relative_phases(&[90f64.to_radians()], &[0.0]));
    digits(500.0 * worst.ratio_max(), 566.237_166, 6, "greatest");
    digits(500.0 / worst.ratio_max(), 441.511_111, 6, "least");
    let (most, least) = extremes(20.0, 500.0);
    digits(most, 532.088_886, 6, "intermediate, greatest");
    digits(least, 469.846_310, 6, "intermediate, least");
    near(500.0 * worst.ratio_max(), 566.25, 0.02, "printed");
    near(500.0 / worst.ratio_max(), 441.5, 0.02, "printed");
    digits(most, 532.1, 1, "printed");
    digits(least, 469.85, 2, "printed");
}

#[test]
fn e7_a_swing_of_200_rpm_at_1500() {
    let beta = angle_of_swing(200.0 / 1500.0);
    digits(beta, 20.682_315, 6, "angle");
    let (most, least) = extremes(beta, 1500.0);
    digits(most, 1603.3296, 4, "greatest");
    digits(least, 1403.3296, 4, "least");
    near(beta, 20.67, 0.02, "printed, rounded on the way");
    near(most, 1603.25, 0.1, "printed, rounded on the way");
    near(least, 1403.39, 0.1, "printed, rounded on the way");
}

#[test]
fn e8_a_swing_of_an_eighth() {
    digits(angle_of_swing(0.125), 20.040_400, 6, "angle");
}

#[test]
fn e9_extremes_at_25_degrees() {
    let (most, least) = extremes(25.0, 100.0);
    digits(most, 110.337_792, 6, "greatest");
    digits(least, 90.630_779, 6, "least");
}

#[test]
fn e10_the_shaft_between_two_joints() {
    let speed = 2400.0 * TURN / 60.0;
    let alpha = greatest_slope(30.0).0 * speed * speed;
    near(alpha, 18_606.721_4, 2e-4, "acceleration");
    near(3.0 * alpha, 55_820.16, 0.005, "torque swing");
}

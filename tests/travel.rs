//! Gaps over motions.

mod arm;
mod bearing;
mod chain;
mod curves;
mod roadster;
mod scenes;

use yokeline::geometry::Vec3;
use yokeline::spec::types::{Lift, Motion, MotionPath};

const fn p(x: f64, y: f64, z: f64) -> Vec3 {
    Vec3::new(x, y, z)
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected}");
}

/// A motion that moves what the test says.
fn motion(path: MotionPath, range: [f64; 2]) -> Motion {
    Motion { name: "motion".into(), path, range, measured: 0.0, moves: Vec::new() }
}

fn turn(about: [Vec3; 2], degrees: [f64; 2]) -> Motion {
    let axis = (about[1] - about[0]).unit().unwrap();
    motion(MotionPath::Turn { about: about[0], axis }, degrees.map(f64::to_radians))
}

fn arm(pivots: [Vec3; 2], at: Vec3, heights: [f64; 2]) -> Motion {
    let axis = (pivots[1] - pivots[0]).unit().unwrap();
    let lift = Lift::new(pivots[0], axis, at);
    motion(MotionPath::Travel { about: pivots[0], axis, lift }, heights)
}

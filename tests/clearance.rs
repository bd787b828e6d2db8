//! Distances, rails as solids, and the rows of clearance.

mod distance;
mod parted;
mod plates;
mod rails;
mod rows;

use yokeline::geometry::Vec3;
use yokeline::geometry::distance::Convex;

const IN: f64 = 25.4;

fn p(x: f64, y: f64, z: f64) -> Vec3 {
    Vec3::new(x, y, z)
}

fn cylinder(from: Vec3, to: Vec3, radius: f64) -> Convex {
    Convex::Cylinder { from, to, radius }
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected}");
}

//! Cross centres, angles, bend planes.

use proptest::prelude::*;
use yokeline::geometry::Vec3;
use yokeline::solve::chain::{Chain, chain};

use crate::common::heron;

/// Compound angles from plan and elevation: tan² of the angle is the sum of tan² of the two seen ones, the bend plane
/// stands at the atan2 of the two, the twist is the difference of the planes.
/// Graphic example of the driveline trade (common practice, no source; exact values recomputed).
#[test]
fn compound_angle_example() {
    let direction = |vertical: f64, horizontal: f64| {
        Vec3::new(1.0, vertical.to_radians().tan(), horizontal.to_radians().tan()).unit().unwrap()
    };
    let x = Vec3::new(1.0, 0.0, 0.0);
    let first = direction(15.0, 7.0);
    let second = direction(-11.5, 12.0);
    // Shaft along x; the first joint turns from −(its deviation) so that its plane holds the seen angle.
    let before = Vec3::new(first.x, -first.y, -first.z);
    let chain = Chain::from_axes(vec![Vec3::default(), x * 100.0], vec![before, x, second]);
    assert!((chain.angles[0].to_degrees() - 16.422_457).abs() < 1e-6, "{}", chain.angles[0].to_degrees());
    assert!((chain.angles[1].to_degrees() - 16.395_630).abs() < 1e-6);
    assert!((chain.psi[0].to_degrees() - 109.127_234).abs() < 1e-6, "{}", chain.psi[0].to_degrees());
}

/// The crosses stand the gap beyond the column's end and before the gear's, on their axes.
#[test]
fn crosses_follow_from_the_ends() {
    let spec = heron();
    let chain = chain(&spec).unwrap();
    let reach_less_depth = (1.60 - 1.00) * 25.4;
    let column_gap = (chain.centres[0] - spec.column.end).length();
    assert!((column_gap - reach_less_depth).abs() < 1e-9);
    // The gear hub sits where bolt meets groove: 0.40 + 0.55 in inside its face, so 1.60 − 0.95 in from the cross.
    let gear_gap = (spec.gear.end - chain.centres[1]).length();
    assert!((gear_gap - 0.65 * 25.4).abs() < 1e-9, "{gear_gap}");
    assert!((chain.centres[0] - spec.column.end).cross(spec.column.axis).length() < 1e-9);
    assert!((spec.gear.end - chain.centres[1]).cross(spec.gear.axis).length() < 1e-9);
}

/// A joint in line has its neighbour's normal; all in line, none is bent.
#[test]
fn joints_in_line() {
    let x = Vec3::new(1.0, 0.0, 0.0);
    let up = Vec3::new(0.8, 0.0, 0.6);
    let one = Chain::from_axes(vec![Vec3::default(), x, x * 2.0], vec![x, x, up, up]);
    assert_eq!(one.normals[0], one.normals[1]);
    assert_eq!(one.normals[2], one.normals[1]);
    assert!(one.bent);
    let none = Chain::from_axes(vec![Vec3::default(), x], vec![x, x, x]);
    assert!(!none.bent && none.angles.iter().all(|&a| a == 0.0) && none.psi[0] == 0.0);
}

fn direction() -> impl Strategy<Value = Vec3> {
    (-1.0f64..1.0, -1.0f64..1.0, -1.0f64..1.0)
        .prop_map(|(x, y, z)| Vec3::new(x, y, z))
        .prop_filter("not near zero", |v| v.length() > 0.1)
        .prop_map(|v| v.unit().unwrap())
}

proptest! {
    /// Turning and moving the vehicle changes no angle; mirroring it changes only the sign of ψ.
    #[test]
    fn motion_of_the_vehicle(a in direction(), b in direction(), c in direction(), axis in direction(), turn in -3.0f64..3.0) {
        prop_assume!(a.cross(b).length() > 1e-3 && b.cross(c).length() > 1e-3);
        let here = Chain::from_axes(vec![Vec3::default(), b * 300.0], vec![a, b, c]);
        let turned = Chain::from_axes(vec![Vec3::default(), b * 300.0], [a, b, c].map(|v| v.turned(axis, turn)).to_vec());
        let mirrored = Chain::from_axes(vec![Vec3::default(), b * 300.0], [a, b, c].map(|v| Vec3::new(v.x, -v.y, v.z)).to_vec());
        let around = |angle: f64| angle.sin().atan2(angle.cos()).abs();
        for i in 0..2 {
            prop_assert!((here.angles[i] - turned.angles[i]).abs() < 1e-9);
            prop_assert!((here.angles[i] - mirrored.angles[i]).abs() < 1e-9);
        }
        prop_assert!(around(here.psi[0] - turned.psi[0]) < 1e-7);
        prop_assert!(around(here.psi[0] + mirrored.psi[0]) < 1e-7);
    }
}

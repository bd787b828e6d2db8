//! Couples, forces and bearing loads against closed forms and against statics.

use std::sync::LazyLock;

use proptest::prelude::*;
use yokeline::geometry::Vec3;
use yokeline::solve::bearing::BearingResult;
use yokeline::solve::chain::Chain;
use yokeline::solve::reaction::{balance, reactions};
use yokeline::solve::solution::ShaftResult;
use yokeline::spec::Spec;

use crate::common::heron;

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}");
}

/// A shaft of which statics asks its bearing alone.
fn shaft(bearing: Option<f64>) -> ShaftResult {
    static HERON: LazyLock<ShaftResult> =
        LazyLock::new(|| yokeline::solve::solve(&heron()).unwrap().0.shafts.swap_remove(0));
    let bearing = bearing.map(|station| BearingResult {
        station,
        z: station,
        centre: Vec3::default(),
        off_axis: 0.0,
        bore: None,
    });
    ShaftResult { bearing, ..HERON.clone() }
}

/// From joint angles and planes (deg) and shaft lengths; every first shaft along x.
fn chain(joints: &[(f64, f64)], lengths: &[f64]) -> Chain {
    let mut axis = Vec3::new(1.0, 0.0, 0.0);
    let mut normal = Vec3::new(0.0, 0.0, 1.0);
    let mut axes = vec![axis];
    let mut centres = vec![Vec3::default()];
    for (i, &(angle, plane)) in joints.iter().enumerate() {
        normal = normal.turned(axis, plane.to_radians());
        axis = axis.turned(normal, angle.to_radians());
        axes.push(axis);
        if i + 1 < joints.len() {
            centres.push(centres[i] + axis * lengths[i]);
        }
    }
    Chain::from_axes(centres, axes)
}

fn loaded(torque: f64) -> Spec {
    let mut spec = heron();
    spec.wheel_torque = Some(torque);
    spec
}

/// 50 N m through a joint of 30 deg: couples of 28.867513 and 25.000000 N m at the most, T tan β and T sin β
/// (Seherr-Thoss, Schmelz & Aucktor, Universal Joints and Driveshafts, from memory; values derived, verified
/// numerically). The second joint in line, so that it adds nothing: over 300 mm the larger couple of the shaft makes
/// 25 000 / 300 N at both ends.
#[test]
fn couples_of_one_joint() {
    let chain = chain(&[(30.0, 0.0), (0.0, 0.0)], &[300.0]);
    let (joints, bearings) = reactions(&loaded(50.0), &chain, &[shaft(None)], &[0.0]);
    near(joints[0].couple_above, 28.867_513, 5e-7, "driving shaft");
    near(joints[0].couple_below, 25.0, 5e-9, "driven shaft");
    near(joints[0].force.unwrap(), 25_000.0 / 300.0, 1e-6, "force at the first cross");
    near(joints[1].force.unwrap(), 25_000.0 / 300.0, 1e-6, "force at the second cross");
    assert!(bearings.is_empty());
    // The driving shaft's couple over bearings 300 mm apart: 96.225 N.
    near(joints[0].couple_above * 1000.0 / 300.0, 96.225, 5e-4, "over a span of 300 mm");
}

/// A planar Z in phase: both joints bend the shaft the same way round with the same couple, so it carries no side force
/// where the couples oppose, and a W carries twice over.
#[test]
fn a_z_bends_its_shaft_as_its_joints_do() {
    for (plane, wanted) in [(180.0, 0.0), (0.0, 2.0)] {
        let chain = chain(&[(30.0, 0.0), (30.0, plane)], &[300.0]);
        let (joints, _) = reactions(&loaded(50.0), &chain, &[shaft(None)], &[0.0]);
        // Fork of the shaft in the plane at both ends at once: T sin β at each.
        near(joints[0].force.unwrap(), wanted * 25_000.0 / 300.0, 1e-6, "force");
    }
}

#[test]
fn forces_that_hang_on_stiffness_are_not_told() {
    let three = chain(&[(20.0, 0.0), (25.0, 40.0), (15.0, 10.0)], &[300.0, 250.0]);
    let spec = {
        let mut spec = loaded(60.0);
        spec.joints.push(spec.joints[1].clone());
        spec
    };
    for bearings in [[None, None], [Some(100.0), Some(100.0)]] {
        let shafts = bearings.map(shaft);
        let (joints, bearings) = reactions(&spec, &three, &shafts, &[0.3, 0.7]);
        assert!(bearings.is_empty() && joints.iter().all(|joint| joint.force.is_none()));
        assert!(joints.iter().all(|joint| joint.couple_above > 1.0));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Forces and moments on every shaft add up to nothing, in every position, doubles among the joints.
    #[test]
    fn every_shaft_is_in_balance(
        joints in prop::collection::vec((3.0f64..40.0, -180.0f64..180.0), 2..7),
        lengths in prop::collection::vec(120.0f64..600.0, 6),
        stations in prop::collection::vec(0.2f64..0.8, 6),
        twists in prop::collection::vec(-3.0f64..3.0, 6),
        doubles in prop::collection::vec(prop::bool::weighted(0.3), 7),
        free in 0usize..6,
        theta in -3.2f64..3.2,
    ) {
        let mut chain = chain(&joints, &lengths);
        for (setback, double) in chain.setbacks.iter_mut().zip(&doubles) {
            *setback = if *double { 22.0 } else { 0.0 };
        }
        let count = joints.len() - 1;
        let free = free % count;
        let shafts: Vec<ShaftResult> =
            (0..count).map(|i| shaft((i != free).then(|| stations[i] * chain.span(i)))).collect();
        let torque = 60_000.0;
        let found = balance(&chain, &shafts, &twists[..count], torque, theta).unwrap();
        let scale = found.moments.iter().map(|m| m.length()).fold(torque, f64::max);
        let force_scale = found.forces.iter().map(|f| f.length()).fold(1.0, f64::max);
        for (i, share) in stations.iter().take(count).enumerate() {
            let axis = chain.axes[i + 1];
            let (above, below) = (chain.centres[i], chain.centres[i + 1]);
            let bearing_at = chain.lower_cross(i) + axis * (share * chain.span(i));
            let sum = found.forces[i] + found.bearings[i] - found.forces[i + 1];
            prop_assert!(sum.length() < 1e-9 * force_scale, "shaft {}: forces {:?}", i, sum);
            let about = (bearing_at - above).cross(found.bearings[i]) - (below - above).cross(found.forces[i + 1])
                + found.moments[i] - found.moments[i + 1];
            prop_assert!(about.length() < 1e-9 * scale.max(force_scale * 600.0), "shaft {}: moments {:?}", i, about);
            prop_assert!(found.bearings[i].dot(axis).abs() < 1e-9 * force_scale, "a bearing holds nothing along");
            prop_assert!(i != free || found.bearings[i].length() == 0.0);
        }
        // The column feels the wheel's torque.
        prop_assert!((found.moments[0].dot(chain.axes[0]) - torque).abs() < 1e-9 * torque);
    }
}

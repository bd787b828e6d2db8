//! Motion against tables of single joints and of 22 chains.
//!
//! Source of the numbers: an independent coordinate-free vector simulation and closed forms, checked against each
//! other (tests/reference/check-values.json; formulas after Fischer and Paul, J. Mech. Des. 113, 263 (1991)).

use proptest::prelude::*;
use serde_json::Value;
use yokeline::geometry::Vec3;
use yokeline::solve::chain::Chain;
use yokeline::solve::motion::{Unevenness, follow, motion, relative_phases};
use yokeline::solve::phase::{apart, best_phases, half_turn};

use crate::reference::check_values;

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row}"))
}

fn radians(row: &Value, key: &str) -> Vec<f64> {
    row[key].as_array().unwrap().iter().map(|v| v.as_f64().unwrap().to_radians()).collect()
}

fn near(found: f64, expected: f64, allowed: f64, what: &str) {
    assert!((found - expected).abs() <= allowed, "{what}: found {found}, expected {expected}");
}

/// Table of single joints, 1 to 60 degrees (twelve printed digits).
#[test]
fn single_joint_table() {
    let values = check_values();
    let rows = values["hooke_single"].as_array().unwrap();
    assert!(rows.len() >= 19);
    for row in rows {
        let beta = number(row, "beta").to_radians();
        let one = Unevenness::of_joint(beta);
        near(one.ratio_max(), number(row, "ratio_max"), 1e-11, "ratio_max");
        near(1.0 / one.ratio_max(), number(row, "ratio_min"), 1e-11, "ratio_min");
        near(one.ratio_max() - 1.0 / one.ratio_max(), number(row, "non_uniformity"), 1e-11, "U");
        near(one.error().to_degrees(), number(row, "lead_max"), 1e-10, "lead");
        near(one.equivalent_angle(), beta, 1e-12, "equivalent angle");
        // The greatest lead is where the table says, counted from the fork in plane.
        let theta = (number(row, "theta_lead_from_fork_in_plane") + 90.0).to_radians();
        near(follow(&[beta], &[], theta).0.to_degrees(), number(row, "lead_max"), 1e-10, "lead at its angle");
    }
}

/// 52 pairs of input and output angle.
#[test]
fn single_joint_pairs() {
    let values = check_values();
    let rows = values["hooke_angle_pairs"].as_array().unwrap();
    assert_eq!(rows.len(), 52);
    for row in rows {
        let (beta, theta) = (number(row, "beta").to_radians(), number(row, "theta_from_normal"));
        let (lead, _) = follow(&[beta], &[], theta.to_radians());
        near(theta + lead.to_degrees(), number(row, "phi_from_normal"), 1e-9, "phi");
    }
}

/// The 22 layouts: geometry from points, error, ratios, and the whole curve.
#[test]
fn chain_layouts() {
    let values = check_values();
    let rows = values["chains"].as_array().unwrap();
    assert_eq!(rows.len(), 22);
    for row in rows {
        let name = row["name"].as_str().unwrap();
        let points: Vec<Vec3> =
            row["points"].as_array().unwrap().iter().map(|p| serde_json::from_value(p.clone()).unwrap()).collect();
        let axes = points.windows(2).map(|p| (p[1] - p[0]).unit().unwrap()).collect();
        let chain = Chain::from_axes(points[1..points.len() - 1].to_vec(), axes);
        for (found, expected) in chain.angles.iter().zip(radians(row, "beta")) {
            near(found.to_degrees(), expected.to_degrees(), 1e-8, name);
        }
        for (found, expected) in chain.psi.iter().zip(radians(row, "psi")) {
            assert!(apart(found.to_degrees(), expected.to_degrees()) < 1e-8, "{name}: psi {found} {expected}");
        }
        // The table's own angles from here on, so that the digits of its points do not limit the comparison.
        let (angles, psi, delta) = (radians(row, "beta"), radians(row, "psi"), radians(row, "delta"));
        let found = motion(&angles, &psi, &delta, &psi);
        near(found.error, number(row, "error_half_pp"), 1e-9, name);
        near(found.ratio_max, number(row, "ratio_max"), 1e-9, name);
        near(found.ratio_min, number(row, "ratio_min"), 1e-9, name);
        let alpha = relative_phases(&delta, &psi);
        let (start, _) = follow(&angles, &alpha, 0.0);
        for point in row["curve"].as_array().unwrap() {
            let theta = number(point, "theta");
            let (lead, ratio) = follow(&angles, &alpha, theta.to_radians());
            near(theta + (lead - start).to_degrees() - theta, number(point, "phi_minus_phi0") - theta, 1e-9, name);
            near(ratio, number(point, "ratio"), 1e-9, name);
        }
    }
}

/// Best phases: layout B of three joints, and the exactly even W (both derived; verified numerically).
#[test]
fn best_phases_of_three_joints() {
    let values = check_values();
    let b = values["chains"].as_array().unwrap().iter().find(|c| c["name"] == "B delta 0, 0").unwrap().clone();
    let (angles, psi) = (radians(&b, "beta"), radians(&b, "psi"));
    let best = best_phases(&angles, &psi);
    let error = Unevenness::of_chain(&angles, &relative_phases(&best, &psi)).error().to_degrees();
    near(error, 4.220_824_850_892, 1e-9, "error of B");
    assert!(apart(best[0].to_degrees(), 127.874_984) < 1e-5 && apart(best[1].to_degrees(), 122.265_150) < 1e-5);
    let w: Vec<f64> = [20.0, 27.990_890_718, 20.0].map(f64::to_radians).to_vec();
    let even = best_phases(&w, &[0.0, 0.0]);
    assert!(Unevenness::of_chain(&w, &relative_phases(&even, &[0.0, 0.0])).error().to_degrees() < 1e-8);
}

proptest! {
    /// The torque that is lost at one angle is given back at another: greatest times least ratio is one.
    #[test]
    fn ratios_are_inverse(angles in prop::collection::vec(0.0f64..1.2, 1..8), phases in prop::collection::vec(-3.2f64..3.2, 8)) {
        let alpha = &phases[..angles.len() - 1];
        let exact = Unevenness::of_chain(&angles, alpha);
        let ratios: Vec<f64> = (0..7200).map(|i| follow(&angles, alpha, f64::from(i).to_radians() / 20.0).1).collect();
        let (low, high) = ratios.iter().fold((f64::INFINITY, 0f64), |(l, h), &r| (l.min(r), h.max(r)));
        prop_assert!(high <= exact.ratio_max() * (1.0 + 1e-9) && low >= (1.0 - 1e-9) / exact.ratio_max());
        // Sampled every twentieth of a degree the extremes are met closely unless the curve is a needle.
        prop_assume!(exact.ratio_max() < 20.0);
        prop_assert!((high * low - 1.0).abs() < 1e-2);
        prop_assert!((high / exact.ratio_max() - 1.0).abs() < 1e-2);
    }

    /// Equal angles with δ = ψ turn evenly.
    #[test]
    fn matched_joints_cancel(beta in 0.0f64..1.3, psi in -3.2f64..3.2) {
        let alpha = relative_phases(&[psi], &[psi]);
        prop_assert!(Unevenness::of_chain(&[beta, beta], &alpha).error().to_degrees() < 1e-10);
    }

    /// No phase drawn at random beats the best.
    #[test]
    fn nothing_beats_the_best(angles in prop::collection::vec(0.05f64..0.7, 2..6), psi in prop::collection::vec(-3.0f64..3.0, 5), other in prop::collection::vec(-3.0f64..3.0, 5)) {
        let psi = &psi[..angles.len() - 1];
        let error = |delta: &[f64]| Unevenness::of_chain(&angles, &relative_phases(delta, psi)).error();
        prop_assert!(error(&best_phases(&angles, psi)) <= error(&other[..psi.len()]) + 1e-9);
    }

    /// Half a turn more changes nothing.
    #[test]
    fn half_turns_are_nothing(angle in -1000.0f64..1000.0) {
        prop_assert!(apart(half_turn(angle + 180.0), angle) < 1e-9);
    }
}

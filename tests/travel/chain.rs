//! A linkage whose column and bearing move: never past what is proved, and as far as a spec stated anew says.

use yokeline::check::Status;
use yokeline::pipeline;
use yokeline::solve::{Solution, solve};
use yokeline::spec::Spec;
use yokeline::spec::types::BearingAt;

use super::{near, p};
use crate::common::{HERON, read};

const VAN: &str = include_str!("../../examples/otter-van-forward/linkage.toml");

/// The cab's shift in the van: up and rearward (mm).
const UP: [f64; 2] = [-5.0, 4.0];
const REARWARD: [f64; 2] = [-6.0, 6.0];

/// The van taped anew with its cab shifted.
fn shifted(spec: &Spec, rearward: f64, up: f64) -> Solution {
    let mut spec = spec.clone();
    let by = p(rearward, 0.0, up);
    spec.motions = Vec::new();
    spec.column.end = spec.column.end + by;
    spec.column.second = spec.column.second.map(|second| second + by);
    if let Some(BearingAt::Eye { centre, .. }) = spec.shafts[0].bearing.as_mut().map(|bearing| &mut bearing.at) {
        *centre = *centre + by;
    }
    solve(&spec).unwrap().0
}

#[test]
fn a_cab_on_its_mounts_is_judged_over_all_its_shift() {
    let spec = read(VAN);
    let (solution, _) = solve(&spec).unwrap();
    let over = solution.over_motions.as_ref().unwrap();
    // The upper shaft keeps the distance that places its lower cross.
    near(over.shafts[0].longest.value, over.shafts[0].shortest.value, 0.0);
    let steps = 4;
    let mut most = [0.0f64; 3];
    let mut nearest = [f64::INFINITY; 3];
    let (mut longest, mut shortest) = (0.0f64, f64::INFINITY);
    for i in 0..steps {
        for j in 0..steps {
            let at = |[low, high]: [f64; 2], k: i32| low + (high - low) * f64::from(k) / f64::from(steps - 1);
            let moved = shifted(&spec, at(REARWARD, i), at(UP, j));
            for (most, joint) in most.iter_mut().zip(&moved.joints) {
                *most = most.max(joint.angle);
            }
            for (nearest, joint) in nearest.iter_mut().zip(&moved.joints) {
                *nearest = nearest.min(joint.end_clearance);
            }
            longest = longest.max(moved.shafts[1].centre_distance);
            shortest = shortest.min(moved.shafts[1].centre_distance);
            for row in &solution.clearances {
                let here = moved.clearances.iter().find(|one| one.part == row.part && one.obstacle == row.obstacle);
                // As cut the shaft is as long as taped; here it is as long as its crosses then ask.
                if row.part == "lower shaft" {
                    continue;
                }
                // A plate farther off than 100 mm has no row.
                let plate = spec.plates.iter().any(|plate| plate.name == row.obstacle);
                let gap = here.map_or(if plate { 100.0 } else { f64::NAN }, |here| here.gap);
                assert!(gap >= row.lower.unwrap_or(row.gap) - 1e-9, "{row:?}");
            }
        }
    }
    for (sampled, joint) in most.iter().zip(&over.joints) {
        assert!(*sampled <= joint.angle_max.bound + 1e-9, "{sampled} {joint:?}");
        assert!(joint.angle_max.bound - joint.angle_max.value <= 0.05 + 1e-9, "{joint:?}");
        assert!(joint.angle_max.value >= sampled - 0.05, "{sampled} {joint:?}");
    }
    for (sampled, joint) in nearest.iter().zip(&over.joints) {
        assert!(joint.ends_apart <= sampled + 1e-9, "{sampled} {joint:?}");
        // A bound of the angle 0.05 deg too large, on ends 10 mm off the axis.
        near(joint.ends_apart, *sampled, 0.05);
    }
    let shaft = &over.shafts[1];
    assert!(longest <= shaft.longest.bound + 1e-9 && shortest >= shaft.shortest.bound - 1e-9, "{shaft:?}");
    assert!(shaft.longest.bound - shaft.longest.value <= 0.05 + 1e-9, "{shaft:?}");
    assert!(shaft.shortest.value - shaft.shortest.bound <= 0.05 + 1e-9, "{shaft:?}");
    near(shaft.longest.value, longest, 0.05);
    near(shaft.shortest.value, shortest, 0.05);
}

#[test]
fn two_joints_between_parts_that_move_warn_without_a_slip() {
    // A column on a body that shifts by 3 mm, a rack on the frame, and a bar that cannot slide.
    let motion = r#"
[[motion]]
name  = "body on its mounts"
shift = { along = [1, 0, 0], from = "-3 mm", to = "3 mm" }
moves = ["column"]
"#;
    let solved = pipeline::solve("linkage.toml", format!("{HERON}{motion}").as_bytes(), &mut |_| ()).unwrap();
    let finding = solved.findings.iter().find(|finding| finding.rule == "length-change").unwrap();
    assert_eq!(finding.status, Status::Warn);
    assert!(finding.message.contains("moves against itself"), "{}", finding.message);
    assert!(finding.message.contains("with body on its mounts at"), "{}", finding.message);
    // The bar lies some 40 degrees off the shift: it changes by less than that, and by most of it.
    assert!(finding.value.is_some_and(|change| change > 1.5 && change < 3.0), "{finding:?}");
    // Drawn out by that much, the bar bites that much less in either hub; the column's and gear's own bite stays.
    let over = solved.solution.over_motions.as_ref().unwrap();
    let drawn = over.shafts[0].longest.bound - over.shafts[0].taped;
    assert!(drawn > 1.5, "{drawn}");
    let joints = &solved.solution.joints;
    let hubs = [
        ("joint upper, column-side hub", joints[0].captive.upper),
        ("joint upper, gear-side hub", joints[0].captive.lower - drawn),
        ("joint lower, column-side hub", joints[1].captive.upper - drawn),
        ("joint lower, gear-side hub", joints[1].captive.lower),
    ];
    for (subject, left) in hubs {
        let finding = solved.findings.iter().find(|f| f.rule == "captive" && f.subject.starts_with(subject)).unwrap();
        near(finding.value.unwrap(), left, 1e-9);
    }
    // The notch was traced over the motion, and says so.
    assert!(solved.findings.iter().any(|finding| finding.rule == "notch-motion" && finding.status == Status::Pass));
}

#[test]
fn what_carries_all_alike_changes_nothing() {
    let motion = r#"
[[motion]]
name  = "the whole car on its lift"
shift = { along = [0, 0, 1], from = 0, to = "40 in" }
moves = ["column", "gear", "header, third tube", "left rail"]
"#;
    let still = pipeline::solve("linkage.toml", HERON.as_bytes(), &mut |_| ()).unwrap();
    let lifted = pipeline::solve("linkage.toml", format!("{HERON}{motion}").as_bytes(), &mut |_| ()).unwrap();
    for (a, b) in still.solution.clearances.iter().zip(&lifted.solution.clearances) {
        near(a.gap, b.gap, 1e-9);
    }
    let over = lifted.solution.over_motions.unwrap();
    near(over.shafts[0].longest.bound, over.shafts[0].taped, 1e-6);
}

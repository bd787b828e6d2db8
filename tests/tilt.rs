//! A column that tilts about a pivot below its lower bearing.

use yokeline::check::{self, Status};
use yokeline::pipeline::{self, Solved};

use crate::common::HERON;

/// A pivot 4 in up the column from its end, on its axis (in).
const PIVOT: [f64; 3] = [28.145, -15.230, 12.434];

fn solve(keys: &str) -> Solved {
    let text = HERON.replacen("tube    = \"2 in\"", &format!("tube    = \"2 in\"\n{keys}"), 1);
    assert_ne!(text, HERON);
    match pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) {
        Ok(solved) => solved,
        Err(errors) => panic!("{errors:#?}"),
    }
}

fn tilt(up: f64, down: f64) -> String {
    format!("tilt = {{ pivot = [{}, {}, {}], up = {up}, down = {down} }}", PIVOT[0], PIVOT[1], PIVOT[2])
}

fn near(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() < 1e-9, "{what}: found {found}, wanted {wanted}");
}

/// Both ends against the linkage written out with its column turned about the pivot: the matrix of a turn about a level
/// line square to the column, worked here.
#[test]
fn both_ends_are_the_linkage_with_its_column_turned() {
    let solved = solve(&tilt(6.0, 4.0));
    assert_eq!(solved.solution.tilt.len(), 2);
    let end = [24.543, -15.030, 10.753];
    let toward = [54.410, -16.690, 24.690];
    let (dx, dy) = (toward[0] - end[0], toward[1] - end[1]);
    let level = f64::sqrt(dx * dx + dy * dy);
    // Level and square to the column; a positive turn lifts what lies toward the wheel.
    let hinge = [dy / level, -dx / level, 0.0];
    for (row, degrees) in solved.solution.tilt.iter().zip([-4.0f64, 6.0]) {
        near(row.tilt, degrees, "tilt");
        let (s, c) = degrees.to_radians().sin_cos();
        let turned = |p: [f64; 3]| {
            let v: Vec<f64> = (0..3).map(|i| p[i] - PIVOT[i]).collect();
            let dot: f64 = (0..3).map(|i| v[i] * hinge[i]).sum();
            let cross = [
                hinge[1] * v[2] - hinge[2] * v[1],
                hinge[2] * v[0] - hinge[0] * v[2],
                hinge[0] * v[1] - hinge[1] * v[0],
            ];
            let at = |i: usize| PIVOT[i] + v[i] * c + cross[i] * s + hinge[i] * dot * (1.0 - c);
            [at(0), at(1), at(2)]
        };
        let (end, toward) = (turned(end), turned(toward));
        assert!((toward[2] > 24.69) == (degrees > 0.0), "up is up");
        let text = HERON
            .replacen("[24.543, -15.030, 10.753]", &format!("[{:?}, {:?}, {:?}]", end[0], end[1], end[2]), 1)
            .replacen("[54.410, -16.690, 24.690]", &format!("[{:?}, {:?}, {:?}]", toward[0], toward[1], toward[2]), 1);
        let at = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap().solution;
        for (found, joint) in row.angles.iter().zip(&at.joints) {
            near(*found, joint.angle, "angle");
        }
        // Parallel ears on one solid bar: the phase stays as it is set.
        near(row.error, at.motion.error, "error");
        near(row.ratio_max, at.motion.ratio_max, "ratio");
        let longer = at.shafts[0].centre_distance - solved.solution.shafts[0].centre_distance;
        near(row.longer[0], longer, "longer");
    }
}

/// A rigid bar takes no change of length, and a joint past its limit fails at that end of the tilt.
#[test]
fn the_rule_judges_both_ends() {
    let rows = |keys: &str| {
        let solved = solve(keys);
        let all = check::run(&solved.spec, &solved.solution);
        all.into_iter().filter(|row| row.rule == "column-tilt").collect::<Vec<_>>()
    };
    assert!(rows("").is_empty());
    let gentle = rows(&tilt(0.01, 0.01));
    assert!(gentle.len() == 6 && gentle.iter().all(|row| row.status == Status::Pass), "{gentle:#?}");
    let far = rows(&tilt(25.0, 15.0));
    let failed = |words: &str| far.iter().any(|row| row.status == Status::Fail && row.subject.contains(words));
    assert!(failed("shaft intermediate"), "{far:#?}");
    assert!(failed("up, joint upper"), "27.3 deg at 15 deg of tilt, past 30 at 25: {far:#?}");
}

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
    assert!(gentle.iter().all(|row| row.status == Status::Pass), "{gentle:#?}");
    assert_eq!(gentle.iter().filter(|row| row.subject.ends_with("to left rail")).count(), 8, "four parts: {gentle:#?}");
    for part in ["joint upper", "joint lower", "shaft intermediate"] {
        assert_eq!(gentle.iter().filter(|row| row.subject.ends_with(part)).count(), 2, "{part}: {gentle:#?}");
    }
    let far = rows(&tilt(25.0, 15.0));
    let failed = |words: &str| far.iter().any(|row| row.status == Status::Fail && row.subject.contains(words));
    assert!(failed("shaft intermediate"), "{far:#?}");
    assert!(failed("up, joint upper"), "27.3 deg at 15 deg of tilt, past 30 at 25: {far:#?}");
}

/// Clearances at both ends against those of the linkage written out with its column turned, and a gap that only the tilt
/// takes up fails there.
#[test]
fn clearances_are_those_of_the_turned_column() {
    let ball = |height: f64| {
        format!(
            "\n[[obstacle]]\nname = \"wiper motor\"\nball = {{ centre = [26, -15.1, {height}], diameter = 2 }}\nneed = \"1/4 in\"\n"
        )
    };
    let with = |keys: &str, extra: &str| {
        let text = HERON.replacen("tube    = \"2 in\"", &format!("tube    = \"2 in\"\n{keys}"), 1) + extra;
        pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap()
    };
    // Just over the column's end, as taped out of its way by half an inch and more.
    let solved = with(&tilt(6.0, 6.0), &ball(14.0));
    let row = |rows: &[yokeline::solve::solution::Clearance], part: &str| {
        rows.iter().find(|row| row.part == part && row.obstacle == "wiper motor").unwrap().clone()
    };
    let taped = row(&solved.solution.clearances, "column").gap;
    let [down, up] = [0, 1].map(|end| row(&solved.solution.tilt[end].clearances, "column").gap);
    // By hand: the ball's centre in the turned column's own frame is the ball turned the other way about the pivot.
    let end = [24.543, -15.030, 10.753];
    let toward = [54.410, -16.690, 24.690];
    let unit = |v: [f64; 3]| {
        let length = v.iter().map(|x| x * x).sum::<f64>().sqrt();
        v.map(|x| x / length)
    };
    let up_the_column = unit([toward[0] - end[0], toward[1] - end[1], toward[2] - end[2]]);
    let hinge = unit([up_the_column[1], -up_the_column[0], 0.0]);
    for (found, degrees) in [(taped, 0.0f64), (down, -6.0), (up, 6.0)] {
        let (s, c) = (-degrees.to_radians()).sin_cos();
        let v: [f64; 3] = [26.0 - PIVOT[0], -15.1 - PIVOT[1], 14.0 - PIVOT[2]];
        let dot: f64 = (0..3).map(|i| v[i] * hinge[i]).sum();
        let cross =
            [hinge[1] * v[2] - hinge[2] * v[1], hinge[2] * v[0] - hinge[0] * v[2], hinge[0] * v[1] - hinge[1] * v[0]];
        let at: Vec<f64> =
            (0..3).map(|i| PIVOT[i] + v[i] * c + cross[i] * s + hinge[i] * dot * (1.0 - c) - end[i]).collect();
        let along: f64 = (0..3).map(|i| at[i] * up_the_column[i]).sum();
        let off = (at.iter().map(|x| x * x).sum::<f64>() - along * along).sqrt();
        // The exposed shaft is 3/8 in thick up to 2 1/4 in, the tube 1 in from there on.
        let to_shaft = if along < 2.25 { off - 0.375 } else { f64::hypot(off - 0.375, along - 2.25) };
        let to_tube = if along > 2.25 { off - 1.0 } else { f64::hypot((off - 1.0).max(0.0), 2.25 - along) };
        near(found / 25.4, to_shaft.min(to_tube) - 1.0, &format!("gap at {degrees}"));
    }
    let rows = check::run(&solved.spec, &solved.solution);
    let judged = |words: &str| {
        rows.iter()
            .find(|row| row.rule == "column-tilt" && row.subject.contains(words) && row.subject.contains("column to"))
            .unwrap_or_else(|| panic!("{words}: {rows:#?}"))
            .status
    };
    let [high, low] = [up, down].map(|gap| if gap < 6.35 { Status::Fail } else { Status::Pass });
    assert_eq!((judged("6.0° up"), judged("6.0° down")), (high, low));
    assert_ne!(high, low, "taped {taped}, down {down}, up {up}");
}

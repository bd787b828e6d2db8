//! Lines on how it steers: straight ahead, strength, free play, what holds the column.

use std::fmt::Write as _;

use super::columns::wrapped;
use super::report::heading;
use crate::drawing::record_mounts;
use crate::drawing::record_steer::{self, straight_ahead};
use crate::pipeline::Solved;
use crate::quantity;

/// Column at which the words of a row begin.
const AT: usize = 22;

pub(super) fn lines(out: &mut String, solved: &Solved) {
    let solution = &solved.solution;
    for advice in &solution.phase.advice {
        let text = format!(
            "{}: then {}, ratio up to {}",
            advice.what,
            quantity::degrees(advice.error, 2),
            quantity::factor(advice.ratio_max)
        );
        let _ = writeln!(out, "  to change: {}", wrapped(&text, 13, 13));
    }
    let play = &solution.free_play;
    if !play.fits.is_empty() {
        let rim = play.at_rim.map(|rim| format!(", {} at the rim", quantity::both_units(rim, solved.spec.build.units)));
        let text = format!(
            "free play of hubs and bars at the wheel: {}{}",
            quantity::degrees(play.at_wheel, 2),
            rim.unwrap_or_default()
        );
        let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
    }
    if let Some(windup) = solution.strength.windup_at_wheel {
        let text = format!("wind-up of the shafts at the wheel: at most {}", quantity::degrees(windup, 1));
        let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
    }
    if !solution.strength.shafts.is_empty() {
        let text = record_steer::not_included();
        let _ = writeln!(out, "  \u{1b}[2m{}\u{1b}[0m", wrapped(&text, 2, 4));
    }
    tilt(out, solved);
    if let Some(found) = &solution.clocking {
        heading(out, "Straight ahead");
        for (what, words) in straight_ahead(&solved.spec, found) {
            let _ = writeln!(out, "  {what:<19} {}", wrapped(&words, AT, AT));
        }
    }
}

/// Both ends of the column's tilt.
fn tilt(out: &mut String, solved: &Solved) {
    let (solution, units) = (&solved.solution, solved.spec.build.units);
    if solution.tilt.is_empty() {
        return;
    }
    heading(out, "Column tilt");
    for end in &solution.tilt {
        let way = if end.tilt < 0.0 { "down" } else { "up" };
        let joints = solution.joints.iter().zip(&end.angles);
        let angles: Vec<String> =
            joints.map(|(joint, &angle)| format!("{} {}", joint.name, quantity::degrees(angle, 1))).collect();
        // What a rule does not show is no change.
        let moved = solution.shafts.iter().zip(&end.longer).filter(|(_, by)| by.abs() >= 0.05);
        let shafts = moved.map(|(shaft, &by)| {
            let word = if by < 0.0 { "shorter" } else { "longer" };
            format!("{} {} {word}", shaft.name, quantity::both_units(by.abs(), units))
        });
        let mut shafts: Vec<String> = shafts.collect();
        if shafts.is_empty() {
            shafts.push("no shaft changes its length".to_owned());
        }
        let mut text = format!(
            "joints {}; the gear runs up to {} ahead and behind, ratio up to {}; {}",
            angles.join(", "),
            quantity::degrees(end.error, 2),
            quantity::factor(end.ratio_max),
            shafts.join(", ")
        );
        let tightest = end.clearances.iter().min_by(|a, b| (a.judged() - a.need).total_cmp(&(b.judged() - b.need)));
        if let Some(row) = tightest {
            let gap = if row.gap > 0.0 { quantity::both_units(row.gap, units) } else { "TOUCHES".to_owned() };
            let _ = write!(
                text,
                "; closest {} to {}: {gap}, wants {}",
                row.part,
                row.obstacle,
                quantity::both_units(row.need, units)
            );
        }
        let place = format!("{} {way}", quantity::degrees(end.tilt.abs(), 1));
        let _ = writeln!(out, "  {place:<19} {}", wrapped(&text, AT, AT));
    }
}

/// What holds the column's tube.
pub(super) fn mounts(out: &mut String, solved: &Solved) {
    for mount in &solved.solution.mounts {
        heading(out, &format!("Column mount, {}", mount.name));
        for (what, words) in record_mounts::rows(&solved.spec, mount) {
            let _ = writeln!(out, "  {what:<19} {}", wrapped(&words, AT, AT));
        }
    }
}

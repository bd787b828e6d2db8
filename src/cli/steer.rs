//! Lines on how it steers: straight ahead, strength, free play.

use std::fmt::Write as _;

use super::columns::wrapped;
use super::report::heading;
use crate::drawing::record_steer::straight_ahead;
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
    if let Some(found) = &solution.clocking {
        heading(out, "Straight ahead");
        for (what, words) in straight_ahead(&solved.spec, found) {
            let _ = writeln!(out, "  {what:<19} {}", wrapped(&words, AT, AT));
        }
    }
}

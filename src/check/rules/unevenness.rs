//! How unevenly the gear follows the wheel: greatest less least speed ratio.

use super::{Confidence, Rule, number};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "unevenness",
    title: "gear follows the wheel evenly (per cent, greatest less least speed ratio)",
    limit: Some(number(12.5)),
    confidence: Confidence::D,
    source: "common practice, no source: 5 % good, 10 % fair, 12.5 % (one joint at 20 deg) the most",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let motion = &case.solution.motion;
    let uneven = (motion.ratio_max - motion.ratio_min) * 100.0;
    let limit = case.limit();
    case.at_most(
        "linkage",
        "speed ratio swings by",
        uneven,
        limit,
        "%",
        "correct the phase first, then the joint angles",
    );
}

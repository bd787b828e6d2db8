//! A bolt's head and nut lie flat on what it holds.

use super::{Confidence, Rule, angle};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "bolt-square",
    title: "bolt through several parts square to each",
    limit: Some(angle(2.0)),
    confidence: Confidence::D,
    source: "common practice, no source: past 2 degrees a head bears on its edge",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for bolt in &case.solution.bolts {
        let worst = bolt.passes.iter().max_by(|a, b| a.slant.total_cmp(&b.slant));
        let Some(worst) = worst else { continue };
        let subject = format!("bolt {}, {} {}", bolt.name, worst.kind, worst.part);
        case.at_most(
            &subject,
            "off square",
            worst.slant,
            limit,
            "deg",
            "put a taper washer under it, or move its axis",
        );
    }
}

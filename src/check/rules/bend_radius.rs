//! A bend is not so sharp that the outside cracks.

use super::{Confidence, Rule, number};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "bend-radius",
    title: "inside radius of a bend, in thicknesses",
    limit: Some(number(1.0)),
    confidence: Confidence::D,
    source: "common practice, no source: one thickness for mild steel; harder sheet and most aluminium want more",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for plate in &case.solution.plates {
        for bend in &plate.bends {
            let subject = format!("plate {}, bend {}", plate.name, bend.name);
            let share = bend.inside / plate.thick;
            let remedy = "bend it round a larger nose";
            case.at_least(&subject, "inside radius in thicknesses", share, limit, "", remedy);
        }
    }
}

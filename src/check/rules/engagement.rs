//! A shaft sits in its hub for about its own diameter at least.

use super::{Confidence, Limit, LimitKind, Rule};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "engagement",
    title: "enough of the shaft in the hub",
    limit: Some(Limit { kind: LimitKind::Length, default: None }),
    confidence: Confidence::D,
    source: "common practice, no source: at least one shaft diameter",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for at in case.hubs() {
        let held = at.engagement().min(at.hub.bite);
        let limit = case.stated().unwrap_or_else(|| at.form.diameter());
        case.at_least(&at.subject, "held over", held, limit, "mm", "push the shaft further in, or use a deeper hub");
    }
}

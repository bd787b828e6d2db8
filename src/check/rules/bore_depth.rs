//! A shaft ends at or before the inner face of its bore, clear of the cross's cavity.

use super::{Confidence, Rule};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "bore-depth",
    title: "shaft end stays out of the cross's cavity",
    limit: None,
    confidence: Confidence::D,
    source: "common practice, no source: flush with or just short of the inner face of the yoke's bore",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for at in case.hubs() {
        let remedy = "it stands in the cross's cavity; draw it back";
        case.at_most(&at.subject, "shaft in the hub", at.engagement(), at.hub.depth, "mm", remedy);
    }
}

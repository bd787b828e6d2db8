//! With every screw lost, the shafts should still hold each other in.

use super::{Confidence, Rule, length};
use crate::check::case::{Case, SLACK};
use crate::spec::types::Hold;

pub(super) const RULE: Rule = Rule {
    code: "captive",
    title: "still in its hub with every screw lost",
    limit: Some(length(6.35)),
    confidence: Confidence::D,
    source: "common practice, no source: a shaft should not come out even if loose; 1/4 in of bite taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for at in case.hubs() {
        if at.hub.hold == Hold::Weld {
            continue;
        }
        let left = at.captive();
        let remedy = if left <= SLACK {
            match at.hub.hold {
                Hold::Pinch(_) if at.slips => {
                    "the member slides out of it; only the bolt in its groove keeps it on: check groove and bolt twice"
                }
                _ if at.slips => "the member slides out of it; hold it by a pinch bolt in a groove",
                Hold::Pinch(_) => {
                    "only the bolt in its groove keeps it on, without it it falls out; less gap, or a longer shaft"
                }
                _ => {
                    "only screw and dimple keep it in, without them it falls out; less gap, or a groove and pinch bolt"
                }
            }
        } else {
            "it can nearly fall out; lengthen the shaft or use deeper hubs"
        };
        case.at_least(&at.subject, "with every screw lost, bite left", left, limit, "mm", remedy);
    }
}

//! A hub cannot slide further onto column or gear than their shaft is exposed.

use super::{Confidence, Rule};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "insertion",
    title: "hub seats on the exposed shaft",
    limit: None,
    confidence: Confidence::A,
    source: "the exposed length in the spec",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let ends = [
        ("column", case.solution.column.insertion, case.spec.column.exposed),
        ("gear", case.solution.gear.insertion, case.spec.gear.exposed),
    ];
    for (subject, length, exposed) in ends {
        let remedy = "the hub meets the housing before it seats; hold the shaft back with `seat`, or use a shorter hub";
        case.at_most(subject, "shaft in the hub", length, exposed, "mm", remedy);
    }
}

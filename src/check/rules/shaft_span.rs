//! A long shaft wants a bearing.

use super::{Confidence, Rule, length};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "shaft-span",
    title: "shaft not too long without a bearing",
    limit: Some(length(900.0)),
    confidence: Confidence::D,
    source: "common practice, no source: a bearing above about 900 mm (36 in)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for shaft in &case.solution.shafts {
        let subject = format!("shaft {}", shaft.name);
        case.at_most(&subject, "between cross centres", shaft.centre_distance, limit, "mm", "add a support bearing");
    }
}

//! A bend in the line lets it fold in a crash instead of standing as one ram.

use super::{Confidence, Rule, angle};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "crash-offset",
    title: "bend enough to fold in a crash",
    limit: Some(angle(10.0)),
    confidence: Confidence::D,
    source: "UK IVA manual, protective steering: an offset below 10 deg is unlikely to be effective (from memory)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let largest = case.solution.joints.iter().map(|joint| joint.angle).fold(f64::NEG_INFINITY, f64::max);
    let limit = case.limit();
    let remedy = "the line is nearly straight; a column that collapses must then do it all";
    case.at_least("linkage", "largest joint angle", largest, limit, "deg", remedy);
}

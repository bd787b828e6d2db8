//! Two joints cancel where their angles are equal.

use super::{Confidence, Rule, angle};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "angle-match",
    title: "angles of the two joints nearly equal",
    limit: Some(angle(5.0)),
    confidence: Confidence::D,
    source: "common practice, no source: equal within a few degrees; 5 deg taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    // With three single joints or more the phases decide together; `unevenness` judges the outcome.
    // A centred double joint is even by itself and matches no other.
    let single: Vec<_> = case.solution.joints.iter().filter(|joint| !joint.is_double()).collect();
    let [first, second] = single[..] else { return };
    let apart = (first.angle - second.angle).abs();
    let subject = format!("joints {} and {}", first.name, second.name);
    let limit = case.limit();
    case.at_most(&subject, "angles differ by", apart, limit, "deg", "move a joint; what is left over stays uneven");
}

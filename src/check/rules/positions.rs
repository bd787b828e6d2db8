//! What a mock-up alone cannot tell.

use super::{Confidence, Rule};
use crate::check::case::Case;
use crate::spec::types::Axes;

pub(super) const RULE: Rule = Rule {
    code: "positions",
    title: "places of column and gear",
    limit: None,
    confidence: Confidence::A,
    source: "the spec: a mock-up and no places",
    judge,
};

fn judge(case: &mut Case<'_>) {
    if case.spec.axes == Axes::MockUp {
        case.open(
            "linkage",
            "made from a mock-up alone: its place in the vehicle, room to obstacles by coordinates, rail notches and \
             plates need positions: give `end` and `toward` of column and gear",
        );
    }
}

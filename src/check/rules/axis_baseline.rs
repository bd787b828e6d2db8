//! The two taped points of an axis lie far enough apart.
//!
//! The direction is off by about √2 σ / L: 1 mm of reading over 150 mm is 0.54 degrees.

use super::{Confidence, Rule, length};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "axis-baseline",
    title: "axis taped over a long enough distance",
    limit: Some(length(203.2)),
    confidence: Confidence::D,
    source: "error of a direction √2 σ / L; 8 in taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for (subject, end) in [("column", &case.spec.column), ("gear", &case.spec.gear)] {
        // A mock-up alone has no axis taped.
        let Some(second) = end.second else { continue };
        let apart = (second - end.end).length();
        let remedy = "a small reading error turns into degrees; slip a longer straight tube over it and tape again";
        case.at_least(subject, "axis taped over", apart, limit, "mm", remedy);
    }
}

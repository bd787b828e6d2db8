//! A long shaft wants a bearing.

use super::{Confidence, Rule, length};
use crate::check::case::Case;
use crate::solve::solution::ShaftResult;

/// Span (mm) above which a shaft wants a bearing whatever the count of joints.
const LONG: f64 = 900.0;

pub(super) const RULE: Rule = Rule {
    code: "shaft-span",
    title: "shaft not too long without a bearing",
    limit: Some(length(LONG)),
    confidence: Confidence::D,
    source: "common practice, no source: a bearing above about 900 mm (36 in)",
    judge,
};

/// Whether a shaft is long enough to want a bearing of its own.
pub(super) fn is_long(case: &Case<'_>, shaft: &ShaftResult) -> bool {
    shaft.centre_distance > case.spec.limits.get(RULE.code).copied().unwrap_or(LONG)
}

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for shaft in &case.solution.shafts {
        let subject = format!("shaft {}", shaft.name);
        // A bearing halves the span at best; the longer stretch counts.
        let (what, span) = match &shaft.bearing {
            Some(bearing) => {
                ("from its bearing to the farther cross", bearing.station.max(shaft.centre_distance - bearing.station))
            }
            None => ("between cross centres", shaft.centre_distance),
        };
        let remedy =
            if shaft.bearing.is_some() { "move the bearing nearer the middle" } else { "add a support bearing" };
        case.at_most(&subject, what, span, limit, "mm", remedy);
    }
}

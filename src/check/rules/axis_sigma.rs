//! The direction of a surveyed axis is known well enough.

use super::{Confidence, Rule, angle};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "axis-sigma",
    title: "direction of an axis sure enough",
    limit: Some(angle(0.5)),
    confidence: Confidence::D,
    source: "error of a direction √2 σ / L; half a degree taken, common practice",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    let ends = [
        ("column", &case.spec.column, case.solution.column.axis_sigma),
        ("gear", &case.spec.gear, case.solution.gear.axis_sigma),
    ];
    for (subject, end, sigma) in ends {
        let (Some(sigma), Some(second)) = (sigma, end.second) else { continue };
        let what = format!(
            "taped over {}, its direction is sure to one deviation of",
            case.length((second - end.end).length())
        );
        let remedy = "slip a longer straight tube over it and tape its far end, or add more readings to its two points";
        case.at_most(subject, &what, sigma, limit, "deg", remedy);
    }
}

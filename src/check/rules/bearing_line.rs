//! A bearing stands on the line of its shaft.

use super::{Confidence, Rule, length};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "bearing-line",
    title: "support bearing on the line of its shaft",
    limit: Some(length(1.0)),
    confidence: Confidence::D,
    source: "common practice, no source: off the line it bends the shaft at every turn; 1 mm taken, as good as a tape",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for shaft in &case.solution.shafts {
        let Some(bearing) = &shaft.bearing else { continue };
        let subject = format!("bearing of shaft {}", shaft.name);
        let remedy = "move the bearing onto the line between the two crosses, or let it place the next joint with `to`";
        case.at_most(&subject, "off the shaft's axis by", bearing.off_axis, limit, "mm", remedy);
    }
}

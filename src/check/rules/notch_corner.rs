//! A notch's inside corners are round enough not to crack.

use super::{Confidence, Rule, length};
use crate::check::case::Case;
use crate::spec::types::Section;

/// Least corner radius in wall thicknesses.
const WALLS: f64 = 2.0;

pub(super) const RULE: Rule = Rule {
    code: "notch-corner",
    title: "inside corners of the notch round enough",
    limit: Some(length(9.5)),
    confidence: Confidence::D,
    source: "common practice, no source: as large as fits, not below 2 to 3 walls or about 10 mm (3/8 in)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for (notch, result) in case.spec.notches.iter().zip(&case.solution.notches) {
        let Some(rail) = case.spec.rails.get(notch.rail).filter(|_| !result.shop.is_empty()) else { continue };
        // An edge welded to a tube all round has no corner to crack.
        if result.liner.is_some() {
            continue;
        }
        let (Section::Tube { wall, .. } | Section::Channel { wall, .. } | Section::Pipe { wall, .. }) = rail.section;
        let least = case.stated().unwrap_or_else(|| case.limit().max(WALLS * wall));
        let subject = format!("notch {}", notch.name);
        case.at_least(&subject, "corner radius", notch.corner, least, "mm", "give notch.corner more");
    }
}

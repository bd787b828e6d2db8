//! What must slide slides far enough, and stays together.

use super::{Confidence, Rule};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "slip",
    title: "a slip shaft slides far enough and stays together",
    limit: None,
    confidence: Confidence::A,
    source: "overlap and travel as the spec states them, shaft.slip",
    judge,
};

/// A shaft that does not slip is judged by what moves; a spec that states no motion says nothing of it.
fn judge(case: &mut Case<'_>) {
    for shaft in &case.solution.shafts {
        let Some(slip) = &shaft.slip else { continue };
        let subject = format!("shaft {}", shaft.name);
        let remedy = "cut the members longer, or ask for less extension";
        case.at_least(
            &subject,
            "overlap left when fully extended",
            slip.overlap_extended,
            slip.least_overlap,
            "mm",
            remedy,
        );
        case.at_least(&subject, "room to collapse", slip.collapse_room, slip.collapse, "mm", "cut the members shorter");
    }
}

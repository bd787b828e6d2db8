//! What must slide slides far enough, and stays together.

use super::{Confidence, Rule};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "slip",
    title: "a slip shaft slides far enough and stays together",
    limit: None,
    confidence: Confidence::A,
    source: "overlap and travel as the spec states them; mobility count: two joints between fixed axes tolerate no \
             change of length",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let mut any = false;
    for shaft in &case.solution.shafts {
        let Some(slip) = &shaft.slip else { continue };
        any = true;
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
    if !any {
        case.open(
            "linkage",
            "no shaft slips: not judged whether column and gear move against each other. A body on rubber mounts moves \
             on its frame, and a rigid shaft then pushes joints and bearings; give one shaft `slip`",
        );
    }
}

//! Inside a joint the two shaft ends must not meet as it pivots.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};

pub(super) const RULE: Rule = Rule {
    code: "end-clearance",
    title: "shaft ends clear of each other inside the joint",
    limit: Some(length(1.5)),
    confidence: Confidence::D,
    source: "common practice, no source: they must not touch; 1.5 mm taken for saw and tape",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    let over = case.solution.over_motions.as_ref();
    for (i, joint) in case.solution.joints.iter().enumerate() {
        let subject = format!("joint {}", joint.name);
        // Over all motions it bends further, and the ends come nearer.
        let moved = over.and_then(|over| over.joints.get(i)).filter(|row| row.ends_apart < joint.end_clearance - SLACK);
        let apart = moved.map_or(joint.end_clearance, |row| row.ends_apart);
        let at = moved.map(|row| case.spec.motions_at(&row.angle_max.at).join(", "));
        let at = at.map(|at| format!(" with {at}")).unwrap_or_default();
        if apart <= SLACK {
            let message = format!(
                "the two shaft ends meet inside the joint{at}: it cannot turn; shorten a shaft or hold it back"
            );
            case.say(Status::Fail, &subject, (Some(apart), Some(limit)), "mm", message);
        } else {
            let what = format!("ends apart{at} by");
            case.at_least(&subject, &what, apart, limit, "mm", "shorten a shaft or hold it back");
        }
    }
}

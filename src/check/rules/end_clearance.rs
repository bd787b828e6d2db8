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
    for joint in &case.solution.joints {
        let subject = format!("joint {}", joint.name);
        if joint.end_clearance <= SLACK {
            let message = "the two shaft ends meet inside the joint: it cannot turn; shorten a shaft or hold it back";
            case.say(Status::Fail, &subject, (Some(joint.end_clearance), Some(limit)), "mm", message);
        } else {
            case.at_least(
                &subject,
                "ends apart by",
                joint.end_clearance,
                limit,
                "mm",
                "shorten a shaft or hold it back",
            );
        }
    }
}

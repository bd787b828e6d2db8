//! More than two joints need a bearing for every shaft more.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::Case;

/// Joints that stand without a bearing: two Hooke joints between two fixed axes locate the shaft between them.
const STANDING: usize = 2;

pub(super) const RULE: Rule = Rule {
    code: "support-bearing",
    title: "no joint floats without a bearing",
    limit: None,
    confidence: Confidence::A,
    source: "mobility count: every joint past the second is free in two directions until its shaft has a bearing",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let joints = case.solution.joints.len();
    let pair = (Some(joints as f64), Some(STANDING as f64));
    if joints > STANDING {
        let message =
            format!("{joints} joints, at most {STANDING} without a support bearing: give each further shaft one");
        case.say(Status::Fail, "linkage", pair, "", message);
    } else {
        case.say(
            Status::Pass,
            "linkage",
            pair,
            "",
            format!("{joints} joints, at most {STANDING} without a support bearing"),
        );
    }
}

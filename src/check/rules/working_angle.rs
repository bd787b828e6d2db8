//! Guidance on the angle a steering joint works at.

use super::{Confidence, Rule, angle};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "working-angle",
    title: "working angle within steering guidance",
    limit: Some(angle(30.0)),
    // The wording is well attested; as a limit on a build it is guidance.
    confidence: Confidence::D,
    source: "UK IVA manual, protective steering: joints unlikely to work above 30 deg (from memory)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for joint in &case.solution.joints {
        let remedy = "share the bend between the joints, or move one";
        let what = if joint.is_double() { "each of its crosses works at" } else { "works at" };
        case.at_most(&format!("joint {}", joint.name), what, joint.cross_angle(), limit, "deg", remedy);
    }
}

//! A joint works at no more than its own largest angle.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::degrees;

/// Share of the limit from which the sheet says "near limit": a taped angle is good to a degree or two in thirty.
const NEAR: f64 = 0.9;

pub(super) const RULE: Rule = Rule {
    code: "joint-angle",
    title: "working angle within the joint's own limit",
    limit: None,
    confidence: Confidence::A,
    source: "the joint's limit in the spec",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for joint in &case.solution.joints {
        let (angle, limit) = (joint.angle, joint.limit);
        let found = format!("works at {}, at most {}", degrees(angle, 1), degrees(limit, 1));
        let (status, message) = if !angle.is_finite() || !limit.is_finite() {
            (Status::Open, found)
        } else if angle > limit + SLACK {
            (Status::Fail, format!("{found}: it binds; move a joint, or use one that bends further"))
        } else if angle > NEAR * limit {
            (Status::Warn, format!("{found}: within a tenth of its limit; measure both axes again"))
        } else {
            (Status::Pass, found)
        };
        case.say(status, &format!("joint {}", joint.name), (Some(angle), Some(limit)), "deg", message);
    }
}

//! Joints stay within their angle over all motions.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::degrees;

pub(super) const RULE: Rule = Rule {
    code: "motion-angle",
    title: "working angle within the joint's own limit over all motions",
    limit: None,
    confidence: Confidence::A,
    source: "the joint's limit in the spec, and the motions stated there",
    judge,
};

/// Bounds farther apart than this (deg) did not meet.
const APART: f64 = 0.2 + 1e-6;

fn judge(case: &mut Case<'_>) {
    let Some(over) = &case.solution.over_motions else { return };
    for (row, joint) in over.joints.iter().zip(&case.solution.joints) {
        let (most, limit) = (&row.angle_max, joint.limit);
        let met = most.bound - most.value <= APART;
        let angle = if met { most.value } else { most.bound };
        let at = case.spec.motions_at(&most.at).join(", ");
        let found = if met {
            format!("bends to {} with {at}, at most {}", degrees(angle, 1), degrees(limit, 1))
        } else {
            let (value, apart) = (degrees(most.value, 1), degrees(most.bound - most.value, 1));
            format!("bends to {value} with {at}, proved only to within {apart}; at most {}", degrees(limit, 1))
        };
        let (status, message) = if angle > limit + SLACK {
            (Status::Fail, format!("{found}: it binds; move a joint, or use one that bends further"))
        } else {
            (Status::Pass, found)
        };
        case.say(status, &format!("joint {}", row.name), (Some(angle), Some(limit)), "deg", message);
    }
}

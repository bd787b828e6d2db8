//! A dimple in a tube leaves a wall under it.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::solve::member::{least_wall, members};

pub(super) const RULE: Rule = Rule {
    code: "dimple-wall",
    title: "wall left under a dimple in a tube",
    limit: Some(length(1.5)),
    confidence: Confidence::D,
    source: "common practice, no source: 1.5 mm taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for i in 0..case.solution.shafts.len() {
        for member in members(case.spec, case.solution, i) {
            let Some(wall) = least_wall(&member) else { continue };
            let subject = format!("shaft {}", member.name);
            if wall <= SLACK {
                let message = "a dimple goes through the wall: give it less depth, or hold this hub by a pinch bolt";
                case.say(Status::Fail, &subject, (Some(wall), Some(limit)), "mm", message);
            } else {
                let remedy = "drill it shallower, use a thicker wall, or hold this hub by a pinch bolt";
                case.at_least(&subject, "wall under its dimples", wall, limit, "mm", remedy);
            }
        }
    }
}

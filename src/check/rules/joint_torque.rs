//! A joint carries no more than its rated torque.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::torque;

pub(super) const RULE: Rule = Rule {
    code: "joint-torque",
    title: "joint within its rated torque",
    limit: None,
    confidence: Confidence::A,
    source: "the joint's rating in the spec",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for joint in &case.spec.joints {
        let subject = format!("joint {}", joint.name);
        let load = case.solution.strength.joints.iter().find(|row| row.name == joint.name).map(|row| row.torque_max);
        let Some(rating) = &joint.rating else {
            let message = match load {
                Some(load) => {
                    format!("carries {}; no rating is given: ask its maker and state joint.rating", torque(load))
                }
                None => "no rating is given: ask its maker and state joint.rating".into(),
            };
            case.say(Status::Open, &subject, (load, None), "N m", message);
            continue;
        };
        let Some(load) = load else {
            case.open(&subject, "no torque at the wheel is given: give load.wheel_torque");
            continue;
        };
        let pair = (Some(load), Some(rating.torque));
        let found = format!("carries {}, rated {} ({})", torque(load), torque(rating.torque), rating.source);
        if load > rating.torque + SLACK {
            case.say(Status::Fail, &subject, pair, "N m", format!("{found}: use a larger joint"));
        } else {
            case.say(Status::Pass, &subject, pair, "N m", found);
        }
    }
}

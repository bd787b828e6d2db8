//! The gear answers alike to the left and to the right.

use super::{Confidence, Rule, angle};
use crate::check::Status;
use crate::check::case::Case;
use crate::quantity::degrees;

pub(super) const RULE: Rule = Rule {
    code: "left-right",
    title: "left and right alike from straight ahead",
    limit: Some(angle(3.0)),
    confidence: Confidence::D,
    source: "common practice, no source: 3 deg at the gear between equal turns to both sides is hardly felt",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(clocking) = &case.solution.clocking else { return };
    let limit = case.limit();
    let what = "the gear's answer to equal turns left and right differs by";
    if let Some(pair) = &clocking.best {
        let value = pair.left_right;
        case.at_most(
            "straight ahead",
            what,
            value,
            limit,
            "deg",
            "choose another tooth at the gear, or lessen the ripple",
        );
    } else if let Some(value) = clocking.left_right {
        case.at_most(
            "straight ahead",
            what,
            value,
            limit,
            "deg",
            "measure `wheel_off` to find the best tooth at the gear",
        );
    } else if clocking.left_right_worst <= limit {
        let value = clocking.left_right_worst;
        case.at_most(
            "straight ahead",
            "wherever it sits on the ripple, left and right differ by",
            value,
            limit,
            "deg",
            "",
        );
    } else {
        let message = format!(
            "left and right can differ by {}: measure `yoke`, and set the phase of every shaft, to judge it",
            degrees(clocking.left_right_worst, 1)
        );
        case.say(Status::Open, "straight ahead", (Some(clocking.left_right_worst), Some(limit)), "deg", message);
    }
}

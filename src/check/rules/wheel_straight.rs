//! The wheel stands straight with the road wheels straight.

use super::{Confidence, Rule, angle};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::{degrees, fixed};

pub(super) const RULE: Rule = Rule {
    code: "wheel-straight",
    title: "wheel straight on the best pair of teeth",
    limit: Some(angle(3.0)),
    confidence: Confidence::D,
    source: "common practice, no source: a spoke 3 deg off is seen by the driver",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(clocking) = &case.solution.clocking else { return };
    let limit = case.limit();
    let Some(pair) = &clocking.best else {
        let message = format!(
            "measure `wheel_off` and `yoke` on the assembled linkage; until then the wheel stands up to {} off straight",
            degrees(clocking.wheel_left_worst, 1)
        );
        case.say(Status::Open, "wheel", (Some(clocking.wheel_left_worst), Some(limit)), "deg", message);
        return;
    };
    let left = pair.wheel_left.abs();
    let remedy = match &clocking.rods {
        Some(rods) => format!("take it out at the tie rods, {} turns each", fixed(rods.turns, 2)),
        None => "take it out at the tie rods: give `rod_travel` and `rod_pitch` for the turns".into(),
    };
    if left > limit + SLACK {
        case.at_most("wheel", "off straight on the best pair of teeth by", left, limit, "deg", &remedy);
    } else {
        let message = format!("off straight on the best pair of teeth by {}: {remedy}", degrees(left, 1));
        case.say(Status::Pass, "wheel", (Some(left), Some(limit)), "deg", message);
    }
}

//! Free play at the wheel's rim.

use super::{Confidence, Limit, LimitKind, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::degrees;

pub(super) const RULE: Rule = Rule {
    code: "wheel-play",
    title: "free play at the wheel",
    limit: Some(Limit { kind: LimitKind::Length, default: None }),
    confidence: Confidence::B,
    source: "RCW 46.37.375 (State of Washington): 2 in at the rim of a wheel up to 16 in, 2 1/4 in at 18 in, 2 1/2 in at \
             20 in; your own code decides",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let play = &case.solution.free_play;
    if play.fits.is_empty() {
        return;
    }
    let turn = degrees(play.at_wheel, 2);
    let (Some(rim), Some(allowed)) = (play.at_rim, play.rim_allowed) else {
        let message =
            format!("hubs and bars give {turn} of free play at the wheel: give clocking.wheel_diameter to judge it");
        case.open("wheel", message);
        return;
    };
    let limit = case.stated().unwrap_or(allowed);
    let what = format!("hubs and bars alone let the wheel turn {turn}, at the rim");
    if rim <= limit + SLACK && !play.not_known.is_empty() {
        let message = format!(
            "{what} {}; more at {}, whose fit is not known: feel for it on the bench",
            case.length(rim),
            play.not_known.join(" and ")
        );
        case.say(Status::Open, "wheel", (Some(rim), Some(limit)), "mm", message);
    } else {
        case.at_most("wheel", &what, rim, limit, "mm", "use closer fits: joints, column and gear add their own play");
    }
}

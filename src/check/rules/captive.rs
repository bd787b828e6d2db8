//! With every screw lost, the shafts should still hold each other in.

use super::{Confidence, Rule, length};
use crate::check::case::{Case, SLACK};
use crate::spec::types::Hold;

pub(super) const RULE: Rule = Rule {
    code: "captive",
    title: "still in its hub with every screw lost",
    limit: Some(length(6.35)),
    confidence: Confidence::D,
    source: "common practice, no source: a shaft should not come out even if loose; 1/4 in of bite taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for at in case.hubs() {
        if at.hub.hold == Hold::Weld {
            continue;
        }
        // Where its crosses come farther apart over the motions, a shaft that cannot slip bites that much less.
        let left = at.captive() - at.drawn_out;
        let pinched = matches!(at.hub.hold, Hold::Pinch(_)) && (!at.is_drive_end || at.groove.is_some());
        if left > SLACK {
            let more = case.length(limit - left);
            let what = if at.drawn_out > SLACK {
                "with every screw lost, over all motions still in the hub by"
            } else {
                "with every screw lost, still in the hub by"
            };
            let remedy = format!("cut a longer bar or hold it back less, {more} in all{}", groove(pinched));
            case.at_least(&at.subject, what, left, limit, "mm", &remedy);
            continue;
        }
        let what = if at.slips { "member" } else { "shaft" };
        let out = format!(
            "with every screw lost the {what} slides out of the hub, {} too short to stay in it: {}",
            case.length(limit - left),
            if at.slips && pinched {
                "the bolt in its groove is all that holds it; check groove and bolt twice"
            } else if at.slips {
                "hold it by a pinch bolt in a groove"
            } else if pinched {
                "the bolt in its groove is all that holds it; lock the bolt, and leave less gap at the shaft ends"
            } else {
                "use a pinch bolt in a groove, a longer bar, or less gap at the shaft ends"
            }
        );
        let status = case.beyond();
        case.say(status, &at.subject, (Some(left), Some(limit)), "mm", out);
    }
}

/// The other way to keep a shaft in, where the hub has not got it.
const fn groove(pinched: bool) -> &'static str {
    if pinched { "" } else { ", or use a pinch bolt in a groove" }
}

//! A bearing goes over its shaft, and not loosely.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};

pub(super) const RULE: Rule = Rule {
    code: "bearing-bore",
    title: "support bearing's bore over the shaft (the limit is the play)",
    limit: Some(length(0.25)),
    confidence: Confidence::D,
    source: "common practice, no source: about 0.007 in over a painted shaft; 0.25 mm taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for (shaft, result) in case.spec.shafts.iter().zip(&case.solution.shafts) {
        let Some(bearing) = &result.bearing else { continue };
        let subject = format!("bearing of shaft {}", shaft.name);
        let Some(bore) = bearing.bore else {
            case.open(&subject, "its bore is not given: measure it and state `bore` of the bearing");
            continue;
        };
        // Of a slip shaft, the member that the bearing is on.
        let on_outer = result.members.iter().any(|member| {
            member.name == "outer" && bearing.z > member.from && bearing.z < member.from + member.cut_length
        });
        let outer = shaft.slip.as_ref().filter(|_| on_outer).map(|slip| slip.outer.diameter());
        let bar = outer.unwrap_or(shaft.stock.diameter());
        let (on, diameter) = result.journal.map_or(("bar", bar), |seat| ("journal", seat.diameter));
        if bore < diameter - SLACK {
            let message = format!(
                "bore {}, the {on} {}: it does not go over it; use a larger bearing, or turn a journal",
                case.length(bore),
                case.length(diameter)
            );
            case.say(Status::Fail, &subject, (Some(bore - diameter), Some(limit)), "mm", message);
        } else {
            case.at_most(
                &subject,
                &format!("play on the {on}"),
                bore - diameter,
                limit,
                "mm",
                "a knock in the wheel; use a closer one",
            );
        }
    }
}

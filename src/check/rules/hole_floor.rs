//! The drill of a blind hole stays inside the plate.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::solve::plate::drill_tip;

pub(super) const RULE: Rule = Rule {
    code: "hole-floor",
    title: "metal under the point of a blind hole's drill",
    limit: Some(length(1.0)),
    confidence: Confidence::D,
    source: "common practice, no source: 1 mm taken; 118 degree drill, three threads of lead under a tap",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for plate in &case.solution.plates {
        for hole in &plate.holes {
            let Some(depth) = hole.depth else { continue };
            let subject = format!("plate {}, hole {}", plate.name, hole.name);
            let left = plate.thick - depth - drill_tip(hole.diameter);
            if left <= SLACK {
                let message = format!(
                    "the drill must go {} deep, its point included, and comes out at the back: make the hole less deep, \
                     or let it go through",
                    case.length(depth + drill_tip(hole.diameter))
                );
                case.say(Status::Fail, &subject, (Some(left), Some(limit)), "mm", message);
            } else {
                case.at_least(&subject, "metal under its point", left, limit, "mm", "make the hole less deep");
            }
        }
    }
}

//! An opening stays inside its plate.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::check::outline::{between, contains, polygon};

pub(super) const RULE: Rule = Rule {
    code: "opening-edge",
    title: "metal between opening and plate edge",
    limit: Some(length(6.0)),
    confidence: Confidence::D,
    source: "common practice, no source: 6 mm taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for plate in &case.solution.plates {
        let edge = polygon(&plate.outline);
        for opening in &plate.openings {
            let subject = format!("plate {}, opening {}", plate.name, opening.name);
            let outline = polygon(&opening.outline);
            let inside = !outline.is_empty() && outline.iter().all(|point| contains(&edge, *point));
            let metal = between(&outline, &edge);
            if !inside || metal <= SLACK {
                let message = "the opening runs out of the plate: move the plate, or make it larger";
                case.say(
                    Status::Fail,
                    &subject,
                    (Some(if inside { metal } else { -metal }), Some(limit)),
                    "mm",
                    message,
                );
            } else {
                case.at_least(&subject, "metal to the edge", metal, limit, "mm", "move the plate, or make it larger");
            }
        }
    }
}

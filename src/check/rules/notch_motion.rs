//! A notch is traced over all motions.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::Case;
use crate::spec::types::{Body, Motion, Moved};

pub(super) const RULE: Rule = Rule {
    code: "notch-motion",
    title: "a notch where its rail or the linkage moves",
    limit: None,
    confidence: Confidence::A,
    source: "the motions stated in the spec",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let spec = case.spec;
    for (notch, result) in spec.notches.iter().zip(&case.solution.notches) {
        let moves = |motion: &&Motion| {
            motion.moves.iter().any(|moved| match *moved {
                Moved::Rail(rail) => rail == notch.rail,
                Moved::End(end) => {
                    notch.bodies.iter().any(|body| *body == end || !matches!(body, Body::Column | Body::Gear))
                }
                Moved::Bearing(_) => notch.bodies.iter().any(|body| !matches!(body, Body::Column | Body::Gear)),
                Moved::Obstacle(_) | Moved::Plate(_) => false,
            })
        };
        let names: Vec<String> =
            spec.motions.iter().filter(moves).map(|motion| format!("\"{}\"", motion.name)).collect();
        if names.is_empty() {
            continue;
        }
        let (subject, names) = (format!("notch {}", notch.name), names.join(", "));
        if let Some(spread) = result.motion_spread {
            let message =
                format!("traced over all of {names}; takes at most {} more than it must", case.length(spread));
            case.say(Status::Pass, &subject, (Some(spread), None), "mm", message);
        } else {
            let message = format!(
                "traced as taped, and {names} moves it against the linkage: add what that moves to its clearance, and try it"
            );
            case.open(&subject, message);
        }
    }
}

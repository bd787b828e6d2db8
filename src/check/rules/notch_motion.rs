//! A notch is traced with everything as taped.

use super::{Confidence, Rule};
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
    for notch in &spec.notches {
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
        let message = format!(
            "traced as taped, and {} moves it against the linkage: add what that moves to its clearance, and try it",
            names.join(", ")
        );
        case.open(&format!("notch {}", notch.name), message);
    }
}

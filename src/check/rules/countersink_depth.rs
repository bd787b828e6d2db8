//! A countersink leaves a wall of the hole under it.

use super::{Confidence, Rule, number};
use crate::check::Status;
use crate::check::case::{Case, SLACK};

pub(super) const RULE: Rule = Rule {
    code: "countersink-depth",
    title: "depth of a countersink, in thicknesses of the plate",
    limit: Some(number(0.67)),
    confidence: Confidence::D,
    source: "common practice, no source: a third of the thickness stays straight under the cone",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for plate in &case.solution.plates {
        let mut seen = Vec::new();
        for hole in &plate.holes {
            let Some(cone) = &hole.countersink else { continue };
            // One word for all holes of a set: their cones are alike.
            if seen.contains(&cone) {
                continue;
            }
            seen.push(cone);
            let subject = format!("plate {}, hole {}", plate.name, hole.name);
            let share = cone.depth / plate.thick;
            if share >= 1.0 - SLACK {
                let message = format!(
                    "the countersink is {} deep in a plate of {}: it cuts the hole's edge away; dimple the plate, or take \
                     a button head",
                    case.length(cone.depth),
                    case.length(plate.thick)
                );
                case.say(Status::Fail, &subject, (Some(share), Some(limit)), "", message);
            } else {
                case.at_most(&subject, "its share of the thickness", share, limit, "", "take a thicker plate");
            }
        }
    }
}

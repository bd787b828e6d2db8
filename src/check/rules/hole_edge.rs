//! A hole has metal between it and the plate's edge.

use super::{Confidence, Rule, number};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::check::outline::{centre_line, contains, polygon, to_edges};

pub(super) const RULE: Rule = Rule {
    code: "hole-edge",
    title: "holes far enough from the plate's edge (centre to edge, in hole diameters)",
    limit: Some(number(1.5)),
    confidence: Confidence::D,
    source: "common practice, no source: one and a half diameters from centre to edge",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let diameters = case.limit();
    for plate in &case.solution.plates {
        let edge = polygon(&plate.outline);
        for hole in &plate.holes {
            let subject = format!("plate {}, hole {}", plate.name, hole.name);
            let line = centre_line(hole);
            let distance = to_edges(line, &edge);
            let inside = contains(&edge, line.0) && contains(&edge, line.1);
            let need = diameters * hole.diameter;
            if !inside || distance <= hole.diameter / 2.0 + SLACK {
                let message = "the hole runs out of the plate: move it, or make the plate larger";
                let found = if inside { distance } else { -distance };
                case.say(Status::Fail, &subject, (Some(found), Some(need)), "mm", message);
            } else {
                case.at_least(&subject, "centre to edge", distance, need, "mm", "move it inward");
            }
        }
    }
}

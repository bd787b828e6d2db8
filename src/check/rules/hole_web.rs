//! Holes and openings of a plate leave metal between them.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::check::outline::{centre_line, contains, polygon, to_edges};
use crate::geometry::segment;

pub(super) const RULE: Rule = Rule {
    code: "hole-web",
    title: "metal between holes and openings",
    limit: Some(length(3.0)),
    confidence: Confidence::D,
    source: "common practice, no source: 3 mm taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for plate in &case.solution.plates {
        // The tightest pair of each plate speaks for all.
        let mut least: Option<(f64, String)> = None;
        let mut meet = |web: f64, one: &str, other: &str| {
            if least.as_ref().is_none_or(|(known, _)| web < *known) {
                least = Some((web, format!("plate {}, {one} and {other}", plate.name)));
            }
        };
        for (i, hole) in plate.holes.iter().enumerate() {
            let line = centre_line(hole);
            for other in plate.holes.iter().skip(i + 1) {
                let web = segment::apart(line, centre_line(other)) - f64::midpoint(hole.diameter, other.diameter);
                meet(web, &hole.name, &other.name);
            }
            for opening in &plate.openings {
                let outline = polygon(&opening.outline);
                let distance = to_edges(line, &outline);
                let signed = if contains(&outline, line.0) { -distance } else { distance };
                meet(signed - hole.diameter / 2.0, &hole.name, &opening.name);
            }
        }
        let Some((web, subject)) = least else { continue };
        let limit = case.limit();
        if web <= SLACK {
            let message = "they run into each other: move one";
            case.say(Status::Fail, &subject, (Some(web), Some(limit)), "mm", message);
        } else {
            case.at_least(&subject, "metal between", web, limit, "mm", "move one");
        }
    }
}

//! Holes and openings keep out of the reach of a bend.

use super::{Confidence, Rule, number};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::check::outline::{centre_line, polygon, to_edges};
use crate::geometry::{Vec2, segment};

pub(super) const RULE: Rule = Rule {
    code: "bend-hole",
    title: "flat metal between a hole and where a bend begins, in thicknesses",
    limit: Some(number(2.0)),
    confidence: Confidence::D,
    source: "common practice, no source: nearer than two thicknesses a hole is drawn out of round",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for plate in &case.solution.plates {
        for bend in &plate.bends {
            let [near, far] = bend.tangents;
            let zone = [near[0], near[1], far[1], far[0]];
            let middle = bend.line;
            // The nearest of all speaks for the bend.
            let mut least: Option<(f64, &str)> = None;
            let mut meet = |room: f64, name| {
                if least.is_none_or(|(known, _)| room < known) {
                    least = Some((room, name));
                }
            };
            for hole in &plate.holes {
                let line = centre_line(hole);
                let cone = hole.countersink.as_ref().map_or(0.0, |cone| cone.diameter);
                let radius = hole.diameter.max(cone) / 2.0;
                let crosses = segment::apart(line, (middle[0], middle[1])) <= SLACK || inside(&zone, line.0);
                meet(if crosses { 0.0 } else { to_edges(line, &zone) } - radius, &hole.name);
            }
            for opening in &plate.openings {
                let outline = polygon(&opening.outline);
                let crosses = outline.iter().any(|&p| inside(&zone, p));
                let room = outline
                    .iter()
                    .zip(outline.iter().cycle().skip(1))
                    .map(|(&a, &b)| to_edges((a, b), &zone))
                    .fold(f64::INFINITY, f64::min);
                meet(if crosses { -room } else { room }, &opening.name);
            }
            let Some((room, name)) = least else { continue };
            let subject = format!("plate {}, bend {} and {name}", plate.name, bend.name);
            let share = room / plate.thick;
            let need = case.length(limit * plate.thick);
            // Habit or not, such a hole is out of round once it is bent, and nothing mends it.
            let (status, message) = if room <= SLACK {
                (Status::Fail, "it lies in the bend: move the hole or the bend".to_string())
            } else if share < limit - SLACK {
                let room = case.length(room);
                (Status::Fail, format!("flat metal between {room}, at least {need}: move the hole or the bend"))
            } else {
                (Status::Pass, format!("flat metal between {}, at least {need}", case.length(room)))
            };
            case.say(status, &subject, (Some(share), Some(limit)), "", message);
        }
    }
}

fn inside(zone: &[Vec2; 4], p: Vec2) -> bool {
    crate::check::outline::contains(zone, p)
}

//! A socket goes over every bolt's head without touching the next one.

use super::{Confidence, Rule, length};
use crate::catalog::fasteners;
use crate::check::case::{Case, SLACK};
use crate::geometry::Vec2;
use crate::spec::types::HoleSize;

pub(super) const RULE: Rule = Rule {
    code: "wrench-circle",
    title: "room between a socket and the next bolt's head",
    limit: Some(length(0.5)),
    confidence: Confidence::D,
    source: "common practice, no source: a hand socket is 1.25 times the hexagon and 2 mm across; measure yours",
    judge,
};

/// Outside diameter (mm) of a hand socket for a hexagon of that width across its flats.
fn socket(flats: f64) -> f64 {
    1.25 * flats + 2.0
}

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    let (spec, solution) = (case.spec, case.solution);
    for (plate, solved) in spec.plates.iter().zip(&solution.plates) {
        // Each hexagon head: where it is, its name, its width across flats.
        let mut heads: Vec<(Vec2, &str, f64)> = Vec::new();
        let mut rows = solved.holes.iter();
        for hole in &plate.holes {
            let flats = match &hole.size {
                HoleSize::Clearance { bolt, .. } if hole.countersink.is_none() => fasteners::head(bolt),
                _ => None,
            };
            for row in rows.by_ref().take(hole.at.len()) {
                heads.extend(flats.map(|head| (row.centre, row.name.as_str(), head.flats)));
            }
        }
        for row in rows {
            let bolt = solution.bolts.iter().find(|bolt| bolt.name == row.name);
            let head = bolt.and_then(|bolt| fasteners::head(&bolt.bolt));
            heads.extend(head.map(|head| (row.centre, row.name.as_str(), head.flats)));
        }
        // The tightest pair of each plate speaks for all.
        let mut least: Option<(f64, String)> = None;
        for (i, &(at, name, flats)) in heads.iter().enumerate() {
            for (j, &(other, neighbour, width)) in heads.iter().enumerate() {
                // Corners of the other's hexagon: 2 / sqrt 3 of its flats.
                let room = (at - other).length() - socket(flats) / 2.0 - width / 3.0_f64.sqrt();
                if i != j && least.as_ref().is_none_or(|(known, _)| room < *known) {
                    least = Some((room, format!("plate {}, {name} and {neighbour}", solved.name)));
                }
            }
        }
        let Some((room, subject)) = least else { continue };
        if room <= SLACK {
            let message = "no socket goes over one head past the other: move one, or turn it with an open wrench";
            case.say(case.beyond(), &subject, (Some(room), Some(limit)), "mm", message);
        } else {
            case.at_least(&subject, "room beside the socket", room, limit, "mm", "move one");
        }
    }
}

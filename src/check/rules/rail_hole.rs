//! A bolt's hole in a rail has metal round it, and a flat for head and washer.

use super::{Confidence, Rule, number};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::check::outline::contains;
use crate::geometry::split::distance;
use crate::geometry::{Path, Vec2};
use crate::solve::rail_hole::{self, RailHole};
use crate::solve::rail_part::{self, Strip};
use crate::solve::solution::{RailResult, Solution};

pub(super) const RULE: Rule = Rule {
    code: "rail-hole",
    title: "bolt holes in a rail on its flats, and far enough from all edges (centre to edge, in hole diameters)",
    limit: Some(number(1.5)),
    confidence: Confidence::D,
    source: "common practice, no source: one and a half diameters from centre to edge",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let diameters = case.limit();
    let solution = case.solution;
    for rail in &solution.rails {
        let holes = rail_hole::holes(solution, rail);
        let notches: Vec<Path> =
            solution.notches.iter().filter(|n| n.rail == rail.name).flat_map(rail_part::paths).collect();
        for hole in &holes {
            let subject = format!("rail {}, hole {} of bolt {}", rail.name, hole.number, hole.bolt);
            let need = diameters * hole.diameter;
            let found = to_edges(rail, &notches, hole).min(to_others(rail, &holes, hole));
            if found <= hole.diameter / 2.0 + SLACK {
                let message = "the hole runs into a notch, another hole or the rail's end: move the bolt";
                case.say(Status::Fail, &subject, (Some(found), Some(need)), "mm", message);
            } else {
                case.at_least(&subject, "centre to edge", found, need, "mm", "move the bolt");
            }
            for (notch, face) in doublers(solution, rail, hole) {
                let message = format!(
                    "the hole goes through the doubler of \"{notch}\" on the {face}, which is to have none: move the bolt"
                );
                case.say(Status::Warn, &subject, (None, None), "", &message);
            }
            if rail_hole::flat(rail, hole).is_none() {
                let message = "the hole does not lie wholly on a flat of the rail: move the bolt, or weld in a sleeve \
                               with faces for head and washer";
                case.say(Status::Warn, &subject, (None, None), "", message);
            }
        }
    }
}

/// Doublers that lie over a hole: notch and face.
fn doublers<'a>(solution: &'a Solution, rail: &RailResult, hole: &RailHole) -> Vec<(&'a str, &'a str)> {
    let own = solution.notches.iter().filter(|notch| notch.rail == rail.name);
    let all = own.flat_map(|notch| notch.doublers.iter().map(move |doubler| (notch, doubler)));
    let over = |outline: &Vec<Vec2>| rail_part::turns(rail).any(|by| contains(outline, hole.at + Vec2::new(0.0, by)));
    all.filter(|(_, doubler)| doubler.on_rail.iter().filter(|outline| over(outline)).count() % 2 == 1)
        .map(|(notch, doubler)| (notch.name.as_str(), doubler.face.as_str()))
        .collect()
}

/// From a hole's centre to the nearest notch, end or lip.
fn to_edges(rail: &RailResult, notches: &[Path], hole: &RailHole) -> f64 {
    let mut least = hole.at.x.min(rail.length - hole.at.x);
    if rail.girth.is_none() {
        let strips = rail_part::strips(rail);
        let (low, high) = (strips.first().map_or(0.0, Strip::low), strips.last().map_or(0.0, Strip::high));
        least = least.min(hole.at.y - low).min(high - hole.at.y);
    }
    for by in rail_part::turns(rail) {
        let at = hole.at + Vec2::new(0.0, by);
        for (from, piece) in notches.iter().flat_map(Path::runs) {
            least = least.min(distance(from, piece, at));
        }
    }
    least
}

/// From a hole's centre to the edge of the nearest other hole.
fn to_others(rail: &RailResult, holes: &[RailHole], hole: &RailHole) -> f64 {
    let others = holes.iter().filter(|other| other.number != hole.number);
    let gaps = others.flat_map(|other| {
        rail_part::turns(rail).map(move |by| (other.at + Vec2::new(0.0, by) - hole.at).length() - 0.5 * other.diameter)
    });
    gaps.fold(f64::INFINITY, f64::min)
}

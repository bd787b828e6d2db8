//! Holes of bolts in the walls of rails, and which paper shows each of them.

use super::rail_part::{self, Strip};
use super::solution::{NotchResult, RailResult, Solution};
use crate::geometry::Vec2;
use crate::spec::Spec;

/// Paper kept round what it shows, round the rail (mm): room for the words of direction.
const ROUND_V: f64 = 13.0;
/// A paper that covers this share of the girth shows all of it and is wrapped right round.
const WRAP_SHARE: f64 = 0.7;
/// A notch's template shows holes this near its outline along the rail (mm).
const NEAR_NOTCH: f64 = 60.0;
/// Holes farther apart than this along the rail (mm) have papers of their own.
const ONE_PAPER: f64 = 120.0;
/// A hole nearer than this (mm) to the end of a flat still lies on it.
const TOUCH: f64 = 1e-9;

/// One hole of a bolt in one wall of a rail. It is drilled square to the outside.
#[derive(Debug, Clone, PartialEq)]
pub struct RailHole {
    /// From 1, in the order of the bolts: its name on every paper.
    pub number: usize,
    /// Of its bolt.
    pub bolt: String,
    /// Size of the bolt.
    pub size: String,
    /// Centre (u, v) on the unrolled outside (mm).
    pub at: Vec2,
    /// mm.
    pub diameter: f64,
    /// Drill in words.
    pub drill: String,
    /// Pilot drill (mm), where one goes before.
    pub pilot: Option<f64>,
}

/// Every hole in a rail.
pub fn holes(solution: &Solution, rail: &RailResult) -> Vec<RailHole> {
    let passes = solution.bolts.iter().flat_map(|bolt| bolt.passes.iter().map(move |pass| (bolt, pass)));
    passes
        .filter(|(_, pass)| pass.kind == "rail" && pass.part == rail.name)
        .enumerate()
        .map(|(i, (bolt, pass))| RailHole {
            number: i + 1,
            bolt: bolt.name.clone(),
            size: bolt.bolt.clone(),
            at: Vec2::new(pass.u, pass.v),
            diameter: bolt.diameter,
            drill: bolt.drill.clone(),
            pilot: bolt.pilot,
        })
        .collect()
}

/// The flat all of a hole lies on; `None` where it reaches into a corner, or the rail is a pipe.
pub fn flat(rail: &RailResult, hole: &RailHole) -> Option<Strip> {
    let half = 0.5 * hole.diameter;
    rail_part::strips(rail).into_iter().find(|strip| {
        strip.radius().is_none()
            && rail_part::turns(rail).any(|by| {
                let v = hole.at.y + by;
                v - half >= strip.low() - TOUCH && v + half <= strip.high() + TOUCH
            })
    })
}

/// How much of the outside a paper shows round the rail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Round {
    /// From and to (mm along v).
    pub v: [f64; 2],
    /// Whether that is once right round.
    pub whole: bool,
}

/// A paper round what lies between two v, and zero.
pub fn round(rail: &RailResult, low: f64, high: f64) -> Round {
    let (low, high) = (low.min(0.0) - ROUND_V, high.max(0.0) + ROUND_V);
    match rail.girth {
        Some(girth) if high - low >= WRAP_SHARE * girth => {
            let middle = 0.5 * (low + high);
            Round { v: [middle - 0.5 * girth, middle + 0.5 * girth], whole: true }
        }
        _ => Round { v: [low, high], whole: false },
    }
}

/// The holes a notch's template shows, each where it lies on that paper.
pub fn on_notch(rail: &RailResult, holes: &[RailHole], notch: &NotchResult) -> Vec<RailHole> {
    let bounds = rail_part::paths(notch).iter().map(crate::geometry::Path::bounds).reduce(|(a, b), (low, high)| {
        (Vec2::new(a.x.min(low.x), a.y.min(low.y)), Vec2::new(b.x.max(high.x), b.y.max(high.y)))
    });
    let Some((low, high)) = bounds else { return Vec::new() };
    let round = round(rail, low.y, high.y);
    let shown = |hole: &RailHole| {
        let half = 0.5 * hole.diameter;
        let near = hole.at.x >= low.x - NEAR_NOTCH && hole.at.x <= high.x + NEAR_NOTCH;
        let v = rail_part::turns(rail).map(|by| hole.at.y + by);
        let v = v.into_iter().find(|v| v - half >= round.v[0] && v + half <= round.v[1]).filter(|_| near)?;
        Some(RailHole { at: Vec2::new(hole.at.x, v), ..hole.clone() })
    };
    holes.iter().filter_map(shown).collect()
}

/// The holes of a rail that no notch's template shows, by their papers: those near one another along the rail share one.
pub fn papers(solution: &Solution, rail: &RailResult) -> Vec<Vec<RailHole>> {
    let all = holes(solution, rail);
    let own = solution.notches.iter().filter(|notch| notch.rail == rail.name);
    let shown: Vec<usize> = own.flat_map(|notch| on_notch(rail, &all, notch)).map(|hole| hole.number).collect();
    let mut left: Vec<RailHole> = all.into_iter().filter(|hole| !shown.contains(&hole.number)).collect();
    left.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    let mut papers: Vec<Vec<RailHole>> = Vec::new();
    for hole in left {
        match papers.last_mut() {
            Some(paper) if paper.last().is_some_and(|last| hole.at.x - last.at.x <= ONE_PAPER) => paper.push(hole),
            _ => papers.push(vec![hole]),
        }
    }
    for paper in &mut papers {
        gather(rail, paper);
    }
    papers
}

/// Lays holes of a closed rail on the least stretch round it that holds zero and all of them.
fn gather(rail: &RailResult, holes: &mut [RailHole]) {
    let Some(girth) = rail.girth else { return };
    let mut stops: Vec<f64> = holes.iter().map(|hole| hole.at.y.rem_euclid(girth)).chain([0.0, girth]).collect();
    stops.sort_by(f64::total_cmp);
    let widest = stops.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    // The paper ends in the widest gap.
    let last = widest.and_then(|gap| gap.first()).copied().unwrap_or(girth);
    for hole in holes {
        let v = hole.at.y.rem_euclid(girth);
        hole.at.y = if v > last { v - girth } else { v };
    }
}

/// The mark a paper counts from, by its index on the rail, and its station (mm); the rail's first point without marks.
pub fn mark(spec: &Spec, rail: &RailResult, holes: &[RailHole]) -> (Option<usize>, f64) {
    let marks = spec.rails.iter().find(|own| own.name == rail.name).map_or(&[][..], |own| &own.marks);
    let away = |at: f64| holes.iter().map(|hole| (hole.at.x - at).abs()).fold(f64::INFINITY, f64::min);
    let near = marks.iter().enumerate().min_by(|a, b| away(a.1.at).total_cmp(&away(b.1.at)));
    near.map_or((None, 0.0), |(i, mark)| (Some(i), mark.at))
}

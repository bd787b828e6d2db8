//! Plates that are the same part, wherever they sit.

use super::solution::{HoleResult, PlateResult, Solution, Vertex};
use crate::geometry::Vec2;

/// Places nearer than this (mm), and sizes, are the same: no one marks out finer.
const SAME: f64 = 1e-6;

/// Names of the other plates of which a plate is a copy, in their order; its own drawings make them too.
pub fn twins(solution: &Solution, index: usize) -> Vec<&str> {
    let Some(own) = solution.plates.get(index) else { return Vec::new() };
    let others = solution.plates.iter().enumerate().filter(|(i, _)| *i != index);
    others.filter(|(_, other)| are_alike(own, other)).map(|(_, other)| other.name.as_str()).collect()
}

/// Whether two plates are alike in sheet, outline, holes, openings and bends, each in its own (u, v).
fn are_alike(a: &PlateResult, b: &PlateResult) -> bool {
    let bends = || {
        a.bends.iter().zip(&b.bends).all(|(a, b)| {
            a.up == b.up
                && same(a.angle, b.angle)
                && same(a.inside, b.inside)
                && a.tangents.iter().flatten().zip(b.tangents.iter().flatten()).all(|(&a, &b)| at(a, b))
        })
    };
    let holes = || a.holes.iter().all(|hole| b.holes.iter().any(|other| hole_alike(hole, other)));
    let openings = || a.openings.iter().all(|own| b.openings.iter().any(|other| outline(&own.outline, &other.outline)));
    same(a.thick, b.thick)
        && (a.bends.len(), a.holes.len(), a.openings.len()) == (b.bends.len(), b.holes.len(), b.openings.len())
        && outline(&a.outline, &b.outline)
        && bends()
        && holes()
        && openings()
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < SAME
}

fn at(a: Vec2, b: Vec2) -> bool {
    (a - b).length() < SAME
}

fn outline(a: &[Vertex], b: &[Vertex]) -> bool {
    let place = |a: Option<Vec2>, b: Option<Vec2>| match (a, b) {
        (Some(a), Some(b)) => at(a, b),
        (None, None) => true,
        _ => false,
    };
    let both = |a: Option<[Vec2; 2]>, b: Option<[Vec2; 2]>| match (a, b) {
        (Some(a), Some(b)) => at(a[0], b[0]) && at(a[1], b[1]),
        (None, None) => true,
        _ => false,
    };
    let alike = |(a, b): (&Vertex, &Vertex)| {
        at(a.at, b.at)
            && place(a.centre, b.centre)
            && both(a.axes, b.axes)
            && both(a.controls, b.controls)
            && a.clockwise == b.clockwise
    };
    a.len() == b.len() && a.iter().zip(b).all(alike)
}

/// Alike whatever they are called.
fn hole_alike(a: &HoleResult, b: &HoleResult) -> bool {
    let form = |hole: &HoleResult| HoleResult {
        name: String::new(),
        kind: String::new(),
        centre: Vec2::default(),
        folded: None,
        ..hole.clone()
    };
    at(a.centre, b.centre) && form(a) == form(b)
}

//! Outlines and holes of a plate as far as edge distances need them.

use std::f64::consts::TAU;

use crate::geometry::{Vec2, segment};
use crate::solve::solution::{HoleResult, Vertex};

/// Largest angle (rad) of one chord: its sagitta is 4e-5 of the radius, far under what an edge distance needs.
const CHORD: f64 = TAU / 360.0;

/// A closed polygon standing in for an outline.
pub(super) fn polygon(outline: &[Vertex]) -> Vec<Vec2> {
    let mut points = Vec::new();
    let ends = outline.iter().cycle().skip(1);
    for (vertex, next) in outline.iter().zip(ends) {
        points.push(vertex.at);
        let Some(centre) = vertex.centre else { continue };
        let radius = (vertex.at - centre).length();
        let [major, minor] = vertex.axes.unwrap_or([Vec2::new(radius, 0.0), Vec2::new(0.0, radius)]);
        let parameter = |at: Vec2| {
            let arm = at - centre;
            libm::atan2(arm.dot(minor) / minor.dot(minor), arm.dot(major) / major.dot(major))
        };
        let start = parameter(vertex.at);
        let way = if vertex.clockwise { -1.0 } else { 1.0 };
        let mut sweep = (parameter(next.at) - start) * way;
        if sweep <= 1e-12 {
            sweep += TAU;
        }
        let sweep = sweep * way;
        let chords = (sweep.abs() / CHORD).ceil().clamp(1.0, 720.0);
        points.extend((1..chords as u32).map(|i| {
            let (s, c) = libm::sincos(start + sweep * f64::from(i) / chords);
            centre + major * c + minor * s
        }));
    }
    points
}

fn edges(polygon: &[Vec2]) -> impl Iterator<Item = (Vec2, Vec2)> + Clone + '_ {
    polygon.iter().copied().zip(polygon.iter().copied().cycle().skip(1))
}

/// Whether a point lies inside a polygon (even-odd).
pub(super) fn contains(polygon: &[Vec2], point: Vec2) -> bool {
    edges(polygon).fold(false, |inside, (a, b)| {
        let crosses = (a.y > point.y) != (b.y > point.y) && point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x;
        inside != crosses
    })
}

/// Centre line of a hole: its end centres, equal where it is round.
pub(super) fn centre_line(hole: &HoleResult) -> (Vec2, Vec2) {
    let half = hole.slot.map_or(Vec2::default(), |slot| Vec2::polar(slot.angle.to_radians()) * (slot.length / 2.0));
    (hole.centre - half, hole.centre + half)
}

/// Least distance from a segment to a polygon's edges.
pub(super) fn to_edges(piece: (Vec2, Vec2), polygon: &[Vec2]) -> f64 {
    edges(polygon).map(|edge| segment::apart(piece, edge)).fold(f64::INFINITY, f64::min)
}

/// Least distance between the edges of two polygons.
pub(super) fn between(one: &[Vec2], other: &[Vec2]) -> f64 {
    edges(one).map(|edge| to_edges(edge, other)).fold(f64::INFINITY, f64::min)
}

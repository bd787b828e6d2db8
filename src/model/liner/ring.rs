//! Edges on a side of the rail, linked to the closed chains that bound its faces.

use super::pieces::Node;
use crate::geometry::Vec2;
use crate::model::{Edge, Wire};

/// A piece as an edge of the solid, with places along it: from the side's start round the rail, and along it.
pub(super) struct Drawn {
    pub(super) radius: Option<usize>,
    pub(super) ends: [Node; 2],
    pub(super) edge: Edge,
    pub(super) seen: Vec<Vec2>,
}

/// A closed chain of edges on a side, each with whether it is run from its first end.
pub(super) struct Ring<'a> {
    pub(super) pieces: Vec<(&'a Drawn, bool)>,
    pub(super) seen: Vec<Vec2>,
}

impl Ring<'_> {
    pub(super) fn reverse(&mut self) {
        self.pieces.reverse();
        for (_, ahead) in &mut self.pieces {
            *ahead = !*ahead;
        }
        self.seen.reverse();
    }

    pub(super) fn wire(&self) -> Wire {
        self.pieces
            .iter()
            .map(|(piece, ahead)| if *ahead { piece.edge.clone() } else { piece.edge.inverse() })
            .collect()
    }
}

/// The closed chains of some edges; `None` where one does not close.
pub(super) fn rings(drawn: &[Drawn]) -> Option<Vec<Ring<'_>>> {
    let mut left: Vec<&Drawn> = drawn.iter().collect();
    let mut rings = Vec::new();
    while let Some(piece) = left.pop() {
        let [start, mut end] = piece.ends;
        let mut ring = Ring { pieces: vec![(piece, true)], seen: piece.seen.clone() };
        while end != start {
            let at = left.iter().position(|piece| piece.ends.contains(&end))?;
            let next = left.swap_remove(at);
            let [a, b] = next.ends;
            let ahead = a == end;
            ring.seen.extend(if ahead { next.seen.clone() } else { next.seen.iter().rev().copied().collect() });
            ring.pieces.push((next, ahead));
            end = if ahead { b } else { a };
        }
        rings.push(ring);
    }
    Some(rings)
}

pub(super) fn area(points: &[Vec2]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.cross(*b)).sum::<f64>() / 2.0
}

/// Even-odd.
pub(super) fn contains(points: &[Vec2], p: Vec2) -> bool {
    points.iter().zip(points.iter().cycle().skip(1)).fold(false, |inside, (a, b)| {
        let crosses = (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x;
        inside != crosses
    })
}

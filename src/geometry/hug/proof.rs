//! Proof that fitted curves lie in the band along a polyline, and never cross it.
//!
//! The curves are followed by chords that stray by at most [`STRAY`]. Each
//! chord must keep off every edge, lie to the right of the nearest, no farther
//! than the band's width; and the nearest must be one it runs along, or two
//! strands of the curve could cross between two strands of the polyline.

use std::collections::BTreeMap;

use super::super::split::point;
use super::super::{Piece, Vec2, segment};
use super::{Edge, FARTHEST, Fitted, NEAREST};

/// How far (mm) a chord may be from its curve.
const STRAY: f64 = 1e-4;
/// Side of the squares edges are sorted into (mm).
const SQUARE: f64 = 2.0;
/// Edges within this (mm) along the polyline count as run along.
const ALONG: f64 = 1.0;
/// Strands of the polyline nearer to one another than this (mm) are too near for two curves between them.
const STRANDS: f64 = 2.5 * FARTHEST;

/// Edges by the squares of the plane they touch.
struct Sorted<'a> {
    edges: &'a [Edge],
    squares: BTreeMap<(i64, i64), Vec<usize>>,
    /// Length of the polyline up to each edge (mm), and the whole.
    reach: Vec<f64>,
    whole: f64,
}

fn square(x: f64) -> i64 {
    (x / SQUARE).floor() as i64
}

fn squares(a: Vec2, b: Vec2, grown: f64) -> impl Iterator<Item = (i64, i64)> {
    let (x0, x1) = (square(a.x.min(b.x) - grown), square(a.x.max(b.x) + grown));
    let (y0, y1) = (square(a.y.min(b.y) - grown), square(a.y.max(b.y) + grown));
    (x0..=x1).flat_map(move |x| (y0..=y1).map(move |y| (x, y)))
}

impl<'a> Sorted<'a> {
    fn of(edges: &'a [Edge]) -> Self {
        let mut all: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
        let (mut reach, mut whole) = (Vec::with_capacity(edges.len()), 0.0);
        for (i, edge) in edges.iter().enumerate() {
            reach.push(whole);
            whole += edge.length;
            if !edge.bare {
                for at in squares(edge.from, edge.to, 0.0) {
                    all.entry(at).or_default().push(i);
                }
            }
        }
        Self { edges, squares: all, reach, whole }
    }

    /// Whether an edge lies along a stretch of edges, or just before or after it.
    fn is_along(&self, edge: usize, [first, last]: [usize; 2]) -> bool {
        let count = self.edges.len();
        let turns = |i: usize| (i / count) as f64 * self.whole + self.reach[i % count];
        let from = turns(first) - ALONG;
        let length = turns(last) + self.edges[last % count].length + ALONG - from;
        // An edge is along where either of its ends is.
        [self.reach[edge], self.reach[edge] + self.edges[edge].length]
            .into_iter()
            .any(|at| (at - from).rem_euclid(self.whole) <= length)
            || (from - self.reach[edge]).rem_euclid(self.whole) <= self.edges[edge].length
    }

    /// Whether a chord of a piece along those edges is in the band.
    fn is_good(&self, a: Vec2, b: Vec2, along: [usize; 2]) -> bool {
        let mut near: Vec<usize> =
            squares(a, b, STRANDS).filter_map(|at| self.squares.get(&at)).flatten().copied().collect();
        near.sort_unstable();
        near.dedup();
        let middle = (a + b) * 0.5;
        let (mut best, mut side, mut farthest) = (f64::INFINITY, 0.0, f64::INFINITY);
        for i in near {
            let edge = &self.edges[i];
            let apart = segment::apart((a, b), (edge.from, edge.to));
            if !self.is_along(i, along) {
                if apart < STRANDS {
                    return false;
                }
                continue;
            }
            if apart < NEAREST - STRAY {
                return false;
            }
            // Convex along the chord: nowhere more than at one of its ends.
            farthest = farthest.min(self.off(a, i).max(self.off(b, i)));
            let here = self.off(middle, i);
            if here < best {
                best = here;
                side = (middle - edge.from).cross(edge.way);
            }
        }
        side > 0.0 && (farthest <= FARTHEST + STRAY || self.is_split(a, b, along))
    }

    /// Distance (mm) of a point from an edge. One that ends on a border goes on beyond it, where nothing lies: a curve
    /// that comes to the border at a small angle runs along it for a way.
    fn off(&self, p: Vec2, i: usize) -> f64 {
        let (edge, count) = (&self.edges[i], self.edges.len());
        let [low, high] = [i + count - 1, i + 1].map(|beside| self.edges[beside % count].bare);
        let reach = (p - edge.from).dot(edge.way);
        let from = if low { reach.min(0.0) } else { 0.0 };
        let to = if high { reach.max(edge.length) } else { edge.length };
        (edge.from + edge.way * reach.clamp(from, to) - p).length()
    }

    /// A chord that no one edge bounds is halved.
    fn is_split(&self, a: Vec2, b: Vec2, along: [usize; 2]) -> bool {
        let middle = (a + b) * 0.5;
        (b - a).length() > STRAY && self.is_good(a, middle, along) && self.is_good(middle, b, along)
    }
}

/// Whether the whole fit is in the band.
pub(super) fn holds(edges: &[Edge], start: Vec2, fitted: &[Fitted]) -> bool {
    let sorted = Sorted::of(edges);
    let mut from = start;
    fitted.iter().all(|Fitted { piece, edges: along }| {
        let here = from;
        from = piece.end();
        // A piece along a border is the border.
        if along[0] == along[1] && edges[along[0] % edges.len()].bare {
            return true;
        }
        let count = chords(here, piece);
        let mut a = here;
        (1..=count).all(|k| {
            let b = if k == count { from } else { point(here, piece, k as f64 / count as f64) };
            let good = sorted.is_good(a, b, *along);
            a = b;
            good
        })
    })
}

/// Chords that follow a piece within [`STRAY`].
fn chords(from: Vec2, piece: &Piece) -> usize {
    match *piece {
        Piece::Line { .. } => 1,
        Piece::Arc { major, sweep, .. } => {
            let step = 2.0 * libm::acos((1.0 - STRAY / major.length()).clamp(-1.0, 1.0));
            ((sweep.abs() / step.max(1e-4)).ceil() as usize).max(2)
        }
        Piece::Cubic { c1, c2, to } => {
            let bend = (from - c1 * 2.0 + c2).length().max((c1 - c2 * 2.0 + to).length());
            ((0.75 * bend / STRAY).sqrt().ceil() as usize).max(1)
        }
    }
}

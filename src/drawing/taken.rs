//! Room for words: what a view shows already.

use crate::geometry::{Path, Vec2};

/// What a view shows already.
#[derive(Default)]
pub(super) struct Taken {
    edges: Vec<[Vec2; 2]>,
    boxes: Vec<[Vec2; 2]>,
}

impl Taken {
    /// Nothing may stand on this curve.
    pub(super) fn path(&mut self, path: &Path) {
        /// Chords stray by at most this (mm on paper).
        const STRAY: f64 = 0.05;
        let points = path.flattened(STRAY);
        self.edges.extend(points.windows(2).map(|two| [two[0], two[1]]));
        if let (true, Some(&first), Some(&last)) = (path.closed, points.first(), points.last()) {
            self.edges.push([last, first]);
        }
    }

    /// Nothing may stand on this box.
    pub(super) fn area(&mut self, area: [Vec2; 2]) {
        self.boxes.push(area);
    }

    /// Whether a box stands clear of all edges and boxes.
    pub(super) fn is_free(&self, [low, high]: [Vec2; 2]) -> bool {
        /// Kept round the words (mm).
        const CLEAR: f64 = 0.7;
        let (low, high) = (low - Vec2::new(CLEAR, CLEAR), high + Vec2::new(CLEAR, CLEAR));
        let apart = |&[a, b]: &[Vec2; 2]| b.x < low.x || high.x < a.x || b.y < low.y || high.y < a.y;
        self.boxes.iter().all(apart) && !self.edges.iter().any(|&edge| enters(edge, [low, high]))
    }
}

/// Whether a segment enters a box (Liang and Barsky 1984).
fn enters([a, b]: [Vec2; 2], [low, high]: [Vec2; 2]) -> bool {
    let run = b - a;
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (p, q) in [(-run.x, a.x - low.x), (run.x, high.x - a.x), (-run.y, a.y - low.y), (run.y, high.y - a.y)] {
        if p.abs() < 1e-12 {
            if q < 0.0 {
                return false;
            }
        } else if p < 0.0 {
            first = first.max(q / p);
        } else {
            last = last.min(q / p);
        }
    }
    first <= last
}

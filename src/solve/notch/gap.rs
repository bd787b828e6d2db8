//! How near the wall left standing comes to each body.

use crate::geometry::contour::{SAME, holds, sides};
use crate::geometry::{Vec2, Vec3};

use super::WallRule;
use super::shop::Bounds;
use super::wall::{Solid, Sounding, Strip};

/// How far (mm) a gap may be under-stated; it is never over-stated.
const GAP: f64 = 1e-5;

/// Stretch of v (mm) whose two ends are removed that is taken as removed: metal that thin does not stand.
///
/// Its edges are walked all the same.
const SLIVER: f64 = 0.02;

/// Least distance from the wall left standing to one room.
#[derive(Debug, Clone, Copy)]
pub(super) struct Least {
    pub(super) gap: f64,
    pub(super) at: Vec2,
    /// On the wall, in the rail's frame.
    pub(super) point: Vec3,
}

/// What is left standing, and the room whose distance is asked for.
pub(super) struct Standing<'a> {
    pub(super) rule: &'a WallRule,
    pub(super) shop: &'a [Vec<Vec2>],
    /// Least and greatest v of the outline.
    pub(super) extent: (f64, f64),
    pub(super) bounds: &'a Bounds,
    pub(super) solid: &'a Solid,
}

/// The distance at one place of a stretch, with its slope along the stretch.
#[derive(Debug, Clone, Copy)]
struct Mark {
    place: f64,
    distance: f64,
    slope: f64,
    at: Vec2,
    removed: bool,
}

impl Standing<'_> {
    /// Least distance over the wall outside the outline, where it is less than `best`.
    ///
    /// At one v the distance is convex in u, so over what is left of that line it
    /// is least where it is least over all u, or at an end of what is removed:
    /// the first is searched along v, the second along the outline.
    pub(super) fn least(&self, mut best: Option<Least>) -> Option<Least> {
        for strip in &self.rule.strips {
            let mark = |v: f64| {
                let (distance, u, slope) = strip.station(v).least(self.solid, (0.0, self.rule.length));
                let at = Vec2::new(u, v);
                // Nearer than the clearance it is gone in any case.
                let taken = distance < self.rule.clearance - SAME;
                // On a sharp corner's line only the wall of this strip is meant.
                let inner = Vec2::new(u, v.min(strip.high - SAME).max(strip.low + SAME));
                Mark { place: v, distance, slope, at, removed: taken || self.removed(inner) }
            };
            self.search(strip, mark(strip.low), mark(strip.high), mark, &mut best);
        }
        for (a, b) in self.shop.iter().flat_map(|points| sides(points)).filter(|&(a, b)| !self.bounds.bare(a, b)) {
            self.along_side(a, b, &mut best);
        }
        best
    }

    fn removed(&self, p: Vec2) -> bool {
        let turned = |k: f64| p + Vec2::new(0.0, k * self.bounds.girth.unwrap_or(0.0));
        let turns: &[f64] = if self.bounds.girth.is_some() { &[0.0, -1.0, 1.0] } else { &[0.0] };
        let (low, high) = self.extent;
        turns.iter().map(|&k| turned(k)).any(|p| p.y >= low && p.y <= high && holds(self.shop, p))
    }

    /// Along one side of the outline, strip by strip.
    fn along_side(&self, a: Vec2, b: Vec2, best: &mut Option<Least>) {
        let length = (b - a).length();
        let Some(ahead) = (b - a).unit() else { return };
        for (strip, from, to) in self.rule.stretches(a, b) {
            let mark = |place: f64| {
                let at = a + ahead * place;
                let v = self.rule.on_strip(strip, at.y);
                let Sounding { distance, slope } = strip.station(v).sound(at.x, self.solid);
                Mark { place, distance, slope: slope.dot(ahead), at, removed: false }
            };
            self.search(strip, mark(from * length), mark(to * length), mark, best);
        }
    }

    /// Least distance over a stretch of one strip, by halving what could still hold less.
    fn search(&self, strip: &Strip, from: Mark, to: Mark, mark: impl Fn(f64) -> Mark, best: &mut Option<Least>) {
        let note = |m: &Mark, gap: f64, best: &mut Option<Least>| {
            if !m.removed && best.is_none_or(|b| gap < b.gap) {
                let v = self.rule.on_strip(strip, m.at.y);
                *best = Some(Least { gap, at: m.at, point: strip.station(v).nearest_point(m.at.x, self.solid) });
            }
        };
        note(&from, from.distance, best);
        note(&to, to.distance, best);
        let mut stack = vec![(from, to)];
        while let Some((from, to)) = stack.pop() {
            let length = to.place - from.place;
            let bound = strip.bound((from.distance, from.slope), (to.distance, to.slope), length);
            if best.is_some_and(|b| bound >= b.gap - 0.1 * GAP) {
                continue;
            }
            if from.removed && to.removed {
                // Deep in what goes, and so is all the line of least distance between.
                let most = from.distance.min(to.distance) + strip.quickness() * length;
                if most < self.rule.clearance || length <= SLIVER {
                    continue;
                }
            }
            let nearer = if to.distance < from.distance { &to } else { &from };
            if nearer.distance - bound <= GAP {
                note(nearer, bound, best);
                if !nearer.removed {
                    continue;
                }
            }
            if length <= GAP {
                continue;
            }
            let middle = mark(0.5 * (from.place + to.place));
            note(&middle, middle.distance, best);
            stack.push((middle, to));
            stack.push((from, middle));
        }
    }
}

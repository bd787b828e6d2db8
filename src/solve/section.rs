//! Section properties of a rail, whole or with part of its wall cut away.
//!
//! The outside of the wall is an unrolled path. The wall stands square to it:
//! a straight stretch carries a rectangle, a rounded corner a ring sector down
//! to an inside radius of outside radius − wall, at least 0. Moments of both
//! are in closed form, so nothing is approximated (any text on strength of
//! materials; checked against EN 10219-2 and AISC tables in the tests). Torsion
//! is that of thin walls: Bredt's formula for a closed section, a third of s t³
//! for an open one, both on the wall's middle line.

pub mod cells;
pub mod moments;

use super::rail::RailShape;
use super::solution::{RailVertex, SectionProperties};
use crate::geometry::Vec2;
use moments::Moments;

/// Lengths (mm) under this are nothing: far under what a tape or a saw knows, far over rounding.
const NOTHING: f64 = 1e-9;

/// Properties about the own centroid of a thin-walled section, less the wall over `removed`.
///
/// `path` is the outside (mm), convex, with square corners, rounded or sharp; `closed` joins the last vertex to the
/// first, `girth` long all round; an open path ends at its last vertex and `girth` is not used. The wall lies
/// toward the inside, whichever way round the path runs (a lone round that does not tell runs clockwise).
/// `removed` are intervals of the unrolled coordinate, in any order, overlapping or not, and on a closed path past
/// its seam; each takes the wall from outside to inside along the normal. What is left where a sharp inside corner
/// is reached from both sides is what neither side's cut takes. All zeros where nothing is left.
pub fn section(path: &[RailVertex], closed: bool, girth: f64, wall: f64, removed: &[(f64, f64)]) -> SectionProperties {
    let runs = Run::along(path, closed, girth);
    let cuts = Cuts::new(removed, runs.first().map_or(0.0, |run| run.from), closed.then_some(girth));
    let moments = walls(&runs, &cuts, closed, wall);
    let middle = Middle::of(&runs, closed, wall);
    let whole = closed && cuts.0.iter().all(|(from, to)| to - from <= NOTHING);
    let torsion = middle.open(&runs, &cuts, wall) + if whole { middle.bredt(wall) } else { 0.0 };
    SectionProperties { torsion, closed: whole, ..moments.properties() }
}

/// The integrals of a rail's wall less what is removed, to add plates and liners to.
pub fn wall_moments(rail: &RailShape, removed: &[(f64, f64)]) -> Moments {
    let runs = Run::along(&rail.path, rail.closed, rail.girth);
    let cuts = Cuts::new(removed, runs.first().map_or(0.0, |run| run.from), rail.closed.then_some(rail.girth));
    walls(&runs, &cuts, rail.closed, rail.wall)
}

fn walls(runs: &[Run], cuts: &Cuts, closed: bool, wall: f64) -> Moments {
    let mut moments = Moments::default();
    for run in runs {
        for (from, to) in cuts.left(run.from, run.to) {
            match run.shape {
                Shape::Straight { start, along, inward } => {
                    let (a, b) = (along * ((to - from) / 2.0), inward * (wall / 2.0));
                    let middle = start + along * (f64::midpoint(from, to) - run.from) + b;
                    moments.add_rectangle(middle, a, b, 1.0);
                    for corner in [a + b, a - b, b - a, -(a + b)] {
                        moments.reach(middle + corner);
                    }
                }
                Shape::Arc { centre, radius, angle, turn } => {
                    let at = |v: f64| angle + turn * (v - run.from) / radius;
                    let (low, high) = if turn > 0.0 { (at(from), at(to)) } else { (at(to), at(from)) };
                    moments.add_ring(centre, (radius - wall).max(0.0), radius, low, high);
                }
            }
        }
    }
    for corner in Corner::all(runs, closed, wall) {
        corner.count_once(cuts, &mut moments);
    }
    moments
}

/// The middle line of a wall as far as torsion needs it.
#[derive(Debug)]
struct Middle {
    /// Of every run, as a share of its length outside: an arc's is shorter.
    shares: Vec<f64>,
    length: f64,
    /// Enclosed, on a closed section.
    area: f64,
}

impl Middle {
    /// Half a wall inside the outside; a corner sharper than that has none of its own, and the straights meet.
    fn of(runs: &[Run], closed: bool, wall: f64) -> Self {
        let half = wall / 2.0;
        let count = runs.len();
        let radius = |i: usize| match runs[i % count].shape {
            Shape::Arc { radius, .. } => Some(radius),
            Shape::Straight { .. } => None,
        };
        // What a straight loses at an end where it meets another piece with less radius than half the wall.
        let loss =
            |i: usize, other: Option<usize>| match other {
                None => 0.0,
                Some(other) => {
                    match (runs[i].shape, runs[other].shape) {
                        (Shape::Straight { along: a, .. }, Shape::Straight { along: b, .. }) => {
                            if a.cross(b).abs() > 0.5 { half } else { 0.0 }
                        }
                        _ => radius(other).map_or(0.0, |radius| (half - radius).max(0.0)),
                    }
                }
            };
        let (mut shares, mut length, mut double) = (Vec::with_capacity(count), 0.0, 0.0);
        for (i, run) in runs.iter().enumerate() {
            let outside = run.to - run.from;
            let before = if closed { Some((i + count - 1) % count) } else { i.checked_sub(1) };
            let after = if closed { Some((i + 1) % count) } else { Some(i + 1).filter(|next| *next < count) };
            let own = match run.shape {
                Shape::Straight { start, along, inward } => {
                    let (first, last) = (loss(i, before), loss(i, after));
                    let (p, q) = (start + along * first, start + along * (outside - last));
                    double += (p + inward * half).cross(q + inward * half);
                    (outside - first - last).max(0.0)
                }
                Shape::Arc { centre, radius, angle, turn } => {
                    let (own, sweep) = ((radius - half).max(0.0), turn * outside / radius);
                    let [p, q] = [angle, angle + sweep].map(|at| Vec2::polar(at) * own);
                    double += centre.cross(q - p) + own * own * sweep;
                    own * sweep.abs()
                }
            };
            shares.push(own / outside);
            length += own;
        }
        Self { shares, length, area: double.abs() / 2.0 }
    }

    /// Bredt's torsion constant of the closed cell: 4 A² over the sum of s/t.
    fn bredt(&self, wall: f64) -> f64 {
        if self.length > 0.0 { 4.0 * self.area * self.area * wall / self.length } else { 0.0 }
    }

    /// A third of s t³ over what is left.
    fn open(&self, runs: &[Run], cuts: &Cuts, wall: f64) -> f64 {
        let left = |run: &Run| cuts.left(run.from, run.to).iter().map(|(from, to)| to - from).sum::<f64>();
        let length: f64 = runs.iter().zip(&self.shares).map(|(run, share)| left(run) * share).sum();
        wall * wall * wall * length / 3.0
    }
}

/// A stretch of the path of one shape, `from..to` in the unrolled coordinate.
#[derive(Debug, Clone, Copy)]
struct Run {
    from: f64,
    to: f64,
    shape: Shape,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    /// From `start` along the unit vector `along`, the wall toward the unit vector `inward`.
    Straight { start: Vec2, along: Vec2, inward: Vec2 },
    /// From `angle` about `centre`, `turn` +1 anticlockwise, −1 clockwise.
    Arc { centre: Vec2, radius: f64, angle: f64, turn: f64 },
}

impl Run {
    /// The runs of a path in order, nothing of no length; halves of one arc joined.
    fn along(path: &[RailVertex], closed: bool, girth: f64) -> Vec<Self> {
        let turn = turning(path);
        let mut runs: Vec<Self> = Vec::with_capacity(path.len());
        let count = if closed { path.len() } else { path.len().saturating_sub(1) };
        let mut v = path.first().map_or(0.0, |vertex| vertex.v);
        for (i, vertex) in path.iter().take(count).enumerate() {
            let next = if i + 1 < path.len() { path[i + 1] } else { path[0] };
            let length = if closed { (next.v - vertex.v).rem_euclid(girth) } else { next.v - vertex.v };
            // A round of one vertex comes back to it after the whole girth.
            let length = if closed && path.len() == 1 { girth } else { length };
            if length <= NOTHING {
                continue;
            }
            let shape = match vertex.centre {
                None => {
                    let Some(along) = (next.at - vertex.at).unit() else { continue };
                    Shape::Straight { start: vertex.at, along, inward: along.left() * turn }
                }
                Some(centre) => {
                    let spoke = vertex.at - centre;
                    Shape::Arc { centre, radius: spoke.length(), angle: spoke.angle(), turn }
                }
            };
            let run = Self { from: v, to: v + length, shape };
            v += length;
            match runs.last_mut() {
                Some(before) if before.goes_on_as(&run) => before.to = run.to,
                _ => runs.push(run),
            }
        }
        // An arc cut by the seam: the half before it goes to the end, a girth on.
        if closed && runs.len() > 1 && runs[runs.len() - 1].goes_on_as(&runs[0]) {
            let first = runs.remove(0);
            if let Some(last) = runs.last_mut() {
                last.to += first.to - first.from;
            }
        }
        runs
    }

    /// Whether `next` is a further stretch of the same arc.
    fn goes_on_as(&self, next: &Self) -> bool {
        match (self.shape, next.shape) {
            (Shape::Arc { centre: a, .. }, Shape::Arc { centre: b, .. }) => (a - b).length() <= NOTHING,
            _ => false,
        }
    }
}

/// +1 for a path that runs anticlockwise, −1 clockwise or where the vertices enclose nothing.
fn turning(path: &[RailVertex]) -> f64 {
    let origin = path.first().map_or(Vec2::default(), |vertex| vertex.at);
    let double: f64 = path.windows(2).map(|pair| (pair[0].at - origin).cross(pair[1].at - origin)).sum();
    if double > NOTHING { 1.0 } else { -1.0 }
}

/// Parts of the unrolled coordinate that are cut away: sorted, apart.
struct Cuts(Vec<(f64, f64)>);

impl Cuts {
    /// On a closed path of this girth cuts are repeated so as to cover two turns from `first` on.
    fn new(removed: &[(f64, f64)], first: f64, girth: Option<f64>) -> Self {
        let mut all: Vec<(f64, f64)> = removed.iter().map(|&(a, b)| (a.min(b), a.max(b))).collect();
        if let Some(girth) = girth.filter(|girth| *girth > 0.0) {
            all = all
                .into_iter()
                .flat_map(|(a, b)| {
                    let length = (b - a).min(girth);
                    let start = first + (a - first).rem_euclid(girth);
                    [-1.0, 0.0, 1.0].map(|turn| (start + turn * girth, start + turn * girth + length))
                })
                .collect();
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut apart: Vec<(f64, f64)> = Vec::with_capacity(all.len());
        for (from, to) in all {
            match apart.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(to),
                _ => apart.push((from, to)),
            }
        }
        Self(apart)
    }

    /// What is left of `from..to`.
    fn left(&self, from: f64, to: f64) -> Vec<(f64, f64)> {
        let mut left = Vec::new();
        let mut at = from;
        for &(a, b) in &self.0 {
            if a - at > NOTHING && at < to {
                left.push((at, a.min(to)));
            }
            at = at.max(b);
        }
        if to - at > NOTHING {
            left.push((at, to));
        }
        left
    }
}

/// A corner sharp inside: the walls of its two sides overlap in a square, which must count once.
struct Corner {
    /// Where the straight before it ends and the one after it begins, unrolled.
    ends: [f64; 2],
    /// Corner of the square nearest the outside.
    at: Vec2,
    /// Unit vectors from there: back along the side before, on along the side after.
    back: Vec2,
    on: Vec2,
    /// Its side: wall − outside radius.
    side: f64,
}

impl Corner {
    fn all(runs: &[Run], closed: bool, wall: f64) -> Vec<Self> {
        let count = runs.len();
        let mut corners = Vec::new();
        let next = |i: usize| if closed { runs.get((i + 1) % count) } else { runs.get(i + 1) };
        for (i, run) in runs.iter().enumerate() {
            let Shape::Straight { start, along, inward } = run.shape else { continue };
            let end = start + along * (run.to - run.from);
            let (radius, after) = match next(i) {
                Some(after @ Run { shape: Shape::Straight { .. }, .. }) => (0.0, Some(after)),
                Some(Run { shape: Shape::Arc { radius, .. }, .. }) => (*radius, next((i + 1) % count)),
                None => (0.0, None),
            };
            let Some(&Run { from, shape: Shape::Straight { along: on, .. }, .. }) = after else { continue };
            // A bend by no angle is one wall, cut by a vertex.
            if radius < wall && along.cross(on).abs() > 0.5 {
                corners.push(Self {
                    ends: [run.to, from],
                    at: end + inward * radius,
                    back: -along,
                    on,
                    side: wall - radius,
                });
            }
        }
        corners
    }

    /// Takes away what the two sides' strips count of the square, but for the part that both leave.
    ///
    /// With A and B what is left of either side: counted A + B, left A ∩ B, so A ∪ B goes.
    fn count_once(&self, cuts: &Cuts, moments: &mut Moments) {
        let before: Vec<(f64, f64)> = cuts
            .left(self.ends[0] - self.side, self.ends[0])
            .into_iter()
            .map(|(from, to)| (self.ends[0] - to, self.ends[0] - from))
            .collect();
        let after: Vec<(f64, f64)> = cuts
            .left(self.ends[1], self.ends[1] + self.side)
            .into_iter()
            .map(|(from, to)| (from - self.ends[1], to - self.ends[1]))
            .collect();
        let whole = [(0.0, self.side)];
        for (across, down, sign) in [(&before[..], &whole[..], -1.0), (&whole, &after, -1.0), (&before, &after, 1.0)] {
            for &(a0, a1) in across {
                for &(b0, b1) in down {
                    let middle = self.at + self.back * f64::midpoint(a0, a1) + self.on * f64::midpoint(b0, b1);
                    moments.add_rectangle(middle, self.back * ((a1 - a0) / 2.0), self.on * ((b1 - b0) / 2.0), sign);
                }
            }
        }
    }
}

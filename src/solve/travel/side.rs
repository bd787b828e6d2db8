//! One side of a gap: solids that motions carry, and how far those can carry them.

use crate::geometry::distance::{Solid, Support, ball};
use crate::geometry::{Rigid, Vec3};
use crate::spec::types::{Motion, MotionPath};

/// Turns (rad, either way from the middle) past which the three directions about an arc say too little.
const WIDEST: f64 = 1.0;

/// Least and greatest step of every motion of the spec: rad of a turn, mm of a shift, 0 as taped.
pub type Steps = Vec<[f64; 2]>;

/// Solids that move as one, as taped.
#[derive(Debug, Clone)]
pub struct Carried {
    solids: Vec<Solid>,
    /// A ball about each solid.
    balls: Vec<(Vec3, f64)>,
    /// Indices of the motions that move them, in the order of the file: the last acts first.
    moves: Vec<usize>,
}

impl Carried {
    /// Solids as taped and the indices of the motions that move them, in the order of the file.
    pub fn new(solids: Vec<Solid>, moves: Vec<usize>) -> Self {
        let balls = solids.iter().map(ball).collect();
        Self { solids, balls, moves }
    }

    /// The motions that move it.
    pub fn moves(&self) -> &[usize] {
        &self.moves
    }

    /// The same without the first `count` of its motions, as one who is carried by those sees it.
    pub fn within(&self, count: usize) -> Self {
        Self { moves: self.moves.iter().skip(count).copied().collect(), ..self.clone() }
    }

    /// How many solids it has.
    pub fn len(&self) -> usize {
        self.solids.len()
    }

    /// Whether it has none.
    pub fn is_empty(&self) -> bool {
        self.solids.is_empty()
    }

    /// A solid as taped.
    pub fn solid(&self, index: usize) -> &Solid {
        &self.solids[index]
    }

    /// Largest coordinate (mm).
    pub fn size(&self) -> f64 {
        self.balls.iter().map(|(centre, radius)| centre.length() + radius).fold(0.0, f64::max)
    }

    /// Where the motions carry it, every one at the step given.
    pub fn place(&self, motions: &[Motion], steps: &[f64]) -> Rigid {
        // The last listed first: each then carries what is already moved.
        self.moves.iter().rev().fold(Rigid::STILL, |inner, &m| inner.then(&motions[m].at(steps[m])))
    }

    /// The ball about a solid, carried.
    pub fn ball(&self, index: usize, place: &Rigid) -> (Vec3, f64) {
        let (centre, radius) = self.balls[index];
        (place.point(centre), radius)
    }

    /// Adds to `slides`, motion by motion, how far (mm) a point of a solid can be from where it is with every motion at
    /// the middle of its range; the sum is never exceeded.
    pub fn slides(&self, index: usize, motions: &[Motion], range: &Steps, slides: &mut [f64]) {
        let (mut at, radius) = self.balls[index];
        let mut within = 0.0;
        for &m in self.moves.iter().rev() {
            let [low, high] = range[m];
            let (middle, half) = (f64::midpoint(low, high), 0.5 * (high - low));
            let slide = match motions[m].path {
                MotionPath::Shift { .. } => half,
                MotionPath::Turn { about, axis } | MotionPath::Travel { about, axis, .. } => {
                    let arm = axis.cross(at - about).length() + radius + within;
                    // A chord; past half a turn it is as long as it gets.
                    2.0 * arm * libm::sin(0.5 * half.min(std::f64::consts::PI))
                }
            };
            slides[m] += slide;
            within += slide;
            at = motions[m].at(middle).point(at);
        }
    }

    /// Never less than the greatest `direction · p` over all points p of a solid and all steps of the range.
    ///
    /// With the outermost motion p = o + R(q − o), direction · p = direction · o + (Rᵀ direction) · (q − o), and over
    /// all q that is a convex function of Rᵀ direction. Those lie on an arc, and an arc lies within the triangle of its
    /// ends and of where the tangents there meet: the greatest value over the arc is at most that at a corner.
    pub fn reach(&self, solid: &impl Support, motions: &[Motion], range: &Steps, direction: Vec3) -> f64 {
        reach(&self.moves, solid, motions, range, direction)
    }
}

/// The motions that change how some things stand to one another: those that carry all of them alike, listed before all
/// others of any, do not.
pub(super) fn apart(count: usize, moves: &[&[usize]]) -> Vec<usize> {
    let Some((first, others)) = moves.split_first() else { return Vec::new() };
    let alike = |k: usize| others.iter().all(|other| other.get(k) == first.get(k));
    let common = (0..first.len()).take_while(|&k| alike(k)).count();
    (0..count).filter(|m| moves.iter().any(|list| list.iter().skip(common).any(|other| other == m))).collect()
}

fn reach(moves: &[usize], solid: &impl Support, motions: &[Motion], range: &Steps, direction: Vec3) -> f64 {
    let Some((&first, inner)) = moves.split_first() else {
        return direction.dot(solid.farthest(direction)) + solid.round() * direction.length();
    };
    let [low, high] = range[first];
    match motions[first].path {
        MotionPath::Shift { along } => {
            let pull = direction.dot(along);
            (pull * low).max(pull * high) + reach(inner, solid, motions, range, direction)
        }
        MotionPath::Turn { about, axis } | MotionPath::Travel { about, axis, .. } => {
            let (middle, half) = (f64::midpoint(low, high), 0.5 * (high - low));
            if half > WIDEST {
                return f64::INFINITY;
            }
            let value = |d: Vec3| direction.dot(about) - d.dot(about) + reach(inner, solid, motions, range, d);
            if half <= 0.0 {
                return value(direction.turned(axis, -middle));
            }
            let along = axis * axis.dot(direction);
            let across = (direction - along).turned(axis, -middle) * (1.0 / libm::cos(half));
            let ends = [low, high].map(|step| value(direction.turned(axis, -step)));
            value(along + across).max(ends[0]).max(ends[1])
        }
    }
}

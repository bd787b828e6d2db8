//! Distances between segments, cylinders, boxes, balls and bent tubes.
//!
//! Convex solids are given by their support functions and measured by the
//! iteration of Gilbert, Johnson and Keerthi; it carries its own
//! proof, a point pair from above and a separating plane from below. Solids
//! that curve round an axis ([`Revolved`]) are cut into slices whose convex
//! hulls bound them from below, until the bounds meet.

mod convex;
mod moved;
mod revolved;
mod segment;
mod simplex;
mod tube;

pub use convex::Convex;
pub use revolved::{Profile, Revolved};
pub use segment::{point_segment, segment_segment};
pub use tube::tube;

use super::Vec3;

/// A convex set told by its farthest points, blown up by a ball.
pub trait Support {
    /// A point of the set's core farthest along `direction` (any length but zero).
    fn farthest(&self, direction: Vec3) -> Vec3;

    /// Radius of the ball rolled over the core (mm).
    fn round(&self) -> f64 {
        0.0
    }
}

/// Where two solids are nearest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Closest {
    /// Distance of the surfaces (mm), 0 where they touch or overlap.
    pub gap: f64,
    /// On the first solid; where they overlap, a point of the first near both.
    pub on_first: Vec3,
    /// On the second solid.
    pub on_second: Vec3,
    /// How far below `gap` the true distance can lie (mm): proved, not guessed.
    pub slack: f64,
}

/// A solid to be kept clear of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Solid {
    /// Convex.
    Convex(Convex),
    /// Bent or hollowed about an axis.
    Revolved(Revolved),
}

/// Least distance of two convex solids (mm), to 1e-10 mm or the rounding of their coordinates.
///
/// Faces and lines that are parallel but for rounding can leave up to some 1e-9 mm open; `slack` says so.
pub fn closest(first: &impl Support, second: &impl Support) -> Closest {
    simplex::cores(first, second).surfaces(first.round(), second.round())
}

/// Least distance of a convex solid and any solid; `None` where it is not below `enough` (mm).
///
/// Stopping at `enough` spares most of the work when the least over many solids is wanted.
pub fn closest_below(first: &impl Support, second: &Solid, enough: f64) -> Option<Closest> {
    let found = match second {
        Solid::Convex(second) => closest(first, second),
        Solid::Revolved(second) => revolved::closest(first, second, enough)?,
    };
    (found.gap < enough).then_some(found)
}

/// Least distance of a convex solid and the union of several; `None` for none.
pub fn closest_of(first: &impl Support, solids: &[Solid]) -> Option<Closest> {
    solids.iter().fold(None, |best: Option<Closest>, solid| {
        let enough = best.map_or(f64::INFINITY, |best| best.gap);
        closest_below(first, solid, enough).or(best)
    })
}

/// Centre and radius (mm) of a ball about a solid: about the box of its farthest points along the axes.
pub fn ball(solid: &impl Support) -> (Vec3, f64) {
    let far = |d: Vec3| solid.farthest(d).dot(d) + solid.round();
    let span = |d: Vec3| [-far(-d), far(d)];
    let [x, y, z] = [Vec3::new(1.0, 0.0, 0.0), Vec3::new(0.0, 1.0, 0.0), Vec3::new(0.0, 0.0, 1.0)].map(span);
    let low = Vec3::new(x[0], y[0], z[0]);
    let high = Vec3::new(x[1], y[1], z[1]);
    ((low + high) * 0.5, 0.5 * (high - low).length())
}

//! Convex solids by their support functions.

use super::Support;
use crate::geometry::Vec3;

/// A convex solid (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Convex {
    /// Ball.
    Ball {
        /// Centre.
        centre: Vec3,
        /// Radius.
        radius: f64,
    },
    /// Right circular cylinder with flat ends; of radius 0, a segment.
    Cylinder {
        /// Centre of one end face.
        from: Vec3,
        /// Centre of the other.
        to: Vec3,
        /// Radius.
        radius: f64,
    },
    /// Round bar cut off by two planes, each through the axis at an end.
    ///
    /// Exact while the two cuts do not meet inside the bar; else the hull of the two cut faces.
    Mitred {
        /// Where the axis meets the first plane.
        from: Vec3,
        /// Where it meets the second.
        to: Vec3,
        /// Radius.
        radius: f64,
        /// Normals of the two planes, neither square to the axis.
        cuts: [Vec3; 2],
    },
    /// Parallelepiped.
    Block {
        /// One corner.
        corner: Vec3,
        /// Three edges from it.
        edges: [Vec3; 3],
    },
    /// Flat quadrilateral swept along an edge, blown up by a ball.
    Prism {
        /// Of the quadrilateral; two may be one.
        corners: [Vec3; 4],
        /// What it is swept along.
        edge: Vec3,
        /// Radius of the ball.
        round: f64,
    },
}

impl Support for Convex {
    fn farthest(&self, direction: Vec3) -> Vec3 {
        match *self {
            Self::Ball { centre, .. } => centre,
            Self::Cylinder { from, to, radius } => {
                let axis = to - from;
                let Some(unit) = axis.unit() else { return from };
                let end = if direction.dot(axis) > 0.0 { to } else { from };
                end + rim(direction, unit) * radius
            }
            Self::Mitred { from, to, radius, cuts: [first, second] } => {
                let Some(unit) = (to - from).unit() else { return from };
                let (p, q) =
                    (cut_rim(from, unit, radius, first, direction), cut_rim(to, unit, radius, second, direction));
                if direction.dot(q - p) > 0.0 { q } else { p }
            }
            Self::Block { corner, edges } => {
                edges.into_iter().filter(|edge| direction.dot(*edge) > 0.0).fold(corner, |at, edge| at + edge)
            }
            Self::Prism { corners: [first, others @ ..], edge, .. } => {
                let farther = |a: Vec3, b: Vec3| if direction.dot(b) > direction.dot(a) { b } else { a };
                let corner = others.into_iter().fold(first, farther);
                if direction.dot(edge) > 0.0 { corner + edge } else { corner }
            }
        }
    }

    fn round(&self) -> f64 {
        match *self {
            Self::Ball { radius, .. } => radius,
            Self::Prism { round, .. } => round,
            _ => 0.0,
        }
    }
}

/// Point of the ellipse that a plane cuts from a round bar, farthest along `direction`.
///
/// A rim point is centre + y − unit·(y·cut)/(unit·cut) with y square to the axis and |y| = radius,
/// so its dot product with `direction` is linear in y.
fn cut_rim(centre: Vec3, unit: Vec3, radius: f64, cut: Vec3, direction: Vec3) -> Vec3 {
    let slant = cut * (1.0 / unit.dot(cut));
    let pull = direction - slant * direction.dot(unit);
    let y = rim(pull, unit) * radius;
    centre + y - unit * y.dot(slant)
}

/// A direction nearer to an axis (rad) is along it: what is left across would be rounding, leaning any way.
const ALONG: f64 = 1e-13;

/// Unit vector along the part of `direction` square to the unit vector `axis`; zero where there is none.
///
/// Taken off twice, because near the axis the first rest still leans along it.
fn rim(direction: Vec3, axis: Vec3) -> Vec3 {
    let square = |d: Vec3| d - axis * d.dot(axis);
    let across = square(direction);
    if across.length() <= ALONG * direction.length() {
        return Vec3::default();
    }
    across.unit().and_then(|across| square(across).unit()).unwrap_or_default()
}

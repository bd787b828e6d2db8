//! Solids carried along by a rigid motion.

use super::{Convex, Revolved, Solid, Support};
use crate::geometry::{Rigid, Vec3};

impl Convex {
    /// Carried along.
    pub fn moved(&self, by: &Rigid) -> Self {
        match *self {
            Self::Ball { centre, radius } => Self::Ball { centre: by.point(centre), radius },
            Self::Cylinder { from, to, radius } => Self::Cylinder { from: by.point(from), to: by.point(to), radius },
            Self::Mitred { from, to, radius, cuts } => {
                Self::Mitred { from: by.point(from), to: by.point(to), radius, cuts: cuts.map(|cut| by.direction(cut)) }
            }
            Self::Block { corner, edges } => {
                Self::Block { corner: by.point(corner), edges: edges.map(|edge| by.direction(edge)) }
            }
            Self::Prism { corners, edge, round } => {
                Self::Prism { corners: corners.map(|corner| by.point(corner)), edge: by.direction(edge), round }
            }
        }
    }
}

impl Revolved {
    /// Carried along.
    pub fn moved(&self, by: &Rigid) -> Self {
        Self { frame: by.frame(&self.frame), ..*self }
    }
}

impl Solid {
    /// Carried along.
    pub fn moved(&self, by: &Rigid) -> Self {
        match self {
            Self::Convex(convex) => Self::Convex(convex.moved(by)),
            Self::Revolved(revolved) => Self::Revolved(revolved.moved(by)),
        }
    }
}

/// Of a bent solid, its convex hull.
impl Support for Solid {
    fn farthest(&self, direction: Vec3) -> Vec3 {
        match self {
            Self::Convex(convex) => convex.farthest(direction),
            Self::Revolved(revolved) => revolved.farthest(direction),
        }
    }

    fn round(&self) -> f64 {
        match self {
            Self::Convex(convex) => convex.round(),
            Self::Revolved(revolved) => revolved.round(),
        }
    }
}

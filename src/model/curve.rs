//! Curves of the solids.

use super::spline::Spline;
use crate::geometry::{Frame, Vec3};

/// An edge's curve, run from its first to its last point with its parameter growing.
#[derive(Debug, Clone, PartialEq)]
pub enum Curve {
    /// Straight.
    Line {
        /// First point.
        from: Vec3,
        /// Last point.
        to: Vec3,
    },
    /// Part of an ellipse or circle: origin + a cos t x + b sin t y.
    Arc {
        /// Centre, and the axes x and y.
        frame: Frame,
        /// Semi-axes a and b (mm); equal for a circle.
        radii: [f64; 2],
        /// First and last t (rad), growing, at most one turn apart.
        range: [f64; 2],
    },
    /// Part of one branch of a hyperbola: origin + a cosh t x + b sinh t y.
    Hyperbola {
        /// Centre, and the axes x and y.
        frame: Frame,
        /// Semi-axes a and b (mm).
        radii: [f64; 2],
        /// First and last t, growing.
        range: [f64; 2],
    },
    /// A fitted curve.
    Spline(Spline),
}

impl Curve {
    /// A circle once round from the frame's x toward its y.
    pub fn circle(frame: Frame, radius: f64) -> Self {
        Self::Arc { frame, radii: [radius, radius], range: [0.0, std::f64::consts::TAU] }
    }

    /// Point, and derivative by `t`, at `t` from 0 (first point) to 1 (last point).
    pub fn at(&self, t: f64) -> (Vec3, Vec3) {
        match self {
            Self::Line { from, to } => (*from + (*to - *from) * t, *to - *from),
            Self::Arc { frame, radii: [a, b], range } => {
                let span = range[1] - range[0];
                let (s, c) = libm::sincos(range[0] + span * t);
                (
                    frame.origin + frame.x * (a * c) + frame.y * (b * s),
                    frame.x * (-a * s * span) + frame.y * (b * c * span),
                )
            }
            Self::Hyperbola { frame, radii: [a, b], range } => {
                let span = range[1] - range[0];
                let at = range[0] + span * t;
                let (s, c) = (libm::sinh(at), libm::cosh(at));
                (
                    frame.origin + frame.x * (a * c) + frame.y * (b * s),
                    frame.x * (a * s * span) + frame.y * (b * c * span),
                )
            }
            Self::Spline(spline) => spline.at(t),
        }
    }

    /// Number of equal parameter pieces over each of which ten Gauss points integrate to rounding.
    pub(super) fn pieces(&self) -> usize {
        match self {
            Self::Line { .. } => 1,
            // A whole turn in 16: Gauss of order 20 leaves nothing of a sine over 0.4 rad. The slimmer an ellipse,
            // the sharper its speed bends at the ends of its long axis.
            Self::Arc { radii: [a, b], .. } => 16 * (a / b).max(b / a).ceil().clamp(1.0, 64.0) as usize,
            Self::Hyperbola { .. } => 16,
            Self::Spline(spline) => spline.len(),
        }
    }
}

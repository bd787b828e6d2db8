//! Curves of a STEP file's edges.

use std::f64::consts::TAU;

use crate::geometry::{Frame, Vec3};

/// Panels over a conic: at most 0.4 rad each, where ten points leave nothing of a sine.
const CONIC_PANELS: usize = 16;

/// Two ends of an arc within this (rad) are one point, and the arc a whole turn.
const WHOLE_TURN: f64 = 1e-9;

/// An edge's curve, in mm.
pub(super) enum Curve {
    Line {
        from: Vec3,
        to: Vec3,
    },
    /// A circle has two equal radii.
    Ellipse {
        place: Frame,
        radii: [f64; 2],
    },
    Hyperbola {
        place: Frame,
        radii: [f64; 2],
    },
    Spline {
        degree: usize,
        points: Vec<Vec3>,
        knots: Vec<f64>,
        spans: usize,
    },
}

impl Curve {
    /// Point and derivative at a parameter.
    pub(super) fn at(&self, t: f64) -> (Vec3, Vec3) {
        match self {
            Self::Line { from, to } => (*from + (*to - *from) * t, *to - *from),
            Self::Ellipse { place, radii: [a, b] } => {
                let (s, c) = libm::sincos(t);
                let (x, y) = (place.x * *a, place.y * *b);
                (place.origin + x * c + y * s, y * c - x * s)
            }
            Self::Hyperbola { place, radii: [a, b] } => {
                let (s, c) = (libm::sinh(t), libm::cosh(t));
                (place.origin + place.x * (a * c) + place.y * (b * s), place.x * (a * s) + place.y * (b * c))
            }
            Self::Spline { degree, points, knots, .. } => de_boor(*degree, points, knots, t),
        }
    }

    /// Pieces over each of which ten Gauss points leave nothing.
    pub(super) fn panels(&self) -> usize {
        match self {
            Self::Line { .. } => 1,
            // The speed along a slim ellipse bends sharply at the ends of its long axis.
            Self::Ellipse { radii: [a, b], .. } => CONIC_PANELS * (a / b).max(b / a).ceil().clamp(1.0, 64.0) as usize,
            Self::Hyperbola { .. } => CONIC_PANELS,
            Self::Spline { spans, .. } => *spans,
        }
    }

    /// Where a spline begins and ends in its parameter; of any other curve 0 and 1.
    pub(super) fn span(&self) -> [f64; 2] {
        let Self::Spline { knots, .. } = self else { return [0.0, 1.0] };
        [knots.first(), knots.last()].map(|knot| knot.copied().unwrap_or_default())
    }

    /// Its first and last point over that.
    pub(super) fn ends(&self) -> [Vec3; 2] {
        self.span().map(|t| self.at(t).0)
    }

    /// Point and derivative at a share, 0 to 1, of that.
    pub(super) fn at_share(&self, share: f64) -> (Vec3, Vec3) {
        let [from, to] = self.span();
        self.at(from + (to - from) * share)
    }

    /// Parameters of two points of the curve, the way along it from the first to the second.
    pub(super) fn range(&self, from: Vec3, to: Vec3, same_sense: bool) -> [f64; 2] {
        match self {
            Self::Line { .. } => [0.0, 1.0],
            Self::Ellipse { place, radii: [a, b] } => {
                let off = |p: Vec3| p - place.origin;
                let angle = |p: Vec3| libm::atan2(off(p).dot(place.y) * a, off(p).dot(place.x) * b);
                let (a, b) = (angle(from), angle(to));
                match same_sense {
                    true if b <= a + WHOLE_TURN => [a, b + TAU],
                    false if b >= a - WHOLE_TURN => [a, b - TAU],
                    _ => [a, b],
                }
            }
            Self::Hyperbola { place, radii } => {
                [from, to].map(|p| libm::asinh((p - place.origin).dot(place.y) / radii[1]))
            }
            Self::Spline { knots, .. } => {
                let ends = [knots.first(), knots.last()].map(|knot| knot.copied().unwrap_or_default());
                if same_sense { ends } else { [ends[1], ends[0]] }
            }
        }
    }
}

/// Point and derivative of a spline (de Boor's algorithm; Piegl and Tiller, The NURBS Book, section 2; from memory).
fn de_boor(degree: usize, points: &[Vec3], knots: &[f64], t: f64) -> (Vec3, Vec3) {
    let last = points.len().saturating_sub(1);
    let span = knots.partition_point(|knot| *knot <= t).saturating_sub(1).clamp(degree, last.max(degree));
    let knot = |i: usize| knots.get(i).copied().unwrap_or_default();
    let mut row: Vec<Vec3> = (span - degree..=span).map(|i| points.get(i).copied().unwrap_or_default()).collect();
    let mut derivative = Vec3::default();
    for level in 1..=degree {
        if let (true, [a, b, ..]) = (level == degree, row.as_slice()) {
            derivative = (*b - *a) * (degree as f64 / (knot(span + 1) - knot(span)));
        }
        row = row
            .windows(2)
            .zip(span - degree + level..)
            .map(|(pair, i)| {
                let part = (t - knot(i)) / (knot(i + degree + 1 - level) - knot(i));
                pair[0] * (1.0 - part) + pair[1] * part
            })
            .collect();
    }
    (row.first().copied().unwrap_or_default(), derivative)
}

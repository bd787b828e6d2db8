//! A stretch of bar with one outside section, and what stretches share.

use super::feature::Cut;
use super::solid::vertex;
use super::{Curve, Edge, Face, Shape, Surface, Wire};
use crate::geometry::{Frame, Vec3};
use crate::solve::solution::End;

/// Sizes (mm) of a stretch, checked.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    /// Of the round.
    pub(super) radius: f64,
    /// Half the distance across the flats; `None` on a round stretch.
    pub(super) half_flats: Option<f64>,
    /// Clock of the first flat (deg).
    pub(super) turn: f64,
    /// First station from the upper end.
    pub(super) from: f64,
    /// Last station.
    pub(super) to: f64,
    /// Of its two ends, 45 degrees; 0 for none.
    pub(super) chamfers: [f64; 2],
}

impl Stretch {
    /// The stations between which the section is whole.
    pub(super) fn whole(&self) -> [f64; 2] {
        [self.from + self.chamfers[0], self.to - self.chamfers[1]]
    }

    /// Half its least thickness.
    pub(super) fn half_thickness(&self) -> f64 {
        self.half_flats.unwrap_or(self.radius)
    }

    /// Directions (rad) of its corners.
    pub(super) fn corners(&self) -> Vec<f64> {
        let Some(half_flats) = self.half_flats else { return Vec::new() };
        let (half, turn) = (libm::acos(half_flats / self.radius), self.turn.to_radians());
        let pi = std::f64::consts::PI;
        [half, pi - half, pi + half, -half].map(|corner| turned(corner + turn)).to_vec()
    }
}

/// An angle (rad) brought into -pi to pi.
pub(super) fn turned(angle: f64) -> f64 {
    let whole = angle.rem_euclid(std::f64::consts::TAU);
    if whole > std::f64::consts::PI { whole - std::f64::consts::TAU } else { whole }
}

/// The faces round a stretch, and its outlines at the upper and lower end, anticlockwise about +z.
///
/// Each edge of an outline is met once more by whatever closes that end: forward at the upper end of
/// a next stretch or in the plane that ends this one there.
pub(super) struct Outside {
    pub(super) faces: Vec<Face>,
    pub(super) outlines: [Vec<Edge>; 2],
}

/// A frame square to the shaft at a station, x toward flat A, +z toward the gear.
pub(super) fn level(z: f64) -> Frame {
    Frame {
        origin: Vec3::new(0.0, 0.0, z),
        x: Vec3::new(1.0, 0.0, 0.0),
        y: Vec3::new(0.0, 1.0, 0.0),
        z: Vec3::new(0.0, 0.0, 1.0),
    }
}

/// The same looking toward the column: x stays, y and z turn round.
pub(super) fn level_up(z: f64) -> Frame {
    let Frame { origin, x, y, z } = level(z);
    Frame { origin, x, y: -y, z: -z }
}

/// Surface of the end's chamfer: its cone grows into the bar.
pub(super) fn chamfer_surface(bar: &Stretch, end: End) -> Surface {
    let (frame, chamfer) = match end {
        End::Upper => (level(bar.from), bar.chamfers[0]),
        End::Lower => (level_up(bar.to), bar.chamfers[1]),
    };
    let shape = Shape::Cone { radius: bar.radius - chamfer, half_angle: std::f64::consts::FRAC_PI_4 };
    Surface::convex(frame, shape)
}

/// Adds to a face's wires the rims of the dimples it holds, and to the faces their insides.
pub(super) fn cut_into(wires: &mut Vec<Wire>, faces: &mut Vec<Face>, cuts: impl IntoIterator<Item = Cut>) {
    for cut in cuts {
        wires.push(Wire::from(vec![cut.rim.inverse()]));
        faces.extend(cut.faces);
    }
}

/// A level arc, parted in two where it passes a direction (rad from +x).
pub(super) fn split_arc(arc: Edge, direction: Option<f64>) -> Vec<Edge> {
    let (Some(direction), Curve::Arc { frame, radii, range }) = (direction, arc.curve()) else { return vec![arc] };
    let [start, stop] = range;
    // The direction in the arc's own parameter, the first time past its start.
    let own = direction - libm::atan2(frame.x.y, frame.x.x) - start;
    let at = start + own.rem_euclid(std::f64::consts::TAU);
    if at <= start || at >= stop {
        return vec![arc];
    }
    let middle = vertex(Curve::Arc { frame, radii, range: [at, at] }.at(0.0).0);
    vec![
        Edge::new_unchecked(arc.front(), &middle, Curve::Arc { frame, radii, range: [start, at] }),
        Edge::new_unchecked(&middle, arc.back(), Curve::Arc { frame, radii, range: [at, stop] }),
    ]
}

//! What goes through a bar from end to end: a round bore, or the hole another member slides in.

use super::feature;
use super::room::LEAST_WALL;
use super::solid::{face, line, ring, vertex};
use super::stretch::level;
use super::{Curve, Edge, Face, Shape, Surface, Vertex, Wire};
use crate::catalog::forms::FormShape;
use crate::geometry::{Frame, Vec2, Vec3};
use crate::solve::member::Hole;

/// A hole along the shaft's axis (mm); teeth are a round of their outside diameter.
#[derive(Debug, Clone, Copy)]
pub(super) struct Through {
    hole: Hole,
    radius: f64,
    /// Half across its flats, and the clock (deg) of the first.
    flats: Option<(f64, f64)>,
}

/// Its walls, and its outlines at the upper and lower end as the end faces take them.
pub(super) struct Walls {
    pub(super) faces: Vec<Face>,
    pub(super) outlines: [Wire; 2],
}

impl Through {
    /// The hole of a piece of bar.
    pub(super) fn of(hole: Hole) -> Self {
        let (radius, flats) = match hole.form {
            FormShape::DoubleD { diameter, flats, .. } => (diameter / 2.0, Some((flats / 2.0, hole.clock))),
            FormShape::Serrated { diameter, .. } | FormShape::Round { diameter, .. } => (diameter / 2.0, None),
        };
        Self { hole, radius, flats }
    }

    /// Largest diameter.
    pub(super) const fn diameter(&self) -> f64 {
        2.0 * self.radius
    }

    /// The farthest it reaches toward a direction across the shaft, within a half width of the line there.
    pub(super) fn reach(&self, toward: Vec2, half_width: f64) -> f64 {
        self.hole.highest(toward.angle().to_degrees(), half_width)
    }

    /// Least wall it leaves in a round of this radius, or in flats at this half distance and clock.
    pub(super) fn wall_in(&self, radius: f64, flats: Option<(f64, f64)>) -> f64 {
        let round = radius - self.radius;
        let Some((half, clock)) = flats else { return round };
        round.min(half - self.hole.highest(clock, self.radius))
    }

    /// Its walls from station 0 to `length`.
    pub(super) fn walls(&self, length: f64) -> Walls {
        let Some((half_flats, clock)) = self.flats.filter(|(half, _)| *half < self.radius - LEAST_WALL) else {
            return self.round(length);
        };
        let half_chord = (self.radius * self.radius - half_flats * half_flats).sqrt();
        let e = feature::direction(clock);
        let place = |x: f64, y: f64, z: f64| Vec3::new(x * e.x - y * e.y, x * e.y + y * e.x, z);
        let frame = |z: f64| {
            let Frame { origin, z, .. } = level(z);
            Frame { origin, x: place(1.0, 0.0, 0.0), y: place(0.0, 1.0, 0.0), z }
        };
        let corner = |k: usize, z: f64| {
            let x = if k == 0 || k == 3 { half_flats } else { -half_flats };
            let y = if k < 2 { half_chord } else { -half_chord };
            vertex(place(x, y, z))
        };
        let near = [0, 1, 2, 3].map(|k| corner(k, 0.0));
        let far = [0, 1, 2, 3].map(|k| corner(k, length));
        let along = [0, 1, 2, 3].map(|k| line(&near[k], &far[k]));
        let half = libm::acos(half_flats / self.radius);
        let pi = std::f64::consts::PI;
        let run = |corners: &[Vertex; 4], z: f64| {
            [0, 1, 2, 3].map(|side| {
                let (from, to) = (&corners[(side + 3) % 4], &corners[side]);
                let range = match side {
                    1 => [half, pi - half],
                    3 => [pi + half, 2.0 * pi - half],
                    _ => return line(from, to),
                };
                Edge::new_unchecked(from, to, Curve::Arc { frame: frame(z), radii: [self.radius; 2], range })
            })
        };
        let (first, last) = (run(&near, 0.0), run(&far, length));
        let faces = [0, 1, 2, 3].map(|side| {
            let left = (side + 3) % 4;
            // Seen from the axis the side runs the other way round.
            let wire = vec![along[left].clone(), last[side].clone(), along[side].inverse(), first[side].inverse()];
            let surface = if side.is_multiple_of(2) {
                let out = feature::outward_frame(90.0 * side as f64 + clock, 0.0);
                Surface::plane(Frame { origin: out.z * half_flats, x: -out.x, y: out.y, z: -out.z })
            } else {
                Surface::hollow(frame(0.0), Shape::Cylinder { radius: self.radius })
            };
            face(vec![Wire::from(wire)], surface)
        });
        let back = last.iter().rev().map(Edge::inverse).collect();
        Walls { faces: faces.to_vec(), outlines: [first.into_iter().collect(), back] }
    }

    fn round(&self, length: f64) -> Walls {
        let radius = self.radius;
        let (near, first) = ring(Curve::circle(level(0.0), radius));
        let (far, last) = ring(Curve::circle(level(length), radius));
        let seam = line(&near, &far);
        let wire = Wire::from(vec![first.inverse(), seam.clone(), last.clone(), seam.inverse()]);
        let wall = face(vec![wire], Surface::hollow(level(0.0), Shape::Cylinder { radius }));
        Walls { faces: vec![wall], outlines: [Wire::from(vec![first]), Wire::from(vec![last.inverse()])] }
    }
}

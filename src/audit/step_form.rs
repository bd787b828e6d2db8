//! Surfaces of a STEP file's faces, and what a boundary on them encloses.

use crate::geometry::{Frame, Vec3};

/// A plane, or a surface of revolution of radius `radius + slope v` at height v over its place, or a carried ellipse.
pub(super) enum Form {
    Plane {
        origin: Vec3,
        normal: Vec3,
    },
    Revolved {
        place: Frame,
        radius: f64,
        slope: f64,
        half_angle: f64,
        hollow: bool,
    },
    /// Along z over the ellipse a cos t x + b sin t y.
    Elliptic {
        place: Frame,
        radii: [f64; 2],
        hollow: bool,
    },
}

/// What one step along a boundary adds.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Step {
    /// To three times the volume.
    pub(super) volume: f64,
    /// To the area.
    pub(super) area: f64,
    /// To four times the first moments of the volume about the file's origin.
    pub(super) moment: Vec3,
    /// How far the point lies off the surface (mm).
    pub(super) off: f64,
}

impl Form {
    /// At a boundary's point with its derivative, the boundary anticlockwise seen from outside.
    ///
    /// Flux of the position r (three times the volume) and of r r (four times its moments) through the face, by
    /// Green's theorem from its boundary. Plane: (o.n) n.((c - o) x c') / 2, and the moment of a plane figure about o
    /// is a third of (c - o) taken with twice that. Revolved, with u the angle round the axis and t the slope:
    /// `-F(v) (o.e(u) - t o.z + r) u'`, F the integral over v of r + v t, and of that times a point of the wall.
    /// Elliptic, with the normal N = b cos t x + a sin t y: `-v (o.N + a b) t'`, at half the height for the moment.
    pub(super) fn boundary_step(&self, c: Vec3, d: Vec3) -> Step {
        match *self {
            Self::Plane { origin, normal } => {
                let p = c - origin;
                let area = 0.5 * normal.dot(p.cross(d));
                let volume = origin.dot(normal) * area;
                let moment = origin * volume + p * (volume / 1.5);
                Step { volume, area, moment, off: p.dot(normal).abs() }
            }
            Self::Revolved { place, radius, slope, hollow, .. } => {
                let Frame { origin, x, y, z } = place;
                let p = c - origin;
                let (a, b, v) = (p.dot(x), p.dot(y), p.dot(z));
                let squared = a * a + b * b;
                let turn = (a * d.dot(y) - b * d.dot(x)) / squared;
                let e = (x * a + y * b) * (1.0 / squared.sqrt());
                let wall = radius + v * slope;
                let [first, second, raised] = if slope == 0.0 {
                    [radius * v, radius * radius * v, radius * v * v / 2.0]
                } else {
                    let second = wall * wall * wall / (3.0 * slope);
                    let first = wall * wall / (2.0 * slope);
                    [first, second, (second - radius * first) / slope]
                };
                let side = if hollow { -1.0 } else { 1.0 };
                let stretch = (1.0 + slope * slope).sqrt();
                let flux = -(origin.dot(e) - slope * origin.dot(z) + radius) * turn;
                Step {
                    volume: first * flux,
                    area: -first * stretch * turn * side,
                    moment: (origin * first + e * second + z * raised) * flux,
                    off: (squared.sqrt() - wall).abs() / stretch,
                }
            }
            Self::Elliptic { place, radii: [a, b], hollow } => {
                let Frame { origin, x, y, z } = place;
                let p = c - origin;
                let (cos, sin, v) = (p.dot(x) / a, p.dot(y) / b, p.dot(z));
                let squared = cos * cos + sin * sin;
                let turn = (cos * d.dot(y) / b - sin * d.dot(x) / a) / squared;
                let normal = x * (b * cos) + y * (a * sin);
                let side = if hollow { -1.0 } else { 1.0 };
                // How far off: the ellipse's function over the length of its gradient.
                let gradient = 2.0 * (cos * cos / (a * a) + sin * sin / (b * b)).sqrt();
                let volume = -v * (origin.dot(normal) + a * b) * turn;
                Step {
                    volume,
                    area: -v * normal.length() * turn * side,
                    moment: (c + z * (-v / 2.0)) * volume,
                    off: (squared - 1.0).abs() / gradient,
                }
            }
        }
    }
}

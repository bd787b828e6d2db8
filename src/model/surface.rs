//! Surfaces of the solids.

use super::spline::Spline;
use crate::geometry::{Frame, Vec3};

/// Kind of a surface, in its own frame.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// z = 0.
    Plane,
    /// Round the z axis.
    Cylinder {
        /// mm.
        radius: f64,
    },
    /// Round the z axis, growing along +z.
    Cone {
        /// At z = 0 (mm).
        radius: f64,
        /// Between axis and wall (rad), over 0 and under a quarter turn.
        half_angle: f64,
    },
    /// Along the z axis on the ellipse a cos t x + b sin t y.
    Elliptic {
        /// Semi-axes a and b (mm), unlike.
        radii: [f64; 2],
    },
    /// Round the z axis and round a circle about it; at most half a turn from x is a face.
    Torus {
        /// Of that circle (mm).
        radius: f64,
        /// Of the tube round it (mm).
        tube: f64,
    },
    /// A whole sphere about the origin.
    Sphere {
        /// mm.
        radius: f64,
    },
    /// A fitted curve carried straight: the whole patch, placed by the curve's own coordinates.
    Swept {
        /// Where it starts.
        foot: Spline,
        /// How far and which way it is carried (mm).
        way: Vec3,
    },
    /// Straight from each point of one fitted curve to that of another with as many spans: the whole patch, placed by
    /// the curves' own coordinates.
    Ruled {
        /// From here.
        from: Spline,
        /// To here.
        to: Spline,
    },
}

/// A face's surface and the side on which the solid's material lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    /// Where it lies.
    pub frame: Frame,
    /// What it is.
    pub shape: Shape,
    /// Whether the solid's outward normal is the surface's own: +z of a plane, away from the axis of the others.
    pub same_sense: bool,
}

/// Abscissas over 0 of the ten-point Gauss-Legendre rule, with their weights
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4).
pub(super) const GAUSS: [(f64, f64); 5] = [
    (0.148_874_338_981_631_22, 0.295_524_224_714_752_9),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

impl Surface {
    /// A plane whose material lies behind the frame's z.
    pub fn plane(frame: Frame) -> Self {
        Self { frame, shape: Shape::Plane, same_sense: true }
    }

    /// A shape with material on the side of its axis, as on a bar.
    pub fn convex(frame: Frame, shape: Shape) -> Self {
        Self { frame, shape, same_sense: true }
    }

    /// A shape with material away from its axis, as in a hole.
    pub fn hollow(frame: Frame, shape: Shape) -> Self {
        Self { frame, shape, same_sense: false }
    }

    /// A fitted curve carried straight; the outward normal is the curve's direction × the way.
    pub(super) fn swept(frame: Frame, foot: Spline, way: Vec3) -> Self {
        Self { frame, shape: Shape::Swept { foot, way }, same_sense: true }
    }

    /// Ruled from one curve to another; the outward normal is the curves' direction × the way across.
    pub(super) fn ruled(frame: Frame, from: Spline, to: Spline) -> Self {
        Self { frame, shape: Shape::Ruled { from, to }, same_sense: true }
    }

    /// The contributions of a face that is its surface's whole patch; `None` for a surface that is trimmed.
    ///
    /// Over S = (1 − t) a(s) + t b(s): volume ∫∫ S·N, area ∫∫ |N|, N the product of its two derivatives.
    pub(super) fn patch(&self) -> Option<Step> {
        let (from, to) = match &self.shape {
            Shape::Sphere { radius } => {
                let area = 2.0 * std::f64::consts::TAU * radius * radius;
                let volume = area * radius;
                return Some(Step { volume, area, moment: self.frame.origin * (volume * 4.0 / 3.0) });
            }
            Shape::Swept { foot, way } => (foot, foot.moved(*way)),
            Shape::Ruled { from, to } => (from, to.clone()),
            _ => return None,
        };
        let side = if self.same_sense { 1.0 } else { -1.0 };
        let nodes = || GAUSS.iter().flat_map(|&(a, w)| [(0.5 - 0.5 * a, 0.5 * w), (0.5 + 0.5 * a, 0.5 * w)]);
        let spans = from.len() as f64;
        let mut sum = Step::default();
        for span in 0..from.len() {
            for (s, along) in nodes() {
                let at = (span as f64 + s) / spans;
                let ((a, da), (b, db)) = (from.at(at), to.at(at));
                for (t, across) in nodes() {
                    let (point, normal) = (a * (1.0 - t) + b * t, (da * (1.0 - t) + db * t).cross(b - a));
                    let weight = along * across / spans;
                    let flux = point.dot(normal) * weight * side;
                    sum.volume += flux;
                    sum.area += normal.length() * weight;
                    sum.moment = sum.moment + point * flux;
                }
            }
        }
        Some(sum)
    }

    /// The same on a torus: contour integral of G dv, G the integral over u, the angle about the axis, from 0.
    ///
    /// With S = o + q e(u) + h z, q = R + r cos v and h = r sin v, the flux of the position is r q (A + cos v o.e) with
    /// A = h o.z / r + R cos v + r, and that of S S the same times S.
    fn torus_step(&self, [radius, tube]: [f64; 2], p: Vec3, d: Vec3) -> Step {
        let Frame { origin: o, x, y, z } = self.frame;
        let (a, b, h) = (p.dot(x), p.dot(y), p.dot(z));
        let q = libm::hypot(a, b);
        let (u, over) = (libm::atan2(b, a), q - radius);
        let dq = (a * d.dot(x) + b * d.dot(y)) / q;
        let dv = (over * d.dot(z) - h * dq) / (over * over + h * h);
        let (cos, sin) = (over / tube, h / tube);
        let (s, c) = libm::sincos(u);
        // Integrals of e, and of e e.o, over u.
        let round = x * s + y * (1.0 - c);
        let (ox, oy) = (o.dot(x), o.dot(y));
        let twice = x * (0.5 * (u + s * c) * ox + 0.5 * s * s * oy) + y * (0.5 * s * s * ox + 0.5 * (u - s * c) * oy);
        let level = sin * o.dot(z) + radius * cos + tube;
        let scale = tube * q * dv;
        let axis = o + z * h;
        let along = level * u + cos * o.dot(round);
        let moment = axis * along + (round * level + twice * cos) * q;
        let side = if self.same_sense { 1.0 } else { -1.0 };
        Step { volume: scale * along, area: scale * u * side, moment: moment * scale }
    }

    /// Contributions of one step along the boundary of a trimmed surface.
    ///
    /// Divergence theorem over the solid (of S for the volume, of S S for its first moments), then Green's theorem
    /// over the face: `c` is a point of the boundary and `d` its derivative, the boundary anticlockwise seen from
    /// outside. With S = o + (r + v t)(cos u x + sin u y) + v z, the flux of the position through a face is
    /// - contour integral of G(v) (o.e(u) - t o.z + r) du, and its area
    /// - contour integral of G(v) sqrt(1 + t^2) du, where dG/dv = r + v t.
    ///
    /// On an ellipse, with the normal N = b cos t x + a sin t y: - contour integral of v (o.N + a b) dt, and
    /// - contour integral of v |N| dt.
    pub(super) fn boundary_step(&self, c: Vec3, d: Vec3) -> Step {
        let Frame { origin: o, x, y, z } = self.frame;
        let p = c - o;
        let side = if self.same_sense { 1.0 } else { -1.0 };
        let (radius, slope) = match self.shape {
            Shape::Swept { .. } | Shape::Ruled { .. } | Shape::Sphere { .. } => return Step::default(),
            Shape::Torus { radius, tube } => return self.torus_step([radius, tube], p, d),
            Shape::Plane => {
                let (area, flux) = (0.5 * z.dot(p.cross(d)), o.dot(z));
                // The first moment of a plane figure about o is a third of p taken with twice that area.
                return Step { volume: flux * area, area, moment: (o + p * (2.0 / 3.0)) * (flux * area) };
            }
            Shape::Elliptic { radii: [a, b] } => {
                let (c, s, v) = (p.dot(x) / a, p.dot(y) / b, p.dot(z));
                let turn = (c * d.dot(y) / b - s * d.dot(x) / a) / (c * c + s * s);
                let normal = x * (b * c) + y * (a * s);
                let volume = -v * (o.dot(normal) + a * b) * turn;
                let middle = o + x * (a * c) + y * (b * s) + z * (0.5 * v);
                return Step { volume, area: -v * normal.length() * turn * side, moment: middle * volume };
            }
            Shape::Cylinder { radius } => (radius, 0.0),
            Shape::Cone { radius, half_angle } => (radius, libm::tan(half_angle)),
        };
        let (a, b, v) = (p.dot(x), p.dot(y), p.dot(z));
        let (da, db) = (d.dot(x), d.dot(y));
        let squared = a * a + b * b;
        let turn = (a * db - b * da) / squared;
        let e = (x * a + y * b) * (1.0 / squared.sqrt());
        // Integrals over v of the radius, of its square, and of the radius times v.
        let wall = radius + v * slope;
        let [g, squares, heights] = if slope == 0.0 {
            [radius * v, radius * radius * v, 0.5 * radius * v * v]
        } else {
            let (square, cube) = (wall * wall, wall * wall * wall);
            let heights = (cube / 3.0 - radius * square / 2.0) / (slope * slope);
            [square / (2.0 * slope), cube / (3.0 * slope), heights]
        };
        let flux = (o.dot(e) - slope * o.dot(z) + radius) * turn;
        Step {
            volume: -g * flux,
            area: -g * (1.0 + slope * slope).sqrt() * turn * side,
            moment: (o * g + e * squares + z * heights) * -flux,
        }
    }
}

/// What one step along a face's boundary adds.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Step {
    /// To three times the volume.
    pub(super) volume: f64,
    /// To the area.
    pub(super) area: f64,
    /// To four times the volume's first moments about the origin.
    pub(super) moment: Vec3,
}

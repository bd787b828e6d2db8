//! Surfaces of a STEP file's faces, and what a boundary on them encloses.

use super::step_curve::Curve;
use super::step_file::GAUSS;
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
    /// Round a circle of the first radius about z, the second radius its tube's; less than half a turn from x.
    Torus {
        place: Frame,
        radii: [f64; 2],
    },
    /// Whole.
    Sphere {
        centre: Vec3,
        radius: f64,
    },
    /// A fitted curve carried along a unit vector.
    Swept {
        foot: Curve,
        along: Vec3,
        /// Whether the outward normal is the curve's direction × `along`.
        same_sense: bool,
    },
    /// Ruled from one curve to another over one range: the whole patch.
    Ruled {
        sides: [Curve; 2],
        same_sense: bool,
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
    /// Swept along z, v the height over the file's origin: `-v c.(c' × z)`, at half the height for the moment.
    /// A ruled patch is measured whole by [`Self::patch`]; here only whether the boundary is its own. On both, edges
    /// must run as evenly as the curves of the surface: `share` tells how far along its edge the point is.
    pub(super) fn boundary_step(&self, c: Vec3, d: Vec3, share: f64) -> Step {
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
            Self::Sphere { centre, radius } => Step { off: ((c - centre).length() - radius).abs(), ..Step::default() },
            Self::Torus { place, radii: [bend, tube] } => {
                let Frame { origin, x, y, z } = place;
                let p = c - origin;
                let (across, height) = (x * p.dot(x) + y * p.dot(y), p.dot(z));
                let reach = across.length();
                let radial = across * (1.0 / reach);
                let over = reach - bend;
                let thick = libm::hypot(over, height);
                // Tube angle v along the boundary; the flux over the turn u from x up to here, u' = 0 at x.
                let tube_turn = (over * d.dot(z) - height * d.dot(radial)) / (thick * thick);
                let turn = libm::atan2(p.dot(y), p.dot(x));
                let (cos, sin) = (over / tube, height / tube);
                let mut sum = Step { off: (thick - tube).abs(), ..Step::default() };
                for (at, weight) in GAUSS.iter().flat_map(|&(x, w)| [(x, w), (-x, w)]) {
                    let (s, c) = libm::sincos(turn * (0.5 + 0.5 * at));
                    let e = x * c + y * s;
                    let point = origin + e * reach + z * height;
                    let share = 0.5 * weight * turn * tube_turn * tube * reach;
                    let flux = point.dot(e * cos + z * sin) * share;
                    sum.volume += flux;
                    sum.area += share;
                    sum.moment = sum.moment + point * flux;
                }
                sum
            }
            Self::Swept { ref foot, along, same_sense } => {
                let v = c.dot(along);
                let across = |p: Vec3| p - along * p.dot(along);
                let ends = foot.ends();
                let [near, far] = [share, 1.0 - share].map(|at| foot.at_share(at));
                let off = |at: &(Vec3, Vec3)| across(at.0 - c).length();
                let (foot, way) = if off(&near) <= off(&far) { near } else { far };
                let side = if (way.dot(d) > 0.0) == same_sense { 1.0 } else { -1.0 };
                let volume = -v * c.dot(d.cross(along));
                let area = -(v - foot.dot(along)) * across(d).length() * side;
                // A straight edge stands on one of the foot's ends.
                let straight = ends.map(|end| off(&(end, way)));
                let off = off(&(foot, way)).min(straight[0]).min(straight[1]);
                Step { volume, area, moment: (c - along * (v / 2.0)) * volume, off }
            }
            Self::Ruled { ref sides, .. } => {
                let curved = sides.iter().flat_map(|side| [share, 1.0 - share].map(|at| side.at_share(at).0));
                let [a, b] = sides.each_ref().map(Curve::ends);
                let straight = [share, 1.0 - share];
                let straight = [0, 1].into_iter().flat_map(|i| straight.map(|at| a[i] + (b[i] - a[i]) * at));
                let off = curved.chain(straight).map(|at| (at - c).length()).fold(f64::INFINITY, f64::min);
                Step { off, ..Step::default() }
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

    /// What a face that is a whole sphere or a whole ruled patch, S = (1 − t) a(s) + t b(s), adds; nothing for any other.
    pub(super) fn patch(&self) -> Step {
        if let Self::Sphere { centre, radius } = *self {
            let area = 4.0 * std::f64::consts::PI * radius * radius;
            return Step { volume: area * radius, area, moment: centre * (area * radius * 4.0 / 3.0), off: 0.0 };
        }
        let Self::Ruled { sides: [a, b], same_sense } = self else { return Step::default() };
        let side = if *same_sense { 1.0 } else { -1.0 };
        let panels = a.panels();
        let mut sum = Step::default();
        let nodes = || GAUSS.iter().flat_map(|&(x, w)| [(0.5 - 0.5 * x, 0.5 * w), (0.5 + 0.5 * x, 0.5 * w)]);
        let [from, to] = a.span();
        let step = (to - from) / panels as f64;
        for panel in 0..panels {
            for (s, weight) in nodes() {
                let at = from + step * (panel as f64 + s);
                let ((p, dp), (q, dq)) = (a.at(at), b.at(at));
                for (t, across) in nodes() {
                    let normal = (dp * (1.0 - t) + dq * t).cross(q - p) * (weight * across * step);
                    let point = p * (1.0 - t) + q * t;
                    let volume = point.dot(normal) * side;
                    sum.volume += volume;
                    sum.area += normal.length();
                    sum.moment = sum.moment + point * volume;
                }
            }
        }
        sum
    }
}

//! Integrals over a section built up of pieces, and what follows from them.

use std::f64::consts::{PI, TAU};

use crate::geometry::Vec2;
use crate::solve::solution::SectionProperties;

/// Integrals over a section about the rail frame's axes, and how far it reaches.
#[derive(Debug, Clone, Default)]
pub struct Moments {
    area: f64,
    first: Vec2,
    xx: f64,
    yy: f64,
    xy: f64,
    /// Corners of all pieces.
    points: Vec<Vec2>,
    /// Rounds about a centre between two angles (rad), the first the lesser.
    rounds: Vec<(Vec2, f64, [f64; 2])>,
}

impl Moments {
    fn add(&mut self, area: f64, first: Vec2, [xx, yy, xy]: [f64; 3]) {
        self.area += area;
        self.first = self.first + first;
        self.xx += xx;
        self.yy += yy;
        self.xy += xy;
    }

    /// Notes a corner of the section.
    pub fn reach(&mut self, p: Vec2) {
        self.points.push(p);
    }

    /// Rectangle of centre `c` and half sides `a` and `b`, square to each other.
    pub fn add_rectangle(&mut self, c: Vec2, a: Vec2, b: Vec2, sign: f64) {
        let area = sign * 4.0 * a.length() * b.length();
        let own = |aa: f64, bb: f64| (aa + bb) / 3.0;
        self.add(
            area,
            c * area,
            [
                area * (c.x * c.x + own(a.x * a.x, b.x * b.x)),
                area * (c.y * c.y + own(a.y * a.y, b.y * b.y)),
                area * (c.x * c.y + own(a.x * a.y, b.x * b.y)),
            ],
        );
    }

    /// Sector from angle `low` to `high` between two radii about `c`.
    pub fn add_ring(&mut self, c: Vec2, inside: f64, outside: f64, low: f64, high: f64) {
        let ((s0, c0), (s1, c1)) = (libm::sincos(low), libm::sincos(high));
        let cube = (outside * outside * outside - inside * inside * inside) / 3.0;
        let fourth = (outside * outside * outside * outside - inside * inside * inside * inside) / 4.0;
        let area = (outside * outside - inside * inside) / 2.0 * (high - low);
        let own = Vec2::new(cube * (s1 - s0), cube * (c0 - c1));
        let (even, odd) = ((high - low) / 2.0, (s1 * c1 - s0 * c0) / 2.0);
        self.add(
            area,
            own + c * area,
            [
                fourth * (even + odd) + 2.0 * c.x * own.x + c.x * c.x * area,
                fourth * (even - odd) + 2.0 * c.y * own.y + c.y * c.y * area,
                fourth * (s1 * s1 - s0 * s0) / 2.0 + c.x * own.y + c.y * own.x + c.x * c.y * area,
            ],
        );
        for radius in [inside, outside] {
            self.reach(c + Vec2::new(c0, s0) * radius);
            self.reach(c + Vec2::new(c1, s1) * radius);
        }
        self.rounds.push((c, outside, [low, high]));
    }

    /// A polygon (mm), counted `sign` times whichever way round it runs; its corners are noted where that is positive.
    pub fn add_polygon(&mut self, points: &[Vec2], sign: f64) {
        let Some(&origin) = points.first() else { return };
        let (mut area, mut first, mut second) = (0.0, Vec2::default(), [0.0; 3]);
        // About its first corner, where rounding is least.
        for pair in points.windows(2) {
            let (p, q) = (pair[0] - origin, pair[1] - origin);
            let cross = p.cross(q);
            area += cross / 2.0;
            first = first + (p + q) * (cross / 6.0);
            second[0] += cross * (p.x * p.x + p.x * q.x + q.x * q.x) / 12.0;
            second[1] += cross * (p.y * p.y + p.y * q.y + q.y * q.y) / 12.0;
            second[2] += cross * (p.x * (2.0 * p.y + q.y) + q.x * (p.y + 2.0 * q.y)) / 24.0;
        }
        let way = sign * area.signum();
        let (area, first, second) = (area * way, first * way, second.map(|m| m * way));
        let o = origin;
        self.add(
            area,
            first + o * area,
            [
                second[0] + 2.0 * o.x * first.x + o.x * o.x * area,
                second[1] + 2.0 * o.y * first.y + o.y * o.y * area,
                second[2] + o.x * first.y + o.y * first.x + o.x * o.y * area,
            ],
        );
        if sign > 0.0 {
            self.points.extend_from_slice(points);
        }
    }

    /// mm².
    pub const fn area(&self) -> f64 {
        self.area
    }

    /// How far the section reaches along `way` (any length), from (0, 0).
    fn support(&self, way: Vec2) -> f64 {
        let points = self.points.iter().map(|p| p.dot(way));
        let heading = way.angle();
        let passes = |[low, high]: [f64; 2]| heading + TAU * ((low - heading) / TAU).ceil() <= high;
        let passed = self.rounds.iter().filter(|round| passes(round.2));
        let crests = passed.map(|&(centre, radius, _)| centre.dot(way) + radius * way.length());
        points.chain(crests).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Greatest distance of the section from the centroid across a line, both sides looked at; `way` a unit vector.
    fn fibre(&self, centroid: Vec2, way: Vec2) -> f64 {
        (self.support(way) - centroid.dot(way)).max(self.support(-way) + centroid.dot(way))
    }

    /// All but torsion; zeros where nothing is left.
    pub fn properties(&self) -> SectionProperties {
        if self.points.is_empty() || self.area <= 0.0 {
            return SectionProperties::default();
        }
        let centroid = self.first * (1.0 / self.area);
        let ixx = self.yy - self.area * centroid.y * centroid.y;
        let iyy = self.xx - self.area * centroid.x * centroid.x;
        let ixy = self.xy - self.area * centroid.x * centroid.y;
        let (mean, half) = (f64::midpoint(ixx, iyy), (ixx - iyy) / 2.0);
        let radius = (half * half + ixy * ixy).sqrt();
        let (i_max, i_min) = (mean + radius, mean - radius);
        // About an axis at φ to the horizontal I = mean + half cos 2φ − ixy sin 2φ.
        let angle = if radius > ROUND * mean { libm::atan2(-ixy, half) / 2.0 } else { 0.0 };
        let across = Vec2::polar(angle + PI / 2.0);
        // Free to bend sideways: stress ∝ (iyy y − ixy x) / (ixx iyy − ixy²).
        let lean = Vec2::new(-ixy, iyy);
        let free = lean.unit().map(|way| self.fibre(centroid, way) * lean.length());
        let modulus = |i: f64, way: Vec2| i / self.fibre(centroid, way);
        SectionProperties {
            area: self.area,
            centroid,
            ixx,
            iyy,
            ixy,
            s_min: modulus(ixx, Vec2::new(0.0, 1.0)),
            i_max,
            i_min,
            angle: angle.to_degrees(),
            s_major: modulus(i_max, across),
            s_minor: modulus(i_min, across.left()),
            s_bending: free.map_or(0.0, |free| (ixx * iyy - ixy * ixy) / free),
            torsion: 0.0,
            closed: false,
        }
    }
}

/// Share of the second moments under which their difference is rounding: a round section has no principal axes.
const ROUND: f64 = 1e-9;

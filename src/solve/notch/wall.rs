//! The wall of a rail and how near a room comes to it.
//!
//! Everything here is in the rail's frame: x = u along the rail, y up, z to
//! the right. The wall under (u, v) is the segment from the outside point
//! along the inward normal, as long as the wall is thick.

use crate::geometry::{Vec2, Vec3};
use crate::solve::bodies::{Room, RoomShape};
use crate::solve::rail::{OutsidePiece, RailShape};
use crate::spec::types::Body;

/// A room in the rail's frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solid {
    pub(super) body: Body,
    form: Form,
}

#[derive(Debug, Clone, Copy)]
enum Form {
    Cylinder { base: Vec3, axis: Vec3, length: f64, radius: f64 },
    Ball { centre: Vec3, radius: f64 },
}

/// Where a wall segment comes nearest to a room.
#[derive(Debug, Clone, Copy)]
pub(super) struct Near {
    /// Distance (mm), 0 inside.
    pub(super) distance: f64,
    /// Depth of the nearest point under the outside (mm).
    pub(super) depth: f64,
    /// Unit vector from the room to that point; zero inside.
    pub(super) away: Vec3,
}

/// The wall at one v, at u = 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Station {
    /// Unrolled coordinate.
    pub(super) v: f64,
    outside: Vec3,
    inward: Vec3,
    /// Direction of growing v on the outside.
    ahead: Vec3,
    /// 1 / radius of the outside, 0 on a flat.
    bend: f64,
    wall: f64,
}

/// The distance to a room at a point of the unrolled outside, with its slopes along u and v.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sounding {
    pub(super) distance: f64,
    pub(super) slope: Vec2,
}

/// A straight or round strip of the outside between two values of v.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strip {
    pub(super) low: f64,
    pub(super) high: f64,
    piece: OutsidePiece,
    radius: Option<f64>,
    wall: f64,
}

impl Solid {
    pub(super) fn new(room: &Room, rail: &RailShape) -> Self {
        let form = match room.shape {
            RoomShape::Ball { centre, radius } => Form::Ball { centre: rail.frame.local(centre), radius },
            RoomShape::Cylinder { from, to, radius } => {
                let (base, top) = (rail.frame.local(from), rail.frame.local(to));
                match (top - base).unit() {
                    Some(axis) => Form::Cylinder { base, axis, length: (top - base).length(), radius },
                    // Without length it has no direction: the ball holds every disc it could be.
                    None => Form::Ball { centre: base, radius },
                }
            }
        };
        Self { body: room.body, form }
    }

    /// A cylinder in the rail's frame, of no part.
    pub(super) fn cylinder(from: Vec3, to: Vec3, radius: f64) -> Self {
        let form = match (to - from).unit() {
            Some(axis) => Form::Cylinder { base: from, axis, length: (to - from).length(), radius },
            None => Form::Ball { centre: from, radius },
        };
        Self { body: Body::Column, form }
    }

    /// Least and greatest u of the room.
    pub(super) fn reach(&self) -> (f64, f64) {
        match self.form {
            Form::Ball { centre, radius } => (centre.x - radius, centre.x + radius),
            Form::Cylinder { base, axis, length, radius } => {
                let top = base.x + axis.x * length;
                let lean = radius * (1.0 - axis.x * axis.x).max(0.0).sqrt();
                (base.x.min(top) - lean, base.x.max(top) + lean)
            }
        }
    }

    /// Nearest point of the segment `from + inward·t`, t in 0..=`wall`, to the room.
    ///
    /// The distance to a convex body is convex along the segment. Beside a
    /// cylinder the nearest point has a closed form; past its end the slope of
    /// half the squared distance is brought to zero by Newton steps kept in a
    /// bracket, so the distance is as exact as rounding lets it be.
    pub(super) fn near(&self, from: Vec3, inward: Vec3, wall: f64) -> Near {
        match self.form {
            Form::Ball { centre, radius } => {
                let q = from - centre;
                let depth = (-q.dot(inward)).clamp(0.0, wall);
                let p = q + inward * depth;
                let length = p.length();
                if length <= radius {
                    return Near { distance: 0.0, depth, away: Vec3::default() };
                }
                Near { distance: length - radius, depth, away: p * (1.0 / length) }
            }
            Form::Cylinder { base, axis, length, radius } => {
                let q = from - base;
                let (z0, dz) = (q.dot(axis), inward.dot(axis));
                let (h0, dh) = (q - axis * z0, inward - axis * dz);
                let (hh, hb) = (dh.dot(dh), h0.dot(dh));
                // Nearest to the axis line; a wall along the axis is as near everywhere.
                let mut depth = if hh > 1e-18 { (-hb / hh).clamp(0.0, wall) } else { 0.0 };
                let mut end = None;
                let z = z0 + dz * depth;
                if z < 0.0 || z > length {
                    let cap = if z < 0.0 { 0.0 } else { length };
                    depth = past_end(&PastEnd { y0: z0 - cap, dy: dz, rho2: h0.dot(h0), hb, hh, radius }, depth, wall);
                    end = Some(cap);
                }
                let h = h0 + dh * depth;
                let rho = h.length();
                let over = (rho - radius).max(0.0);
                let y = end.map_or(0.0, |cap| z0 + dz * depth - cap);
                let distance = over.mul_add(over, y * y).sqrt();
                if distance <= 0.0 {
                    return Near { distance: 0.0, depth, away: Vec3::default() };
                }
                let radial = if over > 0.0 { h * (over / rho) } else { Vec3::default() };
                Near { distance, depth, away: (radial + axis * y) * (1.0 / distance) }
            }
        }
    }
}

/// Distances past a cylinder's end as functions of depth t: y = y0 + dy t beyond the end face,
/// ρ² = rho2 + 2 hb t + hh t² from the axis.
struct PastEnd {
    y0: f64,
    dy: f64,
    rho2: f64,
    hb: f64,
    hh: f64,
    radius: f64,
}

/// Depth of the nearest point past an end; `beside` is the depth nearest to the axis line.
fn past_end(p: &PastEnd, beside: f64, wall: f64) -> f64 {
    if p.dy == 0.0 {
        return beside;
    }
    // The nearest point lies between the one nearest to the axis line and the one nearest to the end's plane.
    let level = (-p.y0 / p.dy).clamp(0.0, wall);
    // Slope of half the squared distance, and the slope's own slope.
    let slope = |t: f64| {
        let y = p.y0 + p.dy * t;
        let rho = (p.rho2 + t * (2.0 * p.hb + p.hh * t)).max(0.0).sqrt();
        let lean = p.hb + p.hh * t;
        if rho <= p.radius {
            return (y * p.dy, p.dy * p.dy);
        }
        let share = 1.0 - p.radius / rho;
        (y * p.dy + share * lean, p.dy * p.dy + share * p.hh + p.radius * lean * lean / (rho * rho * rho))
    };
    let (mut low, mut high) = (beside.min(level), beside.max(level));
    if (level > beside && slope(level).0 <= 0.0) || (level < beside && slope(level).0 >= 0.0) {
        return level;
    }
    let mut t = beside;
    // Bisection alone would need 50 rounds to the last bit of a wall's thickness.
    for _ in 0..60 {
        let (g, dg) = slope(t);
        if g > 0.0 {
            high = t;
        } else {
            low = t;
        }
        let newton = t - g / dg;
        let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        let step = (next - t).abs();
        t = next;
        if step <= 1e-13 * wall {
            break;
        }
    }
    t
}

impl Strip {
    /// The strips of a rail in order of v.
    pub(super) fn all(rail: &RailShape) -> Vec<Self> {
        let pieces: Vec<OutsidePiece> = rail.pieces().collect();
        let (first, last) = rail.v_range();
        (0..pieces.len())
            .filter_map(|i| {
                let piece = *pieces.get(i)?;
                // One value at a shared border, to the last bit.
                let high = pieces.get(i + 1).map_or(last, |next| next.v);
                let low = if i == 0 { first } else { piece.v };
                let radius = piece.centre.map(|centre| (piece.from - centre).length());
                Some(Self { low, high, piece, radius, wall: rail.wall })
            })
            .collect()
    }

    pub(super) const fn is_flat(&self) -> bool {
        self.radius.is_none()
    }

    /// How fast a point of the wall can move per mm of v.
    ///
    /// On a corner the points inside the outside move by less, down to the
    /// arc's centre; a wall thicker than twice the corner radius reaches so
    /// far past the centre that its far end moves by more than the outside.
    pub(super) fn quickness(&self) -> f64 {
        self.radius.map_or(1.0, |radius| (self.wall / radius - 1.0).max(1.0))
    }

    /// What the distance to a room cannot fall below on a stretch of this strip `length` long, straight in (u, v).
    ///
    /// The ends are given with their distances and slopes along the stretch.
    /// On a flat the distance is convex, and the two tangents bound it. On an
    /// arc take one depth t of the wall: its point moves by at most q per mm
    /// and bends by at most q/R, and the distance d to a convex body has a
    /// second derivative of at most 1/d, so between the ends it lies below the
    /// chord by at most (q²/d + q/R) length²/8; what holds for every t holds
    /// for the least over t. The same is true of the least over u.
    pub(super) fn bound(&self, from: (f64, f64), to: (f64, f64), length: f64) -> f64 {
        let lesser = from.0.min(to.0);
        if length <= 0.0 {
            return lesser;
        }
        if self.is_flat() {
            if from.1 >= 0.0 || to.1 <= 0.0 {
                return lesser;
            }
            let meet = (to.0 - from.0 - to.1 * length) / (from.1 - to.1);
            return (from.0 + from.1 * meet).clamp(0.0, lesser);
        }
        (lesser - self.dip(lesser, length)).max(0.0)
    }

    /// The second half of [`Self::bound`]: how far the distance can fall below that of both ends.
    pub(super) fn dip(&self, lesser: f64, length: f64) -> f64 {
        let slide = 0.5 * self.quickness() * length;
        let floor = lesser - slide;
        if floor <= 0.0 {
            return slide;
        }
        slide.min(self.bend(floor) * length * length / 8.0)
    }

    /// Length of a stretch at about this distance on which the distance can fall by `dip` between the ends.
    pub(super) fn step(&self, distance: f64, dip: f64) -> f64 {
        (8.0 * dip / self.bend(distance)).sqrt()
    }

    /// Greatest second derivative (1/mm) of the distance along the strip, where it is at least `distance`.
    fn bend(&self, distance: f64) -> f64 {
        let quickness = self.quickness();
        quickness * quickness / distance + self.radius.map_or(0.0, |radius| quickness / radius)
    }

    /// The wall at v, which must lie on the strip.
    pub(super) fn station(&self, v: f64) -> Station {
        let space = |p: Vec2| Vec3::new(0.0, p.y, p.x);
        let (at, out) = self.piece.point(v - self.piece.v);
        Station {
            v,
            outside: space(at),
            inward: space(-out),
            // Clockwise seen along +u: outward turned by a quarter to the right.
            ahead: space(-out.left()),
            bend: self.radius.map_or(0.0, |radius| 1.0 / radius),
            wall: self.wall,
        }
    }
}

impl Station {
    /// Distance from the wall at u to the room, with slopes.
    pub(super) fn sound(&self, u: f64, solid: &Solid) -> Sounding {
        let near = solid.near(self.outside + Vec3::new(u, 0.0, 0.0), self.inward, self.wall);
        let along_v = near.away.dot(self.ahead) * (1.0 - near.depth * self.bend);
        Sounding { distance: near.distance, slope: Vec2::new(near.away.x, along_v) }
    }

    /// The wall's point nearest to the room at u, in the rail's frame.
    pub(super) fn nearest_point(&self, u: f64, solid: &Solid) -> Vec3 {
        let from = self.outside + Vec3::new(u, 0.0, 0.0);
        from + self.inward * solid.near(from, self.inward, self.wall).depth
    }

    /// Where the wall leaves the clearance on the side of growing u (`side` = 1) or falling u (−1).
    ///
    /// At one v the wall segments of all u form a plane strip, so the distance
    /// is convex in u and the near part is one interval. Newton's steps from
    /// outside approach its end from outside: the value handed back is never
    /// inside the clearance by more than rounding. `start` is a guess; `None`
    /// where nothing is near.
    pub(super) fn edge(&self, solid: &Solid, clearance: f64, side: f64, start: Option<f64>) -> Option<(f64, Vec2)> {
        let (low, high) = solid.reach();
        let far = if side > 0.0 { high + clearance } else { low - clearance };
        let mut u = start.unwrap_or(far);
        let mut here = self.sound(u, solid);
        if start.is_some() && (here.distance < clearance || here.slope.x * side <= 0.0) {
            u = far;
            here = self.sound(u, solid);
        }
        for _ in 0..100 {
            let excess = here.distance - clearance;
            if excess <= 0.0 {
                return Some((u, here.slope));
            }
            let slope = here.slope.x * side;
            // Past the least distance without meeting the clearance.
            if slope <= 1e-12 {
                return (excess <= ROUNDING).then_some((u, here.slope));
            }
            let step = excess / slope;
            if step <= ROUNDING {
                return Some((u, here.slope));
            }
            u -= side * step;
            here = self.sound(u, solid);
        }
        Some((u, here.slope))
    }

    /// Least distance over all u of `range`, where it is taken, and its slope along v.
    ///
    /// Convex in u: cutting planes and halving in turn, until both bounds agree.
    pub(super) fn least(&self, solid: &Solid, range: (f64, f64)) -> (f64, f64, f64) {
        let (mut a, mut b) = range;
        let (mut fa, mut fb) = (self.sound(a, solid), self.sound(b, solid));
        let found = |u: f64, s: Sounding| (s.distance, u, s.slope.y);
        if fa.slope.x >= 0.0 {
            return found(a, fa);
        }
        if fb.slope.x <= 0.0 {
            return found(b, fb);
        }
        for round in 0..80 {
            let lean = fb.slope.x - fa.slope.x;
            let secant = (a * fb.slope.x - b * fa.slope.x) / lean;
            let cut = a + (fb.distance - fa.distance + fb.slope.x * (a - b)) / -lean;
            let cut_value = fa.distance + fa.slope.x * (cut - a);
            let level = fa.slope.x.abs().min(fb.slope.x.abs()) <= LEVEL;
            if (level && fa.distance.min(fb.distance) - cut_value <= ROUNDING) || b - a <= ROUNDING {
                break;
            }
            let probe = match round % 3 {
                0 => secant,
                1 => cut,
                _ => 0.5 * (a + b),
            };
            let probe = if probe > a && probe < b { probe } else { 0.5 * (a + b) };
            let here = self.sound(probe, solid);
            if here.distance <= 0.0 || here.slope.x == 0.0 {
                return found(probe, here);
            }
            if here.slope.x > 0.0 {
                (b, fb) = (probe, here);
            } else {
                (a, fa) = (probe, here);
            }
        }
        if fa.slope.x.abs() < fb.slope.x.abs() { found(a, fa) } else { found(b, fb) }
    }
}

/// Slope along u at which a least distance is told: steep enough to be found, and the slope along v is as exact.
const LEVEL: f64 = 1e-8;

/// Where a distance or a step is as good as nothing (mm): a hundred times the rounding of a coordinate of 10 m.
pub(super) const ROUNDING: f64 = 2e-10;

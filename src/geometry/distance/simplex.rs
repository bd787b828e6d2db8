//! The iteration of Gilbert, Johnson and Keerthi for two convex sets.
//!
//! E. G. Gilbert, D. W. Johnson and S. S. Keerthi, A fast procedure for
//! computing the distance between complex objects in three-dimensional space,
//! IEEE J. Robotics and Automation 4 (1988), doi:10.1109/56.2083 (from memory).
//! The point of the set of differences nearest to the origin is sought on
//! simplices of support points. Each step knows a bound from above, |v|, and
//! one from below, v·w/|v| with w the support point against v.
//! The nearest point of a simplex is taken as the best over all its faces:
//! slower than signed volumes, and safe on slivers.

use super::{Closest, Support};
use crate::geometry::Vec3;

/// Bounds this near (mm) are one: far under any tape, well over rounding at vehicle size.
const BOUNDS_MEET: f64 = 1e-10;

/// Surfaces this near (mm) touch: what is left of a contact after rounding.
const TOUCH: f64 = 1e-9;

/// Steps before giving up; curved solids need about 30, flat ones fewer than 10.
const STEPS: usize = 200;

/// A triangle with a smaller square of its sine is left to its edges, a tetrahedron as flat to its triangles: what they say would be rounding.
const SLIVER: f64 = 1e-18;

/// Nearest points of two cores, before their balls are rolled over them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cores {
    /// On the first core.
    pub(super) first: Vec3,
    /// On the second.
    pub(super) second: Vec3,
    /// Proved lower bound of their distance (mm).
    pub(super) lower: f64,
}

impl Cores {
    /// Distance of the two points, an upper bound.
    pub(super) fn upper(&self) -> f64 {
        (self.first - self.second).length()
    }

    /// With the balls rolled over both cores.
    pub(super) fn surfaces(&self, first: f64, second: f64) -> Closest {
        let apart = self.upper();
        let gap = apart - first - second;
        let gap = if gap > TOUCH { gap } else { 0.0 };
        let lower = (self.lower - first - second).max(0.0);
        let across = (self.second - self.first).unit().unwrap_or_default();
        // Where balls overlap, both points are put into the overlap.
        let on_second = self.second - across * second.min(apart);
        let on_first = self.first + across * first.min((on_second - self.first).dot(across).max(0.0));
        Closest { gap, on_first, on_second, slack: (gap - lower).max(0.0) }
    }
}

/// A point of the set of differences and the two points it is from.
#[derive(Debug, Clone, Copy, Default)]
struct Corner {
    difference: Vec3,
    first: Vec3,
    second: Vec3,
}

/// Up to four corners, each with its share in the nearest point.
type Shares = [(Corner, f64); 4];

/// Nearest points of the cores of two convex sets.
pub(super) fn cores(first: &impl Support, second: &impl Support) -> Cores {
    let against = |v: Vec3| {
        let (p, q) = (first.farthest(-v), second.farthest(v));
        Corner { difference: p - q, first: p, second: q }
    };
    let mut corners = [against(Vec3::new(1.0, 0.0, 0.0)); 4];
    let mut count = 1;
    let mut shares: Shares = [(corners[0], 1.0), Default::default(), Default::default(), Default::default()];
    let mut v = corners[0].difference;
    let mut lower: f64 = 0.0;
    for _ in 0..STEPS {
        let length = v.length();
        if length <= BOUNDS_MEET {
            lower = 0.0;
            break;
        }
        let next = against(v);
        lower = lower.max(next.difference.dot(v) / length);
        let seen = corners.iter().take(count).any(|corner| corner.difference == next.difference);
        if length - lower <= BOUNDS_MEET || seen {
            break;
        }
        corners[count] = next;
        let (nearest, at) = nearest_of(&corners, count + 1);
        // Rounding has the last word: without progress the last pair stands.
        if at.length() >= length {
            break;
        }
        (shares, v) = (nearest, at);
        count = 0;
        for (corner, share) in shares {
            if share > 0.0 {
                corners[count] = corner;
                count += 1;
            }
        }
        if count == 4 {
            lower = 0.0;
            break;
        }
    }
    let sum = |of: fn(&Corner) -> Vec3| shares.iter().fold(Vec3::default(), |sum, (c, share)| sum + of(c) * *share);
    Cores { first: sum(|c| c.first), second: sum(|c| c.second), lower }
}

/// Nearest point to the origin of the simplex of the first `count` corners, and the corners' shares in it.
fn nearest_of(corners: &[Corner; 4], count: usize) -> (Shares, Vec3) {
    let mut best: (Shares, Vec3) = (Shares::default(), Vec3::new(f64::INFINITY, 0.0, 0.0));
    let mut least = f64::INFINITY;
    for faces in 1_usize..1 << count {
        let mut face = [Corner::default(); 4];
        let mut size = 0;
        for (i, corner) in corners.iter().enumerate().take(count) {
            if faces >> i & 1 == 1 {
                face[size] = *corner;
                size += 1;
            }
        }
        let [a, b, c, d] = face.map(|corner| corner.difference);
        let found = match size {
            1 => Some(([1.0, 0.0, 0.0, 0.0], a)),
            2 => on_edge(a, b),
            3 => on_triangle(a, b, c),
            _ => inside(a, b, c, d),
        };
        if let Some((share, at)) = found
            && at.dot(at) < least
        {
            least = at.dot(at);
            best = (std::array::from_fn(|i| (face[i], share[i])), at);
        }
    }
    best
}

/// Foot of the origin on an edge, where it falls between the ends.
fn on_edge(a: Vec3, b: Vec3) -> Option<([f64; 4], Vec3)> {
    let along = b - a;
    let t = -a.dot(along) / along.dot(along);
    (t > 0.0 && t < 1.0).then(|| ([1.0 - t, t, 0.0, 0.0], a + along * t))
}

/// Foot of the origin on a triangle, where it falls inside.
///
/// Worked out from the corner across from the longest edge: on a needle, two long
/// edges would leave a normal that leans along them by their rounding.
fn on_triangle(a: Vec3, b: Vec3, c: Vec3) -> Option<([f64; 4], Vec3)> {
    let square = |d: Vec3| d.dot(d);
    let (ab, bc, ca) = (square(b - a), square(c - b), square(a - c));
    if bc >= ab && bc >= ca {
        on_triangle_from(a, b, c)
    } else if ca >= ab {
        on_triangle_from(b, c, a).map(|([b, c, a, _], foot)| ([a, b, c, 0.0], foot))
    } else {
        on_triangle_from(c, a, b).map(|([c, a, b, _], foot)| ([a, b, c, 0.0], foot))
    }
}

fn on_triangle_from(a: Vec3, b: Vec3, c: Vec3) -> Option<([f64; 4], Vec3)> {
    let (p, q) = (b - a, c - a);
    let normal = p.cross(q);
    let square = normal.dot(normal);
    if square <= SLIVER * p.dot(p) * q.dot(q) {
        return None;
    }
    let foot = normal * (normal.dot(a) / square);
    let arm = foot - a;
    let (t, s) = (arm.cross(q).dot(normal) / square, p.cross(arm).dot(normal) / square);
    (t >= 0.0 && s >= 0.0 && t + s <= 1.0).then_some(([1.0 - t - s, t, s, 0.0], foot))
}

/// The origin itself, where a tetrahedron holds it.
fn inside(a: Vec3, b: Vec3, c: Vec3, d: Vec3) -> Option<([f64; 4], Vec3)> {
    let (p, q, r) = (b - a, c - a, d - a);
    let volume = p.dot(q.cross(r));
    if volume * volume <= SLIVER * p.dot(p) * q.dot(q) * r.dot(r) {
        return None;
    }
    let share = [-a.dot(q.cross(r)) / volume, -a.dot(r.cross(p)) / volume, -a.dot(p.cross(q)) / volume];
    let [t, s, w] = share;
    let holds = t > 0.0 && s > 0.0 && w > 0.0 && t + s + w < 1.0;
    holds.then(|| ([1.0 - t - s - w, t, s, w], Vec3::default()))
}

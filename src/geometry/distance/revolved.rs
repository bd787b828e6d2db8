//! Solids that a convex profile sweeps as it turns about an axis.

use super::simplex::{self, Cores};
use super::{Closest, Support};
use crate::geometry::{Frame, Vec3};

/// Bounds this near (mm) are one.
const BOUNDS_MEET: f64 = 1e-9;

/// Slices looked at before giving up.
///
/// Some 60 do wherever the nearest point is a single one. Only a body that is
/// concentric with a hollow needs more: the whole arc is then equally near,
/// and what is left in doubt, radius × slice² / 8, is under 1e-5 mm (`slack` tells it).
const SLICES: usize = 2000;

/// What turns about the axis: a figure in the half plane of radius (first) and height along the axis (second).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Profile {
    /// Disc about a point at height 0: sweeps a bent tube with flat ends.
    Disc {
        /// Axis to the disc's centre; more than `radius`.
        arm: f64,
        /// Of the disc.
        radius: f64,
    },
    /// Rectangle: sweeps part of a ring.
    Rectangle {
        /// Least and greatest radius.
        radius: [f64; 2],
        /// Least and greatest height.
        height: [f64; 2],
    },
}

/// A profile turned about `frame.z`, from `start` over `sweep` (rad, at most half a turn), angles from `frame.x` to `frame.y`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Revolved {
    /// The axis and where angles count from.
    pub frame: Frame,
    /// First angle.
    pub start: f64,
    /// How far round, positive.
    pub sweep: f64,
    /// What is turned.
    pub profile: Profile,
}

/// Its convex hull.
///
/// With the radius r, the height h and the angle t, a point of the hull is a mean of points
/// (rᵢ, hᵢ, tᵢ). Its profile (mean rᵢ, mean hᵢ) is in the convex figure, and its radius falls short of
/// the mean rᵢ by no more than r(1 − cos sweep): the hull is off by the square of the sweep.
impl Support for Revolved {
    fn farthest(&self, direction: Vec3) -> Vec3 {
        let out = Vec3::new(direction.dot(self.frame.x), direction.dot(self.frame.y), direction.dot(self.frame.z));
        // For both figures the farthest point of a half plane gets farther as the half plane turns
        // toward the direction: d/dc (arm·m·c + radius·√(m²c² + h²)) > 0 for arm > radius.
        let (s, c) = libm::sincos(self.nearest_angle(out.x, out.y));
        let toward = out.x * c + out.y * s;
        let (r, h) = match self.profile {
            Profile::Disc { arm, radius } => {
                let pull = (toward * toward + out.z * out.z).sqrt();
                let share = if pull > 0.0 { radius / pull } else { 0.0 };
                (arm + toward * share, out.z * share)
            }
            Profile::Rectangle { radius: [inner, outer], height: [low, high] } => {
                (if toward > 0.0 { outer } else { inner }, if out.z > 0.0 { high } else { low })
            }
        };
        self.frame.out(Vec3::new(r * c, r * s, h))
    }
}

impl Revolved {
    /// Angle of the sweep nearest to that of (x, y).
    fn nearest_angle(&self, x: f64, y: f64) -> f64 {
        let half = self.sweep / 2.0;
        let middle = self.start + half;
        let (s, c) = libm::sincos(middle);
        // From the middle of the sweep, so that the nearer end is the one on the same side.
        middle + libm::atan2(y * c - x * s, x * c + y * s).clamp(-half, half)
    }

    /// A point of the solid near `p`: the nearest where `p` lies within the sweep's angle.
    pub fn near(&self, p: Vec3) -> Vec3 {
        let p = self.frame.local(p);
        let (s, c) = libm::sincos(self.nearest_angle(p.x, p.y));
        let (r, h) = (p.x * c + p.y * s, p.z);
        let (r, h) = match self.profile {
            Profile::Disc { arm, radius } => {
                let off = ((r - arm) * (r - arm) + h * h).sqrt();
                let share = if off > radius { radius / off } else { 1.0 };
                (arm + (r - arm) * share, h * share)
            }
            Profile::Rectangle { radius, height } => (r.clamp(radius[0], radius[1]), h.clamp(height[0], height[1])),
        };
        self.frame.out(Vec3::new(r * c, r * s, h))
    }

    /// Its two halves along the sweep.
    pub fn halves(&self) -> [Self; 2] {
        let sweep = self.sweep / 2.0;
        [Self { sweep, ..*self }, Self { start: self.start + sweep, sweep, ..*self }]
    }
}

/// Least distance of a convex solid and a revolved one; `None` where it is not below `enough` (mm).
///
/// Branch and bound over the angle: a slice's convex hull bounds from below, a point of the
/// slice itself from above, and the slice with the lowest bound is halved until both meet.
pub(super) fn closest(first: &impl Support, solid: &Revolved, enough: f64) -> Option<Closest> {
    let round = first.round();
    let enough = enough + round;
    let look = |slice: Revolved| {
        let hull = simplex::cores(first, &slice);
        (slice, Cores { second: slice.near(hull.second), ..hull })
    };
    let mut best = look(*solid);
    let mut open = vec![best];
    for _ in 0..SLICES {
        let lowest = open.iter().enumerate().min_by(|(_, a), (_, b)| a.1.lower.total_cmp(&b.1.lower));
        let Some((index, &(slice, cores))) = lowest else {
            best.1.lower = best.1.upper();
            break;
        };
        best.1.lower = cores.lower;
        if cores.lower >= enough {
            return None;
        }
        if best.1.upper() - cores.lower <= BOUNDS_MEET || best.1.upper() <= round + BOUNDS_MEET {
            break;
        }
        open.swap_remove(index);
        for half in slice.halves().map(look) {
            if half.1.upper() < best.1.upper() {
                best = half;
            }
            if half.1.lower < best.1.upper() {
                open.push(half);
            }
        }
    }
    Some(best.1.surfaces(round, 0.0))
}

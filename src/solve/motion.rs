//! Exact motion over a turn.
//!
//! Reference frame of all angles: θ from the normal n₁ of the first joint's
//! plane to the column yoke's trunnion axis. In the plane of (cos, sin) a joint
//! of angle β is the map diag(1, cos β) and a shaft the rotation by
//! α = 90° + δ − ψ (Fischer and Paul, J. Mech. Des. 113, 263 (1991), give the
//! phase rule; the product of maps is derived and verified numerically).
//! Written with complex numbers, diag(1, cos β) z = (1 + cos β)/2 · (z + t² z̄),
//! t² = tan²(β/2), so a chain is z ↦ P z + Q z̄ and its singular values are
//! |P| ± |Q|.

use crate::geometry::Vec2;
use crate::solve::solution::{BestMotion, Motion};

/// The map z ↦ p z + q z̄ of a chain, up to a positive factor; numbers of the plane as vectors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unevenness {
    p: Vec2,
    q: Vec2,
}

/// Product of two complex numbers.
fn times(a: Vec2, b: Vec2) -> Vec2 {
    Vec2::new(a.x * b.x - a.y * b.y, a.x * b.y + a.y * b.x)
}

/// Complex conjugate.
const fn conjugate(a: Vec2) -> Vec2 {
    Vec2::new(a.x, -a.y)
}

impl Unevenness {
    /// One joint of working angle β (rad, below π/2).
    pub fn of_joint(angle: f64) -> Self {
        let t = libm::tan(angle / 2.0);
        Self { p: Vec2::new(1.0, 0.0), q: Vec2::new(t * t, 0.0) }
    }

    /// The whole chain of working angles with the shafts' relative phases α = 90° + δ − ψ (rad).
    pub fn of_chain(angles: &[f64], alpha: &[f64]) -> Self {
        let mut joints = angles.iter().map(|&angle| Self::of_joint(angle));
        let first = joints.next().unwrap_or(Self { p: Vec2::new(1.0, 0.0), q: Vec2::default() });
        joints.zip(alpha).fold(first, |before, (joint, &a)| before.then(a, joint))
    }

    /// This chain, then a shaft of relative phase α (rad), then `next`.
    #[must_use]
    pub fn then(self, alpha: f64, next: Self) -> Self {
        let turn = Vec2::polar(alpha);
        let (p, q) = (times(self.p, turn), times(self.q, turn));
        Self { p: times(next.p, p) + times(next.q, conjugate(q)), q: times(next.p, q) + times(next.q, conjugate(p)) }
    }

    /// The α (rad) at which this chain followed by `next` stretches by `total` = ln(greatest ratio), or as near as
    /// it comes; a quarter turn where α does not matter.
    ///
    /// With |P| = cosh(D/2) and |Q| = sinh(D/2), Q = next.p q e^{iα} + next.q p̄ e^{−iα}.
    pub fn alpha_for(self, next: Self, total: f64) -> f64 {
        let unit = |m: Self| {
            let scale = 1.0 / (m.p.dot(m.p) - m.q.dot(m.q)).sqrt();
            (m.p * scale, m.q * scale)
        };
        let ((p, q), (next_p, next_q)) = (unit(self), unit(next));
        let (ahead, back) = (times(next_p, q), times(next_q, conjugate(p)));
        let (a, b) = (ahead.length(), back.length());
        if a <= f64::EPSILON || b <= f64::EPSILON {
            return std::f64::consts::FRAC_PI_2;
        }
        let wanted = libm::sinh(total / 2.0);
        // Half the angle from 1 ± its cosine, so that opposite and equal stay exactly so.
        let opposed = (wanted - a + b) * (wanted + a - b);
        let aligned = (a + b - wanted) * (a + b + wanted);
        let between = 2.0 * libm::atan2(aligned.max(0.0).sqrt(), opposed.max(0.0).sqrt());
        0.5 * (back.angle() - ahead.angle() + between)
    }

    /// Input angle θ (rad, modulo half a turn) at which the speed ratio is least; it is greatest a quarter turn on.
    ///
    /// The ratio is (|P|² − |Q|²) / |P e^{iθ} + Q e^{−iθ}|², least where both terms point the same way.
    pub fn slowest(self) -> f64 {
        0.5 * (self.q.angle() - self.p.angle())
    }

    /// Sine of half the peak-to-peak angle error: |Q|/|P|.
    pub fn sine(self) -> f64 {
        (self.q.length() / self.p.length()).min(1.0)
    }

    /// Half of peak to peak of output minus input angle (rad).
    pub fn error(self) -> f64 {
        libm::asin(self.sine())
    }

    /// Greatest speed ratio; the least is its inverse.
    pub fn ratio_max(self) -> f64 {
        let s = self.sine();
        (1.0 + s) / (1.0 - s)
    }

    /// Working angle (rad) of the single joint that is as uneven.
    pub fn equivalent_angle(self) -> f64 {
        2.0 * libm::atan(self.sine().sqrt())
    }
}

/// Relative phases α = 90° + δ − ψ (rad) from yoke phases δ and dihedrals ψ (rad).
pub fn relative_phases(delta: &[f64], psi: &[f64]) -> Vec<f64> {
    delta.iter().zip(psi).map(|(d, p)| std::f64::consts::FRAC_PI_2 + d - p).collect()
}

/// Output minus input angle (rad, branch within ±90° a joint) and speed ratio at one column angle θ (rad).
///
/// The constant part of the shafts' phases is left out, so that only differences between angles mean anything.
pub fn follow(angles: &[f64], alpha: &[f64], theta: f64) -> (f64, f64) {
    let mut at = theta;
    let mut lead = 0.0;
    let mut ratio = 1.0;
    for (i, &angle) in angles.iter().enumerate() {
        let cosine = libm::cos(angle);
        let (s, c) = libm::sincos(at);
        // φ − θ on the branch of θ: tan φ = cos β tan θ without a jump.
        let step = libm::atan2((cosine - 1.0) * s * c, c * c + cosine * s * s);
        ratio *= cosine / (c * c + cosine * cosine * s * s);
        lead += step;
        at += step + alpha.get(i).copied().unwrap_or(0.0);
    }
    (lead, ratio)
}

/// Motion over one turn with yoke phases `delta`, beside the best the joint angles allow with `best` (rad).
pub fn motion(angles: &[f64], psi: &[f64], delta: &[f64], best: &[f64]) -> Motion {
    let alpha = relative_phases(delta, psi);
    let set = Unevenness::of_chain(angles, &alpha);
    let ideal = Unevenness::of_chain(angles, &relative_phases(best, psi));
    let (start, _) = follow(angles, &alpha, 0.0);
    let curve = (0..=360)
        .map(|degree: i32| {
            let (lead, ratio) = follow(angles, &alpha, f64::from(degree).to_radians());
            [f64::from(degree), (lead - start).to_degrees(), ratio]
        })
        .collect();
    Motion {
        error: set.error().to_degrees(),
        ratio_max: set.ratio_max(),
        ratio_min: 1.0 / set.ratio_max(),
        equivalent_angle: set.equivalent_angle().to_degrees(),
        best: BestMotion {
            error: ideal.error().to_degrees(),
            ratio_max: ideal.ratio_max(),
            twists: best.iter().map(|b| super::phase::half_turn(b.to_degrees())).collect(),
        },
        curve,
    }
}

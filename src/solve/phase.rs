//! Yoke phase wanted and set.

use std::f64::consts::FRAC_PI_2;

use super::chain::Chain;
use super::motion::Unevenness;
use super::solution::Twist;
use crate::spec::Spec;
use crate::spec::types::{Form, FormShape, Hold, Hub};

/// An angle (deg) brought into 0 ≤ a < 180: yokes look the same after half a turn.
pub fn half_turn(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(180.0);
    // An angle a rounding below zero is zero, not 180.
    if 180.0 - turned < 1e-9 { 0.0 } else { turned }
}

/// Smallest difference (deg, 0 to 90) of two angles modulo 180.
pub fn apart(a: f64, b: f64) -> f64 {
    let turned = half_turn(a - b);
    turned.min(180.0 - turned)
}

/// Yoke phases δ (rad), one a shaft, that make the whole chain as even as it can be: closed form for any length.
///
/// A joint of angle β stretches by a = −ln cos β, and chains of stretches add like sides of a polygon in the
/// hyperbolic plane, with 2α as the angle between sides. So the best total is 0 where no side is longer than all the
/// others together (the polygon closes), else that side less the others; and sides laid backwards from the best total
/// give each partial stretch, the law of cosines each α. Two joints: δ = ψ. Derived; agrees with the closed form
/// (the largest joint's cos β over the product of the others') for the case that does not close.
pub fn best_phases(angles: &[f64], psi: &[f64]) -> Vec<f64> {
    if psi.len() == 1 {
        return psi.to_vec();
    }
    let side: Vec<f64> = angles.iter().map(|&angle| -libm::log(libm::cos(angle))).collect();
    // What the first i + 1 joints can reach: least and greatest total.
    let reach: Vec<(f64, f64)> = side
        .iter()
        .scan((0.0, 0.0f64), |(sum, longest), &a| {
            *sum += a;
            *longest = longest.max(a);
            Some(((2.0 * *longest - *sum).max(0.0), *sum))
        })
        .collect();
    let mut total = vec![0.0; side.len()];
    if let Some(last) = total.last_mut() {
        *last = reach.last().map_or(0.0, |&(least, _)| least);
    }
    for i in (1..side.len()).rev() {
        // Both ends of the range are reachable; the lesser keeps every partial chain as even as it can be.
        total[i - 1] = reach[i - 1].0.max((total[i] - side[i]).abs()).min(reach[i - 1].1);
    }
    let mut before = Unevenness::of_joint(angles[0]);
    let mut delta = Vec::with_capacity(psi.len());
    for (i, &turn) in psi.iter().enumerate() {
        let next = Unevenness::of_joint(angles[i + 1]);
        let alpha = before.alpha_for(next, total[i + 1]);
        before = before.then(alpha, next);
        delta.push(alpha - FRAC_PI_2 + turn);
    }
    delta
}

/// What the two ends of a shaft allow.
enum Ends {
    /// One phase only (deg): both ends keyed to flats.
    Fixed(f64),
    /// Steps of this many degrees, from a position not known until measured.
    Steps(f64),
    /// Any phase.
    Free,
}

fn greatest_common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { greatest_common_divisor(b, a % b) }
}

fn ends(upper: &Hub, lower: &Hub, stock: &Form) -> Ends {
    let free = |hub: &Hub| matches!(hub.hold, Hold::Weld) || matches!(hub.fits.shape, FormShape::Round { .. });
    if free(upper) || free(lower) {
        return Ends::Free;
    }
    let teeth = |hub: &Hub| match hub.fits.shape {
        FormShape::Serrated { teeth, .. } => Some(teeth),
        _ => None,
    };
    match (teeth(upper), teeth(lower)) {
        (None, None) if stock.is_double_d() => {
            let ears = |hub: &Hub| hub.ears.unwrap_or(0.0).to_degrees();
            Ends::Fixed(half_turn(ears(lower) - ears(upper)))
        }
        (a, b) => {
            let common = [a, b].into_iter().flatten().fold(2u32, |all, n| {
                let n = n.max(1);
                (all / greatest_common_divisor(all, n)).saturating_mul(n)
            });
            Ends::Steps(360.0 / f64::from(common))
        }
    }
}

/// Yoke phase of every shaft: wanted, set and how certain; with the phases δ (rad) as set.
pub fn twists(spec: &Spec, chain: &Chain, best: &[f64]) -> Vec<Twist> {
    spec.shafts
        .iter()
        .enumerate()
        .map(|(i, shaft)| {
            let wanted = chain.bent.then(|| half_turn(best[i].to_degrees()));
            let goal = wanted.unwrap_or(0.0);
            let (set, step, certain) = match ends(&spec.joints[i].lower, &spec.joints[i + 1].upper, &shaft.stock) {
                Ends::Fixed(set) => (set, Some(180.0), true),
                Ends::Steps(step) => (half_turn(goal + step / 2.0), Some(step), false),
                Ends::Free => (goal, None, true),
            };
            let off_max = wanted.map_or(0.0, |wanted| apart(set, wanted));
            Twist { wanted, set, step, certain, off_max, flats: 0.0 }
        })
        .collect()
}

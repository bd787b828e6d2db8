//! Yoke phase wanted and set.

use std::f64::consts::FRAC_PI_2;

use super::chain::Chain;
use super::motion::Unevenness;
use super::solution::Twist;
use super::teeth::Joints;
use crate::spec::Spec;
use crate::spec::types::{FormShape, Hold, Hub, Shaft, ShaftEnd, TwistWish};

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

/// What the two ends of a shaft give.
struct Setting {
    /// Phase (deg), modulo 180.
    set: f64,
    /// Between phases that can be had (deg); `None` where any can.
    step: Option<f64>,
    certain: bool,
    /// Twist between the shaft's own two pairs of flats (deg).
    flats: f64,
}

fn greatest_common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { greatest_common_divisor(b, a % b) }
}

/// Least common multiple.
pub(super) fn common_multiple(a: u32, b: u32) -> u32 {
    (a / greatest_common_divisor(a, b).max(1)).saturating_mul(b)
}

/// How many places in a turn a hub has on a shaft; `None` where any can be had.
pub(super) const fn places(hole: &FormShape, bar: &FormShape) -> Option<u32> {
    match (hole, bar) {
        (FormShape::Serrated { master: true, .. }, _) | (_, FormShape::Serrated { master: true, .. }) => Some(1),
        (FormShape::Serrated { teeth, .. }, _) => Some(if *teeth > 0 { *teeth } else { 1 }),
        (FormShape::DoubleD { .. }, _) => Some(2),
        (FormShape::Round { .. }, _) => None,
    }
}

/// Toothed fits of a shaft: how many positions each has in a turn. One of a master tooth has one.
fn positions(shaft: &Shaft, hubs: [&Hub; 2]) -> Vec<u32> {
    let mut all = Vec::new();
    let mut fit = |hole: Option<(u32, bool)>, bar: Option<(u32, bool)>| {
        let Some((teeth, master)) = hole else { return };
        let master = master || bar.is_some_and(|(_, master)| master);
        all.push(if master { 1 } else { teeth.max(1) });
    };
    for (end, hub) in ShaftEnd::BOTH.into_iter().zip(hubs) {
        fit(hub.fits.teeth(), shaft.form_at(end).teeth());
    }
    if let Some(slip) = &shaft.slip {
        fit(slip.hole.teeth(), shaft.stock.teeth());
    }
    all
}

/// From the shaft's line to the ears (deg) at one end, where it is known; the line is the edges of the flats, else
/// the punched one.
fn ears_from_line(shaft: &Shaft, end: ShaftEnd, hub: &Hub) -> Option<f64> {
    if hub.fits.teeth().is_none() {
        return Some(hub.ears.unwrap_or(0.0).to_degrees());
    }
    let on_shaft = match shaft.ends.get(end.index()).and_then(Option::as_ref) {
        Some(cut) => cut.tooth?,
        // Teeth from end to end: a tooth is the line.
        None => 0.0,
    };
    Some((on_shaft + hub.tooth?).to_degrees())
}

/// `goal` is the phase wanted (deg).
fn setting(shaft: &Shaft, hubs: [&Hub; 2], wanted: Option<f64>) -> Setting {
    let goal = wanted.unwrap_or(0.0);
    let wish = match shaft.twist {
        Some(TwistWish::Angle(angle)) => Some(half_turn(angle.to_degrees())),
        Some(TwistWish::Best) => wanted,
        None => None,
    };
    let free = |hub: &Hub| matches!(hub.hold, Hold::Weld) || matches!(hub.fits.shape, FormShape::Round { .. });
    if hubs.into_iter().any(free) {
        return Setting { set: wish.unwrap_or(goal), step: None, certain: true, flats: 0.0 };
    }
    let known = ShaftEnd::BOTH.into_iter().zip(hubs).map(|(end, hub)| ears_from_line(shaft, end, hub));
    let known: Option<Vec<f64>> = known.collect();
    let straight = known.as_deref().and_then(|ears| Some(ears.last()? - ears.first()?));
    let positions = positions(shaft, hubs);
    if positions.is_empty() {
        let straight = straight.unwrap_or(0.0);
        let set = wish.unwrap_or_else(|| half_turn(straight));
        return Setting { set, step: Some(180.0), certain: true, flats: half_turn(set - straight) };
    }
    let common = positions.into_iter().fold(2u32, common_multiple);
    let step = 360.0 / f64::from(common);
    // Where the teeth of a sliding fit sit against its members is not measured.
    let sliding = shaft.slip.as_ref().is_some_and(|slip| slip.hole.teeth().is_some());
    match straight.filter(|_| !sliding) {
        Some(straight) => {
            let set = half_turn(straight + ((goal - straight) / step).round() * step);
            Setting { set, step: Some(step), certain: true, flats: 0.0 }
        }
        None => Setting { set: half_turn(goal + step / 2.0), step: Some(step), certain: false, flats: 0.0 },
    }
}

/// Yoke phase of every shaft: wanted, set and how certain.
///
/// `best` (rad) is an optimum over all shafts. Of shafts with double joints between them only the sum of the phases
/// counts: each keeps what its ends give, and one whose ends can be made for it makes up for the others, else the last.
pub fn twists(spec: &Spec, chain: &Chain, best: &[f64]) -> Vec<Twist> {
    let hubs = |i: usize| [&spec.joints[i].lower, &spec.joints[i + 1].upper];
    let alone = |i: usize| setting(&spec.shafts[i], hubs(i), None);
    let mut goals: Vec<f64> = best.iter().map(|best| best.to_degrees()).collect();
    let mut start = 0;
    while start < goals.len() {
        let end = (start + 1..goals.len()).find(|&i| !chain.is_double(i)).unwrap_or(goals.len());
        let made = |i: &usize| alone(*i).step.is_none() || matches!(spec.shafts[*i].twist, Some(TwistWish::Best));
        let makes_up = (start..end).find(made).unwrap_or(end - 1);
        let mut owed = 0.0;
        for i in (start..end).filter(|&i| i != makes_up) {
            let kept = alone(i);
            if kept.step.is_some() && kept.certain {
                owed += goals[i] - kept.set;
                goals[i] = kept.set;
            }
        }
        goals[makes_up] += owed;
        start = end;
    }
    let mut twists: Vec<Twist> = spec
        .shafts
        .iter()
        .enumerate()
        .map(|(i, shaft)| {
            let wanted = chain.is_phased(i).then(|| half_turn(goals[i]));
            let Setting { set, step, certain, flats } = setting(shaft, hubs(i), wanted);
            let off_max = wanted.map_or(0.0, |wanted| apart(set, wanted));
            Twist { wanted, set, step, certain, off_max, flats }
        })
        .collect();
    together(chain, &mut twists);
    twists
}

/// Chooses the teeth of all shafts together, then puts those whose teeth are not measured where they do most harm:
/// unknown offsets of half a tooth can add up or cancel.
fn together(chain: &Chain, twists: &mut [Twist]) {
    let (angles, psi) = (chain.uneven_angles(), chain.uneven_psi());
    let joints = Joints { angles: &angles, psi: &psi };
    let toothed = |certain: bool, twists: &[Twist]| -> Vec<(usize, f64)> {
        let step =
            |twist: &Twist| twist.wanted.and(twist.step).filter(|&step| step < 180.0 && twist.certain == certain);
        (0..twists.len()).filter_map(|i| Some((i, step(&twists[i])?))).collect()
    };
    let chosen = toothed(true, twists);
    if chosen.len() > 1 {
        joints.choose(twists, &chosen);
    }
    let unknown = toothed(false, twists);
    joints.worst(twists, &unknown);
    for twist in twists {
        twist.off_max = twist.wanted.map_or(0.0, |wanted| apart(twist.set, wanted));
    }
}

/// Phases δ (rad) wanted of every shaft; where any does, that of `best`.
pub fn wanted_phases(twists: &[Twist], best: &[f64]) -> Vec<f64> {
    twists.iter().zip(best).map(|(twist, best)| twist.wanted.map_or(*best, f64::to_radians)).collect()
}

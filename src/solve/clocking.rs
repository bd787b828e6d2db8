//! Straight ahead: where it sits on the ripple of the joints, and how straight the wheel can stand there.
//!
//! With the road wheels straight the gear's shaft stands still, so the angle at which the chain of joints stands is set
//! by the tooth on which the gear's hub sits. The whole chain is as uneven as one joint, whose speed ratio is the same
//! to both sides of where it is least and of where it is greatest: there, and only there, left and right feel alike
//! (derived from the product of the joints' maps, [`super::motion`]).

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use serde::{Deserialize, Serialize};

use super::chain::Chain;
use super::facing::{self, ScrewFacing};
use super::motion::{Unevenness, follow, relative_phases};
use super::phase::{common_multiple, half_turn, places};
use super::rail::RailShape;
use crate::spec::Spec;
use crate::spec::types::Clocking;

/// Straight ahead, in degrees; clockwise from column toward gear, as the driver sees it, is positive.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ClockingResult {
    /// From the first bend plane to the line through the column yoke's ears where the speed ratio is least, so that the
    /// steering is calmest straight ahead (0 to 180); `None` where the linkage turns evenly or a phase is not known.
    pub calm: Option<f64>,
    /// Likewise where the ratio is greatest: a quarter turn on, near enough for most linkages.
    pub quick: Option<f64>,
    /// As measured (0 to 180).
    pub yoke: Option<f64>,
    /// Largest difference at the gear between the same turn of the wheel to the left and to the right, as measured.
    pub left_right: Option<f64>,
    /// That difference in the worst place.
    pub left_right_worst: f64,
    /// Step between the gear hub's places on the gear; `None` where any can be had.
    pub gear_step: Option<f64>,
    /// Step between the wheel's places on the chain, over its own teeth and those of the column's hub; `None` where any
    /// can be had.
    pub wheel_step: Option<f64>,
    /// How far off straight the wheel stands at worst on the best tooth of its own, before anything is measured.
    pub wheel_left_worst: f64,
    /// The pair of teeth that leaves least.
    pub best: Option<ToothPair>,
    /// What takes the rest out at the tie rods.
    pub rods: Option<RodTurn>,
    /// From straight ahead to each lock.
    pub locks: Option<Locks>,
    /// Every screw of a hub whose ears are known, straight ahead.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub screws: Vec<ScrewFacing>,
}

/// A tooth at the gear and a place of the wheel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ToothPair {
    /// Steps by which the gear's hub goes round on the gear, from where it sits.
    pub gear_steps: i32,
    /// By how much that turns the column yoke and all above it.
    pub yoke_turn: f64,
    /// The column yoke then (0 to 180).
    pub yoke: f64,
    /// By how much the wheel goes round against the chain after that (−180 to 180).
    pub wheel_turn: f64,
    /// How far the wheel then stands off straight.
    pub wheel_left: f64,
    /// The difference of left and right then.
    pub left_right: f64,
}

/// What straightens the wheel at the tie rods.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RodTurn {
    /// By which one rod gets longer and the other shorter (mm).
    pub change: f64,
    /// Turns of each rod's end.
    pub turns: f64,
    /// By how much the gear then stands off its centre, clockwise positive.
    pub gear_off: f64,
}

/// Turn of the wheel from straight ahead to each lock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Locks {
    /// Anticlockwise.
    pub left: f64,
    /// Clockwise.
    pub right: f64,
}

/// The chain of joints as one function.
pub struct Ripple {
    angles: Vec<f64>,
    alpha: Vec<f64>,
    whole: Unevenness,
}

/// Halvings that bring a bracket of half a turn under 1e-15 rad.
const HALVINGS: u32 = 60;

/// Samples of half a turn between which a maximum is closed in on.
const SAMPLES: u32 = 360;

/// Below this (rad) a linkage turns evenly: no place is better than another.
const EVEN: f64 = 1e-6;

impl Ripple {
    /// Of uneven angles, dihedrals and phases (rad).
    pub fn new(angles: &[f64], psi: &[f64], twists: &[f64]) -> Self {
        let alpha = relative_phases(twists, psi);
        Self { angles: angles.to_vec(), whole: Unevenness::of_chain(angles, &alpha), alpha }
    }

    /// Angle of the gear's yoke (rad, up to a constant) at a column angle θ (rad from n₁); grows with θ.
    pub fn gear(&self, theta: f64) -> f64 {
        theta + follow(&self.angles, &self.alpha, theta).0
    }

    /// The column angle at which the gear's yoke stands there.
    pub fn column(&self, gear: f64) -> f64 {
        // Every joint leads or lags by less than a quarter turn.
        let most = FRAC_PI_2 * self.angles.len() as f64;
        let (mut low, mut high) = (gear - most, gear + most);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if self.gear(middle) < gear { low = middle } else { high = middle }
        }
        f64::midpoint(low, high)
    }

    /// Whether one place differs from another at all.
    pub fn is_even(&self) -> bool {
        self.whole.error() < EVEN
    }

    /// Column angle (rad from n₁, modulo half a turn) at which the speed ratio is least.
    pub fn calmest(&self) -> f64 {
        self.whole.slowest()
    }

    /// Largest difference at the gear (rad) between equal turns of the column to both sides of θ.
    ///
    /// It repeats after half a turn and is the same for a turn and its opposite, so a quarter turn holds all of it.
    pub fn left_right(&self, theta: f64) -> f64 {
        let here = self.gear(theta);
        let difference = |x: f64| (self.gear(theta + x) + self.gear(theta - x) - 2.0 * here).abs();
        greatest(difference, FRAC_PI_2)
    }

    /// The difference of left and right where it is worst.
    pub fn left_right_worst(&self) -> f64 {
        if self.is_even() { 0.0 } else { greatest(|theta| self.left_right(theta), PI) }
    }
}

/// Greatest value of a smooth function from 0 to `end`: samples, then the golden section about the best of them.
fn greatest(of: impl Fn(f64) -> f64, end: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let step = end / f64::from(SAMPLES);
    let (mut best, mut value) = (0.0, of(0.0));
    for i in 1..=SAMPLES {
        let at = step * f64::from(i);
        let here = of(at);
        if here > value {
            (best, value) = (at, here);
        }
    }
    let (mut low, mut high) = (best - step, best + step);
    for _ in 0..40 {
        let span = GOLDEN * (high - low);
        let (a, b) = (high - span, low + span);
        if of(a) > of(b) { high = b } else { low = a }
    }
    value.max(of(f64::midpoint(low, high)))
}

/// An angle (rad) brought to −half a step < a ≤ half a step by whole steps.
fn nearest(angle: f64, step: f64) -> f64 {
    let left = angle - (angle / step).round() * step;
    if left <= -step / 2.0 { left + step } else { left }
}

/// Straight ahead; `None` where the spec does not ask for it.
///
/// `twists` are the phases as set (rad), `certain` whether all of them are known.
pub fn clocking(
    spec: &Spec,
    chain: &Chain,
    twists: &[f64],
    certain: bool,
    rails: &[RailShape],
) -> Option<ClockingResult> {
    let stated = spec.clocking.as_ref()?;
    let ripple = Ripple::new(&chain.uneven_angles(), &chain.uneven_psi(), twists);
    let known = certain && !ripple.is_even();
    let from_plane = |theta: f64| half_turn((theta - FRAC_PI_2).to_degrees());
    let [gear_step, wheel_step] = steps(spec, stated);
    let theta = stated.yoke.filter(|_| certain).map(|yoke| yoke + FRAC_PI_2);
    let best = theta.zip(stated.wheel_off).map(|(theta, off)| tooth_pair(&ripple, theta, off, gear_step, wheel_step));
    let straight = match &best {
        Some(pair) => Some(pair.yoke.to_radians() + FRAC_PI_2),
        None => theta,
    };
    Some(ClockingResult {
        calm: known.then(|| from_plane(ripple.calmest())),
        quick: known.then(|| from_plane(ripple.calmest() + FRAC_PI_2)),
        yoke: stated.yoke.map(|yoke| half_turn(yoke.to_degrees())),
        left_right: theta.map(|theta| ripple.left_right(theta).to_degrees()),
        left_right_worst: ripple.left_right_worst().to_degrees(),
        gear_step: gear_step.map(f64::to_degrees),
        wheel_step: wheel_step.map(f64::to_degrees),
        wheel_left_worst: wheel_step.unwrap_or(0.0).to_degrees() / 2.0,
        rods: best.as_ref().zip(straight).and_then(|(pair, theta)| rods(stated, &ripple, theta, pair.wheel_left)),
        locks: straight.and_then(|theta| locks(stated, &ripple, theta)),
        screws: straight.map(|theta| facing::screws(spec, chain, twists, theta, rails)).unwrap_or_default(),
        best,
    })
}

/// Steps (rad) of the gear's hub on the gear, and of the wheel against the chain.
fn steps(spec: &Spec, stated: &Clocking) -> [Option<f64>; 2] {
    let gear = spec.joints.last().and_then(|joint| places(&joint.lower.fits.shape, &spec.gear.form.shape));
    let column = spec.joints.first().and_then(|joint| places(&joint.upper.fits.shape, &spec.column.form.shape));
    let own = if stated.wheel_tied { 1 } else { stated.wheel_teeth.unwrap_or(1) };
    let step = |places: u32| TAU / f64::from(places);
    [gear.map(step), column.map(|column| step(common_multiple(own, column)))]
}

/// The pair of teeth whose worse figure is least: wheel off straight, or left against right.
fn tooth_pair(ripple: &Ripple, theta: f64, off: f64, gear_step: Option<f64>, wheel_step: Option<f64>) -> ToothPair {
    let here = ripple.gear(theta);
    // A gear shaft that takes its hub anywhere is set where left and right are alike, the nearer way round.
    let places: Vec<(i32, f64)> = match gear_step {
        None if ripple.is_even() => vec![(0, theta)],
        None => vec![(0, theta + nearest(ripple.calmest() - theta, FRAC_PI_2))],
        Some(step) => {
            let count = (TAU / step).round() as i32;
            let from = -(count - 1) / 2;
            (from..from + count)
                .map(|k| (k, if k == 0 { theta } else { ripple.column(here + f64::from(k) * step) }))
                .collect()
        }
    };
    let pairs = places.into_iter().map(|(gear_steps, at)| {
        let turned = off + at - theta;
        let left = wheel_step.map_or(0.0, |step| nearest(turned, step));
        ToothPair {
            gear_steps,
            yoke_turn: (at - theta).to_degrees(),
            yoke: half_turn((at - FRAC_PI_2).to_degrees()),
            wheel_turn: nearest(left - turned, TAU).to_degrees(),
            wheel_left: left.to_degrees(),
            left_right: ripple.left_right(at).to_degrees(),
        }
    });
    // Of equals the one with least work.
    let cost = |pair: &ToothPair| (pair.wheel_left.abs().max(pair.left_right) * 1e6).round();
    let better = |a: &ToothPair, b: &ToothPair| {
        cost(a).total_cmp(&cost(b)).then(a.gear_steps.abs().cmp(&b.gear_steps.abs())).is_le()
    };
    let start = ToothPair {
        gear_steps: 0,
        yoke_turn: 0.0,
        yoke: half_turn((theta - FRAC_PI_2).to_degrees()),
        wheel_turn: 0.0,
        wheel_left: off.to_degrees(),
        left_right: ripple.left_right(theta).to_degrees(),
    };
    pairs.reduce(|a, b| if better(&a, &b) { a } else { b }).unwrap_or(start)
}

/// The tie rods' share: the wheel is turned straight, which moves the gear, and the rods take that up.
fn rods(stated: &Clocking, ripple: &Ripple, theta: f64, wheel_left: f64) -> Option<RodTurn> {
    let (travel, pitch) = stated.rod_travel.zip(stated.rod_pitch)?;
    let gear_off = ripple.gear(theta - wheel_left.to_radians()) - ripple.gear(theta);
    let change = (gear_off / TAU * travel).abs();
    Some(RodTurn { change, turns: change / pitch, gear_off: gear_off.to_degrees() })
}

fn locks(stated: &Clocking, ripple: &Ripple, theta: f64) -> Option<Locks> {
    let (turns, centre) = stated.lock_to_lock.zip(stated.gear_centre)?;
    let here = ripple.gear(theta);
    Some(Locks {
        left: (theta - ripple.column(here - centre * TAU)).to_degrees(),
        right: (ripple.column(here + (turns - centre) * TAU) - theta).to_degrees(),
    })
}

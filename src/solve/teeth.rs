//! The teeth of several shafts chosen together.
//!
//! A shaft on its own goes on the tooth nearest its best phase. Three joints and more have several best sets of phases
//! (a triangle of stretches closes to either side, see [`super::phase::best_phases`]) and teeth may lie nearer to another
//! of them, so every tooth of every shaft is tried: for all shafts but one one after another, for the last in closed form.

use super::motion::{Unevenness, relative_phases};
use super::phase::half_turn;
use super::solution::Twist;

/// Settings of all shafts but the last that are looked at; with more, shafts are set in turn until none gets better.
const MOST_SETTINGS: u64 = 8192;

/// What rounding makes of nothing.
const LESS: f64 = 1e-12;

/// Joints of a chain: working angles and dihedrals (rad).
pub(super) struct Joints<'a> {
    pub(super) angles: &'a [f64],
    pub(super) psi: &'a [f64],
}

impl Joints<'_> {
    /// Sine of half the peak-to-peak error with these phases.
    fn error(&self, twists: &[Twist]) -> f64 {
        let set: Vec<f64> = twists.iter().map(|twist| twist.set.to_radians()).collect();
        Unevenness::of_chain(self.angles, &relative_phases(&set, self.psi)).sine()
    }

    /// The phase (deg) of one shaft that is best with all others as they are.
    ///
    /// The stretch of the two halves of a chain grows steadily with the angle between them, so that the nearest tooth is
    /// the best one.
    pub(super) fn best_of(&self, set: &[f64], shaft: usize) -> f64 {
        let alpha = relative_phases(set, self.psi);
        let above = Unevenness::of_chain(&self.angles[..=shaft], &alpha[..shaft]);
        let below = Unevenness::of_chain(&self.angles[shaft + 1..], alpha.get(shaft + 1..).unwrap_or_default());
        let stretch = |part: Unevenness| libm::log(part.ratio_max());
        let turn = above.alpha_for(below, (stretch(above) - stretch(below)).abs());
        (turn - alpha[shaft] + set[shaft]).to_degrees()
    }

    /// Puts a shaft on the tooth that is best with all others as they are.
    fn nearest(&self, twists: &mut [Twist], shaft: usize, step: f64) {
        let set: Vec<f64> = twists.iter().map(|twist| twist.set.to_radians()).collect();
        let (goal, from) = (self.best_of(&set, shaft), twists[shaft].set);
        twists[shaft].set = half_turn(from + ((goal - from) / step).round() * step);
    }

    /// Puts every shaft of the list (index, step in deg) on its tooth; they stay as they are where nothing is better.
    pub(super) fn choose(&self, twists: &mut [Twist], shafts: &[(usize, f64)]) {
        let mut order = shafts.to_vec();
        // The finest last, since it costs nothing.
        order.sort_by(|a, b| b.1.total_cmp(&a.1));
        let Some(&(last, last_step)) = order.last() else { return };
        let rest = &order[..order.len() - 1];
        let places = |step: f64| (180.0 / step).round().max(1.0) as u64;
        let settings = rest.iter().try_fold(1u64, |all, &(_, step)| all.checked_mul(places(step)));
        let from = twists.to_vec();
        let mut least = self.error(&from);
        let mut trial = from.clone();
        let Some(settings) = settings.filter(|&all| all <= MOST_SETTINGS) else {
            return self.in_turn(twists, shafts);
        };
        for setting in 0..settings {
            let mut digits = setting;
            for &(i, step) in rest {
                let count = places(step);
                trial[i].set = half_turn(from[i].set + (digits % count) as f64 * step);
                digits /= count;
            }
            self.nearest(&mut trial, last, last_step);
            let here = self.error(&trial);
            if here < least - LESS {
                least = here;
                twists.clone_from_slice(&trial);
            }
        }
    }

    /// One shaft after another, again and again, until none gets better.
    fn in_turn(&self, twists: &mut [Twist], shafts: &[(usize, f64)]) {
        let mut least = self.error(twists);
        loop {
            let before = least;
            for &(i, step) in shafts {
                let mut trial = twists.to_vec();
                self.nearest(&mut trial, i, step);
                let here = self.error(&trial);
                if here < least - LESS {
                    least = here;
                    twists.clone_from_slice(&trial);
                }
            }
            if least >= before - LESS {
                return;
            }
        }
    }

    /// Puts shafts whose teeth are not measured where they do most harm: each half a step ahead or half a step behind.
    pub(super) fn worst(&self, twists: &mut [Twist], shafts: &[(usize, f64)]) {
        let from = twists.to_vec();
        let mut trial = from.clone();
        let mut most = self.error(&from);
        let settings = 1_u64.checked_shl(shafts.len() as u32).unwrap_or(MOST_SETTINGS).min(MOST_SETTINGS);
        for setting in 0..settings {
            for (bit, &(i, step)) in shafts.iter().enumerate() {
                let behind = if setting >> bit & 1 == 1 { step } else { 0.0 };
                trial[i].set = half_turn(from[i].set - behind);
            }
            let here = self.error(&trial);
            if here > most + LESS {
                most = here;
                twists.clone_from_slice(&trial);
            }
        }
    }
}

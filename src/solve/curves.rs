//! Curves to look at: error and ratio over a turn as set, as best and a tooth either side; error against twist; torque and
//! shear along the chain.

use super::chain::{self, Chain};
use super::fit;
use super::motion::{Unevenness, follow, relative_phases};
use super::phase::half_turn;
use super::solution::Solution;
use crate::spec::Spec;

/// Gear less column (deg) and speed ratio over a turn of the column.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// `as set`, `as best`, `a tooth back` or `a tooth on`.
    pub name: &'static str,
    /// Column (deg), gear less column (deg).
    pub lead: Vec<(f64, f64)>,
    /// Column (deg), ratio.
    pub ratio: Vec<(f64, f64)>,
}

/// Error (deg) against the twist of one shaft, all others as they are set.
#[derive(Debug, Clone, PartialEq)]
pub struct ByTwist {
    /// Index of the shaft.
    pub shaft: usize,
    /// Twist (deg, 0 to 180), error (deg).
    pub points: Vec<(f64, f64)>,
    /// The same at every twist its ends allow; empty where any can be had or the teeth are not measured.
    pub reachable: Vec<(f64, f64)>,
    /// The twist as set and its error.
    pub set: (f64, f64),
}

/// A step of a figure along the chain: from and to (mm from the first cross), value.
pub type Along = Vec<(f64, f64)>;

/// Degrees between points.
const STEP: u32 = 2;

fn sample(angles: &[f64], alpha: &[f64], name: &'static str) -> Turn {
    let (start, _) = follow(angles, alpha, 0.0);
    let rows = (0..=360 / STEP).map(|i| {
        let degree = f64::from(i * STEP);
        let (lead, ratio) = follow(angles, alpha, degree.to_radians());
        (degree, (lead - start).to_degrees(), ratio)
    });
    let rows: Vec<_> = rows.collect();
    // About the middle of its own swing, so that curves can be compared.
    let (low, high) = rows.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), row| (l.min(row.1), h.max(row.1)));
    let middle = f64::midpoint(low, high);
    Turn {
        name,
        lead: rows.iter().map(|row| (row.0, row.1 - middle)).collect(),
        ratio: rows.iter().map(|row| (row.0, row.2)).collect(),
    }
}

/// The first phased shaft whose ends step by less than half a turn.
fn toothed(solution: &Solution) -> Option<(usize, f64)> {
    let mut rows = solution.shafts.iter().enumerate();
    rows.find_map(|(i, shaft)| Some((i, shaft.twist.wanted.and(shaft.twist.step).filter(|&step| step < 180.0)?)))
}

/// As set, as best, and with the first toothed shaft a tooth either side; empty where the spec no longer makes a chain.
pub fn turns(spec: &Spec, solution: &Solution) -> Vec<Turn> {
    let Ok(chain) = chain::chain(spec) else { return Vec::new() };
    let (angles, psi) = (chain.uneven_angles(), chain.uneven_psi());
    let set = phases(solution);
    let curve = |phases: &[f64], name| sample(&angles, &relative_phases(phases, &psi), name);
    let best: Vec<f64> = solution.motion.best.twists.iter().map(|twist| twist.to_radians()).collect();
    let mut all = vec![curve(&set, "as set"), curve(&best, "as best")];
    if let Some((i, step)) = toothed(solution) {
        for (sign, name) in [(-1.0, "a tooth back"), (1.0, "a tooth on")] {
            let mut beside = set.clone();
            beside[i] += (sign * step).to_radians();
            all.push(curve(&beside, name));
        }
    }
    all
}

fn phases(solution: &Solution) -> Vec<f64> {
    let twists: Vec<_> = solution.shafts.iter().map(|shaft| shaft.twist.clone()).collect();
    fit::set_phases(&twists)
}

/// Error against twist of every phased shaft.
pub fn by_twist(spec: &Spec, solution: &Solution) -> Vec<ByTwist> {
    let Ok(chain) = chain::chain(spec) else { return Vec::new() };
    let set = phases(solution);
    (0..solution.shafts.len())
        .filter(|&i| chain.is_phased(i))
        .map(|i| {
            let at = |degrees: f64| (degrees, error(&chain, &set, i, degrees));
            let twist = &solution.shafts[i].twist;
            let step = twist.step.filter(|_| twist.certain);
            let count = step.map_or(0, |step| (180.0 / step).round() as u32);
            let mut reachable: Vec<(f64, f64)> =
                (0..count).map(|k| at(half_turn(twist.set + step.unwrap_or(0.0) * f64::from(k)))).collect();
            reachable.sort_by(|a, b| a.0.total_cmp(&b.0));
            ByTwist {
                shaft: i,
                points: (0..=180 / STEP).map(|k| at(f64::from(k * STEP))).collect(),
                reachable,
                set: at(half_turn(twist.set)),
            }
        })
        .collect()
}

fn error(chain: &Chain, set: &[f64], shaft: usize, degrees: f64) -> f64 {
    let mut phases = set.to_vec();
    phases[shaft] = degrees.to_radians();
    let alpha = relative_phases(&phases, &chain.uneven_psi());
    Unevenness::of_chain(&chain.uneven_angles(), &alpha).error().to_degrees()
}

/// Greatest torque (N m) and greatest shear (MPa) along the chain from the first cross; empty without a load.
pub fn along(solution: &Solution) -> (Along, Along) {
    let (mut torque, mut shear) = (Vec::new(), Vec::new());
    let mut from = 0.0;
    for (shaft, row) in solution.shafts.iter().zip(&solution.strength.shafts) {
        let to = from + shaft.centre_distance;
        torque.extend([(from, row.torque_max), (to, row.torque_max)]);
        shear.extend([(from, row.shear), (to, row.shear)]);
        from = to;
    }
    (torque, shear)
}

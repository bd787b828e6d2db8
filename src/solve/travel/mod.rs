//! Gaps over all motions at once: the least that is attained, and a bound under which none is.

mod extremes;
mod linkage;
mod queue;
mod search;
mod side;

use std::collections::BTreeMap;

pub use extremes::{Extreme, JointOver, OverMotions, ShaftOver, over_motions};
pub use linkage::{Linkage, Spread};
pub use search::{BUDGET, First, Least, least, tolerance};
pub use side::{Carried, Steps};

use crate::spec::types::{Motion, Moved};

/// Indices of the motions that move something, in the order of the file.
pub fn moving(motions: &[Motion], what: Moved) -> Vec<usize> {
    (0..motions.len()).filter(|&m| motions[m].moves.contains(&what)).collect()
}

/// The values of some motions by name, as the results show them.
pub fn values(motions: &[Motion], which: &[usize], steps: &[f64]) -> BTreeMap<String, f64> {
    let value = |&m: &usize| (motions[m].name.clone(), motions[m].shown(motions[m].value(steps[m])));
    which.iter().map(value).collect()
}

/// The step of every motion where it has the value shown; as taped where none is given.
pub fn steps(motions: &[Motion], shown: &BTreeMap<String, f64>) -> Vec<f64> {
    let step = |motion: &Motion| shown.get(&motion.name).map_or(0.0, |&value| motion.step(motion.from_shown(value)));
    motions.iter().map(step).collect()
}

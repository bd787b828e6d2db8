//! The likeliest wrong reading.
//!
//! Data snooping (Baarda 1968, from memory): a reading is suspected where its
//! standardised residual passes the limit; the greatest is taken out, the rest
//! adjusted anew, and so on, for one wrong reading throws its neighbours off too.

use super::adjust::{Adjustment, Checked, UNCHECKED, without};

/// Standardised residual that one good reading in a thousand passes by chance (two-sided normal distribution).
pub const LIMIT: f64 = 3.29;

/// Readings named at most: past a few, the survey is to be taken anew.
const MOST: usize = 5;

/// A reading that seems wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Its number.
    pub reading: usize,
    /// What the others say it should show (mm or rad).
    pub wants: f64,
}

/// The suspects, likeliest first.
pub(super) fn suspects(adjustment: &Adjustment<'_>) -> Vec<Suspect> {
    let readings = &adjustment.survey.readings;
    let mut used = vec![true; readings.len()];
    let mut checked: Vec<Checked> = adjustment.checked.clone();
    let mut suspects: Vec<Suspect> = Vec::new();
    while suspects.len() < MOST {
        let worst = checked
            .iter()
            .enumerate()
            .filter(|(i, _)| used[*i])
            .filter_map(|(i, checked)| Some((i, checked, checked.standardised?.abs())))
            .filter(|(_, checked, off)| *off > LIMIT && checked.redundancy > UNCHECKED)
            .max_by(|a, b| a.2.total_cmp(&b.2));
        let Some((reading, own, _)) = worst else { break };
        // The residual shows the share `redundancy` of what the reading is off.
        let reads = readings[reading].reads.unwrap_or_default();
        let by_share = reads - own.residual / own.redundancy;
        used[reading] = false;
        let next = without(adjustment, &used);
        // Without it the others say straight away what it should show.
        let wants = next.as_ref().map_or(by_share, |next| next[reading].computed);
        suspects.push(Suspect { reading, wants });
        let Some(next) = next else { break };
        checked = next;
    }
    suspects
}

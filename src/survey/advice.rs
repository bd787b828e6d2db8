//! Which further reading would make a figure surest.
//!
//! One more reading with gradient j and deviation σ takes (gᵀQj)² / (σ² + jᵀQj)
//! off the variance gᵀQg of a figure with gradient g (rank-one update; Golub &
//! Van Loan, *Matrix Computations*, 4th ed., section 2.1.4, from memory).

use super::adjust::Adjustment;
use super::result::{AdviceResult, Between};
use crate::geometry::Vec3;
use crate::spec::types::{Along, Measure};

/// Readings advised.
const MOST: usize = 3;

/// Points a candidate may run between: past this many the nearest to the figure alone are looked at.
const MOST_POINTS: usize = 60;

/// A reading that takes less than this share off the deviation is not worth the walk.
const LEAST_GAIN: f64 = 0.02;

/// The most useful further readings for a figure with that gradient in some points (its unit per mm, the figure in mm),
/// which is the length of that shaft.
pub fn advice(adjustment: &Adjustment<'_>, gradient: &[(usize, Vec3)], shaft: &str) -> Vec<AdviceResult> {
    let survey = adjustment.survey;
    let along = adjustment.along(gradient);
    let at = |i: usize| along.get(i).copied().unwrap_or_default();
    let before: f64 = gradient.iter().map(|(point, slope)| at(*point).dot(*slope)).sum();
    if before <= 0.0 {
        return Vec::new();
    }
    let tape_sigma = typical(survey.readings.iter().filter(|r| !r.what.is_angle()).map(|r| r.sigma));
    let mut points: Vec<usize> = (0..survey.points.len()).collect();
    // Fixed ones first, then those whose places matter most.
    points.sort_by(|&a, &b| {
        let weight = |i: usize| if survey.points[i].fixed.is_some() { f64::INFINITY } else { at(i).length() };
        weight(b).total_cmp(&weight(a))
    });
    points.truncate(MOST_POINTS);

    let mut found: Vec<(f64, Measure)> = Vec::new();
    let mut try_one = |what: Measure| {
        let is_taken = survey.readings.iter().any(|reading| is_alike(reading.what, what));
        if is_taken {
            return;
        }
        let row = adjustment.row(what);
        let moves = row.slopes[0].dot(at(row.ends[0])) + row.slopes[1].dot(at(row.ends[1]));
        // The costly part is skipped where even a perfect reading would bring nothing.
        let own: Vec<(usize, Vec3)> = row.ends.into_iter().zip(row.slopes).collect();
        let seen = adjustment.sigma(&own);
        let after = before - moves * moves / (tape_sigma * tape_sigma + seen * seen);
        found.push((after.max(0.0), what));
    };
    for (n, &b) in points.iter().enumerate() {
        if survey.points[b].fixed.is_none() {
            for along in [Along::X, Along::Y, Along::Z] {
                try_one(Measure::Offset { of: b, along });
            }
        }
        for &a in points.iter().take(n) {
            if survey.points[a].fixed.is_none() || survey.points[b].fixed.is_none() {
                try_one(Measure::Tape { from: a, to: b, skin: 0.0 });
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let before = before.sqrt();
    found
        .into_iter()
        .map(|(after, what)| (after.sqrt(), what))
        .filter(|(after, _)| *after < before * (1.0 - LEAST_GAIN))
        .take(MOST)
        .map(|(after, what)| AdviceResult {
            kind: what.kind().to_owned(),
            between: Between::of(adjustment, what),
            shaft: shaft.to_owned(),
            sigma_before: before,
            sigma_after: after,
        })
        .collect()
}

/// Between the same points, or of the same point the same way.
fn is_alike(a: Measure, b: Measure) -> bool {
    match (a, b) {
        (Measure::Tape { .. }, Measure::Tape { .. }) => {
            let ([p, q], other) = (a.ends(), b.ends());
            other == [p, q] || other == [q, p]
        }
        (Measure::Offset { along: x, .. }, Measure::Offset { along: y, .. }) => x == y && a.ends() == b.ends(),
        _ => false,
    }
}

/// The middle one of some deviations; the usual one of a tape where there are none.
fn typical(sigmas: impl Iterator<Item = f64>) -> f64 {
    let mut sigmas: Vec<f64> = sigmas.collect();
    sigmas.sort_by(f64::total_cmp);
    sigmas.get(sigmas.len() / 2).copied().unwrap_or(1.5)
}

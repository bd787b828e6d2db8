//! Nonlinear least squares over the network: damped Gauss-Newton steps.
//!
//! Levenberg 1944 and Marquardt 1963 (from memory): the diagonal of the normal
//! equations is raised while a step does not pay, and left alone near the end.

use super::network::{Network, row};
use crate::geometry::Vec3;
use crate::geometry::envelope::{Envelope, Factor, Singular};

/// Pivots under this share of the greatest diagonal entry of their point tell that a point can move with no reading noticing. The share
/// is the square of a sine: 1 mm in a metre, where an error is a thousand times the tape's own.
pub const LEAST_PIVOT: f64 = 1e-6;

/// A step (mm) under which nothing more can be gained: a millionth of what any tape shows.
const SMALL_STEP: f64 = 1e-9;

/// Rounds before it is given up; five are usual.
const ROUNDS: usize = 100;

/// Sum of the squared standardised misfits of the readings in use.
pub fn misfit(network: &Network<'_>, used: &[bool], points: &[Vec3]) -> f64 {
    let readings = network.survey.readings.iter().zip(used).filter(|(_, used)| **used);
    readings
        .filter_map(|(reading, _)| {
            let off = reading.reads? - row(reading.what, &network.level, points).shows;
            Some((off / reading.sigma) * (off / reading.sigma))
        })
        .sum()
}

/// Normal equations at some places, of the readings in use.
pub fn normal(network: &Network<'_>, used: &[bool], points: &[Vec3]) -> (Envelope, Vec<f64>) {
    let readings = network.survey.readings.iter().zip(used).filter(|(_, used)| **used);
    network.normal(readings.filter_map(|(reading, _)| {
        let row = row(reading.what, &network.level, points);
        Some((row, reading.reads? - row.shows, 1.0 / (reading.sigma * reading.sigma)))
    }))
}

/// The places that fit the readings in use best, from a first guess, with the sum of squares left.
pub fn settle(network: &Network<'_>, used: &[bool], mut points: Vec<Vec3>) -> (Vec<Vec3>, f64) {
    let size = points.iter().map(|point| point.length()).fold(1.0, f64::max);
    let mut damping = 1e-4;
    let mut cost = misfit(network, used, &points);
    for _ in 0..ROUNDS {
        let (matrix, right) = normal(network, used, &points);
        let mut settled = false;
        let mut better = false;
        // Each refusal raises the damping tenfold; fifteen span what doubles can tell.
        for _ in 0..15 {
            let Ok(factor) = damped(&matrix, damping) else {
                damping = f64::max(damping * 10.0, 1e-10);
                continue;
            };
            let mut step = right.clone();
            factor.solve(&mut step);
            let length = step.iter().fold(0.0, |most: f64, part| most.max(part.abs()));
            let next = network.moved(&points, &step);
            let next_cost = misfit(network, used, &next);
            settled = length < SMALL_STEP * size.max(1.0).sqrt();
            // The last steps change the sum by its own rounding alone.
            if next_cost <= cost || settled {
                (points, cost, better) = (next, next_cost, true);
                damping = if damping < 1e-7 { 0.0 } else { damping / 10.0 };
                break;
            }
            damping = f64::max(damping * 10.0, 1e-10);
        }
        if settled || !better {
            break;
        }
    }
    (points, cost)
}

fn damped(matrix: &Envelope, damping: f64) -> Result<Factor, Singular> {
    let mut raised = matrix.clone();
    for i in 0..raised.size() {
        let diagonal = raised.get(i, i);
        // A point no reading touches stays where it is.
        raised.add(i, i, damping * diagonal + if diagonal > 0.0 { 0.0 } else { 1.0 });
    }
    raised.factor(1e-14, 1)
}

//! Gauss-Legendre quadrature.

use std::f64::consts::PI;

/// Nodes in −1..1 and weights of the rule with `count` points, exact for polynomials of degree 2·count − 1.
///
/// Newton's iteration on the Legendre recurrence (Abramowitz & Stegun 25.4.29 and 22.7.10, from memory).
pub fn gauss_legendre(count: usize) -> Vec<(f64, f64)> {
    let n = count as f64;
    (0..count)
        .map(|index| {
            let mut x = libm::cos(PI * (index as f64 + 0.75) / (n + 0.5));
            let mut slope = 1.0;
            // Quadratic convergence from a start good to 1/n²: six steps are more than enough.
            for _ in 0..6 {
                let (mut before, mut here) = (1.0, x);
                for k in 2..=count {
                    let k = k as f64;
                    (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
                }
                slope = n * (x * here - before) / (x * x - 1.0);
                x -= here / slope;
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Integral of `f` from `a` to `b` by a rule of [`gauss_legendre`].
pub fn integrate(rule: &[(f64, f64)], a: f64, b: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (middle, half) = (f64::midpoint(a, b), (b - a) / 2.0);
    half * rule.iter().map(|(x, weight)| weight * f(middle + half * x)).sum::<f64>()
}

//! A root between two points where a function has opposite signs.

/// Why no root was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RootError {
    /// The ends are not ordered and finite, or the tolerance is not above zero.
    Interval,
    /// The function has one sign at both ends.
    NotBracketed,
    /// The function is not a number here.
    NotANumber {
        /// Argument.
        at: f64,
    },
}

impl std::fmt::Display for RootError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Interval => write!(f, "the interval or the tolerance is empty"),
            Self::NotBracketed => write!(f, "the function has one sign at both ends"),
            Self::NotANumber { at } => write!(f, "the function is not a number at {at}"),
        }
    }
}

impl std::error::Error for RootError {}

/// A root of `f` in `low..=high`, to within `tolerance` (of the argument).
///
/// The method of Oliveira and Takahashi (ITP), doi:10.1145/3423597: secant
/// steps held close enough to the middle that at most one evaluation more
/// than bisection is spent (their n₀ = 1), with κ₁ = 0.2/(high − low), κ₂ = 2.
pub fn find(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Result<f64, RootError> {
    if !(low <= high && (high - low).is_finite() && tolerance > 0.0) {
        return Err(RootError::Interval);
    }
    let mut value = |x: f64| {
        let y = f(x);
        if y.is_nan() { Err(RootError::NotANumber { at: x }) } else { Ok(y) }
    };
    let (mut a, mut b) = (low, high);
    let (ya, yb) = (value(a)?, value(b)?);
    if ya == 0.0 {
        return Ok(a);
    }
    if yb == 0.0 {
        return Ok(b);
    }
    if (ya > 0.0) == (yb > 0.0) {
        return Err(RootError::NotBracketed);
    }
    // Turned so that f rises from a to b.
    let rise = if ya < 0.0 { 1.0 } else { -1.0 };
    let (mut ya, mut yb) = (ya * rise, yb * rise);
    // Rounding of the argument bounds what can be asked for.
    let epsilon = (tolerance / 2.0).max(4.0 * f64::EPSILON * low.abs().max(high.abs()));
    let kappa = 0.2 / (b - a);
    let mut reach = epsilon;
    while reach < b - a {
        reach *= 2.0;
    }
    while b - a > 2.0 * epsilon {
        let middle = f64::midpoint(a, b);
        let secant = (yb * a - ya * b) / (yb - ya);
        let toward = if middle >= secant { 1.0 } else { -1.0 };
        // Not under the tolerance, or the last steps would all fall on one side of the root.
        let push = (kappa * (b - a) * (b - a)).max(epsilon);
        let truncated =
            if secant.is_finite() && push <= (middle - secant).abs() { secant + toward * push } else { middle };
        let radius = (reach - (b - a) / 2.0).max(0.0);
        let x = if (truncated - middle).abs() <= radius { truncated } else { middle - toward * radius };
        let y = rise * value(x)?;
        if y > 0.0 {
            (b, yb) = (x, y);
        } else if y < 0.0 {
            (a, ya) = (x, y);
        } else {
            return Ok(x);
        }
        reach /= 2.0;
    }
    Ok(f64::midpoint(a, b))
}

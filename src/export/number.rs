//! Numbers of SVG and PDF: fixed decimals, trailing zeros cut, no −0, no exponent.

use std::fmt::Write as _;

/// A number that cannot be written: not finite, or 1e12 or more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotPrintable(pub f64);

impl std::fmt::Display for NotPrintable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "a number to be drawn is {}; drawn numbers are finite and under 1e12", self.0)
    }
}

impl std::error::Error for NotPrintable {}

/// Largest size: twelve digits before the point and six after are still exact to the last in an f64
/// of this range to within its own rounding, and no sheet comes near it.
const LARGEST: f64 = 1e12;

/// Appends `value` with at most `decimals` decimals.
pub fn push(out: &mut String, value: f64, decimals: usize) -> Result<(), NotPrintable> {
    if !value.is_finite() || value.abs() >= LARGEST {
        return Err(NotPrintable(value));
    }
    let from = out.len();
    // Writing to a string cannot fail.
    let _ = write!(out, "{value:.decimals$}");
    if decimals > 0 {
        out.truncate(out.trim_end_matches('0').trim_end_matches('.').len());
    }
    if out.get(from..) == Some("-0") {
        out.truncate(from);
        out.push('0');
    }
    Ok(())
}

/// `value` with at most `decimals` decimals.
pub fn print(value: f64, decimals: usize) -> Result<String, NotPrintable> {
    let mut out = String::new();
    push(&mut out, value, decimals)?;
    Ok(out)
}

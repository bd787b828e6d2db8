//! Lengths as drawings show them: both units, the one of `build.units` first.

use super::dimension::Stacked;
use crate::quantity;
use crate::spec::types::{Build, Unit};

/// Decimals of a millimetre on drawings: the last is finer than any tolerance of the trade.
const PLACES: usize = 2;

fn ordered(build: &Build, inch: String, metric: String) -> [String; 2] {
    match build.units {
        Unit::Inch => [inch, metric],
        Unit::Millimetre => [metric, inch],
    }
}

/// Both units, first and second.
pub(super) fn pair(build: &Build, mm: f64) -> [String; 2] {
    ordered(build, quantity::decimal_inch(mm), quantity::millimetres(mm, PLACES))
}

/// For a dimension, with words before the number such as a diameter sign.
pub(super) fn stacked(build: &Build, mm: f64, before: &str) -> Stacked {
    let [first, second] = pair(build, mm);
    Stacked { first: format!("{before}{first}"), second: format!("[{before}{second}]") }
}

/// For a dimension that is taped: the nearest mark, `~` before it where it is not exact, over the decimals in mm.
pub(super) fn stacked_tape(build: &Build, mm: f64) -> Stacked {
    let second = format!("[{}]", quantity::millimetres(mm, PLACES));
    Stacked { first: quantity::tape(mm, build.tape_step).to_string(), second }
}

/// For a dimension with its tolerance, ±.
pub(super) fn toleranced(build: &Build, mm: f64, tolerance: f64) -> Stacked {
    let plus_minus = |length: String, tolerance: &str| {
        let (number, unit) = length.split_once(' ').unwrap_or((&length, ""));
        format!("{number} ±{tolerance} {unit}").trim_end().to_owned()
    };
    let number = |text: String| text.split(' ').next().unwrap_or_default().to_owned();
    let inch = plus_minus(quantity::decimal_inch(mm), &number(quantity::decimal_inch(tolerance)));
    let metric = plus_minus(quantity::millimetres(mm, PLACES), &number(quantity::millimetres(tolerance, PLACES)));
    let [first, second] = ordered(build, inch, metric);
    Stacked { first, second: format!("[{second}]") }
}

/// In a sentence: `18.976 in (482 mm)`.
pub(super) fn both(build: &Build, mm: f64) -> String {
    quantity::both_units(mm, build.units)
}

/// In a table: the two units on two lines.
pub(super) fn two_lines(build: &Build, mm: f64) -> String {
    let [first, second] = pair(build, mm);
    format!("{first}\n{second}")
}

/// For the tape: `18 31/32 in` where a mark is that near, `about` before it where it is not exact.
pub(super) fn taped(build: &Build, mm: f64) -> String {
    let tape = quantity::tape(mm, build.tape_step);
    if tape.is_exact() { tape.text } else { format!("about {}", tape.text) }
}

/// For the tape, in a sentence: the mark where it is exact, else the decimals; then the other unit.
pub(super) fn tape_and_both(build: &Build, mm: f64) -> String {
    let tape = quantity::tape(mm, build.tape_step);
    let [first, second] = pair(build, mm);
    if tape.is_exact() { format!("{} ({second})", tape.text) } else { format!("{first} ({second})") }
}

/// An area, a section modulus or a second moment, given in mm to that power: three significant digits, two lines.
pub(super) fn powered(build: &Build, value: f64, power: u32) -> String {
    let sign = match power {
        2 => "²",
        3 => "³",
        _ => "⁴",
    };
    let raised = |unit: f64| (0..power).map(|_| unit).product::<f64>();
    // Centimetres keep the digits few enough to read.
    let inch = format!("{} in{sign}", quantity::significant(value / raised(quantity::INCH), 3));
    let metric = format!("{} cm{sign}", quantity::significant(value / raised(10.0), 3));
    ordered(build, inch, metric).join("\n")
}

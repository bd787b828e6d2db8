//! What people read. Never −0; a number that is not finite reads [`NOT_KNOWN`].

use std::fmt;

use super::{FOOT_POUND, INCH, Unit};

/// What stands where a number is not finite.
pub const NOT_KNOWN: &str = "not known";

/// With that many decimals; never −0.
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NOT_KNOWN.into();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| matches!(b, b'0' | b'.')) => rest.into(),
        _ => text,
    }
}

/// Without the zeros at the end of its decimals.
fn trimmed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').into() } else { text }
}

fn with_unit(value: f64, number: &str, unit: &str) -> String {
    if value.is_finite() { format!("{number} {unit}") } else { NOT_KNOWN.into() }
}

/// `19.05 mm` to that many decimals, zeros at the end left off as metric drawings do (ISO 129-1, from memory).
pub fn millimetres(mm: f64, decimals: usize) -> String {
    with_unit(mm, &trimmed(mm, decimals), "mm")
}

/// `0.750 in`: decimal inch, three places as inch drawings do (common practice, no source).
pub fn decimal_inch(mm: f64) -> String {
    with_unit(mm, &fixed(mm / INCH, 3), "in")
}

/// `0.750 in (19.05 mm)`, or the other way round.
pub fn both_units(mm: f64, first: Unit) -> String {
    if !mm.is_finite() {
        return NOT_KNOWN.into();
    }
    let (inch, metric) = (decimal_inch(mm), millimetres(mm, 2));
    match first {
        Unit::Inch => format!("{inch} ({metric})"),
        Unit::Millimetre => format!("{metric} ({inch})"),
    }
}

/// The mark of a tape nearest to a length.
#[derive(Debug, Clone, PartialEq)]
pub struct Tape {
    /// Such as `19 3/32 in` or `485 mm`.
    pub text: String,
    /// Mark less length (mm); at most half the step.
    pub off: f64,
}

impl Tape {
    /// Within 0.005 mm, the last place of the decimals printed beside it.
    pub fn is_exact(&self) -> bool {
        self.off.abs() < 0.005
    }
}

/// `~` stands before a mark that is not exact.
impl fmt::Display for Tape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", if self.is_exact() || !self.off.is_finite() { "" } else { "~" }, self.text)
    }
}

/// The nearest mark on a tape of that `step` (mm): a fraction of an inch where
/// the step is one over a whole number of inches, else a multiple of it in mm.
pub fn tape(mm: f64, step: f64) -> Tape {
    /// Finest inch fraction a rule carries is 1/100; anything finer is a metric step.
    const FINEST: f64 = 128.0;
    if !mm.is_finite() || !step.is_finite() || step <= 0.0 {
        return Tape { text: NOT_KNOWN.into(), off: f64::NAN };
    }
    let parts = (INCH / step).round();
    let is_inch = (1.0..=FINEST).contains(&parts) && (parts * step - INCH).abs() < 1e-6;
    if !is_inch {
        let mark = (mm / step).round() * step;
        return Tape { text: millimetres(mark, 2), off: mark - mm };
    }
    let marks = (mm * parts / INCH).round();
    let (whole, part) = ((marks.abs() / parts).floor(), marks.abs() % parts);
    let common = divisor(part as u64, parts as u64) as f64;
    let sign = if marks < 0.0 { "-" } else { "" };
    let text = match (whole > 0.0, part > 0.0) {
        (true, true) => format!("{sign}{whole} {}/{} in", part / common, parts / common),
        (false, true) => format!("{sign}{}/{} in", part / common, parts / common),
        (_, false) => format!("{sign}{whole} in"),
    };
    Tape { text, off: marks * INCH / parts - mm }
}

fn divisor(a: u64, b: u64) -> u64 {
    if b == 0 { a.max(1) } else { divisor(b, a % b) }
}

/// `19.094 in (~19 3/32 in)`: decimal inch, then the tape's nearest mark.
/// The mark is in inches even where the user's own tape is metric; then it is to 1/32 in.
pub fn inch_and_tape(mm: f64, step: f64) -> String {
    let own = tape(mm, step);
    let mark = if own.text.ends_with("in") { own } else { tape(mm, INCH / 32.0) };
    if mm.is_finite() { format!("{} ({mark})", decimal_inch(mm)) } else { NOT_KNOWN.into() }
}

/// `22.7°` to that many decimals, from degrees.
pub fn degrees(degrees: f64, decimals: usize) -> String {
    if degrees.is_finite() { format!("{}°", fixed(degrees, decimals)) } else { NOT_KNOWN.into() }
}

/// `60 N m (44.3 ft lbf)`.
pub fn torque(newton_metres: f64) -> String {
    if !newton_metres.is_finite() {
        return NOT_KNOWN.into();
    }
    format!("{} N m ({} ft lbf)", trimmed(newton_metres, 1), trimmed(newton_metres / FOOT_POUND, 1))
}

/// `96 N (22 lbf)`; a pound-force is 4.4482216152605 N by definition.
pub fn force(newtons: f64) -> String {
    if !newtons.is_finite() {
        return NOT_KNOWN.into();
    }
    format!("{} N ({} lbf)", fixed(newtons, 0), fixed(newtons / 4.448_221_615_260_5, 0))
}

/// To that many significant digits, without exponent: `213`, `73.6`, `0.00274`.
pub fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return NOT_KNOWN.into();
    }
    let places = digits.max(1) - 1;
    let scientific = format!("{value:.places$e}");
    let (number, exponent) = scientific.split_once('e').unwrap_or((&scientific, "0"));
    // An f64's exponent lies within ±324, far inside what these hold.
    let exponent = exponent.parse::<i32>().unwrap_or(0);
    let decimals = i32::try_from(places).ok().and_then(|p| usize::try_from(p - exponent).ok()).unwrap_or(0);
    if decimals > 0 {
        return fixed(value, decimals);
    }
    // Digits past the significant ones are zeros, not noise.
    let rounded = format!("{number}e{exponent}").parse().unwrap_or(value);
    fixed(rounded, 0)
}

/// `213 MPa`: three significant digits.
pub fn stress(mpa: f64) -> String {
    with_unit(mpa, &significant(mpa, 3), "MPa")
}

/// `12.5 %` from 0.125.
pub fn percent(ratio: f64) -> String {
    with_unit(ratio, &fixed(ratio * 100.0, 1), "%")
}

/// `2.90`: a safety factor or a speed ratio.
pub fn factor(value: f64) -> String {
    fixed(value, 2)
}

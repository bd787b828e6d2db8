//! Length, angle, torque: what people write is parsed here, what people read is printed here.
//!
//! Inside the program a length is mm, an angle rad, a torque N m, all plain
//! `f64`. Written forms are those of the spec: `12.375 in`, `12 3/8 in`,
//! `12-3/8 in`, `12⅜"`, `1 ft 2 1/2 in`, `330 mm`, `30 deg`, `44 ft lbf`.
//! A number is kept as a ratio of two whole numbers until its unit is known,
//! so that a length in inches reaches millimetres in one correctly rounded division.

use std::fmt;

mod print;

pub use print::{
    NOT_KNOWN, Tape, both_units, decimal_inch, degrees, factor, fixed, force, inch_and_tape, millimetres, percent,
    significant, stress, tape, torque,
};

/// Millimetres in an inch. Exact: international yard and pound agreement of 1959; NIST SP 811, App. B (from memory).
pub const INCH: f64 = 25.4;

/// Newtons in a pound-force. Exact: 0.45359237 kg × 9.80665 m/s²; NIST SP 811, App. B (from memory).
pub const POUND_FORCE: f64 = 4.448_221_615_260_5;

/// N m in a foot pound-force: 1.355 817 948 3 to the digits of NIST SP 811, App. B (from memory).
pub const FOOT_POUND: f64 = POUND_FORCE * 0.3048;

/// Largest length taken (mm): 100 m. More is a slip of unit or of the decimal point.
pub const LENGTH_MAX: f64 = 100_000.0;

/// Largest angle taken (deg): a full turn.
pub const ANGLE_MAX: f64 = 360.0;

/// Largest torque taken (N m): a thousand times what a lock must hold (300 N m, UN R116, from memory), so a slip of unit.
pub const TORQUE_MAX: f64 = 300_000.0;

/// Longest text taken as one quantity, in characters; it also bounds the digits of a number.
const TEXT_MAX: usize = 60;

/// Inch or millimetre.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Inch.
    Inch,
    /// Millimetre.
    Millimetre,
}

impl Unit {
    /// As the spec writes it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
        }
    }

    /// Its length in mm.
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Inch => INCH,
            Self::Millimetre => 1.0,
        }
    }

    const fn ratio(self) -> Ratio {
        match self {
            Self::Inch => INCH_RATIO,
            Self::Millimetre => Ratio { num: 1.0, den: 1.0 },
        }
    }
}

/// What a text was read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A torque.
    Torque,
}

impl Quantity {
    const fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Torque => "a torque",
        }
    }

    const fn units(self) -> &'static str {
        match self {
            Self::Length => "mm, cm, m, in (or \"), ft (or ')",
            Self::Angle => "deg (or °), rad",
            Self::Torque => "N m, ft lbf, in lbf",
        }
    }

    const fn example(self) -> &'static str {
        match self {
            Self::Length => "\"12 3/8 in\", \"12.375 in\" or \"314.3 mm\"",
            Self::Angle => "\"30 deg\" or \"0.5 rad\"",
            Self::Torque => "\"60 N m\" or \"44 ft lbf\"",
        }
    }
}

/// Why a text is no quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// Nothing written.
    Empty,
    /// Longer than any quantity.
    TooLong,
    /// No number where one must stand; the rest of the text.
    NoNumber(String),
    /// A comma inside a number.
    DecimalComma,
    /// A fraction over zero.
    ZeroDenominator,
    /// A fraction of 1 or more behind a whole number.
    ImproperFraction(String),
    /// A unit not known.
    UnknownUnit(String),
    /// No unit, and none is taken for granted.
    NoUnit,
    /// Feet, then something other than inches; or two numbers without feet.
    Mixed(String),
    /// NaN or infinite.
    NotFinite,
    /// Beyond the largest magnitude.
    TooLarge,
}

/// A text or number that is no quantity: what was found and what is allowed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuantityError {
    /// What it was read as.
    pub quantity: Quantity,
    /// What was found.
    pub found: String,
    /// What is wrong with it.
    pub fault: Fault,
}

impl QuantityError {
    /// One thing to do.
    pub fn help(&self) -> String {
        let example = self.quantity.example();
        match &self.fault {
            Fault::DecimalComma => "write a decimal point, as in 12.5".into(),
            Fault::UnknownUnit(_) => format!("use one of {}", self.quantity.units()),
            Fault::NoUnit => format!("add its unit, such as {example}"),
            Fault::ZeroDenominator => "write the fraction over 2, 4, 8, 16, 32 or 64, as in 3/8".into(),
            Fault::ImproperFraction(_) => "write the whole number and a fraction below 1, as in 13 3/8".into(),
            Fault::Mixed(_) => "write feet then inches, as in \"1 ft 2 1/2 in\", or one number with its unit".into(),
            Fault::NotFinite => format!("write a plain number, or a text such as {example}"),
            Fault::TooLarge => "check the decimal point and the unit".into(),
            Fault::Empty | Fault::TooLong | Fault::NoNumber(_) => {
                format!("write {} such as {example}", self.quantity.noun())
            }
        }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (noun, found) = (self.quantity.noun(), &self.found);
        match &self.fault {
            Fault::Empty => write!(f, "empty text where {noun} must stand"),
            Fault::TooLong => write!(f, "text of over {TEXT_MAX} characters where {noun} must stand"),
            Fault::NoNumber(rest) if rest.is_empty() => write!(f, "`{found}` ends where a number must stand"),
            Fault::NoNumber(rest) => write!(f, "`{found}` has `{rest}` where a number must stand"),
            Fault::DecimalComma => write!(f, "`{found}` has a comma; {noun} takes a decimal point"),
            Fault::ZeroDenominator => write!(f, "`{found}` has a fraction over zero"),
            Fault::ImproperFraction(part) => {
                write!(f, "`{found}` has `{part}` behind a whole number; only a fraction below 1 is allowed there")
            }
            Fault::UnknownUnit(unit) => {
                write!(f, "`{found}` has the unknown unit `{unit}`; {noun} is in {}", self.quantity.units())
            }
            Fault::NoUnit => write!(f, "`{found}` has no unit; {noun} is in {}", self.quantity.units()),
            Fault::Mixed(rest) => write!(f, "`{found}` goes on with `{rest}`; only inches may follow, and only feet"),
            Fault::NotFinite => write!(f, "`{found}` is not a finite number"),
            Fault::TooLarge => {
                let most = match self.quantity {
                    Quantity::Length => "100 m (3937 in)",
                    Quantity::Angle => "360 deg",
                    Quantity::Torque => "300000 N m",
                };
                write!(
                    f,
                    "`{found}` is larger than the largest {}, {most}",
                    &noun[noun.find(' ').map_or(0, |i| i + 1)..]
                )
            }
        }
    }
}

impl std::error::Error for QuantityError {}

/// A length (mm) from a text; a text without a unit is in `bare`.
pub fn parse_length(text: &str, bare: Unit) -> Result<f64, QuantityError> {
    let value = read(text, Quantity::Length, |scan| length(scan, bare))?;
    within(value, LENGTH_MAX, Quantity::Length, text)
}

/// A length (mm) from a bare number in `unit`. The same as its shortest decimal would give as text.
pub fn length_of_number(number: f64, unit: Unit) -> Result<f64, QuantityError> {
    let text = number.to_string();
    let value = match Scan::new(&text).signed(|scan| Ok(scan.magnitude()?.times(unit.ratio()))) {
        Ok(value) if text.len() <= TEXT_MAX => value,
        _ => number * unit.millimetres(),
    };
    // Nobody counts sixty zeros.
    let found = if text.len() > 20 { format!("{number:e}") } else { text };
    within(value, LENGTH_MAX, Quantity::Length, &found)
}

/// An angle (rad) from a text; a text without a unit is in degrees.
pub fn parse_angle(text: &str) -> Result<f64, QuantityError> {
    let degrees = read(text, Quantity::Angle, |scan| {
        let number = scan.magnitude()?;
        let unit = scan.rest();
        match unit.to_lowercase().trim_end_matches('.') {
            "" | "°" | "º" | "deg" | "degree" | "degrees" => Ok(number),
            "rad" | "radian" | "radians" => {
                Ok(Ratio { num: number.num * 180.0, den: number.den * std::f64::consts::PI })
            }
            _ => Err(Fault::UnknownUnit(unit.into())),
        }
    })?;
    Ok(within(degrees, ANGLE_MAX, Quantity::Angle, text)?.to_radians())
}

/// An angle (rad) from a bare number of degrees.
pub fn angle_of_number(degrees: f64) -> Result<f64, QuantityError> {
    Ok(within(degrees, ANGLE_MAX, Quantity::Angle, &degrees.to_string())?.to_radians())
}

/// A torque (N m) from a text; its unit must be written.
pub fn parse_torque(text: &str) -> Result<f64, QuantityError> {
    let value = read(text, Quantity::Torque, |scan| {
        let number = scan.magnitude()?;
        let unit = scan.rest();
        let letters: String = unit.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
        let factor = match letters.as_str() {
            "" if unit.is_empty() => return Err(Fault::NoUnit),
            "nm" => 1.0,
            "ftlbf" | "ftlb" | "ftlbs" | "lbfft" | "lbft" | "lbsft" => FOOT_POUND,
            "inlbf" | "inlb" | "inlbs" | "lbfin" | "lbin" | "lbsin" => FOOT_POUND / 12.0,
            _ => return Err(Fault::UnknownUnit(unit.into())),
        };
        Ok(Ratio { num: number.num * factor, den: number.den })
    })?;
    within(value, TORQUE_MAX, Quantity::Torque, text)
}

fn read(
    text: &str,
    quantity: Quantity,
    rule: impl FnOnce(&mut Scan<'_>) -> Result<Ratio, Fault>,
) -> Result<f64, QuantityError> {
    let trimmed = text.trim();
    let value = if trimmed.is_empty() {
        Err(Fault::Empty)
    } else if trimmed.chars().count() > TEXT_MAX {
        Err(Fault::TooLong)
    } else {
        Scan::new(trimmed).signed(rule)
    };
    value.map_err(|fault| QuantityError { quantity, found: shown(text), fault })
}

/// Kept short, and free of control characters, for a message.
fn shown(text: &str) -> String {
    text.trim().chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).take(TEXT_MAX).collect()
}

fn within(value: f64, most: f64, quantity: Quantity, found: &str) -> Result<f64, QuantityError> {
    let fault = if !value.is_finite() {
        Fault::NotFinite
    } else if value.abs() > most {
        Fault::TooLarge
    } else {
        // Adding zero turns −0 into 0.
        return Ok(value + 0.0);
    };
    Err(QuantityError { quantity, found: shown(found), fault })
}

fn length(scan: &mut Scan<'_>, bare: Unit) -> Result<Ratio, Fault> {
    let first = scan.magnitude()?;
    let unit = scan.unit();
    let Some(factor) = length_unit(unit, bare) else { return Err(Fault::UnknownUnit(unit.into())) };
    let feet = factor == FOOT_RATIO;
    if scan.rest().is_empty() {
        return Ok(first.times(factor));
    }
    if !feet {
        return Err(Fault::Mixed(scan.rest().into()));
    }
    scan.eat(is_hyphen);
    let before = scan.rest().to_owned();
    let second = scan.magnitude()?;
    let unit = scan.unit();
    let inches = !unit.is_empty() && length_unit(unit, bare) == Some(INCH_RATIO);
    if !inches || !scan.rest().is_empty() {
        return Err(Fault::Mixed(before));
    }
    Ok(first.times(FOOT_RATIO).plus(second.times(INCH_RATIO)))
}

const INCH_RATIO: Ratio = Ratio { num: 254.0, den: 10.0 };
const FOOT_RATIO: Ratio = Ratio { num: 3048.0, den: 10.0 };

/// Millimetres in a unit of length; the empty unit is `bare`.
fn length_unit(unit: &str, bare: Unit) -> Option<Ratio> {
    let whole = |num| Some(Ratio { num, den: 1.0 });
    match unit.to_lowercase().trim_end_matches('.') {
        "" => Some(bare.ratio()),
        "mm" => whole(1.0),
        "cm" => whole(10.0),
        "m" => whole(1000.0),
        "in" | "inch" | "inches" | "\"" | "″" | "”" | "''" | "′′" => Some(INCH_RATIO),
        "ft" | "foot" | "feet" | "'" | "′" | "’" => Some(FOOT_RATIO),
        _ => None,
    }
}

/// A number as a quotient. Exact while both parts stay whole and under 2⁵³, and
/// then its one division is correctly rounded; beyond, good to a few units in the last place.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ratio {
    num: f64,
    den: f64,
}

impl Ratio {
    fn times(self, other: Self) -> Self {
        Self { num: self.num * other.num, den: self.den * other.den }
    }

    fn plus(self, other: Self) -> Self {
        Self { num: self.num * other.den + other.num * self.den, den: self.den * other.den }
    }

    fn value(self) -> f64 {
        self.num / self.den
    }
}

/// What is left of a text.
struct Scan<'t> {
    rest: &'t str,
}

impl<'t> Scan<'t> {
    fn new(text: &'t str) -> Self {
        Self { rest: text.trim() }
    }

    fn rest(&mut self) -> &'t str {
        self.rest = self.rest.trim_start();
        self.rest
    }

    /// Takes one character where it is of that kind.
    fn eat(&mut self, kind: impl Fn(char) -> bool) -> Option<char> {
        let c = self.rest().chars().next().filter(|c| kind(*c))?;
        self.rest = &self.rest[c.len_utf8()..];
        Some(c)
    }

    fn take_while(&mut self, kind: impl Fn(char) -> bool) -> &'t str {
        let end = self.rest.find(|c| !kind(c)).unwrap_or(self.rest.len());
        let (taken, rest) = self.rest.split_at(end);
        self.rest = rest;
        taken
    }

    /// A sign holds for the whole text.
    fn signed(mut self, rule: impl FnOnce(&mut Self) -> Result<Ratio, Fault>) -> Result<f64, Fault> {
        let negative = self.eat(|c| matches!(c, '+' | '-' | '\u{2212}')).is_some_and(|c| c != '+');
        let value = rule(&mut self)?.value();
        Ok(if negative { -value } else { value })
    }

    /// A unit of length: letters, or quote marks.
    fn unit(&mut self) -> &'t str {
        self.rest();
        if self.rest.starts_with(|c: char| c.is_alphabetic()) {
            self.take_while(|c| c.is_alphabetic() || c == '.')
        } else {
            self.take_while(|c| !c.is_whitespace() && !c.is_alphanumeric() && !is_hyphen(c))
        }
    }

    /// `12`, `12.375`, `.5`, `3/8`, `12 3/8`, `12-3/8`, `⅜`, `12⅜`.
    fn magnitude(&mut self) -> Result<Ratio, Fault> {
        if let Some(fraction) = self.vulgar() {
            return Ok(fraction);
        }
        let (first, decimal) = self.decimal()?;
        if decimal {
            return Ok(first);
        }
        if self.eat(is_slash).is_some() {
            return self.over(first);
        }
        let hyphen = Scan { rest: self.rest }.eat(is_hyphen).is_some();
        let mut ahead = Scan { rest: self.rest };
        if hyphen {
            ahead.eat(is_hyphen);
        }
        let start = ahead.rest();
        let fraction = match ahead.vulgar() {
            Some(fraction) => fraction,
            None if start.starts_with(|c: char| c.is_ascii_digit() || c == '.') => {
                let (numerator, decimal) = ahead.decimal()?;
                if decimal || ahead.eat(is_slash).is_none() {
                    return Err(Fault::Mixed(start.into()));
                }
                ahead.over(numerator)?
            }
            None if hyphen => return Err(Fault::NoNumber(start.into())),
            None => return Ok(first),
        };
        if fraction.num >= fraction.den {
            let written = start.strip_suffix(ahead.rest).unwrap_or(start);
            return Err(Fault::ImproperFraction(written.trim_end().into()));
        }
        self.rest = ahead.rest;
        Ok(first.plus(fraction))
    }

    /// Digits with at most one point, and whether there was a point.
    fn decimal(&mut self) -> Result<(Ratio, bool), Fault> {
        let start = self.rest();
        let whole = self.take_while(|c| c.is_ascii_digit());
        let mut part = "";
        let point = self.rest.starts_with('.');
        if point {
            self.rest = &self.rest[1..];
            part = self.take_while(|c| c.is_ascii_digit());
        }
        if whole.is_empty() && part.is_empty() {
            return Err(Fault::NoNumber(start.into()));
        }
        if self.rest.starts_with(',') {
            return Err(Fault::DecimalComma);
        }
        let mut ratio = Ratio { num: 0.0, den: 1.0 };
        ratio.num = format!("{whole}{part}").parse().map_err(|_| Fault::NoNumber(start.into()))?;
        for _ in part.bytes() {
            ratio.den *= 10.0;
        }
        Ok((ratio, point))
    }

    /// The denominator of a fraction.
    fn over(&mut self, numerator: Ratio) -> Result<Ratio, Fault> {
        let start = self.rest();
        let (denominator, decimal) = self.decimal()?;
        if decimal {
            return Err(Fault::NoNumber(start.into()));
        }
        if denominator.num == 0.0 {
            return Err(Fault::ZeroDenominator);
        }
        Ok(Ratio { num: numerator.num, den: denominator.num })
    }

    fn vulgar(&mut self) -> Option<Ratio> {
        let c = self.rest().chars().next()?;
        let (num, den) = match c {
            '½' => (1, 2),
            '¼' => (1, 4),
            '¾' => (3, 4),
            '⅛' => (1, 8),
            '⅜' => (3, 8),
            '⅝' => (5, 8),
            '⅞' => (7, 8),
            '⅓' => (1, 3),
            '⅔' => (2, 3),
            '⅕' => (1, 5),
            '⅖' => (2, 5),
            '⅗' => (3, 5),
            '⅘' => (4, 5),
            '⅙' => (1, 6),
            '⅚' => (5, 6),
            '⅒' => (1, 10),
            _ => return None,
        };
        self.rest = &self.rest[c.len_utf8()..];
        Some(Ratio { num: f64::from(num), den: f64::from(den) })
    }
}

/// The shop's hyphen between whole number and fraction, or between feet and inches.
fn is_hyphen(c: char) -> bool {
    matches!(c, '-' | '\u{2010}' | '\u{2011}' | '\u{2013}')
}

fn is_slash(c: char) -> bool {
    matches!(c, '/' | '\u{2044}' | '\u{2215}')
}

//! Readings in the words of the shop.

use crate::quantity::{self, INCH, Unit};
use crate::spec::types::{Measure, Reading, Survey, View};

/// How lengths are written: the unit of the spec and the marks of its tape.
#[derive(Debug, Clone, Copy)]
pub struct Words {
    /// Unit of bare numbers.
    pub units: Unit,
    /// Finest mark (mm).
    pub step: f64,
}

impl Words {
    /// `31 3/8 in` to the tape's nearest mark, or `797 mm`; finer where the number is.
    pub fn length(&self, mm: f64) -> String {
        let mark = quantity::tape(mm, self.step);
        if mark.text.ends_with("in") == (self.units == Unit::Inch) {
            return mark.text;
        }
        match self.units {
            Unit::Inch => quantity::tape(mm, INCH / 32.0).text,
            Unit::Millimetre => quantity::millimetres(mm, 1),
        }
    }

    /// A small length such as a sigma, to two digits: `0.06 in`, `1.5 mm`.
    pub fn small(&self, mm: f64) -> String {
        match self.units {
            Unit::Inch => format!("{} in", quantity::fixed(mm / INCH, 3)),
            Unit::Millimetre => format!("{} mm", quantity::fixed(mm, 1)),
        }
    }

    /// What a reading shows: a length or an angle.
    pub fn reading(&self, what: Measure, value: f64) -> String {
        if what.is_angle() { quantity::degrees(value.to_degrees(), 1) } else { self.length(value) }
    }
}

/// `tape "A" to "column end"`, `height (z) of "column end"`, `slope "a" to "b", side view`.
pub fn name(survey: &Survey, what: Measure) -> String {
    let point = |i: usize| survey.points.get(i).map_or("", |point| point.name.as_str());
    match what {
        Measure::Tape { from, to, .. } => format!("tape \"{}\" to \"{}\"", point(from), point(to)),
        Measure::Offset { of, along } => format!("offset along {} of \"{}\"", along.word(), point(of)),
        Measure::Slope { from, to, view } => {
            let seen = match view {
                View::Side => "side view",
                View::Plan => "plan view",
                View::True => "on the line itself",
            };
            format!("slope \"{}\" to \"{}\", {seen}", point(from), point(to))
        }
    }
}

/// `"A", "B" and "C"`.
pub fn list(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
        None => String::new(),
    }
}

/// Name and value: `tape "A" to "column end", 31 3/8 in`.
pub fn read(survey: &Survey, reading: &Reading, words: Words) -> String {
    let name = name(survey, reading.what);
    reading.reads.map_or(name.clone(), |reads| format!("{name}, {}", words.reading(reading.what, reads)))
}

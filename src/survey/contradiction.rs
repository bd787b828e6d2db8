//! Readings that cannot be: found before anything is adjusted, for no adjustment means anything with them.

use std::collections::BTreeMap;

use super::words::{self, Words};
use crate::diagnostic::Diagnostic;
use crate::quantity::{INCH, degrees};
use crate::spec::types::{Measure, Reading, Survey};

/// Two readings of one thing further apart than this many standard deviations of their difference contradict each
/// other: one pair of 16 000 does so by chance.
const CONTRADICTION: f64 = 4.0;

/// Three tapes that miss a triangle by more than this many standard deviations cannot be.
const NO_TRIANGLE: f64 = 6.0;

/// What a length is multiplied by when its unit was forgotten, and what was meant.
const SLIPS: [(f64, &str); 6] = [
    (INCH, "inches"),
    (1.0 / INCH, "millimetres"),
    (10.0, "centimetres"),
    (1.0 / 10.0, "a tenth of it"),
    (12.0, "feet"),
    (1.0 / 12.0, "a twelfth of it"),
];

/// A survey has a few marks; more than these would make too many pairs to look at.
const MOST_MARKS: usize = 100;

/// Every error that shows without adjusting.
pub fn contradictions(survey: &Survey, words: Words) -> Vec<Diagnostic> {
    let mut errors = missing(survey);
    errors.extend(duplicates(survey, words));
    errors.extend(triangles(survey, words));
    errors
}

/// Readings still to be taken.
fn missing(survey: &Survey) -> Vec<Diagnostic> {
    let open = survey.readings.iter().filter(|reading| reading.reads.is_none());
    open.map(|reading| {
        let found = format!("the {} has no `reads` yet", words::name(survey, reading.what));
        Diagnostic::error("not-read-yet", found)
            .at(Some(reading.place.clone()))
            .help("take it and write reads = \"..\", or take the reading out")
    })
    .collect()
}

/// What is measured, however the ends are named.
fn same(a: Measure, b: Measure) -> bool {
    let crosswise = |a: [usize; 2], b: [usize; 2]| a == b || a == [b[1], b[0]];
    match (a, b) {
        (Measure::Tape { skin: s, .. }, Measure::Tape { skin: t, .. }) => {
            s.to_bits() == t.to_bits() && crosswise(a.ends(), b.ends())
        }
        (Measure::Slope { view: v, .. }, Measure::Slope { view: w, .. }) => v == w && crosswise(a.ends(), b.ends()),
        (Measure::Offset { along: x, .. }, Measure::Offset { along: y, .. }) => x == y && a.ends() == b.ends(),
        _ => false,
    }
}

/// One thing read twice with answers too far apart.
fn duplicates(survey: &Survey, words: Words) -> Vec<Diagnostic> {
    let mut by_ends: BTreeMap<[usize; 2], Vec<&Reading>> = BTreeMap::new();
    let mut errors = Vec::new();
    for reading in &survey.readings {
        let [a, b] = reading.what.ends();
        let earlier = by_ends.entry([a.min(b), a.max(b)]).or_default();
        for other in earlier.iter().filter(|other| same(other.what, reading.what)) {
            let (Some(first), Some(second)) = (other.reads, reading.reads) else { continue };
            let sigma = (other.sigma * other.sigma + reading.sigma * reading.sigma).sqrt();
            if (first - second).abs() <= CONTRADICTION * sigma {
                continue;
            }
            let apart = if reading.what.is_angle() {
                degrees((first - second).abs().to_degrees(), 1)
            } else {
                words.length((first - second).abs())
            };
            let found = format!(
                "the {} reads {} here and {} before: {apart} apart, more than chance allows",
                words::name(survey, reading.what),
                words.reading(reading.what, second),
                words.reading(reading.what, first),
            );
            let error = Diagnostic::error("contradiction", found).at(Some(reading.place.clone()));
            errors.push(error.help("read it again and take out the one that is wrong"));
            break;
        }
        earlier.push(reading);
    }
    errors
}

/// A known distance: taped, or between two fixed points.
#[derive(Clone, Copy)]
struct Side {
    length: f64,
    sigma: f64,
    /// Its reading; `None` between fixed points.
    reading: Option<usize>,
}

/// Tapes that cannot make triangles; a unit forgotten among them is named.
fn triangles(survey: &Survey, words: Words) -> Vec<Diagnostic> {
    let mut sides: Vec<BTreeMap<usize, Side>> = vec![BTreeMap::new(); survey.points.len()];
    for (i, reading) in survey.readings.iter().enumerate() {
        let (Measure::Tape { from, to, skin }, Some(reads)) = (reading.what, reading.reads) else { continue };
        let side = Side { length: reads + skin / 2.0, sigma: reading.sigma, reading: Some(i) };
        sides[from].entry(to).or_insert(side);
        sides[to].entry(from).or_insert(side);
    }
    // The fixed points that readings name know their distances from one another.
    let fixed: Vec<_> = survey
        .points
        .iter()
        .enumerate()
        .filter_map(|(i, p)| Some((i, p.fixed?)))
        .filter(|(i, _)| !sides[*i].is_empty())
        .collect();
    for (n, &(a, at)) in fixed.iter().enumerate().take(MOST_MARKS) {
        for &(b, there) in fixed.iter().take(n) {
            let side = Side { length: (at - there).length(), sigma: 0.0, reading: None };
            sides[a].entry(b).or_insert(side);
            sides[b].entry(a).or_insert(side);
        }
    }

    // For each tape the triangles it stands in, as the other two sides.
    let mut others: Vec<Vec<[Side; 2]>> = vec![Vec::new(); survey.readings.len()];
    for (i, reading) in survey.readings.iter().enumerate() {
        let Measure::Tape { from, to, .. } = reading.what else { continue };
        for (third, first) in &sides[from] {
            if let Some(second) = sides[to].get(third) {
                others[i].push([*first, *second]);
            }
        }
    }
    let own = |i: usize| {
        let reading = &survey.readings[i];
        let Measure::Tape { skin, .. } = reading.what else { return None };
        Some(Side { length: reading.reads? + skin / 2.0, sigma: reading.sigma, reading: Some(i) })
    };
    let broken = |side: Side, [first, second]: [Side; 2]| {
        let sigma = (side.sigma * side.sigma + first.sigma * first.sigma + second.sigma * second.sigma).sqrt();
        let [a, b, c] = [side.length, first.length, second.length];
        f64::max(a - b - c, f64::max(b - a - c, c - a - b)) > NO_TRIANGLE * sigma
    };
    let mut accused: Vec<(usize, usize)> = Vec::new();
    for (i, triangles) in others.iter().enumerate() {
        let Some(side) = own(i) else { continue };
        let count = triangles.iter().filter(|triangle| broken(side, **triangle)).count();
        if count > 0 {
            accused.push((count, i));
        }
    }
    // The tape in most broken triangles first; what it explains is not told again.
    accused.sort_by_key(|&(count, i)| (usize::MAX - count, i));
    let mut errors = Vec::new();
    let mut explained: Vec<usize> = Vec::new();
    for &(_, i) in &accused {
        let Some(side) = own(i) else { continue };
        let is_known = |t: &[Side; 2]| t.iter().any(|s| s.reading.is_some_and(|r| explained.contains(&r)));
        let left: Vec<[Side; 2]> = others[i].iter().filter(|t| broken(side, **t) && !is_known(t)).copied().collect();
        if left.is_empty() {
            continue;
        }
        let slip = SLIPS.iter().find(|(factor, _)| {
            let meant = Side { length: side.length * factor, ..side };
            others[i].len() > 1 && others[i].iter().filter(|t| !is_known(t)).all(|t| !broken(meant, *t))
        });
        let reading = &survey.readings[i];
        let reads = reading.reads.unwrap_or_default();
        let name = words::name(survey, reading.what);
        let shown = |mm| crate::quantity::both_units(mm, words.units);
        let error = if let Some(&(factor, unit)) = slip {
            let (found, meant) = (shown(reads), shown(reads * factor));
            let found = format!("the {name} reads {found}, which cannot be; {meant} fits its neighbours");
            let help = format!("write its unit: it was taken in {unit}, it seems");
            Diagnostic::error("unit-forgotten", found).help(help)
        } else {
            let Some([first, second]) = left.first() else { continue };
            let [own, first, second] = [reads, first.length, second.length].map(|mm| words.length(mm));
            let found = format!("the {name} reads {own}, and with {first} and {second} it makes no triangle");
            Diagnostic::error("no-triangle", found).help("read these three again: one of them is wrong, or its unit")
        };
        explained.push(i);
        errors.push(error.at(Some(reading.place.clone())));
    }
    errors
}

//! The adjusted network: places of all points, how sure they are, what each reading is off.

use super::blunder::{self, Suspect};
use super::guess::{self, OUT_OF_QUESTION};
use super::iterate::{self, LEAST_PIVOT};
use super::network::{Network, Row, row};
use super::words::Words;
use super::{contradiction, defect};
use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::geometry::envelope::{Envelope, Factor};
use crate::quantity;
use crate::spec::types::{Reading, Survey};

/// A survey with its points found.
#[derive(Debug, Clone)]
pub struct Adjustment<'a> {
    /// What was read.
    pub survey: &'a Survey,
    /// Place of every point (mm, vehicle axes), in the order of the survey's points.
    pub places: Vec<Vec3>,
    /// Of every reading.
    pub checked: Vec<Checked>,
    /// Readings that seem wrong, the likeliest first.
    pub suspects: Vec<Suspect>,
    network: Network<'a>,
    factor: Factor,
    near: Envelope,
}

/// How a reading fits the adjusted points (mm or rad).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checked {
    /// What it would show there.
    pub computed: f64,
    /// What it shows less that.
    pub residual: f64,
    /// Share of its own error that shows in the residual: 0 unchecked by others, 1 fully.
    pub redundancy: f64,
    /// Residual over its own standard deviation σ √redundancy; `None` where nothing checks it.
    pub standardised: Option<f64>,
}

/// Redundancy under which a residual is rounding and says nothing.
pub const UNCHECKED: f64 = 1e-3;

/// Two arrangements nearer than this (mm) are one.
const SAME_PLACES: f64 = 0.1;

/// And so are two that lie within this many deviations of the least sure tape: a line that is all but level may lean
/// either way and changes nothing.
const SAME_SIGMAS: f64 = 3.0;

/// Finds every point from its readings, each weighed by 1/σ².
///
/// Answers every reason why it cannot: readings missing or at odds, points nothing holds, points that may stand on
/// either side with no start to tell which.
pub fn adjust(survey: &Survey, words: Words) -> Result<Adjustment<'_>, Vec<Diagnostic>> {
    let errors = contradiction::contradictions(survey, words);
    if !errors.is_empty() {
        return Err(errors);
    }
    let network = Network::new(survey);
    let errors = defect::structural(&network);
    if !errors.is_empty() {
        return Err(errors);
    }
    let all = vec![true; survey.readings.len()];
    let places = find(&network, &all, words)?;
    let (matrix, _) = iterate::normal(&network, &all, &places);
    let Ok(factor) = matrix.factor(LEAST_PIVOT, 3) else { return Err(defect::at(&network, &places)) };
    let near = factor.inverse_within();
    let checked = check(&network, &near, &all, &places);
    let mut adjustment = Adjustment { survey, places, checked, suspects: Vec::new(), network, factor, near };
    adjustment.suspects = blunder::suspects(&adjustment);
    Ok(adjustment)
}

/// The one arrangement that fits, or why there is none or more than one.
fn find(network: &Network<'_>, used: &[bool], words: Words) -> Result<Vec<Vec3>, Vec<Diagnostic>> {
    let guesses = guess::arrangements(network, used);
    let mut settled: Vec<(f64, Vec<Vec3>)> = Vec::new();
    let mut all: Vec<(f64, Vec<Vec3>)> = guesses
        .arrangements
        .into_iter()
        .map(|guess| iterate::settle(network, used, guess))
        .map(|(places, misfit)| (misfit, places))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let lengths = network.survey.readings.iter().filter(|reading| !reading.what.is_angle());
    let same = SAME_SIGMAS * lengths.map(|reading| reading.sigma).fold(0.0, f64::max);
    for (misfit, places) in all {
        if !settled.iter().any(|(_, other)| guess::apart(other, &places) < same.max(SAME_PLACES)) {
            settled.push((misfit, places));
        }
    }
    let Some(&(least, _)) = settled.first() else {
        let error = Diagnostic::error("no-first-guess", "the readings leave no place for a point to start from");
        let help = "give rough places with [[survey.start]]";
        return Err(vec![error.at(Some(network.survey.place.clone())).help(help)]);
    };
    // Those that fit, the nearest to the user's starts first; without starts all are as near.
    let off = |places: &[Vec3]| -> f64 {
        let points = network.survey.points.iter().zip(places);
        points.filter_map(|(point, place)| Some((*place - point.near?).length())).sum()
    };
    let fit = settled.into_iter().filter(|(misfit, _)| *misfit < least + OUT_OF_QUESTION);
    let mut fit: Vec<(f64, Vec<Vec3>)> = fit.map(|(_, places)| (off(&places), places)).collect();
    fit.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut fit = fit.into_iter();
    match (fit.next(), fit.next()) {
        (Some((near, best)), Some((far, rival))) if far - near < SAME_PLACES => {
            Err(vec![two_sided(network.survey, &best, &rival, words)])
        }
        (Some((_, best)), _) if !guesses.too_many => Ok(best),
        _ => {
            let found = "more points may stand on either side than can be tried";
            let error = Diagnostic::error("two-sided", found).at(Some(network.survey.place.clone()));
            Err(vec![error.help("give rough places of some with [[survey.start]]")])
        }
    }
}

/// A point that may stand on either side.
fn two_sided(survey: &Survey, one: &[Vec3], other: &[Vec3], words: Words) -> Diagnostic {
    let differs = |i: &usize| one.get(*i).zip(other.get(*i)).is_some_and(|(a, b)| (*a - *b).length() > SAME_PLACES);
    let count = (0..survey.points.len()).filter(differs).count();
    let Some((i, point)) = (0..survey.points.len()).find(differs).and_then(|i| Some((i, survey.points.get(i)?))) else {
        return Diagnostic::error("two-sided", "the readings fit two arrangements").at(Some(survey.place.clone()));
    };
    let unit = if words.units == quantity::Unit::Inch { quantity::INCH } else { 1.0 };
    let shown = |p: Vec3| format!("[{}]", [p.x, p.y, p.z].map(|v| quantity::fixed(v / unit, 1)).join(", "));
    let others = if count > 1 { format!(" (and {} more with it)", count - 1) } else { String::new() };
    let found = format!(
        "the readings fit \"{}\"{others} at {} as well as at {}: which side is not told",
        point.name,
        shown(one[i]),
        shown(other[i])
    );
    Diagnostic::error("two-sided", found).at(Some(point.place.clone())).help(format!(
        "add [[survey.start]] with of = \"{}\" and near = .., the one of these two that is meant",
        point.name
    ))
}

/// Residuals, redundancies, standardised residuals of all readings; those not in use are judged as further ones.
fn check(network: &Network<'_>, near: &Envelope, used: &[bool], places: &[Vec3]) -> Vec<Checked> {
    let judge = |(reading, used): (&Reading, &bool)| {
        let row = row(reading.what, &network.level, places);
        let residual = reading.reads.unwrap_or(row.shows) - row.shows;
        let (variance, own) = (network.variance(&row, near), reading.sigma * reading.sigma);
        let redundancy = if *used { (1.0 - variance / own).clamp(0.0, 1.0) } else { 0.0 };
        let standardised = (redundancy > UNCHECKED).then(|| residual / (reading.sigma * redundancy.sqrt()));
        Checked { computed: row.shows, residual, redundancy, standardised }
    };
    network.survey.readings.iter().zip(used).map(judge).collect()
}

/// Places and checks anew without some of the readings; `None` where the rest no longer holds every point.
pub(super) fn without(adjustment: &Adjustment<'_>, used: &[bool]) -> Option<Vec<Checked>> {
    let network = &adjustment.network;
    let (places, _) = iterate::settle(network, used, adjustment.places.clone());
    let (matrix, _) = iterate::normal(network, used, &places);
    let near = matrix.factor(LEAST_PIVOT, 3).ok()?.inverse_within();
    Some(check(network, &near, used, &places))
}

impl Adjustment<'_> {
    /// Variances and covariances of a point's x, y, z (mm²); zero for a fixed one.
    pub fn covariance(&self, point: usize) -> [[f64; 3]; 3] {
        let Some(at) = self.network.equation(point) else { return [[0.0; 3]; 3] };
        [0, 1, 2].map(|i| [0, 1, 2].map(|j| self.near.get(at + i, at + j)))
    }

    /// Q g (mm² times the gradient's unit): how every point goes with a figure of that gradient in some points.
    pub fn along(&self, gradient: &[(usize, Vec3)]) -> Vec<Vec3> {
        let mut right = vec![0.0; 3 * self.network.unknown().len()];
        for &(point, slope) in gradient {
            let Some(at) = self.network.equation(point) else { continue };
            for (part, value) in right[at..at + 3].iter_mut().zip(<[f64; 3]>::from(slope)) {
                *part += value;
            }
        }
        self.factor.solve(&mut right);
        self.network.moved(&vec![Vec3::default(); self.places.len()], &right)
    }

    /// One standard deviation of a figure, from its gradient in some points (the figure's unit per mm), to first order.
    pub fn sigma(&self, gradient: &[(usize, Vec3)]) -> f64 {
        let along = self.along(gradient);
        let variance: f64 =
            gradient.iter().map(|(point, slope)| along.get(*point).copied().unwrap_or_default().dot(*slope)).sum();
        variance.max(0.0).sqrt()
    }

    /// A reading's equation with the points in their places.
    pub(super) fn row(&self, what: crate::spec::types::Measure) -> Row {
        row(what, &self.network.level, &self.places)
    }
}

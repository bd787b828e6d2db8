//! What a survey answers: the contract of `survey --json`, field by field.
//!
//! Millimetres and degrees, vehicle axes.

use serde::{Deserialize, Serialize};

use super::adjust::Adjustment;
use super::words::Words;
use crate::geometry::Vec3;
use crate::quantity;
use crate::spec::types::{Measure, Reading};

/// A survey adjusted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SurveyResult {
    /// The points found, in the order the readings first name them.
    pub points: Vec<PointResult>,
    /// Tapes, offsets, slopes, each in the order of the file.
    pub readings: Vec<ReadingResult>,
    /// Readings that seem wrong, the likeliest first.
    pub suspects: Vec<SuspectResult>,
    /// Further readings, the most useful first.
    pub advice: Vec<AdviceResult>,
}

/// A point found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PointResult {
    /// Its name.
    pub name: String,
    /// Its place.
    pub at: Vec3,
    /// One standard deviation along each axis, not scaled by the residuals.
    pub sigma: Vec3,
    /// Greatest standard deviation in any direction.
    pub sigma_max: f64,
    /// The direction it is in.
    pub sigma_max_along: Vec3,
    /// That, over the standard deviation of the surest length reading that reaches the point.
    pub loosened: f64,
}

/// A reading beside what the adjusted points say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReadingResult {
    /// `tape`, `offset` or `slope`.
    pub kind: String,
    /// Its ends or its point.
    #[serde(flatten)]
    pub between: Between,
    /// What it shows.
    pub reads: f64,
    /// What it would show.
    pub computed: f64,
    /// The first less the second.
    pub residual: f64,
    /// 0 unchecked by others, 1 fully checked.
    pub redundancy: f64,
    /// Residual over its own standard deviation; `None` where nothing checks it.
    pub standardised: Option<f64>,
}

/// What a reading stands between.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Between {
    /// One end of a tape or slope.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// The other.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    /// Diameter of the round whose near skin a tape was held to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skin: Option<f64>,
    /// The point of an offset.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// `x`, `y` or `z` of an offset.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub along: Option<String>,
    /// `side`, `plan` or `true` of a slope.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub view: Option<String>,
}

/// A reading that seems wrong.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SuspectResult {
    /// Index into the readings.
    pub reading: usize,
    /// What the others say it should show.
    pub wants: f64,
}

/// A further reading and what it would bring.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AdviceResult {
    /// `tape`, `offset` or `slope`.
    pub kind: String,
    /// Its ends or its point.
    #[serde(flatten)]
    pub between: Between,
    /// The shaft whose length it makes surer.
    pub shaft: String,
    /// One standard deviation of that shaft's length as things are (mm).
    pub sigma_before: f64,
    /// And with this reading taken.
    pub sigma_after: f64,
}

impl Between {
    /// By the names of the points.
    pub fn of(adjustment: &Adjustment<'_>, what: Measure) -> Self {
        let name = |i: usize| adjustment.survey.points.get(i).map(|point| point.name.clone());
        let none = Self { from: None, to: None, skin: None, of: None, along: None, view: None };
        match what {
            Measure::Tape { from, to, skin } => {
                Self { from: name(from), to: name(to), skin: (skin > 0.0).then_some(skin), ..none }
            }
            Measure::Offset { of, along } => Self { of: name(of), along: Some(along.word().to_owned()), ..none },
            Measure::Slope { from, to, view } => {
                Self { from: name(from), to: name(to), view: Some(view.word().to_owned()), ..none }
            }
        }
    }
}

/// `tape A to column end`, `offset z of column end`.
fn name(kind: &str, between: &Between) -> String {
    match (&between.from, &between.to, &between.of, &between.along) {
        (Some(from), Some(to), ..) => {
            let view = between.view.as_ref().map(|view| format!(" ({view})")).unwrap_or_default();
            format!("{kind} {from} to {to}{view}")
        }
        (_, _, Some(of), Some(along)) => format!("{kind} {along} of {of}"),
        _ => kind.to_owned(),
    }
}

impl AdviceResult {
    /// `tape A to column end`, `offset z of column end`.
    pub fn name(&self) -> String {
        name(&self.kind, &self.between)
    }
}

impl ReadingResult {
    /// `tape A to column end`, `offset z of column end`, `slope column end to wheel nut (side)`.
    pub fn name(&self) -> String {
        name(&self.kind, &self.between)
    }

    /// A value of this reading (mm or deg) as people write it.
    pub fn words(&self, value: f64, words: Words) -> String {
        if self.kind == "slope" { quantity::degrees(value, 1) } else { words.length(value) }
    }

    /// `re-read tape A to column end: 31 3/8 in does not fit its neighbours by 3/4 in; they want 30 5/8 in`.
    pub fn suspected(&self, wants: f64, words: Words) -> String {
        format!(
            "re-read {}: {} does not fit its neighbours by {}; they want {}",
            self.name(),
            self.words(self.reads, words),
            self.words((self.reads - wants).abs(), words),
            self.words(wants, words)
        )
    }
}

/// Lengths stay, angles in degrees.
pub(super) fn shown(what: Measure, value: f64) -> f64 {
    if what.is_angle() { value.to_degrees() } else { value }
}

impl SurveyResult {
    /// The answer, without advice: that needs the linkage.
    pub fn of(adjustment: &Adjustment<'_>) -> Self {
        let survey = adjustment.survey;
        let found = survey.points.iter().enumerate().filter(|(_, point)| point.fixed.is_none());
        let points = found.map(|(i, point)| point_result(adjustment, i, &point.name)).collect();
        let reading = |(reading, checked): (&Reading, &super::adjust::Checked)| ReadingResult {
            kind: reading.what.kind().to_owned(),
            between: Between::of(adjustment, reading.what),
            reads: shown(reading.what, reading.reads.unwrap_or_default()),
            computed: shown(reading.what, checked.computed),
            residual: shown(reading.what, checked.residual),
            redundancy: checked.redundancy,
            standardised: checked.standardised,
        };
        let suspects = adjustment.suspects.iter().map(|suspect| SuspectResult {
            reading: suspect.reading,
            wants: shown(survey.readings[suspect.reading].what, suspect.wants),
        });
        Self {
            points,
            readings: survey.readings.iter().zip(&adjustment.checked).map(reading).collect(),
            suspects: suspects.collect(),
            advice: Vec::new(),
        }
    }
}

fn point_result(adjustment: &Adjustment<'_>, i: usize, name: &str) -> PointResult {
    let covariance = adjustment.covariance(i);
    let (variance, way) = greatest(covariance);
    let reach = adjustment.survey.readings.iter().filter(|r| !r.what.is_angle() && r.what.ends().contains(&i));
    let surest = reach.map(|reading| reading.sigma).fold(f64::INFINITY, f64::min);
    let root = |variance: f64| variance.max(0.0).sqrt();
    PointResult {
        name: name.to_owned(),
        at: adjustment.places[i],
        sigma: Vec3::new(root(covariance[0][0]), root(covariance[1][1]), root(covariance[2][2])),
        sigma_max: root(variance),
        sigma_max_along: way,
        loosened: if surest.is_finite() { root(variance) / surest } else { 1.0 },
    }
}

/// Greatest eigenvalue of a covariance and its direction, which points up, else right, else rearward.
fn greatest(matrix: [[f64; 3]; 3]) -> (f64, Vec3) {
    let rows = matrix.map(Vec3::from);
    let times = |v: Vec3| Vec3::new(rows[0].dot(v), rows[1].dot(v), rows[2].dot(v));
    // Squaring the matrix makes each round of the power iteration count double; from its longest column.
    let longest = rows.into_iter().max_by(|a, b| a.length().total_cmp(&b.length())).unwrap_or_default();
    let mut way = longest.unit().unwrap_or(Vec3::new(0.0, 0.0, 1.0));
    for _ in 0..500 {
        let Some(next) = times(way).unit() else { break };
        let moved = (next - way).length();
        way = next;
        if moved < 1e-12 {
            break;
        }
    }
    let parts: [f64; 3] = way.into();
    let most = parts.iter().copied().fold(0.0, |most: f64, part| if part.abs() > most.abs() { part } else { most });
    (way.dot(times(way)), if most < 0.0 { -way } else { way })
}

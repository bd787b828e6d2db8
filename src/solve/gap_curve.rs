//! The tightest gaps, and how they go with the motion that changes them most.

use std::collections::BTreeMap;

use super::clearance::Around;
use super::curves::Graph;
use super::solution::{Clearance, Solution};
use super::{bodies, chain, clearance, rail};
use crate::quantity::INCH;
use crate::spec::Spec;
use crate::spec::types::{MotionPath, Unit};

/// A gap against one motion, every other motion where the gap is least.
#[derive(Debug, Clone, PartialEq)]
pub struct GapCurve<'a> {
    /// The row it is of.
    pub row: &'a Clearance,
    /// Index of the motion in the spec.
    pub motion: usize,
    /// Value of the motion (deg of a turn, mm otherwise) and gap (mm).
    pub points: Vec<(f64, f64)>,
}

/// Points of a curve.
const POINTS: u32 = 61;

/// Rows of the clearances, the tightest against its need first; equal ones in the order of the results.
pub fn tightest(solution: &Solution) -> Vec<&Clearance> {
    let mut rows: Vec<_> = solution.clearances.iter().collect();
    rows.sort_by(|a, b| (a.judged() - a.need).total_cmp(&(b.judged() - b.need)));
    rows
}

/// How many of the tightest gaps are marked on the layout.
pub const MARKED: usize = 3;
/// A gap wider than this (mm) is not marked: what leaves that much is far off.
const FAR: f64 = 150.0;

/// Those of the tightest that are marked on the layout.
pub fn marked(solution: &Solution) -> Vec<&Clearance> {
    tightest(solution).into_iter().take(MARKED).take_while(|row| row.judged() < FAR).collect()
}

/// How many of the tightest have a picture.
const PICTURES: usize = 3;

/// The tightest of the gaps that motions change.
fn moved(solution: &Solution) -> impl Iterator<Item = &Clearance> {
    tightest(solution).into_iter().filter(|row| row.lower.is_some())
}

/// How many gaps have a picture.
pub fn shown(solution: &Solution) -> usize {
    moved(solution).take(PICTURES).count()
}

/// The curve of one of the gaps that motions change, counted from the tightest; `None` where there are not so many.
pub fn gap_curve<'a>(spec: &Spec, solution: &'a Solution, number: usize) -> Option<GapCurve<'a>> {
    let row = moved(solution).nth(number)?;
    let chain = chain::chain(spec).ok()?;
    let shape = |(i, row)| rail::shape(row, i, spec).ok();
    let rails: Vec<_> = spec.rails.iter().enumerate().filter_map(shape).collect();
    let rooms = bodies::rooms(spec, &chain, &solution.shafts);
    let around = Around { rails: &rails, plates: &solution.plates };
    let along = |m: usize| {
        let motion = &spec.motions[m];
        let [from, to] = motion.range;
        let point = |i: u32| {
            let value = from + (to - from) * f64::from(i) / f64::from(POINTS - 1);
            let mut at = row.at.clone();
            at.insert(motion.name.clone(), motion.shown(value));
            let pair = (row.part.as_str(), row.obstacle.as_str());
            let gap = clearance::gap_at(spec, &chain, &rooms, around, pair, &at)?;
            Some((motion.shown(value), gap))
        };
        GapCurve { row, motion: m, points: (0..POINTS).filter_map(point).collect() }
    };
    let of_row = (0..spec.motions.len()).filter(|&m| row.at.contains_key(&spec.motions[m].name));
    let curves = of_row.map(along).filter(|curve| curve.points.len() > 1);
    curves.reduce(|best, next| if next.swing() > best.swing() { next } else { best })
}

/// The same as a picture: in the build's unit, with the gap needed and the place where it is least.
pub fn graph(spec: &Spec, solution: &Solution, number: usize) -> Option<Graph> {
    let curve = gap_curve(spec, solution, number)?;
    let (unit, size) = match spec.build.units {
        Unit::Inch => ("in", INCH),
        Unit::Millimetre => ("mm", 1.0),
    };
    let (motion, row) = (&spec.motions[curve.motion], curve.row);
    // Turns are in degrees in any unit.
    let turns = matches!(motion.path, MotionPath::Turn { .. });
    let step = if turns { 1.0 } else { size };
    let others: BTreeMap<_, _> =
        row.at.iter().filter(|(name, _)| **name != motion.name).map(|(name, value)| (name.clone(), *value)).collect();
    let held = spec.motions_at(&others).join(", ");
    let held = if held.is_empty() { held } else { format!("with {held}; ") };
    let [from, to] = motion.range.map(|value| motion.shown(value) / step);
    let need = row.need / size;
    let least = row.at.get(&motion.name).map(|value| (value / step, row.gap / size));
    Some(Graph {
        title: format!("{} to {}: gap, {unit}", row.part, row.obstacle),
        across: format!("{held}{}, {}", motion.name, if turns { "degrees" } else { unit }),
        range: (from, to),
        floor: Some(0.0),
        curves: vec![
            ("gap".to_owned(), curve.points.iter().map(|&(value, gap)| (value / step, gap / size)).collect()),
            ("needed".to_owned(), vec![(from, need), (to, need)]),
        ],
        marks: ("least", least.into_iter().collect()),
    })
}

impl GapCurve<'_> {
    /// Greatest less least gap (mm).
    fn swing(&self) -> f64 {
        let gaps = self.points.iter().map(|&(_, gap)| gap);
        let (low, high) = gaps.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), gap| (l.min(gap), h.max(gap)));
        high - low
    }
}

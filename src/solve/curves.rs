//! Curves to look at: error and ratio over a turn as set, as best and a tooth either side; error against twist; torque and
//! shear along the chain.

use super::chain::{self, Chain};
use super::fit;
use super::gap_curve;
use super::motion::{Unevenness, follow, relative_phases};
use super::phase::half_turn;
use super::solution::Solution;
use crate::spec::Spec;

/// A picture of the build record. Indices are those of the solution's shafts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// Gear less column over a turn.
    Lead,
    /// Speed ratio over a turn.
    Ratio,
    /// Error against the yoke phase of a shaft.
    Phase(usize),
    /// Torque along the chain.
    Torque,
    /// Shear along the chain.
    Shear,
    /// One of the tightest gaps against the motion that changes it most, counted from the tightest.
    Gap(usize),
}

/// The pictures of a linkage in their order: how it turns, every shaft whose phase makes a difference, what it carries,
/// how the tightest gaps go with what moves.
pub fn figures(solution: &Solution) -> Vec<Figure> {
    let phased = (0..solution.shafts.len()).filter(|&i| solution.shafts[i].twist.wanted.is_some());
    let mut all = vec![Figure::Lead, Figure::Ratio];
    all.extend(phased.map(Figure::Phase));
    if !solution.strength.shafts.is_empty() {
        all.extend([Figure::Torque, Figure::Shear]);
    }
    all.extend((0..gap_curve::shown(solution)).map(Figure::Gap));
    all
}

/// What a picture shows: curves over one scale, and points on them.
#[derive(Debug, Clone, PartialEq)]
pub struct Graph {
    /// What runs up, with its unit.
    pub title: String,
    /// What runs across, with its unit last.
    pub across: String,
    /// From and to.
    pub range: (f64, f64),
    /// A value that is always on the scale, such as 0.
    pub floor: Option<f64>,
    /// Each with its name; a single curve may have none.
    pub curves: Vec<(String, Points)>,
    /// What the marked points are, and where.
    pub marks: (&'static str, Points),
}

/// Places across and up.
pub type Points = Vec<(f64, f64)>;

/// Zero of the scale of a turn.
const TURN: &str = "turn of the wheel from the column yoke's ears square to the first bend, degrees";

/// What a picture shows; `None` where the spec no longer makes a chain or has no such shaft.
pub fn graph(spec: &Spec, solution: &Solution, figure: Figure) -> Option<Graph> {
    let over_a_turn = |title: &str, points: fn(&Turn) -> &Points| {
        let turns = turns(spec, solution);
        let ahead = straight_ahead(spec, solution);
        let marks = ahead.map(|[lead, ratio]| if figure == Figure::Lead { lead } else { ratio });
        Some(Graph {
            title: title.to_owned(),
            across: TURN.to_owned(),
            range: (0.0, 360.0),
            floor: None,
            curves: turns.iter().map(|turn| (turn.name.to_owned(), points(turn).clone())).collect(),
            marks: ("straight ahead", marks.unwrap_or_default()),
        })
        .filter(|graph| !graph.curves.is_empty())
    };
    let along_the_chain = |title: &str, points: Along| {
        let &(length, _) = points.last()?;
        Some(Graph {
            title: title.to_owned(),
            across: "from the first cross along the chain, mm".to_owned(),
            range: (0.0, length),
            floor: Some(0.0),
            curves: vec![(String::new(), points)],
            marks: ("", Vec::new()),
        })
    };
    match figure {
        Figure::Lead => over_a_turn("gear less column, degrees", |turn| &turn.lead),
        Figure::Ratio => over_a_turn("speed ratio, gear to column", |turn| &turn.ratio),
        Figure::Phase(shaft) => {
            let row = by_twist(spec, solution).into_iter().find(|row| row.shaft == shaft)?;
            let name = &solution.shafts.get(shaft)?.name;
            let marks = if row.reachable.is_empty() {
                ("as set", vec![row.set])
            } else {
                ("what its ends allow", row.reachable)
            };
            Some(Graph {
                title: format!("error against the yoke phase of shaft {name}, degrees"),
                across: "yoke phase, degrees".to_owned(),
                range: (0.0, 180.0),
                floor: Some(0.0),
                curves: vec![("error, the other shafts as set".to_owned(), row.points)],
                marks,
            })
        }
        Figure::Torque => along_the_chain("greatest torque, N m", along(solution).0),
        Figure::Shear => along_the_chain("greatest shear, MPa", along(solution).1),
        Figure::Gap(number) => gap_curve::graph(spec, solution, number),
    }
}

/// Gear less column (deg) and speed ratio over a turn of the column.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// `as set`, `as best`, `a tooth back` or `a tooth on`.
    pub name: &'static str,
    /// Column (deg), gear less column (deg).
    pub lead: Points,
    /// Column (deg), ratio.
    pub ratio: Points,
}

/// Error (deg) against the twist of one shaft, all others as they are set.
#[derive(Debug, Clone, PartialEq)]
pub struct ByTwist {
    /// Index of the shaft.
    pub shaft: usize,
    /// Twist (deg, 0 to 180), error (deg).
    pub points: Points,
    /// The same at every twist its ends allow; empty where any can be had or the teeth are not measured.
    pub reachable: Points,
    /// The twist as set and its error.
    pub set: (f64, f64),
}

/// A step of a figure along the chain: from and to (mm from the first cross), value.
pub type Along = Points;

/// Degrees between points.
const STEP: u32 = 2;

fn sample(angles: &[f64], alpha: &[f64], name: &'static str) -> Turn {
    let (start, _) = follow(angles, alpha, 0.0);
    let rows = (0..=360 / STEP).map(|i| {
        let degree = f64::from(i * STEP);
        let (lead, ratio) = follow(angles, alpha, degree.to_radians());
        (degree, (lead - start).to_degrees(), ratio)
    });
    let rows: Vec<_> = rows.collect();
    // About the middle of its own swing, so that curves can be compared.
    let (low, high) = rows.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), row| (l.min(row.1), h.max(row.1)));
    let middle = f64::midpoint(low, high);
    Turn {
        name,
        lead: rows.iter().map(|row| (row.0, row.1 - middle)).collect(),
        ratio: rows.iter().map(|row| (row.0, row.2)).collect(),
    }
}

/// The first phased shaft whose ends step by less than half a turn.
fn toothed(solution: &Solution) -> Option<(usize, f64)> {
    let mut rows = solution.shafts.iter().enumerate();
    rows.find_map(|(i, shaft)| Some((i, shaft.twist.wanted.and(shaft.twist.step).filter(|&step| step < 180.0)?)))
}

/// As set, as best, and with the first toothed shaft a tooth either side; empty where the spec no longer makes a chain.
pub fn turns(spec: &Spec, solution: &Solution) -> Vec<Turn> {
    let Ok(chain) = chain::chain(spec) else { return Vec::new() };
    let (angles, psi) = (chain.uneven_angles(), chain.uneven_psi());
    let set = phases(solution);
    let curve = |phases: &[f64], name| sample(&angles, &relative_phases(phases, &psi), name);
    let best: Vec<f64> = solution.motion.best.twists.iter().map(|twist| twist.to_radians()).collect();
    let mut all = vec![curve(&set, "as set"), curve(&best, "as best")];
    if let Some((i, step)) = toothed(solution) {
        for (sign, name) in [(-1.0, "a tooth back"), (1.0, "a tooth on")] {
            let mut beside = set.clone();
            beside[i] += (sign * step).to_radians();
            all.push(curve(&beside, name));
        }
    }
    all
}

/// The places of straight ahead as measured on the curves as set, half a turn apart: by the ears alone nobody can tell
/// which; `None` where it was not measured or a phase is not known.
fn straight_ahead(spec: &Spec, solution: &Solution) -> Option<[Points; 2]> {
    let found = solution.clocking.as_ref()?;
    let ears = found.yoke.filter(|_| found.left_right.is_some())?;
    let chain = chain::chain(spec).ok()?;
    let (angles, alpha) = (chain.uneven_angles(), relative_phases(&phases(solution), &chain.uneven_psi()));
    let swing = sample(&angles, &alpha, "as set");
    // The curve was shifted to the middle of its swing; both begin at 0.
    let (start, _) = follow(&angles, &alpha, 0.0);
    let shift = swing.lead.first()?.1 - start.to_degrees();
    let places = [half_turn(ears + 90.0), half_turn(ears + 90.0) + 180.0];
    let at = |degrees: f64| follow(&angles, &alpha, degrees.to_radians());
    Some([
        places.iter().map(|&place| (place, at(place).0.to_degrees() + shift)).collect(),
        places.iter().map(|&place| (place, at(place).1)).collect(),
    ])
}

fn phases(solution: &Solution) -> Vec<f64> {
    let twists: Vec<_> = solution.shafts.iter().map(|shaft| shaft.twist.clone()).collect();
    fit::set_phases(&twists)
}

/// Error against twist of every phased shaft.
pub fn by_twist(spec: &Spec, solution: &Solution) -> Vec<ByTwist> {
    let Ok(chain) = chain::chain(spec) else { return Vec::new() };
    let set = phases(solution);
    (0..solution.shafts.len())
        .filter(|&i| chain.is_phased(i))
        .map(|i| {
            let at = |degrees: f64| (degrees, error(&chain, &set, i, degrees));
            let twist = &solution.shafts[i].twist;
            let step = twist.step.filter(|_| twist.certain);
            let count = step.map_or(0, |step| (180.0 / step).round() as u32);
            let mut reachable: Points =
                (0..count).map(|k| at(half_turn(twist.set + step.unwrap_or(0.0) * f64::from(k)))).collect();
            reachable.sort_by(|a, b| a.0.total_cmp(&b.0));
            ByTwist {
                shaft: i,
                points: (0..=180).map(|degree| at(f64::from(degree))).collect(),
                reachable,
                set: at(half_turn(twist.set)),
            }
        })
        .collect()
}

fn error(chain: &Chain, set: &[f64], shaft: usize, degrees: f64) -> f64 {
    let mut phases = set.to_vec();
    phases[shaft] = degrees.to_radians();
    let alpha = relative_phases(&phases, &chain.uneven_psi());
    Unevenness::of_chain(&chain.uneven_angles(), &alpha).error().to_degrees()
}

/// Greatest torque (N m) and greatest shear (MPa) along the chain from the first cross; empty without a load.
pub fn along(solution: &Solution) -> (Along, Along) {
    let (mut torque, mut shear) = (Vec::new(), Vec::new());
    let mut from = 0.0;
    for (shaft, row) in solution.shafts.iter().zip(&solution.strength.shafts) {
        let to = from + shaft.centre_distance;
        torque.extend([(from, row.torque_max), (to, row.torque_max)]);
        shear.extend([(from, row.shear), (to, row.shear)]);
        from = to;
    }
    (torque, shear)
}

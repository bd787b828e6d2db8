//! First guesses, found point by point from those known already.
//!
//! A point with three readings to known places can stand in a few spots; each
//! is found from a ring of starts. One that can stand in one spot alone is
//! placed at once, a two-sided one last, and then both ways. What cannot be
//! placed point by point is placed together from spread starts.

use super::iterate;
use super::network::{Level, Network, row};
use crate::geometry::Vec3;
use crate::spec::types::{Measure, Reading};

/// Most whole arrangements tried: seven points that each may stand on either side.
const MOST_ARRANGEMENTS: usize = 128;

/// Spread starts for points that can only be placed together.
const SPREAD_STARTS: usize = 24;

/// A point is judged with readings this many times less sure than they are, for its neighbours are only guesses.
const SLACK: f64 = 3.0;

/// Excess of the sum of squares (4 σ) past which one spot is out of the question against another.
pub const OUT_OF_QUESTION: f64 = 16.0;

/// Two spots nearer than this (mm) are one.
const SAME_SPOT: f64 = 1.0;

/// Arrangements of all points worth settling, and whether more were left untried.
pub struct Guesses {
    /// Places of all points.
    pub arrangements: Vec<Vec<Vec3>>,
    /// More two-sided points than can be tried.
    pub too_many: bool,
}

/// Every arrangement the readings allow.
pub fn arrangements(network: &Network<'_>, used: &[bool]) -> Guesses {
    let touching = touching(network, used);
    let start: Vec<Option<Vec3>> = network.survey.points.iter().map(|point| point.fixed).collect();
    let mut guesses = Guesses { arrangements: Vec::new(), too_many: false };
    let mut open = vec![start];
    while let Some(mut places) = open.pop() {
        if guesses.arrangements.len() >= MOST_ARRANGEMENTS {
            guesses.too_many = true;
            break;
        }
        match chain(network, &touching, &mut places) {
            Chained::Whole => guesses.arrangements.push(places.iter().map(|p| p.unwrap_or_default()).collect()),
            Chained::Fork(point, spots) => {
                for spot in spots.into_iter().rev() {
                    let mut branch = places.clone();
                    branch[point] = Some(spot);
                    open.push(branch);
                }
            }
            Chained::Stuck => guesses.arrangements.extend(together(network, used, &places)),
        }
    }
    guesses
}

enum Chained {
    Whole,
    Fork(usize, Vec<Vec3>),
    Stuck,
}

/// Readings in use that touch each point.
fn touching(network: &Network<'_>, used: &[bool]) -> Vec<Vec<usize>> {
    let mut touching = vec![Vec::new(); network.survey.points.len()];
    for (i, reading) in network.survey.readings.iter().enumerate() {
        if !used.get(i).copied().unwrap_or(false) || reading.reads.is_none() {
            continue;
        }
        let [a, b] = reading.what.ends();
        touching[a].push(i);
        if b != a {
            touching[b].push(i);
        }
    }
    touching
}

/// Places points one by one until all are, or one may stand in several spots, or none can be placed.
fn chain(network: &Network<'_>, touching: &[Vec<usize>], places: &mut [Option<Vec3>]) -> Chained {
    let survey = network.survey;
    // Readings at the last try of each point: with no new ones it would end as before.
    let mut tried = vec![0; places.len()];
    let mut forks: Vec<Option<Vec<Vec3>>> = vec![None; places.len()];
    loop {
        let mut open: Vec<(usize, usize)> = (0..places.len())
            .filter(|&i| places[i].is_none())
            .map(|i| (known(survey.readings.as_slice(), &touching[i], i, places).count(), i))
            .collect();
        if open.is_empty() {
            return Chained::Whole;
        }
        open.sort_by_key(|&(count, i)| (usize::MAX - count, i));
        let mut placed = false;
        for &(count, point) in &open {
            if count < 3 {
                break;
            }
            if tried[point] == count {
                continue;
            }
            tried[point] = count;
            let readings: Vec<Reading> =
                known(survey.readings.as_slice(), &touching[point], point, places).cloned().collect();
            let spots = spots(&readings, &network.level, point, places, survey.points[point].near);
            match spots.as_slice() {
                [] => {}
                [spot] => {
                    places[point] = Some(*spot);
                    placed = true;
                }
                _ => forks[point] = Some(spots),
            }
        }
        if placed {
            continue;
        }
        let fork = open.iter().find_map(|&(_, i)| Some((i, forks[i].take()?)));
        if let Some((point, spots)) = fork {
            return Chained::Fork(point, spots);
        }
        // A rough place is better than none.
        let near = open.iter().find_map(|&(_, i)| Some((i, survey.points[i].near?)));
        match near {
            Some((point, near)) => places[point] = Some(near),
            None => return Chained::Stuck,
        }
    }
}

/// Readings of a point whose other end is known.
fn known<'r>(
    readings: &'r [Reading],
    touching: &'r [usize],
    point: usize,
    places: &'r [Option<Vec3>],
) -> impl Iterator<Item = &'r Reading> {
    touching.iter().filter_map(|&i| readings.get(i)).filter(move |reading| {
        let [a, b] = reading.what.ends();
        let other = if a == point { b } else { a };
        other == point || places[other].is_some()
    })
}

/// The spots one point may stand in: none where its readings leave it free to slide.
fn spots(readings: &[Reading], level: &Level, point: usize, places: &[Option<Vec3>], near: Option<Vec3>) -> Vec<Vec3> {
    let mut all: Vec<Vec3> = places.iter().map(|place| place.unwrap_or_default()).collect();
    let mut found: Vec<(f64, Vec3)> = Vec::new();
    for start in starts(readings, point, &all).into_iter().chain(near) {
        all[point] = start;
        let Some((spot, cost)) = settle_one(readings, level, point, &mut all) else { continue };
        if !found.iter().any(|(_, other)| (*other - spot).length() < SAME_SPOT) {
            found.push((cost, spot));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let Some(&(least, _)) = found.first() else { return Vec::new() };
    found.retain(|(cost, _)| *cost < least + OUT_OF_QUESTION);
    if let Some(near) = near {
        found.sort_by(|a, b| (a.1 - near).length().total_cmp(&(b.1 - near).length()));
        found.truncate(1);
    }
    found.into_iter().map(|(_, spot)| spot).collect()
}

/// Starts on the sphere of the shortest tape, or about the middle of what is known.
fn starts(readings: &[Reading], point: usize, places: &[Vec3]) -> Vec<Vec3> {
    let tapes = readings.iter().filter_map(|reading| match reading.what {
        Measure::Tape { from, to, skin } => {
            let other = if from == point { to } else { from };
            Some((reading.reads? + skin / 2.0, places[other]))
        }
        _ => None,
    });
    let (radius, centre) = tapes.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_else(|| {
        let others = readings.iter().flat_map(|r| r.what.ends()).filter(|&end| end != point);
        let others: Vec<Vec3> = others.map(|end| places[end]).collect();
        let middle = others.iter().fold(Vec3::default(), |sum, p| sum + *p) * (1.0 / others.len().max(1) as f64);
        // About the reach of an arm (mm).
        (500.0, middle)
    });
    // Faces, corners and edge middles of a cube, a little askew so that no start lies in a plane of the marks.
    let mut starts = Vec::with_capacity(26);
    for x in -1..=1_i32 {
        for y in -1..=1_i32 {
            for z in -1..=1_i32 {
                let lean = Vec3::new(f64::from(x) + 0.031, f64::from(y) - 0.047, f64::from(z) + 0.053);
                if (x, y, z) != (0, 0, 0) {
                    starts.extend(lean.unit().map(|direction| centre + direction * radius));
                }
            }
        }
    }
    starts
}

/// Settles one point with the others held; `None` where it is left free to slide.
fn settle_one(readings: &[Reading], level: &Level, point: usize, places: &mut [Vec3]) -> Option<(Vec3, f64)> {
    let cost = |places: &[Vec3]| -> f64 {
        let off = |r: &Reading| (r.reads.unwrap_or_default() - row(r.what, level, places).shows) / (r.sigma * SLACK);
        readings.iter().map(|reading| off(reading) * off(reading)).sum()
    };
    let mut least = cost(places);
    let mut damping = 1e-3;
    for _ in 0..60 {
        let (matrix, right) = equations(readings, level, point, places);
        let step = solve_three(matrix, right, damping)?;
        let before = places[point];
        places[point] = before + step;
        let next = cost(places);
        if next <= least {
            least = next;
            damping = f64::max(damping / 10.0, 1e-12);
        } else {
            places[point] = before;
            damping *= 10.0;
            if damping > 1e6 {
                break;
            }
        }
        // A thousandth of a millimetre is plenty for a guess.
        if step.length() < 1e-3 {
            break;
        }
    }
    let (matrix, _) = equations(readings, level, point, places);
    is_held(matrix).then(|| (places[point], least))
}

type Three = [[f64; 3]; 3];

fn equations(readings: &[Reading], level: &Level, point: usize, places: &[Vec3]) -> (Three, [f64; 3]) {
    let (mut matrix, mut right) = ([[0.0; 3]; 3], [0.0; 3]);
    for reading in readings {
        let row = row(reading.what, level, places);
        let slope: [f64; 3] = row.slopes[usize::from(row.ends[0] != point)].into();
        let sigma = reading.sigma * SLACK;
        let off = (reading.reads.unwrap_or_default() - row.shows) / sigma;
        for i in 0..3 {
            right[i] += slope[i] / sigma * off;
            for j in 0..3 {
                matrix[i][j] += slope[i] * slope[j] / (sigma * sigma);
            }
        }
    }
    (matrix, right)
}

/// Cholesky of three, the diagonal raised by a share of itself.
fn solve_three(mut matrix: Three, right: [f64; 3], damping: f64) -> Option<Vec3> {
    let trace = matrix[0][0] + matrix[1][1] + matrix[2][2];
    for (i, row) in matrix.iter_mut().enumerate() {
        row[i] += damping * row[i] + 1e-12 * trace;
    }
    let columns: [Vec3; 3] = matrix.map(Vec3::from);
    let volume = columns[0].dot(columns[1].cross(columns[2]));
    if volume.is_nan() || volume <= 0.0 {
        return None;
    }
    let right = Vec3::from(right);
    // Symmetric: rows are columns, so this is Cramer's rule.
    Some(Vec3::new(
        right.dot(columns[1].cross(columns[2])) / volume,
        columns[0].dot(right.cross(columns[2])) / volume,
        columns[0].dot(columns[1].cross(right)) / volume,
    ))
}

/// Whether no direction is left free: the volume spanned, against that of three alike and square to one another.
fn is_held(matrix: Three) -> bool {
    let columns: [Vec3; 3] = matrix.map(Vec3::from);
    let volume = columns[0].dot(columns[1].cross(columns[2]));
    let most = matrix[0][0].max(matrix[1][1]).max(matrix[2][2]);
    volume > iterate::LEAST_PIVOT * most * most * most && volume > 0.0
}

/// Arrangements of the points not placed yet, from starts spread over the reach of the tapes.
fn together(network: &Network<'_>, used: &[bool], places: &[Option<Vec3>]) -> Vec<Vec<Vec3>> {
    let tapes = network.survey.readings.iter().filter_map(|reading| match reading.what {
        Measure::Tape { .. } => reading.reads,
        _ => None,
    });
    let reach = tapes.fold(500.0, f64::max);
    let placed: Vec<Vec3> = places.iter().copied().flatten().collect();
    let middle = placed.iter().fold(Vec3::default(), |sum, p| sum + *p) * (1.0 / placed.len().max(1) as f64);
    let mut spread = Spread::default();
    let mut found: Vec<(f64, Vec<Vec3>)> = Vec::new();
    for _ in 0..SPREAD_STARTS {
        let start = places.iter().map(|place| place.unwrap_or_else(|| middle + spread.next() * reach)).collect();
        let (points, cost) = iterate::settle(network, used, start);
        if !found.iter().any(|(_, other)| apart(other, &points) < SAME_SPOT) {
            found.push((cost, points));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, points)| points).collect()
}

/// Greatest distance between two arrangements (mm).
pub fn apart(a: &[Vec3], b: &[Vec3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (*a - *b).length()).fold(0.0, f64::max)
}

/// Places spread evenly over a cube of side 2 about zero, always the same: the fractional parts of multiples of the
/// powers of 1/ρ, ρ⁴ = ρ + 1 (M. Roberts 2018, from memory).
#[derive(Debug, Default)]
pub struct Spread {
    count: u32,
}

impl Spread {
    /// The next place.
    pub fn next(&mut self) -> Vec3 {
        const INVERSE: f64 = 0.819_172_513_396_164_4;
        self.count += 1;
        let count = f64::from(self.count);
        let part = |step: f64| 2.0 * (count * step).fract() - 1.0;
        Vec3::new(part(INVERSE), part(INVERSE * INVERSE), part(INVERSE * INVERSE * INVERSE))
    }
}

//! What the readings leave free: points nothing holds, a frame that can still shift or turn, and what would hold it.

use super::guess::Spread;
use super::iterate::LEAST_PIVOT;
use super::network::{Network, Row, row};
use super::words;
use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::geometry::envelope::{Envelope, Factor};
use crate::spec::types::{Along, Measure, Survey, SurveyPoint};

/// Least pivot at places picked without a plan: under it is rounding, above it any real hold.
const GENERIC_PIVOT: f64 = 1e-11;

/// Readings named at most; a survey that lacks more is not half begun.
const MOST_NAMED: usize = 6;

/// Defects that no places of the points could mend, found before any are known.
///
/// A reading's hold does not depend on where exactly its points are, save in special places, so the equations are
/// looked at with the points spread at random about the marks.
pub fn structural(network: &Network<'_>) -> Vec<Diagnostic> {
    let survey = network.survey;
    let mut errors = lonely(survey);
    if !errors.is_empty() {
        return errors;
    }
    errors.extend(in_one_line(survey));
    if !errors.is_empty() {
        return errors;
    }
    let fixed: Vec<Vec3> = survey.points.iter().filter_map(|point| point.fixed).collect();
    let middle = fixed.iter().fold(Vec3::default(), |sum, p| sum + *p) * (1.0 / fixed.len().max(1) as f64);
    let size = fixed.iter().map(|p| (*p - middle).length()).fold(500.0, f64::max);
    let mut spread = Spread::default();
    let places: Vec<Vec3> =
        survey.points.iter().map(|point| point.fixed.unwrap_or_else(|| middle + spread.next() * size)).collect();
    missing(network, &places, GENERIC_PIVOT)
}

/// Defects of the places found: a point in the plane of its marks, or the like.
pub fn at(network: &Network<'_>, places: &[Vec3]) -> Vec<Diagnostic> {
    missing(network, places, LEAST_PIVOT)
}

/// Points that fewer than three readings reach.
fn lonely(survey: &Survey) -> Vec<Diagnostic> {
    let mut count = vec![0; survey.points.len()];
    for reading in &survey.readings {
        let [a, b] = reading.what.ends();
        count[a] += 1;
        if a != b {
            count[b] += 1;
        }
    }
    let few = survey.points.iter().zip(&count).filter(|(point, count)| point.fixed.is_none() && **count < 3);
    few.map(|(point, &count)| {
        let readings = if count == 1 { "1 reading reaches" } else { "2 readings reach" };
        let found = format!("{readings} \"{}\"; 3 or more are wanted, from different sides", point.name);
        let near = (count == 1).then(|| alike(survey, &point.name)).flatten();
        let help = match near {
            Some(near) => format!("did you mean \"{near}\"? A name not seen before is a new point"),
            None => format!("add {}", first_missing(survey, point)),
        };
        Diagnostic::error("point-not-held", found).at(Some(point.place.clone())).help(help)
    })
    .collect()
}

/// A name so like another that it is a slip of the pen.
fn alike<'s>(survey: &'s Survey, name: &str) -> Option<&'s str> {
    let others = survey.points.iter().map(|point| point.name.as_str()).filter(|other| *other != name);
    crate::spec::keys::nearest(name, others)
}

/// A tape from a mark that has none to this point, else its height.
fn first_missing(survey: &Survey, point: &SurveyPoint) -> String {
    let taped = |mark: usize| {
        survey.readings.iter().any(|reading| {
            let ends = reading.what.ends();
            matches!(reading.what, Measure::Tape { .. })
                && ends.contains(&mark)
                && ends.iter().any(|&end| survey.points[end].name == point.name)
        })
    };
    let mark = survey.points.iter().enumerate().find(|(i, other)| other.fixed.is_some() && !taped(*i));
    match mark {
        Some((_, mark)) => format!("a tape from \"{}\" to \"{}\", or its height as an offset", mark.name, point.name),
        None => format!("the height of \"{}\" as an offset along z", point.name),
    }
}

/// Sine (1/3 deg) under which three marks stand in one line.
const ONE_LINE: f64 = 0.006;

/// Points held by tapes from marks in one line alone.
fn in_one_line(survey: &Survey) -> Vec<Diagnostic> {
    let mut errors = Vec::new();
    for (i, point) in survey.points.iter().enumerate().filter(|(_, point)| point.fixed.is_none()) {
        let readings: Vec<Measure> =
            survey.readings.iter().map(|reading| reading.what).filter(|what| what.ends().contains(&i)).collect();
        let others: Option<Vec<usize>> = readings
            .iter()
            .map(|what| match *what {
                Measure::Tape { from, to, .. } => Some(if from == i { to } else { from }),
                _ => None,
            })
            .collect();
        let Some(mut others) = others else { continue };
        others.sort_unstable();
        others.dedup();
        let places: Option<Vec<Vec3>> = others.iter().map(|&other| survey.points[other].fixed).collect();
        let Some(places) = places.filter(|places| is_line(places)) else { continue };
        let names: Vec<&str> = others.iter().map(|&other| survey.points[other].name.as_str()).collect();
        let found = if places.len() > 1 {
            format!(
                "\"{}\" is taped from {} alone, which stand in one line: it can still swing about that line",
                point.name,
                words::list(&names)
            )
        } else {
            format!("\"{}\" is taped from {} alone", point.name, words::list(&names))
        };
        let outside = survey.points.iter().enumerate().find(|(k, other)| {
            let with = |at: Vec3| places.iter().copied().chain([at]).collect::<Vec<_>>();
            !others.contains(k) && other.fixed.is_some_and(|at| !is_line(&with(at)))
        });
        let help = match outside {
            Some((_, mark)) => {
                format!("tape it from \"{}\" as well, or add its height as an offset along z", mark.name)
            }
            None => "add its height as an offset along z, or a mark outside that line and a tape from it".to_string(),
        };
        errors.push(Diagnostic::error("marks-in-line", found).at(Some(point.place.clone())).help(help));
    }
    errors
}

/// Whether all of some places lie on one line.
fn is_line(places: &[Vec3]) -> bool {
    let Some(&first) = places.first() else { return true };
    let far = places.iter().map(|p| *p - first).max_by(|a, b| a.length().total_cmp(&b.length())).unwrap_or_default();
    let Some(along) = far.unit() else { return true };
    places.iter().all(|p| (*p - first).cross(along).length() <= ONE_LINE * far.length())
}

/// The readings that would hold what is free, one by one the one that notices it best.
fn missing(network: &Network<'_>, places: &[Vec3], least: f64) -> Vec<Diagnostic> {
    let survey = network.survey;
    // Lengths of about the same weight: a slope counts by what it moves at arm's length.
    let weight = |row: &Row| 1.0 / row.slopes[0].dot(row.slopes[0]).max(f64::MIN_POSITIVE);
    let mut rows: Vec<(Row, f64, f64)> = survey
        .readings
        .iter()
        .map(|reading| row(reading.what, &network.level, places))
        .filter(|row| row.slopes[0].length() > 0.0)
        .map(|row| (row, 0.0, weight(&row)))
        .collect();
    let mut errors = Vec::new();
    while errors.len() < MOST_NAMED {
        let (matrix, _) = network.normal(rows.iter().copied());
        if matrix.clone().factor(least, 3).is_ok() {
            break;
        }
        let Some(free) = free_motion(network, matrix, errors.len()) else { break };
        let Some((what, seen)) = best_reading(network, places, &free) else { break };
        errors.push(explain(survey, places, &free, what));
        rows.push((seen, 0.0, weight(&seen)));
    }
    errors
}

/// A motion of the points (one of several, perhaps) that no reading notices, its greatest part 1.
fn free_motion(network: &Network<'_>, matrix: Envelope, round: usize) -> Option<Vec<Vec3>> {
    let mut raised = matrix;
    for i in 0..raised.size() {
        let diagonal = raised.get(i, i);
        // Far under any hold, far over rounding.
        raised.add(i, i, if diagonal > 0.0 { 1e-12 * diagonal } else { 1e-12 });
    }
    let factor: Factor = raised.factor(0.0, 1).ok()?;
    let mut spread = Spread::default();
    let mut motion: Vec<f64> = (0..3 * network.unknown().len()).map(|_| spread.next().x).collect();
    let turns = round.min(motion.len().saturating_sub(1));
    motion.rotate_left(turns);
    // Inverse iteration: each round leaves a million times less of what is held.
    for _ in 0..4 {
        factor.solve(&mut motion);
        let most = motion.iter().fold(0.0, |most: f64, part| most.max(part.abs()));
        if !(most.is_finite() && most > 0.0) {
            return None;
        }
        for part in &mut motion {
            *part /= most;
        }
    }
    let still = vec![Vec3::default(); network.survey.points.len()];
    Some(network.moved(&still, &motion))
}

/// Parts of a motion under this share of the greatest stand still.
const STANDS_STILL: f64 = 1e-3;

/// The further reading that notices a motion best: offsets of points that move, and tapes to them from those that
/// stand still or are fixed.
fn best_reading(network: &Network<'_>, places: &[Vec3], free: &[Vec3]) -> Option<(Measure, Row)> {
    let survey = network.survey;
    let moving: Vec<usize> = (0..free.len()).filter(|&i| free[i].length() > STANDS_STILL).collect();
    let mut candidates = Vec::new();
    for &of in &moving {
        candidates.extend([Along::Z, Along::Y, Along::X].map(|along| Measure::Offset { of, along }));
        let marks = (0..free.len()).filter(|&i| survey.points[i].fixed.is_some());
        candidates.extend(marks.map(|from| Measure::Tape { from, to: of, skin: 0.0 }));
    }
    let taken = |what: Measure| {
        survey.readings.iter().any(|reading| match (reading.what, what) {
            (Measure::Offset { of, along }, Measure::Offset { of: o, along: a }) => of == o && along == a,
            (Measure::Tape { .. }, Measure::Tape { from, to, .. }) => {
                let [a, b] = reading.what.ends();
                [a, b] == [from, to] || [b, a] == [from, to]
            }
            _ => false,
        })
    };
    let noticed = |what: Measure| {
        let row = row(what, &network.level, places);
        let moves = row.slopes[0].dot(free[row.ends[0]]) + row.slopes[1].dot(free[row.ends[1]]);
        (moves.abs(), what, row)
    };
    let rows = candidates.into_iter().filter(|what| !taken(*what)).map(noticed);
    // The first of equals, so that heights come before lengths.
    let best = rows.fold(None, |best: Option<(f64, Measure, Row)>, next| match best {
        Some(best) if next.0 <= best.0 * 1.001 => Some(best),
        _ => Some(next),
    });
    best.filter(|(moves, ..)| *moves > 0.0).map(|(_, what, row)| (what, row))
}

fn explain(survey: &Survey, places: &[Vec3], free: &[Vec3], what: Measure) -> Diagnostic {
    let moving: Vec<usize> = (0..free.len()).filter(|&i| free[i].length() > STANDS_STILL).collect();
    let names: Vec<&str> = moving.iter().take(4).map(|&i| survey.points[i].name.as_str()).collect();
    let more = if moving.len() > names.len() { " and others" } else { "" };
    let names = if more.is_empty() { words::list(&names) } else { format!("{}{more}", words::list(&names)) };
    let found = match moving.as_slice() {
        [_] => format!("the readings of {names} leave it free to move {}", direction(free[moving[0]])),
        _ if is_shift(free, &moving) => {
            format!("{names} can still shift together {}, and no reading would change", direction(free[moving[0]]))
        }
        _ if is_turn(places, free, &moving) => {
            format!("{names} can still turn together, and no reading would change: the marks do not hold them")
        }
        _ => format!("{names} can still move against one another, and no reading would change"),
    };
    let place = moving.first().map(|&i| survey.points[i].place.clone());
    Diagnostic::error("not-held", found).at(place).help(format!("add the {}", words::name(survey, what)))
}

/// A direction in words, by its greatest part.
pub fn direction(way: Vec3) -> &'static str {
    let [x, y, z] = [way.x.abs(), way.y.abs(), way.z.abs()];
    if z >= x && z >= y {
        "up and down"
    } else if y >= x {
        "from side to side"
    } else {
        "to front and rear"
    }
}

/// All the same way.
fn is_shift(free: &[Vec3], moving: &[usize]) -> bool {
    let first = free[moving[0]];
    moving.iter().all(|&i| (free[i] - first).length() < STANDS_STILL)
}

/// No two of the moving points come nearer or farther.
fn is_turn(places: &[Vec3], free: &[Vec3], moving: &[usize]) -> bool {
    moving.iter().enumerate().all(|(n, &a)| {
        moving.iter().take(n).all(|&b| {
            let span = (places[a] - places[b]).unit().unwrap_or_default();
            span.dot(free[a] - free[b]).abs() < STANDS_STILL
        })
    })
}

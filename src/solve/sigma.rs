//! The errors of a survey in what follows from it.
//!
//! To first order: the gradient of each figure in the points found, by central
//! differences of the spec lowered anew, and σ² = gᵀQg with the covariance Q of
//! the adjustment (JCGM 100:2008, 5.2, from memory).

use std::collections::BTreeMap;

use super::bodies::{self, Room, RoomShape};
use super::chain;
use super::clearance::{self, Around, solid};
use super::plate;
use super::rail::{self, RailShape};
use super::solution::{NotchSigma, PlateResult, ShaftResult, Solution};
use super::{fit, order};
use crate::geometry::Vec3;
use crate::geometry::distance::{Convex, Solid};
use crate::spec::Spec;
use crate::spec::types::{Body, ObstacleShape};
use crate::survey::{Layout, SurveyResult, advice};

/// Step of the differences (mm): its square against that of a linkage's size is under 1e-6, and a distance's rounding
/// over it under 1e-9.
const STEP: f64 = 0.1;

/// Deviations added to a sawing length: one bar in fifty would be short on a normal error, and then `leave` is there.
const SAWING_SIGMAS: f64 = 2.0;

/// Sine of the angle to a rail under which where an axis passes it means nothing.
const ALONGSIDE: f64 = 0.05;

/// Gives every figure that a survey touches its standard deviation, and each shaft a sawing length that allows for it.
pub fn travel(layout: &Layout<'_>, solution: &mut Solution) {
    let Some(adjustment) = &layout.adjustment else { return };
    let spec = &layout.spec;
    let mut survey = SurveyResult::of(adjustment);
    let rows = rows(spec, solution);
    let mut gradients: Vec<Vec<(usize, Vec3)>> = Vec::new();
    for point in layout.used() {
        let along = |by: Vec3| -> Option<Vec<f64>> {
            let ahead = figures(&layout.moved(point, by * STEP)?, solution, &rows)?;
            let behind = figures(&layout.moved(point, by * -STEP)?, solution, &rows)?;
            Some(ahead.iter().zip(&behind).map(|(a, b)| (a - b) / (2.0 * STEP)).collect())
        };
        let axes = [Vec3::new(1.0, 0.0, 0.0), Vec3::new(0.0, 1.0, 0.0), Vec3::new(0.0, 0.0, 1.0)];
        let [Some(x), Some(y), Some(z)] = axes.map(along) else { continue };
        gradients.resize(x.len(), Vec::new());
        for (gradient, ((x, y), z)) in gradients.iter_mut().zip(x.iter().zip(&y).zip(&z)) {
            gradient.push((point, Vec3::new(*x, *y, *z)));
        }
    }
    let mut sigmas = gradients.iter().map(|gradient| adjustment.sigma(gradient)).collect::<Vec<_>>().into_iter();
    let mut next = || sigmas.next();
    for joint in &mut solution.joints {
        joint.angle_sigma = next().map(f64::to_degrees);
    }
    for (shaft, stated) in solution.shafts.iter_mut().zip(&spec.shafts) {
        // The gaps of the hubs are measured on the bench: the centre distance alone comes from the survey.
        let sigma = next();
        (shaft.centre_distance_sigma, shaft.cut_length_sigma) = (sigma, sigma);
        let extra = stated.leave + SAWING_SIGMAS * sigma.unwrap_or(0.0);
        let long = |length: f64| fit::round_up(length + extra, spec.build.tape_step);
        shaft.cut_long = long(shaft.cut_length);
        // Which member of a slip shaft is to take it up is seen when both are on.
        for member in &mut shaft.members {
            member.cut_long = long(member.cut_length);
        }
    }
    for end in [&mut solution.column, &mut solution.gear] {
        let parts = [next(), next(), next()];
        // A unit vector moves across itself alone, two ways.
        let square: f64 = parts.iter().flatten().map(|part| part * part).sum();
        end.axis_sigma = parts[0].map(|_| (square / 2.0).sqrt().to_degrees());
    }
    for (clearance, row) in solution.clearances.iter_mut().zip(&rows.gaps) {
        clearance.gap_sigma = next().filter(|_| !matches!(row, GapRow::Taped));
    }
    for (notch, row) in solution.notches.iter_mut().zip(&rows.notches) {
        if row.is_some() {
            notch.place_sigma = next().zip(next()).map(|(along, across)| NotchSigma { along, across });
        }
    }
    let loosest = solution
        .shafts
        .iter()
        .enumerate()
        .max_by(|(_, a), (_, b)| a.cut_length_sigma.unwrap_or(0.0).total_cmp(&b.cut_length_sigma.unwrap_or(0.0)));
    if let Some((i, shaft)) = loosest
        && let Some(gradient) = gradients.get(solution.joints.len() + i)
    {
        survey.advice = advice::advice(adjustment, gradient, &shaft.name);
    }
    solution.order = order::order(spec, &solution.shafts, &solution.bolts, &solution.notches);
    solution.survey = Some(survey);
}

/// What each clearance and notch of the solution hangs on.
struct Rows {
    gaps: Vec<GapRow>,
    notches: Vec<Option<WallPoint>>,
}

/// One clearance.
enum GapRow {
    /// The least distance to an obstacle or a whole rail.
    Free { part: String, obstacle: String, at: BTreeMap<String, f64> },
    /// To a point of a wall left standing, which is cut by its place on the rail.
    Wall(WallPoint),
    /// To a point taped from the shaft itself: no point of the survey is in it.
    Taped,
}

/// A body, and a point fixed to a rail.
#[derive(Clone, Copy)]
struct WallPoint {
    body: Body,
    rail: usize,
    /// In the rail's frame (mm).
    at: Vec3,
}

fn rows(spec: &Spec, solution: &Solution) -> Rows {
    let rails: Vec<Option<RailShape>> =
        spec.rails.iter().enumerate().map(|(i, rail)| rail::shape(rail, i, spec).ok()).collect();
    let body = |name: &str| {
        let joints = (0..spec.joints.len()).map(Body::Joint);
        let shafts = (0..spec.shafts.len()).map(Body::Shaft);
        [Body::Column, Body::Gear].into_iter().chain(joints).chain(shafts).find(|body| spec.body_name(*body) == name)
    };
    let on_wall = |part: &str, obstacle: &str, point: Vec3| {
        let rail = spec.rails.iter().position(|rail| rail.name == obstacle)?;
        let body = body(part)?;
        if !spec.notches.iter().any(|notch| notch.rail == rail && notch.bodies.contains(&body)) {
            return None;
        }
        let frame = &rails.get(rail)?.as_ref()?.frame;
        Some(WallPoint { body, rail, at: frame.local(point) })
    };
    let taped = |name: &str| {
        let mut beside = spec.obstacles.iter().filter(|one| matches!(one.shape, ObstacleShape::Beside { .. }));
        beside.any(|one| one.name == name)
    };
    let gaps = solution
        .clearances
        .iter()
        .map(|row| match on_wall(&row.part, &row.obstacle, row.point) {
            None if taped(&row.obstacle) => GapRow::Taped,
            Some(wall) => GapRow::Wall(wall),
            None => GapRow::Free { part: row.part.clone(), obstacle: row.obstacle.clone(), at: row.at.clone() },
        })
        .collect();
    let notches = solution
        .notches
        .iter()
        .map(|notch| {
            let near = solution.clearances.iter().filter(|row| row.obstacle == notch.rail);
            let near = near.filter_map(|row| Some((row.gap, on_wall(&row.part, &row.obstacle, row.point)?)));
            let nearest = near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, wall)| wall)?;
            place(spec, &rails, &bodies_of(spec, &solution.shafts)?, nearest).map(|_| nearest)
        })
        .collect();
    Rows { gaps, notches }
}

/// The rooms of the linkage, its phases left as they are.
fn bodies_of(spec: &Spec, as_solved: &[ShaftResult]) -> Option<Vec<Room>> {
    let chain = chain::chain(spec).ok()?;
    let twists = as_solved.iter().map(|shaft| shaft.twist.clone()).collect();
    let shafts = fit::shafts(spec, &chain, twists).ok()?;
    Some(bodies::rooms(spec, &chain, &shafts))
}

/// Joint angles (rad), centre distances, axes of column and gear, clearances, notch places (mm).
fn figures(spec: &Spec, as_solved: &Solution, rows: &Rows) -> Option<Vec<f64>> {
    let chain = chain::chain(spec).ok()?;
    let rooms = bodies_of(spec, &as_solved.shafts)?;
    let rails: Vec<RailShape> =
        spec.rails.iter().enumerate().map(|(i, rail)| rail::shape(rail, i, spec).ok()).collect::<Option<_>>()?;
    let of_plate =
        |row: &GapRow| matches!(row, GapRow::Free { obstacle, .. } if spec.plates.iter().any(|p| p.name == *obstacle));
    let plates: Vec<PlateResult> = if rows.gaps.iter().any(of_plate) {
        // Cut as drawn, and hung where the points then lie.
        let hung = spec.plates.iter().zip(&as_solved.plates);
        hung.map(|(plate, cut)| plate::hung(spec, &chain, plate, cut)).collect::<Option<_>>()?
    } else {
        Vec::new()
    };
    let mut figures = chain.angles.clone();
    figures.extend((0..spec.shafts.len()).map(|i| chain.span(i)));
    for axis in [spec.column.axis, spec.gear.axis] {
        figures.extend(<[f64; 3]>::from(axis));
    }
    for row in &rows.gaps {
        figures.push(match row {
            // Where a motion makes the gap least, it stays so to first order.
            GapRow::Free { part, obstacle, at } => {
                let around = Around { rails: &rails, plates: &plates };
                clearance::gap_at(spec, &chain, &rooms, around, (part, obstacle), at)?
            }
            GapRow::Taped => 0.0,
            GapRow::Wall(wall) => {
                let shapes: Vec<Convex> =
                    rooms.iter().filter(|room| room.body == wall.body).map(|room| solid(room.shape)).collect();
                let centre = rails.get(wall.rail)?.frame.out(wall.at);
                clearance::least(&shapes, &[Solid::Convex(Convex::Ball { centre, radius: 0.0 })])?.gap
            }
        });
    }
    let rails: Vec<Option<RailShape>> = rails.into_iter().map(Some).collect();
    for wall in rows.notches.iter().flatten() {
        figures.extend(place(spec, &rails, &rooms, *wall)?);
    }
    Some(figures)
}

/// A point of a wall in vehicle axes.
fn world(rails: &[Option<RailShape>], wall: WallPoint) -> Option<Vec3> {
    Some(rails.get(wall.rail)?.as_ref()?.frame.out(wall.at))
}

/// Where the axis of a body passes the line along the rail through a point of its wall: along the rail, and how far off.
/// `None` where it runs alongside.
fn place(spec: &Spec, rails: &[Option<RailShape>], rooms: &[Room], wall: WallPoint) -> Option<[f64; 2]> {
    let frame = &rails.get(wall.rail)?.as_ref()?.frame;
    let line = world(rails, wall)? - frame.x * wall.at.x;
    let of_body = rooms.iter().filter(|room| room.body == wall.body);
    if matches!(wall.body, Body::Joint(i) if i < spec.joints.len()) {
        let mut centres = of_body.filter_map(|room| match room.shape {
            RoomShape::Ball { centre, .. } => Some(centre),
            RoomShape::Cylinder { .. } => None,
        });
        let off = centres.next()? - line;
        let along = off.dot(frame.x);
        return Some([along, (off - frame.x * along).length()]);
    }
    let (from, to) = of_body
        .filter_map(|room| match room.shape {
            RoomShape::Cylinder { from, to, .. } => Some((from, to)),
            RoomShape::Ball { .. } => None,
        })
        .max_by(|a, b| (a.1 - a.0).length().total_cmp(&(b.1 - b.0).length()))?;
    let axis = (to - from).unit()?;
    let across = frame.x.cross(axis);
    if across.length() < ALONGSIDE {
        return None;
    }
    let normal = across.unit()?;
    let off = from - line;
    // Foot of the common perpendicular on the rail's line.
    let along = off.cross(axis).dot(across) / across.dot(across);
    Some([along, off.dot(normal)])
}

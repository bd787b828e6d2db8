//! Least gaps to obstacles and rails.
//!
//! A gap is the distance of the surfaces, 0 where they touch or overlap. A
//! rail is its metal: walls as boxes, corners as parts of rings, and a tube
//! is hollow. Where a rail is notched, the gap is to the wall left standing.
//! A plate is its metal with its openings cut; the gap to the body an opening
//! is round is the opening's own.

use std::collections::BTreeMap;

use crate::geometry::distance::{Closest, Convex, Profile, Revolved, Solid, ball, closest_below, tube};
use crate::geometry::{Frame, Vec3};
use crate::spec::Spec;
use crate::spec::types::{Body, Moved, Obstacle, ObstacleKind, ObstacleShape};

use super::bodies::{Room, RoomShape};
use super::chain::Chain;
use super::plate_metal::plate_solids;
use super::rail::RailShape;
use super::solution::{Clearance, PlateResult, TapedGap};
use super::travel::{self, Carried, First, Linkage};

/// Least gap from a body to what is left of a notched rail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotchGap {
    /// Index of the rail.
    pub rail: usize,
    /// A body the notch is cut for.
    pub body: Body,
    /// Gap to the wall left standing (mm).
    pub gap: f64,
    /// Nearest point of the wall left standing.
    pub point: Vec3,
}

/// Gap wanted (mm) where the spec states none.
///
/// Fixed frame 6 (a habit of 1/4 in), engine on its mounts 15 (custom-car guidance and workshop
/// manuals: 10 to 15), headers and exhaust 25 for their heat, suspension at its worst position 12.
/// Common practice, no source. An obstacle of no stated kind may move, so it gets the engine's.
pub const fn usual_need(kind: Option<ObstacleKind>) -> f64 {
    match kind {
        Some(ObstacleKind::Frame) => 6.0,
        Some(ObstacleKind::Engine) | None => 15.0,
        Some(ObstacleKind::Exhaust) => 25.0,
        Some(ObstacleKind::Suspension) => 12.0,
    }
}

/// Rails and plates as solved.
#[derive(Debug, Clone, Copy)]
pub struct Around<'a> {
    /// In the order of the spec.
    pub rails: &'a [RailShape],
    /// In the order of the spec.
    pub plates: &'a [PlateResult],
}

/// A plate that stays farther off than this (mm) has no row.
const FAR: f64 = 100.0;

/// Whether a plate has an opening round a body, or holds it as part of a mount.
fn opened_for(spec: &Spec, what: Moved, body: Body) -> bool {
    let Moved::Plate(i) = what else { return false };
    let Some(plate) = spec.plates.get(i) else { return false };
    let holds = || spec.mounts.all.iter().any(|mount| mount.plates.contains(&plate.name));
    plate.openings.iter().any(|opening| opening.around == body) || (body == Body::Column && holds())
}

/// One row for each body and obstacle, each body and rail, and each body and plate near it that has no opening round it; the tightest against its need first within a body.
///
/// `notch_gaps` take the place of the whole rail for the bodies its notches are cut for (the least where there are
/// several). Where a motion moves either, the gap is the least over all motions.
pub fn clearances(
    spec: &Spec,
    rooms: &[Room],
    around: Around<'_>,
    notch_gaps: &[NotchGap],
    linkage: Option<&Linkage>,
) -> Vec<Clearance> {
    let things = things(spec, around);
    let mut bodies: Vec<Body> = rooms.iter().map(|room| room.body).collect();
    bodies.sort_unstable();
    bodies.dedup();

    let mut rows = Vec::with_capacity(bodies.len() * things.len());
    for body in bodies {
        let shapes = shapes(rooms, body);
        let start = rows.len();
        for thing in things.iter().filter(|thing| !opened_for(spec, thing.what, body)) {
            let row = |gap, point| Clearance {
                part: spec.body_name(body).to_owned(),
                obstacle: thing.name.to_owned(),
                gap,
                gap_sigma: None,
                need: thing.need,
                at: BTreeMap::new(),
                point,
                lower: None,
                taped: None,
            };
            let after_notch = notch_gaps
                .iter()
                .filter(|notch| thing.what == Moved::Rail(notch.rail) && notch.body == body)
                .min_by(|a, b| a.gap.total_cmp(&b.gap))
                .map(|notch| (notch.gap, notch.point));
            let found = after_notch.or_else(|| least(&shapes, &thing.solids).map(|found| (found.gap, found.on_second)));
            rows.extend(found.map(|(gap, point)| {
                let taped = row(gap, point);
                // A notch is traced as taped, and so is what is left of its rail.
                if after_notch.is_some() {
                    return taped;
                }
                over_motions(spec, linkage, body, &shapes, thing, &taped).unwrap_or(taped)
            }));
            if matches!(thing.what, Moved::Plate(_)) {
                rows.pop_if(|row| row.part == spec.body_name(body) && row.obstacle == thing.name && row.judged() > FAR);
            }
        }
        // Stable: equal rows keep the order of the spec.
        rows[start..].sort_by(|a: &Clearance, b| (a.judged() - a.need).total_cmp(&(b.judged() - b.need)));
    }
    rows
}

/// The gap from a body to the wall of an opening in a plate over all motions; `None` where none moves either.
pub(super) fn to_rim(
    spec: &Spec,
    rooms: &[Room],
    linkage: Option<&Linkage>,
    (body, plate, clearance): (Body, usize, f64),
    wall: Vec<Solid>,
) -> Option<Clearance> {
    let shapes = shapes(rooms, body);
    let found = least(&shapes, &wall)?;
    let name = &spec.plates.get(plate)?.name;
    // What is cut closer as taped cannot be farther off elsewhere.
    let wanted = spec.plates[plate].need.unwrap_or(usual_need(Some(ObstacleKind::Frame)));
    let need = wanted.min(clearance);
    let taped = Clearance {
        part: spec.body_name(body).to_owned(),
        obstacle: name.clone(),
        gap: found.gap,
        gap_sigma: None,
        need,
        at: BTreeMap::new(),
        point: found.on_second,
        lower: None,
        taped: None,
    };
    let thing = Thing { name, what: Moved::Plate(plate), need, solids: wall };
    over_motions(spec, linkage, body, &shapes, &thing, &taped)
}

/// The row over all motions; `None` where none moves either the body or the thing.
fn over_motions(
    spec: &Spec,
    linkage: Option<&Linkage>,
    body: Body,
    shapes: &[Convex],
    thing: &Thing,
    taped: &Clearance,
) -> Option<Clearance> {
    let of_body = match body {
        Body::Column | Body::Gear => travel::moving(&spec.motions, Moved::End(body)),
        Body::Joint(_) | Body::Shaft(_) => Vec::new(),
    };
    let second = Carried::new(thing.solids.clone(), travel::moving(&spec.motions, thing.what));
    let first = Carried::new(shapes.iter().map(|shape| Solid::Convex(*shape)).collect(), of_body);
    let (side, lists) = match (body, linkage) {
        (Body::Joint(_) | Body::Shaft(_), Some(linkage)) => (First::Linked(linkage, body), linkage.moves()),
        _ => (First::Carried(&first), vec![first.moves()]),
    };
    let of_either = |m: &usize| second.moves().contains(m) || lists.iter().any(|list| list.contains(m));
    let moves: Vec<usize> = (0..spec.motions.len()).filter(of_either).collect();
    if moves.is_empty() {
        return None;
    }
    let found = travel::least(&spec.motions, side, &second, travel::BUDGET)?;
    Some(Clearance {
        gap: found.gap,
        at: travel::values(&spec.motions, &moves, &found.steps),
        point: found.point,
        lower: Some(found.lower),
        taped: Some(TapedGap { gap: taped.gap, point: taped.point }),
        ..taped.clone()
    })
}

/// The gap of a row's body and obstacle with the motions at the values `at`, and the obstacle whole.
pub(super) fn gap_at(
    spec: &Spec,
    chain: &Chain,
    rooms: &[Room],
    around: Around<'_>,
    (part, obstacle): (&str, &str),
    at: &BTreeMap<String, f64>,
) -> Option<f64> {
    let body = rooms.iter().map(|room| room.body).find(|body| spec.body_name(*body) == part)?;
    let thing = things(spec, around).into_iter().find(|thing| thing.name == obstacle)?;
    let moves = travel::moving(&spec.motions, thing.what);
    let steps = travel::steps(&spec.motions, at);
    let carried = Carried::new(Vec::new(), moves).place(&spec.motions, &steps);
    let solids: Vec<Solid> = thing.solids.iter().map(|solid| solid.moved(&carried)).collect();
    let shapes = match Linkage::new(spec, chain).filter(|_| !at.is_empty()) {
        Some(linkage) => {
            let mut moved = linkage.scratch();
            let chain = linkage.chain(&spec.motions, &steps, &mut moved).ok()?;
            Linkage::solids(&moved, &chain, body)
        }
        None => shapes(rooms, body),
    };
    least(&shapes, &solids).map(|found| found.gap)
}

fn shapes(rooms: &[Room], body: Body) -> Vec<Convex> {
    rooms.iter().filter(|room| room.body == body).map(|room| solid(room.shape)).collect()
}

/// Something to be kept clear of.
struct Thing<'a> {
    name: &'a str,
    what: Moved,
    need: f64,
    solids: Vec<Solid>,
}

/// Obstacles, then rails, then plates.
fn things<'a>(spec: &'a Spec, around: Around<'_>) -> Vec<Thing<'a>> {
    let obstacles = spec.obstacles.iter().enumerate().map(|(i, obstacle)| Thing {
        name: &obstacle.name,
        what: Moved::Obstacle(i),
        need: obstacle.need.unwrap_or(usual_need(obstacle.kind)),
        solids: obstacle_solids(obstacle),
    });
    let rails = spec.rails.iter().zip(around.rails).enumerate().map(|(i, (rail, shape))| Thing {
        name: &rail.name,
        what: Moved::Rail(i),
        need: usual_need(Some(ObstacleKind::Frame)),
        solids: rail_solids(shape),
    });
    let plates = spec.plates.iter().zip(around.plates).enumerate().map(|(i, (plate, result))| Thing {
        name: &plate.name,
        what: Moved::Plate(i),
        need: plate.need.unwrap_or(usual_need(Some(ObstacleKind::Frame))),
        solids: plate_solids(result),
    });
    obstacles.chain(rails).chain(plates).collect()
}

/// Nearest of any of the shapes to any of the solids; `None` where either is empty.
///
/// Pairs are looked at by how far apart the balls about them are, until none can be nearer than the best.
pub(super) fn least(shapes: &[Convex], solids: &[Solid]) -> Option<Closest> {
    let balls: Vec<_> = solids.iter().map(ball).collect();
    let mut pairs = Vec::with_capacity(shapes.len() * solids.len());
    for shape in shapes {
        let (centre, radius) = ball(shape);
        let apart = |&(other, size): &(Vec3, f64)| (other - centre).length() - radius - size;
        pairs.extend(balls.iter().map(apart).zip(solids).map(|(apart, solid)| (apart, shape, solid)));
    }
    // Stable: equal ones keep their order.
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Option<Closest> = None;
    for (apart, shape, solid) in pairs {
        let enough = best.map_or(f64::INFINITY, |best| best.gap);
        if apart >= enough {
            break;
        }
        best = closest_below(shape, solid, enough).or(best);
    }
    best
}

/// A room as a solid.
pub fn solid(shape: RoomShape) -> Convex {
    match shape {
        RoomShape::Cylinder { from, to, radius } => Convex::Cylinder { from, to, radius },
        RoomShape::Ball { centre, radius } => Convex::Ball { centre, radius },
    }
}

/// The solids of an obstacle. A tube without bend radius is mitred.
pub fn obstacle_solids(obstacle: &Obstacle) -> Vec<Solid> {
    match &obstacle.shape {
        ObstacleShape::Tube { path, diameter, bend } => tube(path, diameter / 2.0, *bend),
        ObstacleShape::Ball { centre, diameter } => {
            vec![Solid::Convex(Convex::Ball { centre: *centre, radius: diameter / 2.0 })]
        }
        // Known by one point; its rows are those of [`super::beside`].
        ObstacleShape::Beside { .. } => Vec::new(),
        ObstacleShape::Box { corner, edges } => vec![Solid::Convex(Convex::Block { corner: *corner, edges: *edges })],
    }
}

/// The metal of a whole rail between its two points: a box a flat, a part of a ring a corner.
///
/// Inside corners have the radius corner − wall, or none.
pub fn rail_solids(rail: &RailShape) -> Vec<Solid> {
    let along = rail.frame.x * rail.length;
    rail.pieces()
        .map(|piece| {
            let (_, normal) = piece.point(0.0);
            match piece.centre {
                None => Solid::Convex(Convex::Block {
                    corner: rail.place(0.0, piece.from),
                    edges: [along, rail.direction(piece.to - piece.from), rail.direction(-normal) * rail.wall],
                }),
                Some(centre) => {
                    let radius = (piece.from - centre).length();
                    // Clockwise seen along +u is right-handed about +u.
                    let (x, z) = (rail.direction(normal), rail.frame.x);
                    Solid::Revolved(Revolved {
                        frame: Frame { origin: rail.place(0.0, centre), x, y: z.cross(x), z },
                        start: 0.0,
                        sweep: piece.length / radius,
                        profile: Profile::Rectangle {
                            radius: [(radius - rail.wall).max(0.0), radius],
                            height: [0.0, rail.length],
                        },
                    })
                }
            }
        })
        .collect()
}

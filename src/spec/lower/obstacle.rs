//! What must be cleared.

use super::names::{Named, Names, unique};
use crate::geometry::Vec3;
use crate::quantity::{both_units, degrees};
use crate::spec::raw::{Node, Reader, Table};
use crate::spec::types::{Body, Moved, Obstacle, ObstacleKind, ObstacleShape};

/// Two points are never nearer than this (mm).
const SAME_POINT: f64 = 0.01;

/// Sharpest turn (rad) of a tube: 175 degrees. Beyond, the path doubles back on itself.
const SHARPEST: f64 = 175.0 * std::f64::consts::PI / 180.0;

/// Volume of a box over the product of its edges, at least: flatter is a sheet.
const FLATTEST: f64 = 1e-6;

pub(super) fn obstacles(reader: &mut Reader<'_>, root: &Table<'_>, names: &Names) -> Option<Vec<Obstacle>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(root, "obstacle") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let shape = match table.chosen(&["tube", "ball", "box", "mesh", "beside"]) {
            Some("tube") => tube(reader, &table),
            Some("ball") => ball(reader, &table),
            Some("box") => cuboid(reader, &table),
            Some("beside") => beside(reader, &table, names),
            _ => None,
        };
        let kind = reader.word(&table, "kind").map(|word| match word {
            "frame" => ObstacleKind::Frame,
            "engine" => ObstacleKind::Engine,
            "exhaust" => ObstacleKind::Exhaust,
            _ => ObstacleKind::Suspension,
        });
        let need = reader.length(&table, "need");
        let whole = || Some(Obstacle { name: name?, shape: shape?, kind, need });
        all.push(whole());
    }
    unique(reader, &named, "obstacles");
    all.into_iter().collect()
}

/// Names of those that have a place of their own, so that it can move.
pub(super) fn movable(obstacles: &[Obstacle]) -> impl Iterator<Item = (Option<&str>, Moved)> {
    let placed = |obstacle: &Obstacle| !matches!(obstacle.shape, ObstacleShape::Beside { .. });
    let named = obstacles.iter().enumerate().filter(move |(_, obstacle)| placed(obstacle));
    named.map(|(i, obstacle)| (Some(obstacle.name.as_str()), Moved::Obstacle(i)))
}

fn tube(reader: &mut Reader<'_>, obstacle: &Table<'_>) -> Option<ObstacleShape> {
    let table = reader.table(obstacle, "tube")?;
    let diameter = reader.length(&table, "diameter");
    let bend = reader.length(&table, "bend");
    let path = reader.points(&table, "path");
    if let (Some(bend), Some(diameter)) = (bend, diameter)
        && bend < diameter / 2.0
    {
        let message = format!(
            "`bend` is {}; half the diameter, {}, or more is allowed",
            both_units(bend, reader.units),
            both_units(diameter / 2.0, reader.units)
        );
        reader.error(
            "bad-value",
            table.span_of("bend"),
            message,
            "give the radius of the centre line, not of the inside",
        );
        return None;
    }
    let path = path?;
    let turns = turns(reader, &path)?;
    if let Some(bend) = bend {
        if path.len() == 2 {
            let message = "`bend` does nothing on a straight tube of two points";
            reader.error(
                "no-meaning",
                table.span_of("bend"),
                message,
                "take `bend` out, or add the corner points of the path",
            );
        }
        bends(reader, &table, &path, &turns, bend)?;
    }
    Some(ObstacleShape::Tube { path: path.into_iter().map(|(_, point)| point).collect(), diameter: diameter?, bend })
}

/// Angle (rad) by which the path turns at each point; 0 at its ends. `None` where two points are one or it doubles back.
fn turns(reader: &mut Reader<'_>, path: &[(Node<'_>, Vec3)]) -> Option<Vec<f64>> {
    let mut turns = vec![0.0; path.len()];
    let mut sound = true;
    for (i, pair) in path.windows(2).enumerate() {
        let [(_, a), (node, b)] = pair else { continue };
        if (*b - *a).length() < SAME_POINT {
            let message = format!("points {} and {} of the path are the same", i + 1, i + 2);
            reader.error("duplicate", node.span.clone(), message, "take one of them out");
            sound = false;
        }
    }
    for (i, three) in path.windows(3).enumerate() {
        let [(_, a), (node, b), (_, c)] = three else { continue };
        let turn = (*b - *a).angle_to(*c - *b);
        if sound && turn > SHARPEST {
            let message = format!(
                "the path turns by {} here; at most {} is allowed",
                degrees(turn.to_degrees(), 0),
                degrees(SHARPEST.to_degrees(), 0)
            );
            reader.error(
                "degenerate",
                node.span.clone(),
                message,
                "describe a tube that doubles back as two obstacles",
            );
            sound = false;
        }
        if let Some(at) = turns.get_mut(i + 1) {
            *at = turn;
        }
    }
    sound.then_some(turns)
}

/// Every leg must hold the halves of its two bends: radius × tan(turn / 2) each.
fn bends(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    path: &[(Node<'_>, Vec3)],
    turns: &[f64],
    bend: f64,
) -> Option<()> {
    /// Room (mm) for a leg that is all bend.
    const EXACT: f64 = 1e-6;
    for (i, (pair, turn)) in path.windows(2).zip(turns.windows(2)).enumerate() {
        let ([(_, a), (_, b)], [before, after]) = (pair, turn) else { continue };
        let leg = (*b - *a).length();
        let taken = bend * (libm::tan(before / 2.0) + libm::tan(after / 2.0));
        if taken > leg + EXACT {
            let message = format!(
                "a bend of {} takes {} of the leg from point {} to {}, which is {} long",
                both_units(bend, reader.units),
                both_units(taken, reader.units),
                i + 1,
                i + 2,
                both_units(leg, reader.units)
            );
            let most = bend * leg / taken;
            let help = format!("at most {} fits there; or move the points apart", both_units(most, reader.units));
            reader.error("bad-value", table.span_of("bend"), message, help);
            return None;
        }
    }
    Some(())
}

fn ball(reader: &mut Reader<'_>, obstacle: &Table<'_>) -> Option<ObstacleShape> {
    let table = reader.table(obstacle, "ball")?;
    let centre = reader.point(&table, "centre");
    let diameter = reader.length(&table, "diameter");
    Some(ObstacleShape::Ball { centre: centre?, diameter: diameter? })
}

fn cuboid(reader: &mut Reader<'_>, obstacle: &Table<'_>) -> Option<ObstacleShape> {
    let table = reader.table(obstacle, "box")?;
    let corner = reader.point(&table, "corner");
    let edges = reader.points(&table, "edges")?;
    let [(_, a), (_, b), (_, c)] = edges[..] else { return None };
    let volume = a.cross(b).dot(c).abs();
    if volume <= FLATTEST * a.length() * b.length() * c.length() {
        let message = "the three edges lie in one plane; a box has height, width and depth";
        reader.error(
            "degenerate",
            table.span_of("edges"),
            message,
            "give three edges from the corner, such as [[4, 0, 0], [0, 2, 0], [0, 0, 3]]",
        );
        return None;
    }
    Some(ObstacleShape::Box { corner: corner?, edges: [a, b, c] })
}

fn beside(reader: &mut Reader<'_>, obstacle: &Table<'_>, names: &Names) -> Option<ObstacleShape> {
    let table = reader.table(obstacle, "beside")?;
    let body = reader
        .reference(&table, "shaft")
        .and_then(|(node, text)| names.body(reader, &node, text, "shaft", |body| matches!(body, Body::Shaft(_))));
    let from_upper_face = reader.length(&table, "from_upper_face");
    let gap = reader.length(&table, "gap");
    let clock = reader.angle(&table, "clock").unwrap_or(0.0);
    let Some(Body::Shaft(shaft)) = body else { return None };
    Some(ObstacleShape::Beside { shaft, from_upper_face: from_upper_face?, gap: gap?, clock })
}

//! Outlines of plates.

use crate::geometry::{Vec2, segment};
use crate::quantity::both_units;
use crate::spec::keys::Sign;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::Outline;

/// Corners are never nearer to one another, or to an edge that is not theirs, than this (mm): under it nobody cuts two.
const LEAST_EDGE: f64 = 0.1;

/// Least turn (rad) at a corner: at half a degree it is a reading error on a straight edge.
const LEAST_TURN: f64 = 0.0087;

/// Corners of one polygon.
const CORNERS: std::ops::RangeInclusive<usize> = 3..=100;

/// A plate's outline; reports corners that make none, and a radius that has no room.
pub(super) fn outline(reader: &mut Reader<'_>, plate: &Table<'_>) -> Option<Outline> {
    let table = reader.table(plate, "outline")?;
    let corner = reader.length(&table, "corner").unwrap_or(0.0);
    if table.chosen(&["rectangle", "polygon"])? == "rectangle" {
        let size = reader.pair(&table, "rectangle", Sign::Positive)?;
        let most = size.x.min(size.y) / 2.0;
        if corner > most {
            let message = format!(
                "`corner` is {}; at most half the shorter side, {}, is allowed",
                both_units(corner, reader.units),
                both_units(most, reader.units)
            );
            reader.error("bad-value", table.span_of("corner"), message, "give the radius of the plate's corners");
            return None;
        }
        return Some(Outline::rectangle([size.x, size.y], corner));
    }
    let mut corners = reader.pairs(&table, "polygon")?;
    if let Some((message, help)) = wrong(&corners) {
        reader.error("bad-outline", table.span_of("polygon"), message, help);
        return None;
    }
    let area: f64 = edges(&corners).map(|(_, [a, b])| a.cross(b)).sum();
    if area < 0.0 {
        corners.reverse();
    }
    let outline = Outline { corners, radius: corner };
    if let Some(message) = no_room(&outline, reader) {
        reader.error("bad-value", table.span_of("corner"), message, "give a smaller radius, or longer edges");
        return None;
    }
    Some(outline)
}

fn edges(corners: &[Vec2]) -> impl Iterator<Item = (usize, [Vec2; 2])> + Clone + '_ {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(&a, &b)| [a, b]).enumerate()
}

/// What keeps corners from being an outline; the first such thing.
fn wrong(corners: &[Vec2]) -> Option<(String, &'static str)> {
    let count = corners.len();
    if !CORNERS.contains(&count) {
        let message = format!("the outline has {count} corners; 3 to 100 are allowed");
        return Some((message, "list every corner once, the first not again at the end"));
    }
    if let Some((i, _)) = edges(corners).find(|(_, [a, b])| (*b - *a).length() < LEAST_EDGE) {
        let message = format!("corners {} and {} of the outline are one point", i + 1, (i + 1) % count + 1);
        return Some((message, "list every corner once, the first not again at the end"));
    }
    let turns = Outline { corners: corners.to_vec(), radius: 0.0 }.turns();
    for (i, turn) in turns.iter().enumerate() {
        if turn.abs() < LEAST_TURN {
            let message = format!("corner {} of the outline lies on the line between its neighbours", i + 1);
            return Some((message, "take it out, or measure it again"));
        }
        if turn.abs() > std::f64::consts::PI - LEAST_TURN {
            let message = format!("at corner {} the outline runs back along itself", i + 1);
            return Some((message, "list the corners in turn, once round the plate"));
        }
    }
    for (i, edge) in edges(corners) {
        for (j, other) in edges(corners).skip(i + 2) {
            let neighbours = i == 0 && j == count - 1;
            if !neighbours && segment::apart(edge.into(), other.into()) < LEAST_EDGE {
                let message = format!("the edges from corners {} and {} of the outline meet", i + 1, j + 1);
                return Some((message, "list the corners in turn, once round the plate"));
            }
        }
    }
    None
}

/// A rounding takes radius × tan(turn / 2) of each edge beside it; says where two leave nothing of an edge.
fn no_room(outline: &Outline, reader: &Reader<'_>) -> Option<String> {
    /// Roundings may just meet (mm).
    const TOUCH: f64 = 1e-9;
    let takes: Vec<f64> = outline.turns().iter().map(|turn| outline.radius * libm::tan(turn.abs() / 2.0)).collect();
    let count = takes.len();
    edges(&outline.corners).find_map(|(i, [a, b])| {
        let (length, taken) = ((b - a).length(), takes[i] + takes[(i + 1) % count]);
        (taken > length + TOUCH).then(|| {
            let most = outline.radius * length / taken;
            format!(
                "`corner` is {}; the edge from corner {} to corner {} has room for {}",
                both_units(outline.radius, reader.units),
                i + 1,
                (i + 1) % count + 1,
                both_units(most, reader.units)
            )
        })
    })
}

//! Plates with their holes and openings.

use super::names::{Named, Names, unique};
use crate::catalog::fasteners;
use crate::geometry::Vec2;
use crate::quantity::both_units;
use crate::spec::keys::Sign;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Axes, Body, DriveEnd, Hole, HoleSize, Opening, Plate, PlatePlace};

/// Sine of the least angle (rad) between two directions that make a plane: at 1 degree a hair of reading
/// error at either point swings the plate by many.
const LEAST_ANGLE: f64 = 0.0175;

/// Two points are never nearer than this (mm).
const SAME_POINT: f64 = 0.01;

/// Most holes of one list.
const MOST_HOLES: usize = 1000;

pub(super) fn plates(
    reader: &mut Reader<'_>,
    root: &Table<'_>,
    names: &Names,
    column: Option<&DriveEnd>,
    gear: Option<&DriveEnd>,
) -> Option<Vec<Plate>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(root, "plate") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let place = match table.chosen(&["origin", "square_to"]) {
            Some("origin") => three_points(reader, &table),
            Some(_) => square_to(reader, &table, column, gear),
            None => None,
        };
        let outline = outline(reader, &table);
        let thick = reader.length(&table, "thick");
        let holes = holes(reader, &table);
        let openings = openings(reader, &table, names);
        let whole = || {
            let (size, corner) = outline?;
            Some(Plate { name: name?, place: place?, size, corner, thick: thick?, holes: holes?, openings: openings? })
        };
        all.push(whole());
    }
    unique(reader, &named, "plates");
    all.into_iter().collect()
}

fn three_points(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<PlatePlace> {
    let missing: Vec<&str> = ["right", "up"].into_iter().filter(|key| !table.has(key)).collect();
    for key in &missing {
        let message = format!("a plate by three points has no `{key}`; `origin`, `right` and `up` go together");
        reader.error("missing-key", table.span.clone(), message, format!("add `{key} = [x, y, z]`"));
    }
    let (origin, right, up) = (reader.point(table, "origin"), reader.point(table, "right"), reader.point(table, "up"));
    let (origin, right, up) = (origin?, right?, up?);
    let (u, v) = (right - origin, up - origin);
    if u.cross(v).length() <= LEAST_ANGLE * u.length() * v.length()
        || u.length() < SAME_POINT
        || v.length() < SAME_POINT
    {
        let message = "`origin`, `right` and `up` lie in one line; three points off a line make a plane";
        reader.error(
            "degenerate",
            table.span_of("up"),
            message,
            "measure `up` well to the side of the line from origin to right",
        );
        return None;
    }
    Some(PlatePlace::Points { origin, right, up })
}

fn square_to(
    reader: &mut Reader<'_>,
    plate: &Table<'_>,
    column: Option<&DriveEnd>,
    gear: Option<&DriveEnd>,
) -> Option<PlatePlace> {
    for key in ["right", "up"].into_iter().filter(|key| plate.has(key)) {
        let message = format!("`{key}` goes with `origin`; this plate has `square_to`");
        reader.error("one-too-many", plate.span_of(key), message, "take it out, or write `up` inside `square_to`");
    }
    let table = reader.table(plate, "square_to")?;
    let axis = reader.word(&table, "axis").map(|word| if word == "column" { Body::Column } else { Body::Gear });
    let from_end = reader.length(&table, "from_end");
    let up = reader.direction(&table, "up");
    let zero = reader.pair(&table, "zero", Sign::Any);
    let end = if axis == Some(Body::Column) { column } else { gear };
    if let (Some(up), Some(end), Axes::Vehicle) = (up, end, reader.axes)
        && up.cross(end.axis).length() < LEAST_ANGLE
    {
        let message = "`up` runs along the axis the plate is square to; it must lie across it";
        reader.error(
            "degenerate",
            table.span_of("up"),
            message,
            "give the direction in which the plate's top edge lies",
        );
        return None;
    }
    Some(PlatePlace::SquareTo { axis: axis?, from_end: from_end?, up: up?, zero: zero? })
}

fn outline(reader: &mut Reader<'_>, plate: &Table<'_>) -> Option<([f64; 2], f64)> {
    let table = reader.table(plate, "outline")?;
    let size = reader.pair(&table, "rectangle", Sign::Positive);
    let corner = reader.length(&table, "corner").unwrap_or(0.0);
    let size = size?;
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
    Some(([size.x, size.y], corner))
}

fn holes(reader: &mut Reader<'_>, plate: &Table<'_>) -> Option<Vec<Hole>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(plate, "hole") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let at = match table.chosen(&["at", "ring", "grid"]) {
            Some("at") => reader.pairs(&table, "at"),
            Some("ring") => ring(reader, &table),
            Some(_) => grid(reader, &table),
            None => None,
        };
        if let Some(at) = &at {
            distinct(reader, &table, at);
        }
        let size = match table.chosen(&["bolt", "drill", "tap"]) {
            Some("bolt") => clearance(reader, &table),
            Some("drill") => reader.length(&table, "drill").map(HoleSize::Drill),
            _ => None,
        };
        let slot = reader.table(&table, "slot").map(|slot| {
            let length = reader.length(&slot, "length");
            let angle = reader.angle(&slot, "angle").unwrap_or(0.0);
            length.map(|length| (length, angle))
        });
        let whole =
            || Some(Hole { name: name?, at: at?, size: size?, slot: slot.map_or(Some(None), |slot| slot.map(Some))? });
        all.push(whole());
    }
    unique(reader, &named, "holes of one plate");
    all.into_iter().collect()
}

/// No two centres of a list are one.
fn distinct(reader: &mut Reader<'_>, hole: &Table<'_>, at: &[Vec2]) {
    let key = hole.chosen(&["at", "ring", "grid"]).unwrap_or("at");
    if at.len() > MOST_HOLES {
        let message = format!("the list has {} holes; up to {MOST_HOLES} are allowed in one", at.len());
        reader.error("bad-count", hole.span_of(key), message, "divide it among several [[plate.hole]] tables");
        return;
    }
    let again = |(i, p): (usize, &Vec2)| at.iter().take(i).any(|q| (*q - *p).length() < SAME_POINT);
    if at.iter().enumerate().any(again) {
        let message = "two of these holes have one centre; each hole has its own";
        reader.error("duplicate", hole.span_of(key), message, "take the second out");
    }
}

fn ring(reader: &mut Reader<'_>, hole: &Table<'_>) -> Option<Vec<Vec2>> {
    let table = reader.table(hole, "ring")?;
    let centre = reader.pair(&table, "centre", Sign::Any);
    let diameter = reader.length(&table, "diameter");
    let count = reader.count(&table, "count");
    let start = reader.angle(&table, "start").unwrap_or(0.0);
    let (centre, radius, count) = (centre?, diameter? / 2.0, count?);
    let step = std::f64::consts::TAU / f64::from(count);
    Some((0..count).map(|i| centre + Vec2::polar(start + step * f64::from(i)) * radius).collect())
}

/// Row by row, each along u.
fn grid(reader: &mut Reader<'_>, hole: &Table<'_>) -> Option<Vec<Vec2>> {
    let table = reader.table(hole, "grid")?;
    let from = reader.pair(&table, "from", Sign::Any);
    let step = reader.pair(&table, "step", Sign::Any);
    let count = reader.counts(&table, "count");
    let (from, step, [across, up]) = (from?, step?, count?);
    let row =
        |j: u32| (0..across).map(move |i| Vec2::new(from.x + step.x * f64::from(i), from.y + step.y * f64::from(j)));
    Some((0..up).flat_map(row).collect())
}

/// `5/16 normal`: the clearance hole of a bolt by its fit.
fn clearance(reader: &mut Reader<'_>, hole: &Table<'_>) -> Option<HoleSize> {
    let (node, text) = reader.reference(hole, "bolt")?;
    match fasteners::clearance(text) {
        Ok(found) => Some(HoleSize::Clearance {
            bolt: found.bolt.clone(),
            fit: found.fit.clone(),
            diameter: found.diameter,
            drill: found.drill.clone(),
            source: found.source.clone(),
        }),
        Err(unknown) => {
            reader.error("unknown-name", node.span, unknown.to_string(), unknown.help());
            None
        }
    }
}

fn openings(reader: &mut Reader<'_>, plate: &Table<'_>, names: &Names) -> Option<Vec<Opening>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(plate, "opening") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let clearance = reader.length(&table, "clearance");
        let around = reader.reference(&table, "around").and_then(|(node, text)| {
            let has_axis = |body| !matches!(body, Body::Joint(_));
            names.body(reader, &node, text, "shaft", has_axis)
        });
        let whole = || Some(Opening { name: name?, around: around?, clearance: clearance? });
        all.push(whole());
    }
    unique(reader, &named, "openings of one plate");
    all.into_iter().collect()
}

//! Plates with their holes and openings.

use super::bend::bends;
use super::hole::holes;
use super::names::{Named, Names, unique};
use super::outline::outline;
use crate::spec::keys::Sign;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Axes, Body, DriveEnd, Opening, OpeningShape, Plate, PlatePlace};

/// Sine of the least angle (rad) between two directions that make a plane: at 1 degree a hair of reading
/// error at either point swings the plate by many.
const LEAST_ANGLE: f64 = 0.0175;

/// Two points are never nearer than this (mm).
const SAME_POINT: f64 = 0.01;

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
        let holes = holes(reader, &table, thick);
        let openings = openings(reader, &table, names);
        let bends = bends(reader, &table);
        let need = reader.length(&table, "need");
        let whole = || {
            let (outline, thick) = (outline?, thick?);
            Some(Plate {
                name: name?,
                place: place?,
                outline,
                thick,
                holes: holes?,
                openings: openings?,
                bends: bends?,
                need,
            })
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
        let around = reader
            .reference(&table, "around")
            .and_then(|(node, text)| names.body(reader, &node, text, "joint or shaft", |_| true));
        let shape = reader.word(&table, "shape").map(|word| match word {
            "ellipse" => OpeningShape::Ellipse,
            "round" => OpeningShape::Round,
            _ => OpeningShape::Slot,
        });
        // A joint's own shadow is no shape of a shop.
        let shape = shape.or_else(|| matches!(around, Some(Body::Joint(_))).then_some(OpeningShape::Round));
        let whole = || Some(Opening { name: name?, around: around?, clearance: clearance?, shape });
        all.push(whole());
    }
    unique(reader, &named, "openings of one plate");
    all.into_iter().collect()
}

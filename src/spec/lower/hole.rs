//! Holes of plates.

use std::f64::consts::{PI, TAU};

use super::names::{Named, unique};
use crate::catalog::fasteners;
use crate::geometry::Vec2;
use crate::quantity::both_units;
use crate::spec::keys::Sign;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Countersink, Hole, HolePlace, HoleSize};

/// Most holes of one set.
const MOST_HOLES: usize = 1000;

/// Two centres are never nearer than this (mm).
const SAME_POINT: f64 = 0.01;

/// Greatest angle (rad) of a countersink; cutters are made up to 120 degrees (common practice, no source).
const WIDEST: f64 = 150.0 * PI / 180.0;

pub(super) fn holes(reader: &mut Reader<'_>, plate: &Table<'_>, thick: Option<f64>) -> Option<Vec<Hole>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(plate, "hole") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let slot = reader.table(&table, "slot").map(|slot| {
            let length = reader.length(&slot, "length");
            let angle = reader.angle(&slot, "angle").unwrap_or(0.0);
            length.map(|length| (length, angle))
        });
        let at = places(reader, &table, slot.flatten().map_or(0.0, |(_, angle)| angle));
        let size = match table.chosen(&["bolt", "drill", "tap"]) {
            Some("bolt") => clearance(reader, &table),
            Some("drill") => reader.length(&table, "drill").map(HoleSize::Drill),
            Some(_) => tapped(reader, &table),
            None => None,
        };
        if slot.is_some() && matches!(size, Some(HoleSize::Tap { .. })) {
            let message = "a tapped hole is round; this one has a `slot`";
            reader.error("one-too-many", table.span_of("slot"), message, "take one of them out");
        }
        // What is left out is well, what is wrong is not.
        let depth = if table.has("depth") { depth(reader, &table, thick).map(Some) } else { Some(None) };
        let countersink =
            if table.has("countersink") { countersink(reader, &table, size.as_ref()).map(Some) } else { Some(None) };
        let whole = || {
            Some(Hole {
                name: name?,
                at: at?,
                size: size?,
                slot: slot.map_or(Some(None), |slot| slot.map(|(length, _)| Some(length)))?,
                depth: depth?,
                countersink: countersink?,
            })
        };
        all.push(whole());
    }
    unique(reader, &named, "holes of one plate");
    all.into_iter().collect()
}

/// All centres of a set, mirrored ones behind their own.
fn places(reader: &mut Reader<'_>, table: &Table<'_>, angle: f64) -> Option<Vec<HolePlace>> {
    let key = table.chosen(&["at", "ring", "grid"]);
    let at = match key {
        Some("at") => reader.pairs(table, "at"),
        Some("ring") => ring(reader, table),
        Some(_) => grid(reader, table),
        None => None,
    };
    let mut lines = Vec::new();
    if let Some(mirror) = reader.table(table, "mirror") {
        let (u, v) = (reader.length(&mirror, "u"), reader.length(&mirror, "v"));
        if !mirror.has("u") && !mirror.has("v") {
            let message = "`mirror` has neither `u` nor `v`; a line to mirror across is wanted";
            let help = "write { u = .. } for a pair side by side, { v = .. } for one over the other";
            reader.error("missing-key", mirror.span.clone(), message, help);
        }
        lines.extend(u.map(|u| (true, u)));
        lines.extend(v.map(|v| (false, v)));
    }
    let mut all: Vec<HolePlace> = at?.into_iter().map(|centre| HolePlace { centre, angle }).collect();
    for (upright, line) in lines {
        let far = |p: Vec2| if upright { Vec2::new(2.0 * line - p.x, p.y) } else { Vec2::new(p.x, 2.0 * line - p.y) };
        // A hole on the line is its own image.
        let images: Vec<HolePlace> = all
            .iter()
            .filter(|place| (far(place.centre) - place.centre).length() >= SAME_POINT)
            .map(|place| HolePlace {
                centre: far(place.centre),
                angle: if angle == 0.0 { 0.0 } else { PI - place.angle },
            })
            .collect();
        all.extend(images);
    }
    distinct(reader, table, key.unwrap_or("at"), &all);
    Some(all)
}

/// No two centres of a set are one.
fn distinct(reader: &mut Reader<'_>, hole: &Table<'_>, key: &'static str, at: &[HolePlace]) {
    if at.len() > MOST_HOLES {
        let message = format!("the list has {} holes; up to {MOST_HOLES} are allowed in one", at.len());
        reader.error("bad-count", hole.span_of(key), message, "divide it among several [[plate.hole]] tables");
        return;
    }
    let again = |(i, p): (usize, &HolePlace)| at.iter().take(i).any(|q| (q.centre - p.centre).length() < SAME_POINT);
    if at.iter().enumerate().any(again) {
        let (message, help) = if hole.has("mirror") {
            ("two of these holes have one centre once they are mirrored", "list one hole of each pair only")
        } else {
            ("two of these holes have one centre; each hole has its own", "take the second out")
        };
        reader.error("duplicate", hole.span_of(key), message, help);
    }
}

fn ring(reader: &mut Reader<'_>, hole: &Table<'_>) -> Option<Vec<Vec2>> {
    let table = reader.table(hole, "ring")?;
    let centre = reader.pair(&table, "centre", Sign::Any);
    let diameter = reader.length(&table, "diameter");
    let count = reader.count(&table, "count");
    let start = reader.angle(&table, "start").unwrap_or(0.0);
    let (centre, radius, count) = (centre?, diameter? / 2.0, count?);
    let step = TAU / f64::from(count);
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
pub(super) fn clearance(reader: &mut Reader<'_>, hole: &Table<'_>) -> Option<HoleSize> {
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

/// `5/16-18`: the tap drill of a thread.
fn tapped(reader: &mut Reader<'_>, hole: &Table<'_>) -> Option<HoleSize> {
    let (node, text) = reader.reference(hole, "tap")?;
    let Some(entry) = fasteners::thread(text) else {
        reader.no_such(&node, text, "thread", &fasteners::thread_names());
        return None;
    };
    Some(HoleSize::Tap {
        thread: entry.thread.name.clone(),
        major: entry.thread.diameter,
        pitch: entry.thread.pitch,
        diameter: entry.tap_diameter,
        drill: entry.tap_drill.clone(),
        source: entry.source.clone(),
    })
}

/// Depth of a blind hole: less than the plate is thick.
fn depth(reader: &mut Reader<'_>, hole: &Table<'_>, thick: Option<f64>) -> Option<f64> {
    let depth = reader.length(hole, "depth")?;
    if let Some(thick) = thick
        && depth >= thick
    {
        let message = format!(
            "`depth` is {}; a blind hole is less deep than the plate's {}",
            both_units(depth, reader.units),
            both_units(thick, reader.units)
        );
        reader.error("bad-value", hole.span_of("depth"), message, "leave `depth` out for a hole right through");
        return None;
    }
    Some(depth)
}

/// The cone at a hole's mouth.
fn countersink(reader: &mut Reader<'_>, hole: &Table<'_>, size: Option<&HoleSize>) -> Option<Countersink> {
    let table = reader.table(hole, "countersink")?;
    let angle = reader.angle(&table, "angle");
    let diameter = reader.length(&table, "diameter");
    let back = reader.word(&table, "side") == Some("back");
    let size = size?;
    let screw = match size {
        HoleSize::Clearance { bolt, .. } => fasteners::head(bolt),
        _ => None,
    };
    for (key, found) in [("angle", angle), ("diameter", diameter)] {
        if found.is_none() && !table.has(key) && screw.is_none() {
            let message = format!("`countersink` has no `{key}`, and this hole has no `bolt` whose head would tell it");
            reader.error("missing-key", table.span.clone(), message, format!("add `{key} = ..` as on your cutter"));
        }
    }
    let angle = angle.or(screw.map(|head| head.countersink_angle))?;
    let diameter = diameter.or(screw.map(|head| head.countersink))?;
    if angle > WIDEST {
        let message = "the countersink's `angle` is over 150 deg: nearly flat";
        reader.error("bad-value", table.span_of("angle"), message, "write the angle on the cutter, such as \"82 deg\"");
        return None;
    }
    if diameter <= size.diameter() {
        let message = format!(
            "the countersink's `diameter` is {}; it must be more than the hole's {}",
            both_units(diameter, reader.units),
            both_units(size.diameter(), reader.units)
        );
        reader.error("bad-value", table.span_of("diameter"), message, "give the diameter on the face");
        return None;
    }
    if back && hole.has("depth") {
        let message = "a blind hole does not come out at the back; its countersink is there";
        reader.error("bad-value", table.span_of("side"), message, "take `side` or `depth` out");
        return None;
    }
    Some(Countersink { angle, diameter, back })
}

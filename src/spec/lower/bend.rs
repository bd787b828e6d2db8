//! Bends of plates.

use super::names::{Named, unique};
use crate::quantity::degrees;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::Bend;

/// Least and greatest angle (rad) of a bend: under a degree it is flat, over 150 nearly a hem.
const ANGLES: [f64; 2] = [0.0174, 2.6181];

/// Ends of a bend's line are never nearer than this (mm).
const LEAST_LINE: f64 = 1.0;

/// K of soft steel and aluminium: of 0.64 t + 1.57 R at 90 degrees (Machinery's Handbook, from memory).
const K: f64 = 0.41;

pub(super) fn bends(reader: &mut Reader<'_>, plate: &Table<'_>) -> Option<Vec<Bend>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(plate, "bend") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let line = reader.pairs(&table, "line").and_then(|points| {
            let two = <[_; 2]>::try_from(points).ok().filter(|[a, b]| (*b - *a).length() >= LEAST_LINE);
            if two.is_none() {
                let message = "a bend's line has two points, 1 mm apart or more";
                reader.error("bad-value", table.span_of("line"), message, "write [[u, v], [u, v]]");
            }
            two
        });
        let angle = reader.angle(&table, "angle").filter(|angle| {
            let good = *angle >= ANGLES[0] && *angle <= ANGLES[1];
            if !good {
                let found = degrees(angle.to_degrees(), 1);
                let message = format!("the bend turns by {found}; 1 deg to 150 deg is allowed");
                let help = "give how far the flange is turned out of flat: 90 deg for a square bracket";
                reader.error("bad-value", table.span_of("angle"), message, help);
            }
            good
        });
        let up = reader.word(&table, "way").map(|word| word == "up");
        let inside = reader.length(&table, "inside");
        let k = if table.has("k") { reader.number(&table, "k") } else { Some(K) };
        let whole = || Some(Bend { name: name?, line: line?, angle: angle?, up: up?, inside: inside?, k: k? });
        all.push(whole());
    }
    unique(reader, &named, "bends of one plate");
    all.into_iter().collect()
}

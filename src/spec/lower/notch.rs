//! Notches in rails, and what makes the rail good again.

use toml::de::DeValue;

use super::names::{Named, Names, unique};
use super::rail::RailRead;
use crate::quantity::{INCH, Unit, both_units};
use crate::spec::keys::Kind;
use crate::spec::raw::{Reader, Table, shown};
use crate::spec::types::{Doubler, Liner, LinerKind, Notch, ShopShape};

/// Least inside corner (mm) where the notch does not say; common practice, no source.
const USUAL_CORNER: [f64; 2] = [0.375 * INCH, 10.0];

pub(super) fn notches(
    reader: &mut Reader<'_>,
    root: &Table<'_>,
    rails: &[RailRead],
    names: &Names,
) -> Option<Vec<Notch>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(root, "notch") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let (name, notch) = notch(reader, &table, rails, names);
        named.push(Named { name, span: table.span_of("name") });
        all.push(notch);
    }
    unique(reader, &named, "notches");
    all.into_iter().collect()
}

fn notch(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    rails: &[RailRead],
    names: &Names,
) -> (Option<String>, Option<Notch>) {
    let name = reader.name(table, "name");
    let rail = rail_of(reader, table, rails);
    let clearance = reader.length(table, "clearance");
    let usual = if reader.units == Unit::Inch { USUAL_CORNER[0] } else { USUAL_CORNER[1] };
    let corner = reader.length(table, "corner").unwrap_or(usual);
    let datum = rail.and_then(|rail| datum(reader, table, rails.get(rail)?));
    let bodies = if table.has("for") {
        let mut bodies = Vec::new();
        let nodes = reader.list(table, "for");
        if nodes.is_empty() && table.node("for").is_some_and(|node| node.value.as_array().is_some()) {
            let message = "`for` is an empty list; the notch would clear nothing";
            reader.error(
                "bad-count",
                table.span_of("for"),
                message,
                "name the parts it must clear, or take `for` out for all",
            );
        }
        for node in nodes {
            let DeValue::String(text) = node.value else {
                reader.wrong_type(&node, Kind::Reference("a part of the linkage"));
                continue;
            };
            let body = names.body(reader, &node, text, "part of the linkage", |_| true);
            if let Some(body) = body {
                if bodies.contains(&body) {
                    let message = format!("\"{}\" stands twice in `for`", shown(text));
                    reader.error("duplicate-name", node.span, message, "take one of them out");
                }
                bodies.push(body);
            }
        }
        bodies.sort();
        bodies
    } else {
        names.bodies()
    };
    let shape = match reader.word(table, "shape") {
        Some("round") => ShopShape::Round,
        Some("straight") => ShopShape::Straight,
        _ => ShopShape::True,
    };
    let (liner, doubler) = (liner(reader, table), doubler(reader, table));
    let whole = || {
        Some(Notch {
            name: name.clone()?,
            rail: rail?,
            clearance: clearance?,
            corner,
            shape,
            datum,
            bodies,
            liner,
            doubler,
        })
    };
    let whole = whole();
    (name, whole)
}

fn rail_of(reader: &mut Reader<'_>, table: &Table<'_>, rails: &[RailRead]) -> Option<usize> {
    let (node, text) = reader.reference(table, "rail")?;
    let found = rails.iter().position(|rail| rail.name.as_deref() == Some(text));
    // A rail whose name could not be read may be the one asked for.
    if found.is_none() && rails.iter().all(|rail| rail.name.is_some()) {
        let known: Vec<&str> = rails.iter().filter_map(|rail| rail.name.as_deref()).collect();
        reader.no_such(&node, text, "rail", &known);
    }
    found
}

fn datum(reader: &mut Reader<'_>, table: &Table<'_>, rail: &RailRead) -> Option<usize> {
    let (node, text) = reader.reference(table, "datum")?;
    let found = rail.marks.iter().position(|mark| mark.name.as_deref() == Some(text));
    if found.is_none() && rail.marks.iter().all(|mark| mark.name.is_some()) {
        let known: Vec<&str> = rail.marks.iter().filter_map(|mark| mark.name.as_deref()).collect();
        reader.no_such(&node, text, "mark of that rail", &known);
    }
    found
}

/// Liner or sleeve of a notch, where it has one that could be read.
fn liner(reader: &mut Reader<'_>, notch: &Table<'_>) -> Option<Liner> {
    let (kind, key) = match notch.chosen(&["liner", "sleeve"])? {
        "liner" => (LinerKind::Liner, "liner"),
        _ => (LinerKind::Sleeve, "sleeve"),
    };
    let table = reader.table(notch, key)?;
    let wall = reader.length(&table, "wall");
    let outside = if table.has("outside") { Some(reader.length(&table, "outside")?) } else { None };
    let square = reader.word(&table, "axis") == Some("square");
    let wall = wall?;
    if let Some(outside) = outside.filter(|outside| *outside <= 2.0 * wall) {
        let message = format!(
            "`wall` is {}; less than {} is allowed in a tube of {}",
            both_units(wall, reader.units),
            both_units(outside / 2.0, reader.units),
            both_units(outside, reader.units)
        );
        reader.error("bad-value", table.span_of("wall"), message, "give the wall and the outside diameter of the tube");
        return None;
    }
    Some(Liner { kind, outside, wall, square })
}

/// Doubler of a notch, where it has one that could be read.
fn doubler(reader: &mut Reader<'_>, notch: &Table<'_>) -> Option<Doubler> {
    if !notch.has("doubler") {
        return None;
    }
    let table = reader.table(notch, "doubler")?;
    let wall = reader.length(&table, "wall");
    let mut may = |key| if table.has(key) { reader.length(&table, key) } else { None };
    let (overrun, height) = (may("overrun"), may("height"));
    let all_faces = reader.word(&table, "faces") == Some("all");
    Some(Doubler { wall: wall?, overrun, height, all_faces })
}

//! Mounts of the column: their keys, and their parts put among the plates and bolts.

use super::hole::clearance;
use super::mock_up::needs_places;
use super::mount_parts::{Bracket, Fault, FloorPlate, parts};
use crate::quantity::{INCH, both_units, degrees};
use crate::spec::grammar::COLUMN;
use crate::spec::keys::Sign;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Axes, Bolt, DriveEnd, HoleSize, Mounts, Plate, Unit, stem};

/// K of soft steel and aluminium (Machinery's Handbook, from memory).
const K: f64 = 0.41;

/// Three points of a face lie at least this sine off a line.
const LEAST_ANGLE: f64 = 0.0175;

/// Plates and bolts of the spec's own, to which those of the mounts are added.
pub(super) struct Among<'a> {
    pub(super) plates: &'a mut Vec<Plate>,
    pub(super) bolts: &'a mut Vec<Bolt>,
}

/// Reads `[column.mount]` and adds the parts of its mounts; `None` where anything in it is wrong.
pub(super) fn mounts(
    reader: &mut Reader<'_>,
    root: &Table<'_>,
    column: Option<&DriveEnd>,
    among: Option<Among<'_>>,
) -> Option<Mounts> {
    // Its own keys were told already.
    let column_table = root.node("column").and_then(|node| Reader::peek(&COLUMN, &node));
    let Some(column_table) = column_table.filter(|table| table.has("mount")) else { return Some(Mounts::default()) };
    let table = reader.table(&column_table, "mount")?;
    if reader.axes == Axes::MockUp {
        needs_places(reader, table.span.clone(), "a column mount");
        return None;
    }
    let tube = column_table.has("tube");
    if !tube {
        let message = "the column has no `tube`, which its mounts are made for";
        reader.error("missing-key", table.span.clone(), message, "give the tube's outside diameter as `column.tube`");
    }
    // What is left out is well, what is wrong is not.
    let keep_clear = if table.has("keep_clear") { keep_clear(reader, &table).map(Some) } else { Some(None) };
    let mut wanted = Vec::new();
    for name in ["dash", "floor"].into_iter().filter(|name| table.has(name)) {
        let mount = reader.table(&table, name);
        wanted.push((name, mount.as_ref().and_then(|mount| bracket(reader, mount, name, column)), mount));
    }
    if wanted.is_empty() {
        let message = "`mount` has neither `dash` nor `floor`";
        reader.error("missing-key", table.span.clone(), message, "add [column.mount.dash] or [column.mount.floor]");
        return None;
    }
    let (Some(Among { plates, bolts }), Some(keep_clear), true) = (among, keep_clear, tube) else { return None };
    let mut all = Vec::new();
    let mut whole = true;
    for (name, bracket, table) in wanted {
        let (Some(bracket), Some(table)) = (bracket, table) else {
            whole = false;
            continue;
        };
        match parts(name, &bracket) {
            Ok((mount, more_plates, more_bolts)) => {
                add(reader, &table, plates, more_plates, "plate", |plate| plate.name.as_str());
                add(reader, &table, bolts, more_bolts, "bolt", |bolt| bolt.name.as_str());
                all.push(mount);
            }
            Err(fault) => {
                whole = false;
                told(reader, &table, &fault);
            }
        }
    }
    whole.then_some(Mounts { keep_clear, all })
}

/// Adds parts, each with the mount's place in the file; a name that the spec has already is refused.
fn add<T>(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    to: &mut Vec<T>,
    more: Vec<T>,
    list: &str,
    name: impl Fn(&T) -> &str,
) {
    for part in more {
        if to.iter().any(|other| stem(name(other)) == stem(name(&part))) {
            let message = format!("the mount makes a {list} \"{}\", and the spec has one of that name", name(&part));
            reader.error("duplicate-name", table.span.clone(), message, "rename the spec's own");
        }
        reader.places.insert(format!("{list}.{}", to.len()), table.span.clone());
        to.push(part);
    }
}

fn keep_clear(reader: &mut Reader<'_>, mount: &Table<'_>) -> Option<[f64; 2]> {
    let table = reader.table(mount, "keep_clear")?;
    let (from, to) = (reader.length(&table, "from")?, reader.length(&table, "to")?);
    if to <= from {
        let message = format!(
            "`to` is {}; more than `from`, {}, is allowed",
            both_units(to, reader.units),
            both_units(from, reader.units)
        );
        reader.error("bad-value", table.span_of("to"), message, "measure both from the shaft's end up the column");
        return None;
    }
    Some([from, to])
}

/// A mount's keys with what the column gives.
fn bracket(reader: &mut Reader<'_>, table: &Table<'_>, name: &str, column: Option<&DriveEnd>) -> Option<Bracket> {
    let at = reader.length(table, "at");
    let (origin, right, up) = (reader.point(table, "origin"), reader.point(table, "right"), reader.point(table, "up"));
    let thick = reader.length(table, "thick");
    let strap = reader.length(table, "strap").or(thick);
    let inside = reader.length(table, "inside").or(thick);
    let inches = reader.units == Unit::Inch;
    let usual = |inch: f64, mm: f64| if inches { inch * INCH } else { mm };
    let width = reader.length(table, "width").or(Some(usual(1.5, 40.0)));
    let reach = reader.length(table, "reach").or(Some(usual(1.0, 25.0)));
    let k = if table.has("k") { reader.number(table, "k") } else { Some(K) };
    let bolt = match clearance(reader, table) {
        Some(HoleSize::Clearance { bolt, fit, diameter, drill, source }) => {
            Some(HoleSize::Clearance { bolt, fit, diameter, drill, source })
        }
        _ => None,
    };
    let plate = if name == "floor" { Some(floor_plate(reader, table)) } else { None };
    let (origin, right, up) = (origin?, right?, up?);
    let (u, v) = (right - origin, up - origin);
    if u.cross(v).length() <= LEAST_ANGLE * u.length() * v.length() {
        let message = "`origin`, `right` and `up` lie in one line; three points off a line make a face";
        let help = "measure `up` well to the side of the line from origin to right";
        reader.error("degenerate", table.span_of("up"), message, help);
        return None;
    }
    let column = column?;
    let (at, width) = (at?, width?);
    on_tube(reader, table, column, at, width)?;
    Some(Bracket {
        end: column.end,
        axis: -column.axis,
        tube: column.tube? / 2.0,
        at,
        face: [origin, u, v],
        thick: thick?,
        strap: strap?,
        inside: inside?,
        width,
        reach: reach?,
        k: k?,
        bolt: bolt?,
        step: if inches { INCH / 16.0 } else { 1.0 },
        plate: match plate {
            Some(plate) => Some(plate?),
            None => None,
        },
    })
}

/// Refuses a clamp that is not all on the tube.
fn on_tube(reader: &mut Reader<'_>, table: &Table<'_>, column: &DriveEnd, at: f64, width: f64) -> Option<()> {
    let (low, high) = (at - width / 2.0, at + width / 2.0);
    let far = column.second.map(|second| (column.end - second).dot(column.axis)).filter(|far| *far > column.exposed);
    let text = |mm: f64| both_units(mm, reader.units);
    let (message, help) = if low < column.exposed {
        let message =
            format!("the clamp begins {} up the column; the tube begins at {}", text(low), text(column.exposed));
        (message, "move `at` up the column, or make the clamp narrower")
    } else if let Some(far) = far.filter(|far| high > *far) {
        let message = format!("the clamp ends {} up the column; `toward` is {} up it", text(high), text(far));
        (message, "move `at` down the column, or give a `toward` farther up")
    } else {
        return Some(());
    };
    reader.error("bad-value", table.span_of("at"), message, help);
    None
}

fn floor_plate(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<FloorPlate> {
    let plate = reader.table(table, "plate")?;
    let corner = if plate.has("corner") {
        reader.length(&plate, "corner")
    } else {
        Some(if reader.units == Unit::Inch { INCH / 4.0 } else { 6.0 })
    };
    let size = if plate.has("size") { reader.pair(&plate, "size", Sign::Positive).map(Some) } else { Some(None) };
    Some(FloorPlate {
        thick: reader.length(&plate, "thick")?,
        clearance: reader.length(&plate, "clearance")?,
        size: size?,
        corner: corner?,
    })
}

fn told(reader: &mut Reader<'_>, table: &Table<'_>, fault: &Fault) {
    let text = |mm: f64| both_units(mm, reader.units);
    let (key, message, help) = match *fault {
        Fault::TooNear { found, least } => (
            "at",
            if found < 0.0 {
                format!("the clamp reaches {} through the face; the bracket wants it {} off", text(-found), text(least))
            } else {
                format!("the clamp comes within {} of the face; the bracket wants {}", text(found), text(least))
            },
            "move the clamp up or down the column, narrow it, or take thinner sheet",
        ),
        Fault::Along { lean } => (
            "origin",
            format!(
                "the column lies {} to the face; 20 deg or more is wanted for a plate it passes",
                degrees(lean.to_degrees(), 1)
            ),
            "give the plane of the floor or firewall where the column goes through; beside the column use a dash mount",
        ),
        Fault::Strap => (
            "strap",
            "the clamp's sheet is too thick to be bent round this tube with ears".to_owned(),
            "take thinner sheet for `strap`, or a thinner tab",
        ),
        Fault::Narrow { least } => (
            "width",
            format!("the clamp is too narrow for its bolts; {} or more is allowed", text(least)),
            "make it wider, or take smaller bolts",
        ),
        Fault::Small { least } => (
            "plate",
            format!(
                "`size` is too small for opening and foot; {} by {} or more is allowed",
                text(least.x),
                text(least.y)
            ),
            "leave `size` out, or make it larger",
        ),
        Fault::Far => (
            "at",
            "the foot finds no place beside the column's opening in the face".to_owned(),
            "move the clamp up or down the column",
        ),
    };
    reader.error("bad-mount", table.span_of(key), message, help);
}

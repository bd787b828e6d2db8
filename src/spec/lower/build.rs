//! `[build]` and `[output]`.

use crate::catalog::sheets;
use crate::catalog::tolerances::GeneralClass;
use crate::quantity::{INCH, Unit, millimetres};
use crate::spec::keys::{Kind, Sign};
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Build, Output, Projection, StepSchema};
use toml::de::DeValue;

/// Smallest side of a sheet (mm), largest short side and largest long side: a title block needs 180 (ISO 7200), the
/// widest roll is 1.6 m, and PDF readers take 5.08 m of its length.
const SHEET_SIDES: [f64; 3] = [200.0, 1600.0, 5000.0];

/// Smallest hole of a cutter, in thicknesses, where the spec does not say: a laser's; plasma wants 1.5 to 2. Common
/// practice, no source.
const LEAST_HOLE: f64 = 1.0;

pub(super) fn build(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<Build> {
    let table = reader.table(root, "build")?;
    let units = reader.word(&table, "units").map(unit);
    reader.units = units.unwrap_or(Unit::Millimetre);
    let step = if reader.units == Unit::Inch { INCH / 32.0 } else { 1.0 };
    let tape_step = reader.length(&table, "tape_step").unwrap_or(step);
    let general = reader.word(&table, "general").and_then(GeneralClass::find).unwrap_or(GeneralClass::Medium);
    Some(Build {
        title: reader.text(&table, "title"),
        owner: reader.text(&table, "owner"),
        vehicle: reader.text(&table, "vehicle"),
        record: reader.text(&table, "record"),
        revision: reader.text(&table, "revision"),
        drawn_by: reader.text(&table, "drawn_by"),
        date: reader.date(&table, "date"),
        units: units?,
        tape_step,
        general,
    })
}

fn unit(word: &str) -> Unit {
    if word == "in" { Unit::Inch } else { Unit::Millimetre }
}

pub(super) fn output(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<Output> {
    let inch = reader.units == Unit::Inch;
    let usual = sheets::find(if inch { "letter" } else { "a4" })?;
    let mut output = Output {
        sheet: usual.size,
        sheet_name: usual.title.clone(),
        projection: if inch { Projection::Third } else { Projection::First },
        step_schema: StepSchema::Ap242,
        step_unit: Unit::Millimetre,
        print_correction: [1.0, 1.0],
        least_hole: LEAST_HOLE,
    };
    let Some(table) = reader.table(root, "output") else { return Some(output) };
    if let Some((sheet, name)) = sheet(reader, &table) {
        (output.sheet, output.sheet_name) = (sheet, name);
    }
    if let Some(word) = reader.word(&table, "projection") {
        output.projection = if word == "third" { Projection::Third } else { Projection::First };
    }
    if let Some("ap214") = reader.word(&table, "step_schema") {
        output.step_schema = StepSchema::Ap214;
    }
    if let Some(word) = reader.word(&table, "step_unit") {
        output.step_unit = unit(word);
    }
    if let Some(correction) = reader.numbers(&table, "print_correction") {
        output.print_correction = correction;
    }
    if let Some(least) = reader.number(&table, "least_hole") {
        output.least_hole = least;
    }
    Some(output)
}

/// Upright, whichever side is written first.
fn sheet(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<([f64; 2], String)> {
    let node = table.node("sheet")?;
    match node.value {
        DeValue::String(name) => {
            let found = sheets::find(name);
            if found.is_none() {
                reader.no_such(&node, name, "sheet", &sheets::names());
            }
            found.map(|sheet| (sheet.size, sheet.title.clone()))
        }
        DeValue::Array(_) => {
            let sides = reader.pair_at(&node, Sign::Positive)?;
            let (width, height) = (sides.x.min(sides.y), sides.x.max(sides.y));
            let [least, wide, long] = SHEET_SIDES;
            if width < least || width > wide || height > long {
                reader.error(
                    "bad-value",
                    node.span,
                    format!(
                        "`sheet` is {} by {}; {} to {} across is allowed, up to {} long",
                        millimetres(width, 1),
                        millimetres(height, 1),
                        millimetres(least, 0),
                        millimetres(wide, 0),
                        millimetres(long, 0)
                    ),
                    "check the unit of its sides",
                );
                return None;
            }
            Some((
                [width, height],
                format!("{} × {}", millimetres(width, 1).trim_end_matches(" mm"), millimetres(height, 1)),
            ))
        }
        _ => {
            reader.wrong_type(&node, Kind::Sheet);
            None
        }
    }
}

//! End forms, holes and stock.

use toml::de::DeValue;

use super::note_unmeasured;
use crate::catalog::forms;
use crate::quantity::both_units;
use crate::spec::grammar::FORM;
use crate::spec::keys::Kind;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Form, FormShape, Unmeasured};

/// The form of a key, by catalogue name or as a table. `what` names it in words for the list of unmeasured values.
pub(super) fn form(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    name: &str,
    what: &str,
    unmeasured: &mut Vec<Unmeasured>,
) -> Option<Form> {
    let node = table.node(name)?;
    match node.value {
        DeValue::String(text) => {
            let Some(entry) = forms::find(text) else {
                reader.no_such(&node, text, "form", &forms::names());
                return None;
            };
            if entry.measure {
                let sizes = match entry.shape {
                    FormShape::DoubleD { .. } => "flats",
                    FormShape::Serrated { .. } => "teeth and diameter",
                    FormShape::Round { .. } => "diameter",
                };
                note_unmeasured(unmeasured, node.path, format!("{what}: {sizes} of \"{text}\""));
            }
            Some(Form { name: Some(text.to_string()), shape: entry.shape })
        }
        DeValue::Table(_) => {
            let table = reader.open(&FORM, &node)?;
            let shape = match table.chosen(&["dd", "serrated", "round"])? {
                "dd" => double_d(reader, &table),
                "serrated" => serrated(reader, &table),
                _ => round(reader, &table),
            };
            shape.map(|shape| Form { name: None, shape })
        }
        _ => {
            reader.wrong_type(&node, Kind::Form);
            None
        }
    }
}

fn double_d(reader: &mut Reader<'_>, form: &Table<'_>) -> Option<FormShape> {
    let table = reader.table(form, "dd")?;
    let diameter = reader.length(&table, "diameter");
    let flats = reader.length(&table, "flats");
    let bore = reader.length(&table, "bore");
    let (diameter, flats) = (diameter?, flats?);
    if flats >= diameter {
        let message = format!(
            "`flats` is {}; less than the diameter of {} is allowed",
            both_units(flats, reader.units),
            both_units(diameter, reader.units)
        );
        reader.error("bad-form", table.span_of("flats"), message, "measure across the two flats with a caliper");
        return None;
    }
    bored(reader, &table, bore, flats, "flats")?;
    Some(FormShape::DoubleD { diameter, flats, bore })
}

fn serrated(reader: &mut Reader<'_>, form: &Table<'_>) -> Option<FormShape> {
    let table = reader.table(form, "serrated")?;
    let teeth = reader.count(&table, "teeth");
    let diameter = reader.length(&table, "diameter");
    let master = reader.flag(&table, "master").unwrap_or(false);
    Some(FormShape::Serrated { teeth: teeth?, diameter: diameter?, master })
}

fn round(reader: &mut Reader<'_>, form: &Table<'_>) -> Option<FormShape> {
    let table = reader.table(form, "round")?;
    let diameter = reader.length(&table, "diameter");
    let bore = reader.length(&table, "bore");
    let diameter = diameter?;
    bored(reader, &table, bore, diameter, "diameter")?;
    Some(FormShape::Round { diameter, bore })
}

/// A bore leaves a wall.
fn bored(reader: &mut Reader<'_>, table: &Table<'_>, bore: Option<f64>, across: f64, of: &str) -> Option<()> {
    let Some(bore) = bore.filter(|bore| *bore >= across) else { return Some(()) };
    let message = format!(
        "`bore` is {}; less than the {of} of {} is allowed",
        both_units(bore, reader.units),
        both_units(across, reader.units)
    );
    reader.error("bad-form", table.span_of("bore"), message, "measure the bore at the cut end");
    None
}

/// Width of a flat (mm): the chord it cuts from the round.
pub(super) fn flat_width(diameter: f64, flats: f64) -> f64 {
    (diameter * diameter - flats * flats).max(0.0).sqrt()
}

/// The form in words, in the user's unit first: `a double-D bar of 0.750 in (19.05 mm)`.
pub(super) fn in_words(form: &Form, noun: &str, units: crate::quantity::Unit) -> String {
    let diameter = both_units(form.diameter(), units);
    match form.shape {
        FormShape::DoubleD { flats, .. } => {
            format!("double-D {noun} of {diameter}, {} across the flats", both_units(flats, units))
        }
        FormShape::Serrated { teeth, .. } => format!("serrated {noun} of {teeth} teeth, {diameter}"),
        FormShape::Round { .. } => format!("round {noun} of {diameter}"),
    }
}

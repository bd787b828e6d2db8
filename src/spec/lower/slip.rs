//! Slip shafts: the outer member and what slides in it.

use super::form::{form, in_words};
use crate::quantity::both_units;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Form, FormShape, ShaftEnd, Slip, Unmeasured};

/// Sizes that should be equal but come by way of fractions and decimals (mm).
const SAME_SIZE: f64 = 1e-6;

/// Least wall (mm) of an outer member: under it there is no tube. Whether the wall is strong enough is judged later.
const LEAST_WALL: f64 = 0.1;

/// `slip = { .. }` of a shaft whose inner member is cut from `stock`.
pub(super) fn slip(
    reader: &mut Reader<'_>,
    shaft: &Table<'_>,
    stock: Option<&Form>,
    name: &str,
    unmeasured: &mut Vec<Unmeasured>,
) -> Option<Slip> {
    let table = reader.table(shaft, "slip")?;
    let outer = form(reader, &table, "outer", &format!("shaft \"{name}\", outer member"), unmeasured);
    let hole_stated = table.has("fits");
    let hole = if hole_stated {
        form(reader, &table, "fits", &format!("shaft \"{name}\", hole of the outer member"), unmeasured)
    } else {
        stock.map(|stock| Form { name: stock.name.clone(), shape: without_bore(stock.shape) })
    };
    let outer_end = reader.word(&table, "outer_end");
    let extend = reader.length(&table, "extend");
    let collapse = reader.length(&table, "collapse");
    let least_overlap = reader.length(&table, "least_overlap");
    let (outer, hole, stock) = (outer?, hole?, stock?);
    turns(reader, &table, &hole, stock)?;
    walled(reader, &table, &outer, &hole)?;
    Some(Slip {
        outer,
        hole,
        hole_stated,
        outer_end: if outer_end? == "upper" { ShaftEnd::Upper } else { ShaftEnd::Lower },
        extend: extend?,
        collapse: collapse?,
        least_overlap: least_overlap?,
    })
}

const fn without_bore(shape: FormShape) -> FormShape {
    match shape {
        FormShape::DoubleD { diameter, flats, .. } => FormShape::DoubleD { diameter, flats, bore: None },
        FormShape::Round { diameter, .. } => FormShape::Round { diameter, bore: None },
        serrated @ FormShape::Serrated { .. } => serrated,
    }
}

/// The inner member must go in and carry the outer one round with it.
fn turns(reader: &mut Reader<'_>, table: &Table<'_>, hole: &Form, stock: &Form) -> Option<()> {
    let units = reader.units;
    let span = table.span_of("fits");
    if hole.bore().is_some() {
        let message = "the hole has a bore of its own; a hole has one form";
        reader.error("bad-form", span, message, "take `bore` out, or choose the form without it");
        return None;
    }
    let tight = |hole: f64, bar: f64| hole < bar - SAME_SIZE;
    let wrong = match (hole.shape, stock.shape) {
        (FormShape::Round { .. }, _) | (_, FormShape::Round { .. }) => Some("turns freely on"),
        (FormShape::DoubleD { diameter, flats, .. }, FormShape::DoubleD { diameter: d, flats: f, .. }) => {
            // Its corners must catch before it has turned once in the hole.
            let loose = flats >= d;
            (tight(diameter, d) || tight(flats, f)).then_some("is too tight for").or(loose.then_some("turns freely on"))
        }
        (FormShape::Serrated { teeth, diameter, .. }, FormShape::Serrated { teeth: t, diameter: d, .. }) => {
            if teeth == t { tight(diameter, d).then_some("is too tight for") } else { Some("does not mesh with") }
        }
        _ => Some("does not fit"),
    };
    let Some(wrong) = wrong else { return Some(()) };
    let message = format!(
        "the outer member has a {}, which {wrong} the inner member, a {}",
        in_words(hole, "hole", units),
        in_words(stock, "bar", units)
    );
    let help = "a slip shaft turns by flats or teeth: give `stock` and the hole, `fits`, as double-D or serrated";
    reader.error("no-fit", span, message, help);
    None
}

/// The hole must lie within the outer member.
fn walled(reader: &mut Reader<'_>, table: &Table<'_>, outer: &Form, hole: &Form) -> Option<()> {
    let units = reader.units;
    let span = table.span_of("outer");
    if let Some(bore) = outer.bore() {
        let message = format!(
            "the outer member has a round bore of {}; a round bore cannot turn the inner member",
            both_units(bore, units)
        );
        let help = "take `bore` out; the hole the inner member slides in is `fits = { dd = { .. } }`";
        reader.error("bad-form", span, message, help);
        return None;
    }
    let wall = match (outer.shape, hole.shape) {
        (FormShape::Serrated { .. }, _) => {
            let message = "the outer member is serrated over its whole length; a double-D or a round is allowed";
            reader.error("bad-form", span, message, "give its outside as double-D or round, its end under `ends`");
            return None;
        }
        (FormShape::DoubleD { diameter, flats, .. }, FormShape::DoubleD { diameter: d, flats: f, .. }) => {
            (diameter - d).min(flats - f) / 2.0
        }
        (FormShape::DoubleD { flats, .. }, _) => (flats - hole.diameter()) / 2.0,
        _ => (outer.diameter() - hole.diameter()) / 2.0,
    };
    if wall < LEAST_WALL {
        let message = format!(
            "the outer member, a {}, leaves no wall round its {}",
            in_words(outer, "bar", units),
            in_words(hole, "hole", units)
        );
        reader.error("bad-form", span, message, "measure both at the open end; the outer member must be larger");
        return None;
    }
    Some(())
}

//! Set screws and the dimples they want.

use std::f64::consts::PI;

use super::form::flat_width;
use super::joint::thread;
use crate::catalog::fasteners::{self, DimpleSize};
use crate::quantity::both_units;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Form, FormShape, Screw, ScrewPoint, Side, Spot};

/// Sizes a spec gives in place of the screw's own.
#[derive(Clone, Copy, Default)]
pub(super) struct DimpleKeys {
    drill: Option<f64>,
    depth: Option<f64>,
    diameter: Option<f64>,
}

impl DimpleKeys {
    pub(super) fn read(reader: &mut Reader<'_>, table: &Table<'_>) -> Self {
        let drill = reader.angle(table, "drill");
        if drill.is_some_and(|drill| drill > PI) {
            let message = "`drill` is over 180 deg, which is a flat-bottomed hole";
            reader.error("bad-value", table.span_of("drill"), message, "give the included angle, such as \"118 deg\"");
        }
        Self { drill, depth: reader.length(table, "depth"), diameter: reader.length(table, "diameter") }
    }

    /// These sizes before those.
    fn or(self, other: Self) -> Self {
        Self {
            drill: self.drill.or(other.drill),
            depth: self.depth.or(other.depth),
            diameter: self.diameter.or(other.diameter),
        }
    }

    /// Over the size the screw's point wants. Without a depth of its own a new drill goes to its full mouth.
    fn over(self, own: Option<DimpleSize>) -> Option<DimpleSize> {
        let own = own.filter(|own| own.depth > 0.0);
        let drill = self.drill.or(own.map(|own| own.drill))?;
        let diameter = self.diameter.or(own.map(|own| own.diameter))?;
        let coned = drill < PI && (self.drill.is_some() || self.diameter.is_some());
        let full = if coned { Some(diameter / 2.0 / libm::tan(drill / 2.0)) } else { own.map(|own| own.depth) };
        Some(DimpleSize { drill, depth: self.depth.or(full)?, diameter })
    }
}

/// What the screws bear on.
pub(super) struct On<'f> {
    pub(super) hole: Option<&'f Form>,
    pub(super) bar: Option<&'f Form>,
    pub(super) what: &'f str,
}

pub(super) fn screws(reader: &mut Reader<'_>, hub: &Table<'_>, on: &On<'_>, dimples: DimpleKeys) -> Option<Vec<Screw>> {
    let tables = reader.tables(hub, "screws");
    if tables.is_empty() {
        // A wrong type is reported already; an empty list is not.
        if hub.node("screws").is_some_and(|node| node.value.as_array().is_some_and(|list| list.is_empty())) {
            let message = "`screws` is an empty list; one entry or more is allowed";
            reader.error("bad-count", hub.span_of("screws"), message, "add a screw, or take `screws` out");
        }
        return None;
    }
    let depth = hub.node("depth").and_then(|node| {
        let before = reader.diagnostics.len();
        let depth = reader.length_at(&node, crate::spec::keys::Sign::Positive);
        // The hub has reported it.
        reader.diagnostics.truncate(before);
        depth
    });
    let mut all: Vec<Option<Screw>> = Vec::new();
    for table in tables {
        let screw = table.and_then(|table| {
            let screw = screw(reader, &table, on, dimples)?;
            if let Some(depth) = depth.filter(|depth| screw.at >= *depth) {
                let message = format!(
                    "the screw is {} inside the outer face; less than `depth`, {}, is allowed",
                    both_units(screw.at, reader.units),
                    both_units(depth, reader.units)
                );
                reader.error(
                    "bad-value",
                    table.span_of("at"),
                    message,
                    "measure from the hub's outer face to the screw",
                );
            }
            let same = |other: &&Screw| other.on == screw.on && (other.at - screw.at).abs() < screw.thread.diameter;
            if all.iter().flatten().any(|other| same(&other)) {
                let message = "two screws stand in one place; they are a screw's diameter apart or more";
                reader.error("duplicate", table.span_of("at"), message, "give the second its own `at`, or take it out");
            }
            Some(screw)
        });
        all.push(screw);
    }
    all.into_iter().collect()
}

fn screw(reader: &mut Reader<'_>, table: &Table<'_>, on: &On<'_>, dimples: DimpleKeys) -> Option<Screw> {
    let at = reader.length(table, "at");
    let thread = thread(reader, table, "thread");
    let point = reader.word(table, "point").map(|word| match word {
        "cup" => ScrewPoint::Cup,
        "cone" => ScrewPoint::Cone,
        "dog" => ScrewPoint::Dog,
        _ => ScrewPoint::Flat,
    });
    let jam = reader.flag(table, "jam").unwrap_or(false);
    let side = side(reader, table, on);
    let own = reader.table(table, "dimple").map(|table| DimpleKeys::read(reader, &table)).unwrap_or_default();
    let stated = reader.word(table, "spot").map(|word| match word {
        "drill" => Spot::Drill,
        "fit" => Spot::Fit,
        _ => Spot::None,
    });
    let (at, thread, point, side) = (at?, thread?, point?, side?);
    let serrated = on.bar.is_some_and(|bar| matches!(bar.shape, FormShape::Serrated { .. }));
    let usual = if serrated || point == ScrewPoint::Flat { Spot::None } else { Spot::Drill };
    let spot = stated.unwrap_or(usual);
    let size = own.or(dimples).over(fasteners::dimple(&thread, point));
    let dimple = match size {
        Some(size) => size,
        None if spot == Spot::None => DimpleSize { drill: PI, depth: 0.0, diameter: 0.0 },
        None => {
            let message = format!("no dimple size is known for this point of {}", thread.name);
            let help = "add `dimple = { drill = \"118 deg\", diameter = .., depth = .. }`, or `spot = \"none\"`";
            reader.error("missing-key", table.span.clone(), message, help);
            return None;
        }
    };
    if spot != Spot::None
        && let Some(bar) = on.bar
    {
        room(reader, table, side, dimple, bar, on.what);
    }
    Some(Screw { at, thread, point, on: side, jam, spot, dimple })
}

/// Flat where the hole has flats, unless the screw says otherwise.
fn side(reader: &mut Reader<'_>, table: &Table<'_>, on: &On<'_>) -> Option<Side> {
    let flats = on.hole?.is_double_d();
    match reader.word(table, "on") {
        Some("flat") if !flats => {
            let message = "the screw is to bear on a flat; this hole has none";
            reader.error("no-meaning", table.span_of("on"), message, "write `on = \"round\"`, or take `on` out");
            None
        }
        Some("round") => Some(Side::Round),
        _ if flats => Some(Side::Flat),
        _ => Some(Side::Round),
    }
}

/// Width of a dimple at the flat or crest (mm).
pub(super) fn mouth(dimple: DimpleSize) -> f64 {
    dimple.diameter.min(2.0 * dimple.depth * libm::tan(dimple.drill / 2.0))
}

/// The dimple must lie on its flat and stay in the bar.
fn room(reader: &mut Reader<'_>, table: &Table<'_>, side: Side, dimple: DimpleSize, bar: &Form, what: &str) {
    let units = reader.units;
    let both = |mm| both_units(mm, units);
    let mouth = mouth(dimple);
    if let (Side::Flat, FormShape::DoubleD { diameter, flats, .. }) = (side, bar.shape)
        && mouth > flat_width(diameter, flats)
    {
        let message = format!(
            "the dimple's mouth is {}; at most the flat's width of {} is allowed",
            both(mouth),
            both(flat_width(diameter, flats))
        );
        let help = "choose a smaller screw, or give a smaller `dimple = { diameter = .. }`";
        reader.error("no-room", table.span.clone(), message, help);
    }
    let across = match (side, bar.shape) {
        (Side::Flat, FormShape::DoubleD { flats, .. }) => flats,
        _ => bar.diameter(),
    };
    let bore = match bar.shape {
        FormShape::DoubleD { bore, .. } | FormShape::Round { bore, .. } => bore.unwrap_or(0.0),
        FormShape::Serrated { .. } => 0.0,
    };
    let wall = (across - bore) / 2.0;
    if dimple.depth >= wall {
        let reaches = if bore > 0.0 { "its wall" } else { "half its thickness" };
        let message = format!(
            "the dimple is {} deep in the {what}; less than {reaches}, {}, is allowed",
            both(dimple.depth),
            both(wall)
        );
        reader.error("no-room", table.span.clone(), message, "give a shallower `dimple = { depth = .. }`");
    }
}

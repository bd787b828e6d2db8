//! Shafts between joints.

use toml::de::DeValue;

use super::form::form;
use super::joint::JointRead;
use super::{mock_up, shaft_end, slip};
use crate::catalog::{materials, tolerances};
use crate::quantity::{INCH, Unit, both_units};
use crate::spec::keys::{Kind, Sign};
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{
    Axes, Bearing, BearingAt, Build, Form, FormShape, Hold, Housing, Hub, Journal, Material, Shaft, ShaftEnd,
    Unmeasured,
};

/// Left on when sawing (mm): what a bench grinder takes off a fitted end; common practice, no source.
const LEAVE: [f64; 2] = [INCH / 8.0, 3.0];

/// Stations (mm) between which every class of ISO 2768-1 has a figure.
const STATIONS: [f64; 2] = [6.0, 2000.0];

/// A shaft, whole where all of it could be read.
pub(super) struct ShaftRead {
    pub(super) name: Option<String>,
    /// What the hubs slide over, upper and lower end.
    pub(super) forms: [Option<Form>; 2],
    pub(super) whole: Option<Shaft>,
    /// Whether it has a bearing whose `to` places a joint.
    pub(super) places: bool,
    /// The spec states no tolerance for stations.
    general_stations: bool,
}

impl ShaftRead {
    /// Whether it is two members.
    pub(super) fn slips(&self) -> bool {
        self.whole.as_ref().is_some_and(|shaft| shaft.slip.is_some())
    }

    /// Whether it has a support bearing, or may have one that could not be read.
    pub(super) fn may_have_bearing(&self) -> bool {
        self.whole.as_ref().is_none_or(|shaft| shaft.bearing.is_some())
    }
}

pub(super) fn shafts(reader: &mut Reader<'_>, root: &Table<'_>, unmeasured: &mut Vec<Unmeasured>) -> Vec<ShaftRead> {
    let tables = reader.tables(root, "shaft");
    let nothing = || ShaftRead { name: None, forms: [None, None], whole: None, places: false, general_stations: false };
    let read = |table: Option<Table<'_>>| table.map_or_else(nothing, |table| shaft(reader, &table, unmeasured));
    tables.into_iter().map(read).collect()
}

fn shaft(reader: &mut Reader<'_>, table: &Table<'_>, unmeasured: &mut Vec<Unmeasured>) -> ShaftRead {
    let name = reader.name(table, "name");
    let shown = name.clone().unwrap_or_default();
    let what = format!("shaft \"{shown}\", stock");
    let stock = form(reader, table, "stock", &what, unmeasured);
    let material = material(reader, table);
    let (mut length_tolerance, mut station_tolerance) = (None, None);
    if let Some(tolerance) = reader.table(table, "tolerance") {
        length_tolerance = reader.length(&tolerance, "length");
        station_tolerance = reader.length(&tolerance, "station");
    }
    let usual = if reader.units == Unit::Inch { LEAVE[0] } else { LEAVE[1] };
    let leave = reader.length(table, "leave").unwrap_or(usual);
    let chamfer = reader.length(table, "chamfer");
    if let (Some(chamfer), Some(stock)) = (chamfer, &stock) {
        let wall = match stock.shape {
            FormShape::DoubleD { flats, bore, .. } => (flats - bore.unwrap_or(0.0)) / 2.0,
            FormShape::Round { diameter, bore } => (diameter - bore.unwrap_or(0.0)) / 2.0,
            FormShape::Serrated { diameter, .. } => diameter / 2.0,
        };
        if chamfer >= wall {
            let message = format!(
                "`chamfer` is {}; less than {} is allowed on this bar",
                both_units(chamfer, reader.units),
                both_units(wall, reader.units)
            );
            reader.error("bad-value", table.span_of("chamfer"), message, "a chamfer breaks the edge: 0.5 mm is usual");
        }
    }
    let slip = table.has("slip").then(|| slip::slip(reader, table, stock.as_ref(), &shown, unmeasured));
    let split = slip.is_some();
    let slip = slip.flatten();
    let bars = ShaftEnd::BOTH.map(|end| match &slip {
        Some(slip) if slip.outer_end == end => Some(slip.outer.clone()),
        // A slip that cannot be read says not which end is whose.
        None if split => None,
        _ => stock.clone(),
    });
    let cut = shaft_end::ends(reader, table, &bars, &shown, unmeasured);
    let forms = [0, 1].map(|i| match cut.at[i].clone() {
        Some(end) => Some(shaft_end::over_bore(&end.form, bars[i].as_ref())),
        None if cut.wrong => None,
        None => bars[i].clone(),
    });
    let twist = shaft_end::twist(reader, table);
    let mock_up = match reader.table(table, "mockup") {
        Some(table) => mock_up::mock_up(reader, &table).map(Some),
        None => Some(None),
    };
    let (bearing, places) = bearing(reader, table);
    let journal = journal(reader, table);
    let whole = || {
        if cut.wrong || (split && slip.is_none()) {
            return None;
        }
        Some(Shaft {
            name: name.clone()?,
            stock: stock.clone()?,
            material: material?,
            length_tolerance,
            station_tolerance: station_tolerance.unwrap_or_default(),
            leave,
            chamfer,
            ends: cut.at.clone(),
            twist,
            slip: slip.clone(),
            mock_up: mock_up?,
            bearing: bearing.clone(),
            journal,
        })
    };
    let whole = whole();
    ShaftRead { name, forms, whole, places, general_stations: station_tolerance.is_none() }
}

/// A support bearing along the shaft or in space, and whether it is meant to place a joint.
fn bearing(reader: &mut Reader<'_>, table: &Table<'_>) -> (Option<Bearing>, bool) {
    let Some(table) = reader.table(table, "bearing") else { return (None, false) };
    let bearing = bearing_of(reader, &table);
    let along = matches!(bearing, Some(Bearing { at: BearingAt::Along(_), .. }));
    (bearing, table.has("to") && !along)
}

/// A seat turned for the bearing.
fn journal(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Journal> {
    let seat = reader.table(table, "journal")?;
    if !table.has("bearing") {
        let message = "`journal` has no meaning without `bearing`: it is the seat the bearing runs on";
        let help = "say where the bearing sits, `bearing = { at = .. }`, or take `journal` out";
        reader.error("no-meaning", table.span_of("journal"), message, help);
    }
    let length = reader.length(&seat, "length");
    let diameter = reader.length(&seat, "diameter")?;
    Some(Journal { diameter, length: length.unwrap_or(diameter) })
}

fn bearing_of(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Bearing> {
    let bore = reader.length(table, "bore");
    let to = reader.length(table, "to");
    let node = table.node("at")?;
    let at = match node.value {
        DeValue::Array(_) => BearingAt::Eye { centre: reader.point_at(&node)?, to },
        DeValue::String(name) if reader.points.contains_key(name.as_ref()) => {
            BearingAt::Eye { centre: reader.point_at(&node)?, to }
        }
        DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_) => {
            if table.has("to") {
                let message = "`to` has no meaning where `at` is a length; only a point in space places a joint";
                let help = "take `to` out, or give the bearing's middle as `at = [x, y, z]`";
                reader.error("no-meaning", table.span_of("to"), message, help);
            }
            BearingAt::Along(reader.length_at(&node, Sign::Positive)?)
        }
        _ => {
            reader.wrong_type(&node, Kind::LengthOrPoint);
            return None;
        }
    };
    if matches!(at, BearingAt::Eye { .. }) && reader.axes == Axes::MockUp {
        mock_up::needs_places(reader, node.span, "a bearing at a point");
    }
    let housing = housing(reader, table, bore);
    Some(Bearing { at, bore, housing })
}

/// The room a bearing takes: both of its sizes, or none.
fn housing(reader: &mut Reader<'_>, table: &Table<'_>, bore: Option<f64>) -> Option<Housing> {
    let (outside, width) = (reader.length(table, "outside"), reader.length(table, "width"));
    for (given, other) in [("outside", "width"), ("width", "outside")] {
        if table.has(given) && !table.has(other) {
            let message =
                format!("`{given}` of a bearing has no meaning without `{other}`: its room is a cylinder of both");
            let help = format!("measure its housing and add `{other}`, or take `{given}` out");
            reader.error("no-meaning", table.span_of(given), message, help);
        }
    }
    if let (Some(outside), Some(bore)) = (outside, bore)
        && outside <= bore
    {
        let units = reader.units;
        let message = format!(
            "the bearing's outside {} is no larger than its bore {}",
            both_units(outside, units),
            both_units(bore, units)
        );
        reader.error("bad-value", table.span_of("outside"), message, "measure across its housing");
    }
    Some(Housing { outside: outside?, width: width? })
}

fn material(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Material> {
    let (node, text) = reader.reference(table, "material")?;
    let found = materials::find(text);
    if found.is_none() {
        reader.no_such(&node, text, "material in the catalogue", &materials::names());
    }
    found.cloned()
}

/// Station tolerances the spec leaves to the general class: that of the farthest station, which is the widest.
pub(super) fn with_tolerances(
    mut shafts: Vec<ShaftRead>,
    joints: &[JointRead],
    build: Option<&Build>,
) -> Vec<ShaftRead> {
    for (i, read) in shafts.iter_mut().enumerate() {
        let (Some(shaft), Some(build), true) = (read.whole.as_mut(), build, read.general_stations) else { continue };
        let whole = |index: usize| joints.get(index).and_then(|joint| joint.whole.as_ref());
        let hubs = [whole(i).map(|joint| &joint.lower), whole(i + 1).map(|joint| &joint.upper)];
        let farthest = hubs.into_iter().flatten().map(station).fold(STATIONS[0], f64::max);
        shaft.station_tolerance = tolerances::linear(build.general, farthest.min(STATIONS[1])).unwrap_or_default();
    }
    shafts
}

/// Farthest feature a hub asks of its shaft, from that end (mm).
fn station(hub: &Hub) -> f64 {
    let end = hub.engagement(None);
    match &hub.hold {
        Hold::Screws(screws) => screws.iter().map(|screw| end - screw.at).fold(0.0, f64::max),
        Hold::Pinch(pinch) => end - pinch.at,
        Hold::Weld | Hold::Nothing => 0.0,
    }
}

//! What was made: every reading against a part of this spec.

use super::joint::JointRead;
use super::names::{Named, Names, unique};
use super::rail::RailRead;
use super::shaft::ShaftRead;
use crate::quantity::both_units;
use crate::spec::keys::Sign;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{
    AsBuilt, Hold, Hub, MadeGap, MadeJoint, MadePlate, MadePrint, MadeShaft, Obstacle, Plate, ShaftEnd, Signed, Spot,
};

/// What readings can be of.
pub(super) struct Parts<'p> {
    pub(super) joints: &'p [JointRead],
    pub(super) shafts: &'p [ShaftRead],
    pub(super) plates: Option<&'p [Plate]>,
    pub(super) rails: &'p [RailRead],
    pub(super) obstacles: Option<&'p [Obstacle]>,
    pub(super) names: &'p Names,
}

/// The table: `Some(None)` without one, `None` where anything in it is wrong.
#[expect(clippy::option_option, reason = "not there and wrong are two things, as for every optional table")]
pub(super) fn as_built(reader: &mut Reader<'_>, root: &Table<'_>, parts: &Parts<'_>) -> Option<Option<AsBuilt>> {
    if !root.has("as_built") {
        return Some(None);
    }
    let table = reader.table(root, "as_built")?;
    let own = Signed { date: reader.date(&table, "date"), initials: reader.text(&table, "initials") };
    let shafts = each(reader, &table, "shaft", |reader, row| shaft(reader, row, parts, &own));
    let joints = each(reader, &table, "joint", |reader, row| joint(reader, row, parts, &own));
    let plates = each(reader, &table, "plate", |reader, row| plate(reader, row, parts, &own));
    let gaps = each(reader, &table, "gap", |reader, row| gap(reader, row, parts, &own));
    let prints = each(reader, &table, "print", |reader, row| print(reader, row, &own));
    for (list, of) in [("shaft", "shafts as built"), ("joint", "joints as built"), ("plate", "plates as built")] {
        once(reader, &table, list, of);
    }
    Some(Some(AsBuilt { shafts: shafts?, joints: joints?, plates: plates?, gaps: gaps?, prints: prints? }))
}

/// Every row of a list, or `None` where one is wrong.
fn each<T>(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    list: &'static str,
    mut read: impl FnMut(&mut Reader<'_>, &Table<'_>) -> Option<T>,
) -> Option<Vec<T>> {
    let rows: Vec<Option<T>> =
        reader.tables(table, list).into_iter().map(|row| row.and_then(|row| read(reader, &row))).collect();
    rows.into_iter().collect()
}

/// A part is read once.
fn once(reader: &mut Reader<'_>, table: &Table<'_>, list: &'static str, of: &str) {
    let Some(node) = table.node(list) else { return };
    let named: Vec<Named> = node
        .items()
        .iter()
        .filter_map(|item| {
            let name = item.value.as_table()?.get("name")?;
            Some(Named { name: Some(name.get_ref().as_str()?.to_owned()), span: name.span() })
        })
        .collect();
    unique(reader, &named, of);
}

fn signed(reader: &mut Reader<'_>, row: &Table<'_>, own: &Signed) -> Signed {
    let or = |text: String, own: &String| if text.is_empty() { own.clone() } else { text };
    Signed { date: or(reader.date(row, "date"), &own.date), initials: or(reader.text(row, "initials"), &own.initials) }
}

/// Index of the part a row names; nothing is said where a part of that list could not be read itself.
fn find<'n>(
    reader: &mut Reader<'_>,
    row: &Table<'_>,
    of: &str,
    known: impl Iterator<Item = Option<&'n str>>,
) -> Option<usize> {
    let (node, name) = reader.reference(row, "name")?;
    let known: Option<Vec<&str>> = known.collect();
    let known = known?;
    let found = known.iter().position(|known| *known == name);
    if found.is_none() {
        reader.no_such(&node, name, of, &known);
    }
    found
}

fn shaft(reader: &mut Reader<'_>, row: &Table<'_>, parts: &Parts<'_>, own: &Signed) -> Option<MadeShaft> {
    let index = find(reader, row, "shaft", parts.shafts.iter().map(|shaft| shaft.name.as_deref()));
    let length = reader.length(row, "length");
    let members = [reader.length(row, "outer"), reader.length(row, "inner")];
    let stations = [reader.lengths(row, "upper_stations"), reader.lengths(row, "lower_stations")];
    let twist = reader.angle(row, "twist");
    let signed = signed(reader, row, own);
    let index = index?;
    let shaft = parts.shafts.get(index)?.whole.as_ref()?;
    let is_slip = shaft.slip.is_some();
    for key in if is_slip { &["length"][..] } else { &["outer", "inner"] } {
        if row.has(key) {
            let (message, help) = if is_slip {
                (
                    "a slip shaft has two lengths, and this is neither",
                    "give `outer` and `inner`, the members by themselves",
                )
            } else {
                ("this shaft is one piece and has no members", "give `length`, between its end faces")
            };
            reader.error("bad-value", row.span_of(key), message, help);
        }
    }
    if twist.is_some() && !ShaftEnd::BOTH.into_iter().any(|end| shaft.is_milled(end)) {
        let message = "this shaft has no milled flats: full-length bar has no twist to measure";
        reader.error("bad-value", row.span_of("twist"), message, "take `twist` out");
    }
    let hubs = [
        parts.joints.get(index)?.whole.as_ref().map(|joint| &joint.lower),
        parts.joints.get(index + 1)?.whole.as_ref().map(|joint| &joint.upper),
    ];
    for ((key, read), hub) in ["upper_stations", "lower_stations"].into_iter().zip(&stations).zip(hubs) {
        let (Some(read), Some(hub)) = (read, hub) else { continue };
        let wanted = spots(hub);
        if read.len() != wanted {
            let message = format!(
                "`{key}` has {}; the hub there has {}",
                several(read.len(), "reading"),
                several(wanted, "dimple or groove")
            );
            let help = "give one for each dimple the drawing shows at that end, in the order of the hub's screws";
            reader.error("bad-value", row.span_of(key), message, help);
        }
    }
    Some(MadeShaft { shaft: index, length, members, stations, twist, signed })
}

/// How many features a hub wants on its shaft.
fn spots(hub: &Hub) -> usize {
    match &hub.hold {
        Hold::Screws(screws) => screws.iter().filter(|screw| screw.spot != Spot::None).count(),
        Hold::Pinch(_) => 1,
        Hold::Weld | Hold::Nothing => 0,
    }
}

fn several(count: usize, of: &str) -> String {
    match count {
        0 => format!("no {of}"),
        1 => format!("1 {of}"),
        n => format!("{n} of them"),
    }
}

fn joint(reader: &mut Reader<'_>, row: &Table<'_>, parts: &Parts<'_>, own: &Signed) -> Option<MadeJoint> {
    let index = find(reader, row, "joint", parts.joints.iter().map(|joint| joint.name.as_deref()));
    let angle = reader.angle(row, "angle");
    let in_hub = [reader.length(row, "upper_in_hub"), reader.length(row, "lower_in_hub")];
    let torque = [reader.torque(row, "upper_torque"), reader.torque(row, "lower_torque")];
    let signed = signed(reader, row, own);
    let index = index?;
    let whole = parts.joints.get(index)?.whole.as_ref()?;
    for ((key, read), hub) in ["upper_in_hub", "lower_in_hub"].into_iter().zip(in_hub).zip([&whole.upper, &whole.lower])
    {
        if let Some(read) = read
            && read > hub.reach
        {
            let message = format!(
                "`{key}` is {}; the hub reaches {} to its cross",
                both_units(read, reader.units),
                both_units(hub.reach, reader.units)
            );
            reader.error(
                "bad-value",
                row.span_of(key),
                message,
                "measure from the hub's outer face to the shaft's end",
            );
        }
    }
    for ((key, read), hub) in ["upper_torque", "lower_torque"].into_iter().zip(torque).zip([&whole.upper, &whole.lower])
    {
        if read.is_some() && matches!(hub.hold, Hold::Weld | Hold::Nothing) {
            let message = format!("`{key}` is given; that hub has neither screw nor pinch bolt");
            reader.error("bad-value", row.span_of(key), message, "take it out, or state what holds the hub");
        }
    }
    Some(MadeJoint { joint: index, angle, in_hub, torque, signed })
}

fn plate(reader: &mut Reader<'_>, row: &Table<'_>, parts: &Parts<'_>, own: &Signed) -> Option<MadePlate> {
    let thick = reader.length(row, "thick");
    let signed = signed(reader, row, own);
    let plates = parts.plates?;
    let index = find(reader, row, "plate", plates.iter().map(|plate| Some(plate.name.as_str())));
    let (index, thick) = (index?, thick?);
    let planned = plates.get(index)?.thick;
    if thick < planned / 2.0 || thick > planned * 2.0 {
        let message = format!(
            "`thick` is {}; the plan has {}, and half to twice of that is allowed",
            both_units(thick, reader.units),
            both_units(planned, reader.units)
        );
        reader.error("bad-value", row.span_of("thick"), message, "read the caliper again, or change the plan");
    }
    Some(MadePlate { plate: index, thick, signed })
}

fn gap(reader: &mut Reader<'_>, row: &Table<'_>, parts: &Parts<'_>, own: &Signed) -> Option<MadeGap> {
    let part = reader.reference(row, "part");
    let part = part.and_then(|(node, name)| parts.names.body(reader, &node, name, "part of the linkage", |_| true));
    let obstacle = reader.reference(row, "obstacle");
    let gap = reader.length(row, "gap");
    let signed = signed(reader, row, own);
    let (node, name) = obstacle?;
    let rails: Option<Vec<&str>> = parts.rails.iter().map(RailRead::name).collect();
    let mut known = rails?;
    known.extend(parts.obstacles?.iter().map(|obstacle| obstacle.name.as_str()));
    if !known.contains(&name) {
        reader.no_such(&node, name, "obstacle or rail", &known);
    }
    Some(MadeGap { part: part?, obstacle: name.to_owned(), gap: gap?, signed })
}

fn print(reader: &mut Reader<'_>, row: &Table<'_>, own: &Signed) -> Option<MadePrint> {
    let sheet = reader.text(row, "sheet");
    let rulers = [reader.length(row, "across"), reader.length(row, "up")];
    let signed = signed(reader, row, own);
    if !row.has("across") && !row.has("up") {
        let message = "neither `across` nor `up` is given";
        reader.error("missing-key", row.span.clone(), message, "give what the level and the upright ruler measure");
        return None;
    }
    Some(MadePrint { sheet, rulers, signed })
}

impl Reader<'_> {
    /// A list of lengths (mm), each more than zero.
    fn lengths(&mut self, table: &Table<'_>, name: &'static str) -> Option<Vec<f64>> {
        table.node(name)?;
        let items = self.list(table, name);
        let all: Vec<_> = items.iter().map(|item| self.length_at(item, Sign::Positive)).collect();
        all.into_iter().collect()
    }
}

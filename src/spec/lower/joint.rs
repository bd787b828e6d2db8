//! Joints and their hubs.

use std::sync::LazyLock;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fit;
use super::form::form;
use super::mock_up;
use super::note_unmeasured;
use super::screw::{self, DimpleKeys};
use super::shaft::ShaftRead;
use crate::catalog::{fasteners, joints as parts};
use crate::geometry::Vec3;
use crate::quantity::{both_units, degrees};
use crate::spec::grammar::JOINT;
use crate::spec::keys::{Kind, Sign};
use crate::spec::raw::{Node, Reader, Table};
use crate::spec::types::{Axes, DriveEnd, Form, Hold, Hub, Joint, Pinch, Rating, Thread, Unmeasured};

/// Largest working angle (rad) where neither spec nor part says: 30 degrees, common practice, no source.
const USUAL_LIMIT: f64 = std::f64::consts::PI / 6.0;

/// The same of a double joint in all: 60 degrees, the lower of the trade's figures (common practice, no source).
const USUAL_DOUBLE_LIMIT: f64 = std::f64::consts::PI / 3.0;

/// Fewest and most joints.
const COUNT: [usize; 2] = [2, 8];

/// The catalogue's joints with the keys of the spec.
static PARTS: LazyLock<Spanned<DeTable<'static>>> = LazyLock::new(|| DeTable::parse_recoverable(parts::TEXT).0);

fn part(name: &str) -> Option<&'static DeTable<'static>> {
    let joints = PARTS.get_ref().get("joint")?.get_ref().as_array()?;
    let mut tables = joints.iter().filter_map(|joint| joint.get_ref().as_table());
    tables.find(|table| table.get("part").and_then(|part| part.get_ref().as_str()) == Some(name))
}

/// A joint, whole where all of it could be read.
pub(super) struct JointRead {
    pub(super) name: Option<String>,
    pub(super) whole: Option<Joint>,
}

/// What the hubs sit on.
pub(super) struct Ends<'e> {
    pub(super) column: Option<&'e DriveEnd>,
    pub(super) gear: Option<&'e DriveEnd>,
    pub(super) shafts: &'e [ShaftRead],
}

/// The shaft in one hub.
pub(super) struct Seat<'e> {
    pub(super) bar: Option<&'e Form>,
    /// The shaft end of column or gear, which is not cut to suit.
    pub(super) end: Option<&'e DriveEnd>,
    /// In words, such as `column shaft`.
    pub(super) what: String,
}

impl Ends<'_> {
    /// Of the hub on the column's side of a joint, or on the gear's.
    fn seat(&self, joint: usize, count: usize, upper: bool) -> Seat<'_> {
        let end = match (upper, joint) {
            (true, 0) => Some((self.column, "column shaft")),
            (false, last) if last + 1 == count => Some((self.gear, "gear shaft")),
            _ => None,
        };
        if let Some((end, what)) = end {
            return Seat { bar: end.map(|end| &end.form), end, what: what.into() };
        }
        let index = if upper { joint.wrapping_sub(1) } else { joint };
        let shaft = self.shafts.get(index);
        let name = shaft.and_then(|shaft| shaft.name.as_deref()).unwrap_or_default();
        Seat {
            bar: shaft.and_then(|shaft| shaft.forms[usize::from(upper)].as_ref()),
            end: None,
            what: format!("shaft \"{name}\""),
        }
    }
}

pub(super) fn joints(
    reader: &mut Reader<'_>,
    root: &Table<'_>,
    ends: &Ends<'_>,
    unmeasured: &mut Vec<Unmeasured>,
) -> Vec<JointRead> {
    let nodes = reader.list(root, "joint");
    let [least, most] = COUNT;
    if root.has("joint") && (nodes.len() < least || nodes.len() > most) {
        let message = format!("the spec has {} joints; {least} to {most} are allowed", nodes.len());
        reader.error("bad-count", root.span_of("joint"), message, "add a [[joint]] for each, from column to gear");
    } else if root.has("joint") && root.has("shaft") && ends.shafts.len() + 1 != nodes.len() {
        let message = format!(
            "the spec has {} joints and {}; one shaft fewer than joints is allowed, {}",
            nodes.len(),
            if ends.shafts.len() == 1 { "1 shaft".to_owned() } else { format!("{} shafts", ends.shafts.len()) },
            nodes.len() - 1
        );
        let help = "give a [[shaft]] for each span between two joints; column and gear shafts do not count";
        reader.error("bad-count", root.span_of("shaft"), message, help);
    }
    if nodes.len() == 2 && ends.shafts.first().is_some_and(|shaft| shaft.places) {
        let message = "`to` has no meaning between two joints: column and gear place both";
        reader.error("no-meaning", reader.span("shaft.0.bearing.to"), message, "take `to` out");
    }
    let override_ = reader.table(root, "dimple").map(|table| DimpleKeys::read(reader, &table)).unwrap_or_default();
    let count = nodes.len();
    let read = |(i, node)| {
        let seats = [ends.seat(i, count, true), ends.seat(i, count, false)];
        joint(reader, node, [i, count], ends.shafts, &seats, override_, unmeasured)
    };
    nodes.iter().enumerate().map(read).collect()
}

fn joint(
    reader: &mut Reader<'_>,
    node: &Node<'_>,
    [index, count]: [usize; 2],
    shafts: &[ShaftRead],
    seats: &[Seat<'_>; 2],
    dimples: DimpleKeys,
    unmeasured: &mut Vec<Unmeasured>,
) -> JointRead {
    let Some(table) = open(reader, node) else {
        // Its name still counts, or every mention of it would be an error too.
        let name = Reader::peek(&JOINT, node).and_then(|table| reader.name(&table, "name"));
        return JointRead { name, whole: None };
    };
    let name = reader.name(&table, "name");
    let shown = name.clone().unwrap_or_default();
    for (key, what) in [("swing", "swing"), ("hub", "diameter of the hubs"), ("double", "distance between its crosses")]
    {
        if table.node(key).is_some_and(|node| node.from_part) {
            note_unmeasured(unmeasured, table.key(key), format!("joint \"{shown}\", {what}"));
        }
    }
    let swing = reader.length(&table, "swing");
    let hub_diameter = reader.length(&table, "hub").or(swing);
    let is_double = table.has("double");
    let from_part = |key: &str| table.node(key).is_some_and(|node| node.from_part);
    let double = double(reader, &table);
    let usual = if is_double { USUAL_DOUBLE_LIMIT } else { USUAL_LIMIT };
    // A single part's limit says nothing of a double made of it.
    let of_single = is_double && from_part("limit") && !from_part("double");
    let limit = reader.angle(&table, "limit").filter(|_| !of_single).unwrap_or(usual);
    let crosses = if is_double { 2.0 } else { 1.0 };
    if limit >= crosses * std::f64::consts::FRAC_PI_2 {
        let message = format!(
            "`limit` is {}; less than {} is allowed",
            degrees(limit.to_degrees(), 1),
            degrees(crosses * 90.0, 0)
        );
        reader.error("bad-value", table.span_of("limit"), message, "give the largest angle of the joint from straight");
    }
    let centre = centre(reader, &table, index, count, shafts);
    let rating = reader.table(&table, "rating").and_then(|rating| {
        let torque = reader.torque(&rating, "torque");
        let source = reader.text(&rating, "source");
        Some(Rating { torque: torque?, source })
    });
    let trunnions = reader.length(&table, "trunnions");
    if let (Some(apart), Some(swing)) = (trunnions, swing)
        && apart >= swing
    {
        let message = format!(
            "`trunnions` is {}; less than `swing`, {}, is allowed",
            both_units(apart, reader.units),
            both_units(swing, reader.units)
        );
        let help = "measure over both bearing caps of one line and take one cap's height off";
        reader.error("bad-value", table.span_of("trunnions"), message, help);
    }
    let mut hubs = ["upper", "lower"].iter().zip(seats).map(|(side, seat)| {
        let table = reader.table(&table, side)?;
        let what = format!("joint \"{shown}\", {{}} of the {}", side_in_words(side));
        let hub = hub(reader, &table, seat, dimples, &what, unmeasured)?;
        if let Some(diameter) = hub_diameter.filter(|diameter| *diameter <= hub.fits.diameter()) {
            let message = format!(
                "the hubs sweep {}; more than the {}'s hole of {} is allowed",
                both_units(diameter, reader.units),
                side_in_words(side),
                both_units(hub.fits.diameter(), reader.units)
            );
            let help = "give the outside diameter, screw heads and lock nuts included, as `hub`";
            reader.error("bad-value", table.span_of("fits"), message, help);
        }
        Some(hub)
    });
    let (upper, lower) = (hubs.next().flatten(), hubs.next().flatten());
    let whole = || {
        Some(Joint {
            name: name.clone()?,
            swing: swing?,
            hub: hub_diameter?,
            limit,
            double,
            upper: upper?,
            lower: lower?,
            centre,
            rating,
            trunnions,
        })
    };
    // A double whose span could not be read is no single joint.
    let whole = whole().filter(|_| double.is_some() == is_double);
    JointRead { name, whole }
}

/// Distance between the crosses of a double joint (mm).
fn double(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<f64> {
    let table = reader.table(table, "double")?;
    if reader.flag(&table, "centred") == Some(false) {
        let message = "`centred` is false; only a centred double joint is one joint";
        let help = "write a floating one as two single joints with a [[shaft]] between them, which needs a bearing";
        reader.error("not-centred", table.span_of("centred"), message, help);
    }
    reader.length(&table, "span")
}

/// A hub of a joint by its key.
pub(super) fn side_in_words(side: &str) -> &'static str {
    if side == "upper" { "column-side hub" } else { "gear-side hub" }
}

/// A joint's table over its part's.
fn open<'d>(reader: &mut Reader<'_>, node: &Node<'d>) -> Option<Table<'d>> {
    let Some(named) = node.value.as_table().and_then(|table| table.get("part")) else {
        return reader.open(&JOINT, node);
    };
    let named_node =
        Node { path: format!("{}.part", node.path), span: named.span(), value: named.get_ref(), from_part: false };
    let DeValue::String(name) = named.get_ref() else {
        reader.wrong_type(&named_node, Kind::Reference("a joint of the catalogue"));
        return None;
    };
    let Some(part) = part(name) else {
        reader.no_such(&named_node, name, "joint in the catalogue", &parts::names());
        return None;
    };
    reader.open_over(&JOINT, node, part, named.span())
}

/// Inner joints have one place, of their own or by a bearing; the first and the last have none to state.
fn centre(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    index: usize,
    count: usize,
    shafts: &[ShaftRead],
) -> Option<Vec3> {
    let centre = reader.point(table, "centre");
    let inner = index > 0 && index + 1 < count;
    if reader.axes == Axes::MockUp {
        if table.has("centre") {
            mock_up::needs_places(reader, table.span_of("centre"), "`centre`");
        }
        return centre;
    }
    if !inner {
        if table.has("centre") {
            let end = if index == 0 { "column" } else { "gear" };
            let message = format!("joint {} is on the {end}; its `centre` follows from `{end}.end`", index + 1);
            reader.error("one-too-many", table.span_of("centre"), message, "take `centre` out");
        }
        return centre;
    }
    // The last shaft's lower cross follows from the gear, so its bearing places the upper one.
    let places = |shaft: usize| shafts.get(shaft).is_some_and(|shaft| shaft.places);
    let by = [places(index - 1).then_some(index - 1), (index + 2 == count && places(index)).then_some(index)];
    let shaft_words = |shaft: usize| {
        let name = shafts.get(shaft).and_then(|shaft| shaft.name.as_deref()).unwrap_or_default();
        format!("`to` of the bearing of shaft \"{name}\"")
    };
    let mut places: Vec<String> = by.into_iter().flatten().map(shaft_words).collect();
    if table.has("centre") {
        places.insert(0, "`centre`".to_owned());
    }
    match places.as_slice() {
        [] => {
            let message = format!("joint {} lies between two shafts and has no place", index + 1);
            let help = "measure its cross centre and add `centre = [x, y, z]`, or give the shaft above it a bearing at \
                        a point with `to`, the distance between its crosses";
            reader.error("missing-key", table.span.clone(), message, help);
        }
        [_] => {}
        [first, second, ..] => {
            let message = format!("joint {} has its place twice, by {first} and by {second}", index + 1);
            let span = if table.has("centre") { table.span_of("centre") } else { table.span.clone() };
            reader.error("one-too-many", span, message, "keep the one you measured and take the other out");
        }
    }
    centre
}

/// `what` names a size of this hub in words, with `{}` for the size.
fn hub(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    seat: &Seat<'_>,
    dimples: DimpleKeys,
    what: &str,
    unmeasured: &mut Vec<Unmeasured>,
) -> Option<Hub> {
    let fits = form(reader, table, "fits", &what.replace("{}", "hole"), unmeasured);
    let reach = reach(reader, table);
    let depth = reader.length(table, "depth");
    let bite = reader.length(table, "bite");
    let seat_back = reader.length(table, "seat").unwrap_or(0.0);
    let turned = reader.flag(table, "turned").unwrap_or(false);
    let tooth = reader.angle(table, "tooth");
    let weld = reader.flag(table, "weld").unwrap_or(false);
    let ears = ears(reader, table, fits.as_ref(), weld);
    let (screws, pinch) = (table.has("screws"), reader.table(table, "pinch"));
    let noted = [
        ("reach", "reach"),
        ("depth", "depth"),
        ("bite", "bite"),
        ("seat", "seat"),
        ("ears", "position of the ears"),
        ("screws", "set screw positions"),
        ("pinch", "pinch bolt position"),
    ];
    for (key, size) in noted {
        let idle = key == "ears" && fits.as_ref().is_some_and(|fits| !fits.is_double_d());
        if !idle && table.node(key).is_some_and(|node| node.from_part) {
            note_unmeasured(unmeasured, table.key(key), what.replace("{}", size));
        }
    }
    let groove = seat.end.and_then(|end| end.groove);
    let hold = if weld {
        Some(Hold::Weld)
    } else if table.has("pinch") {
        pinch.as_ref().and_then(|pinch| self::pinch(reader, pinch)).map(Hold::Pinch)
    } else if screws {
        let on = screw::On { hole: fits.as_ref(), bar: seat.bar, what: &seat.what };
        screw::screws(reader, table, &on, dimples).map(Hold::Screws)
    } else {
        Some(Hold::Nothing)
    };
    let bite = bite.or(depth);
    let hub = Hub {
        fits: fits?,
        reach: reach?,
        depth: depth?,
        bite: bite?,
        seat: seat_back,
        ears,
        tooth,
        turned,
        hold: hold?,
    };
    if let Some(bar) = seat.bar {
        fit::form(reader, table, &hub, bar, &seat.what);
    }
    fit::lengths(reader, table, &hub, seat, groove);
    Some(hub)
}

/// Cross centre to outer face: measured, or midway between the edges of a bearing cap.
fn reach(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<f64> {
    let node = table.node("reach")?;
    let Some(Kind::LengthOr(keys)) = table.keys.get("reach").map(|key| key.kind) else { return None };
    if node.value.as_table().is_none() {
        return reader.length_at(&node, Sign::Positive);
    }
    let cap = reader.open(keys, &node)?;
    let edges = reader.pair(&cap, "cap", Sign::Positive)?;
    if edges.x >= edges.y {
        let message = format!(
            "`cap` runs from {} to {}; the near edge comes first",
            both_units(edges.x, reader.units),
            both_units(edges.y, reader.units)
        );
        reader.error("bad-value", cap.span_of("cap"), message, "measure from the hub's outer face to both edges");
        return None;
    }
    Some(f64::midpoint(edges.x, edges.y))
}

/// Flats to ears (rad); only a double-D hole has flats.
fn ears(reader: &mut Reader<'_>, table: &Table<'_>, fits: Option<&Form>, weld: bool) -> Option<f64> {
    let node = table.node("ears");
    let fits = fits?;
    if !fits.is_double_d() || weld {
        // A part's own ears belong to its own hole.
        if let Some(node) = node.filter(|node| !node.from_part) {
            let why = if weld { "a welded hub" } else { "a hole without flats" };
            let message = format!("`ears` has no meaning on {why}; only a double-D hole has flats to count from");
            reader.error("no-meaning", node.span, message, "take `ears` out");
        }
        return None;
    }
    let Some(node) = node else {
        let message = "a double-D hole has no `ears`; how it sits to the yoke sets the phase";
        let help = "look into the hole: add `ears = \"parallel\"` where its straight edges point at the ears, \
                    \"across\" where the flats face them";
        reader.error("missing-key", table.span.clone(), message, help);
        return None;
    };
    match node.value {
        DeValue::String(word) if word == "parallel" => Some(0.0),
        DeValue::String(word) if word == "across" => Some(std::f64::consts::FRAC_PI_2),
        DeValue::String(word) if !word.contains(|c: char| c.is_ascii_digit()) => {
            reader.wrong_type(&node, Kind::Ears);
            None
        }
        DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_) => reader.angle_at(&node, Sign::Any),
        _ => {
            reader.wrong_type(&node, Kind::Ears);
            None
        }
    }
}

fn pinch(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Pinch> {
    let at = reader.length(table, "at");
    let bolt = thread(reader, table, "bolt");
    let offset = reader.length(table, "offset");
    Some(Pinch { at: at?, bolt: bolt?, offset: offset? })
}

/// A thread of the catalogue.
pub(super) fn thread(reader: &mut Reader<'_>, table: &Table<'_>, name: &str) -> Option<Thread> {
    let (node, text) = reader.reference(table, name)?;
    let found = fasteners::thread(text);
    if found.is_none() {
        reader.no_such(&node, text, "thread in the catalogue", &fasteners::thread_names());
    }
    found.map(|entry| entry.thread.clone())
}

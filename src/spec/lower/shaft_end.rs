//! Ends turned or milled on a shaft, and the twist they are made with.

use toml::de::DeValue;

use super::form::{form, in_words};
use super::joint::JointRead;
use super::shaft::ShaftRead;
use crate::quantity::both_units;
use crate::spec::keys::{Kind, Sign};
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{CutEnd, Form, FormShape, Hold, Hub, Joint, Shaft, ShaftEnd, TwistWish, Unmeasured};

/// Sizes that should be equal but come by way of fractions and decimals (mm).
const SAME_SIZE: f64 = 1e-6;

/// Least step (mm) from the bar down to an end turned on it: a smaller one is not a shoulder.
/// Common practice, no source.
const LEAST_STEP: f64 = 0.02;

/// The ends of a shaft as read.
#[derive(Default)]
pub(super) struct Ends {
    pub(super) at: [Option<CutEnd>; 2],
    /// An end stands there that could not be read.
    pub(super) wrong: bool,
}

/// `ends = { .. }`; `bars` are the bars they are cut on, upper and lower.
pub(super) fn ends(
    reader: &mut Reader<'_>,
    shaft: &Table<'_>,
    bars: &[Option<Form>; 2],
    name: &str,
    unmeasured: &mut Vec<Unmeasured>,
) -> Ends {
    let mut ends = Ends::default();
    if !shaft.has("ends") {
        return ends;
    }
    let Some(table) = reader.table(shaft, "ends") else { return Ends { wrong: true, ..ends } };
    for (i, side) in ["upper", "lower"].into_iter().enumerate() {
        if !table.has(side) {
            continue;
        }
        let what = format!("shaft \"{name}\", {side} end");
        let bar = bars.get(i).and_then(Option::as_ref);
        let read = reader.table(&table, side).and_then(|table| end(reader, &table, bar, &what, unmeasured));
        ends.wrong |= read.is_none();
        if let Some(slot) = ends.at.get_mut(i) {
            *slot = read;
        }
    }
    ends
}

fn end(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    bar: Option<&Form>,
    what: &str,
    unmeasured: &mut Vec<Unmeasured>,
) -> Option<CutEnd> {
    let form = form(reader, table, "form", what, unmeasured);
    let length = reader.length(table, "length");
    let tooth = reader.angle(table, "tooth");
    let form = form?;
    let units = reader.units;
    if tooth.is_some() && form.teeth().is_none() {
        let message = "`tooth` has no meaning on an end without teeth";
        reader.error("no-meaning", table.span_of("tooth"), message, "take `tooth` out, or give the serrated form");
        return None;
    }
    if form.bore().is_some() {
        let message = "the end has a bore of its own; the bore is that of the bar, from end to end";
        reader.error("bad-form", table.span_of("form"), message, "take `bore` out and give it with `stock`");
        return None;
    }
    let bar = bar?;
    let FormShape::Round { diameter, bore } = bar.shape else {
        let message = format!("ends are cut on round bar; this one is a {}", in_words(bar, "bar", units));
        let help = "give the round bar as `stock`, or leave `ends` out where the stock fits both hubs";
        reader.error("bad-form", table.span_of("form"), message, help);
        return None;
    };
    let step = diameter - form.diameter();
    if step < -SAME_SIZE {
        let message = format!(
            "the end is {} in diameter; at most the bar's, {}, is allowed",
            both_units(form.diameter(), units),
            both_units(diameter, units)
        );
        reader.error("bad-form", table.span_of("form"), message, "an end is cut from the bar: use larger stock");
        return None;
    }
    let same = step <= SAME_SIZE;
    if same && !form.is_double_d() && form.teeth().is_none() {
        let message = "the end is the bar itself, round and of the same diameter";
        reader.error("no-meaning", table.span_of("form"), message, "take this end out of `ends`");
        return None;
    }
    if !same && step < LEAST_STEP {
        let message = format!(
            "the end is {} under the bar's diameter; the same diameter, or {} or more under it, is allowed",
            both_units(step, units),
            both_units(LEAST_STEP, units)
        );
        let help = "flats milled on the bar as it is have the bar's own diameter";
        reader.error("bad-form", table.span_of("form"), message, help);
        return None;
    }
    let across = match form.shape {
        FormShape::DoubleD { flats, .. } => flats,
        _ => form.diameter(),
    };
    if let Some(bore) = bore.filter(|bore| *bore >= across) {
        let message = format!(
            "the end is {} across; more than the bar's bore of {} is allowed",
            both_units(across, units),
            both_units(bore, units)
        );
        reader.error("bad-form", table.span_of("form"), message, "use bar with a smaller bore, or solid bar");
        return None;
    }
    Some(CutEnd { form, length: length?, tooth })
}

/// The form of an end with the bore of the bar it is cut on.
pub(super) fn over_bore(end: &Form, bar: Option<&Form>) -> Form {
    let bar_bore = bar.and_then(Form::bore);
    let shape = match end.shape {
        FormShape::DoubleD { diameter, flats, .. } => FormShape::DoubleD { diameter, flats, bore: bar_bore },
        FormShape::Round { diameter, .. } => FormShape::Round { diameter, bore: bar_bore },
        serrated @ FormShape::Serrated { .. } => serrated,
    };
    Form { name: end.name.clone(), shape }
}

/// `best` or an angle.
pub(super) fn twist(reader: &mut Reader<'_>, shaft: &Table<'_>) -> Option<TwistWish> {
    let node = shaft.node("twist")?;
    match node.value {
        DeValue::String(word) if word == "best" => Some(TwistWish::Best),
        DeValue::String(word) if !word.contains(|c: char| c.is_ascii_digit()) => {
            reader.wrong_type(&node, Kind::Twist);
            None
        }
        DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_) => {
            reader.angle_at(&node, Sign::Any).map(TwistWish::Angle)
        }
        _ => {
            reader.wrong_type(&node, Kind::Twist);
            None
        }
    }
}

/// What can only be judged with the hubs known: how far they go on, and whether a twist can be had.
pub(super) fn against_hubs(reader: &mut Reader<'_>, shafts: &[ShaftRead], joints: &[JointRead]) {
    for (i, read) in shafts.iter().enumerate() {
        let whole = |index: usize| joints.get(index).and_then(|joint| joint.whole.as_ref());
        let (Some(shaft), Some(above), Some(below)) = (read.whole.as_ref(), whole(i), whole(i + 1)) else { continue };
        let hubs = [&above.lower, &below.upper];
        for (end, hub) in ShaftEnd::BOTH.into_iter().zip(hubs) {
            long_enough(reader, shaft, i, end, hub);
        }
        wished(reader, shaft, i, hubs);
        teeth(reader, i, [above, below]);
    }
}

/// A shoulder stops the hub.
fn long_enough(reader: &mut Reader<'_>, shaft: &Shaft, i: usize, end: ShaftEnd, hub: &Hub) {
    let Some(cut) = shaft.ends.get(end.index()).and_then(Option::as_ref) else { return };
    let engagement = hub.engagement(None);
    if cut.length >= engagement - SAME_SIZE {
        return;
    }
    let side = if end == ShaftEnd::Upper { "upper" } else { "lower" };
    let message = format!(
        "the {side} end is cut over {}; at least {}, what its hub covers, is allowed",
        both_units(cut.length, reader.units),
        both_units(engagement, reader.units)
    );
    let span = reader.span(&format!("shaft.{i}.ends.{side}.length"));
    reader.error("too-short", span, message, "the hub would stop at the shoulder: cut the end longer");
}

/// A twist is made by milling or by welding.
fn wished(reader: &mut Reader<'_>, shaft: &Shaft, i: usize, hubs: [&Hub; 2]) {
    if shaft.twist.is_none() {
        return;
    }
    let milled = ShaftEnd::BOTH.iter().any(|end| shaft.is_milled(*end));
    let welded = hubs.iter().any(|hub| hub.hold == Hold::Weld);
    let span = reader.span(&format!("shaft.{i}.twist"));
    if !milled && !welded {
        let message = if shaft.stock.is_double_d() {
            "no end of this shaft is milled or welded: on full-length double-D bar the hubs alone set the twist"
        } else {
            "no end of this shaft is milled or welded, so no twist can be made"
        };
        let help = "give round bar as `stock` and its flats under `ends`, or take `twist` out";
        reader.error("no-meaning", span, message, help);
    } else if !welded && hubs.iter().any(|hub| hub.fits.teeth().is_some()) {
        let message = "one hub of this shaft has teeth: its tooth, not the milled flats, sets the twist";
        let help = "take `twist` out; with `tooth` measured on hub and shaft end the best tooth is found";
        reader.error("no-meaning", span, message, help);
    }
}

/// `tooth` is measured on the hub and on the shaft end, or on neither.
fn teeth(reader: &mut Reader<'_>, i: usize, joints: [&Joint; 2]) {
    let hubs = [(&joints[0].lower, i, "lower"), (&joints[1].upper, i + 1, "upper")];
    for (hub, joint, side) in hubs {
        if hub.tooth.is_some() && hub.fits.teeth().is_none() {
            let span = reader.span(&format!("joint.{joint}.{side}.tooth"));
            let message = "`tooth` has no meaning on a hole without teeth";
            reader.error("no-meaning", span, message, "take `tooth` out");
        }
    }
}

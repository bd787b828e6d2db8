//! Whether a hub goes on its shaft, and how far.

use super::form::in_words;
use super::joint::{Seat, side_in_words};
use super::screw::mouth;
use crate::quantity::both_units;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Form, FormShape, Hold, Hub, Spot};

/// Sizes that should be equal but come by way of fractions and decimals (mm).
const SAME_SIZE: f64 = 1e-6;

/// The hole must take the bar; what it is larger is play, and is judged later.
pub(super) fn form(reader: &mut Reader<'_>, table: &Table<'_>, hub: &Hub, bar: &Form, what: &str) {
    let (hole, units) = (&hub.fits, reader.units);
    if matches!(hole.shape, FormShape::DoubleD { bore: Some(_), .. } | FormShape::Round { bore: Some(_), .. }) {
        let message = "the hole has a bore of its own; a bar may be hollow, a hole has one form";
        reader.error("bad-form", table.span_of("fits"), message, "take `bore` out, or choose the form without it");
        return;
    }
    let smaller = |hole: f64, bar: f64| hole < bar - SAME_SIZE;
    let wrong = match (hole.shape, bar.shape) {
        (FormShape::DoubleD { diameter, flats, .. }, FormShape::DoubleD { diameter: d, flats: f, .. }) => {
            (smaller(diameter, d) || smaller(flats, f)).then_some("is too tight for")
        }
        (FormShape::Serrated { teeth, diameter, .. }, FormShape::Serrated { teeth: t, diameter: d, .. }) => {
            if teeth == t { smaller(diameter, d).then_some("is too tight for") } else { Some("does not mesh with") }
        }
        (FormShape::Round { diameter, .. }, FormShape::Round { diameter: d, .. }) => {
            smaller(diameter, d).then_some("is too tight for")
        }
        // A round hole takes any bar it is welded to.
        (FormShape::Round { diameter, .. }, _) if hub.hold == Hold::Weld => {
            smaller(diameter, bar.diameter()).then_some("is too tight for")
        }
        _ => Some("does not fit"),
    };
    if let Some(wrong) = wrong {
        let message = format!(
            "the {} has a {}, which {wrong} the {what}, a {}",
            side_in_words(side(table)),
            in_words(hole, "hole", units),
            in_words(bar, "bar", units)
        );
        reader.error(
            "no-fit",
            table.span_of("fits"),
            message,
            "measure both with a caliper, then correct `fits` or the form of the shaft",
        );
    }
}

/// `upper` or `lower`: the last name of the hub's key.
fn side<'t>(table: &'t Table<'_>) -> &'t str {
    table.path.rsplit('.').next().unwrap_or_default()
}

/// Depth, seat and engagement against reach, bite and the shaft's exposed length.
pub(super) fn lengths(reader: &mut Reader<'_>, table: &Table<'_>, hub: &Hub, seat: &Seat<'_>, groove: Option<f64>) {
    let units = reader.units;
    let both = |mm| both_units(mm, units);
    let side = side(table);
    if hub.depth > hub.reach + SAME_SIZE {
        let message =
            format!("`{side}.depth` is {}; at most `reach`, {}, is allowed", both(hub.depth), both(hub.reach));
        let help = "measure `depth` from the outer face to the inner mouth of the bore, `reach` on to the cross centre";
        reader.error("bad-value", table.span_of("depth"), message, help);
        return;
    }
    if hub.bite > hub.depth + SAME_SIZE {
        let message = format!("`{side}.bite` is {}; at most `depth`, {}, is allowed", both(hub.bite), both(hub.depth));
        reader.error("bad-value", table.span_of("bite"), message, "bite is the part of the depth with the full form");
    }
    let pinched = if let Hold::Pinch(pinch) = &hub.hold { Some(pinch) } else { None };
    if let Some(pinch) = pinched
        && pinch.at >= hub.depth
    {
        let message = format!(
            "the pinch bolt of the {} is {} inside; less than `depth`, {}, is allowed",
            side_in_words(side),
            both(pinch.at),
            both(hub.depth)
        );
        reader.error(
            "bad-value",
            table.span_of("pinch"),
            message,
            "measure from the hub's outer face to the bolt's axis",
        );
        return;
    }
    if let (Some(pinch), Some(groove)) = (pinched, groove) {
        if hub.seat > 0.0 {
            let message = "`seat` does nothing here: the pinch bolt in the groove sets where the shaft ends";
            reader.error("no-meaning", table.span_of("seat"), message, "take `seat` out");
        }
        let engagement = pinch.at + groove;
        if engagement > hub.depth + SAME_SIZE {
            let message = format!(
                "with its bolt in the groove the {} lies {} inside; at most `depth`, {}, is allowed",
                seat.what,
                both(engagement),
                both(hub.depth)
            );
            let help = "measure again from the outer face to the bolt, and from the shaft's end to its groove";
            reader.error("too-deep", table.span_of("pinch"), message, help);
            return;
        }
    } else if hub.seat >= hub.depth {
        let message =
            format!("`{side}.seat` is {}; less than `depth`, {}, is allowed", both(hub.seat), both(hub.depth));
        reader.error("bad-value", table.span_of("seat"), message, "seat is how far the shaft stops short of flush");
        return;
    }
    let engagement = hub.engagement(groove);
    for (i, screw) in hub.screws().iter().enumerate() {
        let station = engagement - screw.at;
        let mouth = if screw.spot == Spot::None { 0.0 } else { mouth(screw.dimple) };
        let span = reader.span(&format!("{}.screws.{i}.at", table.path));
        if station <= 0.0 {
            let message = format!(
                "the screw is {} inside the {}; the {} ends {} inside",
                both(screw.at),
                side_in_words(side),
                seat.what,
                both(engagement)
            );
            reader.error("no-room", span, message, "a screw must bear on the shaft: check `at`, `seat` and `depth`");
        } else if station < mouth / 2.0 {
            let message = format!(
                "the dimple is {} from the end of the {}; half its mouth, {}, or more is allowed",
                both(station),
                seat.what,
                both(mouth / 2.0)
            );
            reader.error("no-room", span, message, "it would run out over the end: check `at`, `seat` and `depth`");
        }
    }
    if let (Some(pinch), Some(bar)) = (pinched, seat.bar) {
        let (radius, bolt) = (bar.diameter() / 2.0, pinch.bolt.diameter / 2.0);
        if pinch.offset >= radius + bolt || pinch.offset <= bolt {
            let message = format!(
                "the pinch bolt's axis is {} from the shaft's; {} to {} is allowed",
                both(pinch.offset),
                both(bolt),
                both(radius + bolt)
            );
            let help = "measure from the middle of the hole to the middle of the bolt: it lies in a groove at the shaft's side";
            reader.error("bad-value", table.span_of("pinch"), message, help);
        }
    }
    if let Some(exposed) = seat.end.map(|end| end.exposed)
        && engagement > exposed + SAME_SIZE
    {
        let message = format!(
            "the {} takes {} of the {}; at most its exposed {} is allowed",
            side_in_words(side),
            both(engagement),
            seat.what,
            both(exposed)
        );
        let help = format!(
            "hold the hub back with `seat = \"{}\"`, or measure `exposed` again",
            seat_text(engagement - exposed, units)
        );
        reader.error("too-deep", table.span_of("depth"), message, help);
    }
}

/// A seat in the user's unit, rounded up to what a tape or rule can set.
fn seat_text(mm: f64, units: crate::quantity::Unit) -> String {
    match units {
        crate::quantity::Unit::Inch => format!("{:.2} in", (mm / crate::quantity::INCH * 100.0 - 1e-6).ceil() / 100.0),
        crate::quantity::Unit::Millimetre => format!("{:.1} mm", (mm * 10.0 - 1e-6).ceil() / 10.0),
    }
}

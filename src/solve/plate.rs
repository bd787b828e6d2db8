//! Plates: where they lie, what is drilled, what passes through.

use std::f64::consts::PI;

use super::chain::Chain;
pub use super::outline::{hole as hole_outline, path};
use super::outline::{net_area, stretched};
use super::solution::{HoleResult, OpeningResult, PlateFrame, PlateResult, Slot, Vertex};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Frame, Vec2, Vec3};
use crate::quantity;
use crate::spec::Spec;
use crate::spec::types::{Body, Hole, HoleSize, Opening, Plate, PlatePlace, Unit};

/// Least angle (rad) between an axis and the plate it passes: under a degree the ellipse is over 57 times as long
/// as wide and no opening.
const LEAST_SLANT: f64 = PI / 180.0;

/// A slant (sine) under this is none: the ellipse is round to 1e-14 of its size.
const SQUARE: f64 = 1e-7;

/// Where a hole's centre marks stand in a cut file that has them in place of the hole, since it is narrower than
/// `least` thicknesses: its centre, or the two end centres of a slot. Empty for a hole that is cut.
pub fn centre_marks(hole: &HoleResult, thick: f64, least: f64) -> Vec<Vec2> {
    /// A hole of exactly the least width is cut (mm).
    const SAME: f64 = 1e-9;
    if hole.diameter > least * thick - SAME {
        return Vec::new();
    }
    hole.slot.map_or_else(
        || vec![hole.centre],
        |slot| {
            let half = Vec2::polar(slot.angle.to_radians()) * (0.5 * slot.length);
            vec![hole.centre - half, hole.centre + half]
        },
    )
}

/// Lays out one plate of the spec.
///
/// The frame is right-handed, u right, v up, w toward the viewer; (0, 0) lies on the drawn face, material behind it
/// on −w. Square to an axis, w runs from the axis's end away from the linkage (up the column, into the gear; a shaft
/// counts from its column-side end as cut, toward the gear), +v is `up` made square to it, and the drawn face lies
/// `from_end` from that end.
///
/// `area` is that of the outline less holes, slots and openings as cut: what several of them share is taken once,
/// what lies beyond the outline not at all.
///
/// Fails where the frame's directions are parallel, an axis lies along the plate, or an opening is round a joint.
pub fn plate(spec: &Spec, chain: &Chain, plate: &Plate) -> Result<PlateResult, Vec<Diagnostic>> {
    let index = spec.plates.iter().position(|other| other.name == plate.name).unwrap_or(0);
    let key = format!("plate.{index}");
    let frame = frame(spec, chain, plate, &key).map_err(|error| vec![error])?;
    let outline = rounded_rectangle(plate.size, plate.corner);
    let holes: Vec<HoleResult> = plate.holes.iter().flat_map(|hole| rows(hole, spec.build.units)).collect();
    let mut openings = Vec::with_capacity(plate.openings.len());
    let mut wrong = Vec::new();
    for (i, opening) in plate.openings.iter().enumerate() {
        match cut_opening(spec, chain, &frame, plate.thick, opening) {
            Ok(result) => openings.push(result),
            Err(error) => wrong.push(error.at(spec.place(&format!("{key}.opening.{i}")))),
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let cuts: Vec<_> = holes
        .iter()
        .filter_map(|hole| path(&hole_outline(hole)))
        .chain(openings.iter().filter_map(|opening| path(&opening.outline)))
        .collect();
    let area = path(&outline).map_or(0.0, |outline| net_area(&outline, &cuts));
    Ok(PlateResult {
        name: plate.name.clone(),
        thick: plate.thick,
        frame: PlateFrame { origin: frame.origin, u: frame.x, v: frame.y, w: frame.z },
        outline,
        holes,
        openings,
        area,
    })
}

fn frame(spec: &Spec, chain: &Chain, plate: &Plate, key: &str) -> Result<Frame, Diagnostic> {
    match plate.place {
        PlatePlace::Points { origin, right, up } => {
            Frame::from_x_y(origin, right - origin, up - origin).ok_or_else(|| {
                Diagnostic::error(
                    "plate-frame",
                    format!(
                        "origin, right and up of plate {:?} lie on one line; three corners of a face are wanted",
                        plate.name
                    ),
                )
                .at(spec.place(&format!("{key}.up")))
                .help("take `up` on the face, well off the line from origin to right")
            })
        }
        PlatePlace::SquareTo { axis, from_end, up, zero } => {
            let place = spec.place(&format!("{key}.square_to"));
            let Some((end, w)) = axis_end(spec, chain, axis) else { return Err(not_an_axis(spec, axis).at(place)) };
            // Frame gives x along `up` and y = w × x; v is the first, u = v × w the other turned round.
            let Some(turned) = Frame::from_z_x(end + w * from_end, w, up) else {
                return Err(Diagnostic::error(
                    "plate-frame",
                    format!("`up` of plate {:?} runs along the axis the plate is square to", plate.name),
                )
                .at(place)
                .help("give a direction across the axis, such as [0, 0, 1] for a column"));
            };
            let (u, v) = (-turned.y, turned.x);
            Ok(Frame { origin: turned.origin - u * zero.x - v * zero.y, x: u, y: v, z: w })
        }
    }
}

/// End of a body's axis and the direction from there that plates square to it count in.
fn axis_end(spec: &Spec, chain: &Chain, body: Body) -> Option<(Vec3, Vec3)> {
    match body {
        Body::Column => Some((spec.column.end, -spec.column.axis)),
        Body::Gear => Some((spec.gear.end, spec.gear.axis)),
        Body::Shaft(i) => {
            let (joint, axis) = (spec.joints.get(i)?, *chain.axes.get(i + 1)?);
            Some((chain.lower_cross(i) + axis * joint.lower.gap(None), axis))
        }
        Body::Joint(_) => None,
    }
}

/// Largest diameter of the round that passes: of the column the tube, where there is one.
fn round_diameter(spec: &Spec, body: Body) -> Option<f64> {
    match body {
        Body::Column => Some(spec.column.tube.unwrap_or(0.0).max(spec.column.form.diameter())),
        Body::Gear => Some(spec.gear.form.diameter()),
        Body::Shaft(i) => Some(spec.shafts.get(i)?.diameter()),
        Body::Joint(_) => None,
    }
}

fn not_an_axis(spec: &Spec, body: Body) -> Diagnostic {
    Diagnostic::error("not-acted-on-yet", format!("a plate round joint {:?} is not acted on yet", spec.body_name(body)))
        .help("name the column, the gear or a shaft, with clearance for the joint's swing")
}

fn cut_opening(
    spec: &Spec,
    chain: &Chain,
    frame: &Frame,
    thick: f64,
    opening: &Opening,
) -> Result<OpeningResult, Diagnostic> {
    let body = opening.around;
    let (Some((end, axis)), Some(diameter)) = (axis_end(spec, chain, body), round_diameter(spec, body)) else {
        return Err(not_an_axis(spec, body));
    };
    let radius = diameter / 2.0 + opening.clearance;
    let along = Vec3::new(axis.dot(frame.x), axis.dot(frame.y), axis.dot(frame.z));
    if along.z.abs() < libm::sin(LEAST_SLANT) {
        let slant = libm::asin(along.z.abs().min(1.0)).to_degrees();
        return Err(Diagnostic::error(
            "opening-along-plate",
            format!(
                "the axis of {:?} meets the plate at {slant:.2} deg, at least {:.0} deg is wanted for opening {:?}",
                spec.body_name(body),
                LEAST_SLANT.to_degrees(),
                opening.name
            ),
        )
        .help("check the plate's three points: it lies along this axis"));
    }
    let at = frame.local(end);
    // From drawn face to back the axis moves by this much in the plane a mm of thickness.
    let drift = Vec2::new(along.x, along.y) * (1.0 / along.z);
    let centre = Vec2::new(at.x, at.y) - drift * at.z;
    let back = centre - drift * thick;
    let slant = drift.length();
    let (major, toward) = if slant > SQUARE {
        (radius / along.z.abs(), (back - centre).unit().unwrap_or_else(|| drift * (1.0 / slant)))
    } else {
        (radius, Vec2::new(1.0, 0.0))
    };
    let angle = if slant > SQUARE { half_turn(toward.angle().to_degrees()) } else { 0.0 };
    let centres = if slant > SQUARE { [centre, back] } else { [centre, centre] };
    Ok(OpeningResult {
        name: opening.name.clone(),
        centre,
        major: 2.0 * major,
        minor: 2.0 * radius,
        angle,
        outline: stretched(centres, toward * major, radius),
    })
}

/// An angle (deg) modulo 180, in 0..180.
fn half_turn(degrees: f64) -> f64 {
    let angle = degrees.rem_euclid(180.0);
    // The remainder of a tiny negative angle rounds up to 180 itself.
    if angle >= 180.0 { 0.0 } else { angle }
}

/// Anticlockwise from the end of the lower left corner's arc.
fn rounded_rectangle([width, height]: [f64; 2], radius: f64) -> Vec<Vertex> {
    let line = |x, y| Vertex { at: Vec2::new(x, y), centre: None, axes: None };
    if radius <= 0.0 {
        return vec![line(0.0, 0.0), line(width, 0.0), line(width, height), line(0.0, height)];
    }
    let arc = |x, y, cx, cy| Vertex { at: Vec2::new(x, y), centre: Some(Vec2::new(cx, cy)), axes: None };
    let (left, right, low, high) = (radius, width - radius, radius, height - radius);
    vec![
        line(left, 0.0),
        arc(right, 0.0, right, low),
        line(width, low),
        arc(width, high, right, high),
        line(right, height),
        arc(left, height, left, high),
        line(0.0, high),
        arc(0.0, low, left, low),
    ]
}

/// One row a centre.
fn rows(hole: &Hole, units: Unit) -> impl Iterator<Item = HoleResult> {
    let (kind, drill) = match &hole.size {
        HoleSize::Clearance { drill, .. } => ("clearance", drill.clone()),
        HoleSize::Drill(diameter) => ("drill", drill_in_words(*diameter, units)),
    };
    hole.at.iter().enumerate().map(move |(i, &centre)| HoleResult {
        name: if hole.at.len() > 1 { format!("{} {}", hole.name, i + 1) } else { hole.name.clone() },
        kind: kind.into(),
        centre,
        diameter: hole.size.diameter(),
        pilot: None,
        slot: hole.slot.map(|(length, angle)| Slot { length, angle: angle.to_degrees() }),
        tap: None,
        countersink: None,
        drill: drill.clone(),
    })
}

/// `11/32 in` where inches are used and it is a fractional drill, else millimetres.
fn drill_in_words(diameter: f64, units: Unit) -> String {
    let mark = quantity::tape(diameter, FRACTIONAL_STEP);
    // What was stated in inches is whole to the last bit; a millimetre drill near it is another drill.
    let thousandths = diameter / 25.4 * 1000.0;
    match units {
        Unit::Inch if mark.off.abs() < 1e-6 => mark.text,
        Unit::Inch if (thousandths - thousandths.round()).abs() < 1e-6 => quantity::decimal_inch(diameter),
        _ => quantity::millimetres(diameter, 3),
    }
}

/// Step of fractional drills (mm): 1/64 in (ASME B94.11M, from memory).
const FRACTIONAL_STEP: f64 = 25.4 / 64.0;

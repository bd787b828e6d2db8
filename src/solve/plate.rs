//! Plates: where they lie, what is drilled, what passes through.

use super::bend::{self, Folds};
use super::chain::Chain;
use super::opening::Passing;
pub use super::outline::{hole as hole_outline, path};
use super::outline::{net_area, rounded};
use super::solution::{CountersinkResult, FoldedPlace, HoleResult, OpeningResult, PlateFrame, PlateResult, Slot};
use super::travel::Linkage;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Frame, Vec2, Vec3};
use crate::quantity;
use crate::spec::Spec;
use crate::spec::types::{Body, Hole, HoleSize, Opening, Plate, PlatePlace, Unit};

/// Where a hole's centre marks stand in a cut file that has them in place of the hole, since it is narrower than
/// `least` thicknesses or does not go through: its centre, or the two end centres of a slot. Empty for a hole that is cut.
pub fn centre_marks(hole: &HoleResult, thick: f64, least: f64) -> Vec<Vec2> {
    /// A hole of exactly the least width is cut (mm).
    const SAME: f64 = 1e-9;
    if hole.depth.is_none() && hole.diameter > least * thick - SAME {
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
/// Fails where the frame's directions are parallel, an axis lies along the plate, or a joint does not reach the plate it
/// has an opening in. `linkage` is the one that motions carry, where they move column, gear or a bearing.
pub fn plate(
    spec: &Spec,
    (chain, linkage): (&Chain, Option<&Linkage>),
    plate: &Plate,
) -> Result<PlateResult, Vec<Diagnostic>> {
    let index = spec.plates.iter().position(|other| other.name == plate.name).unwrap_or(0);
    let key = format!("plate.{index}");
    let frame = frame(spec, chain, plate, &key).map_err(|error| vec![error])?;
    let opened = rounded(&plate.outline);
    let folds = Folds::new(plate, &opened).map_err(|wrong| {
        let told = wrong.into_iter().map(|wrong| bend::told(wrong, plate));
        told.map(|(i, error)| error.at(spec.place(&format!("{key}.bend.{i}.line")))).collect::<Vec<_>>()
    })?;
    let outline = folds.flat_outline(&opened);
    let mut holes: Vec<HoleResult> = plate.holes.iter().flat_map(|hole| rows(hole, spec.build.units)).collect();
    if !folds.is_empty() {
        for hole in &mut holes {
            let flange = folds.frame(&frame, &folds.carrying(hole.centre));
            let at = flange.origin + flange.x * hole.centre.x + flange.y * hole.centre.y;
            hole.folded = Some(FoldedPlace { at, normal: flange.z });
            hole.centre = folds.flat(hole.centre);
        }
    }
    let flanges = folds.flanges(opened.iter().map(|vertex| vertex.at));
    let passing = Passing { spec, chain, linkage, plate: index, thick: plate.thick };
    let mut openings = Vec::with_capacity(plate.openings.len());
    let mut wrong = Vec::new();
    for (i, opening) in plate.openings.iter().enumerate() {
        match on_flange((&frame, &folds, &flanges), &passing, opening) {
            Ok(result) => openings.push(result),
            Err(error) => wrong.push(error.at(spec.place(&format!("{key}.opening.{i}")))),
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let mut solved = PlateResult {
        name: plate.name.clone(),
        thick: plate.thick,
        frame: PlateFrame { origin: frame.origin, u: frame.x, v: frame.y, w: frame.z },
        outline,
        holes,
        openings,
        bends: folds.results(plate, &opened),
        area: 0.0,
    };
    measure(&mut solved);
    Ok(solved)
}

/// A plate as cut, hung where another chain and other points put it; `None` where its frame's directions are parallel.
pub(super) fn hung(spec: &Spec, chain: &Chain, plate: &Plate, cut: &PlateResult) -> Option<PlateResult> {
    let place = frame(spec, chain, plate, "").ok()?;
    let frame = PlateFrame { origin: place.origin, u: place.x, v: place.y, w: place.z };
    Some(PlateResult { frame, ..cut.clone() })
}

/// The net area of one face, once every hole is in place.
pub(super) fn measure(plate: &mut PlateResult) {
    let cuts: Vec<_> = plate
        .holes
        .iter()
        .filter_map(|hole| path(&hole_outline(hole)))
        .chain(plate.openings.iter().filter_map(|opening| path(&opening.outline)))
        .collect();
    plate.area = path(&plate.outline).map_or(0.0, |outline| net_area(&outline, &cuts));
}

/// An opening in the flange that its part passes, on the flat pattern; in the plate's own plane where it is flat.
fn on_flange(
    (base, folds, flanges): (&Frame, &Folds, &[Vec<bool>]),
    passing: &Passing<'_>,
    opening: &Opening,
) -> Result<OpeningResult, Diagnostic> {
    let mut first = None;
    for carrying in flanges {
        let found = passing.cut(&folds.frame(base, carrying), opening);
        match found {
            Ok(mut opening) if folds.carrying(opening.centre) == *carrying => {
                let by = folds.flat(opening.centre) - opening.centre;
                opening.centre = opening.centre + by;
                for vertex in &mut opening.outline {
                    vertex.at = vertex.at + by;
                    vertex.centre = vertex.centre.map(|centre| centre + by);
                }
                return Ok(opening);
            }
            other => {
                first.get_or_insert(other);
            }
        }
    }
    first.unwrap_or_else(|| passing.cut(base, opening))
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
pub(super) fn axis_end(spec: &Spec, chain: &Chain, body: Body) -> Option<(Vec3, Vec3)> {
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

fn not_an_axis(spec: &Spec, body: Body) -> Diagnostic {
    Diagnostic::error("plate-frame", format!("joint {:?} has no axis a plate could be square to", spec.body_name(body)))
        .help("name the column or the gear")
}

/// One row a centre.
fn rows(hole: &Hole, units: Unit) -> impl Iterator<Item = HoleResult> {
    let diameter = hole.size.diameter();
    let (kind, drill, tap) = match &hole.size {
        HoleSize::Clearance { drill, .. } => ("clearance", drill.clone(), None),
        HoleSize::Drill(diameter) => ("drill", drill_in_words(*diameter, units), None),
        HoleSize::Tap { thread, drill, .. } => ("tap", drill.clone(), Some(thread.clone())),
    };
    let countersink = hole.countersink.map(|cone| CountersinkResult {
        angle: cone.angle.to_degrees(),
        diameter: cone.diameter,
        depth: (cone.diameter - diameter) / 2.0 / libm::tan(cone.angle / 2.0),
        side: if cone.back { "back" } else { "face" }.into(),
    });
    let (depth, thread_depth) = match (&hole.size, hole.depth) {
        (HoleSize::Tap { pitch, .. }, Some(depth)) => (Some(depth + TAP_LEAD * pitch), Some(depth)),
        (_, depth) => (depth, None),
    };
    hole.at.iter().enumerate().map(move |(i, place)| HoleResult {
        name: if hole.at.len() > 1 { format!("{} {}", hole.name, i + 1) } else { hole.name.clone() },
        kind: kind.into(),
        centre: place.centre,
        diameter,
        pilot: pilot(diameter, units),
        slot: hole.slot.map(|length| Slot { length, angle: half_turn(place.angle.to_degrees()) }),
        tap: tap.clone(),
        countersink: countersink.clone(),
        depth,
        thread_depth,
        drill: drill.clone(),
        folded: None,
    })
}

/// Threads of a tap's lead that cut less than full depth: those of a plug tap, which is ground back three to five
/// (common practice, no source).
const TAP_LEAD: f64 = 3.0;

/// Length (mm) of the point of a 118 degree drill of that diameter (common practice, no source).
pub fn drill_tip(diameter: f64) -> f64 {
    diameter / 2.0 / libm::tan(59_f64.to_radians())
}

/// An angle (deg) modulo 180, in 0..180.
pub(super) fn half_turn(degrees: f64) -> f64 {
    let angle = degrees.rem_euclid(180.0);
    // The remainder of a tiny negative angle rounds up to 180 itself.
    if angle >= 180.0 { 0.0 } else { angle }
}

/// Drill (mm) to go before a hole of this diameter: a little more than the web of its drill, which does not cut.
///
/// 1/8 in or 3 mm up to 3/8 in or 10 mm, 3/16 in or 5 mm above; none up to 1/4 in or 6.5 mm. Common practice, no source.
pub fn pilot(diameter: f64, units: Unit) -> Option<f64> {
    let (none, small, [first, second]) = match units {
        Unit::Inch => (6.35, 9.525, [3.175, 4.7625]),
        Unit::Millimetre => (6.5, 10.0, [3.0, 5.0]),
    };
    (diameter > none).then_some(if diameter > small { second } else { first })
}

/// `11/32 in` where inches are used and it is a fractional drill, else millimetres.
pub fn drill_in_words(diameter: f64, units: Unit) -> String {
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

//! Torques, stresses and wind-up.

use super::chain::Chain;
use super::member::seat_on_outer;
use super::seating::seating;
use super::solution::{JointStrength, SectionStress, ShaftResult, ShaftStrength, SpotWhen, Strength};
use crate::diagnostic::Diagnostic;
use crate::geometry::mass;
use crate::geometry::torsion::{self, Torsion};
use crate::spec::Spec;
use crate::spec::types::{FormShape, Hub, Shaft, ShaftEnd, Slip};

/// Yield in shear over yield in tension, 1/√3 by von Mises as the handbooks round it (Shigley, from memory).
pub const SHEAR_YIELD: f64 = 0.577;

/// What the figures leave out.
pub const NOT_INCLUDED: [&str; 10] = [
    "fatigue",
    "shock and kick-back from the road",
    "the rise of stress at corners, shoulders, grooves and welds",
    "bending of the shafts by their couples and their own weight",
    "wear",
    "heat",
    "friction",
    "whipping",
    "the wind-up of joints, column, gear and wheel",
    "whether material and parts are what they are said to be",
];

/// N mm in a N m.
const N_MM: f64 = 1000.0;

/// Torques and stresses at the wheel torque of the spec; empty lists where none is given.
///
/// `ratios` holds, a shaft, the greatest speed ratio over a turn from the
/// column to it; torque goes with the inverse ratio and, a turn further on,
/// reaches the same greatest value (the ratio's extremes are reciprocal).
/// A joint carries torque in over cos β at the worst (reference: the cross's
/// moment T √(1 + tan² β cos² θ)).
pub fn strength(
    spec: &Spec,
    chain: &Chain,
    shafts: &[ShaftResult],
    ratios: &[f64],
) -> Result<Strength, Vec<Diagnostic>> {
    let mut answer = Strength {
        screws: seating(spec),
        not_included: NOT_INCLUDED.map(str::to_owned).to_vec(),
        ..Strength::default()
    };
    let Some(wheel) = spec.wheel_torque else { return Ok(answer) };
    let mut wrong = Vec::new();
    let mut sections = Sections::default();
    let mut torque_in = wheel;
    let mut windup = 0.0;
    for (i, joint) in spec.joints.iter().enumerate() {
        let moment = torque_in / libm::cos(chain.cross_angle(i));
        answer.joints.push(JointStrength {
            name: joint.name.clone(),
            torque_max: moment,
            rating: joint.rating.as_ref().map(|rating| rating.torque),
            // The cross is turned by a couple at the two ends of one line of it (balance of the cross).
            trunnion_force: joint.trunnions.map(|apart| moment * N_MM / apart),
        });
        let (Some(shaft), Some(result), Some(ratio)) = (spec.shafts.get(i), shafts.get(i), ratios.get(i)) else {
            continue;
        };
        torque_in = wheel * ratio;
        let Some(next) = spec.joints.get(i + 1) else { continue };
        match shaft_strength(shaft, [&joint.lower, &next.upper], result, torque_in, &mut sections) {
            Ok(mut strength) => {
                // A shaft's wind-up is geared up to the wheel by the ratio that its torque is geared up by.
                windup += strength.windup * ratio;
                let drilled = result.dimples.iter().any(|dimple| dimple.spot != SpotWhen::None);
                let factor = spec.dimple_factor.as_ref().filter(|_| drilled);
                strength.dimple_margin = factor.map(|factor| strength.yield_margin / factor.value);
                answer.shafts.push(strength);
            }
            Err(error) => wrong.push(
                Diagnostic::error(
                    "torsion",
                    format!("no torsion solution for the bar of shaft {:?}: {error}", shaft.name),
                )
                .at(spec.place(&format!("shaft.{i}.stock")))
                .help("check diameter, flats and bore of the stock; a wall this thin is no steering shaft"),
            ),
        }
    }
    answer.windup_at_wheel = Some(windup);
    if wrong.is_empty() { Ok(answer) } else { Err(wrong) }
}

/// `hubs`: that on the shaft's upper end, then that on its lower.
fn shaft_strength(
    shaft: &Shaft,
    hubs: [&Hub; 2],
    result: &ShaftResult,
    torque: f64,
    sections: &mut Sections,
) -> Result<ShaftStrength, torsion::TorsionError> {
    let (mut shear, mut twist) = (0.0_f64, 0.0);
    let yields = SHEAR_YIELD * shaft.material.yield_strength;
    let mut rows: Vec<SectionStress> = Vec::new();
    for Stretch { place, bar, free } in stretches(shaft, hubs, result, sections)? {
        let here = torque * N_MM * bar.worst_shear_per_torque();
        rows.push(SectionStress { place: place.into(), shear: here, yield_margin: yields / here });
        shear = shear.max(here);
        twist += torque * N_MM * free.max(0.0) / (shaft.material.shear_modulus * bar.k);
    }
    Ok(ShaftStrength {
        name: shaft.name.clone(),
        torque_max: torque,
        shear,
        flat_pressure: flat_pressure(shaft, hubs, result, torque),
        windup: twist.to_degrees(),
        yield_margin: yields / shear,
        sections: rows,
        dimple_margin: None,
    })
}

/// A length of one section.
struct Stretch {
    place: &'static str,
    bar: Torsion,
    /// Length outside the hubs (mm).
    free: f64,
}

/// Every section of a shaft with its length (mm) outside the hubs.
///
/// A slip shaft winds up over its inner member to the middle of the overlap, then over its outer one.
fn stretches(
    shaft: &Shaft,
    hubs: [&Hub; 2],
    result: &ShaftResult,
    sections: &mut Sections,
) -> Result<Vec<Stretch>, torsion::TorsionError> {
    let mut all = Vec::new();
    // What each hub covers, and a cut end beyond it.
    let mut taken = [0.0; 2];
    for (end, hub) in ShaftEnd::BOTH.into_iter().zip(hubs) {
        let engagement = hub.engagement(None);
        let cut = shaft.ends.get(end.index()).and_then(Option::as_ref);
        taken[end.index()] = cut.map_or(engagement, |cut| cut.length.max(engagement));
        if let Some(cut) = cut {
            let bore = shaft.bar_at(end).bore().or_else(|| outer_hole(shaft, end));
            let place = if end == ShaftEnd::Upper { "column end" } else { "gear end" };
            let bar = sections.of(with_bore(cut.form.shape, bore))?;
            all.push(Stretch { place, bar, free: cut.length - engagement });
        }
    }
    // A seat counts whole, also where an outer member has it over the overlap.
    let seat = result.journal.map(|seat| (seat, seat_on_outer(result)));
    let length_of_seat = |outer: bool| seat.filter(|(_, on)| *on == outer).map_or(0.0, |(seat, _)| seat.to - seat.from);
    if let Some((seat, on_outer)) = seat {
        let hole = shaft.slip.as_ref().filter(|_| on_outer).map(|slip| slip.hole.diameter());
        let round = FormShape::Round { diameter: seat.diameter, bore: hole.or(shaft.stock.bore()) };
        all.push(Stretch { place: "journal", bar: sections.of(round)?, free: seat.to - seat.from });
    }
    match &shaft.slip {
        None => {
            let free = result.cut_length - taken[0] - taken[1] - length_of_seat(false);
            all.push(Stretch { place: "bar", bar: sections.of(shaft.stock.shape)?, free });
        }
        Some(slip) => {
            let overlap = result.slip.as_ref().map_or(0.0, |slip| slip.overlap);
            for (member, end) in result.members.iter().zip(ShaftEnd::BOTH) {
                let outer = slip.outer_end == end;
                let (place, bar) = if outer {
                    ("outer member", outer_torsion(slip)?)
                } else {
                    ("inner member", sections.of(shaft.stock.shape)?)
                };
                let free = member.cut_length - taken[end.index()] - overlap / 2.0 - length_of_seat(outer);
                all.push(Stretch { place, bar, free });
            }
        }
    }
    Ok(all)
}

/// Diameter (mm) of the hole of an outer member, where it is at that end.
fn outer_hole(shaft: &Shaft, end: ShaftEnd) -> Option<f64> {
    shaft.slip.as_ref().filter(|slip| slip.outer_end == end).map(|slip| slip.hole.diameter())
}

const fn with_bore(shape: FormShape, bored: Option<f64>) -> FormShape {
    match shape {
        FormShape::DoubleD { diameter, flats, .. } => FormShape::DoubleD { diameter, flats, bore: bored },
        FormShape::Round { diameter, .. } => FormShape::Round { diameter, bore: bored },
        serrated @ FormShape::Serrated { .. } => serrated,
    }
}

/// Torsion of an outer member.
///
/// Double-D round a double-D hole: Bredt's formula for thin walls, τ = T / (2 A t) and
/// K = 4 A² t / s with the least wall t all round, A and s area and length of the line midway between the two
/// outlines (Shigley, from memory). Else a round or double-D bar bored to the hole's diameter, which is no stronger.
fn outer_torsion(slip: &Slip) -> Result<Torsion, torsion::TorsionError> {
    let hole = slip.hole.diameter();
    match (slip.outer.shape, slip.hole.shape) {
        (FormShape::DoubleD { diameter, flats, .. }, FormShape::DoubleD { diameter: d, flats: f, .. }) => {
            let wall = (diameter - d).min(flats - f) / 2.0;
            let (middle, across) = (f64::midpoint(diameter, d), f64::midpoint(flats, f));
            let area = mass::double_d(middle, across, 0.0).area;
            let chord = ((middle - across) * (middle + across)).max(0.0).sqrt();
            let length = 2.0 * chord + 2.0 * middle * libm::asin((across / middle).min(1.0));
            let k = 4.0 * area * area * wall / length;
            Ok(Torsion { k, shear_per_torque: 1.0 / (2.0 * area * wall), shear_per_torque_bore: None })
        }
        (outer, _) => section_torsion(with_bore(outer, Some(hole))),
    }
}

/// Root over outside diameter of teeth: 36 teeth with sharp roots, the deepest of SAE J500 (0.9523521 / 1.0476479).
const TOOTH_ROOT: f64 = 0.909;

/// Sections solved so far: shafts are mostly of one bar, and its section is most of the work.
#[derive(Default)]
struct Sections(Vec<(FormShape, Torsion)>);

impl Sections {
    fn of(&mut self, shape: FormShape) -> Result<Torsion, torsion::TorsionError> {
        if let Some((_, known)) = self.0.iter().find(|(known, _)| *known == shape) {
            return Ok(*known);
        }
        let section = section_torsion(shape)?;
        self.0.push((shape, section));
        Ok(section)
    }
}

/// Torsion of a bar of this form; a toothed bar counts as round at the root of its teeth.
fn section_torsion(shape: FormShape) -> Result<Torsion, torsion::TorsionError> {
    match shape {
        FormShape::DoubleD { diameter, flats, bore } => torsion::double_d(diameter, flats, bore),
        FormShape::Round { diameter, bore } => torsion::round(diameter, bore),
        FormShape::Serrated { diameter, .. } => torsion::round(TOOTH_ROOT * diameter, None),
    }
}

/// Greatest pressure (MPa) of a flat on its hub, 6T/(L w²): linear from the middle of each flat to its edge.
///
/// w is the bar's chord, L the smaller of engagement and bite; the worse of the hubs with flats, and of the flats
/// that slide in one another over the overlap at full extension (from the couple of two triangles on each flat,
/// reference: the linear distribution; common practice, no source).
fn flat_pressure(shaft: &Shaft, hubs: [&Hub; 2], result: &ShaftResult, torque: f64) -> Option<f64> {
    let pressure = |shape: FormShape, length: f64| {
        let FormShape::DoubleD { diameter, flats, .. } = shape else { return None };
        let chord_squared = (diameter - flats) * (diameter + flats);
        Some(6.0 * torque * N_MM / (length * chord_squared))
    };
    let in_hubs = ShaftEnd::BOTH.into_iter().zip(hubs).filter(|(_, hub)| hub.fits.is_double_d());
    let in_hubs =
        in_hubs.filter_map(|(end, hub)| pressure(shaft.form_at(end).shape, hub.engagement(None).min(hub.bite)));
    let sliding = result.slip.as_ref().and_then(|slip| pressure(shaft.stock.shape, slip.overlap_extended));
    in_hubs.chain(sliding).reduce(f64::max)
}

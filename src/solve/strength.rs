//! Torques, stresses and wind-up.

use super::chain::Chain;
use super::solution::{JointStrength, ShaftResult, ShaftStrength, Strength};
use crate::diagnostic::Diagnostic;
use crate::geometry::torsion::{self, Torsion};
use crate::spec::Spec;
use crate::spec::types::{FormShape, Hub, Shaft};

/// Yield in shear over yield in tension, 1/√3 by von Mises as the handbooks round it (Shigley, from memory).
pub const SHEAR_YIELD: f64 = 0.577;

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
    let mut answer = Strength { shafts: Vec::new(), joints: Vec::new(), bearings: Vec::new() };
    let Some(wheel) = spec.wheel_torque else { return Ok(answer) };
    let mut wrong = Vec::new();
    let mut torque_in = wheel;
    for (i, (joint, angle)) in spec.joints.iter().zip(&chain.angles).enumerate() {
        answer.joints.push(JointStrength {
            name: joint.name.clone(),
            torque_max: torque_in / libm::cos(*angle),
            rating: joint.rating.as_ref().map(|rating| rating.torque),
        });
        let (Some(shaft), Some(result), Some(ratio)) = (spec.shafts.get(i), shafts.get(i), ratios.get(i)) else {
            continue;
        };
        torque_in = wheel * ratio;
        let Some(next) = spec.joints.get(i + 1) else { continue };
        match shaft_strength(shaft, [&joint.lower, &next.upper], result.cut_length, torque_in) {
            Ok(strength) => answer.shafts.push(strength),
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
    if wrong.is_empty() { Ok(answer) } else { Err(wrong) }
}

/// `hubs`: that on the shaft's upper end, then that on its lower.
fn shaft_strength(
    shaft: &Shaft,
    hubs: [&Hub; 2],
    cut_length: f64,
    torque: f64,
) -> Result<ShaftStrength, torsion::TorsionError> {
    let bar = section_torsion(shaft.stock.shape)?;
    let shear = torque * N_MM * bar.worst_shear_per_torque();
    let free = cut_length - hubs[0].engagement(None) - hubs[1].engagement(None);
    let twist = torque * N_MM * free.max(0.0) / (shaft.material.shear_modulus * bar.k);
    Ok(ShaftStrength {
        name: shaft.name.clone(),
        torque_max: torque,
        shear,
        flat_pressure: flat_pressure(shaft.stock.shape, hubs, torque),
        windup: twist.to_degrees(),
        yield_margin: SHEAR_YIELD * shaft.material.yield_strength / shear,
    })
}

/// Root over outside diameter of teeth: 36 teeth with sharp roots, the deepest of SAE J500 (0.9523521 / 1.0476479).
const TOOTH_ROOT: f64 = 0.909;

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
/// w is the bar's chord, L the smaller of engagement and bite over the hubs
/// with flats (from the couple of two triangles on each flat, reference: the
/// linear distribution; common practice, no source).
fn flat_pressure(shape: FormShape, hubs: [&Hub; 2], torque: f64) -> Option<f64> {
    let FormShape::DoubleD { diameter, flats, .. } = shape else { return None };
    let chord_squared = (diameter - flats) * (diameter + flats);
    let bites = hubs.iter().filter(|hub| hub.fits.is_double_d()).map(|hub| hub.engagement(None).min(hub.bite));
    let shortest = bites.reduce(f64::min)?;
    Some(6.0 * torque * N_MM / (shortest * chord_squared))
}

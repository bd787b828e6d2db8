//! Support bearings: where they stand on their shafts, and what they carry.
//!
//! A joint that bends passes a moment M along the normal of its cross, so that each of its shafts gets its torque and
//! a couple beside it (reference handbooks: at most T tan β and T sin β). The couples of a shaft are held by side
//! forces at its crosses and its bearing, which hold nothing along the shaft: one sliding fit takes up the length.

use serde::{Deserialize, Serialize};

use super::chain::Chain;
use super::solution::ShaftResult;
use crate::geometry::Vec3;
use crate::spec::Spec;
use crate::spec::types::BearingAt;

/// A support bearing on its shaft.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BearingResult {
    /// From the cross at the shaft's upper end along the shaft to its middle.
    pub station: f64,
    /// From the upper end of the bar to its middle.
    pub z: f64,
    /// Its middle.
    pub centre: Vec3,
    /// Distance of its middle from the shaft's axis.
    pub off_axis: f64,
    /// Its bore, where the spec gives one.
    pub bore: Option<f64>,
}

/// Load on one support bearing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BearingStrength {
    /// Its shaft.
    pub shaft: String,
    /// Greatest side force over a turn at the wheel torque (N).
    pub force_max: f64,
}

/// N mm in a N m.
const N_MM: f64 = 1000.0;

/// Column angles looked at: one a degree over half a turn, after which every joint stands as it did.
const STEPS: i32 = 180;

/// The bearing of shaft `i` as it stands.
pub fn result(spec: &Spec, chain: &Chain, i: usize) -> Option<BearingResult> {
    let bearing = spec.shafts[i].bearing.as_ref()?;
    let station = chain.bearing_station(i, bearing.at);
    let (cross, axis) = (chain.lower_cross(i), chain.axes[i + 1]);
    let foot = cross + axis * station;
    let (centre, off_axis) = match bearing.at {
        BearingAt::Along(_) => (foot, 0.0),
        BearingAt::Eye { centre, .. } => (centre, (centre - foot).length()),
    };
    let z = station - spec.joints[i].lower.gap(None);
    Some(BearingResult { station, z, centre, off_axis, bore: bearing.bore })
}

/// Greatest side force on every bearing over a turn at the wheel torque.
///
/// Empty without a wheel torque, and where not exactly one shaft is without a bearing: with fewer bearings the linkage
/// floats, with more the forces hang on how stiff everything is.
pub fn forces(spec: &Spec, chain: &Chain, shafts: &[ShaftResult], twists: &[f64]) -> Vec<BearingStrength> {
    let free: Vec<usize> = (0..shafts.len()).filter(|&i| shafts[i].bearing.is_none()).collect();
    let (Some(torque), &[free]) = (spec.wheel_torque, free.as_slice()) else { return Vec::new() };
    let mut greatest = vec![0.0f64; shafts.len()];
    for step in 0..STEPS {
        let moments = moments(chain, twists, torque * N_MM, f64::from(step).to_radians());
        for (most, force) in greatest.iter_mut().zip(side_forces(chain, shafts, &moments, free)) {
            *most = most.max(force);
        }
    }
    let rows = shafts.iter().zip(greatest).filter(|(shaft, _)| shaft.bearing.is_some());
    rows.map(|(shaft, force)| BearingStrength { shaft: shaft.name.clone(), force_max: force }).collect()
}

/// Moment (N mm) that every joint passes on, with the column yoke's trunnion axis turned `theta` (rad) from n₁.
fn moments(chain: &Chain, twists: &[f64], torque: f64, theta: f64) -> Vec<Vec3> {
    let mut trunnion = chain.normals[0].turned(chain.axes[0], theta);
    let mut torque = torque;
    let mut moments = Vec::with_capacity(chain.angles.len());
    for (i, normal) in chain.normals.iter().enumerate() {
        let (above, below) = (chain.axes[i], chain.axes[i + 1]);
        let driven = if chain.is_double(i) {
            // Two quarter turns, evenly: the driven yoke stands to the plane as the driving one does.
            normal.turned(below, normal.signed_angle_to(trunnion, above))
        } else {
            below.cross(trunnion).unit().unwrap_or(*normal)
        };
        // A centred double acts in the plane that halves its angle; a single one square to its cross.
        let along = if chain.is_double(i) { above + below } else { trunnion.cross(driven) };
        let along = along.unit().unwrap_or(above);
        let moment = along * (torque / along.dot(above));
        torque = moment.dot(below);
        moments.push(moment);
        trunnion = twists.get(i).map_or(driven, |&twist| driven.turned(below, twist));
    }
    moments
}

/// Side force (N) on the bearing of every shaft, 0 on the `free` one that has none: the equilibrium of one shaft after
/// another, from the free shaft out to both sides.
fn side_forces(chain: &Chain, shafts: &[ShaftResult], moments: &[Vec3], free: usize) -> Vec<f64> {
    let axis = |i: usize| chain.axes[i + 1];
    let length = |i: usize| (chain.centres[i + 1] - chain.centres[i]).length();
    let couple = |i: usize| moments[i] - moments[i + 1];
    // From the joint above a shaft to its bearing.
    let station = |i: usize| shafts[i].bearing.as_ref().map_or(0.0, |bearing| bearing.station + chain.setbacks[i]);
    let start = couple(free).cross(axis(free)) * (1.0 / length(free));
    let mut forces = vec![0.0; shafts.len()];
    let mut force = start;
    for (i, on_bearing) in forces.iter_mut().enumerate().skip(free + 1) {
        let arm = length(i) - station(i);
        let bearing = (couple(i) - axis(i).cross(force) * length(i)).cross(axis(i)) * (1.0 / arm);
        *on_bearing = bearing.length();
        force = force + bearing;
    }
    force = start;
    for i in (0..free).rev() {
        let bearing = (axis(i).cross(force) * length(i) - couple(i)).cross(axis(i)) * (1.0 / station(i));
        forces[i] = bearing.length();
        force = force - bearing;
    }
    forces
}

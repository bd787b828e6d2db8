//! Balance of the whole linkage: moments and forces at every joint, side forces on every support bearing.
//!
//! A joint that bends passes a moment M along the normal of its cross, so that each of its shafts gets its torque and a
//! couple square to it: T tan β |cos θ| on the driving shaft and T tan β |sin θ| √(1 − sin² β sin² θ) on the driven one,
//! θ from the bend plane's normal to the driving yoke's trunnion axis (derived from the balance of the cross, verified
//! numerically; as T tan β and T sin β at the most in Seherr-Thoss, Schmelz & Aucktor, Universal Joints and
//! Driveshafts, from memory). A centred double joint passes M in the plane that halves its angle. The couples of a
//! shaft are held by side forces at its crosses and its bearing, which hold nothing along the shaft: one sliding fit
//! takes up the length. Weight, friction and the speed of turning are left out.

use serde::{Deserialize, Serialize};

use super::bearing::BearingStrength;
use super::chain::Chain;
use super::solution::ShaftResult;
use super::stance;
use crate::geometry::Vec3;
use crate::spec::Spec;

/// N mm in a N m.
const N_MM: f64 = 1000.0;

/// Column angles looked at: one a degree over half a turn, after which every joint stands as it did.
const STEPS: i32 = 180;

/// What one joint puts on the shafts beside it, the greatest over a turn at the wheel torque.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JointReaction {
    /// As in the spec.
    pub name: String,
    /// Couple that bends the shaft on the column's side (N m).
    pub couple_above: f64,
    /// Couple that bends the shaft on the gear's side (N m).
    pub couple_below: f64,
    /// Force its crosses pass from shaft to shaft (N); `None` where it cannot be told.
    pub force: Option<f64>,
}

/// Moments and forces of every body at one column angle (N, N mm, vehicle axes).
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Moment that each joint passes on to the shaft below it.
    pub moments: Vec<Vec3>,
    /// Force that each joint passes on to the shaft below it, at its centre.
    pub forces: Vec<Vec3>,
    /// Side force of its bearing on every shaft, zero where it has none.
    pub bearings: Vec<Vec3>,
}

/// Moment that every joint passes on, for a torque (N mm) on the column.
fn moments(chain: &Chain, twists: &[f64], torque: f64, theta: f64) -> Vec<Vec3> {
    let mut torque = torque;
    let mut moments = Vec::with_capacity(chain.angles.len());
    for (i, yokes) in stance::yokes(chain, twists, theta).into_iter().enumerate() {
        let (above, below) = (chain.axes[i], chain.axes[i + 1]);
        let along = if chain.is_double(i) { above + below } else { yokes.driving.cross(yokes.driven) };
        let along = along.unit().unwrap_or(above);
        let moment = along * (torque / along.dot(above));
        torque = moment.dot(below);
        moments.push(moment);
    }
    moments
}

/// The one shaft without a bearing, from which every force follows.
///
/// `None` where not exactly one is without: with fewer bearings the linkage floats, with more the forces hang on how
/// stiff everything is.
fn free_shaft(shafts: &[ShaftResult]) -> Option<usize> {
    let mut free = (0..shafts.len()).filter(|&i| shafts[i].bearing.is_none());
    free.next().filter(|_| free.next().is_none())
}

/// Everything at one column angle `theta` (rad from n₁ to the column yoke's trunnion axis) for a torque (N mm) on the
/// column; `None` where the forces cannot be told.
pub fn balance(chain: &Chain, shafts: &[ShaftResult], twists: &[f64], torque: f64, theta: f64) -> Option<Balance> {
    let free = free_shaft(shafts)?;
    let moments = moments(chain, twists, torque, theta);
    let axis = |i: usize| chain.axes[i + 1];
    let length = |i: usize| (chain.centres[i + 1] - chain.centres[i]).length();
    let couple = |i: usize| moments[i] - moments[i + 1];
    // From the centre of the joint above a shaft to its bearing.
    let station = |i: usize| shafts[i].bearing.as_ref().map_or(0.0, |bearing| bearing.station + chain.setbacks[i]);
    let start = couple(free).cross(axis(free)) * (1.0 / length(free));
    let mut bearings = vec![Vec3::default(); shafts.len()];
    let mut forces = vec![start; moments.len()];
    // One shaft after another, from the free one out to both sides.
    for i in free + 1..shafts.len() {
        let above = forces[i];
        let arm = length(i) - station(i);
        bearings[i] = (couple(i) - axis(i).cross(above) * length(i)).cross(axis(i)) * (1.0 / arm);
        forces[i + 1] = above + bearings[i];
    }
    for i in (0..free).rev() {
        let below = forces[i + 1];
        bearings[i] = (axis(i).cross(below) * length(i) - couple(i)).cross(axis(i)) * (1.0 / station(i));
        forces[i] = below - bearings[i];
    }
    Some(Balance { moments, forces, bearings })
}

/// Greatest reactions over a turn at the wheel torque: of joints, then of support bearings. Empty without a torque; no
/// bearing has a row where the forces cannot be told.
pub fn reactions(
    spec: &Spec,
    chain: &Chain,
    shafts: &[ShaftResult],
    twists: &[f64],
) -> (Vec<JointReaction>, Vec<BearingStrength>) {
    let Some(torque) = spec.wheel_torque.map(|torque| torque * N_MM) else { return (Vec::new(), Vec::new()) };
    let known = free_shaft(shafts).is_some();
    let mut joints: Vec<JointReaction> = spec
        .joints
        .iter()
        .map(|joint| JointReaction {
            name: joint.name.clone(),
            couple_above: 0.0,
            couple_below: 0.0,
            force: known.then_some(0.0),
        })
        .collect();
    let mut bearings = vec![0.0f64; shafts.len()];
    for step in 0..STEPS {
        let theta = f64::from(step).to_radians();
        for (i, (row, moment)) in joints.iter_mut().zip(moments(chain, twists, torque, theta)).enumerate() {
            let across = |axis: Vec3| moment.cross(axis).length() / N_MM;
            row.couple_above = row.couple_above.max(across(chain.axes[i]));
            row.couple_below = row.couple_below.max(across(chain.axes[i + 1]));
        }
        let Some(balance) = balance(chain, shafts, twists, torque, theta) else { continue };
        for (row, force) in joints.iter_mut().zip(&balance.forces) {
            row.force = row.force.map(|most| most.max(force.length()));
        }
        for (most, force) in bearings.iter_mut().zip(&balance.bearings) {
            *most = most.max(force.length());
        }
    }
    let rows = shafts.iter().zip(bearings).filter(|(shaft, _)| known && shaft.bearing.is_some());
    let bearings = rows.map(|(shaft, force)| BearingStrength { shaft: shaft.name.clone(), force_max: force }).collect();
    (joints, bearings)
}

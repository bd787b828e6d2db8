//! Support bearings: where they stand on their shafts.

use serde::{Deserialize, Serialize};

use super::chain::Chain;
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

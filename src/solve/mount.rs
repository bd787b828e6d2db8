//! Mounts of the column as results: how the column stands to the face, and what keeps it free to collapse.

use serde::{Deserialize, Serialize};

use crate::geometry::Vec3;
use crate::spec::Spec;

/// A bracket with its split clamp.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MountResult {
    /// `dash` or `floor`.
    pub name: String,
    /// Middle of the clamp from the shaft's end up the column (mm).
    pub at: f64,
    /// Of the clamp along the column (mm).
    pub width: f64,
    /// Diameter of the tube it holds (mm).
    pub bore: f64,
    /// Angle between the column and the face (deg, 0 to 90).
    pub lean: f64,
    /// From the face to the column's axis at the clamp, square to the face (mm).
    pub drop: f64,
    /// How far off square, or off parallel, the column stands to the face, whichever is nearer (deg): a clamp that has
    /// no angle of its own wants a wedge of this angle under it. This one needs none.
    pub wedge: f64,
    /// `square`: the wedge is for a clamp square to the column; `along`: for a bracket that lies along it.
    pub wedge_for: String,
    /// Direction in the face toward which that wedge is thickest (unit); `None` where it has no angle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wedge_toward: Option<Vec3>,
    /// How much of the tube's round each half lies on (deg).
    pub wrap: f64,
    /// By how much its ears stand apart before the bolts draw them together (mm).
    pub squeeze: f64,
    /// Its parts among the plates.
    pub plates: Vec<String>,
    /// Its bolts.
    pub bolts: Vec<String>,
    /// Free tube between the clamp and the stretch that must be kept clear (mm); negative: it stands on it. `None` where
    /// the spec does not state that stretch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clear_by: Option<f64>,
}

/// One a mount, dash first.
pub(super) fn mounts(spec: &Spec) -> Vec<MountResult> {
    let row = |mount: &crate::spec::types::Mount| {
        let (low, high) = (mount.at - mount.width / 2.0, mount.at + mount.width / 2.0);
        MountResult {
            name: mount.name.clone(),
            at: mount.at,
            width: mount.width,
            bore: mount.bore,
            lean: mount.lean.to_degrees(),
            drop: mount.drop,
            wedge: mount.wedge.angle.to_degrees(),
            wedge_for: if mount.wedge.square { "square" } else { "along" }.to_owned(),
            wedge_toward: mount.wedge.thick_toward,
            wrap: mount.wrap.to_degrees(),
            squeeze: mount.squeeze,
            plates: mount.plates.clone(),
            bolts: mount.bolts.clone(),
            clear_by: spec.mounts.keep_clear.map(|[from, to]| (low - to).max(from - high)),
        }
    };
    spec.mounts.all.iter().map(row).collect()
}

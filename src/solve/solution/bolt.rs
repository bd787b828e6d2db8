//! Bolts through several parts, as solved (mm and deg).

use serde::{Deserialize, Serialize};

use crate::geometry::Vec3;

/// A bolt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BoltResult {
    /// As in the spec.
    pub name: String,
    /// Size such as `5/16` or `M8`.
    pub bolt: String,
    /// Of its holes.
    pub diameter: f64,
    /// Their drill in words.
    #[serde(default)]
    pub drill: String,
    /// Pilot drill (mm), where one goes before.
    #[serde(default)]
    pub pilot: Option<f64>,
    /// Unit vector along it.
    pub axis: Vec3,
    /// A point of its axis.
    pub from: Vec3,
    /// From the outside of the first part to the outside of the last, gaps between them included.
    pub grip: f64,
    /// Least standard length for that grip with two washers and a nut; `None` where none is known.
    pub length: Option<f64>,
    /// Every hole, in order along it.
    pub passes: Vec<BoltPass>,
}

/// Where a bolt passes one plate, or one wall of a rail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BoltPass {
    /// Name of the plate or rail.
    pub part: String,
    /// `plate` or `rail`.
    pub kind: String,
    /// On the drawn face, or on the rail's outside.
    pub at: Vec3,
    /// On the plate's sheet; along the rail from its first point.
    pub u: f64,
    /// On the plate's sheet; round the rail from its named edge.
    pub v: f64,
    /// Off square to it.
    pub slant: f64,
}

//! What holds the column's tube.

use crate::geometry::Vec3;

/// Mounts of the column.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Mounts {
    /// From and to, from the shaft's end up the column (mm): the stretch of tube that telescopes or crushes.
    pub keep_clear: Option<[f64; 2]>,
    /// Dash first.
    pub all: Vec<Mount>,
}

/// A bracket with a split clamp; its parts stand among the plates and bolts.
#[derive(Debug, Clone, PartialEq)]
pub struct Mount {
    /// `dash` or `floor`.
    pub name: String,
    /// Middle of the clamp from the shaft's end up the column (mm).
    pub at: f64,
    /// Of the clamp along the column (mm).
    pub width: f64,
    /// Diameter of the tube (mm).
    pub bore: f64,
    /// Angle (rad, 0 to π/2) between the column's axis and the face.
    pub lean: f64,
    /// From the face to the column's axis at the clamp, square to the face (mm).
    pub drop: f64,
    /// What a clamp without its own angle would want under it.
    pub wedge: Wedge,
    /// How much of the tube each half lies on (rad).
    pub wrap: f64,
    /// By how much the ears stand apart before the bolts draw them together (mm).
    pub squeeze: f64,
    /// Its parts among the plates.
    pub plates: Vec<String>,
    /// Its bolts.
    pub bolts: Vec<String>,
}

/// A wedge between a face and a clamp that is square to the column, or a bracket that lies along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wedge {
    /// Its angle (rad).
    pub angle: f64,
    /// Whether it is for a clamp square to the column; else for a bracket along it.
    pub square: bool,
    /// Direction in the face toward which it is thickest (unit); `None` where it has no angle.
    pub thick_toward: Option<Vec3>,
}

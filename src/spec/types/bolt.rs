//! Bolts through several parts.

use crate::geometry::Vec3;

/// One bolt through every plate and rail between two points.
#[derive(Debug, Clone, PartialEq)]
pub struct Bolt {
    /// Unique name.
    pub name: String,
    /// A point of its axis on one side of all it holds.
    pub from: Vec3,
    /// A point on the other side.
    pub to: Vec3,
    /// Size such as `5/16` or `M8`.
    pub size: String,
    /// Of its holes (mm).
    pub diameter: f64,
    /// Their drill in words.
    pub drill: String,
}

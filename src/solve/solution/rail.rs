//! A rail as the solver answers it.

use serde::{Deserialize, Serialize};

use crate::geometry::{Vec2, Vec3};

/// A rail with its outside unrolled.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RailResult {
    /// As in the spec.
    pub name: String,
    /// Its frame.
    pub frame: RailFrame,
    /// The outside cross-section, unrolled coordinate by vertex.
    pub path: Vec<RailVertex>,
    /// Between the spec's two points, where the rail is taken to end square.
    pub length: f64,
    /// Wall.
    pub wall: f64,
    /// Length round the outside of a closed section; `None` for a channel.
    pub girth: Option<f64>,
}

/// Frame of a rail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RailFrame {
    /// The spec's first point.
    pub origin: Vec3,
    /// Toward the second point.
    pub along: Vec3,
    /// along × up.
    pub right: Vec3,
    /// Up, square to `along`. So right = along × up.
    pub up: Vec3,
}

/// A vertex of a rail's outside cross-section.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RailVertex {
    /// Unrolled coordinate.
    pub v: f64,
    /// Coordinates along `right` and `up` of the rail's frame.
    pub at: Vec2,
    /// Centre of the arc to the next vertex; `None`: straight.
    pub centre: Option<Vec2>,
}

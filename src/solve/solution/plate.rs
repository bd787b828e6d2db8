//! Plates as solved (mm and deg).

use serde::{Deserialize, Serialize};

use super::Clearance;
use crate::geometry::{Vec2, Vec3};

/// A vertex of a path in a plane: straight to the next, or an arc about `centre`, or part of an ellipse, or a cubic.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Vertex {
    /// Where it lies.
    pub at: Vec2,
    /// Centre of the arc to the next vertex.
    pub centre: Option<Vec2>,
    /// Semi-axes of the elliptic arc to the next vertex, where it is no circle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axes: Option<[Vec2; 2]>,
    /// Whether that arc runs clockwise, as round an inside corner.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub clockwise: bool,
    /// Control points of the cubic Bézier curve to the next vertex, where it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub controls: Option<[Vec2; 2]>,
}

impl Vertex {
    /// Straight to the next.
    pub const fn straight(at: Vec2) -> Self {
        Self { at, centre: None, axes: None, clockwise: false, controls: None }
    }

    /// An arc of a circle to the next, anticlockwise.
    pub const fn arc(at: Vec2, centre: Vec2) -> Self {
        Self { centre: Some(centre), ..Self::straight(at) }
    }
}

/// A plate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlateResult {
    /// As in the spec.
    pub name: String,
    /// Thickness.
    pub thick: f64,
    /// Its frame.
    pub frame: PlateFrame,
    /// Outer outline, anticlockwise.
    pub outline: Vec<Vertex>,
    /// Every hole, one row a centre.
    pub holes: Vec<HoleResult>,
    /// Openings.
    pub openings: Vec<OpeningResult>,
    /// Bends; outline, holes and openings are then those of the flat pattern.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bends: Vec<BendResult>,
    /// Net area of one face (mm²).
    pub area: f64,
}

/// A bend on the flat pattern.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BendResult {
    /// As in the spec.
    pub name: String,
    /// Its middle, from edge to edge.
    pub line: [Vec2; 2],
    /// Where the curve begins and ends, likewise.
    pub tangents: [[Vec2; 2]; 2],
    /// Turn out of flat (deg).
    pub angle: f64,
    /// Whether it turns toward the viewer of the drawn face.
    pub up: bool,
    /// Inside radius.
    pub inside: f64,
    /// Depth of the neutral line from the inside, in thicknesses.
    pub k: f64,
    /// Bend allowance.
    pub allowance: f64,
    /// What the flat pattern is shorter by than the part opened.
    pub deduction: f64,
}

/// Where something is on the folded part, in vehicle axes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FoldedPlace {
    /// On the drawn face.
    pub at: Vec3,
    /// Out of that face.
    pub normal: Vec3,
}

/// Frame of a plate: u right, v up, w = u × v toward the viewer; material on −w.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlateFrame {
    /// (0, 0) of the drawn face.
    pub origin: Vec3,
    /// Right.
    pub u: Vec3,
    /// Up.
    pub v: Vec3,
    /// Toward the viewer.
    pub w: Vec3,
}

/// A hole.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct HoleResult {
    /// Hole's name and its number where the spec gives several: `mount 2`.
    pub name: String,
    /// `clearance`, `drill` or `tap`; `bolt` for that of a bolt through several parts.
    pub kind: String,
    /// Centre.
    pub centre: Vec2,
    /// Diameter; of a tapped hole that of its drill.
    pub diameter: f64,
    /// Pilot drill, where one goes before.
    pub pilot: Option<f64>,
    /// Slot: length between end centres, angle from +u (deg).
    pub slot: Option<Slot>,
    /// Thread, where tapped.
    pub tap: Option<String>,
    /// Countersink, where there is one.
    pub countersink: Option<CountersinkResult>,
    /// Full diameter from the drawn face to here, the drill's point left out; `None` goes through.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<f64>,
    /// Full thread from the drawn face to here; `None` where there is none or it goes through.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thread_depth: Option<f64>,
    /// Drill in words, such as `11/32 in`.
    pub drill: String,
    /// Its centre once the plate is bent; `None` on a flat plate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub folded: Option<FoldedPlace>,
}

impl HoleResult {
    /// What its walls are called in a solid: its name, and its thread where it is tapped.
    pub fn wall_name(&self) -> String {
        self.tap.as_ref().map_or_else(|| self.name.clone(), |thread| format!("{}, tap {thread}", self.name))
    }
}

/// A cone at a hole's mouth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CountersinkResult {
    /// Included angle (deg).
    pub angle: f64,
    /// On the face.
    pub diameter: f64,
    /// From the face to where the cone meets the hole.
    pub depth: f64,
    /// `face` or `back`.
    pub side: String,
}

/// A slot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Slot {
    /// Between the end centres.
    pub length: f64,
    /// From +u (deg).
    pub angle: f64,
}

/// An opening round a part of the linkage.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct OpeningResult {
    /// As in the spec.
    pub name: String,
    /// `ellipse`, `round` or `slot`, where the spec asks for one; else as close round the part as clearance lets it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shape: Option<String>,
    /// Centre on the drawn face.
    pub centre: Vec2,
    /// Full major axis of the ellipse on the face; overall length of a slot.
    pub major: f64,
    /// Full minor axis; width of a slot.
    pub minor: f64,
    /// Of the major axis from +u (deg, 0 to 180).
    pub angle: f64,
    /// What is cut through the whole thickness, anticlockwise.
    pub outline: Vec<Vertex>,
    /// Least gap from the part to the opening's wall over all motions; `None` where nothing moves either, or the plate
    /// is bent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_motions: Option<Clearance>,
    /// Greatest part (mm) of what is cut for all motions that need not go; `None` where nothing moves either.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub motion_spread: Option<f64>,
}

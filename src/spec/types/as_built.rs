//! What was made: readings taken off the parts, to be set against the plan.

use super::Body;

/// Readings of the finished work; what is not read is taken to be as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct AsBuilt {
    /// Shafts.
    pub shafts: Vec<MadeShaft>,
    /// Joints with their hubs on.
    pub joints: Vec<MadeJoint>,
    /// Plates.
    pub plates: Vec<MadePlate>,
    /// Gaps measured on the vehicle.
    pub gaps: Vec<MadeGap>,
    /// Rulers of printed sheets.
    pub prints: Vec<MadePrint>,
}

/// Who read it and when, as written: the spec's own where a row has none.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Signed {
    /// As `2026-03-14`, or empty.
    pub date: String,
    /// Initials, or empty.
    pub initials: String,
}

/// A shaft as made.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeShaft {
    /// Index of the shaft.
    pub shaft: usize,
    /// Between its end faces (mm); never on a slip shaft.
    pub length: Option<f64>,
    /// Of a slip shaft: outer and inner member between their end faces (mm).
    pub members: [Option<f64>; 2],
    /// From the end face to each dimple or groove (mm), upper end, then lower, in the order of the hub's screws.
    pub stations: [Option<Vec<f64>>; 2],
    /// Between the flats of its two ends (rad), clockwise from column toward gear; only where they are milled.
    pub twist: Option<f64>,
    /// Who and when.
    pub signed: Signed,
}

/// A joint as fitted; index 0 the hub on the column's side, 1 the one on the gear's.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeJoint {
    /// Index of the joint.
    pub joint: usize,
    /// Working angle (rad).
    pub angle: Option<f64>,
    /// Length of shaft in each hub (mm), by a mark made on the shaft at the hub's outer face.
    pub in_hub: [Option<f64>; 2],
    /// Screws or pinch bolt of each hub tightened to (N m).
    pub torque: [Option<f64>; 2],
    /// Who and when.
    pub signed: Signed,
}

/// A plate as made.
#[derive(Debug, Clone, PartialEq)]
pub struct MadePlate {
    /// Index of the plate.
    pub plate: usize,
    /// Its thickness (mm).
    pub thick: f64,
    /// Who and when.
    pub signed: Signed,
}

/// A gap measured on the vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeGap {
    /// Part of the linkage.
    pub part: Body,
    /// Name of the obstacle or rail.
    pub obstacle: String,
    /// The least that was found (mm).
    pub gap: f64,
    /// Who and when.
    pub signed: Signed,
}

/// The rulers of a printed sheet, each of which says 100 mm.
#[derive(Debug, Clone, PartialEq)]
pub struct MadePrint {
    /// Which sheet, in the user's words.
    pub sheet: String,
    /// Level ruler, upright ruler (mm).
    pub rulers: [Option<f64>; 2],
    /// Who and when.
    pub signed: Signed,
}

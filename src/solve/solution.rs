//! What the solver answers: the contract of `results.json`, field by field.
//!
//! Millimetres, degrees, N m, MPa, vehicle axes. The field names are the keys
//! of the file; [`Solution`] is written there as it stands, then the checks.

mod as_built;
mod bolt;
mod clearance;
mod notch;
mod plate;
mod rail;
mod shaft;
mod strength;

use serde::{Deserialize, Serialize};

pub use super::advice::{Advice, PhaseResult};
pub use super::bearing::{BearingResult, BearingStrength};
pub use super::clocking::ClockingResult;
pub use super::journal::JournalResult;
pub use super::mount::MountResult;
pub use super::play::FreePlay;
pub use super::reaction::JointReaction;
pub use super::tilt::TiltResult;
pub use as_built::{AsBuiltResult, BuiltReading, BuiltShaft, HubLeft, JointMove};
pub use bolt::{BoltPass, BoltResult};
pub use clearance::{Clearance, TapedGap};
pub use notch::{
    AxisCrossing, DoublerProposal, DoublerResult, LinerFrame, LinerResult, NotchResult, NotchSection, NotchSigma,
    SectionAt, SectionProperties, StressRaiser,
};
pub use plate::{
    BendResult, CountersinkResult, FoldedPlace, HoleResult, OpeningResult, PlateFrame, PlateResult, Slot, Vertex,
};
pub use rail::{RailFrame, RailResult, RailVertex};
pub use shaft::{
    BothUnits, CutEndResult, Dimple, End, Groove, MemberResult, On, ShaftFrame, ShaftResult, SlipResult, SpotWhen,
    Twist,
};
pub use strength::{JointStrength, ScrewSeating, SectionStress, ShaftStrength, Strength};

pub use super::travel::{Extreme, JointOver, OverMotions, ShaftOver};
use crate::geometry::Vec3;
use crate::survey::SurveyResult;

/// The whole linkage solved.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Solution {
    /// From column to gear.
    pub joints: Vec<JointResult>,
    /// From column to gear.
    pub shafts: Vec<ShaftResult>,
    /// The column's shaft end.
    pub column: EndResult,
    /// The gear's shaft end.
    pub gear: EndResult,
    /// Motion over one turn.
    pub motion: Motion,
    /// What is lost against the best phases, and what wins some of it back.
    #[serde(default)]
    pub phase: PhaseResult,
    /// Both ends of the column's tilt, wheel down first; empty where it does not tilt.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tilt: Vec<TiltResult>,
    /// Straight ahead, where the spec asks for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clocking: Option<ClockingResult>,
    /// Torques and stresses.
    pub strength: Strength,
    /// Free play at the wheel from the fits of hubs and bars.
    #[serde(default)]
    pub free_play: FreePlay,
    /// Least gaps, tightest against its need first within a part.
    pub clearances: Vec<Clearance>,
    /// Rails with their unrolled outsides.
    pub rails: Vec<RailResult>,
    /// Notches.
    pub notches: Vec<NotchResult>,
    /// Plates.
    pub plates: Vec<PlateResult>,
    /// Bolts through several parts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bolts: Vec<BoltResult>,
    /// What holds the column's tube.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mounts: Vec<MountResult>,
    /// What to buy or cut.
    pub order: Vec<OrderLine>,
    /// The survey that placed it, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub survey: Option<SurveyResult>,
    /// Joints and shafts over all motions, where any moves column, gear or a bearing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_motions: Option<OverMotions>,
    /// What was made beside the plan, where it was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_built: Option<AsBuiltResult>,
}

/// One joint.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JointResult {
    /// As in the spec.
    pub name: String,
    /// Where the axes of its two shafts meet: the cross centre of a single joint.
    pub centre: Vec3,
    /// Cross centres from the column's side: one of a single joint, two of a double.
    pub crosses: Vec<Vec3>,
    /// Working angle (deg), of a double joint in all.
    pub angle: f64,
    /// One standard deviation of it from the survey (deg); `None` without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub angle_sigma: Option<f64>,
    /// Largest working angle (deg), likewise.
    pub limit: f64,
    /// Nearer cross centre to the end of the shaft on the column's side.
    pub upper_gap: f64,
    /// Nearer cross centre to the end of the shaft on the gear's side.
    pub lower_gap: f64,
    /// Length of shaft in the hub on the column's side.
    pub upper_engagement: f64,
    /// Length of shaft in the hub on the gear's side.
    pub lower_engagement: f64,
    /// Least distance between the two shafts' ends in the bend plane, as full-round rectangles; 0 if they touch.
    pub end_clearance: f64,
    /// Bite left with every screw lost.
    pub captive: Captive,
}

impl JointResult {
    /// Angle (deg) at which each of its crosses works: a double joint shares it between two.
    pub fn cross_angle(&self) -> f64 {
        if self.is_double() { self.angle / 2.0 } else { self.angle }
    }

    /// Whether it has two crosses.
    pub fn is_double(&self) -> bool {
        self.crosses.len() > 1
    }
}

/// Bite left on each hub when every screw is lost and the shafts have slid until they meet (mm); negative: apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Captive {
    /// Hub on the column's side.
    pub upper: f64,
    /// Hub on the gear's side.
    pub lower: f64,
}

/// The column's or gear's shaft end in its hub.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EndResult {
    /// Length of shaft in the hub.
    pub insertion: f64,
    /// Spots under set screws, from the shaft's end.
    pub spots: Vec<EndSpot>,
    /// One standard deviation of its axis's direction from the survey (deg), the mean of the two ways it can lean.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axis_sigma: Option<f64>,
}

/// A spot on a column or gear shaft.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EndSpot {
    /// From the shaft's end face.
    pub station: f64,
    /// Surface it is in.
    pub on: On,
    /// Included angle of the drill (deg).
    pub drill: f64,
    /// Mouth.
    pub diameter: f64,
    /// Tip below the flat or crest.
    pub depth: f64,
    /// When it is made.
    pub spot: SpotWhen,
}

/// Motion of the gear against the column over one turn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Motion {
    /// Half of peak to peak (deg).
    pub error: f64,
    /// Greatest speed ratio.
    pub ratio_max: f64,
    /// Least speed ratio.
    pub ratio_min: f64,
    /// Angle of the single joint that would be as uneven (deg).
    pub equivalent_angle: f64,
    /// With every twist at its optimum.
    pub best: BestMotion,
    /// Rows of column angle (deg from n1 to the column yoke's trunnion axis), gear minus column (deg), ratio.
    pub curve: Vec<[f64; 3]>,
}

/// The best the joint angles allow.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BestMotion {
    /// Half of peak to peak (deg).
    pub error: f64,
    /// Greatest speed ratio.
    pub ratio_max: f64,
    /// Twist of each shaft (deg, 0 to 180).
    pub twists: Vec<f64>,
}

/// A line of the order list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OrderLine {
    /// `joint`, `double joint`, `bar`, `bearing`, `set screw`, `lock nut`, `pinch bolt`, `bolt`.
    pub item: String,
    /// In words.
    pub what: String,
    /// How many.
    pub quantity: u32,
    /// Length (mm), for bar.
    pub length: Option<f64>,
}

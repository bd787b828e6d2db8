//! Torques and stresses.

use serde::{Deserialize, Serialize};

use super::{BearingStrength, End, JointReaction};

/// Torques and stresses at the wheel torque of the spec; empty lists where none is given.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Strength {
    /// One a shaft.
    pub shafts: Vec<ShaftStrength>,
    /// One a joint.
    pub joints: Vec<JointStrength>,
    /// Support bearings; empty where the forces cannot be told.
    pub bearings: Vec<BearingStrength>,
    /// What each joint puts on the shafts beside it.
    #[serde(default)]
    pub reactions: Vec<JointReaction>,
    /// By how much the wheel turns with the gear held, from the wind-up of the shafts (deg): each at the greatest torque
    /// it sees, so at most this. Without joints, column and gear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub windup_at_wheel: Option<f64>,
    /// Every set screw with the torque it is tightened to; it holds the hub on along the shaft and carries no torque.
    #[serde(default)]
    pub screws: Vec<ScrewSeating>,
    /// What these figures leave out, in words.
    #[serde(default)]
    pub not_included: Vec<String>,
}

/// Stress in one shaft.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShaftStrength {
    /// As in the spec.
    pub name: String,
    /// Wheel torque × greatest ratio up to that shaft (N m).
    pub torque_max: f64,
    /// Greatest shear of the plain sections (MPa).
    pub shear: f64,
    /// Greatest pressure on the flats, 6T/(Lw²) over the shorter bite (MPa); `None` without flats in a hub.
    pub flat_pressure: Option<f64>,
    /// Twist at `torque_max` over the cut length less both engagements (deg).
    pub windup: f64,
    /// 0.577 yield / shear.
    pub yield_margin: f64,
    /// Every section of it.
    #[serde(default)]
    pub sections: Vec<SectionStress>,
    /// 0.577 yield / (shear at the dimples' section × the factor the spec states); `None` without dimples or a factor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dimple_margin: Option<f64>,
}

/// Shear of one plain section.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SectionStress {
    /// `bar`, `column end`, `gear end`, `journal`, `outer member` or `inner member`.
    pub place: String,
    /// Greatest shear at the shaft's greatest torque (MPa).
    pub shear: f64,
    /// 0.577 yield / shear.
    pub yield_margin: f64,
}

/// Load on one joint.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JointStrength {
    /// As in the spec.
    pub name: String,
    /// Greatest moment carried by the cross, torque in / cos angle (N m).
    pub torque_max: f64,
    /// Rated torque (N m), where the spec gives one.
    pub rating: Option<f64>,
    /// Greatest force on one trunnion (N), `torque_max` over the distance between the middles of its two bearings;
    /// `None` where the spec does not give that distance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trunnion_force: Option<f64>,
}

/// The set screws of one hub that are alike.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ScrewSeating {
    /// Joint, as in the spec.
    pub joint: String,
    /// Which hub of it.
    pub hub: End,
    /// Thread, such as `5/16-18`.
    pub thread: String,
    /// How many.
    pub quantity: u32,
    /// Torque to tighten each to (N m); `None` where no table gives one.
    pub seating: Option<f64>,
    /// Where that figure is from.
    pub source: String,
}

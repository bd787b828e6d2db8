//! What was made beside what was planned: `as_built` of `results.json`.

use serde::{Deserialize, Serialize};

use super::Solution;

/// Plan, made and difference of everything read, and what follows from it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AsBuiltResult {
    /// Every reading, from column to gear.
    pub readings: Vec<BuiltReading>,
    /// Shafts that are not as long as planned, and what can be done.
    pub shafts: Vec<BuiltShaft>,
    /// The linkage solved again with what was made; `None` where it cannot be.
    pub solved: Option<Box<Solution>>,
    /// Why not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unsolved: Option<String>,
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BuiltReading {
    /// Part it is of.
    pub subject: String,
    /// What was read.
    pub what: String,
    /// `mm`, `deg` or `N m`.
    pub unit: String,
    /// As planned; `None` where the plan has no figure.
    pub plan: Option<f64>,
    /// As made.
    pub made: f64,
    /// Made less plan.
    pub difference: Option<f64>,
    /// Largest difference allowed, either way; of a gap `None`.
    pub allowed: Option<f64>,
    /// Of a gap: the least allowed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<f64>,
    /// Whether it is within; `None` where there is nothing to compare with.
    pub within: Option<bool>,
    /// What is allowed is a habit of the trade, not a tolerance of this spec.
    pub habit: bool,
    /// Where what is allowed is from.
    pub source: String,
    /// One thing to do where it is not within.
    pub remedy: String,
    /// Day of the reading, or empty.
    pub date: String,
    /// Who took it, or empty.
    pub initials: String,
}

/// A shaft made longer or shorter than planned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BuiltShaft {
    /// As in the spec.
    pub name: String,
    /// Planned length (mm).
    pub plan: f64,
    /// Length as made (mm).
    pub made: f64,
    /// Plan less made (mm): positive is short.
    pub short: f64,
    /// Its two hubs, upper first.
    pub hubs: Vec<HubLeft>,
    /// Joints next to it that could slide on the column's or the gear's shaft to make up for it.
    pub moves: Vec<JointMove>,
}

/// What a hub holds of a shaft that is not as long as planned (mm).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HubLeft {
    /// Such as `joint upper, gear-side hub`.
    pub hub: String,
    /// Bite as planned.
    pub planned: f64,
    /// Bite with the joints where they are planned and the shaft where it was read, else in the middle.
    pub bite: f64,
    /// Bite with the shaft pushed as far as planned into the other hub.
    pub least: f64,
    /// Bite wanted.
    pub wanted: f64,
    /// From the outer face to where the shaft must stop.
    pub depth: f64,
}

/// A joint slid along the column's or the gear's shaft so that a shaft fits its other hub as planned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JointMove {
    /// As in the spec.
    pub joint: String,
    /// `column` or `gear`: the shaft it slides on.
    pub on: String,
    /// Toward the shaft that is short (mm); negative: away from it. `None` where no slide makes it up.
    pub slide: Option<f64>,
    /// Bite then left on that hub (mm).
    pub bite: Option<f64>,
    /// Bite wanted there (mm).
    pub wanted: f64,
    /// Angles of the joints at both ends of the shaft then (deg).
    pub angles: Vec<f64>,
    /// Whether it saves the shaft.
    pub saves: bool,
    /// Why, or why not, and what it asks for.
    pub why: String,
}

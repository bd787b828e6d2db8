//! A shaft as the solver answers it: its pieces, ends, dimples, grooves, seat.

use serde::{Deserialize, Serialize};

use super::super::bearing::BearingResult;
use super::super::journal::JournalResult;
use crate::geometry::Vec3;

/// One shaft as cut.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShaftResult {
    /// As in the spec.
    pub name: String,
    /// Catalogue name of its stock, or its sizes.
    pub stock: String,
    /// Catalogue name of its material.
    pub material: String,
    /// Its own frame.
    pub frame: ShaftFrame,
    /// Between the two cross centres at its ends.
    pub centre_distance: f64,
    /// One standard deviation of it from the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub centre_distance_sigma: Option<f64>,
    /// Finished length.
    pub cut_length: f64,
    /// Finished length less its tolerance.
    pub cut_length_min: f64,
    /// Finished length plus its tolerance.
    pub cut_length_max: f64,
    /// One standard deviation of the finished length from the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_length_sigma: Option<f64>,
    /// Sawing length: finished, what is left on, and two standard deviations, to the next mark of the tape.
    pub cut_long: f64,
    /// Finished length as people write it.
    pub cut_length_text: BothUnits,
    /// Yoke phase.
    pub twist: Twist,
    /// Dimples for set screws.
    pub dimples: Vec<Dimple>,
    /// Grooves for pinch bolts.
    pub grooves: Vec<Groove>,
    /// Ends cut otherwise than the bar.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ends: Vec<CutEndResult>,
    /// Of a slip shaft: its two members, upper first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub members: Vec<MemberResult>,
    /// Of a slip shaft: how far its members slide.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slip: Option<SlipResult>,
    /// Support bearing, where it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bearing: Option<BearingResult>,
    /// Seat turned for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub journal: Option<JournalResult>,
}

/// An end turned or milled on a bar.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CutEndResult {
    /// Which end.
    pub end: End,
    /// Its form, in words.
    pub form: String,
    /// From the end face to the shoulder.
    pub length: f64,
    /// Outward normal of its first flat, from +x of the shaft's frame about +z (deg); `None` without flats.
    pub clock: Option<f64>,
}

/// One of the two members of a slip shaft, as cut; its frame is the shaft's, moved to its own upper end.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MemberResult {
    /// `outer` or `inner`.
    pub name: String,
    /// End of the shaft its hub is at.
    pub end: End,
    /// Catalogue name of its bar, or its sizes.
    pub stock: String,
    /// From the shaft's upper end to the member's, as taped.
    pub from: f64,
    /// Finished length.
    pub cut_length: f64,
    /// Finished length less its tolerance.
    pub cut_length_min: f64,
    /// Finished length plus its tolerance.
    pub cut_length_max: f64,
    /// Sawing length.
    pub cut_long: f64,
    /// Finished length as people write it.
    pub cut_length_text: BothUnits,
    /// Its dimples, z from its own upper end.
    pub dimples: Vec<Dimple>,
    /// Its grooves.
    pub grooves: Vec<Groove>,
    /// Least wall left under a dimple; `None` on a solid bar or without dimples.
    pub least_wall: Option<f64>,
}

/// How the members of a slip shaft lie in one another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SlipResult {
    /// Overlap as taped.
    pub overlap: f64,
    /// Overlap left when it is longer by `extend`.
    pub overlap_extended: f64,
    /// How much shorter than taped it can get before a member meets a hub.
    pub collapse_room: f64,
    /// How much longer than taped it must get.
    pub extend: f64,
    /// How much shorter than taped it must get.
    pub collapse: f64,
    /// Overlap wanted when fully extended.
    pub least_overlap: f64,
}

/// A length in words, both units.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BothUnits {
    /// Decimal inches and the nearest tape mark.
    pub inch: String,
    /// Millimetres.
    pub mm: String,
}

/// Frame of a shaft: solid, drawing and results share it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShaftFrame {
    /// Centre of the upper end's face.
    pub origin: Vec3,
    /// Outward normal of flat A.
    pub x: Vec3,
    /// Toward the gear.
    pub z: Vec3,
}

/// Yoke phase of a shaft (deg, modulo 180, from column toward gear clockwise).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Twist {
    /// The optimum over all joints; `None` where it makes no difference.
    pub wanted: Option<f64>,
    /// What the ends give; the worst case where not certain.
    pub set: f64,
    /// Angle between positions that can be had; `None` where any can.
    pub step: Option<f64>,
    /// Whether `set` is known.
    pub certain: bool,
    /// Largest |set − wanted| modulo 180; half a step where not certain; 0 where nothing is wanted.
    pub off_max: f64,
    /// Twist between the shaft's own two pairs of flats.
    pub flats: f64,
}

/// Which end of a shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum End {
    /// Toward the column.
    Upper,
    /// Toward the gear.
    Lower,
}

/// Which surface a dimple is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum On {
    /// A flat.
    Flat,
    /// The round.
    Round,
}

/// When a dimple is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SpotWhen {
    /// On the bench.
    Drill,
    /// Through the hub on assembly; not in the solid.
    Fit,
    /// Not made.
    None,
}

/// A dimple.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Dimple {
    /// Hub it belongs to.
    pub end: End,
    /// From that end of the shaft.
    pub station: f64,
    /// From the upper end.
    pub z: f64,
    /// From +x of the shaft's frame about +z (deg, 0 to 360).
    pub clock: f64,
    /// Surface it is in.
    pub on: On,
    /// Included angle of the drill (deg).
    pub drill: f64,
    /// Mouth (along the shaft on a round side).
    pub diameter: f64,
    /// Cone tip below the flat or crest.
    pub depth: f64,
    /// When it is made.
    pub spot: SpotWhen,
}

/// A groove for a pinch bolt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Groove {
    /// Hub it belongs to.
    pub end: End,
    /// From that end of the shaft to the bolt's axis.
    pub station: f64,
    /// Shaft axis to bolt axis.
    pub offset: f64,
    /// Of the bolt.
    pub diameter: f64,
    /// Direction from shaft axis to bolt axis, from +x about +z (deg).
    pub clock: f64,
}

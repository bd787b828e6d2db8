//! What the solver answers: the contract of `results.json`, field by field.
//!
//! Millimetres, degrees, N m, MPa, vehicle axes. The field names are the keys
//! of the file; [`Solution`] is written there as it stands, then the checks.

mod rail;

use serde::{Deserialize, Serialize};

pub use super::bearing::{BearingResult, BearingStrength};
pub use rail::{RailFrame, RailResult, RailVertex};

use crate::geometry::{Vec2, Vec3};
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
    /// Torques and stresses.
    pub strength: Strength,
    /// Least gaps, tightest against its need first within a part.
    pub clearances: Vec<Clearance>,
    /// Rails with their unrolled outsides.
    pub rails: Vec<RailResult>,
    /// Notches.
    pub notches: Vec<NotchResult>,
    /// Plates.
    pub plates: Vec<PlateResult>,
    /// What to buy or cut.
    pub order: Vec<OrderLine>,
    /// The survey that placed it, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub survey: Option<SurveyResult>,
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

/// Torques and stresses.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Strength {
    /// One a shaft; empty where no load is given.
    pub shafts: Vec<ShaftStrength>,
    /// One a joint; empty where no load is given.
    pub joints: Vec<JointStrength>,
    /// Support bearings; empty where no load is given or the forces cannot be told.
    pub bearings: Vec<BearingStrength>,
}

/// Stress in one shaft.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShaftStrength {
    /// As in the spec.
    pub name: String,
    /// Wheel torque × greatest ratio up to that shaft (N m).
    pub torque_max: f64,
    /// Greatest shear of the plain section (MPa).
    pub shear: f64,
    /// Greatest pressure on the flats, 6T/(Lw²) over the shorter bite (MPa); `None` without flats in a hub.
    pub flat_pressure: Option<f64>,
    /// Twist at `torque_max` over the cut length less both engagements (deg).
    pub windup: f64,
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
}

/// Least gap between a part of the linkage and an obstacle or rail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Clearance {
    /// Body of the linkage.
    pub part: String,
    /// Obstacle or rail.
    pub obstacle: String,
    /// Distance of the surfaces; 0 on contact.
    pub gap: f64,
    /// One standard deviation of the gap from the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap_sigma: Option<f64>,
    /// Gap wanted.
    pub need: f64,
    /// Value of every motion that moves either body (none yet).
    pub at: std::collections::BTreeMap<String, f64>,
    /// On the obstacle.
    pub point: Vec3,
}

/// A vertex of a path in a plane: straight to the next, or an arc about `centre`, or part of an ellipse.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Vertex {
    /// Where it lies.
    pub at: Vec2,
    /// Centre of the arc to the next vertex.
    pub centre: Option<Vec2>,
    /// Semi-axes of the elliptic arc to the next vertex, where it is no circle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axes: Option<[Vec2; 2]>,
}

/// A notch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NotchResult {
    /// As in the spec.
    pub name: String,
    /// Its rail.
    pub rail: String,
    /// The traced outline: loops of (u, v), first point not repeated, anticlockwise = removed.
    #[serde(rename = "true")]
    pub traced: Vec<Vec<Vec2>>,
    /// The outline to cut, likewise.
    pub shop: Vec<Vec<Vec2>>,
    /// Of the shop outline on metal (mm²).
    pub area: f64,
    /// Extent in v.
    pub depth: f64,
    /// Extent in u.
    pub width: f64,
    /// How sure its place is, from the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place_sigma: Option<NotchSigma>,
    /// Least distance from the wall left standing to the bodies.
    pub gap_left: f64,
    /// Greatest distance (mm) by which a traced point can be off.
    pub certified: f64,
    /// The rail's section at its worst station.
    pub section: NotchSection,
}

/// How sure a notch's place is (mm, one standard deviation): of the part it is nearest to, against the rail.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct NotchSigma {
    /// Of where that part's axis passes the rail, along it.
    pub along: f64,
    /// Of how far the axis then stands from the line along the rail through the nearest metal.
    pub across: f64,
}

/// Section properties of a rail, whole and notched.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NotchSection {
    /// Whole.
    pub full: SectionProperties,
    /// At the worst station of the notch.
    pub left: SectionProperties,
    /// With liner and doublers on; `None` where none are given.
    pub restored: Option<SectionProperties>,
    /// Station u of `left`.
    pub worst_u: f64,
}

/// Properties of a cross-section about its own centroid; x to `right`, y to `up` of the rail.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SectionProperties {
    /// mm².
    pub area: f64,
    /// Centroid (right, up) in the rail's frame.
    pub centroid: Vec2,
    /// Second moment about the horizontal axis (mm⁴).
    pub ixx: f64,
    /// Second moment about the vertical axis (mm⁴).
    pub iyy: f64,
    /// Product of inertia (mm⁴).
    pub ixy: f64,
    /// Least section modulus about the horizontal axis (mm³).
    pub s_min: f64,
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
    /// Net area of one face (mm²).
    pub area: f64,
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HoleResult {
    /// Hole's name and its number where the spec gives several: `mount 2`.
    pub name: String,
    /// `clearance` or `drill`.
    pub kind: String,
    /// Centre.
    pub centre: Vec2,
    /// Diameter.
    pub diameter: f64,
    /// Pilot drill.
    pub pilot: Option<f64>,
    /// Slot: length between end centres, angle from +u (deg).
    pub slot: Option<Slot>,
    /// Thread, where tapped.
    pub tap: Option<String>,
    /// Countersink, where there is one.
    pub countersink: Option<String>,
    /// Drill in words, such as `11/32 in`.
    pub drill: String,
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OpeningResult {
    /// As in the spec.
    pub name: String,
    /// Centre on the drawn face.
    pub centre: Vec2,
    /// Full major axis of the ellipse on the face.
    pub major: f64,
    /// Full minor axis.
    pub minor: f64,
    /// Of the major axis from +u (deg, 0 to 180).
    pub angle: f64,
    /// What is cut through the whole thickness, anticlockwise.
    pub outline: Vec<Vertex>,
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

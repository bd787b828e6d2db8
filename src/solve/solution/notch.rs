//! A notch as the solver answers it, and what makes its rail good again.

use serde::{Deserialize, Serialize};

use super::{PlateFrame, Vertex};
use crate::geometry::{Vec2, Vec3};
use crate::spec::types::LinerKind;

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
    /// Arcs and cubics along the outside of `true`, at most 0.014 mm off it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub true_curves: Vec<Vec<Vertex>>,
    /// The same of `shop`: this is what is drawn and cut. Where missing, `shop` is.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shop_curves: Vec<Vec<Vertex>>,
    /// Of the shop outline on metal (mm²).
    pub area: f64,
    /// What of it the clearance alone would not take (mm²).
    #[serde(default)]
    pub extra_area: f64,
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
    /// Greatest width (mm) of what the outline over all motions takes without need; `None` where nothing moves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub motion_spread: Option<f64>,
    /// Where axes of what passes meet the outside, within the outline to cut.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub axes: Vec<AxisCrossing>,
    /// The rail's section at its worst station.
    pub section: NotchSection,
    /// How much the notch's corner raises the stress; `None` where its edge is welded to a liner or sleeve.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stress: Option<StressRaiser>,
    /// The liner or sleeve in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub liner: Option<LinerResult>,
    /// The doublers on its rail, as the spec asks for them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doublers: Vec<DoublerResult>,
    /// Doublers that would make the rail good, where the spec has none and some can.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub proposal: Option<DoublerProposal>,
}

/// Where the axis of a part passes the unrolled outside of a rail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AxisCrossing {
    /// The part.
    pub part: String,
    /// (u, v).
    pub at: Vec2,
}

/// How sure a notch's place is (mm, one standard deviation): of the part it is nearest to, against the rail.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct NotchSigma {
    /// Of where that part's axis passes the rail, along it.
    pub along: f64,
    /// Of how far the axis then stands from the line along the rail through the nearest metal.
    pub across: f64,
}

/// Section properties of a rail, whole, notched and made good.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NotchSection {
    /// Whole.
    pub full: SectionProperties,
    /// At the worst station of the notch.
    pub left: SectionProperties,
    /// With liner and doublers on, at the station where least of the section modulus is made good; `None` where the
    /// spec gives neither.
    pub restored: Option<SectionProperties>,
    /// Station u of `left`.
    pub worst_u: f64,
    /// Station u of `restored`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub restored_u: Option<f64>,
    /// Whether the section is closed at every station once liner and doublers are on.
    #[serde(default)]
    pub closed_again: bool,
    /// Along the notch, evenly spaced.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stations: Vec<SectionAt>,
}

/// The section at one station of a notch.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SectionAt {
    /// Along the rail from its first point.
    pub u: f64,
    /// What the notch leaves.
    pub left: SectionProperties,
    /// With liner and doublers on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub restored: Option<SectionProperties>,
}

/// Properties of a cross-section about its own centroid; x to `right`, y to `up` of the rail.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
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
    /// Greatest principal second moment (mm⁴).
    pub i_max: f64,
    /// Least principal second moment (mm⁴).
    pub i_min: f64,
    /// From the horizontal to the axis of `i_max`, anticlockwise seen along +u (deg, over −90 to 90).
    pub angle: f64,
    /// Least section modulus about the axis of `i_max` (mm³).
    pub s_major: f64,
    /// Least section modulus about the axis of `i_min` (mm³).
    pub s_minor: f64,
    /// Least section modulus under a moment about the horizontal axis with the rail free to bend sideways (mm³): the
    /// product of inertia counted.
    pub s_bending: f64,
    /// Torsion constant (mm⁴): thin walls, Bredt for closed cells and a third of s t³ for all walls.
    pub torsion: f64,
    /// Whether the walls make a closed cell.
    pub closed: bool,
}

impl SectionProperties {
    /// The lower of the section moduli in vertical bending, over those of the whole rail.
    pub fn share_of(&self, whole: &Self) -> f64 {
        let share = |own: f64, of: f64| if of > 0.0 { own / of } else { 1.0 };
        share(self.s_min, whole.s_min).min(share(self.s_bending, whole.s_bending))
    }
}

/// How much an inside corner raises the stress in the web beside it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct StressRaiser {
    /// Depth of the notch in that web (mm).
    pub depth: f64,
    /// Height of the web (mm).
    pub height: f64,
    /// Radius of the corner (mm).
    pub radius: f64,
    /// Greatest stress over that of plain bending of what is left of the web.
    pub factor: f64,
    /// The same with a corner as round as the notch is deep.
    pub factor_round: f64,
}

/// A tube that closes the rail again: whole, or the part of it inside the rail's outside.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LinerResult {
    /// What it is.
    pub kind: LinerKind,
    /// Where its axis runs.
    pub frame: LinerFrame,
    /// Outside diameter (mm).
    pub outside: f64,
    /// Wall (mm).
    pub wall: f64,
    /// Least outside diameter with which the parts keep their clearance inside it (mm).
    pub outside_least: f64,
    /// Least distance from its bore to the parts inside (mm); 0 where one touches it or cuts into it.
    pub gap: f64,
    /// Its outside laid flat, seen from outside: (s, t), t along the axis from the frame's origin, s round the outside
    /// from the frame's x, right-handed about the axis. One loop, anticlockwise; a sleeve's two straight sides are its
    /// seam, half a turn from x.
    pub outline: Vec<Vec2>,
    /// Length of tube to cut it from (mm).
    pub length: f64,
}

/// Frame of a liner, vehicle axes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LinerFrame {
    /// On its axis, in the middle of its length.
    pub origin: Vec3,
    /// Along its axis.
    pub axis: Vec3,
    /// Square to the axis: of a sleeve as near to the vehicle's up as can be, of a liner toward the middle of its wall.
    pub x: Vec3,
}

/// A plate welded flat on one outer face of a rail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DoublerResult {
    /// The face, by the vehicle: `left`, `right`, `front`, `rear`, `top`, `bottom`.
    pub face: String,
    /// The face of the plate that is seen: u along the rail, v round it as of the rail, w away from the rail; the
    /// plate lies on the rail's side of it. `v = w × u`, so its drawing is seen from outside with v up the sheet, and
    /// the rail's own v runs the other way.
    pub frame: PlateFrame,
    /// Thickness (mm).
    pub thick: f64,
    /// (u, v) in that frame: loops, first point not repeated, anticlockwise = plate.
    pub outline: Vec<Vec<Vec2>>,
    /// What is drawn, cut and made solid: the same loops as arcs along them, on the plate's side by at most 0.014 mm;
    /// the plate's own edges as they are.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub curves: Vec<Vec<Vertex>>,
    /// The same on the unrolled outside of the rail (u, v), anticlockwise = plate.
    pub on_rail: Vec<Vec<Vec2>>,
    /// How far its ends stand past the notch (mm).
    pub overrun: f64,
}

/// Doublers that would make a rail good.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DoublerProposal {
    /// The faces they go on.
    pub faces: Vec<String>,
    /// Plate thickness (mm), of those usual in trade.
    pub thick: f64,
    /// Height over the face (mm).
    pub height: f64,
    /// How far their ends stand past the notch (mm).
    pub overrun: f64,
    /// The section with them on, at its worst station.
    pub restored: SectionProperties,
    /// Whether the section is closed with them on.
    pub closed: bool,
}

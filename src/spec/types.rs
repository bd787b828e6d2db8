//! The checked linkage: plain values, nothing left to resolve.
//!
//! Lengths in mm, angles in rad, torques in N m, stresses in MPa, vehicle axes
//! (x rearward, y right, z up) or a mock-up's own: [`Axes`]. A [`Spec`] is made only by [`crate::spec::read`],
//! so later stages never check again what is promised here.

mod as_built;
mod bolt;
mod clocking;
mod mock_up;
mod motion;
mod mount;
mod notch;
mod plate;
mod shaft;
mod survey;
mod vehicle;

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

pub use crate::catalog::fasteners::{DimpleSize, ScrewPoint, Thread};
pub use crate::catalog::forms::FormShape;
pub use crate::catalog::materials::Material;
pub use crate::catalog::tolerances::GeneralClass;
use crate::diagnostic::Place;
use crate::geometry::Vec3;
use crate::quantity;
pub use crate::quantity::Unit;
pub use as_built::{AsBuilt, MadeGap, MadeJoint, MadePlate, MadePrint, MadeShaft, Signed};
pub use bolt::Bolt;
pub use clocking::{Clocking, DimpleFactor, Tilt};
pub use mock_up::{Axes, Hung, MockUp};
pub use motion::{Lift, Motion, MotionPath, Moved};
pub use mount::{Mount, Mounts, Wedge};
pub use notch::{Doubler, Liner, LinerKind, Notch, ShopShape};
pub use plate::{Bend, Countersink, Hole, HolePlace, HoleSize, Opening, OpeningShape, Outline, Plate, PlatePlace};
pub use shaft::{Bearing, BearingAt, CutEnd, Housing, Journal, Shaft, ShaftEnd, Slip, TwistWish};
pub use survey::{Along, Measure, Reading, Survey, SurveyPoint, View};
pub use vehicle::{Edge, Face, Mark, Obstacle, ObstacleKind, ObstacleShape, Rail, Section};

/// One steering linkage as the user stated it.
#[derive(Debug, Clone)]
pub struct Spec {
    /// SHA-256 of the spec's bytes, lower-case hexadecimal.
    pub sha256: String,
    /// What the sheets are headed with.
    pub build: Build,
    /// Paper and file choices.
    pub output: Output,
    /// What its points are measured in.
    pub axes: Axes,
    /// The driving end; its axis runs down the column, out of its end.
    pub column: DriveEnd,
    /// The driven end; its axis runs into the gear.
    pub gear: DriveEnd,
    /// Two or more, from column to gear.
    pub joints: Vec<Joint>,
    /// One fewer than joints.
    pub shafts: Vec<Shaft>,
    /// Design torque at the wheel (N m), where given.
    pub wheel_torque: Option<f64>,
    /// Rise of shear at dimples, where it is stated.
    pub dimple_factor: Option<DimpleFactor>,
    /// Straight ahead, where it was measured.
    pub clocking: Option<Clocking>,
    /// Frame rails.
    pub rails: Vec<Rail>,
    /// Notches in rails.
    pub notches: Vec<Notch>,
    /// Brackets and firewall.
    pub plates: Vec<Plate>,
    /// Bolts through several parts.
    pub bolts: Vec<Bolt>,
    /// Mounts of the column; their parts stand last among plates and bolts.
    pub mounts: Mounts,
    /// What must be cleared.
    pub obstacles: Vec<Obstacle>,
    /// Motions of what stands about the linkage, and of its ends.
    pub motions: Vec<Motion>,
    /// What was made, where it was read.
    pub as_built: Option<AsBuilt>,
    /// Limits the user set in place of a rule's own, by rule code, in the rule's unit (mm, rad, or a plain number).
    pub limits: BTreeMap<String, f64>,
    /// Values taken from the catalogue that have no standard: drawings say "measure and confirm".
    pub unmeasured: Vec<Unmeasured>,
    /// Names of points that stand in place of coordinates anywhere in the spec.
    pub named_points: BTreeSet<String>,
    pub(super) file: String,
    pub(super) places: BTreeMap<String, Range<usize>>,
}

impl Spec {
    /// Place in the file of a dotted key with indices, such as `joint.0.lower.depth`, or of the nearest table above it.
    pub fn place(&self, key: &str) -> Option<Place> {
        let mut key = key;
        loop {
            if let Some(span) = self.places.get(key) {
                return Some(Place { file: self.file.clone(), span: span.clone() });
            }
            key = &key[..key.rfind('.')?];
        }
    }

    /// The linkage without what stands about it and without places in the file, to be solved again and again.
    pub fn linkage_alone(&self) -> Self {
        Self {
            rails: Vec::new(),
            notches: Vec::new(),
            plates: Vec::new(),
            obstacles: Vec::new(),
            motions: Vec::new(),
            as_built: None,
            unmeasured: Vec::new(),
            named_points: BTreeSet::new(),
            places: BTreeMap::new(),
            ..self.clone()
        }
    }

    /// Values of motions as people read them, in the order of the file: `left arm at 3.00 in (76.2 mm)` and so on.
    pub fn motions_at(&self, at: &BTreeMap<String, f64>) -> Vec<String> {
        let words = |motion: &Motion| Some(motion.words(*at.get(&motion.name)?, self.build.units));
        self.motions.iter().filter_map(words).collect()
    }

    /// Name of a body as the spec's `for`, `part` and `around` write it.
    pub fn body_name(&self, body: Body) -> &str {
        match body {
            Body::Column => "column",
            Body::Gear => "gear",
            Body::Joint(i) => &self.joints[i].name,
            Body::Shaft(i) => &self.shafts[i].name,
        }
    }
}

/// The part of a file name that a name becomes: lower-case letters a to z, digits, single hyphens between.
///
/// Empty where the name has neither letter nor digit of those; the reader refuses such a name, and two of
/// one list with the same stem.
pub fn stem(name: &str) -> String {
    let mut stem = String::with_capacity(name.len());
    for c in name.chars() {
        if c.is_ascii_alphanumeric() {
            stem.push(c.to_ascii_lowercase());
        } else if !stem.is_empty() && !stem.ends_with('-') {
            stem.push('-');
        }
    }
    stem.truncate(stem.trim_end_matches('-').len());
    stem
}

/// A catalogue value that was never measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unmeasured {
    /// Dotted key with indices, such as `joint.0.lower.depth`.
    pub key: String,
    /// The part it belongs to, in words: `joint "lower", depth of the column-side hub`.
    pub what: String,
}

/// What the sheets are headed with. All texts are free of control characters and at most 1000 characters.
#[derive(Debug, Clone)]
pub struct Build {
    /// Title of the job.
    pub title: String,
    /// Legal owner of the drawings: the shop.
    pub owner: String,
    /// Vehicle.
    pub vehicle: String,
    /// Build-record number.
    pub record: String,
    /// Revision index.
    pub revision: String,
    /// Who drew it.
    pub drawn_by: String,
    /// Date as `2026-03-14`, or empty.
    pub date: String,
    /// Unit of bare numbers, and first on drawings.
    pub units: Unit,
    /// Finest tape mark (mm).
    pub tape_step: f64,
    /// General tolerance class.
    pub general: GeneralClass,
}

/// First- or third-angle projection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Projection {
    /// First angle.
    First,
    /// Third angle.
    Third,
}

/// Application protocol of the STEP files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepSchema {
    /// ISO 10303-242.
    Ap242,
    /// ISO 10303-214.
    Ap214,
}

/// Paper and file choices.
#[derive(Debug, Clone)]
pub struct Output {
    /// Sheet width and height (mm), upright.
    pub sheet: [f64; 2],
    /// `Letter`, `A4`, or `W × H mm`.
    pub sheet_name: String,
    /// Projection angle.
    pub projection: Projection,
    /// STEP schema.
    pub step_schema: StepSchema,
    /// STEP length unit.
    pub step_unit: Unit,
    /// Measured over stated length of printed rulers, x and y.
    pub print_correction: [f64; 2],
    /// Smallest hole the cutter makes, in thicknesses of the plate.
    pub least_hole: f64,
}

/// The column's or the gear's shaft end.
#[derive(Debug, Clone)]
pub struct DriveEnd {
    /// Centre of the shaft's end face.
    pub end: Vec3,
    /// Unit vector: column: down the column, out of its end; gear: into the gear.
    pub axis: Vec3,
    /// The second point taped on the axis; `None` where a mock-up alone places it.
    pub second: Option<Vec3>,
    /// Form of the shaft end.
    pub form: Form,
    /// Straight length a hub can slide over (mm).
    pub exposed: f64,
    /// End face to the centre of a pinch groove (mm).
    pub groove: Option<f64>,
    /// Outside diameter of the column tube (mm).
    pub tube: Option<f64>,
    /// How a column tilts, where its pivot lies below its lower bearing.
    pub tilt: Option<Tilt>,
}

/// An end form or hole, or the stock of a bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// Catalogue name, where one was used.
    pub name: Option<String>,
    /// Its shape.
    pub shape: FormShape,
}

impl Form {
    /// Largest diameter (mm).
    pub fn diameter(&self) -> f64 {
        match self.shape {
            FormShape::DoubleD { diameter, .. }
            | FormShape::Serrated { diameter, .. }
            | FormShape::Round { diameter, .. } => diameter,
        }
    }

    /// Its catalogue name, else its sizes in words.
    pub fn words(&self, units: Unit) -> String {
        if let Some(name) = &self.name {
            return name.clone();
        }
        let text = |mm| quantity::both_units(mm, units);
        match self.shape {
            FormShape::DoubleD { diameter, flats, bore } => {
                let bored = bore.map(|bore| format!(", bore {}", text(bore))).unwrap_or_default();
                format!("double-D {} across flats {}{bored}", text(diameter), text(flats))
            }
            FormShape::Serrated { teeth, diameter, .. } => format!("{} serrated, {teeth} teeth", text(diameter)),
            FormShape::Round { diameter, bore } => {
                let bored = bore.map(|bore| format!(", bore {}", text(bore))).unwrap_or_default();
                format!("round {}{bored}", text(diameter))
            }
        }
    }

    /// Whether it has two flats.
    pub fn is_double_d(&self) -> bool {
        matches!(self.shape, FormShape::DoubleD { .. })
    }
}

/// A universal joint, single or double.
#[derive(Debug, Clone)]
pub struct Joint {
    /// Unique name.
    pub name: String,
    /// Diameter swept by the yokes' ears (mm).
    pub swing: f64,
    /// Largest diameter swept by the hubs (mm).
    pub hub: f64,
    /// Largest working angle (rad), of a double joint in all.
    pub limit: f64,
    /// Between the two crosses of a double joint (mm); `None` on a single one.
    pub double: Option<f64>,
    /// Hub on the column's side.
    pub upper: Hub,
    /// Hub on the gear's side.
    pub lower: Hub,
    /// Where the axes of its two shafts meet, for a joint between two shafts that no bearing places.
    pub centre: Option<Vec3>,
    /// Rated torque (N m) and where it is from.
    pub rating: Option<Rating>,
    /// Between the middles of the two bearings on one line of its cross (mm).
    pub trunnions: Option<f64>,
}

/// From the meeting point of the axes to each cross of a double joint (mm), for the span between its crosses and the
/// angle β (rad) in all: span / (2 cos(β/2)), from the isosceles triangle.
pub fn setback(span: f64, angle: f64) -> f64 {
    if span > 0.0 { span / (2.0 * libm::cos(angle / 2.0)) } else { 0.0 }
}

impl Joint {
    /// From where the axes of its two shafts meet to the cross on each side (mm) at a working angle (rad).
    pub fn setback(&self, angle: f64) -> f64 {
        setback(self.double.unwrap_or(0.0), angle)
    }
}

/// A joint's rated torque.
#[derive(Debug, Clone, PartialEq)]
pub struct Rating {
    /// N m.
    pub torque: f64,
    /// Where the figure is from, in the user's words.
    pub source: String,
}

/// One hub of a joint.
#[derive(Debug, Clone)]
pub struct Hub {
    /// The hole.
    pub fits: Form,
    /// Cross centre to the hub's outer face (mm).
    pub reach: f64,
    /// Outer face to where the shaft end must stop (mm).
    pub depth: f64,
    /// Length of full bore form (mm).
    pub bite: f64,
    /// Shaft end held back from flush (mm).
    pub seat: f64,
    /// From the long straight edges of the hole to the line through the ears (rad); `None` on round holes.
    pub ears: Option<f64>,
    /// From a tooth of a serrated hole to the line through the ears (rad), where it was measured.
    pub tooth: Option<f64>,
    /// Slid on 180 degrees round.
    pub turned: bool,
    /// What holds it on.
    pub hold: Hold,
}

impl Hub {
    /// Outer face to the shaft's end as it sits (mm). `groove` is the taped groove of a column or gear shaft.
    ///
    /// Depth − seat; a pinch hub on a grooved shaft sits where bolt and groove meet: pinch.at + groove.
    pub fn engagement(&self, groove: Option<f64>) -> f64 {
        match (&self.hold, groove) {
            (Hold::Pinch(pinch), Some(groove)) => pinch.at + groove,
            _ => self.depth - self.seat,
        }
    }

    /// Cross centre to the shaft's end (mm).
    pub fn gap(&self, groove: Option<f64>) -> f64 {
        self.reach - self.engagement(groove)
    }

    /// The set screws, none on a pinched or welded hub.
    pub fn screws(&self) -> &[Screw] {
        if let Hold::Screws(screws) = &self.hold { screws } else { &[] }
    }
}

/// What holds a hub on its shaft.
#[derive(Debug, Clone, PartialEq)]
pub enum Hold {
    /// Set screws, one or more.
    Screws(Vec<Screw>),
    /// Pinch bolt across a groove.
    Pinch(Pinch),
    /// Welded: always warns.
    Weld,
    /// Nothing stated: warns.
    Nothing,
}

/// A pinch bolt.
#[derive(Debug, Clone, PartialEq)]
pub struct Pinch {
    /// From the hub's outer face to the bolt's axis (mm).
    pub at: f64,
    /// The bolt.
    pub bolt: Thread,
    /// Shaft axis to bolt axis (mm).
    pub offset: f64,
}

/// Side of the shaft a screw bears on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// A flat of a double-D.
    Flat,
    /// The round.
    Round,
}

/// When a dimple is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// On the bench from the drawing.
    Drill,
    /// Through the hub on assembly.
    Fit,
    /// Not at all.
    None,
}

/// One set screw.
#[derive(Debug, Clone, PartialEq)]
pub struct Screw {
    /// From the hub's outer face (mm).
    pub at: f64,
    /// The thread.
    pub thread: Thread,
    /// Its point.
    pub point: ScrewPoint,
    /// Side of the shaft it bears on.
    pub on: Side,
    /// Lock nut on it.
    pub jam: bool,
    /// When its dimple is made.
    pub spot: Spot,
    /// The dimple it wants, sizes already resolved.
    pub dimple: DimpleSize,
}

/// A part of the linkage that takes room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Body {
    /// The column tube and its exposed shaft.
    Column,
    /// The joint of that index: its ears and hubs.
    Joint(usize),
    /// The shaft of that index.
    Shaft(usize),
    /// The gear's exposed shaft.
    Gear,
}

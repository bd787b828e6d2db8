//! Plates, their holes and openings.

use super::Body;
use crate::geometry::{Vec2, Vec3};

/// A plate with holes and openings.
#[derive(Debug, Clone)]
pub struct Plate {
    /// Unique name.
    pub name: String,
    /// Where it lies.
    pub place: PlatePlace,
    /// Its outline.
    pub outline: Outline,
    /// Thickness (mm); material lies on −w.
    pub thick: f64,
    /// Holes.
    pub holes: Vec<Hole>,
    /// Openings round parts of the linkage.
    pub openings: Vec<Opening>,
    /// Gap wanted (mm) to what no opening of it is round; `None` for the usual.
    pub need: Option<f64>,
    /// Bends; outline, holes and openings are then those of the plate opened to the lines where its faces would meet.
    pub bends: Vec<Bend>,
}

/// A straight bend right across a plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    /// Unique in its plate.
    pub name: String,
    /// Two points (u, v) of the line on which the drawn faces of its two sides, extended, would meet.
    pub line: [Vec2; 2],
    /// Turn out of flat (rad).
    pub angle: f64,
    /// Whether the side away from (0, 0) turns toward the viewer of the drawn face.
    pub up: bool,
    /// Inside radius (mm).
    pub inside: f64,
    /// Depth of the neutral line from the inside, as a share of the thickness.
    pub k: f64,
}

/// Corners of a plate, anticlockwise, all rounded alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Where the straight edges would meet (u, v).
    pub corners: Vec<Vec2>,
    /// Radius (mm) of every corner, 0 for sharp.
    pub radius: f64,
}

impl Outline {
    /// A rectangle from (0, 0).
    pub fn rectangle([width, height]: [f64; 2], radius: f64) -> Self {
        let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]].map(Vec2::from).to_vec();
        Self { corners, radius }
    }

    /// The turn (rad) at each corner, positive to the left.
    pub fn turns(&self) -> Vec<f64> {
        let count = self.corners.len();
        (0..count)
            .map(|i| {
                let (before, at, after) =
                    (self.corners[(i + count - 1) % count], self.corners[i], self.corners[(i + 1) % count]);
                let (a, b) = (at - before, after - at);
                libm::atan2(a.cross(b), a.dot(b))
            })
            .collect()
    }
}

/// How a plate is placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PlatePlace {
    /// Three points on the face the drawing shows.
    Points {
        /// (u, v) = (0, 0).
        origin: Vec3,
        /// On +u.
        right: Vec3,
        /// On the side of +v.
        up: Vec3,
    },
    /// Square to an axis.
    SquareTo {
        /// Column, gear or a shaft.
        axis: Body,
        /// From the axis's end, away from the linkage (mm); so runs w too.
        from_end: f64,
        /// Direction of +v.
        up: Vec3,
        /// (u, v) where the axis meets the plate.
        zero: Vec2,
    },
}

/// A set of equal holes.
#[derive(Debug, Clone)]
pub struct Hole {
    /// Unique in its plate.
    pub name: String,
    /// Where each is; rings, grids and mirrored ones already laid out.
    pub at: Vec<HolePlace>,
    /// What it is for.
    pub size: HoleSize,
    /// Slot: length between the end centres (mm).
    pub slot: Option<f64>,
    /// Full depth from the drawn face (mm), of the thread where it is tapped; `None` goes through.
    pub depth: Option<f64>,
    /// Countersink.
    pub countersink: Option<Countersink>,
}

/// Where one hole of a set is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HolePlace {
    /// Centre (u, v).
    pub centre: Vec2,
    /// Of the slot from +u (rad); 0 for a round hole.
    pub angle: f64,
}

/// Size of a hole.
#[derive(Debug, Clone, PartialEq)]
pub enum HoleSize {
    /// Clearance hole.
    Clearance {
        /// Bolt size such as `5/16` or `M8`.
        bolt: String,
        /// `close`, `normal`, `loose`, `fine`, `medium` or `coarse`.
        fit: String,
        /// Hole diameter (mm).
        diameter: f64,
        /// Drill in words such as `11/32 in`.
        drill: String,
        /// Standard the size is from.
        source: String,
    },
    /// A plain drilled hole of this diameter (mm).
    Drill(f64),
    /// A tapped hole.
    Tap {
        /// Thread such as `5/16-18` or `M8x1.25`.
        thread: String,
        /// Major diameter (mm).
        major: f64,
        /// Pitch (mm).
        pitch: f64,
        /// Tap drill (mm).
        diameter: f64,
        /// Tap drill in words such as `F`.
        drill: String,
        /// Where the tap drill is from.
        source: String,
    },
}

impl HoleSize {
    /// Diameter drilled (mm).
    pub const fn diameter(&self) -> f64 {
        match self {
            Self::Clearance { diameter, .. } | Self::Drill(diameter) | Self::Tap { diameter, .. } => *diameter,
        }
    }
}

/// A cone at a hole's mouth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Countersink {
    /// Included angle (rad).
    pub angle: f64,
    /// Diameter (mm) on the face.
    pub diameter: f64,
    /// Whether it is on the back face and not on the drawn one.
    pub back: bool,
}

/// An opening round a part of the linkage.
#[derive(Debug, Clone)]
pub struct Opening {
    /// Unique in its plate.
    pub name: String,
    /// What passes through.
    pub around: Body,
    /// Added to the part's radius (mm).
    pub clearance: f64,
    /// The shape it is cut to; `None`: as close round the part as clearance and thickness let it.
    pub shape: Option<OpeningShape>,
}

/// A shape a shop can cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpeningShape {
    /// Ellipse of least area.
    Ellipse,
    /// Circle, the least that encloses.
    Round,
    /// Two half circles and two straights, of least area.
    Slot,
}

impl OpeningShape {
    /// The word used in the spec.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ellipse => "ellipse",
            Self::Round => "round",
            Self::Slot => "slot",
        }
    }
}

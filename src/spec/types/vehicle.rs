//! What stands about the linkage: rails and their notches, plates, obstacles.

use crate::geometry::Vec3;

/// A face of the vehicle's box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// +z.
    Top,
    /// −z.
    Bottom,
    /// −y.
    Left,
    /// +y.
    Right,
    /// −x.
    Front,
    /// +x.
    Rear,
}

impl Face {
    /// Outward direction in vehicle axes.
    pub const fn direction(self) -> Vec3 {
        match self {
            Self::Top => Vec3::new(0.0, 0.0, 1.0),
            Self::Bottom => Vec3::new(0.0, 0.0, -1.0),
            Self::Left => Vec3::new(0.0, -1.0, 0.0),
            Self::Right => Vec3::new(0.0, 1.0, 0.0),
            Self::Front => Vec3::new(-1.0, 0.0, 0.0),
            Self::Rear => Vec3::new(1.0, 0.0, 0.0),
        }
    }

    /// The word used in the spec.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Bottom => "bottom",
            Self::Left => "left",
            Self::Right => "right",
            Self::Front => "front",
            Self::Rear => "rear",
        }
    }
}

/// Where on the section the rail's `along` line runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// Where these two outer faces, extended flat, would meet: top or bottom first, then the side.
    Corner(Face, Face),
    /// Down the middle of the section.
    Centre,
}

/// Cross-section of a rail (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Section {
    /// Rectangular tube; `corner` is the outside radius.
    Tube {
        /// Up.
        height: f64,
        /// Across.
        width: f64,
        /// Wall.
        wall: f64,
        /// Outside corner radius.
        corner: f64,
    },
    /// Channel with its open side toward a face.
    Channel {
        /// Up.
        height: f64,
        /// Across.
        width: f64,
        /// Wall.
        wall: f64,
        /// Outside corner radius.
        corner: f64,
        /// Open side.
        open: Face,
    },
    /// Round tube.
    Pipe {
        /// Outside.
        diameter: f64,
        /// Wall.
        wall: f64,
    },
}

/// A straight length of frame rail.
#[derive(Debug, Clone)]
pub struct Rail {
    /// Unique name.
    pub name: String,
    /// Two points on the named edge.
    pub along: [Vec3; 2],
    /// The named edge.
    pub edge: Edge,
    /// Cross-section.
    pub section: Section,
    /// Marks a tape can find, from the first point.
    pub marks: Vec<Mark>,
}

/// A mark on a rail.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// In words.
    pub name: String,
    /// From the rail's first point along it (mm).
    pub at: f64,
}

/// Something that must be cleared.
#[derive(Debug, Clone)]
pub struct Obstacle {
    /// Unique name.
    pub name: String,
    /// Its shape.
    pub shape: ObstacleShape,
    /// What it is, which sets the gap wanted.
    pub kind: Option<ObstacleKind>,
    /// Gap wanted (mm), where stated.
    pub need: Option<f64>,
}

/// What an obstacle is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ObstacleKind {
    /// Fixed frame or body.
    Frame,
    /// Engine on its mounts.
    Engine,
    /// Hot exhaust.
    Exhaust,
    /// Moving suspension.
    Suspension,
}

/// Shape of an obstacle (mm).
#[derive(Debug, Clone, PartialEq)]
pub enum ObstacleShape {
    /// Round tube along a path, bends of one centre-line radius, flat ends square to the path.
    Tube {
        /// Corner points of the centre line, two or more.
        path: Vec<Vec3>,
        /// Outside diameter.
        diameter: f64,
        /// Centre-line radius at the inner points; `None` for sharp corners.
        bend: Option<f64>,
    },
    /// Ball.
    Ball {
        /// Centre.
        centre: Vec3,
        /// Diameter.
        diameter: f64,
    },
    /// Parallelepiped.
    Box {
        /// One corner.
        corner: Vec3,
        /// Three edges from it.
        edges: [Vec3; 3],
    },
    /// One point of it, the nearest to a string stretched along a shaft; the rest of it is not known.
    Beside {
        /// Index of the shaft.
        shaft: usize,
        /// Along the string from the outer face of the hub at the shaft's upper end.
        from_upper_face: f64,
        /// Off the string.
        gap: f64,
        /// Round the string (rad), from the side the shaft above leans to, clockwise looking from the column.
        clock: f64,
    },
}

//! What was taken with tape, level and angle finder.

use crate::diagnostic::Place;
use crate::geometry::Vec3;

/// The readings of a survey and the points they tie together.
///
/// Marks and the entries of `[points]` that readings name are fixed; every other point is to be found.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Where `[survey]` stands.
    pub place: Place,
    /// What a level laid along the frame shows (rad): the sine of it is how much a unit rearward climbs.
    pub rake: f64,
    /// What a level laid across the frame shows (rad): the sine of it is how much a unit to the right falls.
    pub roll: f64,
    /// Marks in the order of the file, then the others in the order the readings first name them.
    pub points: Vec<SurveyPoint>,
    /// Tapes, then offsets, then slopes, each in the order of the file.
    pub readings: Vec<Reading>,
}

/// A point of a survey.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyPoint {
    /// Its name, unlike that of any other point of the spec.
    pub name: String,
    /// Its place (mm, vehicle axes) where it is laid down; `None` where it is to be found.
    pub fixed: Option<Vec3>,
    /// Roughly where it is (mm, vehicle axes), where the user says so.
    pub near: Option<Vec3>,
    /// Where it is first named.
    pub place: Place,
}

/// One reading, taken or still to be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// What was read, between which points.
    pub what: Measure,
    /// What it shows (mm or rad); `None` where it is still to be taken.
    pub reads: Option<f64>,
    /// One standard deviation (mm or rad).
    pub sigma: f64,
    /// Where it stands.
    pub place: Place,
}

/// What a reading measures. Numbers are indices into [`Survey::points`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// A straight distance.
    Tape {
        /// One end.
        from: usize,
        /// The other, never the same.
        to: usize,
        /// Diameter (mm) of the round whose near skin it was taken to, 0 where taken to the point itself.
        skin: f64,
    },
    /// One coordinate, against level and plumb.
    Offset {
        /// The point.
        of: usize,
        /// Which.
        along: Along,
    },
    /// The acute angle an angle finder shows, against level and plumb.
    Slope {
        /// One point of the line.
        from: usize,
        /// The other, never the same.
        to: usize,
        /// From where it is seen.
        view: View,
    },
}

/// A direction of an offset.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// Rearward.
    X,
    /// To the right.
    Y,
    /// Up.
    Z,
}

impl Along {
    /// The word used in the spec.
    pub const fn word(self) -> &'static str {
        match self {
            Self::X => "x",
            Self::Y => "y",
            Self::Z => "z",
        }
    }
}

/// From where a slope is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// The x-z plane, against x.
    Side,
    /// The x-y plane, against x.
    Plan,
    /// The line itself, against level.
    True,
}

impl View {
    /// The word used in the spec.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Side => "side",
            Self::Plan => "plan",
            Self::True => "true",
        }
    }
}

impl Measure {
    /// The points it touches, once or twice the same where it has one alone.
    pub const fn ends(self) -> [usize; 2] {
        match self {
            Self::Tape { from, to, .. } | Self::Slope { from, to, .. } => [from, to],
            Self::Offset { of, .. } => [of, of],
        }
    }

    /// `tape`, `offset` or `slope`.
    pub const fn kind(self) -> &'static str {
        match self {
            Self::Tape { .. } => "tape",
            Self::Offset { .. } => "offset",
            Self::Slope { .. } => "slope",
        }
    }

    /// Whether it is read in rad, not mm.
    pub const fn is_angle(self) -> bool {
        matches!(self, Self::Slope { .. })
    }
}

impl Survey {
    /// The points to be found.
    pub fn unknown(&self) -> impl Iterator<Item = &SurveyPoint> {
        self.points.iter().filter(|point| point.fixed.is_none())
    }
}

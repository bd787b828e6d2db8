//! Motions of what stands about the linkage, and of its ends.

use std::f64::consts::PI;

use super::Body;
use crate::geometry::{Rigid, Vec3};
use crate::quantity::{Unit, both_units, degrees};

/// One motion with all that it moves.
#[derive(Debug, Clone)]
pub struct Motion {
    /// Unique among motions.
    pub name: String,
    /// How it moves.
    pub path: MotionPath,
    /// Least and greatest value (rad of a turn, mm otherwise).
    pub range: [f64; 2],
    /// Its value when everything was taped.
    pub measured: f64,
    /// What it moves.
    pub moves: Vec<Moved>,
}

/// How a motion moves (taped position, mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MotionPath {
    /// A turn, right-handed about the unit axis.
    Turn {
        /// On the axis.
        about: Vec3,
        /// Unit vector along it.
        axis: Vec3,
    },
    /// A shift along a unit vector.
    Shift {
        /// Its direction.
        along: Vec3,
    },
    /// An arm that turns about its pivots; its value is the height of a point on it over that point's height at 0.
    Travel {
        /// On the axis.
        about: Vec3,
        /// Unit vector along it.
        axis: Vec3,
        /// How the height goes with the turn.
        lift: Lift,
    },
}

/// The height of a point that turns: after a turn by t it has risen by `up` (cos t − 1) + `ahead` sin t.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Its height over the axis where it was taped (mm), along z.
    up: f64,
    /// How fast it rises there (mm a rad).
    ahead: f64,
}

impl Lift {
    /// Of a point that turns about the line through `about` along the unit vector `axis`.
    pub fn new(about: Vec3, axis: Vec3, at: Vec3) -> Self {
        let off = at - about;
        let arm = off - axis * off.dot(axis);
        Self { up: arm.z, ahead: axis.cross(arm).z }
    }

    /// Greatest height of the point over the middle of its swing (mm).
    pub fn reach(&self) -> f64 {
        libm::hypot(self.up, self.ahead)
    }

    /// How fast it rises where it was taped (mm a rad).
    pub const fn rise(&self) -> f64 {
        self.ahead
    }

    /// Least and greatest rise (mm) from where it was taped.
    pub fn ends(&self) -> [f64; 2] {
        [-self.reach() - self.up, self.reach() - self.up]
    }

    /// The turn (rad) that raises it by that much, on the side where it was taped; the nearest there is.
    fn turn(&self, rise: f64) -> f64 {
        let top = libm::atan2(self.ahead, self.up);
        let from_top = libm::acos(((self.up + rise) / self.reach()).clamp(-1.0, 1.0));
        if self.ahead >= 0.0 { top - from_top } else { top + from_top }
    }

    fn rise_at(&self, turn: f64) -> f64 {
        // cos t − 1 loses no digits as −2 sin²(t/2).
        let half = libm::sin(turn / 2.0);
        self.ahead * libm::sin(turn) - 2.0 * self.up * half * half
    }
}

/// Something that a motion moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Moved {
    /// The column or the gear.
    End(Body),
    /// The bearing of a shaft, by the shaft's index.
    Bearing(usize),
    /// An obstacle, by its index.
    Obstacle(usize),
    /// A rail, by its index.
    Rail(usize),
    /// A plate, by its index.
    Plate(usize),
}

impl Motion {
    /// Whether it turns; else it shifts.
    pub const fn turns(&self) -> bool {
        !matches!(self.path, MotionPath::Shift { .. })
    }

    /// Turn (rad) or shift (mm) from the taped position at a value.
    pub fn step(&self, value: f64) -> f64 {
        match self.path {
            MotionPath::Turn { .. } | MotionPath::Shift { .. } => value - self.measured,
            MotionPath::Travel { lift, .. } => lift.turn(value - self.measured),
        }
    }

    /// The value after that turn or shift from the taped position.
    pub fn value(&self, step: f64) -> f64 {
        let by = match self.path {
            MotionPath::Turn { .. } | MotionPath::Shift { .. } => step,
            MotionPath::Travel { lift, .. } => lift.rise_at(step),
        };
        // The ends are the user's own figures, to the last bit.
        (self.measured + by).clamp(self.range[0], self.range[1])
    }

    /// Turns or shifts from the taped position that it goes through, least first.
    pub fn steps(&self) -> [f64; 2] {
        let [a, b] = self.range.map(|value| self.step(value));
        [a.min(b), a.max(b)]
    }

    /// The motion of space after a turn or shift from the taped position.
    pub fn at(&self, step: f64) -> Rigid {
        match self.path {
            MotionPath::Turn { about, axis } | MotionPath::Travel { about, axis, .. } => Rigid::turn(about, axis, step),
            MotionPath::Shift { along } => Rigid::shift(along * step),
        }
    }

    /// A value in the unit of the results: degrees of a turn, mm otherwise.
    pub fn shown(&self, value: f64) -> f64 {
        if matches!(self.path, MotionPath::Turn { .. }) { value * 180.0 / PI } else { value }
    }

    /// A value as people read it, from the unit of the results: `engine roll at 4.0°`.
    pub fn words(&self, shown: f64, units: Unit) -> String {
        let value =
            if matches!(self.path, MotionPath::Turn { .. }) { degrees(shown, 1) } else { both_units(shown, units) };
        format!("{} at {value}", self.name)
    }

    /// A value from the unit of the results.
    pub fn from_shown(&self, shown: f64) -> f64 {
        if matches!(self.path, MotionPath::Turn { .. }) { shown * PI / 180.0 } else { shown }
    }
}

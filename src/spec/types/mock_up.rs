//! A mock-up, and the frame a spec is laid out in.

/// What a spec's points and directions are measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axes {
    /// Column and gear have places: vehicle axes.
    Vehicle,
    /// A mock-up alone: nothing says where in the vehicle the linkage lies.
    ///
    /// Origin at the first cross, +z along the first shaft toward the gear, +x on the side to which the column leans.
    MockUp,
}

impl Axes {
    /// Its axes in words: `frame` of `results.json`.
    pub const fn frame(self) -> &'static str {
        match self {
            Self::Vehicle => "x rearward, y right, z up",
            Self::MockUp => {
                "the mock-up's own, not vehicle axes: origin at the first cross, z along the first shaft toward the \
                 gear, x to the side the column leans to"
            }
        }
    }
}

/// A shaft that is mocked up, by name, whether its readings are taken or not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hung {
    /// The shaft.
    pub shaft: String,
    /// The joint at its upper end.
    pub upper: String,
    /// The joint at its lower end.
    pub lower: String,
}

/// Readings taken with the joints of one shaft hung loosely on a straight trial bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MockUp {
    /// Between the two hubs' machined outer faces, along the bar (mm).
    pub faces: f64,
    /// Angle of the joint at the upper end (rad, 0 straight).
    pub upper_angle: f64,
    /// Angle of the joint at the lower end (rad, 0 straight).
    pub lower_angle: f64,
    /// From the upper joint's bend plane to the lower one's (rad), clockwise looking from the column.
    ///
    /// Each plane counts from the bar's axis to the side its outer shaft leans to: 0 where column and gear shaft lean
    /// to one side, half a turn where they lean to opposite sides.
    pub planes: f64,
}

//! Straight ahead as measured, the factor of dimples, and how a column tilts.

use crate::geometry::Vec3;

/// How wheel, column yoke and gear stand with the road wheels straight; what was not measured is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct Clocking {
    /// Teeth between wheel and column.
    pub wheel_teeth: Option<u32>,
    /// The wheel has one place on the column only.
    pub wheel_tied: bool,
    /// Outside of the wheel's rim (mm).
    pub wheel_diameter: Option<f64>,
    /// How far the wheel stands off straight (rad), clockwise from column toward gear.
    pub wheel_off: Option<f64>,
    /// From the first bend plane to the line through the column yoke's ears (rad), likewise.
    pub yoke: Option<f64>,
    /// Turns of the gear's input shaft from lock to lock.
    pub lock_to_lock: Option<f64>,
    /// Turns of it from the left lock to straight ahead; at most `lock_to_lock`.
    pub gear_centre: Option<f64>,
    /// Travel of a tie rod in one turn of it (mm).
    pub rod_travel: Option<f64>,
    /// Change of length in one turn of a tie rod's end (mm).
    pub rod_pitch: Option<f64>,
}

/// How many times the shear of the plain section stands at the edge of a dimple.
#[derive(Debug, Clone, PartialEq)]
pub struct DimpleFactor {
    /// 1 or more.
    pub value: f64,
    /// Where it is from, in the user's words.
    pub source: String,
}

/// Tilt of a column that takes its end along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tilt {
    /// On the pivot's axis, which lies level and square to the column.
    pub pivot: Vec3,
    /// From where the column was taped to the wheel's highest place (rad).
    pub up: f64,
    /// To its lowest place (rad).
    pub down: f64,
}

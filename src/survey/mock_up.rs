//! How the four readings of a mock-up are taken, in words for sheet, record and terminal.

use crate::spec::types::MockUp;

/// One reading and how to take it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reading {
    /// Its key in the spec.
    pub key: &'static str,
    /// What it is.
    pub what: &'static str,
    /// How to take it.
    pub how: &'static str,
}

/// Before any reading.
pub const HANG: &str = "Slide each outer hub onto the column and the gear shaft as far as it will sit when finished. Run \
                        a straight round bar, a dowel or thin tube, through both inner hubs so that each can turn on \
                        it, and hold it there. Nothing is welded, drilled or tightened.";

/// In the order of work.
///
/// An ear at 45 degrees on a bar that slopes by 25 reads asin(sin 45 · cos 25) = 39.9 degrees against gravity: 5 too
/// little. So the planes are scribed on the bar and measured with the bar level.
pub const READINGS: [Reading; 4] = [
    Reading {
        key: "faces",
        what: "tape between the hubs",
        how: "Tape along the bar from the machined outer face of one inner hub to that of the other.",
    },
    Reading {
        key: "upper_angle",
        what: "bend of the upper joint",
        how: "Angle finder in the plane of the bend, one leg along the shaft above, one along the bar. Write the bend \
              from straight: 0 is in line.",
    },
    Reading {
        key: "lower_angle",
        what: "bend of the lower joint",
        how: "The same at the lower joint, between the bar and the shaft below.",
    },
    Reading {
        key: "planes",
        what: "upper scribe to lower scribe",
        how: "Turn the bar-side fork of the upper joint on the bar until both its ears lie in the plane of the bend. \
              Scribe the bar in line with the ears, on the side to which the shaft above leans. Do the same at the \
              lower joint, on the side to which the shaft below leans; the bar must not turn in between. Take the bar \
              out, lay it level in V-blocks, bring one scribe on top, and measure round to the other: from the upper \
              scribe to the lower, looking from the column end, clockwise positive. Do not lay the angle finder on the \
              ears in place: on a bar that slopes 25 degrees it misreads by degrees.",
    },
];

impl Reading {
    /// What a mock-up has for it: a length (mm) or an angle (rad).
    pub fn of(self, mock_up: &MockUp) -> Value {
        match self.key {
            "faces" => Value::Length(mock_up.faces),
            "upper_angle" => Value::Angle(mock_up.upper_angle),
            "lower_angle" => Value::Angle(mock_up.lower_angle),
            _ => Value::Angle(mock_up.planes),
        }
    }
}

/// A reading's value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// mm.
    Length(f64),
    /// rad.
    Angle(f64),
}

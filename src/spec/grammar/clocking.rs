//! Tables of straight ahead, of what a dimple does to the shear round it, and of a column's tilt.

use super::{LENGTH, keys};
use crate::spec::keys::{Key, Keys, Kind, Sign};

pub(super) static CLOCKING: Keys = keys(
    "[clocking]",
    "Straight ahead: how wheel, column yoke and gear stand with the road wheels straight. Every key is a measurement; \
     what is left out is judged at its worst or not at all.",
    &[
        Key::may("wheel_teeth", Kind::Count(1, 200), "the wheel stays where it is", "teeth between wheel and column"),
        Key::may(
            "wheel_tied",
            Kind::Flag,
            "false",
            "the wheel has one place on the column only: a wide tooth, or pins of the self-cancelling cam",
        ),
        Key::may("wheel_diameter", LENGTH, "free play at the rim is not judged", "outside of the wheel's rim"),
        Key::may(
            "wheel_off",
            Kind::Angle(Sign::Any),
            "not known, so at worst half a tooth",
            "how far the wheel stands off straight, road wheels straight; clockwise as the driver sees it is positive",
        ),
        Key::may(
            "yoke",
            Kind::Angle(Sign::Any),
            "not known, so at worst",
            "from the plane of the first joint that bends to the line through the column yoke's ears, road wheels \
             straight; looking from the column toward the gear, clockwise is positive",
        ),
        Key::may(
            "lock_to_lock",
            Kind::Number(0.1, 12.0),
            "the turn to each lock is not told",
            "turns of the gear's input shaft from lock to lock",
        ),
        Key::may(
            "gear_centre",
            Kind::Number(0.05, 11.95),
            "half of `lock_to_lock`",
            "turns of the gear's input shaft from the left lock (wheel turned fully anticlockwise) to straight ahead",
        ),
        Key::may(
            "rod_travel",
            LENGTH,
            "tie-rod turns are not told",
            "how far one turn of the gear's input shaft moves each tie rod",
        ),
        Key::may(
            "rod_pitch",
            LENGTH,
            "tie-rod turns are not told",
            "how much one turn of a tie rod's end changes its length",
        ),
    ],
);

pub(super) static DIMPLE_FACTOR: Keys = keys(
    "dimple_factor = { .. }",
    "How many times the shear of the plain section stands at the edge of a dimple. No standard gives it for this shape.",
    &[
        Key::must("value", Kind::Number(1.0, 10.0), "the factor"),
        Key::must("source", Kind::Text, "where it is from: a handbook's chart, a calculation, a test"),
    ],
);

pub(super) static TILT: Keys = keys(
    "tilt = { .. }",
    "A tilt column whose pivot lies below its lower bearing, so that its end moves; with the pivot higher up leave it out.",
    &[
        Key::must("pivot", Kind::Point, "a point on the pivot's axis, which lies level and square to the column"),
        Key::must("up", Kind::Angle(Sign::NotNegative), "from where the column was taped to the wheel's highest place"),
        Key::must("down", Kind::Angle(Sign::NotNegative), "to the wheel's lowest place"),
    ],
);

//! Tables of motions.

use super::{LENGTH_OR_NONE, SIGNED, keys, one_of};
use crate::spec::keys::{Key, Keys, Kind, Sign};

pub(super) static MOTION: Keys = Keys {
    title: "[[motion]]",
    about: "A motion of something about the linkage, or of its ends. Motions that move one part act in the order of the \
            file, the last listed first; all axes are those of the taped position.",
    keys: &[
        Key::must("name", Kind::Name, "its name; no other motion may bear it"),
        Key::may("turn", Kind::Table(&TURN), "another way", "turns about an axis, such as an engine that rolls"),
        Key::may("shift", Kind::Table(&SHIFT), "another way", "shifts along a line, such as a body on its mounts"),
        Key::may("travel", Kind::Table(&TRAVEL), "another way", "turns as a suspension arm does, told by heights"),
        Key::may(
            "measured",
            Kind::LengthOrAngle,
            "0",
            "its value when everything was taped: an angle for a turn, else a length",
        ),
        Key::must(
            "moves",
            Kind::References("obstacles, rails, plates, bearings, \"column\" or \"gear\""),
            "what it moves; a bearing goes by the name of its shaft",
        ),
    ],
    choices: &[one_of(&["turn", "shift", "travel"])],
};

static TURN: Keys = keys(
    "turn = { .. }",
    "A turn about a line, right-handed from its first point to its second.",
    &[
        Key::must("about", Kind::Points(2, 2), "two points on the axis"),
        Key::must("from", Kind::Angle(Sign::Any), "least value"),
        Key::must("to", Kind::Angle(Sign::Any), "greatest value"),
    ],
);

static SHIFT: Keys = keys(
    "shift = { .. }",
    "A shift along a line.",
    &[
        Key::must("along", Kind::Direction, "which way is positive"),
        Key::must("from", SIGNED, "least value"),
        Key::must("to", SIGNED, "greatest value"),
    ],
);

static TRAVEL: Keys = keys(
    "travel = { .. }",
    "An arm that turns about its pivots. Its value is the height of a point on it, such as its ball joint, over that \
     point's height at value 0.",
    &[
        Key::must("about", Kind::Points(2, 2), "the two inner pivots"),
        Key::must("at", Kind::Point, "the point whose height tells the travel, where it was taped"),
        Key::must("up", LENGTH_OR_NONE, "how far it rises over value 0, bump"),
        Key::must("down", LENGTH_OR_NONE, "how far it falls under value 0, droop"),
    ],
);

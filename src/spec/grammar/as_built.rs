//! What was made, in keys.

use super::{LENGTH, LENGTH_OR_NONE, keys};
use crate::spec::keys::{Key, Keys, Kind, Sign};

const DATE: Key = Key::may("date", Kind::Date, "that of `[as_built]`", "day it was read");
const INITIALS: Key = Key::may("initials", Kind::Text, "those of `[as_built]`", "who read it");

pub(super) static AS_BUILT: Keys = keys(
    "[as_built]",
    "Readings off the finished parts. The linkage is solved again with them and judged beside the plan; what is not \
     read is taken to be as planned.",
    &[
        Key::may("date", Kind::Date, "left empty", "day of every reading that states none"),
        Key::may("initials", Kind::Text, "left empty", "who took every reading that states none"),
        Key::may("shaft", Kind::Tables(&SHAFT), "as planned", "shafts as cut and drilled"),
        Key::may("joint", Kind::Tables(&JOINT), "as planned", "joints as fitted"),
        Key::may("plate", Kind::Tables(&PLATE), "as planned", "plates as bought"),
        Key::may("gap", Kind::Tables(&GAP), "none", "gaps measured on the vehicle"),
        Key::may("print", Kind::Tables(&PRINT), "none", "rulers of the sheets that were printed and cut from"),
    ],
);

static SHAFT: Keys = keys(
    "[[as_built.shaft]]",
    "A shaft as cut and drilled.",
    &[
        Key::must("name", Kind::Reference("a shaft of this spec"), "which shaft"),
        Key::may("length", LENGTH, "as planned", "between its end faces; not on a slip shaft"),
        Key::may("outer", LENGTH, "as planned", "outer member of a slip shaft, between its end faces"),
        Key::may("inner", LENGTH, "as planned", "inner member of a slip shaft, between its end faces"),
        Key::may(
            "upper_stations",
            Kind::Lengths,
            "as planned",
            "from the upper end's face to the middle of each dimple, in the order of the hub's screws, or of the groove",
        ),
        Key::may("lower_stations", Kind::Lengths, "as planned", "the same from the lower end's face"),
        Key::may(
            "twist",
            Kind::Angle(Sign::Any),
            "as planned",
            "between the flats of its two ends, clockwise seen from the column; only where they are milled",
        ),
        DATE,
        INITIALS,
    ],
);

static JOINT: Keys = keys(
    "[[as_built.joint]]",
    "A joint as fitted.",
    &[
        Key::must("name", Kind::Reference("a joint of this spec"), "which joint"),
        Key::may("angle", Kind::Angle(Sign::NotNegative), "not compared", "angle it works at; 0 is straight"),
        Key::may(
            "upper_in_hub",
            LENGTH_OR_NONE,
            "as planned, or what the shaft's length leaves",
            "shaft in the hub on the column's side: mark the shaft at the hub's face, draw it out, measure",
        ),
        Key::may("lower_in_hub", LENGTH_OR_NONE, "the same", "shaft in the hub on the gear's side"),
        Key::may("upper_torque", Kind::Torque, "not compared", "set screws or pinch bolt on the column's side"),
        Key::may("lower_torque", Kind::Torque, "not compared", "set screws or pinch bolt on the gear's side"),
        DATE,
        INITIALS,
    ],
);

static PLATE: Keys = keys(
    "[[as_built.plate]]",
    "A plate as bought.",
    &[
        Key::must("name", Kind::Reference("a plate of this spec"), "which plate"),
        Key::must("thick", LENGTH, "its thickness by caliper"),
        DATE,
        INITIALS,
    ],
);

static GAP: Keys = keys(
    "[[as_built.gap]]",
    "A gap measured on the vehicle: the least over the whole turn and travel.",
    &[
        Key::must("part", Kind::Reference("a part of the linkage"), "joint, shaft, \"column\" or \"gear\""),
        Key::must("obstacle", Kind::Reference("an obstacle or a rail"), "what it stands off from"),
        Key::must("gap", LENGTH_OR_NONE, "the least gap found"),
        DATE,
        INITIALS,
    ],
);

static PRINT: Keys = keys(
    "[[as_built.print]]",
    "The two rulers of a printed sheet; each says 100 mm.",
    &[
        Key::must("sheet", Kind::Text, "which sheet"),
        Key::may("across", LENGTH, "not read", "what the level ruler measures"),
        Key::may("up", LENGTH, "not read", "what the upright ruler measures"),
        DATE,
        INITIALS,
    ],
);

//! The tables of what is measured without coordinates.

use super::{LENGTH, SIGNED, keys};
use crate::spec::keys::{Key, Keys, Kind, Sign};

pub(super) static MOCKUP: Keys = keys(
    "mockup = { .. }",
    "A mock-up of one shaft: both joints hung loosely on the column and gear shafts, a straight round trial bar through \
     their hubs. With one for every shaft, `end`, `toward` and `beyond` of column and gear may be left out: shaft, yoke \
     phase, strength, drawing, solid and record follow from it alone. Coordinates then mean nothing: rails, notches, \
     plates and obstacles other than `beside` need the places.",
    &[
        Key::must("faces", LENGTH, "tape between the two hubs' machined outer faces, along the bar"),
        Key::must("upper_angle", Kind::Angle(Sign::NotNegative), "angle of the joint at its upper end; 0 is straight"),
        Key::must("lower_angle", Kind::Angle(Sign::NotNegative), "angle of the joint at its lower end"),
        Key::must(
            "planes",
            Kind::Angle(Sign::Any),
            "from the bend plane of the upper joint to that of the lower. Turn the bar-side fork of the upper joint on \
             the bar until both ears lie in the plane of the bend, and scribe the bar on the side to which the column \
             leans; do the same below, on the side to which the gear shaft leans, the bar not turned in between. Take \
             the bar out, lay it level in V-blocks, and measure from the upper scribe to the lower, looking from the \
             column end, clockwise positive",
        ),
    ],
);

pub(super) static BESIDE: Keys = keys(
    "beside = { .. }",
    "The nearest point of an obstacle, measured from a string stretched along a shaft from cross to cross. It is judged \
     against that shaft, or the joint whose hub it stands beside, and nothing else.",
    &[
        Key::must("shaft", Kind::Reference("a shaft"), "the shaft along which the string runs"),
        Key::must(
            "from_upper_face",
            SIGNED,
            "along the string from the outer face of the hub at the shaft's upper end; less than 0 beside that hub",
        ),
        Key::must("gap", LENGTH, "square off the string to the obstacle"),
        Key::may(
            "clock",
            Kind::Angle(Sign::Any),
            "0 deg",
            "where it lies round the string: 0 on the side to which the shaft above leans (the upper scribe of a \
             mock-up), clockwise positive looking from the column",
        ),
    ],
);

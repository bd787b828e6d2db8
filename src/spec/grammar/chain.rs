//! Tables of chains of more than two single joints: double joints and support bearings.

use super::{LENGTH, keys};
use crate::spec::keys::{Key, Keys, Kind};

pub(super) static DOUBLE: Keys = keys(
    "double = { .. }",
    "Two crosses in one housing that halves the angle; `reach` of its hubs counts from the nearer cross.",
    &[
        Key::must("span", LENGTH, "between the two cross centres"),
        Key::may(
            "centred",
            Kind::Flag,
            "true",
            "the housing is centred. A floating one is two single joints with a shaft that needs a bearing",
        ),
    ],
);

pub(super) static BEARING: Keys = keys(
    "bearing = { .. }",
    "A support bearing that the shaft runs in. It holds the shaft sideways and lets it slide and tilt, as a rod end does.",
    &[
        Key::must(
            "at",
            Kind::LengthOrPoint,
            "its middle: from the cross at the shaft's upper end along the shaft, or as a point in space",
        ),
        Key::may(
            "to",
            LENGTH,
            "the joint has its `centre`",
            "only with a point: the shaft runs from its upper cross through it, and its lower cross lies this far from \
             the upper. On the last shaft, whose lower cross follows from the gear, it places the upper one",
        ),
        Key::may("bore", LENGTH, "its fit on the bar is not judged", "bore of the bearing"),
        Key::may(
            "outside",
            LENGTH,
            "it takes no room of its own",
            "across its housing, the largest round the shaft's line: with `width` a room that must be clear like the shaft's",
        ),
        Key::may("width", LENGTH, "none; needed with `outside`", "of the housing, along the shaft"),
    ],
);

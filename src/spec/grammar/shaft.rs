//! Tables under `[[shaft]]`: its cut ends, its slip.

use super::{LENGTH, LENGTH_OR_NONE, keys};
use crate::spec::keys::{Key, Keys, Kind, Sign};

pub(super) static ENDS: Keys = keys(
    "ends = { .. }",
    "Ends of a round shaft that differ from its stock, each with a shoulder at its inner end.",
    &[
        Key::may("upper", Kind::Table(&UPPER_END), "as the stock", "the end toward the column"),
        Key::may("lower", Kind::Table(&LOWER_END), "as the stock", "the end toward the gear"),
    ],
);

const END_KEYS: &[Key] = &[
    Key::must("form", Kind::Form, "double-D milled on the bar, serrated, or round and turned down"),
    Key::must("length", LENGTH, "end face to the shoulder"),
    Key::may(
        "tooth",
        Kind::Angle(Sign::Any),
        "not known: the twist is judged at its worst case",
        "from the edges of the flats at the other end, or the punched line, to a tooth, clockwise seen from the column. \
         Only on a serrated end",
    ),
];

static UPPER_END: Keys = keys("upper = { .. }", "The shaft's end toward the column.", END_KEYS);

static LOWER_END: Keys = keys("lower = { .. }", "The shaft's end toward the gear.", END_KEYS);

pub(super) static SLIP: Keys = keys(
    "slip = { .. }",
    "Two members: the inner one is cut from `stock` and slides in the outer one.",
    &[
        Key::must("outer", Kind::Form, "outside of the outer member, without a bore"),
        Key::may(
            "fits",
            Kind::Form,
            "the form of `stock`; its play is then not judged",
            "hole of the outer member, through its whole length: double-D or serrated",
        ),
        Key::must("outer_end", Kind::Word(&["upper", "lower"]), "end of the shaft the outer member is at"),
        Key::must("extend", LENGTH_OR_NONE, "how much longer than taped it must get"),
        Key::must("collapse", LENGTH_OR_NONE, "how much shorter than taped it must get"),
        Key::must("least_overlap", LENGTH, "overlap left when fully extended, at least"),
    ],
);

pub(super) static JOURNAL: Keys = keys(
    "journal = { .. }",
    "A seat turned on the bar for its support bearing, its middle at the bearing's.",
    &[
        Key::must("diameter", LENGTH, "of the seat; all round, so under the flats of double-D bar"),
        Key::may("length", LENGTH, "its diameter", "from shoulder to shoulder: the bearing's width and its slide"),
    ],
);

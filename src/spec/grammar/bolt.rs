//! Bolts through several parts, in keys.

use super::LENGTH;
use crate::spec::keys::{Choice, Key, Keys, Kind, Need};

pub(super) static BOLT: Keys = Keys {
    title: "[[bolt]]",
    about: "One bolt through every plate and every wall of a rail between two points: each gets its hole.",
    keys: &[
        Key::must("name", Kind::Name, "its name; no other bolt may bear it"),
        Key::must("from", Kind::Point, "a point of its axis, on one side of all it holds"),
        Key::may("to", Kind::Point, "`along`", "a point of its axis on the other side"),
        Key::may("along", Kind::Direction, "`to`", "its direction from there; goes with `reach`"),
        Key::may("reach", LENGTH, "from `to`", "how far along it parts are looked for"),
        Key::must("bolt", Kind::Reference("a bolt size, then a fit"), "such as \"5/16 normal\" or \"M8 medium\""),
    ],
    choices: &[Choice { of: &["to", "along"], need: Need::Must }],
};

//! Rails and notches, in keys.

use super::{LENGTH, LENGTH_OR_NONE, SIGNED, at_most_one_of, keys, one_of};
use crate::spec::keys::{Choice, Key, Keys, Kind};

pub(super) static RAIL: Keys = Keys {
    title: "[[rail]]",
    about: "A straight length of frame rail.",
    keys: &[
        Key::must("name", Kind::Name, "its name; no other rail may bear it"),
        Key::must(
            "along",
            Kind::Points(2, 2),
            "two points on the line where the two named outer faces, extended flat, would meet",
        ),
        Key::must(
            "edge",
            Kind::Edge,
            "those faces, by the vehicle: top or bottom with left or right (front or rear on a crossmember); or centre",
        ),
        Key::may("tube", Kind::Table(&RAIL_TUBE), "another section", "rectangular tube"),
        Key::may("channel", Kind::Table(&CHANNEL), "another section", "channel"),
        Key::may("pipe", Kind::Table(&PIPE), "another section", "round tube"),
        Key::may("mark", Kind::Tables(&MARK), "none", "marks a tape can find"),
    ],
    choices: &[one_of(&["tube", "channel", "pipe"])],
};

const CORNER_OR_GIRTH: Choice = one_of(&["corner", "girth"]);

static RAIL_TUBE: Keys = Keys {
    title: "tube = { height, .. }",
    about: "A rectangular tube.",
    keys: &[
        Key::must("height", LENGTH, "up"),
        Key::must("width", LENGTH, "across"),
        Key::must("wall", LENGTH, "wall thickness"),
        Key::may("corner", LENGTH_OR_NONE, "`girth`", "outside corner radius"),
        Key::may("girth", LENGTH, "`corner`", "tape once round the outside"),
    ],
    choices: &[CORNER_OR_GIRTH],
};

static CHANNEL: Keys = Keys {
    title: "channel = { .. }",
    about: "A channel.",
    keys: &[
        Key::must("height", LENGTH, "up"),
        Key::must("width", LENGTH, "across"),
        Key::must("wall", LENGTH, "wall thickness"),
        Key::may("corner", LENGTH_OR_NONE, "`girth`", "outside corner radius"),
        Key::may("girth", LENGTH, "`corner`", "tape round the outside from lip to lip"),
        Key::must("open", Kind::Word(&["top", "bottom", "left", "right", "front", "rear"]), "its open side"),
    ],
    choices: &[CORNER_OR_GIRTH],
};

static PIPE: Keys = keys(
    "pipe = { .. }",
    "A round tube.",
    &[Key::must("diameter", LENGTH, "outside"), Key::must("wall", LENGTH, "wall thickness")],
);

static MARK: Keys = keys(
    "[[rail.mark]]",
    "A mark on a rail that a tape can find.",
    &[
        Key::must("name", Kind::Name, "its name; no other mark of the rail may bear it"),
        Key::must("at", SIGNED, "from the rail's first point along it"),
    ],
);

pub(super) static NOTCH: Keys = Keys {
    title: "[[notch]]",
    about: "A notch in a rail.",
    keys: &[
        Key::must("name", Kind::Name, "its name; no other notch may bear it"),
        Key::must("rail", Kind::Reference("a rail"), "the rail it is in"),
        Key::must("clearance", LENGTH, "what remains when liner, doublers and weld are on"),
        Key::may(
            "corner",
            LENGTH,
            "3/8 in, or 10 mm with `units = \"mm\"` (common practice, no source)",
            "least inside corner radius of the shop outline",
        ),
        Key::may(
            "shape",
            Kind::Word(&["true", "round", "straight"]),
            "\"true\"",
            "what is cut: the traced outline, a slot with round ends that holds it, or a rectangle along the rail",
        ),
        Key::may(
            "datum",
            Kind::Reference("a mark of that rail"),
            "the rail's first point",
            "where the template counts from",
        ),
        Key::may("for", Kind::References("parts of the linkage"), "all", "the parts it must clear"),
        Key::may("liner", Kind::Table(&LINER), "none", "part of a tube that closes the notch toward the rail's inside"),
        Key::may("sleeve", Kind::Table(&SLEEVE), "none", "a whole tube through both walls of the rail"),
        Key::may("doubler", Kind::Table(&DOUBLER), "none", "plates welded flat on the rail's faces"),
    ],
    choices: &[at_most_one_of(&["liner", "sleeve"])],
};

const TUBE_KEYS: &[Key] = &[
    Key::may("outside", LENGTH, "the least that keeps `clearance` inside it", "outside diameter"),
    Key::must("wall", LENGTH, "wall thickness"),
    Key::may(
        "axis",
        Kind::Word(&["shaft", "square"]),
        "\"shaft\"",
        "its axis: along the shaft that passes the rail, or square to the rail",
    ),
];

static LINER: Keys =
    keys("liner = { .. }", "Part of a tube, or plate rolled to one, welded into the notch.", TUBE_KEYS);

static SLEEVE: Keys = keys("sleeve = { .. }", "A whole tube, welded into both walls of the rail.", TUBE_KEYS);

static DOUBLER: Keys = keys(
    "doubler = { .. }",
    "Plates welded flat on the rail's faces, clear of its corners, with tapered ends.",
    &[
        Key::must("wall", LENGTH, "plate thickness"),
        Key::may("overrun", LENGTH, "the rail's height", "how far their ends stand past the notch"),
        Key::may("height", LENGTH, "all of the face's flat", "their height over the face, from its edge by the notch"),
        Key::may("faces", Kind::Word(&["upright", "all"]), "\"upright\"", "the faces they go on"),
    ],
);

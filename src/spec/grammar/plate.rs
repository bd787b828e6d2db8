//! Plates, their holes and openings, in keys.

use super::{LENGTH, LENGTH_OR_NONE, SIGNED, at_most_one_of, keys, one_of};
use crate::spec::keys::{Key, Keys, Kind, Sign};

pub(super) static PLATE: Keys = Keys {
    title: "[[plate]]",
    about: "A flat plate with holes and openings. The drawing shows its face; the material lies behind it.",
    keys: &[
        Key::must("name", Kind::Name, "its name; no other plate may bear it"),
        Key::may("origin", Kind::Point, "`square_to`", "(u, v) = (0, 0) on the face; goes with `right` and `up`"),
        Key::may("right", Kind::Point, "`square_to`", "a point in the direction of +u"),
        Key::may("up", Kind::Point, "`square_to`", "a point on the side of +v"),
        Key::may("square_to", Kind::Table(&SQUARE_TO), "`origin`, `right` and `up`", "square to an axis"),
        Key::must("outline", Kind::Table(&OUTLINE), "its outline"),
        Key::must("thick", LENGTH, "thickness"),
        Key::may("hole", Kind::Tables(&HOLE), "none", "sets of equal holes"),
        Key::may("opening", Kind::Tables(&OPENING), "none", "openings round parts of the linkage"),
        Key::may("bend", Kind::Tables(&BEND), "flat", "bends"),
        Key::may("need", LENGTH_OR_NONE, "6 mm", "gap wanted to parts of the linkage it has no opening for"),
    ],
    choices: &[one_of(&["origin", "square_to"])],
};

static SQUARE_TO: Keys = keys(
    "square_to = { .. }",
    "A plate square to the column's or the gear's axis. +w runs from its end away from the linkage.",
    &[
        Key::must("axis", Kind::Word(&["column", "gear"]), "whose axis"),
        Key::must("from_end", SIGNED, "from the shaft's end along the axis, away from the linkage"),
        Key::must("up", Kind::Direction, "direction of +v"),
        Key::must("zero", Kind::Pair, "(u, v) where the axis meets the plate"),
    ],
);

static OUTLINE: Keys = Keys {
    title: "outline = { .. }",
    about: "A rectangle from (0, 0), or the corners of any other outline in turn.",
    keys: &[
        Key::may("rectangle", Kind::Pair, "`polygon`", "width and height"),
        Key::may(
            "polygon",
            Kind::Pairs,
            "`rectangle`",
            "3 to 100 corners (u, v) in turn, either way round, where the straight edges would meet",
        ),
        Key::may("corner", LENGTH_OR_NONE, "0", "radius of every corner, inside corners too"),
    ],
    choices: &[one_of(&["rectangle", "polygon"])],
};

static HOLE: Keys = Keys {
    title: "[[plate.hole]]",
    about: "A set of equal holes.",
    keys: &[
        Key::must("name", Kind::Name, "its name; no other hole of the plate may bear it"),
        Key::may("at", Kind::Pairs, "`ring` or `grid`", "centres (u, v)"),
        Key::may("ring", Kind::Table(&RING), "`at` or `grid`", "centres on a circle"),
        Key::may("grid", Kind::Table(&GRID), "`at` or `ring`", "centres in rows"),
        Key::may(
            "mirror",
            Kind::Table(&MIRROR),
            "only where it says",
            "every hole once more on the other side of a line",
        ),
        Key::may(
            "bolt",
            Kind::Reference("a bolt size, then a fit"),
            "`drill` or `tap`",
            "clearance hole, such as \"5/16 normal\" or \"M8 medium\"",
        ),
        Key::may("drill", LENGTH, "`bolt` or `tap`", "diameter of a plain drilled hole"),
        Key::may(
            "tap",
            Kind::Reference("a thread of the catalogue"),
            "`bolt` or `drill`",
            "tapped, such as \"5/16-18\" or \"M8x1.25\": the catalogue has its drill",
        ),
        Key::may("slot", Kind::Table(&SLOT), "round", "drawn out into a slot"),
        Key::may(
            "depth",
            LENGTH,
            "through",
            "of a blind hole from the drawn face: to the end of its full diameter, or of its full thread",
        ),
        Key::may("countersink", Kind::Table(&COUNTERSINK), "none", "cone at its mouth, for a flat-head screw"),
    ],
    choices: &[one_of(&["at", "ring", "grid"]), one_of(&["bolt", "drill", "tap"]), at_most_one_of(&["slot", "depth"])],
};

static BEND: Keys = keys(
    "[[plate.bend]]",
    "A straight bend right across the plate. Give outline, holes and bend lines of the part as it is to be: each flange \
     measured on the drawn face to the line where that face and the next one, extended, would meet. The flat pattern \
     follows. The side with (0, 0) stays where the plate is placed.",
    &[
        Key::must("name", Kind::Name, "its name; no other bend of the plate may bear it"),
        Key::must("line", Kind::Pairs, "two points of the line where the two faces would meet"),
        Key::must("angle", Kind::Angle(Sign::Positive), "how far it is turned out of flat"),
        Key::must("way", Kind::Word(&["up", "down"]), "up: the flange turns toward who looks at the drawn face"),
        Key::must("inside", LENGTH, "inside radius"),
        Key::may(
            "k",
            Kind::Number(0.2, 0.5),
            "0.41, soft steel and aluminium (Machinery's Handbook, from memory)",
            "depth of the neutral line from the inside, in thicknesses; bend a strip of your sheet to find it",
        ),
    ],
);

static RING: Keys = keys(
    "ring = { .. }",
    "Centres on a circle, evenly spaced.",
    &[
        Key::must("centre", Kind::Pair, "centre of the circle (u, v)"),
        Key::must("diameter", LENGTH, "of the circle through the centres"),
        Key::must("count", Kind::Count(2, 100), "how many"),
        Key::may("start", Kind::Angle(Sign::Any), "0 deg", "of the first, from +u toward +v"),
    ],
);

static GRID: Keys = keys(
    "grid = { .. }",
    "Centres in rows.",
    &[
        Key::must("from", Kind::Pair, "the first centre (u, v)"),
        Key::must("step", Kind::Pair, "distance along u and along v"),
        Key::must("count", Kind::Counts(1, 30), "how many along u and along v"),
    ],
);

static MIRROR: Keys = keys(
    "mirror = { .. }",
    "Every hole once more across an upright line, a level line, or both: then there are four of each.",
    &[
        Key::may("u", SIGNED, "not sideways", "the upright line: the one at u goes again to 2 × this − u"),
        Key::may("v", SIGNED, "not up and down", "the level line, likewise"),
    ],
);

static SLOT: Keys = keys(
    "slot = { .. }",
    "A hole drawn out into a slot about its centre.",
    &[
        Key::must("length", LENGTH, "between the centres of its two ends"),
        Key::may("angle", Kind::Angle(Sign::Any), "0 deg", "from +u toward +v"),
    ],
);

static COUNTERSINK: Keys = keys(
    "countersink = { .. }",
    "A cone at a hole's mouth. With `bolt` an empty table takes both sizes from the flat-head screw of that bolt.",
    &[
        Key::may("angle", Kind::Angle(Sign::Positive), "82 deg of inch bolts, else 90 deg", "included angle"),
        Key::may("diameter", LENGTH, "largest head of the bolt's flat-head screw", "of the cone on the face"),
        Key::may("side", Kind::Word(&["face", "back"]), "face", "which face it is cut in; face is the drawn one"),
    ],
);

static OPENING: Keys = keys(
    "[[plate.opening]]",
    "An opening round a part of the linkage, carried through the thickness.",
    &[
        Key::must("name", Kind::Name, "its name; no other opening of the plate may bear it"),
        Key::must("around", Kind::Reference("a shaft, a joint, \"column\" or \"gear\""), "what passes through"),
        Key::must("clearance", LENGTH_OR_NONE, "kept all round the part, over all motions"),
        Key::may(
            "shape",
            Kind::Word(&["ellipse", "round", "slot"]),
            "as close as clearance and thickness let it; round about a joint, an ellipse where a motion moves the part",
            "a shape your shop can cut; the smallest such that keeps the clearance",
        ),
    ],
);

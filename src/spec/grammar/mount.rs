//! Tables of the column's mounts.

use super::{LENGTH, LENGTH_OR_NONE, keys};
use crate::spec::keys::{Key, Keys, Kind, Sign};

pub(super) static MOUNT: Keys = keys(
    "[column.mount]",
    "What holds the column's `tube`: at the dash a bracket with a split clamp, at floor or firewall a plate with another. \
     Each is a tab of sheet that stands in the plane of the column's axis, with a foot bent square onto the face, and two \
     equal clamp halves bent round the tube, whose ears take the tab between them. The parts come as plates and bolts, \
     named after the mount. The tab is cut to the angle between column and face, so nothing goes under it; the record \
     states the wedge, its thick side and its rise that a clamp or bracket without that angle would want there.",
    &[
        Key::may("keep_clear", Kind::Table(&KEEP_CLEAR), "not judged", "tube that must stay free of clamps"),
        Key::may("dash", Kind::Table(&DASH), "none", "bracket and clamp on a face under or before the dash"),
        Key::may("floor", Kind::Table(&FLOOR), "none", "plate, bracket and clamp on a floor or firewall"),
    ],
);

static KEEP_CLEAR: Keys = keys(
    "keep_clear = { .. }",
    "The stretch of tube that slides into another, or folds up, when the column telescopes or collapses; a clamp on it, or \
     reaching into it, would stop that. From the shaft's end up the column.",
    &[Key::must("from", LENGTH_OR_NONE, "its lower end"), Key::must("to", LENGTH, "its upper end")],
);

const AT: Key = Key::must("at", LENGTH, "middle of the clamp, from the shaft's end up the column");
const ORIGIN: Key = Key::must("origin", Kind::Point, "a point of the face that the foot stands on");
const RIGHT: Key = Key::must("right", Kind::Point, "a second point of it");
const UP: Key = Key::must("up", Kind::Point, "a third, off the line of the two: up on the drawing of a plate there");
const THICK: Key = Key::must("thick", LENGTH, "sheet of the tab and its foot");
const STRAP: Key = Key::may("strap", LENGTH, "`thick`", "sheet of the clamp's halves");
const INSIDE: Key = Key::may("inside", LENGTH, "`thick`", "inside radius of the foot's bend");
const WIDTH: Key = Key::may("width", LENGTH, "1 1/2 in or 40 mm", "of the clamp, along the column");
const BOLT: Key =
    Key::must("bolt", Kind::Reference("a bolt size, then a fit"), "all its bolts, such as \"5/16 normal\"");
const REACH: Key = Key::may(
    "reach",
    LENGTH,
    "1 in or 25 mm",
    "how far behind the face the foot's bolts look for rails and plates to go through",
);
const K: Key = Key::may(
    "k",
    Kind::Number(0.2, 0.5),
    "0.41, soft steel and aluminium (Machinery's Handbook, from memory)",
    "depth of the neutral line of every bend from its inside, in thicknesses",
);

static DASH: Keys = keys(
    "[column.mount.dash]",
    "A bracket that hangs from, or stands on, a face beside the column, and its clamp.",
    &[AT, ORIGIN, RIGHT, UP, THICK, STRAP, INSIDE, WIDTH, BOLT, REACH, K],
);

static FLOOR: Keys = keys(
    "[column.mount.floor]",
    "A plate on floor or firewall that the column passes, and a bracket with a clamp on it.",
    &[
        AT,
        ORIGIN,
        RIGHT,
        UP,
        THICK,
        STRAP,
        INSIDE,
        WIDTH,
        BOLT,
        REACH,
        K,
        Key::must("plate", Kind::Table(&PLATE), "the plate"),
    ],
);

static PLATE: Keys = keys(
    "plate = { .. }",
    "The plate of a floor mount: flat on the face, with an ellipse for the tube, and a bolt in each corner.",
    &[
        Key::must("thick", LENGTH, "its thickness"),
        Key::must("clearance", LENGTH_OR_NONE, "kept all round the tube"),
        Key::may("size", Kind::Pair, "what opening and foot need", "width and height"),
        Key::may("corner", Kind::Length(Sign::NotNegative), "1/4 in or 6 mm", "radius of its corners"),
    ],
);

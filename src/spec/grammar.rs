//! The tables of a spec and their keys.

mod as_built;
mod bolt;
mod chain;
mod clocking;
mod mock_up;
mod motion;
mod mount;
mod plate;
mod rail;
mod shaft;
mod survey;

use super::keys::{Choice, Key, Keys, Kind, Need, Sign};
use as_built::AS_BUILT;
use bolt::BOLT;
use chain::{BEARING, DOUBLE};
use clocking::{CLOCKING, DIMPLE_FACTOR, TILT};
use mock_up::{BESIDE, MOCKUP};
use motion::MOTION;
use mount::MOUNT;
use plate::PLATE;
use rail::{NOTCH, RAIL};
use shaft::{ENDS, JOURNAL, SLIP};
use survey::SURVEY;

const LENGTH: Kind = Kind::Length(Sign::Positive);
const LENGTH_OR_NONE: Kind = Kind::Length(Sign::NotNegative);
const SIGNED: Kind = Kind::Length(Sign::Any);

const fn keys(title: &'static str, about: &'static str, keys: &'static [Key]) -> Keys {
    Keys { title, about, keys, choices: &[] }
}

const fn one_of(of: &'static [&'static str]) -> Choice {
    Choice { of, need: Need::Must }
}

const fn at_most_one_of(of: &'static [&'static str]) -> Choice {
    Choice { of, need: Need::May("none") }
}

/// The file itself.
pub(super) static ROOT: Keys = keys(
    "the spec",
    "One file describes one steering linkage, from the column's end to the gear's.",
    &[
        Key::must("format", Kind::Count(1, 1), "version of this format"),
        Key::must("build", Kind::Table(&BUILD), "what the sheets are headed with, and the unit of bare numbers"),
        Key::may("output", Kind::Table(&OUTPUT), "defaults below", "paper and file choices"),
        Key::may("points", Kind::Open("point"), "none", "names for points: `\"frame datum\" = [30, -13, 6]`"),
        Key::may("survey", Kind::Table(&SURVEY), "points are stated as coordinates", "readings of tape and level"),
        Key::must("column", Kind::Table(&COLUMN), "the driving end"),
        Key::must("gear", Kind::Table(&GEAR), "the driven end, of a rack or box"),
        Key::must("joint", Kind::Tables(&JOINT), "2 to 8 joints, in order from column to gear"),
        Key::must("shaft", Kind::Tables(&SHAFT), "one fewer than joints, in order from the column"),
        Key::may("load", Kind::Table(&LOAD), "strength is not judged", "design load"),
        Key::may("clocking", Kind::Table(&CLOCKING), "straight ahead is not looked at", "straight ahead"),
        Key::may(
            "dimple",
            Kind::Table(&DIMPLE),
            "from each screw's point",
            "size of every dimple that has none of its own",
        ),
        Key::may("rail", Kind::Tables(&RAIL), "none", "straight lengths of frame rail"),
        Key::may("notch", Kind::Tables(&NOTCH), "none", "notches in rails"),
        Key::may("plate", Kind::Tables(&PLATE), "none", "brackets and firewall"),
        Key::may("bolt", Kind::Tables(&BOLT), "none", "bolts through several plates and rails"),
        Key::may("obstacle", Kind::Tables(&OBSTACLE), "none", "what must be cleared"),
        Key::may("motion", Kind::Tables(&MOTION), "nothing moves", "how arms, engine and body move"),
        Key::may(
            "limits",
            Kind::Open("rule code"),
            "each rule's own",
            "limits in place of a rule's own, by the rule's code",
        ),
        Key::may("as_built", Kind::Table(&AS_BUILT), "nothing is compared with the plan", "what was made"),
        Key::later("catalogue", "write the form or joint out in the spec itself"),
    ],
);

static BUILD: Keys = keys(
    "[build]",
    "What the sheets are headed with. Texts may hold any writing but control characters, up to 1000 characters.",
    &[
        Key::must("title", Kind::Text, "title of the job"),
        Key::may("owner", Kind::Text, "left out", "legal owner of the drawings: your shop"),
        Key::may("vehicle", Kind::Text, "left empty", "the vehicle it is for"),
        Key::may("record", Kind::Text, "left empty", "build-record number"),
        Key::may("revision", Kind::Text, "left empty", "revision index"),
        Key::may("drawn_by", Kind::Text, "left empty", "who drew it"),
        Key::may("date", Kind::Date, "left empty", "printed on every sheet; never taken from the clock"),
        Key::must("units", Kind::Word(&["in", "mm"]), "unit of bare numbers, and first on drawings"),
        Key::may("tape_step", LENGTH, "1/32 in, or 1 mm with `units = \"mm\"`", "finest mark you read on the tape"),
        Key::may(
            "general",
            Kind::Word(&["ISO 2768-f", "ISO 2768-m", "ISO 2768-c", "ISO 2768-v"]),
            "ISO 2768-m",
            "general tolerance class",
        ),
    ],
);

static OUTPUT: Keys = keys(
    "[output]",
    "Paper and file choices.",
    &[
        Key::may("sheet", Kind::Sheet, "letter, or a4 with `units = \"mm\"`", "sheet of the drawings and templates"),
        Key::may(
            "projection",
            Kind::Word(&["third", "first"]),
            "third, or first with `units = \"mm\"`",
            "third- or first-angle projection",
        ),
        Key::may("step_schema", Kind::Word(&["ap242", "ap214"]), "ap242", "application protocol of the STEP files"),
        Key::may("step_unit", Kind::Word(&["mm", "in"]), "mm", "length unit of the STEP files"),
        Key::may(
            "print_correction",
            Kind::Numbers(0.9, 1.1),
            "[1.0, 1.0]",
            "what a 100-unit printed rule measured, across and up, over 100; acts on PDF only",
        ),
        Key::may(
            "least_hole",
            Kind::Number(0.0, 5.0),
            "1.0",
            "smallest hole the cutter makes, in thicknesses of the plate; a smaller one is a centre mark in the cut file, to be drilled; 0 keeps every hole",
        ),
    ],
);

const AXIS: Choice = Choice { of: &["toward", "beyond"], need: Need::Place };

pub(super) static COLUMN: Keys = Keys {
    title: "[column]",
    about: "The driving end. Its axis runs down the column, out of its end.",
    keys: &[
        Key::place("end", "centre of the output shaft's end face"),
        Key::may("toward", Kind::Point, "`beyond`", "a second point on its axis, on the wheel's side"),
        Key::may("beyond", Kind::Point, "`toward`", "a second point on its axis, on the linkage's side"),
        Key::must("form", Kind::Form, "end form of the shaft"),
        Key::must("exposed", LENGTH, "straight length a hub can slide over"),
        Key::may("groove", LENGTH, "no groove", "end face to the centre of a pinch groove"),
        Key::may("tube", LENGTH, "no tube is checked for clearance", "outside diameter of the column tube"),
        Key::may(
            "tilt",
            Kind::Table(&TILT),
            "it does not tilt, or its end stays",
            "tilt that takes the shaft's end along",
        ),
        Key::may("mount", Kind::Table(&MOUNT), "none", "brackets and clamps that hold its tube"),
    ],
    choices: &[AXIS],
};

static GEAR: Keys = Keys {
    title: "[gear]",
    about: "The driven end. Its axis runs into the gear.",
    keys: &[
        Key::place("end", "centre of the input shaft's end face"),
        Key::may("toward", Kind::Point, "`beyond`", "a second point on its axis, into the gear"),
        Key::may(
            "beyond",
            Kind::Point,
            "`toward`",
            "tip of a straight tube slipped over the shaft, on the linkage's side",
        ),
        Key::must("form", Kind::Form, "end form of the shaft"),
        Key::must("exposed", LENGTH, "straight length a hub can slide over"),
        Key::may("groove", LENGTH, "no groove", "end face to the centre of a pinch groove"),
    ],
    choices: &[AXIS],
};

/// An end form.
pub(super) static FORM: Keys = Keys {
    title: "{ form }",
    about: "An end form, hole or bar in place of a catalogue name.",
    keys: &[
        Key::may("dd", Kind::Table(&DD), "another form", "round with two parallel flats"),
        Key::may("serrated", Kind::Table(&SERRATED), "another form", "serrated or splined"),
        Key::may("round", Kind::Table(&ROUND), "another form", "plain round"),
    ],
    choices: &[one_of(&["dd", "serrated", "round"])],
};

static DD: Keys = keys(
    "dd = { .. }",
    "Double-D: round with two parallel flats. There is no standard for the flats: measure yours.",
    &[
        Key::must("diameter", LENGTH, "of the round"),
        Key::must("flats", LENGTH, "across the flats"),
        Key::may("bore", LENGTH, "solid", "bore of a hollow bar"),
    ],
);

static SERRATED: Keys = keys(
    "serrated = { .. }",
    "Serrated or splined. Measure the outside diameter; count half the teeth and double.",
    &[
        Key::must("teeth", Kind::Count(6, 120), "teeth in the full circle"),
        Key::must("diameter", LENGTH, "outside diameter"),
        Key::may("master", Kind::Flag, "false", "a master tooth or flat: goes on in one position only"),
    ],
);

static ROUND: Keys = keys(
    "round = { .. }",
    "Plain round.",
    &[Key::must("diameter", LENGTH, "outside diameter"), Key::may("bore", LENGTH, "solid", "bore of a hollow bar")],
);

/// One joint.
pub(super) static JOINT: Keys = keys(
    "[[joint]]",
    "A universal joint with its two hubs.",
    &[
        Key::must("name", Kind::Name, "its name; no other joint or shaft may bear it"),
        Key::may(
            "part",
            Kind::Reference("a joint of the catalogue"),
            "every key is your own",
            "a catalogue part; every key given here overrides its own",
        ),
        Key::must("swing", LENGTH, "diameter swept by the yokes' ears"),
        Key::may("hub", LENGTH, "`swing`", "largest diameter swept by the hubs, screw heads and lock nuts included"),
        Key::may(
            "limit",
            Kind::Angle(Sign::Positive),
            "30 deg, a double joint 60 deg (common practice, no source)",
            "largest working angle, of a double joint in all",
        ),
        Key::may(
            "centre",
            Kind::Point,
            "first and last follow from column and gear",
            "cross centre, of a double joint where its two shafts' axes meet; every joint between two shafts must have \
             it, or a place by `to` of a bearing, and no other",
        ),
        Key::may("double", Kind::Table(&DOUBLE), "a single joint", "two crosses in one housing"),
        Key::may("rating", Kind::Table(&RATING), "not judged", "rated torque"),
        Key::may(
            "trunnions",
            LENGTH,
            "the force on them is not told",
            "between the middles of the two bearings on one line of the cross",
        ),
        Key::must("upper", Kind::Table(&UPPER), "hub on the column's side"),
        Key::must("lower", Kind::Table(&LOWER), "hub on the gear's side"),
    ],
);

static RATING: Keys = keys(
    "rating = { .. }",
    "A joint's rated torque, and where the figure is from.",
    &[Key::must("torque", Kind::Torque, "rated torque"), Key::must("source", Kind::Text, "where the figure is from")],
);

const HUB: &[Key] = &[
    Key::must("fits", Kind::Form, "the hole"),
    Key::must(
        "reach",
        Kind::LengthOr(&REACH),
        "cross centre to the hub's outer face; or face to the near and far edge of a bearing cap",
    ),
    Key::must(
        "depth",
        LENGTH,
        "outer face to where the shaft end must stop: inner mouth of a through bore, or floor of a blind one",
    ),
    Key::may("bite", LENGTH, "`depth`", "length of full bore form, less counterbore and chamfer"),
    Key::may("seat", LENGTH_OR_NONE, "0", "holds the shaft end back from flush"),
    Key::may(
        "ears",
        Kind::Ears,
        "error on a double-D hole",
        "from the long straight edges of the hole to the line through the ears: parallel, the edges point at the ears; \
         across, the flats face them. Only on a double-D hole",
    ),
    Key::may("turned", Kind::Flag, "false", "slid on 180 degrees round"),
    Key::may("screws", Kind::Tables(&SCREW), "none", "set screws, an entry each"),
    Key::may("pinch", Kind::Table(&PINCH), "none", "pinch bolt across a groove"),
    Key::may("weld", Kind::Flag, "false", "welded on; always warns"),
    Key::may(
        "tooth",
        Kind::Angle(Sign::Any),
        "not known: the twist is judged at its worst case",
        "from a tooth of the hole to the line through the ears, clockwise seen from the column. Only on a serrated hole",
    ),
];

static UPPER: Keys = Keys {
    title: "[joint.upper]",
    about: "The hub on the column's side.",
    keys: HUB,
    choices: &[at_most_one_of(&["screws", "pinch", "weld"])],
};

static LOWER: Keys = Keys {
    title: "[joint.lower]",
    about: "The hub on the gear's side.",
    keys: HUB,
    choices: &[at_most_one_of(&["screws", "pinch", "weld"])],
};

static REACH: Keys = keys(
    "reach = { .. }",
    "Reach by a bearing cap: the cross centre lies midway between its two edges.",
    &[Key::must("cap", Kind::Pair, "outer face to the near and to the far edge of the cap")],
);

static SCREW: Keys = keys(
    "screws = [{ .. }]",
    "One set screw.",
    &[
        Key::must("at", LENGTH, "from the hub's outer face"),
        Key::must("thread", Kind::Reference("a thread of the catalogue"), "such as \"5/16-18\" or \"M8x1.25\""),
        Key::must("point", Kind::Word(&["cup", "cone", "dog", "flat"]), "its point"),
        Key::may("jam", Kind::Flag, "false", "a lock nut on it"),
        Key::may("on", Kind::Word(&["flat", "round"]), "flat on double-D, else round", "side of the shaft it bears on"),
        Key::may(
            "spot",
            Kind::Word(&["drill", "fit", "none"]),
            "drill; none on a serrated shaft, which may be hard",
            "dimple made on the bench from the drawing, through the hub on assembly, or not at all",
        ),
        Key::may("dimple", Kind::Table(&SCREW_DIMPLE), "`[dimple]`, then the screw's point", "size of its dimple"),
    ],
);

const DIMPLE_KEYS: &[Key] = &[
    Key::may("drill", Kind::Angle(Sign::Positive), "from the screw's point", "included angle of the drill's point"),
    Key::may("depth", LENGTH, "from the screw's point", "cone tip below the struck flat or crest"),
    Key::may("diameter", LENGTH, "from the screw's point", "of the drill: cone, then a straight wall to depth"),
];

static DIMPLE: Keys = keys("[dimple]", "Size of every dimple that has none of its own.", DIMPLE_KEYS);

static SCREW_DIMPLE: Keys = keys("dimple = { .. }", "Size of one screw's dimple.", DIMPLE_KEYS);

static PINCH: Keys = keys(
    "pinch = { .. }",
    "A pinch bolt that lies in a groove of the shaft, so that the shaft cannot pull out even if it is loose.",
    &[
        Key::must("at", LENGTH, "from the hub's outer face to the bolt's axis"),
        Key::must("bolt", Kind::Reference("a thread of the catalogue"), "its thread"),
        Key::must("offset", LENGTH, "shaft axis to bolt axis"),
    ],
);

static SHAFT: Keys = keys(
    "[[shaft]]",
    "A shaft between two joints.",
    &[
        Key::must("name", Kind::Name, "its name; no other joint or shaft may bear it"),
        Key::must("stock", Kind::Form, "the bar it is cut from"),
        Key::must("material", Kind::Reference("a material of the catalogue"), "its material"),
        Key::may("tolerance", Kind::Table(&TOLERANCE), "from `build.general`", "± on its dimensions"),
        Key::may(
            "leave",
            LENGTH_OR_NONE,
            "1/8 in, or 3 mm with `units = \"mm\"`",
            "left on when sawing, before fitting",
        ),
        Key::may("chamfer", LENGTH, "none", "chamfer of both ends"),
        Key::may("ends", Kind::Table(&ENDS), "as the stock", "ends turned or milled on round bar"),
        Key::may(
            "twist",
            Kind::Twist,
            "what the two hubs give",
            "yoke phase the ends are made for: best, or an angle from the upper yoke to the lower. Only with an end that \
             is milled or welded",
        ),
        Key::may("slip", Kind::Table(&SLIP), "one rigid piece", "two members that slide in one another"),
        Key::may(
            "bearing",
            Kind::Table(&BEARING),
            "none",
            "support bearing; every shaft past the first but one needs one",
        ),
        Key::may(
            "journal",
            Kind::Table(&JOURNAL),
            "none: the bearing runs on the bar",
            "a seat turned for the bearing",
        ),
        Key::may(
            "mockup",
            Kind::Table(&MOCKUP),
            "the places of column and gear",
            "taped and gauged with the joints hung loosely; alone, or beside the places and compared with them",
        ),
    ],
);

static TOLERANCE: Keys = keys(
    "tolerance = { .. }",
    "± on a shaft's dimensions.",
    &[
        Key::may("length", LENGTH, "from `build.general` at the finished length", "± on the finished length"),
        Key::may("station", LENGTH, "from `build.general` at the farthest dimple's station", "± on dimple stations"),
    ],
);

static LOAD: Keys = keys(
    "[load]",
    "What the linkage is judged for.",
    &[
        Key::must("wheel_torque", Kind::Torque, "design torque at the wheel"),
        Key::may(
            "dimple_factor",
            Kind::Table(&DIMPLE_FACTOR),
            "shear at the dimples stays open",
            "rise of shear there",
        ),
    ],
);

static OBSTACLE: Keys = Keys {
    title: "[[obstacle]]",
    about: "Something that must be cleared.",
    keys: &[
        Key::must("name", Kind::Name, "its name; no other obstacle may bear it"),
        Key::may("tube", Kind::Table(&TUBE), "another shape", "round tube along a path, flat ends"),
        Key::may("ball", Kind::Table(&BALL), "another shape", "ball"),
        Key::may("box", Kind::Table(&BOX), "another shape", "box"),
        Key::may(
            "kind",
            Kind::Word(&["frame", "engine", "exhaust", "suspension"]),
            "no kind",
            "what it is; sets the gap wanted where `need` is left out",
        ),
        Key::may("need", LENGTH_OR_NONE, "from `kind`", "gap wanted"),
        Key::may(
            "beside",
            Kind::Table(&BESIDE),
            "another shape",
            "its nearest point, measured from a string stretched along a shaft; needs no coordinates",
        ),
        Key::later("mesh", "enclose it in a tube, ball or box"),
    ],
    choices: &[one_of(&["tube", "ball", "box", "mesh", "beside"])],
};

static TUBE: Keys = keys(
    "tube = { path, .. }",
    "A round tube along a path.",
    &[
        Key::must("path", Kind::Points(2, 100), "corner points of its centre line"),
        Key::must("diameter", LENGTH, "outside"),
        Key::may("bend", LENGTH, "sharp corners", "radius of the centre line at every inner point"),
    ],
);

static BALL: Keys = keys(
    "ball = { .. }",
    "A ball.",
    &[Key::must("centre", Kind::Point, "its centre"), Key::must("diameter", LENGTH, "its diameter")],
);

static BOX: Keys = keys(
    "box = { .. }",
    "A box, square or skew.",
    &[
        Key::must("corner", Kind::Point, "one corner"),
        Key::must("edges", Kind::Points(3, 3), "three edges from that corner, each as [x, y, z]"),
    ],
);

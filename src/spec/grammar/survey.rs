//! The tables of a survey and their keys.

use super::{LENGTH, SIGNED, keys};
use crate::spec::keys::{Key, Keys, Kind, Sign};

/// A point of a survey by name.
const POINT: Kind = Kind::Reference("a point");

const SIGMA: &str = "one standard deviation of this reading, where it was harder or easier to take than the rest";

pub(super) static SURVEY: Keys = keys(
    "[survey]",
    "What was taken with tape, straight edge, level and angle finder. Its points stand wherever a point is wanted, by \
     name.",
    &[
        Key::may("tape_sigma", LENGTH, "1.5 mm", "one standard deviation of a length read by hand"),
        Key::may("level_sigma", Kind::Angle(Sign::Positive), "0.2 deg", "one standard deviation of an angle finder"),
        Key::may(
            "rake",
            Kind::Angle(Sign::Any),
            "0: level from front to rear",
            "what a level laid along the frame shows, rear high is more than 0; offsets and slopes are read against \
             level and plumb all the same",
        ),
        Key::may(
            "roll",
            Kind::Angle(Sign::Any),
            "0: level from side to side",
            "what a level laid across the frame shows, right side low is more than 0",
        ),
        Key::may("mark", Kind::Tables(&MARK), "none", "fixed datum marks"),
        Key::may("tape", Kind::Tables(&TAPE), "none", "straight distances"),
        Key::may("offset", Kind::Tables(&OFFSET), "none", "heights, and distances from centre line or axle line"),
        Key::may("slope", Kind::Tables(&SLOPE), "none", "angles that an angle finder shows"),
        Key::may("start", Kind::Tables(&START), "found by the program", "rough places that settle which side is meant"),
    ],
);

static MARK: Keys = keys(
    "[[survey.mark]]",
    "A datum mark whose place is laid down, not measured.",
    &[Key::must("name", POINT, "its name; no other point may bear it"), Key::must("at", Kind::Point, "its place")],
);

static TAPE: Keys = keys(
    "[[survey.tape]]",
    "A straight distance. A name not seen before is a new point to be found.",
    &[
        Key::must("from", POINT, "a mark, a name under [points], or a point to be found"),
        Key::must("to", POINT, "the other end"),
        Key::may(
            "skin",
            LENGTH,
            "taken to the point itself",
            "diameter of the round whose near skin the tape was held to; its centre is half of that farther",
        ),
        Key::may("reads", LENGTH, "still to be taken", "what the tape shows"),
        Key::may("sigma", LENGTH, "`tape_sigma`", SIGMA),
    ],
);

static OFFSET: Keys = keys(
    "[[survey.offset]]",
    "One coordinate of a point, with its sign: height over the level plane through zero, distance from the centre line \
     or axle line.",
    &[
        Key::must("of", POINT, "the point"),
        Key::must("along", Kind::Word(&["x", "y", "z"]), "rearward, to the right, or up"),
        Key::may("reads", SIGNED, "still to be taken", "what the tape shows, with its sign"),
        Key::may("sigma", LENGTH, "`tape_sigma`", SIGMA),
    ],
);

static SLOPE: Keys = keys(
    "[[survey.slope]]",
    "What an angle finder shows on the line between two points: the acute angle, without a sign.",
    &[
        Key::must("from", POINT, "one point of the line"),
        Key::must("to", POINT, "the other"),
        Key::must(
            "view",
            Kind::Word(&["side", "plan", "true"]),
            "seen from the side (against x), from above (against x), or laid on the line itself (against level)",
        ),
        Key::may("reads", Kind::Angle(Sign::NotNegative), "still to be taken", "what it shows, 0 to 90 deg"),
        Key::may("sigma", Kind::Angle(Sign::Positive), "`level_sigma`", SIGMA),
    ],
);

static START: Keys = keys(
    "[[survey.start]]",
    "A rough place of a point, where the readings alone allow two. It settles the side and weighs nothing.",
    &[Key::must("of", POINT, "the point"), Key::must("near", Kind::Point, "roughly where it is")],
);

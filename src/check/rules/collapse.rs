//! What no drawing can show: that the column still collapses.

use super::{Confidence, Rule};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "collapse",
    title: "column still collapses in a crash",
    limit: None,
    confidence: Confidence::A,
    source: "UN R12 and 49 CFR 571.204: at most 127 mm rearward in a 48 km/h barrier crash (from memory)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    case.open(
        "column",
        "not judged: the column must collapse as it was made after every bracket and clamp is on, and nothing here \
         certifies the build; have a licensed engineer or certifier look before the road",
    );
}

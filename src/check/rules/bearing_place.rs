//! A bearing stands clear of the hubs on its shaft.

use super::{Confidence, Rule, length};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "bearing-place",
    title: "support bearing clear of the hubs (from its middle)",
    limit: Some(length(20.0)),
    confidence: Confidence::D,
    source: "common practice, no source: half of a 3/4 in rod end's head and a nut on either side; 20 mm taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    let joints = &case.spec.joints;
    for (shaft, hubs) in case.solution.shafts.iter().zip(joints.iter().zip(joints.iter().skip(1))) {
        let Some(bearing) = &shaft.bearing else { continue };
        let above = bearing.station - hubs.0.lower.reach;
        let below = shaft.centre_distance - bearing.station - hubs.1.upper.reach;
        let subject = format!("bearing of shaft {}", shaft.name);
        case.at_least(&subject, "middle to the nearer hub", above.min(below), limit, "mm", "move it along the shaft");
    }
}

//! The tape of a mock-up and the taped positions give one distance between the hubs' faces.

use super::{Confidence, Rule, length};
use crate::check::case::Case;
use crate::spec::types::Layout;

pub(super) const RULE: Rule = Rule {
    code: "mock-up-length",
    title: "mock-up and positions agree on the distance between the hubs",
    // Two ends placed and a tape laid, each good to a standard deviation of 1.5 mm by hand: 2 × √3 × 1.5 = 5.2.
    limit: Some(length(5.0)),
    confidence: Confidence::D,
    source: "two standard deviations of three readings by hand, 1.5 mm each: common practice, no source",
    judge,
};

fn judge(case: &mut Case<'_>) {
    if case.spec.layout == Layout::MockUp {
        return;
    }
    let limit = case.limit();
    for (i, (shaft, result)) in case.spec.shafts.iter().zip(&case.solution.shafts).enumerate() {
        let (Some(mock_up), Some([upper, lower])) = (shaft.mock_up, case.spec.joints.get(i..i + 2)) else { continue };
        let found = result.centre_distance - upper.lower.reach - lower.upper.reach;
        let what = format!(
            "face to face {} by the mock-up, {} by the positions: apart by",
            case.length(mock_up.faces),
            case.length(found)
        );
        let remedy = "tape both ends and the mock-up again; the shaft is cut by the positions";
        let subject = format!("shaft {}", shaft.name);
        case.at_most(&subject, &what, (found - mock_up.faces).abs(), limit, "mm", remedy);
    }
}

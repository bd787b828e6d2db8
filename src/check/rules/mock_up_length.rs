//! The tape of a mock-up and the taped positions give one distance between the hubs' faces.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::spec::types::Axes;

pub(super) const RULE: Rule = Rule {
    code: "mock-up-length",
    title: "mock-up and positions agree on the distance between the hubs",
    // Two ends placed and a tape laid, each good to a standard deviation of 1.5 mm by hand: 2 × √3 × 1.5 = 5.2.
    limit: Some(length(5.0)),
    confidence: Confidence::D,
    source: "two standard deviations of three readings by hand, 1.5 mm each: common practice, no source; past twice \
             that one of them is wrong",
    judge,
};

/// What `off` means: past the limit a warning, past twice the limit no reading by hand explains it. A limit that the
/// spec states itself is one to keep.
pub(super) fn verdict(case: &Case<'_>, off: f64, limit: f64) -> Status {
    if off <= limit + SLACK {
        Status::Pass
    } else if off <= 2.0 * limit {
        case.beyond()
    } else {
        Status::Fail
    }
}

fn judge(case: &mut Case<'_>) {
    if case.spec.axes == Axes::MockUp {
        return;
    }
    let limit = case.limit();
    for (i, (shaft, result)) in case.spec.shafts.iter().zip(&case.solution.shafts).enumerate() {
        let (Some(mock_up), Some([upper, lower])) = (shaft.mock_up, case.spec.joints.get(i..i + 2)) else { continue };
        let found = result.centre_distance - upper.lower.reach - lower.upper.reach;
        let off = (found - mock_up.faces).abs();
        let mut message = format!(
            "face to face {} by the mock-up, {} by the positions: apart by {}, at most {}",
            case.length(mock_up.faces),
            case.length(found),
            case.length(off),
            case.length(limit)
        );
        let status = verdict(case, off, limit);
        if status != Status::Pass {
            message += ": tape both ends and the mock-up again before cutting; the shaft follows the positions";
        }
        case.say(status, &format!("shaft {}", shaft.name), (Some(off), Some(limit)), "mm", message);
    }
}

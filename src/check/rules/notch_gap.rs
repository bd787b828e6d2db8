//! A notch leaves the room it was asked for.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "notch-gap",
    title: "notch clears what passes through it",
    limit: None,
    confidence: Confidence::A,
    source: "the notch's clearance in the spec",
    judge,
};

/// The gap is a lower bound, at most 1e-5 mm under the true one; a tenth of a micrometre is no gap to a shop (mm).
const BOUND: f64 = 1e-4;

fn judge(case: &mut Case<'_>) {
    for (notch, result) in case.spec.notches.iter().zip(&case.solution.notches) {
        let subject = format!("notch {}", notch.name);
        let pair = (Some(result.gap_left), Some(notch.clearance));
        let just = (result.gap_left - notch.clearance).abs() <= BOUND;
        let found = if just {
            format!("gap left just the {} asked for", case.length(notch.clearance))
        } else {
            format!("gap left {}, needs {}", case.length(result.gap_left), case.length(notch.clearance))
        };
        let (status, message) = if result.shop.is_empty() {
            (Status::Warn, "nothing to cut: leave the notch out, or check the rail's place and the clearance".into())
        } else if !result.gap_left.is_finite() || !result.certified.is_finite() {
            (Status::Open, format!("{found}: the trace is not certain"))
        } else if result.gap_left < notch.clearance - BOUND {
            let help = result.liner.as_ref().filter(|liner| liner.gap < notch.clearance - BOUND).map_or_else(
                || "the outline is not enough".to_owned(),
                |liner| {
                    let word = liner.kind.word();
                    format!(
                        "the bore of its {word} is too small, give `outside` at least {}",
                        case.length(liner.outside_least)
                    )
                },
            );
            (Status::Fail, format!("{found}: {help}"))
        } else {
            (Status::Pass, found)
        };
        case.say(status, &subject, pair, "mm", message);
    }
}

//! More than two joints need a bearing for every shaft more.

use std::cmp::Ordering;

use super::{Confidence, Rule, shaft_span};
use crate::check::Status;
use crate::check::case::Case;
use crate::solve::solution::ShaftResult;

/// Joints that stand without a bearing: two Hooke joints between two fixed axes locate the shaft between them.
const STANDING: usize = 2;

pub(super) const RULE: Rule = Rule {
    code: "support-bearing",
    title: "a support bearing for every joint past the second",
    limit: None,
    confidence: Confidence::A,
    source: "mobility count: every joint past the second is free in two directions until a shaft beside it has a bearing",
    judge,
};

fn judge(case: &mut Case<'_>) {
    // A centred double is one joint: its housing cannot float.
    let joints = case.solution.joints.len();
    let wanted = joints.saturating_sub(STANDING);
    let found = case.solution.shafts.iter().filter(|shaft| shaft.bearing.is_some()).count();
    let pair = (Some(found as f64), Some(wanted as f64));
    let count = |n: usize| match n {
        0 => "no support bearing".to_owned(),
        1 => "1 support bearing".to_owned(),
        n => format!("{n} support bearings"),
    };
    let state = format!(
        "{joints} joints and {}, {} wanted",
        count(found),
        if wanted == 0 { "none".into() } else { wanted.to_string() }
    );
    // A long shaft wants a bearing whatever the count; it only has to be lined up.
    let held_for_length = |shaft: &&ShaftResult| shaft.bearing.is_some() && shaft_span::is_long(case, shaft);
    let long = case.solution.shafts.iter().filter(held_for_length).count();
    let (status, message) = match found.cmp(&wanted) {
        Ordering::Less => {
            let bare = case.solution.shafts.iter().filter(|shaft| shaft.bearing.is_none());
            let names: Vec<String> = bare.map(|shaft| format!("\"{}\"", shaft.name)).collect();
            (
                Status::Fail,
                format!(
                    "{state}: a joint between two shafts without one hangs loose and whips; give all but one of the shafts {} a bearing",
                    names.join(", ")
                ),
            )
        }
        Ordering::Greater if found - wanted <= long => {
            (Status::Pass, format!("{state}; the rest hold long shafts: line them up in place"))
        }
        Ordering::Greater => (
            Status::Warn,
            format!(
                "{state}: the line is held more often than it needs, so a bearing a little off binds; leave one out, or line them up in place"
            ),
        ),
        Ordering::Equal => (Status::Pass, state),
    };
    case.say(status, "linkage", pair, "", message);
}

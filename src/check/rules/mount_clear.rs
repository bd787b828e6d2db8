//! A column that telescopes or collapses still can with its clamps on.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};

pub(super) const RULE: Rule = Rule {
    code: "mount-clear",
    title: "clamps clear of the tube that slides or folds up when the column collapses",
    limit: Some(length(3.0)),
    confidence: Confidence::D,
    source: "collapsible function must be kept: South Australian state guidance on steering modifications (from memory); \
             3 mm between: common practice, no source",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for mount in &case.solution.mounts {
        let subject = format!("{} clamp", mount.name);
        let Some(clear) = mount.clear_by else {
            let message = "nothing says which tube slides or folds up when the column collapses: find out, and state \
                           column.mount.keep_clear";
            case.open(&subject, message);
            continue;
        };
        if clear <= SLACK {
            let over = case.length(-clear);
            let message =
                format!("it stands {over} on tube that must stay free: move it, or the column cannot collapse");
            case.say(Status::Fail, &subject, (Some(clear), Some(limit)), "mm", message);
        } else {
            case.at_least(
                &subject,
                "free tube beside what must stay clear",
                clear,
                limit,
                "mm",
                "move it along the column",
            );
        }
    }
}

//! What holds a hub on its shaft.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, HubAt};
use crate::spec::types::{Hold, Screw, Spot};

pub(super) const RULE: Rule = Rule {
    code: "retention",
    title: "hub held on its shaft",
    limit: None,
    confidence: Confidence::D,
    source: "common practice, no source: set screw in a dimple with a lock nut, or a pinch bolt across a groove; \
             no welding on steering parts (South Australian guidance on steering modifications, VSB 14 LS; from memory)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for at in case.hubs() {
        let (status, message) = held(&at);
        case.say(status, &at.subject, (None, None), "", message);
    }
}

fn held(at: &HubAt<'_>) -> (Status, String) {
    match &at.hub.hold {
        Hold::Weld => (
            Status::Warn,
            "welded: welds on steering parts are not advised and often unlawful; have it judged before the road".into(),
        ),
        Hold::Nothing => (Status::Fail, "nothing holds it on: add a set screw or a pinch bolt".into()),
        Hold::Screws(screws) if screws.is_empty() => {
            (Status::Fail, "nothing holds it on: add a set screw or a pinch bolt".into())
        }
        Hold::Pinch(_) if at.is_drive_end && at.groove.is_none() => (
            Status::Warn,
            "pinch bolt without a groove in the shaft: loose, it lets the shaft slide out; measure the groove".into(),
        ),
        Hold::Pinch(_) => (Status::Pass, "pinch bolt across a groove".into()),
        Hold::Screws(screws) => screws_hold(screws),
    }
}

fn screws_hold(screws: &[Screw]) -> (Status, String) {
    let count = |is: fn(&Screw) -> bool| screws.iter().filter(|screw| is(screw)).count();
    let loose = count(|screw| !screw.jam);
    let undimpled = count(|screw| screw.spot == Spot::None || screw.dimple.depth <= 0.0);
    let mut wants = Vec::new();
    if loose > 0 {
        wants.push(format!("{loose} of {} set screws without a lock nut: add one", screws.len()));
    }
    if undimpled > 0 {
        wants.push(format!(
            "{undimpled} of {} set screws without a dimple under it: drill one, if the shaft is not hardened",
            screws.len()
        ));
    }
    if wants.is_empty() {
        (Status::Pass, format!("{} set screw in a dimple with a lock nut", screws.len()))
    } else {
        (Status::Warn, wants.join("; "))
    }
}

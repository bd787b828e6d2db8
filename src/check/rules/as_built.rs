//! Every part as made is within its tolerance.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::Case;
use crate::solve::solution::{BuiltReading, BuiltShaft};

pub(super) const RULE: Rule = Rule {
    code: "as-built",
    title: "what was made is within tolerance of the plan",
    limit: None,
    confidence: Confidence::A,
    source: "the tolerance of each reading, named beside it",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(built) = &case.solution.as_built else { return };
    for reading in &built.readings {
        let status = match reading.within {
            None => Status::Open,
            Some(true) => Status::Pass,
            // A habit warns; a tolerance of the plan is one to keep.
            Some(false) if reading.habit => Status::Warn,
            Some(false) => Status::Fail,
        };
        let message = words(case, reading, status);
        let limit = reading.least.or(reading.allowed);
        let value = if reading.least.is_some() { Some(reading.made) } else { reading.difference };
        let subject = format!("{}, {}", reading.subject, reading.what);
        case.say_from(status, &subject, (value, limit), &reading.unit, message, &reading.source);
    }
    for shaft in &built.shafts {
        left(case, shaft);
    }
}

fn words(case: &Case<'_>, reading: &BuiltReading, status: Status) -> String {
    let shown = |value: f64| case.shown(value, &reading.unit);
    let made = shown(reading.made);
    let told = match (reading.plan, reading.least, reading.allowed) {
        (_, Some(least), _) => format!("made {made}, at least {}", shown(least)),
        (Some(0.0), None, Some(allowed)) => format!("off by {made}, at most {}", shown(allowed)),
        (Some(plan), None, Some(allowed)) => {
            format!("made {made}, planned {} within {}", shown(plan), shown(allowed))
        }
        _ => format!("made {made}; the plan has no figure to compare it with"),
    };
    if matches!(status, Status::Warn | Status::Fail) { format!("{told}: {}", reading.remedy) } else { told }
}

/// What the hubs of a shaft of another length still hold, and what saves it.
fn left(case: &mut Case<'_>, shaft: &BuiltShaft) {
    for hub in &shaft.hubs {
        let subject = format!("{}, shaft {} as made", hub.hub, shaft.name);
        let held = |mm: f64| if mm > 0.0 { case.length(mm) } else { "nothing".to_owned() };
        let (bite, wanted) = (held(hub.bite), case.length(hub.wanted));
        let pushed = held(hub.least);
        let told = format!(
            "holds {bite} of {} planned, at least {wanted}; {pushed} with the shaft pushed home in its other hub",
            case.length(hub.planned)
        );
        let good = hub.bite >= hub.wanted - crate::check::case::SLACK;
        let saved = shaft.moves.iter().find(|one| one.saves);
        let message = match saved {
            _ if good => told,
            Some(one) => format!("{told}: move joint \"{}\": {}", one.joint, one.why),
            None => format!("{told}: no joint can be moved to save it, make a new shaft"),
        };
        let stated = case.spec.limits.contains_key("engagement");
        let status = match (good, stated) {
            (true, _) => Status::Pass,
            (false, true) => Status::Fail,
            (false, false) => Status::Warn,
        };
        case.say(status, &subject, (Some(hub.bite), Some(hub.wanted)), "mm", message);
    }
}

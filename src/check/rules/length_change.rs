//! A shaft that cannot slip keeps its length over all motions.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};

pub(super) const RULE: Rule = Rule {
    code: "length-change",
    title: "change of length of a shaft without slip over all motions",
    limit: Some(length(0.254)),
    confidence: Confidence::D,
    source: "common practice, no source: under 0.010 in",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(over) = &case.solution.over_motions else { return };
    let limit = case.limit();
    for shaft in &case.solution.shafts {
        let Some(row) = over.shaft(&shaft.name).filter(|_| shaft.slip.is_none()) else { continue };
        let subject = format!("shaft {}", shaft.name);
        let (longer, shorter) = (row.longest.bound - row.taped, row.taped - row.shortest.bound);
        let (change, extreme, way) = if longer >= shorter {
            (longer, &row.longest, "farther apart")
        } else {
            (shorter, &row.shortest, "nearer")
        };
        if change <= limit + SLACK {
            let found = format!("its crosses keep their distance within {}", case.length(change.max(0.0)));
            case.say(Status::Pass, &subject, (Some(change), Some(limit)), "mm", found);
            continue;
        }
        let at = case.spec.motions_at(&extreme.at).join(", ");
        let found = format!(
            "its crosses come {} {way} with {at}, at most {}: what the joints are bolted to moves against itself and the \
             shaft cannot slip, so joints and gear take the push; use a slip shaft",
            case.length(change),
            case.length(limit)
        );
        let status = case.beyond();
        case.say(status, &subject, (Some(change), Some(limit)), "mm", found);
    }
}

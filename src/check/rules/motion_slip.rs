//! A slip shaft stays together, and has room, over all motions.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};

pub(super) const RULE: Rule = Rule {
    code: "motion-slip",
    title: "overlap and room of a slip shaft over all motions",
    limit: None,
    confidence: Confidence::A,
    source: "least overlap as the spec states it, shaft.slip.least_overlap, and the motions stated there",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(over) = &case.solution.over_motions else { return };
    for shaft in &case.solution.shafts {
        let (Some(slip), Some(row)) = (&shaft.slip, over.shaft(&shaft.name)) else { continue };
        let subject = format!("shaft {}", shaft.name);
        // By the bounds: they are the safe side of what is attained.
        let overlap = slip.overlap - (row.longest.bound - row.taped);
        let room = slip.collapse_room - (row.taped - row.shortest.bound);
        let ends = [
            (
                "overlap left",
                overlap,
                slip.least_overlap,
                &row.longest,
                "ask for more extension, so the members are longer",
            ),
            (
                "room left to collapse",
                room,
                0.0,
                &row.shortest,
                "ask for more collapse, or put the slip in a longer shaft",
            ),
        ];
        for (what, value, least, extreme, remedy) in ends {
            let at = case.spec.motions_at(&extreme.at).join(", ");
            let found = format!("{what} {} with {at}, at least {}", case.length(value), case.length(least));
            let (status, message) = if value >= least - SLACK {
                (Status::Pass, found)
            } else {
                (Status::Fail, format!("{found}: {remedy}"))
            };
            case.say(status, &subject, (Some(value), Some(least)), "mm", message);
        }
    }
}

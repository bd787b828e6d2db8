//! A steering shaft is no thinner than 3/4 in.

use super::{Confidence, Rule, length};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "shaft-diameter",
    title: "shaft not too thin",
    limit: Some(length(19.0)),
    confidence: Confidence::D,
    source: "common practice, no source: never below 3/4 in (19 mm); a 5/8 in bar is 42 % weaker in torsion",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for shaft in &case.spec.shafts {
        let subject = format!("shaft {}", shaft.name);
        case.at_least(&subject, "diameter", shaft.stock.diameter(), limit, "mm", "use a larger bar");
    }
}

//! A steering shaft is no thinner than 3/4 in.

use super::{Confidence, Rule, length};
use crate::check::case::Case;
use crate::spec::types::ShaftEnd;

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
        let ends = ShaftEnd::BOTH.map(|end| shaft.form_at(end).diameter());
        let least = ends.into_iter().fold(shaft.stock.diameter(), f64::min);
        case.at_least(&subject, "diameter", least, limit, "mm", "use a larger bar");
    }
}

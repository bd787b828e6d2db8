//! Catalogue values that no standard fixes and nobody measured.

use super::{Confidence, Rule};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "measure",
    title: "measure and confirm",
    limit: None,
    confidence: Confidence::A,
    source: "the catalogue: common practice, no standard",
    judge,
};

fn judge(case: &mut Case<'_>) {
    // One row a part, in the order of the list: `joint "upper"` of `joint "upper", depth of the column-side hub`.
    let mut groups: Vec<(&str, Vec<&str>)> = Vec::new();
    for value in &case.spec.unmeasured {
        let (part, what) = value.what.split_once([',', ':']).unwrap_or((&value.what, ""));
        let what = what.trim();
        match groups.iter_mut().find(|(known, _)| *known == part) {
            Some((_, whats)) => whats.push(what),
            None => groups.push((part, vec![what])),
        }
    }
    for (part, whats) in groups {
        let message =
            format!("taken from the catalogue: {}; measure and confirm, then state it in the spec", whats.join("; "));
        case.open(part, message);
    }
}

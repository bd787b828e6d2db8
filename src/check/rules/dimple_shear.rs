//! Shear at the edge of a dimple.

use super::{Confidence, Rule, number};
use crate::check::Status;
use crate::check::case::Case;
use crate::quantity::significant;
use crate::solve::solution::SpotWhen;

pub(super) const RULE: Rule = Rule {
    code: "dimple-shear",
    title: "shear at the edge of a dimple under yield",
    limit: Some(number(1.0)),
    confidence: Confidence::B,
    source: "von Mises: shear yield is 0.577 of tensile yield; the factor of the dimple as the spec states it",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for (row, shaft) in case.solution.strength.shafts.iter().zip(&case.solution.shafts) {
        let dimples = shaft.dimples.iter().chain(shaft.members.iter().flat_map(|member| &member.dimples));
        if dimples.filter(|dimple| dimple.spot != SpotWhen::None).count() == 0 {
            continue;
        }
        let subject = format!("shaft {}", shaft.name);
        if let (Some(margin), Some(factor)) = (row.dimple_margin, &case.spec.dimple_factor) {
            let what =
                format!("with a factor of {} ({}) the margin to yield is", significant(factor.value, 3), factor.source);
            case.at_least(&subject, &what, margin, limit, "", "a stronger material, or a larger bar");
        } else {
            let message = format!(
                "no standard gives the rise of shear at a dimple; the metal there yields where it is over {}: state \
                 load.dimple_factor with its source",
                significant(row.yield_margin, 3)
            );
            case.say(Status::Open, &subject, (None, Some(limit)), "", message);
        }
    }
}

//! Shear of a shaft's plain section against its yield.

use super::{Confidence, Rule, number};
use crate::check::Status;
use crate::check::case::Case;
use crate::quantity::{factor, stress, torque};

pub(super) const RULE: Rule = Rule {
    code: "shear-yield",
    title: "margin of the shaft's shear to yield",
    limit: Some(number(1.5)),
    confidence: Confidence::D,
    source: "yield in shear 0.577 of yield (von Mises); below 1 it yields; 1.5 for dimples and sharp corners: \
             common practice, no source",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for row in &case.solution.strength.shafts {
        let subject = format!("shaft {}", row.name);
        let margin = row.yield_margin;
        if margin < 1.0 {
            let message = format!(
                "shear {} at {}, margin {}: it yields; use a stronger steel or a larger bar",
                stress(row.shear),
                torque(row.torque_max),
                factor(margin)
            );
            case.say(Status::Fail, &subject, (Some(margin), Some(limit)), "", message);
        } else {
            let what = format!("shear {} at {}, margin", stress(row.shear), torque(row.torque_max));
            case.at_least(&subject, &what, margin, limit, "", "use a stronger steel or a larger bar");
        }
    }
}

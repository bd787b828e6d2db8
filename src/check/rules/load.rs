//! A torque at the wheel to judge strength by.

use super::{Confidence, Rule, number};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "load",
    title: "torque at the wheel (N m) worth judging by",
    limit: Some(number(57.0)),
    confidence: Confidence::D,
    source: "300 N at the rim of a 0.19 m wheel, the failed-assistance effort of UN R79 (from memory); \
             100 to 200 N m of a strong driver: common practice, no source",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(torque) = case.spec.wheel_torque else {
        case.open("load", "no torque at the wheel is given, so strength is not judged: give load.wheel_torque");
        return;
    };
    let limit = case.limit();
    case.at_least("load", "torque at the wheel", torque, limit, "N m", "a driver pulls harder than that; state more");
}

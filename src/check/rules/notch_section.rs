//! What a notch takes from its rail is given back.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::percent;
use crate::spec::types::Section;

pub(super) const RULE: Rule = Rule {
    code: "notch-section",
    title: "notched rail made good",
    limit: None,
    confidence: Confidence::C,
    source: "restored section modulus at least that of the whole rail: common practice, no source; \
             a licensed engineer decides",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for result in &case.solution.notches {
        let Some(rail) = case.spec.rails.iter().find(|rail| rail.name == result.rail) else { continue };
        if result.shop.is_empty() {
            continue;
        }
        let subject = format!("notch {}", result.name);
        let whole = result.section.full.s_min;
        let share = |s_min: f64| s_min / whole;
        let say = |case: &mut Case<'_>, status, share: f64, message: String| {
            case.say(status, &subject, (Some(share * 100.0), Some(100.0)), "%", message);
        };
        let left = share(result.section.left.s_min);
        match result.section.restored.map(|restored| share(restored.s_min)) {
            Some(made) if made >= 1.0 - SLACK => {
                say(
                    case,
                    Status::Pass,
                    made,
                    format!("section modulus made good to {} of the whole rail", percent(made)),
                );
            }
            Some(made) => {
                let message = format!(
                    "section modulus made good to {} of the whole rail, at least 100 %: use thicker doublers",
                    percent(made)
                );
                say(case, Status::Fail, made, message);
            }
            None => {
                let opened = match rail.section {
                    Section::Tube { .. } | Section::Pipe { .. } => {
                        ", and the opened tube has lost its stiffness in torsion"
                    }
                    Section::Channel { .. } => "",
                };
                let message = format!(
                    "the notch leaves {} of the section modulus (worst {} along the rail){opened}; the rail must be made good \
                     with a liner and doublers, which are not judged here: a licensed engineer decides",
                    percent(left),
                    case.length(result.section.worst_u)
                );
                say(case, Status::Open, left, message);
            }
        }
    }
}

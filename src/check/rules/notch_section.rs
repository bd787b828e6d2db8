//! What a notch takes from its rail is given back.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::percent;
use crate::solve::solution::NotchResult;

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
        if result.shop.is_empty() {
            continue;
        }
        let subject = format!("notch {}", result.name);
        let section = &result.section;
        let say = |case: &mut Case<'_>, status, share: f64, message: String| {
            case.say(status, &subject, (Some(share * 100.0), Some(100.0)), "%", message);
        };
        let advice = proposed(case, result);
        match section.restored.map(|restored| restored.share_of(&section.full)) {
            Some(made) if made >= 1.0 - SLACK => {
                let message = format!("section modulus made good to {} of the whole rail", percent(made));
                say(case, Status::Pass, made, message);
            }
            Some(made) => {
                let hopeless = "no usual doubler makes it good: move the shaft or the rail";
                let own = if result.doublers.is_empty() { hopeless } else { "use thicker doublers" };
                let more = advice.unwrap_or_else(|| own.to_owned());
                let message =
                    format!("section modulus made good to {} of the whole rail, at least 100 %: {more}", percent(made));
                say(case, Status::Fail, made, message);
            }
            None => {
                let left = section.left.share_of(&section.full);
                let more =
                    advice.unwrap_or_else(|| "no usual doubler makes it good: move the shaft or the rail".to_owned());
                let message = format!(
                    "the notch leaves {} of the section modulus (worst {} along the rail), and nothing makes it good: {more}; \
                     a licensed engineer decides",
                    percent(left),
                    case.length(section.worst_u)
                );
                say(case, Status::Open, left, message);
            }
        }
    }
}

/// The doublers that would do, as the spec would ask for them.
fn proposed(case: &Case<'_>, result: &NotchResult) -> Option<String> {
    let plates = result.proposal.as_ref()?;
    Some(format!(
        "add doublers of {} plate, {} high, on the {}: {} with them",
        case.length(plates.thick),
        case.length(plates.height),
        plates.faces.join(" and "),
        percent(plates.restored.share_of(&result.section.full))
    ))
}

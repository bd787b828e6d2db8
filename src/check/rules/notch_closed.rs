//! A closed rail that a notch opens is closed again.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::Case;
use crate::quantity::percent;

pub(super) const RULE: Rule = Rule {
    code: "notch-closed",
    title: "opened rail closed again",
    limit: None,
    confidence: Confidence::B,
    source: "Bredt's formula: a tube with a cut along it keeps almost nothing of its stiffness in torsion \
             (any text on thin-walled sections)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for result in &case.solution.notches {
        let section = &result.section;
        if result.shop.is_empty() || !section.full.closed {
            continue;
        }
        let subject = format!("notch {}", result.name);
        let share = |torsion: f64| torsion / section.full.torsion;
        let kept = section.restored.map_or(section.left, |restored| restored);
        let value = (Some(100.0 * share(kept.torsion)), None);
        let word = result.liner.as_ref().map(|liner| liner.kind.word());
        let (status, message) = match (section.closed_again, word) {
            (true, Some(word)) => (
                Status::Pass,
                format!("closed again by its {word}: {} of the stiffness in torsion", percent(share(kept.torsion))),
            ),
            (true, None) => (Status::Pass, "closed all along".to_owned()),
            (false, Some(word)) => (
                Status::Fail,
                format!("its {word} does not close all that is cut: give it more `outside`, or `axis = \"square\"`"),
            ),
            (false, None) => (
                Status::Fail,
                format!(
                    "the notch opens the rail, which keeps {} of its stiffness in torsion: add `liner` or `sleeve`",
                    percent(share(section.left.torsion))
                ),
            ),
        };
        case.say(status, &subject, value, "%", message);
    }
}

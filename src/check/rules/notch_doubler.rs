//! Doublers run far enough past their notch.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::spec::types::Section;

pub(super) const RULE: Rule = Rule {
    code: "notch-doubler",
    title: "doublers run past the notch",
    limit: None,
    confidence: Confidence::D,
    source: "common practice, no source: past the notch by at least the rail's height on either side",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for (notch, result) in case.spec.notches.iter().zip(&case.solution.notches) {
        let Some(rail) = case.spec.rails.get(notch.rail).filter(|_| !result.shop.is_empty()) else { continue };
        if notch.doubler.is_none() {
            continue;
        }
        let subject = format!("notch {}", notch.name);
        let (Section::Tube { height, .. } | Section::Channel { height, .. } | Section::Pipe { diameter: height, .. }) =
            rail.section;
        let Some(first) = result.doublers.first() else {
            let message = "the rail has no upright flat wide enough for a doubler: use `liner` or `sleeve`";
            case.say(Status::Fail, &subject, (None, None), "mm", message);
            continue;
        };
        let faces: Vec<&str> = result.doublers.iter().map(|doubler| doubler.face.as_str()).collect();
        let found = format!("on the {}, {} past it", faces.join(" and "), case.length(first.overrun));
        let value = (Some(first.overrun), Some(height));
        if first.overrun >= height - SLACK {
            case.say(Status::Pass, &subject, value, "mm", found);
        } else {
            let message =
                format!("{found}, at least the rail's height of {}: give `overrun` more", case.length(height));
            case.say(case.beyond(), &subject, value, "mm", message);
        }
    }
}

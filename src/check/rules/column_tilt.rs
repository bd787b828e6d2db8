//! A column's tilt keeps every joint within its limit, every shaft in its hubs and every part clear.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::quantity::degrees;
use crate::solve::solution::Clearance;

pub(super) const RULE: Rule = Rule {
    code: "column-tilt",
    title: "joints, shafts and clearances at both ends of the column's tilt",
    limit: Some(length(0.5)),
    confidence: Confidence::B,
    source: "the joint's own limit; a shaft that does not slide takes no change of length (0.5 mm: common practice, no source); \
             clearances as without the tilt",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let most = case.limit();
    for end in &case.solution.tilt {
        let words = format!("column {} {}", degrees(end.tilt.abs(), 1), if end.tilt < 0.0 { "down" } else { "up" });
        for (joint, &angle) in case.solution.joints.iter().zip(&end.angles) {
            let subject = format!("{words}, joint {}", joint.name);
            case.at_most(
                &subject,
                "works at",
                angle,
                joint.limit,
                "deg",
                "lessen the tilt, or use a joint that bends further",
            );
        }
        for (shaft, &longer) in case.solution.shafts.iter().zip(&end.longer) {
            let subject = format!("{words}, shaft {}", shaft.name);
            let by = case.length(longer.abs());
            let word = if longer < 0.0 { "shorter" } else { "longer" };
            let (room, what) = match &shaft.slip {
                None => (most, "a rigid shaft takes"),
                Some(slip) if longer < 0.0 => (slip.collapse_room, "it can collapse by"),
                Some(slip) => ((slip.overlap - slip.least_overlap).max(0.0), "its overlap allows"),
            };
            let message = format!("must get {by} {word}, {what} {}", case.length(room));
            let pair = (Some(longer.abs()), Some(room));
            if longer.abs() <= room + SLACK {
                case.say(Status::Pass, &subject, pair, "mm", message);
            } else {
                let message = format!("{message}: use a shaft that slides, or a pivot nearer the first cross");
                case.say(Status::Fail, &subject, pair, "mm", message);
            }
        }
        clearances(case, &words, &end.clearances);
    }
}

/// The tightest row of every part against its need.
fn clearances(case: &mut Case<'_>, words: &str, rows: &[Clearance]) {
    let mut judged: Vec<&str> = Vec::new();
    // The tightest stands first within a part.
    for row in rows {
        if judged.contains(&row.part.as_str()) {
            continue;
        }
        judged.push(&row.part);
        let subject = format!("{words}, {} to {}", row.part, row.obstacle);
        let (gap, need) = (row.judged(), row.need);
        let pair = (Some(gap), Some(need));
        let found = if gap > 0.0 { case.length(gap) } else { "nothing: they touch".to_owned() };
        let message = format!("gap {found}, needed {}", case.length(need));
        if gap + SLACK >= need {
            case.say(Status::Pass, &subject, pair, "mm", message);
        } else {
            let message = format!("{message}: lessen the tilt, or make room");
            case.say(Status::Fail, &subject, pair, "mm", message);
        }
    }
}

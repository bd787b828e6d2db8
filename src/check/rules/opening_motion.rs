//! An opening clears its part over all motions.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::solve::solution::Clearance;
use crate::spec::types::Moved;

/// The rim is taken by chords that lie up to this inside it (mm).
const CHORDS: f64 = 0.03;

pub(super) const RULE: Rule = Rule {
    code: "opening-motion",
    title: "openings over the motions of the linkage",
    limit: None,
    confidence: Confidence::D,
    source: "the plate's `need`, or 6 mm as of a fixed frame (common practice, no source); at most the opening's clearance",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let spec = case.spec;
    for (index, plate) in spec.plates.iter().enumerate() {
        let moving: Vec<&str> = spec
            .motions
            .iter()
            .filter(|motion| {
                motion.moves.iter().any(|moved| match moved {
                    Moved::End(_) | Moved::Bearing(_) => true,
                    Moved::Plate(plate) => *plate == index,
                    Moved::Obstacle(_) | Moved::Rail(_) => false,
                })
            })
            .map(|motion| motion.name.as_str())
            .collect();
        if moving.is_empty() {
            continue;
        }
        for (j, opening) in plate.openings.iter().enumerate() {
            let subject = format!("plate {}, opening {}", plate.name, opening.name);
            let solved = case.solution.plates.get(index).and_then(|plate| plate.openings.get(j));
            match solved.and_then(|solved| solved.over_motions.as_ref()) {
                Some(row) => judge_row(case, &subject, row),
                None if plate.bends.is_empty() => {}
                None => {
                    let spread = solved.and_then(|solved| solved.motion_spread);
                    let message = spread.map_or_else(
                        || format!("{} moves neither against the other", moving.join(", ")),
                        |spread| {
                            format!("cut to clear the part over all motions, at most {} wider", case.length(spread))
                        },
                    );
                    case.say(Status::Pass, &subject, (None, None), "mm", message);
                }
            }
        }
    }
}

fn judge_row(case: &mut Case<'_>, subject: &str, row: &Clearance) {
    let (gap, need) = (row.judged(), row.need);
    let at = case.spec.motions_at(&row.at).join(", ");
    let pair = (Some(gap), Some(need));
    let short = case.length(need - gap);
    if gap <= SLACK {
        let message = format!("with {at} the part touches the rim: add {short} or more to `clearance`");
        case.say(Status::Fail, subject, pair, "mm", message);
    } else if gap < need - CHORDS {
        let message = format!(
            "with {at} the part comes within {} of the rim, wanted {}: add {short} to `clearance`",
            case.length(gap),
            case.length(need)
        );
        case.say(case.beyond(), subject, pair, "mm", message);
    } else {
        let message = format!("over all motions {} of the rim, wanted {}", case.length(gap), case.length(need));
        case.say(Status::Pass, subject, pair, "mm", message);
    }
}

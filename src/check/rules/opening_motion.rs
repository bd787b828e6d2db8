//! What an opening does not clear: it is cut for the linkage where it was taped.

use super::{Confidence, Rule};
use crate::check::case::Case;
use crate::spec::types::Moved;

pub(super) const RULE: Rule = Rule {
    code: "opening-motion",
    title: "openings over the motions of the linkage",
    limit: None,
    confidence: Confidence::D,
    source: "this program: openings are cut for the taped position",
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
        for opening in &plate.openings {
            let subject = format!("plate {}, opening {}", plate.name, opening.name);
            let message = format!(
                "cut for the linkage where it was taped; {} may bring the part nearer to its rim: try it over the whole \
                 travel with paper, and add what it wants to `clearance`",
                moving.join(", ")
            );
            case.open(&subject, message);
        }
    }
}

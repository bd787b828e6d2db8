//! Room between the linkage and all that is near it.

use super::{Confidence, Limit, LimitKind, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};

pub(super) const RULE: Rule = Rule {
    code: "clearance",
    title: "room to what is near (the limit stands in for every need the spec does not state)",
    limit: Some(Limit { kind: LimitKind::Length, default: None }),
    confidence: Confidence::D,
    source: "common practice, no source: frame 6 mm, engine 15, exhaust 25 for its heat, suspension 12",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let floor = case.stated();
    for row in &case.solution.clearances {
        let of_obstacle = case.spec.obstacles.iter().find(|o| o.name == row.obstacle).and_then(|o| o.need);
        let is_plate = case.spec.plates.iter().any(|plate| plate.name == row.obstacle);
        let of_plate = case.spec.plates.iter().find(|plate| plate.name == row.obstacle).and_then(|plate| plate.need);
        let own = of_obstacle.or(of_plate);
        let need = own.or(floor).unwrap_or(row.need);
        let subject = format!("{} to {}", row.part, row.obstacle);
        let at = case.spec.motions_at(&row.at);
        let with = if at.is_empty() { String::new() } else { format!(" with {}", at.join(", ")) };
        let gap = row.judged();
        let found = match row.bounds_apart() {
            None => format!("gap {}{with}, needs {}", case.length(gap), case.length(need)),
            Some(apart) => format!(
                "gap at least {}, proved only to within {}: {} was met{with}; needs {}",
                case.length(gap),
                case.length(apart),
                case.length(row.gap),
                case.length(need)
            ),
        };
        let (status, message) = if !gap.is_finite() {
            (Status::Open, found)
        } else if row.gap <= SLACK {
            let way = if is_plate { "give the plate an opening round it" } else { "notch" };
            (Status::Fail, format!("they touch{with}, needs {}: move one, or {way}", case.length(need)))
        } else if gap >= need - SLACK {
            (Status::Pass, found)
        } else if own.is_some() || floor.is_some() {
            (Status::Fail, format!("{found}: move one"))
        } else {
            (Status::Warn, format!("{found} by habit: move one, or state its need"))
        };
        case.say(status, &subject, (Some(gap), Some(need)), "mm", message);
        if let (Some(_), Some(last)) = (own, case.findings.last_mut()) {
            last.source =
                if of_plate.is_some() { "the plate's need in the spec" } else { "the obstacle's need in the spec" }
                    .into();
        }
    }
}

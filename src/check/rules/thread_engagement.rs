//! A tapped hole has thread enough to hold its screw.

use super::{Confidence, Rule, number};
use crate::check::case::Case;
use crate::spec::types::HoleSize;

pub(super) const RULE: Rule = Rule {
    code: "thread-engagement",
    title: "thread in a tapped hole, in diameters of the screw",
    limit: Some(number(1.0)),
    confidence: Confidence::D,
    source: "common practice, no source: one diameter in steel; take 1.5 to 2 in aluminium",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    let (spec, solution) = (case.spec, case.solution);
    for (plate, solved) in spec.plates.iter().zip(&solution.plates) {
        for hole in &plate.holes {
            let HoleSize::Tap { major, thread, .. } = &hole.size else { continue };
            let whole = hole.depth.unwrap_or(plate.thick);
            let lost = hole
                .countersink
                .map_or(0.0, |cone| (cone.diameter - major).max(0.0) / 2.0 / libm::tan(cone.angle / 2.0));
            let subject = format!("plate {}, hole {}", solved.name, hole.name);
            let what = format!("thread {} deep, {thread}: diameters", case.length(whole - lost));
            let remedy = format!(
                "weld a nut on, or take a plate of {}",
                case.length(major * limit + lost + hole.depth.map_or(0.0, |depth| plate.thick - depth))
            );
            case.at_least(&subject, &what, (whole - lost) / major, limit, "", &remedy);
        }
    }
}

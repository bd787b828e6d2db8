//! Play of a double-D shaft in its hole.

use super::{Confidence, Rule, angle};
use crate::check::case::Case;
use crate::solve::play::one_way;

pub(super) const RULE: Rule = Rule {
    code: "free-play",
    title: "little play between flats and hole",
    limit: Some(angle(0.5)),
    confidence: Confidence::D,
    source: "common practice, no source: 0.1 mm across the flats of a 3/4 in bar is 0.46 deg",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    let remedy = "measure hole and flats; use a closer pair";
    for at in case.hubs() {
        let Some(play) = one_way(at.hub.fits.shape, at.form.shape) else { continue };
        case.at_most(&at.subject, "play one way", play, limit, "deg", remedy);
    }
    for shaft in &case.spec.shafts {
        let Some(slip) = &shaft.slip else { continue };
        let Some(play) = one_way(slip.hole.shape, shaft.stock.shape) else { continue };
        let subject = format!("shaft {}, inner member in the outer", shaft.name);
        if slip.hole_stated {
            case.at_most(&subject, "play one way", play, limit, "deg", remedy);
        } else {
            case.open(&subject, "the hole of the outer member is not stated: measure it and give `slip.fits`");
        }
    }
}

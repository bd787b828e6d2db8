//! Play of a double-D shaft in its hole.
//!
//! One way: asin((AF + c)/2r) − asin(AF/2r), AF across the shaft's flats, c the
//! hole's clearance across them, r the shaft's radius (geometry of the section).

use super::{Confidence, Rule, angle};
use crate::catalog::forms::FormShape::{self, DoubleD};
use crate::check::case::Case;

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
        let Some(play) = play(at.hub.fits.shape, at.form.shape) else { continue };
        case.at_most(&at.subject, "play one way", play, limit, "deg", remedy);
    }
    for shaft in &case.spec.shafts {
        let Some(slip) = &shaft.slip else { continue };
        let Some(play) = play(slip.hole.shape, shaft.stock.shape) else { continue };
        let subject = format!("shaft {}, inner member in the outer", shaft.name);
        if slip.hole_stated {
            case.at_most(&subject, "play one way", play, limit, "deg", remedy);
        } else {
            case.open(&subject, "the hole of the outer member is not stated: measure it and give `slip.fits`");
        }
    }
}

/// Play one way (deg) of a double-D bar in a double-D hole.
fn play(hole: FormShape, bar: FormShape) -> Option<f64> {
    let (DoubleD { flats: hole, .. }, DoubleD { diameter, flats, .. }) = (hole, bar) else { return None };
    // A hole as wide as the round turns freely: the arcsine stops at a quarter turn.
    let reach = |across: f64| libm::asin((across / diameter).clamp(-1.0, 1.0)).to_degrees();
    Some(reach(hole.max(flats)) - reach(flats))
}

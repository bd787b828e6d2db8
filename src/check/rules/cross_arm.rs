//! A shaft end stays clear of the arm of the cross that swings toward it.
//!
//! Setback s of the end from the cross centre: s ≥ r tan β + ρ / cos β, with r
//! the shaft's radius, β the joint angle, ρ the radius of the cross arm
//! (geometry of a flat end and a round arm in the bend plane).

use super::{Confidence, Rule, length};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "cross-arm",
    title: "shaft end clear of the cross arm (the limit is the arm's radius)",
    limit: Some(length(5.0)),
    confidence: Confidence::D,
    source: "geometry of the setback; 5 mm arm of a 3/4 in joint: common practice, no source",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let arm = case.limit();
    for at in case.hubs() {
        let (radius, bend) = (at.form.diameter() / 2.0, at.joint.cross_angle().to_radians());
        let setback = radius * libm::tan(bend) + arm / libm::cos(bend);
        let remedy = "the cross may strike it; draw the shaft back, or measure the arm and set limits.cross-arm";
        case.at_least(&at.subject, "shaft end to cross centre", at.gap(), setback, "mm", remedy);
    }
}

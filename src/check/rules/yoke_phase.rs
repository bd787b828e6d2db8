//! The yokes of a shaft stand in the phase that evens out the joints.

use super::{Confidence, Rule, angle};
use crate::check::Status;
use crate::check::case::Case;
use crate::quantity::degrees;

pub(super) const RULE: Rule = Rule {
    code: "yoke-phase",
    title: "yokes in phase",
    limit: Some(angle(20.0)),
    confidence: Confidence::D,
    source: "common practice, no source: 20 deg off is tolerable, 45 noticeable, 90 bad",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for shaft in &case.solution.shafts {
        let subject = format!("shaft {}", shaft.name);
        let twist = &shaft.twist;
        if twist.wanted.is_none() {
            case.say(
                Status::Pass,
                &subject,
                (None, Some(limit)),
                "deg",
                "no bend of a single joint to even out: any phase does",
            );
        } else if twist.certain {
            let remedy = "turn a yoke, or use an end that can be set at another angle";
            case.at_most(&subject, "off its best by", twist.off_max, limit, "deg", remedy);
        } else {
            let message = format!(
                "phase known only to {} until it is measured how teeth and ears stand: measure them, or set it on assembly",
                degrees(twist.off_max, 1)
            );
            case.say(Status::Open, &subject, (Some(twist.off_max), Some(limit)), "deg", message);
        }
    }
}

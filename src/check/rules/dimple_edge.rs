//! A dimple has metal all round it.

use super::{Confidence, Rule, length};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::solve::solution::{End, SpotWhen};

pub(super) const RULE: Rule = Rule {
    code: "dimple-edge",
    title: "metal between dimple and shaft end",
    limit: Some(length(3.0)),
    confidence: Confidence::D,
    source: "common practice, no source: 3 mm taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    for shaft in &case.solution.shafts {
        for dimple in shaft.dimples.iter().filter(|dimple| dimple.spot != SpotWhen::None) {
            let end = match dimple.end {
                End::Upper => "upper",
                End::Lower => "lower",
            };
            let subject = format!("shaft {}, dimple at the {end} end", shaft.name);
            let nearer = dimple.station.min(shaft.cut_length - dimple.station);
            let metal = nearer - dimple.diameter / 2.0;
            if metal <= SLACK {
                let message = "the dimple runs off the shaft's end: move the screw, or push the shaft further in";
                case.say(Status::Fail, &subject, (Some(metal), Some(limit)), "mm", message);
            } else {
                case.at_least(&subject, "metal to the shaft's end", metal, limit, "mm", "move the screw inward");
            }
        }
    }
}

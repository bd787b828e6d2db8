//! A notch stays away from the rail's ends and from other notches.

use super::{Confidence, Rule};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::check::outline::{between, contains};
use crate::geometry::Vec2;
use crate::solve::solution::NotchResult;

pub(super) const RULE: Rule = Rule {
    code: "notch-apart",
    title: "notch clear of rail ends and other notches",
    limit: None,
    confidence: Confidence::A,
    source: "two cuts that meet are one cut, and an end that is cut is no notch",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let notches: Vec<&NotchResult> = case.solution.notches.iter().filter(|notch| !notch.shop.is_empty()).collect();
    for (i, notch) in notches.iter().enumerate() {
        let subject = format!("notch {}", notch.name);
        let Some(rail) = case.spec.rails.iter().find(|rail| rail.name == notch.rail) else { continue };
        let length = (rail.along[1] - rail.along[0]).length();
        let (first, last) = along(notch);
        let end = first.min(length - last);
        if end <= SLACK {
            let message = "it runs into the end of the rail: give `along` points farther out if the rail goes on, else \
                           move the shaft or end the rail short of it";
            case.say(Status::Fail, &subject, (Some(0.0), None), "mm", message);
            continue;
        }
        let others = notches.iter().enumerate().filter(|(k, other)| *k != i && other.rail == notch.rail);
        let met: Vec<&str> =
            others.filter(|(_, other)| meet(notch, other)).map(|(_, other)| other.name.as_str()).collect();
        if met.is_empty() {
            case.say(
                Status::Pass,
                &subject,
                (Some(end), None),
                "mm",
                format!("{} from the rail's nearer end", case.length(end)),
            );
        } else {
            let message =
                format!("it runs into \"{}\": make one notch of them, with all parts in its `for`", met.join("\", \""));
            case.say(Status::Fail, &subject, (Some(0.0), None), "mm", message);
        }
    }
}

/// Least and greatest station of what is cut.
fn along(notch: &NotchResult) -> (f64, f64) {
    let stations = notch.shop.iter().flatten().map(|p| p.x);
    stations.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), u| (a.min(u), b.max(u)))
}

/// Whether what two notches cut meets; their loops lie within a turn of one another.
fn meet(a: &NotchResult, b: &NotchResult) -> bool {
    let pairs = a.shop.iter().flat_map(|p| b.shop.iter().map(move |q| (p, q)));
    let inside = |p: &[Vec2], q: &[Vec2]| q.first().is_some_and(|&first| contains(p, first));
    pairs.into_iter().any(|(p, q)| between(p, q) <= SLACK || inside(p, q) || inside(q, p))
}

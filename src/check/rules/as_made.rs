//! The linkage as made is judged by every rule the plan is judged by.

use std::collections::BTreeMap;

use super::{Confidence, RULES, Rule};
use crate::check::case::Case;
use crate::check::{Finding, Status};
use crate::solve::Solution;
use crate::solve::as_built;
use crate::spec::Spec;

pub(super) const RULE: Rule = Rule {
    code: "as-made",
    title: "as made, no rule is worse than as planned",
    limit: None,
    confidence: Confidence::A,
    source: "the rules of the plan, judged again with what was made",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(built) = &case.solution.as_built else { return };
    let Ok(made) = as_built::made(case.spec, case.solution) else {
        let why = built.unsolved.as_deref().unwrap_or("no reason given");
        case.say(Status::Fail, "the linkage", (None, None), "", format!("as made it cannot be: {why}"));
        return;
    };
    let before: BTreeMap<(String, String), Status> = judged(case.spec, case.solution)
        .into_iter()
        .map(|finding| ((finding.rule, finding.subject), finding.status))
        .collect();
    let after = judged(&made.0, &made.1);
    let count = after.len();
    let mut worse = 0;
    for finding in after {
        let key = (finding.rule, finding.subject);
        let was = before.get(&key).copied().unwrap_or(Status::Pass);
        if rank(finding.status) <= rank(was) {
            continue;
        }
        worse += 1;
        let subject = format!("{}, {} as made", key.1, key.0);
        let message = format!("{} as planned, {} as made: {}", was.words(), finding.status.words(), finding.message);
        let source = finding.source;
        case.say_from(finding.status, &subject, (finding.value, finding.limit), &finding.unit, message, &source);
    }
    if worse == 0 {
        let message = format!("{count} judgements made again with what was built; none is worse than as planned");
        case.say(Status::Pass, "the linkage as made", (None, None), "", message);
    }
}

/// What every rule but those on what was made says.
fn judged(spec: &Spec, solution: &Solution) -> Vec<Finding> {
    let mut findings = Vec::new();
    for rule in RULES.iter().filter(|rule| rule.code != RULE.code && rule.code != super::as_built::RULE.code) {
        let mut case = Case::new(spec, solution, rule);
        (rule.judge)(&mut case);
        findings.append(&mut case.findings);
    }
    findings
}

/// How bad a verdict is.
const fn rank(status: Status) -> u8 {
    match status {
        Status::Pass => 0,
        Status::Open => 1,
        Status::Warn => 2,
        Status::Fail => 3,
    }
}

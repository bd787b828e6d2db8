//! The rules: one a file, and the table of them.

pub mod finding;

pub mod rules;

mod case;
mod outline;

pub use finding::{Finding, Status};
pub use rules::{Confidence, Limit, LimitKey, LimitKind, Rule};

use crate::solve::Solution;
use crate::spec::Spec;
use case::Case;

/// Every judgement on a solved linkage, in the order of the table of rules.
///
/// A rule whose limit is habit alone warns; where the spec's `[limits]` sets
/// that limit, going past it fails. A rule with nothing to judge (no notch, no
/// plate) says nothing; one that lacks a figure says so, as [`Status::Open`].
pub fn run(spec: &Spec, solution: &Solution) -> Vec<Finding> {
    let mut findings = Vec::new();
    for rule in rules::RULES {
        let mut case = Case::new(spec, solution, rule);
        (rule.judge)(&mut case);
        findings.append(&mut case.findings);
    }
    findings
}

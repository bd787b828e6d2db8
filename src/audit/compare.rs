//! Two packages side by side: what changed in spec, figures, verdicts and files, and which parts must be made again.
//!
//! Both specs are read and solved anew, as the audit does; a package that is not as its manifest says is told.

mod parts;
mod rails;
mod spec;

use std::collections::BTreeMap;

use serde::Serialize;

use super::manifest;
use super::package::{Plan, plan};
use super::report::AuditReport;
use crate::check::{Finding, Status};
use crate::digest::sha256;
use crate::quantity::{self, both_units};
use crate::solve::Solution;
use crate::solve::solution::OrderLine;
use crate::spec::types::Unit;

pub use parts::{PartChange, Verdict};

/// Two packages compared: the older, then the newer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Keys of the spec, in the order of the newer one.
    pub spec: Vec<Change>,
    /// Figures that read otherwise now.
    pub figures: Vec<Change>,
    /// Rules with another verdict.
    pub verdicts: Vec<Change>,
    /// Every part, and whether it must be made again.
    pub parts: Vec<PartChange>,
    /// Lines of the order list.
    pub order: Vec<Change>,
    /// Files with other bytes: sheets to print again, outlines and solids to send again.
    pub files: Vec<Change>,
    /// What makes the comparison doubtful.
    pub doubts: Vec<String>,
}

/// One thing before and after; `None` where it is not there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// What it is.
    pub what: String,
    /// In the older package.
    pub before: Option<String>,
    /// In the newer.
    pub after: Option<String>,
}

impl Comparison {
    /// Whether the two are the same in every byte of spec and files.
    pub fn same(&self) -> bool {
        self.spec.is_empty() && self.files.is_empty() && self.figures.is_empty() && self.order.is_empty()
    }

    /// Whether any part must be made, or made again.
    pub fn work(&self) -> bool {
        self.parts.iter().any(|part| matches!(part.verdict, Verdict::Again | Verdict::New))
    }
}

/// Files by path.
type Files = BTreeMap<String, Vec<u8>>;

/// Compares an older package with a newer one; or says which of them (0 or 1) cannot be read, and why.
pub fn compare(before: &Files, after: &Files) -> Result<Comparison, (usize, String)> {
    let mut doubts = Vec::new();
    let mut read = |index: usize, files: &Files| {
        let mut report = AuditReport::default();
        manifest::check(files, &mut report);
        let which = if index == 0 { "older" } else { "newer" };
        if let Some(line) = report.lines.iter().find(|line| !line.good) {
            doubts.push(format!(
                "the {which} package is not as it was made: {}, {}: expected {}, found {}; audit it first",
                line.file, line.what, line.expected, line.found
            ));
        }
        let mut report = AuditReport::default();
        plan(files, &mut report).ok_or_else(|| {
            let line = report.lines.first();
            (index, line.map_or_else(String::new, |line| format!("{}: {}", line.what, line.found)))
        })
    };
    let (old, new) = (read(0, before)?, read(1, after)?);
    let [was, is] = [&old, &new].map(|plan| plan.spec.build.vehicle.as_str());
    if was != is {
        doubts.push(format!(
            "these are packages of two vehicles, \"{was}\" and \"{is}\": their parts are compared by name alone"
        ));
    }
    let units = new.spec.build.units;
    let text =
        |files: &Files| String::from_utf8_lossy(files.get("linkage.toml").map_or(&[][..], Vec::as_slice)).into_owned();
    Ok(Comparison {
        spec: spec::changes(&text(before), &text(after)),
        figures: figures(&old.solution, &new.solution, units),
        verdicts: verdicts(&old.findings, &new.findings),
        parts: parts::parts(&old, &new),
        order: order(&old.solution.order, &new.solution.order, units),
        files: files(before, after),
        doubts,
    })
}

/// Figures by name, as people read them.
fn told(solution: &Solution, units: Unit) -> Vec<(String, String)> {
    let length = |mm: f64| both_units(mm, units);
    let degrees = |value: f64| quantity::degrees(value, 1);
    let mut all = Vec::new();
    let mut add = |what: String, text: String| all.push((what, text));
    for joint in &solution.joints {
        let name = &joint.name;
        add(format!("joint {name}, working angle"), degrees(joint.angle));
        add(format!("joint {name}, shaft in its column-side hub"), length(joint.upper_engagement));
        add(format!("joint {name}, shaft in its gear-side hub"), length(joint.lower_engagement));
        add(format!("joint {name}, between shaft ends"), length(joint.end_clearance));
    }
    for shaft in &solution.shafts {
        let name = &shaft.name;
        add(format!("shaft {name}, finished length"), length(shaft.cut_length));
        add(format!("shaft {name}, sawing length"), length(shaft.cut_long));
        add(format!("shaft {name}, yoke phase off its best"), degrees(shaft.twist.off_max));
        for (n, dimple) in shaft.dimples.iter().enumerate() {
            add(format!("shaft {name}, dimple {}, from its end", n + 1), length(dimple.station));
        }
    }
    add("gear ahead and behind the wheel".into(), quantity::degrees(solution.motion.error, 2));
    for stress in &solution.strength.shafts {
        add(format!("shaft {}, margin to yield", stress.name), quantity::factor(stress.yield_margin));
    }
    for row in &solution.clearances {
        add(format!("gap, {} to {}", row.part, row.obstacle), length(row.gap));
    }
    for notch in &solution.notches {
        add(format!("notch {}, along the rail", notch.name), length(notch.width));
        add(format!("notch {}, round it", notch.name), length(notch.depth));
        let left = 100.0 * notch.section.left.s_min / notch.section.full.s_min;
        add(format!("notch {}, section modulus left", notch.name), format!("{} %", quantity::fixed(left, 0)));
    }
    all
}

/// Rows of two lists by name: changed ones, then those gone.
fn paired(old: Vec<(String, String)>, new: Vec<(String, String)>) -> Vec<Change> {
    let mut left = old;
    let mut changes = Vec::new();
    for (what, after) in new {
        let at = left.iter().position(|(name, _)| *name == what);
        let before = at.map(|at| left.remove(at).1);
        if before.as_ref() != Some(&after) {
            changes.push(Change { what, before, after: Some(after) });
        }
    }
    changes.extend(left.into_iter().map(|(what, before)| Change { what, before: Some(before), after: None }));
    changes
}

fn figures(old: &Solution, new: &Solution, units: Unit) -> Vec<Change> {
    paired(told(old, units), told(new, units))
}

fn verdicts(old: &[Finding], new: &[Finding]) -> Vec<Change> {
    let rows = |findings: &[Finding]| {
        let row = |finding: &Finding| (format!("{} on {}", finding.rule, finding.subject), finding.status);
        findings.iter().map(row).collect::<Vec<_>>()
    };
    let words = |status: Status| status.words().to_owned();
    let mut left = rows(old);
    let mut changes = Vec::new();
    for (what, after) in rows(new) {
        let at = left.iter().position(|(name, _)| *name == what);
        let before = at.map(|at| left.remove(at).1);
        // A rule that has something new to judge and finds it good is no news.
        if before != Some(after) && (before.is_some() || after != Status::Pass) {
            changes.push(Change { what, before: before.map(words), after: Some(words(after)) });
        }
    }
    let gone = left.into_iter().filter(|(_, status)| *status != Status::Pass);
    changes.extend(gone.map(|(what, before)| Change { what, before: Some(words(before)), after: None }));
    changes
}

fn order(old: &[OrderLine], new: &[OrderLine], units: Unit) -> Vec<Change> {
    let rows = |lines: &[OrderLine]| {
        let row = |line: &OrderLine| {
            let long = line.length.map(|mm| format!(", {}", both_units(mm, units))).unwrap_or_default();
            (format!("{}, {}", line.item, line.what), format!("{}{long}", line.quantity))
        };
        lines.iter().map(row).collect()
    };
    paired(rows(old), rows(new))
}

/// Files with other bytes, by the first of their hashes.
fn files(old: &Files, new: &Files) -> Vec<Change> {
    let rows = |files: &Files| {
        let short = |bytes: &[u8]| sha256(bytes).chars().take(12).collect::<String>();
        files.iter().map(|(path, bytes)| (path.clone(), short(bytes))).collect()
    };
    paired(rows(old), rows(new))
}

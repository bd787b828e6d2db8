//! Templates of liners, sleeves and doublers against the solution.

use super::AuditReport;
use super::package::Plan;
use super::paper::{curve, mark};
use super::template::Loop;
use crate::geometry::{Path, Vec2};
use crate::solve::doubler_part;
use crate::solve::files::RepairPart;

/// Heading of its template.
pub(super) const fn document(part: RepairPart) -> &'static str {
    match part {
        RepairPart::Liner => "wrap template",
        RepairPart::Doubler(_) => "doubler template",
    }
}

/// Outlines planned, in the template's own coordinates, and the first coordinate its L counts from (mm).
pub(super) fn loops(
    plan: &Plan,
    (i, part): (usize, RepairPart),
    report: &mut AuditReport,
    file: &str,
) -> (Vec<Loop>, f64) {
    let notch = &plan.solution.notches[i];
    let (outlines, from): (Vec<Path>, f64) = match part {
        RepairPart::Liner => {
            (notch.liner.iter().filter_map(|liner| Path::polyline(&liner.outline, true)).collect(), 0.0)
        }
        // Its drawing counts up from the plate's lower edge.
        RepairPart::Doubler(number) => {
            let paths = notch.doublers.get(number).into_iter().flat_map(doubler_part::paths);
            let paths: Vec<Path> = paths.collect();
            let foot = paths.iter().map(|path| path.bounds().0.y).fold(f64::INFINITY, f64::min);
            (paths.iter().map(|path| path.moved(Vec2::new(0.0, -foot))).collect(), mark(plan, i))
        }
    };
    let key = |n: usize| format!("outline.{}", n + 1);
    let planned: Vec<Loop> = outlines
        .iter()
        .enumerate()
        .map(|(n, path)| Loop { key: key(n), what: key(n), curve: curve(path), round: None, cut: true })
        .collect();
    if planned.is_empty() {
        report.wrong(file, "outline", "one in the solution", "none");
    }
    (planned, from)
}

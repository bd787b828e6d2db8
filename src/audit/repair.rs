//! Templates of liners, sleeves and doublers against the solution.

use super::AuditReport;
use super::package::Plan;
use super::paper::{curve, mark};
use super::template::Loop;
use crate::geometry::{Path, Vec2};
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
    let (outlines, from): (Vec<&Vec<Vec2>>, f64) = match part {
        RepairPart::Liner => (notch.liner.iter().map(|liner| &liner.outline).collect(), 0.0),
        // Its drawing counts up from the plate's lower edge.
        RepairPart::Doubler(number) => {
            (notch.doublers.get(number).iter().flat_map(|doubler| &doubler.outline).collect(), mark(plan, i))
        }
    };
    let foot = match part {
        RepairPart::Liner => 0.0,
        RepairPart::Doubler(_) => {
            outlines.iter().flat_map(|points| points.iter()).map(|p| p.y).fold(f64::INFINITY, f64::min)
        }
    };
    let key = |n: usize| format!("outline.{}", n + 1);
    let planned: Vec<Loop> = outlines
        .iter()
        .enumerate()
        .filter_map(|(n, points)| {
            let lowered: Vec<Vec2> = points.iter().map(|p| Vec2::new(p.x, p.y - foot)).collect();
            let path = Path::polyline(&lowered, true)?;
            Some(Loop { key: key(n), what: key(n), curve: curve(&path), round: None, cut: true })
        })
        .collect();
    if planned.is_empty() {
        report.wrong(file, "outline", "one in the solution", "none");
    }
    (planned, from)
}

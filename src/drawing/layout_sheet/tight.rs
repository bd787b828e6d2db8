//! The tightest gaps on the layout sheet: where they are in the views, and in a table.

use super::{Placed, Strip, name};
use crate::drawing::sheet::{Role, Sheet};
use crate::drawing::table::Table;
use crate::drawing::value;
use crate::geometry::{Path, Vec2, Vec3};
use crate::solve::Solution;
use crate::solve::gap_curve::{marked, tightest};
use crate::solve::solution::Clearance;
use crate::spec::Spec;

/// Rows of the table: those marked and the next tightest.
const ROWS: usize = 8;
/// Half the width of a mark, and radius of the ring at the taped position (mm on paper).
const MARK: f64 = 1.3;
const RING: f64 = 0.9;

/// Every place that a mark is put.
pub(super) fn places(solution: &Solution) -> Vec<Vec3> {
    let of_row = |row: &Clearance| [row.point, row.taped.map_or(row.point, |taped| taped.point)];
    marked(solution).into_iter().flat_map(of_row).collect()
}

/// A cross where each gap is least, on the obstacle; a ring where that was as taped, joined to it by a thin line. The
/// paper they take is added to `strips`.
pub(super) fn marks(sheet: &mut Sheet, solution: &Solution, placed: &Placed, strips: &mut Vec<Strip>) {
    for (i, row) in marked(solution).into_iter().enumerate() {
        let at = placed.at(row.point);
        let key = format!("{}.gap.{}", placed.view.key(), i + 1);
        let arm = Vec2::new(MARK, MARK);
        sheet.keyed(Role::Outline, key, Path::line(at - arm, at + arm));
        let arm = Vec2::new(MARK, -MARK);
        sheet.line(Role::Outline, Path::line(at - arm, at + arm));
        strips.push(Strip { ends: [at; 2], half: 1.5 * MARK });
        if let Some(taped) = row.taped.map(|taped| placed.at(taped.point)).filter(|p| (*p - at).length() > 2.0 * MARK) {
            sheet.line(Role::Dimension, Path::circle(taped, RING));
            let toward = (at - taped).unit().unwrap_or_default();
            let ends = [taped + toward * RING, at - toward * MARK];
            sheet.line(Role::Dimension, Path::line(ends[0], ends[1]));
            strips.push(Strip { ends: [taped, at], half: 1.2 * RING });
        }
    }
}

/// Their names.
pub(super) fn names(
    sheet: &mut Sheet,
    solution: &Solution,
    placed: &Placed,
    strips: &mut Vec<Strip>,
    taken: &mut Vec<[Vec2; 2]>,
) {
    for (i, row) in marked(solution).into_iter().enumerate() {
        name(sheet, placed.area, (placed.at(row.point), MARK), &format!("G{}", i + 1), strips, taken);
    }
}

/// Between what each mark is.
pub(super) fn told(solution: &Solution) -> Vec<String> {
    let rows = marked(solution).into_iter().enumerate();
    rows.map(|(i, row)| format!("G{} the gap of {} to {}", i + 1, row.part, row.obstacle)).collect()
}

/// The tightest gaps: as taped, at their least, and with what.
pub(super) fn table(spec: &Spec, solution: &Solution) -> Table {
    let mut table = Table::new(&[
        ("", 9.0),
        ("from", 32.0),
        ("to", 40.0),
        ("as taped", 23.0),
        ("least", 23.0),
        ("needed", 23.0),
        ("with", 40.0),
    ]);
    let build = &spec.build;
    let count = marked(solution).len();
    for (i, row) in tightest(solution).into_iter().take(ROWS).enumerate() {
        let mark = if i < count { format!("G{}", i + 1) } else { String::new() };
        let with = spec.motions_at(&row.at).join("\n");
        table.row([
            mark,
            row.part.clone(),
            row.obstacle.clone(),
            value::two_lines(build, row.taped.map_or(row.gap, |taped| taped.gap)),
            value::two_lines(build, row.judged()),
            value::two_lines(build, row.need),
            with,
        ]);
    }
    table
}

/// What the marks in the views mean; nothing where there are none.
pub(super) fn legend(solution: &Solution) -> Option<String> {
    let marked = marked(solution);
    let ring =
        if marked.iter().any(|row| row.taped.is_some()) { ", a ring joined to it where that was as taped" } else { "" };
    let marks = match marked.len() {
        0 => return None,
        1 => "G1 in the views:".to_owned(),
        count => format!("G1 to G{count} in the views:"),
    };
    Some(format!("{marks} a cross on the obstacle where the gap is least{ring}."))
}

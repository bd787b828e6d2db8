//! Pictures of the build record: how it turns, what another twist would do, torque and shear along the chain.

use super::plot::{Curve, Plot};
use super::table::Pages;
use crate::solve::Solution;
use crate::solve::curves::{self, Turn};
use crate::spec::Spec;

/// Height of a plot (mm).
const PLOT: f64 = 58.0;

/// Error and ratio over a turn, then error against the twist of every shaft where it makes a difference.
pub(super) fn motion(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    let turns = curves::turns(spec, solution);
    if turns.is_empty() {
        return;
    }
    let over_a_turn = |title, points: &dyn Fn(&Turn) -> &[(f64, f64)], pages: &mut Pages| {
        let plot = Plot {
            title,
            across: "column from n1, degrees",
            range: (0.0, 360.0),
            floor: None,
            curves: turns.iter().map(|turn| Curve { name: turn.name, points: points(turn) }).collect(),
            marks: ("", &[]),
        };
        pages.figure(PLOT, |sheet, area| plot.draw(sheet, area));
    };
    over_a_turn("gear less column, degrees", &|turn| &turn.lead, pages);
    over_a_turn("speed ratio, gear to column", &|turn| &turn.ratio, pages);
    for row in curves::by_twist(spec, solution) {
        let title = format!("error against the yoke phase of shaft {}, degrees", solution.shafts[row.shaft].name);
        let marks: &[(f64, f64)] =
            if row.reachable.is_empty() { std::slice::from_ref(&row.set) } else { &row.reachable };
        let plot = Plot {
            title: &title,
            across: "yoke phase, degrees",
            range: (0.0, 180.0),
            floor: Some(0.0),
            curves: vec![Curve { name: "error, the other shafts as set", points: &row.points }],
            marks: (if row.reachable.is_empty() { "as set" } else { "what its ends allow" }, marks),
        };
        pages.figure(PLOT, |sheet, area| plot.draw(sheet, area));
    }
}

/// Torque and shear from the first cross to the last.
pub(super) fn strength(pages: &mut Pages, solution: &Solution) {
    let (torque, shear) = curves::along(solution);
    let Some(&(length, _)) = torque.last() else { return };
    pages.figure(PLOT, |sheet, area| {
        let half = 0.5 * area.width() - 2.0;
        for (title, points, area) in
            [("greatest torque, N m", &torque, area.left(half)), ("greatest shear, MPa", &shear, area.right(half))]
        {
            let plot = Plot {
                title,
                across: "from the first cross along the chain, mm",
                range: (0.0, length),
                floor: Some(0.0),
                curves: vec![Curve { name: "", points }],
                marks: ("", &[]),
            };
            plot.draw(sheet, area);
        }
    });
}

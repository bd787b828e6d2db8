//! Pictures of the build record: how it turns, what another twist would do, torque and shear along the chain.

use super::layout::Area;
use super::plot::Plot;
use super::sheet::{Anchor, Sheet};
use super::table::Pages;
use crate::geometry::Vec2;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::curves::{Figure, Graph, figures, graph};
use crate::spec::Spec;

/// Height of a plot (mm).
const PLOT: f64 = 58.0;

/// A picture on a sheet of its own (mm): as wide as a page of the record, between margins.
const SHEET: [f64; 2] = [186.0, 74.0];
/// Margins of that sheet (mm).
const MARGIN: f64 = 5.0;

/// Error and ratio over a turn, then error against the twist of every shaft where it makes a difference.
pub(super) fn motion(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    for figure in figures(solution) {
        if matches!(figure, Figure::Torque | Figure::Shear | Figure::Gap(_)) {
            continue;
        }
        let Some(graph) = graph(spec, solution, figure) else { continue };
        pages.figure(PLOT, |sheet, area| Plot { graph: &graph, keyed: false }.draw(sheet, area));
    }
}

/// Torque and shear from the first cross to the last.
pub(super) fn strength(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    let graphs = [Figure::Torque, Figure::Shear].map(|figure| graph(spec, solution, figure));
    let [Some(torque), Some(shear)] = &graphs else { return };
    pages.figure(PLOT, |sheet, area| {
        let half = 0.5 * area.width() - 2.0;
        for (graph, area) in [(torque, area.left(half)), (shear, area.right(half))] {
            Plot { graph, keyed: false }.draw(sheet, area);
        }
    });
}

/// The tightest gaps that motions change, each against the motion that changes it most.
pub(super) fn gaps(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    for (number, figure) in figures(solution).into_iter().filter(|figure| matches!(figure, Figure::Gap(_))).enumerate()
    {
        let Some(graph) = graph(spec, solution, figure) else { continue };
        if number == 0 {
            pages.heading("The tightest gaps as things move");
        }
        pages.figure(PLOT, |sheet, area| Plot { graph: &graph, keyed: false }.draw(sheet, area));
    }
}

/// A picture on a sheet of its own, with names on its curves; `None` where there is nothing to show.
pub fn sheet(spec: &Spec, solution: &Solution, figure: Figure) -> Option<Sheet> {
    let graph = graph(spec, solution, figure)?;
    let mut sheet = Sheet::new(graph.title.clone(), SHEET, false);
    sheet.alt = told(&graph);
    let [width, height] = SHEET;
    let area = Area::new(Vec2::new(0.0, 0.0), Vec2::new(width, height)).without(MARGIN, MARGIN, MARGIN, MARGIN);
    Plot { graph: &graph, keyed: true }.draw(&mut sheet, area);
    // Which spec it is of, for a picture that lies about alone.
    let hash = format!("spec {}", &spec.sha256[..12]);
    sheet.words(Vec2::new(area.high.x, 2.0), Anchor::End, super::layout::SMALL, hash);
    Some(sheet)
}

/// The picture in a sentence a curve.
fn told(graph: &Graph) -> String {
    let span = |points: &[(f64, f64)]| {
        let ends = points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), &(_, y)| (l.min(y), h.max(y)));
        let [low, high] = [ends.0, ends.1].map(|value| quantity::significant(value, 4));
        format!("{low} to {high}")
    };
    let curves = graph.curves.iter().map(|(name, points)| format!("{name} {}", span(points)).trim().to_owned());
    let curves: Vec<String> = curves.collect();
    format!("{} over {}: {}", graph.title, graph.across, curves.join("; "))
}

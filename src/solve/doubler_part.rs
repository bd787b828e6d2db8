//! Doublers as plates of their own: what a shop cuts for them.

use super::outline;
use super::solution::{DoublerResult, OpeningResult, PlateResult, Solution, Vertex};
use crate::geometry::{Path, Vec2};

/// Every doubler of every notch as a flat plate in its own frame. One that its notch parts in two has no one outline and
/// is left out.
pub fn plates(solution: &Solution) -> Vec<PlateResult> {
    let mut plates: Vec<PlateResult> = Vec::new();
    for notch in &solution.notches {
        for doubler in &notch.doublers {
            let mut name = format!("doubler {} {}", notch.name, doubler.face);
            let same = plates.iter().filter(|plate| plate.name.starts_with(&name)).count();
            if same > 0 {
                name = format!("{name} {}", same + 1);
            }
            plates.extend(plate(name, doubler));
        }
    }
    plates
}

fn plate(name: String, doubler: &DoublerResult) -> Option<PlateResult> {
    let area = |points: &[Vec2]| Path::polyline(points, true).map_or(0.0, |path| path.area());
    let (outer, inner): (Vec<_>, Vec<_>) = doubler.outline.iter().partition(|points| area(points) > 0.0);
    let [outline] = outer[..] else { return None };
    let straight = |points: &[Vec2]| points.iter().copied().map(Vertex::straight).collect::<Vec<_>>();
    let openings = inner.into_iter().enumerate().map(|(i, points)| {
        let mut outline = straight(points);
        outline.reverse();
        OpeningResult { name: format!("notch {}", i + 1), outline, ..OpeningResult::default() }
    });
    let openings: Vec<OpeningResult> = openings.collect();
    let taken: f64 =
        openings.iter().filter_map(|opening| outline::path(&opening.outline)).map(|path| path.area()).sum();
    Some(PlateResult {
        name,
        thick: doubler.thick,
        frame: doubler.frame.clone(),
        area: area(outline) - taken,
        outline: straight(outline),
        holes: Vec::new(),
        openings,
        bends: Vec::new(),
    })
}

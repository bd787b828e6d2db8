//! Doublers as plates of their own: what a shop cuts for them.

use super::outline;
use super::solution::{DoublerResult, OpeningResult, PlateResult, Solution};
use crate::geometry::Path;

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

/// The loops of a doubler as paths, anticlockwise round the plate.
pub fn paths(doubler: &DoublerResult) -> Vec<Path> {
    if doubler.curves.is_empty() {
        return doubler.outline.iter().filter_map(|points| Path::polyline(points, true)).collect();
    }
    doubler.curves.iter().filter_map(|vertices| outline::path(vertices)).collect()
}

fn plate(name: String, doubler: &DoublerResult) -> Option<PlateResult> {
    let (outer, inner): (Vec<Path>, Vec<Path>) = paths(doubler).into_iter().partition(|path| path.area() > 0.0);
    let [whole] = &outer[..] else { return None };
    let openings = inner.iter().enumerate().map(|(i, path)| {
        let outline = outline::vertices(&path.reversed());
        OpeningResult { name: format!("notch {}", i + 1), outline, ..OpeningResult::default() }
    });
    Some(PlateResult {
        name,
        thick: doubler.thick,
        frame: doubler.frame.clone(),
        area: whole.area() + inner.iter().map(Path::area).sum::<f64>(),
        outline: outline::vertices(whole),
        holes: Vec::new(),
        openings: openings.collect(),
        bends: Vec::new(),
    })
}

//! How near a part comes to the rim of its opening over all motions.
//!
//! An opening is cut for the part where it was taped. Its wall is taken as blocks from the drawn face to the back along
//! the chords of its outline, which lie inside the outline where it is convex: the gap is never over-stated.

use super::bodies::Room;
use super::clearance::to_rim;
use super::outline::path;
use super::solution::{OpeningResult, PlateResult};
use super::travel::Linkage;
use crate::geometry::Vec2;
use crate::geometry::distance::{Convex, Solid};
use crate::spec::Spec;

/// Greatest distance (mm) of a chord from its arc.
const SAG: f64 = 0.02;

/// How far a block reaches into the metal (mm): any will do, since the part comes from inside.
const INTO: f64 = 0.1;

/// Fills in the least gap of every opening in a flat plate, where a motion moves the plate or the part.
pub(super) fn over_motions(spec: &Spec, rooms: &[Room], linkage: Option<&Linkage>, plates: &mut [PlateResult]) {
    if spec.motions.is_empty() {
        return;
    }
    for (i, (plate, solved)) in spec.plates.iter().zip(plates).enumerate() {
        if !plate.bends.is_empty() {
            continue;
        }
        let walls: Vec<Vec<Solid>> = solved.openings.iter().map(|opening| wall(solved, opening)).collect();
        for ((opening, result), wall) in plate.openings.iter().zip(&mut solved.openings).zip(walls) {
            result.over_motions = to_rim(spec, rooms, linkage, (opening.around, i, opening.clearance), wall);
        }
    }
}

/// The metal round an opening.
fn wall(plate: &PlateResult, opening: &OpeningResult) -> Vec<Solid> {
    let frame = &plate.frame;
    let points = path(&opening.outline).map(|path| path.flattened(SAG)).unwrap_or_default();
    let way = |p: Vec2| frame.u * p.x + frame.v * p.y;
    let next = points.iter().cycle().skip(1);
    let sides = points.iter().zip(next).filter(|(a, b)| (**b - **a).length() > 1e-9);
    sides
        .map(|(&a, &b)| {
            // Anticlockwise the metal lies to the right.
            let out = (b - a).unit().map_or(Vec2::default(), |ahead| -ahead.left());
            let edges = [way(b - a), frame.w * -plate.thick, way(out) * INTO];
            Solid::Convex(Convex::Block { corner: frame.origin + way(a), edges })
        })
        .collect()
}

//! The metal of a plate as convex pieces: its flat parts with their openings cut, and the curves of its bends.
//!
//! Bolt holes are not cut: what fills them is metal too. Rounded edges are followed by chords, and every piece is blown
//! up by as much as those can stray, so that the pieces hold all of the metal; a gap to them is at most [`STRAY`] × 2
//! less than to the plate.

use super::bend::Folds;
use super::outline::{path, rounded};
use super::solution::PlateResult;
use crate::geometry::distance::{Convex, Solid};
use crate::geometry::{Frame, Vec2, Vec3};
use crate::spec::types::Plate;

/// How far a chord can be from its arc (mm).
pub const STRAY: f64 = 0.05;

/// The pieces of a solved plate.
pub fn plate_solids(plate: &Plate, result: &PlateResult) -> Vec<Solid> {
    let opened = rounded(&plate.outline);
    let (Ok(folds), Some(outline)) = (Folds::new(plate, &opened), path(&opened)) else { return Vec::new() };
    let frame = &result.frame;
    let base = Frame { origin: frame.origin, x: frame.u, y: frame.v, z: frame.w };
    let outline = outline.flattened(STRAY);
    let openings: Vec<Vec<Vec2>> =
        result.openings.iter().filter_map(|opening| Some(path(&opening.outline)?.flattened(STRAY))).collect();
    let mut solids = Vec::new();
    for carrying in folds.flanges(opened.iter().map(|vertex| vertex.at)) {
        let mut loops = vec![folds.clipped(&outline, &carrying)];
        for (edge, opening) in openings.iter().zip(&result.openings) {
            if folds.carrying(folds.opened(opening.centre, &carrying)) == carrying {
                loops.push(edge.iter().map(|p| folds.opened(*p, &carrying)).collect());
            }
        }
        let place = folds.frame(&base, &carrying);
        let back = place.z * -result.thick;
        for corners in trapezoids(&loops) {
            let corners = corners.map(|p| place.out(Vec3::new(p.x, p.y, 0.0)));
            solids.push(Solid::Convex(Convex::Prism { corners, edge: back, round: STRAY }));
        }
    }
    solids.extend(folds.curls(&base, plate, &opened).into_iter().map(Solid::Revolved));
    solids
}

/// A region of loops (even-odd) cut into trapezoids between the uprights through its corners, two corners on each.
fn trapezoids(loops: &[Vec<Vec2>]) -> Vec<[Vec2; 4]> {
    /// Slabs thinner than this (mm) hold nothing.
    const THIN: f64 = 1e-9;
    let mut uprights: Vec<f64> = loops.iter().flatten().map(|p| p.x).collect();
    uprights.sort_by(f64::total_cmp);
    uprights.dedup_by(|b, a| *b - *a < THIN);
    let mut pieces = Vec::new();
    for pair in uprights.windows(2) {
        let [low, high] = pair else { continue };
        // Every side that crosses the slab, by its heights at both ends of it.
        let mut sides: Vec<[f64; 2]> = loops
            .iter()
            .flat_map(|points| points.iter().zip(points.iter().cycle().skip(1)))
            .filter_map(|(a, b)| {
                let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
                let crosses = a.x <= low + THIN && b.x >= high - THIN && b.x - a.x > THIN;
                let at = |x: f64| a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x)).clamp(0.0, 1.0);
                crosses.then(|| [at(*low), at(*high)])
            })
            .collect();
        sides.sort_by(|a, b| (a[0] + a[1]).total_cmp(&(b[0] + b[1])));
        for between in sides.chunks_exact(2) {
            let [under, over] = between else { continue };
            let corner = |x: f64, y: f64| Vec2::new(x, y);
            pieces.push([
                corner(*low, under[0]),
                corner(*high, under[1]),
                corner(*high, over[1]),
                corner(*low, over[0]),
            ]);
        }
    }
    pieces
}

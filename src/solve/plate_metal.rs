//! The metal of a plate as convex pieces: its flat parts with their openings cut, and the curves of its bends.
//!
//! Bolt holes are not cut: what fills them is metal too. Rounded edges are followed by chords, and every piece is blown
//! up by as much as those can stray, so that the pieces hold all of the metal; a gap to them is at most [`STRAY`] × 2
//! less than to the plate.

use super::folded::{FoldedBend, folded};
use super::outline::path;
use super::solution::PlateResult;
use crate::geometry::distance::{Convex, Profile, Revolved, Solid};
use crate::geometry::{Frame, Vec2, contour};

/// How far a chord can be from its arc (mm).
pub const STRAY: f64 = 0.05;

/// The pieces of a solved plate.
pub fn plate_solids(plate: &PlateResult) -> Vec<Solid> {
    let (Some(folded), Some(outline)) = (folded(plate), path(&plate.outline)) else { return Vec::new() };
    let base = Frame { origin: plate.frame.origin, x: plate.frame.u, y: plate.frame.v, z: plate.frame.w };
    let outline = outline.flattened(STRAY);
    let mut solids = Vec::new();
    for (flange, place) in folded.flanges.iter().map(|flange| (flange, base.carried(&flange.frame))) {
        let mut loops = vec![folded.stretch(flange, &outline)];
        let here = plate.openings.iter().filter(|opening| folded.flange(opening.centre) == Some(flange));
        loops.extend(here.filter_map(|opening| Some(path(&opening.outline)?.flattened(STRAY))));
        let back = place.z * -plate.thick;
        for corners in trapezoids(&loops) {
            let corners = corners.map(|p| place.on_plane(p));
            solids.push(Solid::Convex(Convex::Prism { corners, edge: back, round: STRAY }));
        }
    }
    let curves = folded.bends.iter().filter_map(|bend| curve(bend, &outline, &base, plate.thick));
    solids.extend(curves.map(Solid::Revolved));
    solids
}

/// The metal of a bend, from edge to edge.
fn curve(bend: &FoldedBend, outline: &[Vec2], base: &Frame, thick: f64) -> Option<Revolved> {
    let [turn, length] = bend.turn;
    let strip = contour::clipped(outline, bend.at, bend.across);
    let strip = contour::clipped(&strip, bend.at + bend.across * length, -bend.across);
    let along = bend.across.left();
    let reach = strip.iter().map(|p| (*p - bend.at).dot(along));
    let height = reach.fold([f64::INFINITY, f64::NEG_INFINITY], |[l, h], e| [l.min(e), h.max(e)]);
    let inside = if bend.up { bend.radius } else { bend.radius - thick };
    // Up, it turns against the axis.
    let start = if bend.up { -turn } else { 0.0 };
    let profile = Profile::Rectangle { radius: [inside, inside + thick], height };
    (height[0] < height[1]).then(|| Revolved { frame: base.carried(&bend.axis), start, sweep: turn, profile })
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

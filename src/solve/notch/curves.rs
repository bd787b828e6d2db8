//! The outlines as curves: what is drawn, cut and made solid.

use crate::geometry::contour::{self, sides};
use crate::geometry::segment::nearest_on;
use crate::geometry::{Path, Vec2, hug};

use super::shop::Bounds;

/// Arcs and cubics outside loops of points, each at most [`hug::FARTHEST`] off and never inside; a loop that none can be
/// proved for stays straight from point to point.
///
/// Bends that a tool must follow from inside are kept as wide as `corner` (mm).
pub(super) fn fitted(loops: &[Vec<Vec2>], bounds: &Bounds, corner: f64) -> Vec<Path> {
    let bare = |a: Vec2, b: Vec2| bounds.bare(a, b);
    loops
        .iter()
        .filter_map(|points| hug::along(points, &bare, corner).or_else(|| Path::polyline(points, true)))
        .collect()
}

/// The same for what is left of a plate, anticlockwise: inside of its loops where they are cut, the edges of the uncut
/// plate as they are.
pub(super) fn left_standing(loops: &[Vec<Vec2>], uncut: &[Vec2]) -> Vec<Path> {
    let on = |p: Vec2, (a, b): (Vec2, Vec2)| (p - nearest_on(p, a, b)).length() <= contour::SAME;
    let own = |a: Vec2, b: Vec2| sides(uncut).any(|side| on(a, side) && on(b, side));
    let fit = |points: &Vec<Vec2>| {
        // The other way round what is cut away lies to the left.
        let round: Vec<Vec2> = points.iter().rev().copied().collect();
        let path = hug::in_arcs(&round, &own, 0.0).map(|path| path.reversed());
        path.or_else(|| Path::polyline(points, true))
    };
    loops.iter().filter_map(fit).collect()
}

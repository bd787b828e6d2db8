//! The outlines as curves: what is drawn, cut and made solid.

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

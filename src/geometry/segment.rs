//! Straight pieces in the plane.

use super::Vec2;

/// The point nearest to `p` of the piece from `a` to `b` (mm); `a` where that has no length.
pub fn nearest_on(p: Vec2, a: Vec2, b: Vec2) -> Vec2 {
    let along = b - a;
    let square = along.dot(along);
    if square > 0.0 { a + along * ((p - a).dot(along) / square).clamp(0.0, 1.0) } else { a }
}

/// Distance (mm) of a point from the piece from `a` to `b`.
pub fn off(p: Vec2, a: Vec2, b: Vec2) -> f64 {
    (nearest_on(p, a, b) - p).length()
}

/// Distance (mm) of two pieces, 0 where they cross.
pub fn apart((a, b): (Vec2, Vec2), (c, d): (Vec2, Vec2)) -> f64 {
    let side = |p: Vec2, q: Vec2, r: Vec2| (q - p).cross(r - p);
    if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
        return 0.0;
    }
    off(a, c, d).min(off(b, c, d)).min(off(c, a, b)).min(off(d, a, b))
}

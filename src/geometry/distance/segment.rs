//! Points and segments, in closed form.

use crate::geometry::Vec3;

/// Point of the segment from `a` to `b` nearest to `p`.
pub fn point_segment(p: Vec3, a: Vec3, b: Vec3) -> Vec3 {
    let along = b - a;
    let square = along.dot(along);
    if square <= 0.0 {
        return a;
    }
    a + along * ((p - a).dot(along) / square).clamp(0.0, 1.0)
}

/// Nearest points of the segments `a` to `b` and `c` to `d`.
///
/// The least is either where the common perpendicular stands on both, or at
/// an end of one of them: all five are tried, so parallel and pointlike
/// segments need no case of their own. Derived; the two normal equations are
/// those of Ericson, Real-Time Collision Detection (2005), 5.1.9 (from memory).
pub fn segment_segment(a: Vec3, b: Vec3, c: Vec3, d: Vec3) -> (Vec3, Vec3) {
    let (p, q, r) = (b - a, d - c, a - c);
    let (pp, qq, pq) = (p.dot(p), q.dot(q), p.dot(q));
    // Zero for parallel lines; from the vector product, because pp·qq − pq² loses half the digits near it.
    let normal = p.cross(q);
    let square = normal.dot(normal);
    let ends = [
        (a, point_segment(a, c, d)),
        (b, point_segment(b, c, d)),
        (point_segment(c, a, b), c),
        (point_segment(d, a, b), d),
    ];
    let mut best = ends[0];
    let mut take = |pair: (Vec3, Vec3)| {
        if (pair.0 - pair.1).length() < (best.0 - best.1).length() {
            best = pair;
        }
    };
    ends.into_iter().for_each(&mut take);
    if square > 0.0 {
        let s = (pq * q.dot(r) - qq * p.dot(r)) / square;
        let t = (pp * q.dot(r) - pq * p.dot(r)) / square;
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            take((a + p * s, c + q * t));
        }
    }
    best
}

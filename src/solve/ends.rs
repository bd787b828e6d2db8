//! Two shaft ends inside one joint: how near they are, how far one can go.
//!
//! In the bend plane each shaft is a full-round rectangle that ends a gap short of the cross. Setback formulas for
//! equal ends: reference handbooks of the trade give none; derived: s ≥ r tan(β/2) + g / (2 cos(β/2)).

use crate::geometry::{Vec2, segment};

/// Least distance (mm) of the two shafts' ends in the bend plane; 0 where they touch or overlap.
///
/// `gap` cross to end, `radius` of each shaft (mm), `angle` β between their axes (rad, 0 in line).
pub fn end_clearance(gap: [f64; 2], radius: [f64; 2], angle: f64) -> f64 {
    // Far longer than any part that could be nearest: the nearest points lie at the ends.
    let length = 4.0 * (gap[0].abs() + gap[1].abs() + radius[0] + radius[1]);
    let upper = rectangle(Vec2::new(-1.0, 0.0), gap[0], length, radius[0]);
    let lower = rectangle(Vec2::polar(angle), gap[1], length, radius[1]);
    if overlap(&upper, &lower) {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    for (a, b) in [(&upper, &lower), (&lower, &upper)] {
        for &corner in a {
            for (i, &from) in b.iter().enumerate() {
                least = least.min(segment::off(corner, from, b[(i + 1) % 4]));
            }
        }
    }
    least
}

/// Least gap (mm) to which a shaft can go on toward the cross before it meets the other, whose gap is `other`.
///
/// `radius` is its own, then the other's. Never more than `now`, where it stands. The shaft sweeps a strip as wide as
/// itself: it stops at the nearest point of the other's rectangle in that strip.
pub fn least_setback(other: f64, radius: [f64; 2], angle: f64, now: f64) -> f64 {
    let [own, its] = radius;
    let length = 4.0 * (now.abs() + other.abs() + own + its);
    let corners = rectangle(Vec2::polar(angle), other, length, its);
    let mut nearest = f64::INFINITY;
    for (i, &from) in corners.iter().enumerate() {
        let to = corners[(i + 1) % 4];
        if from.y.abs() <= own {
            nearest = nearest.min(from.x);
        }
        // Where an edge enters or leaves the strip.
        for side in [-own, own] {
            if (from.y - side) * (to.y - side) < 0.0 {
                nearest = nearest.min(from.x + (to.x - from.x) * (side - from.y) / (to.y - from.y));
            }
        }
    }
    // A point at x is met at a gap of −x. Past the other's end, where it lies beside the strip, nothing is met.
    (-nearest).max(-other.abs() - own - its).min(now)
}

/// Corners of a shaft's rectangle: along `direction` from `gap` to `gap + length`, `radius` either side.
fn rectangle(direction: Vec2, gap: f64, length: f64, radius: f64) -> [Vec2; 4] {
    let side = direction.left() * radius;
    let (near, far) = (direction * gap, direction * (gap + length));
    [near + side, far + side, far - side, near - side]
}

/// Whether two convex quadrilaterals share a point, by their separating axes.
fn overlap(a: &[Vec2; 4], b: &[Vec2; 4]) -> bool {
    [a, b].into_iter().all(|quad| {
        (0..4).all(|i| {
            let axis = (quad[(i + 1) % 4] - quad[i]).left();
            let span = |points: &[Vec2; 4]| {
                points
                    .iter()
                    .map(|p| p.dot(axis))
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| (low.min(d), high.max(d)))
            };
            let (al, ah) = span(a);
            let (bl, bh) = span(b);
            al <= bh && bl <= ah
        })
    })
}

//! Shapes a shop cuts more easily than the traced one: a slot with round ends, a rectangle with round corners.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::geometry::Vec2;

use super::trace::OUTLINE;

/// Directions in which a slot is tried, over half a turn.
const DIRECTIONS: u32 = 36;

/// Halvings in which a rectangle's margin is found.
const HALVINGS: u32 = 40;

/// The slot of least area, its round ends of at least `corner`, that holds a loop; a round where that is less.
pub(super) fn slot(points: &[Vec2], corner: f64) -> Vec<Vec2> {
    let best = (0..DIRECTIONS)
        .map(|k| Slot::along(points, Vec2::polar(PI * f64::from(k) / f64::from(DIRECTIONS)), corner))
        .min_by(|a, b| a.area().total_cmp(&b.area()));
    best.map_or_else(Vec::new, |slot| rounded_outline(&[slot.from, slot.to], slot.radius))
}

#[derive(Debug, Clone, Copy)]
struct Slot {
    from: Vec2,
    to: Vec2,
    radius: f64,
}

impl Slot {
    fn along(points: &[Vec2], way: Vec2, corner: f64) -> Self {
        let side = way.left();
        let range = |pick: &dyn Fn(Vec2) -> f64| {
            points.iter().map(|&p| pick(p)).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)))
        };
        let (low, high) = range(&|p| p.dot(side));
        let middle = f64::midpoint(low, high);
        let radius = (0.5 * (high - low)).max(corner);
        // How far each end's centre must go for its round to hold every point.
        let cap = |p: Vec2| {
            let off = p.dot(side) - middle;
            (radius * radius - off * off).max(0.0).sqrt()
        };
        let (_, last) = range(&|p| p.dot(way) - cap(p));
        let (first, _) = range(&|p| p.dot(way) + cap(p));
        let at = |along: f64| way * along + side * middle;
        if first <= last {
            return Self { from: at(first), to: at(last), radius };
        }
        // One round holds all.
        let centre = at(f64::midpoint(first, last));
        let farthest = points.iter().map(|&p| (p - centre).length()).fold(corner, f64::max);
        Self { from: centre, to: centre, radius: farthest }
    }

    fn area(&self) -> f64 {
        PI * self.radius * self.radius + 2.0 * self.radius * (self.to - self.from).length()
    }
}

/// The least rectangle along the rail, its corners rounded to `corner`, that holds a loop.
pub(super) fn rectangle(points: &[Vec2], corner: f64) -> Vec<Vec2> {
    let start = Vec2::new(f64::INFINITY, f64::INFINITY);
    let (low, high) = points.iter().fold((start, -start), |(low, high), p| {
        (Vec2::new(low.x.min(p.x), low.y.min(p.y)), Vec2::new(high.x.max(p.x), high.y.max(p.y)))
    });
    let (middle, half) = ((low + high) * 0.5, (high - low) * 0.5);
    // Centres of the corners' rounds, with a margin: none where the loop keeps out of the corners.
    let core = |margin: f64| Vec2::new((half.x + margin - corner).max(0.0), (half.y + margin - corner).max(0.0));
    let holds = |margin: f64| {
        let core = core(margin);
        points.iter().all(|&p| {
            let d = Vec2::new((p.x - middle.x).abs() - core.x, (p.y - middle.y).abs() - core.y);
            Vec2::new(d.x.max(0.0), d.y.max(0.0)).length() <= corner
        })
    };
    let (mut small, mut large) = (0.0, 2.0 * corner + half.length());
    if !holds(0.0) {
        for _ in 0..HALVINGS {
            let margin = f64::midpoint(small, large);
            if holds(margin) {
                large = margin;
            } else {
                small = margin;
            }
        }
        small = large;
    }
    let core = core(small);
    let at = |x: f64, y: f64| middle + Vec2::new(x * core.x, y * core.y);
    rounded_outline(&[at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)], corner)
}

/// What lies within a radius of a convex polygon, anticlockwise, enclosed by at most [`OUTLINE`].
fn rounded_outline(corners: &[Vec2], radius: f64) -> Vec<Vec2> {
    let half = (FRAC_PI_2 / libm::acos(radius / (radius + OUTLINE))).ceil().max(3.0);
    let step = PI / half / 2.0;
    let reach = radius / libm::cos(step / 2.0);
    let count = corners.len();
    let heading = |i: usize| {
        let (a, b) = (corners[i % count], corners[(i + 1) % count]);
        (b - a).unit()
    };
    // One point alone, or a polygon without width.
    let distinct: Vec<usize> = (0..count).filter(|&i| heading(i).is_some()).collect();
    if distinct.is_empty() {
        let count = (TAU / step).ceil();
        return (0..count as usize)
            .map(|k| corners[0] + Vec2::polar(TAU * k as f64 / count) * (radius / libm::cos(PI / count)))
            .collect();
    }
    let mut outline = Vec::new();
    for (k, &i) in distinct.iter().enumerate() {
        let next = distinct[(k + 1) % distinct.len()];
        let (Some(here), Some(after)) = (heading(i), heading(next)) else { continue };
        let from = here.angle() - FRAC_PI_2;
        let sweep = (after.angle() - here.angle()).rem_euclid(TAU);
        let pieces = (sweep / step).ceil().max(1.0);
        let centre = corners[(i + 1) % count];
        outline.extend((0..pieces as usize).map(|j| {
            let angle = from + sweep * (j as f64 + 0.5) / pieces;
            centre + Vec2::polar(angle) * reach.max(radius / libm::cos(sweep / pieces / 2.0))
        }));
    }
    outline
}

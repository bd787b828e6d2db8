//! Distances of cylinders, to cylinders and to boxes, to 1e-9 mm, which the collision library of the other checks does
//! not reach on rims: each is closed in from both sides by figures worked here.

use yokeline::geometry::distance::{Convex, closest};
use yokeline::geometry::{Frame, Vec3};

use super::distance::Numbers;
use super::{cylinder, p};

/// Either solid, about its middle: half as long along z as `half`, and round z or square.
struct Body {
    frame: Frame,
    half: f64,
    across: Across,
}

enum Across {
    Round(f64),
    Square([f64; 2]),
}

impl Body {
    /// Own coordinates of a point.
    fn own(&self, q: Vec3) -> [f64; 3] {
        let off = q - self.frame.origin;
        [off.dot(self.frame.x), off.dot(self.frame.y), off.dot(self.frame.z)]
    }

    /// The nearest point of the solid.
    fn onto(&self, q: Vec3) -> Vec3 {
        let [x, y, z] = self.own(q);
        let (x, y) = match self.across {
            Across::Round(radius) => {
                let share = (radius / x.hypot(y)).min(1.0);
                (x * share, y * share)
            }
            Across::Square([a, b]) => (x.clamp(-a, a), y.clamp(-b, b)),
        };
        let z = z.clamp(-self.half, self.half);
        self.frame.origin + self.frame.x * x + self.frame.y * y + self.frame.z * z
    }

    /// How far it reaches along a unit direction.
    fn reach(&self, way: Vec3) -> f64 {
        let [x, y, z] = [self.frame.x, self.frame.y, self.frame.z].map(|axis| axis.dot(way));
        let across = match self.across {
            Across::Round(radius) => radius * x.hypot(y),
            Across::Square([a, b]) => a * x.abs() + b * y.abs(),
        };
        self.frame.origin.dot(way) + across + self.half * z.abs()
    }
}

/// The distance lies between these two: the pair of points found, brought onto the solids, is at least that far apart,
/// and no direction parts the solids by more than it (Boyd and Vandenberghe, Convex Optimization, 2004, section 8.2.1,
/// from memory).
fn bounds((first, on_first): (&Body, Vec3), (second, on_second): (&Body, Vec3)) -> [f64; 2] {
    let (a, b) = (first.onto(on_first), second.onto(on_second));
    let upper = (a - b).length();
    let parted = |way: Vec3| -second.reach(-way) - first.reach(way);
    let Some(mut way) = (b - a).unit() else { return [0.0, upper] };
    let mut lower = parted(way);
    // Where a rim is nearest the direction is less sharp than the distance: better ones are looked for beside it, square
    // to an axis as long as it is.
    let axes = [first, second].map(|body| [body.frame.x, body.frame.y, body.frame.z]).concat();
    let mut step = 1e-4;
    for _ in 0..300 {
        if upper - lower <= 5e-10 {
            break;
        }
        let sides = axes.iter().filter_map(|&axis| way.cross(axis).unit()).flat_map(|side| [side, way.cross(side)]);
        let beside = sides.flat_map(|side| [way + side * step, way - side * step]);
        let better = beside.map(|way| way.unit().unwrap()).max_by(|a, b| parted(*a).total_cmp(&parted(*b))).unwrap();
        if parted(better) > lower {
            (way, lower) = (better, parted(better));
        } else {
            step *= 0.5;
        }
    }
    [lower.max(0.0), upper]
}

fn agree(pairs: usize, seed: u64) {
    let mut n = Numbers(seed);
    let mut apart = 0;
    for number in 0..pairs {
        let mut round = |shift: Vec3| {
            let (a, b, radius) = (n.point(100.0) + shift, n.point(100.0), n.between(2.0, 40.0));
            let axis = (b - a).unit().unwrap();
            let frame = Frame::from_z_x((a + b) * 0.5, axis, axis.any_normal()).unwrap();
            (cylinder(a, b, radius), Body { frame, half: (b - a).length() / 2.0, across: Across::Round(radius) })
        };
        let first = round(Vec3::default());
        let second = if number % 2 == 0 {
            round(p(90.0, 60.0, 0.0))
        } else {
            let mut frame = n.frame(100.0);
            frame.origin = frame.origin + p(60.0, 40.0, 0.0);
            let [a, b, c] = [0; 3].map(|_| n.between(5.0, 60.0));
            let edges = [frame.x * (2.0 * a), frame.y * (2.0 * b), frame.z * (2.0 * c)];
            let corner = frame.origin - (edges[0] + edges[1] + edges[2]) * 0.5;
            (Convex::Block { corner, edges }, Body { frame, half: c, across: Across::Square([a, b]) })
        };
        let found = closest(&first.0, &second.0);
        let [lower, upper] = bounds((&first.1, found.on_first), (&second.1, found.on_second));
        let gap = found.gap;
        assert!(gap >= lower - 1e-9 && gap <= upper + 1e-9, "pair {number}: {gap} not in {lower} to {upper}");
        assert!(upper - lower <= 1e-9, "pair {number}: {gap} in {lower} to {upper}");
        apart += usize::from(gap > 0.0);
    }
    assert!(apart * 2 > pairs, "{apart} pairs apart say little");
}

#[test]
fn distances_are_closed_in_from_both_sides() {
    agree(500, 11);
}

#[test]
#[ignore = "ten thousand pairs: run once by the gate"]
fn ten_thousand_distances_are_closed_in_from_both_sides() {
    agree(10_000, 12);
}

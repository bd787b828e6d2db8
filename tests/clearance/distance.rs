//! Distances of solids.

use std::f64::consts::{FRAC_PI_2, PI, SQRT_2};

use serde_json::Value;
use yokeline::geometry::distance::{
    Convex, Profile, Revolved, Solid, Support, closest, closest_below, closest_of, segment_segment, tube,
};
use yokeline::geometry::{Frame, Vec3};

use super::{cylinder, near, p};

fn point(value: &Value) -> Vec3 {
    let [x, y, z] = [0, 1, 2].map(|i| value[i].as_f64().unwrap());
    p(x, y, z)
}

/// A fixed run of numbers in 0 to 1 (Knuth's 64-bit congruential generator, upper bits).
pub(super) struct Numbers(pub(super) u64);

impl Numbers {
    pub(super) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    pub(super) fn point(&mut self, size: f64) -> Vec3 {
        p(self.between(-size, size), self.between(-size, size), self.between(-size, size))
    }

    pub(super) fn frame(&mut self, size: f64) -> Frame {
        let (origin, z, x) = (self.point(size), self.point(1.0), self.point(1.0));
        Frame::from_z_x(origin, z, x).unwrap()
    }
}

// ---- against numbers from outside ----

fn segments() -> Value {
    serde_json::from_str(include_str!("../reference/segments.json")).unwrap()
}

#[test]
fn segments_keep_the_published_distance() {
    // tests/reference/segments.json, `pair`.
    let case = &segments()["pair"];
    let [a, b, c, d] = [&case["first"][0], &case["first"][1], &case["second"][0], &case["second"][1]].map(point);
    let expected = case["distance"].as_f64().unwrap();
    let (q, r) = segment_segment(a, b, c, d);
    near((q - r).length(), expected, 1e-11);
    near(closest(&cylinder(a, b, 0.0), &cylinder(c, d, 0.0)).gap, expected, 1e-9);
    // Both feet lie between the ends, so radii come off as they are.
    near(closest(&cylinder(a, b, 3.0), &cylinder(c, d, 2.5)).gap, expected - 5.5, 1e-9);
}

#[test]
fn a_control_arm_keeps_its_rows() {
    // tests/reference/segments.json, `control_arm`; printed to 1e-6.
    let case = &segments()["control_arm"];
    let [first, second] = [&case["pivots"][0], &case["pivots"][1]].map(point);
    let (ball, c, d) = (point(&case["ball_joint"]), point(&case["fixed"][0]), point(&case["fixed"][1]));
    let axis = (second - first).unit().unwrap();
    let middle = (first + second) * 0.5;
    for row in case["rows"].as_array().unwrap() {
        let turned = first + (ball - first).turned(axis, row[0].as_f64().unwrap().to_radians());
        let (q, r) = segment_segment(middle, turned, c, d);
        near((q - r).length(), row[1].as_f64().unwrap(), 1e-6);
        near(closest(&cylinder(middle, turned, 0.0), &cylinder(c, d, 0.0)).gap, (q - r).length(), 1e-9);
    }
}

// ---- against closed forms, derived beside each ----

#[test]
fn cylinders_keep_their_closed_forms() {
    let x = |from: f64, to: f64, y: f64, r: f64| cylinder(p(from, y, 0.0), p(to, y, 0.0), r);
    // Crossing axes 100 apart, the common perpendicular inside both: 100 less both radii.
    let up = cylinder(p(0.0, -200.0, 100.0), p(0.0, 200.0, 100.0), 20.0);
    near(closest(&x(-200.0, 200.0, 0.0, 10.0), &up).gap, 70.0, 1e-9);
    // Parallel and side by side: 50 less both radii.
    near(closest(&x(0.0, 300.0, 0.0, 10.0), &x(100.0, 500.0, 50.0, 15.0)).gap, 25.0, 1e-9);
    // One behind the other on one axis, and beside it but still face to face: the gap of the faces.
    near(closest(&x(0.0, 100.0, 0.0, 10.0), &x(107.0, 200.0, 0.0, 30.0)).gap, 7.0, 1e-9);
    near(closest(&x(0.0, 100.0, 0.0, 10.0), &x(107.0, 200.0, 12.0, 30.0)).gap, 7.0, 1e-9);
    // Staggered: rim to rim, 30 along and 50 − 10 − 15 across.
    near(closest(&x(0.0, 100.0, 0.0, 10.0), &x(130.0, 500.0, 50.0, 15.0)).gap, 30_f64.hypot(25.0), 1e-9);
    // The end face before another's side: the axes' crossing point is nearest.
    let side = cylinder(p(140.0, 0.0, -80.0), p(140.0, 0.0, 90.0), 22.0);
    near(closest(&x(0.0, 100.0, 0.0, 10.0), &side).gap, 40.0 - 22.0, 1e-9);
    // A ball before the end face, off the axis but over the face; and past the rim.
    let ball = |y: f64| Convex::Ball { centre: p(120.0, y, 0.0), radius: 8.0 };
    near(closest(&x(0.0, 100.0, 0.0, 10.0), &ball(6.0)).gap, 12.0, 1e-9);
    near(closest(&x(0.0, 100.0, 0.0, 10.0), &ball(25.0)).gap, 20_f64.hypot(15.0) - 8.0, 1e-9);
    // Leaning over a plate at 40 degrees from the vertical, its low end's centre 50 up: the rim
    // hangs radius × sin 40 below that centre.
    let t = 40_f64.to_radians();
    let (low, high) = (p(5.0, 3.0, 50.0), p(5.0 + 80.0 * t.sin(), 3.0, 50.0 + 80.0 * t.cos()));
    let edges = [p(400.0, 0.0, 0.0), p(0.0, 400.0, 0.0), p(0.0, 0.0, 9.0)];
    let plate = Convex::Block { corner: p(-200.0, -200.0, -9.0), edges };
    let found = closest(&cylinder(low, high, 12.0), &plate);
    near(found.gap, 50.0 - 12.0 * t.sin(), 1e-9);
    near(found.on_second.z, 0.0, 1e-9);
}

#[test]
fn contact_and_overlap_are_zero() {
    let a = cylinder(p(0.0, 0.0, 0.0), p(100.0, 0.0, 0.0), 10.0);
    let touching = [
        cylinder(p(0.0, 25.0, 0.0), p(100.0, 25.0, 0.0), 15.0),
        cylinder(p(100.0, 3.0, 0.0), p(150.0, 3.0, 0.0), 15.0),
        cylinder(p(50.0, 30.0, -40.0), p(50.0, 30.0, 40.0), 20.0),
        Convex::Ball { centre: p(50.0, 0.0, 12.0), radius: 2.0 },
    ];
    for b in touching {
        near(closest(&a, &b).gap, 0.0, 1e-9);
    }
    let across = [
        cylinder(p(50.0, -30.0, 1.0), p(50.0, 30.0, 2.0), 3.0),
        cylinder(p(40.0, 0.0, 0.0), p(60.0, 0.0, 0.0), 3.0),
        Convex::Ball { centre: p(50.0, 1.0, 2.0), radius: 2.0 },
        Convex::Block {
            corner: p(-10.0, -10.0, -10.0),
            edges: [p(30.0, 0.0, 0.0), p(0.0, 30.0, 0.0), p(0.0, 0.0, 30.0)],
        },
    ];
    for b in across {
        near(closest(&a, &b).gap, 0.0, 0.0);
        near(closest(&b, &a).gap, 0.0, 0.0);
    }
}

/// A quarter bend of centre-line radius 80 about z, tube radius 20, from +x to +y.
fn quarter_bend() -> Solid {
    let frame = Frame::from_z_x(Vec3::default(), p(0.0, 0.0, 1.0), p(1.0, 0.0, 0.0)).unwrap();
    let profile = Profile::Disc { arm: 80.0, radius: 20.0 };
    Solid::Revolved(Revolved { frame, start: 0.0, sweep: FRAC_PI_2, profile })
}

fn gap(first: &Convex, second: &Solid) -> f64 {
    let found = closest_below(first, second, f64::INFINITY).unwrap();
    assert!(found.slack <= 1e-7, "not certain: {found:?}");
    near((found.on_first - found.on_second).length(), found.gap, 1e-9);
    found.gap
}

#[test]
fn bends_keep_their_closed_forms() {
    let ball = |centre, radius| Convex::Ball { centre, radius };
    // Outside the bend and inside it: distance to the centre line less both radii.
    near(gap(&ball(p(100.0, 100.0, 0.0), 7.0), &quarter_bend()), 100.0 * SQRT_2 - 80.0 - 27.0, 1e-8);
    near(gap(&ball(p(20.0, 25.0, 30.0), 3.0), &quarter_bend()), (80.0 - 20_f64.hypot(25.0)).hypot(30.0) - 23.0, 1e-8);
    // Behind its flat end: straight to the end disc, or to the disc's rim.
    near(gap(&ball(p(90.0, -30.0, 5.0), 3.0), &quarter_bend()), 27.0, 1e-8);
    near(gap(&ball(p(130.0, -30.0, 0.0), 3.0), &quarter_bend()), 30_f64.hypot(30.0) - 3.0, 1e-8);
    // A straight bar square to the plane of the bend through (30, 40): 80 − 50 from the centre line.
    near(gap(&cylinder(p(30.0, 40.0, -90.0), p(30.0, 40.0, 90.0), 4.0), &quarter_bend()), 30.0 - 24.0, 1e-8);
    // Through the tube.
    near(gap(&cylinder(p(0.0, 0.0, 0.0), p(90.0, 90.0, 0.0), 4.0), &quarter_bend()), 0.0, 0.0);
    // Concentric with the bend every point of the arc is equally near: the hard case for a search.
    let found = closest_below(&ball(Vec3::default(), 5.0), &quarter_bend(), f64::INFINITY).unwrap();
    near(found.gap, 80.0 - 20.0 - 5.0, 1e-5);
    assert!(found.slack < 1e-4, "{found:?}");
}

#[test]
fn tubes_run_through_their_corners() {
    let path = [p(0.0, 0.0, 0.0), p(200.0, 0.0, 0.0), p(200.0, 150.0, 0.0)];
    let ball = |centre, radius| Convex::Ball { centre, radius };
    let to = |solids: &[Solid], centre| closest_of(&ball(centre, 1.0), solids).unwrap().gap;
    // Bent about (120, 80) at 80: the outside of the bend is 100 from there.
    let bent = tube(&path, 20.0, Some(80.0));
    assert_eq!(bent.len(), 3);
    near(to(&bent, p(220.0, -20.0, 0.0)), 100.0 * SQRT_2 - 101.0, 1e-8);
    near(to(&bent, p(60.0, 51.0, 0.0)), 30.0, 1e-8);
    near(to(&bent, p(-11.0, 10.0, 0.0)), 10.0, 1e-8);
    near(to(&bent, p(260.0, 120.0, 0.0)), 39.0, 1e-8);
    // Mitred: the outside lines run on to (220, -20), the inside ones to (180, 20).
    let mitred = tube(&path, 20.0, None);
    assert_eq!(mitred.len(), 2);
    near(to(&mitred, p(223.0, -24.0, 0.0)), 4.0, 1e-8);
    near(to(&mitred, p(170.0, 26.0, 0.0)), 5.0, 1e-8);
    near(to(&mitred, p(206.0, 75.0, 30.0)), 6_f64.hypot(30.0) - 21.0, 1e-8);
    // A straight corner and a repeated point are none.
    let straight = tube(&[path[0], p(80.0, 0.0, 0.0), p(80.0, 0.0, 0.0), path[1]], 20.0, Some(80.0));
    assert_eq!(straight.len(), 2);
    near(to(&straight, p(80.0, 30.0, 0.0)), 9.0, 1e-9);
}

// ---- against an outside library ----

/// A shape of the library and where it lies: its y axis along `axis`.
fn pose(middle: Vec3, axis: Vec3) -> parry3d_f64::math::Pose {
    use parry3d_f64::math::{Pose, Rotation, Vector};
    let vector = |d: Vec3| Vector::new(d.x, d.y, d.z);
    Pose::from_parts(vector(middle), Rotation::from_rotation_arc(Vector::new(0.0, 1.0, 0.0), vector(axis)))
}

#[test]
fn cylinders_and_boxes_agree_with_an_outside_library() {
    outside_library(500, 5);
}

#[test]
#[ignore = "ten thousand pairs: run once by the gate"]
fn ten_thousand_pairs_agree_with_an_outside_library() {
    outside_library(10_000, 77);
}

fn outside_library(pairs: usize, seed: u64) {
    // parry3d-f64, general-purpose collision library. It stops at some 1e-6 mm from above, on rims
    // now and then at 1e-5: we must never be above it, and as near as that.
    use parry3d_f64::{query, shape};
    let mut n = Numbers(seed);
    let mut apart = 0;
    for _ in 0..pairs {
        let (a, b, r) = (n.point(100.0), n.point(100.0), n.between(2.0, 40.0));
        let (c, d, q) = (n.point(100.0) + p(90.0, 60.0, 0.0), n.point(100.0), n.between(2.0, 40.0));
        let round = |a: Vec3, b: Vec3, r: f64| {
            (pose((a + b) * 0.5, (b - a).unit().unwrap()), shape::Cylinder::new((b - a).length() / 2.0, r))
        };
        let (first, second) = (round(a, b, r), round(c, d, q));
        let half = [n.between(5.0, 60.0), n.between(5.0, 60.0), n.between(5.0, 60.0)];
        let edge = |i: usize| {
            let mut e = parry3d_f64::math::Vector::ZERO;
            e[i] = 2.0 * half[i];
            let e = second.0.rotation * e;
            p(e.x, e.y, e.z)
        };
        let edges = [edge(0), edge(1), edge(2)];
        let corner = (c + d) * 0.5 - (edges[0] + edges[1] + edges[2]) * 0.5;
        let cuboid = shape::Cuboid::new(half.into());
        let body = cylinder(a, b, r);
        for (found, outside) in [
            (closest(&body, &cylinder(c, d, q)), query::distance(&first.0, &first.1, &second.0, &second.1)),
            (closest(&body, &Convex::Block { corner, edges }), query::distance(&first.0, &first.1, &second.0, &cuboid)),
        ] {
            let outside = outside.unwrap().distance;
            assert!(found.gap <= outside + 1e-9, "{} above {outside}", found.gap);
            near(found.gap, outside, 2e-5);
            apart += usize::from(found.gap > 0.0);
        }
    }
    assert!(apart > pairs, "{apart} pairs apart say little");
}

#[test]
fn balls_boxes_and_segments_agree_with_an_outside_library() {
    outside_exactly(500, 11);
}

#[test]
#[ignore = "ten thousand pairs of each: run once by the gate"]
fn ten_thousand_balls_boxes_and_segments_agree_with_an_outside_library() {
    outside_exactly(10_000, 311);
}

/// parry3d-f64 has closed forms for a ball against anything and for two segments: those to 1e-9. Two boxes it finds by
/// an iteration that stops at a relative 1e-8: never over it, and as near as that.
fn outside_exactly(pairs: usize, seed: u64) {
    use parry3d_f64::math::Pose;
    use parry3d_f64::query::{self, details::closest_points_segment_segment};
    use parry3d_f64::shape;
    let mut n = Numbers(seed);
    let vector = |d: Vec3| parry3d_f64::math::Vector::new(d.x, d.y, d.z);
    let cuboid = |n: &mut Numbers, middle: Vec3| {
        let half = [n.between(5.0, 60.0), n.between(5.0, 60.0), n.between(5.0, 60.0)];
        let place = pose(middle, n.point(1.0).unit().unwrap());
        let edge = |i: usize| {
            let mut e = parry3d_f64::math::Vector::ZERO;
            e[i] = 2.0 * half[i];
            let e = place.rotation * e;
            p(e.x, e.y, e.z)
        };
        let edges = [edge(0), edge(1), edge(2)];
        let corner = middle - (edges[0] + edges[1] + edges[2]) * 0.5;
        (place, shape::Cuboid::new(half.into()), Convex::Block { corner, edges })
    };
    let mut apart = [0; 4];
    for _ in 0..pairs {
        let (centre, radius) = (n.point(150.0), n.between(2.0, 60.0));
        let ball = Convex::Ball { centre, radius };
        let (at, round) = (Pose::from_translation(vector(centre)), shape::Ball::new(radius));
        let (other, size) = (n.point(150.0), n.between(2.0, 60.0));
        let outside = query::distance(&at, &round, &Pose::from_translation(vector(other)), &shape::Ball::new(size));
        let found = closest(&ball, &Convex::Ball { centre: other, radius: size }).gap;
        near(found, outside.unwrap().distance, 1e-9);
        apart[0] += usize::from(found > 0.0);

        let (a, b, r) = (n.point(100.0), n.point(100.0), n.between(2.0, 40.0));
        let bar = shape::Cylinder::new((b - a).length() / 2.0, r);
        let outside = query::distance(&at, &round, &pose((a + b) * 0.5, (b - a).unit().unwrap()), &bar);
        let found = closest(&ball, &cylinder(a, b, r)).gap;
        near(found, outside.unwrap().distance, 1e-9);
        apart[1] += usize::from(found > 0.0);

        let middle = n.point(100.0);
        let (place, box_, block) = cuboid(&mut n, middle);
        let found = closest(&ball, &block).gap;
        near(found, query::distance(&at, &round, &place, &box_).unwrap().distance, 1e-9);
        apart[2] += usize::from(found > 0.0);

        let middle = n.point(150.0);
        let (second_place, second_box, second_block) = cuboid(&mut n, middle);
        let outside = query::distance(&place, &box_, &second_place, &second_box).unwrap().distance;
        let found = closest(&block, &second_block).gap;
        assert!(found <= outside + 1e-9, "{found} over {outside}");
        near(found, outside, 1e-8 * (1.0 + outside));
        apart[3] += usize::from(found > 0.0);

        let [a, b, c, d] = [n.point(100.0), n.point(100.0), n.point(100.0), n.point(100.0)];
        let segment = |a: Vec3, b: Vec3| shape::Segment::new(vector(a), vector(b));
        let still = Pose::IDENTITY;
        let outside = match closest_points_segment_segment(&still, &segment(a, b), &segment(c, d), 1e9) {
            query::ClosestPoints::WithinMargin(p, q) => (p - q).length(),
            _ => unreachable!("the margin holds everything"),
        };
        let (q, r) = segment_segment(a, b, c, d);
        near((q - r).length(), outside, 1e-9);
    }
    assert!(apart.iter().all(|count| *count > pairs / 4), "{apart:?} pairs apart say little");
}

// ---- against dense sampling by formulas of the test's own ----

fn point_to_cylinder(q: Vec3, from: Vec3, to: Vec3, radius: f64) -> f64 {
    let axis = (to - from).unit().unwrap();
    let s = (q - from).dot(axis);
    let out = (q - from - axis * s).length() - radius;
    out.max(0.0).hypot((-s).max(s - (to - from).length()).max(0.0))
}

/// Least of a function of two parameters in 0..=1: a grid, then ever smaller grids about its best.
fn least_over(f: &dyn Fn(f64, f64) -> f64) -> f64 {
    const N: i32 = 40;
    let (mut best, mut at, mut half) = (f64::INFINITY, (0.5, 0.5), 0.5);
    for _ in 0..16 {
        let centre = at;
        for i in -N..=N {
            for j in -N..=N {
                let place = |c: f64, k: i32| (c + half * f64::from(k) / f64::from(N)).clamp(0.0, 1.0);
                let (u, v) = (place(centre.0, i), place(centre.1, j));
                let value = f(u, v);
                if value < best {
                    (best, at) = (value, (u, v));
                }
            }
        }
        half *= 5.0 / f64::from(N);
    }
    best
}

/// Least over the three faces of a cylinder.
fn sampled_cylinder(from: Vec3, to: Vec3, radius: f64, f: &dyn Fn(Vec3) -> f64) -> f64 {
    let axis = (to - from).unit().unwrap();
    let x = axis.any_normal();
    let y = axis.cross(x);
    let rim = |r: f64, t: f64| x * (r * (2.0 * PI * t).cos()) + y * (r * (2.0 * PI * t).sin());
    let side = |s: f64, t: f64| f(from + (to - from) * s + rim(radius, t));
    let end = |end: Vec3| move |r: f64, t: f64| (end, rim(radius * r, t));
    let face = |at: Vec3| {
        let on = end(at);
        least_over(&move |r, t| {
            let (centre, out) = on(r, t);
            f(centre + out)
        })
    };
    least_over(&side).min(face(from)).min(face(to))
}

#[test]
fn cylinders_agree_with_sampling() {
    let mut n = Numbers(1);
    let mut apart = 0;
    for _ in 0..60 {
        let (a, b, r) = (n.point(100.0), n.point(100.0), n.between(2.0, 40.0));
        let (c, d, q) = (n.point(100.0) + p(90.0, 60.0, 0.0), n.point(100.0), n.between(2.0, 40.0));
        let found = closest(&cylinder(a, b, r), &cylinder(c, d, q));
        let back = closest(&cylinder(c, d, q), &cylinder(a, b, r));
        near(found.gap, back.gap, 2e-10);
        assert!(found.slack <= 1e-9, "{found:?}");
        if found.gap == 0.0 {
            continue;
        }
        apart += 1;
        near(point_to_cylinder(found.on_first, a, b, r), 0.0, 1e-9);
        near(point_to_cylinder(found.on_second, c, d, q), 0.0, 1e-9);
        let sampled = sampled_cylinder(a, b, r, &|at| point_to_cylinder(at, c, d, q));
        assert!(found.gap <= sampled + 1e-9, "{} above a sample {sampled}", found.gap);
        near(found.gap, sampled, 1e-6);
    }
    assert!(apart > 25, "{apart} pairs apart say little");
}

#[test]
fn cylinders_and_boxes_agree_with_sampling() {
    let mut n = Numbers(2);
    let mut apart = 0;
    for _ in 0..40 {
        let (a, b, r) = (n.point(120.0), n.point(120.0), n.between(2.0, 40.0));
        // Edges at any angle to one another.
        let (corner, edges) = (n.point(60.0) + p(80.0, 80.0, 0.0), [n.point(60.0), n.point(60.0), n.point(60.0)]);
        let found = closest(&cylinder(a, b, r), &Convex::Block { corner, edges });
        assert!(found.slack <= 1e-8, "{found:?}");
        if found.gap == 0.0 {
            continue;
        }
        apart += 1;
        let mut sampled = f64::INFINITY;
        for (i, third) in edges.iter().enumerate() {
            let (e, f) = (edges[(i + 1) % 3], edges[(i + 2) % 3]);
            for base in [corner, corner + *third] {
                sampled = sampled.min(least_over(&|s, t| point_to_cylinder(base + e * s + f * t, a, b, r)));
            }
        }
        assert!(found.gap <= sampled + 1e-9, "{} above a sample {sampled}", found.gap);
        near(found.gap, sampled, 1e-6);
    }
    assert!(apart > 20, "{apart} pairs apart say little");
}

/// Distance of a point from a part of a ring or of a bent tube, by the nearest half plane or end face.
fn point_to_revolved(q: Vec3, solid: &Revolved) -> f64 {
    let local = solid.frame.local(q);
    let to_profile = |r: f64, h: f64, off: f64| -> f64 {
        let flat = match solid.profile {
            Profile::Disc { arm, radius } => ((r - arm).hypot(h) - radius).max(0.0),
            Profile::Rectangle { radius: [i, o], height: [l, u] } => {
                (i - r).max(r - o).max(0.0).hypot((l - h).max(h - u).max(0.0))
            }
        };
        flat.hypot(off)
    };
    let turn = (local.y.atan2(local.x) - solid.start).rem_euclid(2.0 * PI);
    if turn <= solid.sweep {
        return to_profile(local.x.hypot(local.y), local.z, 0.0);
    }
    let end = |t: f64| {
        let (s, c) = t.sin_cos();
        to_profile(local.x * c + local.y * s, local.z, local.y * c - local.x * s)
    };
    end(solid.start).min(end(solid.start + solid.sweep))
}

#[test]
fn bends_and_rings_agree_with_sampling() {
    let mut n = Numbers(3);
    let mut apart = 0;
    for i in 0..60 {
        let (a, b, r) = (n.point(110.0), n.point(110.0), n.between(1.0, 15.0));
        let profile = if i % 2 == 0 {
            Profile::Disc { arm: n.between(40.0, 90.0), radius: n.between(5.0, 30.0) }
        } else {
            let inner = n.between(0.0, 60.0);
            Profile::Rectangle { radius: [inner, inner + n.between(2.0, 20.0)], height: [-20.0, n.between(0.0, 90.0)] }
        };
        let solid = Revolved { frame: n.frame(60.0), start: n.between(-4.0, 4.0), sweep: n.between(0.1, PI), profile };
        let found = closest_below(&cylinder(a, b, r), &Solid::Revolved(solid), f64::INFINITY).unwrap();
        assert!(found.slack <= 1e-7, "{found:?}");
        if found.gap == 0.0 {
            continue;
        }
        apart += 1;
        near(point_to_revolved(found.on_second, &solid), 0.0, 1e-8);
        near(point_to_cylinder(found.on_first, a, b, r), 0.0, 1e-8);
        let sampled = sampled_cylinder(a, b, r, &|at| point_to_revolved(at, &solid));
        assert!(found.gap <= sampled + 1e-8, "{} above a sample {sampled}", found.gap);
        near(found.gap, sampled, 1e-5);
    }
    assert!(apart > 20, "{apart} pairs apart say little");
}

#[test]
fn support_points_are_the_farthest() {
    // No sampled point of the mitred bar or of a slice may lie farther than the support point.
    let mut n = Numbers(4);
    for _ in 0..200 {
        let direction = n.point(1.0);
        let sweep = n.between(0.1, PI);
        let profile = Profile::Disc { arm: 50.0, radius: n.between(1.0, 49.0) };
        let solid = Revolved { frame: n.frame(10.0), start: n.between(-4.0, 4.0), sweep, profile };
        let farthest = solid.farthest(direction).dot(direction);
        let Profile::Disc { arm, radius } = profile else { unreachable!() };
        for _ in 0..300 {
            let (t, turn) = (solid.start + sweep * n.next(), 2.0 * PI * n.next());
            let (r, h) = (arm + radius * turn.cos(), radius * turn.sin());
            let at = solid.frame.out(p(r * t.cos(), r * t.sin(), h));
            assert!(at.dot(direction) <= farthest + 1e-9);
        }
        let cuts = [p(1.0, n.between(-0.8, 0.8), n.between(-0.8, 0.8)), p(1.0, n.between(-0.8, 0.8), 0.3)];
        let bar = Convex::Mitred { from: p(0.0, 0.0, 0.0), to: p(90.0, 0.0, 0.0), radius: 20.0, cuts };
        let farthest = bar.farthest(direction).dot(direction);
        for _ in 0..300 {
            let turn = 2.0 * PI * n.next();
            let (y, z) = (20.0 * turn.cos(), 20.0 * turn.sin());
            for (end, cut) in [(0.0, cuts[0]), (90.0, cuts[1])] {
                // On the plane through (end, 0, 0) square to `cut`.
                let at = p(end - (y * cut.y + z * cut.z) / cut.x, y, z);
                assert!(at.dot(direction) <= farthest + 1e-9);
            }
        }
    }
}

//! What encloses points: circle, ellipse, slot.

use std::f64::consts::PI;

use yokeline::geometry::Vec2;
use yokeline::geometry::enclose::{Enclosure, circle, ellipse, hull, slot};

fn near(found: f64, wanted: f64, allowed: f64) {
    assert!((found - wanted).abs() <= allowed, "found {found}, wanted {wanted}");
}

fn points(list: &[[f64; 2]]) -> Vec<Vec2> {
    list.iter().map(|&p| p.into()).collect()
}

fn round(found: Enclosure, centre: [f64; 2], radius: f64) {
    near((found.centre - centre.into()).length(), 0.0, 1e-9);
    near(found.half_length, radius, 1e-9);
}

/// The circumcircle of an acute triangle, the circle on the longest side of an obtuse one (Euclid IV.5).
#[test]
fn least_circle() {
    let h = 3.0_f64.sqrt();
    round(circle(&points(&[[0.0, 0.0], [2.0, 0.0], [1.0, h]])).unwrap(), [1.0, h / 3.0], 2.0 / h);
    round(circle(&points(&[[0.0, 0.0], [10.0, 0.0], [4.0, 1.0]])).unwrap(), [5.0, 0.0], 5.0);
    round(circle(&points(&[[3.0, 4.0]])).unwrap(), [3.0, 4.0], 0.0);
    assert!(circle(&[]).is_none());
    let many: Vec<Vec2> = (0..1440).map(|i| Vec2::polar(f64::from(i) * PI / 720.0) * 40.0).collect();
    round(circle(&many).unwrap(), [0.0, 0.0], 40.0);
}

/// Of a rectangle a by b: semi-axes a/√2 and b/√2. Of a triangle: Steiner's, 4π/(3√3) of its area, about its centroid
/// (both in any text on Löwner–John ellipses; from memory).
#[test]
fn least_ellipse() {
    let found = ellipse(&points(&[[0.0, 0.0], [8.0, 0.0], [8.0, 3.0], [0.0, 3.0], [4.0, 1.0]])).unwrap();
    near(found.half_length, 8.0 / 2.0_f64.sqrt(), 1e-6);
    near(found.half_width, 3.0 / 2.0_f64.sqrt(), 1e-6);
    near(found.along.y, 0.0, 1e-6);
    let found = ellipse(&points(&[[0.0, 0.0], [9.0, 1.0], [4.0, 7.0]])).unwrap();
    let area = 0.5 * (9.0 * 7.0 - 4.0);
    near(PI * found.half_length * found.half_width, 4.0 * PI / (3.0 * 3.0_f64.sqrt()) * area, 1e-5);
    near((found.centre - Vec2::new(13.0 / 3.0, 8.0 / 3.0)).length(), 0.0, 1e-5);
    assert!(ellipse(&points(&[[0.0, 0.0], [1.0, 0.0]])).is_none());
}

/// A slot's own rim gives the slot back. Of the rim's corners none is at the very side, and an end's place hangs on the
/// width by a root: 4e-5 of 10 mm lost there is 0.03 mm here.
#[test]
fn least_slot() {
    let along = Vec2::polar(0.4);
    let rim: Vec<Vec2> = (0..720)
        .map(|i| {
            let spoke = Vec2::polar(f64::from(i) * PI / 360.0);
            Vec2::new(5.0, 6.0) + spoke * 10.0 + along * (12.0 * spoke.dot(along).signum())
        })
        .collect();
    for hint in [along, Vec2::new(1.0, 0.0)] {
        let found = slot(&rim, hint).unwrap();
        near(found.half_length, 22.0, 0.03);
        near(found.half_width, 10.0, 1e-3);
        near(found.along.cross(along).abs(), 0.0, 1e-3);
        near((found.centre - Vec2::new(5.0, 6.0)).length(), 0.0, 1e-3);
    }
}

#[test]
fn hull_leaves_out_what_lies_inside() {
    let found = hull(&points(&[[1.0, 1.0], [0.0, 0.0], [2.0, 0.0], [1.0, 0.0], [2.0, 2.0], [0.0, 2.0], [2.0, 2.0]]));
    assert_eq!(found, points(&[[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]));
}

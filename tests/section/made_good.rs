//! Rails made good: plates, tubes, closed cells, stress at a corner.

use std::f64::consts::{FRAC_PI_4, PI};

use super::{near, top_cut, tube, whole_tube};
use yokeline::geometry::{Frame, Vec2, Vec3};
use yokeline::solve::notch::repair::edge_notch;
use yokeline::solve::rail::RailShape;
use yokeline::solve::section::cells::{Cell, Plate, Tube};
use yokeline::solve::section::{section, wall_moments};
use yokeline::solve::solution::SectionProperties;

/// The 100×50×3 tube with outside radius 6 as a rail, lower left corner of its box at (0, 0).
fn rail() -> RailShape {
    let (path, girth) = tube(100.0, 50.0, 6.0);
    let [x, y] = [Vec3::new(1.0, 0.0, 0.0), Vec3::new(0.0, 0.0, 1.0)];
    let frame = Frame::from_x_y(Vec3::default(), x, y).unwrap();
    RailShape { frame, origin: Vec3::default(), length: 1000.0, path, closed: true, girth, wall: 3.0 }
}

/// Two closed forms that every section must keep: the sum of second moments, and their determinant.
fn principal(found: &SectionProperties) {
    near(found.i_max + found.i_min, found.ixx + found.iyy, 1e-6, "trace");
    let determinant = found.ixx * found.iyy - found.ixy * found.ixy;
    near(found.i_max * found.i_min / determinant, 1.0, 1e-12, "determinant");
    assert!(found.s_bending <= found.s_min * (1.0 + 1e-12));
}

/// 100×50×3 with its top cut away to a depth, a 5 mm roof between its webs level with the cut and 5 mm plates outside
/// both webs over what is left: built up by Σ(I + A d²) with exact corner arcs, independently summed.
#[test]
fn roof_and_fish_plates() {
    let rows = [
        (20.0, 1620.412, 42.2371, 1_162_133.3, 27_514.52),
        (30.0, 1460.412, 37.1412, 817_974.1, 22_023.35),
        (40.0, 1300.412, 32.0218, 546_802.0, 17_075.95),
    ];
    let rail = rail();
    for (depth, area, y, ixx, s_min) in rows {
        let mut built = wall_moments(&rail, &[top_cut(depth)]);
        let top = 100.0 - depth;
        let mut plate = |low: Vec2, high: Vec2| {
            let (middle, half) = ((low + high) * 0.5, (high - low) * 0.5);
            built.add_rectangle(middle, Vec2::new(half.x, 0.0), Vec2::new(0.0, half.y), 1.0);
            built.reach(low);
            built.reach(high);
        };
        plate(Vec2::new(3.0, top - 5.0), Vec2::new(47.0, top));
        plate(Vec2::new(-5.0, 0.0), Vec2::new(0.0, top));
        plate(Vec2::new(50.0, 0.0), Vec2::new(55.0, top));
        let found = built.properties();
        near(found.area, area, 5e-4, "A");
        near(found.centroid.y, y, 5e-5, "y");
        near(found.ixx, ixx, 0.06, "I");
        near(found.s_min, s_min, 6e-3, "S");
        principal(&found);
    }
}

/// The same plates, put on a rail's flats by their stretch of the unrolled outside.
#[test]
fn plates_lie_on_the_outside() {
    let rail = rail();
    let cut = top_cut(30.0);
    // Left web's flat from y = 6 up, v = 0 there; 5 mm thick to y = 70.
    let plates = [Plate { from: 0.0, to: 64.0, thick: 5.0 }];
    let found = Cell::new(&rail).made_good(100.0, &[cut], None, &plates);
    let bare = section(&rail.path, true, rail.girth, 3.0, &[cut]);
    near(found.area, bare.area + 320.0, 1e-9, "A");
    // About x = 0: plate's middle at −2.5; about y: at 38.
    let middle = (bare.centroid * bare.area + Vec2::new(-2.5, 38.0) * 320.0) * (1.0 / found.area);
    near(found.centroid.x, middle.x, 1e-9, "x");
    near(found.centroid.y, middle.y, 1e-9, "y");
    near(found.torsion, bare.torsion + 64.0 * 125.0 / 3.0, 1e-6, "open: a third of s t³ each");
    assert!(!found.closed);
    principal(&found);
}

/// One web cut above y = 60: the principal axes turn away from the level (reference values of I and Ixy as in the row).
#[test]
fn principal_axes_of_a_one_sided_cut() {
    let (path, girth) = tube(100.0, 50.0, 6.0);
    let found = section(&path, true, girth, 3.0, &[(54.0, 88.0 + PI * 3.0)]);
    let (half, mean) = ((913_950.0 - 282_456.0) / 2.0, f64::midpoint(913_950.0, 282_456.0));
    let radius = f64::hypot(half, 101_528.6);
    near(found.i_max, mean + radius, 0.1, "I max");
    near(found.i_min, mean - radius, 0.1, "I min");
    // tan 2φ = −2 Ixy / (Ixx − Iyy) (any text on strength of materials).
    near(found.angle, -(101_528.6f64 / half).atan().to_degrees() / 2.0, 1e-4, "angle");
    principal(&found);
    assert!(found.s_bending < 0.97 * found.s_min, "{} of {}", found.s_bending, found.s_min);
    let whole = whole_tube(100.0, 50.0, 3.0, 6.0);
    near(whole.s_bending, whole.s_min, 1e-6, "symmetric");
    near(whole.s_major, whole.s_min, 1e-6, "symmetric");
    near(whole.s_minor, 14_422.9, 0.06, "EN 10219-2 Wz of 100×50×3");
}

/// A sleeve square through both webs at mid height: strips of its wall, and two closed cells by hand.
#[test]
fn a_sleeve_leaves_two_cells() {
    let rail = rail();
    let sleeve =
        Tube { base: Vec3::new(200.0, 50.0, 25.0), axis: Vec3::new(0.0, 0.0, 1.0), outside: 20.0, inside: 17.0 };
    // Webs over y from 30 to 70: left v 24 to 64; right web runs down from v = 88 + top.
    let top = 38.0 + PI * 6.0;
    let right = 88.0 + top;
    let cuts = [(24.0, 64.0), (right + 24.0, right + 64.0)];
    let found = Cell::new(&rail).made_good(200.0, &cuts, Some(&sleeve), &[]);
    assert!(found.closed);
    let whole = whole_tube(100.0, 50.0, 3.0, 6.0);
    near(found.area, whole.area - 2.0 * 40.0 * 3.0 + 2.0 * 3.0 * 50.0, 0.05, "A");
    let strips = 2.0 * (50.0 * 27.0 / 12.0 + 150.0 * 18.5 * 18.5);
    near(found.ixx, whole.ixx - 2.0 * 3.0 * 64_000.0 / 12.0 + strips, 30.0, "I");
    // Middle lines: 47 wide, from y = 68.5 to 98.5, two corners of radius 4.5.
    let cell = 47.0 * 30.0 - 2.0 * (1.0 - FRAC_PI_4) * 4.5 * 4.5;
    let round = 2.0 * (47.0 + 30.0) - 2.0 * (2.0 - PI / 2.0) * 4.5;
    let bredt = 2.0 * 4.0 * cell * cell * 3.0 / round;
    let open = 9.0 * (2.0 * (47.0 + 97.0) - 9.0 * (4.0 - PI) - 80.0 + 100.0);
    near(found.torsion / (bredt + open), 1.0, 2e-3, "torsion");
    // Past the tube's side the rail is whole again.
    let past = Cell::new(&rail).made_good(225.0, &[], Some(&sleeve), &[]);
    near(past.torsion / whole.torsion, 1.0, 2e-3, "whole again");
    near(past.area, whole.area, 1e-9, "whole again");
    // With a slot beside the sleeve that it does not reach, the cell is open.
    let slot = Cell::new(&rail).made_good(200.0, &[cuts[0], cuts[1], (10.0, 14.0)], Some(&sleeve), &[]);
    assert!(!slot.closed);
}

/// A tube along the rail's own corner, at 45 degrees across it: the ring inside the rail by a fine sum over a grid.
#[test]
fn a_liner_over_a_corner() {
    let rail = rail();
    let axis = Vec3::new(0.5, 0.5, -0.5 * 2.0f64.sqrt()).unit().unwrap();
    let liner = Tube { base: Vec3::new(300.0, 95.0, 45.0), axis, outside: 22.0, inside: 19.0 };
    for u in [290.0, 300.0, 312.0] {
        let cell = Cell::new(&rail);
        let without = cell.made_good(u, &[], None, &[]);
        let with = cell.made_good(u, &[], Some(&liner), &[]);
        // Midpoints of a grid of 0.1 mm over the box, those in the corners' spandrels left out.
        let inside = |x: f64, y: f64| {
            let (dx, dy) = ((x - 25.0).abs() - 19.0, (y - 50.0).abs() - 44.0);
            dx <= 0.0 || dy <= 0.0 || f64::hypot(dx, dy) <= 6.0
        };
        let (mut area, mut second) = (0.0, 0.0);
        for i in 0..500 {
            for j in 0..1000 {
                let (x, y) = (0.05 + 0.1 * f64::from(i), 0.05 + 0.1 * f64::from(j));
                let w = Vec3::new(u, y, x) - liner.base;
                let off = (w.dot(w) - w.dot(axis) * w.dot(axis)).sqrt();
                if inside(x, y) && (19.0..=22.0).contains(&off) {
                    area += 0.01;
                    second += 0.01 * y * y;
                }
            }
        }
        near(with.area - without.area, area, 1.5, "ring");
        let about_zero = |s: &SectionProperties| s.ixx + s.area * s.centroid.y * s.centroid.y;
        near((about_zero(&with) - about_zero(&without)) / second, 1.0, 2e-2, "second moment of the ring");
    }
}

/// Finite elements of an edge notch in bending, net-section nominal stress (quadratic triangles, two meshes agree to
/// 0.1 %): never under them, and over by no more than a seventh.
#[test]
fn stress_at_an_edge_notch() {
    let rows = [
        (0.05, 1.0, 2.613),
        (0.1, 1.0, 2.280),
        (0.2, 1.0, 1.825),
        (0.3, 1.0, 1.539),
        (0.4, 1.0, 1.358),
        (0.5, 1.0, 1.243),
        (0.2, 2.0, 2.357),
        (0.3, 3.0, 2.273),
        (0.4, 2.0, 1.656),
    ];
    for (share, sharpness, wanted) in rows {
        let found = edge_notch(share, sharpness);
        assert!(found >= wanted && found <= wanted * 8.0 / 7.0, "{share} {sharpness}: {found} against {wanted}");
    }
    // A sharper corner is never better, nor is a radius larger than the depth worse.
    for q in 5..40 {
        let q = 0.1 * f64::from(q);
        assert!(edge_notch(0.3, q + 0.1) >= edge_notch(0.3, q), "at {q}");
    }
    near(edge_notch(0.01, 9.0), 0.855 + 6.63, 1e-12, "half plane");
}

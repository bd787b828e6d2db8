//! Section properties of rails, whole and notched.

mod made_good;

use std::f64::consts::{FRAC_PI_2, PI};

use yokeline::geometry::Vec2;
use yokeline::solve::section::section;
use yokeline::solve::solution::{RailVertex, SectionProperties};

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}, allowed {allowed:e}");
}

/// An unrolled outside under construction, turning clockwise by a quarter at each corner.
struct Outside {
    path: Vec<RailVertex>,
    at: Vec2,
    heading: Vec2,
    v: f64,
}

impl Outside {
    fn new(at: [f64; 2], heading: [f64; 2]) -> Self {
        Self { path: Vec::new(), at: at.into(), heading: heading.into(), v: 0.0 }
    }

    fn straight(mut self, length: f64) -> Self {
        self.path.push(RailVertex { v: self.v, at: self.at, centre: None });
        self.at = self.at + self.heading * length;
        self.v += length;
        self
    }

    fn corner(mut self, radius: f64) -> Self {
        let right = -self.heading.left();
        if radius > 0.0 {
            self.path.push(RailVertex { v: self.v, at: self.at, centre: Some(self.at + right * radius) });
            self.at = self.at + (self.heading + right) * radius;
            self.v += FRAC_PI_2 * radius;
        }
        self.heading = right;
        self
    }

    /// The path of a closed section, and its girth.
    fn close(self) -> (Vec<RailVertex>, f64) {
        (self.path, self.v)
    }

    /// The path of an open one, with its far lip, and its length.
    fn end(mut self) -> (Vec<RailVertex>, f64) {
        self.path.push(RailVertex { v: self.v, at: self.at, centre: None });
        (self.path, self.v)
    }
}

/// Tube `height` by `width`, lower left corner of its box at (0, 0), from the foot of its left side upward.
fn tube(height: f64, width: f64, corner: f64) -> (Vec<RailVertex>, f64) {
    let (up, across) = (height - 2.0 * corner, width - 2.0 * corner);
    Outside::new([0.0, corner], [0.0, 1.0])
        .straight(up)
        .corner(corner)
        .straight(across)
        .corner(corner)
        .straight(up)
        .corner(corner)
        .straight(across)
        .corner(corner)
        .close()
}

/// The same walked anticlockwise from its last vertex.
fn reversed(path: &[RailVertex], girth: f64) -> Vec<RailVertex> {
    let count = path.len();
    (0..count)
        .map(|i| {
            let here = path[(count - i) % count];
            let before = path[count - 1 - i];
            RailVertex { v: if i == 0 { 0.0 } else { girth - here.v }, at: here.at, centre: before.centre }
        })
        .collect()
}

fn whole_tube(height: f64, width: f64, wall: f64, corner: f64) -> SectionProperties {
    let (path, girth) = tube(height, width, corner);
    section(&path, true, girth, wall, &[])
}

/// EN 10219-2 (tables and the formulas of its Annex B from memory): A cm², I cm⁴, W cm³, to the last printed digit.
#[test]
fn rectangular_tubes_of_en_10219() {
    // height, width, wall; A, I, W, I_z, I_t as computed by Annex B; then the printed row.
    let rows = [
        (
            50.0,
            30.0,
            3.0,
            [4.20823, 12.8311, 5.13245, 5.70009, 13.5275],
            [(4.21, 0.005), (12.83, 0.005), (5.13, 0.005), (5.70, 0.005), (13.53, 0.005)],
        ),
        (
            60.0,
            40.0,
            3.0,
            [5.40823, 25.3788, 8.45961, 13.4396, 29.2836],
            [(5.41, 0.005), (25.38, 0.005), (8.46, 0.005), (13.44, 0.005), (29.28, 0.005)],
        ),
        (
            40.0,
            20.0,
            2.0,
            [2.13699, 4.04955, 2.02477, 1.34283, 3.45272],
            [(2.14, 0.005), (4.05, 0.005), (2.02, 0.005), (1.34, 0.005), (3.45, 0.005)],
        ),
        (
            100.0,
            50.0,
            3.0,
            [8.40823, 106.457, 21.2914, 36.0571, 88.5641],
            [(8.41, 0.005), (106.0, 0.5), (21.3, 0.05), (36.1, 0.05), (88.6, 0.05)],
        ),
    ];
    for (height, width, wall, computed, printed) in rows {
        let found = whole_tube(height, width, wall, 2.0 * wall);
        assert!(found.closed);
        let found = [found.area / 1e2, found.ixx / 1e4, found.s_min / 1e3, found.iyy / 1e4, found.torsion / 1e4];
        for ((found, computed), (printed, half_digit)) in found.into_iter().zip(computed).zip(printed) {
            near(found / computed, 1.0, 6e-6, "Annex B");
            near(found, printed, half_digit, "printed row");
        }
    }
    // 100×50×3 by the exact formula to seven digits, as an independent polygon of it confirms within 2.1e-5.
    let found = whole_tube(100.0, 50.0, 3.0, 6.0);
    near(found.area, 840.823_0, 5e-5, "A");
    near(found.ixx, 1_064_568.0, 0.5, "I");
    near(found.s_min, 21_291.35, 0.01, "S");
    near(found.ixy, 0.0, 1e-6, "Ixy");
    near(found.centroid.x, 25.0, 1e-12, "x");
    near(found.centroid.y, 50.0, 1e-12, "y");
}

/// AISC Steel Construction Manual (from memory), HSS 4×2 with outside radius 2 t, inches; design wall 0.93 nominal.
#[test]
fn rectangular_tubes_of_aisc() {
    let eighth = whole_tube(4.0, 2.0, 0.116, 0.232);
    near(eighth.area, 1.30, 0.005, "A");
    near(eighth.ixx, 2.65, 0.005, "I");
    near(eighth.s_min, 1.32, 0.005, "S");
    near(eighth.iyy, 0.898, 0.0005, "Iy");
    near(eighth.torsion, 2.20, 0.005, "J");
    let three_sixteenths = whole_tube(4.0, 2.0, 0.174, 0.348);
    near(three_sixteenths.area, 1.89, 0.005, "A");
    near(three_sixteenths.ixx, 3.66, 0.005, "I");
}

/// Unrolled ends of the cut that takes the top of the 100×50×3 tube down to `depth`.
fn top_cut(depth: f64) -> (f64, f64) {
    // Left side from y = 6 up; right side down from y = 94 after two corners and the top.
    let top = 38.0 + PI * 6.0;
    (94.0 - depth, 88.0 + top + (depth - 6.0))
}

/// RHS 100×50×3 with its top cut away over depth a: reference values by exact corner arcs, independently summed.
#[test]
fn a_tube_with_its_top_cut_away() {
    let rows = [
        (10.0, 660.412, 37.0852, 550_131.8, 10_396.55),
        (20.0, 600.412, 32.2970, 398_116.4, 8_345.72),
        (30.0, 540.412, 27.5558, 276_055.7, 6_503.97),
        (40.0, 480.412, 22.8793, 180_925.1, 4_873.96),
    ];
    let (path, girth) = tube(100.0, 50.0, 6.0);
    for (depth, area, y, ixx, s_min) in rows {
        let cut = top_cut(depth);
        let mut found = vec![section(&path, true, girth, 3.0, &[cut])];
        // In pieces, past the seam, and with the path walked the other way.
        let middle = f64::midpoint(cut.0, cut.1);
        found.push(section(&path, true, girth, 3.0, &[(middle - 1.0, cut.1), (cut.0, middle)]));
        found.push(section(&path, true, girth, 3.0, &[(cut.0 - girth, cut.1 - girth)]));
        let back = reversed(&path, girth);
        found.push(section(&back, true, girth, 3.0, &[(girth - cut.1, girth - cut.0)]));
        for found in found {
            near(found.area, area, 5e-4, "A");
            near(found.centroid.y, y, 5e-5, "y");
            near(found.ixx, ixx, 0.06, "I");
            near(found.s_min, s_min, 6e-3, "S");
        }
    }
}

/// One web of it cut above y = 60 with its corner: the product of inertia no longer vanishes.
#[test]
fn a_tube_with_one_web_cut() {
    let (path, girth) = tube(100.0, 50.0, 6.0);
    let found = section(&path, true, girth, 3.0, &[(54.0, 88.0 + PI * 3.0)]);
    near(found.area, 717.617, 5e-4, "A");
    near(found.ixx, 913_950.0, 0.06, "Ixx");
    near(found.iyy, 282_456.0, 0.06, "Iyy");
    near(found.ixy, 101_528.6, 0.06, "Ixy");
    near(found.centroid.x, 28.9895, 5e-5, "x");
    near(found.centroid.y, 44.7743, 5e-5, "y");
    // Mirrored by walking the wall the other way from the other side: Ixy changes its sign alone.
    let mirrored: Vec<RailVertex> = reversed(&path, girth)
        .iter()
        .map(|w| RailVertex {
            v: w.v,
            at: Vec2::new(50.0 - w.at.x, w.at.y),
            centre: w.centre.map(|c| Vec2::new(50.0 - c.x, c.y)),
        })
        .collect();
    let other = section(&mirrored, true, girth, 3.0, &[(girth - 88.0 - PI * 3.0, girth - 54.0)]);
    near(other.ixy, -found.ixy, 1e-6, "mirrored Ixy");
    near(other.ixx, found.ixx, 1e-6, "mirrored Ixx");
    near(other.centroid.x, 50.0 - found.centroid.x, 1e-9, "mirrored x");
}

/// A vertex in the middle of an arc, as at the seam of a named corner, and in the middle of a side change nothing.
#[test]
fn extra_vertices_change_nothing() {
    let (path, girth) = tube(100.0, 50.0, 2.0);
    let plain = section(&path, true, girth, 3.0, &[(20.0, 97.0)]);
    let (mut more, shift) = (path.clone(), FRAC_PI_2);
    let centre = path[1].centre.unwrap();
    let half = Vec2::polar(3.0 * PI / 4.0) * 2.0;
    more.insert(2, RailVertex { v: path[1].v + shift, at: centre + half, centre: Some(centre) });
    more.insert(1, RailVertex { v: 50.0, at: Vec2::new(0.0, 52.0), centre: None });
    // Begun at the middle of the corner, so that the arc lies across the seam.
    more.rotate_left(3);
    let start = more[0].v;
    for vertex in &mut more {
        vertex.v = (vertex.v - start).rem_euclid(girth);
    }
    let seamed = section(&more, true, girth, 3.0, &[(20.0 - start, 97.0 - start)]);
    for (a, b) in
        [(plain.area, seamed.area), (plain.ixx, seamed.ixx), (plain.ixy, seamed.ixy), (plain.s_min, seamed.s_min)]
    {
        near(b / a, 1.0, 1e-11, "with more vertices");
    }
}

/// Lipped channels, centre-line free formulas with exact arcs (two derived rows; the inch one also in the AISI manual,
/// from memory): area, Ix, Sx, Iy, centroid from the outside of the web.
#[test]
fn lipped_channels() {
    // depth, flange, lip, wall, outside radius
    let rows = [
        (100.0, 50.0, 15.0, 2.0, 4.0, [433.699_11, 692_649.15, 13_852.983, 150_018.85, 17.252_693], 1e-7),
        (150.0, 60.0, 20.0, 3.0, 6.0, [870.823_00, 2_976_922.57, 39_692.301, 420_503.10, 19.199_872], 1e-7),
        (9.0, 2.5, 0.773, 0.059, 0.2465, [0.88131, 10.30312, 2.28958, 0.69833, 0.64095], 1e-5),
    ];
    for (depth, flange, lip, wall, radius, wanted, allowed) in rows {
        let (path, length) = Outside::new([flange, lip], [0.0, -1.0])
            .straight(lip - radius)
            .corner(radius)
            .straight(flange - 2.0 * radius)
            .corner(radius)
            .straight(depth - 2.0 * radius)
            .corner(radius)
            .straight(flange - 2.0 * radius)
            .corner(radius)
            .straight(lip - radius)
            .end();
        let found = section(&path, false, length, wall, &[]);
        let found = [found.area, found.ixx, found.s_min, found.iyy, found.centroid.x];
        for (found, wanted) in found.into_iter().zip(wanted) {
            near(found / wanted, 1.0, allowed, "lipped channel");
        }
    }
}

/// Plain channel of one wall with sharp corners: A = 2bt + (d − 2t)t, I = (bd³ − (b − t)(d − 2t)³)/12,
/// x̄ = (b²t + (d − 2t)t²/2)/A (any handbook). A corner tighter than the wall is sharp inside: less a rounding outside.
#[test]
fn plain_channels() {
    let (d, b, t): (f64, f64, f64) = (6.0, 1.92, 0.2);
    let channel = |radius: f64| {
        let (path, length) = Outside::new([b, 0.0], [-1.0, 0.0])
            .straight(b - radius)
            .corner(radius)
            .straight(d - 2.0 * radius)
            .corner(radius)
            .straight(b - radius)
            .end();
        section(&path, false, length, t, &[])
    };
    let area = 2.0 * b * t + (d - 2.0 * t) * t;
    let ixx = (b * d.powi(3) - (b - t) * (d - 2.0 * t).powi(3)) / 12.0;
    let sharp = channel(0.0);
    near(sharp.area, area, 1e-14, "A");
    near(sharp.ixx, ixx, 1e-12, "I");
    near(sharp.s_min, ixx / (d / 2.0), 1e-12, "S");
    near(sharp.centroid.x, (b * b * t + (d - 2.0 * t) * t * t / 2.0) / area, 1e-14, "x");
    near(sharp.centroid.y, d / 2.0, 1e-14, "y");
    // Two spandrels (1 − π/4) r² gone, with the centroid of a spandrel (10 − 3π)/(12 − 3π) r inside its corner.
    let r = 0.15;
    let spandrel = (1.0 - PI / 4.0) * r * r;
    let own = (1.0 / 3.0 - PI / 16.0 - 1.0 / (3.0 * (12.0 - 3.0 * PI))) * r.powi(4);
    let arm = d / 2.0 - r * (10.0 - 3.0 * PI) / (12.0 - 3.0 * PI);
    let tight = channel(r);
    near(tight.area, area - 2.0 * spandrel, 1e-14, "A, tight corner");
    near(tight.ixx, ixx - 2.0 * (own + spandrel * arm * arm), 1e-12, "I, tight corner");
}

/// A sharp corner's square goes with whichever side is cut, and only once.
#[test]
fn a_cut_at_a_sharp_corner() {
    // 10 by 10 box of wall 2; the top right corner's square is [8, 10]².
    let (path, girth) = tube(10.0, 10.0, 0.0);
    let area = |cuts: &[(f64, f64)]| section(&path, true, girth, 2.0, cuts).area;
    near(area(&[]), 64.0, 1e-12, "whole");
    // The whole top, 10 by 2.
    near(area(&[(10.0, 20.0)]), 44.0, 1e-12, "top off");
    // The top's last 1 mm takes 1 by 2; with it the right side's first 1 mm takes 2 by 1 less 1 by 1 gone before.
    near(area(&[(19.0, 20.0)]), 62.0, 1e-12, "top's end");
    near(area(&[(19.0, 21.0)]), 61.0, 1e-12, "round the corner");
    let all = section(&path, true, girth, 2.0, &[(3.0, 3.0 + girth)]);
    assert_eq!((all.area, all.s_min, all.ixx), (0.0, 0.0, 0.0));
}

/// Pipe: A = π(D² − d²)/4, I = π(D⁴ − d⁴)/64 (any handbook); half of it: ȳ = 4(R³ − r³)/(3π(R² − r²)).
#[test]
fn pipes() {
    let (outside, inside): (f64, f64) = (25.0, 21.0);
    let girth = 2.0 * PI * outside;
    let top = Vec2::new(3.0, 4.0 + outside);
    let centre = Some(Vec2::new(3.0, 4.0));
    let one = vec![RailVertex { v: 0.0, at: top, centre }];
    let quarters: Vec<RailVertex> = (0..4)
        .map(|i| RailVertex {
            v: f64::from(i) * girth / 4.0,
            at: Vec2::new(3.0, 4.0) + Vec2::polar(FRAC_PI_2 * f64::from(1 - i)) * outside,
            centre,
        })
        .collect();
    for path in [one, quarters] {
        let whole = section(&path, true, girth, outside - inside, &[]);
        near(whole.area, PI * (outside.powi(2) - inside.powi(2)), 1e-10, "A");
        near(whole.ixx, PI / 4.0 * (outside.powi(4) - inside.powi(4)), 1e-7, "I");
        near(whole.iyy, whole.ixx, 1e-7, "Iy");
        near(whole.s_min, whole.ixx / outside, 1e-8, "S");
        near(whole.centroid.y, 4.0, 1e-12, "y");
        // Right half cut away, from the top clockwise: what is left lies to the left.
        let half = section(&path, true, girth, outside - inside, &[(0.0, girth / 2.0)]);
        let arm = 4.0 * (outside.powi(3) - inside.powi(3)) / (3.0 * PI * (outside.powi(2) - inside.powi(2)));
        near(half.centroid.x, 3.0 - arm, 1e-11, "half to the left");
        near(half.ixx, whole.ixx / 2.0, 1e-7, "half I");
    }
}

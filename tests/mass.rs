//! Areas, second moments and volumes the solids are held to.

use std::f64::consts::PI;

use yokeline::geometry::mass::{CrossBolt, dimple_in_flat, dimple_in_round, double_d, round, turned_chamfer};

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}, allowed {allowed:e}");
}

/// Reference table of double-D bars (derived from the circular segment, verified by quadrature): area, second moment
/// about the axis parallel to the flats and across them; inches, the last row mm.
#[test]
fn double_d_sections() {
    let rows = [
        (0.75, 0.55, 0.371_751_4, 0.008_512_137, 0.014_588_47),
        (0.75, 0.5625, 0.378_039_5, 0.008_998_513, 0.014_721_10),
        (0.75, 0.575, 0.384_150_4, 0.009_492_660, 0.014_842_83),
        (1.0, 0.8, 0.703_647_6, 0.033_177_98, 0.047_577_98),
        (17.0, 14.5, 211.9577, 3195.165, 4039.593),
    ];
    for (diameter, flats, area, parallel, across) in rows {
        let found = double_d(diameter, flats, 0.0);
        near(found.area / area, 1.0, 3e-7, "area");
        near(found.about_parallel / parallel, 1.0, 3e-7, "about the axis parallel to the flats");
        near(found.about_across / across, 1.0, 4e-7, "about the axis across the flats");
        let bored = double_d(diameter, flats, 0.4 * diameter);
        let hole = round(0.4 * diameter, 0.0);
        near(bored.area, found.area - hole.area, 1e-12, "bored area");
        near(bored.about_parallel, found.about_parallel - hole.about_parallel, 1e-9, "bored");
    }
    // Flats as far apart as the diameter leave a round bar: π r², π r⁴/4 (any handbook).
    let found = double_d(2.0, 2.0, 0.0);
    near(found.area, PI, 1e-15, "round area");
    near(found.about_parallel, PI / 4.0, 1e-15, "round");
    near(found.about_across, PI / 4.0, 1e-15, "round");
    near(round(2.0, 1.0).about_across, PI / 4.0 * 15.0 / 16.0, 1e-15, "tube");
}

/// Reference table of dimples in a flat: cone π d² depth / 12; 118 degrees is 0.300430 d deep.
#[test]
fn dimples_in_a_flat() {
    let rows = [
        (90.0, 4.0, 2.0, 8.377_580),
        (90.0, 5.0, 2.5, 16.362_462),
        (90.0, 6.0, 3.0, 28.274_334),
        (118.0, 4.0, 1.201_721, 5.033_758),
        (118.0, 5.0, 1.502_152, 9.831_559),
        (118.0, 6.0, 1.802_582, 16.988_934),
    ];
    for (angle, diameter, depth, volume) in rows {
        near(dimple_in_flat(f64::to_radians(angle), depth, diameter), volume, 2e-5, "cone");
        // Two mm deeper is two mm of the drill's round; a drill twice as wide changes nothing.
        let deeper = dimple_in_flat(f64::to_radians(angle), depth + 2.0, diameter);
        near(deeper, volume + PI / 4.0 * diameter * diameter * 2.0, 2e-5, "cone and wall");
        near(dimple_in_flat(f64::to_radians(angle), depth, 2.0 * diameter), volume, 3e-5, "wide drill");
    }
    near(dimple_in_flat(PI, 3.0, 4.0), PI * 12.0, 1e-12, "flat-bottomed hole");
}

/// Reference table of dimples in a round (derived, verified by quadrature): R, depth, angle, removed volume.
#[test]
fn dimples_in_a_round() {
    let rows = [
        (9.525, 2.5, 90.0, 14.998_170),
        (9.525, 2.0, 118.0, 19.557_020),
        (9.525, 3.0, 118.0, 61.873_702),
        (12.7, 2.5, 90.0, 15.301_071),
    ];
    for (radius, depth, angle, volume) in rows {
        near(dimple_in_round(radius, f64::to_radians(angle), depth, 40.0), volume, 1e-6, "cone in a round");
    }
    // A round of no curvature is a flat, with wall or without, and where the wall meets part of the rim only.
    for (depth, diameter) in [(2.5, 5.5), (2.5, 3.0), (2.5, 5.0), (6.0, 5.0)] {
        let flat = dimple_in_flat(1.6, depth, diameter);
        near(dimple_in_round(1e7, 1.6, depth, diameter) / flat, 1.0, 1e-5, "large round");
    }
}

/// A drill whose wall meets the rim in part: the sum over a fine grid of the drill's mouth.
#[test]
fn a_dimple_in_a_round_with_its_drill_s_wall_in_part() {
    let (radius, depth, drill, diameter): (f64, f64, f64, f64) = (9.525, 2.5, PI / 2.0, 4.7);
    let n = 2000;
    let mut sum = 0.0;
    for i in 0..n {
        for j in 0..n {
            let at = |k: i32| (f64::from(k) + 0.5) / f64::from(n) * diameter / 2.0;
            let s = at(i).hypot(at(j));
            if s <= diameter / 2.0 {
                sum += ((radius * radius - at(j) * at(j)).sqrt() - (radius - depth) - s / (drill / 2.0).tan()).max(0.0);
            }
        }
    }
    let cell = diameter / 2.0 / f64::from(n);
    let grid = 4.0 * sum * cell * cell;
    near(dimple_in_round(radius, drill, depth, diameter) / grid, 1.0, 1e-5, "wall in part");
}

/// Round bar: cylinder less frustum (any handbook). Double-D: the depth of the cone's cut, summed ray by ray.
#[test]
fn turned_chamfers() {
    let (r, c): (f64, f64) = (9.525, 1.5);
    let frustum = PI / 3.0 * c * (r * r + r * (r - c) + (r - c) * (r - c));
    near(turned_chamfer(2.0 * r, 2.0 * r, c), PI * r * r * c - frustum, 1e-11, "round bar");
    for (flats, c) in [(14.0, 0.5), (14.0, 2.5), (14.0, 4.0), (8.0, 1.0)] {
        let n = 200_000;
        let inside = r - c;
        let volume: f64 = (0..n)
            .map(|i| {
                let theta = (f64::from(i) + 0.5) / f64::from(n) * PI / 2.0;
                let end = r.min(flats / 2.0 / theta.cos()).max(inside);
                // ∫ (ρ − inside) ρ dρ
                (end.powi(3) - inside.powi(3)) / 3.0 - inside * (end * end - inside * inside) / 2.0
            })
            .sum::<f64>()
            * 4.0
            * PI
            / 2.0
            / f64::from(n);
        near(turned_chamfer(2.0 * r, flats, c) / volume, 1.0, 1e-8, "double-D");
    }
}

/// Complete elliptic integrals K and E of modulus k by the arithmetic-geometric mean (Abramowitz & Stegun 17.6).
fn elliptic(k: f64) -> (f64, f64) {
    let (mut a, mut b, mut c, mut power, mut sum) = (1.0_f64, (1.0 - k * k).sqrt(), k, 0.5, 0.5 * k * k);
    while c.abs() > 1e-16 {
        (a, b, c) = (f64::midpoint(a, b), (a * b).sqrt(), (a - b) / 2.0);
        power *= 2.0;
        sum += power * c * c;
    }
    (PI / (2.0 * a), PI / (2.0 * a) * (1.0 - sum))
}

/// Two cylinders through each other: 16 r³/3 for equal ones (Archimedes), 8R/3 ((R² + r²) E − (R² − r²) K), k = r/R,
/// for r < R (the Steinmetz solid, from memory).
#[test]
fn a_bolt_through_the_middle() {
    let bar = CrossBolt { diameter: 19.05, flats: 19.05, bore: 0.0, bolt: 19.05, offset: 0.0, clock: 0.3 };
    near(bar.volume() / (16.0 / 3.0 * 9.525_f64.powi(3)), 1.0, 1e-12, "equal cylinders");
    for bolt in [2.0, 7.9375, 15.0] {
        let (big, small) = (9.525, bolt / 2.0);
        let (k, e) = elliptic(small / big);
        let wanted = 8.0 / 3.0 * big * ((big * big + small * small) * e - (big * big - small * small) * k);
        near(CrossBolt { bolt, ..bar }.volume() / wanted, 1.0, 1e-11, "unequal cylinders");
        // A bore of the bolt's own size takes its own Steinmetz solid out of it.
        let bored = CrossBolt { bolt, bore: bolt, ..bar }.volume();
        near(bored / (wanted - 16.0 / 3.0 * small.powi(3)), 1.0, 1e-10, "bored bar");
    }
}

/// Where the bolt reaches only round, flats change nothing; over a flat the two sides are mirror images; a square-on
/// cut into a flat is a segment of the bolt times the chord where the bar is as good as flat across.
#[test]
fn a_bolt_at_an_offset() {
    let round = CrossBolt { diameter: 19.05, flats: 19.05, bore: 0.0, bolt: 7.9375, offset: 11.938, clock: 0.0 };
    let crest = CrossBolt { flats: 14.0, clock: PI / 2.0, offset: 12.7, ..round };
    near(crest.volume(), CrossBolt { offset: 12.7, ..round }.volume(), 1e-10, "crest");
    let slanted = CrossBolt { flats: 14.0, clock: 0.7, ..round };
    near(slanted.volume(), CrossBolt { clock: -0.7, ..slanted }.volume(), 1e-10, "mirror");
    near(slanted.volume(), CrossBolt { clock: 0.7 + PI, ..slanted }.volume(), 1e-10, "half turn");
    assert!(slanted.volume() < round.volume());
    near(CrossBolt { offset: 13.6, ..round }.volume(), 0.0, 0.0, "clear of the bar");
    // Across deep flats at clock 90 deg the chord is the flats as long as the corners are not reached.
    let deep = CrossBolt { diameter: 100.0, flats: 10.0, bore: 0.0, bolt: 8.0, offset: 20.0, clock: PI / 2.0 };
    near(deep.volume(), PI * 16.0 * 10.0, 1e-9, "hole through a strip");
}

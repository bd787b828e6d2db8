//! Bent plates: allowance, flat pattern, folded places.

use std::f64::consts::{FRAC_PI_2, PI};

use yokeline::geometry::Vec2;
use yokeline::solve::bend::allowance;
use yokeline::solve::plate::path;
use yokeline::solve::solution::PlateResult;
use yokeline::spec::Spec;
use yokeline::spec::types::{Bend, Hole, Outline};

use super::{near, place, plain, slanted, solve, try_solve};

const INCH: f64 = 25.4;

/// BA = A (R + K t). R = 3, t = 3, 90 degrees: worked out apart with K = 0.33 and 0.446. The handbook's rules for 90
/// degrees, 0.55 t, 0.64 t and 0.71 t plus 1.57 R (Machinery's Handbook, from memory), round π/2 to 1.57.
#[test]
fn allowances() {
    near(allowance(FRAC_PI_2, 3.0, 3.0, 0.33), 6.267_477, 1e-6, "K = 0.33");
    near(allowance(FRAC_PI_2, 3.0, 3.0, 0.446), 6.814_114, 1e-6, "K = 0.446");
    for (share, k) in [(0.55, 0.35), (0.64, 0.41), (0.71, 0.45)] {
        let (t, r) = (0.125, 0.25);
        near(allowance(FRAC_PI_2, r, t, k), share * t + 1.57 * r, 0.001, "handbook");
    }
}

pub(super) fn bend(u: f64, angle: f64, up: bool, inside: f64, k: f64) -> Bend {
    let line = [Vec2::new(u, -1.0), Vec2::new(u, 1000.0)];
    Bend { name: format!("at {u}"), line, angle, up, inside, k }
}

/// A plate in the plane x = 100 with these bends, no openings, holes where asked.
pub(super) fn bent(size: [f64; 2], thick: f64, bends: Vec<Bend>, holes: &[[f64; 2]]) -> Spec {
    let mut spec = slanted(0.0, thick);
    let plate = &mut spec.plates[0];
    plate.outline = Outline::rectangle(size, 0.0);
    plate.openings.clear();
    plate.bends = bends;
    plate.holes = vec![Hole { at: holes.iter().map(|&p| place(p, 0.0)).collect(), ..plain(5.0) }];
    spec
}

fn width(plate: &PlateResult) -> f64 {
    let (low, high) = path(&plate.outline).unwrap().bounds();
    high.x - low.x
}

/// The channel of the FAA's Aviation Maintenance Technician Handbook, Airframe (FAA-H-8083-31, chapter 4; from memory,
/// recomputed): legs 1.00 in and base 2.00 in over the outside, 0.040 in sheet, 0.16 in radius, 90 degrees. Setback
/// R + t = 0.20; allowance (0.01743 R + 0.0078 t) × 90 = 0.27907; flats 0.80, 1.60, 0.80; developed width 3.758 in.
/// The handbook rounds π/180 to 0.01743, which is 3.4e-4 in short over 90 degrees of this radius.
#[test]
fn the_handbook_channel() {
    let (r, t) = (0.16 * INCH, 0.040 * INCH);
    // 0.0078 a degree is 0.4469 a radian.
    let k = 0.0078 * 180.0 / PI;
    let bends = vec![bend(INCH, FRAC_PI_2, false, r, k), bend(3.0 * INCH, FRAC_PI_2, false, r, k)];
    let solved = solve(&bent([4.0 * INCH, 2.0 * INCH], t, bends, &[]));
    near(solved.bends[0].allowance / INCH, 0.279_07, 4e-4, "allowance");
    near(width(&solved) / INCH, 0.80 + 1.60 + 0.80 + 2.0 * 0.279_07, 1e-3, "developed width");
    // Its bends begin 0.80 in from either edge.
    near(solved.bends[0].tangents[0][0].x / INCH, 0.80, 1e-9, "first flat");
    near((width(&solved) - solved.bends[1].tangents[1][0].x) / INCH, 0.80, 1e-9, "last flat");
    near(solved.bends[0].line[0].x / INCH, 0.80 + 0.279_07 / 2.0, 2e-4, "middle of the bend");
}

/// A small generator of numbers in 0..1 (Knuth's 64-bit congruence).
pub(super) struct Numbers(pub(super) u64);

impl Numbers {
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

/// Where a point of the flat pattern, `x` along it on the drawn face, ends up in the bent section: walked along the
/// neutral line, straight by straight and arc by arc, and the drawn face set off from it. Nothing of the solver's is
/// used but the bends' data: an arc of radius R + K t carries as much flat length as its allowance.
fn walked(x: f64, starts: &[f64], bends: &[Bend], thick: f64) -> (Vec2, f64) {
    let (mut at, mut heading, mut from) = (Vec2::default(), 0.0_f64, 0.0);
    for (bend, &start) in bends.iter().zip(starts) {
        if x <= start {
            break;
        }
        at = at + Vec2::polar(heading) * (start - from);
        // The face's own radius: inside where it turns up, the sheet farther out where it turns down.
        let face = if bend.up { bend.inside } else { bend.inside + thick };
        let turn = if bend.up { bend.angle } else { -bend.angle };
        let centre = at + Vec2::polar(heading).left() * (face * turn.signum());
        at = centre + (at - centre).turned(turn);
        heading += turn;
        from = start + bend.angle * (bend.inside + bend.k * thick);
        assert!(x >= from, "no hole lies in a bend here");
    }
    (at + Vec2::polar(heading) * (x - from), heading)
}

/// Two hundred brackets of one to three bends: every hole, found on the folded part by walking along the flat pattern,
/// stands where the solver folds it to, and its face looks the same way.
#[test]
fn folded_holes_agree_with_the_flat() {
    let mut numbers = Numbers(7);
    for _ in 0..200 {
        let thick = numbers.between(0.8, 6.0);
        let count = 1 + numbers.between(0.0, 2.999) as usize;
        let mut u = 0.0;
        let (mut bends, mut holes) = (Vec::new(), Vec::new());
        for _ in 0..count {
            u += numbers.between(90.0, 140.0);
            let angle = numbers.between(0.1, 1.7);
            let up = numbers.between(0.0, 1.0) < 0.5;
            let (inside, k) = (numbers.between(1.0, 8.0), numbers.between(0.3, 0.5));
            bends.push(bend(u, angle, up, inside, k));
            holes.push([u - 45.0, numbers.between(10.0, 40.0)]);
        }
        holes.push([u + 45.0, 25.0]);
        let spec = bent([u + 90.0, 50.0], thick, bends.clone(), &holes);
        let solved = solve(&spec);
        let starts: Vec<f64> = solved.bends.iter().map(|bend| bend.tangents[0][0].x).collect();
        for hole in &solved.holes {
            let folded = hole.folded.unwrap();
            let (section, heading) = walked(hole.centre.x, &starts, &bends, thick);
            let frame = &solved.frame;
            let wanted = frame.origin + frame.u * section.x + frame.w * section.y + frame.v * hole.centre.y;
            near((folded.at - wanted).length(), 0.0, 1e-9, "folded place");
            let normal = frame.w * heading.cos() - frame.u * heading.sin();
            near((folded.normal - normal).length(), 0.0, 1e-12, "its face");
        }
        // As much metal as the neutral line is long.
        let flats: f64 = u + 90.0
            - solved
                .bends
                .iter()
                .zip(&bends)
                .map(|(solved, bend)| {
                    let face = if bend.up { bend.inside } else { bend.inside + thick };
                    2.0 * face * (bend.angle / 2.0).tan() - solved.allowance
                })
                .sum::<f64>();
        near(width(&solved), flats, 1e-9, "length of the flat pattern");
    }
}

/// A square flange on two neighbouring sides of a plate: each is carried by its own bend alone.
#[test]
fn two_flanges_of_one_plate() {
    let mut spec = bent([150.0, 120.0], 2.0, Vec::new(), &[[135.0, 50.0], [60.0, 105.0], [60.0, 50.0]]);
    // The corner between the flanges is cut out.
    let corners = [[0.0, 0.0], [150.0, 0.0], [150.0, 80.0], [100.0, 80.0], [100.0, 120.0], [0.0, 120.0]];
    spec.plates[0].outline = Outline { corners: corners.map(Vec2::from).to_vec(), radius: 0.0 };
    let level = Bend { line: [Vec2::new(-1.0, 90.0), Vec2::new(101.0, 90.0)], ..bend(0.0, FRAC_PI_2, true, 3.0, 0.41) };
    spec.plates[0].bends = vec![bend(120.0, FRAC_PI_2, true, 3.0, 0.41), Bend { name: "level".into(), ..level }];
    let solved = solve(&spec);
    let frame = &solved.frame;
    let at = |u: f64, v: f64, w: f64| frame.origin + frame.u * u + frame.v * v + frame.w * w;
    for (hole, wanted) in solved.holes.iter().zip([at(120.0, 50.0, 15.0), at(60.0, 90.0, 15.0), at(60.0, 50.0, 0.0)]) {
        near((hole.folded.unwrap().at - wanted).length(), 0.0, 1e-9, "folded place");
    }
    near((solved.holes[0].folded.unwrap().normal + frame.u).length(), 0.0, 1e-12, "looks back over the plate");
    near((solved.holes[2].centre - Vec2::new(60.0, 50.0)).length(), 0.0, 1e-12, "the middle stays");
    // Each loses 2 × 3 tan 45 less π/2 (3 + 0.41 × 2).
    let lost = 6.0 - FRAC_PI_2 * 3.82;
    near((solved.holes[0].centre - Vec2::new(135.0 - lost, 50.0)).length(), 0.0, 1e-9, "flat place");
    near((solved.holes[1].centre - Vec2::new(60.0, 105.0 - lost)).length(), 0.0, 1e-9, "flat place");
}

#[test]
fn an_opening_goes_through_the_flange_its_tube_meets() {
    // The column crosses the plane x = 100 at u = 100, v = 80; the flange beyond u = 40 stands 30 degrees off.
    let mut spec = slanted(0.0, 3.0);
    spec.plates[0].outline = Outline::rectangle([260.0, 160.0], 0.0);
    spec.plates[0].bends = vec![bend(40.0, PI / 6.0, true, 4.0, 0.41)];
    let solved = solve(&spec);
    let opening = &solved.openings[0];
    // Round of 25 at 30 degrees off square, long across the bend.
    near(opening.major, 50.0 / (PI / 6.0).cos(), 1e-9, "long axis");
    near(opening.angle, 0.0, 1e-9, "its direction");
    // 60 mm on along the flange it is 60 / cos 30, less what the flat pattern loses.
    let lost = solved.bends[0].deduction;
    near(opening.centre.x, 40.0 + 60.0 / (PI / 6.0).cos() - lost, 1e-9, "centre on the flat pattern");
    near(opening.centre.y, 80.0, 1e-9, "v");
}

#[test]
fn bends_that_cannot_be() {
    let codes = |bends: Vec<Bend>| -> Vec<&'static str> {
        let errors = try_solve(&bent([200.0, 50.0], 3.0, bends, &[])).unwrap_err();
        errors.iter().map(|error| error.code).collect()
    };
    assert_eq!(codes(vec![bend(2.0, FRAC_PI_2, true, 4.0, 0.41)]), ["bend-on-zero"]);
    assert_eq!(codes(vec![bend(300.0, FRAC_PI_2, true, 4.0, 0.41)]), ["bend-line"]);
    let two = vec![bend(80.0, FRAC_PI_2, true, 4.0, 0.41), bend(85.0, FRAC_PI_2, true, 4.0, 0.41)];
    assert_eq!(codes(two), ["bends-meet"]);
    let mut spec = bent([200.0, 50.0], 3.0, vec![bend(190.0, FRAC_PI_2, true, 4.0, 0.41)], &[]);
    spec.plates[0].outline.radius = 12.0;
    assert_eq!(try_solve(&spec).unwrap_err()[0].code, "bend-in-corner");
}

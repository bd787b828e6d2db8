//! Outlines of any corners.

use std::f64::consts::PI;

use yokeline::geometry::Vec2;
use yokeline::solve::plate::path;
use yokeline::solve::solution::Vertex;
use yokeline::spec::types::Outline;

use super::{length, near, place, plain, slanted, solve};

fn outline(corners: &[[f64; 2]], radius: f64) -> Vec<Vertex> {
    let mut spec = slanted(0.0, 3.0);
    spec.plates[0].openings.clear();
    spec.plates[0].outline = Outline { corners: corners.iter().map(|&p| p.into()).collect(), radius };
    solve(&spec).outline
}

/// An L of 100 by 80 with arms 30 wide: six corners, one of them inside.
const ANGLE: [[f64; 2]; 6] = [[0.0, 0.0], [100.0, 0.0], [100.0, 30.0], [30.0, 30.0], [30.0, 80.0], [0.0, 80.0]];

/// A rounding of a square corner takes (1 − π/4) r² off outside and gives it inside, and shortens the edge by
/// (2 − π/2) r either way (any plane geometry).
#[test]
fn inside_corners_are_rounded_the_other_way() {
    let r = 8.0;
    let sharp = path(&outline(&ANGLE, 0.0)).unwrap();
    near(sharp.area(), 100.0 * 30.0 + 30.0 * 50.0, 1e-12, "sharp area");
    let vertices = outline(&ANGLE, r);
    assert_eq!(vertices.iter().filter(|vertex| vertex.clockwise).count(), 1);
    let round = path(&vertices).unwrap();
    near(round.area(), sharp.area() - (5.0 - 1.0) * (1.0 - PI / 4.0) * r * r, 1e-9, "area");
    near(length(&round), 360.0 - 6.0 * (2.0 - PI / 2.0) * r, 1e-4, "perimeter");
    // The inside corner's arc keeps to the metal's far side: its middle lies toward (30, 30) from (38, 38).
    let middle = Vec2::new(38.0, 38.0) - Vec2::polar(PI / 4.0) * r;
    let nearest = round.flattened(1e-6).iter().map(|p| (*p - middle).length()).fold(f64::INFINITY, f64::min);
    assert!(nearest < 0.05, "{nearest}");
}

/// A rounding at a turn of θ takes r² (tan(θ/2) − θ/2) off the corner.
#[test]
fn a_triangle_with_round_corners() {
    let (a, r) = (90.0, 7.0);
    let corners = [[0.0, 0.0], [a, 0.0], [a / 2.0, a * 3.0_f64.sqrt() / 2.0]];
    let found = path(&outline(&corners, r)).unwrap();
    let turn = 2.0 * PI / 3.0;
    let wanted = 3.0_f64.sqrt() / 4.0 * a * a - 3.0 * r * r * ((turn / 2.0).tan() - turn / 2.0);
    near(found.area(), wanted, 1e-9, "area");
    // The greatest radius is that of the inscribed circle, and leaves it alone.
    let whole = path(&outline(&corners, a / (2.0 * 3.0_f64.sqrt()) - 1e-12)).unwrap();
    near(whole.area(), PI * a * a / 12.0, 1e-6, "inscribed circle");
}

/// Half a hole over an inside edge, and one in the corner that is not there.
#[test]
fn the_net_area_of_an_angle() {
    let mut spec = slanted(0.0, 3.0);
    spec.plates[0].openings.clear();
    spec.plates[0].outline = Outline { corners: ANGLE.iter().map(|&p| p.into()).collect(), radius: 0.0 };
    let circle = PI * 25.0;
    for (centre, taken) in [([15.0, 60.0], 1.0), ([30.0, 60.0], 0.5), ([70.0, 60.0], 0.0), ([30.0, 30.0], 0.75)] {
        spec.plates[0].holes = vec![yokeline::spec::types::Hole { at: vec![place(centre, 0.0)], ..plain(10.0) }];
        near(solve(&spec).area, 4500.0 - taken * circle, 1e-5, "net area");
    }
}

//! Joining, slicing and measuring regions of loops.

use yokeline::geometry::Vec2;
use yokeline::geometry::contour::{self, slice};
use yokeline::solve::notch::notch;
use yokeline::spec::types::{Edge, Face, Section};

use super::{near, p, rail_of, spec_with};

#[test]
fn regions_are_joined_with_islands_and_over_the_seam() {
    let square = |x: f64, y: f64, s: f64| {
        [(0.0, 0.0), (s, 0.0), (s, s), (0.0, s)].map(|(a, b)| Vec2::new(x + a, y + b)).to_vec()
    };
    let whole = |loops: &[contour::Loop]| -> f64 { loops.iter().map(|l| contour::area(&l.points)).sum() };
    // Two squares that share a corner region: 100 + 100 − 25.
    let joined = contour::union(&[square(0.0, 0.0, 10.0), square(5.0, 5.0, 10.0)], None);
    assert_eq!((joined.len(), joined[0].points.len()), (1, 8));
    near(whole(&joined), 175.0, 1e-9);
    // Four bars round a hole: an outer loop and a clockwise island.
    let bar = |x: f64, y: f64, w: f64, h: f64| {
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(a, b)| Vec2::new(x + a, y + b)).to_vec()
    };
    let bars =
        [bar(0.0, 0.0, 30.0, 5.0), bar(0.0, 25.0, 30.0, 5.0), bar(0.0, 0.0, 5.0, 30.0), bar(25.0, 0.0, 5.0, 30.0)];
    let framed = contour::union(&bars, None);
    assert_eq!(framed.len(), 2);
    assert!(framed.iter().all(|l| l.points.len() == 4));
    near(whole(&framed), 900.0 - 400.0, 1e-9);
    // Squares that touch edge to edge are one; that touch in a corner are two.
    assert_eq!(contour::union(&[square(0.0, 0.0, 1.0), square(0.0, 1.0, 1.0)], None)[0].points.len(), 4);
    assert_eq!(contour::union(&[square(0.0, 0.0, 1.0), square(1.0, 1.0, 1.0)], None).len(), 2);
    // On a cylinder of girth 100: over the seam, wherever the polygon is placed, and all the way round.
    for y in [95.0, -5.0, 195.0] {
        let seam = contour::union(&[square(0.0, y, 10.0)], Some(100.0));
        assert_eq!((seam.len(), seam[0].points.len(), seam[0].turns), (1, 4, 0));
        near(whole(&seam), 100.0, 1e-9);
    }
    let ring = contour::union(&[bar(0.0, 0.0, 5.0, 60.0), bar(2.0, 50.0, 5.0, 60.0)], Some(100.0));
    assert!(ring.iter().any(|l| l.turns != 0));
    assert_eq!(slice(&[square(0.0, 0.0, 10.0), bar(0.0, 20.0, 10.0, 5.0)], 3.0), [(0.0, 10.0), (20.0, 25.0)]);
}

/// Where a shaft right through a rail pierces it: both places worked out by hand from the line through two points.
#[test]
fn axes_are_marked_where_they_pass_the_outside() {
    // 100 × 50, corner radius 6, v = 0 in the middle of the arc between top and vehicle's right.
    let section = Section::Tube { height: 100.0, width: 50.0, wall: 3.0, corner: 6.0 };
    let edge = Edge::Corner(Face::Top, Face::Right);
    let spec = spec_with([p(-300.0, 0.0, 0.0), p(300.0, 0.0, 0.0)], edge, section, 4.0, 1e-3);
    let rail = rail_of(&spec);
    // Level, 40 below the top: through the side at y = 0 where x = 10, and through that at y = −50 where x = −10.
    let (on, way) = (p(10.0, 0.0, -40.0), p(20.0, 50.0, 0.0));
    let room = super::cylinder(yokeline::spec::types::Body::Shaft(0), on - way * 4.0, on + way * 3.0, 9.0);
    let trace = notch(&spec, 0, &rail, &[room]).unwrap();
    // v grows clockwise seen along +x, from y = 0 over the top to y = −50 and down: an eighth of the arc's turn, the
    // top's flat, a quarter, 34 of the side's flat.
    let eighth = 1.5 * std::f64::consts::PI;
    let wanted = [Vec2::new(310.0, -eighth - 34.0), Vec2::new(290.0, eighth + 38.0 + 2.0 * eighth + 34.0)];
    assert_eq!(trace.crossings.len(), 2);
    for at in wanted {
        let turned = |q: Vec2| (-1..=1).map(move |turn| q + Vec2::new(0.0, f64::from(turn) * rail.girth));
        let off =
            trace.crossings.iter().flat_map(|(_, q)| turned(*q)).map(|q| (q - at).length()).fold(f64::MAX, f64::min);
        assert!(off < 1e-9, "{at:?} of {:?}", trace.crossings);
    }
}

//! The outline to cut, with corners a tool can follow.

use std::f64::consts::PI;

use yokeline::geometry::contour::{self, holds};
use yokeline::pipeline;
use yokeline::spec::types::{Body, Edge, Face, Section};

use super::{cylinder, left_standing_is_clear, notch, p, rail_of, shop_is_fit_to_cut, spec_with};
use crate::common::HERON;

#[test]
fn a_small_notch_grows_to_the_radius_and_an_island_falls_out() {
    let section = Section::Tube { height: 100.0, width: 60.0, wall: 3.0, corner: 6.0 };
    let along = [p(-150.0, 0.0, 0.0), p(150.0, 0.0, 0.0)];
    let spec = spec_with(along, Edge::Corner(Face::Top, Face::Right), section, 6.0, 8.0);
    let rail = rail_of(&spec);
    // A shaft's end dips 3 mm into the clearance over the top: a tongue narrower than the disc.
    let dip = cylinder(Body::Shaft(0), p(-60.0, -20.0, 17.8), p(60.0, -10.0, 14.4), 9.0);
    let trace = notch(&spec, 0, &rail, &[dip]).unwrap();
    shop_is_fit_to_cut(&spec, &trace);
    assert!(trace.area >= PI * 64.0 && trace.area <= 3.0 * PI * 64.0, "{}", trace.area);

    // Four bars lie on the top round a free middle.
    let bar = |x0: f64, y0: f64, x1: f64, y1: f64| cylinder(Body::Shaft(0), p(x0, y0, 5.0), p(x1, y1, 5.0), 3.0);
    let frame = [
        bar(-25.0, -16.0, 25.0, -16.0),
        bar(-25.0, -44.0, 25.0, -44.0),
        bar(-25.0, -16.0, -25.0, -44.0),
        bar(25.0, -16.0, 25.0, -44.0),
    ];
    let trace = notch(&spec, 0, &rail, &frame).unwrap();
    left_standing_is_clear(&spec, &rail, &frame, &trace);
    assert_eq!((trace.traced.len(), trace.shop.len()), (2, 1));
    assert!(contour::area(&trace.traced[0]) > 0.0 && contour::area(&trace.traced[1]) < 0.0);
    assert!(holds(&trace.traced[..1], trace.traced[1][0]));
    assert!(trace.area > contour::area(&trace.traced[0]));
}

/// A corner radius of a foot finds no room under a tube of 1 3/4 in: the edge is rounded as far as the tube allows, in no
/// more time than for a radius that fits, and stands off it nowhere by more than half a millimetre.
#[test]
fn a_radius_wider_than_the_opening_is_cut_down() {
    let area = |corner: &str| {
        let text = HERON.replacen("corner    = \"3/8 in\"", &format!("corner    = \"{corner}\""), 1);
        assert_eq!(text == HERON, corner == "3/8 in");
        let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
        solved.solution.notches[0].area
    };
    let [usual, wide] = ["3/8 in", "12 3/8 in"].map(area);
    // The tube's edge is some 250 mm round, and neither stands off it by more than half a millimetre.
    assert!((wide - usual).abs() <= 0.5 * 250.0, "{wide} against {usual}");
}

/// A hole saw wider than the notch leaves its own circle and no more: area pi r², from outside by what a polyline may.
#[test]
fn a_radius_wider_than_the_notch_leaves_its_circle() {
    let text: String =
        crate::common::HERON.lines().filter(|line| !line.starts_with("liner ")).fold(String::new(), |text, line| {
            let line = if line.starts_with("corner    = ") { "corner    = \"3 in\"" } else { line };
            text + line + "\n"
        });
    let solved = yokeline::pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let shop = &solved.solution.notches[0].shop;
    assert_eq!(shop.len(), 1, "one loop");
    let area: f64 = shop[0].iter().zip(shop[0].iter().cycle().skip(1)).map(|(a, b)| 0.5 * a.cross(*b)).sum();
    let circle = |radius: f64| std::f64::consts::PI * radius * radius;
    assert!((circle(76.2)..circle(76.2 + 0.02)).contains(&area), "{area} beside {}", circle(76.2));
}

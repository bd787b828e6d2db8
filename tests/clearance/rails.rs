//! Rails: where they lie, their unrolled outside, their metal.

use std::f64::consts::{FRAC_PI_2, PI, SQRT_2};

use yokeline::geometry::Vec3;
use yokeline::geometry::distance::{Closest, Convex, closest_of};
use yokeline::solve::clearance::rail_solids;
use yokeline::solve::rail::{RailShape, shape};
use yokeline::spec::Spec;
use yokeline::spec::types::{Edge, Face, Rail, Section};

use super::{cylinder, near, p};
use crate::common::heron;

fn with_rail(along: [Vec3; 2], edge: Edge, section: Section) -> Spec {
    let mut spec = heron();
    spec.rails = vec![Rail { name: "rail".into(), along, edge, section, marks: Vec::new() }];
    spec
}

fn rail(along: [Vec3; 2], edge: Edge, section: Section) -> RailShape {
    let spec = with_rail(along, edge, section);
    shape(&spec.rails[0], 0, &spec).unwrap()
}

const TUBE: Section = Section::Tube { height: 100.0, width: 60.0, wall: 3.0, corner: 6.0 };

/// Least and greatest vehicle coordinates of the outside, by walking round it.
fn bounds(rail: &RailShape) -> (Vec3, Vec3) {
    let (first, last) = rail.v_range();
    let mut low = p(f64::INFINITY, f64::INFINITY, f64::INFINITY);
    let mut high = -low;
    for i in 0..=4000 {
        for u in [0.0, rail.length] {
            let (at, _) = rail.outside(u, first + (last - first) * f64::from(i) / 4000.0);
            low = p(low.x.min(at.x), low.y.min(at.y), low.z.min(at.z));
            high = p(high.x.max(at.x), high.y.max(at.y), high.z.max(at.z));
        }
    }
    (low, high)
}

#[test]
fn the_named_faces_meet_in_the_line_whichever_way_it_runs() {
    // The metal lies on the far side of both named faces: hand-drawn boxes.
    let (fore, aft) = (p(0.0, -300.0, 150.0), p(800.0, -300.0, 150.0));
    let (left, right) = (p(100.0, -400.0, 150.0), p(100.0, 400.0, 150.0));
    let cases = [
        ([fore, aft], Face::Top, Face::Right, [-360.0, -300.0], [50.0, 150.0]),
        ([fore, aft], Face::Top, Face::Left, [-300.0, -240.0], [50.0, 150.0]),
        ([fore, aft], Face::Bottom, Face::Right, [-360.0, -300.0], [150.0, 250.0]),
        ([fore, aft], Face::Bottom, Face::Left, [-300.0, -240.0], [150.0, 250.0]),
        ([left, right], Face::Top, Face::Front, [100.0, 160.0], [50.0, 150.0]),
        ([left, right], Face::Top, Face::Rear, [40.0, 100.0], [50.0, 150.0]),
        ([left, right], Face::Bottom, Face::Rear, [40.0, 100.0], [150.0, 250.0]),
    ];
    for ([a, b], first, second, across, up) in cases {
        for along in [[a, b], [b, a]] {
            let rail = rail(along, Edge::Corner(first, second), TUBE);
            let (low, high) = bounds(&rail);
            let crosswise = (a.x - b.x).abs() < 1.0;
            let (l, h) = if crosswise { (low.x, high.x) } else { (low.y, high.y) };
            near(l, across[0], 1e-9);
            near(h, across[1], 1e-9);
            near(low.z, up[0], 1e-9);
            near(high.z, up[1], 1e-9);
            // v = 0 on the bisector of the named corner: in from both faces by corner × (1 − 1/√2).
            let (at, normal) = rail.outside(0.0, 0.0);
            let inset = (first.direction() + second.direction()) * (-6.0 * (1.0 - 0.5 * SQRT_2));
            assert!((at - along[0] - inset).length() < 1e-9, "{at:?}");
            let outward = (first.direction() + second.direction()).unit().unwrap();
            assert!((normal - outward).length() < 1e-9);
        }
    }
}

#[test]
fn the_outside_unrolls_clockwise() {
    // Two whole turns of the section; girth = flats and one whole circle of the corner radius.
    let rail = rail([p(800.0, 0.0, 100.0), p(0.0, 0.0, 100.0)], Edge::Corner(Face::Top, Face::Right), TUBE);
    near(rail.girth, 2.0 * (88.0 + 48.0) + 2.0 * PI * 6.0, 1e-9);
    // It runs forward: the vehicle's right is the viewer's, so past the corner v goes down the right side.
    assert_eq!(rail.frame.z, p(0.0, 1.0, 0.0));
    let (at, normal) = rail.outside(10.0, 3.0 * FRAC_PI_2 + 20.0);
    assert!((at - p(790.0, 0.0, 100.0 - 26.0)).length() < 1e-9, "{at:?}");
    assert!((normal - p(0.0, 1.0, 0.0)).length() < 1e-12);
    // The unrolled length is the walked length, the normal stands on the walk, and the seam is no seam.
    let step = rail.girth / 7200.0;
    for i in 0..=7300 {
        let v = step * f64::from(i);
        let ((q, normal), (r, _)) = (rail.section_point(v), rail.section_point(v + step));
        let walk = r - q;
        assert!(walk.length() <= step + 1e-9 && walk.length() > 0.9 * step, "{v}: {walk:?}");
        // Clockwise: outside is on the left hand.
        assert!(walk.cross(normal) > 0.0 && walk.dot(normal) <= 1e-9, "{v}");
    }
    // Corner arc of radius 6: fold lines 9.424777961 apart (reference case of the next test).
    let folds = rail.fold_lines();
    assert_eq!(folds.len(), 8);
    near(folds[0], 9.424_777_961 / 2.0, 1e-9);
    near(rail.girth - folds[7], 9.424_777_961 / 2.0, 1e-9);
    near(folds[2] - folds[1], 9.424_777_961, 1e-9);
}

#[test]
fn the_corner_of_the_notch_case_is_where_its_table_says() {
    // Derived case of a rail with corner radius: side plane y = 0 (outside +y), top z = 100, Ro = 6;
    // s counts up the side, 94 at the start of the arc, 98.71238898 in its middle; s = 96 lies at
    // y = -0.330258, z = 95.963168, printed to 1e-6.
    let rail = rail([p(0.0, 0.0, 100.0), p(800.0, 0.0, 100.0)], Edge::Corner(Face::Top, Face::Right), TUBE);
    // Seen rearward the vehicle's right is on the left: clockwise is up the side.
    let v = |s: f64| s - 98.712_388_98;
    let (at, _) = rail.outside(0.0, v(96.0));
    near(at.y, -0.330_258, 1e-6);
    near(at.z, 95.963_168, 1e-6);
    let (at, _) = rail.outside(0.0, v(80.0));
    near(at.y, 0.0, 1e-8);
    near(at.z, 80.0, 1e-8);
    let (at, _) = rail.outside(0.0, v(110.0));
    near(at.y, -(6.0 + 110.0 - 103.424_777_96), 1e-8);
    near(at.z, 100.0, 1e-8);
}

#[test]
fn channels_run_from_lip_to_lip() {
    for (open, along) in [
        (Face::Right, [p(0.0, 0.0, 0.0), p(500.0, 0.0, 0.0)]),
        (Face::Right, [p(500.0, 0.0, 0.0), p(0.0, 0.0, 0.0)]),
        (Face::Left, [p(0.0, 0.0, 0.0), p(500.0, 0.0, 0.0)]),
    ] {
        let side = if open == Face::Right { Face::Left } else { Face::Right };
        let section = Section::Channel { height: 100.0, width: 40.0, wall: 4.0, corner: 8.0, open };
        let rail = rail(along, Edge::Corner(Face::Top, side), section);
        // Two flanges and a web, each corner's 2·8 of flat given for a quarter circle.
        near(rail.girth, 100.0 + 2.0 * 40.0 - 4.0 * 8.0 + PI * 8.0, 1e-9);
        let (first, last) = rail.v_range();
        assert!(first < 0.0 && last > 0.0 && !rail.closed);
        assert!(
            rail.on_metal(first) && rail.on_metal(0.0) && !rail.on_metal(last + 1.0) && !rail.on_metal(first - 1.0)
        );
        assert_eq!(rail.fold_lines().len(), 4);
        let (low, high) = bounds(&rail);
        let sign = side.direction().y;
        let span = if sign > 0.0 { [-40.0, 0.0] } else { [0.0, 40.0] };
        near(low.y, span[0], 1e-9);
        near(high.y, span[1], 1e-9);
        near(low.z, -100.0, 1e-9);
        // Both lips on the open side; past them the flange runs on straight.
        for (lip, past) in [(first, first - 5.0), (last, last + 5.0)] {
            let (at, normal) = rail.outside(0.0, lip);
            near(at.y, -sign * 40.0, 1e-9);
            near(normal.z.abs(), 1.0, 1e-12);
            near(rail.outside(0.0, past).0.y, -sign * 45.0, 1e-9);
        }
        // The top flange's lip is the nearer one to v = 0.
        let top = if first.abs() < last.abs() { first } else { last };
        near(rail.outside(0.0, top).0.z, 0.0, 1e-9);
        // The web faces the named side.
        let web = rail.outside(0.0, if top < 0.0 { 30.0 } else { -30.0 });
        near(web.1.y, sign, 1e-12);
    }
}

#[test]
fn pipes_and_middles() {
    let along = [p(0.0, 10.0, 50.0), p(500.0, 10.0, 50.0)];
    let pipe = rail(along, Edge::Centre, Section::Pipe { diameter: 48.0, wall: 3.0 });
    near(pipe.girth, 48.0 * PI, 1e-9);
    assert_eq!((pipe.path.len(), pipe.fold_lines().len()), (4, 0));
    assert!((pipe.outside(7.0, 0.0).0 - p(7.0, 10.0, 74.0)).length() < 1e-9);
    let tube = rail(along, Edge::Centre, TUBE);
    assert!((tube.outside(7.0, 0.0).0 - p(7.0, 10.0, 100.0)).length() < 1e-9);
    // Rearward, clockwise from the top goes to the vehicle's left.
    assert!(tube.outside(7.0, 5.0).0.y < 10.0);
    let sharp = Section::Tube { height: 100.0, width: 60.0, wall: 3.0, corner: 0.0 };
    let sharp = rail(along, Edge::Corner(Face::Top, Face::Left), sharp);
    near(sharp.girth, 320.0, 1e-9);
    assert!((sharp.outside(0.0, 0.0).0 - along[0]).length() < 1e-9);
    let open_top = Section::Channel { height: 40.0, width: 100.0, wall: 4.0, corner: 8.0, open: Face::Top };
    let open_top = rail(along, Edge::Centre, open_top);
    assert!((open_top.outside(0.0, 0.0).0 - p(0.0, 10.0, 30.0)).length() < 1e-9);
}

#[test]
fn rails_that_cannot_be_placed_are_told() {
    let at = p(0.0, 0.0, 0.0);
    let corner = Edge::Corner(Face::Top, Face::Right);
    let channel = Section::Channel { height: 100.0, width: 40.0, wall: 4.0, corner: 8.0, open: Face::Right };
    let cases = [
        ([at, at], corner, TUBE, "rail-no-length"),
        ([at, p(0.0, 1.0, 500.0)], corner, TUBE, "rail-upright"),
        ([at, p(2.0, 500.0, 0.0)], corner, TUBE, "rail-face"),
        ([at, p(500.0, 0.0, 0.0)], Edge::Corner(Face::Top, Face::Bottom), TUBE, "rail-corner"),
        ([at, p(500.0, 0.0, 0.0)], corner, channel, "rail-open-side"),
        ([at, p(500.0, 0.0, 0.0)], Edge::Centre, Section::Pipe { diameter: 20.0, wall: 10.0 }, "rail-section"),
    ];
    for (along, edge, section, code) in cases {
        let spec = with_rail(along, edge, section);
        let found = shape(&spec.rails[0], 0, &spec).unwrap_err();
        assert_eq!(found.code, code, "{}", found.message);
        assert!(found.help.is_some());
    }
}

#[test]
fn rails_are_hollow_metal() {
    let bar = |from: Vec3, to: Vec3, r: f64| cylinder(from, to, r);
    let along = [p(0.0, 0.0, 0.0), p(800.0, 0.0, 0.0)];
    let to = |rail: &RailShape, body: &Convex| -> Closest { closest_of(body, &rail_solids(rail)).unwrap() };
    // A bar down the inside of a pipe, off its middle by 4: bore radius less both.
    let pipe = rail(along, Edge::Centre, Section::Pipe { diameter: 100.0, wall: 5.0 });
    near(to(&pipe, &bar(p(100.0, 3.0, 2.0), p(400.0, 3.0, 2.0), 10.0)).gap, 45.0 - 10.0 - 13_f64.sqrt(), 1e-8);
    // Right down its middle every side is equally near; the search is stopped and says how sure it is.
    let middle = to(&pipe, &bar(p(100.0, 0.0, 0.0), p(400.0, 0.0, 0.0), 10.0));
    near(middle.gap, 35.0, 1e-5);
    assert!(middle.slack < 1e-4, "{middle:?}");
    // In a square tube: to the nearest wall, 60 wide and 3 thick; and out through an end.
    let tube = rail(along, Edge::Centre, TUBE);
    near(to(&tube, &bar(p(100.0, 5.0, 2.0), p(400.0, 5.0, 2.0), 10.0)).gap, 27.0 - 15.0, 1e-9);
    near(to(&tube, &bar(p(-90.0, 0.0, 0.0), p(-40.0, 0.0, 0.0), 10.0)).gap, 40_f64.hypot(17.0), 1e-9);
    // Against the inside of a corner: its arc is about (24, 44), inside radius 3, and the body lies nearer still.
    near(
        to(&tube, &Convex::Ball { centre: p(300.0, 25.0, 45.5), radius: 0.25 }).gap,
        3.0 - 1_f64.hypot(1.5) - 0.25,
        1e-8,
    );
    // Through a wall.
    near(to(&tube, &bar(p(300.0, 0.0, 0.0), p(320.0, 90.0, 4.0), 6.0)).gap, 0.0, 0.0);
    // Outside a corner: the arc's centre line at (24, 44).
    let ball = Convex::Ball { centre: p(300.0, 54.0, 84.0), radius: 8.0 };
    near(to(&tube, &ball).gap, 30_f64.hypot(40.0) - 6.0 - 8.0, 1e-8);
    // A wall thicker than its corner radius leaves a sharp inside: 27 and 47 less wall 8 and 8 from the middle.
    let thick = Section::Tube { height: 100.0, width: 60.0, wall: 8.0, corner: 6.0 };
    let thick = rail(along, Edge::Centre, thick);
    near(to(&thick, &Convex::Ball { centre: p(300.0, 21.0, 40.0), radius: 0.5 }).gap, 0.5, 1e-9);
    near(to(&thick, &Convex::Ball { centre: p(300.0, 23.0, 43.0), radius: 0.5 }).gap, 0.0, 0.0);
    // The open side of a channel is open.
    let open = Section::Channel { height: 100.0, width: 60.0, wall: 4.0, corner: 8.0, open: Face::Right };
    let open = rail(along, Edge::Centre, open);
    near(to(&open, &bar(p(300.0, -10.0, 0.0), p(300.0, 500.0, 0.0), 6.0)).gap, 26.0 - 10.0, 1e-8);
}

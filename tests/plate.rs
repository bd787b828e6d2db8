//! Plates: frames, holes, openings, areas.

mod bends;
mod drilling;
mod folded;
mod holes;
mod openings;
mod outlines;

use std::f64::consts::PI;

use yokeline::diagnostic::Diagnostic;
use yokeline::geometry::{Path, Vec2, Vec3};
use yokeline::solve::chain::chain;
use yokeline::solve::plate::{hole_outline, path, plate};
use yokeline::solve::solution::{OpeningResult, PlateResult};
use yokeline::spec::Spec;
use yokeline::spec::types::{Body, Hole, HolePlace, HoleSize, Opening, OpeningShape, Outline, PlatePlace, Unit};

use crate::common::heron;

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}, allowed {allowed:e}");
}

/// The first plate; the linkage's lines stay the roadster's, whatever is passed for its column.
fn try_solve(spec: &Spec) -> Result<PlateResult, Vec<Diagnostic>> {
    plate(spec, (&chain(&heron()).unwrap(), None), &spec.plates[0])
}

fn solve(spec: &Spec) -> PlateResult {
    try_solve(spec).unwrap()
}

/// A plate 200 by 160 in the plane x = 100, seen from the rear, and a column of tube diameter 2·25 that passes its
/// middle at `slant` (rad) off square, leaning to +v.
fn slanted(slant: f64, thick: f64) -> Spec {
    let mut spec = heron();
    let axis = Vec3::new(-slant.cos(), 0.0, -slant.sin());
    spec.column.axis = axis;
    spec.column.end = Vec3::new(100.0, 20.0, 30.0) + axis * 500.0;
    spec.column.tube = Some(50.0);
    let place = PlatePlace::Points {
        origin: Vec3::new(100.0, -80.0, -50.0),
        right: Vec3::new(100.0, 10.0, -50.0),
        // Not square to the other: v is made so.
        up: Vec3::new(100.0, 7.0, 40.0),
    };
    spec.plates[0].place = place;
    spec.plates[0].outline = Outline::rectangle([200.0, 160.0], 0.0);
    spec.plates[0].thick = thick;
    spec.plates[0].holes.clear();
    spec.plates[0].openings = vec![Opening { name: "round".into(), around: Body::Column, clearance: 0.0, shape: None }];
    spec
}

fn place(centre: [f64; 2], angle: f64) -> HolePlace {
    HolePlace { centre: centre.into(), angle }
}

/// A drilled hole with nothing else to it.
fn plain(diameter: f64) -> Hole {
    let size = HoleSize::Drill(diameter);
    Hole { name: "hole".into(), at: Vec::new(), size, slot: None, depth: None, countersink: None }
}

fn length(path: &Path) -> f64 {
    path.flattened(1e-7).windows(2).map(|pair| (pair[1] - pair[0]).length()).sum()
}

/// Cylinder of r = 25 through a plane whose normal lies at γ to its axis: semi-axes r and r / cos γ, area π r² / cos γ,
/// perimeter 4 a E(sin² γ) (any solid geometry; elliptic integral tabulated, Abramowitz & Stegun 17.3).
#[test]
fn ellipse_of_a_tube_through_a_plane() {
    let rows = [
        (30.0, 28.867_513_459, 169.447_940_318),
        (45.0, 35.355_339_059, 191.009_889_451),
        (60.0, 50.0, 242.211_205_514),
    ];
    for (degrees, major, perimeter) in rows {
        // Thin as a sheet: the cut is the ellipse itself, but for a shift of 1e-9 mm.
        let solved = solve(&slanted(f64::to_radians(degrees), 1e-9));
        let opening = &solved.openings[0];
        near(opening.major, 2.0 * major, 2e-9, "major axis");
        near(opening.minor, 50.0, 1e-12, "minor axis");
        near(opening.angle, 90.0, 1e-9, "angle");
        near(opening.centre.x, 100.0, 1e-9, "centre u");
        near(opening.centre.y, 80.0, 1e-9, "centre v");
        let outline = path(&opening.outline).unwrap();
        near(outline.area(), PI * 625.0 / f64::to_radians(degrees).cos(), 1e-6, "area");
        near(length(&outline), perimeter, 2e-5, "perimeter");
    }
}

/// Hull of an ellipse and the same shifted by s along its major axis: its area and s times its width across,
/// since the straights touch it at the ends of the minor axis (Cavalieri).
#[test]
fn an_opening_goes_through_the_whole_thickness() {
    let (slant, thick) = (f64::to_radians(40.0), 12.0);
    let solved = solve(&slanted(slant, thick));
    let opening = &solved.openings[0];
    let outline = path(&opening.outline).unwrap();
    let shift = thick * slant.tan();
    near(outline.area(), PI * 625.0 / slant.cos() + shift * 50.0, 1e-9, "area");
    near(solved.area, 200.0 * 160.0 - outline.area(), 1e-9, "net area");
    // Material lies behind the face, on −w = −x here; the axis falls forward, so the exit lies below.
    let (low, high) = outline.bounds();
    near(high.y, 80.0 + 25.0 / slant.cos(), 1e-9, "top");
    near(low.y, 80.0 - shift - 25.0 / slant.cos(), 1e-9, "bottom");
    near(high.x - low.x, 50.0, 1e-9, "width");
    // Every point of the cylinder between face and back is within the cut, and touches it.
    let chain_axis = Vec3::new(slant.cos(), 0.0, slant.sin());
    let (across, over) = (Vec3::new(0.0, 1.0, 0.0), Vec3::new(-slant.sin(), 0.0, slant.cos()));
    let flat = outline.flattened(1e-6);
    let mut nearest = f64::INFINITY;
    for i in 0..72 {
        let (s, c) = f64::to_radians(5.0 * f64::from(i)).sin_cos();
        let spoke = (across * c + over * s) * 25.0;
        for depth in [0.0, 3.0, 7.0, 12.0] {
            let along = (-depth - spoke.x) / chain_axis.x;
            let p = spoke + chain_axis * along;
            let p = Vec2::new(100.0 + p.y, 80.0 + p.z);
            // Anticlockwise outline: inside lies to the left of every chord.
            let depth_in = flat
                .windows(2)
                .filter_map(|pair| (pair[1] - pair[0]).unit().map(|t| t.cross(p - pair[0])))
                .fold(f64::INFINITY, f64::min);
            assert!(depth_in > -1e-5, "point at {p:?} is {depth_in} outside the cut");
            nearest = nearest.min(depth_in);
        }
    }
    near(nearest, 0.0, 1e-5, "the cut is no wider than the tube");
}

/// The roadster's bracket is square to its column: round opening at `zero`, radius tube / 2 + clearance.
#[test]
fn the_bracket_of_the_roadster() {
    let spec = heron();
    let solved = solve(&spec);
    let opening = &solved.openings[0];
    near(opening.centre.x, 3.0 * 25.4, 1e-9, "u");
    near(opening.centre.y, 2.5 * 25.4, 1e-9, "v");
    near(opening.major, 2.25 * 25.4, 1e-9, "major");
    near(opening.minor, 2.25 * 25.4, 1e-9, "minor");
    near(opening.angle, 0.0, 0.0, "angle");
    assert!(opening.outline.iter().all(|vertex| vertex.centre.is_some() && vertex.axes.is_none()));
    // Right-handed, the viewer on the wheel's side, up upward; the face 20 in up the column from its end.
    let frame = &solved.frame;
    near(frame.u.cross(frame.v).dot(frame.w), 1.0, 1e-14, "right-handed");
    near(frame.w.dot(spec.column.axis), -1.0, 1e-14, "w up the column");
    assert!(frame.v.z > 0.8, "v is up");
    let on_axis = frame.origin + frame.u * opening.centre.x + frame.v * opening.centre.y;
    near((on_axis - (spec.column.end - spec.column.axis * (20.0 * 25.4))).length(), 0.0, 1e-9, "on the axis");
    // ASME B18.2.8 (from memory): normal fit of 5/16 in is 11/32 in.
    assert_eq!(
        solved.holes.iter().map(|hole| hole.name.as_str()).collect::<Vec<_>>(),
        ["mount 1", "mount 2", "mount 3", "mount 4"]
    );
    for hole in &solved.holes {
        near(hole.diameter, 11.0 / 32.0 * 25.4, 1e-12, "clearance hole");
        assert_eq!(hole.drill, "11/32 in");
    }
    assert!(solved.holes.iter().all(|hole| hole.kind == "clearance"));
    let inch = 25.4 * 25.4;
    let wanted = 30.0 - (4.0 - PI) * 0.25 - PI / 4.0 * (4.0 * (11.0_f64 / 32.0).powi(2) + 2.25_f64.powi(2));
    near(solved.area, wanted * inch, 1e-9, "net area");
    near(solved.outline[0].at.x, 12.7, 1e-12, "the outline starts at the corner's end");
    near(path(&solved.outline).unwrap().area(), (30.0 - (4.0 - PI) * 0.25) * inch, 1e-9, "outline, anticlockwise");
}

/// Looking down into the plate with u to the right: a column that leans to the viewer's right has its opening's long
/// axis along u; one that leans up and right by half each, at 45 deg; up and left at 135 deg.
#[test]
fn the_long_axis_points_where_the_tube_leans() {
    for (lean, angle) in [([1.0, 0.0], 0.0), ([1.0, 1.0], 45.0), ([0.0, 1.0], 90.0), ([-1.0, 1.0], 135.0)] {
        for sign in [1.0, -1.0] {
            let mut spec = slanted(0.0, 4.0);
            // Seen from the rear u runs to the vehicle's right (+y), v up.
            let axis = Vec3::new(-1.0, sign * lean[0] * 0.4, sign * lean[1] * 0.4).unit().unwrap();
            spec.column.axis = axis;
            let found = solve(&spec).openings[0].angle;
            near((found - angle + 90.0).rem_euclid(180.0), 90.0, 1e-9, "angle");
            assert!((0.0..180.0).contains(&found));
        }
    }
}

/// Turning and moving the whole vehicle changes no number on the drawing.
#[test]
fn moving_the_vehicle_changes_nothing() {
    let still = slanted(0.5, 9.0);
    let mut moved = still.clone();
    let axis = Vec3::new(0.3, -0.5, 0.8).unit().unwrap();
    let (angle, by) = (1.1, Vec3::new(321.0, -54.0, 987.0));
    let put = |p: Vec3| p.turned(axis, angle) + by;
    for end in [&mut moved.column, &mut moved.gear] {
        end.axis = end.axis.turned(axis, angle);
        end.end = put(end.end);
        end.second = end.second.map(put);
    }
    let PlatePlace::Points { origin, right, up } = still.plates[0].place else { panic!("three points") };
    moved.plates[0].place = PlatePlace::Points { origin: put(origin), right: put(right), up: put(up) };
    let (a, b) = (solve(&still), solve(&moved));
    near(b.area, a.area, 1e-8, "area");
    let (a, b): (&OpeningResult, &OpeningResult) = (&a.openings[0], &b.openings[0]);
    near(b.major, a.major, 1e-10, "major");
    near(b.angle, a.angle, 1e-10, "angle");
    for (p, q) in a.outline.iter().zip(&b.outline) {
        near((p.at - q.at).length(), 0.0, 1e-9, "outline");
    }
}

/// Round of the gear's and of a shaft's largest diameter, in a plate square to each.
#[test]
fn square_to_gear_and_shaft() {
    let mut spec = heron();
    let zero = Vec2::new(50.0, 40.0);
    let up = Vec3::new(0.0, 0.0, 1.0);
    spec.plates[0].holes.clear();
    for (axis, diameter) in [(Body::Gear, 19.05), (Body::Shaft(0), 19.05)] {
        spec.plates[0].place = PlatePlace::SquareTo { axis, from_end: 30.0, up, zero };
        spec.plates[0].openings = vec![Opening { name: "round".into(), around: axis, clearance: 3.0, shape: None }];
        let line = chain(&spec).unwrap();
        let solved = plate(&spec, (&line, None), &spec.plates[0]).unwrap();
        near(solved.openings[0].minor, diameter + 6.0, 1e-12, "minor");
        near((solved.openings[0].centre - zero).length(), 0.0, 1e-9, "centre");
        let toward = line.axes[if axis == Body::Gear { 2 } else { 1 }];
        near(solved.frame.w.dot(toward), 1.0, 1e-14, "toward the gear");
        let end = if axis == Body::Gear {
            spec.gear.end
        } else {
            // The shaft ends its hub's gap past the cross: reach less depth, 0.6 in.
            line.centres[0] + line.axes[1] * (0.6 * 25.4)
        };
        near((solved.frame.origin - end).dot(toward), 30.0, 1e-9, "distance of the drawn face");
    }
}

/// Net area where cuts overlap or leave the plate: lens of two circles (any geometry), half circles over an edge.
#[test]
fn overlapping_cuts_are_counted_once() {
    let mut spec = slanted(0.0, 3.0);
    spec.plates[0].openings.clear();
    let drill = |at: &[[f64; 2]], diameter: f64, slot: Option<(f64, f64)>| Hole {
        at: at.iter().map(|&p| place(p, slot.map_or(0.0, |(_, angle)| angle))).collect(),
        slot: slot.map(|(length, _)| length),
        ..plain(diameter)
    };
    let net = |spec: &mut Spec, holes: Vec<Hole>| {
        spec.plates[0].holes = holes;
        200.0 * 160.0 - solve(spec).area
    };
    let circle = PI * 100.0;
    near(net(&mut spec, vec![drill(&[[50.0, 50.0], [70.5, 50.0]], 20.0, None)]), 2.0 * circle, 1e-9, "apart");
    // Centres 10 apart, r = 10: lens = 2 r² acos(d/2r) − d/2 √(4r² − d²).
    let lens = 200.0 * 0.5_f64.acos() - 5.0 * 300.0_f64.sqrt();
    for second in [[60.0, 50.0], [50.0, 60.0], [50.0 + 50.0_f64.sqrt(), 50.0 + 50.0_f64.sqrt()]] {
        near(net(&mut spec, vec![drill(&[[50.0, 50.0], second], 20.0, None)]), 2.0 * circle - lens, 1e-5, "lens");
    }
    near(net(&mut spec, vec![drill(&[[50.0, 50.0], [50.0, 50.0]], 20.0, None)]), circle, 1e-8, "one in the other");
    near(net(&mut spec, vec![drill(&[[0.0, 50.0]], 20.0, None)]), circle / 2.0, 1e-5, "over the left edge");
    near(net(&mut spec, vec![drill(&[[50.0, 160.0]], 20.0, None)]), circle / 2.0, 1e-5, "over the top");
    near(net(&mut spec, vec![drill(&[[300.0, 50.0]], 20.0, None)]), 0.0, 1e-8, "beside the plate");
    // A slot: circle and rectangle, at any angle.
    for angle in [0.0, 0.7, PI / 2.0] {
        near(net(&mut spec, vec![drill(&[[90.0, 80.0]], 10.0, Some((30.0, angle)))]), PI * 25.0 + 300.0, 1e-9, "slot");
    }
}

#[test]
fn holes_say_their_drill() {
    let mut spec = slanted(0.0, 3.0);
    let drill = |diameter| Hole { at: vec![place([40.0, 40.0], PI / 6.0)], slot: Some(12.0), ..plain(diameter) };
    spec.plates[0].holes = vec![drill(0.25 * 25.4), drill(8.5)];
    let solved = solve(&spec);
    assert_eq!(solved.holes.iter().map(|hole| hole.drill.as_str()).collect::<Vec<_>>(), ["1/4 in", "8.5 mm"]);
    assert_eq!(solved.holes[0].name, "hole");
    assert_eq!(solved.holes[0].kind, "drill");
    near(solved.holes[0].slot.unwrap().angle, 30.0, 1e-12, "slot angle");
    let edge = path(&hole_outline(&solved.holes[1])).unwrap();
    near(length(&edge), 24.0 + PI * 8.5, 1e-5, "slot's edge");
    spec.build.units = Unit::Millimetre;
    assert_eq!(solve(&spec).holes[0].drill, "6.35 mm");
}

#[test]
fn plates_that_cannot_be_are_named() {
    let codes =
        |spec: &Spec| -> Vec<&'static str> { try_solve(spec).unwrap_err().iter().map(|error| error.code).collect() };
    let mut spec = slanted(0.0, 3.0);
    spec.column.axis = Vec3::new(0.0, 0.0, -1.0);
    assert_eq!(codes(&spec), ["opening-along-plate"]);
    let mut spec = slanted(0.0, 3.0);
    spec.plates[0].openings = [Body::Joint(0), Body::Joint(1)]
        .map(|around| Opening { name: "joint".into(), around, clearance: 3.0, shape: Some(OpeningShape::Round) })
        .to_vec();
    assert_eq!(codes(&spec), ["opening-off-plate", "opening-off-plate"]);
    let mut spec = slanted(0.0, 3.0);
    let origin = Vec3::default();
    spec.plates[0].place = PlatePlace::Points { origin, right: Vec3::new(1.0, 2.0, 3.0), up: Vec3::new(2.0, 4.0, 6.0) };
    assert_eq!(codes(&spec), ["plate-frame"]);
    spec.plates[0].place =
        PlatePlace::SquareTo { axis: Body::Column, from_end: 10.0, up: spec.column.axis, zero: Vec2::default() };
    assert_eq!(codes(&spec), ["plate-frame"]);
}

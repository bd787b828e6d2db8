//! Notches in rails: traced outlines, outlines to cut, gaps left.

mod any;
mod moving;
mod moving_ends;
mod order;
mod regions;
mod shop;
mod standing;
mod tilted;
mod tubes;
mod views;

use std::f64::consts::PI;

use yokeline::geometry::contour::{self, holds, sides};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::solve::bodies::{Room, RoomShape};
use yokeline::solve::notch::{NotchTrace, WallRule, notch, result};
use yokeline::solve::rail::{RailShape, shape};
use yokeline::spec::Spec;
use yokeline::spec::types::{Body, Edge, Face, Rail, Section};

const IN: f64 = 25.4;

fn heron() -> Spec {
    let mut spec = crate::common::heron();
    (spec.notches[0].liner, spec.notches[0].doubler) = (None, None);
    spec
}

fn p(x: f64, y: f64, z: f64) -> Vec3 {
    Vec3::new(x, y, z)
}

fn cylinder(body: Body, from: Vec3, to: Vec3, radius: f64) -> Room {
    Room { body, shape: RoomShape::Cylinder { from, to, radius } }
}

fn long_cylinder(on: Vec3, along: Vec3, radius: f64) -> Room {
    let along = along.unit().unwrap();
    cylinder(Body::Shaft(0), on - along * 400.0, on + along * 400.0, radius)
}

/// A spec with one rail and one notch that clears shaft 0 and joint 0.
fn spec_with(along: [Vec3; 2], edge: Edge, section: Section, clearance: f64, corner: f64) -> Spec {
    let mut spec = heron();
    spec.rails = vec![Rail { name: "rail".into(), along, edge, section, marks: Vec::new() }];
    let row = &mut spec.notches[0];
    row.clearance = clearance;
    row.corner = corner;
    row.datum = None;
    spec
}

fn rail_of(spec: &Spec) -> RailShape {
    shape(&spec.rails[0], 0, spec).unwrap()
}

/// The rooms of the roadster, from its spec by hand: gap = reach − depth, or reach − pinch station − groove.
fn heron_rooms(spec: &Spec) -> Vec<Room> {
    let (dc, dg) = (spec.column.axis, spec.gear.axis);
    let upper = spec.column.end + dc * (0.6 * IN);
    let lower = spec.gear.end - dg * (0.65 * IN);
    let shaft = (lower - upper).unit().unwrap();
    let (hub, ears) = (0.875 * IN, 0.75 * IN);
    let mouth = spec.column.end - dc * (2.25 * IN);
    vec![
        cylinder(Body::Column, spec.column.end, mouth, 0.375 * IN),
        cylinder(Body::Column, mouth, spec.column.second.unwrap(), IN),
        Room { body: Body::Joint(0), shape: RoomShape::Ball { centre: upper, radius: ears } },
        cylinder(Body::Joint(0), upper, upper - dc * (1.6 * IN), hub),
        cylinder(Body::Joint(0), upper, upper + shaft * (1.6 * IN), hub),
        Room { body: Body::Joint(1), shape: RoomShape::Ball { centre: lower, radius: ears } },
        cylinder(Body::Joint(1), lower, lower - shaft * (1.6 * IN), hub),
        cylinder(Body::Joint(1), lower, lower + dg * (1.6 * IN), hub),
        cylinder(Body::Shaft(0), upper + shaft * (0.6 * IN), lower - shaft * (0.6 * IN), 0.375 * IN),
        cylinder(Body::Gear, spec.gear.end, spec.gear.end + dg * (1.25 * IN), 0.375 * IN),
    ]
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected}");
}

fn distance(q: Vec3, room: &Room) -> f64 {
    match room.shape {
        RoomShape::Ball { centre, radius } => ((q - centre).length() - radius).max(0.0),
        RoomShape::Cylinder { from, to, radius } => {
            let axis = (to - from).unit().unwrap();
            let z = (q - from).dot(axis);
            let beyond = (-z).max(z - (to - from).length()).max(0.0);
            let outside = ((q - from - axis * z).length() - radius).max(0.0);
            (beyond * beyond + outside * outside).sqrt()
        }
    }
}

/// Least distance from the wall under (u, v), sampled in `steps` from outside to inside.
fn wall_distance(rail: &RailShape, u: f64, v: f64, rooms: &[Room], steps: u32) -> f64 {
    let wall = rail.wall_ray(u, v);
    (0..=steps)
        .map(|i| wall.outside + wall.inward * (wall.thick * f64::from(i) / f64::from(steps)))
        .flat_map(|q| rooms.iter().map(move |room| distance(q, room)))
        .fold(f64::INFINITY, f64::min)
}

/// Reference, section 8, check case of the notch in a rail with corner radius 6.
fn check_case() -> (Spec, RailShape, Room) {
    let section = Section::Tube { height: 100.0, width: 50.0, wall: 3.0, corner: 6.0 };
    let along = [p(-100.0, 0.0, 100.0), p(100.0, 0.0, 100.0)];
    let spec = spec_with(along, Edge::Corner(Face::Top, Face::Right), section, 0.0, 0.0);
    let mut rail = rail_of(&spec);
    rail.wall = 0.0;
    (spec, rail, long_cylinder(p(0.0, 0.0, 88.0), p(0.3, 0.85, 0.25), 15.525))
}

/// s of the table runs from the side flat upward; v = 0 is the middle of the corner's arc.
const ARC_MIDDLE: f64 = 94.0 + 1.5 * PI;

/// Reference, section 8 (derived there from |(Q − P) × d|² = r², a quadratic).
const ROWS: [(f64, f64, f64); 8] = [
    (72.5, -6.191_070, 3.229_286),
    (80.0, -15.012_184, 13.483_521),
    (90.0, -16.074_080, 16.456_246),
    (94.0, -14.649_320, 15.795_817),
    (96.0, -13.559_411, 14.866_473),
    (98.712_388_98, -11.835_356, 12.650_825),
    (103.424_777_96, -9.421_371, 7.816_275),
    (110.0, -6.917_066, 1.040_170),
];

#[test]
fn the_rows_of_the_reference_are_met_at_wall_0() {
    let (_, rail, room) = check_case();
    for split in [15.525, 9.525, 2.0] {
        // The radius and the clearance may share the 15.525 in any way beside a long cylinder.
        let RoomShape::Cylinder { from, to, .. } = room.shape else { unreachable!() };
        let rule = WallRule::new(&rail, &[cylinder(Body::Shaft(0), from, to, split)], 15.525 - split);
        for (s, x1, x2) in ROWS {
            let found = rule.crossings(s - ARC_MIDDLE);
            assert_eq!(found.len(), 1, "s = {s}");
            near(found[0].0 - 100.0, x1, 1e-6);
            near(found[0].1 - 100.0, x2, 1e-6);
        }
        for s in [70.0, 115.0] {
            assert!(rule.crossings(s - ARC_MIDDLE).is_empty(), "s = {s}");
        }
    }
}

#[test]
fn the_outline_holds_the_rows_of_the_reference() {
    let (spec, rail, room) = check_case();
    let trace = notch(&spec, 0, &rail, &[room]).unwrap();
    // The shaft goes in at the named corner and out through the far wall.
    assert_eq!(trace.traced.len(), 2);
    let outline =
        trace.traced.iter().find(|points| holds(std::slice::from_ref(*points), Vec2::new(100.0, 0.0))).unwrap();
    assert!(trace.certified <= 0.01, "certified {}", trace.certified);
    for (s, x1, x2) in ROWS {
        let v = s - ARC_MIDDLE;
        let mut ends: Vec<f64> = sides(outline)
            .filter(|(a, b)| (a.y <= v) != (b.y <= v))
            .map(|(a, b)| a.x + (b.x - a.x) * (v - a.y) / (b.y - a.y) - 100.0)
            .collect();
        ends.sort_by(f64::total_cmp);
        assert_eq!(ends.len(), 2, "s = {s}");
        // Outside the region, and by little; at s = 72.5 and 110 the edge runs aslant.
        assert!((-2e-6..0.02).contains(&(x1 - ends[0])), "s = {s}: {} against {x1}", ends[0]);
        assert!((-2e-6..0.02).contains(&(ends[1] - x2)), "s = {s}: {} against {x2}", ends[1]);
    }
}

#[test]
fn a_wall_over_a_flat_is_cut_in_the_ellipse_of_the_reference() {
    // Reference, section 8: a cylinder of radius r through a plane whose normal is at γ to the axis cuts an
    // ellipse with semi-axes r and r / cos γ. The flat top of a wide tube, its wall taken as 0, shaft in the x-z plane.
    let section = Section::Tube { height: 300.0, width: 300.0, wall: 3.0, corner: 6.0 };
    for (degrees, a) in [(30.0_f64, 28.867_513_459), (45.0, 35.355_339_059), (60.0, 50.0)] {
        let gamma = degrees.to_radians();
        let spec = spec_with([p(-400.0, 0.0, 0.0), p(400.0, 0.0, 0.0)], Edge::Centre, section, 5.0, 1.0);
        let mut rail = rail_of(&spec);
        rail.wall = 0.0;
        let top = p(0.0, 0.0, 150.0);
        let room = cylinder(Body::Shaft(0), top - p(gamma.sin(), 0.0, gamma.cos()) * 100.0, top, 20.0);
        let RoomShape::Cylinder { from, to, radius } = room.shape else { unreachable!() };
        // On through the top, so that neither end comes near it.
        let room = cylinder(Body::Shaft(0), from, to + (to - from), radius);
        let rule = WallRule::new(&rail, &[room], 5.0);
        let middle = rule.crossings(0.0);
        assert_eq!(middle.len(), 1);
        near(middle[0].1 - middle[0].0, 2.0 * a, 1e-6);
        for share in [0.2, 0.5, 0.9_f64] {
            let half = a * (1.0 - share * share).sqrt();
            for v in [25.0 * share, -25.0 * share] {
                let found = rule.crossings(v);
                near(found[0].0, 400.0 - half, 1e-6);
                near(found[0].1, 400.0 + half, 1e-6);
            }
        }
        let trace = notch(&spec, 0, &rail, &[room]).unwrap();
        let area: f64 = trace.traced.iter().map(|l| contour::area(l)).sum();
        // π r² / cos γ, and outside of it by no more than the certified distance all round.
        let exact = PI * 25.0 * a;
        assert!(area >= exact && area <= exact + 2.0 * PI * a * trace.certified, "{area} against {exact}");
        near(trace.depth, 50.0, 0.02);
        near(trace.width, 2.0 * a, 0.02);
        assert!(trace.certified <= 0.005);
    }
}

#[test]
fn a_branch_through_a_pipe_cuts_the_hole_of_the_reference() {
    // Reference, section 8: hole on the unrolled run for a = 25, R = 50, 90°, e = 0, as (x, s).
    let hole = [(25.0, 0.0), (21.650_635, 12.634_013), (12.5, 22.391_620), (0.0, 26.179_939)];
    let section = Section::Pipe { diameter: 100.0, wall: 3.0 };
    let spec = spec_with([p(-100.0, 0.0, 0.0), p(100.0, 0.0, 0.0)], Edge::Centre, section, 5.0, 0.0);
    let mut rail = rail_of(&spec);
    rail.wall = 0.0;
    let room = cylinder(Body::Shaft(0), p(0.0, 0.0, 0.0), p(0.0, 0.0, 200.0), 20.0);
    let rule = WallRule::new(&rail, &[room], 5.0);
    for (x, s) in &hole[..3] {
        for v in [*s, -s] {
            let found = rule.crossings(v);
            assert_eq!(found.len(), 1);
            near(found[0].0, 100.0 - x, 1e-6);
            near(found[0].1, 100.0 + x, 1e-6);
        }
    }
    let trace = notch(&spec, 0, &rail, &[room]).unwrap();
    assert_eq!(trace.traced.len(), 1);
    assert!(trace.certified <= 0.011, "{}", trace.certified);
    near(trace.width, 50.0, 0.03);
    near(trace.depth, 2.0 * hole[3].1, 0.03);
    let (low, high) = (trace.traced[0].iter().map(|q| q.y)).fold((0.0f64, 0.0f64), |(a, b), y| (a.min(y), b.max(y)));
    near(low, -high, 1e-6);
}

/// Random places of the outside that are left standing, and the clearance of the wall there.
fn left_standing_is_clear(spec: &Spec, rail: &RailShape, rooms: &[Room], trace: &NotchTrace) {
    let clearance = spec.notches[0].clearance;
    let (low, high) = rail.v_range();
    let girth = if rail.closed { rail.girth } else { 0.0 };
    let mut seed = 20_u64;
    let mut random = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut places: Vec<Vec2> =
        (0..2000).map(|_| Vec2::new(rail.length * random(), low + (high - low) * random())).collect();
    // Most of all close to the outline, on both its sides.
    for (a, b) in trace.traced.iter().flat_map(|points| sides(points)) {
        let out = -(b - a).left().unit().unwrap();
        for share in [0.0, 0.3, 0.5, 0.8] {
            let at = a + (b - a) * share;
            places.push(at + out * (0.2 * random()));
            places.push(at - out * 0.05);
        }
    }
    let (mut checked, mut gone) = (0, 0);
    for at in places {
        if at.x < 0.0 || at.x > rail.length || (!rail.closed && !(low..=high).contains(&at.y)) {
            continue;
        }
        let removed = (-1..=1).any(|k| holds(&trace.traced, at + Vec2::new(0.0, f64::from(k) * girth)));
        let found = wall_distance(rail, at.x, at.y, rooms, 200);
        if removed {
            // Nothing is cut that need not be: within 0.011 mm of the edge the clearance is not met.
            gone += 1;
            assert!(found <= clearance + 0.012, "({}, {}) goes at {found}", at.x, at.y);
        } else {
            checked += 1;
            assert!(found >= clearance - 1e-6, "({}, {}) stands at {found}, clearance {clearance}", at.x, at.y);
        }
    }
    assert!(checked > 1000 && gone > 50, "{checked} {gone}");
}

#[test]
fn the_roadsters_wall_left_standing_is_clear() {
    let spec = heron();
    let rail = rail_of(&spec);
    let rooms = heron_rooms(&spec);
    let trace = notch(&spec, 0, &rail, &rooms).unwrap();
    // The shaft passes the inboard top corner; the column, the gear and the far joint stay clear of the rail.
    assert_eq!((trace.traced.len(), trace.shop.len()), (1, 1));
    assert!(trace.certified <= 0.01, "{}", trace.certified);
    assert!(trace.warnings.is_empty());
    near(trace.gap_left, 9.525, 2e-4);
    assert!(trace.gap_left <= 9.525 + 1e-9);
    left_standing_is_clear(&spec, &rail, &rooms, &trace);
}

#[test]
fn thin_sharp_and_thick_corners_stay_clear() {
    // The inside of a corner moves by more than the outside where the wall is over twice the corner's radius;
    // a sharp corner turns the wall at once. Both lie under the named corner here.
    let (on, way) = (p(0.0, -2.0, -3.0), p(0.9, 0.25, 0.3));
    let room = cylinder(Body::Shaft(0), on - way * 80.0, on + way * 80.0, 6.0);
    let ball = Room { body: Body::Joint(0), shape: RoomShape::Ball { centre: p(20.0, 4.0, 2.0), radius: 11.0 } };
    for (wall, corner) in [(3.0, 6.0), (4.0, 3.0), (6.0, 1.5), (5.0, 0.5), (4.0, 0.0)] {
        let section = Section::Tube { height: 80.0, width: 60.0, wall, corner };
        let along = [p(-150.0, 0.0, 0.0), p(150.0, 0.0, 0.0)];
        let spec = spec_with(along, Edge::Corner(Face::Top, Face::Right), section, 4.0, 5.0);
        let rail = rail_of(&spec);
        let trace = notch(&spec, 0, &rail, &[room, ball]).unwrap();
        assert!(trace.certified <= 0.02, "wall {wall}, corner {corner}: {}", trace.certified);
        left_standing_is_clear(&spec, &rail, &[room, ball], &trace);
        shop_is_fit_to_cut(&spec, &trace);
    }
}

/// That the outline to cut holds the traced one, and every point of what it takes lies in a disc of the radius
/// that lies in what it takes: opened by the disc on a raster, nothing is lost.
fn shop_is_fit_to_cut(spec: &Spec, trace: &NotchTrace) {
    let corner = spec.notches[0].corner;
    for q in trace.traced.iter().flatten() {
        let inside = holds(&trace.shop, *q);
        let off = trace.shop.iter().flat_map(|l| sides(l)).map(|(a, b)| off_side(*q, a, b)).fold(f64::MAX, f64::min);
        assert!(inside || off < 1e-6, "({}, {}) lies {off} outside the outline to cut", q.x, q.y);
    }
    for outline in &trace.shop {
        assert!(contour::area(outline) > 0.0);
        let edge: Vec<(Vec2, Vec2)> = sides(outline).collect();
        let whole = [outline.clone()];
        let depth = |q: Vec2| edge.iter().map(|&(a, b)| off_side(q, a, b)).fold(f64::MAX, f64::min);
        let (mut low, mut high) = (outline[0], outline[0]);
        for q in outline {
            low = Vec2::new(low.x.min(q.x), low.y.min(q.y));
            high = Vec2::new(high.x.max(q.x), high.y.max(q.y));
        }
        let grid = 0.25;
        let mut centres = Vec::new();
        let mut within = Vec::new();
        for i in 0..((high.x - low.x) / grid) as usize {
            for j in 0..((high.y - low.y) / grid) as usize {
                let q = low + Vec2::new(i as f64 * grid, j as f64 * grid);
                if holds(&whole, q) {
                    let depth = depth(q);
                    // The raster misses a disc's best centre by up to half a diagonal.
                    if depth >= corner - 0.18 {
                        centres.push(q);
                    }
                    // Only what lies near the edge can be lost.
                    if depth < 0.5 {
                        within.push(q);
                    }
                }
            }
        }
        for q in within {
            let nearest = centres.iter().map(|c| (*c - q).length()).fold(f64::MAX, f64::min);
            assert!(nearest <= corner + 0.25, "({}, {}) is {nearest} from any disc of {corner}", q.x, q.y);
        }
    }
}

fn off_side(q: Vec2, a: Vec2, b: Vec2) -> f64 {
    let along = b - a;
    let share = ((q - a).dot(along) / along.dot(along).max(1e-30)).clamp(0.0, 1.0);
    (q - a - along * share).length()
}

#[test]
fn the_outline_to_cut_has_no_corner_sharper_than_asked() {
    let mut spec = heron();
    let rail = rail_of(&spec);
    let rooms = heron_rooms(&spec);
    let mut last = 0.0;
    for corner in [0.0, 3.0, 9.525, 14.0, 25.0] {
        spec.notches[0].corner = corner;
        let trace = notch(&spec, 0, &rail, &rooms).unwrap();
        shop_is_fit_to_cut(&spec, &trace);
        assert!(trace.area >= last);
        last = trace.area;
        if corner == 0.0 {
            assert_eq!(trace.shop, trace.traced);
        }
    }
}

#[test]
fn a_notch_that_needs_no_cut_has_no_loops() {
    let spec = spec_with(
        [p(-100.0, 0.0, 0.0), p(100.0, 0.0, 0.0)],
        Edge::Corner(Face::Top, Face::Right),
        Section::Tube { height: 100.0, width: 50.0, wall: 3.0, corner: 6.0 },
        5.0,
        5.0,
    );
    let rail = rail_of(&spec);
    // A shaft level over the top face: 30 mm up, 10 mm radius.
    let room = long_cylinder(p(0.0, -20.0, 30.0), p(0.0, 1.0, 0.0), 10.0);
    let trace = notch(&spec, 0, &rail, &[room]).unwrap();
    assert!(trace.traced.is_empty() && trace.shop.is_empty());
    assert_eq!((trace.area, trace.depth, trace.width), (0.0, 0.0, 0.0));
    near(trace.gap_left, 20.0, 2e-5);
    assert!(trace.gap_left <= 20.0);
    near(trace.gaps[0].point.z, 0.0, 1e-9);
    assert!(trace.removed_at(100.0).is_empty());
    assert_eq!(trace.stations(), None);
}

#[test]
fn a_channel_is_cut_from_its_lip_and_no_farther() {
    let section = Section::Channel { height: 100.0, width: 50.0, wall: 4.0, corner: 6.0, open: Face::Left };
    let spec =
        spec_with([p(-150.0, 0.0, 0.0), p(150.0, 0.0, 0.0)], Edge::Corner(Face::Top, Face::Right), section, 6.0, 8.0);
    let rail = rail_of(&spec);
    let (low, high) = rail.v_range();
    // Down through the top flange, close to its lip at y = −50.
    let room = cylinder(Body::Shaft(0), p(0.0, -46.0, -20.0), p(5.0, -44.0, 60.0), 9.0);
    let trace = notch(&spec, 0, &rail, &[room]).unwrap();
    left_standing_is_clear(&spec, &rail, &[room], &trace);
    let vs: Vec<f64> = trace.traced.iter().chain(&trace.shop).flatten().map(|q| q.y).collect();
    let (least, most) = (vs.iter().copied().fold(f64::MAX, f64::min), vs.iter().copied().fold(f64::MIN, f64::max));
    assert!(least >= low - 1e-9 && most <= high + 1e-9);
    assert!((least - low).abs() < 1e-9 || (most - high).abs() < 1e-9, "{least} {most} of {low} {high}");
    // Square corners at the lip are no inside corners: nothing is added there.
    let exact: f64 = trace.traced.iter().map(|l| contour::area(l)).sum();
    near(trace.area, exact, 0.02 * exact);
}

#[test]
fn a_rail_cut_through_is_an_error_and_its_end_a_warning() {
    let tube = Section::Tube { height: 40.0, width: 30.0, wall: 3.0, corner: 6.0 };
    let channel = Section::Channel { height: 40.0, width: 30.0, wall: 3.0, corner: 6.0, open: Face::Left };
    for section in [tube, channel, Section::Pipe { diameter: 40.0, wall: 3.0 }] {
        let spec = spec_with([p(-100.0, 0.0, 0.0), p(100.0, 0.0, 0.0)], Edge::Centre, section, 6.0, 8.0);
        let rail = rail_of(&spec);
        let across = cylinder(Body::Shaft(0), p(0.0, -80.0, 0.0), p(3.0, 80.0, 0.0), 30.0);
        let error = notch(&spec, 0, &rail, &[across]).unwrap_err();
        assert_eq!(error[0].code, "rail-cut-through");
        let at_end = cylinder(Body::Shaft(0), p(98.0, -80.0, 18.0), p(98.0, 80.0, 18.0), 5.0);
        let trace = notch(&spec, 0, &rail, &[at_end]).unwrap();
        assert_eq!(trace.warnings[0].code, "notch-at-rail-end");
        let most = trace.traced.iter().flatten().map(|q| q.x).fold(f64::MIN, f64::max);
        near(most, 200.0, 0.0);
    }
}

#[test]
fn a_loop_over_the_seam_is_whole() {
    // v = 0 in the middle of the top; the notch lies round the far side, over v = girth / 2, and over v = 0.
    let section = Section::Tube { height: 60.0, width: 50.0, wall: 3.0, corner: 6.0 };
    for side in [-1.0, 1.0] {
        let spec = spec_with([p(-100.0, 0.0, 0.0), p(100.0, 0.0, 0.0)], Edge::Centre, section, 5.0, 5.0);
        let rail = rail_of(&spec);
        let room = cylinder(Body::Shaft(0), p(0.0, -60.0, 33.0 * side), p(0.0, 60.0, 31.0 * side), 8.0);
        let trace = notch(&spec, 0, &rail, &[room]).unwrap();
        assert_eq!(trace.traced.len(), 1, "side {side}");
        let vs: Vec<f64> = trace.traced[0].iter().map(|q| q.y).collect();
        let middle = 0.5 * (vs.iter().copied().fold(f64::MAX, f64::min) + vs.iter().copied().fold(f64::MIN, f64::max));
        assert!(middle.abs() <= 0.5 * rail.girth + 1e-6);
        // No step between neighbours leaps over the section.
        assert!(sides(&trace.traced[0]).all(|(a, b)| (b.y - a.y).abs() < 40.0));
        left_standing_is_clear(&spec, &rail, &[room], &trace);
    }
}

#[test]
fn gaps_are_those_of_the_wall_left_standing() {
    let mut spec = heron();
    spec.notches[0].corner = 25.0;
    let rail = rail_of(&spec);
    let rooms = heron_rooms(&spec);
    let trace = notch(&spec, 0, &rail, &rooms).unwrap();
    assert_eq!(trace.gaps.len(), 5);
    for gap in &trace.gaps {
        let own: Vec<Room> = rooms.iter().filter(|room| room.body == gap.body).copied().collect();
        let mut least = f64::MAX;
        let mut look = |u: f64, v: f64, steps: u32| {
            let standing = (-1..=1).all(|k| !holds(&trace.shop, Vec2::new(u, v + f64::from(k) * rail.girth)));
            if standing && (0.0..=rail.length).contains(&u) {
                least = least.min(wall_distance(&rail, u, v, &own, steps));
            }
        };
        for i in 0..600 {
            for j in 0..300 {
                look(rail.length * f64::from(i) / 599.0, rail.girth * f64::from(j) / 300.0, 4);
            }
        }
        for i in -100..=100 {
            for j in -100..=100 {
                look(gap.at.x + 0.01 * f64::from(i), gap.at.y + 0.01 * f64::from(j), 40);
            }
        }
        assert!(gap.gap <= least + 1e-9, "{:?}: {} against {least}", gap.body, gap.gap);
        near(gap.gap, least, 0.02);
        // The point named is on the wall and that far from the body.
        let own_distance = own.iter().map(|room| distance(gap.point, room)).fold(f64::MAX, f64::min);
        near(own_distance, gap.gap, 2e-5);
    }
    near(trace.gap_left, trace.gaps.iter().map(|g| g.gap).fold(f64::MAX, f64::min), 0.0);
}

/// Extents and areas of the outlines, to compare two notches that should be alike.
fn measure(loops: &[Vec<Vec2>]) -> [f64; 5] {
    let all = || loops.iter().flatten();
    let least = |f: fn(&Vec2) -> f64| all().map(f).fold(f64::MAX, f64::min);
    let area: f64 = loops.iter().map(|l| contour::area(l)).sum();
    [area, least(|q| q.x), -least(|q| -q.x), least(|q| q.y), -least(|q| -q.y)]
}

#[test]
fn swapping_a_rails_points_turns_its_notch_round() {
    let spec = heron();
    let rooms = heron_rooms(&spec);
    let mut swapped = spec.clone();
    swapped.rails[0].along.reverse();
    let (rail, other) = (rail_of(&spec), rail_of(&swapped));
    let a = notch(&spec, 0, &rail, &rooms).unwrap();
    let b = notch(&swapped, 0, &other, &rooms).unwrap();
    for (a, b) in [(&a.traced, &b.traced), (&a.shop, &b.shop)] {
        let ([area, u0, u1, v0, v1], [other, x0, x1, y0, y1]) = (measure(a), measure(b));
        near(area, other, 0.5);
        near(u0, rail.length - x1, 0.01);
        near(u1, rail.length - x0, 0.01);
        // The metal is looked at from its other end: clockwise changes too.
        near(v0, -y1, 0.01);
        near(v1, -y0, 0.01);
    }
    near(a.gap_left, b.gap_left, 1e-4);
}

#[test]
fn mirroring_the_vehicle_mirrors_the_notch() {
    let spec = heron();
    let rooms = heron_rooms(&spec);
    let flip = |q: Vec3| p(q.x, -q.y, q.z);
    let mut mirrored = spec.clone();
    mirrored.rails[0].along = mirrored.rails[0].along.map(flip);
    mirrored.rails[0].edge = Edge::Corner(Face::Top, Face::Left);
    let other: Vec<Room> = rooms
        .iter()
        .map(|room| Room {
            shape: match room.shape {
                RoomShape::Ball { centre, radius } => RoomShape::Ball { centre: flip(centre), radius },
                RoomShape::Cylinder { from, to, radius } => {
                    RoomShape::Cylinder { from: flip(from), to: flip(to), radius }
                }
            },
            ..*room
        })
        .collect();
    let a = notch(&spec, 0, &rail_of(&spec), &rooms).unwrap();
    let b = notch(&mirrored, 0, &rail_of(&mirrored), &other).unwrap();
    for (a, b) in [(&a.traced, &b.traced), (&a.shop, &b.shop)] {
        let ([area, u0, u1, v0, v1], [other, x0, x1, y0, y1]) = (measure(a), measure(b));
        near(area, other, 0.5);
        near(u0, x0, 0.01);
        near(u1, x1, 0.01);
        near(v0, -y1, 0.01);
        near(v1, -y0, 0.01);
    }
    near(a.gap_left, b.gap_left, 1e-4);
}

#[test]
fn the_row_of_the_results_holds_the_weakest_section() {
    let spec = heron();
    let rail = rail_of(&spec);
    let trace = notch(&spec, 0, &rail, &heron_rooms(&spec)).unwrap();
    let row = result(&spec, 0, &trace).unwrap();
    assert_eq!((row.name.as_str(), row.rail.as_str()), ("left rail notch", "left rail"));
    let (low, high) = trace.stations().unwrap();
    assert!(row.section.worst_u > low && row.section.worst_u < high);
    assert!(row.section.left.s_min < row.section.full.s_min);
    // At no station is less wall left than the area says: the wall removed is as wide as its stretch of v, to the
    // inside of the corner's arc.
    let removed: f64 = trace.removed_at(row.section.worst_u).iter().map(|(a, b)| b - a).sum();
    let lost = row.section.full.area - row.section.left.area;
    assert!(lost <= removed * rail.wall + 1e-6 && lost >= 0.7 * removed * rail.wall, "{lost} of {removed}");
}

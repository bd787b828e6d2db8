//! Notches over motions, and outlines a shop cuts more easily.

use yokeline::geometry::contour::{self, holds};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::solve::notch::notch;
use yokeline::spec::types::{Edge, Face, Motion, MotionPath, Moved, Section, ShopShape};

use super::{heron, heron_rooms, long_cylinder, off_side, p, rail_of, shop_is_fit_to_cut, spec_with};

fn shift(along: Vec3, range: [f64; 2]) -> Motion {
    let along = along.unit().unwrap();
    Motion {
        name: "slide".into(),
        path: MotionPath::Shift { along },
        range,
        measured: 0.0,
        moves: vec![Moved::Rail(0)],
    }
}

/// A rail that slides or swings under a shaft: at every place of it the outline as taped there lies in the outline over
/// all, which takes no more than a clearance wider by what it states.
#[test]
fn the_outline_over_motions_holds_every_place() {
    let section = Section::Tube { height: 100.0, width: 50.0, wall: 3.0, corner: 6.0 };
    let edge = Edge::Corner(Face::Top, Face::Right);
    let spec = spec_with([p(-300.0, 0.0, 0.0), p(300.0, 0.0, 0.0)], edge, section, 6.0, 1e-3);
    let rail = rail_of(&spec);
    let room = long_cylinder(p(5.0, 0.0, 2.0), p(0.3, 0.85, 0.25), 9.5);
    let motions = [
        shift(p(1.0, 0.2, 0.1), [-6.0, 9.0]),
        Motion {
            path: MotionPath::Turn { about: p(-300.0, 0.0, 0.0), axis: p(0.0, 0.0, 1.0) },
            range: [-0.01, 0.02],
            ..shift(p(1.0, 0.0, 0.0), [0.0, 0.0])
        },
    ];
    for motion in motions {
        let mut moving = spec.clone();
        moving.motions = vec![motion.clone()];
        let all = notch(&moving, 0, &rail, &[room]).unwrap();
        let spread = all.spread.unwrap();
        assert!(spread > 0.0 && spread <= 0.5, "{spread}");
        let [low, high] = motion.steps();
        let mut wider = Vec::new();
        for k in 0..=40 {
            // The rail's step is the room's step back.
            let back = motion.at(low + (high - low) * f64::from(k) / 40.0).back();
            let yokeline::solve::bodies::RoomShape::Cylinder { from, to, radius } = room.shape else { panic!() };
            let there = super::cylinder(room.body, back.point(from), back.point(to), radius);
            let one = notch(&spec, 0, &rail, &[there]).unwrap();
            for &q in one.traced.iter().flatten() {
                let off = all.traced.iter().flat_map(|l| contour::sides(l)).map(|(a, b)| off_side(q, a, b));
                assert!(holds(&all.traced, q) || off.fold(f64::MAX, f64::min) < 1e-6, "({}, {}) stands", q.x, q.y);
            }
            let mut wide = spec.clone();
            wide.notches[0].clearance += spread;
            wider.extend(notch(&wide, 0, &rail, &[there]).unwrap().traced);
        }
        for &q in all.traced.iter().flatten() {
            // Between two of the 41 places a room goes under a fifth of a millimetre.
            let near = wider.iter().flat_map(|l| contour::sides(l)).map(|(a, b)| off_side(q, a, b));
            assert!(holds(&wider, q) || near.fold(f64::MAX, f64::min) < 0.25, "({}, {}) goes without need", q.x, q.y);
        }
    }
    assert!(notch(&spec, 0, &rail, &[room]).unwrap().spread.is_none());
}

/// Slot and rectangle hold the traced outline, have no sharp corner, and tell what they take more.
#[test]
fn easier_shapes_hold_the_traced_outline() {
    let mut spec = heron();
    let (rail, rooms) = (rail_of(&spec), heron_rooms(&spec));
    let mut areas = Vec::new();
    for shape in [ShopShape::True, ShopShape::Round, ShopShape::Straight] {
        spec.notches[0].shape = shape;
        let trace = notch(&spec, 0, &rail, &rooms).unwrap();
        shop_is_fit_to_cut(&spec, &trace);
        let traced: f64 = trace.traced.iter().map(|l| contour::area(l)).sum();
        assert!((trace.area - traced - trace.extra_area).abs() < 1e-9);
        areas.push(trace.area);
        if shape == ShopShape::Straight {
            // Its sides run along the rail and square to it.
            let on = |q: &&Vec2, far: f64, pick: fn(&Vec2) -> f64| (pick(q) - far).abs() < 0.01;
            let edge = &trace.shop[0];
            for pick in [(|q: &Vec2| q.x) as fn(&Vec2) -> f64, |q: &Vec2| q.y] {
                let most = edge.iter().map(pick).fold(f64::MIN, f64::max);
                assert!(edge.iter().filter(|q| on(q, most, pick)).count() >= 2);
            }
        }
    }
    assert!(areas[0] < areas[1] && areas[0] < areas[2], "{areas:?}");
    assert!(areas[1] < 1.6 * areas[0], "{areas:?}");
}

/// A corner radius larger than the notch grows it to a round of that radius, and takes no minute.
#[test]
fn any_corner_radius_can_be_cut() {
    let section = Section::Tube { height: 200.0, width: 150.0, wall: 4.0, corner: 8.0 };
    let edge = Edge::Corner(Face::Top, Face::Right);
    let mut spec = spec_with([p(-400.0, 0.0, 0.0), p(400.0, 0.0, 0.0)], edge, section, 6.0, 60.0);
    let rail = rail_of(&spec);
    let room = long_cylinder(p(5.0, 0.0, 2.0), p(0.3, 0.85, 0.25), 9.5);
    spec.notches[0].corner = 60.0;
    let trace = notch(&spec, 0, &rail, &[room]).unwrap();
    shop_is_fit_to_cut(&spec, &trace);
    assert!(trace.area >= 3.1 * 60.0 * 60.0, "{}", trace.area);
}

//! The roadster's rooms and rows of clearance.

use serde_json::json;
use yokeline::geometry::Vec3;
use yokeline::solve::bodies::{RoomShape, rooms};
use yokeline::solve::chain::Chain;
use yokeline::solve::clearance::{Around, NotchGap, clearances, usual_need};
use yokeline::solve::rail::{RailShape, shape};
use yokeline::solve::solution::{Clearance, ShaftResult};
use yokeline::spec::Spec;
use yokeline::spec::types::{Body, Edge, Face, ObstacleKind, ObstacleShape};

use super::{IN, near, p};
use crate::common::heron;

/// The roadster's crosses from its taped ends and gaps, and its shaft as cut: by hand, not by the solver.
fn linkage(spec: &Spec) -> (Chain, Vec<ShaftResult>) {
    let upper = spec.column.end + spec.column.axis * (0.6 * IN);
    let lower = spec.gear.end - spec.gear.axis * ((1.6 - 0.4 - 0.55) * IN);
    let axis = (lower - upper).unit().unwrap();
    let chain = Chain {
        centres: vec![upper, lower],
        setbacks: vec![0.0; 2],
        axes: vec![spec.column.axis, axis, spec.gear.axis],
        angles: vec![0.0; 2],
        normals: vec![axis.any_normal(); 2],
        psi: vec![0.0],
        bent: true,
    };
    let length = (lower - upper).length() - 1.2 * IN;
    let shaft = json!({
        "name": "intermediate", "stock": "", "material": "",
        "frame": { "origin": upper + axis * (0.6 * IN), "x": axis.any_normal(), "z": axis },
        "centre_distance": (lower - upper).length(),
        "cut_length": length, "cut_length_min": length, "cut_length_max": length, "cut_long": length,
        "cut_length_text": { "inch": "", "mm": "" },
        "twist": { "wanted": null, "set": 0.0, "step": null, "certain": true, "off_max": 0.0, "flats": 0.0 },
        "dimples": [], "grooves": []
    });
    (chain, vec![serde_json::from_value(shaft).unwrap()])
}

fn rows(spec: &Spec, notch_gaps: &[NotchGap]) -> Vec<Clearance> {
    let (chain, shafts) = linkage(spec);
    let rails: Vec<RailShape> = spec.rails.iter().enumerate().map(|(i, rail)| shape(rail, i, spec).unwrap()).collect();
    clearances(spec, &rooms(spec, &chain, &shafts), Around { rails: &rails, plates: &[] }, notch_gaps, None)
}

/// The whole vehicle carried by a map of its points; `flip` where the map mirrors left and right.
fn carried(spec: &Spec, map: impl Fn(Vec3) -> Vec3, flip: bool) -> Spec {
    let mut spec = spec.clone();
    let zero = map(Vec3::default());
    for end in [&mut spec.column, &mut spec.gear] {
        (end.end, end.second, end.axis) = (map(end.end), end.second.map(&map), map(end.axis) - zero);
    }
    for rail in &mut spec.rails {
        rail.along = rail.along.map(&map);
        if let (true, Edge::Corner(first, side)) = (flip, rail.edge) {
            let side = if side == Face::Left { Face::Right } else { Face::Left };
            rail.edge = Edge::Corner(first, side);
        }
    }
    for obstacle in &mut spec.obstacles {
        if let ObstacleShape::Tube { path, .. } = &mut obstacle.shape {
            for at in path {
                *at = map(*at);
            }
        }
    }
    spec
}

#[test]
fn rooms_of_the_roadster() {
    let spec = heron();
    let (chain, shafts) = linkage(&spec);
    let rooms = rooms(&spec, &chain, &shafts);
    let of = |body: Body| rooms.iter().filter(|room| room.body == body).map(|room| room.shape).collect::<Vec<_>>();
    // Column: 2.25 in of 3/4 shaft, then the 2 in tube up to the second taped point.
    let [RoomShape::Cylinder { from, to, radius }, RoomShape::Cylinder { from: mouth, to: top, radius: tube }] =
        of(Body::Column)[..]
    else {
        panic!("column: {:?}", of(Body::Column))
    };
    assert_eq!((from, tube), (spec.column.end, IN));
    near(radius, 0.375 * IN, 1e-12);
    near((to - from).length(), 2.25 * IN, 1e-9);
    assert_eq!(mouth, to);
    assert!((top - spec.column.second.unwrap()).length() < 1e-6);
    // Gear: its exposed shaft, into the gear.
    let [RoomShape::Cylinder { from, to, radius }] = of(Body::Gear)[..] else { panic!("gear") };
    assert!((to - from - spec.gear.axis * (1.25 * IN)).length() < 1e-9);
    near(radius, 0.375 * IN, 1e-12);
    // Shaft as cut; each joint a ball and two hubs of 1.75 in reaching 1.6 in either way.
    let [RoomShape::Cylinder { from, to, .. }] = of(Body::Shaft(0))[..] else { panic!("shaft") };
    near((to - from).length(), shafts[0].cut_length, 1e-9);
    for i in 0..2 {
        let shapes = of(Body::Joint(i));
        assert_eq!(shapes.len(), 3);
        for (j, shape) in shapes.iter().enumerate() {
            match *shape {
                RoomShape::Ball { centre, radius } => {
                    assert_eq!(centre, chain.centres[i]);
                    near(radius, 0.75 * IN, 1e-12);
                }
                RoomShape::Cylinder { from, to, radius } => {
                    let axis = if j == 0 { -chain.axes[i] } else { chain.axes[i + 1] };
                    assert_eq!(from, chain.centres[i]);
                    near(radius, 0.875 * IN, 1e-12);
                    assert!((to - from - axis * (1.6 * IN)).length() < 1e-9);
                }
            }
        }
    }
    // A column taped by a point on the linkage's side does not tell where its tube ends: 600 mm.
    let mut beyond = spec.clone();
    beyond.column.second = Some(beyond.column.end + beyond.column.axis * 300.0);
    let tube = yokeline::solve::bodies::rooms(&beyond, &chain, &shafts)[1];
    let RoomShape::Cylinder { from, to, .. } = tube.shape else { panic!("tube") };
    assert!((to - from + spec.column.axis * 600.0).length() < 1e-9);
}

#[test]
fn moving_or_mirroring_the_vehicle_changes_no_gap() {
    let spec = heron();
    let before = rows(&spec, &[]);
    assert_eq!(before.len(), 5 * 2);
    let moved = rows(&carried(&spec, |at| at + p(-1234.5, 678.9, 250.0), false), &[]);
    let mirrored = rows(&carried(&spec, |at| p(at.x, -at.y, at.z), true), &[]);
    let mut swapped = spec.clone();
    swapped.rails[0].along.reverse();
    let swapped = rows(&swapped, &[]);
    for (i, row) in before.iter().enumerate() {
        assert!(row.gap.is_finite() && row.at.is_empty());
        for other in [&moved[i], &mirrored[i], &swapped[i]] {
            assert_eq!((&row.part, &row.obstacle, row.need), (&other.part, &other.obstacle, other.need));
            near(other.gap, row.gap, 1e-7);
        }
        // The mirrored point too, where it is the only one.
        if row.gap > 0.0 && row.obstacle != "left rail" {
            let at = mirrored[i].point;
            assert!((p(at.x, -at.y, at.z) - row.point).length() < 1e-3, "{row:?} {at:?}");
        }
    }
}

#[test]
fn rows_are_sorted_by_need_and_take_the_notch() {
    let mut spec = heron();
    spec.obstacles[0].need = None;
    spec.obstacles[0].kind = Some(ObstacleKind::Exhaust);
    let found = rows(&spec, &[]);
    let parts: Vec<&str> = found.iter().map(|row| row.part.as_str()).collect();
    assert_eq!(
        parts.chunks(2).map(|pair| pair[0]).collect::<Vec<_>>(),
        ["column", "upper", "lower", "intermediate", "gear"]
    );
    for pair in found.chunks(2) {
        assert_eq!(pair[0].part, pair[1].part);
        assert!(pair[0].gap - pair[0].need <= pair[1].gap - pair[1].need);
    }
    let row = |rows: &[Clearance], part: &str, thing: &str| {
        rows.iter().find(|row| row.part == part && row.obstacle == thing).unwrap().clone()
    };
    // Headers 25 mm for heat, frame 6 mm: common practice, no source.
    near(row(&found, "intermediate", "header, third tube").need, 25.0, 0.0);
    near(row(&found, "intermediate", "left rail").need, 6.0, 0.0);
    near(usual_need(None), 15.0, 0.0);
    // The whole rail is in the way (or there would be no notch); after the notch its own gap stands.
    let whole = row(&found, "intermediate", "left rail");
    let notch = |gap| NotchGap { rail: 0, body: Body::Shaft(0), gap, point: p(1.0, 2.0, 3.0) };
    let after = rows(&spec, &[notch(9.6), notch(9.525)]);
    assert_eq!(row(&after, "intermediate", "left rail").point, p(1.0, 2.0, 3.0));
    near(row(&after, "intermediate", "left rail").gap, 9.525, 0.0);
    assert!(whole.gap < 9.525, "{whole:?}");
    // A body the notch is not cut for keeps the whole rail.
    assert_eq!(row(&after, "column", "left rail"), row(&found, "column", "left rail"));
}

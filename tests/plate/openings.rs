//! Openings in the shapes a shop cuts, round tubes and joints.

use yokeline::geometry::{Vec2, Vec3};
use yokeline::solve::chain::chain;
use yokeline::solve::plate::{path, plate};
use yokeline::solve::solution::OpeningResult;
use yokeline::spec::types::{Body, Opening, OpeningShape, Outline, PlatePlace};

use super::{near, slanted, solve};
use crate::common::heron;

const SHAPES: [OpeningShape; 3] = [OpeningShape::Ellipse, OpeningShape::Round, OpeningShape::Slot];

fn cut(slant: f64, thick: f64, shape: OpeningShape) -> OpeningResult {
    let mut spec = slanted(slant, thick);
    spec.plates[0].openings[0].shape = Some(shape);
    solve(&spec).openings[0].clone()
}

/// A tube of r = 25 at γ through a sheet: the ellipse is the cut itself, semi-axes r and r / cos γ; the round has the
/// cut's length; the slot its width. Square to the plate all three are the tube's own round.
#[test]
fn shapes_round_a_tube() {
    let gamma = f64::to_radians(40.0);
    let long = 25.0 / gamma.cos();
    let thin = 1e-9;
    let ellipse = cut(gamma, thin, OpeningShape::Ellipse);
    near(ellipse.major, 2.0 * long, 1e-3, "long axis");
    near(ellipse.minor, 50.0, 1e-3, "short axis");
    near(ellipse.angle, 90.0, 1e-3, "angle");
    near((ellipse.centre - Vec2::new(100.0, 80.0)).length(), 0.0, 1e-4, "centre");
    // Through 12 mm the two ellipses lie 12 tan γ apart along v.
    let (thick, shift) = (12.0, 12.0 * gamma.tan());
    let round = cut(gamma, thick, OpeningShape::Round);
    near(round.major, 2.0 * long + shift, 1e-3, "round");
    near(round.minor, round.major, 1e-12, "round");
    near((round.centre - Vec2::new(100.0, 80.0 - shift / 2.0)).length(), 0.0, 1e-3, "centre");
    let slot = cut(gamma, thick, OpeningShape::Slot);
    near(slot.minor, 50.0, 1e-3, "width of the slot");
    near(slot.angle, 90.0, 1e-9, "the slot lies where the tube leans");
    assert!(slot.major > 2.0 * long + shift - 1e-6 && slot.major < 2.0 * long + shift + 4.0, "{}", slot.major);
    for shape in SHAPES {
        let square = cut(0.0, thick, shape);
        near(square.major, 50.0, 1e-3, "square to the plate");
        near(square.minor, 50.0, 1e-3, "square to the plate");
    }
}

/// How deep a point lies inside an anticlockwise convex outline; less than 0 outside.
fn depth(flat: &[Vec2], p: Vec2) -> f64 {
    let off = |pair: &[Vec2]| (pair[1] - pair[0]).unit().map(|t| t.cross(p - pair[0]));
    flat.windows(2).filter_map(off).fold(f64::INFINITY, f64::min)
}

/// Points of a ball and of a bar, filled from inside, grown by the clearance: those between the faces lie inside the
/// opening, whatever its shape and however the plate stands, and it is no larger than it need be.
#[test]
fn shapes_round_a_joint() {
    let mut spec = heron();
    let line = chain(&spec).unwrap();
    let (cross, axis, clearance, thick) = (line.centres[0], line.axes[0], 4.0, 6.0);
    let joint = spec.joints[0].clone();
    // Plates across the cross, square to the hub above and leaning 20 and 50 degrees, one 12 mm up the hub.
    for (lean, along) in [(0.0, 0.0), (20.0, 0.0), (50.0, 0.0), (20.0, 12.0)] {
        let w = (-axis).turned(axis.any_normal(), f64::to_radians(lean));
        let u = w.any_normal();
        let v = w.cross(u);
        let origin = cross - axis * along - u * 100.0 - v * 100.0;
        spec.plates[0].place = PlatePlace::Points { origin, right: origin + u * 50.0, up: origin + v * 50.0 };
        spec.plates[0].outline = Outline::rectangle([200.0, 200.0], 0.0);
        spec.plates[0].thick = thick;
        spec.plates[0].holes.clear();
        for shape in SHAPES {
            let name = "joint".to_string();
            spec.plates[0].openings = vec![Opening { name, around: Body::Joint(0), clearance, shape: Some(shape) }];
            let solved = plate(&spec, (&line, None), &spec.plates[0]).unwrap();
            let outline = path(&solved.openings[0].outline).unwrap();
            let flat = outline.flattened(1e-6);
            let mut nearest = f64::INFINITY;
            let mut try_point = |p: Vec3| {
                let d = p - origin;
                let height = d.dot(w);
                if height <= 0.0 && height >= -thick {
                    let inside = depth(&flat, Vec2::new(d.dot(u), d.dot(v)));
                    assert!(inside > -1e-6, "{shape:?} at {lean} deg: a point stands {inside} outside");
                    nearest = nearest.min(inside);
                }
            };
            let (rings, steps) = (180, 120);
            for i in 0..rings {
                let turn = std::f64::consts::TAU * f64::from(i) / f64::from(rings);
                for j in 0..=steps {
                    let f = f64::from(j) / f64::from(steps);
                    let rise = std::f64::consts::PI * (f - 0.5);
                    let (side, over) = (axis.any_normal(), axis.cross(axis.any_normal()));
                    let spoke = side * turn.cos() + over * turn.sin();
                    try_point(cross + (spoke * rise.cos() + axis * rise.sin()) * (joint.swing / 2.0 + clearance));
                    for (way, reach) in [(-axis, joint.upper.reach), (line.axes[1], joint.lower.reach)] {
                        let (side, over) = (way.any_normal(), way.cross(way.any_normal()));
                        let spoke = side * turn.cos() + over * turn.sin();
                        let station = (reach + 2.0 * clearance) * f - clearance;
                        try_point(cross + way * station + spoke * (joint.hub / 2.0 + clearance));
                    }
                }
            }
            assert!(nearest < 0.35, "{shape:?} at {lean} deg: nearest point {nearest} inside the rim");
        }
    }
}

/// The gap left in an opening over all motions, against places of them looked at one by one: the linkage solved with its
/// column and rod end shifted, and the distance of its shaft from 720 points of the rim on either face.
#[test]
fn an_opening_is_followed_over_the_motions() {
    use yokeline::spec::types::BearingAt;
    let text = include_str!("../../examples/otter-van-forward/linkage.toml");
    let spec = crate::common::read(text);
    let (solved, _) = yokeline::solve::solve(&spec).unwrap();
    let plate = &solved.plates[0];
    let opening = &plate.openings[0];
    let row = opening.over_motions.as_ref().unwrap();
    let outline = yokeline::solve::plate::path(&opening.outline).unwrap().flattened(1e-4);
    let rim: Vec<Vec3> = outline
        .iter()
        .zip(outline.iter().cycle().skip(1))
        .flat_map(|(&a, &b)| (0..8).map(move |i| a + (b - a) * (f64::from(i) / 8.0)))
        .flat_map(|p| {
            let at = plate.frame.origin + plate.frame.u * p.x + plate.frame.v * p.y;
            [at, at - plate.frame.w * plate.thick]
        })
        .collect();
    let mut least = f64::INFINITY;
    let mut taped = f64::NAN;
    let steps = |from: f64, to: f64| (0..=6).map(move |i| from + (to - from) * f64::from(i) / 6.0);
    for up in steps(-5.0, 4.0).chain([0.0]) {
        for back in steps(-6.0, 6.0) {
            let by = Vec3::new(back, 0.0, up);
            let mut moved = spec.clone();
            moved.motions.clear();
            moved.plates.clear();
            moved.column.tilt = None;
            moved.column.end = moved.column.end + by;
            moved.column.second = moved.column.second.map(|second| second + by);
            let bearing = moved.shafts[0].bearing.as_mut().unwrap();
            let BearingAt::Eye { centre, .. } = &mut bearing.at else { panic!("a rod end in space") };
            *centre = *centre + by;
            let (there, _) = yokeline::solve::solve(&moved).unwrap();
            let (from, to) = (there.joints[1].centre, there.joints[2].centre);
            let ahead = (to - from).unit().unwrap();
            let gap = rim
                .iter()
                .map(|&p| {
                    let d = p - from;
                    (d - ahead * d.dot(ahead)).length() - 13.5
                })
                .fold(f64::INFINITY, f64::min);
            least = least.min(gap);
            if by.length() < 1e-9 {
                taped = gap;
            }
        }
    }
    assert!((row.taped.unwrap().gap - taped).abs() < 0.03, "{row:?}, looked at {taped}");
    // Cut for all of them: at every place what was asked for, and at the worst little more than that.
    let spread = opening.motion_spread.unwrap();
    assert!(spread <= 1.5 + 1e-9, "two motions: {spread}");
    assert!(least >= 14.0 - 1e-3, "cut with 14 mm all round over all motions: {least}");
    assert!(least <= 14.0 + spread + 0.5, "{least} is more than was asked for");
    assert!(taped > 15.0, "{taped}: the motions bring it nearer");
    assert_eq!(opening.shape.as_deref(), Some("ellipse"));
    assert!(row.gap <= least + 1e-6 && row.gap > least - 0.05, "{row:?}, looked at {least}");
    assert!(row.lower.unwrap() <= least);
}

/// A column square to its plate that shifts 6 mm either way across it wants a slot of that length more: the least slot
/// round discs of r = 25 at every place, as wide as one and 12 mm longer, and no wider by more than is told. A plate that
/// shifts with it is cut as if nothing moved, and one that alone shifts as if the column did.
#[test]
fn an_opening_is_cut_for_all_motions() {
    use yokeline::spec::types::{Motion, MotionPath, Moved};
    let cut = |moves: &[Moved]| {
        let mut spec = slanted(0.0, 3.0);
        spec.plates[0].openings[0].shape = Some(OpeningShape::Slot);
        let path = MotionPath::Shift { along: Vec3::new(0.0, 1.0, 0.0) };
        spec.motions =
            vec![Motion { name: "body".into(), path, range: [-6.0, 6.0], measured: 0.0, moves: moves.to_vec() }];
        solve(&spec).openings[0].clone()
    };
    let still = cut(&[]);
    assert_eq!(still.motion_spread, None);
    near(still.major, 50.0, 1e-3, "still");
    let column = Moved::End(Body::Column);
    for moves in [vec![column], vec![Moved::Plate(0)]] {
        let moved = cut(&moves);
        let spread = moved.motion_spread.unwrap();
        assert!(spread > 0.0 && spread <= 0.5 + 1e-9, "one motion: {spread}");
        let (long, wide) = (moved.major - 62.0, moved.minor - 50.0);
        assert!(long >= 0.0 && long <= spread + 0.05, "{long} over, told {spread}");
        assert!(wide >= 0.0 && wide <= spread + 0.05, "{wide} over, told {spread}");
        near(moved.angle, 0.0, 1e-6, "along u");
        near((moved.centre - still.centre).length(), 0.0, 1e-6, "centre");
    }
    let together = cut(&[column, Moved::Plate(0)]);
    assert_eq!((together.motion_spread, together.major), (None, still.major));
}

//! Arcs and cubics along a polyline.

use std::f64::consts::{PI, TAU};

use yokeline::geometry::contour::{self, sides};
use yokeline::geometry::hug::{self, FARTHEST};
use yokeline::geometry::{Path, Piece, Vec2};

fn p(x: f64, y: f64) -> Vec2 {
    Vec2::new(x, y)
}

/// A polygon round a circle, standing off by at most 0.004 mm.
fn ring(centre: Vec2, radius: f64) -> Vec<Vec2> {
    // A multiple of four, and corners beside the axes: a straight along an axis goes on from it.
    let count = 4.0 * (PI / 4.0 / libm::acos(radius / (radius + 0.004))).ceil();
    let reach = radius / libm::cos(PI / count);
    (0..count as usize).map(|k| centre + Vec2::polar(TAU * (k as f64 + 0.5) / count) * reach).collect()
}

fn distance(points: &[Vec2], at: Vec2) -> f64 {
    let near = |(a, b): (Vec2, Vec2)| {
        let d = b - a;
        (a + d * ((at - a).dot(d) / d.dot(d)).clamp(0.0, 1.0) - at).length()
    };
    sides(points).map(near).fold(f64::INFINITY, f64::min)
}

/// Every place of the curve lies outside the loop within the band, every corner of the loop inside the curve.
fn proved(points: &[Vec2], path: &Path, bare: &dyn Fn(Vec2) -> bool) {
    let loops = [points.to_vec()];
    let fine = path.flattened(1e-4);
    for &at in fine.iter().filter(|at| !bare(**at)) {
        let off = distance(points, at);
        assert!(!contour::holds(&loops, at), "{at:?} inside by {off}");
        assert!(off > 0.0 && off <= FARTHEST + 1e-4, "{at:?} off by {off}");
    }
    let curve = [fine];
    for &at in points.iter().filter(|at| !bare(**at)) {
        assert!(contour::holds(&curve, at), "{at:?} cut off");
    }
    assert!((path.end() - path.start).length() < 1e-9);
}

fn kinks(path: &Path) -> Vec<f64> {
    use yokeline::geometry::split::tangent;
    let ends: Vec<(Vec2, Vec2)> =
        path.runs().map(|(from, piece)| (tangent(from, piece, 0.0), tangent(from, piece, 1.0))).collect();
    let after = ends.iter().cycle().skip(1);
    ends.iter().zip(after).map(|((_, a), (b, _))| libm::atan2(a.cross(*b), a.dot(*b))).collect()
}

#[test]
fn a_circle_becomes_arcs_of_its_radius() {
    for radius in [0.8, 5.0, 40.0, 300.0] {
        let points = ring(p(10.0, -4.0), radius);
        let path = hug::along(&points, &|_, _| false, radius).unwrap();
        proved(&points, &path, &|_| false);
        assert!(path.pieces.len() <= 4, "{radius}: {:?}", path.pieces);
        for piece in &path.pieces {
            let Piece::Arc { major, .. } = piece else { panic!("{piece:?}") };
            assert!(major.x > radius && major.x < radius + FARTHEST, "{} of {radius}", major.x);
        }
        assert!(kinks(&path).iter().all(|kink| kink.abs() < 2.1e-3));
    }
}

#[test]
fn a_slot_becomes_two_lines_and_its_ends() {
    let (a, b) = (ring(p(0.0, 0.0), 8.0), ring(p(60.0, 0.0), 8.0));
    let half = |points: &[Vec2], right: bool| {
        let end = if right { 60.0 } else { 0.0 };
        let mut own: Vec<Vec2> = points.iter().copied().filter(|q| (q.x > end) == right).collect();
        own.sort_by(|a, b| a.y.total_cmp(&b.y));
        own
    };
    let mut points = half(&b, true);
    points.extend(half(&a, false).into_iter().rev());
    let path = hug::along(&points, &|_, _| false, 8.0).unwrap();
    proved(&points, &path, &|_| false);
    let lines = path.pieces.iter().filter(|piece| matches!(piece, Piece::Line { .. })).count();
    assert!(lines <= 4 && path.pieces.len() <= 8, "{:?}", path.pieces);
}

/// A tangent polygon of an ellipse.
fn oval(long: f64, short: f64, count: u32) -> Vec<Vec2> {
    let step = TAU / f64::from(count);
    let reach = 1.0 / libm::cos(0.5 * step);
    (0..count).map(|k| Vec2::polar(f64::from(k) * step) * reach).map(|q| p(q.x * long, q.y * short)).collect()
}

#[test]
fn an_ellipse_becomes_a_few_cubics_without_a_kink() {
    for (long, short) in [(40.0, 12.0), (110.0, 30.0), (9.0, 7.0)] {
        let points = oval(long, short, 700);
        let path = hug::along(&points, &|_, _| false, 0.0).unwrap();
        proved(&points, &path, &|_| false);
        assert!(path.pieces.len() <= 26, "{}", path.pieces.len());
        assert!(kinks(&path).iter().all(|kink| kink.abs() < 2.1e-3), "{:?}", kinks(&path));
        // By Steiner's formula the band's area lies between that of its two edges.
        let extra = path.area() - contour::area(&points);
        let rim: f64 = sides(&points).map(|(a, b)| (b - a).length()).sum();
        assert!(extra > 0.0 && extra < rim * FARTHEST, "{extra}");
    }
}

#[test]
fn a_border_stays_where_it_is_and_a_tip_of_metal_stays_a_tip() {
    // The upper half of a circle on a border, and two circles that run into each other.
    let mut half: Vec<Vec2> = ring(p(0.0, 0.0), 20.0).into_iter().filter(|q| q.y > 0.0).collect();
    half.insert(0, p(20.002, 0.0));
    half.push(p(-20.002, 0.0));
    let path = hug::along(&half, &|a, b| a.y == 0.0 && b.y == 0.0, 0.0).unwrap();
    proved(&half, &path, &|at| at.y == 0.0);
    assert!(path.runs().any(|(from, piece)| from.y == 0.0 && piece.end().y == 0.0));

    let both = contour::union(&[ring(p(0.0, 0.0), 20.0), ring(p(30.0, 3.0), 20.0)], None);
    assert_eq!(both.len(), 1);
    let path = hug::along(&both[0].points, &|_, _| false, 0.0).unwrap();
    proved(&both[0].points, &path, &|_| false);
    let tips = kinks(&path).into_iter().filter(|kink| *kink < -0.5).count();
    assert_eq!(tips, 2);
    assert!(path.pieces.len() < 16, "{}", path.pieces.len());
}

#[test]
fn an_island_keeps_clear_of_its_metal() {
    // Clockwise: what is removed lies outside, the curve inside.
    let mut points = ring(p(0.0, 0.0), 15.0);
    points.reverse();
    let path = hug::along(&points, &|_, _| false, 0.0).unwrap();
    for at in path.flattened(1e-4) {
        let off = distance(&points, at);
        assert!(at.length() < 15.0 && off <= FARTHEST + 1e-4, "{at:?}");
    }
    assert!(path.area() < 0.0);
}

#[test]
fn two_strands_too_near_to_each_other_are_left_alone() {
    // A slit of 0.02 mm of metal between two parts of one loop.
    let points = [
        p(0.0, 0.0),
        p(40.0, 0.0),
        p(40.0, 20.0),
        p(20.02, 20.0),
        p(20.02, 5.0),
        p(20.0, 5.0),
        p(20.0, 20.0),
        p(0.0, 20.0),
    ];
    assert_eq!(hug::along(&points, &|_, _| false, 0.0), None);
}

/// An ellipse in straight pieces and arcs alone: still proved, without a kink that is felt, and few. Its curvature at the
/// ends of its axes, a/b² and b/a² (any handbook), is met by the arcs there.
#[test]
fn an_ellipse_becomes_arcs_alone() {
    let (a, b) = (70.0, 24.0);
    let points: Vec<Vec2> =
        (0..1200).map(|k| Vec2::polar(TAU * (f64::from(k) + 0.5) / 1200.0)).map(|q| p(a * q.x, b * q.y)).collect();
    let path = hug::in_arcs(&points, &|_, _| false, 0.0).unwrap();
    proved(&points, &path, &|_| false);
    assert!(path.pieces.len() < 90, "{}", path.pieces.len());
    assert!(kinks(&path).iter().all(|kink| kink.abs() < 2.1e-3), "{:?}", kinks(&path));
    let mut radii = Vec::new();
    for (_, piece) in path.runs() {
        match *piece {
            Piece::Arc { major, minor, .. } => {
                assert!((major.length() - minor.length()).abs() < 1e-9);
                radii.push(major.length());
            }
            Piece::Line { .. } => {}
            Piece::Cubic { .. } => panic!("{piece:?}"),
        }
    }
    let (least, most) = radii.iter().fold((f64::MAX, 0.0f64), |(low, high), r| (low.min(*r), high.max(*r)));
    assert!((least / (b * b / a) - 1.0).abs() < 0.05 && (most / (a * a / b) - 1.0).abs() < 0.1, "{least} {most}");
}

/// A half plate: the cut is followed, the plate's own straight edges, aslant too, are kept to the last bit.
#[test]
fn own_edges_stay_as_they_are() {
    // What is cut away lies to the left: the plate's edge runs clockwise about the plate.
    let cut = ring(p(0.0, 0.0), 20.0).into_iter().filter(|q| q.y > 0.0);
    let own = [
        p(-20.002, 0.0),
        p(-40.0, 0.0),
        p(-60.0, 12.0),
        p(-60.0, 50.0),
        p(60.0, 50.0),
        p(60.0, 12.0),
        p(40.0, 0.0),
        p(20.002, 0.0),
    ];
    let points: Vec<Vec2> = cut.chain(own).collect();
    let is_own = |a: Vec2, b: Vec2| own.contains(&a) && own.contains(&b) && (a.y > 0.0 || b.y > 0.0 || a.x * b.x > 0.0);
    let path = hug::in_arcs(&points, &is_own, 0.0).unwrap();
    for corner in &own[1..7] {
        let nearest = path.runs().map(|(at, _)| (at - *corner).length()).fold(f64::MAX, f64::min);
        assert!(nearest < 1e-12, "{corner:?} is off by {nearest}");
    }
    let cut: Vec<f64> = path.flattened(1e-4).iter().map(|at| at.length()).filter(|r| *r < 25.0).collect();
    assert!(cut.len() > 20 && cut.iter().all(|r| (20.0..20.0 + FARTHEST + 0.005).contains(r)), "{cut:?}");
    assert!(path.pieces.len() < 16, "{:?}", path.pieces);
}

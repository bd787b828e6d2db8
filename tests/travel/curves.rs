//! The curves of the tightest gaps, and the list of the tightest.

use yokeline::geometry::distance::segment_segment;
use yokeline::solve::gap_curve::{gap_curve, marked, shown, tightest};
use yokeline::solve::solve;

use super::{near, p};
use crate::common::read;

const TRAVEL: &str = include_str!("../../examples/heron-travel/linkage.toml");

#[test]
fn the_tightest_come_first_and_their_curves_never_go_under_what_is_proved() {
    let spec = read(TRAVEL);
    let (solution, _) = solve(&spec).unwrap();
    let rows = tightest(&solution);
    assert_eq!(rows.len(), solution.clearances.len());
    assert!(rows.windows(2).all(|pair| pair[0].judged() - pair[0].need <= pair[1].judged() - pair[1].need));
    assert_eq!(marked(&solution).len(), 3);
    assert_eq!(shown(&solution), 3);
    for number in 0..3 {
        let curve = gap_curve(&spec, &solution, number).unwrap();
        let motion = &spec.motions[curve.motion];
        let [from, to] = motion.range.map(|value| motion.shown(value));
        near(curve.points[0].0, from, 1e-9);
        near(curve.points.last().unwrap().0, to, 1e-9);
        let lower = curve.row.lower.unwrap();
        assert!(curve.points.iter().all(|&(_, gap)| gap >= lower - 1e-9));
        // The worst is a point of the curve's motion; beside it the curve is as near as the points stand.
        let at = curve.row.at[&motion.name];
        let nearest = curve.points.iter().min_by(|a, b| (a.0 - at).abs().total_cmp(&(b.0 - at).abs())).unwrap();
        near(nearest.1, curve.row.gap, 1.0);
    }
}

/// The tie rod goes with the rack: its gap to a joint's ball by the segment formula of `segments.json`'s source, the rod
/// moved here by hand.
#[test]
fn a_curve_stands_where_the_moved_axis_puts_it() {
    let spec = read(TRAVEL);
    let (solution, _) = solve(&spec).unwrap();
    let mut curves = (0..20).filter_map(|number| gap_curve(&spec, &solution, number));
    let curve = curves.find(|c| c.row.obstacle == "tie rod" && c.row.part == "intermediate").unwrap();
    let motion = &spec.motions[curve.motion];
    assert!(solution.shafts[0].name == "intermediate");
    let shaft = &solution.shafts[0];
    let (a, b) = (shaft.frame.origin, shaft.frame.origin + shaft.frame.z * shaft.cut_length);
    let (c, d) = (p(3.6, -14.0, 2.9) * 25.4, p(3.9, -24.0, 2.6) * 25.4);
    let other = if motion.name == "rack stroke" { "tie rod travel" } else { "rack stroke" };
    for &(value, gap) in &curve.points {
        let (stroke, lift) =
            if motion.name == "rack stroke" { (value, curve.row.at[other]) } else { (curve.row.at[other], value) };
        // Travel about an axis along x through (y, z) = (-14, 2.9) in: the height of (-24, 2.6) in goes up by `lift`.
        let (arm_y, arm_z) = (-10.0 * 25.4, -0.3 * 25.4);
        let reach = f64::hypot(arm_y, arm_z);
        let angle = ((arm_z + lift) / reach).asin() - (arm_z / reach).asin();
        let turned = |q: yokeline::geometry::Vec3| {
            let (y, z) = (q.y + 14.0 * 25.4, q.z - 2.9 * 25.4);
            // Outboard is -y: a rise turns the arm from -y toward +z.
            let (s, k) = (angle.sin(), angle.cos());
            yokeline::geometry::Vec3::new(q.x, y * k + z * s - 14.0 * 25.4 + stroke, z * k - y * s + 2.9 * 25.4)
        };
        let (on_shaft, on_rod) = segment_segment(a, b, turned(c), turned(d));
        let axes = (on_shaft - on_rod).length();
        // Between bars with round ends, which hold the flat-ended ones, and the rod's bare axis, which they hold.
        let shaft_alone = axes - spec.shafts[0].stock.diameter() / 2.0;
        let round = shaft_alone - 0.75 * 25.4 / 2.0;
        assert!(gap >= round - 1e-6, "{value}: {gap} under {round}");
        assert!(gap <= shaft_alone + 1e-6, "{value}: {gap} over {shaft_alone}");
    }
}

//! The room of a support bearing, as taped and where its motion carries it.

use yokeline::geometry::Vec3;
use yokeline::solve::Solution;
use yokeline::solve::solution::Clearance;
use yokeline::spec::types::{BearingAt, MotionPath, Moved};

use super::{motion, near};
use crate::common::read;

const VAN: &str = include_str!("../../examples/otter-van-forward/linkage.toml");

fn pump(solution: &Solution) -> Clearance {
    solution.clearances.iter().find(|row| row.part == "upper shaft" && row.obstacle == "pump").unwrap().clone()
}

/// A rod end of 42 by 20 mm on a bar of 19.05 mm that slides along its bar. A ball of 10 mm stands 35 mm off the bar's
/// line, 35 mm along it from the rod end's middle: as taped the bar is nearest, at the far end of the slide the rod end's
/// rim. All by hand.
#[test]
fn a_rod_end_takes_room_where_it_slides_along_its_shaft() {
    let spec = read(VAN);
    let (taped, _) = yokeline::solve::solve(&spec).unwrap();
    let Some(BearingAt::Eye { centre, .. }) = spec.shafts[0].bearing.as_ref().map(|bearing| bearing.at) else {
        panic!("an eye")
    };
    let axis = taped.shafts[0].frame.z;
    let off = axis.any_normal();
    let at: Vec3 = centre + off * 35.0 + axis * 35.0;
    let ball = format!(
        "\n[[obstacle]]\nname = \"pump\"\nball = {{ centre = [{:?}, {:?}, {:?}], diameter = 10 }}\n",
        at.x, at.y, at.z
    );
    let mut spec = read(&format!("{VAN}{ball}"));
    spec.motions = Vec::new();
    let still = pump(&yokeline::solve::solve(&spec).unwrap().0);
    near(still.gap, 35.0 - 0.5 * 19.05 - 5.0, 1e-6);
    let mut slide = motion(MotionPath::Shift { along: axis }, [-20.0, 20.0]);
    slide.moves = vec![Moved::Bearing(0)];
    spec.motions = vec![slide];
    let moved = pump(&yokeline::solve::solve(&spec).unwrap().0);
    let rim = f64::hypot(35.0 - 20.0 - 10.0, 35.0 - 21.0) - 5.0;
    near(moved.gap, rim, 0.05);
    assert!(moved.lower.is_some_and(|lower| lower <= rim + 1e-9 && lower > rim - 0.05), "{moved:?}");
    // Without a size it takes no room, and the bar alone is left.
    spec.shafts[0].bearing.as_mut().unwrap().housing = None;
    near(pump(&yokeline::solve::solve(&spec).unwrap().0).gap, still.gap, 0.05);
}

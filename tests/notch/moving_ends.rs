//! Notches under a column, a gear and a bearing that move: against the same linkage taped anew at each place.

use yokeline::geometry::contour::{holds, sides};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::solve::{Solution, solve};
use yokeline::spec::Spec;
use yokeline::spec::types::BearingAt;

use super::{off_side, p};
use crate::common::{HERON, read};

/// A linkage with its ends and its first bearing shifted, as if it had been taped there.
fn taped(spec: &Spec, column: Vec3, gear: Vec3) -> Solution {
    let mut spec = spec.clone();
    spec.motions = Vec::new();
    spec.column.end = spec.column.end + column;
    spec.column.second = spec.column.second.map(|second| second + column);
    spec.gear.end = spec.gear.end + gear;
    spec.gear.second = spec.gear.second.map(|second| second + gear);
    if let Some(BearingAt::Eye { centre, .. }) = spec.shafts[0].bearing.as_mut().map(|bearing| &mut bearing.at) {
        *centre = *centre + column;
    }
    solve(&spec).unwrap().0
}

/// How far a traced outline may stand off what must go (mm), each place's as much as that over all.
const TRACED: f64 = 0.004;

/// The outline over all motions holds that of every place, and its gap is no more than at any of them.
fn holds_all(whole: &Solution, places: &[Solution]) {
    let all = &whole.notches[0];
    assert!(all.motion_spread.is_some_and(|spread| spread > 0.0 && spread <= 3.0), "{:?}", all.motion_spread);
    let mut beyond = 0;
    for place in places {
        for &q in place.notches[0].traced.iter().flatten() {
            let off = |q| {
                let off = all.traced.iter().flat_map(|points| sides(points)).map(|(a, b)| off_side(q, a, b));
                off.fold(f64::MAX, f64::min)
            };
            let turns = [-1.0, 0.0, 1.0].map(|turn| q + Vec2::new(0.0, turn * whole.rails[0].girth.unwrap()));
            let worst = turns.map(off).into_iter().fold(f64::MAX, f64::min);
            assert!(
                turns.iter().any(|&q| holds(&all.traced, q)) || worst < TRACED,
                "({}, {}) stands by {worst}",
                q.x,
                q.y
            );
            // Some of it lies out of what the linkage as taped takes.
            beyond += usize::from(!holds(&places[0].notches[0].traced, q));
        }
    }
    assert!(beyond > 50, "{beyond}");
}

#[test]
fn a_gear_and_a_column_that_move_widen_the_notch() {
    let motions = r#"
[[motion]]
name  = "body on its mounts"
shift = { along = [1, 0, 0], from = "-3 mm", to = "2 mm" }
moves = ["column"]
[[motion]]
name  = "rack in its bushes"
shift = { along = [0, 0, 1], from = "-2 mm", to = "3 mm" }
moves = ["gear"]
"#;
    let mut spec = read(&format!("{HERON}{motions}"));
    // Its liner is too small for the shaft that moves, and says so; here only the wall counts.
    (spec.notches[0].liner, spec.notches[0].doubler) = (None, None);
    let whole = solve(&spec).unwrap().0;
    let steps = [(0.0, 0.0), (-3.0, -2.0), (-3.0, 3.0), (2.0, -2.0), (2.0, 3.0), (0.5, 1.0)];
    let places: Vec<Solution> = steps.iter().map(|&(x, z)| taped(&spec, p(x, 0.0, 0.0), p(0.0, 0.0, z))).collect();
    holds_all(&whole, &places);
    let clearance = spec.notches[0].clearance;
    assert!(whole.notches[0].gap_left >= clearance - 1e-4, "{}", whole.notches[0].gap_left);
}

#[test]
fn a_bearing_that_a_cab_carries_widens_the_notch() {
    let van = include_str!("../../examples/otter-van-forward/linkage.toml");
    let (still, _) = solve(&read(van)).unwrap();
    // A rail across the upper shaft, whose lower end hangs in the bearing.
    let frame = &still.shafts[0].frame;
    let middle = frame.origin + frame.z * (0.5 * still.shafts[0].centre_distance);
    let along = frame.z.cross(p(0.0, 0.0, 1.0)).unit().unwrap();
    let [a, b] = [middle + along * 300.0, middle - along * 300.0];
    let rail = format!(
        r#"
[[rail]]
name  = "cross rail"
along = [[{}, {}, {}], [{}, {}, {}]]
edge  = "top front"
tube  = {{ height = 120, width = 80, wall = 3, corner = 6 }}
[[notch]]
name      = "cross notch"
rail      = "cross rail"
clearance = 8
corner    = 10
for       = ["upper shaft"]
"#,
        a.x, a.y, a.z, b.x, b.y, b.z
    );
    let spec = read(&format!("{van}{rail}"));
    let whole = solve(&spec).unwrap().0;
    let steps = [(0.0, 0.0), (-6.0, -5.0), (6.0, 4.0)];
    let places: Vec<Solution> = steps.iter().map(|&(x, z)| taped(&spec, p(x, 0.0, z), Vec3::default())).collect();
    holds_all(&whole, &places);
    assert!(whole.notches[0].gap_left >= 8.0 - 1e-4, "{}", whole.notches[0].gap_left);
}

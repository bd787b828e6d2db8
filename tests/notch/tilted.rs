//! A notch cut for the column as taped, with the column tilted.

use yokeline::geometry::Vec2;
use yokeline::geometry::contour::holds;
use yokeline::pipeline;
use yokeline::solve::rail;

use super::wall_distance;
use crate::common::HERON;

/// The gap in a notch at both ends of a tilt, by walking over the wall left standing: no place of it is nearer, and one
/// is as near.
#[test]
fn the_gap_in_a_notch_is_that_with_the_column_tilted() {
    let tilt = "tilt = { pivot = [28.145, -15.230, 12.434], up = 5, down = 5 }";
    let text = HERON.replacen("tube    = \"2 in\"", &format!("tube    = \"2 in\"\n{tilt}"), 1);
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let (spec, solution) = (&solved.spec, &solved.solution);
    let row = &spec.notches[0];
    let shape = rail::shape(&spec.rails[row.rail], row.rail, spec).unwrap();
    let shop = &solution.notches[0].shop;
    let (low, high) = shape.v_range();
    let mut gaps = Vec::new();
    for end in &solution.tilt {
        let turned = yokeline::solve::tilt::tilted(spec, spec.column.tilt.as_ref().unwrap(), end.tilt.to_radians());
        let chain = yokeline::solve::chain::chain(&turned).unwrap();
        let rooms = yokeline::solve::bodies::moved_rooms(&turned, &chain);
        for &body in &row.bodies {
            let part = spec.body_name(body);
            let Some(found) = end.clearances.iter().find(|c| c.part == part && c.obstacle == "left rail") else {
                panic!("no row of {part}");
            };
            let own: Vec<_> = rooms.iter().filter(|room| room.body == body).copied().collect();
            let gone = |q: Vec2| (-1..=1).any(|k| holds(shop, Vec2::new(q.x, q.y + f64::from(k) * shape.girth)));
            let away = |q: Vec2| wall_distance(&shape, q.x, q.y, &own, 8);
            // Over the whole wall, then finer and finer about the nearest place.
            let least = |(us, vs): ([f64; 2], [f64; 2]), n: [u32; 2]| {
                let at = |[low, high]: [f64; 2], i: u32, n: u32| low + (high - low) * f64::from(i) / f64::from(n);
                let grid =
                    (0..=n[0]).flat_map(|i| (0..=n[1]).map(move |j| Vec2::new(at(us, i, n[0]), at(vs, j, n[1]))));
                let standing = grid.filter(|&q| !gone(q)).chain(shop.iter().flatten().copied());
                standing.map(|q| (away(q), q)).min_by(|a, b| a.0.total_cmp(&b.0)).unwrap()
            };
            let mut best = least(([0.0, shape.length], [low, high]), [160, 80]);
            for half in [6.0, 1.0, 0.2] {
                let within = |x: f64, [low, high]: [f64; 2]| [(x - half).max(low), (x + half).min(high)];
                let window = (within(best.1.x, [0.0, shape.length]), within(best.1.y, [low, high]));
                let finer = least(window, [24, 24]);
                best = if finer.0 < best.0 { finer } else { best };
            }
            let least = best.0;
            assert!(found.gap <= least + 1e-9, "{part} at {}: {} over {least}", end.tilt, found.gap);
            assert!(found.gap >= least - 0.05, "{part} at {}: {} far under {least}", end.tilt, found.gap);
            gaps.push(found.gap);
        }
    }
    // The tilt changes them: they are not those of the column as taped.
    let taped =
        solution.clearances.iter().find(|c| c.obstacle == "left rail" && c.part == spec.body_name(row.bodies[0]));
    assert!(gaps.iter().any(|gap| (gap - taped.unwrap().gap).abs() > 0.1), "{gaps:?}");
}

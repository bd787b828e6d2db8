//! What is made for a rail beside its notches: liners and sleeves, and holes in its walls.

use super::parts::{SAME, Verdict, Why, within_punch};
use crate::geometry::{Path, Vec2, split};
use crate::quantity::both_units;
use crate::solve::rail_hole::RailHole;
use crate::solve::solution::LinerResult;
use crate::spec::Spec;

/// A liner or sleeve. Where it sits may change with the vehicle's axes; what is cut does not.
pub(super) fn liner(spec: &Spec, before: &LinerResult, after: &LinerResult) -> (Verdict, String) {
    let text = |mm: f64| both_units(mm, spec.build.units);
    let mut why = Why::default();
    for (what, was, is) in [("outside", before.outside, after.outside), ("wall", before.wall, after.wall)] {
        if (was - is).abs() > SAME {
            why.add(false, format!("{what} {}, was {}", text(is), text(was)));
        }
    }
    let by = apart(&before.outline, &after.outline);
    if by > SAME {
        why.add(within_punch(by), format!("its ends are cut otherwise by up to {}", text(by)));
    }
    why.verdict()
}

/// The holes of a rail, by bolt, in their order.
pub(super) fn holes(spec: &Spec, before: &[RailHole], after: &[RailHole]) -> (Verdict, String) {
    let text = |mm: f64| both_units(mm, spec.build.units);
    let mut why = Why::default();
    let mut left: Vec<&RailHole> = before.iter().collect();
    for hole in after {
        let of = format!("hole {} of bolt {}", hole.number, hole.bolt);
        let Some(at) = left.iter().position(|old| old.bolt == hole.bolt) else {
            why.add(false, format!("{of} is new"));
            continue;
        };
        let old = left.remove(at);
        let by = (hole.at - old.at).length();
        if by > SAME {
            why.add(within_punch(by), format!("{of} moves by {}", text(by)));
        }
        if (hole.diameter - old.diameter).abs() > SAME {
            why.add(false, format!("{of} is {} across, was {}", text(hole.diameter), text(old.diameter)));
        }
    }
    for old in left {
        why.add(false, format!("a hole of bolt {} is gone: weld it up only as a licensed hand says", old.bolt));
    }
    why.verdict()
}

/// Farthest (mm) that a corner of either outline lies from the other.
fn apart(a: &[Vec2], b: &[Vec2]) -> f64 {
    let edge = |points: &[Vec2]| Path::polyline(points, true);
    let (Some(first), Some(second)) = (edge(a), edge(b)) else { return if a == b { 0.0 } else { f64::INFINITY } };
    let near = |edge: &Path, p: Vec2| {
        edge.runs().map(|(from, piece)| split::distance(from, piece, p)).fold(f64::INFINITY, f64::min)
    };
    let off = |points: &[Vec2], edge: &Path| points.iter().map(|&p| near(edge, p)).fold(0.0, f64::max);
    off(a, &second).max(off(b, &first))
}

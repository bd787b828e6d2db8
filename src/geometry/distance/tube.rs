//! Round tubes along a path.

use super::{Convex, Profile, Revolved, Solid};
use crate::geometry::{Frame, Vec3};

/// A corner that turns by less (rad) is straight: 1e-9 of a metre is a nanometre.
const STRAIGHT: f64 = 1e-9;

/// A corner that turns by more (rad, 170 degrees) runs back on itself: a ball stands in for its tip,
/// because bend and mitre run off without end.
const FOLDED: f64 = 170.0 * std::f64::consts::PI / 180.0;

/// Solids of a round tube along a path, with flat ends square to it.
///
/// `bend` is the radius of the centre line at the inner points. Without it, or with one no larger than
/// `radius` (which no tube can have), the corners are mitred: both lengths run on to the plane that
/// halves the corner, so the outside of the corner is the mitre's tip.
/// Lengths too short for their bends are filled between the bends' ends all the same.
pub fn tube(path: &[Vec3], radius: f64, bend: Option<f64>) -> Vec<Solid> {
    let bend = bend.filter(|arm| *arm > radius);
    let mut path = path.to_vec();
    path.dedup();
    let legs: Vec<(Vec3, Vec3, Vec3)> =
        path.iter().zip(path.iter().skip(1)).filter_map(|(&from, &to)| Some((from, to, (to - from).unit()?))).collect();
    let mut solids = Vec::with_capacity(2 * legs.len());
    // Where the leg at hand starts, and the normal of its first face.
    let mut start = legs.first().map(|&(from, _, ahead)| (from, ahead));
    for (i, &(_, corner, ahead)) in legs.iter().enumerate() {
        let Some((from, first_cut)) = start else { break };
        let after = legs.get(i + 1).map(|&(_, _, after)| after);
        let turn = after.map_or(0.0, |after| ahead.angle_to(after));
        let mut leg = |to: Vec3, last_cut: Vec3| {
            let square = first_cut == ahead && last_cut == ahead;
            solids.push(Solid::Convex(if square {
                Convex::Cylinder { from, to, radius }
            } else {
                Convex::Mitred { from, to, radius, cuts: [first_cut, last_cut] }
            }));
        };
        start = after.map(|after| (corner, after));
        let Some(after) = after else {
            leg(corner, ahead);
            break;
        };
        if turn < STRAIGHT {
            leg(corner, ahead);
        } else if turn > FOLDED {
            leg(corner, ahead);
            solids.push(Solid::Convex(Convex::Ball { centre: corner, radius }));
        } else if let Some(arm) = bend {
            let cut_back = arm * libm::tan(turn / 2.0);
            let first = corner - ahead * cut_back;
            leg(first, ahead);
            let inward = (after - ahead * ahead.dot(after)).unit().unwrap_or_else(|| ahead.any_normal());
            let frame = Frame { origin: first + inward * arm, x: -inward, y: ahead, z: ahead.cross(inward) };
            solids.push(Solid::Revolved(Revolved {
                frame,
                start: 0.0,
                sweep: turn,
                profile: Profile::Disc { arm, radius },
            }));
            start = Some((corner + after * cut_back, after));
        } else {
            let halving = (ahead + after).unit().unwrap_or(ahead);
            leg(corner, halving);
            start = Some((corner, halving));
        }
    }
    solids
}

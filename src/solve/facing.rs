//! Which way the screws point with the road wheels straight, and whether a key reaches them.

use serde::{Deserialize, Serialize};

use super::bodies::RoomShape;
use super::chain::Chain;
use super::clearance::{least, obstacle_solids, rail_solids, solid};
use super::rail::RailShape;
use super::solution::End;
use super::stance::{self, Yokes};
use crate::geometry::Vec3;
use crate::geometry::distance::Solid;
use crate::spec::Spec;
use crate::spec::types::{Axes, Hub, Screw, Side};

/// A screw straight ahead.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ScrewFacing {
    /// Joint, as in the spec.
    pub joint: String,
    /// Which hub of it.
    pub hub: End,
    /// Number of the screw in its hub, from 1.
    pub screw: usize,
    /// Line its axis lies on: from straight up (or straight back on an upright shaft), looking from the column toward
    /// the gear, clockwise (deg, 0 to 180). Its head points to one of the two ends of that line.
    pub clock: f64,
    /// The same line as a unit vector, out of the shaft toward `clock`.
    pub toward: Vec3,
    /// Whether a key has room if the head points toward `clock`, then if it points the other way. Only obstacles and
    /// rails of the spec are looked at.
    pub room: [bool; 2],
}

/// Room a hexagon key and the hand on it want out from the hub (mm), and their radius; common practice, no source.
const KEY: [f64; 2] = [90.0, 12.0];

/// Every screw whose line is known: those of hubs with flats, whose ears are.
pub fn screws(spec: &Spec, chain: &Chain, twists: &[f64], theta: f64, rails: &[RailShape]) -> Vec<ScrewFacing> {
    let in_the_way: Vec<Solid> =
        spec.obstacles.iter().flat_map(obstacle_solids).chain(rails.iter().flat_map(rail_solids)).collect();
    let mut all = Vec::new();
    for (i, Yokes { driving, driven }) in stance::yokes(chain, twists, theta).into_iter().enumerate() {
        let joint = &spec.joints[i];
        let sides = [
            (End::Upper, &joint.upper, driving, chain.axes[i], chain.upper_cross(i), -1.0),
            (End::Lower, &joint.lower, driven, chain.axes[i + 1], chain.lower_cross(i), 1.0),
        ];
        for (end, hub, trunnion, axis, cross, along) in sides {
            for (number, screw) in hub.screws().iter().enumerate() {
                let Some(toward) = line(hub, screw, trunnion, axis) else { continue };
                let up = up(spec.axes, axis);
                let mut clock = up.signed_angle_to(toward, axis).to_degrees();
                let mut toward = toward;
                if clock < 0.0 {
                    (clock, toward) = (clock + 180.0, toward * -1.0);
                }
                let at = cross + axis * (along * (hub.reach - screw.at));
                let key = |out: Vec3| {
                    let [length, radius] = KEY;
                    let from = at + out * (joint.hub / 2.0);
                    let room = solid(RoomShape::Cylinder { from, to: from + out * length, radius });
                    least(&[room], &in_the_way).is_none_or(|closest| closest.gap > 0.0)
                };
                all.push(ScrewFacing {
                    joint: joint.name.clone(),
                    hub: end,
                    screw: number + 1,
                    clock,
                    toward,
                    room: [key(toward), key(toward * -1.0)],
                });
            }
        }
    }
    all
}

/// Line of a screw (unit vector): square to the flats it bears on, or along them on the round.
fn line(hub: &Hub, screw: &Screw, trunnion: Vec3, axis: Vec3) -> Option<Vec3> {
    // The straight edges stand `ears` before the line through the ears.
    let edges = trunnion.turned(axis, -hub.ears.filter(|_| hub.fits.is_double_d())?);
    Some(match screw.on {
        Side::Flat => edges.turned(axis, std::f64::consts::FRAC_PI_2),
        Side::Round => edges,
    })
}

/// Straight up across a shaft; straight back where the shaft is upright.
fn up(axes: Axes, axis: Vec3) -> Vec3 {
    let across = |v: Vec3| (v - axis * v.dot(axis)).unit();
    let vertical = Vec3::new(0.0, 0.0, 1.0);
    // Under 1 deg from upright the vertical tells nothing.
    let leans = vertical.cross(axis).length() > 0.0175 && axes == Axes::Vehicle;
    across(vertical).filter(|_| leans).or_else(|| across(Vec3::new(1.0, 0.0, 0.0))).unwrap_or_else(|| axis.any_normal())
}

//! The rooms that shafts and joints take.
//!
//! A shaft is a round cylinder of its largest diameter between its ends as
//! cut (flats ignored: it turns), and one of its bearing's housing; a joint is a ball of its swing about the
//! cross and, for each hub, a cylinder from the cross to the hub's outer face;
//! a double joint has a ball at both crosses and a cylinder of its hubs between.

use crate::geometry::Vec3;
use crate::spec::Spec;
use crate::spec::types::Body;

use super::chain::Chain;
use super::solution::ShaftResult;

/// A convex solid with flat ends, in vehicle axes (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RoomShape {
    /// Right circular cylinder with flat ends.
    Cylinder {
        /// Centre of one end face.
        from: Vec3,
        /// Centre of the other.
        to: Vec3,
        /// Radius.
        radius: f64,
    },
    /// Ball.
    Ball {
        /// Centre.
        centre: Vec3,
        /// Radius.
        radius: f64,
    },
}

/// A room and whose it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// The part of the linkage.
    pub body: Body,
    /// Its shape.
    pub shape: RoomShape,
}

/// Length of column tube (mm) behind the exposed shaft where the spec's second point does not tell how far it goes.
///
/// That is so with `beyond`, whose point lies on the linkage's side. About the
/// length of a column from its lower end to the dashboard; common practice, no source.
const TUBE_WITHOUT_END: f64 = 600.0;

/// Length and diameter of the column tube behind the exposed shaft, where there is one.
pub fn column_tube(spec: &Spec) -> Option<(f64, f64)> {
    let column = &spec.column;
    let far = column.second.map(|second| (column.end - second).dot(column.axis));
    let length = far.map(|far| far - column.exposed).filter(|length| *length > 0.0).unwrap_or(TUBE_WITHOUT_END);
    column.tube.map(|diameter| (length, diameter))
}

/// The rooms of every part of the linkage: column, joints, shafts, gear.
///
/// - Column: the exposed shaft, then the tube (where its diameter is given) from
///   `exposed` behind the end up to the second point, or 600 mm where that lies on the linkage's side.
/// - Joint: a ball of `swing` about each cross, each hub from the nearer cross to its outer face, and between the two
///   crosses of a double a cylinder of `hub`.
/// - Shaft: its largest diameter between its two ends as cut, and the housing of its bearing where that has a size.
/// - Gear: its exposed shaft only.
pub fn rooms(spec: &Spec, chain: &Chain, shafts: &[ShaftResult]) -> Vec<Room> {
    let ends = shafts.iter().map(|shaft| {
        let from = shaft.frame.origin;
        (from, from + shaft.frame.z * shaft.cut_length)
    });
    rooms_between(spec, chain, ends)
}

/// The rooms of a linkage that motions have carried elsewhere: every shaft from hub to hub, as long as it then is.
pub fn moved_rooms(spec: &Spec, chain: &Chain) -> Vec<Room> {
    let ends = (0..spec.shafts.len()).map(|i| {
        let axis = chain.axes[i + 1];
        let (upper, lower) = (spec.joints[i].lower.gap(None), spec.joints[i + 1].upper.gap(None));
        (chain.lower_cross(i) + axis * upper, chain.upper_cross(i + 1) - axis * lower)
    });
    rooms_between(spec, chain, ends)
}

/// The rooms with every shaft between two points.
fn rooms_between(spec: &Spec, chain: &Chain, ends: impl Iterator<Item = (Vec3, Vec3)>) -> Vec<Room> {
    let mut rooms = Vec::new();
    let mut cylinder = |body, from: Vec3, to: Vec3, diameter: f64| {
        rooms.push(Room { body, shape: RoomShape::Cylinder { from, to, radius: diameter / 2.0 } });
    };

    let column = &spec.column;
    let mouth = column.end - column.axis * column.exposed;
    cylinder(Body::Column, column.end, mouth, column.form.diameter());
    if let Some((length, tube)) = column_tube(spec) {
        cylinder(Body::Column, mouth, mouth - column.axis * length, tube);
    }
    let gear = &spec.gear;
    cylinder(Body::Gear, gear.end, gear.end + gear.axis * gear.exposed, gear.form.diameter());

    for (i, (shaft, (from, to))) in spec.shafts.iter().zip(ends).enumerate() {
        cylinder(Body::Shaft(i), from, to, shaft.diameter());
        let Some((bearing, housing)) = shaft.bearing.as_ref().and_then(|b| Some((b, b.housing?))) else { continue };
        let axis = chain.axes[i + 1];
        let middle = chain.lower_cross(i) + axis * chain.bearing_station(i, bearing.at);
        let half = axis * (0.5 * housing.width);
        cylinder(Body::Shaft(i), middle - half, middle + half, housing.outside);
    }
    for (i, joint) in spec.joints.iter().enumerate() {
        let (upper, lower) = (chain.upper_cross(i), chain.lower_cross(i));
        cylinder(Body::Joint(i), upper, upper - chain.axes[i] * joint.upper.reach, joint.hub);
        cylinder(Body::Joint(i), lower, lower + chain.axes[i + 1] * joint.lower.reach, joint.hub);
        if joint.double.is_some() {
            cylinder(Body::Joint(i), upper, lower, joint.hub);
        }
    }
    for (i, joint) in spec.joints.iter().enumerate() {
        let ball = |centre| Room { body: Body::Joint(i), shape: RoomShape::Ball { centre, radius: joint.swing / 2.0 } };
        rooms.push(ball(chain.upper_cross(i)));
        if joint.double.is_some() {
            rooms.push(ball(chain.lower_cross(i)));
        }
    }
    rooms.sort_by_key(|room| room.body);
    rooms
}

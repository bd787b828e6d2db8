//! Every part of the linkage and what stands round it, placed in vehicle axes.
//!
//! The wheel stands so that the trunnion axis of the first shaft's upper yoke is where that shaft's frame has it; from
//! there the trunnion axes are followed joint by joint, each square to its own shaft and to the one before it. So a
//! shaft further down is turned about its own axis from the frame in the results, which counts from its own joint.

use super::ears::turn_from_trunnion;
use super::identity::{self, Identity};
use super::solution::{RailFrame, ShaftResult, Solution};
use super::{apart, bodies, doubler_part, liner_part, member, rail_part};
use crate::catalog::forms::FormShape;
use crate::geometry::{Frame, Vec3};
use crate::spec::Spec;
use crate::spec::types::{Hub, Joint, ObstacleShape};

/// What a thing of the assembly is. Equal ones are one product.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// A shaft, or a member of one, by the solution's lists.
    Member {
        /// Index of the shaft.
        shaft: usize,
        /// Index of its member.
        member: usize,
    },
    /// A plate by its index.
    Plate(usize),
    /// A doubler by the list of all of them as plates.
    Doubler(usize),
    /// A liner or sleeve by the index of its notch.
    Liner(usize),
    /// A rail by its index.
    Rail(usize),
    /// Envelope of a hub with its ears.
    Yoke(Yoke),
    /// Envelope of a cross, by the diameter its yokes sweep (mm).
    Cross {
        /// mm.
        swing: f64,
    },
    /// Envelope of the housing between the two crosses of a double joint.
    Housing {
        /// Diameter swept (mm).
        swing: f64,
        /// Between its crosses (mm).
        span: f64,
    },
    /// A plain length of column or gear shaft, or of column tube.
    Stub {
        /// Its section.
        form: FormShape,
        /// mm.
        length: f64,
    },
    /// An obstacle by its index; its own coordinates are the vehicle's.
    Obstacle(usize),
}

/// A hub with its ears, in its own frame: origin at the cross, z out of the joint along its shaft, x along the ears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Yoke {
    /// Diameter swept by the ears (mm).
    pub swing: f64,
    /// Outside diameter of the hub (mm).
    pub hub: f64,
    /// From the cross to the hub's outer face (mm).
    pub reach: f64,
    /// Outer face to where the hole ends (mm).
    pub depth: f64,
    /// The hole.
    pub fits: FormShape,
    /// Clock of the hole's flats from +x about +z (deg).
    pub clock: f64,
}

/// A piece in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Name of the instance.
    pub name: String,
    /// What it is.
    pub piece: Piece,
    /// Where its own frame lies in vehicle axes.
    pub frame: Frame,
}

/// Everything placed: shafts, joints from column to gear, the shafts of column and gear, plates, rails, obstacles.
///
/// A plate or a rail whose cuts run into each other has no solid and is left out, as is an obstacle of which one point is
/// known.
pub fn placed(spec: &Spec, solution: &Solution) -> Vec<Placed> {
    let mut all = Vec::new();
    let ears = ears(spec, solution);
    for (i, (shaft, result)) in spec.shafts.iter().zip(&solution.shafts).enumerate() {
        let Some(trunnion) = ears.get(i).map(|joint| joint.below) else { continue };
        let x = trunnion.turned(result.frame.z, turn(spec, i, result));
        for (m, member) in member::of_shaft(shaft, result).into_iter().enumerate() {
            let from = result.members.get(m).map_or(0.0, |member| member.from);
            let origin = result.frame.origin + result.frame.z * from;
            add(
                &mut all,
                member.name,
                Piece::Member { shaft: i, member: m },
                Frame::from_z_x(origin, result.frame.z, x),
            );
        }
    }
    for ((joint, found), ears) in spec.joints.iter().zip(&solution.joints).zip(&ears) {
        place_joint(&mut all, joint, &found.crosses, ears);
    }
    if let (Some(first), Some(joint)) = (ears.first(), spec.joints.first()) {
        let column = &spec.column;
        let mouth = column.end - column.axis * column.exposed;
        let x = flats(first.above, column.axis, &joint.upper);
        let shaft = Piece::Stub { form: column.form.shape, length: column.exposed };
        add(&mut all, "column shaft".to_owned(), shaft, Frame::from_z_x(mouth, column.axis, x));
        if let Some((length, diameter)) = bodies::column_tube(spec) {
            let tube = Piece::Stub { form: FormShape::Round { diameter, bore: None }, length };
            let frame = Frame::from_z_x(mouth - column.axis * length, column.axis, x);
            add(&mut all, "column tube".to_owned(), tube, frame);
        }
    }
    if let (Some(last), Some(joint)) = (ears.last(), spec.joints.last()) {
        let gear = &spec.gear;
        let x = flats(last.below, gear.axis, &joint.lower);
        let shaft = Piece::Stub { form: gear.form.shape, length: gear.exposed };
        add(&mut all, "gear shaft".to_owned(), shaft, Frame::from_z_x(gear.end, gear.axis, x));
    }
    for (i, plate) in solution.plates.iter().enumerate().filter(|(_, plate)| apart::stand_apart(plate)) {
        let frame = &plate.frame;
        let frame = Frame { origin: frame.origin, x: frame.u, y: frame.v, z: frame.w };
        add(&mut all, format!("plate {}", plate.name), Piece::Plate(i), Some(frame));
    }
    for (i, plate) in doubler_part::plates(solution).iter().enumerate().filter(|(_, plate)| apart::stand_apart(plate)) {
        let frame = &plate.frame;
        let frame = Frame { origin: frame.origin, x: frame.u, y: frame.v, z: frame.w };
        add(&mut all, plate.name.clone(), Piece::Doubler(i), Some(frame));
    }
    for i in liner_part::notches(solution) {
        let Some(part) = liner_part::of(solution, i) else { continue };
        let frame = part.liner.frame;
        add(&mut all, part.name, Piece::Liner(i), Frame::from_z_x(frame.origin, frame.axis, frame.x));
    }
    for (i, rail) in solution.rails.iter().enumerate() {
        if rail_part::has_solid(rail, &rail_part::cuts(solution, rail)) {
            let RailFrame { origin, along, right, up } = rail.frame;
            let frame = Frame { origin, x: along, y: up, z: right };
            add(&mut all, format!("rail {}", rail.name), Piece::Rail(i), Some(frame));
        }
    }
    for (i, obstacle) in spec.obstacles.iter().enumerate() {
        if !matches!(obstacle.shape, ObstacleShape::Beside { .. }) {
            add(&mut all, format!("obstacle {}", obstacle.name), Piece::Obstacle(i), Some(vehicle()));
        }
    }
    all
}

/// The vehicle's own frame.
fn vehicle() -> Frame {
    let axis = Vec3::new;
    Frame { origin: Vec3::default(), x: axis(1.0, 0.0, 0.0), y: axis(0.0, 1.0, 0.0), z: axis(0.0, 0.0, 1.0) }
}

fn add(all: &mut Vec<Placed>, name: String, piece: Piece, frame: Option<Frame>) {
    // Axes are of length 1 and square to one another, so there always is a frame.
    all.extend(frame.map(|frame| Placed { name, piece, frame }));
}

/// Trunnion axes of one joint: of the yoke above, of a double's housing, of the yoke below.
struct Ears {
    above: Vec3,
    housing: Option<Vec3>,
    below: Vec3,
    /// Axes of the shafts above and below, toward the gear.
    axes: [Vec3; 2],
}

/// From the trunnion axis of a shaft's upper yoke to its frame's x (rad).
fn turn(spec: &Spec, i: usize, result: &ShaftResult) -> f64 {
    match (spec.shafts.get(i), spec.joints.get(i), spec.joints.get(i + 1)) {
        (Some(shaft), Some(above), Some(below)) => {
            turn_from_trunnion(shaft, [&above.lower, &below.upper], &result.twist)
        }
        _ => 0.0,
    }
}

fn ears(spec: &Spec, solution: &Solution) -> Vec<Ears> {
    let Some(first) = solution.shafts.first() else { return Vec::new() };
    let below = first.frame.x.turned(first.frame.z, -turn(spec, 0, first));
    let square = |axis: Vec3, to: Vec3| axis.cross(to).unit().unwrap_or(to);
    let between = |crosses: &[Vec3]| match crosses {
        [upper, lower] => (*lower - *upper).unit(),
        _ => None,
    };
    let mut all: Vec<Ears> = Vec::new();
    for (j, joint) in solution.joints.iter().enumerate() {
        let middle = between(&joint.crosses);
        let before = j.checked_sub(1).and_then(|i| solution.shafts.get(i));
        let axes = [
            before.map_or(spec.column.axis, |shaft| shaft.frame.z),
            solution.shafts.get(j).map_or(spec.gear.axis, |shaft| shaft.frame.z),
        ];
        // From the column's end of a shaft to the gear's by its twist; at the first joint back from the yoke below.
        all.push(if let (Some(shaft), Some(upper)) = (before, all.last()) {
            let above = upper.below.turned(shaft.frame.z, shaft.twist.set.to_radians());
            let housing = middle.map(|axis| square(axis, above));
            Ears { above, housing, below: square(axes[1], housing.unwrap_or(above)), axes }
        } else {
            let housing = middle.map(|axis| square(axis, below));
            Ears { above: square(axes[0], housing.unwrap_or(below)), housing, below, axes }
        });
    }
    all
}

/// Normal of the flats of a shaft (or across it, without) whose hub's ears lie along a direction.
fn flats(ears: Vec3, axis: Vec3, hub: &Hub) -> Vec3 {
    hub.ears.map_or(ears, |angle| ears.turned(axis, std::f64::consts::FRAC_PI_2 - angle))
}

fn place_joint(all: &mut Vec<Placed>, joint: &Joint, crosses: &[Vec3], ears: &Ears) {
    let (Some(&upper), Some(&lower)) = (crosses.first(), crosses.last()) else { return };
    let name = &joint.name;
    let yoke = |hub: &Hub, sign: f64| {
        let clock = hub.ears.map_or(0.0, |angle| sign * (90.0 - angle.to_degrees()));
        let Hub { reach, depth, .. } = *hub;
        Piece::Yoke(Yoke { swing: joint.swing, hub: joint.hub, reach, depth, fits: hub.fits.shape, clock })
    };
    let [above, below] = ears.axes;
    let upper_frame = Frame::from_z_x(upper, -above, ears.above);
    add(all, format!("joint {name}, column-side yoke"), yoke(&joint.upper, -1.0), upper_frame);
    let lower_frame = Frame::from_z_x(lower, below, ears.below);
    add(all, format!("joint {name}, gear-side yoke"), yoke(&joint.lower, 1.0), lower_frame);
    let cross = Piece::Cross { swing: joint.swing };
    let Some(housing) = ears.housing else {
        add(all, format!("joint {name}, cross"), cross, Frame::from_x_y(upper, ears.above, ears.below));
        return;
    };
    add(all, format!("joint {name}, column-side cross"), cross, Frame::from_x_y(upper, ears.above, housing));
    add(all, format!("joint {name}, gear-side cross"), cross, Frame::from_x_y(lower, housing, ears.below));
    let between = lower - upper;
    let piece = Piece::Housing { swing: joint.swing, span: between.length() };
    add(all, format!("joint {name}, housing"), piece, Frame::from_z_x(upper, between, housing));
}

/// A product of the assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct Definition {
    /// What it is.
    pub piece: Piece,
    /// What it is called and what is said of it.
    pub identity: Identity,
    /// Red, green and blue, 0 to 1.
    pub colour: [f64; 3],
}

/// Note on what stands for a bought part whose true shape is not known.
pub const ENVELOPE: &str = "envelope, not for manufacture";

/// The products of an assembly, each once, and for each thing placed the number of its product.
pub fn definitions(spec: &Spec, solution: &Solution, placed: &[Placed]) -> (Vec<Definition>, Vec<usize>) {
    let mut all: Vec<Definition> = Vec::new();
    let mut of = Vec::with_capacity(placed.len());
    for thing in placed {
        let known = all.iter().position(|definition| definition.piece == thing.piece);
        of.push(known.unwrap_or(all.len()));
        if known.is_none() {
            let before = all.iter().filter(|other| kind(other.piece) == kind(thing.piece)).count();
            let identity = identify(spec, solution, thing, before + 1);
            all.push(Definition { piece: thing.piece, identity, colour: colour(thing.piece) });
        }
    }
    (all, of)
}

/// The kind of an envelope, by which they are numbered; empty for a part that has a name of its own.
const fn kind(piece: Piece) -> &'static str {
    match piece {
        Piece::Yoke(_) => "yoke",
        Piece::Cross { .. } => "cross",
        Piece::Housing { .. } => "housing",
        Piece::Stub { .. } => "stub",
        Piece::Member { .. }
        | Piece::Plate(_)
        | Piece::Doubler(_)
        | Piece::Liner(_)
        | Piece::Rail(_)
        | Piece::Obstacle(_) => "",
    }
}

fn identify(spec: &Spec, solution: &Solution, thing: &Placed, number: usize) -> Identity {
    let own = match thing.piece {
        Piece::Member { shaft, member } => {
            let members = member::members(spec, solution, shaft);
            members.get(member).map(|member| identity::shaft(spec, shaft, member))
        }
        Piece::Plate(i) => solution.plates.get(i).map(|plate| identity::plate(spec, plate)),
        Piece::Doubler(i) => doubler_part::plates(solution).get(i).map(|plate| identity::plate(spec, plate)),
        Piece::Liner(i) => liner_part::of(solution, i).map(|part| identity::liner(spec, &part)),
        Piece::Rail(i) => solution.rails.get(i).map(|rail| identity::rail(spec, rail)),
        _ => None,
    };
    own.unwrap_or_else(|| {
        let name = match kind(thing.piece) {
            "" => format!("{}, {ENVELOPE}", thing.name),
            kind => format!("{kind} {number}, {ENVELOPE}"),
        };
        identity::stand_in(spec, &name)
    })
}

/// Muted colours that tell the kinds apart: what is made, what is bought, what is there.
const fn colour(piece: Piece) -> [f64; 3] {
    match piece {
        Piece::Member { .. } => [0.40, 0.54, 0.70],
        Piece::Plate(_) | Piece::Doubler(_) | Piece::Liner(_) => [0.46, 0.62, 0.46],
        Piece::Rail(_) => [0.62, 0.60, 0.50],
        Piece::Yoke(_) | Piece::Cross { .. } | Piece::Housing { .. } => [0.80, 0.66, 0.36],
        Piece::Stub { .. } => [0.58, 0.58, 0.60],
        Piece::Obstacle(_) => [0.70, 0.46, 0.42],
    }
}

/// What the whole is called.
pub fn whole(spec: &Spec) -> Identity {
    let description = "the linkage in vehicle axes: x rearward, y to the right, z up".to_owned();
    Identity { description, ..identity::stand_in(spec, "assembly") }
}

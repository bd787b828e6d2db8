//! Openings round parts of the linkage, in a plate at any angle.

use std::f64::consts::{PI, TAU};

use super::bodies::{self, Room, RoomShape};
use super::chain::Chain;
use super::clearance::solid;
use super::outline::{rounded, stretched};
use super::plate::{axis_end, half_turn};
use super::solution::OpeningResult;
use super::sweep::Sweep;
use super::travel::{Carried, Linkage, moving};
use crate::diagnostic::Diagnostic;
use crate::geometry::distance::Solid;
use crate::geometry::enclose::{self, Enclosure};
use crate::geometry::{Frame, Vec2, Vec3};
use crate::spec::Spec;
use crate::spec::types::{Body, Moved, Opening, OpeningShape};

/// Least angle (rad) between an axis and the plate it passes: under a degree the ellipse is over 57 times as long
/// as wide and no opening.
const LEAST_SLANT: f64 = PI / 180.0;

/// A slant (sine) under this is none: the ellipse is round to 1e-14 of its size.
const SQUARE: f64 = 1e-7;

/// Places looked at round a cylinder or ball; the arc between two rises above its chord by 2.4e-6 of its radius.
const ROUND: u32 = 1440;

/// More parts than any one place has: the places of a motion.
const MANY: usize = 8;

/// Likewise round each of many; the arc rises above its chord by 1.5e-4 of its radius.
const ROUND_OF_MANY: u32 = 180;

/// Of a bar that passes all the way.
const ENDLESS: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];

/// How far (mm) beyond the plate column or gear is looked at: over what any motion shifts them along themselves.
const STRETCH: f64 = 100.0;

/// A part's surface, grown by the clearance, in the plate's frame.
enum Grown {
    /// A round bar along `axis` (unit) from `at`, between `ends` along it.
    Bar { at: Vec3, axis: Vec3, radius: f64, ends: [f64; 2] },
    /// A ball.
    Ball { at: Vec3, radius: f64 },
}

/// What passes through a plate.
pub(super) struct Passing<'a> {
    pub(super) spec: &'a Spec,
    pub(super) chain: &'a Chain,
    /// The linkage, where motions move column, gear or a bearing.
    pub(super) linkage: Option<&'a Linkage>,
    /// Index of the plate.
    pub(super) plate: usize,
    /// Of the plate (mm).
    pub(super) thick: f64,
}

impl Passing<'_> {
    /// One opening as cut through the whole thickness of the plate, or flange, of that frame.
    ///
    /// Without a shape, and where nothing moves: the hull of the ellipses in which the grown round of column, shaft or
    /// gear passes face and back. With one: the least such shape round everything of the grown part that lies between
    /// face and back over all motions; the ellipse where no shape is asked for. Of a joint that is a ball of its swing
    /// about each cross, and its hubs from the cross to their outer faces.
    pub(super) fn cut(&self, frame: &Frame, opening: &Opening) -> Result<OpeningResult, Diagnostic> {
        let Self { spec, chain, thick, .. } = *self;
        let line = axis_end(spec, chain, opening.around).zip(round_diameter(spec, opening.around));
        let Some(((end, axis), diameter)) = line else {
            let mut parts = joint_parts(spec, chain, frame, opening);
            let rooms = bodies::moved_rooms(spec, chain);
            let spread = self.over_motions(frame, opening, &rooms, &mut parts);
            return shaped(self, opening, (&parts, spread), Vec2::new(1.0, 0.0));
        };
        let radius = diameter / 2.0 + opening.clearance;
        let along = Vec3::new(axis.dot(frame.x), axis.dot(frame.y), axis.dot(frame.z));
        if along.z.abs() < libm::sin(LEAST_SLANT) {
            let slant = libm::asin(along.z.abs().min(1.0)).to_degrees();
            return Err(Diagnostic::error(
                "opening-along-plate",
                format!(
                    "the axis of {:?} meets the plate at {slant:.2} deg, at least {:.0} deg is wanted for opening {:?}",
                    spec.body_name(opening.around),
                    LEAST_SLANT.to_degrees(),
                    opening.name
                ),
            )
            .help("check the plate's three points: it lies along this axis"));
        }
        let at = frame.local(end);
        // From drawn face to back the axis moves by this much in the plane a mm of thickness.
        let drift = Vec2::new(along.x, along.y) * (1.0 / along.z);
        let centre = Vec2::new(at.x, at.y) - drift * at.z;
        let back = centre - drift * thick;
        let slant = drift.length();
        let mut parts = vec![Grown::Bar { at, axis: along, radius, ends: ENDLESS }];
        let rooms = match opening.around {
            // The stretch of the column or gear by the plate, whichever of its parts that is.
            Body::Column | Body::Gear => {
                let (meets, half) = (-at.z / along.z, (radius + thick) / along.z.abs() + STRETCH);
                let [from, to] = [meets - half, meets + half].map(|by| end + axis * by);
                vec![Room { body: opening.around, shape: RoomShape::Cylinder { from, to, radius: diameter / 2.0 } }]
            }
            Body::Shaft(_) | Body::Joint(_) => bodies::moved_rooms(spec, chain),
        };
        let spread = self.over_motions(frame, opening, &rooms, &mut parts);
        if opening.shape.is_some() || spread.is_some() {
            let toward = if slant > SQUARE { drift * (1.0 / slant) } else { Vec2::new(1.0, 0.0) };
            return shaped(self, opening, (&parts, spread), toward);
        }
        let (major, toward) = if slant > SQUARE {
            (radius / along.z.abs(), (back - centre).unit().unwrap_or_else(|| drift * (1.0 / slant)))
        } else {
            (radius, Vec2::new(1.0, 0.0))
        };
        let angle = if slant > SQUARE { half_turn(toward.angle().to_degrees()) } else { 0.0 };
        let centres = if slant > SQUARE { [centre, back] } else { [centre, centre] };
        Ok(OpeningResult {
            over_motions: None,
            motion_spread: None,
            name: opening.name.clone(),
            shape: None,
            centre,
            major: 2.0 * major,
            minor: 2.0 * radius,
            angle,
            outline: stretched(centres, toward * major, radius),
        })
    }

    /// Adds the part wherever motions carry it through the plate; the most (mm) by which it is taken too large, `None`
    /// where it does not move against the plate.
    fn over_motions(&self, frame: &Frame, opening: &Opening, rooms: &[Room], parts: &mut Vec<Grown>) -> Option<f64> {
        let Self { spec, linkage, thick, .. } = *self;
        let more = opening.clearance;
        // Above the face or below the back, all of it.
        let far = |room: &Room, slide: f64| {
            let (ends, radius) = match room.shape {
                RoomShape::Cylinder { from, to, radius } => ([from, to], radius),
                RoomShape::Ball { centre, radius } => ([centre; 2], radius),
            };
            let [a, b] = ends.map(|end| frame.local(end).z);
            let reach = radius + more + slide;
            a.min(b) - reach > 0.0 || a.max(b) + reach < -thick
        };
        let core = Solid::Convex(solid(RoomShape::Ball { centre: frame.origin, radius: self.reach() }));
        let carrier = Carried::new(vec![core], moving(&spec.motions, Moved::Plate(self.plate)));
        let places = Sweep { spec, linkage, carrier, far: &far }.places(&[opening.around], rooms)?;
        let bar = round_diameter(spec, opening.around);
        let mut spread = 0.0f64;
        for (room, slide) in places {
            let grown = more + slide;
            match room.shape {
                RoomShape::Ball { centre, radius } => {
                    parts.push(Grown::Ball { at: frame.local(centre), radius: radius + grown });
                }
                RoomShape::Cylinder { from, to, radius } => {
                    // The housing of a shaft's bearing stands on the plate, or beside it.
                    if bar.is_some_and(|bar| (2.0 * radius - bar).abs() > f64::EPSILON * bar) {
                        continue;
                    }
                    let (from, to) = (frame.local(from), frame.local(to));
                    let Some(axis) = (to - from).unit() else { continue };
                    let ends = if bar.is_some() { ENDLESS } else { [-grown, (to - from).length() + grown] };
                    parts.push(Grown::Bar { at: from, axis, radius: radius + grown, ends });
                }
            }
            spread = spread.max(2.0 * slide);
        }
        Some(spread)
    }

    /// From the frame's origin to the farthest corner of the plate (mm).
    fn reach(&self) -> f64 {
        let corners = self.spec.plates.get(self.plate).map(|plate| rounded(&plate.outline)).unwrap_or_default();
        corners.iter().map(|corner| corner.at.length()).fold(0.0, f64::max) + self.thick
    }
}

/// Largest diameter of the round that passes: of the column the tube, where there is one.
fn round_diameter(spec: &Spec, body: Body) -> Option<f64> {
    match body {
        Body::Column => Some(spec.column.tube.unwrap_or(0.0).max(spec.column.form.diameter())),
        Body::Gear => Some(spec.gear.form.diameter()),
        Body::Shaft(i) => Some(spec.shafts.get(i)?.diameter()),
        Body::Joint(_) => None,
    }
}

fn joint_parts(spec: &Spec, chain: &Chain, frame: &Frame, opening: &Opening) -> Vec<Grown> {
    let Body::Joint(i) = opening.around else { return Vec::new() };
    let Some(joint) = spec.joints.get(i) else { return Vec::new() };
    let (upper, lower, more) = (chain.upper_cross(i), chain.lower_cross(i), opening.clearance);
    let mut parts: Vec<Grown> = [upper, lower]
        .map(|cross| Grown::Ball { at: frame.local(cross), radius: joint.swing / 2.0 + more })
        .into_iter()
        .collect();
    let mut bar = |from: Vec3, to: Vec3| {
        let (from, to) = (frame.local(from), frame.local(to));
        if let Some(axis) = (to - from).unit() {
            let ends = [-more, (to - from).length() + more];
            parts.push(Grown::Bar { at: from, axis, radius: joint.hub / 2.0 + more, ends });
        }
    };
    bar(upper, upper - chain.axes[i] * joint.upper.reach);
    bar(lower, lower + chain.axes[i + 1] * joint.lower.reach);
    if joint.double.is_some() {
        bar(upper, lower);
    }
    parts
}

/// Outermost places of a grown part between the planes at height 0 and −`thick`, seen square to them.
fn shadow(part: &Grown, thick: f64, round: u32, points: &mut Vec<Vec2>) {
    let turns = (0..round).map(|i| libm::sincos(TAU * f64::from(i) / f64::from(round)));
    match *part {
        Grown::Ball { at, radius } => {
            let off = (at.z.max(0.0)).max(-thick - at.z);
            if off < radius {
                let round = (radius * radius - off * off).sqrt();
                points.extend(turns.map(|(s, c)| Vec2::new(at.x + round * c, at.y + round * s)));
            }
        }
        Grown::Bar { at, axis, radius, ends } => {
            let a = axis.any_normal();
            let b = axis.cross(a);
            let seen = |p: Vec3| Vec2::new(p.x, p.y);
            for (s, c) in turns {
                // One straight of the surface, as far as it lies between the planes.
                let start = at + (a * c + b * s) * radius;
                let [mut low, mut high] = ends;
                if axis.z.abs() > f64::EPSILON {
                    let (p, q) = (-start.z / axis.z, (-thick - start.z) / axis.z);
                    (low, high) = (low.max(p.min(q)), high.min(p.max(q)));
                } else if start.z > 0.0 || start.z < -thick {
                    continue;
                }
                if low <= high {
                    points.extend([low, high].map(|along| seen(start + axis * along)));
                }
            }
            // Where the rim of an end passes a plane.
            for end in ends.into_iter().filter(|end| end.is_finite()) {
                let middle = at + axis * end;
                let (rise, top) = (radius * libm::hypot(a.z, b.z), libm::atan2(b.z, a.z));
                for level in [0.0, -thick] {
                    let ratio = (level - middle.z) / rise;
                    if ratio.abs() <= 1.0 {
                        let off = libm::acos(ratio);
                        points.extend([top - off, top + off].map(|turn| {
                            let (s, c) = libm::sincos(turn);
                            seen(middle + (a * c + b * s) * radius)
                        }));
                    }
                }
            }
        }
    }
}

/// The opening in the shape asked for, the long axis toward `hint` where that is as good.
fn shaped(
    passing: &Passing<'_>,
    opening: &Opening,
    (parts, spread): (&[Grown], Option<f64>),
    hint: Vec2,
) -> Result<OpeningResult, Diagnostic> {
    let usual = if spread.is_some() { OpeningShape::Ellipse } else { OpeningShape::Round };
    let shape = opening.shape.unwrap_or(usual);
    let round = if parts.len() > MANY { ROUND_OF_MANY } else { ROUND };
    let mut points = Vec::new();
    for part in parts {
        shadow(part, passing.thick, round, &mut points);
    }
    let found = match shape {
        OpeningShape::Ellipse => enclose::ellipse(&points),
        OpeningShape::Round => enclose::circle(&points),
        OpeningShape::Slot => enclose::slot(&points, hint),
    };
    let Some(Enclosure { centre, half_length, half_width, along }) = found else {
        let body = passing.spec.body_name(opening.around);
        return Err(Diagnostic::error(
            "opening-off-plate",
            format!("{body:?} does not reach the plate, so opening {:?} has nothing to clear", opening.name),
        )
        .help("name what passes through the plate there, or check the plate's place"));
    };
    // What stands over the chords between the places looked at.
    let over = half_length * 2.0 * (1.0 - libm::cos(PI / f64::from(round)));
    let (half_length, half_width) = (half_length + over, half_width + over);
    let is_round = half_length - half_width < 1e-9 * half_length;
    let along = if is_round { Vec2::new(1.0, 0.0) } else { along };
    let outline = match shape {
        OpeningShape::Slot => {
            let half = along * (half_length - half_width);
            stretched([centre - half, centre + half], along * half_width, half_width)
        }
        OpeningShape::Ellipse | OpeningShape::Round => stretched([centre, centre], along * half_length, half_width),
    };
    Ok(OpeningResult {
        over_motions: None,
        motion_spread: spread,
        name: opening.name.clone(),
        shape: Some(shape.word().into()),
        centre,
        major: 2.0 * half_length,
        minor: 2.0 * half_width,
        angle: half_turn(along.angle().to_degrees()),
        outline,
    })
}

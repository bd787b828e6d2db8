//! Faces of a STEP file by what they are on a shaft.

use std::f64::consts::TAU;

use super::step::{ALLOWED, SQUARE};
use super::step_file::{ConeFace, CylinderFace, PlaneFace, StepMeasure};
use crate::geometry::{Vec2, Vec3};

/// A hole toward the shaft's axis, put together from its faces.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hole {
    pub(super) toward: Vec2,
    pub(super) z: f64,
    /// From the shaft's axis to its tip or floor.
    pub(super) bottom: f64,
    /// Included angle (deg).
    pub(super) angle: f64,
    /// Radius of its straight wall.
    pub(super) wall: Option<f64>,
    /// How far its axis passes beside the shaft's.
    pub(super) aside: f64,
}

/// A file's faces by what they are on a shaft.
pub(super) struct Sorted {
    /// Outermost planes across the shaft: those that look toward the column, then toward the gear.
    pub(super) ends: [Option<f64>; 2],
    /// Other planes across the shaft, the same way.
    pub(super) shoulders: [Vec<f64>; 2],
    /// Planes along the shaft that look away from its axis.
    pub(super) flats: Vec<PlaneFace>,
    /// Planes along the shaft that look toward its axis.
    pub(super) hole_flats: Vec<PlaneFace>,
    pub(super) rounds: Vec<f64>,
    pub(super) bores: Vec<f64>,
    pub(super) chamfers: Vec<ConeFace>,
    pub(super) holes: Vec<Hole>,
    pub(super) grooves: Vec<CylinderFace>,
    pub(super) strays: Vec<String>,
}

impl Sorted {
    pub(super) fn new(found: &StepMeasure) -> Self {
        let mut sorted = Self {
            ends: [None; 2],
            shoulders: [Vec::new(), Vec::new()],
            flats: Vec::new(),
            hole_flats: Vec::new(),
            rounds: Vec::new(),
            bores: Vec::new(),
            chamfers: Vec::new(),
            holes: Vec::new(),
            grooves: Vec::new(),
            strays: Vec::new(),
        };
        let mut walls = Vec::new();
        for face in &found.cylinders {
            let along = along(face.axis);
            let beside = across(face.origin).length();
            match (along, face.hollow) {
                (Some(true), hollow) if beside <= ALLOWED => {
                    if hollow { &mut sorted.bores } else { &mut sorted.rounds }.push(face.radius);
                }
                // A wall's axis meets the shaft's, a pinch bolt's passes it by.
                (Some(false), true) => {
                    if aside(face.origin, face.axis) <= face.radius / 10.0 {
                        walls.push(*face);
                    } else {
                        sorted.grooves.push(*face);
                    }
                }
                _ => sorted.strays.push(format!("cylinder of {:.3} mm radius", face.radius)),
            }
        }
        for face in &found.cones {
            match (along(face.axis), face.hollow) {
                (Some(true), false) => sorted.chamfers.push(*face),
                (Some(false), true) => {
                    let toward = across(face.axis);
                    let angle = 2.0 * face.half_angle.to_degrees();
                    let hole = Hole {
                        toward,
                        z: face.apex.z,
                        bottom: across(face.apex).dot(toward),
                        angle,
                        wall: take_wall(&mut walls, face.apex, face.axis),
                        aside: aside(face.apex, face.axis),
                    };
                    sorted.holes.push(hole);
                }
                _ => sorted.strays.push(format!("cone at {:.3} mm", face.apex.z)),
            }
        }
        sorted.strays.extend(found.others.iter().map(|kind| (*kind).to_owned()));
        sorted.strays.extend(found.elliptic.iter().map(|face| format!("elliptic face at {:.3} mm", face.origin.z)));
        for face in &found.planes {
            match along(face.normal) {
                Some(true) => sorted.end(face.normal.z, face.distance),
                // A floor of a dimple looks outward too; its walls tell it from a flat.
                Some(false) if face.distance < 0.0 => sorted.hole_flats.push(*face),
                Some(false) => sorted.flats.push(*face),
                None => sorted.strays.push(format!("plane {:.3} mm from the origin", face.distance)),
            }
        }
        sorted.floor(walls);
        sorted
    }

    /// A plane across the shaft: the farthest each way ends it, the others are shoulders.
    fn end(&mut self, up: f64, distance: f64) {
        let way = usize::from(up >= 0.0);
        let at = if way == 0 { -distance } else { distance };
        let farther = |a: f64, b: f64| if way == 0 { a < b } else { a > b };
        let inner = match self.ends[way] {
            Some(before) if farther(before, at) => Some(at),
            before => {
                self.ends[way] = Some(at);
                before
            }
        };
        self.shoulders[way].extend(inner);
    }

    /// Walls without a cone stand on a floor: a plane across their axis whose edge is the wall's own circle.
    fn floor(&mut self, walls: Vec<CylinderFace>) {
        for wall in walls {
            let floor = self.flats.iter().position(|plane| {
                let beside = plane.edge - wall.origin;
                let radius = (beside - wall.axis * beside.dot(wall.axis)).length();
                plane.normal.cross(wall.axis).length() <= SQUARE && (radius - wall.radius).abs() <= ALLOWED
            });
            let Some(index) = floor else {
                self.strays.push(format!("wall without a bottom at {:.3} mm", wall.origin.z));
                continue;
            };
            let floor = self.flats.remove(index);
            self.holes.push(Hole {
                toward: across(floor.normal),
                z: wall.origin.z,
                bottom: floor.distance,
                angle: 180.0,
                wall: Some(wall.radius),
                aside: aside(wall.origin, wall.axis),
            });
        }
    }

    pub(super) fn strays(self) -> Vec<String> {
        let Self { holes, grooves, mut strays, .. } = self;
        strays.extend(
            holes
                .iter()
                .map(|hole| format!("dimple too many, at {:.3} mm, clock {:.1} deg", hole.z, clock(hole.toward))),
        );
        strays.extend(grooves.iter().map(|groove| format!("pinch groove too many, at {:.3} mm", groove.origin.z)));
        strays
    }
}

/// Along the shaft, or square to it, or neither.
pub(super) fn along(axis: Vec3) -> Option<bool> {
    if across(axis).length() <= SQUARE { Some(true) } else { (axis.z.abs() <= SQUARE).then_some(false) }
}

/// The part of a vector across the shaft.
pub(super) const fn across(v: Vec3) -> Vec2 {
    Vec2::new(v.x, v.y)
}

/// How far a line square to the shaft passes beside the shaft's axis.
pub(super) fn aside(origin: Vec3, axis: Vec3) -> f64 {
    across(origin).cross(across(axis)).abs()
}

/// The straight wall on the same axis as a cone, and on its side of the shaft.
pub(super) fn take_wall(walls: &mut Vec<CylinderFace>, apex: Vec3, axis: Vec3) -> Option<f64> {
    let index = walls.iter().position(|wall| {
        let beside = wall.origin - apex;
        let off = beside - axis * beside.dot(axis);
        wall.axis.cross(axis).length() <= SQUARE && off.length() <= ALLOWED && beside.dot(axis) >= 0.0
    })?;
    Some(walls.swap_remove(index).radius)
}

/// Degrees from +x about +z, 0 to 360.
pub(super) fn clock(toward: Vec2) -> f64 {
    toward.angle().rem_euclid(TAU).to_degrees()
}

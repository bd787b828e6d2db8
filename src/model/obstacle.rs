//! Balls and bent tubes that stand in the way.

use super::solid::{face, line, ring, vertex};
use super::{Curve, Edge, Face, ModelError, Shape, Solid, Surface, Vertex, Wire};
use crate::geometry::{Frame, Vec3};

/// Turns smaller than this (rad) are none: a part in a thousand million of the diameter.
const STRAIGHT: f64 = 1e-9;

/// A ball: one sphere with a seam from pole to pole.
///
/// # Errors
/// None for a ball with a size.
pub fn ball(subject: &str, centre: Vec3, radius: f64) -> Result<Solid, ModelError> {
    let axis = Vec3::new;
    let frame = Frame { origin: centre, x: axis(1.0, 0.0, 0.0), y: axis(0.0, 1.0, 0.0), z: axis(0.0, 0.0, 1.0) };
    let (south, north) = (vertex(centre - frame.z * radius), vertex(centre + frame.z * radius));
    // From pole to pole over the frame's x.
    let upright = Frame { x: frame.x, y: frame.z, z: -frame.y, ..frame };
    let quarter = std::f64::consts::FRAC_PI_2;
    let seam = Curve::Arc { frame: upright, radii: [radius, radius], range: [-quarter, quarter] };
    let seam = Edge::new_unchecked(&south, &north, seam);
    let wire = Wire::from(vec![seam.clone(), seam.inverse()]);
    Solid::close(subject, vec![face(vec![wire], Surface::convex(frame, Shape::Sphere { radius }))])
}

/// A round tube without its bore, from the first corner of its path to the last, its ends square.
///
/// At the inner corners it is bent to a centre-line radius, or mitred without one.
///
/// # Errors
/// A path that has no length or turns back on itself; bends that leave no room on a leg are refused with the spec.
pub fn tube(subject: &str, path: &[Vec3], radius: f64, bend: Option<f64>) -> Result<Solid, ModelError> {
    let wrong = || ModelError::new(subject, "its path has no length, or turns back on itself");
    let mut ways = Vec::new();
    for pair in path.windows(2) {
        let &[from, to] = pair else { continue };
        ways.push((to - from).unit().ok_or_else(wrong)?);
    }
    let (Some(&start), Some(&end), Some(&first), Some(&last)) = (path.first(), path.last(), ways.first(), ways.last())
    else {
        return Err(wrong());
    };
    let mut faces = Vec::new();
    // A side of the tube that stays the same along it, to put the seam on.
    let mut seam = first.any_normal();
    let mut from = Rim::round(Frame { origin: start, x: seam, y: first.cross(seam), z: first }, radius);
    faces.push(face(
        vec![Wire::from(vec![from.edge.inverse()])],
        Surface::plane(Frame { origin: start, x: seam, y: -first.cross(seam), z: -first }),
    ));
    for ((&corner, &way), &next) in path.iter().skip(1).zip(&ways).zip(ways.iter().skip(1)) {
        let turn = way.angle_to(next);
        if turn <= STRAIGHT {
            continue;
        }
        let axis = way.cross(next).unit().ok_or_else(wrong)?;
        let leg = Frame { origin: corner, x: seam, y: way.cross(seam), z: way };
        if let Some(bend) = bend {
            let back = bend * libm::tan(turn / 2.0);
            let (near, far) = (corner - way * back, corner + next * back);
            let to = Rim::round(Frame { origin: near, ..leg }, radius);
            faces.push(straight(&from, &to, &leg, radius));
            let turned = seam.turned(axis, turn);
            from = Rim::round(Frame { origin: far, x: turned, y: next.cross(turned), z: next }, radius);
            let inward = axis.cross(way);
            let round = Frame { origin: near + inward * bend, x: -inward, y: way, z: axis };
            faces.push(bent(&to, &from, &round, [bend, radius], (seam, turn)));
            seam = turned;
        } else {
            // Along the seam to the plane that parts the two legs in the middle.
            let normal = (way + next).unit().ok_or_else(wrong)?;
            let at = seam * radius - way * (seam.dot(normal) * radius / way.dot(normal));
            let to = Rim::mitre(corner, at, normal, axis, [radius / libm::cos(turn / 2.0), radius]);
            faces.push(straight(&from, &to, &leg, radius));
            seam = (at - next * at.dot(next)).unit().ok_or_else(wrong)?;
            from = to;
        }
    }
    let leg = Frame { origin: end, x: seam, y: last.cross(seam), z: last };
    let to = Rim::round(leg, radius);
    faces.push(straight(&from, &to, &leg, radius));
    faces.push(face(vec![Wire::from(vec![to.edge])], Surface::plane(leg)));
    Solid::close(subject, faces)
}

/// Once round the tube, from the seam anticlockwise about its way.
struct Rim {
    corner: Vertex,
    edge: Edge,
}

impl Rim {
    fn round(frame: Frame, radius: f64) -> Self {
        let (corner, edge) = ring(Curve::circle(frame, radius));
        Self { corner, edge }
    }

    /// The ellipse in a plane that parts two legs, from a place of it off the corner.
    fn mitre(corner: Vec3, at: Vec3, normal: Vec3, across: Vec3, radii: [f64; 2]) -> Self {
        let x = across.cross(normal);
        let frame = Frame { origin: corner, x, y: normal.cross(x), z: normal };
        let start = libm::atan2(at.dot(frame.y) / radii[1], at.dot(frame.x) / radii[0]);
        let range = [start, start + std::f64::consts::TAU];
        let (corner, edge) = ring(Curve::Arc { frame, radii, range });
        Self { corner, edge }
    }
}

/// The wall from one rim to the next, its seam between them.
fn wall(from: &Rim, to: &Rim, seam: Edge, surface: Surface) -> Face {
    let back = seam.inverse();
    face(vec![Wire::from(vec![from.edge.clone(), seam, to.edge.inverse(), back])], surface)
}

fn straight(from: &Rim, to: &Rim, frame: &Frame, radius: f64) -> Face {
    wall(from, to, line(&from.corner, &to.corner), Surface::convex(*frame, Shape::Cylinder { radius }))
}

fn bent(from: &Rim, to: &Rim, frame: &Frame, [bend, radius]: [f64; 2], (seam, turn): (Vec3, f64)) -> Face {
    let (reach, height) = (bend + radius * seam.dot(frame.x), radius * seam.dot(frame.z));
    let circle = Frame { origin: frame.origin + frame.z * height, ..*frame };
    let curve = Curve::Arc { frame: circle, radii: [reach, reach], range: [0.0, turn] };
    let seam = Edge::new_unchecked(&from.corner, &to.corner, curve);
    wall(from, to, seam, Surface::convex(*frame, Shape::Torus { radius: bend, tube: radius }))
}

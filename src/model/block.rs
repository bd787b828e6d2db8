//! Blocks: six plane faces, square or skew, with pins standing on some of them.

use super::solid::{face, line, ring, vertex};
use super::{Curve, Edge, Face, ModelError, Shape, Solid, Surface, Vertex, Wire};
use crate::geometry::{Frame, Vec3};

/// A round pin in the middle of a face.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pin {
    /// Edge of the block along which it stands out.
    pub(super) along: usize,
    /// mm.
    pub(super) radius: f64,
    /// From the face to its tip (mm).
    pub(super) length: f64,
}

/// A block from one corner and its three edges.
///
/// # Errors
/// Edges in one plane.
pub fn block(subject: &str, corner: Vec3, edges: [Vec3; 3]) -> Result<Solid, ModelError> {
    with_pins(subject, corner, edges, &[])
}

/// The same with pins on both faces across an edge's direction; a pin must fit in its face.
pub(super) fn with_pins(subject: &str, corner: Vec3, [a, b, c]: [Vec3; 3], pins: &[Pin]) -> Result<Solid, ModelError> {
    // Right-handed, so that all faces can be run the same way.
    let edges = if a.cross(b).dot(c) < 0.0 { [b, a, c] } else { [a, b, c] };
    let point = |bits: usize| {
        let part = |k: usize| if bits >> k & 1 == 1 { edges[k] } else { Vec3::default() };
        corner + part(0) + part(1) + part(2)
    };
    let corners: Vec<Vertex> = (0..8).map(|bits| vertex(point(bits))).collect();
    // Along each edge's direction from the corners that do not hold it.
    let sides: Vec<Vec<Option<Edge>>> = (0..3)
        .map(|k| {
            let side = |bits: usize| (bits >> k & 1 == 0).then(|| line(&corners[bits], &corners[bits | 1 << k]));
            (0..8).map(side).collect()
        })
        .collect();
    let flat = || ModelError::new(subject, "its three edges lie in one plane; give three that do not");
    let mut faces = Vec::new();
    for k in 0..3 {
        let (i, j) = ((k + 1) % 3, (k + 2) % 3);
        for high in [false, true] {
            let base = usize::from(high) << k;
            let side = |axis: usize, bits: usize| sides[axis][bits].clone().ok_or_else(flat);
            let mut around = vec![
                side(i, base)?,
                side(j, base | 1 << i)?,
                side(i, base | 1 << j)?.inverse(),
                side(j, base)?.inverse(),
            ];
            if !high {
                around = around.iter().rev().map(Edge::inverse).collect();
            }
            let out = edges[i].cross(edges[j]) * if high { 1.0 } else { -1.0 };
            let frame = Frame::from_z_x(point(base), out, edges[i]).ok_or_else(flat)?;
            let mut wires = vec![Wire::from(around)];
            for pin in pins.iter().filter(|pin| pin.along == k) {
                let middle = point(base) + edges[i] * 0.5 + edges[j] * 0.5;
                wires.push(stand(&mut faces, Frame { origin: middle, ..frame }, pin));
            }
            faces.push(face(wires, Surface::plane(frame)));
        }
    }
    Solid::close(subject, faces)
}

/// Adds a pin's wall and tip; the wire by which its face ends at it.
fn stand(faces: &mut Vec<Face>, foot: Frame, pin: &Pin) -> Wire {
    let tip = Frame { origin: foot.origin + foot.z * pin.length, ..foot };
    let (low, first) = ring(Curve::circle(foot, pin.radius));
    let (high, last) = ring(Curve::circle(tip, pin.radius));
    let seam = line(&low, &high);
    let wall = Wire::from(vec![first.clone(), seam.clone(), last.inverse(), seam.inverse()]);
    faces.push(face(vec![wall], Surface::convex(foot, Shape::Cylinder { radius: pin.radius })));
    faces.push(face(vec![Wire::from(vec![last])], Surface::plane(tip)));
    Wire::from(vec![first.inverse()])
}

//! A closed solid.

use truck_topology::{Shell, Solid as Boundary};

use super::surface::{GAUSS, Step};
use super::{Curve, Edge, Face, ModelError, Surface, Vertex, Wire};
use crate::geometry::Vec3;

/// A solid bounded by one closed shell, mm, in its part's own frame.
#[derive(Debug, Clone)]
pub struct Solid {
    boundary: Boundary<Vec3, Curve, Surface>,
    /// Faces, by their place in the shell, that stand for something else.
    names: Vec<(usize, String)>,
}

impl Solid {
    /// Closes a shell of faces; an error where an edge is not shared by exactly two of them, run in opposite ways.
    pub(super) fn close(subject: &str, faces: Vec<Face>) -> Result<Self, ModelError> {
        let shell: Shell<Vec3, Curve, Surface> = faces.into_iter().collect();
        let boundary = Boundary::try_new(vec![shell])
            .map_err(|error| ModelError::new(subject, format!("the faces do not close: {error}")))?;
        Ok(Self { boundary, names: Vec::new() })
    }

    /// The same with names for some of its faces, by their place among them.
    #[must_use]
    pub(super) fn named(mut self, names: Vec<(usize, String)>) -> Self {
        self.names = names;
        self
    }

    /// What a face is called; empty for most.
    pub fn face_name(&self, index: usize) -> &str {
        self.names.iter().find(|(at, _)| *at == index).map_or("", |(_, name)| name)
    }

    /// Its faces, edges and vertices.
    pub(crate) const fn boundary(&self) -> &Boundary<Vec3, Curve, Surface> {
        &self.boundary
    }

    /// Every face's surface.
    pub fn surfaces(&self) -> Vec<Surface> {
        self.boundary.face_iter().map(Face::surface).collect()
    }

    /// Volume (mm³), by contour integrals over the edges as they are.
    pub fn volume(&self) -> f64 {
        self.measure().volume
    }

    /// Area of the whole outside (mm²).
    pub fn area(&self) -> f64 {
        self.measure().area
    }

    /// Volume, area and centroid, by contour integrals over the edges as they are.
    pub fn measure(&self) -> Measure {
        let mut sum = Step::default();
        for face in self.boundary.face_iter() {
            let surface = face.surface();
            if let Some(part) = surface.patch() {
                sum.volume += part.volume;
                sum.area += part.area;
                sum.moment = sum.moment + part.moment;
                continue;
            }
            for edge in face.boundaries().iter().flatten() {
                let curve = edge.curve();
                let way = if edge.orientation() { 1.0 } else { -1.0 };
                let step = 1.0 / curve.pieces() as f64;
                for piece in 0..curve.pieces() {
                    for (at, weight) in GAUSS.iter().flat_map(|&(a, w)| [(-a, w), (a, w)]) {
                        let (point, derivative) = curve.at(step * (piece as f64 + 0.5 + 0.5 * at));
                        let part = surface.boundary_step(point, derivative);
                        let weight = way * weight * 0.5 * step;
                        sum.volume += weight * part.volume;
                        sum.area += weight * part.area;
                        sum.moment = sum.moment + part.moment * weight;
                    }
                }
            }
        }
        let volume = sum.volume / 3.0;
        Measure { volume, area: sum.area, centroid: sum.moment * (0.25 / volume) }
    }
}

/// How much a solid is, and where its middle lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// mm³.
    pub volume: f64,
    /// Of the whole outside (mm²).
    pub area: f64,
    /// Centroid of the volume (mm).
    pub centroid: Vec3,
}

/// A corner at a point.
pub(super) fn vertex(at: Vec3) -> Vertex {
    Vertex::new(at)
}

/// A straight edge.
pub(super) fn line(from: &Vertex, to: &Vertex) -> Edge {
    Edge::new_unchecked(from, to, Curve::Line { from: from.point(), to: to.point() })
}

/// A closed edge with the one corner where it begins and ends.
pub(super) fn ring(curve: Curve) -> (Vertex, Edge) {
    let corner = vertex(curve.at(0.0).0);
    let edge = Edge::new_unchecked(&corner, &corner, curve);
    (corner, edge)
}

/// A face: its outer wire anticlockwise seen from outside the solid, its inner wires clockwise.
///
/// Seams run twice along one edge, which the checked constructor refuses; that
/// every edge is met once each way is checked when the shell is closed.
pub(super) fn face(wires: Vec<Wire>, surface: Surface) -> Face {
    Face::new_unchecked(wires, surface)
}

//! Solids of sheet metal: rails with what is cut out of them, bent brackets.
//!
//! A sheet is drawn laid open, its development: panels that are flat or bent, and the rims of the metal. Each face of
//! a panel stands twice, as the drawn face and as the back; under every rim stands a wall, square to both. On flats
//! walls are planes and cylinders, and fitted curves carried straight through; on bends a wall along the axis or
//! square to it is a plane, any other is ruled from edge to edge.

mod net;
mod panel;

pub(super) use net::{Rim, contains};
pub(super) use panel::{Bend, Border, Form, Panel};

use net::Side;

use super::prism::Walls;
use super::solid::{face, line, vertex};
use super::{Curve, Edge, Face, ModelError, Solid, Vertex, Wire};
use crate::geometry::{Frame, Vec2, Vec3};

/// Corners nearer than this (mm) are one.
const SAME: f64 = 1e-6;

/// A sheet laid open.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) panels: Vec<Panel>,
    /// mm.
    pub(super) thick: f64,
}

/// A hole in one panel, by the walls it has there.
pub(super) struct Inside {
    /// A place of the development in it.
    pub(super) at: Vec2,
    pub(super) name: String,
    pub(super) walls: Walls,
}

impl Sheet {
    /// The solid within rims, less the insides.
    ///
    /// # Errors
    /// Rims that do not close; a rim askew across a corner that is tighter than the sheet is thick.
    pub(super) fn solid(
        &self,
        subject: &str,
        rims: &[Rim],
        insides: Vec<Inside>,
        metal: &dyn Fn(Vec2) -> bool,
    ) -> Result<Solid, ModelError> {
        let net = net::lay(&self.panels, rims, metal)?;
        let mut build =
            Build { sheet: self, corners: Vec::new(), straight: Vec::new(), faces: Vec::new(), names: Vec::new() };
        let mut edges = Vec::with_capacity(net.rims.len());
        for (rim, panel) in &net.rims {
            edges.push(build.rim(rim, &self.panels[*panel])?);
        }
        let mut walls = Vec::new();
        for (i, (rim, panel)) in net.rims.iter().enumerate() {
            match rim.flush {
                Some(_) => walls.push(i),
                None => build.wall(rim, &self.panels[*panel], &edges[i]),
            }
        }
        build.flush(&net.rims, &walls, &edges);
        let mut insides: Vec<Option<Inside>> = insides.into_iter().map(Some).collect();
        for region in &net.regions {
            let panel = &self.panels[region.panel];
            let (mut front, mut back) = (Vec::new(), Vec::new());
            for ring in &region.rings {
                let sides: Vec<[Option<Edge>; 2]> = ring
                    .iter()
                    .map(|side| match *side {
                        Side::Rim(i) => [edges[i].back.clone(), Some(edges[i].front.clone())],
                        Side::Fold(from, to) => build.fold(panel, [from, to]),
                    })
                    .collect();
                front.push(sides.iter().filter_map(|[_, front]| front.clone()).collect::<Wire>());
                back.push(
                    sides.iter().rev().filter_map(|[back, _]| back.as_ref().map(Edge::inverse)).collect::<Wire>(),
                );
            }
            for inside in &mut insides {
                let is_here = inside
                    .as_ref()
                    .is_some_and(|inside| panel.borders.iter().all(|border| border.depth(inside.at) > 0.0));
                let Some(Inside { name, walls, .. }) = inside.take_if(|_| is_here) else { continue };
                front.extend(Some(walls.high).filter(|wire| !wire.is_empty()));
                back.extend(Some(walls.low).filter(|wire| !wire.is_empty()));
                build.add(walls.faces, &name);
            }
            build.faces.push(face(front, panel.surface(false, self.thick)));
            if !panel.is_tight(self.thick) {
                build.faces.push(face(back, panel.surface(true, self.thick)));
            }
        }
        Ok(Solid::close(subject, build.faces)?.named(build.names))
    }
}

/// Edges of a rim.
struct RimEdges {
    front: Edge,
    /// `None` where the back is drawn together to a point.
    back: Option<Edge>,
    curves: Option<[Curve; 2]>,
}

/// A solid being put together.
struct Build<'a> {
    sheet: &'a Sheet,
    corners: Vec<Vertex>,
    straight: Vec<Edge>,
    faces: Vec<Face>,
    names: Vec<(usize, String)>,
}

impl Build<'_> {
    /// The corner at a place, one for all that meet there.
    fn corner(&mut self, at: Vec3) -> Vertex {
        if let Some(known) = self.corners.iter().find(|corner| (corner.point() - at).length() <= SAME) {
            return known.clone();
        }
        let new = vertex(at);
        self.corners.push(new.clone());
        new
    }

    /// The straight edge between two corners, one for both faces that meet there; `None` where they are one.
    fn straight(&mut self, from: &Vertex, to: &Vertex) -> Option<Edge> {
        if from == to {
            return None;
        }
        for known in &self.straight {
            if known.front() == from && known.back() == to {
                return Some(known.clone());
            }
            if known.front() == to && known.back() == from {
                return Some(known.inverse());
            }
        }
        let new = line(from, to);
        self.straight.push(new.clone());
        Some(new)
    }

    /// Back and front of a stretch of a border.
    fn fold(&mut self, panel: &Panel, [from, to]: [Vec2; 2]) -> [Option<Edge>; 2] {
        [self.sheet.thick, 0.0].map(|depth| {
            let ends = [from, to].map(|p| self.corner(panel.place(p, depth)));
            self.straight(&ends[0], &ends[1])
        })
    }

    fn rim(&mut self, rim: &Rim, panel: &Panel) -> Result<RimEdges, ModelError> {
        let thick = self.sheet.thick;
        if panel.is_skew(rim.from, &rim.piece, thick) {
            let message = "it runs askew over a corner tighter than the wall is thick";
            return Err(ModelError::new(&rim.name, message));
        }
        let curves = panel.curves(rim.from, &rim.piece, thick)?;
        let mut edge = |depth: f64, curve: Option<&Curve>| {
            let ends = [rim.from, rim.piece.end()].map(|p| self.corner(panel.place(p, depth)));
            match curve {
                _ if ends[0] == ends[1] => None,
                Some(curve) => Some(Edge::new_unchecked(&ends[0], &ends[1], curve.clone())),
                None => Some(line(&ends[0], &ends[1])),
            }
        };
        let [back, front] = match &curves {
            Some([back, front]) => [edge(thick, Some(back)), edge(0.0, Some(front))],
            None => [edge(thick, None), edge(0.0, None)],
        };
        let front = front.ok_or_else(|| ModelError::new(&rim.name, "a piece of its outline has no length"))?;
        Ok(RimEdges { front, back, curves })
    }

    /// The wall under a rim.
    fn wall(&mut self, rim: &Rim, panel: &Panel, edges: &RimEdges) {
        let surface = panel.wall(rim.from, &rim.piece, edges.curves.as_ref(), self.sheet.thick);
        let wire = self.chain(panel, panel, &[(rim, edges)]);
        self.add(vec![face(vec![wire], surface)], &rim.name);
    }

    /// The wire round the walls of rims that follow one another, seen from outside.
    fn chain(&mut self, first: &Panel, last: &Panel, rims: &[(&Rim, &RimEdges)]) -> Wire {
        let mut wire: Vec<Edge> = rims.iter().rev().map(|(_, edges)| edges.front.inverse()).collect();
        let thick = self.sheet.thick;
        let mut post = |panel: &Panel, p: Vec2| {
            let ends = [0.0, thick].map(|depth| self.corner(panel.place(p, depth)));
            self.straight(&ends[0], &ends[1])
        };
        if let (Some((from, _)), Some((to, _))) = (rims.first(), rims.last()) {
            wire.extend(post(first, from.from));
            wire.extend(rims.iter().filter_map(|(_, edges)| edges.back.clone()));
            wire.extend(post(last, to.piece.end()).map(|post| post.inverse()));
        }
        wire.into()
    }

    /// The walls of flush rims: one face for each run of them.
    fn flush(&mut self, rims: &[(Rim, usize)], of: &[usize], edges: &[RimEdges]) {
        let mut left: Vec<usize> = of.to_vec();
        while let Some(start) = left.pop() {
            let mut run = vec![start];
            let follows = |a: usize, b: usize| {
                rims[a].0.flush == rims[b].0.flush && edges[a].front.back() == edges[b].front.front()
            };
            while let Some(i) = left.iter().position(|&i| run.last().is_some_and(|&last| follows(last, i))) {
                run.push(left.swap_remove(i));
            }
            while let Some(i) = left.iter().position(|&i| run.first().is_some_and(|&first| follows(i, first))) {
                run.insert(0, left.swap_remove(i));
            }
            let (&[first, ..], &[.., last]) = (&run[..], &run[..]) else { continue };
            let (rim, panel) = &rims[first];
            let panel = &self.sheet.panels[*panel];
            let surface = panel.wall(rim.from, &rim.piece, edges[first].curves.as_ref(), self.sheet.thick);
            let wires = if follows(last, first) {
                let front = run.iter().rev().map(|&i| edges[i].front.inverse()).collect();
                let back: Wire = run.iter().filter_map(|&i| edges[i].back.clone()).collect();
                vec![front, back]
            } else {
                let sides: Vec<(&Rim, &RimEdges)> = run.iter().map(|&i| (&rims[i].0, &edges[i])).collect();
                vec![self.chain(panel, &self.sheet.panels[rims[last].1], &sides)]
            };
            self.add(vec![face(wires, surface)], &rim.name);
        }
    }

    /// Adds faces of one name.
    fn add(&mut self, faces: Vec<Face>, name: &str) {
        if !name.is_empty() {
            self.names.extend((self.faces.len()..self.faces.len() + faces.len()).map(|at| (at, name.to_owned())));
        }
        self.faces.extend(faces);
    }
}

/// A frame by its origin and the two axes along the development.
pub(super) fn flat(origin: Vec3, x: Vec3, y: Vec3) -> Frame {
    Frame { origin, x, y, z: x.cross(y) }
}

//! Liners and sleeves: a tube with both ends cut flush with the outside of its rail.
//!
//! Every side of the rail cuts the tube in a plane, every corner in a cylinder of its own radius. On a plane the edges
//! are ellipses, circles or straight lines; where a corner's cylinder meets the tube's there is no conic, and they are
//! fitted. Each side's face is put together from the pieces of the two circles' edges on it and what lies of its own
//! borders between them.

use std::f64::consts::{PI, TAU};

mod pieces;
mod ring;

use pieces::{Meeting, Node, Piece, Run};
use ring::{Drawn, Ring, area, contains, rings};

use super::feature::FIT;
use super::solid::{face, line, vertex};
use super::spline::{Jet, Spline};
use super::{Curve, Edge, Face, ModelError, Shape, Solid, Surface, Vertex, Wire};
use crate::geometry::{Frame, Vec2, Vec3};
use crate::solve::liner_part::{LinerPart, Side};

/// How often a piece that cannot be fitted is halved.
const HALVED: usize = 8;

/// Points along an edge by which it is told what lies inside of it.
const SAMPLES: usize = 24;

/// The solid of a liner or sleeve, in its own frame.
///
/// # Errors
/// A tube that only just touches a border of the rail's sides.
pub fn solid(part: &LinerPart<'_>) -> Result<Solid, ModelError> {
    let radii = part.radii();
    let mut builder = Builder { met: Meeting { part }, corners: Vec::new() };
    let mut pieces = Vec::new();
    let mut seams = Vec::new();
    for (radius, &size) in radii.iter().enumerate() {
        builder.met.touching(radius)?;
        let mut own = Vec::new();
        for side in 0..part.sides.len() {
            builder.met.pieces(radius, side, &mut own)?;
        }
        if part.is_whole(size) {
            let turn = builder.met.seam(&own);
            own = own.into_iter().flat_map(|piece| builder.met.split(piece, turn)).collect();
            seams.push(radius);
        }
        pieces.extend(own);
    }
    let mut drawn: Vec<Vec<Drawn>> = (0..part.sides.len()).map(|_| Vec::new()).collect();
    let mut left: Vec<(Piece, usize)> = pieces.into_iter().map(|piece| (piece, 0)).collect();
    while let Some((piece, times)) = left.pop() {
        match (builder.draw(&piece), piece.halved()) {
            (Ok(own), _) => {
                if let Some(list) = drawn.get_mut(piece.side) {
                    list.push(own);
                }
            }
            // Too sharply bent for even spans.
            (Err(_), Some(halves)) if times < HALVED => left.extend(halves.map(|half| (half, times + 1))),
            (Err(error), _) => return Err(error),
        }
    }
    builder.borders(&mut drawn);
    // Edges of each radius, as the tube's own faces take them.
    let mut tube: Vec<Vec<(Edge, [Node; 2])>> = vec![Vec::new(), Vec::new()];
    let mut faces = Vec::new();
    for (side, own) in drawn.iter().enumerate() {
        builder.ends(side, own, &mut faces, &mut tube)?;
    }
    for (radius, edges) in tube.iter().enumerate().filter(|(_, edges)| !edges.is_empty()) {
        faces.push(builder.tube(radius, edges, seams.contains(&radius))?);
    }
    Solid::close(&part.name, faces)
}

struct Builder<'a> {
    met: Meeting<'a>,
    corners: Vec<(Node, Vertex)>,
}

impl Builder<'_> {
    fn unfit(&self) -> ModelError {
        ModelError::new(
            &self.met.part.name,
            "an edge on a corner of the rail cannot be fitted; change its diameter a little",
        )
    }

    fn corner(&mut self, node: Node, at: Vec3) -> Vertex {
        if let Some((_, known)) = self.corners.iter().find(|(other, _)| *other == node) {
            return known.clone();
        }
        let new = vertex(at);
        self.corners.push((node, new.clone()));
        new
    }

    /// The edge of a piece.
    fn draw(&mut self, piece: &Piece) -> Result<Drawn, ModelError> {
        let part = self.met.part;
        let (size, own) = (self.met.size(piece.radius), self.met.side(piece.side)?);
        let curve = match piece.run {
            Run::Straight { over } => {
                let g = (size * size - own.from.x * own.from.x).max(0.0).sqrt() * if over { 1.0 } else { -1.0 };
                Curve::Line { from: part.place(own.from.x, own.from.y, g), to: part.place(own.to.x, own.to.y, g) }
            }
            Run::Flat(range) => self.ellipse(piece.side, own, size, range),
            Run::Along { .. } | Run::Round { .. } => self.fitted(piece.run, own, size)?,
        };
        let [first, last] = piece.ends;
        let (from, to) = (self.corner(first, curve.at(0.0).0), self.corner(last, curve.at(1.0).0));
        let curve = match curve {
            Curve::Line { .. } => Curve::Line { from: from.point(), to: to.point() },
            other => other,
        };
        let seen = (0..=SAMPLES).map(|i| self.seen(own, curve.at(i as f64 / SAMPLES as f64).0)).collect();
        Ok(Drawn { radius: Some(piece.radius), ends: piece.ends, edge: Edge::new_unchecked(&from, &to, curve), seen })
    }

    /// A place on a side: along the rail, and from the side's start round it. Anticlockwise is so seen from outside.
    fn seen(&self, side: Side, p: Vec3) -> Vec2 {
        let [across, onward, along] = self.met.part.axes;
        let at = Vec2::new(p.dot(across), p.dot(onward));
        let round = match side.centre.zip(side.corner()) {
            Some((centre, (bend, [start, _]))) => {
                let arm = at - centre;
                let angle = (libm::atan2(arm.y, arm.x) - start + 0.5).rem_euclid(TAU) - 0.5;
                angle * bend
            }
            None => (at - side.from).dot((side.to - side.from).unit().unwrap_or_default()),
        };
        Vec2::new(p.dot(along), round)
    }

    /// Outward normal of a flat.
    fn outward(&self, side: Side) -> Vec3 {
        let [across, onward, _] = self.met.part.axes;
        let way = (side.to - side.from).unit().unwrap_or_default();
        across * way.y - onward * way.x
    }

    /// The ellipse in which a flat cuts the tube, by the turn about the axis.
    fn ellipse(&self, side: usize, own: Side, size: f64, [low, high]: [f64; 2]) -> Curve {
        let normal = self.outward(own);
        let at = |turn: f64| {
            let (s, c) = libm::sincos(turn);
            self.met.part.place(size * c, self.met.on_side(side, size * c), size * s)
        };
        let origin = self.met.part.place(0.0, self.met.on_side(side, 0.0), 0.0);
        let axis = Vec3::new(0.0, 0.0, 1.0);
        let lean = axis - normal * normal.z;
        // Square to the axis it is a circle.
        let (x, long) = match lean.unit().filter(|_| lean.length() > 1e-9) {
            Some(x) => (x, size / normal.z.abs()),
            None => (self.met.part.axes[0], size),
        };
        let y = normal.cross(x);
        let measured = |turn: f64, y: Vec3| {
            let arm = at(turn) - origin;
            libm::atan2(arm.dot(y) / size, arm.dot(x) / long)
        };
        let ahead = (measured(low + 0.5, y) - measured(low, y)).rem_euclid(TAU) < PI;
        let (y, z) = if ahead { (y, normal) } else { (-y, -normal) };
        let start = measured(low, y);
        Curve::Arc { frame: Frame { origin, x, y, z }, radii: [long, size], range: [start, start + high - low] }
    }

    /// The curve in which a corner's cylinder meets the tube.
    fn fitted(&self, run: Run, own: Side, size: f64) -> Result<Curve, ModelError> {
        let (centre, (bend, _)) = own.centre.zip(own.corner()).ok_or_else(|| self.met.unlinked())?;
        let [across, onward, along] = self.met.part.axes;
        let [cos, sin] = self.met.part.slope;
        let place = |f: Jet, q: Jet, g: Jet| {
            let u = (q * cos + g) * (1.0 / sin);
            let sum = |a: f64, b: f64, c: f64| f * a + q * b + u * c;
            [sum(across.x, onward.x, along.x), sum(across.y, onward.y, along.y), sum(across.z, onward.z, along.z)]
        };
        let constant = Jet::constant;
        let signed = |over: bool, jet: Jet| if over { jet } else { -jet };
        let fit = |range, curve: &dyn Fn(Jet) -> [Jet; 3]| Spline::fit(range, FIT * 2.0 * size, curve);
        let found = match run {
            Run::Along { range, over } => fit(range, &|at: Jet| {
                let (s, c) = at.sincos();
                let (f, q) = (constant(centre.x) + c * bend, constant(centre.y) + s * bend);
                place(f, q, signed(over, (constant(size * size) - f * f).sqrt()))
            }),
            Run::Round { range, rising } => fit(range, &|turn: Jet| {
                let (s, c) = turn.sincos();
                let f = c * size;
                let off = f - constant(centre.x);
                let q = constant(centre.y) + signed(rising, (constant(bend * bend) - off * off).sqrt());
                place(f, q, s * size)
            }),
            Run::Straight { .. } | Run::Flat(_) => None,
        };
        found.map(Curve::Spline).ok_or_else(|| self.unfit())
    }

    /// Adds to both its sides what lies of a border between the tube's outside and its bore.
    fn borders(&mut self, drawn: &mut [Vec<Drawn>]) {
        let count = self.met.part.sides.len();
        for border in 0..count {
            let Some(side) = self.met.part.sides.get(border).copied() else { continue };
            let node = |radius: usize, over: bool| Node::Border { radius, border, over };
            let meets = |radius: usize| side.from.x.abs() < self.met.size(radius);
            let spans = match (meets(0), meets(1)) {
                (true, true) => vec![[node(0, false), node(1, false)], [node(1, true), node(0, true)]],
                (true, false) => vec![[node(0, false), node(0, true)]],
                _ => Vec::new(),
            };
            for ends in spans {
                let [from, to] = ends.map(|end| {
                    let [f, q, g] = self.met.coordinates(end);
                    self.corner(end, self.met.part.place(f, q, g))
                });
                let edge = line(&from, &to);
                for at in [border, (border + count - 1) % count] {
                    let Some(own) = self.met.part.sides.get(at).copied() else { continue };
                    let seen = [from.point(), to.point()].map(|p| self.seen(own, p)).to_vec();
                    if let Some(list) = drawn.get_mut(at) {
                        list.push(Drawn { radius: None, ends, edge: edge.clone(), seen });
                    }
                }
            }
        }
    }

    /// The faces of a side, and its edges as the tube's faces take them.
    fn ends(
        &self,
        side: usize,
        drawn: &[Drawn],
        faces: &mut Vec<Face>,
        tube: &mut [Vec<(Edge, [Node; 2])>],
    ) -> Result<(), ModelError> {
        let own = self.met.side(side)?;
        let mut loops: Vec<Ring<'_>> = rings(drawn).ok_or_else(|| self.met.unlinked())?;
        let depth: Vec<usize> = loops
            .iter()
            .enumerate()
            .map(|(i, one)| {
                let at = one.seen.first().copied().unwrap_or_default();
                loops.iter().enumerate().filter(|(j, other)| *j != i && contains(&other.seen, at)).count()
            })
            .collect();
        for (one, depth) in loops.iter_mut().zip(&depth) {
            let anticlockwise = area(&one.seen) > 0.0;
            if anticlockwise != (depth % 2 == 0) {
                one.reverse();
            }
        }
        for one in &loops {
            for (piece, ahead) in &one.pieces {
                let Some(list) = piece.radius.and_then(|radius| tube.get_mut(radius)) else { continue };
                let [a, b] = piece.ends;
                list.push(if *ahead { (piece.edge.inverse(), [b, a]) } else { (piece.edge.clone(), [a, b]) });
            }
        }
        for (i, outer) in loops.iter().enumerate().filter(|(i, _)| depth.get(*i).is_some_and(|depth| depth % 2 == 0)) {
            let mut wires = vec![outer.wire()];
            for (j, inner) in loops.iter().enumerate() {
                let at = inner.seen.first().copied().unwrap_or_default();
                if depth.get(j) == depth.get(i).map(|depth| depth + 1).as_ref() && contains(&outer.seen, at) {
                    wires.push(inner.wire());
                }
            }
            faces.push(face(wires, self.surface(own)));
        }
        Ok(())
    }

    fn surface(&self, side: Side) -> Surface {
        let [across, onward, along] = self.met.part.axes;
        let origin = |at: Vec2| across * at.x + onward * at.y;
        if let Some((centre, (radius, [start, _]))) = side.centre.zip(side.corner()) {
            let (s, c) = libm::sincos(start);
            let x = across * c + onward * s;
            let frame = Frame { origin: origin(centre), x, y: along.cross(x), z: along };
            return Surface::convex(frame, Shape::Cylinder { radius });
        }
        let normal = self.outward(side);
        Surface::plane(Frame { origin: origin(side.from), x: along, y: normal.cross(along), z: normal })
    }

    /// The outside or the bore of the tube.
    fn tube(&self, radius: usize, edges: &[(Edge, [Node; 2])], whole: bool) -> Result<Face, ModelError> {
        let mut left: Vec<&(Edge, [Node; 2])> = edges.iter().collect();
        let mut loops: Vec<Vec<Edge>> = Vec::new();
        let mut starts = Vec::new();
        // A whole tube's two loops begin at its seam.
        let seam = |node: &Node| matches!(node, Node::Seam { .. });
        while let Some(at) =
            left.iter().position(|(_, [from, _])| seam(from)).or(if left.is_empty() { None } else { Some(0) })
        {
            let (edge, [start, mut end]) = left.swap_remove(at).clone();
            let mut one = vec![edge];
            while end != start {
                let next = left.iter().position(|(_, [from, _])| *from == end).ok_or_else(|| self.met.unlinked())?;
                let (edge, [_, to]) = left.swap_remove(next).clone();
                one.push(edge);
                end = to;
            }
            starts.push(start);
            loops.push(one);
        }
        let size = self.met.size(radius);
        let frame = Frame {
            origin: Vec3::default(),
            x: Vec3::new(1.0, 0.0, 0.0),
            y: Vec3::new(0.0, 1.0, 0.0),
            z: Vec3::new(0.0, 0.0, 1.0),
        };
        let shape = Shape::Cylinder { radius: size };
        let surface = if radius == 0 { Surface::convex(frame, shape) } else { Surface::hollow(frame, shape) };
        if !whole {
            return Ok(face(loops.into_iter().map(Wire::from).collect(), surface));
        }
        let [first, last] = &loops[..] else { return Err(self.met.unlinked()) };
        let ends = first.first().zip(last.first()).map(|(a, b)| [a.front().clone(), b.front().clone()]);
        let [from, to] = ends.ok_or_else(|| self.met.unlinked())?;
        let seam = line(&from, &to);
        let wire = first.iter().chain([&seam]).chain(last).cloned().chain([seam.inverse()]);
        Ok(face(vec![wire.collect()], surface))
    }
}

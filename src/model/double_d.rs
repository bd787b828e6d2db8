//! The faces of a stretch of bar with two flats.
//!
//! The outside is four sides: flat A, round, flat B, round, anticlockwise about
//! +z, with four corners between them along the bar. Corner k lies between
//! sides k and k + 1. A groove across a side parts that side in two and takes
//! a bite from the sides to its left and right.

use super::feature::{self, Cut, groove_surface};
use super::room::{Block, LEAST_WALL};
use super::solid::{face, line, vertex};
use super::spline::{Jet, Spline};
use super::stretch::{Outside, Stretch, chamfer_surface, cut_into, level, split_arc};
use super::{Curve, Edge, Face, ModelError, Shape, Surface, Vertex, Wire};
use crate::geometry::{Frame, Vec2, Vec3};
use crate::solve::solution::{End, Groove};

/// A groove across a whole side. Its notches run toward the gear, its lips from left to right.
struct Channel {
    side: usize,
    along: [f64; 2],
    /// Corners of its mouth: left and right, each nearer the column first.
    mouth: [[Vertex; 2]; 2],
    /// Bites from the sides to its left and right.
    notches: [Edge; 2],
    /// Its two long edges, nearer the column first.
    lips: [Edge; 2],
    face: Face,
}

/// A stretch of a corner between two of its vertices.
enum Link<'a> {
    Whole(Edge),
    Cut(&'a Channel),
}

struct Sides<'a> {
    bar: &'a Stretch,
    half_flats: f64,
    half_chord: f64,
    /// Outward normal of the first flat.
    toward: Vec2,
    /// Direction (rad) at which the arcs of each end are parted, where they are the ring of the next stretch.
    parted: [Option<f64>; 2],
}

/// The outside of a double-D stretch with its dimples and grooves.
///
/// `parted` is, at each end, the direction (rad from +x) of the next stretch's seam, where its round is the same.
pub(super) fn outside(
    bar: &Stretch,
    half_flats: f64,
    dimples: Vec<Cut>,
    grooves: &[(&Groove, f64, Block)],
    parted: [Option<f64>; 2],
) -> Result<Outside, ModelError> {
    let half_chord = (bar.radius * bar.radius - half_flats * half_flats).sqrt();
    let sides = Sides { bar, half_flats, half_chord, toward: feature::direction(bar.turn), parted };
    let mut cuts = dimples;
    let mut channels = Vec::new();
    for (groove, z, block) in grooves {
        match sides.channel(groove, *z, block)? {
            Some(channel) => channels.push(channel),
            None => cuts.push(feature::round_groove(groove, *z, bar.radius, block.clone())?),
        }
    }
    channels.sort_by(|a, b| a.along[0].total_cmp(&b.along[0]));
    Ok(sides.build(&channels, cuts))
}

impl Sides<'_> {
    /// From the flats' own axes to the shaft's.
    fn place(&self, at: Vec3) -> Vec3 {
        let e = self.toward;
        Vec3::new(at.x * e.x - at.y * e.y, at.x * e.y + at.y * e.x, at.z)
    }

    /// Direction (rad) of a point, from the first flat's normal.
    fn angle(&self, at: Vec3) -> f64 {
        let e = self.toward;
        libm::atan2(at.y * e.x - at.x * e.y, at.x * e.x + at.y * e.y)
    }

    /// The corner to the right of a side, in the flats' own axes.
    fn own_corner(&self, k: usize, z: f64) -> Vec3 {
        let x = if k == 0 || k == 3 { self.half_flats } else { -self.half_flats };
        let y = if k < 2 { self.half_chord } else { -self.half_chord };
        Vec3::new(x, y, z)
    }

    /// The corner to the right of a side.
    fn corner(&self, k: usize, z: f64) -> Vec3 {
        self.place(self.own_corner(k, z))
    }

    /// A frame square to the bar at a station, x toward the first flat.
    fn level(&self, z: f64) -> Frame {
        let Frame { origin, x, y, z } = level(z);
        Frame { origin, x: self.place(x), y: self.place(y), z }
    }

    /// Whether a side is a flat.
    const fn is_flat(side: usize) -> bool {
        side.is_multiple_of(2)
    }

    fn surface(&self, side: usize) -> Surface {
        if Self::is_flat(side) {
            let out = feature::outward_frame(90.0 * side as f64 + self.bar.turn, 0.0);
            Surface::plane(Frame { origin: out.z * self.half_flats, ..out })
        } else {
            Surface::convex(self.level(0.0), Shape::Cylinder { radius: self.bar.radius })
        }
    }

    /// Edge of a round side at a station, from its left corner to its right.
    fn arc(&self, side: usize, z: f64, radius: f64, [from, to]: [&Vertex; 2]) -> Edge {
        let (a, b) = (self.angle(from.point()), self.angle(to.point()));
        // Angles of the last side count past half a turn.
        let turn = if side == 3 { std::f64::consts::TAU } else { 0.0 };
        let range = [a + turn, b + turn];
        Edge::new_unchecked(from, to, Curve::Arc { frame: self.level(z), radii: [radius, radius], range })
    }

    /// A groove as a channel across its side; `None` where its mouth lies wholly within a round side.
    fn channel(&self, groove: &Groove, z: f64, block: &Block) -> Result<Option<Channel>, ModelError> {
        let Some(side) = feature::quarter(groove.clock - self.bar.turn) else { return Ok(None) };
        let (bar, bolt, offset) = (self.bar, groove.diameter / 2.0, groove.offset);
        let flat = Self::is_flat(side);
        // Height of the side's own corners along the direction of the bolt, and their distance across it.
        let (height, half_across) =
            if flat { (self.half_flats, self.half_chord) } else { (self.half_chord, self.half_flats) };
        let fail = |message: &str| Err(ModelError::new(&block.what, message));
        if !flat && block.floor > height - LEAST_WALL {
            if block.half_width > self.half_flats - LEAST_WALL {
                return fail("it ends within 0.01 mm of the edge of a flat; change the bolt's offset");
            }
            return Ok(None);
        }
        let over = offset - height;
        if over.abs() > bolt - LEAST_WALL {
            return fail("the bolt only just touches the edges of the flats; change its offset");
        }
        let half = (bolt * bolt - over * over).sqrt();
        let frame = feature::outward_frame(groove.clock, z);
        let (left, right) = ((side + 3) % 4, side);
        let mouth = [left, right].map(|k| [z - half, z + half].map(|z| vertex(self.corner(k, z))));
        let [[ll, lh], [rl, rh]] = &mouth;
        let unfit = || ModelError::new(&block.what, "an edge on the round cannot be fitted; change the bolt's offset");
        let place = |across: Jet, along: Jet, up: Jet| feature::on_frame(&frame, across, along, up);
        let fit = |range, curve: &dyn Fn(Jet) -> [Jet; 3]| {
            Spline::fit(range, feature::FIT * 2.0 * bar.radius, curve).map(Curve::Spline).ok_or_else(unfit)
        };
        let squared = Jet::constant(bar.radius * bar.radius);
        let (lips, notches) = if flat {
            // Bites from the round: up = offset - b cos q, along = b sin q, across = √(R² - up²).
            let end = libm::atan2(half, over);
            let bite = |sign: f64| {
                fit([-end, end], &|q| {
                    let (sin, cos) = q.sincos();
                    let up = Jet::constant(offset) - cos * bolt;
                    place((squared - up * up).sqrt() * sign, sin * bolt, up)
                })
            };
            let notches = [Edge::new_unchecked(ll, lh, bite(-1.0)?), Edge::new_unchecked(rl, rh, bite(1.0)?)];
            ([line(ll, rl), line(lh, rh)], notches)
        } else {
            // Lips on the round: across = R sin q, up = R cos q, along = ∓ √(b² - (offset - up)²).
            let end = libm::atan2(half_across, height);
            let lip = |sign: f64| {
                fit([-end, end], &|q| {
                    let (sin, cos) = q.sincos();
                    let up = cos * bar.radius;
                    let rest = Jet::constant(offset) - up;
                    let along = (Jet::constant(bolt * bolt) - rest * rest).sqrt() * sign;
                    place(sin * bar.radius, along, up)
                })
            };
            let lips = [Edge::new_unchecked(ll, rl, lip(-1.0)?), Edge::new_unchecked(lh, rh, lip(1.0)?)];
            // Bites from the flats: part of the bolt's own circle, through its deepest point.
            let end = libm::atan2(half, over);
            let bite = |from: &Vertex, to: &Vertex, across: f64| {
                let centre = frame.origin + frame.z * offset + frame.x * across;
                let round = Frame { origin: centre, x: -frame.z, y: frame.y, z: frame.x };
                let curve = Curve::Arc { frame: round, radii: [bolt, bolt], range: [-end, end] };
                Edge::new_unchecked(from, to, curve)
            };
            (lips, [bite(ll, lh, -half_across), bite(rl, rh, half_across)])
        };
        let wire = Wire::from(vec![lips[0].clone(), notches[1].clone(), lips[1].inverse(), notches[0].inverse()]);
        let face = face(vec![wire], groove_surface(groove, z));
        Ok(Some(Channel { side, along: [z - half, z + half], mouth, notches, lips, face }))
    }

    fn build(&self, channels: &[Channel], mut cuts: Vec<Cut>) -> Outside {
        let bar = self.bar;
        let [from_z, to_z] = bar.whole();
        let starts = [0, 1, 2, 3].map(|k| vertex(self.corner(k, from_z)));
        let stops = [0, 1, 2, 3].map(|k| vertex(self.corner(k, to_z)));
        let links = [0, 1, 2, 3].map(|k| Self::links(k, &starts[k], &stops[k], channels));
        let upper = self.end(End::Upper, &starts);
        let lower = self.end(End::Lower, &stops);

        let mut all = Vec::new();
        for side in 0..4 {
            let left = Self::runs((side + 3) % 4, side, &links);
            let right = Self::runs(side, side, &links);
            let own: Vec<&Channel> = channels.iter().filter(|channel| channel.side == side).collect();
            for (piece, (left, right)) in left.into_iter().zip(right).enumerate() {
                let before = piece.checked_sub(1).and_then(|i| own.get(i));
                let after = own.get(piece);
                let mut loop_: Vec<Edge> = match before {
                    Some(channel) => vec![channel.lips[1].clone()],
                    None => upper.paths[side].clone(),
                };
                loop_.extend(right);
                let top = match after {
                    Some(channel) => vec![channel.lips[0].clone()],
                    None => lower.paths[side].clone(),
                };
                loop_.extend(top.iter().rev().map(Edge::inverse));
                loop_.extend(left.iter().rev().map(Edge::inverse));
                let from = before.map_or(bar.from, |channel| channel.along[1]);
                let to = after.map_or(bar.to, |channel| channel.along[0]);
                let mut wires = vec![Wire::from(loop_)];
                let (mine, others) = cuts.into_iter().partition(|cut: &Cut| {
                    let z = f64::midpoint(cut.block.along[0], cut.block.along[1]);
                    let clock = cut.block.toward.angle().to_degrees() - bar.turn;
                    feature::quarter(clock) == Some(side) && from < z && z < to
                });
                cuts = others;
                let mut insides = Vec::new();
                cut_into(&mut wires, &mut insides, <Vec<Cut>>::into_iter(mine));
                all.push(face(wires, self.surface(side)));
                all.extend(insides);
            }
        }
        all.extend(channels.iter().map(|channel| channel.face.clone()));
        all.extend(upper.cones.into_iter().chain(lower.cones));
        Outside { faces: all, outlines: [upper.outline, lower.outline] }
    }

    /// The stretches of a corner from the column's end to the gear's.
    fn links<'a>(k: usize, start: &Vertex, stop: &Vertex, channels: &'a [Channel]) -> Vec<Link<'a>> {
        let mut links = Vec::new();
        let mut from = start.clone();
        for channel in channels {
            let side = if channel.side == k {
                1
            } else if channel.side == (k + 1) % 4 {
                0
            } else {
                continue;
            };
            let [near, far] = &channel.mouth[side];
            links.push(Link::Whole(line(&from, near)));
            links.push(Link::Cut(channel));
            from = far.clone();
        }
        links.push(Link::Whole(line(&from, stop)));
        links
    }

    /// The edges of a side along one of its corners, parted at the side's own channels.
    fn runs(corner: usize, side: usize, links: &[Vec<Link<'_>>; 4]) -> Vec<Vec<Edge>> {
        let mut runs = vec![Vec::new()];
        for link in links.iter().skip(corner).take(1).flatten() {
            let next = match link {
                Link::Whole(edge) => edge.clone(),
                Link::Cut(channel) if channel.side == side => {
                    runs.push(Vec::new());
                    continue;
                }
                // The channel is on the other side of this corner: its notch toward us is on its
                // left where we are its left neighbour.
                Link::Cut(channel) if (channel.side + 3) % 4 == side => channel.notches[0].clone(),
                Link::Cut(channel) => channel.notches[1].clone(),
            };
            if let Some(run) = runs.last_mut() {
                run.push(next);
            }
        }
        runs
    }

    /// One end: the edges of each side there from left to right, its chamfer's faces, its outline anticlockwise about +z.
    fn end(&self, end: End, corners: &[Vertex; 4]) -> EndEdges {
        let bar = self.bar;
        let (at, inward, chamfer, parted) = match end {
            End::Upper => (bar.from, 1.0, bar.chamfers[0], self.parted[0]),
            End::Lower => (bar.to, -1.0, bar.chamfers[1], self.parted[1]),
        };
        let ends_of = |side: usize| [(side + 3) % 4, side];
        if chamfer == 0.0 {
            let paths = [0, 1, 2, 3].map(|side| {
                let ends = ends_of(side).map(|k| &corners[k]);
                if Self::is_flat(side) {
                    vec![line(ends[0], ends[1])]
                } else {
                    split_arc(self.arc(side, at, bar.radius, ends), parted)
                }
            });
            let outline = paths.iter().flatten().cloned().collect();
            return EndEdges { paths, cones: Vec::new(), outline };
        }
        let rim_radius = bar.radius - chamfer;
        let rim_chord = (rim_radius * rim_radius - self.half_flats * self.half_flats).sqrt();
        let rim = [0, 1, 2, 3].map(|k| {
            let corner = self.own_corner(k, at);
            vertex(self.place(Vec3::new(corner.x, rim_chord.copysign(corner.y), at)))
        });
        // The cone r = R - c + d (d the depth below the end face) meets the flat x = h where
        // (d + R - c)² - y² = h²: a hyperbola about the cone's tip with both semi-axes h.
        let slants = [0, 1, 2, 3].map(|k| {
            let corner = self.own_corner(k, at);
            let x = Vec3::new(0.0, 0.0, inward);
            let y = self.place(Vec3::new(0.0, 1f64.copysign(corner.y), 0.0));
            let origin = self.place(Vec3::new(corner.x, 0.0, at - inward * rim_radius));
            let frame = Frame { origin, x, y, z: x.cross(y) };
            let range = [rim_chord, self.half_chord].map(|y| libm::asinh(y / self.half_flats));
            let curve = Curve::Hyperbola { frame, radii: [self.half_flats; 2], range };
            Edge::new_unchecked(&rim[k], &corners[k], curve)
        });
        let outline = [0, 1, 2, 3].map(|side| {
            let ends = ends_of(side).map(|k| &rim[k]);
            if Self::is_flat(side) { line(ends[0], ends[1]) } else { self.arc(side, at, rim_radius, ends) }
        });
        let mut cones = Vec::new();
        let paths = [0, 1, 2, 3].map(|side| {
            let [left, right] = ends_of(side).map(|k| slants[k].clone());
            if Self::is_flat(side) {
                return vec![left.inverse(), outline[side].clone(), right];
            }
            let z = at + inward * chamfer;
            let body = self.arc(side, z, bar.radius, ends_of(side).map(|k| &corners[k]));
            let rim = outline[side].clone();
            let wire = if end == End::Upper {
                vec![rim, right, body.inverse(), left.inverse()]
            } else {
                vec![body.clone(), right.inverse(), rim.inverse(), left]
            };
            cones.push(face(vec![Wire::from(wire)], chamfer_surface(bar, end)));
            vec![body]
        });
        EndEdges { paths, cones, outline: outline.to_vec() }
    }
}

struct EndEdges {
    paths: [Vec<Edge>; 4],
    cones: Vec<Face>,
    outline: Vec<Edge>,
}

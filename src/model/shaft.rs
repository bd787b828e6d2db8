//! The shaft as a solid: a bar of one section, or one with ends turned or milled on it.

use super::double_d;
use super::feature::{self, Cut, Into};
use super::hole::Through;
use super::room::{self, Block, LEAST_WALL};
use super::round_bar;
use super::solid::face;
use super::stretch::{Outside, Stretch, level, level_up, split_arc, turned};
use super::{Curve, Edge, Face, ModelError, Solid, Surface, Wire};
use crate::catalog::forms::FormShape;
use crate::geometry::Vec2;
use crate::solve::member::{Member, Seat, hole_under};
use crate::solve::solution::{End, Groove, On, ShaftResult, SpotWhen};

/// Within this (mm) two radii are one: a tenth of what the audit allows.
const SAME_RADIUS: f64 = 1e-7;

/// The finished shaft of one section, dimpled and grooved, in its own frame; as [`member`].
///
/// # Errors
/// As [`member`].
pub fn solid(form: FormShape, result: &ShaftResult, chamfer: Option<f64>) -> Result<Solid, ModelError> {
    member(&Member::plain(form, result, chamfer))
}

/// A plain length of a form, with nothing cut in it.
///
/// # Errors
/// As [`member`].
pub fn stub(form: FormShape, length: f64) -> Result<Solid, ModelError> {
    member(&Member {
        name: "stub".to_owned(),
        stem: String::new(),
        stock: String::new(),
        bar: form,
        bar_clock: 0.0,
        hole: None,
        journal: None,
        ends: [None, None],
        length,
        chamfer: None,
        dimples: Vec::new(),
        grooves: Vec::new(),
    })
}

/// One piece of bar, dimpled and grooved, in its own frame.
///
/// Origin at the centre of the upper end's face, +z toward the gear, +x the
/// outward normal of flat A: on plain double-D bar the flats lie at x = ± flats / 2.
/// Chamfers are turned at 45 degrees, so on a double-D they cut only the round.
/// An end cut on the bar has a flat shoulder square to the axis. Teeth are one
/// cylinder of their outside diameter, which is named so. A dimple is
/// a cone of the drill's included angle up to its mouth, then a straight wall;
/// one of 180 degrees has a flat floor. Dimples spotted on assembly are not in
/// the solid. A groove is what a bolt of its diameter takes, its axis square to
/// the shaft.
///
/// # Errors
/// Features that run into each other, an end, an edge or the bore; dimples and
/// grooves not square to a double-D's sides; a wall that does not go all round
/// a dimple in the round; an end larger than its bar or without bar between it and the next.
pub fn member(member: &Member) -> Result<Solid, ModelError> {
    let plan = Plan::of(member)?;
    let hole = plan.hole.as_ref();
    let mut features = Vec::with_capacity(plan.stretches.len());
    for (i, stretch) in plan.stretches.iter().enumerate() {
        features.push(Features::of(member, stretch, |end| plan.index(end) == i, hole)?);
    }
    let outsides = plan.outsides(features)?;
    let (mut faces, mut names) = (Vec::new(), Vec::new());
    for (outside, name) in outsides.iter().zip(&plan.names) {
        names.extend(name.iter().map(|name| (faces.len(), name.clone())));
        faces.extend(outside.faces.iter().cloned());
    }
    for (i, pair) in outsides.windows(2).enumerate() {
        if let ([above, below], Some([a, b])) = (pair, plan.stretches.get(i..i + 2)) {
            faces.extend(shoulder([a, b], [&above.outlines[1], &below.outlines[0]]));
        }
    }
    let ends = outsides.first().zip(outsides.last()).map(|(first, last)| [&first.outlines[0], &last.outlines[1]]);
    if let Some([upper, lower]) = ends {
        faces.extend(end_faces(hole, member.length, upper, lower));
    }
    Ok(Solid::close(&format!("shaft {}", member.name), faces)?.named(names))
}

/// The stretches of a piece of bar, checked.
struct Plan {
    /// From the upper end to the lower.
    stretches: Vec<Stretch>,
    /// What the round face of a stretch stands for.
    names: Vec<Option<String>>,
    /// What each stretch is.
    parts: Vec<Part>,
    hole: Option<Through>,
}

/// What a stretch is to its piece of bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    /// The bar itself, in two stretches where a seat is turned between them.
    Bar,
    /// An end cut on it.
    End,
    /// The seat of a bearing.
    Seat,
}

/// Diameter, across flats, bore.
const fn sizes(form: FormShape) -> (f64, Option<f64>, Option<f64>) {
    match form {
        FormShape::DoubleD { diameter, flats, bore } => (diameter, Some(flats), bore),
        FormShape::Round { diameter, bore } => (diameter, None, bore),
        FormShape::Serrated { diameter, .. } => (diameter, None, None),
    }
}

/// What a toothed face is called in the file.
fn envelope(form: FormShape) -> Option<String> {
    match form {
        FormShape::Serrated { teeth, .. } => Some(format!("envelope of {teeth} teeth")),
        _ => None,
    }
}

impl Plan {
    fn of(member: &Member) -> Result<Self, ModelError> {
        let fail = |message: String| Err(ModelError::new(format!("shaft {}", member.name), message));
        let chamfer = member.chamfer.unwrap_or(0.0);
        let (.., bore) = sizes(member.bar);
        let hole = hole_under(member).map(Through::of);
        // A chamfer under the least wall is a broken edge, not a face.
        let cut = if chamfer < LEAST_WALL { 0.0 } else { chamfer };
        let (mut stretches, mut names, mut parts) = (Vec::new(), Vec::new(), Vec::new());
        let mut from = 0.0;
        let whole = member.ends[1].map_or(member.length, |end| member.length - end.length);
        let of_bar = |to: f64| (Part::Bar, member.bar, member.bar_clock, to);
        let seat = |seat: Seat| FormShape::Round { diameter: seat.diameter, bore };
        let pieces = [
            member.ends[0].map(|end| (Part::End, end.form, end.clock, end.length)),
            member.journal.map(|journal| of_bar(journal.from)),
            member.journal.map(|journal| (Part::Seat, seat(journal), 0.0, journal.to)),
            Some(of_bar(whole)),
            member.ends[1].map(|end| (Part::End, end.form, end.clock, member.length)),
        ];
        let count = pieces.iter().flatten().count();
        for (part, form, turn, to) in pieces.into_iter().flatten() {
            let (diameter, flats, _) = sizes(form);
            let first = stretches.is_empty();
            let last = stretches.len() + 1 == count;
            parts.push(part);
            let length = to - from;
            let finite = [diameter, length, flats.unwrap_or(1.0), bore.unwrap_or(1.0)];
            if !finite.iter().all(|size| size.is_finite() && *size > LEAST_WALL) {
                return fail(format!("diameter, length, flats and bore must be over {LEAST_WALL} mm"));
            }
            let across = flats.unwrap_or(diameter);
            if flats.is_some_and(|flats| flats > diameter - LEAST_WALL) {
                return fail(format!("{across:.3} mm across the flats must be under the diameter of {diameter:.3} mm"));
            }
            if let Some(hole) =
                hole.filter(|hole| hole.wall_in(diameter / 2.0, flats.map(|flats| (flats / 2.0, turn))) < LEAST_WALL)
            {
                return fail(format!(
                    "a bore of {:.3} mm leaves no wall in {across:.3} mm; use a smaller bore",
                    hole.diameter()
                ));
            }
            let room = match (flats, hole) {
                (Some(flats), _) => (diameter - flats) / 2.0,
                (None, Some(hole)) => hole.wall_in(diameter / 2.0, None),
                (None, None) => diameter / 2.0,
            };
            let chamfered = if first && last { 2.0 } else { f64::from(u8::from(first || last)) };
            if !(chamfer >= 0.0 && (chamfered == 0.0 || chamfer < room - LEAST_WALL))
                || chamfered * chamfer >= length - LEAST_WALL
            {
                return fail(format!(
                    "a chamfer of {chamfer:.3} mm must be under {room:.3} mm, which is {}, and under half the length; \
                     use a smaller chamfer",
                    if flats.is_some() { "how far the round stands over the flats" } else { "the wall of the bar" }
                ));
            }
            let chamfers = [if first { cut } else { 0.0 }, if last { cut } else { 0.0 }];
            let half_flats = flats.map(|flats| flats / 2.0);
            stretches.push(Stretch { radius: diameter / 2.0, half_flats, turn, from, to, chamfers });
            names.push(envelope(form));
            from = to;
        }
        let plan = Self { stretches, names, parts, hole };
        plan.steps_down().map_or(Ok(plan), fail)
    }

    /// The stretch the hub of an end sits on.
    fn index(&self, end: End) -> usize {
        match end {
            End::Upper => 0,
            End::Lower => self.stretches.len() - 1,
        }
    }

    /// The stretches of one kind, with their places.
    fn all(&self, part: Part) -> impl Iterator<Item = (usize, &Stretch)> {
        self.stretches.iter().enumerate().zip(&self.parts).filter(move |(_, own)| **own == part).map(|(pair, _)| pair)
    }

    /// What is wrong with the steps from the bar to its ends and its seat.
    fn steps_down(&self) -> Option<String> {
        let (_, body) = self.all(Part::Bar).next()?;
        if body.half_flats.is_some() && self.parts.contains(&Part::End) {
            return Some("ends are cut on round bar; a double-D has none".to_owned());
        }
        if self.all(Part::Seat).any(|(_, seat)| body.half_thickness() - seat.radius < LEAST_WALL) {
            return Some(format!(
                "a seat is turned {LEAST_WALL} mm or more under the bar's least thickness, all round"
            ));
        }
        let steps = self.all(Part::End).map(|(_, end)| body.radius - end.radius);
        steps.into_iter().find(|step| step.abs() > SAME_RADIUS && *step < LEAST_WALL).map(|step| {
            format!(
                "an end {:.3} mm under the bar's diameter leaves no shoulder; it is to be the bar's own, or {:.3} mm or \
                 more under it",
                2.0 * step,
                2.0 * LEAST_WALL
            )
        })
    }

    /// The bar beside a stretch whose round goes on into the bar's.
    fn flush_with(&self, i: usize) -> Option<usize> {
        let beside = if i == 0 { 1 } else { i - 1 };
        let (end, bar) = (self.stretches.get(i)?, self.stretches.get(beside)?);
        let flush = self.parts.get(i) == Some(&Part::End) && (end.radius - bar.radius).abs() <= SAME_RADIUS;
        flush.then_some(beside)
    }

    /// The outside of every stretch; neighbours of one radius share the arcs between them.
    fn outsides(&self, features: Vec<Features<'_>>) -> Result<Vec<Outside>, ModelError> {
        let mut cuts = Vec::with_capacity(self.stretches.len());
        // A stretch with flats makes its own cuts; a round one needs a seam clear of them and of flush ends' corners.
        let mut seams = Vec::with_capacity(self.stretches.len());
        for (i, (stretch, features)) in self.stretches.iter().zip(features).enumerate() {
            if stretch.half_flats.is_some() {
                seams.push(None);
                cuts.push((features, Vec::new()));
                continue;
            }
            let own = round_bar::cuts(stretch, features.dimples, &features.grooves)?;
            let ends = (0..self.stretches.len()).filter(|&end| self.flush_with(end) == Some(i));
            let corners: Vec<f64> = ends.flat_map(|end| self.stretches[end].corners()).collect();
            seams.push(Some(round_bar::seam_clear_of(&own, &corners, stretch.radius)?));
            cuts.push((Features::default(), own));
        }
        let mut outsides: Vec<Option<Outside>> = Vec::new();
        outsides.resize_with(self.stretches.len(), || None);
        let mut rings = vec![[None, None]; self.stretches.len()];
        // Ends first: the bar takes its circle at a flush shoulder from them.
        let order = (0..self.stretches.len()).filter(|&i| self.parts[i] == Part::End);
        let order = order.chain((0..self.stretches.len()).filter(|&i| self.parts[i] != Part::End));
        for i in order {
            let (stretch, (features, own)) = (&self.stretches[i], std::mem::take(&mut cuts[i]));
            // Where an end meets the bar: at its lower end above it, at its upper end below.
            let meets = usize::from(i == 0);
            let flush = self.flush_with(i).and_then(|bar| Some((bar, seams[bar]?)));
            let outside = match (stretch.half_flats, seams[i]) {
                (Some(half_flats), _) => {
                    let mut parted = [None, None];
                    parted[meets] = flush.map(|(_, seam)| turned(seam.angle()));
                    double_d::outside(stretch, half_flats, features.dimples, &features.grooves, parted)?
                }
                (None, own_seam) => {
                    let seam = flush.map(|(_, seam)| seam).or(own_seam).unwrap_or(Vec2::new(1.0, 0.0));
                    round_bar::outside(stretch, own, seam, std::mem::take(&mut rings[i]))
                }
            };
            if let Some((bar, seam)) = flush {
                rings[bar][1 - meets] = Some(ring_over(stretch, &outside.outlines[meets], turned(seam.angle())));
            }
            outsides[i] = Some(outside);
        }
        Ok(outsides.into_iter().flatten().collect())
    }
}

/// The whole circle at a flush shoulder: the arcs of the flatted stretch and those over its flats, from the seam on.
fn ring_over(stretch: &Stretch, outline: &[Edge], seam: f64) -> Vec<Edge> {
    let mut edges = Vec::new();
    for edge in outline {
        if !matches!(edge.curve(), Curve::Line { .. }) {
            edges.push(edge.clone());
            continue;
        }
        // The arc over a flat, from its left corner to its right.
        let (from, to) = (edge.front().point(), edge.back().point());
        let start = libm::atan2(from.y, from.x);
        let stop = start + turned(libm::atan2(to.y, to.x) - start);
        let curve = Curve::Arc { frame: level(from.z), radii: [stretch.radius; 2], range: [start, stop] };
        edges.extend(split_arc(Edge::new_unchecked(edge.front(), edge.back(), curve), Some(seam)));
    }
    // From the corner nearest the seam.
    let off = |edge: &Edge| {
        let at = edge.front().point();
        turned(libm::atan2(at.y, at.x) - seam).abs()
    };
    let first = (0..edges.len()).min_by(|&a, &b| off(&edges[a]).total_cmp(&off(&edges[b]))).unwrap_or(0);
    edges.rotate_left(first);
    edges
}

/// The faces of the shoulder between two stretches, `outlines` those of the upper and the lower one where they meet.
fn shoulder([above, below]: [&Stretch; 2], [upper, lower]: [&Vec<Edge>; 2]) -> Vec<Face> {
    // The smaller stretch's outline lies within the larger one's; the face looks toward the smaller.
    let flush = (above.radius - below.radius).abs() <= SAME_RADIUS;
    let up = if flush { above.half_flats.is_some() } else { above.radius < below.radius };
    let (small, large) = if up { (upper, lower) } else { (lower, upper) };
    let surface = Surface::plane(if up { level_up(below.from) } else { level(below.from) });
    let oriented = |edges: Vec<Edge>| {
        let wire: Wire = edges.into_iter().collect();
        if up { wire.inverse() } else { wire }
    };
    if !flush {
        let inner: Wire = small.iter().cloned().collect();
        let inner = if up { inner } else { inner.inverse() };
        return vec![face(vec![oriented(large.clone()), inner], surface)];
    }
    // Flush: over each flat the piece between its edge and the arcs of the ring from corner to corner.
    let over_flat = |flat: &Edge| {
        let from = large.iter().position(|edge| edge.front() == flat.front())?;
        let mut edges = Vec::new();
        for i in 0..large.len() {
            let edge = &large[(from + i) % large.len()];
            edges.push(edge.clone());
            if edge.back() == flat.back() {
                edges.push(flat.inverse());
                return Some(face(vec![oriented(edges)], surface.clone()));
            }
        }
        None
    };
    small.iter().filter(|edge| matches!(edge.curve(), Curve::Line { .. })).filter_map(over_flat).collect()
}

/// What is cut into one stretch.
#[derive(Default)]
struct Features<'a> {
    dimples: Vec<Cut>,
    grooves: Vec<(&'a Groove, f64, Block)>,
}

impl<'a> Features<'a> {
    fn of(
        member: &'a Member,
        stretch: &Stretch,
        is_here: impl Fn(End) -> bool,
        hole: Option<&Through>,
    ) -> Result<Self, ModelError> {
        let grooves = member
            .grooves
            .iter()
            .filter(|groove| is_here(groove.end))
            .map(|groove| {
                let z = match groove.end {
                    End::Upper => groove.station,
                    End::Lower => member.length - groove.station,
                };
                Ok((groove, z, groove_block(stretch, groove, z)?))
            })
            .collect::<Result<Vec<_>, ModelError>>()?;
        let mut blocks: Vec<Block> = grooves.iter().map(|(_, _, block)| block.clone()).collect();
        let mut dimples = Vec::new();
        let drilled = member.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Drill);
        for dimple in drilled.filter(|dimple| is_here(dimple.end)) {
            let (into, half_width) = side(stretch, dimple.clock, dimple.on, &feature::name_dimple(dimple))?;
            let cut = feature::dimple(dimple, into, half_width)?;
            blocks.push(cut.block.clone());
            dimples.push(cut);
        }
        room::check(&blocks, stretch.whole(), stretch.half_thickness(), hole)?;
        Ok(Self { dimples, grooves })
    }
}

/// The side of a stretch at a clock, and half the width of it.
fn side(bar: &Stretch, clock: f64, on: On, what: &str) -> Result<(Into, f64), ModelError> {
    let Some(half_flats) = bar.half_flats else { return Ok((Into::Round(bar.radius), bar.radius)) };
    let half_chord = (bar.radius * bar.radius - half_flats * half_flats).sqrt();
    match (feature::quarter(clock - bar.turn), on) {
        (Some(0 | 2), On::Flat) => Ok((Into::Flat(half_flats), half_chord)),
        (Some(1 | 3), On::Round) => Ok((Into::Round(bar.radius), half_flats)),
        _ => Err(ModelError::new(
            what,
            "on a double-D a dimple lies in the middle of a flat, clock 0 or 180 deg from it, or of a round side, clock \
             90 or 270 deg from it; turn the screw to one of them",
        )),
    }
}

fn groove_block(bar: &Stretch, groove: &Groove, z: f64) -> Result<Block, ModelError> {
    let what = feature::name_groove(groove, z);
    let fail = |message: String| Err(ModelError::new(&what, message));
    let bolt = groove.diameter / 2.0;
    let crest = match (bar.half_flats, feature::quarter(groove.clock - bar.turn)) {
        (Some(half_flats), Some(0 | 2)) => half_flats,
        (Some(_), None) => {
            return fail(
                "on a double-D a bolt runs along a flat, clock 0 or 180 deg from it, or square to the flats, clock 90 \
                 or 270 deg from it; turn the hub to one of them"
                    .to_owned(),
            );
        }
        _ => bar.radius,
    };
    let placed = [z, bolt, groove.offset, groove.clock].iter().all(|number| number.is_finite());
    if !(placed && bolt > LEAST_WALL) {
        return fail(format!("a bolt of {:.3} mm must be over {LEAST_WALL} mm", groove.diameter));
    }
    let floor = groove.offset - bolt;
    if floor > crest - LEAST_WALL {
        return fail(format!(
            "the bolt passes {floor:.3} mm from the shaft's axis and the bar ends at {crest:.3} mm, so it cuts no \
             groove; check the bolt's offset"
        ));
    }
    if groove.offset + bolt < crest + LEAST_WALL {
        return fail(format!(
            "the bolt lies wholly inside the bar, {:.3} mm from its axis: that is a cross hole, which has no solid; \
             check the bolt's offset",
            groove.offset
        ));
    }
    // Where the bolt's axis lies under the surface the groove is as wide as the bolt.
    let over = (groove.offset - crest).max(0.0);
    let half_along = (bolt * bolt - over * over).sqrt();
    let deepest = floor.max(0.0);
    let half_width = (bar.radius * bar.radius - deepest * deepest).sqrt();
    let toward = feature::direction(groove.clock);
    Ok(Block { what, toward, floor, crest, half_width, along: [z - half_along, z + half_along] })
}

/// The faces of the hole, then both end faces from their outlines (anticlockwise about +z).
fn end_faces(hole: Option<&Through>, length: f64, upper: &[Edge], lower: &[Edge]) -> Vec<Face> {
    let upper: Wire = upper.iter().cloned().collect();
    let mut wires = [vec![upper.inverse()], vec![lower.iter().cloned().collect()]];
    let mut faces = Vec::new();
    if let Some(hole) = hole {
        let walls = hole.walls(length);
        faces.extend(walls.faces);
        for (wires, outline) in wires.iter_mut().zip(walls.outlines) {
            wires.push(outline);
        }
    }
    let [upper, lower] = wires;
    faces.push(face(upper, Surface::plane(level_up(0.0))));
    faces.push(face(lower, Surface::plane(level(length))));
    faces
}

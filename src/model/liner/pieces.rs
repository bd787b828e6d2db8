//! The pieces in which a tube's outside and bore meet the sides of a rail.
//!
//! In f, across the tube's axis, a tube of radius R holds f = R cos β at the turn β about its axis, and a corner of the
//! rail f = c + r cos α at its own angle α: a piece is a range of either.

use std::f64::consts::{PI, TAU};

use crate::geometry::Vec2;
use crate::model::ModelError;
use crate::solve::liner_part::{LinerPart, Side};

/// An edge or crest of the rail nearer than this (mm) to touching the tube only just has no sure crossing with it.
const TOUCH: f64 = 1e-6;

/// A side that climbs less than this (mm) across the axis lies along it.
const LEVEL: f64 = 1e-9;

/// Which end of an edge: equal ones are one corner of the solid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Node {
    /// Where a tube's radius meets the border before a side, on the side of g over or under 0.
    Border { radius: usize, border: usize, over: bool },
    /// Between two pieces on one corner.
    Between { radius: usize, side: usize, at: f64, over: bool },
    /// Between the halves of a piece, by the middle of its range.
    Half { radius: usize, side: usize, at: f64, on: bool, round: bool },
    /// Where a whole tube's seam ends.
    Seam { radius: usize, upper: bool },
}

/// Where a piece on a corner ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stop {
    /// At the next side.
    Border,
    /// Where the edge comes back on itself.
    Turn,
    /// Where its parameter changes.
    Between,
}

/// How a piece of an end's edge runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Run {
    /// Straight along the axis.
    Straight { over: bool },
    /// Across a flat, by the turn from f about the axis.
    Flat([f64; 2]),
    /// On a corner by the corner's own angle, on the side of g over or under 0.
    Along { range: [f64; 2], over: bool },
    /// On a corner by the turn about the axis; the corner's own angle has this sign of its sine.
    Round { range: [f64; 2], rising: bool },
}

/// A piece of the edge in which one radius of the tube meets one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) radius: usize,
    pub(super) side: usize,
    pub(super) ends: [Node; 2],
    pub(super) run: Run,
}

impl Piece {
    /// Its two halves; `None` for one with a closed form.
    pub(super) fn halved(&self) -> Option<[Self; 2]> {
        let Self { radius, side, ends: [first, last], .. } = *self;
        let (low, high, on, round) = match self.run {
            Run::Along { range: [low, high], over } => (low, high, over, false),
            Run::Round { range: [low, high], rising } => (low, high, rising, true),
            Run::Straight { .. } | Run::Flat(_) => return None,
        };
        let at = f64::midpoint(low, high);
        let node = Node::Half { radius, side, at, on, round };
        let run = |range| if round { Run::Round { range, rising: on } } else { Run::Along { range, over: on } };
        Some([
            Self { ends: [first, node], run: run([low, at]), ..*self },
            Self { ends: [node, last], run: run([at, high]), ..*self },
        ])
    }
}

/// A tube in its rail.
#[derive(Clone, Copy)]
pub(super) struct Meeting<'a> {
    pub(super) part: &'a LinerPart<'a>,
}

impl Meeting<'_> {
    pub(super) fn size(self, radius: usize) -> f64 {
        self.part.radii()[radius.min(1)]
    }

    pub(super) fn side(self, side: usize) -> Result<Side, ModelError> {
        self.part.sides.get(side % self.part.sides.len()).copied().ok_or_else(|| self.unlinked())
    }

    pub(super) fn unlinked(self) -> ModelError {
        ModelError::new(&self.part.name, "its edges do not close; change its outside diameter a little")
    }

    /// An error where an edge or crest of the rail only just touches a radius.
    pub(super) fn touching(self, radius: usize) -> Result<(), ModelError> {
        let size = self.size(radius);
        if self.part.breaks().iter().all(|f| (f.abs() - size).abs() >= TOUCH) {
            return Ok(());
        }
        let message = "it only just touches an edge or crest of the rail; change its diameter a little";
        Err(ModelError::new(&self.part.name, message))
    }

    /// Adds the pieces in which a radius meets a side.
    pub(super) fn pieces(self, radius: usize, side: usize, all: &mut Vec<Piece>) -> Result<(), ModelError> {
        let (size, own) = (self.size(radius), self.side(side)?);
        let next = (side + 1) % self.part.sides.len();
        let border = |first: bool, over: bool| Node::Border { radius, border: if first { side } else { next }, over };
        let mut add = |ends: [Node; 2], run: Run| all.push(Piece { radius, side, ends, run });
        if own.centre.is_some() {
            self.on_corner(radius, side, own, &border, &mut add);
            return Ok(());
        }
        let (a, b) = (own.from.x / size, own.to.x / size);
        if (own.to.x - own.from.x).abs() < LEVEL {
            if a.abs() < 1.0 {
                for over in [false, true] {
                    add([border(true, over), border(false, over)], Run::Straight { over });
                }
            }
            return Ok(());
        }
        // Turns at which the side begins and ends, the lesser first: the greater f.
        let falls = a > b;
        let (high, low) = if falls { (a, b) } else { (b, a) };
        if high <= -1.0 || low >= 1.0 {
            return Ok(());
        }
        let (near, far) = (libm::acos(high.min(1.0)), libm::acos(low.max(-1.0)));
        let (first, last) = (|over| border(falls, over), |over| border(!falls, over));
        match (high < 1.0, low > -1.0) {
            (true, true) => {
                add([first(true), last(true)], Run::Flat([near, far]));
                add([last(false), first(false)], Run::Flat([-far, -near]));
            }
            (false, true) => add([last(false), last(true)], Run::Flat([-far, far])),
            (true, false) => add([first(true), first(false)], Run::Flat([near, TAU - near])),
            // All round: its corner comes with the seam.
            (false, false) => {
                let seam = Node::Seam { radius, upper: false };
                add([seam, seam], Run::Flat([0.0, TAU]));
            }
        }
        Ok(())
    }

    /// The pieces on a corner.
    ///
    /// Its own angle is the parameter where the edge keeps clear of g = 0, where it comes back on itself; the turn about
    /// the axis is where it keeps clear of the corner's crests. They change where the curve runs as fast by either:
    /// at g² = (q − centre)², which is one f.
    fn on_corner(
        self,
        radius: usize,
        side: usize,
        own: Side,
        border: &dyn Fn(bool, bool) -> Node,
        add: &mut dyn FnMut([Node; 2], Run),
    ) {
        let size = self.size(radius);
        let (Some(centre), Some((bend, [start, end]))) = (own.centre, own.corner()) else { return };
        let f = |at: f64| centre.x + bend * libm::cos(at);
        let slack = size * size - bend * bend + centre.x * centre.x;
        let mut stops = vec![(start, Stop::Border), (end, Stop::Border)];
        for (level, kind) in [(-size, Stop::Turn), (size, Stop::Turn), (slack / (2.0 * centre.x), Stop::Between)] {
            let cosine = (level - centre.x) / bend;
            if cosine.abs() < 1.0 {
                let half = libm::acos(cosine);
                let all = [half, -half].into_iter().flat_map(|at| [at - TAU, at, at + TAU]);
                stops.extend(all.filter(|at| (start..end).contains(at) && *at > start).map(|at| (at, kind)));
            }
        }
        stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        let halved = stops.windows(2).filter_map(|pair| match *pair {
            [(a, Stop::Turn), (b, Stop::Turn)] => Some((f64::midpoint(a, b), Stop::Between)),
            _ => None,
        });
        let halved: Vec<_> = halved.collect();
        stops.extend(halved);
        stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in stops.windows(2) {
            let &[(low, before), (high, after)] = pair else { continue };
            let middle = f64::midpoint(low, high);
            if f(middle).abs() >= size {
                continue;
            }
            let node = |(at, kind): (f64, Stop), first: bool, over: bool| match kind {
                Stop::Border => border(first, over),
                _ => Node::Between { radius, side, at, over },
            };
            if 2.0 * centre.x * f(middle) <= slack {
                for over in [false, true] {
                    let ends = [node((low, before), true, over), node((high, after), false, over)];
                    add(ends, Run::Along { range: [low, high], over });
                }
                continue;
            }
            let rising = libm::sin(middle) > 0.0;
            let turn = |at: f64| libm::acos((f(at) / size).clamp(-1.0, 1.0));
            if before == Stop::Turn || after == Stop::Turn {
                // All round where it comes back: at f of the one radius or the other.
                let (turned, stop) = if before == Stop::Turn { (low, (high, after)) } else { (high, (low, before)) };
                let far = f(turned) < 0.0;
                let range = if far { [turn(stop.0), TAU - turn(stop.0)] } else { [-turn(stop.0), turn(stop.0)] };
                let own = |over: bool| node(stop, before != Stop::Turn, over);
                add([own(far), own(!far)], Run::Round { range, rising });
                continue;
            }
            for over in [false, true] {
                let mut ends =
                    [(turn(low), node((low, before), true, over)), (turn(high), node((high, after), false, over))];
                if !over {
                    ends = ends.map(|(at, node)| (-at, node));
                }
                ends.sort_by(|a, b| a.0.total_cmp(&b.0));
                let [(from, first), (to, last)] = ends;
                add([first, last], Run::Round { range: [from, to], rising });
            }
        }
    }

    /// f, q and g of a corner of the solid.
    pub(super) fn coordinates(self, node: Node) -> [f64; 3] {
        let square = |radius: usize, f: f64, over: bool| {
            let g = (self.size(radius) * self.size(radius) - f * f).max(0.0).sqrt();
            if over { g } else { -g }
        };
        match node {
            Node::Border { radius, border, over } => {
                let at = self.part.sides.get(border).map_or(Vec2::default(), |side| side.from);
                [at.x, at.y, square(radius, at.x, over)]
            }
            Node::Between { radius, side, at, over } => {
                let own = self.part.sides.get(side).and_then(|side| Some((side.centre?, side.corner()?.0)));
                let (centre, bend) = own.unwrap_or_default();
                let (s, c) = libm::sincos(at);
                let f = centre.x + bend * c;
                [f, centre.y + bend * s, square(radius, f, over)]
            }
            // Found already when its piece was drawn.
            Node::Seam { .. } | Node::Half { .. } => [0.0; 3],
        }
    }

    /// Turn about the axis, from f, of a corner of the solid.
    fn turn(self, node: Node) -> f64 {
        let [f, _, g] = self.coordinates(node);
        libm::atan2(g, f).rem_euclid(TAU)
    }

    /// The turn at which a whole tube's seam lies: in the middle of the widest gap between other corners.
    pub(super) fn seam(self, pieces: &[Piece]) -> f64 {
        let nodes = pieces.iter().flat_map(|piece| piece.ends).filter(|node| !matches!(node, Node::Seam { .. }));
        let mut turns: Vec<f64> = nodes.map(|node| self.turn(node)).collect();
        turns.sort_by(f64::total_cmp);
        let Some((first, last)) = turns.first().copied().zip(turns.last().copied()) else { return PI };
        turns.push(first + TAU);
        let gaps = turns.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.last()?)));
        let widest = gaps.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0))).unwrap_or((last, first + TAU));
        f64::midpoint(widest.0, widest.1).rem_euclid(TAU)
    }

    /// A piece parted at the seam, or whole where the seam misses it.
    pub(super) fn split(self, piece: Piece, turn: f64) -> Vec<Piece> {
        let size = self.size(piece.radius);
        let node = |q: f64, other: f64| Node::Seam { radius: piece.radius, upper: q > other };
        // Of the two ends of the tube this one, told by the middle of the line between them.
        let middle = self.middle(size * libm::cos(turn));
        let parted = |seam: Node, runs: [Run; 2]| {
            let [first, last] = piece.ends;
            let [a, b] = runs;
            vec![Piece { ends: [first, seam], run: a, ..piece }, Piece { ends: [seam, last], run: b, ..piece }]
        };
        match piece.run {
            Run::Straight { .. } => {}
            Run::Flat([low, high]) => {
                let Some(at) = [turn - TAU, turn, turn + TAU].into_iter().find(|at| (low..=high).contains(at)) else {
                    return vec![piece];
                };
                let seam = node(self.on_side(piece.side, size * libm::cos(at)), middle);
                if piece.ends.first() == piece.ends.last() {
                    return vec![Piece { ends: [seam, seam], run: Run::Flat([at, at + TAU]), ..piece }];
                }
                return parted(seam, [Run::Flat([low, at]), Run::Flat([at, high])]);
            }
            Run::Along { range: [low, high], over } => {
                let Some((centre, (bend, _))) =
                    self.part.sides.get(piece.side).and_then(|side| side.centre.zip(side.corner()))
                else {
                    return vec![piece];
                };
                let cosine = (size * libm::cos(turn) - centre.x) / bend;
                if over == (libm::sin(turn) > 0.0) && cosine.abs() < 1.0 {
                    let half = libm::acos(cosine);
                    let turns = [half, -half].into_iter().flat_map(|at| [at - TAU, at, at + TAU]);
                    if let Some(at) = turns.into_iter().find(|at| (low..=high).contains(at)) {
                        let seam = node(centre.y + bend * libm::sin(at), middle);
                        let run = |range| Run::Along { range, over };
                        return parted(seam, [run([low, at]), run([at, high])]);
                    }
                }
            }
            Run::Round { range: [low, high], rising } => {
                let found = [turn - TAU, turn, turn + TAU].into_iter().find(|at| (low..=high).contains(at));
                let own = self.part.sides.get(piece.side).and_then(|side| side.centre.zip(side.corner()));
                if let Some((at, (centre, (bend, _)))) = found.zip(own) {
                    let off = size * libm::cos(at) - centre.x;
                    let up = (bend * bend - off * off).max(0.0).sqrt();
                    let seam = node(centre.y + if rising { up } else { -up }, middle);
                    let run = |range| Run::Round { range, rising };
                    return parted(seam, [run([low, at]), run([at, high])]);
                }
            }
        }
        vec![piece]
    }

    /// q of a flat at f.
    pub(super) fn on_side(self, side: usize, f: f64) -> f64 {
        self.part
            .sides
            .get(side)
            .map_or(0.0, |side| side.from.y + (side.to.y - side.from.y) * (f - side.from.x) / (side.to.x - side.from.x))
    }

    /// q in the middle of the rail at f.
    fn middle(self, f: f64) -> f64 {
        let mut met = [f64::INFINITY, f64::NEG_INFINITY];
        for side in &self.part.sides {
            let (a, b) = (side.from, side.to);
            if (a.x - f) * (b.x - f) <= 0.0 && (b.x - a.x).abs() > 0.0 {
                let q = a.y + (b.y - a.y) * (f - a.x) / (b.x - a.x);
                met = [met[0].min(q), met[1].max(q)];
            }
        }
        f64::midpoint(met[0], met[1])
    }
}

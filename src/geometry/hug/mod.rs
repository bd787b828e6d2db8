//! Arcs and cubics in place of a polyline, close along one side of it.
//!
//! A traced outline is a polyline of thousands of points, each proved. What a
//! cutter wants is a few curves, and they may not lie inside it: the curves
//! found here run along its right, between [`NEAREST`] and [`FARTHEST`] of it.
//!
//! Every edge of the polyline is moved to the right by about half of that
//! band. Pieces then begin and end on moved edges, in their directions: the
//! longest arc or cubic that stays in the band, and where none does the moved
//! edges themselves. Tangents are those of the polyline's edges, since its
//! corners alternate about the traced curve. At last the whole is proved
//! against the polyline (see `proof`); what cannot be proved stays a polyline.

mod piece;
mod proof;

use super::contour::sides;
use super::{Path, Piece, Vec2};
use piece::Stretch;

/// The band to the right of the polyline in which its curves lie (mm).
///
/// The polyline stands off the traced edge by 0.004 mm at most, so that no more than 0.018 mm of metal goes without need.
pub const NEAREST: f64 = 2e-4;
/// See [`NEAREST`].
pub const FARTHEST: f64 = 0.014;
/// How far off the edges a fit aims (mm): corners stand out by 0.002 where it bends to the left, edges by 0.004 to the right.
const AIM: f64 = 0.0075;
/// A turn (rad) by which a corner of the polyline is one of the curve too.
const CORNER: f64 = 0.5;
/// Shorter edges (mm) have no direction to steer by: rounding and splinters of a union.
const SHORT: f64 = 0.02;
/// Corners nearer than this (mm) are one: a tenth of what the curves keep clear by.
const SAME: f64 = 1e-5;
/// Longest angle (rad) by which an arc may end askew: nobody sees or feels a tenth of a degree.
const ASKEW: f64 = 2e-3;

/// A place on a moved edge.
#[derive(Debug, Clone, Copy)]
struct Node {
    /// Number of the edge, counted on round the loop.
    edge: usize,
    at: Vec2,
    way: Vec2,
}

/// An edge of the polyline.
#[derive(Debug, Clone, Copy)]
struct Edge {
    from: Vec2,
    to: Vec2,
    way: Vec2,
    length: f64,
    bare: bool,
    /// How far the curve aims to its right (mm).
    off: f64,
}

/// A piece of the fit with the first and last edge it runs along.
#[derive(Debug, Clone, Copy)]
struct Fitted {
    piece: Piece,
    edges: [usize; 2],
}

/// Curves along the right of a closed polyline; `None` where they cannot be proved.
///
/// The loop's first point is not repeated. `bare` tells edges along a border beyond which nothing lies: there the
/// curve is the edge itself. A bend to the left is kept as wide as `least_radius` (mm); 0 for any.
pub fn along(points: &[Vec2], bare: &dyn Fn(Vec2, Vec2) -> bool, least_radius: f64) -> Option<Path> {
    hugged(points, bare, least_radius, false)
}

/// The same of straight pieces and arcs alone, as a plate is milled: where a cubic would run, pairs of arcs in one
/// direction where they meet.
pub fn in_arcs(points: &[Vec2], bare: &dyn Fn(Vec2, Vec2) -> bool, least_radius: f64) -> Option<Path> {
    hugged(points, bare, least_radius, true)
}

fn hugged(points: &[Vec2], bare: &dyn Fn(Vec2, Vec2) -> bool, least_radius: f64, arcs_only: bool) -> Option<Path> {
    let edges = edges(points, bare)?;
    let (start, fitted) = Hug { edges: &edges, least_radius, arcs_only }.pieces()?;
    proof::holds(&edges, start, &fitted).then(|| {
        let mut path = Path { start, pieces: Vec::new(), closed: true };
        for Fitted { piece, .. } in fitted {
            push(&mut path, piece);
        }
        path
    })
}

/// Adds a piece; straight ones that go on in one line are one.
fn push(path: &mut Path, piece: Piece) {
    let count = path.pieces.len();
    if let (Some(Piece::Line { to: middle }), Piece::Line { to }) = (path.pieces.last().copied(), piece) {
        let from = if count > 1 { path.pieces[count - 2].end() } else { path.start };
        let (a, b) = (middle - from, to - middle);
        if a.cross(b).abs() <= 1e-9 * (a.length() + b.length()) && a.dot(b) > 0.0 {
            path.pieces.pop();
        }
    }
    path.pieces.push(piece);
}

fn edges(points: &[Vec2], bare: &dyn Fn(Vec2, Vec2) -> bool) -> Option<Vec<Edge>> {
    // Of two corners in one place one is enough: not the one that a border needs.
    let count = points.len();
    let on_border: Vec<bool> = (0..count)
        .map(|i| {
            let (before, at, after) = (points[(i + count - 1) % count], points[i], points[(i + 1) % count]);
            bare(before, at) || bare(at, after)
        })
        .collect();
    let mut kept: Vec<(Vec2, bool)> = Vec::with_capacity(count);
    for (&p, &fixed) in points.iter().zip(&on_border) {
        match kept.last() {
            Some(&(last, _)) if !fixed && (p - last).length() < SAME => continue,
            Some(&(last, false)) if (p - last).length() < SAME => drop(kept.pop()),
            _ => {}
        }
        kept.push((p, fixed));
    }
    while let [(first, _), .., (last, false)] = kept[..]
        && (first - last).length() < SAME
    {
        kept.pop();
    }
    let kept: Vec<Vec2> = kept.into_iter().map(|(p, _)| p).collect();
    let edges: Vec<Edge> = sides(&kept)
        .filter_map(|(from, to)| {
            let bare = bare(from, to);
            let off = if bare { 0.0 } else { AIM };
            Some(Edge { from, to, way: (to - from).unit()?, length: (to - from).length(), bare, off })
        })
        .collect();
    (edges.len() >= 3).then_some(edges)
}

/// Angle (rad) from one direction to another, left positive.
fn turn(a: Vec2, b: Vec2) -> f64 {
    libm::atan2(a.cross(b), a.dot(b))
}

/// To the right of a direction.
fn right(way: Vec2) -> Vec2 {
    -way.left()
}

struct Hug<'a> {
    edges: &'a [Edge],
    least_radius: f64,
    arcs_only: bool,
}

impl Hug<'_> {
    fn edge(&self, i: usize) -> &Edge {
        &self.edges[i % self.edges.len()]
    }

    /// The moved edge at a share of its length.
    fn moved(&self, i: usize, share: f64) -> Vec2 {
        let edge = self.edge(i);
        edge.from + (edge.to - edge.from) * share + right(edge.way) * edge.off
    }

    /// Where two moved edges meet, if that is near the corner they have in common.
    fn meeting(&self, i: usize, j: usize) -> Option<Vec2> {
        let (a, b) = (self.edge(i), self.edge(j));
        let (p, q) = (self.moved(i, 1.0), self.moved(j, 0.0));
        let across = a.way.cross(b.way);
        if across.abs() < 1e-9 {
            return ((p - q).length() <= NEAREST).then_some(q);
        }
        let at = p + a.way * ((q - p).cross(b.way) / across);
        // On a level or upright border it lies on it to the last bit.
        let on = |edge: &Edge| match (edge.bare, edge.way.x == 0.0, edge.way.y == 0.0) {
            (true, false, true) => Vec2::new(at.x, edge.from.y),
            (true, true, false) => Vec2::new(edge.from.x, at.y),
            _ => at,
        };
        let at = if a.bare { on(a) } else { on(b) };
        let near = |p: Vec2| (at - p).length() <= 10.0 * FARTHEST;
        (near(a.to) || near(b.from)).then_some(at)
    }

    /// Whether the curve has a corner where an edge begins.
    fn is_corner(&self, i: usize) -> bool {
        let (before, edge) = (self.edge(i + self.edges.len() - 1), self.edge(i));
        before.bare || edge.bare || turn(before.way, edge.way).abs() > CORNER && before.length.min(edge.length) > SHORT
    }

    /// The places on one edge where pieces may begin and end, as shares of its length.
    fn shares(&self, i: usize) -> Vec<f64> {
        let edge = self.edge(i);
        let count = self.edges.len();
        if edge.length < SHORT {
            return Vec::new();
        }
        let beside = [count - 3, count - 2, count - 1, 1, 2, 3].map(|k| self.edge(i + k).length);
        let most = beside.into_iter().fold(0.0, f64::max);
        // A straight beside a curve: the curve begins half an edge before it, as one drawn round a circle does.
        if edge.length > 3.0 * most && edge.length > 1.0 {
            let share = |length: f64| 0.5 * length / edge.length;
            return vec![share(beside[2]), 1.0 - share(beside[3])];
        }
        vec![0.5]
    }

    /// Places to begin and end at, once round; the first is that of the start, and comes again at the end.
    fn nodes(&self) -> Option<Vec<Vec<Node>>> {
        let count = self.edges.len();
        let node = |edge: usize, at: Vec2| Node { edge, at, way: self.edge(edge).way };
        let corners: Vec<usize> = (0..count).filter(|&i| self.is_corner(i)).collect();
        let inner = |i: usize| {
            let shares = if self.edge(i).bare { Vec::new() } else { self.shares(i) };
            shares.into_iter().map(move |share| (i, share))
        };
        let Some(&first) = corners.first() else {
            let start = (0..count).max_by(|&a, &b| self.edges[a].length.total_cmp(&self.edges[b].length))?;
            let mut all: Vec<Node> =
                (start..start + count).flat_map(inner).map(|(i, share)| node(i, self.moved(i, share))).collect();
            let again = *all.first()?;
            all.push(Node { edge: again.edge + count, ..again });
            return Some(vec![all]);
        };
        let mut runs = Vec::with_capacity(corners.len());
        for (k, &from) in corners.iter().enumerate() {
            let to = corners.get(k + 1).copied().unwrap_or(first + count);
            let mut run = vec![node(from, self.meeting(from + count - 1, from)?)];
            run.extend((from..to).flat_map(inner).map(|(i, share)| node(i, self.moved(i, share))));
            run.push(node(to - 1, self.meeting(to - 1, to)?));
            runs.push(run);
        }
        Some(runs)
    }

    fn pieces(&self) -> Option<(Vec2, Vec<Fitted>)> {
        let runs = self.nodes()?;
        let start = runs.first()?.first()?.at;
        let mut all = Vec::new();
        for run in &runs {
            self.run(run, &mut all)?;
        }
        Some((start, all))
    }

    /// Pieces along a run of nodes, each as long as one may be.
    fn run(&self, nodes: &[Node], all: &mut Vec<Fitted>) -> Option<()> {
        let mut i = 0;
        let mut way = nodes.first()?.way;
        while i + 1 < nodes.len() {
            let (here, next) = (nodes[i], nodes[i + 1]);
            if here.edge == next.edge {
                all.push(Fitted { piece: Piece::Line { to: next.at }, edges: [here.edge, next.edge] });
                (way, i) = (next.way, i + 1);
                continue;
            }
            // Up to the next straight.
            let most =
                (i + 1..nodes.len() - 1).find(|&k| nodes[k].edge == nodes[k + 1].edge).unwrap_or(nodes.len() - 1);
            let arc = longest(i, most, |j| self.arc(&nodes[i..=j], way).map(|arc| vec![arc]));
            let other = longest(i, most, |j| {
                let nodes = &nodes[i..=j];
                if self.arcs_only { self.pair(nodes, way) } else { self.cubic(nodes, way).map(|cubic| vec![cubic]) }
            });
            // An arc is what a mill or a hand can follow: taken where a cubic goes little farther, or a pair not twice.
            let (enough, of) = if self.arcs_only { (2, 1) } else { (5, 4) };
            let better = match (&arc, &other) {
                (Some((a, _)), Some((c, _))) => enough * (a - i) >= of * (c - i),
                _ => arc.is_some(),
            };
            if let Some((j, pieces)) = if better { arc } else { other } {
                let mut from = here.at;
                for piece in pieces {
                    all.push(Fitted { piece, edges: [here.edge, nodes[j].edge] });
                    way = piece::end_way(from, &piece).unwrap_or(nodes[j].way);
                    from = piece.end();
                }
                i = j;
                continue;
            }
            let corner = self.meeting(here.edge, next.edge)?;
            all.push(Fitted { piece: Piece::Line { to: corner }, edges: [here.edge, next.edge] });
            all.push(Fitted { piece: Piece::Line { to: next.at }, edges: [here.edge, next.edge] });
            (way, i) = (next.way, i + 1);
        }
        Some(())
    }

    /// The corners of the polyline between two nodes.
    fn between(&self, nodes: &[Node]) -> impl Iterator<Item = Vec2> {
        let (first, last) = (nodes.first().map_or(0, |n| n.edge), nodes.last().map_or(0, |n| n.edge));
        (first..last).map(|i| self.edge(i).to)
    }

    fn arc(&self, nodes: &[Node], way: Vec2) -> Option<Piece> {
        let [from, .., to] = *nodes else { return None };
        let piece = piece::arc(from.at, way, to.at)?;
        let Piece::Arc { major, sweep, .. } = piece else { return None };
        if turn(piece::end_way(from.at, &piece)?, to.way).abs() > ASKEW || sweep > 0.0 && major.x < self.least_radius {
            return None;
        }
        Stretch { from: from.at, piece }.is_in_band(self.between(nodes)).then_some(piece)
    }

    /// Two arcs, each along the corners on its side of where they meet.
    fn pair(&self, nodes: &[Node], way: Vec2) -> Option<Vec<Piece>> {
        let [from, .., to] = *nodes else { return None };
        let pair = piece::pair(from.at, way, to.at, to.way)?;
        let middle = pair[0].end();
        let ahead = piece::end_way(from.at, &pair[0])?;
        let tight = |piece: &Piece| matches!(piece, Piece::Arc { major, sweep, .. } if *sweep > 0.0 && major.x < self.least_radius);
        let corners = |later: bool| self.between(nodes).filter(move |p| ((*p - middle).dot(ahead) > 0.0) == later);
        let in_band = Stretch { from: from.at, piece: pair[0] }.is_in_band(corners(false))
            && Stretch { from: middle, piece: pair[1] }.is_in_band(corners(true));
        (in_band && !pair.iter().any(tight)).then(|| pair.to_vec())
    }

    fn cubic(&self, nodes: &[Node], way: Vec2) -> Option<Piece> {
        let [from, .., to] = *nodes else { return None };
        let places: Vec<Vec2> = nodes.iter().map(|node| node.at).collect();
        let piece = piece::cubic(&places, way, to.way)?;
        let stretch = Stretch { from: from.at, piece };
        (stretch.is_as_wide_as(self.least_radius) && stretch.is_in_band(self.between(nodes))).then_some(piece)
    }
}

/// The farthest node that what is fitted from node `i` reaches, by doubling and halving; at most node `most`.
fn longest<T>(i: usize, most: usize, fit: impl Fn(usize) -> Option<T>) -> Option<(usize, T)> {
    let mut best = (i + 1, fit(i + 1)?);
    let mut beyond = most + 1;
    let mut step = 2;
    while best.0 < most {
        let j = (i + step).min(most);
        let Some(piece) = fit(j) else {
            beyond = j;
            break;
        };
        best = (j, piece);
        step *= 2;
    }
    while best.0 + 1 < beyond {
        let middle = usize::midpoint(best.0, beyond);
        match fit(middle) {
            Some(piece) => best = (middle, piece),
            None => beyond = middle,
        }
    }
    Some(best)
}

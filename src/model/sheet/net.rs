//! A development parted into the faces of its panels.

use super::panel::Panel;
use crate::geometry::split::{self, SAME};
use crate::geometry::{Path, Piece, Vec2};
use crate::model::ModelError;

/// How far (mm) beside a line it is asked what lies there.
const BESIDE: f64 = 1e-5;

/// Chords of a ring stray by at most this (mm) where it is asked what lies inside.
const SAGITTA: f64 = 1e-3;

/// A piece of a sheet's edge, the metal to its left.
#[derive(Debug, Clone)]
pub(in super::super) struct Rim {
    pub(in super::super) from: Vec2,
    pub(in super::super) piece: Piece,
    /// Of its wall; empty for none.
    pub(in super::super) name: String,
    /// Walls of one number lie in one plane and are one face where they follow one another.
    pub(in super::super) flush: Option<usize>,
}

impl Rim {
    /// The rims along a path.
    pub(in super::super) fn all(path: &Path, name: &str) -> Vec<Self> {
        path.runs().map(|(from, piece)| Self { from, piece: *piece, name: name.to_owned(), flush: None }).collect()
    }
}

/// One side of a face.
#[derive(Debug, Clone, Copy)]
pub(super) enum Side {
    /// A rim by its number.
    Rim(usize),
    /// Along a border, to the neighbour.
    Fold(Vec2, Vec2),
}

/// A face of a panel: its outer ring first, then those of what is cut out of it. Metal lies to the left.
#[derive(Debug, Clone)]
pub(super) struct Region {
    pub(super) panel: usize,
    pub(super) rings: Vec<Vec<Side>>,
}

/// The rims parted at every border, each with its panel, and the faces they bound.
pub(super) struct Net {
    pub(super) rims: Vec<(Rim, usize)>,
    pub(super) regions: Vec<Region>,
}

/// Parts rims at the borders of the panels and puts the faces together.
///
/// `metal` says whether there is metal at a place. Rims that lie in no panel are left out: those of a closed rail
/// may be given once for each turn.
pub(super) fn lay(panels: &[Panel], rims: &[Rim], metal: &dyn Fn(Vec2) -> bool) -> Result<Net, ModelError> {
    let mut parted = Vec::new();
    for rim in rims {
        let lines = panels.iter().flat_map(|panel| &panel.borders);
        let mut stops: Vec<f64> =
            lines.flat_map(|line| split::crossings(rim.from, &rim.piece, line.at, line.inward)).collect();
        stops.extend([0.0, 1.0]);
        stops.sort_by(f64::total_cmp);
        for pair in stops.windows(2) {
            let &[a, b] = pair else { continue };
            let (from, piece) = split::part(rim.from, &rim.piece, [a, b]);
            if (split::point(rim.from, &rim.piece, a) - split::point(rim.from, &rim.piece, b)).length() <= SAME {
                continue;
            }
            let left = split::tangent(from, &piece, 0.5).unit().unwrap_or_default().left();
            let beside = split::point(from, &piece, 0.5) + left * BESIDE;
            if let Some(panel) = panels.iter().position(|panel| holds(panel, beside)) {
                parted.push((Rim { from, piece, ..rim.clone() }, panel));
            }
        }
    }
    let mut regions = Vec::new();
    for (at, panel) in panels.iter().enumerate() {
        let mut sides: Vec<Half> = parted
            .iter()
            .enumerate()
            .filter(|(_, (_, of))| *of == at)
            .map(|(i, (rim, _))| Half::new(Side::Rim(i), rim.from, rim.piece))
            .collect();
        sides.extend(folds(panel, &parted, metal));
        regions.extend(faces(at, &sides)?);
    }
    Ok(Net { rims: parted, regions })
}

fn holds(panel: &Panel, p: Vec2) -> bool {
    panel.borders.iter().all(|border| border.depth(p) > 0.0)
}

/// The stretches of a panel's borders with metal on both sides, run with the panel to the left.
fn folds(panel: &Panel, rims: &[(Rim, usize)], metal: &dyn Fn(Vec2) -> bool) -> Vec<Half> {
    let mut all = Vec::new();
    for border in &panel.borders {
        let ends = rims.iter().flat_map(|(rim, _)| [rim.from, rim.piece.end()]);
        let inside = |p: &Vec2| border.meets(*p) && panel.borders.iter().all(|other| other.depth(*p) >= -SAME);
        // With the panel to the left.
        let along = -border.inward.left();
        let mut nodes: Vec<Vec2> = ends.filter(inside).collect();
        nodes.sort_by(|a, b| a.dot(along).total_cmp(&b.dot(along)));
        nodes.dedup_by(|a, b| (*a - *b).length() <= SAME);
        for pair in nodes.windows(2) {
            let &[from, to] = pair else { continue };
            let middle = (from + to) * 0.5;
            if [BESIDE, -BESIDE].into_iter().all(|by| metal(middle + border.inward * by)) {
                all.push(Half::new(Side::Fold(from, to), from, Piece::Line { to }));
            }
        }
    }
    all
}

/// A side with what is asked of it to put rings together.
#[derive(Debug, Clone, Copy)]
struct Half {
    side: Side,
    from: Vec2,
    piece: Piece,
}

impl Half {
    const fn new(side: Side, from: Vec2, piece: Piece) -> Self {
        Self { side, from, piece }
    }

    /// Direction (rad) in which it leaves its start, or back from its end.
    fn leaves(&self) -> f64 {
        split::tangent(self.from, &self.piece, 0.0).angle()
    }

    fn back(&self) -> f64 {
        (-split::tangent(self.from, &self.piece, 1.0)).angle()
    }
}

/// Chains sides to rings, and rings to faces.
fn faces(panel: usize, sides: &[Half]) -> Result<Vec<Region>, ModelError> {
    let mut used = vec![false; sides.len()];
    let mut outer: Vec<(Path, Region)> = Vec::new();
    let mut inner: Vec<(Vec2, Vec<Side>)> = Vec::new();
    for first in 0..sides.len() {
        if used[first] {
            continue;
        }
        let (mut ring, mut at) = (Vec::new(), first);
        loop {
            used[at] = true;
            ring.push(at);
            let (end, back) = (sides[at].piece.end(), sides[at].back());
            // Of several that go on, the first clockwise from the way back bounds the same metal.
            let turn = |i: usize| (back - sides[i].leaves() - 1e-9).rem_euclid(std::f64::consts::TAU);
            let next = (0..sides.len())
                .filter(|&i| (sides[i].from - end).length() <= 10.0 * SAME && (!used[i] || i == first))
                .min_by(|&a, &b| turn(a).total_cmp(&turn(b)));
            match next {
                Some(next) if next == first => break,
                Some(next) => at = next,
                None => {
                    let message =
                        format!("its edge does not close at ({:.3}, {:.3}) mm of the unrolled sheet", end.x, end.y);
                    return Err(ModelError::new("outline", message));
                }
            }
        }
        let pieces = ring.iter().map(|&i| sides[i].piece).collect();
        let path = Path { start: sides[first].from, pieces, closed: true };
        let ring: Vec<Side> = ring.into_iter().map(|i| sides[i].side).collect();
        if path.area() > 0.0 {
            outer.push((path, Region { panel, rings: vec![ring] }));
        } else {
            inner.push((path.start, ring));
        }
    }
    let rounds: Vec<Vec<Vec2>> = outer.iter().map(|(path, _)| path.flattened(SAGITTA)).collect();
    for (start, ring) in inner {
        // The least of those round it, should one lie in an opening of another.
        let holder = (0..outer.len())
            .filter(|&i| contains(&rounds[i], start))
            .min_by(|&a, &b| outer[a].0.area().total_cmp(&outer[b].0.area()));
        let Some(holder) = holder else {
            return Err(ModelError::new("outline", "what is cut out lies outside of the metal"));
        };
        outer[holder].1.rings.push(ring);
    }
    Ok(outer.into_iter().map(|(_, region)| region).collect())
}

/// Whether a polygon contains a point: even-odd.
pub(in super::super) fn contains(polygon: &[Vec2], p: Vec2) -> bool {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).fold(false, |inside, (a, b)| {
        let crosses = (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x;
        inside != crosses
    })
}

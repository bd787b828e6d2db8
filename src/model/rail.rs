//! Rails with their notches.

use super::sheet::{Bend, Border, Form, Panel, Rim, Sheet, contains, flat};
use super::{ModelError, Solid};
use crate::geometry::{Path, Piece, Vec2, Vec3};
use crate::solve::rail_part::{self, Cut, Strip};
use crate::solve::solution::RailResult;

/// A line along the edge of the metal is told from a cut within this (mm).
const ON: f64 = 1e-7;

/// How far (mm) beside an end or a lip it is asked whether there is metal.
const BESIDE: f64 = 1e-5;

/// Chords of an outline stray by at most this (mm) where it is asked what lies inside.
const SAGITTA: f64 = 1e-3;

/// A rail between its two ends, less its cuts, in its own frame: x along it from its first end, y up, z right.
///
/// The walls of a cut are square to the outside all the way through, as its clearance is worked out; each has the
/// cut's name.
///
/// # Errors
/// Cuts that run into each other, or over a corner tighter than the wall.
pub fn solid(rail: &RailResult, cuts: &[Cut<'_>]) -> Result<Solid, ModelError> {
    let strips = rail_part::strips(rail);
    let sheet = Sheet { panels: panels(rail, &strips), thick: rail.wall };
    let mut rims = Vec::new();
    let mut removed = Vec::new();
    for cut in cuts {
        for path in &cut.paths {
            for by in rail_part::turns(rail) {
                let path = seen(&path.moved(Vec2::new(0.0, by)));
                removed.push(path.flattened(SAGITTA));
                rims.extend(Rim::all(&path, cut.name));
            }
        }
    }
    let (low, high) = (strips.first().map_or(0.0, Strip::low), strips.last().map_or(0.0, Strip::high));
    let is_channel = rail.girth.is_none();
    let within = |p: Vec2| p.x > 0.0 && p.x < rail.length && !(is_channel && (-p.y < low || -p.y > high));
    let metal = |p: Vec2| within(p) && !removed.iter().any(|polygon| contains(polygon, p));
    // Along the ends and the lips a cut's outline is no edge.
    let bare = |rim: &Rim| {
        let on = |at: f64, a: f64, b: f64| (a - at).abs().max((b - at).abs()) <= ON;
        let (a, b) = (rim.from, rim.piece.end());
        let ends = [0.0, rail.length].iter().any(|&at| on(at, a.x, b.x));
        ends || (is_channel && [-low, -high].iter().any(|&at| on(at, a.y, b.y)))
    };
    rims.retain(|rim| !bare(rim));
    let nodes: Vec<Vec2> = rims.iter().flat_map(|rim| [rim.from, rim.piece.end()]).collect();
    let mut edge = |from: Vec2, to: Vec2, flush: Option<usize>| {
        let along = (to - from).unit().unwrap_or_default();
        let mut stops = vec![from, to];
        stops.extend(nodes.iter().copied().filter(|p| {
            let off = *p - from;
            off.cross(along).abs() <= ON && off.dot(along) > ON && off.dot(along) < (to - from).length() - ON
        }));
        stops.sort_by(|a, b| a.dot(along).total_cmp(&b.dot(along)));
        for pair in stops.windows(2) {
            let &[a, b] = pair else { continue };
            if (b - a).length() > ON && metal((a + b) * 0.5 + along.left() * BESIDE) {
                rims.push(Rim { from: a, piece: Piece::Line { to: b }, name: String::new(), flush });
            }
        }
    };
    for strip in &strips {
        let (low, high) = (-strip.low(), -strip.high());
        edge(Vec2::new(0.0, low), Vec2::new(0.0, high), Some(0));
        edge(Vec2::new(rail.length, high), Vec2::new(rail.length, low), Some(1));
    }
    if is_channel {
        edge(Vec2::new(rail.length, -low), Vec2::new(0.0, -low), None);
        edge(Vec2::new(0.0, -high), Vec2::new(rail.length, -high), None);
    }
    sheet.solid(&format!("rail {}", rail.name), &rims, Vec::new(), &metal)
}

/// A path as the development is seen from outside: x = u, y = −v.
fn seen(path: &Path) -> Path {
    let mut path = path.carried(Vec2::default(), Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0));
    for piece in &mut path.pieces {
        // The second semi-axis lies a quarter turn on from the first again.
        if let Piece::Arc { minor, start, sweep, .. } = piece {
            (*minor, *start, *sweep) = (-*minor, -*start, -*sweep);
        }
    }
    path
}

/// The strips as flats and bends.
fn panels(rail: &RailResult, strips: &[Strip]) -> Vec<Panel> {
    let space = |p: Vec2| Vec3::new(0.0, p.y, p.x);
    let along = Vec3::new(1.0, 0.0, 0.0);
    let count = strips.len();
    let mut panels = Vec::with_capacity(count);
    for (i, strip) in strips.iter().enumerate() {
        let before = if i > 0 || rail.girth.is_some() { strips.get((i + count - 1) % count) } else { None };
        let after = if i + 1 < count || rail.girth.is_some() { strips.get((i + 1) % count) } else { None };
        // A flat's back ends where the back of the next flat meets it.
        let pull = |other: &Strip| match (strip.radius(), other.radius()) {
            (None, None) => rail.wall,
            (None, Some(radius)) => (rail.wall - radius).max(0.0),
            _ => 0.0,
        };
        let ends = [(before, strip.low(), -1.0), (after, strip.high(), 1.0)];
        let borders = ends
            .into_iter()
            .filter_map(|(other, v, inward)| {
                let (at, inward) = (Vec2::new(0.0, -v), Vec2::new(0.0, inward));
                other.map(|other| Border { at, inward, pull: pull(other) })
            })
            .collect();
        let (from, to) = (strip.0.from, strip.0.to);
        let form = match strip.0.centre {
            None => {
                let ahead = space((to - from).unit().unwrap_or_default());
                Form::Flat(flat(space(from) - ahead * strip.low(), along, -ahead))
            }
            Some(centre) => {
                let radial = space((from - centre).unit().unwrap_or_default());
                Form::Bend(Bend {
                    axis: crate::geometry::Frame { origin: space(centre), x: radial, y: along.cross(radial), z: along },
                    radius: (from - centre).length(),
                    hollow: false,
                    rate: 1.0 / (from - centre).length(),
                    at: Vec2::new(0.0, -strip.low()),
                    across: Vec2::new(0.0, -1.0),
                })
            }
        };
        panels.push(Panel { form, borders });
    }
    panels
}

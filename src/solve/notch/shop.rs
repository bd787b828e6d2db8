//! The outline to cut: the traced one with no inside corner sharper than a radius.
//!
//! A crack starts where the metal left has an inside corner, which is where
//! the removed region bulges. Every point of the cut edge must therefore be
//! touched by a disc of that radius lying in what is removed, as a hole saw
//! or drill would leave it. Where the traced outline has such a disc nothing
//! changes. Elsewhere discs are run from the nearest place where one fits
//! toward the tip until it is cut; what is removed only grows. The metal may
//! keep points as sharp as it likes: they carry no load.
//!
//! Beyond a channel's lips and the rail's ends there is no metal, so the
//! outline's closing lines there are no edge. Metal cut loose on all sides
//! falls out: the outline to cut has no islands.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::geometry::contour::{self, Loop};
use crate::geometry::segment::{self, nearest_on};
use crate::geometry::{Vec2, contour::sides};

use super::extent;
use super::trace::OUTLINE;

/// How far (mm) a disc may stick out of the traced outline and still count as lying in it.
///
/// A polyline within [`OUTLINE`] of a curve of that very radius must pass.
const FITS: f64 = 3.0 * OUTLINE;

/// Depth (mm) by which a disc is run past a tip, so that no splinter of the old edge is left.
const PAST: f64 = 0.5 * OUTLINE;

/// Spacing (mm) of the places at which the edge is tried.
const SPACING: f64 = 0.75;

/// So many discs are made one at once.
const HANDFUL: usize = 8;

/// Where the metal ends: the lips (least and greatest v) of a channel, the rail's ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bounds {
    pub(super) length: f64,
    pub(super) lips: Option<(f64, f64)>,
    pub(super) girth: Option<f64>,
}

impl Bounds {
    /// Whether a side of an outline runs along a border of the metal, and is no cut.
    pub(super) fn bare(&self, a: Vec2, b: Vec2) -> bool {
        let on = |p: f64, q: f64, border: f64| (p - border).abs().max((q - border).abs()) <= contour::SAME;
        let ends = [0.0, self.length].iter().any(|&u| on(a.x, b.x, u));
        let lips = self.lips.is_some_and(|(low, high)| on(a.y, b.y, low) || on(a.y, b.y, high));
        ends || lips
    }

    /// A polygon less what lies beyond the metal.
    pub(super) fn clipped(&self, polygon: &[Vec2]) -> Vec<Vec2> {
        let mut polygon = contour::clipped(polygon, Vec2::default(), Vec2::new(1.0, 0.0));
        polygon = contour::clipped(&polygon, Vec2::new(self.length, 0.0), Vec2::new(-1.0, 0.0));
        if let Some((low, high)) = self.lips {
            polygon = contour::clipped(&polygon, Vec2::new(0.0, low), Vec2::new(0.0, 1.0));
            polygon = contour::clipped(&polygon, Vec2::new(0.0, high), Vec2::new(0.0, -1.0));
        }
        polygon
    }
}

/// A place on the edge with the outward normal.
#[derive(Debug, Clone, Copy)]
struct Place {
    at: Vec2,
    out: Vec2,
    /// Between two borders without metal, where no disc is asked for.
    bare: bool,
}

/// Centre lines along which discs are run.
#[derive(Debug, Default)]
struct Runs(Vec<(Vec2, Vec2)>);

impl Runs {
    /// Nearest point of the centre lines, and its distance.
    fn nearest(&self, p: Vec2) -> Option<(Vec2, f64)> {
        self.0
            .iter()
            .map(|&(a, b)| {
                let q = nearest_on(p, a, b);
                (q, (p - q).length())
            })
            .min_by(|x, y| x.1.total_cmp(&y.1))
    }
}

/// The outline to cut from the outer loops of the traced one.
pub(super) fn rounded(traced: &[Vec<Vec2>], radius: f64, bounds: Bounds) -> Vec<Loop> {
    let mut polygons: Vec<Vec<Vec2>> = traced.iter().filter(|l| contour::area(l) > 0.0).cloned().collect();
    let as_loops = |polygons: &[Vec<Vec2>]| -> Vec<Loop> {
        polygons.iter().map(|points| Loop { points: points.clone(), turns: 0 }).collect()
    };
    if radius <= FITS {
        return as_loops(&polygons);
    }
    // Discs can meet another part of the outline and make a new place to look at; four rounds are plenty.
    for _ in 0..4 {
        let mut discs: Vec<Vec<Vec2>> = Vec::new();
        for polygon in &polygons {
            for (a, b) in runs_for(polygon, radius, &bounds) {
                discs.push(bounds.clipped(&run_of_discs(a, b, radius)));
            }
        }
        if discs.is_empty() {
            break;
        }
        polygons.extend(united(discs, bounds.girth));
        let loops = contour::union(&polygons, bounds.girth);
        if loops.iter().any(|l| l.turns != 0) {
            return loops;
        }
        polygons = loops.into_iter().map(|l| l.points).filter(|points| contour::area(points) > 0.0).collect();
    }
    as_loops(&polygons)
}

/// Discs by the handful, so that no step sees many sides: a wide radius along a small outline asks for hundreds that lie
/// nearly on each other. What they surround falls out, as it does of the whole.
fn united(discs: Vec<Vec<Vec2>>, girth: Option<f64>) -> Vec<Vec<Vec2>> {
    let mut groups: Vec<Vec<Vec<Vec2>>> = discs.chunks(HANDFUL).map(<[_]>::to_vec).collect();
    while groups.len() > 1 {
        let mut wider = Vec::new();
        for two in groups.chunks(2) {
            let loops = contour::union(&two.concat(), girth);
            if loops.iter().any(|l| l.turns != 0) {
                return discs;
            }
            wider.push(loops.into_iter().map(|l| l.points).filter(|points| contour::area(points) > 0.0).collect());
        }
        groups = wider;
    }
    groups.pop().unwrap_or_default()
}

/// Widest opening (mm) that rounding may leave between a tube and the edge it is welded to: a close fit by file. Common
/// practice, no source; AWS D1.1 lets a fillet weld stay as it is up to 1/16 in (from memory).
const OPENING: f64 = 0.5;

/// The edge round a tube with its inside corners rounded, and the radius: `radius`, or less where that would leave the
/// tube standing too far off.
pub(super) fn rounded_under(edge: &[Vec<Vec2>], radius: f64, bounds: Bounds) -> (Vec<Loop>, f64) {
    let half = |points: &Vec<Vec2>| {
        let span = |f: fn(&Vec2) -> f64| extent(std::slice::from_ref(points), f).map_or(0.0, |(low, high)| high - low);
        0.5 * span(|p| p.x).min(span(|p| p.y))
    };
    // A disc wider than the opening finds no room in its corners.
    let widest = edge.iter().map(half).fold(0.0, f64::max);
    let mut radius = radius;
    while radius > widest {
        radius *= 0.5;
    }
    // Halved, not closed in on: the widest that will do swells the tips of the edge. Ten bring any radius under a hair.
    for _ in 0..10 {
        let loops = rounded(edge, radius, bounds);
        let opens = |p: &Vec2| {
            let near = edge.iter().flat_map(|points| sides(points)).map(|(a, b)| segment::off(*p, a, b));
            near.fold(f64::INFINITY, f64::min)
        };
        let one_turn = loops.iter().all(|l| l.turns == 0);
        if one_turn && loops.iter().flat_map(|l| &l.points).all(|p| opens(p) <= OPENING) {
            return (loops, radius);
        }
        radius *= 0.5;
    }
    (rounded(edge, 0.0, bounds), 0.0)
}

/// Centre lines of the discs that a loop lacks.
fn runs_for(polygon: &[Vec2], radius: f64, bounds: &Bounds) -> Vec<(Vec2, Vec2)> {
    let places = places(polygon, radius, bounds);
    let edge: Vec<(Vec2, Vec2)> = sides(polygon).filter(|&(a, b)| !bounds.bare(a, b)).collect();
    let fits = |place: &Place| {
        let centre = place.at - place.out * radius;
        let least = (radius - FITS) * (radius - FITS);
        edge.iter().all(|&(a, b)| {
            // Most sides lie beyond the disc's square.
            let beyond = |c: f64, a: f64, b: f64| a.min(b) - c > radius || c - a.max(b) > radius;
            if beyond(centre.x, a.x, b.x) || beyond(centre.y, a.y, b.y) {
                return true;
            }
            let q = nearest_on(centre, a, b) - centre;
            q.dot(q) >= least
        })
    };
    let good: Vec<bool> = places.iter().map(|place| place.bare || fits(place)).collect();
    let count = places.len();
    let Some(first) = (0..count).find(|&i| good[i] && !places[i].bare) else {
        return if good.iter().all(|&g| g) { Vec::new() } else { grown(seed(&places, radius), &places, radius) };
    };
    let mut all = Vec::new();
    let mut i = 0;
    while i < count {
        let at = (first + i) % count;
        if good[at] {
            i += 1;
            continue;
        }
        // A stretch without discs, and the discs at its two ends.
        let start = i;
        while i < count && (!good[(first + i) % count] || places[(first + i) % count].bare) {
            i += 1;
        }
        let stretch: Vec<Place> = (start..i).map(|k| places[(first + k) % count]).filter(|p| !p.bare).collect();
        let centres = [(first + start + count - 1) % count, (first + i) % count]
            .map(|k| places[k])
            .into_iter()
            .filter(|place| !place.bare)
            .map(|place| place.at - place.out * radius);
        let seeds = Runs(centres.map(|c| (c, c)).collect());
        all.extend(grown(seeds, &stretch, radius));
    }
    all
}

/// Centre lines grown from the seeds until every place is cut.
fn grown(mut runs: Runs, places: &[Place], radius: f64) -> Vec<(Vec2, Vec2)> {
    // Each round cuts the place farthest from what is cut; there are never more rounds than places.
    for _ in 0..places.len() {
        let farthest = places
            .iter()
            .filter(|p| !p.bare)
            .filter_map(|p| runs.nearest(p.at).map(|(q, d)| (p.at, q, d)))
            .max_by(|a, b| a.2.total_cmp(&b.2));
        let Some((tip, from, distance)) = farthest else { break };
        if distance <= radius + 0.5 * PAST {
            break;
        }
        let Some(ahead) = (tip - from).unit() else { break };
        runs.0.push((from, tip - ahead * (radius - PAST)));
    }
    runs.0
}

/// Where to begin in a loop that holds no disc at all: from its one end to the other, each end just cut.
fn seed(places: &[Place], radius: f64) -> Runs {
    let farthest = |from: Vec2| {
        let edge = places.iter().filter(|place| !place.bare).map(|place| place.at);
        edge.max_by(|a, b| (*a - from).length().total_cmp(&(*b - from).length())).unwrap_or(from)
    };
    let Some(start) = places.first() else { return Runs::default() };
    let one = farthest(start.at);
    let other = farthest(one);
    let apart = other - one;
    let inset = apart * (0.5f64).min((radius - PAST) / apart.length().max(radius));
    Runs(vec![(one + inset, other - inset)])
}

/// Places along a loop at which a disc is asked for.
///
/// Where sides follow a curve the way out turns along each of them, as the curve's does: a disc of the curve's own radius
/// then has its centre in the curve's, and not beside it.
fn places(polygon: &[Vec2], radius: f64, bounds: &Bounds) -> Vec<Place> {
    let count = polygon.len();
    let curve = 4.0 * libm::acos(radius / (radius + OUTLINE));
    // Unit vectors along the side before a corner and the one after it.
    let ways = |i: usize| {
        let [before, at, after] = [i + count - 1, i, i + 1].map(|k| polygon[k % count]);
        Some(((at - before).unit()?, (after - at).unit()?))
    };
    // The way out at a corner for a side beside it: between both sides' where they follow a curve, else its own.
    let out_at = |i: usize, side: Vec2| match ways(i) {
        Some((back, ahead)) if back.cross(ahead).abs() <= libm::sin(curve.min(FRAC_PI_2)) && back.dot(ahead) > 0.0 => {
            -(back + ahead).left()
        }
        _ => -side.left(),
    };
    let mut places = Vec::new();
    for (i, (a, b)) in sides(polygon).enumerate() {
        let Some((back, ahead)) = ways(i) else { continue };
        let (bare_back, bare) = (bounds.bare(polygon[(i + count - 1) % count], a), bounds.bare(a, b));
        // At a corner of the metal left that points into what is removed no disc can touch, and none is asked for.
        let points_in = back.cross(ahead) < -FITS.min(0.1);
        if let Some(out) = (-(back + ahead).left()).unit() {
            places.push(Place { at: a, out, bare: bare_back || bare || points_in });
        }
        let pieces = ((b - a).length() / SPACING).ceil().max(1.0) as usize;
        if pieces == 1 {
            continue;
        }
        let [from, to] = [i, i + 1].map(|k| out_at(k % count, ahead).unit());
        let (from, to) = (from.unwrap_or(-ahead.left()), to.unwrap_or(-ahead.left()));
        for k in 1..pieces {
            let along = k as f64 / pieces as f64;
            let out = (from * (1.0 - along) + to * along).unit().unwrap_or(-ahead.left());
            places.push(Place { at: a + (b - a) * along, out, bare });
        }
    }
    places
}

/// The outside of discs run along a line, as a polygon that encloses them by at most [`OUTLINE`].
fn run_of_discs(a: Vec2, b: Vec2, radius: f64) -> Vec<Vec2> {
    let half = (PI / libm::acos(radius / (radius + OUTLINE)) / 2.0).ceil().max(3.0);
    let step = PI / half;
    let reach = radius / libm::cos(step / 2.0);
    let ahead = if (b - a).length() > 0.0 { (b - a).angle() } else { 0.0 };
    let cap = |centre: Vec2, from: f64| {
        (0..half as usize).map(move |k| centre + Vec2::polar(from + (k as f64 + 0.5) * step) * reach)
    };
    cap(b, ahead - PI / 2.0).chain(cap(a, ahead + PI / 2.0)).collect()
}

//! Rails as parts: their strips, and what is cut out of each.

use std::f64::consts::{FRAC_PI_4, PI};

use super::apart::Chords;
use super::outline;
use super::rail::OutsidePiece;
use super::rail_hole;
use super::solution::{NotchResult, RailResult, Solution, Vertex};
use crate::geometry::split::area_below;
use crate::geometry::{Path, Vec2};

/// Corners within this (mm) of the wall are as tight as it: the inside has none.
const TIGHT: f64 = 1e-9;

/// Turns of the unrolled outside in which an outline can lie.
const TURNS: std::ops::RangeInclusive<i32> = -2..=2;

/// A notch or a bolt's hole in its rail: closed paths in (u, v), anticlockwise round what is removed.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut<'a> {
    /// Of the notch or the bolt.
    pub name: &'a str,
    /// Its outline.
    pub paths: Vec<Path>,
    /// Whether it is a bolt's hole: a drill goes straight, so only on a flat is its wall square to the outside.
    pub drilled: bool,
}

/// What notches and bolts take out of a rail.
pub fn cuts<'a>(solution: &'a Solution, rail: &RailResult) -> Vec<Cut<'a>> {
    let own = solution.notches.iter().filter(|notch| notch.rail == rail.name && !notch.shop.is_empty());
    let mut cuts: Vec<Cut<'_>> =
        own.map(|notch| Cut { name: &notch.name, paths: paths(notch), drilled: false }).collect();
    let holes = rail_hole::holes(solution, rail);
    for bolt in &solution.bolts {
        let own = holes.iter().filter(|hole| hole.bolt == bolt.name);
        let paths: Vec<Path> = own.map(|hole| Path::circle(hole.at, 0.5 * hole.diameter)).collect();
        if !paths.is_empty() {
            cuts.push(Cut { name: &bolt.name, paths, drilled: true });
        }
    }
    cuts
}

/// The outline to cut as paths.
pub fn paths(notch: &NotchResult) -> Vec<Path> {
    curves(&notch.shop_curves, &notch.shop)
}

/// The true outline as paths.
pub fn true_paths(notch: &NotchResult) -> Vec<Path> {
    curves(&notch.true_curves, &notch.traced)
}

/// Loops of curves; where there are none, those of points.
fn curves(curves: &[Vec<Vertex>], points: &[Vec<Vec2>]) -> Vec<Path> {
    if curves.is_empty() {
        let corners = |points: &Vec<Vec2>| points.iter().copied().map(Vertex::straight).collect::<Vec<_>>();
        return points.iter().filter_map(|points| outline::path(&corners(points))).collect();
    }
    curves.iter().filter_map(|vertices| outline::path(vertices)).collect()
}

/// Whether a rail has a file of its own: something is cut out of it, and it has a solid.
pub fn is_made(solution: &Solution, rail: &RailResult) -> bool {
    let cuts = cuts(solution, rail);
    !cuts.is_empty() && has_solid(rail, &cuts)
}

/// Whether a rail has a solid: its notches and holes lie apart, every hole on a flat, and no notch runs over a corner
/// tighter than the wall, where the outside alone does not say how the inside is cut.
pub fn has_solid(rail: &RailResult, cuts: &[Cut<'_>]) -> bool {
    let loops: Vec<&Path> = cuts.iter().flat_map(|cut| &cut.paths).collect();
    let turned = |path: &Path| turns(rail).map(|by| path.moved(Vec2::new(0.0, by))).collect::<Vec<_>>();
    let apart = loops.iter().enumerate().all(|(i, path)| {
        let own = Chords::of(path);
        loops.iter().take(i).flat_map(|other| turned(other)).all(|other| own.is_clear_of(&Chords::of(&other)))
    });
    let on_flat = |path: &Path| {
        let (low, high) = path.bounds();
        let flats = |strip: &Strip| strip.radius().is_none();
        strips(rail)
            .iter()
            .filter(|strip| flats(strip))
            .any(|strip| turns(rail).any(|by| low.y + by >= strip.low() - TIGHT && high.y + by <= strip.high() + TIGHT))
    };
    let drilled = cuts.iter().filter(|cut| cut.drilled).flat_map(|cut| &cut.paths);
    apart
        && drilled.into_iter().all(on_flat)
        && strips(rail).iter().filter(|strip| strip.tight(rail.wall)).all(|strip| {
            loops.iter().flat_map(|path| turned(path)).all(|path| {
                let (low, high) = path.bounds();
                high.y < strip.low() - TIGHT || low.y > strip.high() + TIGHT
            })
        })
}

/// By how much v may be moved for the same place: the turns of a closed section, 0 of a channel.
pub fn turns(rail: &RailResult) -> impl Iterator<Item = f64> + use<> {
    let girth = rail.girth;
    TURNS.filter(move |turn| girth.is_some() || *turn == 0).map(move |turn| f64::from(turn) * girth.unwrap_or_default())
}

/// A flat or a corner of a rail's outside, whole: a seam of the unrolled coordinate parts none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip(pub OutsidePiece);

impl Strip {
    /// v where it begins; under 0 where it holds the seam.
    pub const fn low(&self) -> f64 {
        self.0.v
    }

    /// v where it ends.
    pub fn high(&self) -> f64 {
        self.0.v + self.0.length
    }

    /// Outside radius of a corner.
    pub fn radius(&self) -> Option<f64> {
        self.0.centre.map(|centre| (self.0.from - centre).length())
    }

    /// Whether it is a corner with no radius left inside.
    pub fn tight(&self, wall: f64) -> bool {
        self.radius().is_some_and(|radius| radius <= wall + TIGHT)
    }

    /// v and depth under the outside (mm) of a point (right, up) of the section; `None` for one that lies under
    /// another strip, each strip reaching `slack` beyond its ends.
    pub fn under(&self, p: Vec2, slack: f64) -> Option<(f64, f64)> {
        let (from, length) = (self.0.from, self.0.length);
        let (along, depth) = match self.0.centre {
            None => {
                let ahead = (self.0.to - from).unit()?;
                ((p - from).dot(ahead), -(p - from).dot(ahead.left()))
            }
            Some(centre) => {
                let (arm, own) = (from - centre, p - centre);
                let radius = arm.length();
                // Clockwise; a little before the start is not a turn behind it.
                let angle = libm::atan2(-arm.cross(own), arm.dot(own));
                let angle = if angle < -FRAC_PI_4 { angle + 2.0 * PI } else { angle };
                (angle * radius, radius - own.length())
            }
        };
        (along >= -slack && along <= length + slack).then_some((self.0.v + along, depth))
    }
}

/// The strips of a rail in order of v. A pipe has two, half a turn each.
pub fn strips(rail: &RailResult) -> Vec<Strip> {
    let starts = rail.path.iter();
    let ends = rail.path.iter().skip(1).map(|next| (next.at, next.v));
    let back = rail.path.first().zip(rail.girth).map(|(first, girth)| (first.at, girth));
    let pieces = starts.zip(ends.chain(back)).map(|(start, (to, end))| OutsidePiece {
        v: start.v,
        length: end - start.v,
        from: start.at,
        to,
        centre: start.centre,
    });
    let mut strips: Vec<Strip> = Vec::new();
    for piece in pieces {
        match strips.last().and_then(|last| joined(last.0, piece)) {
            Some(whole) => {
                strips.pop();
                strips.push(Strip(whole));
            }
            None => strips.push(Strip(piece)),
        }
    }
    if let (Some(girth), [first, .., last]) = (rail.girth, &strips[..])
        && let Some(whole) = joined(OutsidePiece { v: last.low() - girth, ..last.0 }, first.0)
    {
        strips.pop();
        strips[0] = Strip(whole);
    }
    strips
}

/// Two pieces that are one strip: in one line, or round one centre for half a turn at most.
fn joined(a: OutsidePiece, b: OutsidePiece) -> Option<OutsidePiece> {
    let same = |p: Vec2, q: Vec2| (p - q).length() <= TIGHT;
    let one = match (a.centre, b.centre) {
        (None, None) => (a.to - a.from).cross(b.to - b.from).abs() <= TIGHT * a.length * b.length,
        (Some(c), Some(d)) => same(c, d) && a.length + b.length <= (PI + TIGHT) * (a.from - c).length(),
        _ => false,
    };
    (one && same(a.to, b.from)).then_some(OutsidePiece { length: a.length + b.length, to: b.to, ..a })
}

/// Area (mm²) of a section's metal.
pub fn section_area(rail: &RailResult) -> f64 {
    let strips = strips(rail);
    let wall = rail.wall;
    let mut area = 0.0;
    for (i, strip) in strips.iter().enumerate() {
        area += match strip.radius() {
            None => {
                let after = if rail.girth.is_some() { strips.get((i + 1) % strips.len()) } else { strips.get(i + 1) };
                // Two flats that meet in an edge share the square inside it.
                let sharp = after.is_some_and(|after| after.radius().is_none());
                strip.0.length * wall - if sharp { wall * wall } else { 0.0 }
            }
            // The flats beside it share the square between its centre and the inside corner.
            Some(radius) if strip.tight(wall) => PI / 4.0 * radius * radius - (wall - radius) * (wall - radius),
            Some(radius) => strip.0.length * wall * (1.0 - wall / (2.0 * radius)),
        };
    }
    area
}

/// Volume (mm³) of a rail less what is cut out of it, which must not touch a tight corner.
pub fn volume(rail: &RailResult, cuts: &[Cut<'_>]) -> f64 {
    let mut volume = section_area(rail) * rail.length;
    for strip in strips(rail) {
        // Under a corner there is less metal than outside.
        let deep = rail.wall * strip.radius().map_or(1.0, |radius| 1.0 - rail.wall / (2.0 * radius));
        for path in cuts.iter().flat_map(|cut| &cut.paths) {
            for by in turns(rail) {
                let path = path.moved(Vec2::new(0.0, by));
                let (low, high) = path.bounds();
                if high.y > strip.low() && low.y < strip.high() {
                    volume -= deep * (area_below(&path, strip.high()) - area_below(&path, strip.low()));
                }
            }
        }
    }
    volume
}

//! Plates welded flat on the faces of a notched rail.
//!
//! A plate stays on the flat of its face, a weld's leg clear of where the
//! corners begin, and runs past the notch on either side; both ends taper at
//! 30 degrees to a third of the height, so that no weld crosses the web at
//! full height (common practice, no source; tapers of 20 to 30 degrees in US
//! Army truck manual TM 5-3805-254-14-P-2). It keeps the same clearance as the
//! rail, by the same rule.

use crate::geometry::Vec2;
use crate::geometry::contour::{self, Loop};
use crate::solve::bodies::Room;
use crate::solve::outline;
use crate::solve::rail::RailShape;
use crate::solve::section::cells::{Plate, Tube};
use crate::solve::solution::{DoublerResult, PlateFrame};
use crate::spec::types::Face;

use super::WallRule;
use super::shop::Bounds;
use crate::solve::sweep::Slid;

/// Slope of a tapered end: the tangent of 30 degrees.
const TAPER: f64 = 0.577_350_269_189_625_8;

/// Share of the height at a tapered end.
const NOSE: f64 = 1.0 / 3.0;

/// Narrowest plate worth welding (mm). Common practice, no source.
pub(super) const LEAST_HEIGHT: f64 = 15.0;

/// Smallest piece of a plate that is kept (mm²).
const SCRAP: f64 = 100.0;

/// The flat of a face.
#[derive(Debug, Clone, Copy)]
pub(super) struct Flat {
    /// On the unrolled outside.
    pub(super) low: f64,
    pub(super) high: f64,
    at: Vec2,
    way: Vec2,
    out: Vec2,
}

/// A plate's sizes (mm).
#[derive(Debug, Clone, Copy)]
pub(super) struct Size {
    pub(super) thick: f64,
    pub(super) overrun: f64,
    /// `None`: all of the flat.
    pub(super) height: Option<f64>,
}

/// What a plate is cut for.
pub(super) struct Cutters<'a> {
    pub(super) rail: &'a RailShape,
    pub(super) rooms: &'a [Room],
    pub(super) swept: &'a [Slid],
    pub(super) clearance: f64,
    pub(super) tube: Option<Tube>,
    pub(super) shop: &'a [Vec<Vec2>],
}

/// Least leg (mm) of a fillet weld on a base this thick: AWS D1.1:2025 table 7.7, with its floor for cyclic loading;
/// it need not exceed the thinner part.
pub fn fillet(base: f64, thinner: f64) -> f64 {
    let table = match base {
        t if t <= 6.0 => 3.0,
        t if t <= 12.0 => 5.0,
        t if t <= 20.0 => 6.0,
        _ => 8.0,
    };
    f64::max(table, 5.0).min(thinner)
}

/// Height of a rail (mm): over all, upright.
pub(super) fn height(rail: &RailShape) -> f64 {
    // The quarters of round corners and of pipes begin and end on their crests; a pipe's may be begun between two.
    let ends = rail.pieces().flat_map(|piece| {
        let crest = piece.centre.map_or(piece.from.y, |centre| centre.y + (piece.from - centre).length());
        let is_pipe = rail.closed && rail.pieces().all(|piece| piece.centre.is_some());
        [piece.from.y, piece.to.y, if is_pipe { crest } else { piece.from.y }]
    });
    let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (a.min(y), b.max(y)));
    high - low
}

impl Flat {
    /// The upright ones of a rail, and the level ones too where asked for; a pipe has none.
    pub(super) fn all(rail: &RailShape, level: bool) -> Vec<Self> {
        let mut faces: Vec<Self> = Vec::new();
        for piece in rail.pieces().filter(|piece| piece.centre.is_none()) {
            let Some(way) = (piece.to - piece.from).unit() else { continue };
            let out = way.left();
            if !level && out.x.abs() < out.y.abs() {
                continue;
            }
            let face = Self { low: piece.v, high: piece.v + piece.length, at: piece.from, way, out };
            // A face that the seam divides is one.
            match faces.iter_mut().find(|other| rail.closed && (other.out - out).length() < 1e-9) {
                Some(first) if first.low.abs() < 1e-9 => {
                    first.at = face.at;
                    first.low = face.low - rail.girth;
                }
                Some(other) => other.high += face.high - face.low,
                None => faces.push(face),
            }
        }
        faces
    }

    /// What it is called by the vehicle.
    pub(super) fn word(&self, rail: &RailShape) -> &'static str {
        const FACES: [Face; 6] = [Face::Left, Face::Right, Face::Front, Face::Rear, Face::Top, Face::Bottom];
        let out = rail.direction(self.out);
        FACES
            .into_iter()
            .max_by(|a, b| out.dot(a.direction()).total_cmp(&out.dot(b.direction())))
            .map_or("side", Face::word)
    }

    /// Height a plate can have on it: the flat, a weld's leg clear of both edges.
    pub(super) fn room(&self, rail: &RailShape, thick: f64) -> f64 {
        self.high - self.low - 2.0 * fillet(rail.wall.max(thick), rail.wall.min(thick))
    }

    /// The plate on it; `None` where none worth welding is left.
    pub(super) fn plate(&self, cutters: &Cutters<'_>, size: Size) -> Option<DoublerResult> {
        let rail = cutters.rail;
        let room = self.room(rail, size.thick);
        let tall = size.height.map_or(room, |height| height.min(room));
        if tall < LEAST_HEIGHT {
            return None;
        }
        let copies = self.copies(rail, cutters.shop);
        // From the edge next to the notch, where what is cut away is missed most; from the upper one by default.
        let middle = f64::midpoint(self.low, self.high);
        let taken =
            copies.iter().flatten().map(|p| p.y - middle).fold((0.0f64, 0.0f64), |(a, b), v| (a.min(v), b.max(v)));
        let up_is_low = self.way.y < 0.0;
        let at_low = if taken == (0.0, 0.0) { up_is_low } else { -taken.0 > taken.1 };
        let leg = 0.5 * (self.high - self.low - room);
        let (low, high) =
            if at_low { (self.low + leg, self.low + leg + tall) } else { (self.high - leg - tall, self.high - leg) };
        let (first, last) = extent_u(cutters.shop)?;
        let (start, end) = ((first - size.overrun).max(0.0), (last + size.overrun).min(rail.length));
        let blank = blank((start, end), (low, high), size.overrun);
        let mut regions = vec![blank];
        regions.extend(copies);
        regions.extend(self.taken(cutters, size.thick));
        // Clockwise regions are taken away.
        for cut in regions.iter_mut().skip(1) {
            if contour::area(cut) > 0.0 {
                cut.reverse();
            }
        }
        let on_rail: Vec<Vec<Vec2>> = contour::union(&regions, None)
            .into_iter()
            .map(|Loop { points, .. }| points)
            .filter(|points| contour::area(points) > SCRAP || contour::area(points) < 0.0)
            .collect();
        if on_rail.iter().all(|points| contour::area(points) < 0.0) {
            return None;
        }
        let out = rail.direction(self.out);
        let at = self.at + self.way * (high - self.low) + self.out * size.thick;
        let frame = PlateFrame { origin: rail.place(0.0, at), u: rail.frame.x, v: -rail.direction(self.way), w: out };
        // Turned about u, the plate's own v runs up the sheet: the way round is turned with it.
        let on_sheet = |p: &Vec2| Vec2::new(p.x, high - p.y);
        let turned = |points: &Vec<Vec2>| points.iter().rev().map(on_sheet).collect();
        let loops: Vec<Vec<Vec2>> = on_rail.iter().map(turned).collect();
        let uncut: Vec<Vec2> = regions[0].iter().map(on_sheet).collect();
        Some(DoublerResult {
            curves: super::curves::left_standing(&loops, &uncut).iter().map(outline::vertices).collect(),
            face: self.word(rail).to_owned(),
            frame,
            thick: size.thick,
            outline: loops,
            on_rail,
            overrun: size.overrun,
        })
    }

    /// The notch's loops on every turn of the rail that this face may lie on.
    fn copies(&self, rail: &RailShape, shop: &[Vec<Vec2>]) -> Vec<Vec<Vec2>> {
        let turns: &[f64] = if rail.closed { &[-1.0, 0.0, 1.0] } else { &[0.0] };
        let mut copies = Vec::new();
        for turn in turns {
            for points in shop {
                let moved: Vec<Vec2> = points.iter().map(|p| Vec2::new(p.x, p.y + turn * rail.girth)).collect();
                let over = moved.iter().any(|p| p.y > self.low) && moved.iter().any(|p| p.y < self.high);
                if over {
                    copies.push(moved);
                }
            }
        }
        copies
    }

    /// What the parts and the tube take of a plate this thick.
    fn taken(&self, cutters: &Cutters<'_>, thick: f64) -> Vec<Vec<Vec2>> {
        let rail = cutters.rail;
        let vertex = |v: f64| crate::solve::solution::RailVertex {
            v,
            at: self.at + self.way * (v - self.low) + self.out * thick,
            centre: None,
        };
        let flat = RailShape {
            path: vec![vertex(self.low), vertex(self.high)],
            closed: false,
            girth: self.high - self.low,
            wall: thick,
            ..rail.clone()
        };
        let bounds = Bounds { length: rail.length, lips: None, girth: None };
        let swept = super::slid(cutters.swept, &flat);
        let rule = WallRule { swept, ..WallRule::new(&flat, cutters.rooms, cutters.clearance) };
        let mut taken = rule.taken(&bounds).0;
        if let Some(tube) = &cutters.tube {
            taken.extend(WallRule::of_tube(&flat, tube).taken(&bounds).0);
        }
        taken
    }
}

/// A plate before it is cut for the notch, anticlockwise.
fn blank((start, end): (f64, f64), (low, high): (f64, f64), overrun: f64) -> Vec<Vec2> {
    let drop = 0.5 * (1.0 - NOSE) * (high - low);
    let run = (drop / TAPER).min(0.9 * overrun).min(0.4 * (end - start));
    vec![
        Vec2::new(start, low + drop),
        Vec2::new(start + run, low),
        Vec2::new(end - run, low),
        Vec2::new(end, low + drop),
        Vec2::new(end, high - drop),
        Vec2::new(end - run, high),
        Vec2::new(start + run, high),
        Vec2::new(start, high - drop),
    ]
}

fn extent_u(shop: &[Vec<Vec2>]) -> Option<(f64, f64)> {
    super::extent(shop, |p| p.x)
}

/// The plates' stretches at a station.
pub(super) fn plates_at(doublers: &[DoublerResult], u: f64) -> Vec<Plate> {
    let stretches = |doubler: &DoublerResult| {
        let thick = doubler.thick;
        contour::slice(&doubler.on_rail, u)
            .into_iter()
            .map(move |(from, to)| Plate { from, to, thick })
            .collect::<Vec<_>>()
    };
    doublers.iter().flat_map(stretches).collect()
}

//! The section of a rail with plates on its faces and a tube set in it, at one station.
//!
//! A tube that crosses the rail meets the plane of the section in a ring
//! between two ellipses, or in strips where its axis lies in that plane; the
//! part inside the rail's outside counts. Where it closes what was cut, the
//! wall left standing and the tube make closed cells, one on either side of a
//! sleeve. Each carries torsion by Bredt's formula, 4 A² over the sum of s/t;
//! what the cells do for one another is left out, which errs on the safe side
//! (any text on strength of materials).

use super::moments::Moments;
use super::{Cuts, Middle, NOTHING, Run, Shape};
use crate::geometry::{Vec2, Vec3};
use crate::solve::rail::RailShape;
use crate::solve::solution::SectionProperties;

/// A round tube without end, in the rail's frame: x along the rail, y up, z right (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// On its axis.
    pub base: Vec3,
    /// Unit vector along it, not along the rail.
    pub axis: Vec3,
    /// Outside radius.
    pub outside: f64,
    /// Inside radius.
    pub inside: f64,
}

/// A plate flat on the outside of a straight stretch of a rail's wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Where it begins on the unrolled outside (mm).
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Thickness.
    pub thick: f64,
}

/// A rail ready to be cut at one station after another.
#[derive(Debug)]
pub struct Cell<'a> {
    rail: &'a RailShape,
    runs: Vec<Run>,
    middle: Middle,
    hull: Vec<Vec2>,
}

/// Levels at which a ring is cut across: its polygon's area is right to a few parts in 10⁵.
const LEVELS: usize = 160;

/// Longest piece of a straight middle line (mm), and largest angle of a round one (rad).
const PIECE: f64 = 4.0;
const TURN: f64 = 0.1;

/// Pieces of the tube's line between two walls.
const BOWS: usize = 48;

/// How far (mm) from a tube's outside a cut edge may lie and still be closed by it: a weld's root.
const ROOT: f64 = 0.5;

/// A point of the middle line.
#[derive(Debug, Clone, Copy)]
struct Mid {
    at: Vec2,
    v: f64,
}

impl Tube {
    fn off(&self, u: f64, p: Vec2) -> Vec3 {
        Vec3::new(u, p.y, p.x) - self.base
    }

    /// Distance from the axis of a point (right, up) of the section at `u`.
    fn distance(&self, u: f64, p: Vec2) -> f64 {
        let w = self.off(u, p);
        let along = w.dot(self.axis);
        (w.dot(w) - along * along).max(0.0).sqrt()
    }

    /// How far from `p` along the unit vector `way` the round of that radius is left; `p` lies inside.
    fn way_out(&self, u: f64, p: Vec2, way: Vec2, radius: f64, most: f64) -> f64 {
        let (w, d) = (self.off(u, p), Vec3::new(0.0, way.y, way.x));
        let (wa, da) = (w.dot(self.axis), d.dot(self.axis));
        let (a, b) = (1.0 - da * da, w.dot(d) - wa * da);
        let c = w.dot(w) - wa * wa - radius * radius;
        if a <= 1e-12 {
            return most;
        }
        let root = (b * b - a * c).max(0.0).sqrt();
        ((root - b) / a).clamp(0.0, most)
    }

    /// Stretch of x at height `y` within a radius of the axis.
    fn chord(&self, u: f64, y: f64, radius: f64) -> Option<(f64, f64)> {
        let w = self.off(u, Vec2::new(0.0, y));
        let (wa, az) = (w.dot(self.axis), self.axis.z);
        let (a, b) = (1.0 - az * az, w.z - wa * az);
        let c = w.dot(w) - wa * wa - radius * radius;
        if a <= 1e-12 {
            return (c <= 0.0).then_some((f64::NEG_INFINITY, f64::INFINITY));
        }
        let under = b * b - a * c;
        (under >= 0.0).then(|| ((-b - under.sqrt()) / a, (-b + under.sqrt()) / a))
    }

    /// Heights between which the round of that radius meets the plane of the section; `None` where it does not.
    fn heights(&self, u: f64, radius: f64) -> Option<(f64, f64)> {
        // Least squared distance over x, a parabola in y: told by three of its values.
        let value = |y: f64| {
            let w = self.off(u, Vec2::new(0.0, y));
            let (wa, az) = (w.dot(self.axis), self.axis.z);
            let (a, b) = (1.0 - az * az, w.z - wa * az);
            let c = w.dot(w) - wa * wa - radius * radius;
            if a <= 1e-12 { c } else { c - b * b / a }
        };
        let (y0, h) = (self.base.y, radius);
        let (below, here, above) = (value(y0 - h), value(y0), value(y0 + h));
        let (bend, lean) = (f64::midpoint(above, below) - here, (above - below) / 2.0);
        if bend <= 1e-9 * radius * radius {
            return (here <= 0.0).then_some((f64::NEG_INFINITY, f64::INFINITY));
        }
        let under = lean * lean - 4.0 * bend * here;
        (under >= 0.0)
            .then(|| (y0 + h * (-lean - under.sqrt()) / (2.0 * bend), y0 + h * (-lean + under.sqrt()) / (2.0 * bend)))
    }
}

impl<'a> Cell<'a> {
    /// Of a rail, whole.
    pub fn new(rail: &'a RailShape) -> Self {
        let runs = Run::along(&rail.path, rail.closed, rail.girth);
        let middle = Middle::of(&runs, rail.closed, rail.wall);
        let mut hull = Vec::new();
        for run in &runs {
            match run.shape {
                Shape::Straight { start, along, .. } => hull.extend([start, start + along * (run.to - run.from)]),
                Shape::Arc { centre, radius, angle, turn } => {
                    let sweep = (run.to - run.from) / radius;
                    let count = (sweep / (0.5 * TURN)).ceil().max(1.0);
                    hull.extend((0..=count as usize).map(|i| {
                        let at = angle + turn * sweep * i as f64 / count;
                        centre + Vec2::polar(at) * radius
                    }));
                }
            }
        }
        Self { rail, runs, middle, hull }
    }

    /// Stretch of x inside the outside at height `y`; a channel's open side is closed by a line between its lips.
    fn hull_chord(&self, y: f64) -> Option<(f64, f64)> {
        let ends = self.hull.iter().zip(self.hull.iter().cycle().skip(1)).filter_map(|(a, b)| {
            if (a.y - y) * (b.y - y) > 0.0 {
                return None;
            }
            let rise = b.y - a.y;
            Some(if rise.abs() > NOTHING { [a.x + (b.x - a.x) * (y - a.y) / rise; 2] } else { [a.x, b.x] })
        });
        ends.flatten()
            .fold(None, |all: Option<(f64, f64)>, x| Some(all.map_or((x, x), |(low, high)| (low.min(x), high.max(x)))))
    }

    /// What lies both inside the outside and within a radius of the tube's axis, as a convex polygon.
    fn shared(&self, tube: &Tube, u: f64, radius: f64) -> Vec<Vec2> {
        let Some((low, high)) = tube.heights(u, radius) else { return Vec::new() };
        let heights = self.hull.iter().map(|p| p.y);
        let (bottom, top) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (a.min(y), b.max(y)));
        let (low, high) = (low.max(bottom), high.min(top));
        if high <= low {
            return Vec::new();
        }
        let (middle, half) = (f64::midpoint(low, high), (high - low) / 2.0);
        let (mut left, mut right) = (Vec::new(), Vec::new());
        for i in 0..=LEVELS {
            // Crowded toward both ends, where a round closes fastest.
            let y = middle - half * libm::cos(std::f64::consts::PI * i as f64 / LEVELS as f64);
            let y = y.clamp(low, high);
            let (Some(own), Some(hull)) = (tube.chord(u, y, radius), self.hull_chord(y)) else { continue };
            let (from, to) = (own.0.max(hull.0), own.1.min(hull.1));
            if to >= from {
                left.push(Vec2::new(from, y));
                right.push(Vec2::new(to, y));
            }
        }
        right.extend(left.into_iter().rev());
        right
    }

    /// The section at `u` with the wall over `removed` gone and plates and tube on.
    pub fn made_good(
        &self,
        u: f64,
        removed: &[(f64, f64)],
        tube: Option<&Tube>,
        plates: &[Plate],
    ) -> SectionProperties {
        let rail = self.rail;
        let first = self.runs.first().map_or(0.0, |run| run.from);
        let cuts = Cuts::new(removed, first, rail.closed.then_some(rail.girth));
        let mut moments = super::walls(&self.runs, &cuts, rail.closed, rail.wall);
        let mut torsion = self.middle.open(&self.runs, &cuts, rail.wall);
        for plate in plates {
            self.add_plate(plate, &mut moments);
            torsion += plate.thick * plate.thick * plate.thick * (plate.to - plate.from) / 3.0;
        }
        if let Some(tube) = tube {
            let before = moments.area();
            moments.add_polygon(&self.shared(tube, u, tube.outside), 1.0);
            moments.add_polygon(&self.shared(tube, u, tube.inside), -1.0);
            let wall = tube.outside - tube.inside;
            torsion += (moments.area() - before).max(0.0) * wall * wall / 3.0;
        }
        let cells = if rail.closed { self.cells(u, &cuts, tube, plates) } else { None };
        SectionProperties { torsion: torsion + cells.unwrap_or(0.0), closed: cells.is_some(), ..moments.properties() }
    }

    fn add_plate(&self, plate: &Plate, moments: &mut Moments) {
        let middle = f64::midpoint(plate.from, plate.to);
        let (at, out) = self.rail.section_point(middle);
        let (a, b) = (out.left() * ((plate.to - plate.from) / 2.0), out * (plate.thick / 2.0));
        moments.add_rectangle(at + b, a, b, 1.0);
        for corner in [a + b, a - b, b - a, -(a + b)] {
            moments.reach(at + b + corner);
        }
    }

    /// Points along the closed middle line, cut wherever plates and cuts begin and end.
    fn line(&self, cuts: &Cuts, plates: &[Plate]) -> Vec<Mid> {
        let half = self.rail.wall / 2.0;
        let girth = self.rail.girth;
        let mut line = Vec::new();
        for (run, share) in self.runs.iter().zip(&self.middle.shares) {
            let length = run.to - run.from;
            let longest = match run.shape {
                Shape::Straight { .. } => PIECE,
                Shape::Arc { radius, .. } => TURN * radius,
            };
            let count = (length / longest).ceil().max(1.0);
            let mut at: Vec<f64> = (0..count as usize).map(|i| run.from + length * i as f64 / count).collect();
            let ends = cuts.0.iter().flat_map(|&(a, b)| [a, b]).chain(plates.iter().flat_map(|p| [p.from, p.to]));
            at.extend(ends.map(|v| run.from + (v - run.from).rem_euclid(girth)).filter(|v| *v < run.to));
            at.sort_by(f64::total_cmp);
            for v in at {
                let s = v - run.from;
                let p = match run.shape {
                    Shape::Straight { start, along, inward } => {
                        // A straight that loses its ends to sharp corners keeps its points between them.
                        let spare = length * (1.0 - share) / 2.0;
                        start
                            + along * s.clamp(spare.min(length / 2.0), (length - spare).max(length / 2.0))
                            + inward * half
                    }
                    Shape::Arc { centre, radius, angle, turn } => {
                        centre + Vec2::polar(angle + turn * s / radius) * (radius - half).max(0.0)
                    }
                };
                line.push(Mid { at: p, v });
            }
        }
        line
    }

    /// Torsion constant of the closed cells; `None` where a wall they need is cut and not closed again.
    fn cells(&self, u: f64, cuts: &Cuts, tube: Option<&Tube>, plates: &[Plate]) -> Option<f64> {
        let girth = self.rail.girth;
        let line = self.line(cuts, plates);
        let count = line.len();
        let next = |i: usize| line[(i + 1) % count];
        let middle_v = |i: usize| {
            let (a, b) = (line[i].v, next(i).v);
            f64::midpoint(a, if b < a { b + girth } else { b })
        };
        let gone = |v: f64| cuts.0.iter().any(|&(a, b)| v > a && v < b);
        let thick = |v: f64| {
            let on = |plate: &&Plate| {
                let first = plate.from + girth * ((v - plate.from) / girth).floor();
                v < first + (plate.to - plate.from)
            };
            self.rail.wall + plates.iter().filter(on).map(|plate| plate.thick).sum::<f64>()
        };
        let Some(tube) = tube else {
            if (0..count).any(|i| gone(middle_v(i))) {
                return None;
            }
            let loop_points: Vec<Vec2> = line.iter().map(|mid| mid.at).collect();
            let flow: f64 = (0..count).map(|i| (next(i).at - line[i].at).length() / thick(middle_v(i))).sum();
            return Some(bredt(&loop_points, flow));
        };
        let wall = tube.outside - tube.inside;
        let radius = f64::midpoint(tube.outside, tube.inside);
        let inside = |p: Vec2| tube.distance(u, p) <= radius;
        let held: Vec<bool> = line.iter().map(|mid| inside(mid.at)).collect();
        let Some(start) = (0..count).find(|&i| held[i] && !held[(i + 1) % count]) else {
            // The tube holds no point of the middle line: the wall must be whole, or closed by its mere touch.
            let open = (0..count).any(|i| gone(middle_v(i)) && !self.touched(tube, u, middle_v(i)));
            let points: Vec<Vec2> = line.iter().map(|mid| mid.at).collect();
            let flow: f64 = (0..count).map(|i| (next(i).at - line[i].at).length() / thick(middle_v(i))).sum();
            return (!open && !held.iter().all(|&held| held)).then(|| bredt(&points, flow));
        };
        let mut total = 0.0;
        let mut i = 0;
        while i < count {
            let at = (start + i) % count;
            if !held[at] || held[(at + 1) % count] {
                i += 1;
                continue;
            }
            // From where the line leaves the tube to where it comes back.
            let mut points = vec![tube.crossing(u, line[at].at, next(at).at, radius)];
            let mut flow = 0.0;
            let mut k = at;
            while !held[(k + 1) % count] {
                k = (k + 1) % count;
                points.push(line[k].at);
                i += 1;
            }
            points.push(tube.crossing(u, next(k).at, line[k].at, radius));
            let mut j = at;
            for pair in points.windows(2) {
                let v = middle_v(j);
                if gone(v) && !self.touched(tube, u, v) {
                    return None;
                }
                flow += (pair[1] - pair[0]).length() / thick(v);
                j = (j + 1) % count;
            }
            let bow = self.bow(tube, u, radius, &points);
            flow += bow.windows(2).map(|pair| (pair[1] - pair[0]).length()).sum::<f64>() / wall;
            points.extend(bow);
            total += bredt(&points, flow);
            i += 1;
        }
        Some(total)
    }

    /// Whether the tube takes or touches the wall under v.
    fn touched(&self, tube: &Tube, u: f64, v: f64) -> bool {
        let (outside, out) = self.rail.section_point(v);
        // The nearest of the wall's points, by the slope of a parabola.
        let (w, d) = (tube.off(u, outside), Vec3::new(0.0, -out.y, -out.x));
        let (wa, da) = (w.dot(tube.axis), d.dot(tube.axis));
        let bend = 1.0 - da * da;
        let depth = if bend > 1e-12 { (wa * da - w.dot(d)) / bend } else { 0.0 };
        let nearest = outside - out * depth.clamp(0.0, self.rail.wall);
        tube.distance(u, nearest) <= tube.outside + ROOT
    }

    /// The tube's line back from the last point of a cell's wall to its first, on the cell's side.
    fn bow(&self, tube: &Tube, u: f64, radius: f64, wall: &[Vec2]) -> Vec<Vec2> {
        let (Some(&to), Some(&from)) = (wall.first(), wall.last()) else { return Vec::new() };
        let middle = (from + to) * 0.5;
        let half = (from - to) * 0.5;
        let Some(way) = half.unit() else { return vec![from, to] };
        // The cell lies on the side of the chord on which most of its wall does.
        let side: f64 = wall.iter().map(|&p| half.cross(p - middle)).sum();
        let most = 4.0 * self.rail.girth;
        let turned = |i: usize| {
            let angle = std::f64::consts::PI * i as f64 / BOWS as f64 * side.signum();
            let way = way.turned(angle);
            middle + way * tube.way_out(u, middle, way, radius, most)
        };
        let mut bow = vec![from];
        bow.extend((1..BOWS).map(turned));
        bow.push(to);
        bow
    }
}

impl Tube {
    /// Where the line from `inside` to `outside` leaves the round of that radius.
    fn crossing(&self, u: f64, inside: Vec2, outside: Vec2, radius: f64) -> Vec2 {
        let Some(way) = (outside - inside).unit() else { return inside };
        inside + way * self.way_out(u, inside, way, radius, (outside - inside).length())
    }
}

/// 4 A² over the sum of s/t.
fn bredt(points: &[Vec2], flow: f64) -> f64 {
    let Some(&origin) = points.first() else { return 0.0 };
    let double: f64 = points.windows(2).map(|pair| (pair[0] - origin).cross(pair[1] - origin)).sum();
    if flow > 0.0 { double * double / flow } else { 0.0 }
}

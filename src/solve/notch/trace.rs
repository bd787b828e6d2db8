//! The part of the unrolled outside that one room takes, strip by strip.
//!
//! Write F(u, v) for the distance from the wall under (u, v) to a room less
//! the clearance; the wall goes where F < 0.
//!
//! - At one v, F is convex in u (the wall segments of all u are one plane
//!   strip, the room is convex), so one interval of u goes.
//! - On a flat, F is convex in (u, v) together, so a convex region goes: the
//!   tangents at points of its edge enclose it, and the height of each
//!   triangle of chord and tangents bounds how far the outline stands off.
//! - On a corner arc F changes by no more than `quickness` per mm, so a stretch
//!   of v whose middle is farther from 0 than half its length times that is
//!   decided; what is undecided at [`RESOLUTION`] counts as removed.

use crate::geometry::Vec2;

use super::wall::{ROUNDING, Solid, Station, Strip};

/// How far (mm) a traced outline may stand off on the side of removed metal. A tenth of a fine scriber's line.
pub(super) const OUTLINE: f64 = 0.004;

/// Stretch (mm) of a corner arc below which what is undecided counts as removed.
pub(super) const RESOLUTION: f64 = 0.01;

/// Added to the clearance on corner arcs (mm), where the outline is proved by walking along it.
///
/// It covers what two of its steps can hide and what a bend can hide between
/// three points of a curve, so that the walk finds nothing short.
pub(super) const ROUND: f64 = 5e-4;

/// Closed polygons, anticlockwise, that together hold all the wall one room takes on one strip.
#[derive(Debug, Default)]
pub(super) struct Taken {
    pub(super) polygons: Vec<Vec<Vec2>>,
    /// Greatest stand-off of their edges (mm).
    pub(super) off: f64,
}

/// Where F first or last vanishes at the ends of a run of v.
#[derive(Debug, Clone, Copy)]
struct Run {
    low: End,
    high: End,
}

/// An end of a run: a cap, where the interval of u has shrunk to a point, or the strip's border.
#[derive(Debug, Clone, Copy)]
struct End {
    v: f64,
    cap: Option<f64>,
}

/// Least F over u at one v.
#[derive(Debug, Clone, Copy)]
struct Low {
    v: f64,
    f: f64,
    u: f64,
    /// Slope of the least F along v.
    slope: f64,
}

/// A point of the edge and the outward normal of the region there.
#[derive(Debug, Clone, Copy)]
struct Edge {
    at: Vec2,
    out: Vec2,
}

#[derive(Debug, Clone, Copy)]
struct Node {
    /// Place along the run, 0 to 1.
    s: f64,
    v: f64,
    right: Edge,
    left: Edge,
}

struct Tracer<'a> {
    strip: &'a Strip,
    solid: &'a Solid,
    clearance: f64,
    reach: (f64, f64),
}

/// The wall of `strip` that comes within `clearance` of `solid`.
pub(super) fn taken(strip: &Strip, solid: &Solid, clearance: f64) -> Taken {
    let (low, high) = solid.reach();
    let clearance = if strip.is_flat() { clearance } else { clearance + ROUND };
    let tracer = Tracer { strip, solid, clearance, reach: (low - clearance, high + clearance) };
    let mut taken = Taken::default();
    let runs = if strip.is_flat() { tracer.flat_run().into_iter().collect() } else { tracer.round_runs(&mut taken) };
    for run in runs {
        let polygon = tracer.outline(run, &mut taken.off);
        taken.polygons.push(polygon);
    }
    taken
}

impl Tracer<'_> {
    fn low(&self, v: f64) -> Low {
        let (distance, u, slope) = self.strip.station(v).least(self.solid, self.reach);
        Low { v, f: distance - self.clearance, u, slope }
    }

    /// The one run of a flat, where the least F is convex in v.
    fn flat_run(&self) -> Option<Run> {
        let half = 0.5 * (self.strip.high - self.strip.low);
        let middle = self.low(self.strip.low + half);
        if middle.f >= half {
            return None;
        }
        let (first, last) = (self.low(self.strip.low), self.low(self.strip.high));
        if first.f >= 0.0 && last.f >= 0.0 && middle.f >= 0.0 && !self.dips(first, last) {
            return None;
        }
        let end = |outer: Low| {
            if outer.f < 0.0 { End { v: outer.v, cap: None } } else { self.approach(outer) }
        };
        Some(Run { low: end(first), high: end(last) })
    }

    /// Whether a convex least F falls below 0 between two places where it is not.
    fn dips(&self, mut a: Low, mut b: Low) -> bool {
        if a.slope >= 0.0 || b.slope <= 0.0 {
            return false;
        }
        for round in 0..80 {
            let cut = a.v + (b.f - a.f + b.slope * (a.v - b.v)) / (a.slope - b.slope);
            let bound = a.f + a.slope * (cut - a.v);
            if bound >= 0.0 || b.v - a.v <= ROUNDING {
                return false;
            }
            let halfway = round % 2 == 1 || cut <= a.v || cut >= b.v;
            let probe = self.low(if halfway { 0.5 * (a.v + b.v) } else { cut });
            if probe.f < 0.0 {
                return true;
            }
            if probe.slope > 0.0 {
                b = probe;
            } else {
                a = probe;
            }
        }
        false
    }

    /// Newton's steps from outside to where a convex least F vanishes.
    fn approach(&self, mut here: Low) -> End {
        for _ in 0..100 {
            let step = -here.f / here.slope;
            if here.f.abs() <= ROUNDING || !step.is_finite() || step.abs() <= ROUNDING {
                break;
            }
            here = self.low((here.v + step).clamp(self.strip.low, self.strip.high));
        }
        End { v: here.v, cap: Some(here.u) }
    }

    /// The runs of a corner arc, and what counts as removed for want of a decision.
    fn round_runs(&self, taken: &mut Taken) -> Vec<Run> {
        let (low, high) = (self.strip.low, self.strip.high);
        let quickness = self.strip.quickness();
        let mut points = vec![(self.low(low), 0.0)];
        let mut stack = vec![(low, high)];
        while let Some((a, b)) = stack.pop() {
            let half = 0.5 * (b - a);
            let middle = self.low(a + half);
            if middle.f.abs() > quickness * half {
                points.push((middle, 0.0));
            } else if b - a <= RESOLUTION / quickness {
                points.push((middle, half));
            } else {
                stack.push((a + half, b));
                stack.push((a, a + half));
            }
        }
        points.push((self.low(high), 0.0));

        let mut runs = Vec::new();
        let mut open = None;
        for (i, &(point, half)) in points.iter().enumerate() {
            let before = i.checked_sub(1).and_then(|i| points.get(i)).map(|&(p, _)| p);
            let after = points.get(i + 1).map(|&(p, _)| p);
            let clear = |p: Option<Low>| p.is_none_or(|p| p.f >= 0.0);
            if point.f < 0.0 {
                if clear(before) {
                    open = Some(before.map_or(End { v: point.v, cap: None }, |b| self.between(b, point)));
                }
                if clear(after) {
                    let end = after.map_or(End { v: point.v, cap: None }, |a| self.between(a, point));
                    runs.extend(open.take().map(|low| Run { low, high: end }));
                }
            } else if half > 0.0 && clear(before) && clear(after) {
                let slack = self.clearance + quickness * half;
                let station = self.strip.station(point.v);
                let (right, left) =
                    (station.edge(self.solid, slack, 1.0, None), station.edge(self.solid, slack, -1.0, None));
                if let (Some((u1, _)), Some((u0, _))) = (right, left) {
                    let (v0, v1) = (point.v - half, point.v + half);
                    taken.polygons.push(vec![
                        Vec2::new(u0, v0),
                        Vec2::new(u1, v0),
                        Vec2::new(u1, v1),
                        Vec2::new(u0, v1),
                    ]);
                    taken.off = taken.off.max(2.0 * half);
                }
            }
        }
        runs
    }

    /// Where the least F vanishes between a clear place and one within the clearance; on the clear side.
    fn between(&self, mut clear: Low, mut within: Low) -> End {
        for round in 0..100 {
            if (clear.v - within.v).abs() <= ROUNDING || clear.f <= 0.0 {
                break;
            }
            let secant = clear.v + (within.v - clear.v) * clear.f / (clear.f - within.f);
            let v = if round % 2 == 0 { secant } else { 0.5 * (clear.v + within.v) };
            let here = self.low(v);
            if here.f < 0.0 {
                within = here;
            } else {
                clear = here;
            }
        }
        End { v: clear.v, cap: Some(clear.u) }
    }

    /// The polygon that encloses the region of a run.
    fn outline(&self, run: Run, off: &mut f64) -> Vec<Vec2> {
        let first = self.end_node(run.low, 0.0);
        let last = self.end_node(run.high, 1.0);
        let mut right = vec![first.right.at];
        let mut left = vec![first.left.at];
        // Places along the run are cosine-spaced: at a cap the edge turns by a quarter within a small v.
        let mut stack = vec![last];
        let mut from = first;
        let mut fit = |from: &Node, to: &Node, last_resort: bool| -> Option<[Vec<Vec2>; 2]> {
            // On a flat the tangents alone are proof.
            let middle = (!self.strip.is_flat()).then(|| self.node(0.5 * (from.s + to.s), &run, from, to));
            let sides = [
                join(from.right, to.right, 1.0, middle.map(|m| m.right), last_resort)?,
                join(from.left, to.left, -1.0, middle.map(|m| m.left), last_resort)?,
            ];
            for (_, height) in &sides {
                *off = off.max(*height);
            }
            Some(sides.map(|(points, _)| points))
        };
        while let Some(to) = stack.pop() {
            let last_resort = to.s - from.s < 1e-5 || to.v - from.v < 1e-7;
            // Eight pieces at least, so that no bend hides between two like tangents.
            let joined = if to.s - from.s > 0.126 { None } else { fit(&from, &to, last_resort) };
            if let Some([r, l]) = joined {
                right.extend(r);
                left.extend(l);
                from = to;
            } else {
                let middle = self.node(0.5 * (from.s + to.s), &run, &from, &to);
                stack.push(to);
                stack.push(middle);
            }
        }
        right.push(last.right.at);
        left.push(last.left.at);
        right.extend(left.into_iter().rev());
        right
    }

    fn end_node(&self, end: End, s: f64) -> Node {
        let v = end.v;
        if let Some(u) = end.cap {
            let cap = Edge { at: Vec2::new(u, v), out: Vec2::new(0.0, 2.0 * s - 1.0) };
            return Node { s, v, right: cap, left: cap };
        }
        let station = self.strip.station(v);
        Node { s, v, right: self.edge(&station, 1.0, None, s), left: self.edge(&station, -1.0, None, s) }
    }

    fn node(&self, s: f64, run: &Run, before: &Node, after: &Node) -> Node {
        let share = 0.5 * (1.0 - libm::cos(std::f64::consts::PI * s));
        let v = run.low.v + (run.high.v - run.low.v) * share;
        let station = self.strip.station(v);
        let right = self.edge(&station, 1.0, outside_guess(v, before.right, after.right, 1.0), s);
        let left = self.edge(&station, -1.0, outside_guess(v, before.left, after.left, -1.0), s);
        Node { s, v, right, left }
    }

    fn edge(&self, station: &Station, side: f64, guess: Option<f64>, s: f64) -> Edge {
        let v = station.v;
        if let Some((u, slope)) = station.edge(self.solid, self.clearance, side, guess)
            && let Some(out) = slope.unit()
        {
            return Edge { at: Vec2::new(u, v), out };
        }
        // Rounding has closed the interval, as beside a cap.
        let (_, u, _) = station.least(self.solid, self.reach);
        Edge { at: Vec2::new(u, v), out: Vec2::new(0.0, if s < 0.5 { -1.0 } else { 1.0 }) }
    }
}

/// A u at v outside a convex region, from the tangents at two points of its edge.
fn outside_guess(v: f64, before: Edge, after: Edge, side: f64) -> Option<f64> {
    let tangent = |edge: Edge| {
        let u = edge.at.x - (v - edge.at.y) * edge.out.y / edge.out.x;
        (edge.out.x.abs() > 1e-3).then_some(u)
    };
    match (tangent(before), tangent(after)) {
        (Some(a), Some(b)) => Some(if side > 0.0 { a.min(b) } else { a.max(b) }),
        (a, b) => a.or(b),
    }
}

/// Points to put after `a`, up to and with `b`, so that the outline from a to b lies outside the region and
/// within [`OUTLINE`] of it, and the height by which it can stand off; `None`: split.
///
/// `side` is 1 where the region lies to the left going from a to b, −1 to the right.
/// On a corner arc `middle` is a third point of the edge, which must not lie outside.
fn join(a: Edge, b: Edge, side: f64, middle: Option<Edge>, last_resort: bool) -> Option<(Vec<Vec2>, f64)> {
    let chord = b.at - a.at;
    let length = chord.length();
    if length <= ROUNDING {
        return Some((vec![b.at], 0.0));
    }
    if last_resort {
        // A step of at most 1e-5 of the run: the box around it.
        let u = if side > 0.0 { a.at.x.max(b.at.x) } else { a.at.x.min(b.at.x) };
        return Some((vec![Vec2::new(u, a.at.y), Vec2::new(u, b.at.y), b.at], length));
    }
    let outward = chord.left() * (-side / length);
    let ahead = a.out.left() * side;
    let lean = ahead.dot(b.out);
    let reach = chord.dot(b.out) / lean;
    // Parallel tangents: straight, or a bend that the two do not show.
    let apex = if lean.abs() > 1e-9 && reach.is_finite() { a.at + ahead * reach } else { a.at + chord * 0.5 };
    let height = (apex - a.at).dot(outward);
    let sag = a.out.dot(chord).abs().max(b.out.dot(chord).abs());
    if lean.abs() <= 1e-9 && sag > 1e-3 * OUTLINE {
        return None;
    }
    let between = apex.y >= a.at.y - ROUNDING && apex.y <= b.at.y + ROUNDING;
    if height.abs() > OUTLINE || !between {
        return None;
    }
    let bulges = height > ROUNDING;
    if let Some(middle) = middle {
        let stand_off = if bulges {
            (middle.at - a.at).dot(a.out).max((middle.at - b.at).dot(b.out))
        } else {
            (middle.at - a.at).dot(outward)
        };
        if stand_off > 1e-3 * OUTLINE {
            return None;
        }
    }
    let apex = Vec2::new(apex.x, apex.y.clamp(a.at.y, b.at.y));
    Some((if bulges { vec![apex, b.at] } else { vec![b.at] }, height.abs()))
}

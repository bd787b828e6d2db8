//! Regions of a plane or of an unrolled cylinder, bounded by straight pieces.
//!
//! A region is a set of loops: the first point is not repeated, and the region
//! lies to the left of its loops, so outer loops run anticlockwise and the
//! edges of islands clockwise. On a cylinder y runs round it: points `girth`
//! apart are one, and a loop is unwrapped, never split at a seam.

use std::collections::BTreeMap;

use super::Vec2;

/// Points nearer to one another than this (mm) are taken as one, and smaller loops left out.
///
/// Far below any tolerance of metal, far above the rounding of coordinates.
pub const SAME: f64 = 1e-7;

/// A closed loop.
#[derive(Debug, Clone, PartialEq)]
pub struct Loop {
    /// In order; the first is not repeated.
    pub points: Vec<Vec2>,
    /// How often it goes round the cylinder; such a loop ends `turns × girth` beyond its start.
    pub turns: i32,
}

/// A piece of boundary; the region lies to its left.
#[derive(Debug, Clone, Copy)]
struct Side {
    from: Vec2,
    to: Vec2,
    /// Which given edge it is a part of; pieces of one edge are joined again.
    source: usize,
}

/// An edge of a given polygon, from its lower to its higher end.
#[derive(Debug, Clone, Copy)]
struct Edge {
    low: Vec2,
    high: Vec2,
    /// 1 where the polygon runs upward (its inside is to the left), −1 downward.
    sign: i32,
}

impl Edge {
    fn x(&self, y: f64) -> f64 {
        if y <= self.low.y {
            self.low.x
        } else if y >= self.high.y {
            self.high.x
        } else {
            self.low.x + (self.high.x - self.low.x) * ((y - self.low.y) / (self.high.y - self.low.y))
        }
    }
}

/// What lies just below and just above a level: ends of covered intervals, 1 where one starts and −1 where one ends.
#[derive(Debug, Default)]
struct Level {
    y: f64,
    below: Vec<(f64, i32)>,
    above: Vec<(f64, i32)>,
}

/// The union of polygons (anticlockwise, or clockwise for islands in others) as loops.
///
/// With a `girth` the plane is a cylinder on which y and y + girth are one.
/// The plane is cut into level slabs at every corner and crossing; inside a slab
/// edges do not cross, so the covered intervals are told by counting.
pub fn union(polygons: &[Vec<Vec2>], girth: Option<f64>) -> Vec<Loop> {
    let edges = edges(polygons, girth);
    let (mut sides, levels) = sweep(&edges);
    close_levels(levels, girth, edges.len(), &mut sides);
    chain(&sides, girth)
}

#[expect(clippy::float_cmp, reason = "a piece ends on the seam to the last bit or not at all")]
fn edges(polygons: &[Vec<Vec2>], girth: Option<f64>) -> Vec<Edge> {
    let mut edges = Vec::new();
    let mut add = |a: Vec2, b: Vec2| {
        if a.y < b.y {
            edges.push(Edge { low: a, high: b, sign: 1 });
        } else if a.y > b.y {
            edges.push(Edge { low: b, high: a, sign: -1 });
        }
    };
    for polygon in polygons {
        for (i, &a) in polygon.iter().enumerate() {
            let b = polygon.get(i + 1).or(polygon.first()).copied().unwrap_or(a);
            let Some(girth) = girth else {
                add(a, b);
                continue;
            };
            // One turn of the cylinder at a time, each carried to 0..=girth.
            let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
            let whole = Edge { low, high, sign: 1 };
            let first = (low.y / girth).floor();
            let turns = ((high.y / girth).ceil() - first).max(1.0) as i64;
            for turn in 0..turns {
                let shift = (first + turn as f64) * girth;
                let (y0, y1) = (low.y.max(shift), high.y.min(shift + girth));
                let place = |y: f64| {
                    let down = if y == shift {
                        0.0
                    } else if y == shift + girth {
                        girth
                    } else {
                        y - shift
                    };
                    Vec2::new(whole.x(y), down)
                };
                let (p, q) = (place(y0), place(y1));
                if a.y < b.y { add(p, q) } else { add(q, p) }
            }
        }
    }
    edges
}

/// The upright pieces of the union's boundary, and what every level sees below and above.
fn sweep(edges: &[Edge]) -> (Vec<Side>, Vec<Level>) {
    let mut heights: Vec<f64> = edges.iter().flat_map(|e| [e.low.y, e.high.y]).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup();
    let mut order: Vec<usize> = (0..edges.len()).collect();
    order.sort_by(|&a, &b| edges[a].low.y.total_cmp(&edges[b].low.y));
    let mut waiting = order.into_iter().peekable();
    let mut active: Vec<usize> = Vec::new();
    let mut sides = Vec::new();
    let mut levels = Vec::new();
    for pair in heights.windows(2) {
        let &[bottom, top] = pair else { continue };
        active.retain(|&e| edges[e].high.y > bottom);
        while let Some(e) = waiting.next_if(|&e| edges[e].low.y <= bottom) {
            active.push(e);
        }
        let mut ends: Vec<(f64, f64)> = active.iter().map(|&e| (edges[e].x(bottom), edges[e].x(top))).collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut cuts = vec![bottom];
        // Those that cross change places between bottom and top: put in order of the top one by one, each edge passes
        // just those it crosses.
        let mut ordered: Vec<(f64, f64)> = Vec::with_capacity(ends.len());
        for (b1, t1) in ends {
            let mut place = ordered.len();
            while place > 0 && ordered[place - 1].1 > t1 {
                place -= 1;
                let (b0, t0) = ordered[place];
                let (below, above) = (b1 - b0, t1 - t0);
                if below * above < 0.0 {
                    let cut = bottom + (top - bottom) * (below / (below - above));
                    if cut > bottom && cut < top {
                        cuts.push(cut);
                    }
                }
            }
            ordered.insert(place, (b1, t1));
        }
        cuts.push(top);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        for slab in cuts.windows(2) {
            let &[low, high] = slab else { continue };
            cover(edges, &active, low, high, &mut sides, &mut levels);
        }
    }
    (sides, levels)
}

/// The covered intervals of one slab in which no edges cross.
fn cover(edges: &[Edge], active: &[usize], low: f64, high: f64, sides: &mut Vec<Side>, levels: &mut Vec<Level>) {
    let mut across: Vec<(f64, f64, usize)> = active.iter().map(|&e| (edges[e].x(low), edges[e].x(high), e)).collect();
    across.sort_by(|a, b| (a.0 + a.1).total_cmp(&(b.0 + b.1)).then(a.2.cmp(&b.2)));
    let mut depth = 0;
    let mut ends: Vec<(f64, f64, i32)> = Vec::new();
    for (b, t, e) in across {
        let before = depth;
        depth -= edges[e].sign;
        let (p, q) = (Vec2::new(b, low), Vec2::new(t, high));
        if before <= 0 && depth > 0 {
            sides.push(Side { from: q, to: p, source: e });
            ends.push((b, t, 1));
        } else if before > 0 && depth <= 0 {
            sides.push(Side { from: p, to: q, source: e });
            ends.push((b, t, -1));
        }
    }
    // Slabs come in order upward, so a level is the last one so far or a new one.
    if levels.last().is_none_or(|level| level.y < low) {
        levels.push(Level { y: low, ..Level::default() });
    }
    if let Some(level) = levels.last_mut() {
        level.above.extend(ends.iter().map(|&(b, _, way)| (b, way)));
    }
    let below = ends.iter().map(|&(_, t, way)| (t, way)).collect();
    levels.push(Level { y: high, below, above: Vec::new() });
}

/// The level pieces of the boundary: where one side of a level is covered and the other is not.
fn close_levels(mut levels: Vec<Level>, girth: Option<f64>, first_source: usize, sides: &mut Vec<Side>) {
    if let Some(girth) = girth
        && let Some(mut last) = levels.pop_if(|level| level.y >= girth)
    {
        match levels.first_mut() {
            Some(first) if first.y <= 0.0 => first.below.append(&mut last.below),
            _ => levels.push(Level { y: 0.0, ..last }),
        }
    }
    for (i, level) in levels.iter().enumerate() {
        let mut ends: Vec<(f64, i32)> = level.below.clone();
        ends.extend(level.above.iter().map(|&(x, way)| (x, -way)));
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut excess = 0;
        for pair in ends.windows(2) {
            let &[(x0, way), (x1, _)] = pair else { continue };
            excess += way;
            if x0 >= x1 {
                continue;
            }
            let (a, b) = (Vec2::new(x0, level.y), Vec2::new(x1, level.y));
            // Covered below only: a top, which runs back; above only: a floor, which runs on.
            let (from, to) = if excess > 0 { (b, a) } else { (a, b) };
            for _ in 0..excess.abs() {
                sides.push(Side { from, to, source: first_source + i });
            }
        }
    }
}

/// Joins boundary pieces end to end.
fn chain(sides: &[Side], girth: Option<f64>) -> Vec<Loop> {
    let key = |p: Vec2| {
        let y = if girth == Some(p.y) { 0.0 } else { p.y };
        ((p.x + 0.0).to_bits(), (y + 0.0).to_bits())
    };
    let mut leaving: BTreeMap<(u64, u64), Vec<usize>> = BTreeMap::new();
    for (i, side) in sides.iter().enumerate() {
        leaving.entry(key(side.from)).or_default().push(i);
    }
    let mut used = vec![false; sides.len()];
    let mut loops = Vec::new();
    for first in 0..sides.len() {
        if used[first] {
            continue;
        }
        let start = sides[first];
        let mut points: Vec<(Vec2, usize)> = Vec::new();
        let mut shift = 0.0;
        let mut at = first;
        loop {
            used[at] = true;
            let side = sides[at];
            points.push((side.from + Vec2::new(0.0, shift), side.source));
            if key(side.to) == key(start.from) {
                shift += side.to.y - start.from.y;
                break;
            }
            let ahead = side.to - side.from;
            // Where loops touch, the sharpest turn to the left stays on the same part of the region.
            let next =
                leaving.get(&key(side.to)).into_iter().flatten().copied().filter(|&i| !used[i]).max_by(|&a, &b| {
                    let turn = |i: usize| {
                        let way = sides[i].to - sides[i].from;
                        libm::atan2(ahead.cross(way), ahead.dot(way))
                    };
                    turn(a).total_cmp(&turn(b)).then(b.cmp(&a))
                });
            let Some(next) = next else { break };
            shift += side.to.y - sides[next].from.y;
            at = next;
        }
        let turns = girth.map_or(0, |girth| (shift / girth).round() as i32);
        let points = joined(&points);
        if points.len() >= 3 && (turns != 0 || area(&points).abs() > SAME) {
            loops.push(Loop { points, turns });
        }
    }
    loops
}

/// The corners of a loop: pieces of one edge made one, points on a straight line and doubled points left out.
fn joined(points: &[(Vec2, usize)]) -> Vec<Vec2> {
    let count = points.len();
    let mut corners: Vec<Vec2> = Vec::new();
    for (i, &(p, source)) in points.iter().enumerate() {
        let before = points[(i + count - 1) % count].1;
        if source != before && corners.last().is_none_or(|&last| (p - last).length() > SAME) {
            corners.push(p);
        }
    }
    while corners.len() > 1
        && let (Some(&first), Some(&last)) = (corners.first(), corners.last())
        && (first - last).length() <= SAME
    {
        corners.pop();
    }
    // Against the last corner kept, or a fine curve would lose all of its points, each straight among its neighbours.
    let mut kept: Vec<Vec2> = Vec::new();
    for (i, &b) in corners.iter().enumerate() {
        let (Some(&a), Some(&c)) = (kept.last().or(corners.last()), corners.get(i + 1).or(kept.first())) else {
            kept.push(b);
            continue;
        };
        let chord = c - a;
        let straight = (b - a).cross(chord).abs() <= 0.01 * SAME * chord.length() && (b - a).dot(c - b) > 0.0;
        if !straight {
            kept.push(b);
        }
    }
    kept
}

/// Signed area of a loop (mm²), positive anticlockwise.
pub fn area(points: &[Vec2]) -> f64 {
    let Some(&origin) = points.first() else { return 0.0 };
    points.windows(2).map(|pair| 0.5 * (pair[0] - origin).cross(pair[1] - origin)).sum()
}

/// Whether a region of loops in the plane holds a point.
pub fn holds(loops: &[Vec<Vec2>], p: Vec2) -> bool {
    let mut depth = 0;
    for (a, b) in loops.iter().flat_map(|points| sides(points)) {
        if (a.y <= p.y) != (b.y <= p.y) {
            let x = a.x + (b.x - a.x) * ((p.y - a.y) / (b.y - a.y));
            if x > p.x {
                depth += if b.y > a.y { 1 } else { -1 };
            }
        }
    }
    depth > 0
}

/// The sides of a loop, the last one back to its first point included.
pub fn sides(points: &[Vec2]) -> impl Iterator<Item = (Vec2, Vec2)> {
    points.iter().copied().zip(points.iter().skip(1).chain(points.first()).copied())
}

/// The intervals of y at which a region of loops in the plane meets the line x = `x`, in order.
pub fn slice(loops: &[Vec<Vec2>], x: f64) -> Vec<(f64, f64)> {
    let mut ends: Vec<(f64, i32)> = Vec::new();
    for (a, b) in loops.iter().flat_map(|points| sides(points)) {
        if (a.x <= x) != (b.x <= x) {
            let y = a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x));
            // Seen upward, a side that runs toward +x has the region above it.
            ends.push((y, if b.x > a.x { 1 } else { -1 }));
        }
    }
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut depth = 0;
    let mut from = 0.0;
    let mut intervals = Vec::new();
    for (y, way) in ends {
        let before = depth;
        depth += way;
        if before <= 0 && depth > 0 {
            from = y;
        } else if before > 0 && depth <= 0 {
            intervals.push((from, y));
        }
    }
    intervals
}

/// The part of a polygon on the side of the line through `on` toward which `keep` points.
///
/// A polygon cut into several parts keeps them joined by pieces of the line, which [`union`] takes away.
pub fn clipped(points: &[Vec2], on: Vec2, keep: Vec2) -> Vec<Vec2> {
    let depth = |p: Vec2| (p - on).dot(keep);
    let mut kept = Vec::new();
    for (a, b) in sides(points) {
        let (da, db) = (depth(a), depth(b));
        if da >= 0.0 {
            kept.push(a);
        }
        if (da < 0.0 && db > 0.0) || (da > 0.0 && db < 0.0) {
            let cut = a + (b - a) * (da / (da - db));
            // On the line to the last bit where the line runs along an axis.
            kept.push(match (keep.x == 0.0, keep.y == 0.0) {
                (true, _) => Vec2::new(cut.x, on.y),
                (_, true) => Vec2::new(on.x, cut.y),
                _ => cut,
            });
        }
    }
    kept
}

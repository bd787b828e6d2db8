//! Outlines of a plate as paths, and the area they leave.

use std::f64::consts::{PI, TAU};

use super::solution::{HoleResult, Vertex};
use crate::geometry::quadrature::{gauss_legendre, integrate};
use crate::geometry::{Path, Piece, Vec2};

/// Points nearer than this (mm) are one: a tenth of what the solids are read back to.
const SAME: f64 = 1e-7;

/// The closed path along vertices; arcs run anticlockwise. `None` for no vertex.
pub fn path(vertices: &[Vertex]) -> Option<Path> {
    let start = vertices.first()?.at;
    let ends = vertices.iter().cycle().skip(1).map(|vertex| vertex.at);
    let mut pieces = Vec::with_capacity(vertices.len());
    for (vertex, to) in vertices.iter().zip(ends) {
        match vertex.centre {
            Some(centre) => pieces.extend(arcs(vertex.at, centre, vertex.axes, to)),
            None => pieces.push(Piece::Line { to }),
        }
    }
    Some(Path { start, pieces, closed: true })
}

/// The arc anticlockwise from one point to another, in two where it is more than half a turn (SVG needs two).
fn arcs(from: Vec2, centre: Vec2, axes: Option<[Vec2; 2]>, to: Vec2) -> Vec<Piece> {
    let radius = (from - centre).length();
    let [major, minor] = axes.unwrap_or([Vec2::new(radius, 0.0), Vec2::new(0.0, radius)]);
    let parameter = |p: Vec2| libm::atan2(major.cross(p - centre), (p - centre).cross(minor));
    let start = parameter(from);
    let whole = if (to - from).length() <= SAME { TAU } else { (parameter(to) - start).rem_euclid(TAU) };
    let count = if whole > PI + SAME { 2 } else { 1 };
    let sweep = whole / f64::from(count);
    (0..count).map(|i| Piece::Arc { centre, major, minor, start: start + sweep * f64::from(i), sweep }).collect()
}

/// A hole's edge anticlockwise: a circle of two halves, or a slot with round ends.
pub fn hole(hole: &HoleResult) -> Vec<Vertex> {
    let (along, length) =
        hole.slot.map_or((Vec2::new(1.0, 0.0), 0.0), |slot| (Vec2::polar(slot.angle.to_radians()), slot.length));
    let half = along * (length / 2.0);
    stretched([hole.centre - half, hole.centre + half], along * (hole.diameter / 2.0), hole.diameter / 2.0)
}

/// Hull of two equal ellipses whose centres lie apart along their first semi-axis `major`: two half ellipses and,
/// where they lie apart, the two straights that touch both. `minor` is the length of the other semi-axis.
pub(super) fn stretched(centres: [Vec2; 2], major: Vec2, minor: f64) -> Vec<Vertex> {
    let size = major.length();
    let across = major.left() * (minor / size);
    let axes = ((size - minor).abs() > SAME).then_some([major, across]);
    let [near, far] = centres;
    let apart = (far - near).length() > SAME;
    let mut vertices = vec![Vertex { at: far - across, centre: Some(far), axes }];
    if apart {
        vertices.push(Vertex { at: far + across, centre: None, axes: None });
    }
    vertices.push(Vertex { at: near + across, centre: Some(near), axes });
    if apart {
        vertices.push(Vertex { at: near - across, centre: None, axes: None });
    }
    vertices
}

/// Area (mm²) of a convex outline less what convex cuts take of it.
///
/// Exact where the cuts lie inside the outline and apart by their boxes. Else what they share, or have outside,
/// is measured along lines across and given back, to 1e-5 mm².
pub(super) fn net_area(outline: &Path, cuts: &[Path]) -> f64 {
    let plain = outline.area() - cuts.iter().map(Path::area).sum::<f64>();
    let boxes: Vec<(Vec2, Vec2)> = cuts.iter().map(Path::bounds).collect();
    let inside = boxes.iter().all(|&(low, high)| {
        // A box with its corners in a convex outline is in it.
        [low.y, high.y].into_iter().all(|y| chord(outline, y).is_some_and(|(a, b)| a <= low.x && high.x <= b))
    });
    let apart = boxes.iter().enumerate().all(|(i, (low, high))| {
        boxes[..i].iter().all(|(l, h)| h.x <= low.x || high.x <= l.x || h.y <= low.y || high.y <= l.y)
    });
    if inside && apart { plain } else { plain + counted_twice(outline, cuts, &boxes) }
}

/// What the cuts' areas count more than once or outside: ∫ (Σ lengths − length of their union inside) dy.
fn counted_twice(outline: &Path, cuts: &[Path], boxes: &[(Vec2, Vec2)]) -> f64 {
    let (low, high) = outline.bounds();
    let mut levels: Vec<f64> = boxes.iter().flat_map(|(l, h)| [l.y, h.y]).chain([low.y, high.y]).collect();
    levels.sort_by(f64::total_cmp);
    let rule = gauss_legendre(8);
    let excess = |y: f64| {
        let mut chords: Vec<(f64, f64)> = cuts.iter().filter_map(|cut| chord(cut, y)).collect();
        let sum: f64 = chords.iter().map(|(a, b)| b - a).sum();
        chords.sort_by(|p, q| p.0.total_cmp(&q.0));
        let Some((mut at, end)) = chord(outline, y) else { return sum };
        let mut union = 0.0;
        for (a, b) in chords {
            let (a, b) = (a.max(at), b.min(end));
            if b > a {
                union += b - a;
                at = b;
            }
        }
        sum - union
    };
    // y = m + h sin θ takes the root off both ends of each interval; kinks where edges cross are closed in on.
    levels
        .windows(2)
        .filter(|pair| pair[1] - pair[0] > SAME)
        .map(|pair| {
            let (middle, half) = (f64::midpoint(pair[0], pair[1]), (pair[1] - pair[0]) / 2.0);
            let lifted = |theta: f64| {
                let (s, c) = libm::sincos(theta);
                half * c * excess(middle + half * s)
            };
            let whole = integrate(&rule, -PI / 2.0, PI / 2.0, lifted);
            halved(&rule, (-PI / 2.0, PI / 2.0), whole, &lifted, KINK_HALVINGS)
        })
        .sum()
}

/// Error (mm²) at which a stretch is not halved further.
const SHARE_ERROR: f64 = 1e-7;

/// Halvings after which a kink is left: its stretch is then a millionth of the interval.
const KINK_HALVINGS: u32 = 20;

/// Integral over a stretch whose one-step value is `whole`, halved where two halves say otherwise.
fn halved(rule: &[(f64, f64)], (a, b): (f64, f64), whole: f64, f: &impl Fn(f64) -> f64, left: u32) -> f64 {
    let middle = f64::midpoint(a, b);
    let (first, second) = (integrate(rule, a, middle, f), integrate(rule, middle, b, f));
    if left == 0 || (first + second - whole).abs() <= SHARE_ERROR {
        return first + second;
    }
    halved(rule, (a, middle), first, f, left - 1) + halved(rule, (middle, b), second, f, left - 1)
}

/// Where the line at height `y` enters and leaves a convex path of lines and arcs.
fn chord(path: &Path, y: f64) -> Option<(f64, f64)> {
    let mut ends: Option<(f64, f64)> = None;
    let mut meet = |x: f64| ends = Some(ends.map_or((x, x), |(a, b): (f64, f64)| (a.min(x), b.max(x))));
    for (from, piece) in path.runs() {
        match *piece {
            Piece::Line { to } | Piece::Cubic { to, .. } => {
                if (from.y - y) * (to.y - y) <= 0.0 {
                    let rise = to.y - from.y;
                    if rise.abs() > 0.0 {
                        meet(from.x + (to.x - from.x) * (y - from.y) / rise);
                    } else {
                        meet(from.x);
                        meet(to.x);
                    }
                }
            }
            Piece::Arc { centre, major, minor, start, sweep } => {
                let lift = libm::sqrt(major.y * major.y + minor.y * minor.y);
                let ratio = (y - centre.y) / lift;
                if ratio.abs() > 1.0 {
                    continue;
                }
                let (top, off) = (libm::atan2(minor.y, major.y), libm::acos(ratio));
                for t in [top - off, top + off] {
                    // A meeting at the very end of an arc must not be lost to rounding.
                    let on = (t - start + SAME).rem_euclid(TAU) - SAME;
                    if on <= sweep + SAME {
                        let (s, c) = libm::sincos(t);
                        meet(centre.x + major.x * c + minor.x * s);
                    }
                }
            }
        }
    }
    ends
}

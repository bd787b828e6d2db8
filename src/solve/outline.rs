//! Outlines of a plate as paths, and the area they leave.

use std::f64::consts::{PI, TAU};

use super::solution::{HoleResult, Vertex};
use crate::geometry::quadrature::{gauss_legendre, integrate};
use crate::geometry::{Path, Piece, Vec2};
use crate::spec::types::Outline;

/// Points nearer than this (mm) are one: a tenth of what the solids are read back to.
const SAME: f64 = 1e-7;

/// The closed path along vertices. `None` for no vertex.
pub fn path(vertices: &[Vertex]) -> Option<Path> {
    let start = vertices.first()?.at;
    let ends = vertices.iter().cycle().skip(1).map(|vertex| vertex.at);
    let mut pieces = Vec::with_capacity(vertices.len());
    for (vertex, to) in vertices.iter().zip(ends) {
        match (vertex.centre, vertex.controls) {
            (Some(centre), _) => pieces.extend(arcs(vertex, centre, to)),
            (None, Some([c1, c2])) => pieces.push(Piece::Cubic { c1, c2, to }),
            (None, None) => pieces.push(Piece::Line { to }),
        }
    }
    Some(Path { start, pieces, closed: true })
}

/// The vertices of a closed path; [`path`] read backward.
pub fn vertices(path: &Path) -> Vec<Vertex> {
    let mut vertices: Vec<Vertex> = path
        .runs()
        .map(|(at, piece)| match *piece {
            Piece::Line { .. } => Vertex::straight(at),
            Piece::Cubic { c1, c2, .. } => Vertex { controls: Some([c1, c2]), ..Vertex::straight(at) },
            Piece::Arc { centre, major, minor, sweep, .. } => {
                let round = (major.length() - minor.length()).abs() <= SAME;
                let axes = (!round).then_some([major, minor]);
                Vertex { axes, clockwise: sweep < 0.0, ..Vertex::arc(at, centre) }
            }
        })
        .collect();
    if (path.end() - path.start).length() > SAME {
        vertices.push(Vertex::straight(path.end()));
    }
    vertices
}

/// The arc from one vertex to the next, in two where it is more than half a turn (SVG needs two).
fn arcs(vertex: &Vertex, centre: Vec2, to: Vec2) -> Vec<Piece> {
    let from = vertex.at;
    let radius = (from - centre).length();
    let [major, minor] = vertex.axes.unwrap_or([Vec2::new(radius, 0.0), Vec2::new(0.0, radius)]);
    let parameter = |p: Vec2| libm::atan2(major.cross(p - centre), (p - centre).cross(minor));
    let start = parameter(from);
    let turn = if vertex.clockwise { start - parameter(to) } else { parameter(to) - start };
    let whole = if (to - from).length() <= SAME { TAU } else { turn.rem_euclid(TAU) };
    let count = if whole > PI + SAME { 2 } else { 1 };
    let sweep = if vertex.clockwise { -whole } else { whole } / f64::from(count);
    (0..count).map(|i| Piece::Arc { centre, major, minor, start: start + sweep * f64::from(i), sweep }).collect()
}

/// A plate's outline with its corners rounded, anticlockwise from the end of the first corner's arc.
pub(super) fn rounded(outline: &Outline) -> Vec<Vertex> {
    let (corners, count) = (&outline.corners, outline.corners.len());
    if outline.radius <= 0.0 {
        return corners.iter().copied().map(Vertex::straight).collect();
    }
    // Of each corner: where its arc starts and ends, its centre, and which way it runs.
    let arcs: Vec<(Vec2, Vec2, Vec2, bool)> = (0..count)
        .filter_map(|i| {
            let (before, at, after) = (corners[(i + count - 1) % count], corners[i], corners[(i + 1) % count]);
            let (a, b) = ((at - before).unit()?, (after - at).unit()?);
            let turn = a.cross(b);
            // tan(turn / 2) = sin / (1 + cos): exact at a right angle.
            let takes = outline.radius * turn.abs() / (1.0 + a.dot(b));
            let inward = a.left() * (outline.radius * turn.signum());
            let start = at - a * takes;
            Some((start, at + b * takes, start + inward, turn < 0.0))
        })
        .collect();
    let mut vertices = Vec::with_capacity(2 * count);
    for (i, &(_, end, ..)) in arcs.iter().enumerate() {
        let (start, _, centre, clockwise) = arcs[(i + 1) % arcs.len()];
        if (start - end).length() > SAME {
            vertices.push(Vertex::straight(end));
        }
        vertices.push(Vertex { clockwise, ..Vertex::arc(start, centre) });
    }
    vertices
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
    let mut vertices = vec![Vertex { axes, ..Vertex::arc(far - across, far) }];
    if apart {
        vertices.push(Vertex::straight(far + across));
    }
    vertices.push(Vertex { axes, ..Vertex::arc(near + across, near) });
    if apart {
        vertices.push(Vertex::straight(near - across));
    }
    vertices
}

/// Area (mm²) of an outline less what convex cuts take of it.
///
/// Exact where the outline is convex and the cuts lie inside it and apart by their boxes. Else what they share, or
/// have outside, is measured along lines across and given back, to 1e-5 mm².
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
    if is_convex(outline) && inside && apart { plain } else { plain + counted_twice(outline, cuts, &boxes) }
}

/// Whether a path turns left at every corner and along every arc.
fn is_convex(path: &Path) -> bool {
    let mut ends: Vec<Vec2> = path.runs().map(|(from, _)| from).collect();
    ends.dedup_by(|a, b| (*a - *b).length() <= SAME);
    let count = ends.len();
    let left = (0..count).all(|i| {
        let [a, b, c] = [ends[i], ends[(i + 1) % count], ends[(i + 2) % count]];
        (b - a).cross(c - b) >= -SAME
    });
    left && path.pieces.iter().all(|piece| !matches!(piece, Piece::Arc { sweep, .. } if *sweep < 0.0))
}

/// What the cuts' areas count more than once or outside: ∫ (Σ lengths − length of their union inside) dy.
fn counted_twice(outline: &Path, cuts: &[Path], boxes: &[(Vec2, Vec2)]) -> f64 {
    let corners = outline.runs().map(|(from, _)| from.y);
    let (low, high) = outline.bounds();
    let mut levels: Vec<f64> =
        boxes.iter().flat_map(|(l, h)| [l.y, h.y]).chain([low.y, high.y]).chain(corners).collect();
    levels.sort_by(f64::total_cmp);
    let rule = gauss_legendre(8);
    let excess = |y: f64| {
        let mut chords: Vec<(f64, f64)> = cuts.iter().filter_map(|cut| chord(cut, y)).collect();
        let sum: f64 = chords.iter().map(|(a, b)| b - a).sum();
        chords.sort_by(|p, q| p.0.total_cmp(&q.0));
        let crossings = crossings(outline, y);
        let inside = crossings.chunks_exact(2).map(|pair| {
            let (mut at, end) = (pair[0], pair[1]);
            let mut union = 0.0;
            for &(a, b) in &chords {
                let (a, b) = (a.max(at), b.min(end));
                if b > a {
                    union += b - a;
                    at = b;
                }
            }
            union
        });
        sum - inside.sum::<f64>()
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
            Piece::Arc { .. } => on_arc(piece, y, SAME).into_iter().for_each(&mut meet),
        }
    }
    ends
}

/// Every x at which a closed path of lines and arcs crosses the height `y`, in order: inside between each two.
///
/// Not for a height at which the path has a corner or an extreme.
fn crossings(path: &Path, y: f64) -> Vec<f64> {
    let mut all = Vec::new();
    for (from, piece) in path.runs() {
        match *piece {
            Piece::Line { to } | Piece::Cubic { to, .. } => {
                if (from.y > y) != (to.y > y) {
                    all.push(from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y));
                }
            }
            Piece::Arc { .. } => all.extend(on_arc(piece, y, 0.0)),
        }
    }
    all.sort_by(f64::total_cmp);
    all
}

/// Every x of an arc at the height `y`; its ends reach `slack` (rad) farther, so that rounding loses no meeting there.
fn on_arc(arc: &Piece, y: f64, slack: f64) -> Vec<f64> {
    let Piece::Arc { centre, major, minor, start, sweep } = *arc else { return Vec::new() };
    let lift = libm::sqrt(major.y * major.y + minor.y * minor.y);
    let ratio = (y - centre.y) / lift;
    if ratio.abs() > 1.0 {
        return Vec::new();
    }
    let (top, off) = (libm::atan2(minor.y, major.y), libm::acos(ratio));
    let (first, long) = (start.min(start + sweep), sweep.abs());
    [top - off, top + off]
        .into_iter()
        .filter(|t| (t - first + slack).rem_euclid(TAU) - slack <= long + slack)
        .map(|t| {
            let (s, c) = libm::sincos(t);
            centre.x + major.x * c + minor.x * s
        })
        .collect()
}

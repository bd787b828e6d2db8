//! Pieces of a plane outline: cut where they cross a line, measured between two lines, and how far off a point is.

use std::f64::consts::TAU;

use super::{Path, Piece, Vec2, segment};

/// Places of a development nearer than this (mm) are one: a tenth of what solids are read back to.
pub const SAME: f64 = 1e-7;

/// Halvings by which a cubic's crossing is narrowed to the last bit.
const HALVINGS: usize = 60;

/// Point at `f` in 0..=1 of a piece that starts at `from`.
pub fn point(from: Vec2, piece: &Piece, f: f64) -> Vec2 {
    piece.point(from, f)
}

/// Derivative there by `f`.
pub fn tangent(from: Vec2, piece: &Piece, f: f64) -> Vec2 {
    match *piece {
        Piece::Line { to } => to - from,
        Piece::Arc { major, minor, start, sweep, .. } => {
            let (s, c) = libm::sincos(start + sweep * f);
            (minor * c - major * s) * sweep
        }
        Piece::Cubic { c1, c2, to } => {
            let g = 1.0 - f;
            ((c1 - from) * (g * g) + (c2 - c1) * (2.0 * g * f) + (to - c2) * (f * f)) * 3.0
        }
    }
}

/// The part of a piece between two parameters, and where it starts.
pub fn part(from: Vec2, piece: &Piece, [a, b]: [f64; 2]) -> (Vec2, Piece) {
    let (first, last) = (point(from, piece, a), point(from, piece, b));
    let part = match *piece {
        Piece::Line { .. } => Piece::Line { to: last },
        Piece::Arc { centre, major, minor, start, sweep } => {
            Piece::Arc { centre, major, minor, start: start + sweep * a, sweep: sweep * (b - a) }
        }
        Piece::Cubic { .. } => {
            let third = (b - a) / 3.0;
            let (out, back) = (tangent(from, piece, a) * third, tangent(from, piece, b) * third);
            Piece::Cubic { c1: first + out, c2: last - back, to: last }
        }
    };
    (first, part)
}

/// Parameters at which a piece crosses the line through a point square to a unit vector, its own ends left out.
pub fn crossings(from: Vec2, piece: &Piece, at: Vec2, normal: Vec2) -> Vec<f64> {
    let depth = |p: Vec2| (p - at).dot(normal);
    let mut all = match *piece {
        Piece::Line { to } => {
            let (a, b) = (depth(from), depth(to));
            if (a > 0.0) == (b > 0.0) { Vec::new() } else { vec![a / (a - b)] }
        }
        Piece::Arc { centre, major, minor, start, sweep } => {
            let (a, b, c) = (major.dot(normal), minor.dot(normal), depth(centre));
            let reach = libm::hypot(a, b);
            if c.abs() >= reach {
                Vec::new()
            } else {
                let (middle, half) = (libm::atan2(b, a), libm::acos(-c / reach));
                let turn =
                    |t: f64| if sweep > 0.0 { (t - start).rem_euclid(TAU) } else { -(start - t).rem_euclid(TAU) };
                [middle - half, middle + half].map(|t| turn(t) / sweep).to_vec()
            }
        }
        Piece::Cubic { .. } => {
            // Bends of the depth lie between its turning points.
            let mut stops = vec![0.0, 1.0];
            stops.extend(turning(from, piece, normal));
            stops.sort_by(f64::total_cmp);
            stops
                .windows(2)
                .filter_map(|pair| root(|f| depth(point(from, piece, f)), *pair.first()?, *pair.last()?))
                .collect()
        }
    };
    let (first, last) = (from, piece.end());
    all.retain(|&f| {
        let p = point(from, piece, f);
        f > 0.0 && f < 1.0 && (p - first).length() > SAME && (p - last).length() > SAME
    });
    all.sort_by(f64::total_cmp);
    all
}

/// Parameters at which a cubic runs along a line square to `normal`.
fn turning(from: Vec2, piece: &Piece, normal: Vec2) -> Vec<f64> {
    let Piece::Cubic { c1, c2, to } = *piece else { return Vec::new() };
    let [p, q, r] = [c1 - from, c2 - c1, to - c2].map(|v| v.dot(normal));
    let (a, b, c) = (p - 2.0 * q + r, q - p, p);
    let under = b * b - a * c;
    if under < 0.0 {
        return Vec::new();
    }
    let root = under.sqrt();
    // Both roots of a f² + 2 b f + c without taking nearly equal numbers from one another.
    let sum = -(b + root.copysign(b));
    [sum / a, c / sum].into_iter().filter(|f| *f > 0.0 && *f < 1.0).collect()
}

/// Area (mm²) that a closed path, anticlockwise, encloses below y = `level`: −∮ min(y, level) dx.
pub fn area_below(path: &Path, level: f64) -> f64 {
    let (at, up) = (Vec2::new(0.0, level), Vec2::new(0.0, 1.0));
    let mut sum = 0.0;
    for (start, piece) in path.runs() {
        let mut stops = crossings(start, piece, at, up);
        stops.extend([0.0, 1.0]);
        stops.sort_by(f64::total_cmp);
        for pair in stops.windows(2) {
            let &[a, b] = pair else { continue };
            let (from, part) = part(start, piece, [a, b]);
            let to = part.end();
            sum -= if point(from, &part, 0.5).y > level {
                level * (to.x - from.x)
            } else {
                // ∫ y dx is half of what x y grows by, less half the moment ∫ x dy − y dx.
                let moment = Path { start: from, pieces: vec![part], closed: false }.area() - 0.5 * to.cross(from);
                0.5 * (to.x * to.y - from.x * from.y) - moment
            };
        }
    }
    sum
}

/// Distance (mm) from a point to a piece that starts at `from`.
pub fn distance(from: Vec2, piece: &Piece, p: Vec2) -> f64 {
    let off = |f: f64| (point(from, piece, f) - p).length();
    match *piece {
        Piece::Line { to } => segment::off(p, from, to),
        Piece::Arc { .. } | Piece::Cubic { .. } => {
            // The nearest of a row of places, then where the way to the point is square to the piece.
            let steps = 32;
            let at = |i: usize| i as f64 / f64::from(steps);
            let nearest = (0..=steps as usize).min_by(|&a, &b| off(at(a)).total_cmp(&off(at(b)))).unwrap_or(0);
            let lean = |f: f64| (point(from, piece, f) - p).dot(tangent(from, piece, f));
            let (low, high) = (at(nearest.saturating_sub(1)), at((nearest + 1).min(steps as usize)));
            root(lean, low, high).map_or_else(|| off(at(nearest)), off)
        }
    }
}

fn root(value: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> Option<f64> {
    let rises = value(high) > 0.0;
    if (value(low) > 0.0) == rises {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if (value(middle) > 0.0) == rises {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(f64::midpoint(low, high))
}

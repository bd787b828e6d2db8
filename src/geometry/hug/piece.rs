//! One arc or cubic through places, and whether it lies in the band.

use super::super::split::{point, tangent};
use super::super::{Piece, Vec2};
use super::{FARTHEST, NEAREST, right, turn};

/// Places that a cubic is fitted to at most; more do not change it.
const MOST: usize = 48;
/// Rounds in which the places' parameters are found.
const ROUNDS: usize = 6;
/// Most that a piece turns (rad); a half turn and more is two.
const TURN: f64 = 3.0;

/// The arc that leaves `from` in a direction and ends at `to`; `None` where it is straight or turns too far.
pub(super) fn arc(from: Vec2, way: Vec2, to: Vec2) -> Option<Piece> {
    let chord = to - from;
    let half = turn(way, chord);
    if half.abs() < 1e-6 || 2.0 * half.abs() > TURN {
        return None;
    }
    // Signed: to the left of the start for a left turn.
    let radius = chord.length() / (2.0 * libm::sin(half));
    let centre = from + way.left() * radius;
    Some(Piece::circle_arc(centre, radius.abs(), (from - centre).angle(), 2.0 * half))
}

/// Two arcs from a place in a direction to another in one, in the same direction where they meet.
///
/// Bolton 1975, "Biarc curves", Computer-Aided Design 7 (from memory), with tangents of equal length at both ends.
pub(super) fn pair(from: Vec2, way: Vec2, to: Vec2, end: Vec2) -> Option<[Piece; 2]> {
    let (across, both) = (to - from, way + end);
    let apart = 2.0 * (1.0 - way.dot(end));
    let along = across.dot(both);
    // The root of apart d² + 2 along d = across² that stays finite as the directions become one.
    let reach = across.dot(across) / (along + (along * along + apart * across.dot(across)).sqrt());
    let middle = (from + to + (way - end) * reach) * 0.5;
    let first = run(from, way, middle)?;
    let second = run(middle, end_way(from, &first)?, to)?;
    (turn(end_way(middle, &second)?, end).abs() < 1e-6).then_some([first, second])
}

/// An arc, or a line where it is straight.
fn run(from: Vec2, way: Vec2, to: Vec2) -> Option<Piece> {
    arc(from, way, to).or_else(|| (turn(way, to - from).abs() < 1e-6).then_some(Piece::Line { to }))
}

/// Direction in which a piece ends.
pub(super) fn end_way(from: Vec2, piece: &Piece) -> Option<Vec2> {
    tangent(from, piece, 1.0).unit()
}

/// The cubic from the first place to the last in those directions, as near to the others as may be.
///
/// Schneider 1990, "An algorithm for automatically fitting digitized curves", Graphics Gems (from memory): least
/// squares for the lengths of the two end tangents, the places' parameters found anew in turn.
pub(super) fn cubic(places: &[Vec2], way: Vec2, end: Vec2) -> Option<Piece> {
    let (&from, &to) = (places.first()?, places.last()?);
    let chord = (to - from).length();
    if turn(way, end).abs() > TURN {
        return None;
    }
    let inner = places.len().saturating_sub(2);
    let stride = inner.div_ceil(MOST).max(1);
    let mut run = 0.0;
    let mut at = Vec::with_capacity(places.len());
    for (k, &p) in places.iter().enumerate() {
        run += k.checked_sub(1).map_or(0.0, |b| (p - places[b]).length());
        at.push(run);
    }
    let mut some: Vec<(f64, Vec2)> =
        (1..=inner).step_by(stride).map(|k| (at[k] / run, places[k])).filter(|(u, _)| u.is_finite()).collect();
    // As of a circular arc.
    let plain = chord * 2.0 / 3.0 / (1.0 + libm::cos(0.5 * turn(way, end)));
    let made = |a: f64, b: f64| Piece::Cubic { c1: from + way * a, c2: to - end * b, to };
    let mut piece = made(plain, plain);
    for _ in 0..ROUNDS {
        let (mut aa, mut ab, mut bb, mut ra, mut rb) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for &(u, p) in &some {
            let g = 1.0 - u;
            let (first, last) = (3.0 * g * g * u, 3.0 * g * u * u);
            let still = from * (g * g * g + first) + to * (u * u * u + last);
            let (a, b) = (way * first, -end * last);
            let rest = p - still;
            aa += a.dot(a);
            ab += a.dot(b);
            bb += b.dot(b);
            ra += a.dot(rest);
            rb += b.dot(rest);
        }
        let under = aa * bb - ab * ab;
        if under.abs() <= 1e-12 * aa * bb || some.is_empty() {
            break;
        }
        let (a, b) = ((ra * bb - rb * ab) / under, (rb * aa - ra * ab) / under);
        if !(a > 0.0 && b > 0.0 && a < 2.0 * chord && b < 2.0 * chord) {
            break;
        }
        piece = made(a, b);
        for (u, p) in &mut some {
            *u = foot(from, &piece, *p, *u);
        }
    }
    Some(piece)
}

/// Parameter of the nearest place of a piece to a point, from a guess (Newton).
fn foot(from: Vec2, piece: &Piece, p: Vec2, guess: f64) -> f64 {
    let mut f = guess;
    for _ in 0..4 {
        let (d, first) = (point(from, piece, f) - p, tangent(from, piece, f));
        let slope = first.dot(first) + d.dot(second(from, piece, f));
        let step = d.dot(first) / slope;
        if slope <= 0.0 || !step.is_finite() {
            break;
        }
        f = (f - step).clamp(0.0, 1.0);
        if step.abs() < 1e-10 {
            break;
        }
    }
    f
}

/// Second derivative of a piece by its parameter.
fn second(from: Vec2, piece: &Piece, f: f64) -> Vec2 {
    match *piece {
        Piece::Line { .. } => Vec2::default(),
        Piece::Arc { centre, sweep, .. } => (centre - point(from, piece, f)) * (sweep * sweep),
        Piece::Cubic { c1, c2, to } => ((from - c1 * 2.0 + c2) * (1.0 - f) + (c1 - c2 * 2.0 + to) * f) * 6.0,
    }
}

/// A piece of a fit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub(super) from: Vec2,
    pub(super) piece: Piece,
}

impl Stretch {
    /// 1 / radius at a parameter, positive for a left turn.
    fn curvature(&self, f: f64) -> f64 {
        let first = tangent(self.from, &self.piece, f);
        let speed = first.length();
        first.cross(second(self.from, &self.piece, f)) / (speed * speed * speed)
    }

    /// Whether no bend to the left is tighter than a radius, a fiftieth allowed for the fit.
    pub(super) fn is_as_wide_as(&self, radius: f64) -> bool {
        const LOOKS: u32 = 24;
        radius <= 0.0 || (0..=LOOKS).all(|k| self.curvature(f64::from(k) / f64::from(LOOKS)) * radius <= 1.02)
    }

    /// Whether the corners of the polyline along it lie to its left, within the band.
    ///
    /// Between two corners the distance differs from a straight run of it by no more than the curve bends there.
    pub(super) fn is_in_band(&self, corners: impl Iterator<Item = Vec2>) -> bool {
        let mut before: Option<(Vec2, f64)> = None;
        let (mut f, mut at) = (0.0, self.from);
        for p in corners {
            if let Piece::Cubic { .. } = self.piece {
                let speed = tangent(self.from, &self.piece, f).length();
                f = foot(self.from, &self.piece, p, (f + (p - at).length() / speed).min(1.0));
                at = p;
            }
            let (off, bend) = if let Piece::Arc { centre, major, sweep, .. } = self.piece {
                let radius = major.x.copysign(sweep);
                (radius - (p - centre).length().copysign(sweep), 1.0 / radius)
            } else {
                let out = right(tangent(self.from, &self.piece, f).unit().unwrap_or_default());
                ((point(self.from, &self.piece, f) - p).dot(out), self.curvature(f))
            };
            if !(5.0 * NEAREST..=FARTHEST).contains(&off) {
                return false;
            }
            if let Some((q, bent)) = before {
                let length = (p - q).length();
                let sag = 1.2 * length * length / 8.0;
                let (least, most) = (bend.min(bent).min(0.0) * sag, bend.max(bent).max(0.0) * sag);
                if off + least < NEAREST || off + most > FARTHEST {
                    return false;
                }
            }
            before = Some((p, bend));
        }
        true
    }
}

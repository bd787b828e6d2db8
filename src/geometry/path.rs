//! Plane curves of lines, circular arcs, elliptic arcs and cubics. Curves stay curves.

use std::f64::consts::TAU;

use super::Vec2;

/// One piece of a path; it starts where the one before it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Straight to `to`.
    Line {
        /// End point.
        to: Vec2,
    },
    /// Arc of an ellipse: `centre + major cos t + minor sin t`, t from `start` to `start + sweep`.
    ///
    /// A circular arc has `major` and `minor` of one length, square to each other.
    Arc {
        /// Centre.
        centre: Vec2,
        /// First semi-axis.
        major: Vec2,
        /// Second semi-axis, a quarter turn on from the first.
        minor: Vec2,
        /// Parameter (rad) at the start.
        start: f64,
        /// Parameter range (rad), negative against `major` to `minor`; at most a full turn.
        sweep: f64,
    },
    /// Cubic Bézier curve.
    Cubic {
        /// First control point.
        c1: Vec2,
        /// Second control point.
        c2: Vec2,
        /// End point.
        to: Vec2,
    },
}

/// A connected run of pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Where the first piece starts.
    pub start: Vec2,
    /// In order.
    pub pieces: Vec<Piece>,
    /// Whether the last piece's end is joined to the start (straight if apart).
    pub closed: bool,
}

/// Largest angle (rad) of one cubic that stands in for an arc: at 30 degrees the error is 3e-5 mm at r = 50.
const CUBIC_STEP: f64 = TAU / 12.0;

impl Piece {
    /// Circular arc about `centre` from the point at `start` (rad from +x) over `sweep` (rad).
    pub fn circle_arc(centre: Vec2, radius: f64, start: f64, sweep: f64) -> Self {
        Self::Arc { centre, major: Vec2::new(radius, 0.0), minor: Vec2::new(0.0, radius), start, sweep }
    }

    /// Where it ends.
    pub fn end(&self) -> Vec2 {
        match *self {
            Self::Line { to } | Self::Cubic { to, .. } => to,
            Self::Arc { start, sweep, .. } => self.arc_point(start + sweep),
        }
    }

    fn arc_point(&self, t: f64) -> Vec2 {
        let Self::Arc { centre, major, minor, .. } = *self else { return self.end() };
        let (s, c) = libm::sincos(t);
        centre + major * c + minor * s
    }

    /// Point at `f` in 0..=1 along the parameter, for a piece that starts at `from`.
    pub fn point(&self, from: Vec2, f: f64) -> Vec2 {
        match *self {
            Self::Line { to } => from + (to - from) * f,
            Self::Arc { start, sweep, .. } => self.arc_point(start + sweep * f),
            Self::Cubic { c1, c2, to } => {
                let g = 1.0 - f;
                from * (g * g * g) + c1 * (3.0 * g * g * f) + c2 * (3.0 * g * f * f) + to * (f * f * f)
            }
        }
    }

    /// Half the integral of x dy − y dx along the piece from `from`: exact.
    fn half_moment(&self, from: Vec2) -> f64 {
        match *self {
            Self::Line { to } => 0.5 * from.cross(to),
            Self::Arc { centre, major, minor, sweep, .. } => {
                // With q = p − centre: q × dq is constant in t for an ellipse.
                0.5 * (centre.cross(self.end() - from) + major.cross(minor) * sweep)
            }
            Self::Cubic { c1, c2, to } => {
                // Standard Bézier area form, exact for cubics.
                (3.0 / 20.0)
                    * (2.0 * from.cross(c1)
                        + from.cross(c2)
                        + c1.cross(c2)
                        + c1.cross(to)
                        + 2.0 * c2.cross(to)
                        + from.cross(to) / 3.0)
            }
        }
    }

    /// The piece as cubics that follow one another (a line as one).
    pub fn cubics(&self, from: Vec2) -> Vec<[Vec2; 3]> {
        match *self {
            Self::Line { to } => vec![[from + (to - from) * (1.0 / 3.0), from + (to - from) * (2.0 / 3.0), to]],
            Self::Cubic { c1, c2, to } => vec![[c1, c2, to]],
            Self::Arc { major, minor, start, sweep, .. } => {
                let count = (sweep.abs() / CUBIC_STEP - 1e-9).ceil().max(1.0);
                let step = sweep / count;
                let k = 4.0 / 3.0 * libm::tan(step / 4.0);
                (0..count as usize)
                    .map(|i| {
                        let t0 = start + step * i as f64;
                        let t1 = t0 + step;
                        let tangent = |t: f64| {
                            let (s, c) = libm::sincos(t);
                            minor * c - major * s
                        };
                        [self.arc_point(t0) + tangent(t0) * k, self.arc_point(t1) - tangent(t1) * k, self.arc_point(t1)]
                    })
                    .collect()
            }
        }
    }
}

impl Path {
    /// An open or closed run of straight pieces; `None` for fewer than two points.
    pub fn polyline(points: &[Vec2], closed: bool) -> Option<Self> {
        let (&start, rest) = points.split_first()?;
        (!rest.is_empty()).then(|| Self { start, pieces: rest.iter().map(|&to| Piece::Line { to }).collect(), closed })
    }

    /// One straight line.
    pub fn line(a: Vec2, b: Vec2) -> Self {
        Self { start: a, pieces: vec![Piece::Line { to: b }], closed: false }
    }

    /// A whole circle, anticlockwise from +x, in two halves (SVG needs two).
    pub fn circle(centre: Vec2, radius: f64) -> Self {
        Self::ellipse(centre, Vec2::new(radius, 0.0), Vec2::new(0.0, radius))
    }

    /// A whole ellipse from its two semi-axes, in two halves.
    pub fn ellipse(centre: Vec2, major: Vec2, minor: Vec2) -> Self {
        let half = |start| Piece::Arc { centre, major, minor, start, sweep: TAU / 2.0 };
        Self { start: centre + major, pieces: vec![half(0.0), half(TAU / 2.0)], closed: true }
    }

    /// A rectangle from its lower left corner, anticlockwise, with rounded corners (radius 0 for sharp).
    pub fn rectangle(corner: Vec2, width: f64, height: f64, radius: f64) -> Self {
        let (x0, y0, x1, y1) = (corner.x, corner.y, corner.x + width, corner.y + height);
        if radius <= 0.0 {
            let to = |x, y| Piece::Line { to: Vec2::new(x, y) };
            return Self { start: corner, pieces: vec![to(x1, y0), to(x1, y1), to(x0, y1), to(x0, y0)], closed: true };
        }
        let mut pieces = Vec::with_capacity(8);
        let turns = [
            (x1 - radius, y0 + radius, 3.0),
            (x1 - radius, y1 - radius, 0.0),
            (x0 + radius, y1 - radius, 1.0),
            (x0 + radius, y0 + radius, 2.0),
        ];
        for (cx, cy, quarter) in turns {
            let centre = Vec2::new(cx, cy);
            let arc = Piece::circle_arc(centre, radius, quarter * TAU / 4.0, TAU / 4.0);
            pieces.push(Piece::Line { to: centre + Vec2::polar(quarter * TAU / 4.0) * radius });
            pieces.push(arc);
        }
        Self { start: Vec2::new(x0 + radius, y0), pieces, closed: true }
    }

    /// Every piece with the point it starts from.
    pub fn runs(&self) -> impl Iterator<Item = (Vec2, &Piece)> {
        self.pieces.iter().scan(self.start, |at, piece| {
            let from = *at;
            *at = piece.end();
            Some((from, piece))
        })
    }

    /// Where the last piece ends.
    pub fn end(&self) -> Vec2 {
        self.pieces.last().map_or(self.start, Piece::end)
    }

    /// Signed area enclosed (mm²), positive anticlockwise; exact. Open paths are closed by a straight line.
    pub fn area(&self) -> f64 {
        let sum: f64 = self.runs().map(|(from, piece)| piece.half_moment(from)).sum();
        sum + 0.5 * self.end().cross(self.start)
    }

    /// Least and greatest coordinates, exact for lines and arcs, of the control polygon for cubics.
    pub fn bounds(&self) -> (Vec2, Vec2) {
        let mut low = self.start;
        let mut high = self.start;
        let mut add = |p: Vec2| {
            low = Vec2::new(low.x.min(p.x), low.y.min(p.y));
            high = Vec2::new(high.x.max(p.x), high.y.max(p.y));
        };
        for piece in &self.pieces {
            add(piece.end());
            match *piece {
                Piece::Line { .. } => {}
                Piece::Cubic { c1, c2, .. } => {
                    add(c1);
                    add(c2);
                }
                Piece::Arc { major, minor, start, sweep, .. } => {
                    let (first, last) = if sweep < 0.0 { (start + sweep, start) } else { (start, start + sweep) };
                    for extreme in [libm::atan2(minor.x, major.x), libm::atan2(minor.y, major.y)] {
                        let half = TAU / 2.0;
                        let mut t = extreme + half * ((first - extreme) / half).ceil();
                        while t <= last {
                            add(piece.arc_point(t));
                            t += half;
                        }
                    }
                }
            }
        }
        (low, high)
    }

    /// Points along the path so that no chord of an arc strays more than `tolerance` (mm); the start is first.
    pub fn flattened(&self, tolerance: f64) -> Vec<Vec2> {
        let mut points = vec![self.start];
        for (from, piece) in self.runs() {
            let count = match *piece {
                Piece::Line { .. } => 1,
                Piece::Arc { major, minor, sweep, .. } => {
                    let radius = major.length().max(minor.length());
                    let step = 2.0 * libm::acos((1.0 - tolerance / radius).clamp(-1.0, 1.0));
                    ((sweep.abs() / step.max(1e-4)).ceil() as usize).max(2)
                }
                Piece::Cubic { c1, c2, to } => {
                    // Second differences bound the distance to the chord: |B''| <= 6 max, error <= |B''|/(8 n²).
                    let bend = (from - c1 * 2.0 + c2).length().max((c1 - c2 * 2.0 + to).length());
                    ((0.75 * bend / tolerance).sqrt().ceil() as usize).max(1)
                }
            };
            points.extend((1..=count).map(|i| piece.point(from, i as f64 / count as f64)));
        }
        points
    }

    /// The path carried by `p ↦ origin + p.x·x + p.y·y`.
    #[must_use]
    pub fn carried(&self, origin: Vec2, x: Vec2, y: Vec2) -> Self {
        let dir = |p: Vec2| x * p.x + y * p.y;
        let put = |p: Vec2| origin + dir(p);
        let pieces = self
            .pieces
            .iter()
            .map(|piece| match *piece {
                Piece::Line { to } => Piece::Line { to: put(to) },
                Piece::Arc { centre, major, minor, start, sweep } => {
                    Piece::Arc { centre: put(centre), major: dir(major), minor: dir(minor), start, sweep }
                }
                Piece::Cubic { c1, c2, to } => Piece::Cubic { c1: put(c1), c2: put(c2), to: put(to) },
            })
            .collect();
        Self { start: put(self.start), pieces, closed: self.closed }
    }

    /// The same run the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let mut pieces: Vec<Piece> = self
            .runs()
            .map(|(from, piece)| match *piece {
                Piece::Line { .. } => Piece::Line { to: from },
                Piece::Arc { centre, major, minor, start, sweep } => {
                    Piece::Arc { centre, major, minor, start: start + sweep, sweep: -sweep }
                }
                Piece::Cubic { c1, c2, .. } => Piece::Cubic { c1: c2, c2: c1, to: from },
            })
            .collect();
        pieces.reverse();
        Self { start: self.end(), pieces, closed: self.closed }
    }

    /// The path moved by `by`.
    #[must_use]
    pub fn moved(&self, by: Vec2) -> Self {
        self.carried(by, Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0))
    }
}

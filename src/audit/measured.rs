//! A curve as a reader found it in a PDF or SVG file, and what can be measured on it.
//!
//! Millimetres on the sheet, x right, y up, origin at the lower left corner.
//! Nothing here is shared with the writers: extremes, centres and areas are
//! worked out again from the file's own segments.

use std::f64::consts::TAU;

use crate::geometry::Vec2;

/// One piece of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// Straight.
    Line {
        /// Start.
        from: Vec2,
        /// End.
        to: Vec2,
    },
    /// Cubic Bézier curve.
    Cubic {
        /// Start.
        from: Vec2,
        /// First control point.
        c1: Vec2,
        /// Second control point.
        c2: Vec2,
        /// End.
        to: Vec2,
    },
    /// Arc of an ellipse: `centre + major cos t + minor sin t`, t from `start` to `start + sweep`.
    Arc {
        /// Centre.
        centre: Vec2,
        /// First semi-axis.
        major: Vec2,
        /// Second semi-axis.
        minor: Vec2,
        /// Parameter (rad) at the start.
        start: f64,
        /// Parameter range (rad).
        sweep: f64,
    },
}

/// A curve of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Its name, if it has one.
    pub key: Option<String>,
    /// Layer (PDF) or group (SVG) it is in; empty outside all.
    pub group: String,
    /// Whether it is filled in place of stroked.
    pub filled: bool,
    /// Whether the file closes it. Of several runs, the last.
    pub closed: bool,
    /// How many separate runs it has; a good one has one.
    pub runs: usize,
    /// In the order of the file, with the closing line where the ends are apart.
    pub segments: Vec<Segment>,
}

/// A circle measured on a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Middle of the extremes.
    pub centre: Vec2,
    /// Mean of width and height (mm).
    pub diameter: f64,
    /// Largest distance (mm) of the curve from that circle.
    pub out_of_round: f64,
}

/// Largest out-of-round (mm) of what still counts as a circle. Files carry 1e-4 mm, and cubics of
/// 30 degrees stray 3e-5 mm at r = 50 (and in proportion).
const ROUND: f64 = 0.001;
/// Ends closer (mm) than this are one point: under any printed digit of the files.
const SAME: f64 = 1e-6;
/// Places tried on a curve before the nearest one is closed in on.
const SAMPLES: u32 = 32;

impl Segment {
    /// Where it starts.
    pub fn from(&self) -> Vec2 {
        self.point(0.0)
    }

    /// Where it ends.
    pub fn to(&self) -> Vec2 {
        self.point(1.0)
    }

    /// Point at `f` in 0..=1.
    pub fn point(&self, f: f64) -> Vec2 {
        match *self {
            Self::Line { from, to } => from + (to - from) * f,
            Self::Cubic { from, c1, c2, to } => {
                let mix = |a: Vec2, b: Vec2| a + (b - a) * f;
                let (a, b, c) = (mix(from, c1), mix(c1, c2), mix(c2, to));
                mix(mix(a, b), mix(b, c))
            }
            Self::Arc { centre, major, minor, start, sweep } => {
                let (s, c) = libm::sincos(start + sweep * f);
                centre + major * c + minor * s
            }
        }
    }

    /// Places `f` strictly inside where one coordinate is extreme.
    fn extremes(&self, coordinate: fn(Vec2) -> f64) -> Vec<f64> {
        let inside = |f: &f64| *f > 0.0 && *f < 1.0;
        match *self {
            Self::Line { .. } => Vec::new(),
            Self::Cubic { from, c1, c2, to } => {
                // B' / 3 = p (1−f)² + 2 q f (1−f) + r f²: a quadratic in f.
                let (p, q, r) = (coordinate(c1 - from), coordinate(c2 - c1), coordinate(to - c2));
                let (a, b) = (p - 2.0 * q + r, q - p);
                let root = (b * b - a * p).sqrt();
                // The stable pair of roots; a NaN (no root, or 0/0) falls out of `inside`.
                let big = -b - root.copysign(b);
                [big / a, p / big].into_iter().filter(inside).collect()
            }
            Self::Arc { major, minor, start, sweep, .. } => {
                let top = libm::atan2(coordinate(minor), coordinate(major));
                (-4..=4).map(|i| (top + f64::from(i) * TAU / 2.0 - start) / sweep).filter(inside).collect()
            }
        }
    }

    /// Half the integral of x dy − y dx.
    fn moment(&self) -> f64 {
        match *self {
            Self::Line { from, to } => from.cross(to) / 2.0,
            // Gauss–Legendre with three points is exact to degree five; the integrand has degree five.
            Self::Cubic { from, c1, c2, to } => {
                let slope = |f: f64| {
                    let g = 1.0 - f;
                    ((c1 - from) * (g * g) + (c2 - c1) * (2.0 * f * g) + (to - c2) * (f * f)) * 3.0
                };
                let half = (3.0_f64 / 5.0).sqrt() / 2.0;
                [(0.5 - half, 5.0), (0.5, 8.0), (0.5 + half, 5.0)]
                    .into_iter()
                    .map(|(f, weight)| self.point(f).cross(slope(f)) * weight / 36.0)
                    .sum()
            }
            Self::Arc { centre, major, minor, sweep, .. } => {
                f64::midpoint(centre.cross(self.to() - self.from()), major.cross(minor) * sweep)
            }
        }
    }

    /// Distance (mm) of a point.
    pub fn distance(&self, p: Vec2) -> f64 {
        let away = |f: f64| (self.point(f) - p).length();
        if let Self::Line { from, to } = *self {
            let run = to - from;
            let f = (p - from).dot(run) / run.dot(run);
            return away(if f.is_finite() { f.clamp(0.0, 1.0) } else { 0.0 });
        }
        let step = 1.0 / f64::from(SAMPLES);
        let near = (0..=SAMPLES).map(|i| f64::from(i) * step).min_by(|a, b| away(*a).total_cmp(&away(*b)));
        let near = near.unwrap_or(0.0);
        let (mut low, mut high) = ((near - step).max(0.0), (near + step).min(1.0));
        // Thirds: the bracket shrinks to 1e-9 of the segment.
        for _ in 0..45 {
            let third = (high - low) / 3.0;
            if away(low + third) < away(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        away(f64::midpoint(low, high))
    }
}

impl Measured {
    /// Least and greatest coordinates, exact; `None` for no segments.
    pub fn bounds(&self) -> Option<(Vec2, Vec2)> {
        let first = self.segments.first()?.from();
        let (mut low, mut high) = (first, first);
        let mut add = |p: Vec2| {
            low = Vec2::new(low.x.min(p.x), low.y.min(p.y));
            high = Vec2::new(high.x.max(p.x), high.y.max(p.y));
        };
        for segment in &self.segments {
            add(segment.from());
            add(segment.to());
            for f in segment.extremes(|p| p.x).into_iter().chain(segment.extremes(|p| p.y)) {
                add(segment.point(f));
            }
        }
        Some((low, high))
    }

    /// The circle it is, by its extremes; `None` for what is open, in several runs or out of round.
    pub fn circle(&self) -> Option<Circle> {
        let (low, high) = self.bounds()?;
        let size = high - low;
        let diameter = f64::midpoint(size.x, size.y);
        let centre = (low + high) * 0.5;
        let stray = |p: Vec2| ((p - centre).length() - diameter / 2.0).abs();
        let places = 0..=8;
        let out_of_round = self
            .segments
            .iter()
            .flat_map(|segment| places.clone().map(|i| stray(segment.point(f64::from(i) / 8.0))))
            .fold((size.x - size.y).abs(), f64::max);
        let good = self.closed && self.runs == 1 && diameter > 0.0 && out_of_round <= ROUND;
        good.then_some(Circle { centre, diameter, out_of_round })
    }

    /// Ends of the segments in order, the start first; the start is not repeated where it is closed.
    pub fn vertices(&self) -> Vec<Vec2> {
        let mut points: Vec<Vec2> = self.segments.first().map(Segment::from).into_iter().collect();
        points.extend(self.segments.iter().map(Segment::to));
        if self.closed
            && let (Some(&first), Some(&last)) = (points.first(), points.last())
            && points.len() > 1
            && (first - last).length() < SAME
        {
            points.pop();
        }
        points
    }

    /// The two ends, if it is one straight line.
    pub fn straight(&self) -> Option<(Vec2, Vec2)> {
        match self.segments[..] {
            [Segment::Line { from, to }] if !self.closed => Some((from, to)),
            _ => None,
        }
    }

    /// Signed area enclosed (mm²), positive anticlockwise; exact for the segments.
    pub fn area(&self) -> f64 {
        let ends = match (self.segments.first(), self.segments.last()) {
            (Some(first), Some(last)) => last.to().cross(first.from()) / 2.0,
            _ => 0.0,
        };
        self.segments.iter().map(Segment::moment).sum::<f64>() + ends
    }

    /// Distance (mm) of a point from the curve; infinite for no segments.
    pub fn distance(&self, p: Vec2) -> f64 {
        self.segments.iter().map(|segment| segment.distance(p)).fold(f64::INFINITY, f64::min)
    }

    /// Farthest (mm) that one curve is from another which may lie elsewhere, by the ends of their pieces; infinite where
    /// they have more or fewer.
    pub fn shape_off(&self, other: &Self) -> f64 {
        if self.segments.len() != other.segments.len() {
            return f64::INFINITY;
        }
        let (a, b) = (self.vertices(), other.vertices());
        let (Some(&a0), Some(&b0)) = (a.first(), b.first()) else { return f64::INFINITY };
        a.iter().zip(&b).map(|(&a, &b)| ((a - a0) - (b - b0)).length()).fold(0.0, f64::max)
    }

    /// The curve in other coordinates: `point` carries points, `way` directions.
    pub fn place(&mut self, point: impl Fn(Vec2) -> Vec2, way: impl Fn(Vec2) -> Vec2) {
        for segment in &mut self.segments {
            *segment = match *segment {
                Segment::Line { from, to } => Segment::Line { from: point(from), to: point(to) },
                Segment::Cubic { from, c1, c2, to } => {
                    Segment::Cubic { from: point(from), c1: point(c1), c2: point(c2), to: point(to) }
                }
                Segment::Arc { centre, major, minor, start, sweep } => {
                    Segment::Arc { centre: point(centre), major: way(major), minor: way(minor), start, sweep }
                }
            };
        }
    }

    /// The curve stretched about a point by a factor in x and one in y.
    pub fn stretch(&mut self, about: Vec2, [x, y]: [f64; 2]) {
        let way = |d: Vec2| Vec2::new(d.x * x, d.y * y);
        self.place(|p| about + way(p - about), way);
    }
}

/// Gathers segments into a curve while a file is read.
#[derive(Debug, Default)]
pub(super) struct Tracer {
    segments: Vec<Segment>,
    start: Option<Vec2>,
    at: Vec2,
    closed: bool,
    runs: usize,
}

impl Tracer {
    /// Where the pen is; `None` before the first move.
    pub(super) fn at(&self) -> Option<Vec2> {
        self.start.map(|_| self.at)
    }

    /// Lifts the pen to a point.
    pub(super) fn lift(&mut self, to: Vec2) {
        (self.start, self.at, self.closed) = (Some(to), to, false);
        self.runs += 1;
    }

    /// Draws one segment, which starts where the pen is.
    pub(super) fn draw(&mut self, segment: Segment) {
        self.at = segment.to();
        self.closed = false;
        self.segments.push(segment);
    }

    /// Draws a straight line from where the pen is.
    pub(super) fn line(&mut self, to: Vec2) {
        self.draw(Segment::Line { from: self.at, to });
    }

    /// Closes the run, with a straight line where its ends are apart.
    pub(super) fn close(&mut self) {
        let Some(start) = self.start else { return };
        if (start - self.at).length() > SAME {
            self.line(start);
        }
        self.at = start;
        self.closed = true;
    }

    /// What was gathered, and begins anew.
    pub(super) fn finish(&mut self, key: Option<String>, group: &str, filled: bool) -> Measured {
        let done = std::mem::take(self);
        Measured { key, group: group.to_owned(), filled, closed: done.closed, runs: done.runs, segments: done.segments }
    }
}

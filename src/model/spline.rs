//! Edges without a closed form: fitted splines with their derivatives exact at every knot.

use std::ops::{Add, Mul, Neg, Sub};

use crate::geometry::Vec3;

/// A number with its first and second derivative along a curve's parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jet {
    value: f64,
    first: f64,
    second: f64,
}

impl Jet {
    /// A constant.
    pub const fn constant(value: f64) -> Self {
        Self { value, first: 0.0, second: 0.0 }
    }

    /// The parameter itself.
    pub const fn parameter(value: f64) -> Self {
        Self { value, first: 1.0, second: 0.0 }
    }

    /// Square root of a positive number.
    #[must_use]
    pub fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        let first = self.first / (2.0 * root);
        Self { value: root, first, second: (self.second / 2.0 - first * first) / root }
    }

    /// Its reciprocal.
    #[must_use]
    pub fn recip(self) -> Self {
        let r = 1.0 / self.value;
        let first = -self.first * r * r;
        Self { value: r, first, second: -(self.second * r + 2.0 * self.first * first) * r }
    }

    /// Sine and cosine of an angle in radians.
    #[must_use]
    pub fn sincos(self) -> (Self, Self) {
        let (s, c) = libm::sincos(self.value);
        let squared = self.first * self.first;
        (
            Self { value: s, first: c * self.first, second: c * self.second - s * squared },
            Self { value: c, first: -s * self.first, second: -s * self.second - c * squared },
        )
    }
}

impl Add for Jet {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self { value: self.value + o.value, first: self.first + o.first, second: self.second + o.second }
    }
}

impl Sub for Jet {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        self + -o
    }
}

impl Neg for Jet {
    type Output = Self;
    fn neg(self) -> Self {
        self * -1.0
    }
}

impl Mul for Jet {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self {
            value: self.value * o.value,
            first: self.first * o.value + self.value * o.first,
            second: self.second * o.value + 2.0 * self.first * o.first + self.value * o.second,
        }
    }
}

impl Mul<f64> for Jet {
    type Output = Self;
    fn mul(self, o: f64) -> Self {
        Self { value: self.value * o, first: self.first * o, second: self.second * o }
    }
}

/// A quintic spline, twice continuously differentiable, over equal spans.
///
/// Each span is the quintic Hermite interpolant of point, first and second
/// derivative at its two knots (Farin, Curves and Surfaces for CAGD, chapter
/// on Hermite interpolation; from memory). Its error falls with the sixth
/// power of the span.
#[derive(Debug, Clone, PartialEq)]
pub struct Spline {
    spans: Vec<[Vec3; 6]>,
}

/// Most spans tried before a curve counts as too sharply bent to fit.
const MOST_SPANS: usize = 1024;

impl Spline {
    /// Degree of every span.
    pub const DEGREE: usize = 5;

    /// Fits a curve over a range of its parameter to within `tolerance` (mm).
    ///
    /// The spans are doubled until the fit at the quarter points of every span
    /// is within the tolerance; `None` where 1024 spans are not enough or the
    /// curve is not finite.
    pub fn fit(range: [f64; 2], tolerance: f64, curve: impl Fn(Jet) -> [Jet; 3]) -> Option<Self> {
        let mut count = 8;
        while count <= MOST_SPANS {
            let fitted = Self::through(range, count, &curve);
            let worst = fitted.deviation(range, &curve);
            if worst.is_nan() {
                return None;
            }
            if worst <= tolerance {
                return Some(fitted);
            }
            count *= 2;
        }
        None
    }

    /// Fits two curves over one range with as many spans each, as a ruled surface between them wants.
    ///
    /// As [`Self::fit`], from one span on.
    pub fn fit_both(range: [f64; 2], tolerance: f64, curves: [&dyn Fn(Jet) -> [Jet; 3]; 2]) -> Option<[Self; 2]> {
        let mut count = 1;
        while count <= MOST_SPANS {
            let fitted = curves.map(|curve| Self::through(range, count, &curve));
            let off = [0, 1].map(|i| fitted[i].deviation(range, &curves[i]));
            if off.iter().any(|off| off.is_nan()) {
                return None;
            }
            if off.iter().all(|off| *off <= tolerance) {
                return Some(fitted);
            }
            count *= 2;
        }
        None
    }

    /// A cubic Bézier curve, exactly: raised to this degree.
    pub fn cubic(points: [Vec3; 4]) -> Self {
        let [a, b, c, d] = points;
        let raised = [a, (a * 2.0 + b * 3.0) * 0.2, (a + b * 6.0 + c * 3.0) * 0.1];
        let back = [d, (d * 2.0 + c * 3.0) * 0.2, (d + c * 6.0 + b * 3.0) * 0.1];
        Self { spans: vec![[raised[0], raised[1], raised[2], back[2], back[1], back[0]]] }
    }

    /// The same moved.
    #[must_use]
    pub fn moved(&self, by: Vec3) -> Self {
        Self { spans: self.spans.iter().map(|span| span.map(|point| point + by)).collect() }
    }

    /// Closes the curve to the bit: the last point becomes the first.
    #[must_use]
    pub fn closed(mut self) -> Self {
        if let Some(first) = self.spans.first().map(|span| span[0])
            && let Some(last) = self.spans.last_mut()
        {
            last[5] = first;
        }
        self
    }

    fn through(range: [f64; 2], count: usize, curve: &impl Fn(Jet) -> [Jet; 3]) -> Self {
        let h = (range[1] - range[0]) / count as f64;
        let knots: Vec<[Vec3; 3]> = (0..=count)
            .map(|i| {
                let at = range[0] + h * i as f64;
                let [x, y, z] = curve(Jet::parameter(at));
                [
                    Vec3::new(x.value, y.value, z.value),
                    Vec3::new(x.first, y.first, z.first) * (h / 5.0),
                    Vec3::new(x.second, y.second, z.second) * (h * h / 20.0),
                ]
            })
            .collect();
        let spans = knots
            .windows(2)
            .filter_map(|pair| {
                let [[p, dp, ddp], [q, dq, ddq]] = pair.try_into().ok()?;
                Some([p, p + dp, p + dp * 2.0 + ddp, q - dq * 2.0 + ddq, q - dq, q])
            })
            .collect();
        Self { spans }
    }

    fn deviation(&self, range: [f64; 2], curve: &impl Fn(Jet) -> [Jet; 3]) -> f64 {
        let count = self.spans.len() as f64;
        let mut worst = 0.0;
        for i in 0..self.spans.len() {
            for part in [0.25, 0.5, 0.75] {
                let t = (i as f64 + part) / count;
                let [x, y, z] = curve(Jet::constant(range[0] + (range[1] - range[0]) * t));
                let off = (self.at(t).0 - Vec3::new(x.value, y.value, z.value)).length();
                if off.is_nan() {
                    return off;
                }
                worst = off.max(worst);
            }
        }
        worst
    }

    /// Number of spans.
    pub fn len(&self) -> usize {
        self.spans.len()
    }

    /// Whether it has no span at all.
    pub fn is_empty(&self) -> bool {
        self.spans.is_empty()
    }

    /// Point and derivative at `t` from 0 to 1 over the whole spline.
    pub fn at(&self, t: f64) -> (Vec3, Vec3) {
        let count = self.spans.len();
        let scaled = t * count as f64;
        let index = (scaled as usize).min(count.saturating_sub(1));
        let Some(&span) = self.spans.get(index) else { return Default::default() };
        let s = scaled - index as f64;
        let mut row = span;
        // De Casteljau, down to the last two points, whose difference is the derivative.
        for left in (2..=Self::DEGREE).rev() {
            for i in 0..left {
                row[i] = row[i] * (1.0 - s) + row[i + 1] * s;
            }
        }
        let [a, b, ..] = row;
        (a * (1.0 - s) + b * s, (b - a) * (Self::DEGREE as f64 * count as f64))
    }

    /// Control points of the same curve as one B-spline: knots 0, 1, 2 ... `len`, three-fold inside, six-fold at the ends.
    ///
    /// At an inner knot the three are the blossoms of the two spans beside it;
    /// the middle one, 2 b4 - b3 of the span before, is the same from either side.
    pub fn control_points(&self) -> Vec<Vec3> {
        let mut points = Vec::with_capacity(3 * self.spans.len() + 3);
        if let Some([a, b, c, ..]) = self.spans.first() {
            points.extend([*a, *b, *c]);
        }
        for pair in self.spans.windows(2) {
            if let [[.., b3, b4, _], [_, _, c2, ..]] = pair {
                points.extend([*b3, *b4 * 2.0 - *b3, *c2]);
            }
        }
        if let Some([.., d, e, f]) = self.spans.last() {
            points.extend([*d, *e, *f]);
        }
        points
    }
}

//! Saint-Venant torsion of a round bar and of a double-D bar, solid or bored.
//!
//! Prandtl's function φ has ∇²φ = −2 in the section, φ = 0 outside and a
//! constant on the bore; the bar twists by T/(G K) and the shear is
//! T |∇φ| / K (Timoshenko & Goodier, *Theory of Elasticity*, section 104 ff.,
//! from memory). With φ = h − ρ²/2 the harmonic part h is ρ²/2 on the outside
//! and a constant on a concentric round bore.
//!
//! h is the real part of an analytic function of q = z², real for real q, so
//! both symmetries of the section are built in. It is sought among
//! polynomials in q and simple poles that cluster outside the corners
//! (Gopal & Trefethen, doi:10.1137/19M125947X). For a bore of radius a each
//! basis function g(z) is taken less its image g(a²/z̄): that is 0 on the bore
//! and has no circulation round it, so the condition of single-valued
//! displacement holds exactly and the outside alone is fitted.

use std::f64::consts::PI;
use std::ops::{Add, Mul, Sub};

use super::least_squares::{self, LeastSquaresError};
use super::quadrature::gauss_legendre;

/// Torsion of a bar of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Torsion {
    /// Torsion constant K (mm⁴): the twist over a length L is T L / (G K).
    pub k: f64,
    /// Shear over torque (1/mm³) at the middle of a flat, or on the outside of a round bar.
    pub shear_per_torque: f64,
    /// Shear over torque (1/mm³) at the bore's edge, where it faces a flat.
    pub shear_per_torque_bore: Option<f64>,
}

impl Torsion {
    /// Greatest shear over torque (1/mm³).
    pub fn worst_shear_per_torque(&self) -> f64 {
        self.shear_per_torque.max(self.shear_per_torque_bore.unwrap_or(0.0))
    }
}

/// Why a bar's torsion is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TorsionError {
    /// The sizes make no bar: bore, flats and diameter must each be less than the next and above zero.
    Shape,
    /// The boundary is met only to this part of r², more than [`RESIDUAL_LIMIT`].
    Residual {
        /// Greatest |h − ρ²/2| / r² found between the fitted points.
        found: f64,
    },
    /// The fit broke down.
    Fit(LeastSquaresError),
}

impl std::fmt::Display for TorsionError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Shape => write!(f, "bore, flats and diameter must each be less than the next"),
            Self::Residual { found } => {
                write!(f, "the torsion solution is off by {found:.1e} at the outside, allowed {RESIDUAL_LIMIT:.0e}")
            }
            Self::Fit(error) => write!(f, "the torsion solution broke down: {error}"),
        }
    }
}

impl std::error::Error for TorsionError {}

/// Greatest error of the boundary values, over r²; by the maximum principle also of φ inside.
pub const RESIDUAL_LIMIT: f64 = 1e-9;

/// Round bar, solid or with a concentric bore (mm): K = π(D⁴ − d⁴)/32, τ = T ρ / K.
pub fn round(diameter: f64, bore: Option<f64>) -> Result<Torsion, TorsionError> {
    let inside = bore.unwrap_or(0.0);
    if !(diameter.is_finite() && inside >= 0.0 && inside < diameter) {
        return Err(TorsionError::Shape);
    }
    let k = PI / 32.0 * (diameter * diameter * diameter * diameter - inside * inside * inside * inside);
    Ok(Torsion { k, shear_per_torque: diameter / 2.0 / k, shear_per_torque_bore: bore.map(|inside| inside / 2.0 / k) })
}

/// Double-D bar: a round with two flats `flats` apart, solid or with a concentric round bore (mm).
pub fn double_d(diameter: f64, flats: f64, bore: Option<f64>) -> Result<Torsion, TorsionError> {
    let r = diameter / 2.0;
    let inside = bore.unwrap_or(0.0) / 2.0;
    if !(diameter.is_finite() && inside >= 0.0 && inside < flats / 2.0 && flats < diameter) {
        return Err(TorsionError::Shape);
    }
    let section = Section::new(flats / diameter, inside / r);
    let basis = Basis::new(&section);
    let (points, checks) = section.samples();
    let columns = basis.columns(&points);
    let right: Vec<f64> = points.iter().map(|z| 0.5 * z.square_norm()).collect();
    let coefficients = least_squares::fit(columns, &right).map_err(TorsionError::Fit)?;

    let wanted = checks.iter().map(|z| 0.5 * z.square_norm());
    let found = basis.values(&checks, &coefficients);
    // Not f64::max, which would let a NaN pass.
    let worst = wanted
        .zip(found)
        .map(|(w, f)| (w - f.re).abs())
        .fold(0.0, |worst: f64, off| if off > worst || off.is_nan() { off } else { worst });
    if worst.is_nan() || worst > RESIDUAL_LIMIT {
        return Err(TorsionError::Residual { found: worst });
    }

    let k = section.torsion_constant(&basis, &coefficients);
    let at_flat = section.flat - basis.slope(section.flat, &coefficients);
    let cube = r * r * r;
    Ok(Torsion {
        k: k * cube * r,
        shear_per_torque: at_flat.abs() / (k * cube),
        shear_per_torque_bore: (section.bore > 0.0)
            .then(|| (section.bore - basis.slope(section.bore, &coefficients)).abs() / (k * cube)),
    })
}

// The counts below were chosen by measurement: with them the residual stays
// under its limit for flats from 0.3 to 0.9999 of the diameter in a solid bar,
// and for bores up to 0.7, 0.8, 0.9, 0.95 and 0.97 of flats of 0.35, 0.45,
// 0.5, 0.65 and 0.75 of the diameter. A solution takes 0.4 ms, of a bored bar 0.6.

/// Poles outside each corner.
const POLES: usize = 32;
/// Degree in q of the polynomial part.
const DEGREE: usize = 16;
/// Poles beyond each flat of a bored bar, where the bore's images lie.
const BORE_POLES: usize = 12;
/// Spacing of the poles: the j-th of N lies exp(−SPACING (√N − √j)) radii off the corner.
const SPACING: f64 = 3.7;
/// Sample points a pole on each of flat and arc.
const SAMPLES: usize = 4;
/// Points of the quadrature for K over half a flat.
const NODES: usize = 40;

/// How near to the corner step `j` of [`POLES`] lies, 1 for the last.
fn near(j: f64) -> f64 {
    libm::exp(-SPACING * ((POLES as f64).sqrt() - j.sqrt()))
}

/// A double-D section over its radius, seen in its first quadrant.
struct Section {
    /// Half the flats.
    flat: f64,
    /// Half the chord.
    chord: f64,
    /// Radius of the bore, 0 for none.
    bore: f64,
}

impl Section {
    fn new(flat: f64, bore: f64) -> Self {
        Self { flat, chord: (1.0 - flat * flat).sqrt(), bore }
    }

    fn corner(&self) -> Complex {
        Complex::new(self.flat, self.chord)
    }

    /// Points of flat and arc, clustered into the corner as the poles are; and those halfway between them.
    fn samples(&self) -> (Vec<Complex>, Vec<Complex>) {
        let arc = libm::asin(self.flat);
        let count = POLES * SAMPLES;
        let at = |step: f64| {
            let left = 1.0 - near(step / SAMPLES as f64);
            let (s, c) = libm::sincos(arc * left);
            // The arc's angle is taken from its middle, +y.
            [Complex::new(self.flat, self.chord * left), Complex::new(s, c)]
        };
        let points = (1..=count).flat_map(|i| at(i as f64)).collect();
        let checks = (0..count).flat_map(|i| at(i as f64 + 0.5)).collect();
        (points, checks)
    }

    /// K / r⁴ = J − π a⁴/2 + 4 ∫ g y dy over the upper half of a flat, g the conjugate of h.
    ///
    /// From K = 2 ∫φ + 2 φ(bore) A(bore) by Green's formula, with ∂h/∂n = ∂g/∂s and ρ constant on the arcs.
    fn torsion_constant(&self, basis: &Basis, coefficients: &[f64]) -> f64 {
        let (d, s, a) = (self.flat, self.chord, self.bore);
        let polar = d * d * d * s + d * s * s * s / 3.0 + libm::asin(d) - PI / 2.0 * a * a * a * a;
        // y = s (1 − t⁴) smooths the root at the corner.
        let (points, weights): (Vec<_>, Vec<_>) = gauss_legendre(NODES)
            .into_iter()
            .map(|(x, weight)| {
                let t = f64::midpoint(1.0, x);
                let y = s * (1.0 - t * t * t * t);
                (Complex::new(d, y), weight * 2.0 * s * t * t * t * y)
            })
            .unzip();
        let flux: f64 = basis.values(&points, coefficients).iter().zip(&weights).map(|(f, w)| f.im * w).sum();
        polar + 4.0 * flux
    }
}

/// The functions h is sought among, as analytic functions of q = z², real on the real axis.
struct Basis {
    /// Centre and size of the section in q, for the powers.
    centre: f64,
    size: f64,
    /// Poles in the upper half of the q-plane and their weights; each stands for itself and its mirror image.
    corner_poles: Vec<(Complex, f64)>,
    /// Poles on the real axis and their weights.
    bore_poles: Vec<(f64, f64)>,
    /// a⁴: the image of q in the bore is a⁴/q.
    image: f64,
}

impl Basis {
    fn new(section: &Section) -> Self {
        let (d, s) = (section.flat, section.chord);
        let corner = section.corner();
        // Outward bisector: between the flat's end and the arc's, turned away.
        let length = (s * s + (1.0 - d) * (1.0 - d)).sqrt();
        let outward = Complex::new(s / length, (1.0 - d) / length);
        let corner_poles = (1..=POLES)
            .map(|j| {
                let off = near(j as f64);
                let z = corner + outward * off;
                (z * z, off)
            })
            .collect();
        let a = section.bore;
        let bore_poles = if a > 0.0 {
            // Images of the bore in the flat fill a disc about 2d of radius a; their limit point is d + √(d² − a²).
            let from = (d * d - a * a).sqrt();
            (0..BORE_POLES)
                .map(|j| {
                    let x = d + from + (d - from) * j as f64 / BORE_POLES as f64;
                    (x * x, from)
                })
                .collect()
        } else {
            Vec::new()
        };
        Self {
            centre: (d * d - 1.0) / 2.0,
            size: f64::midpoint(d * d, 1.0),
            corner_poles,
            bore_poles,
            image: a * a * a * a,
        }
    }

    fn len(&self) -> usize {
        1 + DEGREE + 2 * self.corner_poles.len() + self.bore_poles.len()
    }

    /// Every function but the constant at q, by index, with its derivative there.
    fn terms(&self, q: Complex, mut each: impl FnMut(usize, Complex, Complex)) {
        let t = (q - Complex::new(self.centre, 0.0)) * (1.0 / self.size);
        let mut power = Complex::new(1.0, 0.0);
        let mut index = 1;
        for k in 1..=DEGREE {
            let slope = power * (k as f64 / self.size);
            power = power * t;
            each(index, power, slope);
            index += 1;
        }
        for &(pole, weight) in &self.corner_poles {
            let (one, other) = ((q - pole).inverse(), (q - pole.conjugate()).inverse());
            let (one_slope, other_slope) = (one * one * -weight, other * other * -weight);
            let (one, other) = (one * weight, other * weight);
            each(index, one + other, one_slope + other_slope);
            each(index + 1, (one - other).turned(), (one_slope - other_slope).turned());
            index += 2;
        }
        for &(pole, weight) in &self.bore_poles {
            let one = (q - Complex::new(pole, 0.0)).inverse();
            each(index, one * weight, one * one * -weight);
            index += 1;
        }
    }

    /// Every function less its image in the bore, at z; the constant has none.
    fn row(&self, z: Complex) -> Vec<Complex> {
        let q = z * z;
        let mut row = vec![Complex::new(1.0, 0.0); self.len()];
        self.terms(q, |index, value, _| row[index] = value);
        if self.image > 0.0 {
            self.terms(q.inverse() * self.image, |index, value, _| row[index] = row[index] - value);
        }
        row
    }

    /// One column of real parts a function.
    fn columns(&self, points: &[Complex]) -> Vec<Vec<f64>> {
        let mut columns = vec![Vec::with_capacity(points.len()); self.len()];
        for &z in points {
            for (column, value) in columns.iter_mut().zip(self.row(z)) {
                column.push(value.re);
            }
        }
        columns
    }

    /// h + i g at the points.
    fn values(&self, points: &[Complex], coefficients: &[f64]) -> Vec<Complex> {
        let value = |&z| {
            let row = self.row(z);
            row.iter().zip(coefficients).fold(Complex::default(), |sum, (&term, &factor)| sum + term * factor)
        };
        points.iter().map(value).collect()
    }

    /// ∂h/∂x at a point x of the real axis.
    fn slope(&self, x: f64, coefficients: &[f64]) -> f64 {
        let q = x * x;
        let mut sum = 0.0;
        let factor = |index| coefficients.get(index).copied().unwrap_or_default();
        self.terms(Complex::new(q, 0.0), |index, _, slope| sum += slope.re * factor(index) * 2.0 * x);
        if self.image > 0.0 {
            let inner = self.image / q;
            self.terms(Complex::new(inner, 0.0), |index, _, slope| {
                sum += slope.re * factor(index) * 2.0 * inner / x;
            });
        }
        sum
    }
}

/// A complex number, as far as it is needed here.
#[derive(Debug, Clone, Copy, Default)]
struct Complex {
    re: f64,
    im: f64,
}

impl Complex {
    const fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    fn square_norm(self) -> f64 {
        self.re * self.re + self.im * self.im
    }

    fn conjugate(self) -> Self {
        Self::new(self.re, -self.im)
    }

    fn inverse(self) -> Self {
        self.conjugate() * (1.0 / self.square_norm())
    }

    /// Times i.
    const fn turned(self) -> Self {
        Self::new(-self.im, self.re)
    }
}

impl Add for Complex {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.re + other.re, self.im + other.im)
    }
}

impl Sub for Complex {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.re - other.re, self.im - other.im)
    }
}

impl Mul for Complex {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self::new(self.re * other.re - self.im * other.im, self.re * other.im + self.im * other.re)
    }
}

impl Mul<f64> for Complex {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.re * factor, self.im * factor)
    }
}

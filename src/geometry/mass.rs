//! Areas, second moments and volumes of bars and of what is cut from them.
//!
//! They stand against the solids the program writes, so nothing here uses a
//! solid: closed forms, and one Gauss-Legendre integral where none exists.

use std::f64::consts::{FRAC_PI_2, PI};

use super::quadrature::{gauss_legendre, integrate};

/// Area and second moments of a bar's section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarSection {
    /// mm².
    pub area: f64,
    /// About the axis parallel to the flats (mm⁴): ∫ y² dA, y across the flats.
    pub about_parallel: f64,
    /// About the axis across the flats (mm⁴).
    pub about_across: f64,
}

/// Round bar, solid or with a concentric bore (mm).
pub fn round(diameter: f64, bore: f64) -> BarSection {
    let (outside, inside) = (diameter * diameter, bore * bore);
    let second = PI / 64.0 * (outside * outside - inside * inside);
    BarSection { area: PI / 4.0 * (outside - inside), about_parallel: second, about_across: second }
}

/// Double-D bar, `flats` across its flats, solid or with a concentric bore (mm); `flats` at most `diameter`.
///
/// Each quarter is a triangle (0, 0) (h, 0) (h, s) and a sector, with h half the flats and s half their chord
/// (derived; checked against tabled sections).
pub fn double_d(diameter: f64, flats: f64, bore: f64) -> BarSection {
    let (r, h) = (diameter / 2.0, (flats / 2.0).min(diameter / 2.0));
    let s = ((r - h) * (r + h)).sqrt();
    let beta = libm::asin(h / r);
    let fourth = r * r * r * r;
    let hole = round(bore, 0.0);
    // Sector from +y, along the flats, round to the corner: ∫ sin² and cos² of the angle from +y.
    let (odd, even) = (h * s / (r * r) / 2.0, beta / 2.0);
    BarSection {
        area: 2.0 * (h * s + r * r * beta) - hole.area,
        about_parallel: 4.0 * (h * h * h * s / 4.0 + fourth / 4.0 * (even - odd)) - hole.about_parallel,
        about_across: 4.0 * (h * s * s * s / 12.0 + fourth / 4.0 * (even + odd)) - hole.about_across,
    }
}

/// Volume (mm³) of a dimple in a flat: a cone of included angle `drill` (rad), tip `depth` below the flat, no wider
/// than `diameter`, then straight. A flat-bottomed hole has `drill` π.
pub fn dimple_in_flat(drill: f64, depth: f64, diameter: f64) -> f64 {
    let radius = diameter / 2.0;
    let slope = cotangent_of_half(drill);
    let cone = radius * slope;
    if depth <= cone {
        let mouth = depth / slope;
        PI / 3.0 * mouth * mouth * depth
    } else {
        PI * radius * radius * (cone / 3.0 + depth - cone)
    }
}

/// Volume (mm³) a dimple takes from a round of `radius`: its axis a radius, its tip `depth` below the crest.
///
/// Sizes as in [`dimple_in_flat`], the tip short of the bar's axis, the mouth on the round throughout.
/// About the drill's axis, ∫ over the angle of the closed integral along a ray, to 1e-12 of itself.
pub fn dimple_in_round(radius: f64, drill: f64, depth: f64, diameter: f64) -> f64 {
    let slope = cotangent_of_half(drill);
    let tip = radius - depth;
    let wall = diameter / 2.0;
    let ray = |theta: f64| {
        let sine = libm::sin(theta);
        // Where the cone leaves the round: √(R² − s² sin² θ) = tip + s · slope.
        let a = slope * slope + sine * sine;
        let b = tip * slope;
        let c = radius * radius - tip * tip;
        let rim = c / (b + (b * b + a * c).sqrt());
        let s = rim.min(wall);
        let q = (radius * radius - s * s * sine * sine).max(0.0).sqrt();
        s * s * ((radius * radius + radius * q + q * q) / (3.0 * (radius + q)) - tip / 2.0 - slope * s / 3.0)
    };
    // The rim is nearest on the way round the bar; where the drill's wall takes over, the ray has a kink.
    let height = tip + wall * slope;
    let square = (radius * radius - height * height) / (wall * wall);
    let kink = if square > 0.0 && square < 1.0 { libm::asin(square.sqrt()) } else { 0.0 };
    let rule = gauss_legendre(ACROSS);
    4.0 * (integrate(&rule, 0.0, kink, ray) + integrate(&rule, kink, FRAC_PI_2, ray))
}

/// Points of a Gauss rule over one smooth stretch here: 64 leave 1e-13 of the integral on the sizes of a shaft.
const ACROSS: usize = 64;

/// cot(drill/2), 0 for a flat bottom.
fn cotangent_of_half(drill: f64) -> f64 {
    let (sine, cosine) = libm::sincos(drill / 2.0);
    if drill >= PI { 0.0 } else { cosine / sine }
}

/// Volume (mm³) a turned chamfer, `chamfer` at 45 degrees, takes off one end of a round bar (`flats` = `diameter`)
/// or double-D: what lies outside the cone. `chamfer` at most the radius.
///
/// Area of the section times `chamfer` less the integral of the same section at every radius of the cone.
pub fn turned_chamfer(diameter: f64, flats: f64, chamfer: f64) -> f64 {
    let (r, h) = (diameter / 2.0, (flats / 2.0).min(diameter / 2.0));
    // ∫ of the area over the radius: π ρ³/3 while the circle is within the flats, then
    // 2/3 (ρ³ asin(h/ρ) + 2 h ρ √(ρ² − h²) − h³ ln((ρ + √(ρ² − h²))/h)) beyond.
    let integral = |rho: f64| {
        if rho <= h {
            return PI / 3.0 * rho * rho * rho;
        }
        let root = ((rho - h) * (rho + h)).sqrt();
        let logarithm = libm::log((rho + root) / h);
        2.0 / 3.0 * (rho * rho * rho * libm::asin(h / rho) + 2.0 * h * rho * root - h * h * h * logarithm)
    };
    double_d(diameter, flats, 0.0).area * chamfer - (integral(r) - integral(r - chamfer))
}

/// A bar across which a bolt lies, and the bolt (mm, rad).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrossBolt {
    /// Of the bar's round.
    pub diameter: f64,
    /// Across the bar's flats; `diameter` for a round bar.
    pub flats: f64,
    /// Of the bar's bore, 0 for none.
    pub bore: f64,
    /// Of the bolt.
    pub bolt: f64,
    /// Bar's axis to bolt's axis, square to each other.
    pub offset: f64,
    /// From the normal of a flat to the direction in which the bolt is offset.
    pub clock: f64,
}

impl CrossBolt {
    /// Volume (mm³) of bar that the bolt takes, the bar going on to both sides of it.
    ///
    /// ∫ over the height q toward the bolt of the bar's chord times the bolt's, split at every corner and edge, with
    /// q = m + k sin θ on each stretch to take off the roots; to 1e-12 of the bar's area times the bolt's diameter.
    pub fn volume(&self) -> f64 {
        let (r, h, a) = (self.diameter / 2.0, self.flats.min(self.diameter) / 2.0, self.bore / 2.0);
        let b = self.bolt / 2.0;
        let (sine, cosine) = libm::sincos(self.clock);
        let s = ((r - h) * (r + h)).max(0.0).sqrt();
        let (low, high) = ((self.offset - b).max(-r), (self.offset + b).min(r));
        let corners = [h * cosine + s * sine, h * cosine - s * sine];
        let mut levels: Vec<f64> = [low, high, a, -a]
            .into_iter()
            .chain(corners)
            .chain(corners.map(|q| -q))
            .filter(|q| (low..=high).contains(q))
            .collect();
        levels.sort_by(f64::total_cmp);
        let chord = |q: f64| {
            let half = ((r - q) * (r + q)).max(0.0).sqrt();
            let hole = ((a - q) * (a + q)).max(0.0).sqrt();
            // x = q cos − t sin within ±h, t along the bolt.
            let (from, to) = if sine.abs() * r <= f64::EPSILON * h {
                if (q * cosine).abs() <= h { (-half, half) } else { (0.0, 0.0) }
            } else {
                let ends = [(q * cosine - h) / sine, (q * cosine + h) / sine];
                (ends[0].min(ends[1]).max(-half), ends[0].max(ends[1]).min(half))
            };
            (to - from).max(0.0) - 2.0 * hole
        };
        let rule = gauss_legendre(ACROSS);
        levels
            .windows(2)
            .map(|pair| {
                let (middle, half) = (f64::midpoint(pair[0], pair[1]), (pair[1] - pair[0]) / 2.0);
                integrate(&rule, -FRAC_PI_2, FRAC_PI_2, |theta| {
                    let (s, c) = libm::sincos(theta);
                    let q = middle + half * s;
                    let off = q - self.offset;
                    half * c * chord(q) * 2.0 * ((b - off) * (b + off)).max(0.0).sqrt()
                })
            })
            .sum()
    }
}

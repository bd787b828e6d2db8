//! Joint centres, working angles, bend planes.
//!
//! A double joint has two crosses in a housing that halves its angle: each
//! cross lies on its own shaft's axis, as far from where the two axes meet as
//! the other (an isosceles triangle with the span as its base).

use std::f64::consts::FRAC_PI_2;

use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::spec::Spec;
use crate::spec::types::{BearingAt, setback};

/// The linkage as lines in space; reference conventions: n is the joint count.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// Where the axes of a joint's two shafts meet, n of them (mm, vehicle axes): the cross of a single joint.
    pub centres: Vec<Vec3>,
    /// From there to the cross on each side (mm), n of them: 0 on a single joint.
    pub setbacks: Vec<f64>,
    /// Unit vectors a₀ (column) to aₙ (gear), n + 1 of them, each from column toward gear.
    pub axes: Vec<Vec3>,
    /// Working angles β (rad), n of them; of a double joint in all.
    pub angles: Vec<f64>,
    /// Bend-plane normals nᵢ = unit(aᵢ₋₁ × aᵢ); a joint in line has its neighbour's.
    pub normals: Vec<Vec3>,
    /// Dihedral ψ (rad) from nᵢ to nᵢ₊₁ about aᵢ, one a shaft.
    pub psi: Vec<f64>,
    /// Whether any joint bends at all.
    pub bent: bool,
}

/// Below this a joint counts as in line and takes its neighbour's normal (rad); the spec format's own figure.
const IN_LINE: f64 = 1e-6;

/// Least distance (mm) of two neighbouring crosses: under it the line between them has no direction.
const LEAST_SPAN: f64 = 1e-3;

/// Rounds in which the crosses of double joints settle: each takes the error down by span over shaft length at least.
const ROUNDS: usize = 200;

/// Change (mm) of a setback at which it has settled: a thousandth of what any file carries.
const SETTLED: f64 = 1e-12;

/// Places the joints and measures them.
///
/// The first cross lies its gap beyond the column's end on its axis, the last its gap before the gear's; inner joints
/// as the spec states them, or where a bearing in space places them. How far the crosses of a double joint stand from
/// its centre follows from its angle, and the angle from the places: they are found by turns.
///
/// # Errors
/// Two crosses that coincide, an inner joint without a place, a joint that folds back on itself, double joints that
/// do not settle, a bearing that does not lie on its shaft.
pub fn chain(spec: &Spec) -> Result<Chain, Vec<Diagnostic>> {
    let spans: Vec<f64> = spec.joints.iter().map(|joint| joint.double.unwrap_or(0.0)).collect();
    let mut setbacks: Vec<f64> = spans.iter().map(|span| span / 2.0).collect();
    let mut chain = placed(spec, &setbacks)?;
    let mut rounds = 0..ROUNDS;
    loop {
        let next: Vec<f64> = spans.iter().zip(&chain.angles).map(|(&span, &angle)| setback(span, angle)).collect();
        let moved = next.iter().zip(&setbacks).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        chain.setbacks.clone_from(&setbacks);
        let folded = folded(spec, &chain);
        if moved <= SETTLED && folded.is_empty() {
            break;
        }
        if !folded.is_empty() {
            return Err(folded);
        }
        if rounds.next().is_none() {
            let i = spans.iter().position(|&span| span > 0.0).unwrap_or(0);
            let found = "the crosses of the double joints find no place: a shaft is no longer than a joint's span";
            return Err(vec![
                Diagnostic::error("double-without-place", found)
                    .at(spec.place(&format!("joint.{i}.double")))
                    .help("check the span, and the places of the joints beside it"),
            ]);
        }
        setbacks = next;
        chain = placed(spec, &setbacks)?;
    }
    let errors: Vec<_> = (0..spec.shafts.len()).filter_map(|i| bearing_off_the_shaft(spec, &chain, i)).collect();
    if errors.is_empty() { Ok(chain) } else { Err(errors) }
}

/// Every joint that folds back on itself.
fn folded(spec: &Spec, chain: &Chain) -> Vec<Diagnostic> {
    let mut errors = Vec::new();
    for (i, joint) in spec.joints.iter().enumerate() {
        if libm::cos(chain.cross_angle(i)) < LEAST_COSINE {
            let (kind, most) = if joint.double.is_some() { ("double", 180) } else { ("single", 90) };
            let found = format!(
                "joint \"{}\" would have to fold to {:.1} deg; a {kind} joint cannot pass {most} deg",
                joint.name,
                chain.angles[i].to_degrees()
            );
            errors.push(
                Diagnostic::error("joint-folds-back", found)
                    .at(spec.place(&format!("joint.{i}")))
                    .help("check which side column.toward and gear.beyond lie on, and the signs of y"),
            );
        }
    }
    errors
}

/// Centres, axes and angles with the crosses of double joints standing back that far.
fn placed(spec: &Spec, setbacks: &[f64]) -> Result<Chain, Vec<Diagnostic>> {
    let centres = centres(spec, setbacks)?;
    let mut errors = Vec::new();
    let mut axes = vec![spec.column.axis];
    for (i, pair) in centres.windows(2).enumerate() {
        let span = pair[1] - pair[0];
        let free = span.length() - setbacks[i] - setbacks[i + 1];
        if let Some(axis) = span.unit().filter(|_| free > LEAST_SPAN) {
            axes.push(axis);
        } else {
            let found = format!(
                "the cross centres of \"{}\" and \"{}\" coincide",
                spec.joints[i].name,
                spec.joints[i + 1].name
            );
            errors.push(
                Diagnostic::error("crosses-coincide", found)
                    .at(spec.place(&format!("shaft.{i}")))
                    .help("check column.end and gear.end: no shaft has room between these joints"),
            );
        }
    }
    axes.push(spec.gear.axis);
    if errors.is_empty() { Ok(Chain::from_axes(centres, axes)) } else { Err(errors) }
}

/// Where the axes of each joint meet.
fn centres(spec: &Spec, setbacks: &[f64]) -> Result<Vec<Vec3>, Vec<Diagnostic>> {
    let last = spec.joints.len() - 1;
    let first_gap = spec.joints[0].upper.gap(spec.column.groove);
    let last_gap = spec.joints[last].lower.gap(spec.gear.groove);
    let mut centres = vec![None; last + 1];
    centres[0] = Some(spec.column.end + spec.column.axis * (first_gap + setbacks[0]));
    centres[last] = Some(spec.gear.end - spec.gear.axis * (last_gap + setbacks[last]));
    // From joint `from` through the eye of a shaft to its other joint.
    let through = |from: usize, shaft: usize, to: usize, centres: &[Option<Vec3>]| {
        let start = centres[from]?;
        let (eye, between) = spec.shafts[shaft].placing()?;
        let axis = (eye - start).unit()?;
        Some(start + axis * (setbacks[from] + between + setbacks[to]))
    };
    for i in 1..last {
        centres[i] = spec.joints[i].centre.or_else(|| through(i - 1, i - 1, i, &centres));
    }
    // What no bearing above places, one below does, counted from the gear's joint.
    for i in (1..last).rev() {
        centres[i] = centres[i].or_else(|| through(i + 1, i, i, &centres));
    }
    if let Some(i) = centres.iter().position(Option::is_none) {
        let found = format!("joint \"{}\" stands between two shafts and has no place", spec.joints[i].name);
        return Err(vec![
            Diagnostic::error("joint-without-place", found)
                .at(spec.place(&format!("joint.{i}")))
                .help("give its cross centre, centre = [x, y, z], or check the bearing that places it"),
        ]);
    }
    Ok(centres.into_iter().flatten().collect())
}

/// A bearing along a shaft that lies inside one of its hubs or past its end.
fn bearing_off_the_shaft(spec: &Spec, chain: &Chain, i: usize) -> Option<Diagnostic> {
    let bearing = spec.shafts[i].bearing.as_ref()?;
    let station = chain.bearing_station(i, bearing.at);
    let length = chain.span(i);
    let (upper, lower) = (&spec.joints[i].lower, &spec.joints[i + 1].upper);
    if station > upper.reach && station < length - lower.reach {
        return None;
    }
    let text = |mm: f64| crate::quantity::both_units(mm, spec.build.units);
    let found = format!(
        "the bearing of shaft \"{}\" stands {} along it from its upper cross; the shaft is free between its hubs from {} to {}",
        spec.shafts[i].name,
        text(station),
        text(upper.reach),
        text(length - lower.reach)
    );
    let help = "measure the bearing from the cross at the shaft's upper end, and check the places of both crosses";
    Some(
        Diagnostic::error("bearing-beyond-the-shaft", found)
            .at(spec.place(&format!("shaft.{i}.bearing.at")))
            .help(help),
    )
}

/// Least cosine of a working angle: at 89.4 deg the torque ratio passes 100 and no figure means anything.
const LEAST_COSINE: f64 = 0.01;

impl Chain {
    /// From n centres and n + 1 unit axes, every joint a single one.
    pub fn from_axes(centres: Vec<Vec3>, axes: Vec<Vec3>) -> Self {
        let angles: Vec<f64> = axes.windows(2).map(|pair| pair[0].angle_to(pair[1])).collect();
        let own: Vec<Option<Vec3>> = axes
            .windows(2)
            .zip(&angles)
            .map(|(pair, &angle)| (angle >= IN_LINE).then(|| pair[0].cross(pair[1]).unit()).flatten())
            .collect();
        let bent = own.iter().any(Option::is_some);
        // A joint in line takes the normal of the last bent one before it, else of the first after it.
        let first = own.iter().flatten().next().copied().unwrap_or_else(|| axes[0].any_normal());
        let normals: Vec<Vec3> = own
            .iter()
            .scan(first, |before, normal| {
                *before = normal.unwrap_or(*before);
                Some(*before)
            })
            .collect();
        let psi =
            normals.windows(2).zip(&axes[1..]).map(|(pair, &axis)| pair[0].signed_angle_to(pair[1], axis)).collect();
        let setbacks = vec![0.0; centres.len()];
        Self { centres, setbacks, axes, angles, normals, psi, bent }
    }

    /// Whether joint `i` has two crosses.
    pub fn is_double(&self, i: usize) -> bool {
        self.setbacks[i] > 0.0
    }

    /// The cross of joint `i` on the column's side.
    pub fn upper_cross(&self, i: usize) -> Vec3 {
        self.centres[i] - self.axes[i] * self.setbacks[i]
    }

    /// The cross of joint `i` on the gear's side: the same one on a single joint.
    pub fn lower_cross(&self, i: usize) -> Vec3 {
        self.centres[i] + self.axes[i + 1] * self.setbacks[i]
    }

    /// Between the two crosses of shaft `i` (mm).
    pub fn span(&self, i: usize) -> f64 {
        (self.centres[i + 1] - self.centres[i]).length() - self.setbacks[i] - self.setbacks[i + 1]
    }

    /// Angle (rad) at which each cross of joint `i` works.
    pub fn cross_angle(&self, i: usize) -> f64 {
        if self.is_double(i) { self.angles[i] / 2.0 } else { self.angles[i] }
    }

    /// From the upper cross of shaft `i` along it (mm) to its bearing, at the foot of a point in space.
    pub fn bearing_station(&self, i: usize, at: BearingAt) -> f64 {
        match at {
            BearingAt::Along(station) => station,
            BearingAt::Eye { centre, .. } => (centre - self.lower_cross(i)).dot(self.axes[i + 1]),
        }
    }

    /// Angle β (rad) of the single joint that turns as unevenly as each: a centred double turns evenly.
    ///
    /// Its two crosses work at β/2 in one plane with their yokes in line, and diag(1, c) · quarter turn · diag(1, c) is
    /// c times a quarter turn: a joint in line, a quarter turn on.
    pub fn uneven_angles(&self) -> Vec<f64> {
        (0..self.angles.len()).map(|i| if self.is_double(i) { 0.0 } else { self.angles[i] }).collect()
    }

    /// Dihedral ψ (rad) of every shaft, less the quarter turn of a double joint above it.
    pub fn uneven_psi(&self) -> Vec<f64> {
        self.psi.iter().enumerate().map(|(i, psi)| if self.is_double(i) { psi - FRAC_PI_2 } else { *psi }).collect()
    }

    /// Whether the yoke phase of shaft `i` makes a difference: a joint bends, and single ones stand on both sides.
    pub fn is_phased(&self, i: usize) -> bool {
        let single = |j: usize| !self.is_double(j);
        let bends = |j: usize| single(j) && self.angles[j] >= IN_LINE;
        let count = self.angles.len();
        (0..=i).any(single) && (i + 1..count).any(single) && (0..count).any(bends)
    }
}

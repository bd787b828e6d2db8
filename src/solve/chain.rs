//! Cross centres, working angles, bend planes.

use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::spec::Spec;

/// The linkage as lines in space; reference conventions: n is the joint count.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// Cross centres, n of them (mm, vehicle axes).
    pub crosses: Vec<Vec3>,
    /// Unit vectors a₀ (column) to aₙ (gear), n + 1 of them, each from column toward gear.
    pub axes: Vec<Vec3>,
    /// Working angles β (rad), n of them.
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

/// Places the crosses and measures the joints.
///
/// The first lies its gap beyond the column's end on its axis, the last its gap before the gear's; inner crosses as
/// the spec states them.
/// Fails where two crosses coincide, an inner joint has no centre, or a joint folds back on itself.
pub fn chain(spec: &Spec) -> Result<Chain, Vec<Diagnostic>> {
    let mut errors = Vec::new();
    let last = spec.joints.len() - 1;
    let mut crosses = Vec::with_capacity(last + 1);
    for (i, joint) in spec.joints.iter().enumerate() {
        let centre = if i == 0 {
            Some(spec.column.end + spec.column.axis * joint.upper.gap(spec.column.groove))
        } else if i == last {
            Some(spec.gear.end - spec.gear.axis * joint.lower.gap(spec.gear.groove))
        } else {
            joint.centre
        };
        if let Some(centre) = centre {
            crosses.push(centre);
        } else {
            let found = format!("joint \"{}\" stands between two shafts and has no place", joint.name);
            errors.push(
                Diagnostic::error("joint-without-place", found)
                    .at(spec.place(&format!("joint.{i}")))
                    .help("give its cross centre: centre = [x, y, z]"),
            );
        }
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let mut axes = vec![spec.column.axis];
    for (i, pair) in crosses.windows(2).enumerate() {
        let span = pair[1] - pair[0];
        if let Some(axis) = span.unit().filter(|_| span.length() > LEAST_SPAN) {
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
    if !errors.is_empty() {
        return Err(errors);
    }
    axes.push(spec.gear.axis);
    let chain = Chain::from_axes(crosses, axes);
    for (i, (joint, &angle)) in spec.joints.iter().zip(&chain.angles).enumerate() {
        if libm::cos(angle) < LEAST_COSINE {
            let found = format!(
                "joint \"{}\" would have to fold to {:.1} deg; a single joint cannot pass 90 deg",
                joint.name,
                angle.to_degrees()
            );
            errors.push(
                Diagnostic::error("joint-folds-back", found)
                    .at(spec.place(&format!("joint.{i}")))
                    .help("check which side column.toward and gear.beyond lie on, and the signs of y"),
            );
        }
    }
    if errors.is_empty() { Ok(chain) } else { Err(errors) }
}

/// Least cosine of a working angle: at 89.4 deg the torque ratio passes 100 and no figure means anything.
const LEAST_COSINE: f64 = 0.01;

impl Chain {
    /// From n cross centres and n + 1 unit axes.
    pub fn from_axes(crosses: Vec<Vec3>, axes: Vec<Vec3>) -> Self {
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
        Self { crosses, axes, angles, normals, psi, bent }
    }
}

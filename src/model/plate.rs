//! Flat plates with their holes, slots and openings.

use super::prism;
use super::stretch::level;
use super::{ModelError, Solid};
use crate::geometry::Path;
use crate::solve::outline;
use crate::solve::solution::PlateResult;

/// A plate in its own frame: u, v on the drawn face, w toward the viewer, material from w = −`thick` to 0.
///
/// What is cut goes square through the whole thickness. Each wall of a hole, slot or opening carries its name.
///
/// # Errors
/// An outline without a point.
pub fn solid(plate: &PlateResult) -> Result<Solid, ModelError> {
    let subject = format!("plate {}", plate.name);
    let levels = [-plate.thick, 0.0];
    let path = |vertices: &[_]| outline::path(vertices).ok_or_else(|| ModelError::new(&subject, "it has no outline"));
    let outside = path(&plate.outline)?;
    let mut cuts: Vec<(&str, Path)> = Vec::new();
    for hole in &plate.holes {
        cuts.push((&hole.name, path(&outline::hole(hole))?));
    }
    for opening in &plate.openings {
        cuts.push((&opening.name, path(&opening.outline)?));
    }
    prism::solid(&subject, &level(0.0), &outside, &cuts, levels)
}

//! Flat plates with their holes, slots and openings.

use super::stretch::level;
use super::{ModelError, Solid, bracket, plate_hole, prism};
use crate::solve::outline;
use crate::solve::solution::PlateResult;

/// A plate in its own frame: u, v on the drawn face, w toward the viewer, material from w = −`thick` to 0.
///
/// Slots and openings go square through the whole thickness. Round holes have their countersink, and where they are
/// blind the point of a 118 degree drill; a tapped hole is that of its tap drill. Each wall of a hole, slot or opening
/// carries its name, and the thread where it is tapped. A bent plate is folded.
///
/// # Errors
/// An outline without a point.
pub fn solid(plate: &PlateResult) -> Result<Solid, ModelError> {
    if !plate.bends.is_empty() {
        return bracket::solid(plate);
    }
    let subject = format!("plate {}", plate.name);
    let (place, levels) = (level(0.0), [-plate.thick, 0.0]);
    let path = |vertices: &[_]| outline::path(vertices).ok_or_else(|| ModelError::new(&subject, "it has no outline"));
    let mut insides = Vec::new();
    for hole in &plate.holes {
        let walls = match hole.slot {
            Some(_) => prism::walls(&place, &path(&outline::hole(hole))?, levels, true)?,
            None => plate_hole::walls(&place, hole, plate.thick),
        };
        insides.push((hole.wall_name(), walls));
    }
    for opening in &plate.openings {
        insides.push((opening.name.clone(), prism::walls(&place, &path(&opening.outline)?, levels, true)?));
    }
    prism::with_insides(&subject, &place, &path(&plate.outline)?, insides, levels)
}

//! Flat plates with their holes, slots and openings.

use super::prism::{self, Walls};
use super::solid::face;
use super::stretch::{level, level_up};
use super::{ModelError, Solid, Surface};
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
    let outside = prism::walls(&path(&plate.outline)?, levels, false)?;
    let mut cuts: Vec<(&str, Path)> = Vec::new();
    for hole in &plate.holes {
        cuts.push((&hole.name, path(&outline::hole(hole))?));
    }
    for opening in &plate.openings {
        cuts.push((&opening.name, path(&opening.outline)?));
    }
    let Walls { mut faces, high, low } = outside;
    let (mut highs, mut lows, mut names) = (vec![high], vec![low], Vec::new());
    for (name, cut) in cuts {
        let walls = prism::walls(&cut, levels, true)?;
        names.extend((faces.len()..faces.len() + walls.faces.len()).map(|at| (at, name.to_owned())));
        faces.extend(walls.faces);
        highs.push(walls.high);
        lows.push(walls.low);
    }
    faces.push(face(highs, Surface::plane(level(0.0))));
    faces.push(face(lows, Surface::plane(level_up(-plate.thick))));
    Ok(Solid::close(&subject, faces)?.named(names))
}

//! Bent plates, folded.

use super::sheet::{Bend, Border, Form, Inside, Panel, Rim, Sheet, contains};
use super::{ModelError, Solid, plate_hole, prism};
use crate::geometry::{Path, Vec2};
use crate::solve::folded::{Folded, folded};
use crate::solve::outline;
use crate::solve::solution::PlateResult;

/// Chords of an outline stray by at most this (mm) where it is asked what lies inside.
const SAGITTA: f64 = 1e-3;

/// A bent plate in its own frame: that of the drawn face of the flange that stays.
///
/// Flanges are planes, bends cylinders of the inside radius and of that and the thickness. Holes are as in a flat
/// plate, square to their flange; an outline that runs askew through a bend has ruled walls there.
///
/// # Errors
/// An outline without a point; a bend without a length.
pub fn solid(plate: &PlateResult) -> Result<Solid, ModelError> {
    let subject = format!("plate {}", plate.name);
    let folded = folded(plate).ok_or_else(|| ModelError::new(&subject, "a bend of it has no length"))?;
    let path = |vertices: &[_]| outline::path(vertices).ok_or_else(|| ModelError::new(&subject, "it has no outline"));
    let edge = path(&plate.outline)?;
    let mut rims = Rim::all(&edge, "");
    let mut insides = Vec::new();
    let mut cut = Vec::new();
    for hole in &plate.holes {
        let outline = path(&outline::hole(hole))?;
        let name = hole.wall_name();
        match standing(&folded, &outline, hole.centre) {
            Some(frame) => {
                let walls = match hole.slot {
                    Some(_) => prism::walls(&frame, &outline, [-plate.thick, 0.0], true)?,
                    None => plate_hole::walls(&frame, hole, plate.thick),
                };
                insides.push(Inside { at: hole.centre, name, walls });
            }
            None => cut.push((name, outline)),
        }
    }
    for opening in &plate.openings {
        let outline = path(&opening.outline)?;
        match standing(&folded, &outline, opening.centre) {
            Some(frame) => {
                let walls = prism::walls(&frame, &outline, [-plate.thick, 0.0], true)?;
                insides.push(Inside { at: opening.centre, name: opening.name.clone(), walls });
            }
            None => cut.push((opening.name.clone(), outline)),
        }
    }
    rims.extend(cut.iter().flat_map(|(name, outline)| Rim::all(&outline.reversed(), name)));
    let round = edge.flattened(SAGITTA);
    let holes: Vec<Vec<Vec2>> = cut.iter().map(|(_, outline)| outline.flattened(SAGITTA)).collect();
    let metal = |p: Vec2| contains(&round, p) && !holes.iter().any(|hole| contains(hole, p));
    let sheet = Sheet { panels: panels(&folded), thick: plate.thick };
    sheet.solid(&subject, &rims, insides, &metal)
}

/// The frame of the flange that holds all of a cut; `None` for one that reaches into a bend.
fn standing(folded: &Folded, outline: &Path, centre: Vec2) -> Option<crate::geometry::Frame> {
    let clear = !folded.bends.iter().any(|bend| bend.meets(outline));
    folded.flange(centre).filter(|_| clear).map(|flange| flange.frame)
}

fn panels(folded: &Folded) -> Vec<Panel> {
    let begins = |bend: usize, way: f64| {
        folded.bends.get(bend).map(|bend| Border { at: bend.at, inward: bend.across * way, pull: 0.0 })
    };
    let ends = |bend: usize, way: f64| {
        folded.bends.get(bend).map(|bend| {
            let at = bend.at + bend.across * bend.turn[1];
            Border { at, inward: bend.across * way, pull: 0.0 }
        })
    };
    let flanges = folded.flanges.iter().map(|flange| {
        let before = flange.before.iter().filter_map(|&bend| begins(bend, -1.0));
        let after = flange.after.and_then(|bend| ends(bend, 1.0));
        Panel { form: Form::Flat(flange.frame), borders: before.chain(after).collect() }
    });
    let bends = folded.bends.iter().enumerate().map(|(i, bend)| {
        let form = Form::Bend(Bend {
            axis: bend.axis,
            radius: bend.radius,
            hollow: bend.up,
            rate: bend.turn[0] / bend.turn[1],
            at: bend.at,
            across: bend.across,
        });
        Panel { form, borders: begins(i, 1.0).into_iter().chain(ends(i, -1.0)).collect() }
    });
    flanges.chain(bends).collect()
}

//! Bent plates as they stand: flanges and bends in the plate's own frame, from the flat pattern.

use super::outline;
use super::solution::{BendResult, HoleResult, PlateResult};
use crate::geometry::split::area_below;
use crate::geometry::{Frame, Path, Vec2, Vec3, contour};

/// Points of the flat pattern nearer to a line than this (mm) lie on it.
const ON: f64 = 1e-7;

/// A flange: flat metal that some bends carry.
#[derive(Debug, Clone, PartialEq)]
pub struct Flange {
    /// Place (x, y) of the flat pattern on the drawn face, z toward its viewer; in the plate's own frame.
    pub frame: Frame,
    /// The bend it begins at; `None` for the one that stays.
    pub after: Option<usize>,
    /// The bends at which it ends.
    pub before: Vec<usize>,
}

/// A bend as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct FoldedBend {
    /// z along the axis, x from it to the drawn face where the bend begins.
    pub axis: Frame,
    /// Of the drawn face (mm).
    pub radius: f64,
    /// Whether the drawn face is the inside.
    pub up: bool,
    /// Turn (rad) and length on the flat pattern (mm).
    pub turn: [f64; 2],
    /// A place of the flat pattern where the bend begins.
    pub at: Vec2,
    /// Unit vector of the flat pattern across it, toward the flange that turns.
    pub across: Vec2,
}

/// A bent plate: flange 0 stays, flange i + 1 begins at bend i.
#[derive(Debug, Clone, PartialEq)]
pub struct Folded {
    /// One more than bends.
    pub flanges: Vec<Flange>,
    /// In the order of the plate's.
    pub bends: Vec<FoldedBend>,
}

/// Folds a plate's flat pattern; a flat one is one flange. `None` for a bend without a length.
pub fn folded(plate: &PlateResult) -> Option<Folded> {
    let lines: Vec<(Vec2, Vec2)> = plate.bends.iter().map(line).collect::<Option<_>>()?;
    // Whether a bend lies beyond another.
    let carries = |other: usize, bend: usize| {
        let middle = plate.bends.get(bend).map(|bend| (bend.line[0] + bend.line[1]) * 0.5);
        let line = lines.get(other);
        other != bend && middle.zip(line).is_some_and(|(p, (at, across))| (p - *at).dot(*across) > 0.0)
    };
    let count = lines.len();
    let carried = |bend: usize| (0..count).filter(|&other| carries(other, bend)).count();
    let axis = Vec3::new;
    let base =
        Frame { origin: Vec3::default(), x: axis(1.0, 0.0, 0.0), y: axis(0.0, 1.0, 0.0), z: axis(0.0, 0.0, 1.0) };
    let mut flanges = vec![Flange { frame: base, after: None, before: Vec::new() }];
    flanges.extend((0..count).map(|bend| Flange { frame: base, after: Some(bend), before: Vec::new() }));
    let mut bends: Vec<Option<FoldedBend>> = vec![None; count];
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_key(|&bend| carried(bend));
    for bend in order {
        // The last of those that carry it ends at it.
        let nearest = (0..count).filter(|&other| carries(other, bend)).max_by_key(|&other| carried(other));
        let near = flanges.get_mut(nearest.map_or(0, |other| other + 1))?;
        near.before.push(bend);
        let (found, frame) = turned(&near.frame, plate.bends.get(bend)?, *lines.get(bend)?, plate.thick);
        *bends.get_mut(bend)? = Some(found);
        flanges.get_mut(bend + 1)?.frame = frame;
    }
    Some(Folded { flanges, bends: bends.into_iter().collect::<Option<_>>()? })
}

/// Where a bend begins, and the way across it.
fn line(bend: &BendResult) -> Option<(Vec2, Vec2)> {
    let [near, far] = bend.tangents;
    let across = (near[1] - near[0]).unit()?.left();
    let way = (far[0] - near[0]).dot(across);
    Some((near[0], if way < 0.0 { -across } else { across }))
}

/// The bend after a flange, and the frame of the flange it turns.
fn turned(near: &Frame, bend: &BendResult, (at, across): (Vec2, Vec2), thick: f64) -> (FoldedBend, Frame) {
    let along = near.x * across.left().x + near.y * across.left().y;
    let radius = if bend.up { bend.inside } else { bend.inside + thick };
    // The axis lies on the side toward which the sheet turns.
    let out = if bend.up { -near.z } else { near.z };
    let begins = near.on_plane(at);
    let axis = Frame { origin: begins - out * radius, x: out, y: along.cross(out), z: along };
    let angle = bend.angle.to_radians();
    let turn = |v: Vec3| v.turned(along, if bend.up { -angle } else { angle });
    let [x, y, z] = [near.x, near.y, near.z].map(turn);
    let ends = at + across * bend.allowance;
    let origin = axis.origin + turn(begins - axis.origin) - x * ends.x - y * ends.y;
    let turn = [angle, bend.allowance];
    (FoldedBend { axis, radius, up: bend.up, turn, at, across }, Frame { origin, x, y, z })
}

impl FoldedBend {
    /// How far (mm) a place of the flat pattern is past where the bend begins.
    pub fn past(&self, p: Vec2) -> f64 {
        (p - self.at).dot(self.across)
    }

    /// Whether something on the flat pattern reaches into it.
    pub fn meets(&self, path: &Path) -> bool {
        let across = path.carried(Vec2::default(), Vec2::new(0.0, self.across.x), Vec2::new(0.0, self.across.y));
        let (low, high) = across.bounds();
        let begins = self.at.dot(self.across);
        high.y > begins - ON && low.y < begins + self.turn[1] + ON
    }
}

impl Folded {
    /// The part of an outline's points, on the flat pattern, that is a flange.
    pub fn stretch(&self, flange: &Flange, outline: &[Vec2]) -> Vec<Vec2> {
        let bend = |i: usize| self.bends.get(i);
        let begins = flange.after.and_then(bend).map(|bend| (bend.at + bend.across * bend.turn[1], bend.across));
        let ends = flange.before.iter().filter_map(|&i| bend(i)).map(|bend| (bend.at, -bend.across));
        begins.into_iter().chain(ends).fold(outline.to_vec(), |points, (on, keep)| contour::clipped(&points, on, keep))
    }

    /// The flange on which a place of the flat pattern lies; `None` in a bend.
    pub fn flange(&self, p: Vec2) -> Option<&Flange> {
        let past = |bend: usize| self.bends.get(bend).map_or(0.0, |bend| bend.past(p));
        self.flanges.iter().find(|flange| {
            flange.before.iter().all(|&bend| past(bend) <= 0.0)
                && flange.after.is_none_or(|bend| past(bend) >= self.bends.get(bend).map_or(0.0, |bend| bend.turn[1]))
        })
    }
}

/// Outline of a hole with the mouth of its countersink.
pub(super) fn mouth(hole: &HoleResult) -> Option<Path> {
    let wide = hole.countersink.as_ref().map_or(0.0, |cone| cone.diameter);
    outline::path(&outline::hole(&HoleResult { diameter: hole.diameter.max(wide), ..hole.clone() }))
}

/// Whether every countersunk or blind hole of a bent plate keeps out of its bends, where it would have no straight
/// side to be measured from.
pub(super) fn is_foldable(plate: &PlateResult) -> bool {
    plate.bends.is_empty()
        || folded(plate).is_some_and(|folded| {
            let deep = plate.holes.iter().filter(|hole| hole.countersink.is_some() || hole.depth.is_some());
            deep.filter_map(mouth).all(|path| !folded.bends.iter().any(|bend| bend.meets(&path)))
        })
}

/// By how much (mm³) a plate's metal in its bends is more than on its flat pattern.
///
/// A place of the flat pattern stands for the neutral line's length; the sheet's middle, by which its volume goes, is
/// (R + t/2) / (R + K t) times as long (Pappus).
pub fn stretch(plate: &PlateResult) -> f64 {
    let Some(folded) = folded(plate) else { return 0.0 };
    let outlines = outline::path(&plate.outline).map(|path| (path, 1.0));
    let holes = plate.holes.iter().filter_map(|hole| outline::path(&outline::hole(hole)));
    let openings = plate.openings.iter().filter_map(|opening| outline::path(&opening.outline));
    let paths: Vec<(Path, f64)> = outlines.into_iter().chain(holes.chain(openings).map(|path| (path, -1.0))).collect();
    let mut sum = 0.0;
    for (bend, told) in folded.bends.iter().zip(&plate.bends) {
        let [angle, length] = bend.turn;
        // Seen with the way across upright.
        let (x, y) = (-bend.across.left(), bend.across);
        let across = |path: &Path| path.carried(Vec2::default(), Vec2::new(x.x, y.x), Vec2::new(x.y, y.y));
        let begins = bend.at.dot(bend.across);
        let area: f64 = paths
            .iter()
            .map(|(path, sign)| {
                let path = across(path);
                sign * (area_below(&path, begins + length) - area_below(&path, begins))
            })
            .sum();
        sum += area * plate.thick * ((told.inside + plate.thick / 2.0) * angle / length - 1.0);
    }
    sum
}

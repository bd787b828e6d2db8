//! Whether what is cut into a plate leaves it one piece with whole edges.

use super::plate::drill_tip;
use super::solution::{HoleResult, PlateResult};
use super::{folded, outline};
use crate::geometry::{Path, Vec2, segment};

/// Metal (mm) under which two cuts count as run into each other: far under any web a cutter leaves.
const LEAST_METAL: f64 = 0.05;

/// Longest sagitta (mm) of the chords that stand in for arcs here; a fifth of the least metal.
const SAGITTA: f64 = 0.01;

/// Whether a plate has a solid: every hole, slot and opening lies inside its outline and apart from the others, with a
/// straight wall left under every countersink and a floor under every blind hole.
///
/// Else some of them have no edge of their own; the rules on edges, webs, floors and countersinks say which. Slots that
/// are countersunk or blind have no solid either, nor has a bent bracket with a countersink or a blind hole in a bend.
pub fn stand_apart(plate: &PlateResult) -> bool {
    if !folded::is_foldable(plate) || !plate.holes.iter().all(|hole| is_whole(hole, plate.thick)) {
        return false;
    }
    let holes = plate.holes.iter().map(folded::mouth);
    let openings = plate.openings.iter().map(|opening| outline::path(&opening.outline));
    let Some(edge) = outline::path(&plate.outline).map(|path| Chords::of(&path)) else { return false };
    let cuts: Option<Vec<Chords>> = holes.chain(openings).map(|path| path.map(|path| Chords::of(&path))).collect();
    let Some(cuts) = cuts else { return false };
    cuts.iter().enumerate().all(|(i, cut)| {
        cut.points.iter().all(|point| edge.contains(*point))
            && cut.is_clear_of(&edge)
            && cuts.iter().take(i).all(|other| {
                let nested = [(cut, other), (other, cut)]
                    .iter()
                    .any(|(a, b)| b.points.first().is_some_and(|point| a.contains(*point)));
                !nested && cut.is_clear_of(other)
            })
    })
}

/// Whether a hole's countersink leaves some straight wall, and its depth some floor.
fn is_whole(hole: &HoleResult, thick: f64) -> bool {
    if hole.slot.is_some() {
        return hole.countersink.is_none() && hole.depth.is_none();
    }
    let depth = hole.depth.unwrap_or(thick);
    let cone = hole.countersink.as_ref();
    let straight = cone.is_none_or(|cone| cone.depth > 0.0 && cone.depth < depth - LEAST_METAL);
    let on_back = cone.is_some_and(|cone| cone.side == "back");
    let floor = hole.depth.is_none_or(|depth| depth + drill_tip(hole.diameter) < thick - LEAST_METAL && !on_back);
    straight && floor
}

/// A closed outline in short straight pieces.
pub(super) struct Chords {
    points: Vec<Vec2>,
    low: Vec2,
    high: Vec2,
}

impl Chords {
    pub(super) fn of(path: &Path) -> Self {
        let (low, high) = path.bounds();
        Self { points: path.flattened(SAGITTA), low, high }
    }

    fn edges(&self) -> impl Iterator<Item = (Vec2, Vec2)> + '_ {
        self.points.iter().copied().zip(self.points.iter().copied().cycle().skip(1))
    }

    /// Even-odd.
    fn contains(&self, p: Vec2) -> bool {
        self.edges().fold(false, |inside, (a, b)| {
            let crosses = (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x;
            inside != crosses
        })
    }

    /// Whether two outlines leave the least metal between them.
    pub(super) fn is_clear_of(&self, other: &Self) -> bool {
        let gap = [self.low.x - other.high.x, other.low.x - self.high.x]
            .into_iter()
            .chain([self.low.y - other.high.y, other.low.y - self.high.y])
            .fold(f64::NEG_INFINITY, f64::max);
        gap > LEAST_METAL || self.edges().all(|edge| other.edges().all(|with| segment::apart(edge, with) > LEAST_METAL))
    }
}

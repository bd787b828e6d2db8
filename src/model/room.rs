//! Whether features of a shaft have room beside each other.

use super::ModelError;
use super::hole::Through;
use crate::geometry::Vec2;

/// Least metal (mm) left between two features, or between a feature and an end,
/// an edge or a bore: under it the two run into each other on the bench, and a
/// reader's tolerance no longer tells their edges apart. Common practice, no source.
pub const LEAST_WALL: f64 = 0.01;

/// The block of a shaft that a feature's metal is taken from.
#[derive(Debug, Clone)]
pub(super) struct Block {
    /// The feature in words.
    pub(super) what: String,
    /// Unit vector across the shaft toward the feature.
    pub(super) toward: Vec2,
    /// From the shaft's axis to the feature's deepest point along `toward`; may be negative.
    pub(super) floor: f64,
    /// From the shaft's axis to the feature's highest point.
    pub(super) crest: f64,
    /// Half its width across `toward`.
    pub(super) half_width: f64,
    /// From the upper end: first and last point of it along the shaft.
    pub(super) along: [f64; 2],
}

impl Block {
    fn corners(&self) -> [Vec2; 4] {
        let across = self.toward.left() * self.half_width;
        let (low, high) = (self.toward * self.floor, self.toward * self.crest);
        [low + across, low + -across, high + -across, high + across]
    }

    /// Distance by which one of this block's sides parts the other's cross-section from its own.
    fn parting(&self, other: &Self) -> f64 {
        let across = self.toward.left();
        let mut best = f64::NEG_INFINITY;
        let (mut floor, mut crest, mut left, mut right) =
            (f64::INFINITY, -f64::INFINITY, f64::INFINITY, -f64::INFINITY);
        for corner in other.corners() {
            let (h, a) = (corner.dot(self.toward), corner.dot(across));
            (floor, crest, left, right) = (floor.min(h), crest.max(h), left.min(a), right.max(a));
        }
        for gap in [floor - self.crest, self.floor - crest, left - self.half_width, -self.half_width - right] {
            best = gap.max(best);
        }
        best
    }
}

/// Checks that every feature keeps clear of both ends, the bore, the far side and every other feature.
///
/// `ends` are the stations between which the section is whole; `far_side` is
/// the least half thickness of the bar. Features are taken as their blocks, so
/// two that only nearly touch may be refused.
pub(super) fn check(blocks: &[Block], ends: [f64; 2], far_side: f64, hole: Option<&Through>) -> Result<(), ModelError> {
    for (i, block) in blocks.iter().enumerate() {
        let [low, high] = block.along;
        if low < ends[0] + LEAST_WALL || high > ends[1] - LEAST_WALL {
            return Err(ModelError::new(
                &block.what,
                format!(
                    "it takes {low:.3} mm to {high:.3} mm from the upper end, and the whole section runs from \
                     {:.3} mm to {:.3} mm; move it away from the end",
                    ends[0], ends[1]
                ),
            ));
        }
        let inside = hole.map_or(-far_side, |hole| hole.reach(block.toward, block.half_width));
        if block.floor < inside + LEAST_WALL {
            return Err(ModelError::new(
                &block.what,
                format!(
                    "it ends {:.3} mm from the shaft's axis, where the {} lies at {inside:.3} mm; make it shallower",
                    block.floor,
                    if hole.is_some() { "bore" } else { "far side" }
                ),
            ));
        }
        for other in &blocks[..i] {
            let apart = (low - other.along[1]).max(other.along[0] - high);
            if apart < LEAST_WALL && block.parting(other).max(other.parting(block)) < LEAST_WALL {
                return Err(ModelError::new(
                    &block.what,
                    format!("it runs into the {}; move one of the two along the shaft", other.what),
                ));
            }
        }
    }
    Ok(())
}

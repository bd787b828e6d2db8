//! Rows of holes, each to be laid on the drilled plate as a strip of paper.

use super::solution::PlateResult;
use crate::geometry::Vec2;

/// Centres this near to one level (mm) are in one row: a tenth of what a drill wanders.
const LEVEL: f64 = 0.01;
/// From the strips' zero to the centre of the first hole of each (mm).
const LEAD: f64 = 34.0;
/// From the centre of a row's first or last hole to the end of its strip, past the hole's own half (mm).
const END: f64 = 12.0;
/// From the rim of a row's largest hole to the strip's edge (mm): room for a line of words.
const SIDE: f64 = 8.0;
/// Between two strips (mm).
const BETWEEN: f64 = 6.0;

/// One row of holes on its strip of paper. Strip coordinates: x along the row, y across it, zero left of the first
/// strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Whether the row runs along v and not along u.
    pub upright: bool,
    /// v of a level row, u of an upright one (mm).
    pub level: f64,
    /// Numbers of its holes in the plate's list, along the row.
    pub holes: Vec<usize>,
    /// Strip coordinates of each hole's centre.
    pub centres: Vec<Vec2>,
    /// Lower left and upper right corner of the strip.
    pub bounds: [Vec2; 2],
}

/// The strips of a plate, one under the other: holes of one size on one level in u; those with no neighbour there, in v.
pub fn strips(plate: &PlateResult) -> Vec<Strip> {
    let mut left: Vec<usize> = (0..plate.holes.len()).collect();
    let mut rows: Vec<(bool, Vec<usize>)> = Vec::new();
    for upright in [false, true] {
        let across = |i: usize| if upright { plate.holes[i].centre.x } else { plate.holes[i].centre.y };
        let along = |i: usize| if upright { plate.holes[i].centre.y } else { plate.holes[i].centre.x };
        let mut alone = Vec::new();
        while let Some(&first) = left.first() {
            let (mut row, rest): (Vec<usize>, Vec<usize>) = left.iter().partition(|&&i| {
                (across(i) - across(first)).abs() < LEVEL && plate.holes[i].drill == plate.holes[first].drill
            });
            left = rest;
            if row.len() < 2 {
                alone.extend(row);
                continue;
            }
            row.sort_by(|&a, &b| along(a).total_cmp(&along(b)));
            rows.push((upright, row));
        }
        left = alone;
    }
    let mut top = 0.0;
    let half_of = |i: usize| {
        let hole = &plate.holes[i];
        hole.diameter / 2.0 + hole.slot.map_or(0.0, |slot| slot.length / 2.0)
    };
    rows.into_iter()
        .filter_map(|(upright, holes)| {
            let (&first, &last) = (holes.first()?, holes.last()?);
            let along = |i: usize| if upright { plate.holes[i].centre.y } else { plate.holes[i].centre.x };
            let half = holes.iter().map(|&i| half_of(i)).fold(0.0, f64::max);
            let high = half + SIDE;
            // The first strip's row lies on zero.
            let y = if top == 0.0 { 0.0 } else { top - high };
            top = y - high - BETWEEN;
            let centres: Vec<Vec2> = holes.iter().map(|&i| Vec2::new(LEAD + along(i) - along(first), y)).collect();
            let (start, end) = (LEAD - half - END, LEAD + along(last) - along(first) + half + END);
            let level = if upright { plate.holes[first].centre.x } else { plate.holes[first].centre.y };
            let bounds = [Vec2::new(start, y - high), Vec2::new(end, y + high)];
            Some(Strip { upright, level, holes, centres, bounds })
        })
        .collect()
}

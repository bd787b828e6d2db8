//! Where neighbouring tiles are joined: trim lines within the overlaps, and the numbered marks on them.
//!
//! A trim line runs down the middle of its overlap as long as its marks stand
//! clear of the drawing there and it cuts through no words. Where they do not, it
//! moves within the overlap: a fold line may run along the whole of a seam, and a
//! dimension's value stands in the middle of its line.

use super::layout::{Area, text_box};
use super::sheet::{Item, Sheet};
use super::tile::{ARM, MARK_ROOM, Tile};
use crate::geometry::{Vec2, segment};

/// Marks and names keep this clear of the drawing where they can (mm).
pub(super) const CLEAR: f64 = 7.0;
/// A mark whose middle comes nearer to the drawing than that touches it (mm): half its cross and a hair's room.
const TOUCH: f64 = ARM + 0.5;

/// A place where two or more tiles meet.
pub(super) struct Mark {
    pub number: usize,
    /// In the drawing (mm).
    pub at: Vec2,
}

/// Where the tiles of a drawing are joined (mm, in the drawing).
pub(super) struct Seams {
    /// Between a column and the next, from the left.
    upright: Vec<f64>,
    /// Between a row and the next, from the top.
    level: Vec<f64>,
    /// Two on each seam of two tiles.
    pub marks: Vec<Mark>,
    /// Whether a mark of an upright, and of a level seam lies on the drawing for want of room.
    pub crowded: [bool; 2],
}

impl Seams {
    /// The best seams for these tiles.
    pub fn of(tiles: &[Tile], [columns, rows]: [usize; 2], ink: &[[Vec2; 2]], words: &[[Vec2; 2]]) -> Self {
        let mut seams = Self { upright: Vec::new(), level: Vec::new(), marks: Vec::new(), crowded: [false; 2] };
        for (upright, count) in [(true, columns), (false, rows)] {
            for number in 0..count.saturating_sub(1) {
                let pairs: Vec<Area> = tiles.iter().filter_map(|a| shared(a, tiles, number, upright)).collect();
                let best = placed(&pairs, upright, ink, words);
                seams.crowded[usize::from(!upright)] |= best.clear < TOUCH;
                if upright { &mut seams.upright } else { &mut seams.level }.push(best.at);
                for at in best.marks {
                    seams.marks.push(Mark { number: seams.marks.len() + 1, at });
                }
            }
        }
        seams
    }

    /// The seam of a tile with its neighbour on the left, on the right, above, below.
    pub fn round(&self, tile: &Tile) -> [Option<f64>; 4] {
        let at = |seams: &[f64], index: Option<usize>| seams.get(index?).copied();
        [
            at(&self.upright, tile.column.checked_sub(1)),
            at(&self.upright, Some(tile.column)),
            at(&self.level, tile.row.checked_sub(1)),
            at(&self.level, Some(tile.row)),
        ]
    }
}

/// What a tile shares with its neighbour across an upright or a level seam of that number.
fn shared(a: &Tile, tiles: &[Tile], number: usize, upright: bool) -> Option<Area> {
    let next = if upright { [a.column + 1, a.row] } else { [a.column, a.row + 1] };
    if (if upright { a.column } else { a.row }) != number {
        return None;
    }
    let b = tiles.iter().find(|b| [b.column, b.row] == next)?;
    let low = Vec2::new(a.part.low.x.max(b.part.low.x), a.part.low.y.max(b.part.low.y));
    let high = Vec2::new(a.part.high.x.min(b.part.high.x), a.part.high.y.min(b.part.high.y));
    Some(Area::new(low, high))
}

/// A seam, its marks, how far the worst of them stands off the drawing (mm), and how many words it cuts.
struct Seam {
    at: f64,
    marks: Vec<Vec2>,
    clear: f64,
    cuts: usize,
}

impl Seam {
    /// Clear marks first, then fewest words cut; where no seam has clear marks, the clearest.
    fn beats(&self, other: &Self) -> bool {
        let full = |seam: &Self| seam.clear.min(CLEAR);
        full(self) > full(other) || (full(self) >= CLEAR && self.cuts < other.cuts && full(other) >= CLEAR)
    }
}

/// The seam nearest the middle of what its tiles share with all marks clear of the drawing and no words cut, else the
/// best of those tried. `words` are the low and high corners of the drawing's words.
fn placed(pairs: &[Area], upright: bool, ink: &[[Vec2; 2]], words: &[[Vec2; 2]]) -> Seam {
    /// From one place of a seam to the next that is tried (mm): a fifth of a mark's arm.
    const STEP: f64 = 1.0;
    let across = |p: Vec2| if upright { p.x } else { p.y };
    let low = pairs.iter().map(|part| across(part.low)).fold(f64::NEG_INFINITY, f64::max) + MARK_ROOM + 0.5;
    let high = pairs.iter().map(|part| across(part.high)).fold(f64::INFINITY, f64::min) - MARK_ROOM - 0.5;
    let middle = 0.5 * (low + high);
    let reach = (0.5 * (high - low)).max(0.0);
    let near: Vec<Vec<[Vec2; 2]>> = pairs
        .iter()
        .map(|part| {
            ink.iter()
                .copied()
                .filter(|&segment| crosses(segment, part.without(-CLEAR, -CLEAR, -CLEAR, -CLEAR)))
                .collect()
        })
        .collect();
    let steps = (reach / STEP).floor() as usize;
    let tried = (0..=steps).flat_map(|i| [middle + i as f64 * STEP, middle - i as f64 * STEP]);
    let mut best: Option<Seam> = None;
    for at in tried {
        // Off the words by a cap height nearly: a line on their edge reads as one of their strokes.
        let cut = |[low, high]: &&[Vec2; 2]| across(*low) - 2.0 < at && at < across(*high) + 2.0;
        let cuts = words.iter().filter(cut).count();
        let mut seam = Seam { at, marks: Vec::new(), clear: f64::INFINITY, cuts };
        for (part, near) in pairs.iter().zip(&near) {
            let (from, to) = if upright {
                (Vec2::new(at, part.low.y + MARK_ROOM + 0.5), Vec2::new(at, part.high.y - MARK_ROOM - 0.5))
            } else {
                (Vec2::new(part.low.x + MARK_ROOM + 0.5, at), Vec2::new(part.high.x - MARK_ROOM - 0.5, at))
            };
            // A long base line: from a sixth of the seam inward, from each of its ends.
            let along =
                |start: Vec2, end: Vec2| (0..24).map(move |i| start + (end - start) * (0.16 + f64::from(i) * 0.013));
            for places in [along(from, to), along(to, from)] {
                let Some(mark) = clearest(places, CLEAR, near) else { continue };
                seam.clear = seam.clear.min(away(mark, near));
                seam.marks.push(mark);
            }
        }
        if seam.clear >= CLEAR && seam.cuts == 0 {
            return seam;
        }
        if best.as_ref().is_none_or(|best| seam.beats(best)) {
            best = Some(seam);
        }
    }
    best.unwrap_or(Seam { at: middle, marks: Vec::new(), clear: f64::INFINITY, cuts: 0 })
}

/// Straight pieces that the drawing inks, words by their boxes.
pub(super) fn ink(drawing: &Sheet) -> Vec<[Vec2; 2]> {
    /// Curves are followed to this (mm): only room for a mark is at stake.
    const FINE: f64 = 0.2;
    let mut all = Vec::new();
    for item in &drawing.items {
        match item {
            Item::Line(line) => {
                let points = line.path.flattened(FINE);
                all.extend(points.iter().zip(points.iter().skip(1)).map(|(&a, &b)| [a, b]));
                if let (true, Some(&a), Some(&b)) = (line.path.closed, points.last(), points.first()) {
                    all.push([a, b]);
                }
            }
            Item::Text(text) => {
                let [a, b, c, d] = text_box(text);
                all.extend([[a, b], [b, c], [c, d], [d, a], [a, c]]);
            }
        }
    }
    all
}

/// Low and high corners of the words of a drawing.
pub(super) fn words(drawing: &Sheet) -> Vec<[Vec2; 2]> {
    let boxed = |item: &Item| match item {
        Item::Text(text) if !text.words.is_empty() => {
            let corners = text_box(text);
            let fold = |pick: fn(f64, f64) -> f64| {
                corners.iter().fold(corners[0], |sum, p| Vec2::new(pick(sum.x, p.x), pick(sum.y, p.y)))
            };
            Some([fold(f64::min), fold(f64::max)])
        }
        _ => None,
    };
    drawing.items.iter().filter_map(boxed).collect()
}

/// Whether a straight piece enters an area.
///
/// Liang and Barsky 1984, "A new concept and method for line clipping", ACM TOG 3(1) (from memory).
pub(super) fn crosses([a, b]: [Vec2; 2], area: Area) -> bool {
    let d = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (d, low, high) in [(d.x, area.low.x - a.x, area.high.x - a.x), (d.y, area.low.y - a.y, area.high.y - a.y)] {
        if d == 0.0 {
            if low > 0.0 || high < 0.0 {
                return false;
            }
            continue;
        }
        let (enter, leave) = if d > 0.0 { (low / d, high / d) } else { (high / d, low / d) };
        from = from.max(enter);
        to = to.min(leave);
    }
    from <= to
}

/// Distance (mm) of a place from the nearest ink.
fn away(at: Vec2, ink: &[[Vec2; 2]]) -> f64 {
    ink.iter().map(|&[a, b]| segment::off(at, a, b)).fold(f64::INFINITY, f64::min)
}

/// The first place far enough from all ink, else the one farthest from it.
pub(super) fn clearest(places: impl Iterator<Item = Vec2>, clear: f64, ink: &[[Vec2; 2]]) -> Option<Vec2> {
    let places: Vec<Vec2> = places.collect();
    let &first = places.first()?;
    // Only ink near one of them can be too near.
    let around = places.iter().fold(Area::new(first, first), |sum, p| Area {
        low: Vec2::new(sum.low.x.min(p.x), sum.low.y.min(p.y)),
        high: Vec2::new(sum.high.x.max(p.x), sum.high.y.max(p.y)),
    });
    let around = around.without(-clear, -clear, -clear, -clear);
    let near: Vec<[Vec2; 2]> = ink.iter().copied().filter(|&segment| crosses(segment, around)).collect();
    let mut best: Option<(f64, Vec2)> = None;
    for place in places {
        let off = away(place, &near);
        if off >= clear {
            return Some(place);
        }
        if best.is_none_or(|(least, _)| off > least) {
            best = Some((off, place));
        }
    }
    best.map(|(_, place)| place)
}

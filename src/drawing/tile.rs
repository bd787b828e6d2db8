//! A full-scale drawing larger than the sheet, on several sheets to be joined.
//!
//! Every tile shows the same drawing through a window. Neighbours overlap; a
//! chain line within each overlap is where the upper sheet is trimmed, and numbered
//! marks stand on it, whose halves meet once the sheets are joined. A map of all
//! tiles comes first. Each tile has its own rulers, square and inch scale, since
//! each goes through the printer by itself.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::collision::{FRAME, SEAM};
use super::font;
use super::layout::{Area, BODY, LARGE, Note, SMALL, label, notes_height, set_lines, set_notes};
use super::scale_check;
use super::seam::{Mark, Seams, crosses, ink, words};
use super::sheet::{Anchor, Role, Sheet, View};
use super::table::Table;
use super::tile_map::Map;
use super::title_block::{self, Heading};
use crate::geometry::{Path, Vec2};
use crate::spec::Spec;

/// What printers leave white at a sheet's edges, and a little (mm): common practice, no source.
const MARGIN: f64 = 12.0;
/// Least overlap of two neighbours (mm): room for the trim line, a mark on it, and tape. Common practice, no source.
const OVERLAP: f64 = 15.0;
/// Height of the strip of words and scales at the foot (mm).
const STRIP: f64 = 36.0;
/// Width of the strip of the upright ruler (mm).
const SIDE: f64 = 13.0;
/// Side of a tile's square (mm); it stands in the strip. Its diagonal is 42.43 mm.
const SQUARE: f64 = 30.0;
/// Radius of a mark's ring (mm).
const RING: f64 = 2.5;
/// Half of a mark's cross (mm).
pub(super) const ARM: f64 = 4.5;
/// A mark is drawn on every tile that holds it with this much round it (mm).
pub(super) const MARK_ROOM: f64 = ARM + 0.5;

/// Longest side (mm) of a drawing that is tiled: the 14400 points that PDF readers take, and 30 sheets side by side.
pub const LARGEST: f64 = 5080.0;

/// How a drawing is cut into tiles.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Size of each sheet (mm).
    pub sheet: [f64; 2],
    /// Columns and rows.
    pub count: [usize; 2],
    /// From one column or row to the next (mm); 0 where there is one.
    pub pitch: [f64; 2],
}

/// The window of a tile on its sheet.
fn window(sheet: [f64; 2]) -> Area {
    let size = Vec2::new(sheet[0], sheet[1]);
    Area::new(Vec2::new(MARGIN + SIDE, MARGIN + STRIP), size - Vec2::new(MARGIN, MARGIN))
}

impl Grid {
    /// Fewest tiles of a sheet's size for a drawing of a width and height (mm), the overlap spread evenly.
    pub fn of(sheet: [f64; 2], need: [f64; 2]) -> Self {
        let window = window(sheet);
        let axis = |need: f64, live: f64| {
            /// A drawing longer than that by rounding alone fits (mm).
            const SAME: f64 = 1e-6;
            let more = if need <= live + SAME { 0.0 } else { ((need - live - SAME) / (live - OVERLAP)).ceil() };
            more as usize + 1
        };
        Self::spread(sheet, need, [axis(need[0], window.width()), axis(need[1], window.height())])
    }

    /// So many columns and rows, the overlap spread evenly.
    fn spread(sheet: [f64; 2], need: [f64; 2], count: [usize; 2]) -> Self {
        let window = window(sheet);
        let pitch =
            |need: f64, live: f64, count: usize| if count < 2 { 0.0 } else { (need - live) / (count as f64 - 1.0) };
        let pitch = [pitch(need[0], window.width(), count[0]), pitch(need[1], window.height(), count[1])];
        Self { sheet, count, pitch }
    }

    /// The tiles of a drawing of that size; those that show nothing are left out.
    fn cut(&self, need: [f64; 2], ink: &[[Vec2; 2]]) -> Vec<Tile> {
        let live = window(self.sheet);
        let [columns, rows] = self.count;
        // A single column or row stands in the middle of its window.
        let spare = |count: usize, need: f64, live: f64| if count == 1 { 0.5 * (need - live) } else { 0.0 };
        let first = Vec2::new(
            spare(columns, need[0], live.width()),
            need[1] - live.height() - spare(rows, need[1], live.height()),
        );
        let tiles = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column))).map(|(row, column)| {
            let low = first + Vec2::new(column as f64 * self.pitch[0], -(row as f64) * self.pitch[1]);
            Tile { column, row, part: Area::new(low, low + live.high - live.low) }
        });
        needed(tiles.collect(), ink)
    }

    /// How many tiles, empty ones counted.
    pub fn tiles(&self) -> usize {
        self.count[0] * self.count[1]
    }
}

/// One tile: its column from the left and row from the top, and its window in the drawing (mm).
pub(super) struct Tile {
    pub column: usize,
    pub row: usize,
    pub part: Area,
}

impl Tile {
    pub(super) fn name(&self) -> String {
        format!("{}{}", letters(self.column), self.row + 1)
    }
}

/// A, B, .. Z, AA, AB, ..
fn letters(column: usize) -> String {
    let last = char::from(b'A' + (column % 26) as u8);
    if column < 26 { last.to_string() } else { format!("{}{last}", letters(column / 26 - 1)) }
}

/// What the tiles belong to.
pub struct Job<'a> {
    /// Title of the template.
    pub title: &'a str,
    /// The same in sentences.
    pub alt: &'a str,
    /// Its heading.
    pub heading: &'a Heading,
    /// Its words: on the map where they find room there.
    pub told: Option<Told<'a>>,
    /// Sheets that follow the tiles in any case.
    pub after: usize,
}

/// The words of a template on tiles.
pub struct Told<'a> {
    /// In order.
    pub notes: &'a [Note],
    /// Under them.
    pub table: Option<&'a Table>,
    /// Pages they take where the map has no room for them; they follow the tiles.
    pub pages: usize,
}

impl Told<'_> {
    /// From the last note to the table (mm).
    const GAP: f64 = 2.0;

    /// Height at a width (mm).
    pub(super) fn height(&self, width: f64) -> f64 {
        notes_height(self.notes, width) + self.table.map_or(0.0, |table| Self::GAP + table.height(width))
    }

    /// Sets all of them.
    pub(super) fn set(&self, sheet: &mut Sheet, area: Area) {
        let reach = set_notes(sheet, area, self.notes);
        if let Some(table) = self.table {
            table.set(sheet, Vec2::new(area.low.x, reach - Self::GAP), area.width());
        }
    }
}

/// A drawing on tiles.
pub struct Tiled {
    /// Its map and its tiles.
    pub sheets: Vec<Sheet>,
    /// Whether the map has the words.
    pub told: bool,
}

/// The map and the tiles of a drawing; a tile with nothing on it is left out.
pub fn sheets(spec: &Spec, grid: &Grid, drawing: Sheet, job: &Job<'_>) -> Tiled {
    let (ink, words) = (ink(&drawing), words(&drawing));
    let live = window(grid.sheet);
    let mut grid = grid.clone();
    let mut tiles = grid.cut(drawing.size, &ink);
    let mut seams = Seams::of(&tiles, grid.count, &ink, &words);
    // A least overlap that the drawing fills leaves no room for marks; one column or row more makes overlaps wide.
    if seams.crowded != [false; 2] {
        let more = [0, 1].map(|axis| grid.count[axis] + usize::from(seams.crowded[axis]));
        let wider = Grid::spread(grid.sheet, drawing.size, more);
        let others = wider.cut(drawing.size, &ink);
        let joints = Seams::of(&others, more, &ink, &words);
        if joints.crowded == [false; 2] {
            (grid, tiles, seams) = (wider, others, joints);
        }
    }
    let (grid, columns, rows) = (&grid, grid.count[0], grid.count[1]);
    let marks = &seams.marks;
    let drawing = Arc::new(drawing);
    let map = Map::of(spec, &tiles, marks, job);
    let told = map.as_ref().is_some_and(Map::tells);
    let pages = job.told.as_ref().filter(|_| !told).map_or(0, |words| words.pages);
    let count = 1 + tiles.len() + pages + job.after;
    let mut sheets: Vec<Sheet> = map.iter().map(|map| map.draw(&tiles, &seams, &drawing, &ink, job)).collect();
    for (index, tile) in tiles.iter().enumerate() {
        let mut sheet = Sheet::new(format!("{}, tile {}", job.title, tile.name()), grid.sheet, true);
        sheet.alt = format!(
            "{} Tile {}: column {} of {columns}, row {} of {rows}.",
            job.alt,
            tile.name(),
            letters(tile.column),
            tile.row + 1
        );
        let at = live.low - tile.part.low;
        sheet.view = Some(View { drawing: Arc::clone(&drawing), at, window: [live.low, live.high] });
        draw_seams(&mut sheet, tile, &tiles, &seams, live);
        for mark in marks.iter().filter(|mark| holds(tile.part, mark.at)) {
            draw_mark(&mut sheet, mark, mark.at + at);
        }
        draw_strip(&mut sheet, spec, grid, tile, &tiles, [index + 2, count], job);
        sheets.push(sheet);
    }
    Tiled { sheets, told }
}

/// The tiles without those that show nothing, as long as all that are left hang together: a tile without a neighbour
/// could not be placed.
fn needed(mut tiles: Vec<Tile>, ink: &[[Vec2; 2]]) -> Vec<Tile> {
    let mut index = tiles.len();
    while index > 0 {
        index -= 1;
        if ink.iter().any(|&segment| crosses(segment, tiles[index].part)) {
            continue;
        }
        let tile = tiles.remove(index);
        if !joined(&tiles) {
            tiles.insert(index, tile);
        }
    }
    tiles
}

/// Whether every tile can be reached from the first over neighbours.
fn joined(tiles: &[Tile]) -> bool {
    let Some(first) = tiles.first() else { return false };
    let mut left: BTreeSet<[usize; 2]> = tiles.iter().map(|tile| [tile.column, tile.row]).collect();
    let mut next = vec![[first.column, first.row]];
    while let Some([column, row]) = next.pop() {
        if left.remove(&[column, row]) {
            next.extend([[column + 1, row], [column, row + 1]]);
            next.extend(column.checked_sub(1).map(|column| [column, row]));
            next.extend(row.checked_sub(1).map(|row| [column, row]));
        }
    }
    left.is_empty()
}

/// Whether a tile shows a mark whole.
fn holds(part: Area, at: Vec2) -> bool {
    let inside = part.without(MARK_ROOM, MARK_ROOM, MARK_ROOM, MARK_ROOM);
    at.x > inside.low.x && at.x < inside.high.x && at.y > inside.low.y && at.y < inside.high.y
}

/// Ring, cross and number. The ring is what a reader finds by its name.
fn draw_mark(sheet: &mut Sheet, mark: &Mark, at: Vec2) {
    sheet.keyed(Role::Check, format!("mark.{}", mark.number), Path::circle(at, RING));
    for arm in [Vec2::new(ARM, 0.0), Vec2::new(0.0, ARM)] {
        sheet.line(Role::Check, Path::line(at - arm, at + arm));
    }
    // In two quarters, so that a half of the mark keeps its number whichever way it is cut.
    let words = mark.number.to_string();
    let off = 0.75 * RING + 0.4;
    sheet.text(label(at + Vec2::new(off, off), Anchor::Start, SMALL, true, words.clone()));
    sheet.text(label(at - Vec2::new(off, off + SMALL), Anchor::End, SMALL, true, words));
}

/// The tile at a place of the grid.
fn at(tiles: &[Tile], column: Option<usize>, row: Option<usize>) -> Option<&Tile> {
    let (column, row) = (column?, row?);
    tiles.iter().find(|tile| tile.column == column && tile.row == row)
}

/// Neighbours of a tile: left, right, above, below.
fn neighbours<'a>(tile: &Tile, tiles: &'a [Tile]) -> [Option<&'a Tile>; 4] {
    let (column, row) = (tile.column, tile.row);
    [
        at(tiles, column.checked_sub(1), Some(row)),
        at(tiles, Some(column + 1), Some(row)),
        at(tiles, Some(column), row.checked_sub(1)),
        at(tiles, Some(column), Some(row + 1)),
    ]
}

/// What is left of a tile once its overlaps are trimmed.
pub(super) fn zone(tile: &Tile, tiles: &[Tile], seams: &Seams) -> Area {
    let mut zone = tile.part;
    let sides = neighbours(tile, tiles).into_iter().zip(seams.round(tile)).map(|(other, at)| other.and(at));
    for (side, at) in sides.enumerate() {
        let Some(at) = at else { continue };
        match side {
            0 => zone.low.x = at,
            1 => zone.high.x = at,
            2 => zone.high.y = at,
            _ => zone.low.y = at,
        }
    }
    zone
}

/// Border, the window's edge, and the seam with each neighbour.
fn draw_seams(sheet: &mut Sheet, tile: &Tile, tiles: &[Tile], seams: &Seams, live: Area) {
    let border = Area::new(Vec2::new(MARGIN, MARGIN), live.high);
    sheet.keyed(Role::Frame, FRAME, Path::rectangle(border.low, border.width(), border.height(), 0.0));
    sheet.keyed(Role::Frame, "window", Path::rectangle(live.low, live.width(), live.height(), 0.0));
    let move_by = live.low - tile.part.low;
    for (side, (other, at)) in neighbours(tile, tiles).into_iter().zip(seams.round(tile)).enumerate() {
        let (Some(_), Some(at)) = (other, at) else { continue };
        let line = if side < 2 {
            let x = at + move_by.x;
            Path::line(Vec2::new(x, live.low.y), Vec2::new(x, live.high.y))
        } else {
            let y = at + move_by.y;
            Path::line(Vec2::new(live.low.x, y), Vec2::new(live.high.x, y))
        };
        sheet.keyed(Role::Centre, format!("{SEAM}{}", side + 1), line);
    }
}

/// The strip at the foot: square, level ruler, inch scale, warning, and what the sheet is.
fn draw_strip(
    sheet: &mut Sheet,
    spec: &Spec,
    grid: &Grid,
    tile: &Tile,
    tiles: &[Tile],
    [number, count]: [usize; 2],
    job: &Job<'_>,
) {
    let strip = Area::new(Vec2::new(MARGIN, MARGIN), Vec2::new(grid.sheet[0] - MARGIN, MARGIN + STRIP));
    let square = strip.low + Vec2::new(1.0, 1.0);
    scale_check::diagonal_square(sheet, square, SQUARE);
    let start = square + Vec2::new(SQUARE + 5.0, 10.0);
    scale_check::ruler(sheet, "ruler.x", start, Vec2::new(1.0, 0.0));
    scale_check::inch_scale(sheet, start - Vec2::new(0.0, 1.2));
    scale_check::ruler(sheet, "ruler.y", Vec2::new(MARGIN + 3.0, strip.high.y + 5.0), Vec2::new(0.0, 1.0));
    let warning = Area::new(start + Vec2::new(0.0, 8.0), Vec2::new(start.x + scale_check::RULER, strip.high.y - 0.8));
    set_notes(sheet, warning, &[Note::strong(scale_check::go_words(SQUARE))]);

    let words = Area::new(Vec2::new(start.x + scale_check::RULER + 6.0, strip.low.y), strip.high - Vec2::new(0.0, 0.5));
    let build = &spec.build;
    let hash: String = spec.sha256.chars().take(12).collect();
    let [columns, rows] = grid.count;
    let lead = set_lines(sheet, Vec2::new(words.low.x, words.high.y), &[format!("tile {}", tile.name())], LARGE, true);
    let place = Vec2::new(words.high.x - 2.0, words.high.y - 1.375 * LARGE);
    sheet.text(label(place, Anchor::End, SMALL, false, format!("sheet {number} / {count}")));
    let beside = ["left", "right", "above", "below"].into_iter().zip(neighbours(tile, tiles));
    let beside: Vec<String> =
        beside.filter_map(|(side, other)| other.map(|other| format!("{side} {}", other.name()))).collect();
    let first =
        [format!("column {} of {columns}, row {} of {rows}", letters(tile.column), tile.row + 1), job.title.to_owned()];
    let lines = [
        beside.join(", "),
        job.heading.document.clone(),
        build.vehicle.clone(),
        format!("scale {}", title_block::scale_words(spec, job.heading, true)),
        [&build.record, &build.revision, &build.date]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect::<Vec<_>>()
            .join(" · "),
        format!("spec SHA-256 {hash}"),
    ];
    let mut y = lead;
    for (line, height) in first.iter().map(|line| (line, BODY)).chain(lines.iter().map(|line| (line, SMALL))) {
        if !line.is_empty() {
            let line = font::fitted(line, height, false, words.width());
            y = set_lines(sheet, Vec2::new(words.low.x, y), &[line], height, false);
        }
    }
}

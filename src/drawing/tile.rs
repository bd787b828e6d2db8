//! A full-scale drawing larger than the sheet, on several sheets to be joined.
//!
//! Every tile shows the same drawing through a window. Neighbours overlap; the
//! middle line of each overlap is where the upper sheet is trimmed, and numbered
//! marks stand on it, whose halves meet once the sheets are joined. A map of all
//! tiles comes first. Each tile has its own rulers, square and inch scale, since
//! each goes through the printer by itself.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::collision::{FRAME, SEAM};
use super::font;
use super::layout::{Area, BODY, LARGE, Note, SMALL, label, set_lines, set_notes, text_box, text_width};
use super::scale_check;
use super::sheet::{Anchor, Item, Role, Sheet, View};
use super::title_block::{self, Heading, room};
use super::value;
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
const ARM: f64 = 4.5;
/// A mark is drawn on every tile that holds it with this much round it (mm).
const MARK_ROOM: f64 = ARM + 0.5;
/// Marks and names keep this clear of the drawing where they can (mm).
const CLEAR: f64 = 7.0;

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
            if need <= live + SAME {
                return (1, 0.0);
            }
            let count = ((need - live - SAME) / (live - OVERLAP)).ceil() + 1.0;
            (count as usize, (need - live) / (count - 1.0))
        };
        let (columns, across) = axis(need[0], window.width());
        let (rows, down) = axis(need[1], window.height());
        Self { sheet, count: [columns, rows], pitch: [across, down] }
    }

    /// How many tiles, empty ones counted.
    pub fn tiles(&self) -> usize {
        self.count[0] * self.count[1]
    }
}

/// One tile: its column from the left and row from the top, and its window in the drawing (mm).
struct Tile {
    column: usize,
    row: usize,
    part: Area,
}

impl Tile {
    fn name(&self) -> String {
        format!("{}{}", letters(self.column), self.row + 1)
    }
}

/// A, B, .. Z, AA, AB, ..
fn letters(column: usize) -> String {
    let last = char::from(b'A' + (column % 26) as u8);
    if column < 26 { last.to_string() } else { format!("{}{last}", letters(column / 26 - 1)) }
}

/// A place where two or more tiles meet.
struct Mark {
    number: usize,
    /// In the drawing (mm).
    at: Vec2,
}

/// What the tiles belong to.
pub struct Job<'a> {
    /// Title of the template.
    pub title: &'a str,
    /// The same in sentences.
    pub alt: &'a str,
    /// Its heading.
    pub heading: &'a Heading,
    /// Sheets that follow the tiles.
    pub after: usize,
}

/// The map and the tiles of a drawing; a tile with nothing on it is left out.
pub fn sheets(spec: &Spec, grid: &Grid, drawing: Sheet, job: &Job<'_>) -> Vec<Sheet> {
    let ink = ink(&drawing);
    let live = window(grid.sheet);
    let size = Vec2::new(drawing.size[0], drawing.size[1]);
    let (columns, rows) = (grid.count[0], grid.count[1]);
    // A single column or row stands in the middle of its window.
    let spare = |count: usize, need: f64, live: f64| if count == 1 { 0.5 * (need - live) } else { 0.0 };
    let first =
        Vec2::new(spare(columns, size.x, live.width()), size.y - live.height() - spare(rows, size.y, live.height()));
    let tiles: Vec<Tile> = (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (row, column)))
        .map(|(row, column)| {
            let low = first + Vec2::new(column as f64 * grid.pitch[0], -(row as f64) * grid.pitch[1]);
            Tile { column, row, part: Area::new(low, low + live.high - live.low) }
        })
        .collect();
    let tiles = needed(tiles, &ink);
    let marks = marks(&tiles, &ink);
    let drawing = Arc::new(drawing);
    let count = 1 + tiles.len() + job.after;
    let mut sheets = vec![map(spec, &tiles, &marks, &drawing, &ink, job)];
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
        draw_seams(&mut sheet, tile, &tiles, live);
        for mark in marks.iter().filter(|mark| holds(tile.part, mark.at)) {
            draw_mark(&mut sheet, mark, mark.at + at);
        }
        draw_strip(&mut sheet, spec, grid, tile, &tiles, [index + 2, count], job);
        sheets.push(sheet);
    }
    sheets
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

/// Straight pieces that the drawing inks, words by their boxes.
fn ink(drawing: &Sheet) -> Vec<[Vec2; 2]> {
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

/// Whether a straight piece enters an area.
///
/// Liang and Barsky 1984, "A new concept and method for line clipping", ACM TOG 3(1) (from memory).
fn crosses([a, b]: [Vec2; 2], area: Area) -> bool {
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
    let from = |&[a, b]: &[Vec2; 2]| {
        let d = b - a;
        let f = if d.dot(d) > 0.0 { ((at - a).dot(d) / d.dot(d)).clamp(0.0, 1.0) } else { 0.0 };
        (a + d * f - at).length()
    };
    ink.iter().map(from).fold(f64::INFINITY, f64::min)
}

/// The first place far enough from all ink, else the one farthest from it.
fn clearest(places: impl Iterator<Item = Vec2>, clear: f64, ink: &[[Vec2; 2]]) -> Option<Vec2> {
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

/// Two marks on the middle line of each overlap, near its ends, clear of the drawing where that is possible.
fn marks(tiles: &[Tile], ink: &[[Vec2; 2]]) -> Vec<Mark> {
    let mut places: Vec<Vec2> = Vec::new();
    for a in tiles {
        for b in tiles {
            let beside = b.row == a.row && b.column == a.column + 1;
            let below = b.column == a.column && b.row == a.row + 1;
            if !beside && !below {
                continue;
            }
            let low = Vec2::new(a.part.low.x.max(b.part.low.x), a.part.low.y.max(b.part.low.y));
            let high = Vec2::new(a.part.high.x.min(b.part.high.x), a.part.high.y.min(b.part.high.y));
            let middle = (low + high) * 0.5;
            let (from, to) = if beside {
                (Vec2::new(middle.x, low.y + MARK_ROOM + 0.5), Vec2::new(middle.x, high.y - MARK_ROOM - 0.5))
            } else {
                (Vec2::new(low.x + MARK_ROOM + 0.5, middle.y), Vec2::new(high.x - MARK_ROOM - 0.5, middle.y))
            };
            // A long base line: from a sixth of the seam inward, from each of its ends.
            let seam =
                |start: Vec2, end: Vec2| (0..24).map(move |i| start + (end - start) * (0.16 + f64::from(i) * 0.013));
            places.extend(clearest(seam(from, to), CLEAR, ink));
            places.extend(clearest(seam(to, from), CLEAR, ink));
        }
    }
    places.into_iter().enumerate().map(|(i, at)| Mark { number: i + 1, at }).collect()
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

/// What is left of a tile once its overlaps are halved.
fn zone(tile: &Tile, tiles: &[Tile]) -> Area {
    let mut zone = tile.part;
    let [left, right, above, below] = neighbours(tile, tiles);
    let half = |other: &Tile| tile.part.centre() + (other.part.low - tile.part.low) * 0.5;
    zone.low.x = left.map_or(zone.low.x, |other| half(other).x);
    zone.high.x = right.map_or(zone.high.x, |other| half(other).x);
    zone.high.y = above.map_or(zone.high.y, |other| half(other).y);
    zone.low.y = below.map_or(zone.low.y, |other| half(other).y);
    zone
}

/// Border, the window's edge, and the middle line of the overlap with each neighbour.
fn draw_seams(sheet: &mut Sheet, tile: &Tile, tiles: &[Tile], live: Area) {
    let border = Area::new(Vec2::new(MARGIN, MARGIN), live.high);
    sheet.keyed(Role::Frame, FRAME, Path::rectangle(border.low, border.width(), border.height(), 0.0));
    sheet.keyed(Role::Frame, "window", Path::rectangle(live.low, live.width(), live.height(), 0.0));
    for (side, other) in neighbours(tile, tiles).into_iter().enumerate() {
        let Some(other) = other else { continue };
        let off = (other.part.low - tile.part.low) * 0.5;
        let middle = live.centre() + off;
        let line = if side < 2 {
            Path::line(Vec2::new(middle.x, live.low.y), Vec2::new(middle.x, live.high.y))
        } else {
            Path::line(Vec2::new(live.low.x, middle.y), Vec2::new(live.high.x, middle.y))
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

/// The first sheet: which tile goes where, and how they are joined.
fn map(spec: &Spec, tiles: &[Tile], marks: &[Mark], drawing: &Sheet, ink: &[[Vec2; 2]], job: &Job<'_>) -> Sheet {
    /// Space round map and words (mm).
    const ROUND: f64 = 4.0;
    let size = title_block::upright(spec);
    let mut sheet = Sheet::new(format!("{}, map", job.title), size, false);
    sheet.alt = format!("{} Map of its {} tiles.", job.alt, tiles.len());
    let area = room(size).body.without(ROUND, ROUND, ROUND, ROUND);
    let reach = set_notes(&mut sheet, area, &map_notes(spec, tiles, marks, job));
    let area = Area::new(area.low, Vec2::new(area.high.x, reach - ROUND));
    let mut all = tiles.iter().map(|tile| tile.part);
    let Some(first) = all.next() else { return sheet };
    let whole = all.fold(first, |sum, part| Area {
        low: Vec2::new(sum.low.x.min(part.low.x), sum.low.y.min(part.low.y)),
        high: Vec2::new(sum.high.x.max(part.high.x), sum.high.y.max(part.high.y)),
    });
    let scale = (area.width() / whole.width()).min(area.height() / whole.height());
    let origin = Vec2::new(area.centre().x, area.high.y - 0.5 * scale * whole.height()) - whole.centre() * scale;
    let (x, y) = (Vec2::new(scale, 0.0), Vec2::new(0.0, scale));
    for item in &drawing.items {
        let Item::Line(line) = item else { continue };
        if matches!(line.role, Role::Cut | Role::Drill | Role::Outline) && !line.filled {
            sheet.line(Role::Outline, line.path.carried(origin, x, y));
        }
    }
    for (index, tile) in tiles.iter().enumerate() {
        let zone = zone(tile, tiles);
        let (low, high) = (origin + zone.low * scale, origin + zone.high * scale);
        let edge = Path::rectangle(low, high.x - low.x, high.y - low.y, 0.0);
        sheet.keyed(Role::Dimension, format!("tile.{}", index + 1), edge);
        let name = tile.name();
        let large = zone.width().min(zone.height()) * scale > 4.0 * LARGE;
        let height = if large { LARGE } else { SMALL };
        let wide = 0.5 * text_width(&name, height, true);
        // In the middle of the tile, or as near as the drawing leaves room.
        let reach = zone.high - zone.low;
        let rings = (0..6).flat_map(|ring| (0..8).map(move |turn| (f64::from(ring) * 0.07, f64::from(turn))));
        let places = rings.map(|(far, turn)| {
            let way = Vec2::polar(turn * std::f64::consts::FRAC_PI_4);
            zone.centre() + Vec2::new(way.x * reach.x, way.y * reach.y) * far
        });
        let Some(place) = clearest(places, (wide + 2.0) / scale, ink) else { continue };
        let middle = origin + place * scale;
        sheet.text(label(middle - Vec2::new(0.0, 0.5 * height), Anchor::Middle, height, true, name));
    }
    let ink: Vec<[Vec2; 2]> = ink.iter().map(|segment| segment.map(|p| origin + p * scale)).collect();
    map_marks(&mut sheet, marks, |p| origin + p * scale, &ink);
    sheet
}

/// Marks as dots, each with its number where that has room; `ink` is what is drawn.
fn map_marks(sheet: &mut Sheet, marks: &[Mark], put: impl Fn(Vec2) -> Vec2, ink: &[[Vec2; 2]]) {
    /// Radius (mm): a dot that is still seen as a ring.
    const DOT: f64 = 0.9;
    let mut taken: Vec<[Vec2; 2]> = ink.to_vec();
    for mark in marks {
        let at = put(mark.at);
        sheet.line(Role::Check, Path::circle(at, DOT));
        let (x, y) = (Vec2::new(DOT, 0.0), Vec2::new(0.0, DOT));
        taken.extend([[at - x, at + x], [at - y, at + y]]);
    }
    for item in &sheet.items {
        match item {
            Item::Text(text) => {
                let [a, b, c, d] = text_box(text);
                taken.extend([[a, b], [b, c], [c, d], [d, a]]);
            }
            // The tiles' edges.
            Item::Line(line) if line.role == Role::Dimension => {
                taken.extend(line.path.runs().map(|(from, piece)| [from, piece.end()]));
            }
            Item::Line(_) => {}
        }
    }
    for mark in marks {
        let at = put(mark.at);
        let words = mark.number.to_string();
        let wide = text_width(&words, SMALL, false);
        let off = DOT + 0.5;
        let places = [(off, 0.5), (-off - wide, 0.5), (off, -0.5 - SMALL), (-off - wide, -0.5 - SMALL)];
        let free = places.into_iter().map(|(x, y)| at + Vec2::new(x, y)).find(|&low| {
            let room = Area::new(low - Vec2::new(0.3, 0.3), low + Vec2::new(wide + 0.3, SMALL + 0.3));
            !taken.iter().any(|&segment| crosses(segment, room))
        });
        if let Some(low) = free {
            sheet.text(label(low, Anchor::Start, SMALL, false, words));
            taken.push([low, low + Vec2::new(wide, SMALL)]);
        }
    }
}

fn map_notes(spec: &Spec, tiles: &[Tile], marks: &[Mark], job: &Job<'_>) -> Vec<Note> {
    let last = tiles.len() + 1;
    if tiles.len() == 1 {
        return vec![
            Note::heading(format!("{}: on a sheet of its own", job.title)),
            Note::strong(
                "Map, not to scale. Print sheet 2 at 100 %. Measure its rulers and diagonal before you use it.",
            ),
        ];
    }
    let mut notes = vec![
        Note::heading(format!("{}: {} tiles to be joined", job.title, tiles.len())),
        Note::strong(format!(
            "Map, not to scale. Print sheets 2 to {last} at 100 %, all on one printer. Measure rulers and diagonal on every one before it is trimmed.",
        )),
        Note::body(
            "Each chain line on a tile is the middle of an overlap. Trim on it the left edge of every tile that has one on its left, and the lower edge of every tile that has one below.",
        ),
        Note::body(
            "Lay the trimmed edge on the chain line of the tile beside or below, so that the two halves of each numbered mark meet; tape it flat. Work from the lower left tile.",
        ),
    ];
    // The two marks farthest apart prove the joined sheets, as the rulers prove each.
    let pairs = marks.iter().enumerate().flat_map(|(i, a)| marks.iter().skip(i + 1).map(move |b| (a, b)));
    let far = pairs.max_by(|p, q| (p.0.at - p.1.at).length().total_cmp(&(q.0.at - q.1.at).length()));
    if let Some((a, b)) = far {
        notes.push(Note::strong(format!(
            "Joined: mark {} to mark {} must measure {} from centre to centre. If it is off by more than 0.04 in (1 mm), join again.",
            a.number,
            b.number,
            value::both(&spec.build, (a.at - b.at).length()),
        )));
    }
    notes
}

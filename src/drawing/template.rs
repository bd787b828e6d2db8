//! A full-scale drawing set on the smallest sheet that holds it.
//!
//! The paper is tried upright and on its side, the drawing both ways, the
//! words beside it or under it; else as many of them as find room there, first
//! those that must not be missed, and all with their table on a next sheet. A drawing that no such sheet holds
//! goes on tiles to be joined: it is never scaled and nothing of it is left out.

use super::layout::{Area, BODY, Note, notes_height, set_notes};
use super::scale_check;
use super::sheet::Sheet;
use super::table::{Pages, Table};
use super::tile::{self, Grid};
use super::title_block::{self, Heading, room};
use crate::geometry::{Path, Vec2};
use crate::quantity;
use crate::spec::Spec;

/// Space kept round a drawing (mm).
const ROUND: f64 = 2.5;
/// Least width of a column of words (mm): a narrow table and about forty letters a line.
const COLUMN: f64 = 79.0;
/// Greatest useful width of a column of words (mm): longer lines are hard to follow.
const WIDE_COLUMN: f64 = 120.0;

/// How part coordinates lie on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Put {
    /// Sheet point of part coordinates (0, 0).
    pub origin: Vec2,
    /// Sheet direction of the first part coordinate.
    pub x: Vec2,
    /// Sheet direction of the second part coordinate.
    pub y: Vec2,
}

impl Put {
    /// Sheet point of part coordinates.
    pub fn at(&self, p: Vec2) -> Vec2 {
        self.origin + self.x * p.x + self.y * p.y
    }

    /// Part path on the sheet.
    pub fn path(&self, path: &Path) -> Path {
        path.carried(self.origin, self.x, self.y)
    }

    /// The part's middle on a point of the sheet.
    fn centred([low, high]: [Vec2; 2], [x, y]: [Vec2; 2], at: Vec2) -> Self {
        let middle = (low + high) * 0.5;
        Self { origin: at - x * middle.x - y * middle.y, x, y }
    }

    /// The L that marks zero: 10 mm along the first coordinate, zero, 10 mm along the second.
    pub fn datum(&self, zero: Vec2) -> Option<Path> {
        /// Arm of the L (mm).
        const ARM: f64 = 10.0;
        let points = [zero + Vec2::new(ARM, 0.0), zero, zero + Vec2::new(0.0, ARM)].map(|p| self.at(p));
        Path::polyline(&points, false)
    }
}

/// What goes on a template beside the drawing itself.
pub struct Words {
    /// Title of the sheet.
    pub title: String,
    /// Kind of document.
    pub document: String,
    /// In order.
    pub notes: Vec<Note>,
    /// Set under the notes where it fits there.
    pub narrow: Option<Table>,
    /// Set on a sheet of its own where `narrow` does not fit.
    pub wide: Option<Table>,
    /// A last sheet that is not to scale.
    pub sketch: Option<Sheet>,
}

/// Which axis directions a drawing may take on the sheet: `x` and `y` of [`Put`], most wanted first.
pub type Turns = [[Vec2; 2]; 2];

struct Fit {
    size: [f64; 2],
    turn: [Vec2; 2],
    drawing: Area,
    words: Area,
}

fn turned_size(need: [f64; 2], turn: [Vec2; 2]) -> [f64; 2] {
    if turn[0].x.abs() > 0.5 { need } else { [need[1], need[0]] }
}

fn words_height(notes: &[Note], table: Option<&Table>, width: f64) -> f64 {
    notes_height(notes, width) + table.map_or(0.0, |table| table.height(width) + 2.0)
}

/// The first paper of the spec's size that holds the drawing and words of that height at a width.
fn fit(spec: &Spec, need: [f64; 2], turns: Turns, height: impl Fn(f64) -> f64) -> Option<Fit> {
    let [short, long] = title_block::upright(spec);
    for size in [[short, long], [long, short]] {
        let rest = scale_check::rest(&room(size)).without(ROUND, ROUND, ROUND, ROUND);
        for turn in turns {
            let [w, h] = turned_size(need, turn);
            if w > rest.width() || h > rest.height() {
                continue;
            }
            let beside = (rest.width() - w - ROUND).min(WIDE_COLUMN);
            if beside >= COLUMN && height(beside) <= rest.height() {
                let drawing = Area::new(rest.low, Vec2::new(rest.high.x - beside - ROUND, rest.high.y));
                return Some(Fit { size, turn, drawing, words: rest.right(beside) });
            }
            let below = height(rest.width());
            if h + ROUND + below <= rest.height() {
                let drawing = rest.without(0.0, below + ROUND, 0.0, 0.0);
                return Some(Fit { size, turn, drawing, words: rest.bottom(below) });
            }
        }
    }
    None
}

/// The way of cutting a drawing into tiles that takes fewest: paper upright or on its side, drawing either way round.
fn tiling(spec: &Spec, need: [f64; 2], turns: Turns) -> (Grid, [Vec2; 2]) {
    let [short, long] = title_block::upright(spec);
    let mut best = (Grid::of([short, long], turned_size(need, turns[0])), turns[0]);
    for turn in turns {
        for sheet in [[short, long], [long, short]] {
            let grid = Grid::of(sheet, turned_size(need, turn));
            if grid.tiles() < best.0.tiles() {
                best = (grid, turn);
            }
        }
    }
    best
}

/// Sets a drawing that takes `low` to `high` in part coordinates; `draw` gets the sheet and where the part lies.
pub fn set(
    spec: &Spec,
    [low, high]: [Vec2; 2],
    turns: Turns,
    mut words: Words,
    draw: impl FnOnce(&mut Sheet, &Put),
) -> Vec<Sheet> {
    let need = [high.x - low.x, high.y - low.y];
    let [kx, ky] = spec.output.print_correction;
    if title_block::is_corrected(spec) {
        let (kx, ky) = (quantity::fixed(kx, 4), quantity::fixed(ky, 4));
        words.notes.push(Note::strong(format!(
            "Print correction: the PDF is divided by {kx} in x and {ky} in y. It is right on the one printer it was measured on."
        )));
    }
    let whole = |width| words_height(&words.notes, words.narrow.as_ref(), width);
    let (fitted, beside, table, under, more) = if let Some(fitted) = fit(spec, need, turns, whole) {
        (fitted, words.notes.clone(), words.narrow.as_ref(), Vec::new(), false)
    } else if let Some(Parted { fitted, beside, under, more }) = parted(spec, need, turns, &words) {
        (fitted, beside, None, under, more)
    } else if let Some(fitted) = fit(spec, need, turns, |_| 0.0) {
        (fitted, Vec::new(), None, Vec::new(), true)
    } else {
        return tiled(spec, [low, high], turns, &words, draw);
    };
    let put = Put::centred([low, high], fitted.turn, fitted.drawing.centre());
    let mut sheet = Sheet::new(words.title.clone(), fitted.size, true);
    sheet.alt = alt(&words);
    let spare = scale_check::draw(&mut sheet, &room(fitted.size));
    set_notes(&mut sheet, spare, &under);
    draw(&mut sheet, &put);
    let reach = set_notes(&mut sheet, fitted.words, &beside);
    if let Some(table) = table {
        table.set(&mut sheet, Vec2::new(fitted.words.low.x, reach - 2.0), fitted.words.width());
    }
    let mut sheets = vec![sheet];
    if more {
        sheets.extend(words_pages(spec, &words));
    }
    sheets.extend(words.sketch);
    title_block::draw(&mut sheets, spec, &Heading { document: words.document, scale: "1:1".into() });
    sheets
}

/// Words that find room in two places of a sheet, without their table.
struct Parted {
    fitted: Fit,
    /// Beside the drawing or under it.
    beside: Vec<Note>,
    /// Under the rulers' words.
    under: Vec<Note>,
    /// Whether a sheet with all words follows.
    more: bool,
}

/// As many of the words as a sheet with the drawing holds: those that must not be missed all, the others as they come.
fn parted(spec: &Spec, need: [f64; 2], turns: Turns, words: &Words) -> Option<Parted> {
    // The title block has the heading.
    let notes: Vec<&Note> = words.notes.iter().filter(|note| note.height <= BODY).collect();
    let must = notes.iter().filter(|note| note.bold).count();
    let has_table = words.narrow.is_some() || words.wide.is_some();
    (must..=notes.len()).rev().find_map(|count| {
        let mut others = count - must;
        let mut told: Vec<Note> = Vec::with_capacity(count + 1);
        for note in &notes {
            if note.bold || others > 0 {
                others -= usize::from(!note.bold);
                told.push((*note).clone());
            }
        }
        let more = has_table || count < notes.len();
        let next = if count < notes.len() { "More words: next sheet." } else { "Table and words again: next sheet." };
        told.extend(more.then(|| Note::body(next)));
        (0..=told.len()).rev().find_map(|split| {
            let (beside, under) = told.split_at(split);
            let fitted = fit(spec, need, turns, |width| words_height(beside, None, width))?;
            let spare = scale_check::draw(&mut Sheet::new("", fitted.size, true), &room(fitted.size));
            let held = under.is_empty() || notes_height(under, spare.width()) <= spare.height();
            held.then(|| Parted { fitted, beside: beside.to_vec(), under: under.to_vec(), more })
        })
    })
}

/// Pages with all the words of a template.
fn words_pages(spec: &Spec, words: &Words) -> Vec<Sheet> {
    let size = title_block::upright(spec);
    let area = room(size).body.without(ROUND, ROUND, ROUND, ROUND);
    let mut pages = Pages::new(format!("{}, words", words.title), size, area);
    pages.notes(&words.notes);
    if let Some(table) = words.wide.as_ref().or(words.narrow.as_ref()) {
        pages.table(table);
    }
    pages.finish()
}

/// A drawing larger than the paper: map, tiles, all the words.
fn tiled(
    spec: &Spec,
    [low, high]: [Vec2; 2],
    turns: Turns,
    words: &Words,
    draw: impl FnOnce(&mut Sheet, &Put),
) -> Vec<Sheet> {
    let need = [high.x - low.x + 2.0 * ROUND, high.y - low.y + 2.0 * ROUND];
    let (grid, turn) = tiling(spec, need, turns);
    let size = turned_size(need, turn);
    let put = Put::centred([low, high], turn, Vec2::new(size[0], size[1]) * 0.5);
    let mut drawing = Sheet::new(words.title.clone(), size, true);
    draw(&mut drawing, &put);
    // Left as one sheet, whose size the writers refuse by name.
    if size[0].max(size[1]) > tile::LARGEST {
        return vec![drawing];
    }
    let mut more = words_pages(spec, words);
    let table = words.wide.as_ref().or(words.narrow.as_ref());
    let told = Some(tile::Told { notes: &words.notes, table, pages: more.len() });
    let heading = Heading { document: words.document.clone(), scale: "1:1".into() };
    let after = usize::from(words.sketch.is_some());
    let job = tile::Job { title: &words.title, alt: &alt(words), heading: &heading, told, after };
    let tiled = tile::sheets(spec, &grid, drawing, &job);
    let mut sheets = tiled.sheets;
    if tiled.told {
        more.clear();
    }
    sheets.extend(more);
    sheets.extend(words.sketch.clone());
    title_block::draw(&mut sheets, spec, &heading);
    sheets
}

/// What a template shows, in sentences.
fn alt(words: &Words) -> String {
    let strong = words.notes.iter().filter(|note| note.bold && note.height <= BODY).map(|note| note.words.as_str());
    let first = format!("{}, full-scale template.", words.title);
    std::iter::once(first.as_str()).chain(strong).collect::<Vec<_>>().join(" ")
}

/// A bare sheet for cutting: `low` to `high` in part coordinates and a margin, no border, no words.
pub fn bare(title: String, [low, high]: [Vec2; 2], [x, y]: [Vec2; 2], draw: impl FnOnce(&mut Sheet, &Put)) -> Sheet {
    /// Round the outline (mm), so that a cutting table sees the whole of it.
    const MARGIN: f64 = 5.0;
    let (a, b) = (x * low.x + y * low.y, x * high.x + y * high.y);
    let corner = Vec2::new(a.x.min(b.x), a.y.min(b.y));
    let size = [(a.x - b.x).abs() + 2.0 * MARGIN, (a.y - b.y).abs() + 2.0 * MARGIN];
    let mut sheet = Sheet::new(title, size, true);
    sheet.alt = "Net outlines at 1:1, without kerf.".into();
    draw(&mut sheet, &Put { origin: Vec2::new(MARGIN, MARGIN) - corner, x, y });
    sheet
}

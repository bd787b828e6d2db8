//! Tables of words, and pages that flow.

use super::block::Block;
use super::layout::{Area, BODY, Note, SMALL, label, lines_height, notes_height, set_lines, set_notes, wrap};
use super::sheet::{Anchor, Role, Sheet};
use crate::geometry::{Path, Vec2};

/// Words keep off a cell's sides by this (mm).
const PAD: f64 = 1.0;
/// Space over and under the words of a row (mm).
const ROW_PAD: f64 = 0.7;
/// Space after a table or paragraph (mm).
const AFTER: f64 = 3.0;
/// Space over a section's heading inside a page (mm).
const BEFORE: f64 = 2.0;
/// A heading is not left alone at a page's foot: this much must fit under it (mm).
const KEEP: f64 = 22.0;

/// A table: column heads with their shares of the width, and rows of as many cells.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Head and share of the width of each column.
    pub columns: Vec<(String, f64)>,
    /// Cells; a line break inside a cell is kept.
    pub rows: Vec<Vec<String>>,
}

/// A row's cells broken into lines.
type Lines = Vec<Vec<String>>;

impl Table {
    /// From heads and shares.
    pub fn new(columns: &[(&str, f64)]) -> Self {
        Self { columns: columns.iter().map(|&(head, share)| (head.to_owned(), share)).collect(), rows: Vec::new() }
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.into());
    }

    fn widths(&self, width: f64) -> Vec<f64> {
        let sum: f64 = self.columns.iter().map(|(_, share)| share).sum();
        self.columns.iter().map(|(_, share)| width * share / sum).collect()
    }

    fn broken<'a>(&self, cells: impl Iterator<Item = &'a str>, width: f64, bold: bool) -> Lines {
        cells.zip(self.widths(width)).map(|(cell, width)| wrap(cell, BODY, bold, width - 2.0 * PAD)).collect()
    }

    fn head(&self, width: f64) -> Lines {
        self.broken(self.columns.iter().map(|(head, _)| head.as_str()), width, true)
    }

    /// Height at a width, head included (mm).
    pub fn height(&self, width: f64) -> f64 {
        let rows: f64 =
            self.rows.iter().map(|row| lines_tall(&self.broken(row.iter().map(String::as_str), width, false))).sum();
        lines_tall(&self.head(width)) + rows
    }

    /// Sets the whole table from a corner down; says how far down it reaches.
    pub fn set(&self, sheet: &mut Sheet, top: Vec2, width: f64) -> f64 {
        let mut y = self.set_row(sheet, top, width, &self.head(width), true);
        for row in &self.rows {
            let lines = self.broken(row.iter().map(String::as_str), width, false);
            y = self.set_row(sheet, Vec2::new(top.x, y), width, &lines, false);
        }
        y
    }

    fn set_row(&self, sheet: &mut Sheet, top: Vec2, width: f64, lines: &Lines, head: bool) -> f64 {
        let bottom = top.y - lines_tall(lines);
        if head {
            sheet.fill(Role::Shade, Path::rectangle(Vec2::new(top.x, bottom), width, top.y - bottom, 0.0));
        }
        let mut x = top.x;
        for (cell, width) in lines.iter().zip(self.widths(width)) {
            set_lines(sheet, Vec2::new(x + PAD, top.y - ROW_PAD), cell, BODY, head);
            x += width;
        }
        sheet.line(Role::Dimension, Path::line(Vec2::new(top.x, bottom), Vec2::new(top.x + width, bottom)));
        bottom
    }
}

fn lines_tall(lines: &Lines) -> f64 {
    lines_height(lines.iter().map(Vec::len).max().unwrap_or(1), BODY) + 2.0 * ROW_PAD
}

/// Pages of one document that fill from the top; every page is headed.
#[derive(Debug)]
pub struct Pages {
    title: String,
    size: [f64; 2],
    area: Area,
    sheets: Vec<Sheet>,
    /// How far down the last page is filled.
    y: f64,
    /// Section the words belong to, repeated on the next page.
    section: String,
    /// Headings not set yet: they go with the first of what they head. The first of them may open a section.
    waiting: Vec<String>,
    opens: bool,
    /// Base line to base line of paragraphs, and space after one, in cap heights.
    spacing: [f64; 2],
    /// All that was set, for a page without sheets.
    blocks: Vec<Block>,
}

/// Of the ways to set a document, tried in this order, the first that takes the fewest pages.
pub fn fewest<W>(ways: impl IntoIterator<Item = W>, set: impl Fn(W) -> Vec<Sheet>) -> Vec<Sheet> {
    let mut best: Vec<Sheet> = Vec::new();
    for way in ways {
        let pages = set(way);
        if best.is_empty() || pages.len() < best.len() {
            best = pages;
        }
        if best.len() == 1 {
            break;
        }
    }
    best
}

/// Spacing of paragraphs (cap heights).
const LOOSE: [f64; 2] = [1.75, 0.6];
/// The closest that is still easy to read: ISO 3098 asks for at least 1.4 (type B, from memory).
const CLOSE: [f64; 2] = [1.5, 0.4];

impl Pages {
    /// No pages yet. `area` is what each page may fill.
    pub fn new(title: impl Into<String>, size: [f64; 2], area: Area) -> Self {
        Self {
            title: title.into(),
            size,
            area,
            sheets: Vec::new(),
            y: f64::NEG_INFINITY,
            section: String::new(),
            waiting: Vec::new(),
            opens: false,
            spacing: LOOSE,
            blocks: Vec::new(),
        }
    }

    /// Goes on under what a sheet already shows, `y` being how far down that reaches.
    pub fn under(sheet: Sheet, area: Area, y: f64) -> Self {
        let (title, size) = (sheet.title.clone(), sheet.size);
        Self {
            title,
            size,
            area,
            sheets: vec![sheet],
            y,
            section: String::new(),
            waiting: Vec::new(),
            opens: false,
            spacing: LOOSE,
            blocks: Vec::new(),
        }
    }

    /// The same with its paragraphs closer together.
    #[must_use]
    pub fn close(self, close: bool) -> Self {
        Self { spacing: if close { CLOSE } else { LOOSE }, ..self }
    }

    /// The finished pages.
    pub fn finish(mut self) -> Vec<Sheet> {
        self.open(0.0);
        self.sheets
    }

    /// The finished pages, and what they were made of.
    pub fn finish_both(mut self) -> (Vec<Sheet>, Vec<Block>) {
        let blocks = std::mem::take(&mut self.blocks);
        (self.finish(), blocks)
    }

    /// Width of a page (mm).
    pub fn width(&self) -> f64 {
        self.area.width()
    }

    /// Height left on the page being filled (mm).
    pub fn left(&self) -> f64 {
        self.y - self.area.low.y
    }

    fn turn(&mut self, continued: bool) {
        let mut sheet = Sheet::new(self.title.clone(), self.size, false);
        self.y = self.area.high.y - 1.0;
        if continued && !self.section.is_empty() {
            let head = Note::heading(format!("{}, continued", self.section));
            self.y = set_notes(&mut sheet, Area::new(self.area.low, Vec2::new(self.area.high.x, self.y)), &[head]);
        }
        self.sheets.push(sheet);
    }

    /// The page being filled, with that much room left on it (mm).
    fn page(&mut self, height: f64) -> &mut Sheet {
        if self.sheets.is_empty() {
            self.turn(false);
        } else if self.y - height < self.area.low.y {
            self.turn(true);
        }
        let last = self.sheets.len() - 1;
        &mut self.sheets[last]
    }

    /// Starts a section; its heading stands on the page where the first of it stands.
    pub fn section(&mut self, words: impl Into<String>) {
        let words = words.into();
        self.blocks.push(Block::Section(words.clone()));
        self.open(0.0);
        self.opens = true;
        self.waiting.push(words);
    }

    /// Starts a section that is set apart.
    pub fn apart(&mut self, words: impl Into<String>) {
        let words = words.into();
        self.section(words.clone());
        if let Some(last) = self.blocks.last_mut() {
            *last = Block::Apart(words);
        }
    }

    /// Sets a heading inside a section, with the first of what it heads.
    pub fn heading(&mut self, words: impl Into<String>) {
        let words = words.into();
        self.blocks.push(Block::Heading(words.clone()));
        self.waiting.push(words);
    }

    /// Sets the headings that wait, on a page that has room for them and `first` (mm) of what follows.
    fn open(&mut self, first: f64) {
        if self.waiting.is_empty() {
            return;
        }
        let headings: Vec<Note> = self.waiting.drain(..).map(Note::heading).collect();
        let before = if self.opens { BEFORE } else { 0.0 };
        if self.opens {
            self.section.clear();
        }
        self.page(before + notes_height(&headings, self.width()) + first);
        if self.opens {
            self.section = headings.first().map(|heading| heading.words.clone()).unwrap_or_default();
            if self.y < self.area.high.y - KEEP {
                self.y -= BEFORE;
            }
        }
        self.opens = false;
        self.paragraphs(&headings);
    }

    /// Sets paragraphs, each kept whole where a page can hold it.
    pub fn notes(&mut self, notes: &[Note]) {
        let Some(first) = notes.first() else { return };
        self.blocks.push(Block::Notes(notes.to_vec()));
        let lines = wrap(&first.words, first.height, first.bold, self.width()).len();
        let whole = lines_height(lines, first.height);
        self.open(if whole < self.area.height() - KEEP { whole } else { lines_height(2, first.height) });
        self.paragraphs(notes);
    }

    fn paragraphs(&mut self, notes: &[Note]) {
        let [leading, gap] = self.spacing;
        for note in notes {
            let (height, bold) = (note.height, note.bold);
            let tall = leading * height;
            let lines = wrap(&note.words, height, bold, self.width());
            let whole = lines.len() as f64 * tall;
            if whole < self.area.height() - KEEP {
                self.page(whole);
            }
            // A paragraph longer than a page is set line by line.
            for line in lines {
                self.page(tall);
                let at = Vec2::new(self.area.low.x, self.y - tall + 0.5 * (leading - 1.0) * height);
                if !line.is_empty() {
                    self.page(tall).text(label(at, Anchor::Start, height, bold, line));
                }
                self.y -= tall;
            }
            self.y -= gap * height;
        }
    }

    /// Sets a table; its head is repeated on every page it runs to. An empty one is left out.
    pub fn table(&mut self, table: &Table) {
        if table.rows.is_empty() {
            return;
        }
        self.blocks.push(Block::Table(table.clone()));
        self.set_table(table);
    }

    fn set_table(&mut self, table: &Table) {
        let width = self.width();
        let head = table.head(width);
        let mut need_head = true;
        // A table never begins with its head alone, nor with less of its first row than a page can hold.
        if let Some(row) = table.rows.first() {
            let first = lines_tall(&table.broken(row.iter().map(String::as_str), width, false));
            self.open(lines_tall(&head) + first.min(0.5 * self.area.height()));
        }
        // A row taller than a page runs on; the heads of section and table take part of each.
        let most = ((self.area.height() - lines_tall(&head) - KEEP) / lines_height(1, BODY)).max(1.0) as usize;
        for row in &table.rows {
            let lines = table.broken(row.iter().map(String::as_str), width, false);
            let parts = lines.iter().map(|cell| cell.len().div_ceil(most)).max().unwrap_or(1).max(1);
            for part in 0..parts {
                let lines: Lines =
                    lines.iter().map(|cell| cell.iter().skip(part * most).take(most).cloned().collect()).collect();
                let tall = lines_tall(&lines) + if need_head { lines_tall(&head) } else { 0.0 };
                let before = self.sheets.len();
                self.page(tall);
                need_head |= self.sheets.len() != before;
                if need_head {
                    let top = Vec2::new(self.area.low.x, self.y);
                    self.y = table.set_row(self.page(0.0), top, width, &head, true);
                    need_head = false;
                }
                let top = Vec2::new(self.area.low.x, self.y);
                self.y = table.set_row(self.page(0.0), top, width, &lines, false);
            }
        }
        self.y -= AFTER;
    }

    /// Sets a figure of a height (mm), drawn into the area it is given.
    pub fn figure(&mut self, height: f64, draw: impl Fn(&mut Sheet, Area)) {
        let size = [self.width(), height];
        let mut alone = Sheet::new(self.section.clone(), size, false);
        draw(&mut alone, Area::new(Vec2::default(), Vec2::new(size[0], size[1])));
        self.blocks.push(Block::Figure(alone));
        self.set_figure(height, draw);
    }

    fn set_figure(&mut self, height: f64, draw: impl Fn(&mut Sheet, Area)) {
        self.open(height);
        self.page(height);
        let area = Area::new(Vec2::new(self.area.low.x, self.y - height), Vec2::new(self.area.high.x, self.y));
        draw(self.page(0.0), area);
        self.y -= height + AFTER;
    }

    /// Names a drawing of the package that is bound elsewhere, and not shown again.
    pub fn picture(&mut self, path: impl Into<String>, title: impl Into<String>) {
        self.blocks.push(Block::Picture { path: path.into(), title: title.into() });
    }

    /// Sets a drawing of the package once more, drawn for the page into an area of that height (mm).
    pub fn drawn(
        &mut self,
        path: impl Into<String>,
        title: impl Into<String>,
        height: f64,
        draw: impl Fn(&mut Sheet, Area),
    ) {
        self.picture(path, title);
        self.set_figure(height, draw);
    }

    /// Sets things to do in order, each with room for a tick, initials and a date.
    pub fn steps(&mut self, steps: Vec<String>) {
        let mut table = Table::new(&[("step", 14.0), ("tick", 12.0), ("what", 112.0), ("initials, date", 44.0)]);
        for (n, step) in steps.iter().enumerate() {
            table.row([(n + 1).to_string(), "[    ]".to_owned(), step.clone(), String::new()]);
        }
        self.set_table(&table);
        self.blocks.push(Block::Steps(steps));
    }

    /// Sets things to fill in; each row is tall enough to write in.
    pub fn blanks(&mut self, rows: Vec<[String; 2]>) {
        let mut table =
            Table::new(&[("what", 64.0), ("wanted", 50.0), ("found, number", 44.0), ("initials, date", 28.0)]);
        for [what, wanted] in &rows {
            table.row([what.clone(), wanted.clone(), "\n ".to_owned(), String::new()]);
        }
        self.set_table(&table);
        self.blocks.push(Block::Blanks(rows));
    }

    /// Leaves frames for photographs, two beside each other.
    pub fn photos(&mut self, shots: Vec<String>) {
        /// Height of a frame (mm): three to two across half a page.
        const FRAME: f64 = 56.0;
        for pair in shots.chunks(2) {
            self.set_figure(FRAME, |sheet, area| {
                let half = 0.5 * area.width() - 2.0;
                for (shot, area) in pair.iter().zip([area.left(half), area.right(half)]) {
                    let low = Vec2::new(area.low.x, area.low.y + BODY + 2.0);
                    sheet.line(Role::Dimension, Path::rectangle(low, area.width(), area.high.y - low.y, 0.0));
                    set_lines(sheet, Vec2::new(area.low.x, low.y - 1.0), std::slice::from_ref(shot), BODY, false);
                }
            });
        }
        self.blocks.push(Block::Photos(shots));
    }

    /// Sets blanks to sign.
    pub fn signatures(&mut self, people: &[&'static str]) {
        /// Height of a row to write in (mm).
        const ROW: f64 = 13.0;
        self.set_figure(ROW * people.len() as f64 + 4.0, |sheet, area| {
            for (row, person) in people.iter().enumerate() {
                let y = area.high.y - ROW * (row as f64 + 1.0);
                sheet.text(label(Vec2::new(area.low.x, y + 1.0), Anchor::Start, BODY, true, *person));
                let mut x = area.low.x + 24.0;
                for (what, share) in [("name", 0.3), ("signature", 0.4), ("date", 0.2)] {
                    let width = share * (area.width() - 24.0) / 0.9 - 4.0;
                    sheet.line(Role::Dimension, Path::line(Vec2::new(x, y), Vec2::new(x + width, y)));
                    sheet.text(label(Vec2::new(x, y - 1.0 - SMALL), Anchor::Start, SMALL, false, what));
                    x += width + 4.0;
                }
            }
        });
        self.blocks.push(Block::Signatures(people.to_vec()));
    }

    /// Sets the list of files.
    pub fn files(&mut self, table: &Table) {
        self.set_table(table);
        self.blocks.push(Block::Files(table.clone()));
    }
}

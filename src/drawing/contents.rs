//! The first pages of the print book: what is on which page, and how it is printed.

use super::collision::MARGIN;
use super::layout::{Area, Note, SMALL, label};
use super::scale_check::{SQUARE, go_words};
use super::sheet::{Anchor, Sheet, Text};
use super::table::{Pages, Table};
use super::title_block::{self, Heading, room};
use crate::geometry::Vec2;
use crate::spec::Spec;

/// Space inside the frame (mm).
const ROUND: f64 = 4.0;

/// One document of the book.
#[derive(Debug, Clone)]
pub struct Part {
    /// What it is.
    pub what: String,
    /// Its file in the package.
    pub path: String,
    /// Its sheets.
    pub sheets: Vec<Sheet>,
}

/// The contents pages of a book of those parts, in their order.
pub fn sheets(spec: &Spec, parts: &[Part]) -> Vec<Sheet> {
    // How many pages the contents take moves every number in them, and a number hardly ever the count of pages.
    let mut before = 1;
    for _ in 0..4 {
        let found = set(spec, parts, before);
        if found.len() == before {
            return found;
        }
        before = found.len();
    }
    set(spec, parts, before)
}

fn set(spec: &Spec, parts: &[Part], before: usize) -> Vec<Sheet> {
    let mut table = Table::new(&[("page", 14.0), ("what", 66.0), ("sheets", 17.0), ("scale", 28.0), ("file", 57.0)]);
    let mut full = Vec::new();
    let mut page = before + 1;
    for part in parts {
        let own = part.sheets.iter().enumerate().filter(|(_, sheet)| sheet.full_scale);
        let own: Vec<usize> = own.map(|(i, _)| page + i).collect();
        let scale = if own.is_empty() { "not full scale".to_owned() } else { format!("1:1 on {}", ranges(&own)) };
        table.row([page.to_string(), part.what.clone(), part.sheets.len().to_string(), scale, part.path.clone()]);
        full.extend(own);
        page += part.sheets.len();
    }
    let mut notes = vec![Note::body(
        "Every template, drawing and record sheet of this package in one file. Each is the same as in the file named beside it.",
    )];
    if !full.is_empty() {
        notes.push(Note::strong(format!(
            "Full scale: {} {}. Print at 100 % (\"actual size\"), one side only, on the sheet size of the page.",
            if full.len() == 1 { "page" } else { "pages" },
            ranges(&full)
        )));
        notes.push(Note::strong(go_words(SQUARE)));
        notes
            .push(Note::body("A tile has a smaller square with a diagonal of 42.43 mm; measure every tile by itself."));
    }
    let size = title_block::upright(spec);
    let area: Area = room(size).body.without(ROUND, ROUND, ROUND, ROUND);
    let mut pages = Pages::new("Contents", size, area);
    pages.section("Contents");
    pages.notes(&notes);
    pages.table(&table);
    let mut sheets = pages.finish();
    let heading = Heading { document: "print book".into(), scale: "not to scale".into() };
    title_block::draw(&mut sheets, spec, &heading);
    sheets
}

/// Numbers in rising order, runs of them as `4 to 7`.
fn ranges(pages: &[usize]) -> String {
    let mut runs: Vec<[usize; 2]> = Vec::new();
    for &page in pages {
        match runs.last_mut() {
            Some([_, last]) if *last + 1 == page => *last = page,
            _ => runs.push([page, page]),
        }
    }
    let words = runs.iter().map(|&[a, b]| match b - a {
        0 => a.to_string(),
        1 => format!("{a}, {b}"),
        _ => format!("{a} to {b}"),
    });
    words.collect::<Vec<_>>().join(", ")
}

/// Numbers every sheet of the book in its lower margin.
pub fn number(sheets: &mut [Sheet]) {
    /// From the lower and the right edge (mm): most printers reach it.
    const OFF: Vec2 = Vec2::new(12.0, 5.5);
    let count = sheets.len();
    for (index, sheet) in sheets.iter_mut().enumerate() {
        let at = Vec2::new(sheet.size[0] - OFF.x, OFF.y);
        let words = format!("page {} of {count}", index + 1);
        let key = Some(format!("{MARGIN}page"));
        sheet.text(Text { key, ..label(at, Anchor::End, SMALL, false, words) });
    }
}

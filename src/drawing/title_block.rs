//! Border and title block.
//!
//! Margins by ISO 5457 (left 20 mm for filing, others 10 mm, from memory);
//! fields by ISO 7200:2004 (from memory), the legal owner where the spec names one, at the lower right, as wide as an
//! upright A4 allows. Projection symbol by ISO 5456-2 (from memory).
//!
//! Two things of ISO 5457 are left out: the grid reference, since no sheet is so crowded that a place on it needs a
//! letter and a number and every hole, mark and view has a name, and the strip it stands in is where shop printers no
//! longer print; and trimming marks, since the sheets are the printer's own paper, which nobody trims.

use super::collision::{BLOCK, FRAME, MARGIN as IN_MARGIN};
use super::font;
use super::layout::{Area, BODY, LARGE, SMALL, label, text_width, wrap};
use super::sheet::{Anchor, Role, Sheet};
use crate::geometry::{Path, Vec2};
use crate::spec::Spec;
use crate::spec::types::{Build, Output, Projection, Unit};

/// Left margin (mm), for filing: ISO 5457.
const MARGIN_LEFT: f64 = 20.0;
/// Other margins (mm): ISO 5457.
const MARGIN: f64 = 10.0;
/// Width of the title block (mm): ISO 7200.
const BLOCK_WIDTH: f64 = 180.0;
/// A sheet whose frame is at most this much wider than the block has the block stretched to the frame (mm): Letter.
const BLOCK_STRETCH: f64 = 12.0;
/// Height of one row of the title block (mm).
const ROW: f64 = 9.0;
/// Rows of the title block.
const ROWS: f64 = 4.0;
/// Least sheet on which the block and the rulers find room (mm): between A4 and Letter.
const LEAST_SHEET: [f64; 2] = [210.0, 279.4];

/// What a document says of itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    /// Kind of document, such as `plate template`.
    pub document: String,
    /// Scale in words, such as `1:1`.
    pub scale: String,
}

/// Whose sheets they are: of a linkage read whole, or of a spec whose readings are still to be taken.
#[derive(Debug, Clone, Copy)]
pub struct Owner<'a> {
    /// What the sheets are headed with.
    pub build: &'a Build,
    /// Paper.
    pub output: &'a Output,
    /// Of the spec's bytes.
    pub sha256: &'a str,
}

impl<'a> From<&'a Spec> for Owner<'a> {
    fn from(spec: &'a Spec) -> Self {
        Self { build: &spec.build, output: &spec.output, sha256: &spec.sha256 }
    }
}

/// Room on a sheet inside border and title block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Over the title block, as wide as the frame.
    pub body: Area,
    /// Left of the title block, where the sheet is wide enough for anything to stand there.
    pub beside: Option<Area>,
}

/// Upright sheet the spec asks for, or the least on which our sheets work.
pub fn upright<'a>(owner: impl Into<Owner<'a>>) -> [f64; 2] {
    let [width, height] = owner.into().output.sheet;
    [width.max(LEAST_SHEET[0]), height.max(LEAST_SHEET[1])]
}

/// The frame inside the margins.
fn frame(size: [f64; 2]) -> Area {
    Area::new(Vec2::new(MARGIN_LEFT, MARGIN), Vec2::new(size[0] - MARGIN, size[1] - MARGIN))
}

fn block(size: [f64; 2]) -> Area {
    let frame = frame(size);
    let width =
        if frame.width() < BLOCK_WIDTH + BLOCK_STRETCH { frame.width() } else { BLOCK_WIDTH.min(frame.width()) };
    frame.right(width).bottom(ROW * ROWS)
}

/// Room that border and title block leave on a sheet of that size (mm).
pub fn room(size: [f64; 2]) -> Room {
    let (frame, block) = (frame(size), block(size));
    let beside = Area::new(frame.low, Vec2::new(block.low.x, block.high.y));
    Room {
        body: Area::new(Vec2::new(frame.low.x, block.high.y), frame.high),
        beside: (beside.width() > BLOCK_STRETCH).then_some(beside),
    }
}

/// Size of a sheet whose room has a body of at least that width and height (mm).
pub fn size_for(body: [f64; 2]) -> [f64; 2] {
    [
        (body[0] + MARGIN_LEFT + MARGIN).max(LEAST_SHEET[0]).ceil(),
        (body[1] + 2.0 * MARGIN + ROW * ROWS).max(LEAST_SHEET[0]).ceil(),
    ]
}

/// Whether prints are corrected for a printer that was measured.
pub(super) fn is_corrected<'a>(owner: impl Into<Owner<'a>>) -> bool {
    /// A correction under this is nothing a ruler shows: 0.001 mm in 100.
    const LEAST: f64 = 1e-5;
    owner.into().output.print_correction.iter().any(|k| (k - 1.0).abs() > LEAST)
}

/// Draws border and title block on every sheet of a document.
pub fn draw<'a>(sheets: &mut [Sheet], owner: impl Into<Owner<'a>>, heading: &Heading) {
    let owner = owner.into();
    let count = sheets.len();
    // A tile has a strip of its own, where its rulers need the room.
    for (index, sheet) in sheets.iter_mut().enumerate().filter(|(_, sheet)| sheet.view.is_none()) {
        draw_one(sheet, owner, heading, index + 1, count);
    }
}

/// The scale of a sheet, with the print correction where one acts on it.
pub(super) fn scale_words<'a>(owner: impl Into<Owner<'a>>, heading: &Heading, full_scale: bool) -> String {
    let owner = owner.into();
    let [kx, ky] = owner.output.print_correction;
    if full_scale && is_corrected(owner) {
        format!("{}, print x ÷{kx:.4} y ÷{ky:.4}", heading.scale)
    } else if !full_scale && heading.scale == "1:1" {
        // Words and tables that belong to a template.
        "not to scale".into()
    } else {
        heading.scale.clone()
    }
}

/// One cell of the title block.
enum Cell {
    /// Label and words; the last says whether they may be large.
    Words(&'static str, String, bool),
    Symbol,
}

/// The border, and on the middle of each side a centring mark in the margin.
///
/// ISO 5457 lets the marks run on into the sheet; here words and rulers stand there.
pub(super) fn border(sheet: &mut Sheet, frame: Area) {
    /// From the sheet's edge (mm): most printers reach it.
    const REACHED: f64 = 5.0;
    let [width, height] = sheet.size;
    sheet.keyed(Role::Frame, FRAME, Path::rectangle(frame.low, frame.width(), frame.height(), 0.0));
    let (x, y) = (0.5 * width, 0.5 * height);
    let p = Vec2::new;
    let marks = [
        ("left", p(REACHED, y), p(frame.low.x, y)),
        ("right", p(width - REACHED, y), p(frame.high.x, y)),
        ("below", p(x, REACHED), p(x, frame.low.y)),
        ("above", p(x, height - REACHED), p(x, frame.high.y)),
    ];
    for (side, from, to) in marks {
        sheet.keyed(Role::Frame, format!("{IN_MARGIN}{side}"), Path::line(from, to));
    }
}

fn draw_one(sheet: &mut Sheet, owner: Owner<'_>, heading: &Heading, number: usize, count: usize) {
    let (frame, block) = (frame(sheet.size), block(sheet.size));
    border(sheet, frame);
    let build = owner.build;
    let words = |label, words: &str| Cell::Words(label, words.to_owned(), false);
    let large = |label, words: &str| Cell::Words(label, words.to_owned(), true);
    let hash: String = owner.sha256.chars().take(12).collect();
    let scale = scale_words(owner, heading, sheet.full_scale);
    let units = match build.units {
        Unit::Inch => "in [mm]",
        Unit::Millimetre => "mm [in]",
    };
    let (vehicle, job) = (words("vehicle", &build.vehicle), words("job", &build.title));
    let tolerance = words("general tolerance", build.general.name());
    // Shares of the width, left to right; the rows from the top down.
    let rows: [Vec<(f64, Cell)>; 4] = [
        vec![(0.36, large("document type", &heading.document)), (0.64, large("title", &sheet.title))],
        if build.owner.is_empty() {
            vec![(0.36, vehicle), (0.44, job), (0.20, tolerance)]
        } else {
            vec![(0.27, words("legal owner", &build.owner)), (0.27, vehicle), (0.28, job), (0.18, tolerance)]
        },
        vec![
            (0.20, words("drawn by", &build.drawn_by)),
            (0.15, words("date of issue", &build.date)),
            (0.21, words("approved", "")),
            (0.32, words("scale", &scale)),
            (0.12, words("units", units)),
        ],
        vec![
            (0.20, large("identification number", &build.record)),
            (0.08, words("revision", &build.revision)),
            (0.08, words("sheet", &format!("{number} / {count}"))),
            (0.22, words("spec SHA-256, first 12", &hash)),
            (0.20, words("written by", concat!("yokeline ", env!("CARGO_PKG_VERSION")))),
            (
                0.10,
                words(
                    "projection",
                    match owner.output.projection {
                        Projection::First => "first",
                        Projection::Third => "third",
                    },
                ),
            ),
            (0.12, Cell::Symbol),
        ],
    ];
    sheet.keyed(Role::Frame, BLOCK, Path::rectangle(block.low, block.width(), block.height(), 0.0));
    let mut top = block.high.y;
    for (index, row) in rows.into_iter().enumerate() {
        if index > 0 {
            sheet.line(Role::Dimension, Path::line(Vec2::new(block.low.x, top), Vec2::new(block.high.x, top)));
        }
        let mut left = block.low.x;
        for (share, cell) in row {
            let width = share * block.width();
            let area = Area::new(Vec2::new(left, top - ROW), Vec2::new(left + width, top));
            if left > block.low.x && !matches!(cell, Cell::Symbol) {
                sheet.line(Role::Dimension, Path::line(area.low, Vec2::new(left, top)));
            }
            match cell {
                Cell::Words(label, words, large) => set_cell(sheet, area, label, &words, large),
                Cell::Symbol => projection_symbol(sheet, area.centre(), owner.output.projection),
            }
            left += width;
        }
        top -= ROW;
    }
}

fn set_cell(sheet: &mut Sheet, area: Area, name: &str, words: &str, large: bool) {
    /// Words keep off the cell's lines by this (mm).
    const INSET: f64 = 1.2;
    sheet.text(label(Vec2::new(area.low.x + INSET, area.high.y - 2.7), Anchor::Start, SMALL, false, name));
    if words.is_empty() {
        return;
    }
    let width = area.width() - 2.0 * INSET;
    let left = area.low.x + INSET;
    let heights: &[f64] = if large { &[LARGE, BODY] } else { &[BODY] };
    for &height in heights {
        let bold = height > BODY;
        if text_width(words, height, bold) <= width {
            sheet.text(label(Vec2::new(left, area.low.y + 1.6), Anchor::Start, height, bold, words));
            return;
        }
    }
    let lines = wrap(words, SMALL, false, width);
    let Some((first, rest)) = lines.split_first() else { return };
    if rest.is_empty() {
        sheet.text(label(Vec2::new(left, area.low.y + 1.8), Anchor::Start, SMALL, false, first.clone()));
        return;
    }
    sheet.text(label(Vec2::new(left, area.low.y + 3.5), Anchor::Start, SMALL, false, first.clone()));
    // The build record carries every text whole; here two lines must do.
    let second = font::fitted(&rest.join(" "), SMALL, false, width);
    sheet.text(label(Vec2::new(left, area.low.y + 0.8), Anchor::Start, SMALL, false, second));
}

/// Truncated cone beside its end view. Its small end points toward the circles in third angle, away from them in first.
fn projection_symbol(sheet: &mut Sheet, centre: Vec2, projection: Projection) {
    /// Radii and length of the cone (mm), large to small 2:1, to fit the row.
    const LARGE_RADIUS: f64 = 2.8;
    const SMALL_RADIUS: f64 = 1.4;
    const HALF: f64 = 2.8;
    const APART: f64 = 4.6;
    let (circles, cone) = match projection {
        Projection::Third => (centre - Vec2::new(APART, 0.0), centre + Vec2::new(APART, 0.0)),
        Projection::First => (centre + Vec2::new(APART, 0.0), centre - Vec2::new(APART, 0.0)),
    };
    for radius in [LARGE_RADIUS, SMALL_RADIUS] {
        sheet.line(Role::Outline, Path::circle(circles, radius));
    }
    let corner = |x: f64, y: f64| cone + Vec2::new(x, y);
    // The small end is on the left in both.
    let outline = [
        corner(-HALF, -SMALL_RADIUS),
        corner(HALF, -LARGE_RADIUS),
        corner(HALF, LARGE_RADIUS),
        corner(-HALF, SMALL_RADIUS),
    ];
    if let Some(path) = Path::polyline(&outline, true) {
        sheet.line(Role::Outline, path);
    }
    for (c, reach) in [(circles, LARGE_RADIUS + 0.9), (cone, HALF + 0.9)] {
        sheet.line(Role::Centre, Path::line(c - Vec2::new(reach, 0.0), c + Vec2::new(reach, 0.0)));
    }
    let reach = Vec2::new(0.0, LARGE_RADIUS + 0.9);
    sheet.line(Role::Centre, Path::line(circles - reach, circles + reach));
}

//! Tiles of one template: together they show all of it, and their marks meet.
//!
//! Each tile is measured by itself elsewhere. Here the numbered marks, which are
//! drawn on the tiles and not in the drawing, are carried through each tile's own
//! zero: a mark must come to the same place of the part on every tile that has it.

use super::AuditReport;
use super::pdf::PdfPage;
use super::template::{Datum, Loop, datum};
use crate::geometry::Vec2;

/// Two marks hold a sheet against turning; one does not.
const MARKS: usize = 2;
/// Places looked at on an outline are at most this far apart (mm): a third of the least overlap.
const STEP: f64 = 5.0;

/// One tile as found.
struct Tile<'a> {
    /// Number of its page, from 1.
    page: usize,
    found: &'a PdfPage,
    datum: Datum,
    /// Two opposite corners of its window in part coordinates.
    window: [Vec2; 2],
}

/// Checks the tiles among the pages, if there are any; `loops` is what they must show together, counted from `mark`.
pub(super) fn check(
    file: &str,
    pages: &[PdfPage],
    (loops, mark): (&[Loop], f64),
    allowed: f64,
    report: &mut AuditReport,
) {
    let mut tiles: Vec<Tile<'_>> = Vec::new();
    let mut drawing = None;
    for (index, found) in pages.iter().enumerate() {
        let Some(view) = &found.view else { continue };
        let page = index + 1;
        let first = *drawing.get_or_insert(view.drawing);
        report.equal(file, format!("page {page}, drawing"), first.to_string(), view.drawing.to_string());
        let [low, high] = view.window;
        // Without a zero the page was named already.
        let Some(datum) = datum(&view.items) else { continue };
        tiles.push(Tile { page, found, datum, window: [datum.part(low), datum.part(high)] });
    }
    if tiles.is_empty() {
        return;
    }
    check_marks(file, &tiles, allowed, report);
    check_cover(file, &tiles, (loops, mark), report);
}

fn check_marks(file: &str, tiles: &[Tile<'_>], allowed: f64, report: &mut AuditReport) {
    let marks = |tile: &Tile<'_>| -> Vec<(String, Vec2)> {
        let named = tile.found.items.iter().filter_map(|item| Some((item.key.as_deref()?, item)));
        let marks = named.filter(|(key, _)| key.starts_with("mark."));
        marks.filter_map(|(key, item)| Some((key.to_owned(), tile.datum.part(item.circle()?.centre)))).collect()
    };
    let all: Vec<Vec<(String, Vec2)>> = tiles.iter().map(marks).collect();
    for (i, (tile, own)) in tiles.iter().zip(&all).enumerate() {
        let mut shared = 0;
        for (key, place) in own {
            let mut others = all.iter().zip(tiles).enumerate().filter(|&(j, _)| j != i);
            let other = others.find_map(|(_, (marks, tile))| {
                marks.iter().find(|(name, _)| name == key).map(|&(_, place)| (tile.page, place))
            });
            let what = format!("page {}, {key}", tile.page);
            match other {
                Some((page, other)) => {
                    shared += 1;
                    let off = (*place - other).length();
                    report.number(file, format!("{what}, from page {page}"), 0.0, off, allowed, "mm");
                }
                None => report.wrong(file, what, "on a second tile", "on this one alone"),
            }
        }
        if tiles.len() > 1 && shared < MARKS {
            let found = format!("{shared}");
            report.wrong(file, format!("page {}, marks", tile.page), format!("{MARKS} or more shared ones"), found);
        }
    }
}

/// Every place of every outline is seen on some tile.
fn check_cover(file: &str, tiles: &[Tile<'_>], (loops, mark): (&[Loop], f64), report: &mut AuditReport) {
    let seen = |p: Vec2| {
        let inside = |a: f64, b: f64, p: f64| p >= a.min(b) && p <= a.max(b);
        tiles.iter().any(|tile| {
            let [a, b] = tile.window;
            inside(a.x, b.x, p.x) && inside(a.y, b.y, p.y)
        })
    };
    // Loops count from the mark, windows from the L.
    let Some(shift) = tiles.first().map(|tile| Vec2::new(mark + tile.datum.away, 0.0)) else { return };
    for planned in loops {
        let places = planned.curve.segments.iter().flat_map(|segment| {
            let count = ((segment.to() - segment.from()).length() / STEP).ceil().max(8.0) as u32;
            (0..count).map(move |i| segment.point(f64::from(i) / f64::from(count)))
        });
        let lost = places.filter(|&p| !seen(p - shift)).count();
        let words = |lost: usize| {
            if lost == 0 { "all of it on the tiles".to_owned() } else { format!("{lost} places on none") }
        };
        report.equal(file, format!("{}, cover", planned.what), words(0), words(lost));
    }
}

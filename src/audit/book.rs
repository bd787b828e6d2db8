//! The print book against the papers it binds.
//!
//! Those were measured against the solution; a page of the book must be the same
//! page, curve for curve and word for word, but for its number in the margin.

use super::AuditReport;
use super::measured::Measured;
use super::package::{Papers, Plan};
use super::paper::{PDF, heading, open_pdf};
use super::pdf::PdfPage;
use crate::solve::files::{book_files, package_files};

/// Checks the book: its contents, its pages, their order.
pub(super) fn check(file: &str, bytes: &[u8], plan: &Plan, papers: &Papers, report: &mut AuditReport) {
    let Some(pages) = open_pdf(file, bytes, plan, report) else { return };
    let files = package_files(&plan.solution);
    let bound = book_files(&files);
    let count: usize = bound.iter().filter_map(|part| papers.get(&part.path)).map(Vec::len).sum();
    let Some(first) = pages.len().checked_sub(count).filter(|&first| first > 0) else {
        let found = format!("{} pages", pages.len());
        report.wrong(file, "pages", format!("contents and {count} pages"), found);
        return;
    };
    let (contents, rest) = pages.split_at(first);
    heading(file, contents, "print book", report);
    let listed: Vec<&str> = contents.iter().flat_map(|page| page.texts.iter().map(String::as_str)).collect();
    let mut number = first;
    let mut rest = rest.iter();
    for part in bound {
        let Some(own) = papers.get(&part.path) else {
            report.wrong(file, &part.path, "a paper to compare with", "none that can be read");
            continue;
        };
        // A row of the contents: the page, then the words, broken over lines where they are long.
        let page = (number + 1).to_string();
        let row = listed.windows(2).any(|two| two[0] == page && !two[1].is_empty() && part.what.starts_with(two[1]));
        let word = |yes: bool| if yes { "listed" } else { "not listed on that page" };
        report.equal(file, format!("contents, {} on page {page}", part.path), word(true), word(row));
        for (index, (same, found)) in own.iter().zip(rest.by_ref()).enumerate() {
            number += 1;
            one(file, number, pages.len(), (same, found), &format!("page {} of {}", index + 1, part.path), report);
        }
    }
}

/// One page of the book against the page it repeats.
fn one(
    file: &str,
    number: usize,
    count: usize,
    (same, found): (&PdfPage, &PdfPage),
    name: &str,
    report: &mut AuditReport,
) {
    let size = (same.width_mm - found.width_mm).abs().max((same.height_mm - found.height_mm).abs());
    report.number(file, format!("page {number}, size as {name}"), 0.0, size, PDF, "mm");
    let off = match (&same.view, &found.view) {
        (None, None) => apart(&same.items, &found.items),
        (Some(a), Some(b)) => {
            let window = a.window.iter().zip(b.window).map(|(&a, b)| (a - b).length()).fold(0.0, f64::max);
            apart(&same.items, &found.items).max(apart(&a.items, &b.items)).max(window)
        }
        _ => f64::INFINITY,
    };
    let what = format!("page {number}, farthest from {name}");
    if off.is_finite() {
        report.number(file, what, 0.0, off, PDF, "mm");
    } else {
        report.wrong(file, what, "the same curves", "others");
    }
    let own = format!("page {number} of {count}");
    let numbered = found.texts.contains(&own);
    let word = |yes: bool| if yes { "in the margin" } else { "missing" };
    report.equal(file, format!("page {number}, its number"), word(true), word(numbered));
    let words = found.texts.iter().filter(|&text| *text != own);
    let word = |yes: bool| if yes { "the same" } else { "others" };
    report.equal(file, format!("page {number}, words as {name}"), word(true), word(words.eq(&same.texts)));
}

/// Greatest distance (mm) of two lists of curves, piece by piece; infinite where they are not of the same kind.
fn apart(a: &[Measured], b: &[Measured]) -> f64 {
    if a.len() != b.len() {
        return f64::INFINITY;
    }
    let like = |a: &Measured, b: &Measured| {
        (&a.key, &a.group, a.filled, a.closed, a.runs, a.segments.len())
            == (&b.key, &b.group, b.filled, b.closed, b.runs, b.segments.len())
    };
    let places = |curve: &Measured| -> Vec<_> {
        curve.segments.iter().flat_map(|piece| [0.0, 0.25, 0.5, 0.75, 1.0].map(|f| piece.point(f))).collect()
    };
    let two = |(a, b): (&Measured, &Measured)| {
        if !like(a, b) {
            return f64::INFINITY;
        }
        places(a).into_iter().zip(places(b)).map(|(a, b)| (a - b).length()).fold(0.0, f64::max)
    };
    a.iter().zip(b).map(two).fold(0.0, f64::max)
}

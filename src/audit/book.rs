//! The print book against the papers it binds.
//!
//! A paper that proved true is what its pages in the book are compared with: they
//! must be the same, curve for curve and word for word, but for the number in the
//! margin. Where a paper is damaged itself, its pages in the book are measured.

use super::measured::Measured;
use super::package::{Papers, Plan};
use super::paper::{PDF, heading, measure, open_pdf};
use super::pdf::PdfPage;
use super::{AuditLine, AuditReport};
use crate::solve::files::{PackageFile, book_files, package_files};

/// Checks the book: its contents, its pages, their order.
pub(super) fn check(file: &str, bytes: &[u8], plan: &Plan, papers: &Papers, report: &mut AuditReport) {
    let Some(pages) = open_pdf(file, bytes, plan, report) else { return };
    let files = package_files(&plan.solution);
    let bound = book_files(&files);
    let Some(starts) = starts(file, &pages, &bound, report) else { return };
    for (part, ends) in bound.iter().zip(starts.windows(2)) {
        let &[from, to] = ends else { continue };
        let path = part.path.as_str();
        let own = pages.get(from..to).unwrap_or_default();
        let sound = report.lines.iter().all(|line| line.good || line.file != path);
        let Some(same) = papers.get(path).filter(|_| sound) else {
            // Its lines count pages from the first of the part.
            let mut measured = AuditReport::default();
            measure(&PackageFile { path: file.to_owned(), ..(*part).clone() }, own, plan, &mut measured);
            let named = |line: AuditLine| AuditLine { what: format!("as {path}, {}", line.what), ..line };
            report.lines.extend(measured.lines.into_iter().map(named));
            continue;
        };
        let what = format!("pages bound of {path}");
        report.equal(file, what, same.len().to_string(), own.len().to_string());
        for (index, two) in same.iter().zip(own).enumerate() {
            let name = format!("page {} of {path}", index + 1);
            one(file, from + index + 1, pages.len(), two, &name, report);
        }
    }
}

/// Index of the first page of every part as the contents state it, and the end of the last.
fn starts(file: &str, pages: &[PdfPage], bound: &[&PackageFile], report: &mut AuditReport) -> Option<Vec<usize>> {
    let own = |page: &PdfPage| page.texts.iter().any(|text| text == "print book");
    let count = pages.iter().take_while(|page| own(page)).count();
    let (contents, _) = pages.split_at(count);
    heading(file, contents, "print book", report);
    let listed: Vec<&str> = contents.iter().flat_map(|page| page.texts.iter().map(String::as_str)).collect();
    // A row of the contents: the page, then the words, broken over lines where they are long.
    let mut rows = listed.windows(2);
    let mut starts = Vec::with_capacity(bound.len() + 1);
    for part in bound {
        let begins = |two: &[&str]| {
            let [page, words] = two else { return None };
            let page: usize = page.parse().ok()?;
            (!words.is_empty() && part.what.starts_with(words)).then_some(page)
        };
        let Some(page) = rows.find_map(begins) else {
            report.wrong(file, format!("contents, {}", part.path), "listed", "not listed in its turn");
            return None;
        };
        starts.push(page.saturating_sub(1));
    }
    starts.push(pages.len());
    let rising = starts.first() == Some(&count) && starts.windows(2).all(|two| two[0] < two[1]);
    let word = |yes: bool| if yes { "rising from the first behind them" } else { "out of order" };
    report.equal(file, "contents, page numbers", word(true), word(rising));
    rising.then_some(starts)
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
    let named = |page: &PdfPage| page.texts.iter().filter(|&text| *text != own).cloned().collect::<Vec<_>>();
    let (planned, words) = (named(same), named(found));
    let first = planned.iter().zip(&words).find(|(a, b)| a != b);
    let what = format!("page {number}, words as {name}");
    match first {
        Some((planned, words)) => report.wrong(file, what, planned.as_str(), words.as_str()),
        None => report.equal(file, what, planned.len().to_string(), words.len().to_string()),
    }
    let letters = |page: &PdfPage| {
        let view = page.view.iter().flat_map(|view| &view.inked);
        page.inked.iter().chain(view).filter(|one| one.words != own).cloned().collect::<Vec<_>>()
    };
    let (planned, found) = (letters(same), letters(found));
    let off = planned.iter().zip(&found).map(|(a, b)| a.apart(b)).fold(0.0, f64::max);
    let what = format!("page {number}, letters farthest from {name}");
    if off.is_finite() && planned.len() == found.len() {
        report.number(file, what, 0.0, off, PDF, "mm");
    } else {
        report.wrong(file, what, "the same letters", "others");
    }
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

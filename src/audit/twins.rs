//! A drawing that is in the package as paper and as picture: two writers, one sheet.
//!
//! Whatever stands on one must stand on the other in the same place, so that neither can be changed alone.

use super::AuditReport;
use super::ink::{self, Inked};
use super::measured::Measured;
use super::paper::PDF;
use super::pdf::PdfPage;
use super::svg::SvgDrawing;
use crate::geometry::Vec2;

/// Compares a picture with the first page of its paper.
pub(super) fn check(file: &str, picture: &SvgDrawing, (path, pages): (&str, &[PdfPage]), report: &mut AuditReport) {
    let Some(page) = pages.first() else { return };
    let (own, other) = (marks(&picture.items), marks(&page.items));
    let lone = lacking(&own, &other, Mark::apart).chain(lacking(&other, &own, Mark::apart)).count();
    report.number(file, format!("lines that are not those of {path}"), 0.0, lone as f64, 0.0, "");
    // Words in letters that the font lacks are not spelt by their outlines.
    let page: Vec<Inked> = page.inked.iter().filter(|one| spells(one)).cloned().collect();
    let lone: Vec<&Inked> =
        lacking(&picture.inked, &page, Inked::apart).chain(lacking(&page, &picture.inked, Inked::apart)).collect();
    let name = |words: &&Inked| words.words.chars().take(60).collect::<String>();
    let found = lone.first().map_or_else(|| "none".to_owned(), name);
    report.equal(file, format!("words that are not those of {path}, or elsewhere"), "none", found);
}

/// Drawn for a letter that the font lacks.
const STAND_IN: char = '\u{25a1}';

/// Whether words have letters with an outline, and all of them in the font.
fn spells(one: &Inked) -> bool {
    one.words.chars().any(|letter| !letter.is_whitespace()) && !one.words.contains(STAND_IN) && ink::has(&one.words)
}

/// Those of a list that have no equal within [`PDF`] in another; each is taken once.
fn lacking<'a, T>(own: &'a [T], other: &[T], apart: impl Fn(&T, &T) -> f64) -> std::vec::IntoIter<&'a T> {
    let mut left: Vec<&T> = other.iter().collect();
    let mut lone = Vec::new();
    for one in own {
        match left.iter().position(|two| apart(one, two) <= PDF) {
            Some(at) => {
                left.swap_remove(at);
            }
            None => lone.push(one),
        }
    }
    lone.into_iter()
}

/// What tells one curve from another, whatever its pieces are.
struct Mark {
    /// Corners of its box, and its ends (mm).
    points: [Vec2; 4],
    /// Area (mm²) it encloses: a curve through the same ends and box may bulge otherwise.
    area: f64,
}

impl Mark {
    fn apart(&self, other: &Self) -> f64 {
        let points = self.points.iter().zip(other.points);
        let off = points.map(|(&a, b)| (a - b).length()).fold(0.0, f64::max);
        let size = (self.points[1] - self.points[0]).length();
        // A point moved by `off` changes the area by no more than that times the size.
        let area = (self.area - other.area).abs() / size.max(1.0);
        off.max(area)
    }
}

fn marks(items: &[Measured]) -> Vec<Mark> {
    let mark = |item: &Measured| {
        let (low, high) = item.bounds()?;
        let (first, last) = (item.segments.first()?.from(), item.segments.last()?.to());
        Some(Mark { points: [low, high, first, last], area: item.area().abs() })
    };
    items.iter().filter_map(mark).collect()
}

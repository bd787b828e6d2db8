//! Enlarged details of plain holes that a drilling drawing's own scale leaves too small to read (ISO 128-3, from memory):
//! each ringed by a thin line on the view and drawn again with its size. Other holes have a section.

use super::dimension::{centre_mark, linear};
use super::layout::{Area, BODY, Note, notes_height, set_notes};
use super::plate::form_words;
use super::sheet::{Role, Sheet};
use super::table::Pages;
use super::{shaft_words, value};
use crate::geometry::Vec2;
use crate::solve::plate::{drill_in_words, hole_outline, path};
use crate::solve::solution::{HoleResult, PlateResult};
use crate::spec::Spec;

/// A hole that is drawn smaller than this across (mm on paper) gets a detail.
const SMALL: f64 = 2.0;
/// Scales of ISO 5455, largest first.
const SCALES: [f64; 4] = [5.0, 2.0, 1.0, 0.5];
/// Longest hole on paper (mm).
const LONGEST: f64 = 24.0;
/// Room over a hole for its dimension, and round it for its centre mark (mm).
const OVER: f64 = 12.0;
const ROUND: f64 = 4.0;
/// Width of a detail with its words below it (mm).
const WIDE: f64 = 58.0;
/// From a view to the details beside it (mm).
const ASIDE: f64 = 6.0;

/// One detail: numbers of the holes that are made alike, the first of them drawn.
pub(super) struct Detail<'a> {
    hole: &'a HoleResult,
    numbers: Vec<usize>,
}

/// Whether a hole needs a detail beside a view of `over` mm a millimetre of paper.
pub(super) fn is_small(hole: &HoleResult, over: f64) -> bool {
    let plain = hole.countersink.is_none() && hole.depth.is_none() && hole.tap.is_none();
    plain && hole.diameter < SMALL * over
}

/// The details that a view needs, one for each size.
pub(super) fn details(plate: &PlateResult, over: f64) -> Vec<Detail<'_>> {
    let mut all: Vec<Detail<'_>> = Vec::new();
    for (n, hole) in plate.holes.iter().enumerate().filter(|(_, hole)| is_small(hole, over)) {
        let size = |hole: &HoleResult| (hole.diameter, hole.slot, hole.pilot, hole.drill.clone());
        match all.iter_mut().find(|detail| size(detail.hole) == size(hole)) {
            Some(detail) => detail.numbers.push(n + 1),
            None => all.push(Detail { hole, numbers: vec![n + 1] }),
        }
    }
    all
}

impl Detail<'_> {
    fn length(&self) -> f64 {
        self.hole.diameter + self.hole.slot.map_or(0.0, |slot| slot.length)
    }

    fn scale(&self) -> f64 {
        SCALES.into_iter().find(|scale| self.length() * scale <= LONGEST).unwrap_or(0.2)
    }

    fn words(&self, spec: &Spec) -> Vec<Note> {
        let numbers: Vec<String> = self.numbers.iter().map(ToString::to_string).collect();
        let noun = if numbers.len() > 1 { "holes" } else { "hole" };
        let scale = shaft_words::scale(self.scale());
        let title = format!("{noun} {}, detail {scale}", numbers.join(", "));
        let pilot =
            self.hole.pilot.map_or_else(String::new, |d| format!(", pilot {}", drill_in_words(d, spec.build.units)));
        let form = form_words(spec, self.hole).replace('\n', ", ");
        vec![Note { words: title, height: BODY, bold: true }, Note::body(format!("{form}{pilot}"))]
    }

    fn height(&self, spec: &Spec) -> f64 {
        OVER + self.length() * self.scale() + 2.0 * ROUND + notes_height(&self.words(spec), WIDE)
    }

    fn draw(&self, sheet: &mut Sheet, spec: &Spec, area: Area) {
        let (scale, hole) = (self.scale(), self.hole);
        let (half, radius) = (0.5 * self.length() * scale, 0.5 * hole.diameter * scale);
        let centre = Vec2::new(area.low.x + ROUND + half, area.high.y - OVER - half);
        if let Some(path) = path(&hole_outline(hole)) {
            let (x, y) = (Vec2::new(scale, 0.0), Vec2::new(0.0, scale));
            sheet.line(Role::Outline, path.carried(centre - hole.centre * scale, x, y));
        }
        centre_mark(sheet, centre, half);
        if hole.slot.is_none() {
            let ends = [-radius, radius].map(|x| centre + Vec2::new(x, 0.0));
            let words = value::stacked(&spec.build, hole.diameter, "⌀");
            linear(sheet, ends, Vec2::new(1.0, 0.0), half + 5.0, &words, BODY);
        }
        let high = Vec2::new(area.low.x + WIDE, centre.y - half - 2.0 * ROUND);
        set_notes(sheet, Area::new(area.low, high), &self.words(spec));
    }
}

/// Sets the details beside the view into an area where all of them fit; whether they did.
pub(super) fn beside(sheet: &mut Sheet, spec: &Spec, details: &[Detail<'_>], area: Area) -> bool {
    let tall: f64 = details.iter().map(|detail| detail.height(spec)).sum();
    if area.width() < WIDE + ASIDE || area.height() < tall {
        return false;
    }
    let mut top = area.high.y;
    for detail in details {
        let low = top - detail.height(spec);
        let corner = Vec2::new(area.low.x + ASIDE, low);
        detail.draw(sheet, spec, Area::new(corner, Vec2::new(area.high.x, top)));
        top = low;
    }
    true
}

/// Sets the details as figures of a document, under a heading of their own.
pub(super) fn set(pages: &mut Pages, spec: &Spec, details: &[Detail<'_>]) {
    if !details.is_empty() {
        pages.section("Details");
    }
    for detail in details {
        pages.figure(detail.height(spec), |sheet, area| detail.draw(sheet, spec, area));
    }
}

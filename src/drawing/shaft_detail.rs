//! Enlarged details of spots that a shaft's own scale leaves too small to read (ISO 128-3, from memory): each ringed
//! by a thin line on the view and drawn again, cut through its axis, with its sizes.

use super::dimension::{hatch, linear};
use super::layout::{Area, BODY, Note, set_notes};
use super::sheet::{Role, Sheet};
use super::table::Pages;
use super::{shaft, shaft_words, value};
use crate::geometry::{Path, Piece, Vec2};
use crate::solve::solution::{Dimple, SpotWhen};
use crate::spec::Spec;

/// A mouth that is drawn smaller than this (mm on paper) gets a detail.
const SMALL: f64 = 5.0;
/// From a mouth to the ring round it (mm on paper).
const RING: f64 = 1.4;
/// Scales of ISO 5455, largest first.
const SCALES: [f64; 4] = [10.0, 5.0, 2.0, 1.0];
/// Widest mouth and deepest spot on paper (mm).
const WIDEST: f64 = 24.0;
const DEEPEST: f64 = 15.0;
/// Metal shown beside a mouth and under a tip (mm on paper).
const BESIDE: f64 = 9.0;
const UNDER: f64 = 4.5;
/// Room over the surface for the mouth's dimension (mm).
const OVER: f64 = 12.0;
/// Room left of the metal, and right of it for the end of the mouth's words (mm).
const LEFT: f64 = 2.0;
const RIGHT: f64 = 15.0;

/// Least width of a detail's words (mm).
const WORDS: f64 = 32.0;

/// One detail: numbers of the spots that are made alike, the first of them drawn.
pub(super) struct Detail<'a> {
    spot: &'a Dimple,
    numbers: Vec<usize>,
}

/// Whether a spot that is made needs a detail beside a view at `scale`.
pub(super) fn is_small(dimple: &Dimple, scale: f64) -> bool {
    dimple.spot != SpotWhen::None && dimple.diameter * scale < SMALL
}

/// Details that a view at `scale` needs, one for each size of spot.
pub(super) fn details(dimples: &[Dimple], scale: f64) -> Vec<Detail<'_>> {
    let mut all: Vec<Detail<'_>> = Vec::new();
    for (number, dimple) in dimples.iter().enumerate().filter(|(_, dimple)| is_small(dimple, scale)) {
        let size = |d: &Dimple| (d.diameter, d.depth, d.drill, d.spot, d.on);
        match all.iter_mut().find(|detail| size(detail.spot) == size(dimple)) {
            Some(detail) => detail.numbers.push(number),
            None => all.push(Detail { spot: dimple, numbers: vec![number] }),
        }
    }
    all
}

/// The thin ring round what has a detail; `radius` is its own on paper.
pub(super) fn ring(centre: Vec2, radius: f64) -> Path {
    Path::circle(centre, radius + RING)
}

impl Detail<'_> {
    fn scale(&self) -> f64 {
        let fits = |scale: &f64| self.spot.diameter * scale <= WIDEST && self.spot.depth * scale <= DEEPEST;
        SCALES.into_iter().find(fits).unwrap_or(1.0)
    }

    fn height(&self) -> f64 {
        OVER + self.spot.depth * self.scale() + UNDER + 2.0
    }

    fn width(&self) -> f64 {
        LEFT + self.spot.diameter * self.scale() + 2.0 * BESIDE + RIGHT + WORDS
    }

    fn draw(&self, sheet: &mut Sheet, spec: &Spec, area: Area) {
        let (scale, spot) = (self.scale(), self.spot);
        let (radius, depth) = (0.5 * spot.diameter * scale, spot.depth * scale);
        let half = radius + BESIDE;
        let mouth = Vec2::new(area.low.x + LEFT + half, area.high.y - OVER);
        let p = |x: f64, y: f64| mouth + Vec2::new(x, y);
        let flat = (spot.drill - 180.0).abs() < 1e-6;
        let floor = if flat { vec![p(-radius, -depth), p(radius, -depth)] } else { vec![p(0.0, -depth)] };
        let mut edge = vec![p(-half, 0.0), p(-radius, 0.0)];
        edge.extend(floor.iter().copied());
        edge.extend([p(radius, 0.0), p(half, 0.0)]);
        // The metal goes on: a break in soft waves under the tip.
        let low = depth + UNDER;
        let wave = |from: Vec2, to: Vec2, bulge: f64| {
            let way = to - from;
            Piece::Cubic {
                c1: from + way * (1.0 / 3.0) + Vec2::new(0.0, bulge),
                c2: from + way * (2.0 / 3.0) - Vec2::new(0.0, bulge),
                to,
            }
        };
        let (right, middle, left) = (p(half, -low), p(0.0, -low), p(-half, -low));
        let waves = [wave(right, middle, 1.2), wave(middle, left, 1.2)];
        let mut metal: Vec<Piece> = edge.iter().skip(1).map(|&to| Piece::Line { to }).collect();
        metal.push(Piece::Line { to: right });
        metal.extend(waves);
        hatch(sheet, &[Path { start: p(-half, 0.0), pieces: metal, closed: true }], 1.6);
        if let Some(path) = Path::polyline(&edge, false) {
            sheet.line(Role::Outline, path);
        }
        let under = waves.into_iter().collect();
        sheet.line(Role::Dimension, Path { start: right, pieces: under, closed: false });
        sheet.line(Role::Centre, Path::line(p(0.0, 2.5), p(0.0, -depth - 2.5)));
        let words = value::stacked(&spec.build, spot.diameter, "⌀");
        linear(sheet, [p(-radius, 0.0), p(radius, 0.0)], Vec2::new(1.0, 0.0), 5.0, &words, BODY);
        let x = mouth.x + half + RIGHT;
        set_notes(sheet, Area::new(Vec2::new(x, area.low.y), area.high), &self.words(spec));
    }

    fn words(&self, spec: &Spec) -> Vec<Note> {
        let marks: Vec<String> = self.numbers.iter().map(|&number| shaft::mark(number)).collect();
        let scale = shaft_words::scale(self.scale());
        let title = format!("{}, section {scale}", marks.join(", "));
        let depth = value::both(&spec.build, self.spot.depth);
        let form = if (self.spot.drill - 180.0).abs() < 1e-6 {
            format!("Flat bottom, {depth} deep.")
        } else {
            format!("{depth} deep, to the tip of a {} drill point.", shaft_words::drill_words(self.spot.drill))
        };
        let mut notes = vec![Note { words: title, height: BODY, bold: true }, Note::body(form)];
        if self.spot.spot == SpotWhen::Fit {
            notes.push(Note::body("Spotted through the hub: the sizes are what that gives."));
        }
        notes
    }
}

/// Sets the details into an area where all of them fit; what is left of it.
pub(super) fn beside(sheet: &mut Sheet, spec: &Spec, details: &[Detail<'_>], area: Area) -> Option<Area> {
    let tall: f64 = details.iter().map(Detail::height).sum();
    let wide = details.iter().map(Detail::width).fold(0.0, f64::max);
    if details.is_empty() || tall > area.height() || wide > area.width() {
        return None;
    }
    let mut top = area.high.y;
    for detail in details {
        let low = top - detail.height();
        detail.draw(sheet, spec, Area::new(Vec2::new(area.low.x, low), Vec2::new(area.high.x, top)));
        top = low;
    }
    Some(Area::new(area.low, Vec2::new(area.high.x, top)))
}

/// Sets the details as figures of a document, under a heading of their own.
pub(super) fn set(pages: &mut Pages, spec: &Spec, details: &[Detail<'_>]) {
    if !details.is_empty() {
        pages.section("Details");
    }
    for detail in details {
        pages.figure(detail.height(), |sheet, area| detail.draw(sheet, spec, area));
    }
}

//! Check strips: each row of holes at 1:1 on a narrow strip, to be laid on the drilled plate.

use super::dimension::punch_cross;
use super::layout::{BODY, Note, SMALL, label, text_width};
use super::plate::turns;
use super::sheet::{Anchor, Role, Sheet, Text};
use super::template::{self, Put, Words};
use super::value;
use crate::geometry::{Path, Vec2};
use crate::solve::Solution;
use crate::solve::plate::{hole_outline, path};
use crate::solve::solution::PlateResult;
use crate::solve::strip::{Strip, strips};
use crate::spec::Spec;

/// From a strip's end to its words (mm).
const INSET: f64 = 2.0;

/// All strips of a plate on the fewest sheets; none where no two holes are in a row.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize) -> Vec<Sheet> {
    let Some(plate) = solution.plates.get(index) else { return Vec::new() };
    let rows: Vec<Strip> = strips(plate);
    let Some(last) = rows.last() else { return Vec::new() };
    let right =
        rows.iter().map(|row| row.bounds[1].x.max(row.bounds[0].x + words_width(spec, row))).fold(0.0, f64::max);
    let top = rows.iter().map(|row| row.bounds[1].y).fold(12.0, f64::max);
    let words = Words {
        title: format!("Check strips: {}", plate.name),
        document: "check strips".into(),
        notes: notes(plate),
        narrow: None,
        sketch: None,
        wide: None,
    };
    let need = [Vec2::new(0.0, last.bounds[0].y), Vec2::new(right + 1.0, top)];
    template::set(spec, need, turns(), words, |sheet, put| {
        for (number, row) in rows.iter().enumerate() {
            draw(sheet, spec, plate, put, (number, row));
        }
        if let Some(path) = put.datum(Vec2::default()) {
            sheet.keyed(Role::Score, "datum", path);
        }
    })
}

/// Width of a strip's words with the room at both ends.
fn words_width(spec: &Spec, row: &Strip) -> f64 {
    text_width(&row_words(spec, row), BODY, false) + 2.0 * INSET
}

fn row_words(spec: &Spec, row: &Strip) -> String {
    let across = if row.upright { "upright row at u" } else { "row at v" };
    let [first, second] = value::pair(&spec.build, row.level);
    format!("{across} {first} [{second}]")
}

fn draw(sheet: &mut Sheet, spec: &Spec, plate: &PlateResult, put: &Put, (number, row): (usize, &Strip)) {
    let [low, mut high] = row.bounds;
    high.x = high.x.max(low.x + words_width(spec, row));
    let corners = [low, Vec2::new(high.x, low.y), high, Vec2::new(low.x, high.y)];
    if let Some(path) = Path::polyline(&corners.map(|p| put.at(p)), true) {
        sheet.keyed(Role::Outline, format!("strip.{}", number + 1), path);
    }
    for (&hole, &centre) in row.holes.iter().zip(&row.centres) {
        let Some(solved) = plate.holes.get(hole) else { continue };
        let mut shown = solved.clone();
        shown.centre = centre;
        // Along an upright row v runs to the right: a slot turns with it.
        if let Some(slot) = &mut shown.slot
            && row.upright
        {
            slot.angle = 90.0 - slot.angle;
        }
        if let Some(path) = path(&hole_outline(&shown)) {
            sheet.keyed(Role::Drill, format!("strip.{}.{}", number + 1, hole + 1), put.path(&path));
        }
        punch_cross(sheet, put.at(centre), (0.5 * solved.diameter).min(3.0));
        let under = put.at(Vec2::new(centre.x, low.y)) + put.y * INSET;
        sheet.text(Text { angle: put.x.angle(), ..label(under, Anchor::Middle, BODY, true, (hole + 1).to_string()) });
    }
    let at = put.at(Vec2::new(low.x, high.y)) + put.x * INSET - put.y * (INSET + BODY);
    sheet.text(Text { angle: put.x.angle(), ..label(at, Anchor::Start, BODY, false, row_words(spec, row)) });
    // Which way the row runs.
    let axis = if row.upright { "v →" } else { "u →" };
    let at = put.at(Vec2::new(low.x, low.y)) + put.x * INSET + put.y * INSET;
    sheet.text(Text { angle: put.x.angle(), ..label(at, Anchor::Start, SMALL, false, axis) });
}

fn notes(plate: &PlateResult) -> Vec<Note> {
    vec![
        Note::heading(plate.name.clone()),
        Note::strong("Check strips, 1:1: to be laid on the plate once it is drilled."),
        Note::body(
            "Cut each strip out and lay it on its row, first hole on first hole: every printed cross must stand in the middle of its hole. Numbers are those of the template and the drilling drawing.",
        ),
        Note::body("An upright row is drawn lying down, its lowest hole at the left."),
        Note::body("The L beside the first strip is there to prove the print."),
    ]
}

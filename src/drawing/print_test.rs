//! One sheet that shows what a printer does to lengths, angles, edges, lines and letters.
//!
//! It is printed and measured before the first template. It is never corrected
//! itself: what it measures is the correction.

use super::layout::{Area, BODY, LARGE, Note, SMALL, label, set_notes, text_width};
use super::sheet::{Anchor, Item, Line, Role, Sheet, Text};
use crate::geometry::{Path, Vec2};
use crate::quantity;

/// Length of the level rule (mm): the whole of a pocket rule.
pub const ACROSS: f64 = 150.0;
/// Length of the upright rule (mm).
pub const UP: f64 = 200.0;
/// Side of the square (mm); its diagonals are 141.42 mm.
pub const SQUARE: f64 = 100.0;
/// Good without a correction, part of a length: the 0.3 mm in 100 of every template's go line.
const GOOD: f64 = 0.003;
/// Two diagonals of the square may differ by this (mm): 0.3 mm in 100 on each side of the square.
const SKEW: f64 = 0.4;
/// Left and lower edge of the drawing (mm).
const LEFT: f64 = 24.0;
/// Height of the rules' feet (mm).
const FOOT: f64 = 30.0;
/// Steps of the edge marks (mm): a tile keeps 12 mm clear.
const EDGES: [f64; 5] = [4.0, 6.0, 8.0, 10.0, 12.0];
/// Line widths shown (mm), narrow to wide, by the role that has them.
const LINES: [Role; 4] = [Role::Hatch, Role::Dimension, Role::Cut, Role::Outline];
/// Every sign that drawings use beside letters and figures.
pub const SIGNS: [&str; 2] =
    ["⌀ ° ± × ÷ − ″ ′ ∠ ≤ ≥ → ← ↑ ↓ ² ³ · … – —", "½ ¼ ¾ ⅛ ⅜ ⅝ ⅞ “ ” ‘ ’ ✓ ☐ β ψ δ τ Ω µ □ 1 I l 0 O"];

/// The sheet, for paper of a size (mm).
pub fn sheet([width, height]: [f64; 2]) -> Sheet {
    let mut sheet = Sheet::new("Print test", [width, height], true);
    sheet.alt = "Print test: a level rule of 150 mm, an upright rule of 200 mm and a square of 100 mm to be measured, \
                 marks near the four edges, line widths and signs."
        .into();
    // Clear of the upright rule's inches.
    rule(&mut sheet, "rule.x", Vec2::new(LEFT + 12.0, FOOT), Vec2::new(1.0, 0.0), ACROSS);
    rule(&mut sheet, "rule.y", Vec2::new(LEFT, FOOT), Vec2::new(0.0, 1.0), UP);
    square(&mut sheet, Vec2::new(LEFT + 34.0, FOOT + 24.0));
    edges(&mut sheet);
    lines(&mut sheet, Vec2::new(LEFT + 34.0 + SQUARE + 8.0, FOOT + 24.0 + SQUARE));
    let column = Area::new(Vec2::new(LEFT + 20.0, FOOT + 140.0), Vec2::new(width - 17.0, height - 17.0));
    let reach = set_notes(&mut sheet, column, &notes());
    blanks(&mut sheet, Vec2::new(column.low.x, reach - 7.0));
    let signs = Vec2::new(LEFT + 34.0, FOOT + 24.0 + SQUARE + 9.0);
    for (line, words) in SIGNS.iter().enumerate() {
        let at = signs - Vec2::new(0.0, 5.0 * line as f64);
        sheet.text(label(at, Anchor::Start, BODY, line == 1, *words));
    }
    let at = Vec2::new(width - 17.0, 18.0);
    sheet.text(label(at, Anchor::End, SMALL, false, concat!("written by yokeline ", env!("CARGO_PKG_VERSION"))));
    sheet
}

/// A rule with millimetres on its left and quarter inches on its right, seen along it.
fn rule(sheet: &mut Sheet, key: &str, start: Vec2, along: Vec2, length: f64) {
    let left = along.left();
    let angle = along.angle();
    sheet.keyed(Role::Check, key, Path::line(start, start + along * length));
    for step in 0..=(length / 5.0) as u32 {
        let foot = start + along * (5.0 * f64::from(step));
        let tall = if step % 10 == 0 {
            5.0
        } else if step % 2 == 0 {
            3.5
        } else {
            2.0
        };
        sheet.line(Role::Check, Path::line(foot, foot + left * tall));
        if step % 10 == 0 {
            let unit = if f64::from(step) * 5.0 + 5.0 > length { " mm" } else { "" };
            let at = foot + left * 6.0;
            sheet.text(Text { angle, ..label(at, Anchor::Middle, BODY, false, format!("{}{unit}", 5 * step)) });
        }
    }
    let quarters = (length / (0.25 * quantity::INCH)) as u32;
    for quarter in 0..=quarters {
        let foot = start + along * (f64::from(quarter) * 0.25 * quantity::INCH) - left * 1.2;
        let tall = if quarter % 4 == 0 { 3.5 } else { 1.8 };
        sheet.line(Role::Check, Path::line(foot, foot - left * tall));
        if quarter % 4 == 0 {
            let unit = if quarter + 4 > quarters { " in" } else { "" };
            let at = foot - left * (4.3 + SMALL);
            sheet.text(Text { angle, ..label(at, Anchor::Middle, SMALL, false, format!("{}{unit}", quarter / 4)) });
        }
    }
}

/// The square with both diagonals.
fn square(sheet: &mut Sheet, low: Vec2) {
    let high = low + Vec2::new(SQUARE, SQUARE);
    sheet.keyed(Role::Check, "square", Path::rectangle(low, SQUARE, SQUARE, 0.0));
    sheet.keyed(Role::Check, "diagonal", Path::line(low, high));
    sheet.keyed(Role::Check, "diagonal.2", Path::line(Vec2::new(low.x, high.y), Vec2::new(high.x, low.y)));
    let words = format!("{} mm", quantity::fixed(SQUARE * std::f64::consts::SQRT_2, 2));
    for (corner, turn) in [(low, 0.25), (Vec2::new(low.x, high.y), -0.25)] {
        let angle = turn * std::f64::consts::PI;
        let way = Vec2::polar(angle);
        let at = corner + way * (0.3 * SQUARE * std::f64::consts::SQRT_2) + way.left() * 1.5;
        sheet.text(Text { angle, ..label(at, Anchor::Middle, LARGE, false, words.clone()) });
    }
    let at = Vec2::new(0.5 * (low.x + high.x), low.y + 2.0);
    sheet.text(label(at, Anchor::Middle, BODY, false, "square of 100 mm, both diagonals the same"));
}

/// Short lines near each edge: those that are missing lie where the printer cannot reach.
fn edges(sheet: &mut Sheet) {
    let [width, height] = sheet.size;
    let middle = Vec2::new(0.5 * width, 0.5 * height);
    // The innermost mark on the left stands near the upright rule's numbers; clear of its last one.
    let lift = if (middle.y + 18.0 - FOOT - UP).abs() < 14.0 { 30.0 } else { 0.0 };
    for (index, off) in EDGES.into_iter().enumerate() {
        let step = 9.0 * (index as f64 - 2.0);
        let words = quantity::fixed(off, 0);
        let reach = Vec2::new(3.0, 0.0);
        for y in [off, height - off] {
            let at = Vec2::new(middle.x + step, y);
            sheet.line(Role::Check, Path::line(at - reach, at + reach));
            let inward = if y < middle.y { 1.0 } else { -1.0 - SMALL };
            sheet.text(label(at + Vec2::new(0.0, inward), Anchor::Middle, SMALL, false, words.clone()));
        }
        let reach = Vec2::new(0.0, 3.0);
        for (x, side, anchor) in [(off, 1.0, Anchor::Start), (width - off, -1.0, Anchor::End)] {
            let at = Vec2::new(x, middle.y + step + lift);
            sheet.line(Role::Check, Path::line(at - reach, at + reach));
            let at = at + Vec2::new(side, -0.5 * SMALL);
            sheet.text(label(at, anchor, SMALL, false, words.clone()));
        }
    }
}

/// Line widths from narrow to wide.
fn lines(sheet: &mut Sheet, top: Vec2) {
    sheet.text(label(top - Vec2::new(0.0, BODY), Anchor::Start, BODY, false, "lines (mm)"));
    for (index, role) in LINES.into_iter().enumerate() {
        let at = top - Vec2::new(0.0, 9.0 + 6.0 * index as f64);
        let path = Path::line(at, at + Vec2::new(14.0, 0.0));
        sheet.items.push(Item::Line(Line { role, key: None, path, filled: false }));
        let words = quantity::fixed(role.style().width, 2);
        sheet.text(label(at + Vec2::new(16.0, -0.5 * SMALL), Anchor::Start, SMALL, false, words));
    }
}

fn notes() -> Vec<Note> {
    let span = |length: f64| {
        let fixed = |value| quantity::fixed(value, 2);
        format!("{} to {} mm", fixed(length * (1.0 - GOOD)), fixed(length * (1.0 + GOOD)))
    };
    vec![
        Note { words: "Print test".into(), height: 5.0, bold: true },
        Note::body(
            "Print it at 100 % (\"actual size\") on the printer, the paper and with the settings meant for the templates. Measure with a steel rule, between the outer ends of each printed rule.",
        ),
        Note::strong(format!(
            "Go: across {}, up {}, the two diagonals alike within {SKEW} mm. No correction is needed.",
            span(ACROSS),
            span(UP)
        )),
        Note::strong(
            "No go: diagonals that differ by more (the paper runs crooked), or a length off by more than 10 % (a scaling option is on). Do not print templates so.",
        ),
        Note::body(
            "Else: put the two quotients into the spec. They act on full-scale PDF pages alone, on this printer alone; the rulers of each printed template still decide.",
        ),
    ]
}

/// Lines to be filled in by hand.
fn blanks(sheet: &mut Sheet, top: Vec2) {
    let mut y = top.y;
    let mut put = |pieces: &[&str]| {
        let mut x = top.x;
        for piece in pieces {
            if piece.is_empty() {
                sheet.line(Role::Dimension, Path::line(Vec2::new(x, y - 0.8), Vec2::new(x + 22.0, y - 0.8)));
                x += 23.0;
            } else {
                sheet.text(label(Vec2::new(x, y), Anchor::Start, BODY, false, *piece));
                x += text_width(piece, BODY, false) + 1.0;
            }
        }
        y -= 8.0;
    };
    put(&["across measures", "", "mm, divided by 150 is", ""]);
    put(&["up measures", "", "mm, divided by 200 is", ""]);
    put(&["[output]  print_correction = [", "", ",", "", "]"]);
}

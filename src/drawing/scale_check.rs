//! Rulers, square and inch scale for proving a print before anything is cut.
//!
//! Printers shrink pages to 94 to 97 % without asking. Two rulers catch it,
//! the diagonal catches a skewed feed. They are drawn at true size; a print
//! correction is applied by the PDF writer to the whole page.

use super::layout::{Area, BODY, LARGE, Note, SMALL, label, set_notes};
use super::sheet::{Anchor, Role, Sheet, Text};
use super::title_block::Room;
use crate::geometry::{Path, Vec2};
use crate::quantity;

/// Length of a ruler (mm).
pub const RULER: f64 = 100.0;
/// Side of the square (mm); its diagonal is 70.71 mm.
pub const SQUARE: f64 = 50.0;
/// Length of an inch (mm).
const INCH: f64 = 25.4;
/// Width of the strip that the upright ruler takes (mm).
const SIDE: f64 = 13.0;
/// Height of the strip that square and level ruler take (mm).
const STRIP: f64 = 57.0;
/// Least width left of the title block where the square stands there (mm).
const BESIDE: f64 = SIDE + SQUARE + 3.0;

/// What must be read before cutting, for a square of that side (mm).
pub fn go_words(square: f64) -> String {
    format!(
        "Go: rulers 100 mm, diagonal {} mm, each within 0.3 mm. No go: any is off by more. Then do not cut.",
        quantity::fixed(square * std::f64::consts::SQRT_2, 2)
    )
}

/// Body that `draw` leaves on a sheet of that room.
pub fn rest(room: &Room) -> Area {
    let below = match room.beside {
        Some(beside) if beside.width() >= BESIDE => (STRIP - beside.height()).max(0.0),
        _ => STRIP,
    };
    room.body.without(SIDE, below, 0.0, 0.0)
}

/// Draws the rulers, the square and their words; what is left under the words may hold more of them.
pub fn draw(sheet: &mut Sheet, room: &Room) -> Area {
    let body = room.body;
    let (square, words, ruler_x) = match room.beside {
        Some(beside) if beside.width() >= BESIDE => (
            Vec2::new(beside.low.x + SIDE + 0.5, beside.low.y + 4.0),
            Area::new(
                Vec2::new(beside.high.x + RULER + 14.0, body.low.y + 1.0),
                Vec2::new(body.high.x - 2.0, body.low.y + STRIP - beside.height() - 0.5),
            ),
            Vec2::new(beside.high.x + 5.0, body.low.y + 9.0),
        ),
        _ => (
            Vec2::new(body.high.x - SQUARE - 3.0, body.low.y + 4.0),
            Area::new(
                Vec2::new(body.low.x + SIDE + 2.0, body.low.y + 24.0),
                Vec2::new(body.high.x - SQUARE - 7.0, body.low.y + STRIP - 2.0),
            ),
            Vec2::new(body.low.x + SIDE + 2.0, body.low.y + 11.0),
        ),
    };
    let foot = match room.beside {
        Some(beside) if beside.width() >= BESIDE => beside.low.y,
        _ => body.low.y,
    };
    ruler(sheet, "ruler.x", ruler_x, Vec2::new(1.0, 0.0));
    ruler(sheet, "ruler.y", Vec2::new(body.low.x + 3.0, foot + 5.0), Vec2::new(0.0, 1.0));
    inch_scale(sheet, ruler_x - Vec2::new(0.0, 1.2));
    diagonal_square(sheet, square, SQUARE);
    let reach = set_notes(sheet, words, &[Note::strong(go_words(SQUARE))]);
    Area::new(words.low, Vec2::new(words.high.x, reach))
}

/// One ruler: a straight line of 100 mm, ticks every 10 mm and shorter ones every 5 on its left side.
pub(super) fn ruler(sheet: &mut Sheet, key: &str, start: Vec2, along: Vec2) {
    let out = along.left();
    // The level ruler's ticks go up; the upright ruler's go to the right, so that its numbers stand inside the frame.
    let out = if along.x > 0.5 { out } else { -out };
    sheet.keyed(Role::Check, key, Path::line(start, start + along * RULER));
    for step in 0..=20u32 {
        let foot = start + along * (f64::from(step) * 5.0);
        let length = if step % 10 == 0 {
            4.0
        } else if step % 2 == 0 {
            3.0
        } else {
            1.8
        };
        sheet.line(Role::Check, Path::line(foot, foot + out * length));
    }
    let level = along.x > 0.5;
    for step in [0u32, 50, 100] {
        let tick = start + along * f64::from(step);
        let words = if step == 100 { "100 mm".to_owned() } else { step.to_string() };
        let (at, angle) = if level {
            (tick + Vec2::new(0.0, 5.0), 0.0)
        } else {
            (tick + Vec2::new(5.0 + BODY, 0.0), std::f64::consts::FRAC_PI_2)
        };
        let anchor = match step {
            0 => Anchor::Start,
            100 => Anchor::End,
            _ => Anchor::Middle,
        };
        sheet.text(Text { angle, ..label(at, anchor, BODY, false, words) });
    }
}

/// A scale of four inches with quarters, its ticks downward.
pub(super) fn inch_scale(sheet: &mut Sheet, start: Vec2) {
    sheet.keyed(Role::Check, "scale.inch", Path::line(start, start + Vec2::new(4.0 * INCH, 0.0)));
    for quarter in 0..=16u32 {
        let foot = start + Vec2::new(f64::from(quarter) * INCH / 4.0, 0.0);
        let length = if quarter % 4 == 0 { 3.0 } else { 1.6 };
        sheet.line(Role::Check, Path::line(foot, foot - Vec2::new(0.0, length)));
        if quarter % 4 == 0 {
            let (words, anchor) = match quarter / 4 {
                0 => ("0".to_owned(), Anchor::Start),
                4 => ("4 in".to_owned(), Anchor::End),
                whole => (whole.to_string(), Anchor::Middle),
            };
            sheet.text(label(foot - Vec2::new(0.0, 3.8 + SMALL), anchor, SMALL, false, words));
        }
    }
}

/// The square, its diagonal and what it must measure.
pub(super) fn diagonal_square(sheet: &mut Sheet, low: Vec2, side: f64) {
    let high = low + Vec2::new(side, side);
    sheet.keyed(Role::Check, "square", Path::rectangle(low, side, side, 0.0));
    sheet.keyed(Role::Check, "diagonal", Path::line(low, high));
    let middle = (low + high) * 0.5;
    let out = Vec2::polar(3.0 * std::f64::consts::FRAC_PI_4);
    sheet.text(Text {
        angle: std::f64::consts::FRAC_PI_4,
        ..label(
            middle + out * 1.5,
            Anchor::Middle,
            LARGE,
            false,
            format!("{} mm", quantity::fixed(side * std::f64::consts::SQRT_2, 2)),
        )
    });
    let words = format!("{} mm square", quantity::fixed(side, 0));
    // Under the diagonal, in the lower right half.
    let height = if side < SQUARE { SMALL } else { BODY };
    sheet.text(label(Vec2::new(high.x - 1.5, low.y + 2.0), Anchor::End, height, false, words));
}

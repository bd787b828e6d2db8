//! Small sketches of the four readings of a mock-up, column on the left, gear on the right.

use super::collision::Taken;
use super::dimension::{Stacked, angle, linear};
use super::layout::{Area, BODY, SMALL, label, text_box};
use super::sheet::{Anchor, Role, Sheet, Text};
use crate::geometry::{Path, Vec2};

/// Half the width of the bar (mm).
const BAR: f64 = 1.1;
/// Half the width of a hub (mm).
const HUB: f64 = 2.6;
/// Length of a hub (mm).
const HUB_LONG: f64 = 5.0;
/// Radius of a joint's ears (mm).
const EARS: f64 = 2.6;
/// Bends drawn (rad): enough to be seen.
const BENDS: [f64; 2] = [0.42, 0.38];

/// The sketch of one reading by its key.
pub(super) fn draw(sheet: &mut Sheet, area: Area, key: &str) {
    match key {
        "faces" => faces(sheet, area),
        "upper_angle" => bend(sheet, area, true),
        "lower_angle" => bend(sheet, area, false),
        _ => planes(sheet, area),
    }
}

/// A band of half width `half` from `a` to `b`.
fn band(sheet: &mut Sheet, a: Vec2, b: Vec2, half: f64) {
    let Some(way) = (b - a).unit() else { return };
    let side = way.left() * half;
    if let Some(path) = Path::polyline(&[a + side, b + side, b - side, a - side], true) {
        sheet.line(Role::Outline, path);
    }
}

/// A joint about its cross, a hub on each side.
fn joint(sheet: &mut Sheet, cross: Vec2, ways: [Vec2; 2]) {
    sheet.line(Role::Outline, Path::circle(cross, EARS));
    sheet.fill(Role::Outline, Path::circle(cross, 0.7));
    for way in ways {
        band(sheet, cross + way * EARS, cross + way * (EARS + HUB_LONG), HUB);
    }
}

fn name(sheet: &mut Sheet, at: Vec2, anchor: Anchor, words: &str) {
    sheet.text(label(at, anchor, SMALL, false, words));
}

/// The tape from face to face.
fn faces(sheet: &mut Sheet, area: Area) {
    let y = area.low.y + 11.0;
    let (a, b) = (Vec2::new(area.low.x + 9.0, y), Vec2::new(area.high.x - 9.0, y));
    let right = Vec2::new(1.0, 0.0);
    let up = [Vec2::polar(std::f64::consts::PI - BENDS[0]), Vec2::polar(BENDS[1])];
    joint(sheet, a, [up[0], right]);
    joint(sheet, b, [-right, up[1]]);
    let inner = EARS + HUB_LONG;
    let ends = [a + right * inner, b - right * inner];
    band(sheet, ends[0], ends[1], BAR);
    let words = Stacked { first: "faces".into(), second: String::new() };
    linear(sheet, [ends[0] + Vec2::new(0.0, HUB), ends[1] + Vec2::new(0.0, HUB)], right, 9.0, &words, BODY);
    name(sheet, Vec2::new(area.low.x, area.low.y), Anchor::Start, "column");
    name(sheet, Vec2::new(area.high.x, area.low.y), Anchor::End, "gear");
    name(sheet, Vec2::new(area.centre().x, y - 5.5), Anchor::Middle, "trial bar");
}

/// One joint: the axis of the outer shaft carried on, and the bar.
fn bend(sheet: &mut Sheet, area: Area, upper: bool) {
    let cross = area.centre() + Vec2::new(if upper { -8.0 } else { 8.0 }, -1.0);
    let inward = Vec2::new(if upper { 1.0 } else { -1.0 }, 0.0);
    // The outer shaft leans up, away from the bar; carried on it falls below the bar.
    let tilt = if upper { BENDS[0] } else { BENDS[1] };
    let outward = -inward.turned(if upper { -tilt } else { tilt });
    joint(sheet, cross, [outward, inward]);
    let hub = EARS + HUB_LONG;
    band(sheet, cross + outward * hub, cross + outward * 19.0, BAR);
    band(sheet, cross + inward * hub, cross + inward * 34.0, BAR);
    sheet.line(Role::Centre, Path::line(cross + outward * 21.0, cross - outward * 33.0));
    let from = (-outward).angle();
    let sweep = if upper { tilt } else { -tilt };
    angle(sheet, cross, 27.0, from, sweep, "");
    let word = if upper { "upper_angle" } else { "lower_angle" };
    // Past the arc at half the bend, between the axis and the bar; else under the axis.
    let half = Vec2::polar(from + 0.5 * sweep);
    let side = if upper { Anchor::Start } else { Anchor::End };
    let places = [
        label(cross + half * 36.5 - Vec2::new(0.0, 0.5 * BODY), side, BODY, false, word),
        label(cross - outward * 27.0 - Vec2::new(0.0, 3.5 + BODY), Anchor::Middle, BODY, false, word),
        label(cross - outward * 20.0 - Vec2::new(0.0, 5.0 + BODY), Anchor::Middle, BODY, false, word),
        label(cross - outward * 14.0 - Vec2::new(0.0, 6.0 + BODY), Anchor::Middle, BODY, false, word),
    ];
    let taken = Taken::of(sheet);
    let inside = |text: &Text| text_box(text).iter().all(|p| p.x > area.low.x && p.x < area.high.x && p.y > area.low.y);
    if let Some(text) = places.iter().find(|text| inside(text) && taken.free(text, 0.3)).or(places.last()) {
        sheet.text(text.clone());
    }
    let outer = cross + outward * 14.0 + Vec2::new(0.0, 4.0);
    name(
        sheet,
        outer,
        if upper { Anchor::Start } else { Anchor::End },
        if upper { "column shaft" } else { "gear shaft" },
    );
    name(sheet, cross + inward * 30.0 + Vec2::new(0.0, 2.2), if upper { Anchor::End } else { Anchor::Start }, "bar");
}

/// A fork turned into the plane of its bend, which is the paper; under it the bar's end in a V-block.
fn planes(sheet: &mut Sheet, area: Area) {
    /// Height of the upper picture (mm).
    const FORK: f64 = 22.0;
    fork(sheet, area.top(FORK));
    block(sheet, Area::new(area.low, Vec2::new(area.high.x, area.high.y - FORK - 2.0)));
}

/// The upper joint with the ears of its bar-side fork in the plane of the bend, and the scribe.
fn fork(sheet: &mut Sheet, area: Area) {
    /// Cross to ear (mm).
    const EAR: f64 = 4.2;
    let p = Vec2::new;
    let cross = p(area.low.x + 17.0, area.centre().y - 1.0);
    let above = Vec2::polar(std::f64::consts::PI - BENDS[0]);
    band(sheet, cross + above * 6.0, cross + above * 17.0, BAR);
    sheet.line(Role::Centre, Path::line(cross, cross + above * 6.0));
    sheet.line(Role::Centre, Path::line(cross - p(0.0, EAR), cross + p(0.0, EAR)));
    for side in [1.0, -1.0] {
        let ear = cross + p(0.0, side * EAR);
        sheet.line(Role::Outline, Path::rectangle(ear - p(1.4, 0.8), 2.8, 1.6, 0.0));
        sheet.line(Role::Outline, Path::line(ear + p(1.4, 0.0), cross + p(7.0, side * HUB)));
    }
    band(sheet, cross + p(7.0, 0.0), cross + p(12.0, 0.0), HUB);
    band(sheet, cross + p(12.0, 0.0), cross + p(38.0, 0.0), BAR);
    let scribe = [cross + p(14.0, BAR), cross + p(24.0, BAR)];
    if let Some(path) = Path::polyline(&[scribe[0], scribe[1], scribe[1] + p(0.0, 0.5), scribe[0] + p(0.0, 0.5)], true)
    {
        sheet.fill(Role::Outline, path);
    }
    name(sheet, p(area.high.x, scribe[0].y + 3.4), Anchor::End, "upper scribe, this side");
    name(sheet, p(area.low.x, area.low.y), Anchor::Start, "both ears in the plane of the bend");
}

/// The bar level in a V-block, seen from the column end.
fn block(sheet: &mut Sheet, area: Area) {
    let radius = 7.5;
    let centre = Vec2::new(area.centre().x, area.low.y + 18.0);
    sheet.line(Role::Outline, Path::circle(centre, radius));
    // A right-angled V touches the round at 45 degrees.
    let deep = centre - Vec2::new(0.0, radius * std::f64::consts::SQRT_2);
    for side in [-1.0, 1.0] {
        sheet.line(Role::Outline, Path::line(deep, deep + Vec2::new(side * 10.0, 10.0)));
    }
    let (top, turn) = (std::f64::consts::FRAC_PI_2, -1.1);
    for at in [top, top + turn] {
        let way = Vec2::polar(at);
        sheet.line(Role::Score, Path::line(centre, centre + way * (radius + 4.5)));
        sheet.line(Role::Outline, Path::line(centre + way * (radius - 2.0), centre + way * radius));
    }
    angle(sheet, centre, radius + 3.0, top, turn, "planes");
    name(sheet, centre + Vec2::new(-1.5, radius + 2.5), Anchor::End, "upper scribe");
    name(
        sheet,
        centre + Vec2::polar(top + turn) * (radius + 5.5) - Vec2::new(0.0, SMALL),
        Anchor::Start,
        "lower scribe",
    );
    name(sheet, area.low, Anchor::Start, "from the column end, bar level");
}

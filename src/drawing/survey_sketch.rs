//! Small sketches of survey readings: the points where they are roughly known, else a plain picture of the reading.
//!
//! Side views look at the vehicle's left side, plans from above; the front is on the left of both.

use super::dimension::{angle, arrow};
use super::font;
use super::layout::{Area, BODY, SMALL, label, text_width};
use super::sheet::{Anchor, Role, Sheet};
use crate::geometry::{Path, Vec2, Vec3};
use crate::spec::types::{Along, Measure, Survey, SurveyPoint, View};

/// Two points nearer than this on paper (mm) are not told apart in a view.
const TOLD_APART: f64 = 9.0;

/// Slope (rad) drawn where the points are not known: enough to be seen as one.
const DRAWN_SLOPE: f64 = 0.45;

/// Least and greatest slope (rad) drawn.
const DRAWN: [f64; 2] = [0.32, 1.1];

/// A name wider than this (mm) is cut short in a sketch; the words beside it have it whole.
const NAME_WIDE: f64 = 48.0;

/// Where points roughly are.
pub(super) struct Rough {
    /// Name as sketches have it, place, whether it is laid down.
    points: Vec<(String, Option<Vec3>, bool)>,
}

impl Rough {
    pub(super) fn of(survey: &Survey) -> Self {
        let one = |point: &SurveyPoint| {
            let name = font::fitted(&point.name, BODY, false, NAME_WIDE);
            (name, point.fixed.or(point.near), point.fixed.is_some())
        };
        Self { points: survey.points.iter().map(one).collect() }
    }

    /// How many points have a place.
    pub(super) fn known(&self) -> usize {
        self.points.iter().filter(|(_, at, _)| at.is_some()).count()
    }

    fn at(&self, i: usize) -> Option<Vec3> {
        self.points.get(i).and_then(|(_, at, _)| *at)
    }

    fn name(&self, i: usize) -> &str {
        self.points.get(i).map_or("", |(name, _, _)| name)
    }
}

/// A point as a view shows it: x to the right is rearward.
fn seen(p: Vec3, view: View) -> Vec2 {
    match view {
        View::Plan => Vec2::new(p.x, p.y),
        View::Side | View::True => Vec2::new(p.x, p.z),
    }
}

/// All known points fitted into an area, one scale both ways.
struct Fit {
    view: View,
    scale: f64,
    middle: Vec2,
    paper: Vec2,
}

impl Fit {
    fn new(rough: &Rough, view: View, area: Area) -> Option<Self> {
        let points: Vec<Vec2> = rough.points.iter().filter_map(|(_, at, _)| Some(seen((*at)?, view))).collect();
        let first = *points.first()?;
        let (low, high) = points.iter().fold((first, first), |(low, high), p| {
            (Vec2::new(low.x.min(p.x), low.y.min(p.y)), Vec2::new(high.x.max(p.x), high.y.max(p.y)))
        });
        let (wide, tall) = (high.x - low.x, high.y - low.y);
        let scale = (area.width() / wide.max(1e-9)).min(area.height() / tall.max(1e-9));
        (wide.max(tall) > 1.0).then_some(Self { view, scale, middle: (low + high) * 0.5, paper: area.centre() })
    }

    fn paper(&self, p: Vec3) -> Vec2 {
        self.paper + (seen(p, self.view) - self.middle) * self.scale
    }
}

/// A mark is a dot, a point to be found an open round.
fn dot(sheet: &mut Sheet, at: Vec2, fixed: bool, bold: bool) {
    let radius = if bold { 0.9 } else { 0.6 };
    if fixed {
        sheet.fill(if bold { Role::Outline } else { Role::Dimension }, Path::circle(at, radius));
    } else {
        sheet.line(if bold { Role::Outline } else { Role::Dimension }, Path::circle(at, radius));
    }
}

/// Words beside a point, on the side away from `from`, kept inside the area.
fn name_beside(sheet: &mut Sheet, area: Area, at: Vec2, from: Vec2, name: &str) -> Area {
    let width = text_width(name, BODY, false);
    let right = (at.x >= from.x || at.x - 1.6 - width < area.low.x) && at.x + 1.6 + width <= area.high.x;
    let up = if at.y >= from.y { 2.0 } else { -1.4 - BODY };
    let (anchor, x) = if right { (Anchor::Start, at.x + 1.6) } else { (Anchor::End, at.x - 1.6) };
    let x = match anchor {
        Anchor::End => x.max(area.low.x + width),
        _ => x.min(area.high.x - width),
    };
    let foot = Vec2::new(x, at.y + up);
    sheet.text(label(foot, anchor, BODY, false, name));
    let left = if right { x } else { x - width };
    Area::new(Vec2::new(left, foot.y), Vec2::new(left + width, foot.y + BODY))
}

/// Which way is which, in a corner.
fn caption(sheet: &mut Sheet, area: Area, view: View) {
    let words = match view {
        View::Plan => "from above; front to the left",
        View::Side => "from the left; front to the left",
        View::True => "",
    };
    sheet.text(label(area.low, Anchor::Start, SMALL, false, words));
}

/// All known points by name.
pub(super) fn map(sheet: &mut Sheet, area: Area, rough: &Rough, view: View) {
    let inner = area.without(14.0, 9.0, 18.0, 6.0);
    sheet.line(Role::Dimension, Path::rectangle(area.low, area.width(), area.height(), 0.0));
    caption(sheet, area.without(1.5, 1.5, 0.0, 0.0), view);
    let Some(fit) = Fit::new(rough, view, inner) else { return };
    let mut taken: Vec<[f64; 4]> = Vec::new();
    for (name, at, fixed) in &rough.points {
        let Some(at) = at.map(|at| fit.paper(at)) else { continue };
        dot(sheet, at, *fixed, true);
        // Above, below, then two lines off: the first place no other name has.
        let width = text_width(name, BODY, false);
        let fits = at.x + 2.6 + width <= area.high.x;
        let x = if fits { at.x + 1.6 } else { (at.x - 1.6 - width).max(area.low.x + 1.0) };
        let tries = [1.0, -1.0 - BODY, 1.5 + 1.5 * BODY, -1.5 - 2.5 * BODY];
        let free = |y: f64| {
            let own = [x, y, x + width, y + BODY];
            taken.iter().all(|t| own[2] < t[0] || t[2] < own[0] || own[3] + 0.6 < t[1] || t[3] + 0.6 < own[1])
        };
        let y = tries.into_iter().map(|up| at.y + up).find(|&y| free(y)).unwrap_or(at.y + 1.0);
        taken.push([x, y, x + width, y + BODY]);
        sheet.text(label(Vec2::new(x, y), Anchor::Start, BODY, false, name.clone()));
    }
}

/// One reading.
pub(super) fn reading(sheet: &mut Sheet, area: Area, survey: &Survey, rough: &Rough, what: Measure) {
    debug_assert_eq!(survey.points.len(), rough.points.len());
    match what {
        Measure::Tape { from, to, skin } if skin > 0.0 => plain_tape(sheet, area, rough, [from, to], true),
        Measure::Tape { from, to, .. } => {
            if !placed_tape(sheet, area, rough, [from, to]) {
                plain_tape(sheet, area, rough, [from, to], false);
            }
        }
        Measure::Offset { of, along } => offset(sheet, area, rough.name(of), along),
        Measure::Slope { from, to, view } => slope(sheet, area, rough, [from, to], view),
    }
}

/// The tape among all known points, in the view that shows it longest; nothing where either end is not known.
fn placed_tape(sheet: &mut Sheet, area: Area, rough: &Rough, [from, to]: [usize; 2]) -> bool {
    let (Some(a), Some(b)) = (rough.at(from), rough.at(to)) else { return false };
    let length = |view| (seen(b, view) - seen(a, view)).length();
    let view = if length(View::Plan) > length(View::Side) { View::Plan } else { View::Side };
    let Some(fit) = Fit::new(rough, view, area.without(6.0, 8.0, 6.0, 4.0)) else { return false };
    let ends = [fit.paper(a), fit.paper(b)];
    if (ends[1] - ends[0]).length() < TOLD_APART {
        return false;
    }
    tape_line(sheet, ends);
    let names = [
        name_beside(sheet, area, ends[0], ends[1], rough.name(from)),
        name_beside(sheet, area, ends[1], ends[0], rough.name(to)),
    ];
    for (i, &(_, at, fixed)) in rough.points.iter().enumerate() {
        let Some(at) = at.map(|at| fit.paper(at)) else { continue };
        let own = i == from || i == to;
        // A point that only shows where the others are gives way to words.
        let hidden = |name: &Area| {
            let (low, high) = (name.low - Vec2::new(1.0, 1.2), name.high + Vec2::new(1.0, 1.0));
            at.x > low.x && at.x < high.x && at.y > low.y && at.y < high.y
        };
        if own || !names.iter().any(hidden) {
            dot(sheet, at, fixed, own);
        }
    }
    caption(sheet, area, view);
    true
}

/// A line with an arrow at each end, short of the dots.
fn tape_line(sheet: &mut Sheet, [a, b]: [Vec2; 2]) {
    let Some(way) = (b - a).unit() else { return };
    let (a, b) = (a + way * 1.3, b - way * 1.3);
    sheet.line(Role::Outline, Path::line(a, b));
    arrow(sheet, b, way);
    arrow(sheet, a, -way);
}

/// A tape between two points that have no places: a mark on the left, the far end on the right.
fn plain_tape(sheet: &mut Sheet, area: Area, rough: &Rough, [from, to]: [usize; 2], skin: bool) {
    let y = area.centre().y + 2.0;
    let (a, b) = (Vec2::new(area.low.x + 8.0, y), Vec2::new(area.high.x - 10.0, y));
    dot(sheet, a, true, true);
    if skin {
        let radius = 5.0;
        sheet.line(Role::Outline, Path::circle(b, radius));
        let reach = radius + 1.5;
        sheet.line(Role::Centre, Path::line(b - Vec2::new(reach, 0.0), b + Vec2::new(reach, 0.0)));
        sheet.line(Role::Centre, Path::line(b - Vec2::new(0.0, reach), b + Vec2::new(0.0, reach)));
        tape_line(sheet, [a, b - Vec2::new(radius - 1.3, 0.0)]);
        sheet.text(label(b + Vec2::new(-radius - 2.0, 2.0), Anchor::End, SMALL, false, "near skin"));
    } else {
        dot(sheet, b, false, true);
        tape_line(sheet, [a, b]);
    }
    let low = y - if skin { 10.5 } else { 6.0 };
    two_names(sheet, area, low, [rough.name(from), rough.name(to)]);
}

/// Two names under their ends; one under the other where they would run into each other.
fn two_names(sheet: &mut Sheet, area: Area, y: f64, [left, right]: [&str; 2]) {
    let together = text_width(left, BODY, false) + text_width(right, BODY, false) + 3.0;
    let lower = if together > area.width() { y - 1.5 * BODY } else { y };
    sheet.text(label(Vec2::new(area.low.x, y), Anchor::Start, BODY, false, left));
    sheet.text(label(Vec2::new(area.high.x, lower), Anchor::End, BODY, false, right));
}

/// A point off the line or level that is zero.
fn offset(sheet: &mut Sheet, area: Area, name: &str, along: Along) {
    let centre = area.centre();
    let (half_wide, half_tall) = (0.5 * area.width() - 3.0, 0.5 * area.height() - 5.0);
    match along {
        Along::Z | Along::Y => {
            let zero = centre.y - half_tall + 3.0;
            let ends = [Vec2::new(centre.x - half_wide, zero), Vec2::new(centre.x + half_wide, zero)];
            let (role, words) = match along {
                Along::Z => (Role::Outline, "level zero"),
                _ => (Role::Centre, "centre line, from above; front to the left"),
            };
            sheet.line(role, Path::line(ends[0], ends[1]));
            if along == Along::Z {
                for i in 0..14u8 {
                    let x = ends[0].x + (f64::from(i) + 0.5) * (ends[1].x - ends[0].x) / 14.0;
                    sheet.line(Role::Hatch, Path::line(Vec2::new(x, zero), Vec2::new(x - 1.6, zero - 1.6)));
                }
            }
            let at = Vec2::new(centre.x, centre.y + half_tall - 3.0);
            dot(sheet, at, false, true);
            tape_line(sheet, [at, Vec2::new(at.x, zero - 1.3)]);
            sheet.text(label(at + Vec2::new(0.0, 2.4), Anchor::Middle, BODY, false, name));
            let sign = if along == Along::Z { "up is more than 0" } else { "right is more than 0" };
            sheet.text(label(Vec2::new(at.x - 2.0, 0.5 * (at.y + zero)), Anchor::End, SMALL, false, sign));
            sheet.text(label(Vec2::new(ends[0].x, zero - 2.8 - SMALL), Anchor::Start, SMALL, false, words));
        }
        Along::X => {
            let x = centre.x - half_wide + 6.0;
            let (low, high) = (centre.y - half_tall, centre.y + half_tall);
            let at = Vec2::new(centre.x + 0.4 * half_wide, centre.y - 1.0);
            sheet.line(Role::Centre, Path::line(Vec2::new(x, low), Vec2::new(x, at.y + 4.0)));
            // The name stands over the end of the axle line, so that a long one crosses nothing.
            sheet.line(Role::Dimension, Path::line(at + Vec2::new(0.0, 1.2), Vec2::new(at.x, high - BODY - 1.5)));
            dot(sheet, at, false, true);
            tape_line(sheet, [at, Vec2::new(x - 1.3, at.y)]);
            let anchor =
                if at.x + text_width(name, BODY, false) + 2.0 < area.high.x { Anchor::Start } else { Anchor::End };
            let name_x = if anchor == Anchor::Start { at.x - 1.0 } else { area.high.x };
            sheet.text(label(Vec2::new(name_x, high - BODY - 0.5), anchor, BODY, false, name));
            sheet.text(label(
                Vec2::new(x + 2.0, at.y - 2.0 - SMALL),
                Anchor::Start,
                SMALL,
                false,
                "rearward is more than 0",
            ));
            sheet.text(label(Vec2::new(x + 1.5, low), Anchor::Start, SMALL, false, "axle line; front to the left"));
        }
    }
}

/// A line against level, or against the vehicle's length in plan, with the finder on it.
fn slope(sheet: &mut Sheet, area: Area, rough: &Rough, [from, to]: [usize; 2], view: View) {
    let run = rough.at(from).zip(rough.at(to)).map(|(a, b)| match view {
        // On the line itself the rise is against the level run, whichever way that goes.
        View::True => Vec2::new(libm::hypot(b.x - a.x, b.y - a.y), b.z - a.z),
        _ => seen(b, view) - seen(a, view),
    });
    // Signs as they are; never so flat or steep that the words have no room.
    let way = run.and_then(Vec2::unit).map_or_else(
        || Vec2::polar(DRAWN_SLOPE),
        |way| {
            let rise = libm::atan2(way.y.abs(), way.x.abs()).clamp(DRAWN[0], DRAWN[1]);
            let drawn = Vec2::polar(rise);
            Vec2::new(drawn.x.copysign(way.x), drawn.y.copysign(way.y))
        },
    );
    let room = area.without(4.0, 9.0, 4.0, 7.0);
    let reach = (0.5 * room.width() / way.x.abs().max(1e-9)).min(0.5 * room.height() / way.y.abs().max(1e-9));
    let ends = [room.centre() - way * reach, room.centre() + way * reach];
    sheet.line(Role::Outline, Path::line(ends[0], ends[1]));
    dot(sheet, ends[0], false, true);
    dot(sheet, ends[1], false, true);
    name_beside(sheet, area, ends[0], ends[1], rough.name(from));
    name_beside(sheet, area, ends[1], ends[0], rough.name(to));
    // From the lower end level toward the upper one; in plan from the left one.
    let (foot, tip) = if ends[0].y <= ends[1].y { (ends[0], ends[1]) } else { (ends[1], ends[0]) };
    let side = if tip.x >= foot.x { 1.0 } else { -1.0 };
    let level = 0.62 * 2.0 * reach;
    sheet.line(Role::Hidden, Path::line(foot, foot + Vec2::new(side * level, 0.0)));
    let start = if side > 0.0 { 0.0 } else { std::f64::consts::PI };
    let rise = libm::atan2(tip.y - foot.y, (tip.x - foot.x).abs());
    if rise > 0.02 {
        angle(sheet, foot, 0.5 * level, start, side * rise, "?");
    }
    // The finder: a small box on the upper half of the line.
    let up = way.left() * if way.x < 0.0 { -1.0 } else { 1.0 };
    let seat = room.centre() + (tip - room.centre()) * 0.25;
    let along = way * 4.0;
    if let Some(path) =
        Path::polyline(&[seat - along, seat + along, seat + along + up * 3.0, seat - along + up * 3.0], true)
    {
        sheet.line(Role::Outline, path);
    }
    let words = match view {
        View::Side => "from the left; front to the left",
        View::Plan => "from above; front to the left",
        View::True => "finder on the line itself",
    };
    sheet.text(label(area.low, Anchor::Start, SMALL, false, words));
}

/// A level on the frame, fore and aft or across.
pub(super) fn frame_level(sheet: &mut Sheet, area: Area, along: bool) {
    let centre = area.centre() - Vec2::new(0.0, 1.0);
    let way = Vec2::polar(if along { 0.09 } else { -0.09 });
    let (half, up) = (0.5 * area.width() - 4.0, way.left());
    let (a, b) = (centre - way * half, centre + way * half);
    if let Some(path) = Path::polyline(&[a, b, b - up * 4.0, a - up * 4.0], true) {
        sheet.line(Role::Outline, path);
    }
    let level = way * 9.0;
    if let Some(path) =
        Path::polyline(&[centre - level, centre + level, centre + level + up * 3.4, centre - level + up * 3.4], true)
    {
        sheet.line(Role::Outline, path);
    }
    sheet.line(Role::Outline, Path::rectangle(centre + up * 1.7 - Vec2::new(2.0, 0.8), 4.0, 1.6, 0.0));
    sheet.line(Role::Hidden, Path::line(Vec2::new(a.x, centre.y), Vec2::new(b.x, centre.y)));
    let (left, right) = if along { ("front", "rear") } else { ("left", "right, from behind") };
    sheet.text(label(Vec2::new(a.x, area.low.y), Anchor::Start, SMALL, false, left));
    sheet.text(label(Vec2::new(b.x, area.low.y), Anchor::End, SMALL, false, right));
}

//! A notch in three small views of its rail, with what a tape reads from the mark and from the rail's own faces.

use super::dimension::{Linear, linears};
use super::layout::{Area, BODY, Note, label, set_notes, text_width};
use super::notch::datum_of;
use super::plate::direction_words;
use super::sheet::{Anchor, Item, Line, Role, Sheet};
use super::title_block::{self, room};
use super::value;
use crate::geometry::{Path, Vec2, Vec3};
use crate::solve::notch::taped;
use crate::solve::solution::{NotchResult, RailFrame, RailResult};
use crate::spec::Spec;
use crate::spec::types::Projection;

/// Space round the views (mm), and between that from the side and that from above.
const ROUND: f64 = 6.0;
const BETWEEN: f64 = 30.0;
/// Between the view from the side and that of the end, on their other side, and from one dimension to the next.
const ASIDE: f64 = 36.0;
const MARGIN: f64 = 24.0;
const STEP: f64 = 11.0;
const LABEL: f64 = 20.0;
/// Shown of the rail beyond the notch and its mark (mm).
const BEYOND: f64 = 30.0;
/// About the height of the words above (mm).
const WORDS: f64 = 30.0;
/// Walls nearer than this in line with the eye (mm) are the same.
const SAME: f64 = 1.0;
/// Curves are followed to this (mm).
const FINE: f64 = 0.3;

/// Least and greatest of some numbers.
fn span(values: impl Iterator<Item = f64>) -> [f64; 2] {
    values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| [low.min(value), high.max(value)])
}

fn wide(values: impl Iterator<Item = f64>) -> bool {
    let [low, high] = span(values);
    high - low > SAME
}

/// Whence a view looks, by the vehicle.
fn seen_from(way: Vec3) -> String {
    match direction_words(way) {
        "up" => "seen from above".to_owned(),
        "down" => "seen from below".to_owned(),
        toward => format!("seen from {}", toward.trim_start_matches("to ")),
    }
}

/// Where the three views stand on the paper (mm): lengths along the rail rightward, its up upward. In third angle the
/// view from above stands above and the end is at the right; in first angle below and at the left. `beside` (mm) is kept
/// for dimensions.
struct Places {
    third: bool,
    scale: f64,
    /// Shown of the rail, along it.
    along: [f64; 2],
    /// The section's least and greatest, rightward of the rail and up.
    right: [f64; 2],
    up: [f64; 2],
    /// Low left corners of the views from the side, from above and of the end.
    side: Vec2,
    plan: Vec2,
    end: Vec2,
}

impl Places {
    fn new(third: bool, area: Area, [along, right, up]: [[f64; 2]; 3], beside: f64) -> Places {
        let [long, deep, high] = [along, right, up].map(|[low, high]| high - low);
        let spare = |scale: f64| {
            let views = Vec2::new(long + deep, high + deep) * scale;
            Vec2::new(area.width() - MARGIN - ASIDE - beside, area.height() - LABEL - BETWEEN - beside) - views
        };
        let [across, upright] = [spare(0.0).x / (long + deep), spare(0.0).y / (high + deep)];
        let scale = across.min(upright).min(1.0);
        let low = area.low + spare(scale) * 0.5;
        let [long, deep, high] = [long, deep, high].map(|length| length * scale);
        let (side, plan, end) = if third {
            let side = low + Vec2::new(MARGIN, beside);
            (side, side + Vec2::new(0.0, high + BETWEEN), side + Vec2::new(long + ASIDE, 0.0))
        } else {
            let end = low + Vec2::new(beside, LABEL + deep + BETWEEN);
            let side = end + Vec2::new(deep + ASIDE, 0.0);
            (side, side - Vec2::new(0.0, BETWEEN + deep), end)
        };
        Places { third, scale, along, right, up, side, plan, end }
    }

    fn side(&self, u: f64, up: f64) -> Vec2 {
        self.side + Vec2::new(u - self.along[0], up - self.up[0]) * self.scale
    }

    fn plan(&self, u: f64, right: f64) -> Vec2 {
        self.plan + Vec2::new(u - self.along[0], self.right[1] - right) * self.scale
    }

    fn end(&self, right: f64, up: f64) -> Vec2 {
        self.end + Vec2::new(self.right[1] - right, up - self.up[0]) * self.scale
    }

    /// Names of the views: where a dimension stands on one side of a view, on the other.
    fn named(&self, frame: &RailFrame) -> [(Vec2, String); 3] {
        let [middle, across] = [self.along, self.right].map(|[low, high]| 0.5 * (low + high));
        let by = |above: Vec2, below: Vec2| {
            if self.third { above + Vec2::new(0.0, 6.0) } else { below - Vec2::new(0.0, 6.0 + BODY) }
        };
        [
            (by(self.side(middle, self.up[1]), self.side(middle, self.up[0])), seen_from(frame.right)),
            (by(self.plan(middle, self.right[0]), self.plan(middle, self.right[1])), seen_from(frame.up)),
            (self.end(across, self.up[0]) - Vec2::new(0.0, 6.0 + BODY), seen_from(frame.along)),
        ]
    }
}

/// Whether a wall of the section stands between a point on it and a far eye; `turned` has the eye's way as x.
fn covered(section: &[Vec2], closed: bool, point: Vec2, turned: impl Fn(Vec2) -> Vec2) -> bool {
    let point = turned(point);
    let around = section.iter().zip(section.iter().cycle().skip(1)).take(section.len() - usize::from(!closed));
    around.map(|(a, b)| (turned(*a), turned(*b))).any(|(a, b)| {
        let (before, after) = (a.y - point.y, b.y - point.y);
        before * after < 0.0 && a.x + (b.x - a.x) * before / (before - after) > point.x + SAME
    })
}

/// A closed loop drawn as runs of visible and hidden edges.
fn edges(sheet: &mut Sheet, points: &[(Vec2, bool)]) {
    let runs = points.chunk_by(|a, b| a.1 == b.1);
    let mut from = 0;
    for run in runs {
        let hidden = run.first().is_some_and(|point| point.1);
        from += run.len();
        let next = points.get(from).or(points.first());
        let run: Vec<Vec2> = run.iter().chain(next).map(|point| point.0).collect();
        stroke(sheet, &run, false, if hidden { Role::Hidden } else { Role::Outline });
    }
}

fn stroke(sheet: &mut Sheet, points: &[Vec2], closed: bool, role: Role) {
    if let Some(path) = Path::polyline(points, closed) {
        sheet.items.push(Item::Line(Line { role, key: None, path, filled: false }));
    }
}

/// The sheet; `None` where the outline lies on no face.
pub(super) fn sheet(spec: &Spec, index: usize, result: &NotchResult, rail: &RailResult) -> Option<Sheet> {
    let (datum, datum_words) = datum_of(spec, index)?;
    let loops = taped::on_section(result, rail, FINE);
    let taped = taped::taped(result, rail, datum);
    let ([first, ..], [.., last]) = (&taped.along[..], &taped.along[..]) else { return None };
    let along = [datum + first.min(0.0) - BEYOND, datum + last.max(0.0) + BEYOND];
    let (section, closed) = (taped::section(rail), rail.girth.is_some());
    let beside = 12.0 + STEP * taped.along.len().max(taped.down.len()) as f64;
    let [right, up] = [span(section.iter().map(|q| q.x)), span(section.iter().map(|q| q.y))];
    let third = spec.output.projection == Projection::Third;
    let body = |size: [f64; 2]| room(size).body.without(ROUND, ROUND, ROUND, ROUND);
    let scale = |size: [f64; 2]| {
        let area = body(size);
        let area = Area { high: area.high - Vec2::new(0.0, WORDS), ..area };
        Places::new(third, area, [along, right, up], beside).scale
    };
    let [short, long] = title_block::upright(spec);
    let size = if scale([long, short]) > scale([short, long]) { [long, short] } else { [short, long] };
    let title = result.name.clone();
    let mut sheet = Sheet::new(format!("Notch: {title}, where it is"), size, false);
    sheet.alt = format!("Three views of the rail with the notch {title}, and its distances by tape. Not to scale.");
    let area = body(size);
    let frame = &rail.frame;
    let reach = set_notes(
        &mut sheet,
        area,
        &[
            Note::heading(format!("{title}: where it is")),
            Note::strong("Three views of the rail, not to scale. Check the taped template by these before you cut."),
            Note::body(format!(
                "Lengths along the rail count from {datum_words}, the others from its faces. Left to right along the \
                 rail is {}. Dashed: behind a wall.",
                direction_words(frame.along)
            )),
        ],
    );
    let area = Area { high: Vec2::new(area.high.x, reach), ..area };
    let views = Places::new(third, area, [along, right, up], beside);
    let ([left, right], [foot, top], [from, to]) = (views.right, views.up, views.along);

    let box_of = |a: Vec2, b: Vec2| [a, Vec2::new(b.x, a.y), b, Vec2::new(a.x, b.y)];
    stroke(&mut sheet, &box_of(views.side(from, foot), views.side(to, top)), true, Role::Outline);
    stroke(&mut sheet, &box_of(views.plan(from, right), views.plan(to, left)), true, Role::Outline);
    let end: Vec<Vec2> = section.iter().map(|q| views.end(q.x, q.y)).collect();
    stroke(&mut sheet, &end, closed, Role::Outline);
    for points in &loops {
        // A loop on one wall is but a line where that is seen edge on, and lies on the rail's own.
        if wide(points.iter().map(|(_, at)| at.y)) {
            let seen = points.iter().map(|(u, at)| (views.side(*u, at.y), covered(&section, closed, *at, |q| q)));
            edges(&mut sheet, &seen.collect::<Vec<_>>());
        }
        if wide(points.iter().map(|(_, at)| at.x)) {
            let above = |q: Vec2| Vec2::new(q.y, q.x);
            let seen = points.iter().map(|(u, at)| (views.plan(*u, at.x), covered(&section, closed, *at, above)));
            edges(&mut sheet, &seen.collect::<Vec<_>>());
        }
    }
    for [a, b] in
        [[views.side(datum, foot), views.side(datum, top)], [views.plan(datum, right), views.plan(datum, left)]]
    {
        let over = Vec2::new(0.0, 3.0);
        stroke(&mut sheet, &[a - over, b + over], false, Role::Centre);
    }
    for (at, words) in views.named(frame) {
        let half = 0.5 * text_width(&words, BODY, true);
        let x = at.x.clamp(area.low.x + half, area.high.x - half);
        sheet.text(label(Vec2::new(x, at.y), Anchor::Middle, BODY, true, words));
    }
    let mut dimensions = Vec::new();
    let mut add = |ends: [Vec2; 2], along: Vec2, reach: f64, length: f64| {
        dimensions.push(Linear { ends, along, reach, words: value::stacked_tape(&spec.build, length), height: BODY });
    };
    let (away, from_face, from_edge) = if third { (-1.0, foot, left) } else { (1.0, top, right) };
    for (k, &length) in taped.along.iter().enumerate() {
        let ends = [length.min(0.0), length.max(0.0)].map(|off| views.side(datum + off, from_face));
        add(ends, Vec2::new(1.0, 0.0), away * (9.0 + STEP * k as f64), length.abs());
    }
    for (k, &length) in taped.down.iter().enumerate() {
        let ends = [top - length, top].map(|up| views.end(from_edge, up));
        add(ends, Vec2::new(0.0, 1.0), away * (9.0 + STEP * k as f64), length);
    }
    for (k, &length) in taped.across.iter().enumerate() {
        let ends = [right, right - length].map(|over| views.plan(if third { to } else { from }, over));
        add(ends, Vec2::new(0.0, 1.0), away * (9.0 + STEP * k as f64), length);
    }
    linears(&mut sheet, &dimensions);
    Some(sheet)
}

//! Dimensioned drawing of a shaft.
//!
//! The shaft's own frame: z from the column toward the gear runs to the right
//! of the paper, +x (the outward normal of flat A) up in the view with flat A
//! on top. The end view looks from the column end toward the gear, where
//! clockwise is positive; it stands on the side the projection angle asks for.

use std::f64::consts::PI;

use super::collision::Taken;
use super::dimension::{Call, Linear, Stacked, calls, centre_mark, linear, linears};
use super::layout::{Area, BODY, LARGE, label};
use super::shaft_groove::{self, Cut};
use super::sheet::{Anchor, Role, Sheet};
use super::table::{self, Pages};
use super::title_block::{self, Heading};
use super::value;
use super::{shaft_detail, shaft_end, shaft_words};
use crate::catalog::forms::FormShape;
use crate::geometry::{Path, Piece, Vec2};
use crate::solve::Solution;
use crate::solve::solution::{Dimple, End, Groove, On, ShaftResult, SpotWhen};
use crate::spec::Spec;
use crate::spec::types::{Projection, Shaft};

/// Scales of ISO 5455 that are tried, largest first.
const SCALES: [f64; 6] = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02];
/// From the view's words to the heading under them (mm).
const OFF: f64 = 2.5;
/// White gap of a broken view (mm on paper).
const BREAK: f64 = 7.0;
/// Room round the end view for its labels, in all (mm).
const END_LABELS: f64 = 34.0;
/// More of it right of the end view, where that carries the size across the flats (mm).
const END_FLATS: f64 = 12.0;
/// Between the two side views (mm).
const BETWEEN: f64 = 17.0;
/// Room at the right of the side views for a diameter (mm).
const RIGHT: f64 = 16.0;
/// Broken views at least this long (mm) have the stations of both ends in one row: each takes about 46 mm.
const SHARED: f64 = 100.0;
/// From one dimension line to the next (mm).
const TIER: f64 = 11.0;

/// Where the things of one drawing lie.
pub(super) struct Views {
    pub scale: f64,
    pub length: f64,
    /// Left and right end of the side views.
    left: f64,
    right: f64,
    /// Where the view is broken: right end of the left part, left end of the right part.
    parts: Option<(f64, f64)>,
    /// Axis of the view on flat A.
    on_flat: f64,
    /// Axis of the view with flat A on top.
    front: f64,
    /// Axis of the end view.
    pub end: Vec2,
    /// Whether one side view shows everything.
    pub single: bool,
}

impl Views {
    /// Paper x of a station (mm from the upper end).
    pub fn x(&self, z: f64) -> f64 {
        let from_left = self.left + z * self.scale;
        let from_right = self.right - (self.length - z) * self.scale;
        match self.parts {
            Some((a, _)) if from_left <= a => from_left,
            Some((a, b)) if from_right < b => 0.5 * (a + b),
            _ => from_right,
        }
    }

    /// The stretches of paper on which the bar is drawn.
    fn stretches(&self) -> Vec<(f64, f64)> {
        match self.parts {
            Some((a, b)) => vec![(self.left, a), (b, self.right)],
            None => vec![(self.left, self.right)],
        }
    }
}

/// Cross-section of the bar: radius, half across the flats (the radius where there are none), bore radius.
#[derive(Clone, Copy)]
pub(super) struct Bar {
    pub radius: f64,
    pub half_flats: f64,
    pub bore: f64,
}

impl Bar {
    fn of(shaft: &Shaft) -> Self {
        match shaft.stock.shape {
            FormShape::DoubleD { diameter, flats, bore } => {
                Self { radius: 0.5 * diameter, half_flats: 0.5 * flats, bore: 0.5 * bore.unwrap_or(0.0) }
            }
            FormShape::Round { diameter, bore } => {
                Self { radius: 0.5 * diameter, half_flats: 0.5 * diameter, bore: 0.5 * bore.unwrap_or(0.0) }
            }
            FormShape::Serrated { diameter, .. } => {
                Self { radius: 0.5 * diameter, half_flats: 0.5 * diameter, bore: 0.0 }
            }
        }
    }

    pub fn has_flats(self) -> bool {
        self.half_flats < self.radius
    }

    /// Half width of a flat.
    pub fn half_chord(self) -> f64 {
        (self.radius * self.radius - self.half_flats * self.half_flats).max(0.0).sqrt()
    }
}

/// The drawing of one shaft: its views, the table of spots, the words. Never a template.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize) -> Vec<Sheet> {
    let (Some(shaft), Some(result)) = (spec.shafts.get(index), solution.shafts.get(index)) else { return Vec::new() };
    let size = title_block::upright(spec);
    let room = title_block::room(size);
    let body = room.body.without(3.0, 2.0, 3.0, 3.0);
    let title = format!("Shaft: {}", shaft.name);
    let mut sheet = Sheet::new(title, size, false);

    let bar = Bar::of(shaft);
    // How tall the call-outs stand is known once they are set: on a sheet of their own first.
    let (trial, _) = arrange(spec, result, bar, body, 0.0);
    let tall = draw_on_flat(&mut sheet.clone(), spec, result, bar, &trial) - trial.on_flat - bar.radius * trial.scale;
    let (views, bottom) = arrange(spec, result, bar, body, tall + 1.5);
    draw_on_flat(&mut sheet, spec, result, bar, &views);
    if !views.single {
        draw_front(&mut sheet, result, bar, &views);
    }
    draw_lengths(&mut sheet, spec, shaft, result, bar, &views);
    shaft_end::draw(&mut sheet, spec, index, result, bar, &views);

    let spots = shaft_words::spots(spec, solution, index);
    let details = shaft_detail::details(&result.dimples, views.scale);
    // One sheet where it can be: the words then stand closer, the notes without a heading of their own, and at last
    // right under the view.
    let mut sheets = table::fewest([(false, OFF), (true, OFF), (true, 0.0)], |(close, off)| {
        let mut pages = Pages::under(sheet.clone(), body, bottom - off).close(close);
        if !spots.rows.is_empty() {
            pages.section("Spots under the set screws");
            pages.table(&spots);
        }
        shaft_detail::set(&mut pages, spec, &details);
        pages.section(if close { "Order of work, notes" } else { "Order of work" });
        pages.notes(&shaft_words::order(spec, index, result));
        if !close {
            pages.section("Notes");
        }
        pages.notes(&shaft_words::notes(spec, solution, index, result));
        pages.finish()
    });

    let scale = shaft_words::scale(views.scale);
    let broken = if views.parts.is_some() { ", broken" } else { "" };
    let heading = Heading { document: "shaft drawing".into(), scale: format!("{scale}{broken}; do not measure it") };
    title_block::draw(&mut sheets, spec, &heading);
    sheets
}

/// Scale and places of the views; how far down the body they reach.
/// `calls` is how high the call-outs stand over the view on flat A (mm).
fn arrange(spec: &Spec, result: &ShaftResult, bar: Bar, body: Area, calls: f64) -> (Views, f64) {
    // What lies square before or behind the viewer of flat A needs no second view.
    let single = result.grooves.is_empty()
        && result.dimples.iter().all(|d| d.spot == SpotWhen::None || libm::cos(d.clock.to_radians()).abs() > 0.98);
    let labels = END_LABELS + if single { END_FLATS } else { 0.0 };
    let length = result.cut_length;
    let reach = |end: End| {
        let dimples = result.dimples.iter().filter(|d| d.end == end).map(|d| d.station + d.diameter);
        let grooves = result.grooves.iter().filter(|g| g.end == end).map(|g| g.station + g.diameter);
        dimples.chain(grooves).fold(0.0, f64::max)
    };
    let deepest = reach(End::Upper).max(reach(End::Lower));
    let width_at = |scale: f64| body.width() - 2.0 * bar.radius * scale - labels - RIGHT;
    let fits = |scale: f64| {
        let width = width_at(scale);
        let half = 0.5 * (width - BREAK);
        2.0 * bar.radius * scale <= 40.0 && (length * scale <= width || deepest * scale + 8.0 <= half)
    };
    let scale = SCALES.into_iter().find(|&scale| fits(scale)).unwrap_or(0.02);
    let width = width_at(scale);
    let radius = bar.radius * scale;
    let end_zone = 2.0 * radius + labels;
    let third = spec.output.projection == Projection::Third;
    let left = if third { body.low.x + end_zone } else { body.low.x + 4.0 };
    let whole = length * scale <= width;
    let right = if whole { left + length * scale } else { left + width };
    let parts = (!whole).then(|| {
        let half = 0.5 * (width - BREAK);
        (left + half, right - half)
    });
    let marks = |end: End| result.dimples.iter().filter(|d| d.end == end && d.spot != SpotWhen::None).count();
    let grooves = |end: End| result.grooves.iter().filter(|g| g.end == end).count();
    let shared = !whole && width >= SHARED;
    let rows = |upper: usize, lower: usize| if shared { upper.max(lower) } else { upper + lower } as f64;
    let stations = rows(marks(End::Upper) + grooves(End::Upper), marks(End::Lower) + grooves(End::Lower));
    let below = 4.0 + TIER * (stations + 1.0);
    // The words of the end view stand over the bar too, or those of the diameter.
    let upper = body.high.y - calls.max(if single { 16.0 } else { 27.5 }) - radius;
    let (on_flat, front, bottom);
    if single {
        (on_flat, front) = (upper, upper);
        bottom = upper - radius - below - 1.0;
    } else if third {
        on_flat = upper;
        front = on_flat - 2.0 * radius - BETWEEN;
        bottom = front - radius - below;
    } else {
        // In first angle the view from above stands below; its leaders then point down into the gap left for them.
        front = body.high.y - radius - 10.0;
        on_flat = front - radius - below - calls - radius - 4.0;
        bottom = on_flat - radius - 12.0;
    }
    let off = 0.5 * (2.0 * radius + END_LABELS);
    let end_x = if third { body.low.x + off - 2.0 } else { right + RIGHT + off };
    let views = Views { scale, length, left, right, parts, on_flat, front, end: Vec2::new(end_x, front), single };
    (views, bottom.min(front - radius - 23.0) - if single { 0.5 } else { 3.0 })
}

/// The bar's outline between `low` and `high` (paper y), broken where the view is, with the cuts of grooves.
fn draw_bar(sheet: &mut Sheet, views: &Views, [low, high]: [f64; 2], cuts: &[Cut]) {
    let p = Vec2::new;
    for (index, (a, b)) in views.stretches().into_iter().enumerate() {
        // Lower edge up, upper edge down: inward.
        let lower = |from: f64, to: f64| shaft_groove::edge(p(from, low), p(to, low), 1.0, cuts);
        let upper = |from: f64, to: f64| shaft_groove::edge(p(from, high), p(to, high), -1.0, cuts);
        let side = |x: f64, y: f64| vec![Piece::Line { to: p(x, y) }];
        let (start, runs) = match (views.parts.is_some(), index) {
            (false, _) => (p(a, low), [lower(a, b), side(b, high), upper(b, a)]),
            (true, 0) => (p(b, low), [lower(b, a), side(a, high), upper(a, b)]),
            (true, _) => (p(a, high), [upper(a, b), side(b, low), lower(b, a)]),
        };
        let closed = views.parts.is_none();
        sheet.line(Role::Outline, Path { start, pieces: runs.into_iter().flatten().collect(), closed });
    }
    if let Some((a, b)) = views.parts {
        for x in [a, b] {
            break_line(sheet, x, low, high);
        }
    }
}

/// A free-hand break line in two soft waves.
fn break_line(sheet: &mut Sheet, x: f64, low: f64, high: f64) {
    let (middle, third) = (0.5 * (low + high), (high - low) / 6.0);
    let p = Vec2::new;
    let wave = Path {
        start: p(x, low - 1.0),
        pieces: vec![
            Piece::Cubic { c1: p(x + 1.6, low + third), c2: p(x + 1.6, middle - third), to: p(x, middle) },
            Piece::Cubic { c1: p(x - 1.6, middle + third), c2: p(x - 1.6, high - third), to: p(x, high + 1.0) },
        ],
        closed: false,
    };
    sheet.line(Role::Dimension, wave);
}

fn axis(sheet: &mut Sheet, views: &Views, y: f64) {
    sheet.line(Role::Centre, Path::line(Vec2::new(views.left - 5.0, y), Vec2::new(views.right + 5.0, y)));
}

/// Names of the dimples in the order of the results: D1, D2, ...
pub(super) fn mark(index: usize) -> String {
    format!("D{}", index + 1)
}

/// Seen square on flat A: dimples are rounds, full where they face the viewer, dashed where they are behind; returns
/// how far up the call-outs reach.
fn draw_on_flat(sheet: &mut Sheet, spec: &Spec, result: &ShaftResult, bar: Bar, views: &Views) -> f64 {
    let (scale, y) = (views.scale, views.on_flat);
    let radius = bar.radius * scale;
    // Seen from +x with z to the right, +y points down the paper.
    let up = |clock: f64| -libm::sin(clock.to_radians());
    let cuts: Vec<Cut> = result
        .grooves
        .iter()
        .filter_map(|groove| shaft_groove::cut(groove, views, y, up(groove.clock), bar.radius))
        .collect();
    draw_bar(sheet, views, [y - radius, y + radius], &cuts);
    axis(sheet, views, y);
    draw_flat_edges(sheet, result, bar, views);
    for groove in &result.grooves {
        let facing = libm::cos(groove.clock.to_radians());
        draw_rim(sheet, groove, bar, views, y, facing, [bar.half_flats, bar.radius]);
    }
    for cut in &cuts {
        centre_mark(sheet, cut.centre, 1.0);
    }
    let top = y + radius;
    // Leaders: at the upper end the leftmost feature has the highest words, at the lower end the rightmost.
    let dot = Vec2::new(views.x(0.0) + 3.0, y);
    sheet.fill(Role::Outline, Path::circle(dot, 0.6));
    let dot_words = if bar.has_flats() { "one punch dot: flat A, column end" } else { "one punch dot: column end" };
    let mut marked: Vec<(End, f64, Call)> = Vec::new();
    let call = |tip, end, lines| Call { tip, to_right: end == End::Upper, lines };
    marked.push((End::Upper, 0.0, call(dot + Vec2::new(0.0, 0.6), End::Upper, vec![dot_words.into()])));
    for (index, dimple) in result.dimples.iter().enumerate() {
        // A screw that bears on the plain bar wants no work on it.
        if dimple.spot == SpotWhen::None {
            continue;
        }
        let (tip, behind) = dimple_on_flat(sheet, dimple, bar, views);
        let lines = shaft_words::call(spec, index, dimple, behind);
        marked.push((dimple.end, dimple.station, call(tip, dimple.end, lines)));
    }
    // The innermost lowest: the leaders of those outside of it rise past its words.
    marked.sort_by(|a, b| (a.0 == End::Lower).cmp(&(b.0 == End::Lower)).then(b.1.total_cmp(&a.1)));
    let x = views.right;
    // Words that do not fit between the arrows stand past the end where no other view is.
    let (low, high) = (Vec2::new(x, y - radius), Vec2::new(x, y + radius));
    let (ends, along, reach) =
        if views.single { ([high, low], Vec2::new(0.0, -1.0), 8.0) } else { ([low, high], Vec2::new(0.0, 1.0), -8.0) };
    let words = value::stacked(&spec.build, 2.0 * bar.radius, "⌀");
    linear(sheet, ends, along, reach, &words, BODY);
    if bar.has_flats() {
        let middle = views.parts.map_or(0.5 * (views.left + views.right), |(a, _)| a - 12.0);
        let clear = result.dimples.iter().all(|d| (views.x(d.z) - middle).abs() > 14.0);
        if clear && 2.0 * bar.half_chord() * scale > 2.5 * BODY {
            sheet.text(label(Vec2::new(middle, y + 1.2), Anchor::Middle, BODY, true, "flat A"));
        }
    }
    if !views.single {
        sheet.text(label(Vec2::new(views.left, y - radius - 5.0), Anchor::Start, BODY, false, seen_from(bar)));
    }
    let marked: Vec<Call> = marked.into_iter().map(|(.., call)| call).collect();
    calls(sheet, &marked, top, [views.left - 4.0, views.right + 4.0])
}

/// From where the view on flat A is seen.
fn seen_from(bar: Bar) -> &'static str {
    if bar.has_flats() { "seen square on flat A" } else { "seen from +x, the upper yoke's ears" }
}

/// The long edges of flat A, left out where a groove crosses them.
fn draw_flat_edges(sheet: &mut Sheet, result: &ShaftResult, bar: Bar, views: &Views) {
    if !bar.has_flats() {
        return;
    }
    let half = bar.half_chord() * views.scale;
    let mut gaps: Vec<[f64; 2]> = result
        .grooves
        .iter()
        .filter_map(|groove| {
            let reach = shaft_groove::on_flat(groove, bar)? * views.scale;
            let x = views.x(shaft_groove::station(groove, views.length));
            Some([x - reach, x + reach])
        })
        .collect();
    gaps.sort_by(|a, b| a[0].total_cmp(&b[0]));
    for (a, b) in views.stretches() {
        let mut from = a;
        let here = gaps.iter().filter(|gap| gap[0] > a && gap[1] < b);
        for &[low, high] in here.chain([&[b, b]]) {
            for side in [-half, half] {
                let y = views.on_flat + side;
                sheet.line(Role::Outline, Path::line(Vec2::new(from, y), Vec2::new(low, y)));
            }
            from = high;
        }
    }
}

/// A groove's rim where it faces the viewer (`facing` +1) or lies on the far side (−1).
fn draw_rim(sheet: &mut Sheet, groove: &Groove, bar: Bar, views: &Views, y: f64, facing: f64, side: [f64; 2]) {
    if facing.abs() < 0.98 {
        return;
    }
    let role = if facing > 0.0 { Role::Outline } else { Role::Hidden };
    if let Some(path) = shaft_groove::rim(groove, views, bar, y, side) {
        sheet.line(role, path);
    }
}

/// One dimple seen square on flat A; its leader's tip and whether it is behind.
fn dimple_on_flat(sheet: &mut Sheet, dimple: &Dimple, bar: Bar, views: &Views) -> (Vec2, bool) {
    // Seen from +x with z to the right, +y points down the paper.
    let (s, c) = libm::sincos(dimple.clock.to_radians());
    draw_dimple(sheet, dimple, bar, views, views.on_flat, [-s, c])
}

/// One dimple in a side view about the axis at `y`; `up` and `facing` are its outward normal's parts up the paper
/// and toward the viewer. Where a leader may point, and whether it is behind.
fn draw_dimple(
    sheet: &mut Sheet,
    dimple: &Dimple,
    bar: Bar,
    views: &Views,
    y: f64,
    [up, facing]: [f64; 2],
) -> (Vec2, bool) {
    if up.abs() > 0.98 {
        return (dimple_in_profile(sheet, dimple, bar, views, y, up), false);
    }
    let surface = if dimple.on == On::Flat { bar.half_flats } else { bar.radius };
    let half = 0.5 * dimple.diameter * views.scale;
    let centre = Vec2::new(views.x(dimple.z), y + surface * up * views.scale);
    let behind = facing < 0.0;
    let role = match (dimple.spot, behind) {
        (_, true) => Role::Hidden,
        // Not there until it is spotted through the hub.
        (SpotWhen::Fit, _) => Role::Dimension,
        _ => Role::Outline,
    };
    if shaft_detail::is_small(dimple, views.scale) {
        sheet.line(Role::Dimension, shaft_detail::ring(centre, half));
    }
    let tall = half * facing.abs();
    sheet.line(role, Path::ellipse(centre, Vec2::new(half, 0.0), Vec2::new(0.0, tall)));
    centre_mark(sheet, centre, half);
    (centre + Vec2::new(0.0, tall), behind)
}

/// Flat A on top.
fn draw_front(sheet: &mut Sheet, result: &ShaftResult, bar: Bar, views: &Views) {
    let (scale, y) = (views.scale, views.front);
    let half = bar.half_flats * scale;
    let up = |clock: f64| libm::cos(clock.to_radians());
    let cuts: Vec<Cut> = result
        .grooves
        .iter()
        .filter_map(|groove| shaft_groove::cut(groove, views, y, up(groove.clock), bar.half_flats))
        .collect();
    draw_bar(sheet, views, [y - half, y + half], &cuts);
    axis(sheet, views, y);
    for dimple in result.dimples.iter().filter(|dimple| dimple.spot != SpotWhen::None) {
        // Seen from +y.
        let (s, c) = libm::sincos(dimple.clock.to_radians());
        draw_dimple(sheet, dimple, bar, views, y, [c, s]);
    }
    for groove in &result.grooves {
        let facing = libm::sin(groove.clock.to_radians());
        draw_rim(sheet, groove, bar, views, y, facing, [bar.radius, bar.half_flats]);
    }
    for cut in &cuts {
        centre_mark(sheet, cut.centre, 0.5);
    }
    if bar.bore > 0.0 {
        for side in [-bar.bore * scale, bar.bore * scale] {
            for (a, b) in views.stretches() {
                sheet.line(Role::Hidden, Path::line(Vec2::new(a, y + side), Vec2::new(b, y + side)));
            }
        }
    }
    let words = if bar.has_flats() { "flat A on top" } else { "+x on top" };
    // In the middle of a part, clear of the dimples near the ends.
    let middle = views.parts.map_or(0.5 * (views.left + views.right), |(_, b)| b + 15.0);
    sheet.text(label(Vec2::new(middle, y + half + 2.5), Anchor::Middle, BODY, false, words));
}

/// Stations from the end each belongs to, then the whole length, under the lower side view; the size across the flats.
fn draw_lengths(sheet: &mut Sheet, spec: &Spec, shaft: &Shaft, result: &ShaftResult, bar: Bar, views: &Views) {
    let half = if views.single { bar.radius } else { bar.half_flats } * views.scale;
    let foot = views.front - half;
    let mut tiers = [0.0, 0.0];
    let shared = views.parts.is_some() && views.right - views.left >= SHARED;
    let mut stations: Vec<(End, f64, bool)> = result
        .dimples
        .iter()
        .filter(|d| d.spot != SpotWhen::None)
        .map(|d| (d.end, d.station, d.spot == SpotWhen::Fit))
        .chain(result.grooves.iter().map(|g| (g.end, g.station, false)))
        .collect();
    // The farthest nearest the view: no extension line then runs through words.
    stations.sort_by(|a, b| b.1.total_cmp(&a.1));
    stations.dedup_by(|a, b| a.0 == b.0 && (a.1 - b.1).abs() < 1e-6);
    let mut lengths = Vec::new();
    for (end, station, reference) in stations {
        let slot = usize::from(end == End::Lower && shared);
        let reach = 9.0 + tiers[slot] * TIER;
        tiers[slot] += 1.0;
        let words = value::toleranced(&spec.build, station, shaft.station_tolerance);
        let words =
            if reference { Stacked { first: format!("({})", words.first), second: words.second } } else { words };
        // From the face inward, so that words which do not fit stand past the dimple, not past the end.
        let (face, z, along, reach) = match end {
            End::Upper => (views.left, station, Vec2::new(1.0, 0.0), -reach),
            End::Lower => (views.right, views.length - station, Vec2::new(-1.0, 0.0), reach),
        };
        let ends = [Vec2::new(face, foot), Vec2::new(views.x(z), foot)];
        lengths.push(Linear { ends, along, reach, words, height: BODY });
    }
    let reach = -(9.0 + tiers[0].max(tiers[1]) * TIER);
    let words = value::toleranced(&spec.build, result.cut_length, result.cut_length_max - result.cut_length);
    let ends = [Vec2::new(views.left, foot), Vec2::new(views.right, foot)];
    lengths.push(Linear { ends, along: Vec2::new(1.0, 0.0), reach, words, height: LARGE });
    linears(sheet, &lengths);
    if views.single {
        // Beside the words of the whole length, else under them.
        let taken = Taken::of(sheet);
        let places = [4.0, 8.6].map(|under| {
            label(Vec2::new(views.left + 1.0, foot + reach - under), Anchor::Start, BODY, false, seen_from(bar))
        });
        let [first, second] = places;
        sheet.text(if taken.free(&first, 1.0) { first } else { second });
    } else if bar.has_flats() {
        let ends = [Vec2::new(views.right, foot + 2.0 * half), Vec2::new(views.right, foot)];
        let words = value::stacked(&spec.build, 2.0 * bar.half_flats, "");
        linear(sheet, ends, Vec2::new(0.0, -1.0), 8.0, &words, BODY);
    }
}

/// A dimple whose axis lies in the plane of the paper shows its cone, dashed; the middle of its mouth.
fn dimple_in_profile(sheet: &mut Sheet, dimple: &Dimple, bar: Bar, views: &Views, y: f64, up: f64) -> Vec2 {
    let x = views.x(dimple.z);
    let surface = if dimple.on == On::Flat { bar.half_flats } else { bar.radius };
    let side = up.signum();
    let mouth = y + surface * side * views.scale;
    let middle = Vec2::new(x, mouth);
    let past = Vec2::new(0.0, 3.0 * side);
    if dimple.spot == SpotWhen::Fit {
        sheet.line(Role::Centre, Path::line(middle - past, middle + past));
        return middle;
    }
    let depth = dimple.depth * views.scale;
    let tip = Vec2::new(x, mouth - depth * side);
    let half = 0.5 * dimple.diameter * views.scale;
    let cone = half / libm::tan((0.5 * dimple.drill).to_radians().min(PI / 2.0 - 1e-9)).max(1e-9);
    // A straight wall where the spot is deeper than its cone.
    let wall = (depth - cone).max(0.0) * side;
    let points = [
        Vec2::new(x - half, mouth),
        Vec2::new(x - half, mouth - wall),
        tip,
        Vec2::new(x + half, mouth - wall),
        Vec2::new(x + half, mouth),
    ];
    if let Some(path) = Path::polyline(&points, false) {
        sheet.line(Role::Hidden, path);
    }
    sheet.line(Role::Centre, Path::line(tip - past, middle + past));
    middle
}

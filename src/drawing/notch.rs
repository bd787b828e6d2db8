//! Notch templates: the outside of a rail laid flat, seen from outside.
//!
//! u runs along the rail, v round it, clockwise seen along +u; seen from
//! outside with u to the right, v points down the paper. The whole may be
//! turned, never mirrored.

use super::dimension::{direction_arrow, hatch, linear};
use super::layout::{BODY, Note, SMALL, label, text_width, wrap};
use super::notch_views;
use super::outline;
use super::plate::direction_words;
use super::rail_drill;
use super::sheet::{Anchor, Role, Sheet, Text};
use super::template::{self, Put, Words};
use super::unrolled::{self, Unrolled};
use super::value;
use crate::geometry::{Path, Vec2};
use crate::quantity::{self, INCH, Unit};
use crate::solve::Solution;
use crate::solve::rail_hole::{self, RailHole, Round};
use crate::solve::rail_part;
use crate::solve::solution::{NotchResult, RailResult};
use crate::spec::Spec;
use crate::spec::types::{Build, Edge, Notch, Rail, Section};

/// u right, v down.
pub(super) const LEVEL: [Vec2; 2] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)];
/// The same turned a quarter anticlockwise.
pub(super) const TURNED: [Vec2; 2] = [Vec2::new(0.0, 1.0), Vec2::new(1.0, 0.0)];
/// Paper under the upper edge kept for the words of direction (mm).
const ROUND_V: f64 = 13.0;
/// Room beyond a station line for each line of its words, and round them (mm).
const STATION_LINE: f64 = 1.6 * BODY;
const STATION_ROUND: f64 = 4.0;
/// Room for the names of the faces (mm).
const FACE_WORDS: f64 = 27.0;
/// Least distance of a station line from the outline (mm).
const STATION_CLEAR: f64 = 3.0;

/// What a rail without marks is counted from.
pub(super) const FIRST_POINT: &str = "the rail's first point";

/// What a paper of a rail's outside shows, in part coordinates.
pub(super) struct View {
    pub(super) low: Vec2,
    pub(super) high: Vec2,
    pub(super) stations: [f64; 2],
    /// What is written along each station line.
    station_words: [Vec<String>; 2],
    /// Room beyond the station lines for that (mm).
    station_room: f64,
    /// u of the datum mark, or 0.
    pub(super) datum: f64,
    pub(super) datum_words: String,
    wrap: bool,
    pub(super) unrolled: Unrolled,
    /// Bolt holes, each where it lies on this paper.
    pub(super) holes: Vec<RailHole>,
}

fn found<'a>(
    spec: &'a Spec,
    solution: &'a Solution,
    index: usize,
) -> Option<(&'a Notch, &'a Rail, &'a NotchResult, &'a RailResult)> {
    let notch = spec.notches.get(index)?;
    let result = solution.notches.get(index)?;
    let rail = spec.rails.get(notch.rail)?;
    let rail_result = solution.rails.iter().find(|rail| rail.name == result.rail)?;
    Some((notch, rail, result, rail_result))
}

/// Station (mm) of the mark a notch counts from, and its name; the rail's first point without one.
pub(super) fn datum_of(spec: &Spec, index: usize) -> Option<(f64, String)> {
    let notch = spec.notches.get(index)?;
    let mark = notch.datum.and_then(|mark| spec.rails.get(notch.rail)?.marks.get(mark));
    Some(mark.map_or_else(|| (0.0, FIRST_POINT.to_owned()), |mark| (mark.at, mark.name.clone())))
}

fn view(
    spec: &Spec,
    notch: &Notch,
    rail: &Rail,
    result: &NotchResult,
    rail_result: &RailResult,
    holes: Vec<RailHole>,
) -> Option<View> {
    let mark = notch.datum.and_then(|mark| rail.marks.get(mark));
    let datum_words = mark.map_or_else(|| FIRST_POINT.to_owned(), |mark| mark.name.clone());
    let all = rail_part::paths(result);
    let (low, high) = outline::bounds(all.iter())?;
    let round = rail_hole::round(rail_result, low.y, high.y);
    let mut along = [low.x, high.x];
    for hole in &holes {
        let half = 0.5 * hole.diameter;
        along = [along[0].min(hole.at.x - half), along[1].max(hole.at.x + half)];
    }
    let datum = (mark.map_or(0.0, |mark| mark.at), datum_words);
    Some(View::of(&spec.build, rail, rail_result, (datum, along, round), holes))
}

impl View {
    /// A paper of a rail's outside, round a stretch along it, with its datum mark: station and name.
    pub(super) fn of(
        build: &Build,
        rail: &Rail,
        rail_result: &RailResult,
        ((datum, datum_words), along, round): ((f64, String), [f64; 2], Round),
        holes: Vec<RailHole>,
    ) -> Self {
        // Station lines stand at whole steps of the tape from the datum, or on it.
        let step = match build.units {
            Unit::Inch => 0.5 * INCH,
            Unit::Millimetre => 10.0,
        };
        let [v_low, v_high] = round.v;
        let left = datum + ((along[0] - STATION_CLEAR - datum) / step).floor() * step;
        let right = datum + ((along[1] + STATION_CLEAR - datum) / step).ceil() * step;
        let station_words = [left, right].map(|u| {
            let words = if (u - datum).abs() < 1e-6 {
                format!("this line on {datum_words}")
            } else {
                format!("this line {}", station(build, rail_result, u - datum, &datum_words))
            };
            wrap(&words, BODY, false, v_high - v_low - 4.0)
        });
        let most = station_words.iter().map(Vec::len).max().unwrap_or(1);
        let station_room = STATION_LINE * most as f64 + STATION_ROUND;
        Self {
            low: Vec2::new(left - station_room - FACE_WORDS, v_low),
            high: Vec2::new(right + station_room, v_high),
            stations: [left, right],
            station_words,
            station_room,
            datum,
            datum_words,
            wrap: round.whole,
            unrolled: unrolled::unroll(rail_result, &rail.section, v_low, v_high),
            holes,
        }
    }

    /// Where zero lies, in words.
    pub(super) fn zero_words(&self, build: &Build, rail: &Rail, rail_result: &RailResult) -> String {
        let (zero_u, _) = zero(self);
        let along = if (zero_u - self.datum).abs() < 1e-6 {
            format!("on {}", self.datum_words)
        } else {
            format!("on the station line {}", station(build, rail_result, zero_u - self.datum, &self.datum_words))
        };
        format!("{along}, {}", edge_words(rail.edge, &rail.section))
    }

    /// How to set the paper by its folds.
    pub(super) const fn fold_words(&self) -> &'static str {
        if self.unrolled.names.is_empty() {
            "where corners begin and end; roll the paper round them"
        } else {
            "set them on the lines they name"
        }
    }

    /// How to lay the paper on the rail.
    pub(super) fn wrap_note(&self) -> Note {
        if self.wrap {
            Note::strong(
                "Wrap fully round. The closing marks are the ends of the station lines: if they, or the paper's edges, miss by over 1/16 in (1.6 mm), re-measure the rail.",
            )
        } else {
            Note::body("Trim the paper on its thin border.")
        }
    }
}

/// A distance along the rail from the datum mark: `9 in (228.6 mm) to the front of crossmember rear edge`.
pub(super) fn station(build: &Build, rail: &RailResult, away: f64, datum: &str) -> String {
    let way = if away > 0.0 { rail.frame.along } else { -rail.frame.along };
    let tape = value::tape_and_both(build, away.abs());
    match direction_words(way) {
        "up" => format!("{tape} above {datum}"),
        "down" => format!("{tape} below {datum}"),
        toward => format!("{tape} {toward} of {datum}"),
    }
}

/// Where the L marked `datum` lies: u of zero on the template, and how far that is from the datum mark (mm along +u).
///
/// A mark off the paper has the L on the first station line; the key then reads `datum.` and that distance.
pub(super) fn zero(view: &View) -> (f64, String) {
    let from = view.low.x + FACE_WORDS;
    if view.datum >= from && view.datum <= view.high.x - 1.0 {
        return (view.datum, "datum".into());
    }
    let away = view.stations[0] - view.datum;
    (view.stations[0], format!("datum.{}", quantity::fixed(away, 4)))
}

/// The template at 1:1; none where the notch needs no cut.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize) -> Vec<Sheet> {
    let Some((notch, rail, result, rail_result)) = found(spec, solution, index) else { return Vec::new() };
    let holes = rail_hole::on_notch(rail_result, &rail_hole::holes(solution, rail_result), result);
    let Some(view) = view(spec, notch, rail, result, rail_result, holes) else { return Vec::new() };
    let words = Words {
        title: format!("Notch: {}", notch.name),
        document: "notch template".into(),
        notes: notes(spec, notch, rail, result, rail_result, &view),
        narrow: None,
        wide: None,
        sketch: notch_views::sheet(spec, index, result, rail_result),
    };
    template::set(spec, [view.low, view.high], [LEVEL, TURNED], words, |sheet, put| {
        draw(sheet, spec, result, rail_result, &view, put);
    })
}

/// Net outline, fold lines and datum for a cutting table; `None` where the notch needs no cut.
pub fn cut_sheet(spec: &Spec, solution: &Solution, index: usize) -> Option<Sheet> {
    let (notch, rail, result, rail_result) = found(spec, solution, index)?;
    let holes = rail_hole::on_notch(rail_result, &rail_hole::holes(solution, rail_result), result);
    let view = view(spec, notch, rail, result, rail_result, holes)?;
    let (zero_u, key) = zero(&view);
    let all = rail_part::paths(result);
    let holes: Vec<Path> = view.holes.iter().map(rail_drill::circle).collect();
    let (low, high) = outline::bounds(all.iter().chain(&holes))?;
    let datum_end = 10.0;
    let low = Vec2::new(low.x.min(zero_u).min(view.stations[0]), low.y.min(0.0));
    let high = Vec2::new(high.x.max(zero_u + datum_end).max(view.stations[1]), high.y.max(datum_end));
    Some(template::bare(format!("Notch: {}", notch.name), [low, high], LEVEL, |sheet, put| {
        for (number, path) in all.iter().enumerate() {
            sheet.keyed(Role::Cut, format!("notch.shop.{}", number + 1), put.path(path));
        }
        for (hole, circle) in view.holes.iter().zip(&holes) {
            sheet.keyed(Role::Drill, format!("hole.{}", hole.number), put.path(circle));
        }
        let inside = view.unrolled.folds.iter().filter(|&&v| v >= low.y && v <= high.y);
        for (number, &v) in inside.enumerate() {
            let line = Path::line(Vec2::new(low.x, v), Vec2::new(high.x, v));
            sheet.keyed(Role::Score, format!("fold.{}", number + 1), put.path(&line));
        }
        for (number, &u) in view.stations.iter().enumerate() {
            let line = Path::line(Vec2::new(u, low.y), Vec2::new(u, high.y));
            sheet.keyed(Role::Score, format!("station.{}", number + 1), put.path(&line));
        }
        if let Some(path) = put.datum(Vec2::new(zero_u, 0.0)) {
            sheet.keyed(Role::Score, key, path);
        }
    }))
}

/// Lines of words centred on a point of the part, along a direction of the part made readable on the sheet.
pub(super) fn block(
    sheet: &mut Sheet,
    put: &Put,
    centre: Vec2,
    along: Vec2,
    lines: &[String],
    height: f64,
    bold: bool,
) {
    let way = put.x * along.x + put.y * along.y;
    let way = if way.x < -1e-9 || (way.x.abs() < 1e-9 && way.y < 0.0) { -way } else { way };
    let up = way.left();
    let pitch = 1.6 * height;
    let middle = put.at(centre) + up * (0.5 * pitch * (lines.len() as f64 - 1.0) - 0.5 * height);
    for (row, line) in lines.iter().enumerate() {
        let at = middle - up * (pitch * row as f64);
        sheet.text(Text { angle: way.angle(), ..label(at, Anchor::Middle, height, bold, line.clone()) });
    }
}

pub(super) const U: Vec2 = Vec2::new(1.0, 0.0);
const V: Vec2 = Vec2::new(0.0, 1.0);

fn draw(sheet: &mut Sheet, spec: &Spec, result: &NotchResult, rail: &RailResult, view: &View, put: &Put) {
    let (low, high) = (view.low, view.high);
    let trim = Path::rectangle(low, high.x - low.x, high.y - low.y, 0.0);
    sheet.keyed(Role::Dimension, "trim", put.path(&trim));

    let shop = rail_part::paths(result);
    let on_sheet: Vec<Path> = shop.iter().map(|path| put.path(path)).collect();
    hatch(sheet, &on_sheet, 5.0);
    for (number, path) in on_sheet.into_iter().enumerate() {
        sheet.keyed(Role::Cut, format!("notch.shop.{}", number + 1), path);
    }
    for (number, path) in rail_part::true_paths(result).iter().enumerate() {
        sheet.keyed(Role::Hidden, format!("notch.true.{}", number + 1), put.path(path));
    }
    draw_outside(sheet, rail, view, put);
    draw_crossings(sheet, result, put);
    let (zero_u, key) = zero(view);
    if let Some(path) = put.datum(Vec2::new(zero_u, 0.0)) {
        sheet.keyed(Role::Outline, key, path);
        name_zero(sheet, &shop, view, Vec2::new(zero_u, 0.0), put);
    }
    let rings = result.axes.iter().map(|crossing| Path::circle(crossing.at, 4.0));
    let shown: Vec<Path> = shop.iter().cloned().chain(rings).collect();
    rail_drill::draw_holes(sheet, spec, view, &shown, put);
    draw_width(sheet, spec, view, put);
}

/// Folds, faces, station lines and directions of a paper.
pub(super) fn draw_outside(sheet: &mut Sheet, rail: &RailResult, view: &View, put: &Put) {
    let (low, high) = (view.low, view.high);
    let across = |v: f64, from: f64, to: f64| put.path(&Path::line(Vec2::new(from, v), Vec2::new(to, v)));
    for (number, &v) in view.unrolled.folds.iter().enumerate() {
        // Left out where the station lines have their words.
        sheet.line(Role::Score, across(v, low.x, low.x + FACE_WORDS));
        sheet.keyed(Role::Score, format!("fold.{}", number + 1), across(v, view.stations[0], view.stations[1]));
    }
    for strip in &view.unrolled.strips {
        draw_strip(sheet, put, low.x, strip);
    }
    for (&v, name) in view.unrolled.folds.iter().zip(&view.unrolled.names) {
        let lines = wrap(name, BODY, true, FACE_WORDS - 3.0);
        let tall = STATION_LINE * lines.len() as f64;
        // Under its line, over it at the foot of the paper.
        let v = if v + tall + 2.0 < high.y { v + 1.0 + 0.5 * tall } else { v - 1.0 - 0.5 * tall };
        block(sheet, put, Vec2::new(low.x + 0.5 * FACE_WORDS, v), U, &lines, BODY, true);
    }
    draw_stations(sheet, view, put);
    draw_directions(sheet, rail, view, put);
}

/// From station line to station line.
pub(super) fn draw_width(sheet: &mut Sheet, spec: &Spec, view: &View, put: &Put) {
    let high = view.high;
    let width = [Vec2::new(view.stations[0], high.y), Vec2::new(view.stations[1], high.y)].map(|p| put.at(p));
    let words = value::stacked(&spec.build, view.stations[1] - view.stations[0], "");
    // Into the paper, on the left of +u whichever way it is turned, and off the folds, which run the same way.
    let off = |inward: f64| {
        view.unrolled.folds.iter().map(|v| (high.y - inward - v).abs()).fold(f64::INFINITY, f64::min).min(4.5)
    };
    let inward = [6.0, 5.0, 7.0, 8.0, 9.0].into_iter().fold(6.0, |best, i| if off(i) > off(best) { i } else { best });
    linear(sheet, width, put.x, inward, &words, BODY);
}

/// Length of the arrow on a face (mm).
const ARROW: f64 = 11.0;

/// Name and arrow of one face, in the margin left of the station lines.
fn draw_strip(sheet: &mut Sheet, put: &Put, left: f64, strip: &unrolled::Strip) {
    let tall = strip.to - strip.from;
    let middle = 0.5 * (strip.from + strip.to);
    let column = Vec2::new(left + 0.5 * FACE_WORDS, middle);
    let lines = wrap(&strip.words, BODY, false, FACE_WORDS - 3.0);
    let words_tall = 1.6 * BODY * lines.len() as f64;
    let Some((toward, words)) = strip.arrow else {
        if tall > BODY + 1.0 && words_tall < tall + 1.0 {
            block(sheet, put, column, U, &lines, BODY, false);
        } else if tall > SMALL + 1.0 {
            let lines: Vec<String> = strip.words.split(' ').take(1).map(str::to_owned).collect();
            block(sheet, put, column, U, &lines, SMALL, false);
        }
        return;
    };
    let both = words_tall + ARROW + 6.0;
    if tall < both {
        if tall > words_tall + 1.0 {
            block(sheet, put, column, U, &lines, BODY, true);
        }
        return;
    }
    let top = middle - 0.5 * both;
    block(sheet, put, Vec2::new(column.x, top + 1.0 + 0.5 * words_tall), U, &lines, BODY, true);
    let (a, b) = (top + words_tall + 3.0, top + words_tall + 3.0 + ARROW);
    let (from, to) = if toward { (a, b) } else { (b, a) };
    let x = left + 5.0;
    direction_arrow(sheet, put.at(Vec2::new(x, from)), put.at(Vec2::new(x, to)));
    let wide = text_width(words, BODY, false);
    block(sheet, put, Vec2::new(x + 3.0 + 0.5 * wide, 0.5 * (a + b)), U, &[words.to_owned()], BODY, false);
}

/// The word `zero` inside the L, where neither the notch nor a fold runs.
pub(super) fn name_zero(sheet: &mut Sheet, shop: &[Path], view: &View, zero: Vec2, put: &Put) {
    let words = "zero";
    let size = Vec2::new(text_width(words, BODY, true), BODY);
    let (low, high) = (zero + Vec2::new(1.0, 1.0), zero + Vec2::new(2.5, 2.5) + size);
    let middle = (low + high) * 0.5;
    let folded = view.unrolled.folds.iter().any(|&v| v > low.y - 0.5 && v < high.y + 0.5);
    let taken = shop.iter().any(|path| {
        let points = path.flattened(0.1);
        let next = points.iter().cycle().skip(1);
        let mut inside = false;
        let crossed = points.iter().zip(next).any(|(a, b)| {
            if (a.y > middle.y) != (b.y > middle.y) && a.x + (b.x - a.x) * (middle.y - a.y) / (b.y - a.y) > middle.x {
                inside = !inside;
            }
            a.x.min(b.x) < high.x && a.x.max(b.x) > low.x && a.y.min(b.y) < high.y && a.y.max(b.y) > low.y
        });
        crossed || inside
    });
    if !folded && !taken {
        block(sheet, put, middle, U, &[words.to_owned()], BODY, true);
    }
}

/// A ring and a cross where each axis passes the outside.
fn draw_crossings(sheet: &mut Sheet, result: &NotchResult, put: &Put) {
    /// Radius of the ring, and half of the cross (mm): a centre punch is set by it.
    const RING: f64 = 1.5;
    const HALF: f64 = 4.0;
    for (number, crossing) in result.axes.iter().enumerate() {
        sheet.keyed(Role::Centre, format!("axis.{}", number + 1), put.path(&Path::circle(crossing.at, RING)));
        for arm in [U * HALF, V * HALF] {
            sheet.line(Role::Centre, put.path(&Path::line(crossing.at - arm, crossing.at + arm)));
        }
    }
}

fn draw_stations(sheet: &mut Sheet, view: &View, put: &Put) {
    let (low, high) = (view.low, view.high);
    for (number, (&u, lines)) in view.stations.iter().zip(&view.station_words).enumerate() {
        let line = Path::line(Vec2::new(u, low.y), Vec2::new(u, high.y));
        sheet.keyed(Role::Score, format!("station.{}", number + 1), put.path(&line));
        let side = if number == 0 { -1.0 } else { 1.0 };
        let centre = Vec2::new(u + side * 0.5 * view.station_room, 0.5 * (low.y + high.y));
        block(sheet, put, centre, V, lines, BODY, false);
    }
    if view.datum > view.stations[0] + 1e-6 && view.datum < view.stations[1] - 1e-6 {
        let line = Path::line(Vec2::new(view.datum, low.y), Vec2::new(view.datum, high.y));
        sheet.keyed(Role::Score, "station.datum", put.path(&line));
    }
}

/// Which end goes where, in the strip of paper before the outline.
fn draw_directions(sheet: &mut Sheet, rail: &RailResult, view: &View, put: &Put) {
    let room = 0.5 * (view.stations[1] - view.stations[0]) - 14.0;
    let broken = |words: &str| wrap(words, BODY, true, room.max(20.0));
    let ends = [(-1.0, view.stations[0]), (1.0, view.stations[1])].map(|(sign, from)| {
        let toward = match direction_words(rail.frame.along * sign) {
            "to the front" => "this end toward the front",
            "to the rear" => "this end toward the rear",
            "to the left" => "this end toward the left side",
            "to the right" => "this end toward the right side",
            "up" => "this end up",
            _ => "this end down",
        };
        let mut lines = if text_width(toward, BODY, true) <= room { vec![toward.to_owned()] } else { broken(toward) };
        // The strip holds two lines.
        if lines.len() > 2 {
            lines = broken(toward.trim_start_matches("this end "));
        }
        (sign, from, lines)
    });
    // Off the folds, which run the same way; two lines may have to stand beyond the first of them.
    let two = ends.iter().any(|(.., lines)| lines.len() > 1);
    let (most, lifts) = if two { (0.8 * BODY + 0.5 * BODY + 0.7, 10) } else { (3.5, 4) };
    let off = |v: f64| view.unrolled.folds.iter().map(|fold| (v - fold).abs()).fold(f64::INFINITY, f64::min).min(most);
    let middle = view.low.y + 0.5 * ROUND_V - 1.0;
    let up = (0..lifts).map(f64::from);
    let v =
        up.chain([-1.0]).map(|lift| middle + lift).fold(middle, |best, v| if off(v) > off(best) { v } else { best });
    for (sign, from, lines) in ends {
        let tip = Vec2::new(from - sign * 2.0, v);
        let tail = tip - U * (sign * 10.0);
        direction_arrow(sheet, put.at(tail), put.at(tip));
        let wide = lines.iter().map(|line| text_width(line, BODY, true)).fold(0.0, f64::max);
        block(sheet, put, tail - U * (sign * (1.5 + 0.5 * wide)), U, &lines, BODY, true);
    }
}

fn edge_words(edge: Edge, section: &Section) -> String {
    let pipe = matches!(section, Section::Pipe { .. });
    match edge {
        Edge::Corner(a, b) if pipe => format!("midway between the pipe's {} and its {}", a.word(), b.word()),
        Edge::Centre if pipe => "top of the pipe".into(),
        Edge::Corner(a, b) => format!("middle of the {} {} corner", a.word(), b.word()),
        Edge::Centre => "middle of the top face".into(),
    }
}

fn notes(
    spec: &Spec,
    notch: &Notch,
    rail: &Rail,
    result: &NotchResult,
    rail_result: &RailResult,
    view: &View,
) -> Vec<Note> {
    let build = &spec.build;
    let front = direction_words(rail_result.frame.along);
    let mut notes = vec![
        Note::heading(notch.name.clone()),
        Note::strong("Paper goes on the outside of the rail, printed side out. Seen from outside. Scale 1:1."),
        Note::strong("Cut the metal to the inside edge of the solid line; the hatched side goes."),
        Note::body(format!(
            "Zero, the L: {}. u runs along the rail {front}. Set both station lines by tape.",
            view.zero_words(build, rail, rail_result)
        )),
        Note::body(format!(
            "Dashed outline: the least that must go for {} of clearance. Short-dashed lines along the rail: {}.",
            value::tape_and_both(build, notch.clearance),
            view.fold_words()
        )),
        Note::body(format!(
            "Notch {} along, {} round the rail. {}",
            value::both(build, result.width),
            value::both(build, result.depth),
            match &result.liner {
                None => format!(
                    "Inside corners at least {} radius; {} more metal goes than the clearance asks.",
                    value::tape_and_both(build, notch.corner),
                    value::powered(build, result.extra_area, 2).replace('\n', ", ")
                ),
                Some(liner) => format!(
                    "The line is the outside of its {}, tube of {}: try it before welding.",
                    liner.kind.word(),
                    value::tape_and_both(build, liner.outside)
                ),
            }
        )),
    ];
    if let [first, ..] = &result.axes[..] {
        let mut parts: Vec<&str> = result.axes.iter().map(|crossing| crossing.part.as_str()).collect();
        parts.dedup();
        let of = if parts.len() == 1 { first.part.clone() } else { parts.join(" and ") };
        notes.push(Note::body(format!(
            "Ring and cross: the axis of {of} passes the outside here. Sight or string it through before you cut."
        )));
    }
    notes.extend(rail_drill::hole_notes(build, rail_result, view));
    notes.push(view.wrap_note());
    notes.push(Note::strong("Support the frame and move fuel and brake lines before welding near it."));
    notes.push(Note::body("A notched rail is weaker: its repair is for a licensed engineer or certifier to judge."));
    notes
}

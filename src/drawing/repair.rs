//! Templates of what makes a notched rail good: a liner's or sleeve's outside laid flat, doublers.
//!
//! A tube is shown from outside, s to the right and t, along its axis, up; a
//! doubler from the side away from the rail, u along the rail to the right.

use super::dimension::{direction_arrow, linear};
use super::layout::{BODY, Note, label, text_width, wrap};
use super::notch::{datum_of, station};
use super::outline;
use super::plate::direction_words;
use super::record_notch::welding;
use super::sheet::{Anchor, Role, Sheet};
use super::template::{self, Put, Words};
use super::unrolled::inboard;
use super::value;
use crate::geometry::{Path, Vec2, Vec3};
use crate::quantity;
use crate::solve::Solution;
use crate::solve::doubler_part;
use crate::solve::files::RepairPart;
use crate::solve::solution::{DoublerResult, LinerResult, NotchResult, RailResult};
use crate::spec::Spec;
use crate::spec::types::LinerKind;

/// First coordinate right, second up.
const LEVEL: [Vec2; 2] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];
/// The same turned a quarter anticlockwise.
const TURNED: [Vec2; 2] = [Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0)];
/// Paper kept round the outline (mm): room for dimensions and words.
const ROUND: f64 = 14.0;

/// From an arrow to the words beside it (mm).
const BESIDE_ARROW: f64 = 4.0;

/// What one template shows, in its own coordinates.
struct View {
    title: String,
    document: &'static str,
    loops: Vec<Path>,
    low: Vec2,
    high: Vec2,
    /// Where the L stands, and its key.
    zero: Vec2,
    key: String,
    notes: Vec<Note>,
    /// Lines to set it by, and their keys.
    lines: Vec<(Path, String)>,
    /// Words at the two ends of the second coordinate and of the first.
    ends: [Option<String>; 4],
}

fn found<'a>(spec: &'a Spec, solution: &'a Solution, index: usize, part: RepairPart) -> Option<View> {
    let result = solution.notches.get(index)?;
    match part {
        RepairPart::Liner => liner(spec, result, result.liner.as_ref()?),
        RepairPart::Doubler(number) => {
            let rail = solution.rails.iter().find(|rail| rail.name == result.rail)?;
            doubler(spec, index, (result, rail), result.doublers.get(number)?)
        }
    }
}

/// The template at 1:1.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize, part: RepairPart) -> Vec<Sheet> {
    let Some(view) = found(spec, solution, index, part) else { return Vec::new() };
    let words = Words {
        title: view.title.clone(),
        document: view.document.into(),
        notes: view.notes.clone(),
        narrow: None,
        sketch: None,
        wide: None,
    };
    let mut bounds = [view.low - Vec2::new(ROUND, ROUND), view.high + Vec2::new(ROUND, ROUND)];
    // What stands beside the upper arrow may reach past a narrow part.
    let above = view.ends[1].as_ref().map_or(0.0, |words| text_width(words, BODY, true));
    bounds[1].x = bounds[1].x.max(0.5 * (view.low.x + view.high.x) + BESIDE_ARROW + above + 1.0);
    template::set(spec, bounds, [LEVEL, TURNED], words, |sheet, put| draw(sheet, spec, &view, put))
}

/// Net outline and the lines to set it by, for a cutter.
pub fn cut_sheet(spec: &Spec, solution: &Solution, index: usize, part: RepairPart) -> Option<Sheet> {
    let view = found(spec, solution, index, part)?;
    let zero = view.zero;
    let low = Vec2::new(view.low.x.min(zero.x), view.low.y.min(zero.y));
    let high = Vec2::new(view.high.x.max(zero.x + 10.0), view.high.y.max(zero.y + 10.0));
    Some(template::bare(view.title.clone(), [low, high], LEVEL, |sheet, put| {
        for (number, path) in view.loops.iter().enumerate() {
            sheet.keyed(Role::Cut, format!("outline.{}", number + 1), put.path(path));
        }
        for (line, key) in &view.lines {
            sheet.keyed(Role::Score, key.clone(), put.path(line));
        }
        if let Some(path) = put.datum(zero) {
            sheet.keyed(Role::Score, view.key.clone(), path);
        }
    }))
}

fn draw(sheet: &mut Sheet, spec: &Spec, view: &View, put: &Put) {
    for (number, path) in view.loops.iter().enumerate() {
        sheet.keyed(Role::Cut, format!("outline.{}", number + 1), put.path(path));
    }
    for (line, key) in &view.lines {
        sheet.keyed(Role::Score, key.clone(), put.path(line));
    }
    if let Some(path) = put.datum(view.zero) {
        sheet.keyed(Role::Outline, view.key.clone(), path);
    }
    let middle = (view.low + view.high) * 0.5;
    let (x, y) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    let edges = [
        (Vec2::new(middle.x, view.low.y), -y),
        (Vec2::new(middle.x, view.high.y), y),
        (Vec2::new(view.low.x, middle.y), -x),
        (Vec2::new(view.high.x, middle.y), x),
    ];
    for ((edge, out), words) in edges.into_iter().zip(&view.ends) {
        let Some(words) = words else { continue };
        let (from, to) = (edge + out * 3.0, edge + out * 11.0);
        direction_arrow(sheet, put.at(from), put.at(to));
        let side = Vec2::new(-out.y, out.x).left().left();
        let lines = wrap(words, BODY, true, 60.0);
        for (row, line) in lines.iter().enumerate() {
            let turned = put.x * side.x + put.y * side.y;
            let at =
                put.at(edge + out * 7.0) + turned * BESIDE_ARROW - Vec2::new(0.0, 1.6 * BODY * row as f64 + 0.5 * BODY);
            let anchor = if turned.x > 0.5 {
                Anchor::Start
            } else if turned.x < -0.5 {
                Anchor::End
            } else {
                Anchor::Middle
            };
            sheet.text(label(at, anchor, BODY, true, line.clone()));
        }
    }
    let build = &spec.build;
    let across = [Vec2::new(view.low.x, view.low.y), Vec2::new(view.high.x, view.low.y)].map(|p| put.at(p));
    linear(sheet, across, put.x, -9.0, &value::stacked(build, view.high.x - view.low.x, ""), BODY);
    let upright = [view.low, Vec2::new(view.low.x, view.high.y)].map(|p| put.at(p));
    linear(sheet, upright, put.y, 9.0, &value::stacked(build, view.high.y - view.low.y, ""), BODY);
}

fn liner(spec: &Spec, notch: &NotchResult, liner: &LinerResult) -> Option<View> {
    let build = &spec.build;
    let word = liner.kind.word();
    let path = Path::polyline(&liner.outline, true)?;
    let (low, high) = outline::bounds(std::iter::once(&path))?;
    let length = |mm| value::tape_and_both(build, mm);
    let toward = match direction_words(liner.frame.axis) {
        "up" => "this end up".to_owned(),
        "down" => "this end down".to_owned(),
        words => format!("this end {words}"),
    };
    let top = direction_words(liner.frame.x);
    let neutral = (liner.outside - liner.wall) / liner.outside;
    let mut notes = vec![
        Note::heading(format!("{}: {word}", notch.name)),
        Note::strong("Paper goes on the outside of the tube, printed side out, seen from outside. Scale 1:1."),
        Note::strong("Cut to the outside edge of the solid line; file to a close fit before welding."),
        Note::body(format!(
            "Zero, the L: where the short-dashed lines cross, one along the tube on the side that faces {}, one square round the middle of its length. Scribe both first.",
            top.trim_start_matches("to the ")
        )),
        Note::body(format!("Round tube, {} outside, {} wall.", length(liner.outside), length(liner.wall))),
        Note::body(format!("At least {} of tube before its ends are cut.", length(liner.length))),
    ];
    if liner.kind == LinerKind::Sleeve {
        notes.push(Note::strong(
            "Wrap fully round: the two straight sides meet. If they miss or lap by over 1/16 in (1.6 mm), measure the tube.",
        ));
    } else {
        notes.push(Note::body(format!(
            "Rolled from plate, the flat blank is {} as wide: rolling bends it about the middle of its wall.",
            quantity::percent(neutral)
        )));
    }
    notes.push(Note::body(
        "Its outside is the line on the rail's own template: tape both on and compare before cutting.",
    ));
    notes.extend(welding());
    let around = Path::line(Vec2::new(low.x, 0.0), Vec2::new(high.x, 0.0));
    let along = Path::line(Vec2::new(0.0, low.y), Vec2::new(0.0, high.y));
    let lines = vec![(around, "line.square".to_owned()), (along, "line.along".to_owned())];
    Some(View {
        title: format!("{}: {word}", notch.name),
        document: "wrap template",
        loops: vec![path],
        low,
        high,
        zero: Vec2::default(),
        key: "datum".into(),
        notes,
        lines,
        ends: [None, Some(toward), None, None],
    })
}

fn doubler(
    spec: &Spec,
    index: usize,
    (notch, rail): (&NotchResult, &RailResult),
    doubler: &DoublerResult,
) -> Option<View> {
    let build = &spec.build;
    let loops = doubler_part::paths(doubler);
    let (low, high) = outline::bounds(loops.iter())?;
    let (datum, words) = datum_of(spec, index)?;
    // The L stands on the plate's first end, told to a ten-thousandth from the mark.
    let away = ((low.x - datum) * 1e4).round() / 1e4;
    let length = |mm| value::tape_and_both(build, mm);
    // Toward what a direction points, with inboard or outboard where it points across the vehicle.
    let side = |way: Vec3| {
        let words = direction_words(way).trim_start_matches("to the ");
        let across = match words {
            "left" | "right" => inboard(&rail.frame, words == "right"),
            _ => None,
        };
        match (words, across) {
            ("up", _) => "upper".to_owned(),
            ("down", _) => "lower".to_owned(),
            (words, Some(across)) => format!("{words} ({across})"),
            (words, None) => words.to_owned(),
        }
    };
    let from = side(doubler.frame.u * -1.0);
    let face = match inboard(&rail.frame, doubler.face == "right") {
        Some(across) if matches!(doubler.face.as_str(), "left" | "right") => {
            format!("{} face ({across})", doubler.face)
        }
        _ => format!("{} face", doubler.face),
    };
    let mut notes = vec![
        Note::heading(format!("{}: doubler, {} face", notch.name, doubler.face)),
        Note::strong(
            "Seen from outside, as it lies on the rail: paper on the plate's outer face, printed side out. Scale 1:1.",
        ),
        Note::strong(
            "Leave the line on the plate: cut the outline to its outside edge, an opening to the inside edge of the line.",
        ),
        Note::body(format!(
            "Zero, the L: where the plate's {from} end meets the line of its {} edge. On the rail it stands {}; find it by tape. u runs along the rail {}, v {}.",
            side(doubler.frame.v * -1.0),
            station(build, rail, away, &words),
            direction_words(doubler.frame.u),
            direction_words(doubler.frame.v),
        )),
        Note::body(format!("{} plate on the {face} of \"{}\".", length(doubler.thick), notch.rail)),
        Note::body("Clear of the rail's corners by a weld's leg. Both ends taper; drill no holes in them."),
    ];
    notes.extend(welding());
    // On the drawing in one or two words: outboard, or the way itself.
    let [end, up] = [doubler.frame.u, doubler.frame.v].map(|way| {
        let words = direction_words(way).trim_start_matches("to the ");
        match words {
            "left" | "right" => inboard(&rail.frame, words == "right").unwrap_or(words),
            _ => words,
        }
        .to_owned()
    });
    Some(View {
        title: format!("{}: doubler, {} face", notch.name, doubler.face),
        document: "doubler template",
        loops,
        low,
        high,
        zero: Vec2::new(datum + away, low.y),
        key: if away == 0.0 { "datum".into() } else { format!("datum.{}", quantity::fixed(away, 4)) },
        notes,
        lines: Vec::new(),
        ends: [None, Some(up), None, Some(end)],
    })
}

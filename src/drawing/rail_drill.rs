//! Bolt holes in the walls of rails, on the paper laid round them.

use super::dimension::punch_cross;
use super::layout::{BODY, LARGE, Note, text_width};
use super::notch::{self, FIRST_POINT, U, View, block};
use super::outline;
use super::plate::{direction_words, outer_ticks};
use super::sheet::{Role, Sheet};
use super::table::Table;
use super::taken::Taken;
use super::template::{self, Put, Words};
use super::value;
use crate::geometry::{Path, Vec2};
use crate::solve::Solution;
use crate::solve::plate::drill_in_words;
use crate::solve::rail_hole::{self, RailHole};
use crate::solve::rail_part;
use crate::solve::solution::RailResult;
use crate::spec::Spec;
use crate::spec::types::{Build, Rail};

/// A hole's circle on the unrolled outside.
pub(super) fn circle(hole: &RailHole) -> Path {
    Path::circle(hole.at, 0.5 * hole.diameter)
}

/// Circles, punch crosses, numbers and drills; `shown` is what else the paper has between its station lines.
pub(super) fn draw_holes(sheet: &mut Sheet, spec: &Spec, view: &View, shown: &[Path], put: &Put) {
    let mut taken = Taken::default();
    for path in shown {
        let (low, high) = put.path(path).bounds();
        taken.area([low, high]);
    }
    let across = |v: f64| Path::line(Vec2::new(view.low.x, v), Vec2::new(view.high.x, v));
    for v in view.unrolled.folds.iter().copied().chain([view.low.y, view.high.y]) {
        taken.path(&put.path(&across(v)));
    }
    for u in view.stations.into_iter().chain([view.datum]) {
        taken.path(&put.path(&Path::line(Vec2::new(u, view.low.y), Vec2::new(u, view.high.y))));
    }
    let (zero, _) = notch::zero(view);
    for hole in &view.holes {
        let (low, high) = put.path(&Path::circle(hole.at, 0.5 * hole.diameter + TICKS)).bounds();
        taken.area([low, high]);
    }
    // The L with its word, the words of direction and the width.
    let kept = [
        (Vec2::new(zero, 0.0), Vec2::new(zero + 12.0, 12.0)),
        (Vec2::new(view.stations[0], view.low.y), Vec2::new(view.stations[1], view.low.y + 12.0)),
        (Vec2::new(view.stations[0], view.high.y - 12.0), Vec2::new(view.stations[1], view.high.y)),
    ];
    for (a, b) in kept {
        taken.area(put.path(&Path::rectangle(a, b.x - a.x, b.y - a.y, 0.0)).bounds().into());
    }
    for hole in &view.holes {
        sheet.keyed(Role::Drill, format!("hole.{}", hole.number), put.path(&circle(hole)));
        let centre = put.at(hole.at);
        punch_cross(sheet, centre, (0.5 * hole.diameter).min(3.0));
        outer_ticks(sheet, centre, 0.5 * hole.diameter);
        set_words(sheet, spec, hole, put, &mut taken);
    }
}

/// Least length of a paper between its station lines (mm): room for the words of direction.
const LEAST: f64 = 46.0;
/// How far a hole's ticks reach beyond it (mm).
const TICKS: f64 = 3.0;

/// The hole's number, and its drills where they have room, beside it along the rail.
fn set_words(sheet: &mut Sheet, spec: &Spec, hole: &RailHole, put: &Put, taken: &mut Taken) {
    let pilot = hole.pilot.map(|pilot| format!("pilot {}", drill_in_words(pilot, spec.build.units)));
    let whole: Vec<String> = std::iter::once(format!("{}: drill {}", hole.number, hole.drill)).chain(pilot).collect();
    let ways = [(whole, BODY), (vec![hole.number.to_string()], LARGE)];
    let reach = 0.5 * hole.diameter + TICKS + 1.5;
    for (lines, height) in ways {
        let wide = lines.iter().map(|line| text_width(line, height, true)).fold(0.0, f64::max);
        let tall = 1.6 * height * (lines.len() as f64 - 1.0) + height;
        let (side, over) = (reach + 0.5 * wide, reach + 0.5 * tall);
        // Level with the hole on either side, then under and over it, then beside and a little up or down.
        let shifts = [0.0, -0.3, 0.3, -0.6, 0.6, -1.0, 1.0].map(|f| f * over);
        let beside = shifts.into_iter().flat_map(|v| [[side, v], [-side, v]]);
        let slid = [0.0, 0.5, -0.5, 0.9, -0.9].into_iter().flat_map(|f| [[f * side, -over], [f * side, over]]);
        let places = [[side, 0.0], [-side, 0.0]].into_iter().chain(slid).chain(beside);
        let boxed = |at: Vec2| {
            let corner = at - Vec2::new(0.5 * wide, 0.5 * tall);
            let (low, high) = put.path(&Path::rectangle(corner, wide, tall, 0.0)).bounds();
            [low, high]
        };
        let free = places.map(|[u, v]| hole.at + Vec2::new(u, v)).find(|at| taken.is_free(boxed(*at)));
        if let Some(at) = free {
            block(sheet, put, at, U, &lines, height, true);
            taken.area(boxed(at));
            return;
        }
    }
}

/// What a paper says of its holes: a line for each, and how to drill them.
pub(super) fn hole_notes(build: &Build, rail: &RailResult, view: &View) -> Vec<Note> {
    let mut notes: Vec<Note> = view
        .holes
        .iter()
        .map(|hole| {
            let pilot = hole
                .pilot
                .map_or_else(String::new, |pilot| format!(", pilot {} first", drill_in_words(pilot, build.units)));
            Note::body(format!(
                "Hole {}, {} of {}: drill {}{pilot}. {}; {}.",
                hole.number,
                hole.size,
                hole.bolt,
                hole.drill,
                notch::station(build, rail, hole.at.x - view.datum, &view.datum_words),
                place_words(build, rail, view, hole)
            ))
        })
        .collect();
    if !notes.is_empty() {
        notes
            .push(Note::body("Punch the crosses through the paper and drill square to each wall, one wall at a time."));
    }
    notes
}

/// On which face a hole is and how far in from it; round from zero.
fn place_words(build: &Build, rail: &RailResult, view: &View, hole: &RailHole) -> String {
    let round = format!("{} round the rail from zero", value::tape_and_both(build, hole.at.y.abs()));
    let face = view.unrolled.strips.iter().find(|strip| strip.from <= hole.at.y && hole.at.y <= strip.to);
    let Some((face, (toward, side))) = face.and_then(|face| Some((face, face.arrow?))) else { return round };
    match from_side(rail, hole, toward) {
        Some(away) => {
            let side = if side == "up" { "top" } else { side };
            format!("{}, {} in from the rail's {side} side; {round}", face.words, value::tape_and_both(build, away))
        }
        None => format!("{}; {round}", face.words),
    }
}

/// From the outside of the rail to a hole in the face beside it (mm), at the end of larger v or at the other.
fn from_side(rail: &RailResult, hole: &RailHole, larger: bool) -> Option<f64> {
    let strips = rail_part::strips(rail);
    let count = strips.len();
    let flat = rail_hole::flat(rail, hole)?;
    let i = strips.iter().position(|strip| *strip == flat)?;
    let v = rail_part::turns(rail).map(|by| hole.at.y + by).find(|&v| v >= flat.low() && v <= flat.high())?;
    let beside = |i: usize| strips.get(i % count).filter(|_| rail.girth.is_some() || i < count);
    let corner = |strip: Option<&rail_part::Strip>| strip.and_then(rail_part::Strip::radius).unwrap_or_default();
    Some(if larger {
        flat.high() - v + corner(beside(i + 1))
    } else {
        v - flat.low() + corner(if i == 0 { strips.last().filter(|_| rail.girth.is_some()) } else { strips.get(i - 1) })
    })
}

/// One paper of holes that no notch's template shows, at 1:1.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize, paper: usize) -> Vec<Sheet> {
    let found = spec.rails.get(index).zip(solution.rails.get(index));
    let Some((rail, result)) = found else { return Vec::new() };
    let Some(holes) = rail_hole::papers(solution, result).into_iter().nth(paper) else { return Vec::new() };
    let Some(view) = view(spec, rail, result, holes) else { return Vec::new() };
    let words = Words {
        title: format!("Holes in rail: {}", rail.name),
        document: "rail drilling template".into(),
        notes: notes(spec, solution, rail, result, &view),
        narrow: Some(table(spec, result, &view)),
        wide: None,
        sketch: None,
    };
    let turns = [notch::LEVEL, notch::TURNED];
    template::set(spec, [view.low, view.high], turns, words, |sheet, put| {
        let size = view.high - view.low;
        let trim = Path::rectangle(view.low, size.x, size.y, 0.0);
        sheet.keyed(Role::Dimension, "trim", put.path(&trim));
        notch::draw_outside(sheet, result, &view, put);
        let (zero, key) = notch::zero(&view);
        let zero = Vec2::new(zero, 0.0);
        if let Some(path) = put.datum(zero) {
            sheet.keyed(Role::Outline, key, path);
            let circles: Vec<Path> = view.holes.iter().map(circle).collect();
            notch::name_zero(sheet, &circles, &view, zero, put);
        }
        draw_holes(sheet, spec, &view, &[], put);
        notch::draw_width(sheet, spec, &view, put);
    })
}

fn view(spec: &Spec, rail: &Rail, result: &RailResult, holes: Vec<RailHole>) -> Option<View> {
    let circles: Vec<Path> = holes.iter().map(circle).collect();
    let (low, high) = outline::bounds(circles.iter())?;
    let (mark, at) = rail_hole::mark(spec, result, &holes);
    let name = mark.and_then(|mark| rail.marks.get(mark)).map_or_else(|| FIRST_POINT.to_owned(), |m| m.name.clone());
    let round = rail_hole::round(result, low.y, high.y);
    let more = (0.5 * (LEAST - (high.x - low.x))).max(0.0);
    let along = [low.x - more, high.x + more];
    Some(View::of(&spec.build, rail, result, ((at, name), along, round), holes))
}

fn notes(spec: &Spec, solution: &Solution, rail: &Rail, result: &RailResult, view: &View) -> Vec<Note> {
    let build = &spec.build;
    let mut notes = vec![
        Note::heading(rail.name.clone()),
        Note::strong("Paper goes on the outside of the rail, printed side out. Seen from outside. Scale 1:1."),
        Note::body(format!(
            "Zero, the L: {}. u runs along the rail {}. Set both station lines by tape.",
            view.zero_words(build, rail, result),
            direction_words(result.frame.along)
        )),
        Note::body(format!("Short-dashed lines along the rail: {}.", view.fold_words())),
        Note::body("Punch the crosses through the paper and drill square to each wall, one wall at a time."),
    ];
    let twice = solution.bolts.iter().any(|bolt| {
        let walls = bolt.passes.iter().filter(|pass| pass.kind == "rail" && pass.part == rail.name).count();
        walls > 1 && view.holes.iter().any(|hole| hole.bolt == bolt.name)
    });
    if twice && result.girth.is_some() {
        notes.push(Note::body(
            "Through both walls of a tube: weld or slide in a sleeve, or the bolt draws the walls together.",
        ));
    }
    notes.push(view.wrap_note());
    notes.push(Note::strong("Look for fuel, brake and electric lines in and behind the rail before you drill."));
    notes.push(Note::body("Holes weaken a rail: where they may go is for a licensed engineer or certifier to judge."));
    notes
}

/// Number, places and sizes.
fn table(spec: &Spec, rail: &RailResult, view: &View) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[("no.", 8.0), ("place", 46.0), ("bolt", 22.0), ("size", 24.0)]);
    for hole in &view.holes {
        let [first, second] = value::pair(build, hole.diameter);
        let pilot = hole.pilot.map_or_else(String::new, |p| format!("\npilot {}", drill_in_words(p, build.units)));
        table.row([
            hole.number.to_string(),
            format!(
                "{}; {}",
                notch::station(build, rail, hole.at.x - view.datum, &view.datum_words),
                place_words(build, rail, view, hole)
            ),
            format!("{}\n{}", hole.bolt, hole.size),
            format!("⌀{first}, ⌀{second}\ndrill {}{pilot}", hole.drill),
        ]);
    }
    table
}

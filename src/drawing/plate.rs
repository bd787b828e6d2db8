//! Plate templates.

use super::dimension::{centre_mark, direction_arrow, linear, punch_cross};
use super::layout::{BODY, LARGE, Note, SMALL, label, text_width};
use super::outline;
use super::sheet::{Anchor, Role, Sheet, Text};
use super::table::Table;
use super::taken::Taken;
use super::template::{self, Put, Words};
use super::value;
use crate::geometry::{Path, Vec2, Vec3};
use crate::quantity;
use crate::solve::Solution;
use crate::solve::plate::{centre_marks, drill_in_words, hole_outline, path};
use crate::solve::solution::{BendResult, HoleResult, OpeningResult, PlateResult};
use crate::solve::twin;
use crate::spec::Spec;
use crate::spec::types::PlatePlace;

/// Room under and left of the outline for its two dimensions (mm).
const DIMENSIONS: f64 = 13.5;
/// Room over and right of the outline (mm).
const AROUND: f64 = 0.5;

const LEVEL: [Vec2; 2] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];
/// Level or a quarter turn, level first.
pub(super) const fn turns() -> template::Turns {
    [LEVEL, TURNED]
}

/// A quarter turn anticlockwise.
const TURNED: [Vec2; 2] = [Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0)];

fn paths(plate: &PlateResult) -> Vec<Path> {
    let holes = plate.holes.iter().filter_map(|hole| path(&hole_outline(hole)));
    let openings = plate.openings.iter().filter_map(|opening| path(&opening.outline));
    path(&plate.outline).into_iter().chain(holes).chain(openings).collect()
}

/// The template at 1:1; the table of holes on a sheet of its own where it does not fit beside.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize) -> Vec<Sheet> {
    let Some(plate) = solution.plates.get(index) else { return Vec::new() };
    let all = paths(plate);
    let Some((low, high)) = outline::bounds(all.iter()) else { return Vec::new() };
    let words = Words {
        title: format!("Plate: {}", plate.name),
        document: "plate template".into(),
        notes: notes(spec, (solution, index), plate),
        narrow: Some(narrow_table(spec, plate)),
        wide: Some(wide_table(spec, plate)),
        sketch: None,
    };
    let need = [low - Vec2::new(DIMENSIONS, DIMENSIONS), high + Vec2::new(AROUND, AROUND)];
    template::set(spec, need, turns(), words, |sheet, put| {
        draw_edges(sheet, plate, put, None);
        draw_words(sheet, spec, plate, put, [low, high]);
    })
}

/// Net outline, holes, openings and datum for a cutting table: the outline's bounds and 5 mm.
///
/// Holes too small for the cutter are centre marks among the scored lines, with their drill as a note.
pub fn cut_sheet(spec: &Spec, solution: &Solution, index: usize) -> Option<Sheet> {
    let plate = solution.plates.get(index)?;
    let all = paths(plate);
    let (low, high) = outline::bounds(all.iter())?;
    let title = format!("Plate: {}", plate.name);
    let least = spec.output.least_hole;
    let mut sheet = template::bare(title, [low, high], LEVEL, |sheet, put| draw_edges(sheet, plate, put, Some(least)));
    if plate.holes.iter().any(|hole| !centre_marks(hole, plate.thick, least).is_empty()) {
        let under = value::both(&spec.build, least * plate.thick);
        let least = quantity::fixed(least, 2);
        sheet.alt = format!(
            "{} Blind holes, and holes under {least} thicknesses ({under}), are centre marks, to be drilled.",
            sheet.alt
        );
    }
    Some(sheet)
}

/// Outline, openings, holes and datum; for a cutting table with its smallest hole in thicknesses, else with marks for
/// work by hand.
fn draw_edges(sheet: &mut Sheet, plate: &PlateResult, put: &Put, cutter: Option<f64>) {
    let marks = cutter.is_none();
    if let Some(path) = path(&plate.outline) {
        sheet.keyed(Role::Cut, "outline", put.path(&path));
    }
    for (number, opening) in plate.openings.iter().enumerate() {
        if let Some(path) = path(&opening.outline) {
            sheet.keyed(Role::Cut, format!("opening.{}", number + 1), put.path(&path));
        }
        if marks {
            centre_mark(sheet, put.at(opening.centre), 3.0);
        }
    }
    for (number, bend) in plate.bends.iter().enumerate() {
        let [from, to] = bend.line;
        sheet.keyed(Role::Score, format!("bend.{}", number + 1), put.path(&Path::line(from, to)));
        for [from, to] in bend.tangents.into_iter().filter(|_| marks) {
            sheet.line(Role::Centre, put.path(&Path::line(from, to)));
        }
    }
    for (number, hole) in plate.holes.iter().enumerate() {
        let centres = cutter.map_or_else(Vec::new, |least| centre_marks(hole, plate.thick, least));
        if !centres.is_empty() {
            mark_centres(sheet, number + 1, hole, &centres, put);
        } else if let Some(path) = path(&hole_outline(hole)) {
            sheet.keyed(Role::Drill, format!("hole.{}", number + 1), put.path(&path));
        }
        if marks {
            let centre = put.at(hole.centre);
            punch_cross(sheet, centre, (0.5 * hole.diameter).min(3.0));
            if hole.slot.is_none() {
                outer_ticks(sheet, centre, 0.5 * hole.diameter);
            }
        }
    }
    if let Some(path) = put.datum(Vec2::default()) {
        sheet.keyed(Role::Score, "datum", path);
    }
}

/// Small crosses to be scored where a drill is to be set, and which drill. They go with the hole.
fn mark_centres(sheet: &mut Sheet, number: usize, hole: &HoleResult, centres: &[Vec2], put: &Put) {
    let arm = (0.4 * hole.diameter).clamp(0.3, 1.5);
    for (end, &centre) in centres.iter().enumerate() {
        for (axis, way) in [("u", Vec2::new(arm, 0.0)), ("v", Vec2::new(0.0, arm))] {
            let line = put.path(&Path::line(centre - way, centre + way));
            sheet.keyed(Role::Score, format!("centre.{number}.{}.{axis}", end + 1), line);
        }
    }
    if let Some(&first) = centres.first() {
        let at = put.at(first) + Vec2::new(0.5 * hole.diameter + 1.0, -0.5 * SMALL);
        let words = format!("drill {}", hole.drill);
        sheet.text(label(at, Anchor::Start, SMALL, false, words));
    }
}

/// Four ticks outside a hole, so that its centre can be found again once it is drilled.
pub(super) fn outer_ticks(sheet: &mut Sheet, centre: Vec2, radius: f64) {
    for way in [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, -1.0)] {
        sheet.line(Role::Drill, Path::line(centre + way * (radius + 0.8), centre + way * (radius + 3.0)));
    }
}

fn draw_words(sheet: &mut Sheet, spec: &Spec, plate: &PlateResult, put: &Put, [low, high]: [Vec2; 2]) {
    for (number, opening) in plate.openings.iter().enumerate() {
        let c = put.at(opening.centre);
        let room = opening.minor - 6.0;
        let name = &opening.name;
        let words = if text_width(name, BODY, false) < room { name.clone() } else { format!("opening {}", number + 1) };
        if text_width(&words, BODY, false) < room {
            sheet.text(label(c + Vec2::new(0.0, 6.5), Anchor::Middle, BODY, false, words));
            sheet.text(label(c - Vec2::new(0.0, 9.0), Anchor::Middle, BODY, false, "cut out"));
        }
    }
    let cuts = paths(plate);
    let cuts = cuts.iter().skip(1).map(|path| put.path(path).bounds()).map(|(low, high)| [low, high]);
    let numbers = plate.holes.iter().enumerate().map(|(number, hole)| number_box(number, hole, put));
    let mut taken: Vec<Box> = cuts.chain(numbers).collect();
    bend_words(sheet, plate, put, &mut taken);
    taken.push(draw_up(sheet, plate, put, [low, high], &taken));
    hole_words(sheet, plate, put, &mut taken);
    // Outside the corner, in the notch the two extension lines leave.
    let below = put.at(Vec2::default()) - Vec2::new(0.0, 1.2 + BODY);
    let (at, anchor) =
        if put.y.y > 0.5 { (Vec2::new(1.5, 0.0), Anchor::Start) } else { (Vec2::new(-1.5, 0.0), Anchor::End) };
    sheet.text(label(below + at, anchor, BODY, true, "zero"));
    // Overall size, outside the outline on the sides of zero.
    let build = &spec.build;
    let (a, b) = (put.at(low), put.at(Vec2::new(high.x, low.y)));
    linear(sheet, [a, b], put.x, -8.5, &value::stacked(build, high.x - low.x, ""), BODY);
    let b = put.at(Vec2::new(low.x, high.y));
    linear(sheet, [a, b], put.y, 8.5, &value::stacked(build, high.y - low.y, ""), BODY);
}

/// `bend up 90°` beside each bend's line, where it has room; the note lists them all.
fn bend_words(sheet: &mut Sheet, plate: &PlateResult, put: &Put, taken: &mut Vec<Box>) {
    /// From a tangent line to the words (mm).
    const OFF: f64 = 1.2;
    let lines = plate.bends.iter().flat_map(|bend| [bend.line, bend.tangents[0], bend.tangents[1]]);
    taken.extend(lines.map(|ends| {
        let [a, b] = ends.map(|p| put.at(p));
        [Vec2::new(a.x.min(b.x), a.y.min(b.y)), Vec2::new(a.x.max(b.x), a.y.max(b.y))]
    }));
    for bend in &plate.bends {
        let words = bend_word(bend);
        let wide = text_width(&words, BODY, false);
        let [from, to] = bend.tangents[0].map(|p| put.at(p));
        let Some(along) = (to - from).unit() else { continue };
        let reading = if along.x > 1e-9 || (along.x.abs() <= 1e-9 && along.y > 0.0) { along } else { -along };
        let out = (put.at(bend.tangents[0][0]) - put.at(bend.line[0])).unit().unwrap_or_else(|| along.left());
        let lift = if reading.left().dot(out) > 0.0 { OFF } else { OFF + BODY };
        let long = (to - from).length();
        // Whole on the plate.
        let inside = |f: &f64| f.min(1.0 - f) * long > 0.5 * wide + 1.0;
        let places: Vec<Vec2> =
            [0.5, 0.3, 0.7, 0.2, 0.8].into_iter().filter(inside).map(|f| from + (to - from) * f + out * lift).collect();
        let boxed = |at: Vec2| {
            let half = reading * (0.5 * wide);
            let corners = [at - half, at + half, at - half + reading.left() * BODY, at + half + reading.left() * BODY];
            corners.iter().fold([at, at], |[low, high], p| {
                [Vec2::new(low.x.min(p.x), low.y.min(p.y)), Vec2::new(high.x.max(p.x), high.y.max(p.y))]
            })
        };
        let free = |at: &&Vec2| {
            let own = boxed(**at);
            taken.iter().all(|&other| apart(own, other, 0.7))
        };
        if let Some(&at) = places.iter().find(free) {
            sheet.text(Text { angle: reading.angle(), ..label(at, Anchor::Middle, BODY, false, words) });
            taken.push(boxed(at));
        }
    }
}

/// `bend up 90°`: toward the viewer of the drawn face.
pub(super) fn bend_word(bend: &BendResult) -> String {
    let way = if bend.up { "up" } else { "down" };
    format!("{} {way} {}", bend.name, quantity::degrees(bend.angle, 1))
}

/// The arrow of up with its words, as high and as near the middle as nothing else stands; the box it takes.
fn draw_up(sheet: &mut Sheet, plate: &PlateResult, put: &Put, [low, high]: [Vec2; 2], taken: &[Box]) -> Box {
    /// Length of the arrow (mm), and where there is less room for it.
    const LONG: f64 = 16.0;
    const SHORT: f64 = 9.0;
    /// Kept round arrow and words (mm).
    const CLEAR: f64 = 1.5;
    let toward = direction_words(plate.frame.v);
    let whole = format!("this way {toward}");
    let upright = put.y.y > 0.5;
    // On a narrow plate the words are smaller and the arrow shorter, then the words on two lines.
    let ways: Vec<(f64, Vec<String>)> = if upright {
        vec![(LARGE, vec![whole.clone()]), (BODY, vec![whole]), (BODY, vec!["this way".to_owned(), toward.to_owned()])]
    } else {
        vec![(BODY, vec![whole]), (BODY, vec!["this way".to_owned(), toward.to_owned()])]
    };
    let wide = |(height, lines): &(f64, Vec<String>)| {
        lines.iter().map(|line| text_width(line, *height, true)).fold(0.0, f64::max)
    };
    let arrow = |way: &(f64, Vec<String>)| {
        let short = if upright { way.0 < LARGE } else { way.1.len() > 1 };
        if short { SHORT } else { LONG }
    };
    let place = |way: &(f64, Vec<String>), tip: Vec2| {
        let (height, count) = (way.0, way.1.len() as f64);
        if upright {
            let half = Vec2::new(0.5 * wide(way), 0.0);
            [tip - half - Vec2::new(0.0, arrow(way) + 2.0 + height * (1.0 + 1.6 * (count - 1.0))), tip + half]
        } else {
            // On a turned sheet the arrow lies level; its words stand under it.
            let under = 4.0 + BODY * (1.0 + 1.6 * (count - 1.0));
            [tip - Vec2::new(0.0, under), tip + Vec2::new(wide(way).max(arrow(way)), 2.0)]
        }
    };
    let middle = 0.5 * (low.x + high.x);
    let across = (high.x - low.x) / 16.0;
    let down = (high.y - low.y) / 48.0;
    let tips = (0..44).flat_map(|row| {
        let v = high.y - 4.0 - f64::from(row) * down;
        (0..7)
            .flat_map(move |i| [middle + f64::from(i) * across, middle - f64::from(i) * across])
            .map(move |u| Vec2::new(u, v))
    });
    let (a, b) = (put.at(low), put.at(high));
    let sheet_box = [Vec2::new(a.x.min(b.x), a.y.min(b.y)), Vec2::new(a.x.max(b.x), a.y.max(b.y))];
    // An outline is not always a rectangle.
    let mut rim = Taken::default();
    if let Some(edge) = path(&plate.outline) {
        rim.path(&put.path(&edge));
    }
    let free = |way: &(f64, Vec<String>), tip: Vec2| {
        let [from, to] = place(way, put.at(tip));
        let inside =
            from.x > sheet_box[0].x && from.y > sheet_box[0].y && to.x < sheet_box[1].x && to.y < sheet_box[1].y;
        inside && rim.is_free([from, to]) && taken.iter().all(|&other| apart([from, to], other, CLEAR))
    };
    let tips: Vec<Vec2> = tips.collect();
    let found = ways.iter().find_map(|way| Some((way, *tips.iter().find(|tip| free(way, **tip))?)));
    let Some((way, tip)) = found.or_else(|| Some((ways.last()?, Vec2::new(middle, high.y - 4.0)))) else {
        return [put.at(low); 2];
    };
    let tip = put.at(tip);
    let (height, lines) = way;
    direction_arrow(sheet, tip - put.y * arrow(way), tip);
    for (i, line) in lines.iter().enumerate() {
        let (at, anchor) = if upright {
            (tip - Vec2::new(0.0, arrow(way) + 1.5 + height * (1.0 + 1.6 * i as f64)), Anchor::Middle)
        } else {
            (tip - Vec2::new(0.0, 3.0 + BODY * (1.0 + 1.6 * i as f64)), Anchor::Start)
        };
        sheet.text(label(at, anchor, *height, true, line.clone()));
    }
    place(way, tip)
}

/// A box on the sheet: lower left and upper right corner.
type Box = [Vec2; 2];

/// Whether two boxes keep at least `clear` apart.
fn apart([a, b]: Box, [low, high]: Box, clear: f64) -> bool {
    high.x + clear < a.x || b.x + clear < low.x || high.y + clear < a.y || b.y + clear < low.y
}

/// From a hole's centre to where its words start, up to the right or left (mm).
fn beside(hole: &HoleResult) -> f64 {
    0.71 * (0.5 * hole.diameter + hole.slot.map_or(0.0, |slot| 0.5 * slot.length) + 1.2)
}

/// Where the numbers of the holes stand.
fn number_box(number: usize, hole: &HoleResult, put: &Put) -> Box {
    let low = put.at(hole.centre) + Vec2::new(1.0, 1.0) * beside(hole);
    [low, low + Vec2::new(text_width(&(number + 1).to_string(), LARGE, true), LARGE)]
}

/// The holes' numbers, and their drills where the words have room; `taken` is what else the sheet shows, the holes first.
fn hole_words(sheet: &mut Sheet, plate: &PlateResult, put: &Put, taken: &mut Vec<Box>) {
    /// Kept between the words and any edge (mm).
    const CLEAR: f64 = 0.7;
    let Some(edge) = path(&plate.outline).map(|path| put.path(&path)) else { return };
    let outline = edge.bounds();
    let mut rim = Taken::default();
    rim.path(&edge);
    for (number, hole) in plate.holes.iter().enumerate() {
        let [low, high] = number_box(number, hole, put);
        sheet.text(label(low, Anchor::Start, LARGE, true, (number + 1).to_string()));
        let size = Vec2::new(text_width(&hole.drill, BODY, false), BODY);
        // Left of a round hole; left of a slot's number, since a slot's far side is too far from it.
        let slot = hole.slot.is_some();
        let right_end = if slot { low.x - 1.5 } else { put.at(hole.centre).x - beside(hole) };
        let left = Vec2::new(right_end - size.x, low.y);
        let free = [Vec2::new(high.x + 1.5, low.y), left].into_iter().find(|&start| {
            let words = [start - Vec2::new(0.0, 0.8), start + size];
            let inside = words[0].x - CLEAR > outline.0.x && words[1].x + CLEAR < outline.1.x;
            // A round hole of its own is kept clear of by where the words start.
            let mut others =
                taken.iter().enumerate().filter(|&(i, &other)| (slot || i != number) && other != [low, high]);
            inside && rim.is_free(words) && others.all(|(_, &other)| apart(words, other, CLEAR))
        });
        if let Some(start) = free {
            sheet.text(label(start, Anchor::Start, BODY, false, hole.drill.clone()));
            taken.push([start, start + size]);
        }
    }
}

/// The main vehicle direction of a unit vector, in words.
pub(super) fn direction_words(d: Vec3) -> &'static str {
    let (x, y, z) = (d.x.abs(), d.y.abs(), d.z.abs());
    if z >= x && z >= y {
        if d.z > 0.0 { "up" } else { "down" }
    } else if x >= y {
        if d.x > 0.0 { "to the rear" } else { "to the front" }
    } else if d.y > 0.0 {
        "to the right"
    } else {
        "to the left"
    }
}

/// From which side the drawn face is seen.
pub(super) fn side_words(spec: &Spec, index: usize, plate: &PlateResult) -> String {
    let facing = match direction_words(plate.frame.w) {
        "to the rear" => "faces the rear, toward the driver",
        "to the front" => "faces the front, away from the driver",
        "to the right" => "faces the vehicle's right",
        "to the left" => "faces the vehicle's left",
        "up" => "faces up",
        _ => "faces down",
    };
    match spec.plates.get(index).map(|plate| plate.place) {
        Some(PlatePlace::SquareTo { .. }) => format!("Seen from the side that {facing}, away from the linkage."),
        _ => format!("Seen from the side that {facing}."),
    }
}

/// That one drawing does for several plates, where it does.
pub(super) fn twin_note(solution: &Solution, index: usize) -> Option<Note> {
    let twins = twin::twins(solution, index);
    let names: Vec<String> = twins.iter().map(|name| format!("\"{name}\"")).collect();
    let count = match names.len() {
        0 => return None,
        1 => "two".to_owned(),
        more => (more + 1).to_string(),
    };
    Some(Note::strong(format!("The same part as {}: make {count}, from any one of their drawings.", names.join(", "))))
}

fn notes(spec: &Spec, (solution, index): (&Solution, usize), plate: &PlateResult) -> Vec<Note> {
    let build = &spec.build;
    let zero = zero_words(spec, index);
    let mut notes = vec![
        Note::heading(plate.name.clone()),
        Note::strong(format!("{} Scale 1:1.", side_words(spec, index, plate))),
        Note::strong("Cut openings to the inside edge of the line, the outline to its outside edge."),
        Note::body(format!(
            "Zero, the L, is {zero}, seen from that side with the arrow pointing {}: u to the right, v along the arrow.",
            direction_words(plate.frame.v)
        )),
        Note::body("Punch every centre, drill small first, then to size. Break all edges."),
        Note::body(format!(
            "Thickness {}, all of it behind the printed face. Paper on that face, printed side out.",
            value::tape_and_both(build, plate.thick)
        )),
    ];
    notes.extend(twin_note(solution, index));
    if !plate.bends.is_empty() {
        let words: Vec<String> = plate
            .bends
            .iter()
            .map(|bend| {
                let inside = value::both(build, bend.inside);
                format!("{}, inside radius {inside}", bend_word(bend))
            })
            .collect();
        notes.push(Note::strong(format!(
            "Flat pattern. Bend on the dashed lines, up is toward you: {}.",
            words.join("; ")
        )));
        notes.push(Note::body(
            "Drill before bending. Try the bend on a strip of the same sheet: the pattern rests on its K-factor.",
        ));
    }
    if spec.unmeasured.iter().any(|value| value.key.starts_with(&format!("plate.{index}."))) {
        notes.push(Note::strong("Measure and confirm: some sizes come from the catalogue."));
    }
    notes.push(Note::body("With brackets and clamps on, the column must still collapse as made."));
    notes
}

/// Where (0, 0) of a plate is to be found on it.
pub(super) fn zero_words(spec: &Spec, index: usize) -> &'static str {
    let Some(outline) = spec.plates.get(index).map(|plate| &plate.outline) else { return "" };
    let at = |p: &Vec2| p.length() < 1e-6;
    let lowest = outline.corners.iter().all(|p| p.x > -1e-6 && p.y > -1e-6);
    match (outline.corners.iter().any(at), outline.radius > 0.0) {
        (true, _) if !lowest => {
            "a corner in the plate's edge, and not its lowest: mark it from the template, or measure from two edges"
        }
        (true, true) => "the lower left corner of the plate, where its straight edges would meet",
        (true, false) => "the lower left corner of the plate",
        (false, _) => "no corner of the plate: mark it from the template, or measure from two edges",
    }
}

/// All a hole is, on lines of their own.
fn size_words(spec: &Spec, hole: &HoleResult) -> String {
    let mut lines = vec![form_words(spec, hole)];
    if let Some(pilot) = hole.pilot {
        lines.push(format!("pilot {}", drill_in_words(pilot, spec.build.units)));
    }
    if hole.depth.is_some() {
        lines.push(depth_words(spec, hole));
    }
    lines.join("\n")
}

/// Size, drill, slot, tap and countersink of a hole, on lines of their own.
pub(super) fn form_words(spec: &Spec, hole: &HoleResult) -> String {
    let build = &spec.build;
    let [first, second] = value::pair(build, hole.diameter);
    let mut words = format!("⌀{first}, ⌀{second}\ndrill {}", hole.drill);
    if let Some(slot) = hole.slot {
        let [first, _] = value::pair(build, slot.length);
        words = format!("{words}\nslot {first} at {}", quantity::degrees(slot.angle, 1));
    }
    if let Some(tap) = &hole.tap {
        words = format!("{words}\ntap {tap}");
    }
    if let Some(cone) = &hole.countersink {
        let [first, _] = value::pair(build, cone.diameter);
        let side = if cone.side == "back" { " at the back" } else { "" };
        words = format!("{words}\ncountersink {}\nto ⌀{first}{side}", quantity::degrees(cone.angle, 0));
    }
    words
}

/// `through`, or how deep a blind hole and its thread go.
pub(super) fn depth_words(spec: &Spec, hole: &HoleResult) -> String {
    let Some(depth) = hole.depth else { return "through".into() };
    let [drilled, _] = value::pair(&spec.build, depth);
    match hole.thread_depth {
        Some(depth) => format!("drill {drilled} deep\nthread {} deep", value::pair(&spec.build, depth)[0]),
        None => format!("{drilled} deep"),
    }
}

pub(super) fn opening_size(spec: &Spec, opening: &OpeningResult) -> String {
    let [major, major_too] = value::pair(&spec.build, opening.major);
    let [minor, minor_too] = value::pair(&spec.build, opening.minor);
    // Under the last place printed it is a round.
    if opening.major - opening.minor < 0.005 {
        return format!("⌀{major}\n⌀{major_too}");
    }
    let kind = match opening.shape.as_deref() {
        Some("slot") => "slot, overall\n",
        Some("ellipse") => "ellipse\n",
        _ => "",
    };
    let angle = quantity::degrees(opening.angle, 1);
    format!("{kind}{major} × {minor}\n{major_too} × {minor_too}\nlong axis {angle} from u")
}

fn narrow_table(spec: &Spec, plate: &PlateResult) -> Table {
    let mut table = Table::new(&[("no.", 8.6), ("u", 22.8), ("v", 22.8), ("size", 24.8)]);
    for (number, hole) in plate.holes.iter().enumerate() {
        table.row([
            (number + 1).to_string(),
            value::two_lines(&spec.build, hole.centre.x),
            value::two_lines(&spec.build, hole.centre.y),
            size_words(spec, hole),
        ]);
    }
    for opening in &plate.openings {
        table.row([
            "cut".into(),
            value::two_lines(&spec.build, opening.centre.x),
            value::two_lines(&spec.build, opening.centre.y),
            opening_size(spec, opening),
        ]);
    }
    table
}

/// The table with names, for a sheet of its own and for the build record.
pub(super) fn wide_table(spec: &Spec, plate: &PlateResult) -> Table {
    let mut table = Table::new(&[("no.", 9.0), ("name", 36.0), ("u", 22.0), ("v", 22.0), ("size", 50.0)]);
    for (number, hole) in plate.holes.iter().enumerate() {
        table.row([
            (number + 1).to_string(),
            hole.name.clone(),
            value::two_lines(&spec.build, hole.centre.x),
            value::two_lines(&spec.build, hole.centre.y),
            size_words(spec, hole),
        ]);
    }
    for opening in &plate.openings {
        table.row([
            "cut".into(),
            opening.name.clone(),
            value::two_lines(&spec.build, opening.centre.x),
            value::two_lines(&spec.build, opening.centre.y),
            opening_size(spec, opening),
        ]);
    }
    table
}

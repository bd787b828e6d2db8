//! Drilling drawing of a plate: ordinates from one datum, the table of holes, sections of what is not a plain hole.
//!
//! Ordinate dimensioning by ISO 129-1 (from memory): one origin, thin lines to the outside, the value at the end of
//! each. Values that would stand too near to one another are moved apart and their lines bent.

use super::dimension::{centre_mark, hatch};
use super::layout::{Area, BODY, Note, label, notes_height, set_notes, text_width};
use super::layout_sheet::SCALES;
use super::plate::{depth_words, form_words, opening_size, zero_words};
use super::sheet::{Anchor, Role, Sheet, Text};
use super::table::{self, Pages, Table};
use super::taken::Taken;
use super::title_block::{self, Heading};
use super::value;
use super::{drilling_detail, folded_view, outline, plate, shaft_detail, shaft_words};
use crate::catalog::fasteners;
use crate::geometry::{Path, Vec2};
use crate::quantity;
use crate::solve::Solution;
use crate::solve::plate::{drill_in_words, drill_tip, hole_outline, path};
use crate::solve::solution::{HoleResult, PlateResult};
use crate::spec::Spec;
use crate::spec::types::Unit;

/// From the plate to the values of its ordinates, for their lines and bends (mm).
const LINES: f64 = 11.0;
/// Least distance of two values (mm).
const PITCH: f64 = 3.8;
/// Share of the page's height the view may take, so that the table begins under it.
const SHARE: f64 = 0.78;
/// Two ordinates nearer than this are one (mm).
const SAME: f64 = 0.005;
/// Length of the arms of the zero mark (mm).
const ARM: f64 = 8.0;

/// The drawing; its table runs on to further pages where it is long.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize) -> Vec<Sheet> {
    let Some(plate) = solution.plates.get(index) else { return Vec::new() };
    let size = title_block::upright(spec);
    let body = title_block::room(size).body.without(3.0, 2.0, 3.0, 3.0);
    let paths: Vec<Path> = path(&plate.outline).into_iter().collect();
    let Some((low, high)) = outline::bounds(paths.iter()) else { return Vec::new() };
    let written = |smaller: usize, close: bool| {
        let mut sheet = Sheet::new(format!("Drilling drawing: {}", plate.name), size, false);
        sheet.alt = format!("{}. Holes by ordinates from zero, and a table of holes.", sheet.title);
        let view = View::fit(spec, plate, [low, high], body, smaller);
        view.draw(&mut sheet, spec, plate);
        let details = drilling_detail::details(plate, view.over);
        let beside = Area::new(Vec2::new(view.high.x, view.bottom()), body.high);
        let shown = drilling_detail::beside(&mut sheet, spec, &details, beside);
        let mut pages = Pages::under(sheet, body, view.bottom()).close(close);
        pages.notes(&notes(spec, (solution, index), plate, &view));
        pages.section("Holes");
        pages.table(&table(spec, plate));
        if !plate.bends.is_empty() {
            pages.section("Bends");
            pages.table(&bends(spec, plate));
            folded_view::set(&mut pages, spec, plate);
            pages.heading("Holes once it is bent, in vehicle axes");
            pages.table(&folded(spec, plate));
        }
        if !shown {
            drilling_detail::set(&mut pages, spec, &details);
        }
        let formed = formed(plate);
        if !formed.is_empty() {
            pages.section("Sections");
            for hole in formed {
                let notes = section_notes(spec, plate, hole);
                let height = notes_height(&notes, SECTION_WORDS).max(THICK + 10.0);
                pages.figure(height, |sheet, area| section(sheet, plate, hole, &notes, area));
            }
        }
        let mut sheets = pages.finish();
        let scale = if view.over > 1.0 { format!("1:{}", view.over) } else { "1:1, do not trace".into() };
        title_block::draw(&mut sheets, spec, &Heading { document: "drilling drawing".into(), scale });
        sheets
    };
    table::fewest([(0, false), (0, true), (1, true)], |(smaller, close)| written(smaller, close))
}

/// The plate's face on the paper.
struct View {
    /// Millimetres of plate a millimetre of paper.
    over: f64,
    /// Room left of and under the plate for the ordinates (mm).
    margin: f64,
    /// Paper place of (0, 0).
    zero: Vec2,
    /// Lower left and upper right corner of the plate, on paper.
    low: Vec2,
    high: Vec2,
    area: Area,
}

impl View {
    /// The largest scale that fits, or a scale `smaller` by that many steps.
    fn fit(spec: &Spec, plate: &PlateResult, [low, high]: [Vec2; 2], body: Area, smaller: usize) -> Self {
        let centres = plate.holes.iter().map(|hole| hole.centre).chain(plate.openings.iter().map(|o| o.centre));
        let levels = centres.chain([low, high]).flat_map(|p| [p.x, p.y]);
        let widest = levels.map(|level| text_width(&ordinate_words(spec, level), BODY, false)).fold(0.0, f64::max);
        let margin = LINES + widest + 2.5;
        let room = Vec2::new(body.width() - margin - 2.0, body.height() * SHARE - margin - 2.0);
        let size = high - low;
        let steps = SCALES[usize::from(spec.build.units == Unit::Inch)];
        let fits = |over: &f64| size.x <= room.x * over && size.y <= room.y * over;
        let least = (size.x / room.x).max(size.y / room.y).ceil();
        let over = std::iter::once(1.0).chain(steps).filter(fits).nth(smaller).unwrap_or(least);
        let corner = Vec2::new(body.low.x + margin, body.high.y - 1.0 - size.y / over);
        let zero = corner - low * (1.0 / over);
        Self { over, margin, zero, low: corner, high: corner + size * (1.0 / over), area: body }
    }

    fn at(&self, p: Vec2) -> Vec2 {
        self.zero + p * (1.0 / self.over)
    }

    fn path(&self, path: &Path) -> Path {
        let unit = 1.0 / self.over;
        path.carried(self.zero, Vec2::new(unit, 0.0), Vec2::new(0.0, unit))
    }

    fn bottom(&self) -> f64 {
        self.low.y - self.margin
    }

    fn draw(&self, sheet: &mut Sheet, spec: &Spec, plate: &PlateResult) {
        let mut taken = Taken::default();
        let mut edge = |sheet: &mut Sheet, role: Role, key: String, path: Path| {
            taken.path(&path);
            if key.is_empty() { sheet.line(role, path) } else { sheet.keyed(role, key, path) }
        };
        if let Some(path) = path(&plate.outline) {
            edge(sheet, Role::Outline, "outline".into(), self.path(&path));
        }
        for (n, opening) in plate.openings.iter().enumerate() {
            if let Some(path) = path(&opening.outline) {
                edge(sheet, Role::Outline, format!("opening.{}", n + 1), self.path(&path));
            }
        }
        for (n, hole) in plate.holes.iter().enumerate() {
            if let Some(path) = path(&hole_outline(hole)) {
                edge(sheet, Role::Outline, format!("hole.{}", n + 1), self.path(&path));
            }
            if drilling_detail::is_small(hole, self.over) {
                let ring = shaft_detail::ring(self.at(hole.centre), rim(hole) / self.over);
                edge(sheet, Role::Dimension, String::new(), ring);
            }
            if let Some(cone) = &hole.countersink {
                let role = if cone.side == "back" { Role::Hidden } else { Role::Outline };
                edge(sheet, role, String::new(), self.path(&Path::circle(hole.centre, cone.diameter / 2.0)));
            }
            if let Some(major) = hole.tap.as_deref().and_then(fasteners::thread).map(|entry| entry.thread.diameter) {
                edge(sheet, Role::Dimension, String::new(), self.path(&Path::circle(hole.centre, major / 2.0)));
            }
        }
        for (n, bend) in plate.bends.iter().enumerate() {
            let [from, to] = bend.line;
            edge(sheet, Role::Hidden, format!("bend.{}", n + 1), self.path(&Path::line(from, to)));
        }
        for (centre, radius) in self.marks(plate) {
            let arm = radius + 2.0;
            taken.path(&Path::line(centre - Vec2::new(arm, 0.0), centre + Vec2::new(arm, 0.0)));
            taken.path(&Path::line(centre - Vec2::new(0.0, arm), centre + Vec2::new(0.0, arm)));
            centre_mark(sheet, centre, radius);
        }
        let zero = [Vec2::new(ARM, 0.0), Vec2::default(), Vec2::new(0.0, ARM)].map(|arm| self.zero + arm);
        if let Some(path) = Path::polyline(&zero, false) {
            taken.path(&path);
            sheet.keyed(Role::Dimension, "zero", path);
        }
        // Where the ordinates run.
        let out = Vec2::new(self.margin, self.margin);
        taken.area([self.low - out, Vec2::new(self.high.x, self.low.y - 1.0)]);
        taken.area([self.low - out, Vec2::new(self.low.x - 1.0, self.high.y)]);
        self.labels(sheet, plate, &mut taken);
        self.ordinates(sheet, spec, plate, false);
        self.ordinates(sheet, spec, plate, true);
    }

    /// Every centre on paper, with the radius its mark reaches past.
    fn marks(&self, plate: &PlateResult) -> Vec<(Vec2, f64)> {
        let holes = plate.holes.iter().map(|hole| (hole.centre, rim(hole)));
        let openings = plate.openings.iter().map(|opening| (opening.centre, 4.0 * self.over));
        holes.chain(openings).map(|(centre, radius)| (self.at(centre), radius / self.over)).collect()
    }

    /// Numbers of holes and letters of openings, each beside its own where nothing else stands.
    fn labels(&self, sheet: &mut Sheet, plate: &PlateResult, taken: &mut Taken) {
        let holes = plate.holes.iter().enumerate().map(|(n, hole)| (hole.centre, rim(hole), (n + 1).to_string()));
        let openings = plate.openings.iter().enumerate().map(|(n, o)| (o.centre, 4.0 * self.over, letter(n)));
        for (centre, radius, words) in holes.chain(openings) {
            let (centre, radius) = (self.at(centre), radius / self.over);
            let half = Vec2::new(text_width(&words, BODY, true), BODY) * 0.5;
            let places = (0..10).flat_map(|ring| {
                (0..16).map(move |i| {
                    let way = Vec2::polar(std::f64::consts::TAU * (f64::from(i) + 2.0) / 16.0);
                    centre + way * (radius + 1.0 + half.length() + f64::from(ring) * 1.5)
                })
            });
            let fit = |at: &Vec2| taken.is_free([*at - half, *at + half]);
            let mut places = places;
            let Some(at) = places.find(fit) else { continue };
            taken.area([at - half, at + half]);
            let foot = at - Vec2::new(0.0, half.y);
            sheet.text(label(foot, Anchor::Middle, BODY, true, words));
        }
    }

    /// Every level at which something lies, along u or v; `None` for more than the sheet has room for.
    fn levels(&self, plate: &PlateResult, upright: bool) -> Option<Vec<f64>> {
        let take = |p: Vec2| if upright { p.y } else { p.x };
        let centres = plate.holes.iter().map(|hole| hole.centre).chain(plate.openings.iter().map(|o| o.centre));
        let corners = plate.outline.iter().flat_map(|vertex| {
            // A rounded corner counts where its straight edges lie.
            vertex.centre.map_or(vec![vertex.at], |_| Vec::new())
        });
        let ends = [self.low, self.high].map(|p| (p - self.zero) * self.over);
        let mut levels: Vec<f64> = centres.chain(ends).map(take).chain([0.0]).collect();
        let more: Vec<f64> = corners.map(take).collect();
        let room = if upright { self.area.high.y - self.low.y + 20.0 } else { self.area.high.x - self.low.x + 20.0 };
        let most = (room / PITCH) as usize;
        let sorted = |mut all: Vec<f64>| {
            all.sort_by(f64::total_cmp);
            all.dedup_by(|b, a| (*b - *a).abs() < SAME);
            all
        };
        levels = sorted(levels);
        let with_corners = sorted(levels.iter().copied().chain(more).collect());
        if with_corners.len() <= most && plate.outline.iter().all(|vertex| vertex.centre.is_none()) {
            levels = with_corners;
        }
        (levels.len() <= most).then_some(levels)
    }

    /// Every level with its value in both units outside the plate; the table has those that find no room.
    fn ordinates(&self, sheet: &mut Sheet, spec: &Spec, plate: &PlateResult, upright: bool) {
        let Some(levels) = self.levels(plate, upright) else { return };
        let origin = if upright { self.zero.y } else { self.zero.x };
        let wanted: Vec<f64> = levels.iter().map(|level| origin + level / self.over).collect();
        let (least, greatest) = if upright {
            (self.low.y - 20.0, self.area.high.y - BODY)
        } else {
            (self.low.x - 20.0, self.area.high.x - BODY)
        };
        let placed = spread(&wanted, PITCH, least, greatest);
        for ((&level, &from), &to) in levels.iter().zip(&wanted).zip(&placed) {
            let edge = if upright { self.low.x } else { self.low.y };
            let point = |along: f64, out: f64| {
                if upright { Vec2::new(edge - out, along) } else { Vec2::new(along, edge - out) }
            };
            let bend = [point(from, 1.5), point(from, 3.0), point(to, LINES - 2.5), point(to, LINES - 1.0)];
            if let Some(path) = Path::polyline(&bend, false) {
                sheet.line(Role::Dimension, path);
            }
            let words = ordinate_words(spec, level);
            let at = point(to, LINES);
            let (angle, at) = if upright {
                (0.0, at - Vec2::new(0.0, 0.5 * BODY))
            } else {
                (std::f64::consts::FRAC_PI_2, at + Vec2::new(0.5 * BODY, 0.0))
            };
            sheet.text(Text { angle, ..label(at, Anchor::End, BODY, level.abs() < SAME, words) });
        }
    }
}

fn ordinate_words(spec: &Spec, level: f64) -> String {
    if level.abs() < SAME {
        return "0".into();
    }
    let [first, second] = value::pair(&spec.build, level);
    format!("{first} [{second}]")
}

/// `A`, `B`, … `Z`, `AA`, …
pub(super) fn letter(n: usize) -> String {
    let last = char::from(b'A' + u8::try_from(n % 26).unwrap_or(0));
    if n < 26 { last.to_string() } else { format!("{}{last}", letter(n / 26 - 1)) }
}

/// Outer radius of a hole with its cone or thread, half a slot's length included.
fn rim(hole: &HoleResult) -> f64 {
    let cone = hole.countersink.as_ref().map_or(0.0, |cone| cone.diameter);
    hole.diameter.max(cone) / 2.0 + hole.slot.map_or(0.0, |slot| slot.length / 2.0)
}

/// Places as near to those wanted, which rise, as `pitch` between neighbours allows (pool adjacent violators, the least
/// squares fit under an order), inside `least` to `greatest`.
fn spread(wanted: &[f64], pitch: f64, least: f64, greatest: f64) -> Vec<f64> {
    let step = |i: usize| pitch * i as f64;
    // Blocks of neighbours that touch: sum of their wishes less their steps, and count.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for (i, wish) in wanted.iter().enumerate() {
        blocks.push((wish - step(i), 1));
        while let [.., a, b] = blocks[..]
            && a.0 / a.1 as f64 > b.0 / b.1 as f64
        {
            blocks.truncate(blocks.len() - 2);
            blocks.push((a.0 + b.0, a.1 + b.1));
        }
    }
    let levels = blocks.iter().flat_map(|&(sum, count)| std::iter::repeat_n(sum / count as f64, count));
    let span = step(wanted.len().saturating_sub(1));
    levels.enumerate().map(|(i, level)| level.min(greatest - span).max(least) + step(i)).collect()
}

fn notes(spec: &Spec, (solution, index): (&Solution, usize), plate: &PlateResult, view: &View) -> Vec<Note> {
    let mut notes = vec![Note::strong(plate::side_words(spec, index, plate))];
    notes.extend(plate::twin_note(solution, index));
    notes.push(Note::body(format!(
        "All dimensions run from zero, which is {}. u runs to the right, v up the sheet. Thickness {}, behind this face.",
        zero_words(spec, index),
        value::tape_and_both(&spec.build, plate.thick)
    )));
    if !plate.bends.is_empty() {
        notes.push(Note::strong("Flat pattern, drilled before it is bent; up is toward the viewer."));
    }
    let left_out =
        [(false, "u"), (true, "v")].into_iter().filter(|(upright, _)| view.levels(plate, *upright).is_none());
    let left_out: Vec<&str> = left_out.map(|(_, axis)| axis).collect();
    if !left_out.is_empty() {
        notes.push(Note::strong(format!(
            "Along {} there are more places than this sheet has room to dimension: take every one from the table.",
            left_out.join(" and ")
        )));
    }
    let full = if view.over > 1.0 {
        "The view is not full scale: mark out from the figures, or use the template."
    } else {
        "Mark out from the figures, or use the template."
    };
    notes.push(Note::body(full));
    notes
}

fn table(spec: &Spec, plate: &PlateResult) -> Table {
    let columns =
        [("no.", 9.0), ("for", 30.0), ("u", 23.0), ("v", 23.0), ("hole", 47.0), ("pilot", 17.0), ("depth", 23.0)];
    let mut table = Table::new(&columns);
    let build = &spec.build;
    for (n, hole) in plate.holes.iter().enumerate() {
        let pilot = hole.pilot.map_or_else(String::new, |pilot| drill_in_words(pilot, build.units));
        table.row([
            (n + 1).to_string(),
            hole.name.clone(),
            value::two_lines(build, hole.centre.x),
            value::two_lines(build, hole.centre.y),
            form_words(spec, hole),
            pilot,
            depth_words(spec, hole),
        ]);
    }
    for (n, opening) in plate.openings.iter().enumerate() {
        table.row([
            letter(n),
            opening.name.clone(),
            value::two_lines(build, opening.centre.x),
            value::two_lines(build, opening.centre.y),
            opening_size(spec, opening),
            String::new(),
            "through".into(),
        ]);
    }
    table
}

/// Of each bend: its line's ends on the flat pattern, what is bent, and what the pattern rests on.
fn bends(spec: &Spec, plate: &PlateResult) -> Table {
    let columns =
        [("bend", 40.0), ("from u, v", 36.0), ("to u, v", 36.0), ("inside radius", 26.0), ("allowance", 36.0)];
    let mut table = Table::new(&columns);
    let build = &spec.build;
    let end = |p: Vec2| format!("{}\n{}", value::pair(build, p.x).join(", "), value::pair(build, p.y).join(", "));
    for bend in &plate.bends {
        table.row([
            plate::bend_word(bend),
            end(bend.line[0]),
            end(bend.line[1]),
            value::two_lines(build, bend.inside),
            format!("{}\nK {}", value::two_lines(build, bend.allowance), quantity::fixed(bend.k, 3)),
        ]);
    }
    table
}

/// Where every hole's centre is on the drawn face once the plate is bent, in vehicle axes.
pub(super) fn folded(spec: &Spec, plate: &PlateResult) -> Table {
    let columns = [("no.", 9.0), ("for", 42.0), ("x rearward", 32.0), ("y to the right", 32.0), ("z up", 32.0)];
    let mut table = Table::new(&columns);
    for (n, hole) in plate.holes.iter().enumerate() {
        let Some(place) = hole.folded else { continue };
        table.row([
            (n + 1).to_string(),
            hole.name.clone(),
            value::two_lines(&spec.build, place.at.x),
            value::two_lines(&spec.build, place.at.y),
            value::two_lines(&spec.build, place.at.z),
        ]);
    }
    table
}

/// Numbers of the first hole of each kind that is more than a plain hole through the plate.
fn formed(plate: &PlateResult) -> Vec<usize> {
    let mut kinds: Vec<(&HoleResult, usize)> = Vec::new();
    for (n, hole) in plate.holes.iter().enumerate() {
        let plain = hole.countersink.is_none() && hole.depth.is_none() && hole.tap.is_none();
        if !plain && !kinds.iter().any(|(known, _)| is_alike(known, hole)) {
            kinds.push((hole, n));
        }
    }
    kinds.into_iter().map(|(_, n)| n).collect()
}

/// Thickness of a section on paper (mm) at most.
const THICK: f64 = 18.0;
/// Width of a section on paper (mm).
const WIDE: f64 = 56.0;
/// Width of its column of words (mm).
const SECTION_WORDS: f64 = 100.0;

/// Millimetres of paper a millimetre of plate.
fn section_scale(plate: &PlateResult, hole: &HoleResult) -> f64 {
    let widest = 2.0 * rim(hole) - hole.slot.map_or(0.0, |slot| slot.length);
    let fits = |scale: &f64| plate.thick * scale <= THICK && widest * scale <= 0.6 * WIDE;
    [10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1].into_iter().find(fits).unwrap_or(0.05)
}

/// Which holes a section is of, and their sizes.
fn section_notes(spec: &Spec, plate: &PlateResult, number: usize) -> Vec<Note> {
    let Some(hole) = plate.holes.get(number) else { return Vec::new() };
    let numbers: Vec<String> = plate
        .holes
        .iter()
        .enumerate()
        .filter(|(_, other)| is_alike(other, hole))
        .map(|(n, _)| (n + 1).to_string())
        .collect();
    let noun = if numbers.len() > 1 { "holes" } else { "hole" };
    let scale = shaft_words::scale(section_scale(plate, hole));
    let title = format!("{noun} {}, section {scale}", numbers.join(", "));
    let mut notes = vec![Note { words: title, height: BODY, bold: true }];
    notes.push(Note::body(form_words(spec, hole).replace('\n', ", ").replace(", to ⌀", " to ⌀")));
    let [first, second] = value::pair(&spec.build, plate.thick);
    let depth = depth_words(spec, hole).replace('\n', ", ");
    notes.push(Note::body(format!("{depth}; plate {first} [{second}]")));
    notes
}

/// A hole cut through its middle, enlarged or reduced to the figure's height, with its sizes in words.
fn section(sheet: &mut Sheet, plate: &PlateResult, number: usize, notes: &[Note], area: Area) {
    let Some(hole) = plate.holes.get(number) else { return };
    let scale = section_scale(plate, hole);
    let (thick, half) = (plate.thick * scale, WIDE / 2.0);
    let top = Vec2::new(area.low.x + 4.0 + half, area.high.y - 4.0);
    let bore = hole.diameter / 2.0 * scale;
    // The right half of the metal, from the face down; x from the hole's axis, y down from the face.
    let mut right = vec![Vec2::new(half, 0.0)];
    // Edges of the hole behind the section: half width and depth.
    let mut behind = vec![(bore, 0.0)];
    match &hole.countersink {
        Some(cone) if cone.side != "back" => {
            let (wide, deep) = (cone.diameter / 2.0 * scale, (cone.depth * scale).min(thick));
            right.extend([Vec2::new(wide, 0.0), Vec2::new(bore, deep)]);
            behind = vec![(wide, 0.0), (bore, deep)];
        }
        _ => right.push(Vec2::new(bore, 0.0)),
    }
    match (hole.depth, &hole.countersink) {
        (Some(depth), _) => {
            let tip = ((depth + drill_tip(hole.diameter)) * scale).min(thick);
            right.extend([Vec2::new(bore, depth * scale), Vec2::new(0.0, tip), Vec2::new(0.0, thick)]);
            behind.push((bore, depth * scale));
        }
        (None, Some(cone)) if cone.side == "back" => {
            let (wide, from) = (cone.diameter / 2.0 * scale, (thick - cone.depth * scale).max(0.0));
            right.extend([Vec2::new(bore, from), Vec2::new(wide, thick)]);
            behind.extend([(bore, from), (wide, thick)]);
        }
        _ => {
            right.push(Vec2::new(bore, thick));
            behind.push((bore, thick));
        }
    }
    right.push(Vec2::new(half, thick));
    for side in [1.0, -1.0] {
        let points: Vec<Vec2> = right.iter().map(|p| top + Vec2::new(side * p.x, -p.y)).collect();
        if let Some(path) = Path::polyline(&points, true) {
            hatch(sheet, &[path], 1.6);
        }
        // The outer end is a break, and what two halves share is inside the metal: neither is an edge.
        for (from, to) in points.iter().zip(points.iter().skip(1)) {
            let shared = (from.x - top.x).abs() < SAME && (to.x - top.x).abs() < SAME;
            if !shared {
                sheet.line(Role::Outline, Path::line(*from, *to));
            }
        }
    }
    for (wide, deep) in behind {
        let at = top - Vec2::new(0.0, deep);
        sheet.line(Role::Outline, Path::line(at - Vec2::new(wide, 0.0), at + Vec2::new(wide, 0.0)));
    }
    if let Some(major) = hole.tap.as_deref().and_then(fasteners::thread).map(|entry| entry.thread.diameter) {
        let (major, deep) = (major / 2.0 * scale, hole.thread_depth.map_or(thick, |depth| depth * scale));
        for side in [1.0, -1.0] {
            let x = Vec2::new(side * major, 0.0);
            sheet.line(Role::Dimension, Path::line(top + x, top + x - Vec2::new(0.0, deep)));
        }
    }
    sheet.line(Role::Centre, Path::line(top + Vec2::new(0.0, 3.0), top - Vec2::new(0.0, thick + 3.0)));
    let words = Vec2::new(top.x + half + 8.0, area.high.y);
    set_notes(sheet, Area::new(Vec2::new(words.x, area.low.y), words + Vec2::new(SECTION_WORDS, 0.0)), notes);
}

/// Whether two holes are made alike, wherever they are.
fn is_alike(a: &HoleResult, b: &HoleResult) -> bool {
    (&a.countersink, a.depth, &a.tap, &a.drill) == (&b.countersink, b.depth, &b.tap, &b.drill)
}

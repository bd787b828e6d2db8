//! What the drawing of a piece of bar says beside its views: spots, order of work, notes.

use super::layout::Note;
use super::shaft::mark;
use super::table::Table;
use super::{shaft_words, value};
use crate::catalog::forms::FormShape;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::member::{CutEnd, Member};
use crate::solve::phase::half_turn;
use crate::solve::solution::{End, On};
use crate::spec::Spec;

/// ± on the finished length of a piece (mm).
pub(super) fn tolerance(solution: &Solution, (index, number): (usize, usize)) -> f64 {
    let Some(shaft) = solution.shafts.get(index) else { return 0.0 };
    match shaft.members.get(number) {
        Some(member) => member.cut_length_max - member.cut_length,
        None => shaft.cut_length_max - shaft.cut_length,
    }
}

/// Sawing length of a piece (mm).
fn cut_long(solution: &Solution, (index, number): (usize, usize)) -> f64 {
    let Some(shaft) = solution.shafts.get(index) else { return 0.0 };
    shaft.members.get(number).map_or(shaft.cut_long, |member| member.cut_long)
}

/// Words beside the end view.
pub(super) fn legend(member: &Member, scale: f64) -> Vec<String> {
    let mut lines =
        vec!["Seen from the column end; clockwise is +.".to_owned(), format!("Scale {}.", shaft_words::scale(scale))];
    if member.ends[0].is_some() {
        lines.push("Full line: the upper end.".to_owned());
    }
    if member.ends[1].is_some() {
        lines.push("Dashed: the lower end behind it.".to_owned());
    }
    if let (true, Some(twist)) = (member.is_twisted(), member.twist()) {
        lines.push(format!("Upper flats to lower flats: {} clockwise.", quantity::degrees(twist, 1)));
    }
    for turned in member.ends.iter().flatten().filter_map(|end| from_hole(member, end)) {
        lines.push(format!("Hole's flats to milled flats: {} clockwise.", quantity::degrees(turned, 1)));
    }
    if member.hole.is_some() {
        lines.push("Inner line: the hole the inner member slides in.".to_owned());
    }
    if member.has_teeth() {
        lines.push("Teeth are drawn as a plain round of their outside diameter.".to_owned());
    }
    lines
}

/// The spots under the set screws of this piece.
pub(super) fn spots(spec: &Spec, member: &Member) -> Table {
    let mut table = Table::new(&[
        ("mark", 14.0),
        ("from", 26.0),
        ("on", 15.0),
        ("station", 24.0),
        ("clock", 18.0),
        ("mouth ⌀", 22.0),
        ("depth", 22.0),
        ("drill", 18.0),
    ]);
    for (number, dimple) in member.dimples.iter().enumerate() {
        table.row([
            mark(number),
            if dimple.end == End::Upper { "column end".into() } else { "gear end".into() },
            if dimple.on == On::Flat { "flat".into() } else { "round".into() },
            value::two_lines(&spec.build, dimple.station),
            quantity::degrees(dimple.clock, 1).replace(".0°", "°"),
            shaft_words::size(spec, dimple.spot, dimple.diameter),
            shaft_words::size(spec, dimple.spot, dimple.depth),
            shaft_words::drill_words(dimple.drill),
        ]);
    }
    table
}

/// What is cut on one end.
fn cut_words(spec: &Spec, end: &CutEnd, bar: FormShape) -> String {
    let both = |mm: f64| value::both(&spec.build, mm);
    let length = both(end.length);
    let turned = |diameter: f64| {
        let same = (diameter - crate::solve::member::diameter(bar)).abs() < 1e-6;
        if same { String::new() } else { format!("turn to ⌀{} over {length}, then ", both(diameter)) }
    };
    match end.form {
        FormShape::DoubleD { diameter, flats, .. } => {
            format!("{}mill two flats, {} across, {length} to the shoulder", turned(diameter), both(flats))
        }
        FormShape::Serrated { teeth, diameter, .. } => {
            format!("{}cut {teeth} teeth over {length}, to fit the hub", turned(diameter))
        }
        FormShape::Round { diameter, .. } => format!("turn to ⌀{} over {length}", both(diameter)),
    }
}

/// Whether the column end's mark is taken from the hole: round outside, flats inside.
fn dot_by_hole(member: &Member) -> bool {
    let flat = |form| matches!(form, FormShape::DoubleD { .. });
    !flat(member.section_at(End::Upper).0) && member.hole.is_some_and(|hole| flat(hole.form) && hole.clock.abs() < 1e-9)
}

/// How the flats milled on an end lie to those of the hole, clockwise seen from the column (deg).
fn from_hole(member: &Member, end: &CutEnd) -> Option<f64> {
    let flat = |form| matches!(form, FormShape::DoubleD { .. });
    let hole = member.hole.filter(|hole| flat(hole.form) && flat(end.form))?;
    Some(half_turn(end.clock - hole.clock))
}

fn beside_hole(member: &Member, end: &CutEnd) -> String {
    match from_hole(member, end) {
        None => String::new(),
        Some(turned) if turned < 1e-6 => " They lie in line with the flats of the hole.".to_owned(),
        Some(turned) => format!(
            " Seen from the column end they lie {} clockwise of the flats of the hole. Scribe both first and look.",
            quantity::degrees(turned, 1)
        ),
    }
}

/// The order of work.
pub(super) fn order(spec: &Spec, solution: &Solution, at: (usize, usize), member: &Member) -> Vec<Note> {
    let Some(shaft) = spec.shafts.get(at.0) else { return Vec::new() };
    let build = &spec.build;
    let face = value::toleranced(build, member.length, tolerance(solution, at));
    let long = cut_long(solution, at);
    let mut notes = Vec::new();
    let mut step = 0;
    let mut say = |strong: bool, words: String| {
        step += 1;
        let words = format!("{step}. {words}");
        notes.push(if strong { Note::strong(words) } else { Note::body(words) });
    };
    say(
        true,
        format!("Saw to {}. Fit, then face to {} {}.", value::tape_and_both(build, long), face.first, face.second),
    );
    let [upper, lower] = member.ends;
    if let Some(end) = upper {
        let lie = beside_hole(member, &end);
        say(true, format!("Upper (column) end: {}.{lie}", cut_words(spec, &end, member.bar)));
    }
    if member.is_plain() || upper.is_some() || lower.is_some() || member.hole.is_some() {
        say(
            false,
            format!(
                "Punch one dot at the column end, {}. Clock angles count from there, stations each from its own end.",
                if dot_by_hole(member) { "in line with a flat of the hole" } else { "on flat A where it has flats" }
            ),
        );
    }
    if let Some(end) = lower {
        let twist = match member.twist() {
            Some(twist) if member.is_twisted() && upper.is_some() => {
                let twist = quantity::degrees(twist, 1);
                format!(
                    " Seen from the column end they lie {twist} clockwise of the upper flats: under one cutter the bar \
                     is turned {twist} anticlockwise. Scribe both first and look."
                )
            }
            _ => String::new(),
        };
        let lie = beside_hole(member, &end);
        say(true, format!("Lower (gear) end: {}.{twist}{lie}", cut_words(spec, &end, member.bar)));
    }
    if let Some(seat) = member.journal {
        say(
            true,
            format!(
                "Turn the journal: ⌀{} from {} to {} from the column end, to a close running fit in its bearing. Leave a \
                 small radius in both corners, no sharp ones, and let the bearing's edge clear it.",
                value::both(build, seat.diameter),
                value::both(build, seat.from),
                value::both(build, seat.to),
            ),
        );
    }
    if let Some(chamfer) = member.chamfer {
        say(false, format!("Chamfer both ends {} × 45°.", value::both(build, chamfer)));
    } else {
        say(false, "Break all sharp edges.".to_owned());
    }
    if !member.dimples.is_empty() {
        say(
            false,
            format!(
                "Slide the hub home, look through its screw holes: each mark must lie under its screw. Punch and drill \
                 the spots to the table, stations ±{}.",
                value::both(build, shaft.station_tolerance)
            ),
        );
    }
    for groove in &member.grooves {
        let end = if groove.end == End::Upper { "column end" } else { "gear end" };
        say(
            false,
            format!(
                "Cut the groove for the pinch bolt: {} from the {end} to the bolt's axis, {} off the shaft's axis, ⌀{}, \
                 clock {}. The hub's own bolt hole decides.",
                value::both(build, groove.station),
                value::both(build, groove.offset),
                value::both(build, groove.diameter),
                quantity::degrees(groove.clock, 1).replace(".0°", "°"),
            ),
        );
    }
    if let Some(slip) = solution.shafts.get(at.0).and_then(|result| result.slip.as_ref()) {
        say(
            true,
            format!(
                "Slide the members together until {} overlap, with the dots in line. Mark the inner member at the mouth \
                 of the outer one: assembled as taped, the mark stands there.",
                value::both(build, slip.overlap)
            ),
        );
    }
    notes
}

/// What else must be known.
pub(super) fn notes(spec: &Spec, solution: &Solution, at: (usize, usize), member: &Member) -> Vec<Note> {
    let (Some(shaft), Some(result)) = (spec.shafts.get(at.0), solution.shafts.get(at.0)) else { return Vec::new() };
    let mut notes = shaft_words::unmeasured_notes(spec, at.0);
    notes.push(Note::body(format!("Stock {}, {}.", member.stock, shaft.material.title)));
    if let Some(hole) = member.hole {
        let slip = shaft.slip.as_ref();
        let form = slip.map(|slip| slip.hole.words(spec.build.units)).unwrap_or_default();
        let stated = slip.is_some_and(|slip| slip.hole_stated);
        let fit = if stated { "" } else { "; its play is not known: a close sliding fit on the inner member" };
        let _ = hole;
        notes.push(Note::body(format!("Hole from end to end: {form}{fit}.")));
    }
    if let Some(slip) = &result.slip {
        notes.push(Note::body(format!(
            "Overlap as taped {}; fully extended, {} longer, {} is left. It can shorten by {} before a member meets a hub.",
            value::both(&spec.build, slip.overlap),
            value::both(&spec.build, slip.extend),
            value::both(&spec.build, slip.overlap_extended),
            value::both(&spec.build, slip.collapse_room),
        )));
    }
    let wall = result.members.get(at.1).and_then(|member| member.least_wall);
    if let Some(wall) = wall {
        notes.push(Note::strong(format!(
            "Thin wall: {} is left under the deepest spot. Drill by hand to the depth, never through.",
            value::both(&spec.build, wall)
        )));
    }
    if at.0 + 1 == solution.shafts.len() {
        notes.push(Note::strong("Never drill or heat a hardened gear shaft."));
    }
    notes.push(Note::body(shaft_words::phase(result)));
    notes.push(Note::body(
        "A failed steering shaft kills. This drawing certifies nothing: local codes and a licensed engineer or certifier decide; no road test before inspection.",
    ));
    notes
}

//! What a notch leaves of its rail, and what makes it good, in tables of the build record.

use super::layout::Note;
use super::table::Table;
use super::value;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::solution::{NotchResult, NotchSection, SectionProperties};
use crate::spec::Spec;
use crate::spec::types::Build;

/// Section of every notched rail at its worst stations: whole, as the notch leaves it, and made good.
pub(super) fn sections(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[
        ("rail at notch", 40.0),
        ("area", 24.0),
        ("principal second moments", 42.0),
        ("section modulus, upright bending", 44.0),
        ("torsion constant", 36.0),
    ]);
    for notch in cut(solution) {
        let section = &notch.section;
        let at = |u: f64| format!("{} along", value::both(build, u));
        let mut row = |what: String, own: &SectionProperties| {
            let full = &section.full;
            table.row([
                what,
                value::powered(build, own.area, 2),
                format!(
                    "{}\n{}\naxis {} from level",
                    value::powered(build, own.i_max, 4).replace('\n', ", "),
                    value::powered(build, own.i_min, 4).replace('\n', ", "),
                    quantity::degrees(own.angle, 1)
                ),
                format!("{}\n{}", value::powered(build, own.s_bending.min(own.s_min), 3), share(own.share_of(full))),
                format!("{}\n{}", value::powered(build, own.torsion, 4), share(own.torsion / full.torsion)),
            ]);
        };
        row(format!("{}\nwhole", notch.name), &section.full);
        row(format!("notched, worst\n{}", at(section.worst_u)), &section.left);
        if let Some(restored) = &section.restored {
            row(format!("made good, worst\n{}", at(section.restored_u.unwrap_or(section.worst_u))), restored);
        }
    }
    table
}

fn share(ratio: f64) -> String {
    if ratio.is_finite() { format!("{} of whole", quantity::percent(ratio)) } else { quantity::NOT_KNOWN.into() }
}

fn cut(solution: &Solution) -> impl Iterator<Item = &NotchResult> {
    solution.notches.iter().filter(|notch| !notch.shop.is_empty())
}

/// Along every notch: how much of the section modulus and of the torsion constant is left and made good.
pub(super) fn stations(spec: &Spec, notch: &NotchResult) -> Table {
    /// Rows of the table, of the stations solved.
    const EVERY: usize = 4;
    let build = &spec.build;
    let NotchSection { full, stations, .. } = &notch.section;
    let mut table = Table::new(&[
        ("along the rail", 34.0),
        ("area left", 30.0),
        ("modulus left", 28.0),
        ("torsion left", 28.0),
        ("modulus made good", 34.0),
        ("torsion made good", 34.0),
    ]);
    for at in stations.iter().step_by(EVERY) {
        let made = |f: fn(&SectionProperties, &SectionProperties) -> f64| {
            at.restored.map_or_else(String::new, |restored| quantity::percent(f(&restored, full)))
        };
        table.row([
            value::both(build, at.u),
            quantity::percent(at.left.area / full.area),
            quantity::percent(at.left.share_of(full)),
            quantity::percent(at.left.torsion / full.torsion),
            made(SectionProperties::share_of),
            made(|own, full| own.torsion / full.torsion),
        ]);
    }
    table
}

/// What is set into each notch and on its rail, and how to weld it.
pub(super) fn notes(spec: &Spec, solution: &Solution) -> Vec<Note> {
    let mut notes = Vec::new();
    for notch in cut(solution) {
        notes.extend(made_good(&spec.build, notch));
    }
    if !notes.is_empty() {
        notes.extend(welding());
    }
    notes
}

/// Liner, doublers, proposal and corner of one notch in sentences.
pub(super) fn made_good(build: &Build, notch: &NotchResult) -> Vec<Note> {
    let length = |mm| value::tape_and_both(build, mm);
    let name = &notch.name;
    let mut notes = Vec::new();
    if let Some(liner) = &notch.liner {
        notes.push(Note::body(format!(
            "{name}, {}: tube {} outside, {} wall, {} long before its ends are cut; least outside for the clearance {}.",
            liner.kind.word(),
            length(liner.outside),
            length(liner.wall),
            length(liner.length),
            length(liner.outside_least)
        )));
    }
    for doubler in &notch.doublers {
        notes.push(Note::body(format!(
            "{name}, doubler on the {} face: {} plate, past the notch by {} on either side, ends tapered.",
            doubler.face,
            length(doubler.thick),
            length(doubler.overrun)
        )));
    }
    if let Some(plates) = &notch.proposal {
        notes.push(Note::body(format!(
            "{name}, not in the spec: doublers of {} plate, {} high, on the {}, past the notch by {} on either side with \
             tapered ends, would make the section modulus good to {}{}.",
            length(plates.thick),
            length(plates.height),
            plates.faces.join(" and "),
            length(plates.overrun),
            quantity::percent(plates.restored.share_of(&notch.section.full)),
            if notch.section.full.closed && !plates.closed { ", but leave the tube open" } else { "" }
        )));
    }
    if let Some(stress) = &notch.stress {
        notes.push(Note::body(format!(
            "{name}, inside corner of {}: stress about {} times that of plain bending of what is left of the web; {} with \
             a corner as round as the notch is deep.",
            length(stress.radius),
            quantity::factor(stress.factor),
            quantity::factor(stress.factor_round)
        )));
    }
    notes
}

/// Welding a frame, in general words.
pub(super) fn welding() -> [Note; 4] {
    [
        Note::strong(
            "Welding a frame is for a licensed engineer and the local code to allow. Heat-treated rails are not welded \
             without the vehicle builder's written word (US Army TM 5-3805-254-14-P-2).",
        ),
        Note::body(
            "Fillets of at least 5 mm (3/16 in) leg under changing load, no more than the thinner part (AWS D1.1:2025, \
             table 7.7); sheet under 3 mm (1/8 in) by AWS D1.3. Weld in short runs from side to side, let it cool between.",
        ),
        Note::body(
            "No weld in the rail's corners, along flange edges, or across a web at full height: taper the plate ends at \
             20 to 30 degrees (US Army TM 5-3805-254-14-P-2; common practice).",
        ),
        Note::body(
            "Disconnect the battery, take fuel and brake lines out of reach, and look for cracks after the first drive.",
        ),
    ]
}

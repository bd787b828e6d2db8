//! What was made beside what was planned, in the build record.

use std::fmt::Write as _;

use super::layout::Note;
use super::table::{Pages, Table};
use super::value;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::solution::{AsBuiltResult, BuiltReading, BuiltShaft};
use crate::spec::Spec;
use crate::spec::types::Build;

/// How what was made is judged.
pub const HOW: &str = "What was not read is taken to be as planned. Templates, drawings and solids of this package show \
                       the plan. A part out of its tolerance is not to be used until the plan is changed to it, made \
                       again, and found good.";

/// The section of a record, where anything was read.
pub(super) fn section(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    let Some(built) = &solution.as_built else { return };
    pages.section("As built");
    pages.notes(&[Note::body(HOW)]);
    if let Some(why) = &built.unsolved {
        pages.notes(&[Note::strong(format!("As made it cannot be put together: {why}"))]);
    }
    pages.table(&readings(&spec.build, built));
    if !built.shafts.is_empty() {
        pages.heading("Shafts of another length: what their hubs still hold");
        pages.table(&hubs(&spec.build, built));
        for shaft in &built.shafts {
            pages.notes(&[Note::body(saved(&spec.build, shaft))]);
        }
    }
    if let Some(solved) = &built.solved {
        pages.heading("Solved again with what was made");
        pages.table(&beside(&spec.build, solution, solved));
    }
}

/// A figure of a reading in its unit.
pub fn shown(build: &Build, value: f64, unit: &str) -> String {
    match unit {
        "mm" => value::both(build, value),
        "deg" => quantity::degrees(value, 1),
        _ => quantity::torque(value),
    }
}

/// What a hub holds: nothing where the shaft does not reach into it.
pub fn held(build: &Build, mm: f64) -> String {
    if mm > 0.0 { value::both(build, mm) } else { "nothing".to_owned() }
}

/// The second unit on a line of its own.
fn stacked(text: &str) -> String {
    text.replacen(" (", "\n(", 1)
}

/// Verdict on a reading.
pub const fn verdict(reading: &BuiltReading) -> &'static str {
    match (reading.within, reading.habit) {
        (None, _) => "not judged",
        (Some(true), _) => "within limit",
        (Some(false), true) => "near limit",
        (Some(false), false) => "beyond limit",
    }
}

/// What is allowed, in words.
pub fn allowed(build: &Build, reading: &BuiltReading) -> String {
    match (reading.least, reading.allowed) {
        (Some(least), _) => format!("at least {}", shown(build, least, &reading.unit)),
        (None, Some(allowed)) => format!("± {}", shown(build, allowed, &reading.unit)),
        (None, None) => String::new(),
    }
}

fn readings(build: &Build, built: &AsBuiltResult) -> Table {
    let mut table = Table::new(&[
        ("of", 38.0),
        ("planned", 24.0),
        ("made", 24.0),
        ("difference", 24.0),
        ("allowed", 26.0),
        ("verdict", 21.0),
        ("read", 24.0),
    ]);
    for reading in &built.readings {
        let show = |value: f64| stacked(&shown(build, value, &reading.unit));
        table.row([
            format!("{}\n{}", reading.subject, reading.what),
            reading.plan.map_or_else(|| "no figure".into(), show),
            show(reading.made),
            reading.difference.map_or_else(String::new, show),
            stacked(&allowed(build, reading)),
            verdict(reading).to_owned(),
            format!("{}\n{}", reading.date, reading.initials).trim().to_owned(),
        ]);
    }
    table
}

fn hubs(build: &Build, built: &AsBuiltResult) -> Table {
    let mut table = Table::new(&[
        ("shaft", 30.0),
        ("hub", 40.0),
        ("planned", 26.0),
        ("holds now", 26.0),
        ("pushed home in the other", 30.0),
        ("at least", 26.0),
    ]);
    for shaft in &built.shafts {
        for hub in &shaft.hubs {
            let show = |mm: f64| stacked(&held(build, mm));
            table.row([
                shaft.name.clone(),
                hub.hub.clone(),
                show(hub.planned),
                show(hub.bite),
                show(hub.least),
                show(hub.wanted),
            ]);
        }
    }
    table
}

/// Whether moving a joint saves a shaft.
pub fn saved(build: &Build, shaft: &BuiltShaft) -> String {
    let way = if shaft.short > 0.0 { "short" } else { "long" };
    let mut words = format!("Shaft \"{}\" is {} {way}.", shaft.name, value::both(build, shaft.short.abs()));
    for one in &shaft.moves {
        let does = if one.saves { "Moving" } else { "Moving does not do for" };
        let _ = write!(words, " {does} joint \"{}\" on the {} shaft: {}.", one.joint, one.on, one.why);
    }
    if shaft.moves.is_empty() {
        words += " It lies between two joints of which neither sits on the column's or the gear's shaft, so no joint \
                  can be slid to make it up.";
    }
    words
}

/// What follows, beside the plan.
fn beside(build: &Build, plan: &Solution, made: &Solution) -> Table {
    let mut table = Table::new(&[("of", 70.0), ("planned", 55.0), ("as made", 55.0)]);
    for [what, planned, built] in figures(build, plan, made) {
        table.row([what, planned, built]);
    }
    table
}

/// The figures that tell most: what, planned, as made.
pub fn figures(build: &Build, plan: &Solution, made: &Solution) -> Vec<[String; 3]> {
    let mut rows: Vec<[String; 3]> = Vec::new();
    let mut add = |what: String, words: [String; 2]| {
        let [planned, built] = words;
        rows.push([what, planned, built]);
    };
    let length = |mm: f64| value::both(build, mm);
    for (a, b) in plan.joints.iter().zip(&made.joints) {
        add(format!("joint {}, working angle", a.name), [a, b].map(|joint| quantity::degrees(joint.angle, 1)));
        for (side, engaged) in
            [("column", [a, b].map(|j| j.upper_engagement)), ("gear", [a, b].map(|j| j.lower_engagement))]
        {
            add(format!("joint {}, {side}-side hub, shaft in it", a.name), engaged.map(length));
        }
        add(format!("joint {}, between shaft ends", a.name), [a, b].map(|joint| length(joint.end_clearance)));
    }
    for (a, b) in plan.shafts.iter().zip(&made.shafts) {
        add(format!("shaft {}, length", a.name), [a, b].map(|shaft| length(shaft.cut_length)));
        add(format!("shaft {}, yoke phase off by", a.name), [a, b].map(|s| quantity::degrees(s.twist.off_max, 1)));
        if let (Some(a_slip), Some(b_slip)) = (&a.slip, &b.slip) {
            add(format!("shaft {}, overlap", a.name), [a_slip, b_slip].map(|slip| length(slip.overlap)));
        }
    }
    add("unevenness".into(), [plan, made].map(|solution| quantity::degrees(solution.motion.error, 2)));
    rows
}

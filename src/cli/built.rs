//! Lines on what was made, beside what was planned.

use std::fmt::Write as _;

use super::columns::wrapped;
use super::report::{heading, verdict};
use crate::check::Status;
use crate::drawing::record_built::{figures, held, saved, shown};
use crate::pipeline::Solved;
use crate::solve::solution::BuiltReading;

/// Column at which words under a reading begin.
const AT: usize = 8;

pub(super) fn lines(out: &mut String, solved: &Solved) {
    let Some(built) = &solved.solution.as_built else { return };
    let build = &solved.spec.build;
    heading(out, "As built, beside the plan");
    for reading in &built.readings {
        let show = |value: f64| shown(build, value, &reading.unit);
        let mut text = format!("{}, {}: {}", reading.subject, reading.what, show(reading.made));
        match (reading.least, reading.plan) {
            (Some(least), plan) => {
                let plan = plan.map(|plan| format!(", planned {}", show(plan))).unwrap_or_default();
                let _ = write!(text, "{plan}, at least {}", show(least));
            }
            (None, Some(plan)) if plan != 0.0 => {
                let _ = write!(text, ", planned {}", show(plan));
            }
            (None, Some(_)) => {}
            (None, None) => text += "; nothing to compare it with",
        }
        if let (Some(allowed), Some(difference)) = (reading.allowed, reading.difference) {
            let _ = match reading.plan {
                Some(plan) if plan != 0.0 => write!(text, ": off by {}, at most {}", show(difference), show(allowed)),
                _ => write!(text, ", at most {}", show(allowed)),
            };
        }
        let _ = writeln!(out, "  {}  {}", verdict(status(reading)), wrapped(&text, AT, AT));
    }
    for shaft in &built.shafts {
        for hub in &shaft.hubs {
            let show = |mm: f64| held(build, mm);
            let text = format!(
                "{} holds {} of {} planned, at least {}; {} with the shaft pushed home in its other hub",
                hub.hub,
                show(hub.bite),
                show(hub.planned),
                show(hub.wanted),
                show(hub.least)
            );
            let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
        }
        let _ = writeln!(out, "  {}", wrapped(&saved(build, shaft), 2, 4));
    }
    match (&built.solved, &built.unsolved) {
        (Some(made), _) => {
            let changed: Vec<_> =
                figures(build, &solved.solution, made).into_iter().filter(|row| row[1] != row[2]).collect();
            if changed.is_empty() {
                out.push_str("  solved again with what was made: no figure changes\n");
            } else {
                out.push_str("  solved again with what was made:\n");
            }
            for [what, planned, made] in changed {
                let _ = writeln!(out, "    {}", wrapped(&format!("{what}: {made}, planned {planned}"), 4, 6));
            }
        }
        (None, why) => {
            let why = why.as_deref().unwrap_or("no reason given");
            let _ = writeln!(out, "  {}", wrapped(&format!("as made it cannot be put together: {why}"), 2, 4));
        }
    }
}

const fn status(reading: &BuiltReading) -> Status {
    match (reading.within, reading.habit) {
        (None, _) => Status::Open,
        (Some(true), _) => Status::Pass,
        (Some(false), true) => Status::Warn,
        (Some(false), false) => Status::Fail,
    }
}

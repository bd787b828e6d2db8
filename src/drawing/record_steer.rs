//! Tables of the build record on how it steers: straight ahead, free play, sections, reactions, screws.

use super::table::Table;
use super::value;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::clocking::ClockingResult;
use crate::solve::solution::End;
use crate::solve::strength::NOT_INCLUDED;
use crate::spec::Spec;

/// What the strength figures leave out, in the record and on the terminal.
pub fn not_included() -> String {
    let (last, rest) = NOT_INCLUDED.split_last().unwrap_or((&"", &[]));
    format!("Not included: {}, and {last}.", rest.join(", "))
}

fn degrees(value: f64) -> String {
    quantity::degrees(value, 1)
}

fn clockwise(turn: f64) -> String {
    let way = if turn < 0.0 { "anticlockwise" } else { "clockwise" };
    format!("{} {way}", degrees(turn.abs()))
}

pub(super) const fn side(end: End) -> &'static str {
    match end {
        End::Upper => "column-side hub",
        End::Lower => "gear-side hub",
    }
}

/// Steps of the gear's hub, in words.
pub fn gear_steps(steps: i32) -> String {
    match steps.abs() {
        0 => "leave it as it is".into(),
        count => {
            let (s, way) = (if count == 1 { "" } else { "s" }, if steps < 0 { "anticlockwise" } else { "clockwise" });
            format!("{count} tooth step{s} {way}")
        }
    }
}

/// Straight ahead as rows of what and how much, for the record and the terminal.
pub fn straight_ahead(spec: &Spec, found: &ClockingResult) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    match (found.calm, found.quick) {
        (Some(calm), Some(quick)) => {
            let words = format!(
                "left and right feel alike with the column yoke's ears {} from the first bend plane (slowest, so calmest, \
                 straight ahead) or {} (quickest)",
                degrees(calm),
                degrees(quick)
            );
            rows.push(("even places", words));
        }
        _ if found.left_right_worst < 0.01 => rows.push(("even places", "everywhere: the linkage turns evenly".into())),
        _ => rows.push(("even places", "not known until every shaft's phase is".into())),
    }
    let worst = format!("at worst {} at the gear for equal turns", degrees(found.left_right_worst));
    rows.push((
        "left and right",
        match (found.yoke, found.left_right) {
            (Some(yoke), Some(here)) => {
                format!("they differ by {} with the ears at {} as measured; {worst}", degrees(here), degrees(yoke))
            }
            _ => format!("{worst}; measure `yoke` to know"),
        },
    ));
    let step =
        |step: Option<f64>| step.map_or_else(|| "any place".into(), |step| format!("steps of {}", degrees(step)));
    rows.push(("hub on the gear", step(found.gear_step)));
    rows.push(("wheel", step(found.wheel_step)));
    match &found.best {
        None => rows.push((
            "wheel off straight",
            format!(
                "up to {} on its best tooth; measure `wheel_off` and `yoke` to know",
                degrees(found.wheel_left_worst)
            ),
        )),
        Some(pair) => {
            let mut words = format!("gear's hub: {}", gear_steps(pair.gear_steps));
            if pair.gear_steps != 0 {
                words.push_str(", which turns the column ");
                words.push_str(&clockwise(pair.yoke_turn));
            }
            words.push_str("; wheel: ");
            words.push_str(&if pair.wheel_turn.abs() < 0.05 {
                "leave it as it is".to_owned()
            } else {
                clockwise(pair.wheel_turn)
            });
            rows.push(("best pair of teeth", words));
            let off = if pair.wheel_left.abs() < 0.05 { "nothing".to_owned() } else { clockwise(pair.wheel_left) };
            rows.push((
                "left over then",
                format!("wheel off straight {off}; left and right differ by {}", degrees(pair.left_right)),
            ));
        }
    }
    if let Some(rods) = found.rods.as_ref().filter(|rods| rods.change > 0.005) {
        let words = format!(
            "{} turns on each end, one rod longer and the other shorter by {}: the toe stays, the wheel comes straight, \
             the gear stands {} off its centre",
            quantity::fixed(rods.turns, 2),
            value::both(&spec.build, rods.change),
            clockwise(rods.gear_off)
        );
        rows.push(("tie rods", words));
    }
    if let Some(locks) = &found.locks {
        let words = format!(
            "the wheel turns {} to the left lock and {} to the right",
            quantity::degrees(locks.left, 0),
            quantity::degrees(locks.right, 0)
        );
        rows.push(("locks", words));
    }
    for screw in &found.screws {
        let (this, other) = (degrees(screw.clock), degrees(screw.clock + 180.0));
        let words = match screw.room {
            [true, true] => format!("head at {this} or {other} from up: a key has room either way"),
            [true, false] => format!("a key has room only with the head at {this} from up, not at {other}"),
            [false, true] => format!("a key has room only with the head at {other} from up, not at {this}"),
            [false, false] => format!("head at {this} or {other} from up: no room for a key straight ahead"),
        };
        rows.push(("screw", format!("joint {}, {}, screw {}: {words}", screw.joint, side(screw.hub), screw.screw)));
    }
    rows
}

/// Both ends of the column's tilt.
pub(super) fn tilt(spec: &Spec, solution: &Solution) -> Table {
    let mut table = Table::new(&[
        ("column", 24.0),
        ("joint angles", 40.0),
        ("error", 20.0),
        ("greatest ratio", 24.0),
        ("shafts longer (+), shorter (−)", 32.0),
        ("closest", 46.0),
    ]);
    for end in &solution.tilt {
        let joints = solution.joints.iter().zip(&end.angles);
        let angles: Vec<String> = joints.map(|(joint, &angle)| format!("{} {}", joint.name, degrees(angle))).collect();
        let longer: Vec<String> = end
            .longer
            .iter()
            .map(|&mm| format!("{}{}", if mm < 0.0 { "−" } else { "+" }, quantity::millimetres(mm.abs(), 1)))
            .collect();
        let way = if end.tilt < 0.0 { "down" } else { "up" };
        let closest = end.clearances.iter().min_by(|a, b| (a.judged() - a.need).total_cmp(&(b.judged() - b.need)));
        table.row([
            format!("{} {way}", degrees(end.tilt.abs())),
            angles.join("\n"),
            quantity::degrees(end.error, 2),
            quantity::significant(end.ratio_max, 3),
            longer.join("\n"),
            closest.map_or_else(String::new, |row| {
                format!("{} to {}: {}", row.part, row.obstacle, value::both(&spec.build, row.gap))
            }),
        ]);
    }
    table
}

/// Changes that make it turn more evenly, best first.
pub(super) fn advice(solution: &Solution) -> Table {
    let mut table =
        Table::new(&[("what to change, best first", 110.0), ("error then", 38.0), ("greatest ratio then", 38.0)]);
    for advice in &solution.phase.advice {
        table.row([
            advice.what.clone(),
            quantity::degrees(advice.error, 2),
            quantity::significant(advice.ratio_max, 3),
        ]);
    }
    table
}

pub(super) fn clocking(spec: &Spec, found: &ClockingResult) -> Table {
    let mut table = Table::new(&[("straight ahead", 36.0), ("found", 150.0)]);
    for (what, words) in straight_ahead(spec, found) {
        table.row([what.to_owned(), words]);
    }
    table
}

/// Every section of every shaft.
pub(super) fn sections(solution: &Solution) -> Table {
    let mut table = Table::new(&[("shaft", 44.0), ("section", 40.0), ("shear", 40.0), ("margin to yield", 40.0)]);
    for shaft in &solution.strength.shafts {
        for section in &shaft.sections {
            table.row([
                shaft.name.clone(),
                section.place.clone(),
                quantity::stress(section.shear),
                quantity::significant(section.yield_margin, 3),
            ]);
        }
        if let Some(margin) = shaft.dimple_margin {
            let word = "at a dimple, by the factor stated".to_owned();
            table.row([shaft.name.clone(), word, String::new(), quantity::significant(margin, 3)]);
        }
    }
    table
}

/// Couples and forces of the joints.
pub(super) fn reactions(solution: &Solution) -> Table {
    let mut table = Table::new(&[
        ("joint", 36.0),
        ("couple bending the shaft above", 50.0),
        ("couple bending the shaft below", 50.0),
        ("side force passed on", 50.0),
    ]);
    for joint in &solution.strength.reactions {
        table.row([
            joint.name.clone(),
            quantity::torque(joint.couple_above),
            quantity::torque(joint.couple_below),
            joint.force.map_or_else(|| "not known".into(), quantity::force),
        ]);
    }
    table
}

/// Set screws and their torques.
pub(super) fn screws(solution: &Solution) -> Table {
    let mut table = Table::new(&[("set screws of", 56.0), ("thread", 30.0), ("tighten to", 40.0), ("source", 60.0)]);
    for row in &solution.strength.screws {
        table.row([
            format!("joint {}, {}", row.joint, side(row.hub)),
            format!("{} × {}", row.quantity, row.thread),
            row.seating.map_or_else(|| "ask the screw's maker".into(), quantity::torque),
            row.source.clone(),
        ]);
    }
    table
}

/// Play of every fit, and the sum.
pub(super) fn free_play(spec: &Spec, solution: &Solution) -> Table {
    let play = &solution.free_play;
    let mut table = Table::new(&[("fit", 76.0), ("play one way", 40.0), ("both ways at the wheel", 60.0)]);
    for fit in &play.fits {
        table.row([fit.at.clone(), quantity::degrees(fit.one_way, 2), quantity::degrees(fit.at_wheel, 2)]);
    }
    for at in &play.not_known {
        table.row([at.clone(), "not known".into(), "not counted".into()]);
    }
    let rim = play.at_rim.map_or_else(String::new, |rim| format!("\n{} at the rim", value::both(&spec.build, rim)));
    table.row(["sum, with the gear held".into(), String::new(), quantity::degrees(play.at_wheel, 2) + &rim]);
    table
}

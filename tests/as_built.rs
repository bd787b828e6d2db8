//! What was made beside the plan.
//!
//! References are worked out by hand from the numbers of the spec: bites add up along the bar, and a cross slid along
//! a straight line is a quadratic (plain geometry). No figure of the program stands in for another.

use proptest::prelude::*;
use yokeline::check::{Finding, Status};
use yokeline::pipeline::{self, Solved};
use yokeline::solve::solution::{AsBuiltResult, BuiltReading};

use crate::common::HERON;

const INCH: f64 = 25.4;
const VAN: &str = include_str!("../examples/otter-van-forward/linkage.toml");
const BUGGY: &str = include_str!("../examples/wren-buggy/linkage.toml");

/// The roadster's joints and shaft alone, and what was read off them.
fn slim(readings: &str) -> String {
    let rail = HERON.find("# Left rail, taped").unwrap();
    format!("{}\n[as_built]\ndate = 2026-04-11\ninitials = \"B4\"\n{readings}", &HERON[..rail])
}

fn solved(text: &str) -> Solved {
    pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap_or_else(|errors| panic!("{errors:#?}"))
}

fn built(solved: &Solved) -> &AsBuiltResult {
    solved.solution.as_built.as_ref().unwrap()
}

fn shaft(length: f64) -> String {
    slim(&format!("[[as_built.shaft]]\nname = \"intermediate\"\nlength = \"{length} mm\"\n"))
}

fn reading<'s>(solved: &'s Solved, what: &str) -> &'s BuiltReading {
    let rows = &built(solved).readings;
    rows.iter().find(|row| row.what == what).unwrap_or_else(|| panic!("{what} is not among {rows:#?}"))
}

fn of<'s>(solved: &'s Solved, rule: &str) -> Vec<&'s Finding> {
    solved.findings.iter().filter(|finding| finding.rule == rule).collect()
}

#[track_caller]
fn close(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

/// The planned finished length (mm).
fn planned() -> f64 {
    solved(&slim("")).solution.shafts[0].cut_length
}

/// Both hubs take 1.00 in; an eighth of an inch less in all is a sixteenth each, or an eighth in one.
#[test]
fn an_eighth_short_leaves_a_sixteenth_less_in_each_hub() {
    let solved = solved(&shaft(planned() - INCH / 8.0));
    let shaft = &built(&solved).shafts[0];
    close(shaft.short, INCH / 8.0, 1e-6);
    for hub in &shaft.hubs {
        close(hub.planned, INCH, 1e-9);
        close(hub.bite, 0.9375 * INCH, 1e-6);
        close(hub.least, 0.875 * INCH, 1e-6);
        close(hub.wanted, 0.75 * INCH, 1e-9);
    }
    let made = built(&solved).solved.as_ref().unwrap();
    close(made.joints[0].lower_engagement, 0.9375 * INCH, 1e-6);
    close(made.joints[1].upper_engagement, 0.9375 * INCH, 1e-6);
    close(made.shafts[0].cut_length, planned() - INCH / 8.0, 1e-6);
    // The crosses have not moved.
    assert_eq!(made.joints[0].centre, solved.solution.joints[0].centre);
    let length = reading(&solved, "length");
    close(length.difference.unwrap(), -INCH / 8.0, 1e-6);
    assert_eq!((length.within, length.date.as_str(), length.initials.as_str()), (Some(false), "2026-04-11", "B4"));
    assert!(of(&solved, "as-built").iter().any(|finding| finding.status == Status::Fail));
}

/// Slide m of the upper cross down the column: |C₂ − C₁ − m d| = span − short, the lesser root of a quadratic.
#[test]
fn the_joint_slides_by_the_root_of_a_quadratic() {
    let short = INCH / 8.0;
    let solved = solved(&shaft(planned() - short));
    // From the spec's own numbers (in): end faces, second points, reach less engagement.
    let unit = |from: [f64; 3], to: [f64; 3]| {
        let along = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
        let length = (along[0] * along[0] + along[1] * along[1] + along[2] * along[2]).sqrt();
        along.map(|x| x / length)
    };
    let (column, gear) = ([24.543, -15.030, 10.753], [5.531, -8.470, 3.227]);
    let down = unit([54.410, -16.690, 24.690], column);
    let into = unit([14.914, -9.071, 10.685], gear);
    let first: Vec<f64> = (0..3).map(|k| column[k] + 0.60 * down[k]).collect();
    let second: Vec<f64> = (0..3).map(|k| gear[k] - 0.65 * into[k]).collect();
    let between: Vec<f64> = (0..3).map(|k| second[k] - first[k]).collect();
    let square: f64 = between.iter().map(|x| x * x).sum();
    let along: f64 = (0..3).map(|k| between[k] * down[k]).sum();
    let wanted = square.sqrt() - short / INCH;
    let slide = along - (along * along - square + wanted * wanted).sqrt();
    let moved = &built(&solved).shafts[0].moves[0];
    assert_eq!((moved.joint.as_str(), moved.on.as_str(), moved.saves), ("upper", "column", true));
    close(moved.slide.unwrap(), slide * INCH, 2e-4);
    close(moved.bite.unwrap(), (1.0 - slide) * INCH, 2e-4);
    // A pinch bolt in its groove has one place.
    let other = &built(&solved).shafts[0].moves[1];
    assert!(!other.saves && other.slide.is_none() && other.why.contains("groove"), "{other:?}");
}

/// What the advice says, written into the spec, makes the shaft that was cut the planned one.
#[test]
fn the_advice_written_into_the_spec_makes_the_shaft_fit() {
    let length = planned() - INCH / 8.0;
    let first = solved(&shaft(length));
    let why = &built(&first).shafts[0].moves[0].why;
    let seat = why.split('`').nth(1).unwrap();
    let text = shaft(length).replacen("depth  = \"1.00 in\"", &format!("{seat}\ndepth  = \"1.00 in\""), 1);
    let second = solved(&text);
    // The seat is told to a hundredth of a millimetre.
    close(second.solution.shafts[0].cut_length, length, 0.01);
    assert_eq!(reading(&second, "length").within, Some(true));
    assert_eq!(second.failed(), 0);
}

/// 1.00 in planned, screws 0.50 in from the face, cone 90 degrees: the screw moves out along the bar with the hub.
#[test]
fn a_screw_stands_off_its_dimple_by_what_its_hub_lost() {
    let text = shaft(planned() - INCH / 4.0);
    let both = solved(&text);
    let rows: Vec<_> = built(&both).readings.iter().filter(|row| row.what.contains("off its dimple")).collect();
    assert_eq!(rows.len(), 2);
    for row in rows {
        close(row.made, -INCH / 8.0, 1e-6);
        assert_eq!(row.within, Some(false));
    }
    // Spotted through the hub on assembly it is where the screw is.
    let fit = text.replace("point = \"cone\", jam = true", "point = \"cone\", jam = true, spot = \"fit\"");
    assert!(!built(&solved(&fit)).readings.iter().any(|row| row.what.contains("off its dimple")));
}

/// 1.00 + 1.00 − 0.125 in all: what one hub was read to hold, the other lacks.
#[test]
fn a_reading_in_one_hub_leaves_the_rest_to_the_other() {
    let joint = "[[as_built.joint]]\nname = \"upper\"\nlower_in_hub = \"0.97 in\"\n";
    let solved = solved(&(shaft(planned() - INCH / 8.0) + joint));
    let hubs = &built(&solved).shafts[0].hubs;
    close(hubs[0].bite, 0.97 * INCH, 1e-6);
    close(hubs[1].bite, 0.905 * INCH, 1e-6);
    assert_eq!(reading(&solved, "shaft in the hub").within, Some(true));
}

/// A quarter of an inch long: each hub would take an eighth past its depth of 1.00 in.
#[test]
fn too_long_stands_in_the_cavity_and_is_to_be_faced() {
    let solved = solved(&shaft(planned() + INCH / 4.0));
    let made = built(&solved).solved.as_ref().unwrap();
    close(made.joints[0].lower_engagement, 1.125 * INCH, 1e-6);
    assert!(reading(&solved, "length").remedy.starts_with("face 0.250 in"));
    let worse = of(&solved, "as-made");
    assert!(worse.iter().any(|finding| finding.subject.contains("bore-depth")), "{worse:#?}");
    // Flush already: up the column there is no way.
    let moved = &built(&solved).shafts[0].moves[0];
    assert!(!moved.saves && moved.slide.is_none(), "{moved:?}");
}

#[test]
fn as_planned_is_as_good_as_planned() {
    let solved = solved(&shaft(planned()));
    let built = built(&solved);
    assert!(built.shafts.is_empty());
    let made = built.solved.as_ref().unwrap();
    close(made.shafts[0].cut_length, planned(), 1e-9);
    assert_eq!(made.clearances, solved.solution.clearances);
    let rows = of(&solved, "as-made");
    assert!(rows.len() == 1 && rows[0].status == Status::Pass, "{rows:#?}");
}

/// Off both hubs: nothing is solved, and that is said.
#[test]
fn a_shaft_that_reaches_neither_hub_is_told_and_not_solved() {
    let solved = solved(&shaft(planned() - 3.0 * INCH));
    let built = built(&solved);
    assert!(built.solved.is_none() && built.unsolved.as_ref().unwrap().contains("misses the shaft"));
    assert!(of(&solved, "as-made").iter().any(|finding| finding.status == Status::Fail));
    assert!(built.shafts[0].hubs.iter().all(|hub| hub.bite < 0.0));
    assert!(built.shafts[0].moves.iter().all(|one| !one.saves));
}

/// The limit of the spec itself fails where habit only warns.
#[test]
fn a_stated_limit_on_bites_is_kept() {
    let text = shaft(planned() - INCH / 8.0);
    let told = |text: &str| {
        let solved = solved(text);
        let rows = of(&solved, "as-built").into_iter().filter(|finding| finding.subject.contains("as made"));
        rows.map(|finding| finding.status).collect::<Vec<_>>()
    };
    assert_eq!(told(&text), [Status::Pass, Status::Pass]);
    assert_eq!(told(&(text.clone() + "[limits]\nengagement = \"0.95 in\"\n")), [Status::Fail, Status::Fail]);
}

/// One member half a millimetre longer and one a millimetre shorter: the overlap is half a millimetre less.
#[test]
fn members_of_a_slip_shaft_change_their_overlap() {
    let plan = solved(VAN);
    let index = plan.solution.shafts.iter().position(|shaft| shaft.slip.is_some()).unwrap();
    let planned = &plan.solution.shafts[index];
    let member = |name: &str| planned.members.iter().find(|member| member.name == name).unwrap().cut_length;
    let text = format!(
        "{VAN}\n[[as_built.shaft]]\nname = \"{}\"\nouter = {}\ninner = {}\n",
        planned.name,
        member("outer") + 0.5,
        member("inner") - 1.0
    );
    let solved = solved(&text);
    let made = &built(&solved).solved.as_ref().unwrap().shafts[index];
    let (before, after) = (planned.slip.as_ref().unwrap(), made.slip.as_ref().unwrap());
    close(after.overlap, before.overlap - 0.5, 1e-9);
    close(after.overlap_extended, before.overlap_extended - 0.5, 1e-9);
    close(after.collapse_room, before.collapse_room - 0.5, 1e-9);
    assert_eq!(built(&solved).readings.iter().filter(|row| row.what == "length").count(), 2);
}

/// Flats milled three degrees off turn the yokes by three degrees.
#[test]
fn flats_milled_off_their_angle_turn_the_yokes() {
    let plan = solved(BUGGY);
    let milled = plan.spec.shafts.iter().position(|shaft| shaft.ends.iter().any(Option::is_some)).unwrap();
    let planned = &plan.solution.shafts[milled];
    let read = planned.twist.flats + 3.0;
    let text = format!("{BUGGY}\n[[as_built.shaft]]\nname = \"{}\"\ntwist = \"{read} deg\"\n", planned.name);
    let solved = solved(&text);
    let made = &built(&solved).solved.as_ref().unwrap().shafts[milled].twist;
    close(made.set - planned.twist.set, 3.0, 1e-6);
    close(reading(&solved, "twist between its flats").difference.unwrap(), 3.0, 1e-9);
    assert_eq!(reading(&solved, "twist between its flats").within, Some(false));
}

/// ANSI seating torque of a 5/16-18 cup or cone screw: 165 in lbf (a handbook's table, from memory); a tenth either way.
#[test]
fn torques_are_compared_with_the_seating_table() {
    let told = |torque: &str| {
        let joint = format!("[[as_built.joint]]\nname = \"upper\"\nupper_torque = \"{torque}\"\n");
        let solved = solved(&slim(&joint));
        reading(&solved, "tightened to").within
    };
    assert_eq!(told("165 in lbf"), Some(true));
    assert_eq!(told("181 in lbf"), Some(true));
    assert_eq!(told("183 in lbf"), Some(false));
    assert_eq!(told("140 in lbf"), Some(false));
}

/// As every printed sheet says: 100 mm, each ruler within 0.3 mm.
#[test]
fn rulers_of_a_print_are_held_to_what_the_sheets_say() {
    let print = "[[as_built.print]]\nsheet = \"any\"\nacross = \"99.7 mm\"\nup = \"99.6 mm\"\n";
    let solved = solved(&slim(print));
    assert_eq!(reading(&solved, "level ruler").within, Some(true));
    assert_eq!(reading(&solved, "upright ruler").within, Some(false));
}

#[test]
fn a_gap_is_held_to_its_need() {
    let example = include_str!("../examples/heron-as-built/linkage.toml");
    let told = |gap: &str| reading(&solved(&example.replace("\"1 1/2 in\"", gap)), "gap").within;
    assert_eq!(told("\"1 in\""), Some(true));
    assert_eq!(told("\"0.99 in\""), Some(false));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// However the parts came out: the two bites add up to both reaches, the length, less the distance of the crosses.
    #[test]
    fn bites_add_up(short in -20.0..20.0f64, column in 15.0..27.0f64, read in proptest::option::of(15.0..27.0f64)) {
        let read = read.map(|read| format!("lower_in_hub = {}\n", read / INCH)).unwrap_or_default();
        let joint = format!("[[as_built.joint]]\nname = \"upper\"\nupper_in_hub = {}\n{read}", column / INCH);
        let solved = solved(&(shaft(planned() - short) + &joint));
        let Some(made) = &built(&solved).solved else { return Ok(()) };
        let [a, b] = [&made.joints[0], &made.joints[1]];
        let span = (0..3).map(|k| {
            let of = |v: yokeline::geometry::Vec3| [v.x, v.y, v.z][k];
            (of(b.centre) - of(a.centre)).powi(2)
        }).sum::<f64>().sqrt();
        let bites = a.lower_engagement + b.upper_engagement;
        prop_assert!((bites - (3.2 * INCH + planned() - short - span)).abs() < 1e-6);
        prop_assert!((a.upper_engagement - column).abs() < 1e-6);
    }
}

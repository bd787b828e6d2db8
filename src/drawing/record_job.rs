//! The job itself in the build record: steps in order, tests, certificates and marks to fill in, photographs, signatures.
//!
//! The order of the steps and what each asks for: common practice of the trade, no source.

use super::layout::Note;
use super::table::Pages;
use super::value;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::solution::{Dimple, End, ShaftResult, SpotWhen};
use crate::spec::Spec;
use crate::spec::types::{Build, Hold};

/// Said over the steps.
const STEPS: &str = "Do them in this order and tick each when it is done. Steering is worked on with the battery off and \
                     the vehicle on stands; every step is looked at once more by someone who did not do it.";

/// Said over the tests.
const TESTS: &str = "Turn slowly by hand, engine off, a helper watching the linkage. Keep rags, sleeves and fingers out of \
                     it: a bare hand, or a wire, feels for what comes near. Anything that binds, clicks or touches ends \
                     the test.";

/// Said over the blanks.
const FILL_IN: &str = "Keep the papers these are copied from with this record.";

pub(super) fn steps(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    pages.section("The job, step by step");
    pages.notes(&[Note::strong(STEPS)]);
    pages.steps(step_list(spec, solution));
}

fn step_list(spec: &Spec, solution: &Solution) -> Vec<String> {
    let build = &spec.build;
    let mut steps = vec![
        "Disarm the airbag and make the steering lock safe, as the vehicle's own manual says. Disconnect the battery."
            .to_owned(),
        "Check this record against the vehicle: record number, revision and spec hash are those of every sheet used."
            .to_owned(),
        "Print the templates at 100 % and lay a rule on both rulers of every sheet before it is used.".to_owned(),
        "Hang both ends loosely: joints on column and gear, screws and bolts finger-tight, the wheel straight ahead and \
         the gear in the middle of its turns."
            .to_owned(),
        "Set each shaft end flush with the inner mouth of its hub, or back from it where the plan says so. No end may \
         stand in a joint's cavity."
            .to_owned(),
        "Measure between the hubs again and compare with this record before any bar is cut.".to_owned(),
    ];
    for shaft in &solution.shafts {
        let pieces: Vec<(String, f64, f64, f64)> = if shaft.members.is_empty() {
            let tolerance = shaft.cut_length_max - shaft.cut_length;
            vec![(format!("shaft \"{}\"", shaft.name), shaft.cut_long, shaft.cut_length, tolerance)]
        } else {
            let members = shaft.members.iter().map(|member| {
                let name = format!("{} member of shaft \"{}\"", member.name, shaft.name);
                (name, member.cut_long, member.cut_length, member.cut_length_max - member.cut_length)
            });
            members.collect()
        };
        for (name, long, length, tolerance) in pieces {
            steps.push(format!("Saw the {name} long, to {}; punch its column end.", value::tape_and_both(build, long)));
            steps.push(format!(
                "Fit it, mark it, and face both ends square to {} ± {}.",
                value::both(build, length),
                value::both(build, tolerance)
            ));
        }
        spots(&mut steps, build, shaft);
    }
    let screws = spec.joints.iter().flat_map(|joint| [&joint.upper, &joint.lower]);
    let pinched = screws.clone().any(|hub| matches!(hub.hold, Hold::Pinch(_)));
    let screwed = screws.clone().any(|hub| !hub.screws().is_empty());
    steps.push("Clean every thread, screw and dimple of oil and swarf.".to_owned());
    if screwed {
        steps.push("Put thread-locking compound on every set screw; turn it into its dimple.".to_owned());
        for screw in &solution.strength.screws {
            let torque = screw.seating.map_or_else(|| "what its maker asks for".to_owned(), quantity::torque);
            let several = if screw.quantity > 1 { format!("{} screws", screw.quantity) } else { "screw".to_owned() };
            steps.push(format!(
                "Joint \"{}\", {}: tighten the set {several} {} to {torque}, then the new lock nut while the screw is held.",
                screw.joint,
                super::record_steer::side(screw.hub),
                screw.thread
            ));
        }
    }
    if pinched {
        steps.push(
            "Put each pinch bolt through its groove with a new lock nut and tighten it to what the joint's maker asks for; \
             the shaft must not pull out with the bolt loose."
                .to_owned(),
        );
    }
    steps.push(
        "Mark every screw, bolt and nut across its edge with paint, so that one that has turned is seen.".to_owned(),
    );
    steps.push("Check full lock both ways and full travel as below, with a rag-free hand clear of it.".to_owned());
    steps.push("Have it inspected by whoever the law where you are asks for, before the vehicle moves.".to_owned());
    steps.push("After the first drive, look at every paint mark, screw, bolt and clearance again.".to_owned());
    steps
}

fn spots(steps: &mut Vec<String>, build: &Build, shaft: &ShaftResult) {
    let end = |end: End| if end == End::Upper { "column" } else { "gear" };
    let drilled = shaft.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Drill);
    for Dimple { end: at, station, depth, drill, .. } in drilled {
        steps.push(format!(
            "Shaft \"{}\": drill the dimple {} from the {} end, {} point, {} deep.",
            shaft.name,
            value::both(build, *station),
            end(*at),
            quantity::degrees(*drill, 0),
            value::both(build, *depth)
        ));
    }
    for dimple in shaft.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Fit) {
        steps.push(format!(
            "Shaft \"{}\": with the joints on, spot through the screw's hole at the {} end, draw the shaft out and drill.",
            shaft.name,
            end(dimple.end)
        ));
    }
    for groove in &shaft.grooves {
        steps.push(format!(
            "Shaft \"{}\": cut the groove {} from the {} end.",
            shaft.name,
            value::both(build, groove.station),
            end(groove.end)
        ));
    }
}

pub(super) fn tests(pages: &mut Pages, spec: &Spec) {
    pages.section("Lock to lock, and full travel");
    pages.notes(&[Note::body(TESTS)]);
    let mut steps = vec![
        "Wheels off the ground: from lock to lock and back, three times, no bind, no click, no touch.".to_owned(),
        "At both locks the gear's own stops end the turn, no joint, hose or bracket.".to_owned(),
        "Suspension at full droop, lock to lock.".to_owned(),
        "Suspension at full bump, lock to lock.".to_owned(),
        "Engine rocked on its mounts by hand both ways, lock to lock.".to_owned(),
        "Wheel turned hard against each lock: nothing slips on a shaft, every paint mark still in line.".to_owned(),
        "Every clearance of this record measured at its tightest.".to_owned(),
        "On the ground, engine running: lock to lock once more.".to_owned(),
    ];
    if spec.column.tilt.is_some() {
        steps.insert(1, "The same with the column tilted fully up, and fully down.".to_owned());
    }
    pages.steps(steps);
    let rows = [
        ("turns from lock to lock", "at the wheel"),
        ("turns from straight ahead to the left lock", "at the wheel"),
        ("turns from straight ahead to the right lock", "at the wheel"),
        ("least gap found over all of it, and to what", "this record's clearances"),
    ];
    pages.blanks(rows.map(|(what, wanted)| [what.to_owned(), wanted.to_owned()]).to_vec());
}

pub(super) fn certificates(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    pages.section("Certificates and marks");
    pages.notes(&[Note::body(FILL_IN)]);
    let mut rows: Vec<[String; 2]> = Vec::new();
    let mut row = |what: String, wanted: String| rows.push([what, wanted]);
    for (shaft, result) in spec.shafts.iter().zip(&solution.shafts) {
        let wanted = format!("{}; {}", result.stock, shaft.material.title);
        row(format!("bar of shaft \"{}\": heat and certificate number", result.name), wanted);
    }
    for joint in &spec.joints {
        let wanted = joint.rating.as_ref().map_or_else(
            || "rating not stated: take it from its maker".to_owned(),
            |rating| format!("rated {}, {}", quantity::torque(rating.torque), rating.source),
        );
        row(format!("joint \"{}\": marking on it, batch", joint.name), wanted);
        for (side, hub) in [("column", &joint.upper), ("gear", &joint.lower)] {
            match &hub.hold {
                Hold::Screws(screws) => {
                    let threads: Vec<&str> = screws.iter().map(|screw| screw.thread.name.as_str()).collect();
                    row(
                        format!("joint \"{}\", {side}-side hub: torque used, wrench number", joint.name),
                        threads.join(", "),
                    );
                }
                Hold::Pinch(pinch) => row(
                    format!("joint \"{}\", {side}-side hub: pinch bolt's grade, torque used", joint.name),
                    pinch.bolt.name.clone(),
                ),
                Hold::Weld => row(
                    format!(
                        "joint \"{}\", {side}-side hub: weld procedure, welder, certificate, inspection",
                        joint.name
                    ),
                    "welding on steering parts is not advised and often unlawful".to_owned(),
                ),
                Hold::Nothing => {}
            }
        }
    }
    for bolt in &solution.bolts {
        row(format!("bolt \"{}\": grade marked on its head, torque used", bolt.name), "as the order list".to_owned());
    }
    for plate in &solution.plates {
        row(
            format!("plate \"{}\": material and certificate number", plate.name),
            value::both(&spec.build, plate.thick),
        );
    }
    if !solution.notches.is_empty() || !solution.plates.is_empty() {
        row(
            "welding of brackets and frame: procedure, welder, certificate".to_owned(),
            "qualified for the metal and thickness".to_owned(),
        );
        row("filler metal: classification and batch".to_owned(), "as the procedure says".to_owned());
    }
    row("thread-locking compound: grade, date of use by".to_owned(), "as its maker says for steel".to_owned());
    pages.blanks(rows);
}

pub(super) fn photos(pages: &mut Pages, solution: &Solution) {
    pages.section("Photographs");
    let mut shots = vec!["whole linkage from the left".to_owned(), "whole linkage from above".to_owned()];
    shots.extend(solution.joints.iter().map(|joint| format!("joint \"{}\", screws and paint marks", joint.name)));
    let cut = solution.notches.iter().filter(|notch| !notch.shop.is_empty());
    shots.extend(cut.map(|notch| format!("notch \"{}\" before and after welding", notch.name)));
    shots.push("marking on the bar and on the joints".to_owned());
    pages.photos(shots);
}

//! Two packages side by side. What must be made again is worked out by hand from what was changed in the spec.

use std::collections::BTreeMap;

use yokeline::audit::compare::{Comparison, PartChange, Verdict, compare};
use yokeline::pipeline;

use crate::common::HERON;

/// The roadster with its column bracket, and no rail: quick to make.
fn slim() -> String {
    let rail = HERON.find("# Left rail, taped").unwrap();
    let plate = HERON.find("# Column bracket: square").unwrap();
    let firewall = HERON.find("# Firewall: an upright").unwrap();
    format!("{}{}", &HERON[..rail], &HERON[plate..firewall])
}

fn made(spec: &str) -> BTreeMap<String, Vec<u8>> {
    let solved = pipeline::solve("linkage.toml", spec.as_bytes(), &mut |_| ()).unwrap();
    let artifacts = pipeline::make(spec.as_bytes(), &solved, &mut |_| ()).unwrap();
    artifacts.into_iter().map(|artifact| (artifact.path, artifact.bytes)).collect()
}

/// The slim roadster against itself with words swapped; `nth` of them, from 0.
fn against(old: &str, new: &str, nth: usize) -> Comparison {
    let text = slim();
    let (at, _) = text.match_indices(old).nth(nth).unwrap();
    let changed = format!("{}{new}{}", &text[..at], &text[at + old.len()..]);
    compare(&made(&text), &made(&changed)).unwrap()
}

#[track_caller]
fn part<'c>(found: &'c Comparison, name: &str) -> &'c PartChange {
    found.parts.iter().find(|part| part.part == name).unwrap_or_else(|| panic!("{name}: {:#?}", found.parts))
}

#[test]
fn a_package_and_itself_are_the_same() {
    let package = made(&slim());
    let found = compare(&package, &package).unwrap();
    assert!(found.same() && !found.work() && found.doubts.is_empty(), "{found:#?}");
    assert!(found.parts.iter().all(|part| part.verdict == Verdict::Same));
}

/// Only words: no part is touched, and every sheet that carries the hash of the spec differs.
#[test]
fn another_revision_letter_touches_no_part() {
    let found = against("revision  = \"A\"", "revision  = \"B\"", 0);
    assert_eq!(found.spec.len(), 1, "{:#?}", found.spec);
    let change = &found.spec[0];
    assert_eq!(change.what, "build.revision");
    assert_eq!((change.before.as_deref(), change.after.as_deref()), (Some("\"A\""), Some("\"B\"")));
    assert!(!found.work() && found.figures.is_empty() && found.verdicts.is_empty());
    assert!(found.files.iter().any(|file| file.what == "drawings/shaft-intermediate.pdf"));
}

/// A hub that reaches a tenth of an inch further leaves the shaft that much shorter: the crosses stay.
#[test]
fn a_shaft_a_tenth_shorter_is_to_be_made_again() {
    let found = against("reach  = \"1.60 in\"", "reach  = \"1.70 in\"", 1);
    let shaft = part(&found, "shaft intermediate");
    assert_eq!(shaft.verdict, Verdict::Again);
    assert!(shaft.why.contains("0.100 in (2.54 mm) shorter") && shaft.why.contains("faced"), "{}", shaft.why);
    assert_eq!(part(&found, "joint upper").verdict, Verdict::Again);
    assert_eq!(part(&found, "joint lower").verdict, Verdict::Same);
    assert_eq!(part(&found, "plate column bracket").verdict, Verdict::Same);
    assert!(found.spec.iter().any(|change| change.what == "joint \"upper\".lower.reach"), "{:#?}", found.spec);
    assert!(found.work());
}

/// Its tolerance is half a millimetre: a hundredth of an inch, 0.254 mm, is within.
#[test]
fn a_shaft_within_tolerance_is_kept() {
    let found = against("reach  = \"1.60 in\"", "reach  = \"1.61 in\"", 1);
    let shaft = part(&found, "shaft intermediate");
    assert_eq!(shaft.verdict, Verdict::Fits);
    assert!(
        shaft.why.contains("0.010 in (0.25 mm) shorter") && shaft.why.contains("within tolerance"),
        "{}",
        shaft.why
    );
}

/// Screws a sixteenth further in: dimples that much nearer the end, 1.59 mm, past the tolerance of 0.25 mm.
#[test]
fn dimples_elsewhere_are_to_be_made_again() {
    let found = against("at = \"0.50 in\"", "at = \"0.5625 in\"", 1);
    let shaft = part(&found, "shaft intermediate");
    assert_eq!(shaft.verdict, Verdict::Again);
    assert!(shaft.why.contains("dimple 1 0.438 in (11.11 mm) from its end, was 0.500 in (12.7 mm)"), "{}", shaft.why);
}

#[test]
fn holes_that_move_and_openings_that_grow_are_named() {
    let found = against("[\"0.75 in\", \"0.75 in\"]", "[\"1.00 in\", \"0.75 in\"]", 0);
    let plate = part(&found, "plate column bracket");
    assert_eq!(plate.verdict, Verdict::Again);
    assert!(plate.why.contains("moves by 0.250 in (6.35 mm)") && !plate.why.contains(';'), "{}", plate.why);
    assert_eq!(part(&found, "shaft intermediate").verdict, Verdict::Same);
    let found = against("bolt = \"5/16 normal\"", "bolt = \"3/8 normal\"", 0);
    assert!(part(&found, "plate column bracket").why.contains("another size"), "{:#?}", found.parts);
}

#[test]
fn parts_that_come_and_go_are_named() {
    let with = slim();
    let without = &HERON[..HERON.find("# Left rail, taped").unwrap()];
    let found = compare(&made(&with), &made(without)).unwrap();
    assert_eq!(part(&found, "plate column bracket").verdict, Verdict::Gone);
    assert!(!found.work());
    let found = compare(&made(without), &made(&with)).unwrap();
    assert_eq!(part(&found, "plate column bracket").verdict, Verdict::New);
    assert!(found.work() && found.spec.iter().any(|change| change.what == "plate" && change.before.is_none()));
}

/// What closes a notch and gives its strength back is made of tube and plate: another wall is another tube.
#[test]
fn liners_and_doublers_are_parts() {
    let plate = HERON.find("# Column bracket: square").unwrap();
    let old = &HERON[..plate];
    let new =
        old.replace("wall = \"0.120 in\"", "wall = \"0.095 in\"").replace("wall = \"1/8 in\"", "wall = \"3/16 in\"");
    let found = compare(&made(old), &made(&new)).unwrap();
    let liner = part(&found, "liner left rail notch");
    assert_eq!(liner.verdict, Verdict::Again);
    assert_eq!(liner.why, "wall 0.095 in (2.41 mm), was 0.120 in (3.05 mm)");
    for face in ["left", "right"] {
        let doubler = part(&found, &format!("doubler left rail notch {face}"));
        assert_eq!(doubler.verdict, Verdict::Again);
        assert!(doubler.why.starts_with("0.188 in (4.76 mm) thick, was 0.125 in"), "{}", doubler.why);
    }
    assert!(matches!(part(&found, "notch left rail notch").verdict, Verdict::Same | Verdict::Fits));
    let found = compare(&made(old), &made(old)).unwrap();
    assert!(found.parts.iter().all(|part| part.verdict == Verdict::Same), "{:#?}", found.parts);
}

#[test]
fn a_package_that_was_touched_is_doubted_and_one_without_a_spec_is_refused() {
    let good = made(&slim());
    let mut bad = good.clone();
    bad.insert("results.json".to_owned(), b"{}".to_vec());
    let found = compare(&bad, &good).unwrap();
    assert!(found.doubts.len() == 1 && found.doubts[0].contains("older") && found.doubts[0].contains("results.json"));
    let found = compare(&good, &made(&slim().replace("frame 3", "frame 4"))).unwrap();
    assert!(found.doubts.len() == 1 && found.doubts[0].contains("two vehicles"), "{:?}", found.doubts);
    bad.remove("linkage.toml");
    assert_eq!(compare(&good, &bad).unwrap_err().0, 1);
}

//! Damage to the spec, the results and the manifest, and to whole files.

use serde_json::Value;

use super::{Package, found, heron, named, seal, swapped};

const RESULTS: &str = "results.json";

/// Damages a value of the results.
pub(super) fn value(damage: impl FnOnce(&mut Value)) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    |bytes| {
        let mut results = serde_json::from_slice(&bytes).unwrap();
        damage(&mut results);
        serde_json::to_vec(&results).unwrap()
    }
}

#[test]
fn the_results_written_another_way_are_the_same() {
    let mut package = heron();
    let same = value(|_| ())(package[RESULTS].clone());
    assert!(same != package[RESULTS]);
    package.insert(RESULTS.to_owned(), same);
    seal(&mut package);
    super::clean_but_for_bytes(&package, &[RESULTS]);
}

#[test]
fn a_number_off_in_its_last_digit_is_named() {
    found(
        heron(),
        RESULTS,
        "shafts[0].cut_length",
        value(|results| {
            let length = &mut results["shafts"][0]["cut_length"];
            *length = length.as_f64().unwrap().next_up().into();
        }),
    );
    found(
        heron(),
        RESULTS,
        "motion.curve[77][1]",
        value(|results| {
            let angle = &mut results["motion"]["curve"][77][1];
            *angle = angle.as_f64().unwrap().next_down().into();
        }),
    );
    found(
        heron(),
        RESULTS,
        "joints[1].centre[2]",
        value(|results| {
            let z = &mut results["joints"][1]["centre"][2];
            *z = (-z.as_f64().unwrap()).into();
        }),
    );
}

#[test]
fn a_verdict_turned_round_is_named() {
    found(
        heron(),
        RESULTS,
        "status",
        value(|results| {
            let row = results["checks"].as_array_mut().unwrap().iter_mut().find(|row| row["status"] == "warn").unwrap();
            row["status"] = "pass".into();
        }),
    );
}

#[test]
fn a_key_taken_out_or_put_in_is_named() {
    found(
        heron(),
        RESULTS,
        "joints[0].angle",
        value(|results| {
            results["joints"][0].as_object_mut().unwrap().remove("angle");
        }),
    );
    found(
        heron(),
        RESULTS,
        "shafts[0].twist.step",
        value(|results| {
            results["shafts"][0]["twist"].as_object_mut().unwrap().remove("step");
        }),
    );
    found(heron(), RESULTS, "plates[0].kerf", value(|results| results["plates"][0]["kerf"] = 0.2.into()));
}

#[test]
fn a_row_taken_out_is_named() {
    found(
        heron(),
        RESULTS,
        "clearances",
        value(|results| {
            results["clearances"].as_array_mut().unwrap().pop();
        }),
    );
    found(
        heron(),
        RESULTS,
        "plates[0].holes",
        value(|results| {
            results["plates"][0]["holes"].as_array_mut().unwrap().remove(1);
        }),
    );
}

#[test]
fn another_title_is_named() {
    found(heron(), RESULTS, "spec.title", value(|results| results["spec"]["title"] = "Other".into()));
}

/// Every PDF: each says the hash of its spec.
const PDFS: [&str; 14] = [
    "drawings/drilling-column-bracket.pdf",
    "drawings/drilling-firewall.pdf",
    "drawings/layout.pdf",
    "drawings/shaft-intermediate.pdf",
    "print/all.pdf",
    "print/doubler-left-rail-notch-left.pdf",
    "print/doubler-left-rail-notch-right.pdf",
    "print/liner-left-rail-notch.pdf",
    "print/notch-left-rail-notch.pdf",
    "print/plate-column-bracket.pdf",
    "print/plate-firewall.pdf",
    "print/strips-column-bracket.pdf",
    "print/strips-firewall.pdf",
    "record/build-record.pdf",
];

/// Every picture: each shows the hash of the spec.
const PICTURES: [&str; 5] = [
    "record/phase-intermediate.svg",
    "record/shear.svg",
    "record/torque.svg",
    "record/turn-error.svg",
    "record/turn-ratio.svg",
];

/// Every solid: each states the hash of its spec.
const STEPS: [&str; 8] = [
    "solids/assembly.step",
    "solids/doubler-left-rail-notch-left.step",
    "solids/doubler-left-rail-notch-right.step",
    "solids/liner-left-rail-notch.step",
    "solids/plate-column-bracket.step",
    "solids/plate-firewall.step",
    "solids/rail-left-rail.step",
    "solids/shaft-intermediate.step",
];

fn with_spec(old: &str, new: &str) -> Package {
    let mut package = heron();
    let spec = swapped(package["linkage.toml"].clone(), old, new);
    package.insert("linkage.toml".to_owned(), spec);
    seal(&mut package);
    package
}

#[test]
fn a_comment_changed_in_the_spec_is_named_by_every_hash_of_it() {
    let package = with_spec("# The vehicle is invented.", "# The vehicle is another.");
    named(&package, &[&[RESULTS][..], &PDFS, &STEPS, &PICTURES].concat(), "hash of the spec");
    named(&package, &[&[RESULTS][..], &PDFS, &STEPS, &PICTURES].concat(), "spec.sha256");
}

#[test]
fn a_number_changed_in_the_spec_is_named_by_every_file_that_has_it() {
    let package = with_spec("end     = [24.543,", "end     = [24.643,");
    let more = [
        RESULTS,
        "drawings/layout.svg",
        "drawings/shaft-intermediate.svg",
        "cut/doubler-left-rail-notch-left.svg",
        "cut/doubler-left-rail-notch-right.svg",
        "cut/liner-left-rail-notch.svg",
        "cut/notch-left-rail-notch.svg",
        "cut/plate-firewall.svg",
    ];
    // The column bracket hangs on the column, so its outlines move along with it.
    named(&package, &[&more[..], &PDFS, &STEPS, &PICTURES].concat(), "cut length");
    named(&package, &[&more[..], &PDFS, &STEPS, &PICTURES].concat(), "opening");
}

#[test]
fn a_spec_that_cannot_be_read_is_named() {
    for spec in ["", "format = 1", "\u{0}", "[[[[[["] {
        let mut package = heron();
        package.insert("linkage.toml".to_owned(), spec.into());
        seal(&mut package);
        named(&package, &["linkage.toml"], "spec");
    }
}

#[test]
fn a_missing_file_is_named() {
    for file in heron().into_keys().filter(|file| file != "manifest.json" && file != "linkage.toml") {
        let mut package = heron();
        package.remove(&file);
        named(&package, &[&file], "file");
        seal(&mut package);
        named(&package, &[&file], "file");
    }
    let mut package = heron();
    package.remove("manifest.json");
    named(&package, &["manifest.json"], "manifest");
    let mut package = heron();
    package.remove("linkage.toml");
    named(&package, &["linkage.toml"], "file");
}

#[test]
fn a_file_too_many_is_named() {
    let mut package = heron();
    package.insert("cut/plate-bracket.svg".to_owned(), package["cut/plate-column-bracket.svg"].clone());
    named(&package, &["cut/plate-bracket.svg"], "file");
    seal(&mut package);
    named(&package, &["cut/plate-bracket.svg"], "file");
}

#[test]
fn a_file_cut_short_or_emptied_is_named() {
    for file in heron().into_keys().filter(|file| file != "manifest.json" && file != "linkage.toml") {
        for part in [0.0, 0.3, 0.9] {
            found(heron(), &file, "", |bytes| bytes[..(bytes.len() as f64 * part) as usize].to_vec());
        }
    }
}

#[test]
fn files_in_each_others_place_are_named() {
    for (a, b) in [
        ("cut/plate-column-bracket.svg", "cut/plate-firewall.svg"),
        ("print/plate-column-bracket.pdf", "print/plate-firewall.pdf"),
        ("solids/shaft-intermediate.step", "drawings/shaft-intermediate.pdf"),
        ("drawings/shaft-intermediate.pdf", "record/build-record.pdf"),
    ] {
        let mut package = heron();
        let (first, second) = (package[a].clone(), package[b].clone());
        package.insert(a.to_owned(), second);
        package.insert(b.to_owned(), first);
        seal(&mut package);
        named(&package, &[a, b], "");
    }
}

#[test]
fn a_manifest_that_lies_is_named() {
    let lie = |damage: fn(&mut Value)| {
        let mut package = heron();
        let bytes = value(damage)(package["manifest.json"].clone());
        package.insert("manifest.json".to_owned(), bytes);
        package
    };
    named(&lie(|m| m["format"] = 2.into()), &["manifest.json"], "format");
    named(&lie(|m| m["program"] = "other 1".into()), &["manifest.json"], "program");
    named(&lie(|m| m["spec_sha256"] = "00".into()), &["manifest.json"], "hash of the spec");
    named(&lie(|m| m["files"][4]["what"] = "solid".into()), &["manifest.json"], "what ");
    named(&lie(|m| m["files"][1]["bytes"] = 1.into()), &[RESULTS], "bytes");
    named(&lie(|m| m["files"][1]["sha256"] = "00".into()), &[RESULTS], "SHA-256");
    named(
        &lie(|m| {
            let row = m["files"][1].clone();
            m["files"].as_array_mut().unwrap().push(row);
        }),
        &["manifest.json"],
        "rows of results.json",
    );
    for broken in ["", "{", "[]", "null", "{\"format\": 1}", "\u{feff}{}"] {
        let mut package = heron();
        package.insert("manifest.json".to_owned(), broken.into());
        named(&package, &["manifest.json"], "manifest");
    }
}

//! Bytes changed at random: never a panic, and never unseen where the manifest is not sealed again.

use std::sync::OnceLock;

use serde_json::Value;
use yokeline::audit::{self, AuditReport, manifest};

use super::{Package, made, seal};
use crate::common::HERON;

/// Changes tried on each kind of file.
const TRIES: u64 = 200;

/// A linkage with one plate and no rail: quick to solve anew many times.
fn slim() -> Package {
    static MADE: OnceLock<Package> = OnceLock::new();
    let make = || {
        let rail = HERON.find("# Left rail").unwrap();
        let plate = HERON.find("# Column bracket").unwrap();
        let firewall = HERON.find("# Firewall").unwrap();
        made(&format!("{}{}", &HERON[..rail], &HERON[plate..firewall]))
    };
    MADE.get_or_init(make).clone()
}

/// Well-mixed numbers that are the same on every run (Steele, Lea and Flood, "Fast splittable pseudorandom number
/// generators", 2014; constants from memory).
fn mixed(seed: u64) -> u64 {
    let mut z = seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// One byte changed, another for each try.
fn flipped(bytes: &[u8], attempt: u64) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    let at = mixed(2 * attempt) as usize % bytes.len();
    bytes[at] ^= (mixed(2 * attempt + 1) % 255 + 1) as u8;
    bytes
}

/// The spec, the file and the manifest alone: other files would only be measured over and over.
fn alone(file: &str, bytes: Vec<u8>) -> Package {
    let mut package = slim();
    package.retain(|path, _| path == "linkage.toml" || path == "manifest.json");
    package.insert(file.to_owned(), bytes);
    package
}

fn never_a_panic_never_unseen(file: &str) {
    let good = slim()[file].clone();
    for attempt in 0..TRIES {
        let bytes = flipped(&good, attempt);
        let mut package = alone(file, bytes);
        let mut report = AuditReport::default();
        manifest::check(&package, &mut report);
        assert!(report.lines.iter().any(|line| !line.good && line.file == file), "{file}, change {attempt} is unseen");
        seal(&mut package);
        audit::audit(&package);
    }
}

#[test]
fn the_spec_with_any_byte_changed() {
    never_a_panic_never_unseen("linkage.toml");
}

#[test]
fn the_results_with_any_byte_changed() {
    never_a_panic_never_unseen("results.json");
}

#[test]
fn a_solid_with_any_byte_changed() {
    never_a_panic_never_unseen("solids/shaft-intermediate.step");
}

#[test]
fn a_template_with_any_byte_changed() {
    never_a_panic_never_unseen("print/plate-column-bracket.pdf");
}

#[test]
fn an_outline_with_any_byte_changed() {
    never_a_panic_never_unseen("cut/plate-column-bracket.svg");
}

#[test]
fn a_drawing_with_any_byte_changed() {
    never_a_panic_never_unseen("drawings/shaft-intermediate.svg");
    never_a_panic_never_unseen("drawings/layout.svg");
}

/// Numbers of the results changed one digit at a time: every one is seen by measuring alone.
#[test]
fn a_digit_changed_in_the_results_is_never_unseen() {
    let good = slim()["results.json"].clone();
    let before: Value = serde_json::from_slice(&good).unwrap();
    let digits: Vec<usize> = (0..good.len()).filter(|at| good[*at].is_ascii_digit()).collect();
    for attempt in 0..TRIES {
        let at = digits[mixed(attempt) as usize % digits.len()];
        let mut bytes = good.clone();
        bytes[at] = b'0' + (bytes[at] - b'0' + 1) % 10;
        let same = serde_json::from_slice::<Value>(&bytes).is_ok_and(|after| after == before);
        let mut package = alone("results.json", bytes);
        seal(&mut package);
        let report = audit::audit(&package);
        let seen = report.lines.iter().any(|line| !line.good && line.file == "results.json");
        // Past the seventeenth digit two texts may be one number.
        assert!(seen || same, "byte {at} is unseen");
    }
}

#[test]
fn the_manifest_with_any_byte_changed() {
    let package = slim();
    let good = package["manifest.json"].clone();
    // White space between values says nothing, and another version of the program is allowed.
    let meaning = |bytes: &[u8]| {
        let mut manifest: Value = serde_json::from_slice(bytes).ok()?;
        let program = manifest["program"].as_str()?.split(' ').next()?.to_owned();
        manifest["program"] = program.into();
        Some(manifest)
    };
    for attempt in 0..TRIES {
        let mut package = package.clone();
        let bytes = flipped(&good, attempt);
        let same = meaning(&bytes) == meaning(&good);
        package.insert("manifest.json".to_owned(), bytes);
        let report = audit::audit(&package);
        assert!(!report.good() || same, "change {attempt} is unseen");
    }
}

//! The audit against packages damaged on purpose.
//!
//! Every damage is sealed again in the manifest, so that no hash gives it away and only measuring finds it. The
//! allowed differences are the ones the format promises: STEP 1e-6 mm, SVG 0.002 mm, PDF 0.01 mm, JSON none.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde_json::Value;
use yokeline::audit::{self, AuditLine, AuditReport};
use yokeline::digest::sha256;
use yokeline::pipeline;

use crate::common::HERON;

mod clean;
mod figures;
mod flips;
mod kinds;
mod looks;
mod page;
mod paper;
mod records;
mod solid;
mod tiles;

/// The record as a web page.
const PAGE: &str = "record/build-record.html";

/// Files by path.
type Package = BTreeMap<String, Vec<u8>>;

/// The roadster's package.
fn heron() -> Package {
    static MADE: OnceLock<Package> = OnceLock::new();
    MADE.get_or_init(|| made(HERON)).clone()
}

/// The roadster's package with its header tube too close: every sheet is banded.
fn banded() -> Package {
    static MADE: OnceLock<Package> = OnceLock::new();
    MADE.get_or_init(|| made(&HERON.replace("need = \"1 in\"", "need = \"3 in\""))).clone()
}

fn made(spec: &str) -> Package {
    let solved = pipeline::solve("linkage.toml", spec.as_bytes(), &mut |_| ()).unwrap();
    let artifacts = pipeline::make(spec.as_bytes(), &solved, &mut |_| ()).unwrap();
    artifacts.into_iter().map(|artifact| (artifact.path, artifact.bytes)).collect()
}

/// States every file's size and hash in the manifest as they are now.
fn seal(package: &mut Package) {
    let mut manifest: Value = serde_json::from_slice(&package["manifest.json"]).unwrap();
    manifest["spec_sha256"] = sha256(&package["linkage.toml"]).into();
    let rows = manifest["files"].as_array_mut().unwrap();
    rows.retain(|row| package.contains_key(row["path"].as_str().unwrap()));
    for (path, bytes) in package.iter().filter(|(path, _)| *path != "manifest.json") {
        let at = rows.iter().position(|row| row["path"] == path.as_str()).unwrap_or_else(|| {
            rows.push(serde_json::json!({ "path": path, "what": "more" }));
            rows.len() - 1
        });
        rows[at]["sha256"] = sha256(bytes).into();
        rows[at]["bytes"] = bytes.len().into();
    }
    let text = serde_json::to_vec(&manifest).unwrap();
    package.insert("manifest.json".to_owned(), text);
}

/// The lines that are off.
fn off(report: &AuditReport) -> Vec<&AuditLine> {
    report.lines.iter().filter(|line| !line.good).collect()
}

/// Asserts that a package gives no alarm.
#[track_caller]
fn clean(package: &Package) {
    let report = audit::audit(package);
    assert!(report.good(), "{:#?}", off(&report));
}

/// Asserts that nothing is off of files written another way but their bytes, which the record's page holds.
#[track_caller]
fn clean_but_for_bytes(package: &Package, files: &[&str]) {
    let report = audit::audit(package);
    let off = off(&report);
    let is_bytes = |what: &str| files.iter().any(|file| what.ends_with(&format!("of {file}")));
    assert!(!off.is_empty() && off.iter().all(|line| line.file == PAGE && is_bytes(&line.what)), "{off:#?}");
}

/// Damages one file, seals the package, and asserts that the audit names that file alone, and `what` in it.
#[track_caller]
fn found(mut package: Package, file: &str, what: &str, damage: impl FnOnce(Vec<u8>) -> Vec<u8>) {
    let before = package[file].clone();
    let after = damage(before.clone());
    assert!(before != after, "nothing was damaged");
    package.insert(file.to_owned(), after);
    seal(&mut package);
    named(&package, &[file], what);
}

/// Asserts that what is off stands in these files, each of them, and one line has `what` in it.
#[track_caller]
fn named(package: &Package, files: &[&str], what: &str) {
    let report = audit::audit(package);
    // The record's page lists every file with its hash, and shows some and the record's paper; where one of those is
    // spoiled it may say so too.
    let mut off = off(&report);
    off.retain(|line| line.file != PAGE || files.contains(&PAGE));
    for file in files {
        assert!(off.iter().any(|line| line.file == *file), "{file} is not named: {off:#?}");
    }
    assert!(off.iter().all(|line| files.contains(&line.file.as_str())), "more is named: {off:#?}");
    assert!(off.iter().any(|line| line.what.contains(what)), "`{what}` is not named: {off:#?}");
}

/// Replaces words that stand in a text file once.
#[track_caller]
fn swapped(bytes: Vec<u8>, old: &str, new: &str) -> Vec<u8> {
    let text = String::from_utf8(bytes).unwrap();
    assert_eq!(text.matches(old).count(), 1, "`{old}`");
    text.replace(old, new).into_bytes()
}

#[test]
fn a_package_as_made_is_clean() {
    clean(&heron());
    clean(&banded());
    let mut package = heron();
    seal(&mut package);
    clean(&package);
}

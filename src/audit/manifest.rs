//! The manifest: every file is there, unchanged, and no other.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

use super::AuditReport;
use crate::digest::sha256;

/// Where the manifest stands.
pub const PATH: &str = "manifest.json";

/// The manifest as read.
#[derive(Debug, Deserialize)]
pub struct Manifest {
    format: u32,
    program: String,
    spec_sha256: String,
    files: Vec<Row>,
}

#[derive(Debug, Deserialize)]
struct Row {
    path: String,
    sha256: String,
    bytes: usize,
    what: String,
}

impl Manifest {
    /// What it says a file is.
    pub(super) fn what(&self, path: &str) -> Option<&str> {
        self.files.iter().find(|row| row.path == path).map(|row| row.what.as_str())
    }
}

/// Compares the files with the manifest, and returns it where it can be read.
pub fn check(files: &BTreeMap<String, Vec<u8>>, report: &mut AuditReport) -> Option<Manifest> {
    let Some(bytes) = files.get(PATH) else {
        report.wrong(PATH, "manifest", "a file", "missing");
        return None;
    };
    let manifest: Manifest = match serde_json::from_slice(bytes) {
        Ok(manifest) => manifest,
        Err(error) => {
            report.wrong(PATH, "manifest", "JSON of format 1", format!("unreadable: {error}"));
            return None;
        }
    };
    report.equal(PATH, "format", "1", manifest.format.to_string());
    // Another version measures the same things; another program would not.
    let program = manifest.program.split(' ').next().unwrap_or_default();
    report.equal(PATH, "program", env!("CARGO_PKG_NAME"), program);
    if let Some(spec) = files.get("linkage.toml") {
        report.equal(PATH, "hash of the spec", sha256(spec), manifest.spec_sha256.as_str());
    }
    let mut seen = BTreeSet::new();
    for row in &manifest.files {
        if !seen.insert(row.path.as_str()) {
            report.wrong(PATH, format!("rows of {}", row.path), "one", "several");
        }
        match files.get(&row.path) {
            None => report.wrong(&row.path, "file", "as listed in the manifest", "missing"),
            Some(bytes) => {
                report.equal(&row.path, "bytes", row.bytes.to_string(), bytes.len().to_string());
                report.equal(&row.path, "SHA-256", &*row.sha256, sha256(bytes));
            }
        }
    }
    for path in files.keys().filter(|path| *path != PATH) {
        if !seen.contains(path.as_str()) {
            report.wrong(path, "file", "listed in the manifest", "not listed");
        }
    }
    Some(manifest)
}

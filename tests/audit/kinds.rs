//! Bytes that no reader looks at: making the package anew sees them.

use yokeline::audit::AuditReport;
use yokeline::pipeline;

use super::{Package, made, off, seal};
use crate::common::HERON;

/// The roadster with its column bracket: quick to make.
fn slim() -> String {
    let rail = HERON.find("# Left rail, taped").unwrap();
    let plate = HERON.find("# Column bracket: square").unwrap();
    let firewall = HERON.find("# Firewall: an upright").unwrap();
    format!("{}{}", &HERON[..rail], &HERON[plate..firewall])
}

/// One byte more at the end of a file, where no reader looks: making it anew sees every one of them.
#[test]
fn a_byte_more_is_found_by_making_it_anew() {
    let good = made(&slim());
    let mut package: Package = good.clone();
    for (file, bytes) in &mut package {
        if !matches!(file.as_str(), "manifest.json" | "linkage.toml") {
            bytes.push(b'\n');
        }
    }
    seal(&mut package);
    let mut report = AuditReport::default();
    pipeline::rebuild(&package, &mut report);
    let named: Vec<&str> = off(&report).iter().map(|line| line.file.as_str()).collect();
    for file in good.keys().filter(|file| *file != "linkage.toml") {
        assert!(named.contains(&file.as_str()), "{file} is not named: {named:?}");
    }
}

//! What every solid's file must say, whatever the part.

use super::AuditReport;
use super::step::{ALLOWED, VOLUME};
use super::step_file::{StepMeasure, measure};
use crate::solve::identity::Identity;
use crate::spec::types::Unit;

/// What a part's file should say of it beside its shape.
pub(super) struct Said<'a> {
    /// File in the package.
    pub(super) file: &'a str,
    /// Length unit of the file.
    pub(super) unit: Unit,
    /// What it is called and what is said of it.
    pub(super) identity: &'a Identity,
}

/// Reads and measures a file: product, unit, that the shell closes and its edges lie on its faces. `None` where it
/// cannot be read, which is then in the report.
pub(super) fn read(said: &Said<'_>, bytes: &[u8], report: &mut AuditReport) -> Option<StepMeasure> {
    let found = match measure(bytes) {
        Ok(found) => found,
        Err(error) => {
            report.wrong(said.file, error.what, "readable", error.found);
            return None;
        }
    };
    let Identity { name, part_number, .. } = said.identity;
    report.equal(said.file, "product name", written(name), &found.product);
    report.equal(said.file, "part number", written(part_number), &found.part_number);
    report.equal(said.file, "length unit", unit_name(unit_size(said.unit)), unit_name(found.unit));
    report.equal(said.file, "faces in the shell", found.faces[0].to_string(), found.faces[1].to_string());
    report.equal(said.file, "edges not met once each way", "0", found.open_edges.to_string());
    report.number(said.file, "edges off their faces", 0.0, found.edge_off, ALLOWED, "mm");
    stated(said.file, "", &found, report);
    texts(said.file, "", said.identity, &found, report);
    Some(found)
}

/// A text as files of this kind carry it: not every reader takes an apostrophe, so it goes as the typographic one.
pub(super) fn written(text: &str) -> String {
    text.replace('\'', "\u{2019}")
}

/// The texts that hang on a part, and its material.
pub(super) fn texts(file: &str, part: &str, identity: &Identity, found: &StepMeasure, report: &mut AuditReport) {
    let line = |name: &str, text: &str| format!("{name}: {text}");
    let wanted: Vec<String> = identity.texts.iter().map(|(name, text)| line(name, &written(text))).collect();
    let told: Vec<String> = found.stated.texts.iter().map(|(name, text)| line(name, text)).collect();
    report.equal(file, format!("{part}texts"), wanted.join("; "), told.join("; "));
    let material = identity.texts.iter().find(|(name, _)| *name == "material").map_or("", |(_, text)| text.as_str());
    let told = found.stated.material.as_deref().unwrap_or_default();
    report.equal(file, format!("{part}material"), written(material), told);
}

/// What the file states of its volume, area and centroid against what is measured on its faces.
pub(super) fn stated(file: &str, part: &str, found: &StepMeasure, report: &mut AuditReport) {
    let mut number = |what: &str, stated: Option<f64>, measured: f64, allowed: f64, unit: &str| match stated {
        Some(stated) => report.number(file, format!("{part}{what} stated"), measured, stated, allowed, unit),
        None => report.wrong(file, format!("{part}{what} stated"), "one", "none"),
    };
    number("volume", found.stated.volume, found.volume, VOLUME * found.volume, "mm³");
    number("area", found.stated.area, found.area, VOLUME * found.area, "mm²");
    let off = found.stated.centroid.map(|stated| (stated - found.centroid).length());
    number("centroid, distance from the one", off, 0.0, ALLOWED, "mm");
}

const fn unit_size(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre => 1.0,
        Unit::Inch => 25.4,
    }
}

fn unit_name(size: f64) -> String {
    match size {
        1.0 => "mm".to_owned(),
        25.4 => "inch".to_owned(),
        other => format!("{other} mm"),
    }
}

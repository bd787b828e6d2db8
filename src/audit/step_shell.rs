//! What every solid's file must say, whatever the part.

use super::AuditReport;
use super::step::ALLOWED;
use super::step_file::{StepMeasure, measure};
use crate::spec::types::Unit;

/// What a part's file should say of it beside its shape.
pub(super) struct Said<'a> {
    /// File in the package.
    pub(super) file: &'a str,
    /// Length unit of the file.
    pub(super) unit: Unit,
    /// Product name.
    pub(super) product: &'a str,
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
    report.equal(said.file, "product name", said.product, &found.product);
    report.equal(said.file, "length unit", unit_name(unit_size(said.unit)), unit_name(found.unit));
    report.equal(said.file, "faces in the shell", found.faces[0].to_string(), found.faces[1].to_string());
    report.equal(said.file, "edges not met once each way", "0", found.open_edges.to_string());
    report.number(said.file, "edges off their faces", 0.0, found.edge_off, ALLOWED, "mm");
    Some(found)
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

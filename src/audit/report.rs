//! What the audit measured.

use serde::Serialize;

/// One measured quantity.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AuditLine {
    /// File in the package.
    pub file: String,
    /// What was measured, such as `hole mount 2, distance from plan`.
    pub what: String,
    /// What the solution says, with unit where it is a number.
    pub expected: String,
    /// What the file says.
    pub found: String,
    /// Size of the difference (mm, or 0 and 1 for equal and not).
    pub difference: f64,
    /// Largest difference allowed.
    pub allowed: f64,
    /// Whether it is within what is allowed.
    pub good: bool,
}

/// All that was measured.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub struct AuditReport {
    /// In the order of the files.
    pub lines: Vec<AuditLine>,
}

impl AuditReport {
    /// Whether everything is within what is allowed.
    pub fn good(&self) -> bool {
        self.lines.iter().all(|line| line.good)
    }

    /// Adds a measured number with its plan.
    pub fn number(&mut self, file: &str, what: impl Into<String>, expected: f64, found: f64, allowed: f64, unit: &str) {
        let difference = (found - expected).abs();
        self.lines.push(AuditLine {
            file: file.to_owned(),
            what: what.into(),
            expected: format!("{expected:.6} {unit}").trim_end().to_owned(),
            found: format!("{found:.6} {unit}").trim_end().to_owned(),
            difference,
            allowed,
            good: difference <= allowed,
        });
    }

    /// Adds a thing that is as expected or not.
    pub fn equal(
        &mut self,
        file: &str,
        what: impl Into<String>,
        expected: impl Into<String>,
        found: impl Into<String>,
    ) {
        let (expected, found) = (expected.into(), found.into());
        let good = expected == found;
        self.lines.push(AuditLine {
            file: file.to_owned(),
            what: what.into(),
            expected,
            found,
            difference: if good { 0.0 } else { 1.0 },
            allowed: 0.0,
            good,
        });
    }

    /// Adds what went wrong.
    pub fn wrong(
        &mut self,
        file: &str,
        what: impl Into<String>,
        expected: impl Into<String>,
        found: impl Into<String>,
    ) {
        self.lines.push(AuditLine {
            file: file.to_owned(),
            what: what.into(),
            expected: expected.into(),
            found: found.into(),
            difference: 1.0,
            allowed: 0.0,
            good: false,
        });
    }
}

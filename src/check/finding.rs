//! What a rule says.

use serde::{Deserialize, Serialize};

/// Verdict of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Within limit.
    Pass,
    /// Near or past a limit of habit.
    Warn,
    /// Beyond limit: do not cut.
    Fail,
    /// Not judged: something is not known. Never counted as good.
    Open,
}

impl Status {
    /// On paper.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pass => "within limit",
            Self::Warn => "near limit",
            Self::Fail => "beyond limit",
            Self::Open => "not judged",
        }
    }
}

/// One judgement: a row of `checks[]` in `results.json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// Code of the rule.
    pub rule: String,
    /// Verdict.
    pub status: Status,
    /// What was judged, by name.
    pub subject: String,
    /// What was found, in `unit`; `None` where not known.
    pub value: Option<f64>,
    /// What is allowed, in `unit`.
    pub limit: Option<f64>,
    /// `mm`, `deg`, `MPa`, `N m`, `%` or empty.
    pub unit: String,
    /// What was found and allowed, and one thing to do.
    pub message: String,
    /// Where the limit is from.
    pub source: String,
}

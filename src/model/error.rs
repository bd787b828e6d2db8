//! Why a part has no solid.

use std::fmt;

/// A solid that cannot be built, or is not built yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ModelError {
    /// The part, or the feature of it: `dimple at 12.70 mm, clock 0 deg`.
    pub subject: String,
    /// What was found, what is allowed, both with units, and one thing to do.
    pub message: String,
}

impl ModelError {
    pub(crate) fn new(subject: impl Into<String>, message: impl Into<String>) -> Self {
        Self { subject: subject.into(), message: message.into() }
    }
}

impl fmt::Display for ModelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.subject, self.message)
    }
}

impl std::error::Error for ModelError {}

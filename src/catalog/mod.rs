//! The catalogue: forms, joints, fasteners, materials, sheets, each entry with its source.
//!
//! The entries stand in `templates/parts/*.toml`, compiled in and decoded once.
//! A file that does not decode reads as empty and [`faults`] says why; a test
//! keeps it without faults. No maker and no part number.

use std::fmt;

pub mod fasteners;
pub mod forms;
pub mod joints;
pub mod listing;
pub mod materials;
pub mod sheets;
pub mod tolerances;

mod file;

pub use listing::{Row, listing};

/// A name that is not in the catalogue: what was found and what is allowed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// Kind of thing, such as `bolt`.
    pub kind: &'static str,
    /// The name found.
    pub found: String,
    /// Names there are.
    pub allowed: Vec<&'static str>,
}

impl Unknown {
    /// One thing to do.
    pub fn help(&self) -> String {
        format!("use one of {}", self.allowed.join(", "))
    }
}

impl fmt::Display for Unknown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.found.is_empty() {
            write!(f, "no {} given", self.kind)
        } else {
            write!(f, "{} `{}` is not in the catalogue", self.kind, self.found)
        }
    }
}

impl std::error::Error for Unknown {}

/// What keeps a file of the catalogue from decoding: file and reason. Empty in a sound build.
pub fn faults() -> Vec<String> {
    [forms::fault(), joints::fault(), fasteners::fault(), materials::fault(), sheets::fault()]
        .into_iter()
        .flatten()
        .collect()
}

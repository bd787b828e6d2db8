//! From the text of a linkage spec to checked values.
//!
//! [`Draft`] is the entry: it walks the spanned document against the key
//! tables of [`keys`], turns what it finds into plain values, and reports every
//! error of the file together, each with its place, what is allowed, and one
//! thing to do. It reads in two steps, so that the points of a survey can be
//! found in between; [`read`] takes both at once where there is none to find.

pub mod keys;
pub mod types;

mod draft;
mod grammar;
mod lower;
mod raw;
mod syntax;
mod values;

use std::collections::BTreeMap;

pub use draft::Draft;
pub use types::Spec;

use crate::diagnostic::{Diagnostic, Place};

/// Largest file read (bytes): 1 MiB. A spec of a hundred obstacles is under 50 kB.
pub const LARGEST: usize = 1 << 20;

/// A file the user wrote.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// As the user gave it.
    pub name: &'a str,
    /// Its text.
    pub text: &'a str,
}

/// What a limit of a rule is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitKind {
    /// A length, mm inside.
    Length,
    /// An angle, rad inside.
    Angle,
    /// A plain number.
    Number,
}

/// A rule whose limit the spec may set under `[limits]`. The table of rules stands downstream and is handed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LimitKey {
    /// The rule's code.
    pub code: &'static str,
    /// What its limit is.
    pub kind: LimitKind,
}

/// Reads a spec that has no points to be found: with its warnings, or every error (and warning) there is, in the
/// order of the file.
pub fn read(source: Source<'_>, limits: &[LimitKey]) -> Result<(Spec, Vec<Diagnostic>), Vec<Diagnostic>> {
    Draft::read(source, limits)?.place(&BTreeMap::new())
}

/// The same from bytes, which must be UTF-8.
pub fn read_bytes(name: &str, bytes: &[u8], limits: &[LimitKey]) -> Result<(Spec, Vec<Diagnostic>), Vec<Diagnostic>> {
    Draft::read_bytes(name, bytes, limits)?.place(&BTreeMap::new())
}

fn not_text(name: &str, at: usize) -> Diagnostic {
    let place = Some(Place { file: name.to_owned(), span: at..at });
    let wrong = Diagnostic::error("not-text", "not UTF-8 text: the byte here is no character").at(place);
    wrong.help("save the file from a text editor as UTF-8")
}

fn too_large(name: &str) -> Diagnostic {
    let place = Some(Place { file: name.to_owned(), span: LARGEST..LARGEST });
    Diagnostic::error("too-large", format!("the file goes on after {LARGEST} bytes (1 MiB), the most that is read"))
        .at(place)
        .help("check that it is the spec you meant")
}

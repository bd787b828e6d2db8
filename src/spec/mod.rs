//! From the text of a linkage spec to checked values.
//!
//! [`read`] is the one entry: it walks the spanned document against the key
//! tables of [`keys`], turns what it finds into plain values, and reports every
//! error of the file together, each with its place, what is allowed, and one
//! thing to do.

pub mod keys;
pub mod types;

mod grammar;
mod lower;
mod raw;
mod syntax;
mod values;

use toml::de::DeTable;

pub use types::Spec;

use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::digest::sha256;

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

/// Reads a spec: with its warnings, or every error (and warning) there is, in the order of the file.
///
/// Where the TOML itself is broken, the first syntax error comes alone.
pub fn read(source: Source<'_>, limits: &[LimitKey]) -> Result<(Spec, Vec<Diagnostic>), Vec<Diagnostic>> {
    if source.text.len() > LARGEST {
        return Err(vec![too_large(source.name)]);
    }
    let (document, faults) = DeTable::parse_recoverable(source.text);
    if let Some(fault) = faults.first() {
        return Err(vec![syntax::explain(source, fault)]);
    }
    let mut reader = raw::Reader::new(source.name);
    let spec = lower::lower(&mut reader, document.get_ref(), source.text.len(), sha256(source.text.as_bytes()), limits);
    let mut diagnostics = reader.diagnostics;
    diagnostics.sort_by_key(|diagnostic| diagnostic.place.as_ref().map(|place| (place.span.start, place.span.end)));
    diagnostics.dedup();
    let wrong = diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
    match spec {
        Some(spec) if !wrong => Ok((spec, diagnostics)),
        _ if wrong => Err(diagnostics),
        // Whatever is left out is reported where it is found; this would be a slip in that.
        _ => {
            let place = Some(Place { file: source.name.to_string(), span: 0..0 });
            let slip = Diagnostic::error("not-read", "the spec could not be read, and no reason was found")
                .at(place)
                .help("take out what was added last");
            Err(vec![slip])
        }
    }
}

/// The same from bytes, which must be UTF-8.
pub fn read_bytes(name: &str, bytes: &[u8], limits: &[LimitKey]) -> Result<(Spec, Vec<Diagnostic>), Vec<Diagnostic>> {
    if bytes.len() > LARGEST {
        return Err(vec![too_large(name)]);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => read(Source { name, text }, limits),
        Err(error) => {
            let end = error.valid_up_to();
            let place = Some(Place { file: name.to_owned(), span: end..end });
            let wrong = Diagnostic::error("not-text", "not UTF-8 text: the byte here is no character").at(place);
            Err(vec![wrong.help("save the file from a text editor as UTF-8")])
        }
    }
}

fn too_large(name: &str) -> Diagnostic {
    let place = Some(Place { file: name.to_owned(), span: LARGEST..LARGEST });
    Diagnostic::error("too-large", format!("the file goes on after {LARGEST} bytes (1 MiB), the most that is read"))
        .at(place)
        .help("check that it is the spec you meant")
}

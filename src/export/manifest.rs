//! manifest.json: every file of the package with its hash.

use serde::Serialize;

use super::{Artifact, ExportError, json};
use crate::digest::sha256;
use crate::spec::Spec;

/// Name and version of this program as files state it.
pub const PROGRAM: &str = concat!("yokeline ", env!("CARGO_PKG_VERSION"));

#[derive(Serialize)]
struct Manifest<'a> {
    format: u32,
    program: &'static str,
    spec_sha256: &'a str,
    files: Vec<Row<'a>>,
}

#[derive(Serialize)]
struct Row<'a> {
    path: &'a str,
    sha256: String,
    bytes: usize,
    what: &'a str,
}

/// The manifest of all files but itself, as JSON text.
pub fn text(spec: &Spec, files: &[Artifact]) -> Result<String, ExportError> {
    let files = files
        .iter()
        .map(|Artifact { path, what, bytes }| Row { path, sha256: sha256(bytes), bytes: bytes.len(), what })
        .collect();
    json::text("manifest.json", &Manifest { format: 1, program: PROGRAM, spec_sha256: &spec.sha256, files })
}

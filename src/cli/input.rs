//! The spec as read from disk or standard input.

use std::io::Read as _;
use std::path::Path;

use super::package::DiskError;
use crate::pipeline;

/// A file of the user.
#[derive(Debug, Clone)]
pub struct Source {
    /// As the user gave it.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Reads a spec; `-` is standard input. Reads no more than can be accepted, and one byte.
pub fn read(path: &Path) -> Result<Source, DiskError> {
    let limit = pipeline::LARGEST_SPEC as u64 + 1;
    let mut bytes = Vec::new();
    let (name, done) = if path == Path::new("-") {
        ("standard input".to_owned(), std::io::stdin().lock().take(limit).read_to_end(&mut bytes))
    } else {
        let done = std::fs::File::open(path).and_then(|file| file.take(limit).read_to_end(&mut bytes));
        (path.to_string_lossy().into_owned(), done)
    };
    match done {
        Ok(_) => Ok(Source { name, bytes }),
        Err(error) => Err(DiskError {
            path: path.to_owned(),
            message: format!("could not read it: {error}"),
            help: "check the path; `yokeline new FILE` writes a starter spec",
        }),
    }
}

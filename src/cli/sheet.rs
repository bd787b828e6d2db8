//! `yokeline survey SPEC --sheet FILE.pdf`.

use std::io::Write as _;
use std::path::Path;

use super::package::DiskError;
use super::{Settings, Trouble, answer, exit, input};
use crate::pipeline::{self, MakeError};

/// Writes the sheet to take to the vehicle, whole or not at all; never over an existing file unless told to.
pub fn write(spec: &Path, file: &Path, replace: bool, settings: Settings) -> Result<u8, Trouble> {
    let source = input::read(spec)?;
    let bytes = match pipeline::measuring_sheet(&source.name, &source.bytes) {
        Ok(bytes) => bytes,
        Err(MakeError::Spec(diagnostics)) => return Err(Trouble::Spec { diagnostics, source }),
        Err(MakeError::Files(errors)) => {
            let told = errors.iter().map(|error| format!("{}: {}", file.display(), error.message));
            return Err(Trouble::Package(told.collect()));
        }
    };
    whole(file, &bytes, replace)?;
    let name = file.display();
    let text = if settings.json {
        serde_json::json!({ "wrote": name.to_string() }).to_string() + "\n"
    } else {
        format!("wrote {name}: print it, take every reading twice, then write them into\n  {}\n", source.name)
    };
    answer(&text, settings)?;
    Ok(exit::GOOD)
}

/// Writes a file beside its place and moves it in in one step.
fn whole(file: &Path, bytes: &[u8], replace: bool) -> Result<(), DiskError> {
    let trouble = |message: String, help| DiskError { path: file.to_owned(), message, help };
    let failed = |error: &std::io::Error| trouble(format!("could not write it: {error}"), "check the folder");
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut staged = tempfile::NamedTempFile::new_in(folder).map_err(|error| failed(&error))?;
    let flushed = staged.write_all(bytes).and_then(|()| staged.as_file().sync_all());
    flushed.map_err(|error| failed(&error))?;
    let moved = if replace { staged.persist(file) } else { staged.persist_noclobber(file) };
    moved.map(drop).map_err(|error| match error.error.kind() {
        std::io::ErrorKind::AlreadyExists => {
            trouble("it exists already".to_owned(), "give another name, or --replace to write over it")
        }
        _ => failed(&error.error),
    })
}

//! Writing a single file that the user names.

use std::io::Write as _;
use std::path::Path;

use super::package::DiskError;

/// Writes a file beside its place and moves it in in one step: whole or not at all, and never over an existing one
/// unless told to.
pub(super) fn whole(file: &Path, bytes: &[u8], replace: bool) -> Result<(), DiskError> {
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

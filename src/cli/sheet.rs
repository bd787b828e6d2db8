//! `yokeline survey SPEC --sheet FILE.pdf`.

use std::path::Path;

use super::one_file::whole;
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

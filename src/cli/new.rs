//! `yokeline new FILE`.

use super::args::New;
use super::one_file::whole;
use super::package::DiskError;
use super::{Settings, Trouble, answer, exit};

/// The starter specs by name.
const STARTERS: [(&str, &str); 1] = [("rack", include_str!("../../templates/rack.toml"))];

/// Writes a starter spec; never over an existing file unless told to.
pub fn run(options: &New, settings: Settings) -> Result<u8, Trouble> {
    let New { file, from, replace } = options;
    let trouble = |message: String, help| DiskError { path: file.clone(), message, help };
    let Some((_, text)) = STARTERS.iter().find(|(name, _)| name == from) else {
        let names: Vec<_> = STARTERS.iter().map(|(name, _)| *name).collect();
        let message = format!("no starter is called \"{from}\"; there is {}", names.join(", "));
        return Err(trouble(message, "leave --from out for the usual one").into());
    };
    whole(file, text.as_bytes(), *replace)?;
    let name = file.display();
    let text = if settings.json {
        serde_json::json!({ "wrote": name.to_string() }).to_string() + "\n"
    } else {
        format!("wrote {name}: put your own measurements in, then run\n  yokeline solve {name}\n")
    };
    answer(&text, settings)?;
    Ok(exit::GOOD)
}

//! `yokeline parts`.

use super::{Settings, Trouble, answer, exit, report};
use crate::catalog;

/// Lists the catalogue with its sources.
pub fn run(settings: Settings) -> Result<u8, Trouble> {
    let rows = catalog::listing();
    let text = if settings.json {
        serde_json::to_string_pretty(&rows).map_err(|error| Trouble::Package(vec![error.to_string()]))? + "\n"
    } else {
        report::parts(&rows)
    };
    answer(&text, settings)?;
    Ok(exit::GOOD)
}

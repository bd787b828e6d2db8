//! Sheet sizes.

use std::sync::LazyLock;

use serde::Deserialize;

use super::file::{Decoded, Length, decode};

/// A sheet, upright.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetSize {
    /// As the spec writes it, such as `letter`.
    pub name: String,
    /// As people write it, such as `Letter`.
    pub title: String,
    /// Width and height (mm).
    pub size: [f64; 2],
    /// The standard.
    pub source: String,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct File {
    sheet: Vec<Raw>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    name: String,
    title: String,
    width: Length,
    height: Length,
    source: String,
}

static SHEETS: LazyLock<Decoded<Vec<SheetSize>>> = LazyLock::new(|| {
    let Decoded { rows, fault }: Decoded<File> =
        decode("sheets.toml", include_str!("../../templates/parts/sheets.toml"));
    let rows = rows.sheet.into_iter().map(|raw| SheetSize {
        name: raw.name,
        title: raw.title,
        size: [raw.width.0, raw.height.0],
        source: raw.source,
    });
    Decoded { rows: rows.collect(), fault }
});

pub(super) fn fault() -> Option<String> {
    SHEETS.fault.clone()
}

/// Every sheet, in the order of the file.
pub fn sheets() -> &'static [SheetSize] {
    &SHEETS.rows
}

/// A sheet by name.
pub fn find(name: &str) -> Option<&'static SheetSize> {
    sheets().iter().find(|sheet| sheet.name == name)
}

/// Names that [`find`] knows.
pub fn names() -> Vec<&'static str> {
    sheets().iter().map(|sheet| sheet.name.as_str()).collect()
}

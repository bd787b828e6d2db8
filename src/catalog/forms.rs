//! End forms, and bar and tube stock.

use std::sync::LazyLock;

use serde::Deserialize;

use super::file::{Decoded, Length, decode};

/// Shape of an end form. All in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FormShape {
    /// Round with two parallel flats.
    DoubleD {
        /// Of the round.
        diameter: f64,
        /// Across the flats.
        flats: f64,
        /// Of a hollow bar.
        bore: Option<f64>,
    },
    /// Serrated or splined.
    Serrated {
        /// Number of teeth in the full circle.
        teeth: u32,
        /// Outside diameter.
        diameter: f64,
        /// One position only.
        master: bool,
    },
    /// Plain round.
    Round {
        /// Outside diameter.
        diameter: f64,
        /// Of a hollow bar.
        bore: Option<f64>,
    },
}

/// A form or stock of the catalogue.
#[derive(Debug, Clone, PartialEq)]
pub struct FormEntry {
    /// Such as `dd-3/4`.
    pub name: String,
    /// In words.
    pub title: String,
    /// Its shape.
    pub shape: FormShape,
    /// It has no standard: measure and confirm.
    pub measure: bool,
    /// Where the sizes are from.
    pub source: String,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    form: Vec<Raw>,
    #[serde(default)]
    stock: Vec<Raw>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    name: String,
    title: String,
    shape: RawShape,
    #[serde(default)]
    measure: bool,
    source: String,
}

/// The inline table of a form, as in a spec.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase", deny_unknown_fields)]
enum RawShape {
    Dd { diameter: Length, flats: Length, bore: Option<Length> },
    Serrated { teeth: u32, diameter: Length },
    Round { diameter: Length, bore: Option<Length> },
}

impl From<Raw> for FormEntry {
    fn from(raw: Raw) -> Self {
        let mm = |length: Length| length.0;
        let shape = match raw.shape {
            RawShape::Dd { diameter, flats, bore } => {
                FormShape::DoubleD { diameter: diameter.0, flats: flats.0, bore: bore.map(mm) }
            }
            RawShape::Serrated { teeth, diameter } => {
                FormShape::Serrated { teeth, diameter: diameter.0, master: false }
            }
            RawShape::Round { diameter, bore } => FormShape::Round { diameter: diameter.0, bore: bore.map(mm) },
        };
        Self { name: raw.name, title: raw.title, shape, measure: raw.measure, source: raw.source }
    }
}

struct Rooms {
    forms: Vec<FormEntry>,
    stock: Vec<FormEntry>,
    fault: Option<String>,
}

static ROOMS: LazyLock<Rooms> = LazyLock::new(|| {
    let forms: Decoded<File> = decode("forms.toml", include_str!("../../templates/parts/forms.toml"));
    let stock: Decoded<File> = decode("stock.toml", include_str!("../../templates/parts/stock.toml"));
    let entries = |rows: Vec<Raw>| rows.into_iter().map(FormEntry::from).collect();
    Rooms { forms: entries(forms.rows.form), stock: entries(stock.rows.stock), fault: forms.fault.or(stock.fault) }
});

pub(super) fn fault() -> Option<String> {
    ROOMS.fault.clone()
}

/// Forms of ends and holes, in the order of the file.
pub fn forms() -> &'static [FormEntry] {
    &ROOMS.forms
}

/// Bar and tube that is no end form.
pub fn stock() -> &'static [FormEntry] {
    &ROOMS.stock
}

/// A form or stock by name. Both serve wherever a form is asked for: a tube's end is plain round.
pub fn find(name: &str) -> Option<&'static FormEntry> {
    forms().iter().chain(stock()).find(|entry| entry.name == name)
}

/// Names that [`find`] knows.
pub fn names() -> Vec<&'static str> {
    forms().iter().chain(stock()).map(|entry| entry.name.as_str()).collect()
}

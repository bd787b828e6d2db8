//! Materials.

use std::sync::LazyLock;

use serde::Deserialize;

use super::file::{Decoded, decode};

/// A material from the catalogue.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Catalogue name.
    pub name: String,
    /// In words.
    pub title: String,
    /// Yield strength (MPa).
    #[serde(rename = "yield_mpa")]
    pub yield_strength: f64,
    /// Shear modulus (MPa).
    #[serde(rename = "shear_modulus_mpa")]
    pub shear_modulus: f64,
    /// Where the figures are from.
    pub source: String,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct File {
    material: Vec<Material>,
}

static FILE: LazyLock<Decoded<File>> =
    LazyLock::new(|| decode("materials.toml", include_str!("../../templates/parts/materials.toml")));

pub(super) fn fault() -> Option<String> {
    FILE.fault.clone()
}

/// Every material, in the order of the file.
pub fn materials() -> &'static [Material] {
    &FILE.rows.material
}

/// A material by name.
pub fn find(name: &str) -> Option<&'static Material> {
    materials().iter().find(|material| material.name == name)
}

/// Names that [`find`] knows.
pub fn names() -> Vec<&'static str> {
    materials().iter().map(|material| material.name.as_str()).collect()
}

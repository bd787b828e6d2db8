//! Decoding the files under `templates/parts/`.

use serde::de::{DeserializeOwned, Error};
use serde::{Deserialize, Deserializer};

use crate::quantity::{Unit, parse_length, parse_torque};

/// A file decoded, or why it is not.
pub(super) struct Decoded<T> {
    pub(super) rows: T,
    pub(super) fault: Option<String>,
}

/// Rows of a file; the default (no rows) where it does not decode.
pub(super) fn decode<T: DeserializeOwned + Default>(name: &str, text: &str) -> Decoded<T> {
    match toml::from_str(text) {
        Ok(rows) => Decoded { rows, fault: None },
        Err(error) => Decoded { rows: T::default(), fault: Some(format!("{name}: {error}")) },
    }
}

/// A length written as in a spec; mm.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Length(pub(super) f64);

impl<'de> Deserialize<'de> for Length {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        parse_length(&text, Unit::Millimetre).map(Self).map_err(D::Error::custom)
    }
}

/// A torque written as in a spec; N m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Torque(pub(super) f64);

impl<'de> Deserialize<'de> for Torque {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        parse_torque(&text).map(Self).map_err(D::Error::custom)
    }
}

//! Joints: parts whose keys are those of a `[[joint]]` table of the spec.
//!
//! They are not decoded here: the spec's reader lays a part's keys under the
//! user's own and decodes both with one decoder, so that a key can never mean
//! one thing in the catalogue and another in a spec.

use std::sync::LazyLock;

use super::file::{Decoded, decode};

/// The file's text: `[[joint]]` tables with `part`, `title` and `source` beside a joint's own keys.
pub const TEXT: &str = include_str!("../../templates/parts/joints.toml");

/// A joint of the catalogue. None has a standard: measure and confirm.
#[derive(Debug, Clone, PartialEq)]
pub struct JointEntry {
    /// Such as `single-3/4`.
    pub part: String,
    /// In words.
    pub title: String,
    /// Where the sizes are from.
    pub source: String,
    /// The keys of a `[[joint]]` table.
    pub keys: toml::Table,
}

static FILE: LazyLock<Decoded<Vec<JointEntry>>> = LazyLock::new(|| {
    let file: Decoded<toml::Table> = decode("joints.toml", TEXT);
    let mut fault = file.fault;
    let tables = file.rows.get("joint").and_then(toml::Value::as_array).cloned().unwrap_or_default();
    let mut rows = Vec::new();
    for table in tables {
        match entry(table) {
            Some(row) => rows.push(row),
            None => fault = Some("joints.toml: a joint lacks part, title or source".into()),
        }
    }
    Decoded { rows, fault }
});

fn entry(table: toml::Value) -> Option<JointEntry> {
    let toml::Value::Table(mut keys) = table else { return None };
    let mut take = |key: &str| match keys.remove(key) {
        Some(toml::Value::String(text)) => Some(text),
        _ => None,
    };
    let (part, title, source) = (take("part")?, take("title")?, take("source")?);
    Some(JointEntry { part, title, source, keys })
}

pub(super) fn fault() -> Option<String> {
    FILE.fault.clone()
}

/// Every joint, in the order of the file.
pub fn joints() -> &'static [JointEntry] {
    &FILE.rows
}

/// A joint by its part name.
pub fn find(part: &str) -> Option<&'static JointEntry> {
    joints().iter().find(|entry| entry.part == part)
}

/// Names that [`find`] knows.
pub fn names() -> Vec<&'static str> {
    joints().iter().map(|entry| entry.part.as_str()).collect()
}

//! What several subjects share.

use yokeline::check::rules;
use yokeline::spec::{self, Source, Spec};

/// The roadster's spec.
pub const HERON: &str = include_str!("../examples/heron-roadster/linkage.toml");

/// The roadster of `examples/heron-roadster`, read.
pub fn heron() -> Spec {
    read(HERON)
}

/// A spec that must read without errors.
pub fn read(text: &str) -> Spec {
    match spec::read(Source { name: "linkage.toml", text }, &rules::limits()) {
        Ok((spec, _)) => spec,
        Err(errors) => panic!("{errors:#?}"),
    }
}

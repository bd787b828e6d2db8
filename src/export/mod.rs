//! Bytes: STEP, PDF, SVG, JSON.

pub mod artifact;
pub mod html;

pub mod json;
pub mod manifest;
pub mod number;
pub mod paper;
pub mod part21;
pub mod pdf;
pub mod results;
pub mod step;
pub mod step_assembly;
mod step_properties;
mod step_shape;
pub mod svg;

pub use artifact::{Artifact, ExportError};
pub use paper::PaperMeta;

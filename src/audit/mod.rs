//! The package read back from its own bytes and measured against the solution.

pub mod repair;
mod report;
pub mod results;

pub mod compare;
pub mod manifest;
pub mod measured;
pub mod package;
pub mod pdf;
pub mod step;
pub mod step_file;
pub mod step_liner;
pub mod step_plate;
pub mod step_rail;
pub mod step_records;
pub mod step_stated;
pub mod svg;

mod book;
mod drilling;
mod figure;
mod html;
mod ink;
mod layout;
mod nearby;
mod paper;
pub mod step_assembly;
mod step_bracket;
mod step_curve;
mod step_faces;
mod step_form;
mod step_shell;
mod template;
mod tiles;
mod twins;

pub use package::audit;
pub use report::{AuditLine, AuditReport};

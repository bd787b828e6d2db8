//! yokeline: steering linkages from one spec to paper and metal.
//!
//! ```text
//! text ─ spec::read ─> Spec ─ survey::adjust ─> Layout ─ solve::solve ─> Solution ─ check::run ─> Findings
//!                                                              │
//!                               model::* ─> Solid ─┐           ├─ drawing::* ─> Sheet ─┐
//!                                                  └── export::{step,svg,pdf,record} ──┴─> Artifact[] ─ cli ─> package on disk
//! package on disk ─ audit::audit ─> AuditReport          (never through export, drawing or model)
//! ```
//!
//! Axes: x rearward, y to the vehicle's right, z up (ISO 4130). Inside:
//! millimetres, radians, double precision. The modules below stand in the
//! order of the pipeline; each may use those above it, never one below.

pub mod diagnostic;
pub mod digest;
pub mod quantity;

pub mod geometry;

pub mod catalog;

pub mod spec;

pub mod survey;

pub mod solve;

pub mod check;

pub mod model;

pub mod drawing;

pub mod export;

pub mod audit;

pub mod pipeline;

pub mod cli;

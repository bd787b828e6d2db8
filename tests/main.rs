//! The one test binary; a module a subject.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test fails by panicking, and its references may use the system's sine"
)]

mod advice;
mod architecture;
mod as_built;
mod audit;
mod bolt;
mod catalog;
mod chain;
mod chains;
mod check;
mod clearance;
mod cli;
mod clocking;
mod common;
mod compare;
mod drawing;
mod enclose;
mod fit;
mod hug;
mod journal;
mod liner_solids;
mod mass;
mod milled;
mod mock_up;
mod motion;
mod mount;
mod notch;
mod obstacle_solids;
mod paper;
mod plate;
mod plate_solids;
mod play;
mod quantity;
mod rail_solids;
mod reaction;
mod record;
mod reference;
mod rubbish;
mod samples;
mod section;
mod slip;
mod solids;
mod spec;
mod strength;
mod survey;
mod teeth;
mod tilt;
mod torsion;
mod travel;
mod worked_examples;

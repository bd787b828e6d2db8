//! Exit status of the program.

/// All good.
pub const GOOD: u8 = 0;
/// A rule failed, or the audit found something off.
pub const FAILED: u8 = 1;
/// Could not run: usage, spec, or files.
pub const COULD_NOT_RUN: u8 = 2;

//! Values from outside the project, each file with its source.

use serde_json::Value;

/// Hooke joints, chains of joints, torsion of double-D bars: computed independently of this project (the file says
/// how), angles in degrees, lengths in mm.
pub fn check_values() -> Value {
    serde_json::from_str(include_str!("check-values.json")).expect("the reference file is JSON")
}

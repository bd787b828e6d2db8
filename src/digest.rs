//! SHA-256 as the manifest and the results write it.

use std::fmt::Write as _;

use sha2::{Digest as _, Sha256};

/// SHA-256 (FIPS 180-4) of some bytes, lower-case hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::with_capacity(64), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

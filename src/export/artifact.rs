//! A file of the package before it is on disk.

/// One file: where it goes, what it is, its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Artifact {
    /// Path in the package, `/` between folders.
    pub path: String,
    /// What it is, in words, for the manifest.
    pub what: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Why a file could not be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExportError {
    /// Which file.
    pub path: String,
    /// What was wrong: a number that is not finite, a letter the font lacks, a solid that does not close.
    pub message: String,
}

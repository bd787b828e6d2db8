//! Everything that writes: one call of the system each, so that a test can make any of them fail.

use std::fs;
use std::io::{self, Write as _};
use std::path::Path;

use super::leftover::{self, Hold};

/// What a package is written through.
pub trait Disk: std::fmt::Debug {
    /// Makes a folder that is not there yet.
    fn make_folder(&self, path: &Path) -> io::Result<()>;
    /// Writes a file that is not there yet.
    fn write_file(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    /// Moves a folder to where nothing is.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Swaps two folders in one step; false where the system cannot.
    fn exchange(&self, a: &Path, b: &Path) -> bool;
    /// Removes a folder that is empty.
    fn remove_empty(&self, path: &Path) -> io::Result<()>;
    /// Removes a folder with all that is in it.
    fn remove_folder(&self, path: &Path) -> io::Result<()>;
    /// Lets others in the shop read a folder.
    fn share(&self, path: &Path) -> io::Result<()>;
    /// Takes a folder for this run, where the system can.
    fn hold(&self, path: &Path) -> Hold {
        leftover::hold(path)
    }
}

/// The disk itself.
#[derive(Debug, Clone, Copy)]
pub struct Real;

impl Disk for Real {
    fn make_folder(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }

    fn write_file(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut file = fs::File::create_new(path)?;
        file.write_all(bytes)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    #[cfg(target_os = "linux")]
    fn exchange(&self, a: &Path, b: &Path) -> bool {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE).is_ok()
    }

    #[cfg(not(target_os = "linux"))]
    fn exchange(&self, _: &Path, _: &Path) -> bool {
        false
    }

    fn remove_empty(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir(path)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        loosen(path);
        fs::remove_dir_all(path)
    }

    fn share(&self, path: &Path) -> io::Result<()> {
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            fs::set_permissions(path, fs::Permissions::from_mode(0o755))
        }
        #[cfg(not(unix))]
        {
            let _ = path;
            Ok(())
        }
    }
}

/// Lets the owner remove what is in an old package, whose folders someone may have locked against mishaps.
fn loosen(folder: &Path) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // Where this cannot be done, removing says why.
        let _ = fs::set_permissions(folder, fs::Permissions::from_mode(0o700));
    }
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        // Links are no folders here, and are not followed.
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            loosen(&entry.path());
        }
    }
}

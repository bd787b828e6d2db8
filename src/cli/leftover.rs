//! What killed runs left beside a target.
//!
//! A run holds a lock on the folder it writes in. The system lets it go when the run ends, however it ends, so a folder
//! of that name which nobody holds was left behind. Some file systems lock no folders (some shared ones, and Windows):
//! there nothing is removed, and a folder that has lain for an hour is told.

use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::disk::Disk;

/// First part of the name of a folder a run writes in; process and a number follow.
pub const STAGED: &str = ".yokeline-new-";

/// What stands in the top folder of a package.
const OURS: [&str; 9] =
    ["cut", "drawings", "inputs", "linkage.toml", "manifest.json", "print", "record", "results.json", "solids"];

/// A run takes seconds; a folder this old is nobody's.
const FORGOTTEN: Duration = Duration::from_hours(1);

/// Whether a folder could be taken for this run.
#[derive(Debug)]
pub enum Hold {
    /// It could: nobody else has it while the file is open.
    Taken(File),
    /// Another run has it, or it is gone.
    Another,
    /// The system locks no folders here.
    Unknown,
}

impl Hold {
    /// What keeps it taken.
    pub(super) fn file(self) -> Option<File> {
        if let Self::Taken(file) = self { Some(file) } else { None }
    }
}

/// Takes a folder for this run.
pub fn hold(folder: &Path) -> Hold {
    let Ok(file) = File::open(folder) else {
        return if folder.exists() { Hold::Unknown } else { Hold::Another };
    };
    match file.try_lock() {
        Ok(()) if folder.exists() => Hold::Taken(file),
        Ok(()) | Err(TryLockError::WouldBlock) => Hold::Another,
        Err(TryLockError::Error(_)) => Hold::Unknown,
    }
}

/// Removes what killed runs left in a folder, and gives what is there of them and was left alone.
pub fn clear(disk: &dyn Disk, parent: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(parent) else { return Vec::new() };
    let staged = entries.flatten().filter(|entry| entry.file_name().to_str().is_some_and(is_staged));
    // Not what a link leads to.
    let folders = staged.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_dir())).map(|entry| entry.path());
    let mut left = Vec::new();
    for folder in folders {
        match disk.hold(&folder) {
            Hold::Taken(held) => {
                if !holds_ours_alone(&folder) || disk.remove_folder(&folder).is_err() {
                    left.push(folder);
                }
                drop(held);
            }
            Hold::Unknown if is_forgotten(&folder) => left.push(folder),
            Hold::Unknown | Hold::Another => {}
        }
    }
    left.sort();
    left
}

fn is_forgotten(folder: &Path) -> bool {
    let changed = fs::metadata(folder).and_then(|data| data.modified()).ok();
    changed.and_then(|changed| changed.elapsed().ok()).is_some_and(|age| age >= FORGOTTEN)
}

/// Whether a name is `.yokeline-new-` and two numbers.
fn is_staged(name: &str) -> bool {
    let number = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let numbers = name.strip_prefix(STAGED).and_then(|rest| rest.split_once('-'));
    numbers.is_some_and(|(process, count)| number(process) && number(count))
}

fn holds_ours_alone(folder: &Path) -> bool {
    let ours = |entry: &fs::DirEntry| entry.file_name().to_str().is_some_and(|name| OURS.contains(&name));
    fs::read_dir(folder).is_ok_and(|mut entries| entries.all(|entry| entry.is_ok_and(|entry| ours(&entry))))
}

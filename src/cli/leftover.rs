//! What killed runs left beside a target.
//!
//! A run holds a lock on the folder it writes in. The system lets it go when the run ends, however it ends, so a folder
//! of that name which nobody holds was left behind.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use super::disk::Disk;

/// First part of the name of a folder a run writes in; process and a number follow.
pub const STAGED: &str = ".yokeline-new-";

/// What stands in the top folder of a package.
const OURS: [&str; 9] =
    ["cut", "drawings", "inputs", "linkage.toml", "manifest.json", "print", "record", "results.json", "solids"];

/// Takes a folder for this run; `None` where another run has it, it is gone, or the system locks no folders.
pub fn hold(folder: &Path) -> Option<File> {
    let file = File::open(folder).ok()?;
    file.try_lock().ok()?;
    folder.exists().then_some(file)
}

/// Removes what killed runs left in a folder, and gives what is there of them and was left alone.
pub fn clear(disk: &dyn Disk, parent: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(parent) else { return Vec::new() };
    let staged = entries.flatten().filter(|entry| entry.file_name().to_str().is_some_and(is_staged));
    // Not what a link leads to.
    let folders = staged.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_dir())).map(|entry| entry.path());
    let mut left = Vec::new();
    for folder in folders {
        let Some(held) = hold(&folder) else { continue };
        if !holds_ours_alone(&folder) || disk.remove_folder(&folder).is_err() {
            left.push(folder);
        }
        drop(held);
    }
    left.sort();
    left
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

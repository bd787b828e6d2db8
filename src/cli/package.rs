//! Packages on disk, all or nothing.
//!
//! A package is staged beside its target, read back, audited, and only then
//! moved in: in one exchange where the system can, else by two renames with
//! the old one kept aside, which the next run puts back.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::leftover;
use crate::export::Artifact;

/// What can go wrong on disk, in words for the user.
#[derive(Debug)]
pub struct DiskError {
    /// The file or folder.
    pub path: PathBuf,
    /// What was found.
    pub message: String,
    /// One thing to do.
    pub help: &'static str,
}

impl DiskError {
    fn new(path: &Path, message: impl Into<String>, help: &'static str) -> Self {
        Self { path: path.to_owned(), message: message.into(), help }
    }

    fn io(path: &Path, doing: &str, error: &io::Error) -> Self {
        let help = match error.kind() {
            io::ErrorKind::PermissionDenied => "check who owns the folder, or write to another one",
            io::ErrorKind::StorageFull => "make room on the disk and run again",
            io::ErrorKind::NotFound => "check the path",
            _ => "check the disk and the path, then run again",
        };
        Self::new(path, format!("could not {doing}: {error}"), help)
    }
}

/// Largest file of a package that is read back (bytes): no file this program writes comes near.
const LARGEST: u64 = 256 << 20;

/// Every file of a folder by its path with `/` between folders. Links are not followed: each is an error.
pub fn read(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>, DiskError> {
    let mut files = BTreeMap::new();
    read_into(folder, "", &mut files)?;
    Ok(files)
}

fn read_into(folder: &Path, prefix: &str, files: &mut BTreeMap<String, Vec<u8>>) -> Result<(), DiskError> {
    let failed = |path: &Path, error: &io::Error| DiskError::io(path, "read", error);
    for entry in fs::read_dir(folder).map_err(|error| failed(folder, &error))? {
        let entry = entry.map_err(|error| failed(folder, &error))?;
        let path = entry.path();
        let kind = entry.file_type().map_err(|error| failed(&path, &error))?;
        let name = entry.file_name();
        let Some(name) = name.to_str() else {
            return Err(DiskError::new(
                &path,
                "its name is not Unicode text",
                "a package holds no such file: move it out",
            ));
        };
        let name = format!("{prefix}{name}");
        if kind.is_dir() {
            read_into(&path, &format!("{name}/"), files)?;
        } else if kind.is_file() {
            let length = entry.metadata().map_err(|error| failed(&path, &error))?.len();
            if length > LARGEST {
                return Err(DiskError::new(
                    &path,
                    format!("it has {length} bytes"),
                    "a package holds no such file: move it out",
                ));
            }
            files.insert(name, fs::read(&path).map_err(|error| failed(&path, &error))?);
        } else {
            return Err(DiskError::new(
                &path,
                "it is a link or a device",
                "a package holds plain files only: move it out",
            ));
        }
    }
    Ok(())
}

/// A package written beside its target, gone again unless it is moved in.
#[derive(Debug)]
pub struct Staged<'d> {
    // Dropped in this order: the parents are empty only once the staged folder is gone.
    folder: Folder<'d>,
    target: PathBuf,
    parents: Parents<'d>,
    /// Folders of killed runs beside the target that were left alone: they hold more than a package, or could not be
    /// removed.
    pub left: Vec<PathBuf>,
}

/// The staged folder; gone when it is dropped, unless it was moved.
#[derive(Debug)]
struct Folder<'d> {
    disk: &'d dyn Disk,
    path: PathBuf,
    moved: bool,
    /// Says to other runs that it is in use, where the system can.
    _held: Option<File>,
}

impl Drop for Folder<'_> {
    fn drop(&mut self) {
        if !self.moved {
            // What cannot be removed lies hidden beside the target and harms nothing.
            let _ = self.disk.remove_folder(&self.path);
        }
    }
}

/// Parent folders made on the way, outermost first. Those still empty at the end are removed again.
#[derive(Debug)]
struct Parents<'d> {
    disk: &'d dyn Disk,
    made: Vec<PathBuf>,
}

impl Drop for Parents<'_> {
    fn drop(&mut self) {
        for folder in self.made.iter().rev() {
            // A folder that is not empty stays: the package is in it, or someone else's file.
            let _ = self.disk.remove_empty(folder);
        }
    }
}

/// Writes the files beside `target`. Refuses a target that is no folder, or a folder with files of others in it.
pub fn stage<'d>(disk: &'d dyn Disk, target: &Path, files: &[Artifact]) -> Result<Staged<'d>, DiskError> {
    let name = target.file_name().ok_or_else(|| {
        DiskError::new(target, "this names no folder of its own", "give a new folder, such as -o out/heron")
    })?;
    let above = target.parent().unwrap_or(Path::new(""));
    // Without a `/` at the end, which would follow a link.
    let target = &above.join(name);
    let parent = if above.as_os_str().is_empty() { Path::new(".") } else { above };
    put_back(disk, target, parent, name)?;
    refuse_strangers(target)?;
    let left = leftover::clear(disk, parent);
    let parents = make_parents(disk, parent)?;
    let folder = make_staging(disk, parent).map_err(|error| DiskError::io(parent, "write in this folder", &error))?;
    for file in files {
        let wrong = |error: &io::Error| DiskError::io(&target.join(&file.path), "write", error);
        if !within(&file.path) {
            return Err(DiskError::new(
                &target.join(&file.path),
                "this path leads out of the package",
                "this is a fault of the program: rename the part it is named after",
            ));
        }
        let path = folder.path.join(&file.path);
        make_folders(disk, &folder.path, &file.path).map_err(|error| wrong(&error))?;
        disk.write_file(&path, &file.bytes).map_err(|error| wrong(&error))?;
    }
    Ok(Staged { folder, target: target.clone(), parents, left })
}

/// Whether a path of the package stays in it: plain names between `/`, none of them empty, `.` or `..`.
fn within(path: &str) -> bool {
    path.split('/').all(|name| !matches!(name, "" | "." | "..") && !name.contains('\\') && !name.contains(':'))
}

/// A hidden folder beside the target that nobody else has.
fn make_staging<'d>(disk: &'d dyn Disk, parent: &Path) -> io::Result<Folder<'d>> {
    let process = std::process::id();
    let mut number = 0;
    loop {
        let path = parent.join(format!("{}{process}-{number}", leftover::STAGED));
        match disk.make_folder(&path) {
            Ok(()) => {
                let held = disk.hold(&path).file();
                // Another run may have taken it for left behind before it was held.
                if path.exists() {
                    return Ok(Folder { disk, path, moved: false, _held: held });
                }
                number += 1;
            }
            // A killed run of the same number left it there, and it could not be removed.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && number < 1000 => number += 1,
            Err(error) => return Err(error),
        }
    }
}

/// The folders of a file in the staged one.
fn make_folders(disk: &dyn Disk, folder: &Path, file: &str) -> io::Result<()> {
    let mut path = folder.to_owned();
    let (folders, _) = file.rsplit_once('/').unwrap_or_default();
    for name in folders.split('/').filter(|name| !name.is_empty()) {
        path.push(name);
        match disk.make_folder(&path) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            other => other?,
        }
    }
    Ok(())
}

fn make_parents<'d>(disk: &'d dyn Disk, parent: &Path) -> Result<Parents<'d>, DiskError> {
    let missing: Vec<&Path> = parent.ancestors().take_while(|p| !p.as_os_str().is_empty() && !p.exists()).collect();
    let mut parents = Parents { disk, made: Vec::new() };
    for folder in missing.into_iter().rev() {
        match disk.make_folder(folder) {
            Ok(()) => parents.made.push(folder.to_owned()),
            // Someone else was faster; the folder is theirs.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(DiskError::io(folder, "make this folder", &error)),
        }
    }
    Ok(parents)
}

/// Where a killed run keeps the old package.
fn aside(parent: &Path, name: &std::ffi::OsStr) -> PathBuf {
    let mut kept = std::ffi::OsString::from(".yokeline-old-");
    kept.push(name);
    parent.join(kept)
}

/// Puts back an old package that a killed run left aside.
fn put_back(disk: &dyn Disk, target: &Path, parent: &Path, name: &std::ffi::OsStr) -> Result<(), DiskError> {
    let kept = aside(parent, name);
    if !kept.exists() {
        return Ok(());
    }
    let done = if target.exists() { disk.remove_folder(&kept) } else { disk.rename(&kept, target) };
    done.map_err(|error| DiskError::io(&kept, "put the package of an earlier run back", &error))
}

/// A folder may be replaced only where it is empty or holds nothing but a package of this program.
fn refuse_strangers(target: &Path) -> Result<(), DiskError> {
    let kind = match fs::symlink_metadata(target) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(DiskError::io(target, "look at the target", &error)),
        Ok(kind) => kind,
    };
    if !kind.is_dir() {
        return Err(DiskError::new(target, "it is there and is no folder", "give another folder, or move it away"));
    }
    let files = read(target)?;
    if files.is_empty() {
        return Ok(());
    }
    let stranger = match files.get("manifest.json").and_then(|bytes| listed(bytes)) {
        None => files.keys().next().cloned(),
        Some(listed) => files.keys().find(|path| *path != "manifest.json" && !listed.contains(path)).cloned(),
    };
    match stranger {
        None => Ok(()),
        Some(path) => Err(DiskError::new(
            &target.join(path),
            "this file is not part of a package, and would be lost",
            "move it out of the folder, or give another folder",
        )),
    }
}

/// Paths a manifest lists, where it is one.
fn listed(bytes: &[u8]) -> Option<Vec<String>> {
    let manifest: serde_json::Value = serde_json::from_slice(bytes).ok()?;
    let files = manifest.get("files")?.as_array()?;
    files.iter().map(|file| file.get("path")?.as_str().map(str::to_owned)).collect()
}

impl Staged<'_> {
    /// Reads the staged files back from disk.
    pub fn read(&self) -> Result<BTreeMap<String, Vec<u8>>, DiskError> {
        read(&self.folder.path)
    }

    /// Moves the package in. A staged package that is dropped instead leaves nothing behind.
    pub fn move_in(self) -> Result<(), DiskError> {
        // The staged folder goes before the parents do, whatever happens.
        let Self { folder, target, parents, .. } = self;
        let done = move_folder(folder, &target);
        drop(parents);
        done
    }
}

/// In place of nothing, or of an older package.
fn move_folder(mut folder: Folder<'_>, target: &Path) -> Result<(), DiskError> {
    let disk = folder.disk;
    let failed = |error: &io::Error| DiskError::io(target, "move the package in", error);
    let still =
        |path: &Path, error: &io::Error| DiskError::io(path, "remove the old package; the new one is in", error);
    disk.share(&folder.path).map_err(|error| failed(&error))?;
    if !target.exists() {
        disk.rename(&folder.path, target).map_err(|error| failed(&error))?;
        folder.moved = true;
        return Ok(());
    }
    // The old package takes the hidden name: no other run shall find it there unheld.
    let _old = disk.hold(target);
    if disk.exchange(&folder.path, target) {
        // Now the old package is in the staging folder and goes with it.
        folder.moved = true;
        return disk.remove_folder(&folder.path).map_err(|error| still(&folder.path, &error));
    }
    let (parent, name) = (target.parent().unwrap_or(Path::new(".")), target.file_name().unwrap_or_default());
    let kept = aside(parent, name);
    disk.rename(target, &kept).map_err(|error| failed(&error))?;
    if let Err(error) = disk.rename(&folder.path, target) {
        // Put the old one back; where even that fails the next run does it.
        let _ = disk.rename(&kept, target);
        return Err(failed(&error));
    }
    folder.moved = true;
    disk.remove_folder(&kept).map_err(|error| still(&kept, &error))
}

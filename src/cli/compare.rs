//! `yokeline compare DIR1 DIR2`.

use std::fmt::Write as _;

use serde_json::json;

use super::args::Compare;
use super::columns::wrapped;
use super::report::{heading, verdict};
use super::{Settings, Trouble, answer, exit, package};
use crate::audit::compare::{Change, Comparison, Verdict, compare};
use crate::check::Status;

/// Column at which words under a part begin.
const AT: usize = 8;
/// Most files named; a new title changes every sheet.
const FILES: usize = 40;

/// Reads two packages and says what changed; a part to be made again makes exit 1.
pub fn run(options: &Compare, settings: Settings) -> Result<u8, Trouble> {
    let folders = [&options.before, &options.after];
    let (before, after) = (package::read(folders[0])?, package::read(folders[1])?);
    let found = compare(&before, &after).map_err(|(which, why)| {
        let folder = folders.get(which).map(|folder| folder.display().to_string()).unwrap_or_default();
        let other = match folders.get(which) {
            Some(folder) if !folder.join("linkage.toml").is_file() => {
                "this is no package, it has no linkage.toml: give a folder that `yokeline make` wrote".to_owned()
            }
            _ => format!("its spec cannot be read: {why}"),
        };
        Trouble::Package(vec![format!("{folder}: {other}")])
    })?;
    let text = if settings.json {
        json!({ "same": found.same(), "work": found.work(), "changes": found }).to_string() + "\n"
    } else {
        words(&found)
    };
    answer(&text, settings)?;
    Ok(if found.work() { exit::FAILED } else { exit::GOOD })
}

fn words(found: &Comparison) -> String {
    let mut out = String::new();
    for doubt in &found.doubts {
        let _ = writeln!(out, "{}  {}", verdict(Status::Warn), wrapped(doubt, 6, 6));
    }
    if found.same() {
        out.push_str("both packages are the same\n");
        return out;
    }
    section(&mut out, "Changed in the spec", &found.spec, usize::MAX);
    section(&mut out, "Figures that read otherwise", &found.figures, usize::MAX);
    section(&mut out, "Rules with another verdict", &found.verdicts, usize::MAX);
    heading(&mut out, "Parts");
    for part in &found.parts {
        let status = match part.verdict {
            Verdict::Same | Verdict::Fits => Status::Pass,
            Verdict::Gone => Status::Open,
            Verdict::New => Status::Warn,
            Verdict::Again => Status::Fail,
        };
        let mut text = format!("{}: {}", part.part, part.verdict.words());
        if !part.why.is_empty() {
            let _ = write!(text, ": {}", part.why);
        }
        let _ = writeln!(out, "  {}  {}", mark(status), wrapped(&text, AT, AT));
    }
    section(&mut out, "Order list", &found.order, usize::MAX);
    section(&mut out, "Files that differ: print or send them again", &found.files, FILES);
    let again = found.parts.iter().filter(|part| part.verdict == Verdict::Again).count();
    let new = found.parts.iter().filter(|part| part.verdict == Verdict::New).count();
    let _ = match (again, new) {
        (0, 0) => writeln!(out, "\nno part has to be made again; throw away the older sheets all the same"),
        _ => writeln!(out, "\n{again} to make again, {new} new; throw away the older sheets"),
    };
    out
}

/// A word in the colour of what is to be done.
fn mark(status: Status) -> String {
    let (code, word) = match status {
        Status::Pass => ("32", "keep"),
        Status::Warn => ("33", "make"),
        Status::Fail => ("1;31", "MAKE"),
        Status::Open => ("36", "gone"),
    };
    format!("\u{1b}[{code}m{word}\u{1b}[0m")
}

fn section(out: &mut String, head: &str, changes: &[Change], most: usize) {
    if changes.is_empty() {
        return;
    }
    heading(out, head);
    for change in changes.iter().take(most) {
        let text = match (&change.before, &change.after) {
            (Some(before), Some(after)) => format!("{}: {after}, was {before}", change.what),
            (None, Some(after)) => format!("{}: {after}, new", change.what),
            (Some(before), None) => format!("{}: gone, was {before}", change.what),
            (None, None) => continue,
        };
        let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
    }
    if changes.len() > most {
        let _ = writeln!(out, "  ... and {} more", changes.len() - most);
    }
}

//! The call rules of DEVELOPERS.md: no room uses a room below it, and foreign crates stay in theirs.

use std::fs;
use std::path::{Path, PathBuf};

/// Rooms from the first to the last; each may use those before it in the list.
const ORDER: [&str; 12] = [
    "quantity", "geometry", "catalog", "spec", "survey", "solve", "check", "model", "drawing", "export", "pipeline",
    "cli",
];

/// Rooms that any room may use: they know nothing of steering.
const OPEN: [&str; 2] = ["diagnostic", "digest"];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Every file of `src` with its room and text, comments left out.
fn rooms() -> Vec<(String, PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    files
        .into_iter()
        .map(|path| {
            let relative = path.strip_prefix(&root).unwrap();
            let room = relative.components().next().unwrap().as_os_str().to_string_lossy().replace(".rs", "");
            let text = fs::read_to_string(&path).unwrap();
            let code = text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
            (room, path, code)
        })
        .collect()
}

/// Names that follow `crate::` in a text, those in braces too.
fn used(code: &str) -> Vec<String> {
    let word = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut names = Vec::new();
    for after in code.split("crate::").skip(1) {
        if let Some(group) = after.strip_prefix('{') {
            let group = group.split(['}', ';']).next().unwrap_or("");
            names.extend(group.split(',').map(|name| word(name.trim())));
        } else {
            names.push(word(after));
        }
    }
    names
}

#[test]
fn no_room_uses_one_below_it() {
    let place = |room: &str| ORDER.iter().position(|r| *r == room);
    let mut seen = 0;
    for (room, path, code) in rooms() {
        for name in used(&code) {
            if OPEN.contains(&name.as_str()) || name == room || room == "lib" || room == "main" {
                continue;
            }
            seen += 1;
            let allowed = match (room.as_str(), name.as_str()) {
                // The audit repeats no mistake of the makers: it sees quantity to check, and foreign readers.
                ("audit", used) => place(used).is_some_and(|at| at <= place("check").unwrap()),
                ("pipeline" | "cli", "audit") => true,
                // Solids and sheets stand side by side.
                ("drawing", "model") => false,
                (room, used) => match (place(room), place(used)) {
                    (Some(own), Some(other)) => other < own,
                    _ => false,
                },
            };
            assert!(allowed, "{} uses crate::{name}, which room {room} may not", path.display());
        }
    }
    assert!(seen > 50, "only {seen} uses were read");
}

/// A foreign crate has one room, or one on each side of the file.
#[test]
fn foreign_crates_stay_in_their_rooms() {
    let homes: [(&str, &[&str]); 11] = [
        ("truck_", &["src/model/", "src/export/step", "src/export/part21", "src/audit/step"]),
        ("printpdf::", &["src/export/pdf"]),
        ("lopdf::", &["src/export/pdf"]),
        ("flate2::", &["src/export/pdf"]),
        ("svg::node", &["src/export/svg"]),
        ("clap::", &["src/cli/"]),
        ("hayro_syntax::", &["src/audit/pdf"]),
        ("quick_xml::", &["src/export/html"]),
        ("roxmltree::", &["src/audit/svg", "src/audit/html"]),
        ("svgtypes::", &["src/audit/svg"]),
        ("std::fs", &["src/cli/"]),
    ];
    for (_, path, code) in rooms() {
        let path = path.to_string_lossy().replace('\\', "/");
        for (name, allowed) in homes {
            let uses = code.contains(name);
            assert!(!uses || allowed.iter().any(|home| path.contains(home)), "{path} uses {name}");
        }
    }
}

/// Long files hide what they do.
#[test]
fn no_file_is_over_600_lines() {
    for (_, path, _) in rooms() {
        let lines = fs::read_to_string(&path).unwrap().lines().count();
        assert!(lines <= 600, "{} has {lines} lines", path.display());
    }
}

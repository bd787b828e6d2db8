//! Every example is built, audited and compared byte for byte with `output-samples/`.
//!
//! `YOKELINE_BLESS=1 cargo test samples::` writes the samples anew.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use yokeline::{audit, pipeline};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The package of a spec by path, as the program makes it.
fn package(text: &[u8]) -> BTreeMap<String, Vec<u8>> {
    let solved = pipeline::solve("linkage.toml", text, &mut |_| ()).unwrap();
    let artifacts = pipeline::make(text, &solved, &mut |_| ()).unwrap();
    artifacts.into_iter().map(|file| (file.path, file.bytes)).collect()
}

fn read(folder: &Path, prefix: &str, files: &mut BTreeMap<String, Vec<u8>>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries {
        let path = entry.unwrap().path();
        let name = format!("{prefix}{}", path.file_name().unwrap().to_str().unwrap());
        if path.is_dir() {
            read(&path, &format!("{name}/"), files);
        } else {
            files.insert(name, fs::read(&path).unwrap());
        }
    }
}

fn examples() -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(root().join("examples")).unwrap() {
        let folder = entry.unwrap().path();
        if let Ok(text) = fs::read(folder.join("linkage.toml")) {
            found.push((folder.file_name().unwrap().to_str().unwrap().to_owned(), text));
        }
    }
    found.sort();
    assert!(!found.is_empty());
    found
}

#[test]
fn samples_are_what_the_program_writes() {
    for (name, text) in examples() {
        let made = package(&text);
        let proof = audit::audit(&made);
        let bad: Vec<_> = proof.lines.iter().filter(|line| !line.good).collect();
        assert!(bad.is_empty() && proof.lines.len() > 100, "{name}: {bad:#?}");
        let folder = root().join("output-samples").join(&name);
        if std::env::var_os("YOKELINE_BLESS").is_some() {
            let _ = fs::remove_dir_all(&folder);
            for (path, bytes) in &made {
                let path = folder.join(path);
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                fs::write(path, bytes).unwrap();
            }
            continue;
        }
        let mut kept = BTreeMap::new();
        read(&folder, "", &mut kept);
        assert_eq!(kept.keys().collect::<Vec<_>>(), made.keys().collect::<Vec<_>>(), "{name}: files of the sample");
        for (path, bytes) in &made {
            assert!(kept[path] == *bytes, "{name}/{path} is not what the program writes: look at it, then bless it");
        }
    }
}

#[test]
fn the_print_test_is_what_the_program_writes() {
    let letter = yokeline::catalog::sheets::find("letter").unwrap();
    let made = pipeline::print_test(letter).unwrap();
    let file = root().join("output-samples/print-test.pdf");
    if std::env::var_os("YOKELINE_BLESS").is_some() {
        fs::write(&file, &made).unwrap();
        return;
    }
    assert!(fs::read(&file).unwrap() == made, "output-samples/print-test.pdf: look at it, then bless it");
}

/// A second run, and a run after others in one process, give the same bytes.
#[test]
fn same_spec_same_bytes() {
    let (_, text) = examples().swap_remove(0);
    assert!(package(&text) == package(&text));
}

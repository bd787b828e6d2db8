//! Packages on disk: whole or not at all, and nobody's files lost.

use std::fs;
use std::process::Command;

use super::{Shop, done, edited, too_close, unsolvable};
use crate::common::HERON;

/// Every file of the roadster's package.
const FILES: [&str; 39] = [
    "cut/doubler-left-rail-notch-left.svg",
    "cut/doubler-left-rail-notch-right.svg",
    "cut/liner-left-rail-notch.svg",
    "cut/notch-left-rail-notch.svg",
    "cut/plate-column-bracket.svg",
    "cut/plate-firewall.svg",
    "drawings/drilling-column-bracket.pdf",
    "drawings/drilling-firewall.pdf",
    "drawings/layout.pdf",
    "drawings/layout.svg",
    "drawings/shaft-intermediate.pdf",
    "drawings/shaft-intermediate.svg",
    "linkage.toml",
    "manifest.json",
    "print/all.pdf",
    "print/doubler-left-rail-notch-left.pdf",
    "print/doubler-left-rail-notch-right.pdf",
    "print/liner-left-rail-notch.pdf",
    "print/notch-left-rail-notch.pdf",
    "print/plate-column-bracket.pdf",
    "print/plate-firewall.pdf",
    "print/strips-column-bracket.pdf",
    "print/strips-firewall.pdf",
    "record/build-record.html",
    "record/build-record.pdf",
    "record/phase-intermediate.svg",
    "record/shear.svg",
    "record/torque.svg",
    "record/turn-error.svg",
    "record/turn-ratio.svg",
    "results.json",
    "solids/assembly.step",
    "solids/doubler-left-rail-notch-left.step",
    "solids/doubler-left-rail-notch-right.step",
    "solids/liner-left-rail-notch.step",
    "solids/plate-column-bracket.step",
    "solids/plate-firewall.step",
    "solids/rail-left-rail.step",
    "solids/shaft-intermediate.step",
];

/// A folder with the roadster's spec.
fn shop() -> Shop {
    Shop::with("linkage.toml", HERON)
}

/// Asserts that `folder` holds the roadster's package and the shop nothing else but `others`.
#[track_caller]
fn holds(shop: &Shop, folder: &str, others: &[&str]) {
    let inside = format!("{folder}/");
    let (package, rest): (Vec<_>, Vec<_>) = shop.tree().into_iter().partition(|path| path.starts_with(&inside));
    // The folder itself is listed as `folder/`.
    let files: Vec<_> = package.iter().filter(|path| !path.ends_with('/')).map(|path| &path[inside.len()..]).collect();
    assert_eq!(files, FILES);
    assert_eq!(rest, others);
}

#[test]
fn a_package_is_written_audited_and_told() {
    let shop = shop();
    let made = shop.run(&["make", "linkage.toml", "-o", "out"]).status(0).stderr("");
    assert!(made.stdout.contains("\nwrote out\n") && made.stdout.contains("all as solved"), "{}", made.stdout);
    for file in FILES {
        assert!(made.stdout.contains(file), "{file} is not named");
    }
    holds(&shop, "out", &["linkage.toml"]);
    assert_eq!(shop.read("out/linkage.toml"), HERON.as_bytes());
    assert_eq!(
        shop.read("out/results.json"),
        shop.run(&["solve", "linkage.toml", "--json"]).status(0).stdout.into_bytes()
    );
    shop.run(&["audit", "out"]).status(0).stderr("").says("as solved");
    let json = shop.run(&["audit", "out", "--rebuild", "--json"]).status(0).stderr("").json();
    assert_eq!(json["good"], true);
    assert!(json["lines"].as_array().unwrap().len() > 250);
    let again = shop.run(&["make", "linkage.toml", "-o", "two", "--json"]).status(0).stderr("");
    assert_eq!(again.stdout.into_bytes(), shop.read("out/results.json"));
    for file in FILES {
        assert!(shop.read(&format!("out/{file}")) == shop.read(&format!("two/{file}")), "{file} differs");
    }
}

/// Where a package lies, and what its folder is called, is nothing to its audit.
#[test]
fn a_package_copied_anywhere_is_clean() {
    let shop = shop();
    shop.run(&["make", "linkage.toml", "-o", "out"]).status(0);
    let tree: Vec<String> = shop.tree().into_iter().filter(|path| path.starts_with("out/")).collect();
    for file in tree.iter().filter(|path| !path.ends_with('/')) {
        shop.write(&file.replacen("out/", "elsewhere/b c/\u{fc}\u{f1}/", 1), shop.read(file));
    }
    shop.run(&["audit", "elsewhere/b c/\u{fc}\u{f1}"]).status(0).stderr("");
}

#[test]
fn a_package_may_come_from_standard_input() {
    let shop = Shop::new();
    shop.feed(&["make", "-", "-o", "out", "-q"], HERON).status(0);
    holds(&shop, "out", &[]);
}

#[test]
fn a_failing_rule_is_written_on_every_sheet() {
    let shop = Shop::with("linkage.toml", too_close());
    shop.run(&["make", "linkage.toml", "-o", "out"]).status(1).stderr("").says("Do not cut: 1 check beyond limit.");
    holds(&shop, "out", &["linkage.toml"]);
    let audit = shop.run(&["audit", "out", "--json"]).status(0).json();
    let mut sheets = 0;
    for line in audit["lines"].as_array().unwrap() {
        if line["what"].as_str().unwrap().ends_with("band") {
            assert_eq!(line["found"], "DO NOT CUT: 1 check fails", "{line}");
            sheets += 1;
        }
    }
    let paper = FILES.iter().filter(|file| [".svg", ".pdf"].iter().any(|kind| file.ends_with(kind))).count();
    assert!(sheets >= paper, "{sheets} sheets of {paper} files");
    shop.run(&["check", "linkage.toml", "-q"]).status(1);
}

#[test]
fn an_unsolvable_spec_writes_nothing() {
    let spec = unsolvable();
    // The second joint is the one that folds back.
    let joints = spec.lines().enumerate().filter(|(_, line)| line.trim() == "[[joint]]");
    let line = joints.map(|(i, _)| i + 1).nth(1).unwrap();
    let shop = Shop::with("linkage.toml", spec);
    shop.write("old/keep.txt", "");
    let before = shop.tree();
    for folder in ["out", "a/b/c", "old/sub/out"] {
        shop.run(&["make", "linkage.toml", "-o", folder])
            .status(2)
            .stdout("")
            .complains(&format!("linkage.toml:{line}:1"));
        assert_eq!(shop.tree(), before);
    }
    let errors = shop.run(&["make", "linkage.toml", "-o", "out", "--json"]).status(2).stdout("").errors();
    assert_eq!((&errors[0]["line"], &errors[0]["column"]), (&line.into(), &1.into()));
}

#[test]
fn a_shaft_too_short_writes_nothing() {
    // Column and gear on one line: crosses 3.2 in from the ends that the hubs already fill.
    let spec = edited(HERON, "end     = [5.531, -8.470, 3.227]", "end     = [20.6, -14.45, 9.0]");
    let spec = edited(&spec, "beyond  = [14.914, -9.071, 10.685]", "beyond  = [28.6, -15.2, 12.6]");
    let shop = Shop::with("linkage.toml", spec);
    let done = shop.run(&["make", "linkage.toml", "-o", "a/b"]).status(2).stdout("");
    assert!(done.stderr.contains("--> linkage.toml:"), "{}", done.stderr);
    assert_eq!(shop.tree(), ["linkage.toml"]);
}

#[test]
fn missing_folders_are_made() {
    let shop = shop();
    shop.run(&["make", "linkage.toml", "-o", "a/b/c", "-q"]).status(0);
    holds(&shop, "a/b/c", &["a/", "a/b/", "linkage.toml"]);
}

#[test]
fn an_empty_folder_is_filled() {
    let shop = shop();
    fs::create_dir(shop.path("out")).unwrap();
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    holds(&shop, "out", &["linkage.toml"]);
}

#[test]
fn an_older_package_is_replaced_whole() {
    let shop = shop();
    shop.write("old.toml", edited(HERON, "name      = \"column bracket\"", "name      = \"upper bracket\""));
    shop.run(&["make", "old.toml", "-o", "out", "-q"]).status(0);
    assert!(shop.path("out/cut/plate-upper-bracket.svg").exists());
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    holds(&shop, "out", &["linkage.toml", "old.toml"]);
}

#[test]
fn an_older_package_outlives_an_error() {
    let shop = shop();
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    shop.write("linkage.toml", unsolvable());
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(2);
    holds(&shop, "out", &["linkage.toml"]);
    shop.run(&["audit", "out", "-q"]).status(0);
}

#[test]
fn a_strangers_file_is_never_lost() {
    let shop = shop();
    shop.write("out/photo.jpg", "mine");
    let refused = shop.run(&["make", "linkage.toml", "-o", "out"]).status(2).stdout("");
    assert_eq!(
        refused.stderr,
        "error: out/photo.jpg: this file is not part of a package, and would be lost\n  help: move it out of the folder, or give another folder\n"
    );
    assert_eq!(shop.tree(), ["linkage.toml", "out/", "out/photo.jpg"]);

    shop.run(&["make", "linkage.toml", "-o", "package", "-q"]).status(0);
    shop.write("package/print/notes.txt", "mine");
    let before = shop.tree();
    shop.run(&["make", "linkage.toml", "-o", "package"]).status(2).complains("package/print/notes.txt");
    assert_eq!(shop.tree(), before);
    let json = shop.run(&["make", "linkage.toml", "-o", "package", "--json"]).status(2).stdout("").errors();
    assert_eq!(json[0]["file"], "package/print/notes.txt");
}

#[test]
fn a_file_in_the_way_is_never_lost() {
    let shop = shop();
    shop.write("out", "mine");
    let before = shop.tree();
    shop.run(&["make", "linkage.toml", "-o", "out"])
        .status(2)
        .stdout("")
        .stderr("error: out: it is there and is no folder\n  help: give another folder, or move it away\n");
    shop.run(&["make", "linkage.toml", "-o", "out/"]).status(2);
    shop.run(&["make", "linkage.toml", "-o", "out/below/it"]).status(2);
    assert_eq!(shop.tree(), before);
    assert_eq!(shop.read("out"), b"mine");
}

#[cfg(unix)]
#[test]
fn a_link_in_the_way_is_left_alone() {
    let shop = shop();
    shop.run(&["make", "linkage.toml", "-o", "real", "-q"]).status(0);
    std::os::unix::fs::symlink("real", shop.path("out")).unwrap();
    std::os::unix::fs::symlink("nowhere", shop.path("dangling")).unwrap();
    let before = shop.tree();
    for folder in ["out", "out/", "out/.", "dangling", "dangling/"] {
        let done = shop.run(&["make", "linkage.toml", "-o", folder]).status(2);
        assert!(done.stderr.contains("it is there and is no folder"), "{folder}: {}", done.stderr);
        assert_eq!(shop.tree(), before);
    }
    assert!(fs::symlink_metadata(shop.path("out")).unwrap().is_symlink());
    // A folder reached over a link is a folder like any other.
    fs::create_dir(shop.path("bench")).unwrap();
    std::os::unix::fs::symlink("bench", shop.path("way")).unwrap();
    shop.run(&["make", "linkage.toml", "-o", "way/out", "-q"]).status(0);
    assert!(shop.path("bench/out/manifest.json").exists());
}

#[cfg(unix)]
#[test]
fn a_folder_without_leave_to_write_is_named() {
    use std::os::unix::fs::PermissionsExt as _;
    let shop = shop();
    fs::create_dir(shop.path("locked")).unwrap();
    fs::set_permissions(shop.path("locked"), fs::Permissions::from_mode(0o555)).unwrap();
    if fs::write(shop.path("locked/probe"), "").is_ok() {
        // Root writes anywhere: there is nothing to see here.
        return;
    }
    for folder in ["locked/out", "locked/a/b"] {
        shop.run(&["make", "linkage.toml", "-o", folder]).status(2).complains("check who owns the folder");
    }
    fs::set_permissions(shop.path("locked"), fs::Permissions::from_mode(0o755)).unwrap();
    assert_eq!(shop.tree(), ["linkage.toml", "locked/"]);
}

/// Found by a run without root's rights: the new package was in, the old one half removed, the exit status 2.
#[cfg(unix)]
#[test]
fn an_older_package_locked_against_writing_is_replaced_whole() {
    use std::os::unix::fs::PermissionsExt as _;
    let shop = shop();
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    for folder in ["out/cut", "out/print", "out"] {
        fs::set_permissions(shop.path(folder), fs::Permissions::from_mode(0o555)).unwrap();
    }
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0).stderr("");
    holds(&shop, "out", &["linkage.toml"]);
}

#[test]
fn a_folder_may_end_in_a_slash_or_a_dot() {
    for folder in ["out/", "out/.", "./out", "sub/../out"] {
        let shop = shop();
        fs::create_dir(shop.path("sub")).unwrap();
        for _ in 0..2 {
            shop.run(&["make", "linkage.toml", "-o", folder, "-q"]).status(0);
            holds(&shop, "out", &["linkage.toml", "sub/"]);
        }
    }
}

#[test]
fn a_folder_without_a_name_of_its_own_is_refused() {
    let shop = shop();
    fs::create_dir(shop.path("sub")).unwrap();
    for folder in [".", "..", "sub/..", "/"] {
        let done = shop.run(&["make", "linkage.toml", "-o", folder]).status(2).stdout("");
        assert!(done.stderr.contains("this names no folder of its own"), "{folder}: {}", done.stderr);
    }
    assert_eq!(shop.tree(), ["linkage.toml", "sub/"]);
}

#[test]
fn what_a_killed_run_kept_aside_is_put_back() {
    let shop = shop();
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    fs::rename(shop.path("out"), shop.path(".yokeline-old-out")).unwrap();
    // Even a run that ends in an error puts it back, and loses nothing.
    shop.write(".yokeline-old-out/photo.jpg", "mine");
    shop.run(&["make", "linkage.toml", "-o", "out"]).status(2).complains("out/photo.jpg");
    assert_eq!(shop.read("out/photo.jpg"), b"mine");
    fs::remove_file(shop.path("out/photo.jpg")).unwrap();
    fs::rename(shop.path("out"), shop.path(".yokeline-old-out")).unwrap();
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    holds(&shop, "out", &["linkage.toml"]);
    // Killed one step later: the new package is in, the old one is of no use any more.
    shop.write(".yokeline-old-out/manifest.json", "{}");
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    holds(&shop, "out", &["linkage.toml"]);
}

/// A file system that takes no file over some kilobytes stands for a full disk.
#[cfg(target_os = "linux")]
#[test]
fn an_error_half_way_leaves_no_folder_behind() {
    let shop = shop();
    let script = "trap '' XFSZ; ulimit -f 32; exec \"$0\" make linkage.toml -o a/b/out";
    let mut command = Command::new("sh");
    command.args(["-c", script, env!("CARGO_BIN_EXE_yokeline")]).current_dir(shop.folder.path());
    let done = done(&mut command).status(2).stdout("");
    assert!(done.stderr.starts_with("error: a/b/out/results.json: could not write: "), "{}", done.stderr);
    assert_eq!(shop.tree(), ["linkage.toml"]);
}

#[test]
fn a_damaged_package_fails_its_audit() {
    let shop = shop();
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0);
    let mut bytes = shop.read("out/cut/plate-firewall.svg");
    bytes.push(b'\n');
    shop.write("out/cut/plate-firewall.svg", bytes);
    shop.run(&["audit", "out"])
        .status(1)
        .stderr("")
        .says("FAIL  cut/plate-firewall.svg: bytes")
        .says("do not cut from this package");
    let json = shop.run(&["audit", "out", "--json"]).status(1).stderr("").json();
    assert_eq!(json["good"], false);
    shop.run(&["audit", "nowhere"]).status(2).stdout("").complains("nowhere: could not read");
    shop.run(&["audit", "linkage.toml"]).status(2).stdout("").complains("linkage.toml: could not read");
    fs::create_dir(shop.path("empty")).unwrap();
    shop.run(&["audit", "empty"]).status(1).says("manifest.json").says("missing");
}

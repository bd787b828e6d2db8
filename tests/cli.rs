//! The built program from outside: arguments and files in, exit status, words and files out.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr as _;

use crate::common::HERON;

mod faults;
mod make;
mod print_test;

/// A spec whose header tube is too close for its stated need.
fn too_close() -> String {
    edited(HERON, "need = \"1 in\"", "need = \"3 in\"")
}

/// A spec whose gear lies so close to the column that the linkage would fold back on itself.
fn unsolvable() -> String {
    edited(HERON, "end     = [5.531, -8.470, 3.227]", "end     = [22.0, -14.9, 9.7]")
}

fn edited(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "`{old}` is not in the spec");
    text.replacen(old, new, 1)
}

/// A folder to run the program in.
struct Shop {
    folder: TempDir,
}

/// What one run left.
#[derive(Debug)]
struct Done {
    status: Option<i32>,
    stdout: String,
    stderr: String,
}

impl Shop {
    fn new() -> Self {
        Self { folder: TempDir::new().unwrap() }
    }

    /// With a file in it.
    fn with(name: &str, bytes: impl AsRef<[u8]>) -> Self {
        let shop = Self::new();
        shop.write(name, bytes);
        shop
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap()
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_yokeline"));
        command.args(arguments).current_dir(self.folder.path()).stdin(Stdio::null());
        for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "TERM"] {
            command.env_remove(name);
        }
        command
    }

    fn run(&self, arguments: &[&str]) -> Done {
        done(&mut self.command(arguments))
    }

    /// With words on standard input.
    fn feed(&self, arguments: &[&str], input: &str) -> Done {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        let output = child.wait_with_output().unwrap();
        Done {
            status: output.status.code(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Everything below the folder, folders with a `/` at their end.
    fn tree(&self) -> Vec<String> {
        let mut found = Vec::new();
        list(self.folder.path(), "", &mut found);
        found.sort();
        found
    }
}

fn list(folder: &Path, prefix: &str, found: &mut Vec<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{prefix}{}", entry.file_name().to_str().unwrap());
        if entry.file_type().unwrap().is_dir() {
            found.push(format!("{name}/"));
            list(&entry.path(), &format!("{name}/"), found);
        } else {
            found.push(name);
        }
    }
}

fn done(command: &mut Command) -> Done {
    let output = command.output().unwrap();
    Done {
        status: output.status.code(),
        stdout: String::from_utf8(output.stdout).unwrap(),
        stderr: String::from_utf8(output.stderr).unwrap(),
    }
}

impl Done {
    #[track_caller]
    fn status(self, status: i32) -> Self {
        assert_eq!(self.status, Some(status), "{}{}", self.stdout, self.stderr);
        self
    }

    #[track_caller]
    fn stdout(self, text: &str) -> Self {
        assert_eq!(self.stdout, text);
        self
    }

    #[track_caller]
    fn stderr(self, text: &str) -> Self {
        assert_eq!(self.stderr, text);
        self
    }

    #[track_caller]
    fn says(self, words: &str) -> Self {
        assert!(self.stdout.contains(words), "`{words}` is not in\n{}", self.stdout);
        self
    }

    #[track_caller]
    fn complains(self, words: &str) -> Self {
        assert!(self.stderr.contains(words), "`{words}` is not in\n{}", self.stderr);
        self
    }

    #[track_caller]
    fn json(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap()
    }

    /// One JSON object a line.
    #[track_caller]
    fn errors(&self) -> Vec<Value> {
        self.stderr.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
    }
}

#[test]
fn every_help_shows_an_example() {
    let shop = Shop::new();
    for command in ["new", "survey", "solve", "check", "make", "audit", "parts"] {
        let help = shop.run(&[command, "--help"]).status(0).stderr("");
        assert!(help.stdout.contains(&format!("Example:\n  yokeline {command}")), "{}", help.stdout);
        let whole = shop.run(&["--help"]).status(0).stderr("");
        assert!(whole.stdout.contains(&format!("\n  {command} ")), "{}", whole.stdout);
    }
    shop.run(&["--help"]).status(0).says("yokeline new my-car.toml").says("Exit status: 0 good; 1 a rule");
    shop.run(&["--version"]).status(0).stdout(&format!("yokeline {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn wrong_arguments_exit_2_in_words_and_in_json() {
    let shop = Shop::new();
    shop.run(&[]).status(2).stdout("").complains("yokeline new my-car.toml");
    shop.run(&["bend"]).status(2).stdout("").complains("unrecognized subcommand 'bend'");
    shop.run(&["make", "a.toml"]).status(2).complains("--output <DIR>");
    let json = shop.run(&["solve", "--json"]).status(2).stdout("");
    let errors = json.errors();
    assert_eq!(errors.len(), 1);
    assert_eq!(errors[0]["severity"], "error");
    assert!(errors[0]["message"].as_str().unwrap().contains("<SPEC>"), "{errors:?}");
}

#[test]
fn new_writes_a_starter_that_solves_checks_and_makes() {
    let shop = Shop::new();
    shop.run(&["new", "car.toml"])
        .status(0)
        .stdout("wrote car.toml: put your own measurements in, then run\n  yokeline solve car.toml\n")
        .stderr("");
    shop.run(&["solve", "car.toml"]).status(0).stderr("").says("finished ");
    shop.run(&["check", "car.toml"]).status(0).stderr("").says("0 beyond limit");
    // Its date is left for the user to fill in.
    shop.run(&["make", "car.toml", "-o", "out"]).status(0).stderr("");
    shop.run(&["audit", "out", "--rebuild"]).status(0).stderr("");
}

#[test]
fn new_never_writes_over_a_file_unasked() {
    let shop = Shop::with("car.toml", "mine");
    shop.run(&["new", "car.toml"])
        .status(2)
        .stdout("")
        .stderr("error: car.toml: it exists already\n  help: give another name, or --replace to write over it\n");
    assert_eq!(shop.read("car.toml"), b"mine");
    shop.run(&["new", "car.toml", "--replace", "--quiet"]).status(0).stdout("");
    assert!(shop.read("car.toml").starts_with(b"#"));
    shop.run(&["new", "no/such/folder/car.toml"]).status(2).complains("could not write it");
    shop.run(&["new", "other.toml", "--from", "wagon"]).status(2).stderr(
        "error: other.toml: no starter is called \"wagon\"; there is rack\n  help: leave --from out for the usual one\n",
    );
    assert_eq!(shop.tree(), ["car.toml"]);
    assert_eq!(shop.run(&["new", "b.toml", "--json"]).status(0).json()["wrote"], "b.toml");
}

const MOCK_UP: &str = include_str!("../examples/bench-mockup/linkage.toml");

/// A sheet needs no reading to exist, and never takes the place of a file unasked.
#[test]
fn a_measuring_sheet_is_written_whole_and_never_over_a_file_unasked() {
    let start = MOCK_UP.find("[shaft.mockup]").unwrap();
    let blank = format!("{}mockup = {{}}\n", &MOCK_UP[..start]);
    let shop = Shop::with("bar.toml", &blank);
    shop.run(&["solve", "bar.toml"]).status(2).complains("has no `faces`");
    shop.run(&["survey", "bar.toml", "--sheet", "bar.pdf"]).status(0).stderr("").says("wrote bar.pdf");
    let first = shop.read("bar.pdf");
    assert!(first.starts_with(b"%PDF-"));
    shop.run(&["survey", "bar.toml", "--sheet", "bar.pdf"])
        .status(2)
        .stdout("")
        .stderr("error: bar.pdf: it exists already\n  help: give another name, or --replace to write over it\n");
    assert!(shop.read("bar.pdf") == first);
    shop.run(&["survey", "bar.toml", "--sheet", "bar.pdf", "--replace", "--quiet"]).status(0).stdout("");
    assert!(shop.read("bar.pdf") == first);
    shop.run(&["survey", "bar.toml", "--sheet", "no/folder/bar.pdf"]).status(2).complains("could not write it");
    assert_eq!(shop.tree(), ["bar.pdf", "bar.toml"]);
}

/// Nothing to measure is an error with its place.
#[test]
fn a_spec_without_readings_has_no_measuring_sheet() {
    let shop = Shop::with("linkage.toml", HERON);
    let told = shop.run(&["survey", "linkage.toml", "--sheet", "sheet.pdf"]).status(2).stdout("");
    told.complains("no reading to take").complains("linkage.toml:1:1");
    assert_eq!(shop.tree(), ["linkage.toml"]);
}

/// From a mock-up alone: said at once, and what needs positions with it.
#[test]
fn a_mock_up_alone_says_what_it_cannot_tell() {
    let shop = Shop::with("bar.toml", MOCK_UP);
    shop.run(&["solve", "bar.toml"]).status(0).stderr("").says("Made from a mock-up alone").says("need positions");
    shop.run(&["make", "bar.toml", "-o", "out"]).status(0);
    shop.run(&["audit", "out", "--rebuild"]).status(0).stderr("");
}

#[test]
fn solve_reads_a_file_or_standard_input() {
    let shop = Shop::with("linkage.toml", HERON);
    let file = shop.run(&["solve", "linkage.toml"]).status(0).stderr("").says("What to worry about first");
    shop.feed(&["solve", "-"], HERON).status(0).stderr("").stdout(&file.stdout);
    let json = shop.run(&["solve", "linkage.toml", "--json"]).status(0).stderr("").json();
    assert_eq!(json["format"], 1);
    assert_eq!(json["spec"]["title"], "Heron roadster: steering linkage");
    assert_eq!(json["joints"].as_array().unwrap().len(), 2);
    let errors = shop.feed(&["solve", "-", "--json"], "format = 1\n").status(2).stdout("").errors();
    assert!(errors.iter().all(|error| error["file"] == "standard input"), "{errors:?}");
}

#[test]
fn nothing_is_wider_than_a_terminal() {
    let shop = Shop::with("linkage.toml", HERON);
    shop.write("fail.toml", too_close());
    for arguments in [&["solve", "linkage.toml"], &["check", "fail.toml"], &["solve", "fail.toml"]] {
        let done = shop.run(arguments);
        for line in done.stdout.lines() {
            assert!(line.chars().count() <= 80, "{arguments:?}: {line}");
        }
    }
}

/// Letters two columns wide, letters from the right, and names as long as names may be.
#[test]
fn wide_and_long_names_keep_the_columns() {
    let long = "a name that is as long as the names of parts may be, 64 letters.";
    let text = edited(HERON, "\"Heron roadster: steering linkage\"", "\"عجلة القيادة: وصلة الهيرون\"");
    let text = edited(&text, "\"intermediate\"", "\"軸 shaft\"");
    let text = edited(&text, "name  = \"upper\"", "name  = \"上の継手 a\"");
    let text = edited(&text, "name  = \"lower\"", &format!("name  = \"{long}\""));
    let text = edited(
        &text,
        "\"header, third tube\"",
        "\"x排気管第三番のとても長い名前がここに書かれている部品の名前ですよ排気管第三番\"",
    );
    let shop = Shop::with("linkage.toml", text);
    let solved = shop.run(&["solve", "linkage.toml"]).status(0).says("軸 shaft").says("عجلة القيادة");
    let checked = shop.run(&["check", "linkage.toml"]).status(0);
    let made = shop.run(&["make", "linkage.toml", "-o", "out"]).status(0);
    let audited = shop.run(&["audit", "out"]).status(0);
    for line in [&solved, &checked, &made, &audited].iter().flat_map(|done| done.stdout.lines()) {
        assert!(line.width() <= 80, "{line}");
    }
    // Angle, limit and hubs of both joints stand in the columns of their heading.
    let lines: Vec<&str> = solved.stdout.lines().collect();
    let head = lines.iter().position(|line| line.contains("hubs hold")).unwrap();
    let column = |line: &str, words: &str| line.split_once(words).map(|(before, _)| before.width());
    assert_eq!(column(lines[head], "hubs hold"), column(lines[head + 1], "1.000 in and"));
    assert_eq!(lines[head + 2].trim(), long);
    assert_eq!(column(lines[head], "hubs hold"), column(lines[head + 3], "1.000 in and"));
    assert_eq!(column(lines[head], "shaft ends"), column(lines[head + 3], "1.073 in"));
}

/// The short list folds the rows of one rule and names every hub; `check` shows each, and no count changes.
#[test]
fn the_short_list_begins_with_what_matters_and_folds() {
    let shop = Shop::with("linkage.toml", HERON);
    let solved =
        shop.run(&["solve", "linkage.toml"]).status(0).says("joint upper, both hubs; joint lower, column-side");
    let (_, list) = solved.stdout.split_once("What to worry about first\n").unwrap();
    let at = |words: &str| list.find(words).unwrap();
    assert!(at("every screw lost") < at("off its best") && at("off its best") < at("angles differ"), "{list}");
    // Three hubs in one row, each in its own in the whole list; the fourth is held otherwise.
    assert_eq!(list.matches("every screw lost").count(), 2);
    assert_eq!(shop.run(&["check", "linkage.toml"]).stdout.matches("every screw lost").count(), 4);
    // Eight rows, and those not shown are counted one by one.
    let shown = list.lines().filter(|line| line.starts_with("  look") || line.starts_with("  open")).count();
    assert_eq!(shown, 8);
    assert!(list.contains("... and 7 more"), "{list}");
}

#[test]
fn check_exits_1_where_a_rule_fails() {
    let shop = Shop::with("linkage.toml", HERON);
    shop.write("fail.toml", too_close());
    shop.run(&["check", "linkage.toml"]).status(0).stderr("").says("0 beyond limit");
    shop.run(&["check", "fail.toml"]).status(1).stderr("").says("FAIL  intermediate to header, third tube");
    let json = shop.run(&["check", "fail.toml", "--json"]).status(1).stderr("").json();
    let failed: Vec<_> = json["checks"].as_array().unwrap().iter().filter(|row| row["status"] == "fail").collect();
    assert_eq!(failed.len(), 1);
    // It solves all the same.
    shop.run(&["solve", "fail.toml"]).status(0).says("Do not cut: 1 check beyond limit.");
}

#[test]
fn quiet_says_nothing_but_errors() {
    let shop = Shop::with("linkage.toml", HERON);
    shop.write("fail.toml", too_close());
    for command in ["solve", "check"] {
        shop.run(&[command, "linkage.toml", "--quiet"]).status(0).stdout("").stderr("");
    }
    shop.run(&["check", "fail.toml", "-q"]).status(1).stdout("").stderr("");
    shop.run(&["parts", "-q"]).status(0).stdout("").stderr("");
    shop.run(&["make", "linkage.toml", "-o", "out", "-q"]).status(0).stdout("").stderr("");
    shop.run(&["audit", "out", "-q"]).status(0).stdout("").stderr("");
    shop.run(&["solve", "nothing.toml", "-q"]).status(2).stdout("").complains("nothing.toml");
}

#[test]
fn timings_go_to_standard_error_alone() {
    let shop = Shop::with("linkage.toml", HERON);
    let plain = shop.run(&["solve", "linkage.toml"]).status(0);
    let timed = shop.run(&["solve", "linkage.toml", "--timings"]).status(0).stdout(&plain.stdout);
    let stages: Vec<_> = timed.stderr.lines().map(|line| line.split_once(" ms  ").unwrap().1).collect();
    assert_eq!(stages, ["read", "spec", "survey", "solve", "check", "total"]);
    assert!(shop.run(&["solve", "linkage.toml", "--timings", "--json"]).status(0).json().is_object());
}

#[test]
fn a_pipe_and_no_color_give_no_escape_codes() {
    let shop = Shop::with("linkage.toml", HERON);
    shop.write("fail.toml", too_close());
    shop.write("broken.toml", unsolvable());
    for arguments in
        [&["check", "fail.toml"][..], &["solve", "fail.toml"], &["solve", "broken.toml"], &["parts"], &["-h"]]
    {
        let piped = shop.run(arguments);
        let colourless = done(shop.command(arguments).env("NO_COLOR", "1").env("TERM", "xterm-256color"));
        // Forced, to prove that there were colours to leave out.
        let forced = done(shop.command(arguments).env("CLICOLOR_FORCE", "1").env("TERM", "xterm-256color"));
        for done in [&piped, &colourless] {
            assert!(!done.stdout.contains('\u{1b}') && !done.stderr.contains('\u{1b}'), "{arguments:?}: {done:?}");
        }
        assert!(forced.stdout.contains('\u{1b}') || forced.stderr.contains('\u{1b}'), "{arguments:?}");
    }
}

#[test]
fn a_broken_pipe_is_no_panic() {
    let shop = Shop::with("linkage.toml", HERON);
    for arguments in [&["parts"][..], &["solve", "linkage.toml", "--json"], &["--help"]] {
        let mut child = shop.command(arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{arguments:?}");
        assert!(matches!(output.status.code(), Some(0 | 2)), "{arguments:?}: {:?}", output.status);
    }
}

#[test]
fn parts_lists_every_source() {
    let shop = Shop::new();
    shop.run(&["parts"]).status(0).stderr("").says("dd-3/4").says("5/16-18");
    let rows = shop.run(&["parts", "--json"]).status(0).json();
    let rows = rows.as_array().unwrap();
    assert!(rows.len() > 50);
    for row in rows {
        assert!(row["source"].as_str().is_some_and(|source| !source.is_empty()), "{row}");
    }
}

#[test]
fn a_spec_that_is_no_file_is_named() {
    let shop = Shop::new();
    shop.write("folder/x", "");
    for command in ["solve", "check"] {
        let done = shop.run(&[command, "no.toml"]).status(2).stdout("");
        assert!(done.stderr.starts_with("error: no.toml: could not read it: "), "{}", done.stderr);
        assert!(done.stderr.ends_with("\n  help: check the path; `yokeline new FILE` writes a starter spec\n"));
    }
    let errors = shop.run(&["solve", "no.toml", "--json"]).status(2).stdout("").errors();
    assert_eq!(errors[0]["file"], "no.toml");
    shop.run(&["solve", "folder"]).status(2).stdout("").complains("error: folder: could not read it");
}

#[test]
fn a_spec_that_is_no_text_is_named_with_its_place() {
    let shop = Shop::with("binary.toml", b"format = 1\nx = \"\xff\xfe\"\n");
    shop.run(&["solve", "binary.toml"]).status(2).stdout("").complains("binary.toml:2:6");
    let errors = shop.run(&["solve", "binary.toml", "--json"]).status(2).stdout("").errors();
    assert_eq!(errors.len(), 1);
    assert_eq!(
        (&errors[0]["code"], &errors[0]["line"], &errors[0]["column"]),
        (&"not-text".into(), &2.into(), &6.into())
    );
    shop.write("zeros.toml", [0_u8; 4096]);
    shop.run(&["solve", "zeros.toml"]).status(2).stdout("").complains("zeros.toml:1:");
}

#[test]
fn a_spec_over_1_mib_is_refused_with_its_place() {
    let shop = Shop::with("large.toml", "#\n".repeat(1 << 20));
    shop.run(&["solve", "large.toml"]).status(2).stdout("").complains("goes on after 1048576 bytes");
    let errors = shop.run(&["make", "large.toml", "-o", "a/b", "--json"]).status(2).stdout("").errors();
    assert_eq!((&errors[0]["code"], &errors[0]["line"]), (&"too-large".into(), &((1 << 19) + 1).into()));
    assert_eq!(shop.tree(), ["large.toml"]);
}

#[test]
fn an_empty_spec_is_told_everything_it_lacks() {
    let shop = Shop::with("empty.toml", "");
    let errors = shop.run(&["solve", "empty.toml", "--json"]).status(2).stdout("").errors();
    assert_eq!(errors.len(), 6);
    for error in &errors {
        assert_eq!((&error["code"], &error["line"], &error["column"]), (&"missing-key".into(), &1.into(), &1.into()));
        assert!(error["help"].is_string());
    }
}

#[test]
fn wrong_keys_are_shown_with_their_lines() {
    let spec = edited(HERON, "units     = \"in\" ", "unit      = \"in\" ");
    let shop = Shop::with("linkage.toml", edited(&spec, "thick     = \"3/16 in\"", "thick     = \"3/16 kg\""));
    let errors = shop.run(&["check", "linkage.toml", "--json"]).status(2).stdout("").errors();
    let lines: Vec<_> = errors.iter().map(|error| error["line"].as_u64().unwrap()).collect();
    let line = |words: &str| shop_line(&shop, words);
    assert!(lines.contains(&line("unit      =")) && lines.contains(&line("3/16 kg")), "{errors:?}");
    let text = shop.run(&["check", "linkage.toml"]).status(2).stdout("");
    assert!(text.stderr.contains("units"), "{}", text.stderr);
    assert!(text.stderr.contains("thick     = \"3/16 kg\""), "{}", text.stderr);
}

fn shop_line(shop: &Shop, words: &str) -> u64 {
    let text = String::from_utf8(shop.read("linkage.toml")).unwrap();
    text.lines().position(|line| line.contains(words)).unwrap() as u64 + 1
}

#[test]
fn a_linkage_that_cannot_be_solved_is_shown_in_full() {
    let shop = Shop::with("linkage.toml", unsolvable());
    let line = shop_line(&shop, "name  = \"lower\"") - 1;
    shop.run(&["solve", "linkage.toml"]).status(2).stdout("").stderr(&format!(
        "error[joint-folds-back]: joint \"lower\" would have to fold to 144.6 deg; a single
                         joint cannot pass 90 deg
  --> linkage.toml:{line}:1
   |
{line} | [[joint]]
   | ^^^^^^^^^
   |
   = help: check which side column.toward and gear.beyond lie on, and the signs
           of y

"
    ));
}

#[test]
fn compare_says_what_is_no_package() {
    let shop = Shop::with("notes.txt", "x");
    let told = shop.run(&["compare", ".", "."]).status(2).stderr;
    assert!(told.contains("no linkage.toml") && told.contains("give a folder that `yokeline make` wrote"), "{told}");
}

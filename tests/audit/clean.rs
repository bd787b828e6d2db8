//! No false alarm, whatever the user writes.

use super::{Package, clean, made};
use crate::common::HERON;

/// The roadster with other words for title, vehicle, record, revision and name.
fn with_words(words: [&str; 5]) -> Package {
    let keys = [
        ("title", "\"Heron roadster: steering linkage\""),
        ("vehicle", "\"Heron two-seat roadster, frame 3\""),
        ("record", "\"HR-017\""),
        ("revision", "\"A\""),
        ("drawn_by", "\"Bench 4\""),
    ];
    let mut spec = HERON.to_owned();
    for ((key, old), new) in keys.into_iter().zip(words) {
        let line = spec.lines().find(|line| line.starts_with(key) && line.contains(old)).unwrap().to_owned();
        spec = spec.replace(&line, &format!("{key} = {}", toml::Value::from(new)));
    }
    made(&spec)
}

#[test]
fn the_words_of_the_band_as_a_title_are_no_band() {
    clean(&with_words(["DO NOT CUT: 3 checks fail"; 5]));
    clean(&with_words(["DO NOT CUT: 1 check fails"; 5]));
}

#[test]
fn words_the_audit_looks_for_may_stand_anywhere() {
    clean(&with_words(["not to scale"; 5]));
    clean(&with_words(["print this page on a roll"; 5]));
}

#[test]
fn words_that_mean_something_to_a_file_format_stay_words() {
    clean(&with_words(["<script>alert(1)</script>", ")", "(", "\\", "]]>"]));
    clean(&with_words(["' ; #1 = X('", "*/ ENDSEC;", "\\X2\\00E9\\X0\\", "%", "&amp;\"'"]));
    clean(&with_words(["\"", "''", "<", ">", "<<>>"]));
}

#[test]
fn words_of_other_scripts_are_words() {
    clean(&with_words([
        "\u{5d4}\u{5d2}\u{5d4} \u{5e9}\u{5dc} \u{5e8}\u{5db}\u{5d1}",
        "\u{639}\u{645}\u{648}\u{62f}",
        "\u{3a9}\u{3bc}",
        "\u{8f6c}\u{5411}",
        "\u{1f527}",
    ]));
    clean(&with_words(["e\u{301}\u{202e}abc", "a\u{200b}b", "\u{fb01}", "\u{ad}", "\u{a0}"]));
}

#[test]
fn words_of_great_length_are_words() {
    let long = "steering ".repeat(100);
    clean(&with_words([long.trim(); 5]));
    let unbroken = "W".repeat(900);
    clean(&with_words([&unbroken; 5]));
}

#[test]
fn no_words_are_words() {
    let spec: String = HERON
        .lines()
        .filter(|line| {
            !["vehicle ", "record ", "revision ", "drawn_by ", "date "].iter().any(|key| line.starts_with(key))
        })
        .map(|line| format!("{line}\n"))
        .collect();
    clean(&made(&spec));
}

#[test]
fn every_choice_of_output_is_clean() {
    let output = |sheet: &str, projection: &str, schema: &str, unit: &str, correction: &str| {
        let lines = [
            ("sheet ", format!("sheet = {sheet}")),
            ("projection ", format!("projection = \"{projection}\"")),
            ("step_schema ", format!("step_schema = \"{schema}\"")),
            ("step_unit ", format!("step_unit = \"{unit}\"")),
            ("print_correction ", format!("print_correction = {correction}")),
        ];
        let mut spec = HERON.to_owned();
        for (key, new) in lines {
            let old = spec.lines().find(|line| line.starts_with(key)).unwrap().to_owned();
            spec = spec.replace(&old, &new);
        }
        spec
    };
    clean(&made(&output("\"a4\"", "first", "ap214", "in", "[0.997, 1.004]")));
    clean(&made(&output("\"tabloid\"", "third", "ap242", "in", "[1.01, 0.99]")));
    clean(&made(&output("\"a3\"", "first", "ap214", "mm", "[1.0, 1.0]")));
    clean(&made(&output("[\"600 mm\", \"900 mm\"]", "third", "ap242", "mm", "[1.0, 1.0]")));
}

#[test]
fn millimetres_are_clean() {
    // Every bare length of the spec is stated with its unit first.
    let spec = HERON
        .replace("units     = \"in\"", "units     = \"mm\"")
        .replace("\"letter\"", "\"a4\"")
        .replace("\"third\"", "\"first\"");
    let spec: String = spec
        .lines()
        .map(|line| {
            let points =
                ["\"frame datum\"", "end ", "toward", "beyond", "along", "origin ", "right ", "up  ", "tube = { path"];
            if points.iter().any(|key| line.starts_with(key)) { inches(line) } else { line.to_owned() }
        })
        .map(|line| line + "\n")
        .collect();
    clean(&made(&spec));
}

/// Bare numbers with a point, quoted and in inches.
fn inches(line: &str) -> String {
    let (code, comment) = line.split_once('#').unwrap_or((line, ""));
    let mut out = String::new();
    let mut number = String::new();
    let mut quoted = false;
    for letter in code.chars().chain(std::iter::once('\n')) {
        quoted ^= letter == '"';
        if !quoted && (letter.is_ascii_digit() || letter == '.' || letter == '-') {
            number.push(letter);
            continue;
        }
        if number.contains('.') {
            out.extend(["\"", &number, " in\""]);
        } else {
            out += &number;
        }
        number.clear();
        out.push(letter);
    }
    format!("{} # {comment}", out.trim_end())
}

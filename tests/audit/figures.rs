//! Damage to the pictures of the record.

use super::{clean, found, heron};

const ERROR: &str = "record/turn-error.svg";
const PHASE: &str = "record/phase-intermediate.svg";

/// The line of an SVG file with this id changed.
pub(super) fn line(id: &str, change: impl FnOnce(&str) -> String) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    let mark = format!("id=\"{id}\"");
    move |bytes| {
        let text = String::from_utf8(bytes).unwrap();
        let line = text.lines().find(|line| line.contains(&mark)).unwrap_or_else(|| panic!("{mark} in {text}"));
        text.replacen(line, &change(line), 1).into_bytes()
    }
}

/// The n-th number of a path's data moved by a hundredth of a millimetre, five times what is allowed.
pub(super) fn nudged(line: &str, n: usize) -> String {
    let (head, rest) = line.split_once(" d=\"").unwrap();
    let (data, tail) = rest.split_once('"').unwrap();
    let mut seen = 0;
    let words: Vec<String> = data
        .split(' ')
        .map(|word| match word.parse::<f64>() {
            Ok(value) => {
                seen += 1;
                if seen == n { format!("{:.4}", value + 0.01) } else { word.to_owned() }
            }
            Err(_) => word.to_owned(),
        })
        .collect();
    assert!(seen >= n, "{data}");
    format!("{head} d=\"{}\"{tail}", words.join(" "))
}

#[test]
fn the_pictures_are_in_the_package_and_good() {
    let package = heron();
    for file in [ERROR, PHASE, "record/turn-ratio.svg", "record/torque.svg", "record/shear.svg"] {
        assert!(package.contains_key(file), "{file}");
    }
    clean(&package);
}

#[test]
fn a_curve_a_hundredth_off_is_named() {
    // Up at the start, across at the third point.
    found(heron(), ERROR, "curve as set", line("curve.1", |line| nudged(line, 2)));
    found(heron(), ERROR, "curve as best", line("curve.2", |line| nudged(line, 5)));
    found(heron(), PHASE, "curve error", line("curve.1", |line| nudged(line, 100)));
}

#[test]
fn a_scale_that_lies_is_named() {
    let renamed = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap().replace("id=\"up.2\"", "id=\"up.3\"").into_bytes();
    found(heron(), ERROR, "scale up", renamed);
    let printed = |bytes: Vec<u8>| {
        String::from_utf8(bytes).unwrap().replace("aria-label=\"90°\"", "aria-label=\"95°\"").into_bytes()
    };
    found(heron(), ERROR, "scale across, number 90", printed);
}

#[test]
fn a_mark_moved_or_gone_is_named() {
    found(heron(), PHASE, "mark 1", line("mark.1", |line| nudged(&nudged(line, 1), 3)));
    found(heron(), PHASE, "marks", line("mark.1", |_| String::new()));
    found(heron(), ERROR, "mark 2", line("mark.2", |line| nudged(&nudged(line, 2), 4)));
}

#[test]
fn a_picture_of_another_spec_is_named() {
    let other = |bytes: Vec<u8>| {
        let text = String::from_utf8(bytes).unwrap();
        let at = text.find("aria-label=\"spec ").unwrap() + "aria-label=\"spec ".len();
        format!("{}000000000000{}", &text[..at], &text[at + 12..]).into_bytes()
    };
    found(heron(), ERROR, "hash of the spec", other);
}

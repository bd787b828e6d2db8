//! Rubbish in: whatever is done to a good spec, the answer is clean or the errors are, and nothing panics.

use std::collections::BTreeMap;

use proptest::prelude::*;
use yokeline::audit;
use yokeline::cli::diagnose;
use yokeline::diagnostic::Severity;
use yokeline::export::ExportError;
use yokeline::pipeline::{self, MakeError, Solved};
use yokeline::spec;

/// The roadster's spec, as the examples have it.
const HERON: &str = include_str!("../examples/heron-roadster/linkage.toml");

/// The bench bar's, from a mock-up alone.
const MOCK_UP: &str = include_str!("../examples/bench-mockup/linkage.toml");

/// The file as diagnostics name it.
const NAME: &str = "linkage.toml";

/// Read, solved and judged: every diagnostic has a place in the file, one thing to do, and renders; every judgement
/// says something.
fn sound(text: &str) -> Option<Solved> {
    let result = pipeline::solve(NAME, text.as_bytes(), &mut |_| ());
    match pipeline::measuring_sheet(NAME, text.as_bytes()) {
        Ok(pdf) => assert!(pdf.starts_with(b"%PDF")),
        Err(MakeError::Spec(errors)) => {
            assert!(errors.iter().all(|error| error.place.is_some() && error.help.is_some()));
        }
        Err(MakeError::Files(errors)) => assert!(errors.iter().all(|error| error.message.contains("; allowed are "))),
    }
    let diagnostics = match &result {
        Ok(solved) => {
            for value in &solved.spec.unmeasured {
                assert!(solved.spec.place(&value.key).is_some());
            }
            assert!(!solved.findings.is_empty());
            for finding in &solved.findings {
                assert!(!finding.message.is_empty() && !finding.message.contains("NaN"), "{finding:?}:\n{text}");
            }
            &solved.warnings
        }
        Err(errors) => {
            assert!(errors.iter().any(|error| error.severity == Severity::Error));
            errors
        }
    };
    assert!(diagnostics.iter().all(|found| found.code != "not-read"), "an error was swallowed:\n{text}");
    for diagnostic in diagnostics {
        let Some(place) = &diagnostic.place else { panic!("no place: {diagnostic:?}:\n{text}") };
        assert!(place.span.start <= place.span.end && place.span.end <= text.len(), "{diagnostic:?}");
        assert!(text.is_char_boundary(place.span.start) && text.is_char_boundary(place.span.end), "{diagnostic:?}");
        assert!(diagnostic.help.is_some(), "{diagnostic:?}");
        assert!(!diagnostic.message.contains(['\n', '\u{7}']), "{diagnostic:?}");
    }
    let shown = diagnose::render(diagnostics, &|_| Some(text), false);
    assert_eq!(shown.is_empty(), diagnostics.is_empty());
    result.ok()
}

/// The same, then made and audited: a package that is made proves true, and one that cannot be says why.
fn sound_to_the_end(text: &str) {
    let Some(solved) = sound(text) else { return };
    match pipeline::make(text.as_bytes(), &solved, &mut |_| ()) {
        Ok(artifacts) => {
            let package: BTreeMap<_, _> = artifacts.into_iter().map(|file| (file.path, file.bytes)).collect();
            let proof = audit::audit(&package);
            let off: Vec<_> = proof.lines.iter().filter(|line| !line.good).take(3).collect();
            assert!(proof.good(), "{off:?}:\n{text}");
        }
        Err(MakeError::Spec(errors)) => {
            assert!(errors.iter().all(|error| error.place.is_some() && error.help.is_some()), "{errors:?}");
        }
        // A sheet may come out larger than any printer's; its file is named, with what is allowed.
        Err(MakeError::Files(errors)) => {
            let clean = |error: &ExportError| !error.path.is_empty() && error.message.contains("; allowed are ");
            assert!(errors.iter().all(clean), "{errors:?}:\n{text}");
        }
    }
}

/// Values that fit somewhere, put where they do not.
const VALUES: &[&str] = &[
    "0",
    "-1",
    "1e300",
    "nan",
    "inf",
    "\"\"",
    "\"x\"",
    "\"12 3/8 in\"",
    "\"top right\"",
    "[]",
    "[1]",
    "[1, 2]",
    "[1, 2, 3]",
    "[[1, 2], [3, 4]]",
    "[[1, 2, 3], [1, 2, 3]]",
    "{}",
    "{ dd = {} }",
    "{ tube = { path = [] } }",
    "true",
    "2026-03-14",
    "9223372036854775808",
    "0x10",
    "\"1e400 in\"",
    "\"column\"",
    "\"upper\"",
    "'\u{202e}'",
    "[[]]",
    "[{}]",
    "\"single-3/4\"",
];

/// One in so many mutations is made and audited too: a package takes twenty times as long as its solution.
const SAMPLE: usize = 25;

#[test]
fn any_line_may_be_lost_or_stand_twice() {
    for lines in [HERON, MOCK_UP].map(|text| text.lines().collect::<Vec<&str>>()) {
        for i in 0..lines.len() {
            let mut less = lines.clone();
            less.remove(i);
            let less = less.join("\n");
            if i % SAMPLE == 0 {
                sound_to_the_end(&less);
            } else {
                drop(sound(&less));
            }
            let mut more = lines.clone();
            more.insert(i, lines[i]);
            sound(&more.join("\n"));
        }
    }
}

#[test]
fn any_value_may_stand_at_any_key() {
    for lines in [HERON, MOCK_UP].map(|text| text.lines().collect::<Vec<&str>>()) {
        for (i, line) in lines.iter().enumerate() {
            let Some((key, _)) = line.split_once(" = ") else { continue };
            for (k, value) in VALUES.iter().enumerate() {
                let mut other = lines.clone();
                let line = format!("{key} = {value}");
                other[i] = &line;
                let other = other.join("\n");
                if (i + k) % SAMPLE == 0 { sound_to_the_end(&other) } else { drop(sound(&other)) }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_makes_it_panic(text in any::<String>()) {
        let _ = pipeline::solve(NAME, text.as_bytes(), &mut |_| ());
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = pipeline::solve(NAME, &bytes, &mut |_| ());
    }

    #[test]
    fn a_changed_byte_is_survived(at in 0..HERON.len(), byte in 0u8..128, length in 0usize..3) {
        let mut bytes = HERON.as_bytes().to_vec();
        let end = (at + length).min(bytes.len());
        bytes.splice(at..end, [byte]);
        sound(&String::from_utf8(bytes).unwrap());
    }

    #[test]
    fn inline_values_may_be_swapped(a in 0usize..200, b in 0usize..200) {
        let values: Vec<_> = HERON.match_indices('"').map(|(i, _)| i).collect();
        let pick = |n: usize| {
            let k = n % (values.len() / 2) * 2;
            values[k]..values[k + 1] + 1
        };
        let (a, b) = (pick(a), pick(b));
        let (a, b) = if a.start <= b.start { (a, b) } else { (b, a) };
        prop_assume!(a.end <= b.start);
        let text = format!(
            "{}{}{}{}{}",
            &HERON[..a.start], &HERON[b.clone()], &HERON[a.end..b.start], &HERON[a], &HERON[b.end..]
        );
        sound(&text);
    }

    /// A number another than it was, near or far.
    #[test]
    fn a_number_may_be_another(which in 0usize..400, by in prop_oneof![-3.0f64..3.0, Just(0.0), Just(-1.0), Just(1e3)]) {
        sound(&with_number(which, by));
    }

    #[test]
    fn two_changes_may_meet(which in 0usize..400, by in 0.2f64..2.0, line in 0usize..160) {
        let text = with_number(which, by);
        let lines: Vec<&str> = text.lines().collect();
        let kept: Vec<&str> = lines.iter().enumerate().filter(|(i, _)| *i != line).map(|(_, l)| *l).collect();
        sound(&kept.join("\n"));
    }
}

proptest! {
    // Making and auditing takes ten times as long as solving.
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_made_of_another_number_proves_true(
        which in 0usize..400,
        by in prop_oneof![-3.0f64..3.0, Just(0.0), Just(-1.0), Just(1e3)],
    ) {
        sound_to_the_end(&with_number(which, by));
    }
}

/// The roadster with one of its plain decimal numbers times a factor.
fn with_number(which: usize, by: f64) -> String {
    let digit = |c: char| c.is_ascii_digit() || c == '.';
    let mut spans = Vec::new();
    let mut at = 0;
    while let Some(start) = HERON[at..].find(digit).map(|i| at + i) {
        let end = HERON[start..].find(|c| !digit(c)).map_or(HERON.len(), |i| start + i);
        if HERON[start..end].contains('.') && HERON[start..end].parse::<f64>().is_ok() {
            spans.push(start..end);
        }
        at = end;
    }
    let span = spans[which % spans.len()].clone();
    let number: f64 = HERON[span.clone()].parse().unwrap();
    format!("{}{:.3}{}", &HERON[..span.start], number * by, &HERON[span.end..])
}

/// A bracket for every byte that is read, of each kind: refused at its depth, not followed down.
#[test]
fn deep_nesting_is_refused() {
    let depth = 300_000;
    for text in [
        format!("format = 1\nx = {}", "[".repeat(depth)),
        format!("format = 1\nx = {}{}", "[".repeat(depth), "]".repeat(depth)),
        format!("format = 1\nx = {}", "{a=".repeat(depth)),
        format!("[a{}]", ".a".repeat(depth)),
        format!("[[a{}]]", ".a".repeat(depth)),
        format!("a{} = 1", ".a".repeat(depth)),
    ] {
        let errors = spec::read_bytes(NAME, text.as_bytes(), &[]).unwrap_err();
        assert_eq!(errors.len(), 1, "{}", &text[..20]);
        assert!(errors[0].message.contains("deeper than is read"), "{errors:?}");
        assert!(errors[0].place.is_some() && errors[0].help.is_some());
    }
}

/// Two megabytes: of good TOML, and of no text at all. Refused by its size alone.
#[test]
fn two_megabytes_are_refused() {
    let good = format!("{HERON}{}", "# a remark that goes on and on\n".repeat(70_000));
    assert!(good.len() > 2_000_000);
    for bytes in [good.into_bytes(), vec![0xff; 2_000_000]] {
        let errors = pipeline::solve(NAME, &bytes, &mut |_| ()).unwrap_err();
        assert_eq!(errors.len(), 1);
        assert_eq!(errors[0].code, "too-large");
        assert!(errors[0].place.is_some() && errors[0].help.is_some());
    }
}

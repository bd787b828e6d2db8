//! The build record: everything it must say, in print and on the page.
//!
//! Both are read by readers of another make than wrote them; letters alone are compared, since print breaks lines.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use yokeline::audit::pdf;
use yokeline::pipeline;

use crate::common::HERON;

type Package = BTreeMap<String, Vec<u8>>;

/// The roadster, made once.
fn heron() -> &'static Package {
    static MADE: OnceLock<Package> = OnceLock::new();
    MADE.get_or_init(|| {
        let solved = pipeline::solve("linkage.toml", HERON.as_bytes(), &mut |_| ()).unwrap();
        let artifacts = pipeline::make(HERON.as_bytes(), &solved, &mut |_| ()).unwrap();
        artifacts.into_iter().map(|artifact| (artifact.path, artifact.bytes)).collect()
    })
}

fn letters(text: &str) -> String {
    text.chars().filter(char::is_ascii_alphanumeric).collect()
}

/// All words of the printed record, and all of the page with its labels and fields.
fn both() -> [String; 2] {
    let pages = pdf::read(&heron()["record/build-record.pdf"]).unwrap().pages;
    let print: String = pages.iter().flat_map(|page| &page.texts).map(|text| letters(text)).collect();
    let html = std::str::from_utf8(&heron()["record/build-record.html"]).unwrap();
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let page = roxmltree::Document::parse_with_options(html, options).unwrap();
    let text = page.descendants().filter(roxmltree::Node::is_text).filter_map(|node| node.text());
    [print, text.map(letters).collect()]
}

/// What the record must hold, each by words that stand for it.
const NOUNS: [(&str, &[&str]); 22] = [
    ("vehicle identity", &["Heron two-seat roadster, frame 3", "HR-017", "Bench 4 chassis shop"]),
    ("revision", &["revision"]),
    ("layout", &["From the left", "From the rear", "layout of the linkage", "G1 the gap"]),
    ("joints in both units", &["1.082 in", "27.47 mm", "16.3°"]),
    ("shafts in both units", &["19.097 in", "485.07 mm", "19.250 in", "488.95 mm"]),
    ("motion", &["gear less column, degrees", "speed ratio, gear to column", "torque"]),
    ("clearances", &["intermediate left rail 0.500 in 12.7 mm"]),
    ("notch and section", &["Rails and notches", "section modulus, upright bending", "Rail along left rail notch"]),
    ("holes", &["mount 1", "seal plate 4", "wrench"]),
    ("strength", &["Strength", "margin to yield"]),
    ("verdicts in words", &["within limit", "near limit"]),
    ("what is not judged", &["Not judged: something is not known", "joint-torque not judged"]),
    ("sources of limits", &["Where the limits are from", "von Mises"]),
    ("provenance", &["measured: coordinates in the spec", "assumed: stated in the spec", "catalogue", "tape read to"]),
    ("uncertainty", &["how sure", "not known; tape read to", "assumed until a certificate says so"]),
    ("order list", &["Order list", "set screw"]),
    (
        "certificates and marks",
        &[
            "heat and certificate number",
            "pinch bolt's grade, torque used",
            "procedure, welder, certificate",
            "marking on it, batch",
        ],
    ),
    ("photographs", &["whole linkage from the left", "before and after welding"]),
    ("the test", &["from lock to lock and back, three times", "full droop, lock to lock", "full bump, lock to lock"]),
    ("signatures", &["builder", "checker", "certifier", "signature"]),
    ("cautions", &["A steering failure kills", "No road test before inspection"]),
    ("files with hashes", &["solids/assembly.step", "every part in its place"]),
];

#[test]
fn print_and_page_hold_everything_a_record_must() {
    let mut missing = Vec::new();
    for (reader, text) in ["print", "page"].into_iter().zip(both()) {
        for (noun, wanted) in NOUNS {
            let lacking = wanted.iter().filter(|words| !text.contains(&letters(words)));
            missing.extend(lacking.map(|words| format!("{reader}, {noun}: {words}")));
        }
        let hash = yokeline::digest::sha256(HERON.as_bytes());
        if !text.contains(&hash) {
            missing.push(format!("{reader}: hash of the spec"));
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
}

/// Every rule that judged stands with its value, limit and verdict, and once with its source.
#[test]
fn every_rule_stands_there_with_value_limit_source_and_verdict() {
    let results: serde_json::Value = serde_json::from_slice(&heron()["results.json"]).unwrap();
    let checks = results["checks"].as_array().unwrap();
    assert!(checks.len() > 80);
    let words = |check: &serde_json::Value| match check["status"].as_str() {
        Some("pass") => "within limit",
        Some("warn") => "near limit",
        Some("open") => "not judged",
        _ => "beyond limit",
    };
    for (reader, text) in ["print", "page"].into_iter().zip(both()) {
        for check in checks {
            let of = |key: &str| check[key].as_str().unwrap();
            for said in [format!("{} {}", of("rule"), words(check)), of("message").to_owned(), of("source").to_owned()]
            {
                assert!(text.contains(&letters(&said)), "{reader}: {said}");
            }
        }
    }
}

/// The order of the work: each thing before the next, as a careful shop does it.
#[test]
fn the_job_is_in_its_order() {
    const STEPS: [&str; 15] = [
        "Hang both ends loosely",
        "Set each shaft end flush",
        "Measure between the hubs again",
        "Saw the shaft",
        "face both ends square",
        "drill the dimple",
        "Put thread-locking compound on every set screw",
        "tighten the set screw",
        "then the new lock nut while the screw is held",
        "Put each pinch bolt through its groove",
        "Mark every screw, bolt and nut",
        "Check full lock both ways and full travel",
        "with a rag-free hand clear",
        "Have it inspected",
        "After the first drive",
    ];
    for (reader, text) in ["print", "page"].into_iter().zip(both()) {
        let job = text.find(&letters("Do them in this order and tick each")).unwrap();
        let mut from = job;
        for step in STEPS {
            let at = text[from..].find(&letters(step));
            assert!(at.is_some(), "{reader}: `{step}` is missing or too early");
            from += at.unwrap();
        }
    }
}

/// Boxes to tick, blanks, and room to sign are there to be used.
#[test]
fn the_page_has_boxes_and_blanks() {
    let html = std::str::from_utf8(&heron()["record/build-record.html"]).unwrap();
    for (what, least) in [
        ("type=\"checkbox\"", 20),
        ("initials and date of step", 20),
        ("initials and date of line", 12),
        ("<figure class=\"picture\"", 4),
        ("<figure class=\"plot\"", 4),
        ("aria-label=\"certifier, signature\"", 1),
        ("@media print", 1),
        ("width=device-width", 1),
    ] {
        assert!(html.matches(what).count() >= least, "{what}");
    }
}

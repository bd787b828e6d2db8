//! Damage to the record's web page, and to what it stands beside.

use yokeline::audit;

use super::{PAGE, Package, banded, clean, found, heron, made, named, off, seal, swapped};
use crate::common::HERON;

/// Replaces words that stand in the page, the first of them.
pub(super) fn put(old: &str, new: &str) -> impl FnOnce(Vec<u8>) -> Vec<u8> + use<> {
    let (old, new) = (old.to_owned(), new.to_owned());
    move |bytes| {
        let text = String::from_utf8(bytes).unwrap();
        assert!(text.contains(&old), "`{old}` is not on the page");
        text.replacen(&old, &new, 1).into_bytes()
    }
}

/// The number of a figure, and its words, as they stand on the page.
pub(super) fn figure(package: &Package, pointer: &str) -> (String, String) {
    let text = std::str::from_utf8(&package[PAGE]).unwrap();
    let rest = text.split_once(&format!("data-pointer=\"{pointer}\"")).unwrap().1;
    let (value, rest) = rest.split_once("value=\"").unwrap().1.split_once('"').unwrap();
    (value.to_owned(), rest.split_once('>').unwrap().1.split_once('<').unwrap().0.to_owned())
}

#[test]
fn a_figure_off_in_its_last_digit_is_named() {
    let pointer = "/shafts/0/cut_length";
    let (value, words) = figure(&heron(), pointer);
    let next = value.parse::<f64>().unwrap().next_up().to_string();
    found(heron(), PAGE, pointer, put(&format!("value=\"{value}\""), &format!("value=\"{next}\"")));
    found(heron(), PAGE, pointer, put(&format!("value=\"{value}\""), "value=\"nan\""));
    // 18.976 in read as 18.967 in costs a shaft.
    let other = words.replacen('.', ".0", 1);
    found(heron(), PAGE, &format!("{pointer}, in words"), put(&format!(">{words}<"), &format!(">{other}<")));
}

#[test]
fn a_figure_taken_out_or_put_in_is_named() {
    let gone = "data-pointer=\"/joints/0/angle\"";
    found(heron(), PAGE, "/joints/0/angle", put(gone, "data-pointer=\"/joints/0/limit\""));
    found(heron(), PAGE, "none of the solution", put(gone, "data-pointer=\"/joints/9/angle\""));
}

#[test]
fn a_judgement_turned_round_or_taken_out_is_named() {
    found(heron(), PAGE, "rule yoke-phase", put("yoke-phase<br/>near limit", "yoke-phase<br/>within limit"));
    found(heron(), PAGE, "rule unevenness", put("speed ratio swings by 16", "speed ratio swings by 6"));
    found(heron(), PAGE, "rule collapse", put("collapse<br/>not judged", "collapse<br/>within limit"));
    let row = |bytes: Vec<u8>| {
        let text = String::from_utf8(bytes).unwrap();
        let at = text.find("left-right<br/>").unwrap();
        let (start, end) = (text[..at].rfind("<tr>").unwrap(), at + text[at..].find("</tr>").unwrap() + 5);
        format!("{}{}", &text[..start], &text[end..]).into_bytes()
    };
    found(heron(), PAGE, "rule left-right", row);
}

#[test]
fn the_band_is_there_where_a_rule_fails_and_only_there() {
    found(banded(), PAGE, "band", put("class=\"band\"", "class=\"plain\""));
    found(banded(), PAGE, "band", put("DO NOT CUT: 1 check fails", "DO NOT CUT: 0 checks fail"));
    let more = "<body><aside class=\"band\"><p>DO NOT CUT: 1 check fails</p></aside>";
    found(heron(), PAGE, "band", put("<body>", more));
}

#[test]
fn identity_changed_is_named() {
    found(heron(), PAGE, "title", put("<h1>Heron", "<h1>Haron"));
    found(heron(), PAGE, "record", put("<dd>HR-017", "<dd>HR-071"));
    found(heron(), PAGE, "revision", put("<dd>A</dd>", "<dd>B</dd>"));
    found(heron(), PAGE, "vehicle", put("<dd>Heron two-seat", "<dd>Heron three-seat"));
    found(
        heron(),
        PAGE,
        "hash of the spec",
        put("name=\"spec-sha256\" content=\"", "name=\"spec-sha256\" content=\"0"),
    );
}

#[test]
fn anything_that_runs_or_fetches_is_named() {
    for strange in [
        "<script>alert(1)</script>",
        "<p onclick=\"x\">y</p>",
        "<a href=\"https://example.org\">y</a>",
        "<img src=\"x.png\" alt=\"\"/>",
        "<p style=\"color: red\">y</p>",
        "<style>p { background: url(x.png) }</style>",
        "<iframe srcdoc=\"x\"></iframe>",
        "<form action=\"x\"></form>",
    ] {
        found(heron(), PAGE, "outside resources", put("<main>", &format!("<main>{strange}")));
    }
}

#[test]
fn the_list_of_files_is_measured() {
    let package = heron();
    let hash = yokeline::digest::sha256(&package["results.json"]);
    let other = hash.replacen(&hash[..1], if hash.starts_with('0') { "1" } else { "0" }, 1);
    found(heron(), PAGE, "SHA-256 of results.json", put(&hash, &other));
    let bytes = package["results.json"].len();
    let (cell, other) = (format!("\"bytes\">{bytes}<"), format!("\"bytes\">{}<", bytes + 1));
    found(heron(), PAGE, "bytes of results.json", put(&cell, &other));
    found(heron(), PAGE, "row of results.json", put(">results.json<", ">results.js<"));
    found(heron(), PAGE, "what results.json is", put(">everything solved", ">something solved"));
}

#[test]
fn a_picture_that_draws_something_else_is_named() {
    let line = |file: &'static str| {
        move |bytes: Vec<u8>| {
            let text = String::from_utf8(bytes).unwrap();
            let at = text.find(&format!("data-file=\"{file}\"")).unwrap();
            let start = at + text[at..].find(" d=\"M").unwrap() + 5;
            let (before, after) = text.split_at(start + 1);
            format!("{before}7{after}").into_bytes()
        }
    };
    found(heron(), PAGE, "drawings/layout.svg", line("drawings/layout.svg"));
    found(heron(), PAGE, "drawings/shaft-intermediate.svg", line("drawings/shaft-intermediate.svg"));
    found(
        heron(),
        PAGE,
        "picture of cut/plate-firewall.svg",
        put("data-file=\"cut/plate-firewall.svg\"", "lang=\"en\""),
    );
    // A drawing changed under its picture is seen from the page too.
    let mut package = heron();
    let file = "drawings/layout.svg";
    let spoiled = swapped(package[file].clone(), "aria-label=\"From above\"", "aria-label=\"From below\"");
    package.insert(file.to_owned(), spoiled);
    seal(&mut package);
    let report = audit::audit(&package);
    assert!(off(&report).iter().any(|line| line.file == PAGE && line.what.contains("picture of drawings/layout.svg")));
}

/// A figure of a table, a step, a blank, a paragraph: none can differ from the record's paper.
#[test]
fn what_the_paper_does_not_say_is_named() {
    let what = "row as on the record's paper";
    found(heron(), PAGE, what, put("No road test before inspection.", "Road test before inspection."));
    found(heron(), PAGE, what, put("Clean every thread, screw and dimple", "Clean every thread and dimple"));
    found(heron(), PAGE, what, put(">turns from lock to lock<", ">turns<"));
    found(heron(), PAGE, what, put("tighten the set screw 5/16-18 to 18.6", "tighten the set screw 5/16-18 to 16.8"));
}

/// Bytes of another spec's record in place of the paper: its words are named, and the page's rows find no match.
#[test]
fn a_record_of_another_revision_is_named() {
    let mut package = heron();
    let other = made(&HERON.replace("wheel_torque = \"60 N m\"", "wheel_torque = \"61 N m\""));
    let file = "record/build-record.pdf";
    package.insert(file.to_owned(), other[file].clone());
    seal(&mut package);
    named(&package, &[file, PAGE], "rows that differ from the record's paper");
}

#[test]
fn markup_that_is_broken_is_named() {
    for (old, new) in [("</main>", ""), ("<main>", "<main"), ("&quot;", "&nothing;")] {
        found(heron(), PAGE, "web page", put(old, new));
    }
}

/// Whatever the user wrote stands there as text: markup, brackets, other scripts, no end of letters.
#[test]
fn nothing_the_user_wrote_is_markup() {
    let nasty = [
        "<script>alert(1)</script>",
        "\\\")\\\" onload='x' --> ]]> &amp; {{7*7}}",
        "עברית (123) العربية ) <b>",
        &"w".repeat(1000),
        &"many words ".repeat(90),
    ];
    for text in nasty {
        let text = if text.len() > 1000 { &text[..1000] } else { text };
        let spec = HERON
            .replace("title     = \"Heron roadster: steering linkage\"", &format!("title = \"{text}\""))
            .replace("\"Heron two-seat roadster, frame 3\"", &format!("\"{text}\""))
            .replace("drawn_by  = \"Bench 4\"", &format!("drawn_by = \"{text}\""));
        let package = made(&spec);
        clean(&package);
        let page = String::from_utf8(package[PAGE].clone()).unwrap();
        assert!(!page.contains("<script") && !page.contains("<b>"), "{text}");
        let document = roxmltree::Document::parse_with_options(
            &page,
            roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() },
        )
        .unwrap();
        let head =
            document.descendants().find(|node| node.has_tag_name(("http://www.w3.org/1999/xhtml", "h1"))).unwrap();
        let wanted = text.replace("\\\"", "\"");
        assert_eq!(head.text().unwrap().trim(), wanted.trim());
    }
}

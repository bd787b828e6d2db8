//! The record's web page against the solution, the other files, and the same record on paper.
//!
//! It is read as XML by another library than wrote it. Figures are compared exactly by their place in `results.json`;
//! every row, step and blank must stand on the record's paper too, in that order, so that neither can be changed
//! alone; pictures must draw what the files draw that they are taken from.

use std::collections::BTreeMap;

use roxmltree::{Document, Node, ParsingOptions};
use serde_json::Value;

use super::package::Plan;
use super::pdf::PdfPage;
use super::{AuditReport, paper, svg};
use crate::digest::sha256;
use crate::quantity;
use crate::solve::files::{FileKind, PackageFile};

/// Longest cell (characters) that is looked for on paper: a longer one may be broken over pages.
const WHOLE: usize = 1200;

/// At most this many rows are named: one wrong page can be a hundred wrong rows.
const NAMED: usize = 12;

/// Elements that fetch or run something.
const ACTIVE: [&str; 12] =
    ["script", "iframe", "object", "embed", "link", "base", "img", "form", "audio", "video", "image", "foreignObject"];

/// Everything else of the package that the page is compared with.
pub(super) struct Beside<'a> {
    /// The bytes of every file.
    pub(super) files: &'a BTreeMap<String, Vec<u8>>,
    /// The files there must be.
    pub(super) expected: &'a [PackageFile],
    /// Pages of the record on paper, where they could be read.
    pub(super) paper: Option<&'a [PdfPage]>,
}

/// Measures the page.
pub(super) fn check(file: &str, bytes: &[u8], plan: &Plan, beside: &Beside<'_>, report: &mut AuditReport) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        report.wrong(file, "web page", "UTF-8 text", "other bytes");
        return;
    };
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let document = match Document::parse_with_options(text, options) {
        Ok(document) => document,
        Err(error) => {
            report.wrong(file, "web page", "well-formed markup", format!("unreadable: {error}"));
            return;
        }
    };
    let root = document.root_element();
    report.equal(file, "root element", "html", root.tag_name().name());
    alone(file, root, report);
    head(file, root, plan, report);
    figures(file, root, plan, report);
    let rows = rows(root);
    judgements(file, &rows, plan, report);
    files(file, root, beside, report);
    for expected in beside.expected {
        let exact = match expected.kind {
            FileKind::LayoutPicture | FileKind::ShaftPicture(..) => true,
            FileKind::NotchCut(_) | FileKind::PlateCut(_) => false,
            _ => continue,
        };
        picture(file, root, (&expected.path, exact), beside, report);
    }
    if let Some(pages) = beside.paper {
        on_paper(file, root, pages, report);
        plots(file, root, pages, report);
    }
}

/// Nothing is fetched and nothing runs.
fn alone(file: &str, root: Node<'_, '_>, report: &mut AuditReport) {
    let mut found = Vec::new();
    for node in root.descendants().filter(Node::is_element) {
        let name = node.tag_name().name();
        if ACTIVE.contains(&name) {
            found.push(format!("<{name}>"));
        }
        for attribute in node.attributes() {
            let (key, value) = (attribute.name(), attribute.value());
            let runs = key.starts_with("on") || key == "style";
            let fetches = matches!(key, "src" | "href" | "action" | "srcset" | "data") && !value.starts_with('#');
            if runs || fetches {
                found.push(format!("{key} of <{name}>"));
            }
        }
        let style = if name == "style" { node.text().unwrap_or_default() } else { "" };
        if style.contains("url(") || style.contains("@import") {
            found.push("a resource named by the style sheet".to_owned());
        }
    }
    let found = if found.is_empty() { "none".to_owned() } else { found.join(", ") };
    report.equal(file, "outside resources and programs", "none", found);
}

fn head(file: &str, root: Node<'_, '_>, plan: &Plan, report: &mut AuditReport) {
    let build = &plan.spec.build;
    let meta = elements(root, "meta").find(|meta| meta.attribute("name") == Some("spec-sha256"));
    let hash = meta.and_then(|meta| meta.attribute("content")).unwrap_or("none");
    report.equal(file, "hash of the spec", plan.spec.sha256.as_str(), hash);
    let title = elements(root, "h1").next().map_or_else(|| "none".to_owned(), words);
    report.equal(file, "title", normal(&build.title), title);
    for (name, wanted) in
        [("vehicle", &build.vehicle), ("record", &build.record), ("revision", &build.revision), ("date", &build.date)]
    {
        let term = elements(root, "dt").find(|term| words(*term) == name);
        let found = term.and_then(|term| term.next_sibling_element()).map_or_else(|| "none".to_owned(), words);
        let wanted = if wanted.is_empty() { "not stated".to_owned() } else { normal(wanted) };
        report.equal(file, name, wanted, found);
    }
    let band = root.descendants().find(|node| node.attribute("class") == Some("band"));
    let wanted = match plan.failed() {
        0 => "none".to_owned(),
        1 => "DO NOT CUT: 1 check fails".to_owned(),
        n => format!("DO NOT CUT: {n} checks fail"),
    };
    report.equal(file, "band", wanted, band.map_or_else(|| "none".to_owned(), words));
}

/// Every figure at a glance: its number exact, its words those of the number.
fn figures(file: &str, root: Node<'_, '_>, plan: &Plan, report: &mut AuditReport) {
    let Ok(solved) = serde_json::to_value(&plan.solution) else { return };
    let shown: BTreeMap<&str, Node<'_, '_>> =
        elements(root, "data").filter_map(|node| Some((node.attribute("data-pointer")?, node))).collect();
    for pointer in pointers(plan) {
        let Some(node) = shown.get(pointer.as_str()) else {
            report.wrong(file, pointer, "shown", "missing");
            continue;
        };
        let Some(expected) = solved.pointer(&pointer).and_then(Value::as_f64) else { continue };
        let found = node.attribute("value").and_then(|value| value.parse::<f64>().ok()).unwrap_or(f64::NAN);
        let unit = node.attribute("data-unit").unwrap_or_default();
        if found.is_finite() {
            report.number(file, &pointer, expected, found, 0.0, unit);
        } else {
            report.wrong(file, &pointer, expected.to_string(), "no number");
        }
        let wanted = match unit {
            "mm" => quantity::both_units(expected, plan.spec.build.units),
            _ => quantity::degrees(expected, 2),
        };
        report.equal(file, format!("{pointer}, in words"), wanted, words(*node));
    }
    let strange = shown.keys().filter(|pointer| solved.pointer(pointer).is_none()).count();
    report.number(file, "figures that are none of the solution", 0.0, strange as f64, 0.0, "");
}

/// Places in `results.json` of the figures that must be at a glance.
fn pointers(plan: &Plan) -> Vec<String> {
    let solution = &plan.solution;
    let mut all = vec!["/motion/error".to_owned()];
    for (i, shaft) in solution.shafts.iter().enumerate() {
        all.push(format!("/shafts/{i}/cut_length"));
        all.push(format!("/shafts/{i}/twist/off_max"));
        all.extend((0..shaft.dimples.len()).map(|n| format!("/shafts/{i}/dimples/{n}/station")));
        all.extend((0..shaft.members.len()).map(|m| format!("/shafts/{i}/members/{m}/cut_length")));
        if shaft.members.is_empty() {
            all.push(format!("/shafts/{i}/cut_long"));
        }
    }
    for i in 0..solution.joints.len() {
        let keys = ["angle", "upper_engagement", "lower_engagement", "end_clearance"];
        all.extend(keys.map(|key| format!("/joints/{i}/{key}")));
    }
    all.extend((0..solution.clearances.len()).map(|i| format!("/clearances/{i}/gap")));
    all
}

/// Cells of every table row.
fn rows(root: Node<'_, '_>) -> Vec<Vec<String>> {
    elements(root, "tr").map(|row| elements(row, "td").map(words).collect()).collect()
}

/// Every judgement stands there with its verdict, and no other.
fn judgements(file: &str, rows: &[Vec<String>], plan: &Plan, report: &mut AuditReport) {
    let mut judged: Vec<&[String]> =
        rows.iter().filter(|row| row.len() == 5).map(Vec::as_slice).filter(|row| is_judgement(row, plan)).collect();
    for finding in &plan.findings {
        let wanted = [
            format!("{} {}", finding.rule, finding.status.words()),
            normal(&finding.subject),
            normal(&finding.message),
        ];
        let at = judged.iter().position(|row| row[0] == wanted[0] && row[1] == wanted[1] && row[4] == wanted[2]);
        let what = format!("rule {} on {}", finding.rule, finding.subject);
        if let Some(at) = at {
            judged.remove(at);
            report.equal(file, what, finding.status.words(), finding.status.words());
        } else {
            let near = judged.iter().find(|row| row[1] == wanted[1] && row[0].starts_with(&finding.rule));
            let found = near.map_or_else(|| "missing".to_owned(), |row| format!("{}: {}", row[0], row[4]));
            report.wrong(file, what, format!("{}: {}", finding.status.words(), finding.message), found);
        }
    }
    report.number(file, "judgements that are none of the rules'", 0.0, judged.len() as f64, 0.0, "");
}

fn is_judgement(row: &[String], plan: &Plan) -> bool {
    plan.findings.iter().any(|finding| row[0].split(' ').next() == Some(finding.rule.as_str()))
}

/// The list of files with their sizes and hashes, against the files themselves.
fn files(file: &str, root: Node<'_, '_>, beside: &Beside<'_>, report: &mut AuditReport) {
    let table = elements(root, "table").find(|table| table.attribute("class") == Some("files"));
    let rows = table.map(rows).unwrap_or_default();
    let mut listed: BTreeMap<&str, &[String]> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.len() == 4) {
        if listed.insert(row[0].as_str(), row).is_some() {
            report.wrong(file, format!("rows of {}", row[0]), "one", "several");
        }
    }
    for expected in beside.expected {
        // It cannot hold its own hash, nor that of the manifest, which holds its.
        if matches!(expected.kind, FileKind::RecordPage | FileKind::Manifest) {
            continue;
        }
        let Some(row) = listed.remove(expected.path.as_str()) else {
            report.wrong(file, format!("row of {}", expected.path), "listed", "missing");
            continue;
        };
        report.equal(file, format!("what {} is", expected.path), normal(&expected.what), row[1].as_str());
        if let Some(bytes) = beside.files.get(&expected.path) {
            report.equal(file, format!("bytes of {}", expected.path), bytes.len().to_string(), row[2].as_str());
            report.equal(file, format!("SHA-256 of {}", expected.path), sha256(bytes), row[3].as_str());
        }
    }
    for path in listed.keys() {
        report.wrong(file, format!("row of {path}"), "no such file", "listed");
    }
}

/// Lines and words of a drawing, sorted.
#[derive(Default, PartialEq)]
struct Drawn {
    lines: Vec<String>,
    words: Vec<String>,
}

impl Drawn {
    /// Of a file: words are outlines that carry them as labels. Of the page: words are words.
    fn of(node: Node<'_, '_>) -> Self {
        let mut drawn = Self::default();
        for node in node.descendants() {
            match (node.tag_name().name(), node.attribute("aria-label")) {
                ("path", Some(label)) => drawn.words.push(normal(label)),
                ("path", None) => drawn.lines.extend(node.attribute("d").map(normal)),
                ("text", _) => drawn.words.push(words(node)),
                _ => {}
            }
        }
        drawn.lines.sort_unstable();
        drawn.words.sort_unstable();
        drawn
    }

    /// How many of its lines and words are not in another.
    fn lacking(&self, other: &Self) -> usize {
        let lacking = |own: &[String], other: &[String]| {
            let mut left: Vec<&String> = other.iter().collect();
            own.iter()
                .filter(|one| match left.binary_search(one) {
                    Ok(at) => {
                        left.remove(at);
                        false
                    }
                    Err(_) => true,
                })
                .count()
        };
        lacking(&self.lines, &other.lines) + lacking(&self.words, &other.words)
    }
}

/// A picture draws what its file draws; one of a file for a cutter may show more.
fn picture(file: &str, root: Node<'_, '_>, (path, exact): (&str, bool), beside: &Beside<'_>, report: &mut AuditReport) {
    let figure = elements(root, "figure").find(|figure| figure.attribute("data-file") == Some(path));
    let Some(figure) = figure else {
        report.wrong(file, format!("picture of {path}"), "shown", "missing");
        return;
    };
    let Some(text) = beside.files.get(path).and_then(|bytes| std::str::from_utf8(bytes).ok()) else { return };
    let Ok(document) = Document::parse(text) else { return };
    let (drawn, shown) = (Drawn::of(document.root_element()), Drawn::of(figure));
    let missing = drawn.lacking(&shown);
    report.number(file, format!("lines and words of {path} that its picture lacks"), 0.0, missing as f64, 0.0, "");
    if exact {
        let more = shown.lacking(&drawn);
        report.number(
            file,
            format!("lines and words in the picture of {path} that it has not"),
            0.0,
            more as f64,
            0.0,
            "",
        );
    }
}

/// Every row, paragraph, step and blank stands on the record's paper, in that order.
fn on_paper(file: &str, root: Node<'_, '_>, pages: &[PdfPage], report: &mut AuditReport) {
    let paper = solid(&paper::words(pages));
    let mut from = 0;
    let (mut compared, mut named) = (0, 0);
    for node in root.descendants() {
        let listed = node.ancestors().any(|above| above.attribute("class") == Some("files"));
        let name = node.tag_name().name();
        let class = node.parent_element().and_then(|parent| parent.attribute("class")).unwrap_or_default();
        let cells: Vec<String> = match name {
            _ if listed => continue,
            "tr" => elements(node, "td").map(words).collect(),
            "li" if matches!(class, "steps" | "photos") => vec![words(node)],
            "li" if class == "blanks" => {
                node.children().filter(|child| child.attribute("class") != Some("by")).map(words).collect()
            }
            "p" if node.attribute("class") == Some("strong") || node.attribute("class") == Some("plain") => {
                vec![words(node)]
            }
            _ => continue,
        };
        let row = solid(&cells.concat());
        if row.is_empty() || cells.iter().any(|cell| cell.len() > WHOLE) || row == solid(OWN_HASH) {
            continue;
        }
        compared += 1;
        match paper.get(from..).and_then(|rest| rest.find(&row)) {
            Some(at) => from += at + row.len(),
            None if named < NAMED => {
                named += 1;
                let shown: String = cells.join(", ").chars().take(120).collect();
                report.wrong(file, "row as on the record's paper", "the same on both", shown);
            }
            None => named += 1,
        }
    }
    report.number(file, "rows that differ from the record's paper", 0.0, named as f64, 0.0, "");
    report.equal(file, "rows compared with the record's paper", "some", if compared > 0 { "some" } else { "none" });
}

/// Pieces of a line from which it is a curve, not a scale or an arrow.
const CURVE: usize = 10;

/// Every curve of a plot is one of the record's paper, in the order they stand there.
fn plots(file: &str, root: Node<'_, '_>, pages: &[PdfPage], report: &mut AuditReport) {
    let figures = elements(root, "figure").filter(|figure| figure.attribute("class") == Some("plot"));
    for (n, figure) in figures.enumerate() {
        let paths = elements(figure, "path").filter_map(|path| path.attribute("d"));
        let Ok(drawn) = paths.map(svg::curve).collect::<Result<Vec<_>, _>>() else {
            report.wrong(file, format!("plot {}", n + 1), "curves", "unreadable");
            continue;
        };
        for (k, curve) in drawn.iter().filter(|curve| curve.segments.len() >= CURVE).enumerate() {
            let what = format!("plot {}, curve {}, farthest from the record's paper", n + 1, k + 1);
            let items = pages.iter().flat_map(|page| &page.items);
            let near = items.map(|item| curve.shape_off(item)).fold(f64::INFINITY, f64::min);
            if near.is_finite() {
                report.number(file, what, 0.0, near, paper::PDF, "mm");
            } else {
                report.wrong(file, what, "drawn there", "no such curve");
            }
        }
    }
}

/// Said by the page alone.
const OWN_HASH: &str = "This page cannot hold its own hash; manifest.json has it, and those of all others again.";

fn elements<'a, 'd: 'a>(node: Node<'a, 'd>, name: &'static str) -> impl Iterator<Item = Node<'a, 'd>> {
    node.descendants().filter(move |node| node.is_element() && node.tag_name().name() == name)
}

/// All text within, with single spaces; a line break is one.
fn words(node: Node<'_, '_>) -> String {
    let mut text = String::new();
    for below in node.descendants() {
        if below.tag_name().name() == "br" {
            text.push(' ');
        }
        if let Some(part) = below.text().filter(|_| below.is_text()) {
            text.push_str(part);
        }
    }
    normal(&text)
}

/// With single spaces, and without control characters.
fn normal(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What both kinds of letters have in common: printed ASCII, without spaces.
fn solid(text: &str) -> String {
    text.chars().filter(char::is_ascii_graphic).collect()
}

//! Kinds of damage, counted. Every one is sealed in the manifest; measuring finds it and names file and quantity, or
//! making the package anew does.
//!
//! A round spoils many files at once and is audited once: every kind must be named in its own file, and no file left as
//! it was may be. The other tests of this folder take the kinds one by one, to their smallest sizes.

use std::collections::BTreeSet;

use lopdf::Object;
use serde_json::Value;
use yokeline::audit::{self, AuditReport};
use yokeline::pipeline;

use super::figures::{line, nudged};
use super::looks;
use super::page::{figure, put};
use super::paper::{catalog, content, curve, page, page_box, pdf, redrawn, svg_line};
use super::records::value;
use super::solid::{another, records};
use super::tiles::{bound, form, placed, window};
use super::{PAGE, Package, heron, made, off, seal};
use crate::common::HERON;

/// What is done to one file.
pub(super) struct Damage {
    /// In words.
    kind: &'static str,
    /// Whose bytes it changes.
    file: &'static str,
    /// Part of the line that must name it.
    named: String,
    change: Box<dyn FnOnce(Vec<u8>) -> Vec<u8>>,
}

pub(super) fn damage(
    kind: &'static str,
    file: &'static str,
    named: &str,
    change: impl FnOnce(Vec<u8>) -> Vec<u8> + 'static,
) -> Damage {
    Damage { kind, file, named: named.to_owned(), change: Box::new(change) }
}

/// A value of the results changed.
fn result(kind: &'static str, named: &str, change: impl FnOnce(&mut Value) + 'static) -> Damage {
    damage(kind, "results.json", named, value(change))
}

pub(super) const BRACKET: &str = "cut/plate-column-bracket.svg";
pub(super) const FIREWALL: &str = "cut/plate-firewall.svg";
pub(super) const NOTCH: &str = "cut/notch-left-rail-notch.svg";
pub(super) const BRACKET_PAPER: &str = "print/plate-column-bracket.pdf";
pub(super) const FIREWALL_PAPER: &str = "print/plate-firewall.pdf";
pub(super) const NOTCH_PAPER: &str = "print/notch-left-rail-notch.pdf";
pub(super) const BOOK: &str = "print/all.pdf";
pub(super) const RECORD: &str = "record/build-record.pdf";
const SHAFT: &str = "solids/shaft-intermediate.step";

pub(super) fn text(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes).unwrap()
}

/// Figures and verdicts, and what a cutter follows.
fn numbers() -> Vec<Damage> {
    vec![
        result("a number of the results off in its last digit", "shafts[0].cut_length", |results| {
            let length = &mut results["shafts"][0]["cut_length"];
            *length = length.as_f64().unwrap().next_up().into();
        }),
        result("a verdict of the results turned round", "status", |results| {
            let row = results["checks"].as_array_mut().unwrap().iter_mut().find(|row| row["status"] == "warn").unwrap();
            row["status"] = "pass".into();
        }),
        result("a key of the results taken out", "joints[0].angle", |results| {
            results["joints"][0].as_object_mut().unwrap().remove("angle");
        }),
        result("a key put into the results", "plates[0].kerf", |results| results["plates"][0]["kerf"] = 0.2.into()),
        result("a row of the results taken out", "clearances", |results| {
            results["clearances"].as_array_mut().unwrap().pop();
        }),
        result("another title in the results", "spec.title", |results| results["spec"]["title"] = "Other".into()),
        damage(
            "a hole to drill moved",
            BRACKET,
            "hole mount 1",
            svg_line("hole.1", |line| redrawn(line, [0.0; 2], 1.0, [0.1, 0.0])),
        ),
        damage(
            "a hole to drill of another size",
            BRACKET,
            "hole mount 2, diameter",
            svg_line("hole.2", |line| redrawn(line, [0.0; 2], 1.001, [0.0; 2])),
        ),
        damage(
            "a corner of an outline moved",
            BRACKET,
            "outline",
            svg_line("outline", |line| line.replacen("L 144.7 132", "L 144.7 132.01", 1)),
        ),
        damage("a cut too many", BRACKET, "a curve without a name", |bytes| {
            text(bytes).replacen("id=\"outline\"/>", "id=\"outline\"/><path d=\"M 30 30 L 60 30\"/>", 1).into_bytes()
        }),
        damage(
            "an opening moved",
            FIREWALL,
            "opening firewall opening",
            svg_line("opening.1", |line| redrawn(line, [0.0; 2], 1.0, [0.003, 0.0])),
        ),
        damage("a hole taken out", FIREWALL, "hole seal plate 2", svg_line("hole.2", |_| String::new())),
        damage(
            "a point of a notch moved",
            NOTCH,
            "notch.shop.1",
            svg_line("notch.shop.1", |line| {
                let (head, rest) = line.split_once("L ").unwrap();
                let (x, rest) = rest.split_once(' ').unwrap();
                format!("{head}L {} {rest}", x.parse::<f64>().unwrap() - 0.05)
            }),
        ),
        damage("pages of the book taken out", BOOK, "pages bound", pdf(|document| document.delete_pages(&[11]))),
        damage(
            "the page with a notch's three views taken out",
            NOTCH_PAPER,
            "three views of the notch",
            pdf(|document| document.delete_pages(&[3])),
        ),
        damage("a solid too long", SHAFT, "cut length", another(|shaft, _, _| shaft.cut_length += 0.01)),
        damage("another length in words on a drawing", "drawings/shaft-intermediate.svg", "finished length", |bytes| {
            text(bytes).replace("485.07", "485.08").into_bytes()
        }),
        damage(
            "a curve of a picture moved",
            "record/turn-error.svg",
            "curve as set",
            line("curve.1", |line| nudged(line, 2)),
        ),
        damage("a scale of a picture that lies", "record/turn-error.svg", "scale across, number 90", |bytes| {
            text(bytes).replace("aria-label=\"90°\"", "aria-label=\"95°\"").into_bytes()
        }),
        damage(
            "a mark of a picture taken out",
            "record/phase-intermediate.svg",
            "marks",
            line("mark.1", |_| String::new()),
        ),
    ]
}

/// What is printed, and the record.
fn sheets() -> Vec<Damage> {
    let pointer = "/shafts/0/cut_length";
    let (number, words) = figure(&heron(), pointer);
    let next = number.parse::<f64>().unwrap().next_up().to_string();
    let other = words.replacen('.', ".0", 1);
    let read = format!("{pointer}, in words");
    vec![
        damage("a solid in another unit", SHAFT, "length unit", |bytes| {
            text(bytes).replacen("SI_UNIT(.MILLI., .METRE.)", "SI_UNIT(.CENTI., .METRE.)", 1).into_bytes()
        }),
        damage(
            "a printed hole moved",
            BRACKET_PAPER,
            "hole mount 2",
            content(1, |text| curve(&text, "hole.2", [0.1, 0.0])),
        ),
        damage(
            "a printed opening moved",
            BRACKET_PAPER,
            "opening",
            content(1, |text| curve(&text, "opening.1", [0.0, 0.1])),
        ),
        damage(
            "a printed outline moved",
            BRACKET_PAPER,
            "outline",
            content(1, |text| curve(&text, "outline", [0.02, 0.0])),
        ),
        damage(
            "a printed hole without its name",
            BRACKET_PAPER,
            "hole mount 1",
            content(1, |text| text.replacen("/hole.1 MP\n", "", 1)),
        ),
        damage(
            "another title of a sheet",
            "drawings/shaft-intermediate.pdf",
            "title",
            pdf(|document| {
                let id = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
                document.get_dictionary_mut(id).unwrap().set("Title", Object::string_literal("Other"));
            }),
        ),
        damage(
            "a print that may be scaled",
            "print/strips-column-bracket.pdf",
            "printing without scaling",
            pdf(|document| drop(catalog(document).remove(b"ViewerPreferences"))),
        ),
        damage(
            "a font taken out",
            "drawings/layout.pdf",
            "fonts",
            pdf(|document| {
                for object in document.objects.values_mut() {
                    if let Ok(font) = object.as_dict_mut() {
                        font.remove(b"FontFile2");
                    }
                }
            }),
        ),
        damage(
            "a tile shifted",
            FIREWALL_PAPER,
            "page 2, mark.",
            content(2, placed(|[a, b, c, d, x, y]| [a, b, c, d, x + 0.02, y])),
        ),
        damage(
            "a tile that hides part of the outline",
            FIREWALL_PAPER,
            "outline, cover",
            content(3, window(|[x, y, w, h]| [x + 70.0, y, w - 140.0, h])),
        ),
        damage(
            "a hole moved in the drawing of all tiles",
            FIREWALL_PAPER,
            "hole seal plate 2",
            pdf(|document| {
                let id = form(document);
                let stream = document.objects.get_mut(&id).unwrap().as_stream_mut().unwrap();
                stream.decompress().unwrap();
                let moved = curve(&text(stream.content.clone()), "hole.2", [0.1, 0.0]);
                stream.set_plain_content(moved.into_bytes());
            }),
        ),
        damage(
            "a page of the book shifted",
            BOOK,
            "as print/plate-firewall.pdf, page 4, mark.",
            content(bound(4), placed(|[a, b, c, d, x, y]| [a, b, c, d, x + 0.02, y])),
        ),
        damage(
            "a page scaled",
            NOTCH_PAPER,
            "page 1, ruler.x",
            content(1, |text| format!("1.002 0 0 1.002 0 0 cm\n{text}")),
        ),
        damage(
            "a view of the record moved",
            RECORD,
            "plan view, axis of intermediate, across",
            content(1, |text| {
                // The far end alone.
                let (head, tail) = text.split_once("/plan.axis.1 MP\n").unwrap();
                let (from, rest) = tail.split_once('\n').unwrap();
                let (x, rest) = rest.split_once(' ').unwrap();
                format!("{head}/plan.axis.1 MP\n{from}\n{} {rest}", x.parse::<f64>().unwrap() + 0.02)
            }),
        ),
        damage(
            "another page size",
            RECORD,
            "page 1, width",
            pdf(|document| {
                for name in ["MediaBox", "CropBox", "TrimBox"] {
                    page(document, 1).set(name, page_box(0, 613.0));
                }
            }),
        ),
        damage(
            "a figure of the page off in its last digit",
            PAGE,
            pointer,
            put(&format!("value=\"{number}\""), &format!("value=\"{next}\"")),
        ),
        damage("a figure of the page in other words", PAGE, &read, put(&format!(">{words}<"), &format!(">{other}<"))),
        damage(
            "a judgement of the page turned round",
            PAGE,
            "rule yoke-phase",
            put("yoke-phase<br/>near limit", "yoke-phase<br/>within limit"),
        ),
        damage(
            "a band on a page where nothing fails",
            PAGE,
            "band",
            put("<body>", "<body><aside class=\"band\"><p>DO NOT CUT: 1 check fails</p></aside>"),
        ),
        damage("another title of the page", PAGE, "title", put("<h1>Heron", "<h1>Haron")),
        damage("another revision on the page", PAGE, "revision", put("<dd>A</dd>", "<dd>B</dd>")),
        damage(
            "a page that runs a script",
            PAGE,
            "outside resources",
            put("<main>", "<main><script>alert(1)</script>"),
        ),
        damage(
            "another description in the list of files",
            PAGE,
            "what results.json is",
            put(">everything solved", ">something solved"),
        ),
        damage(
            "a step of the job that says the contrary",
            PAGE,
            "row as on the record's paper",
            put("No road test before inspection.", "Road test before inspection."),
        ),
        damage(
            "a picture of the page taken out",
            PAGE,
            "picture of cut/plate-firewall.svg",
            put("data-file=\"cut/plate-firewall.svg\"", "lang=\"en\""),
        ),
    ]
}

/// A record of a STEP file taken out.
fn without(name: &'static str) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    move |bytes| {
        let text = text(bytes);
        let line = records(&text, name).pop().unwrap();
        text.replacen(&format!("{line}\n"), "", 1).into_bytes()
    }
}

/// Solids, and files that are not what they were.
fn solids() -> Vec<Damage> {
    let firewall = heron()["drawings/drilling-firewall.pdf"].clone();
    vec![
        damage(
            "a dimple of the solid moved",
            SHAFT,
            "upper dimple on the flat, station",
            another(|shaft, _, _| {
                shaft.dimples[0].z += 0.1;
                shaft.dimples[0].station += 0.1;
            }),
        ),
        damage("another name of the product", SHAFT, "product name", |bytes| {
            text(bytes)
                .replacen("'HR-017 intermediate', 'intermediate'", "'HR-017 intermediate', 'other'", 1)
                .into_bytes()
        }),
        damage("a face of a plate's solid taken out", "solids/plate-column-bracket.step", "", without("ADVANCED_FACE")),
        damage("an edge of a rail's solid taken out", "solids/rail-left-rail.step", "", without("EDGE_CURVE")),
        damage("a face of a solid inside out", "solids/doubler-left-rail-notch-left.step", "", |bytes| {
            let text = text(bytes);
            let face = records(&text, "ADVANCED_FACE").remove(0);
            let turned =
                if face.ends_with(".T.);") { face.replace(".T.);", ".F.);") } else { face.replace(".F.);", ".T.);") };
            text.replacen(&face, &turned, 1).into_bytes()
        }),
        damage("a product of the assembly taken out", "solids/assembly.step", "", without("PRODUCT")),
        damage("a file cut short", "solids/plate-firewall.step", "", |bytes| bytes[..bytes.len() / 2].to_vec()),
        damage("a file emptied", "record/torque.svg", "", |_| Vec::new()),
        damage("a file of another part", "drawings/drilling-column-bracket.pdf", "", move |_| firewall),
        damage("the datum of a notch taken out", NOTCH, "datum", svg_line("datum.215.9000", |_| String::new())),
        damage("a drawing in another unit", BRACKET, "SVG", |bytes| {
            text(bytes).replacen("width=\"162.4mm\"", "width=\"162.4px\"", 1).into_bytes()
        }),
        damage("a drawing under a scale", FIREWALL, "SVG", |bytes| {
            text(bytes).replacen("<g class=\"cut\"", "<g transform=\"scale(1.002)\" class=\"cut\"", 1).into_bytes()
        }),
        damage(
            "a page out of square",
            NOTCH_PAPER,
            "squareness",
            content(1, |text| format!("1 0.001 0 1 0 0 cm\n{text}")),
        ),
        damage("a sheet that lies on its side", RECORD, "PDF", pdf(|document| page(document, 1).set("Rotate", 90))),
        damage("ink under another graphics state", BRACKET_PAPER, "PDF", content(1, |text| format!("{text}\n/x gs\n"))),
        damage("markup that is broken", PAGE, "web page", put("</main>", "")),
    ]
}

/// Spoils a package with many kinds, audits it once, and gives the kinds that were not named.
fn unseen(damages: Vec<Damage>, kinds: &mut BTreeSet<&'static str>) -> Vec<String> {
    let mut package: Package = heron();
    let mut expected = Vec::new();
    for Damage { kind, file, named, change } in damages {
        let before = package[file].clone();
        let after = change(before.clone());
        assert!(before != after, "{kind}: nothing was damaged");
        package.insert(file.to_owned(), after);
        assert!(kinds.insert(kind), "{kind}: counted twice");
        expected.push((kind, file, named));
    }
    seal(&mut package);
    let report = audit::audit(&package);
    let off = off(&report);
    // The page lists every file with its hash, and shows some.
    let touched: BTreeSet<&str> = expected.iter().map(|(_, file, _)| *file).chain([PAGE]).collect();
    let mut unseen: Vec<String> = expected
        .iter()
        .filter(|(_, file, named)| !off.iter().any(|line| line.file == *file && line.what.contains(named.as_str())))
        .map(|(kind, file, named)| {
            let said: Vec<_> = off.iter().filter(|line| line.file == *file).collect();
            format!("{kind}: `{named}` of {file} is not named, only {said:?}")
        })
        .collect();
    unseen.extend(
        off.iter().filter(|line| !touched.contains(line.file.as_str())).map(|line| format!("false alarm: {line:?}")),
    );
    unseen
}

#[test]
fn forty_kinds_of_damage_are_measured_and_named() {
    let mut kinds = BTreeSet::new();
    let mut faults = Vec::new();
    for round in [numbers(), sheets(), solids(), looks::looks()] {
        faults.extend(unseen(round, &mut kinds));
    }
    assert!(faults.is_empty(), "{faults:#?}");
    assert!(kinds.len() >= 40, "only {} kinds", kinds.len());
}

/// The roadster with its column bracket: quick to make.
fn slim() -> String {
    let rail = HERON.find("# Left rail, taped").unwrap();
    let plate = HERON.find("# Column bracket: square").unwrap();
    let firewall = HERON.find("# Firewall: an upright").unwrap();
    format!("{}{}", &HERON[..rail], &HERON[plate..firewall])
}

/// The files that making anew names.
fn rebuilt(package: &Package) -> Vec<String> {
    let mut report = AuditReport::default();
    pipeline::rebuild(package, &mut report);
    off(&report).iter().map(|line| line.file.clone()).collect()
}

/// One byte more at the end of a file, where no reader looks: making it anew sees every one of them.
#[test]
fn a_byte_more_is_found_by_making_it_anew() {
    let good = made(&slim());
    let mut package: Package = good.clone();
    for (file, bytes) in &mut package {
        if !matches!(file.as_str(), "manifest.json" | "linkage.toml") {
            bytes.push(b'\n');
        }
    }
    seal(&mut package);
    let named = rebuilt(&package);
    for file in good.keys().filter(|file| *file != "linkage.toml") {
        assert!(named.contains(file), "{file} is not named: {named:?}");
    }
}

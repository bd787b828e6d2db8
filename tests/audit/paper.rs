//! Damage to SVG and PDF sheets.

use lopdf::{Dictionary, Document, Object, ObjectId};

use super::{Package, banded, clean_but_for_bytes, found, heron, seal, swapped};

const BRACKET_SVG: &str = "cut/plate-column-bracket.svg";
const FIREWALL_SVG: &str = "cut/plate-firewall.svg";
const NOTCH_SVG: &str = "cut/notch-left-rail-notch.svg";
const BRACKET_PDF: &str = "print/plate-column-bracket.pdf";
const NOTCH_PDF: &str = "print/notch-left-rail-notch.pdf";

/// Changes the line of an SVG file with this id.
pub(super) fn svg_line(id: &str, change: impl FnOnce(&str) -> String) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    let mark = format!("id=\"{id}\"");
    move |bytes| {
        let text = String::from_utf8(bytes).unwrap();
        let line = text.lines().find(|line| line.contains(&mark)).unwrap();
        text.replacen(line, &change(line), 1).into_bytes()
    }
}

/// Every point of a path of straight lines and arcs, moved; radii and points stretched by `grow` about a centre.
pub(super) fn redrawn(line: &str, centre: [f64; 2], grow: f64, shift: [f64; 2]) -> String {
    let (head, rest) = line.split_once(" d=\"").unwrap();
    let (data, tail) = rest.split_once('"').unwrap();
    let mut words = data.split(' ');
    let mut out = Vec::new();
    while let Some(command) = words.next() {
        out.push(command.to_owned());
        if command == "A" {
            for _ in 0..2 {
                out.push((words.next().unwrap().parse::<f64>().unwrap() * grow).to_string());
            }
            out.extend((0..3).map(|_| words.next().unwrap().to_owned()));
        }
        if command != "Z" {
            for axis in 0..2 {
                let value: f64 = words.next().unwrap().parse().unwrap();
                out.push((centre[axis] + (value - centre[axis]) * grow + shift[axis]).to_string());
            }
        }
    }
    format!("{head} d=\"{}\"{tail}", out.join(" "))
}

#[test]
fn a_hole_moved_a_tenth_of_a_millimetre_is_named() {
    for id in ["hole.1", "hole.4"] {
        let moved = svg_line(id, |line| redrawn(line, [0.0; 2], 1.0, [0.1, 0.0]));
        found(heron(), BRACKET_SVG, "hole mount", moved);
    }
    found(heron(), FIREWALL_SVG, "centre up", svg_line("hole.2", |line| redrawn(line, [0.0; 2], 1.0, [0.0, -0.0025])));
}

#[test]
fn a_hole_a_twentieth_of_a_millimetre_larger_is_named() {
    // Centre of the first hole: 0.75 in from both edges, 5 mm margin, y down from a sheet of 137 mm.
    let centre = [5.0 + 19.05, 137.0 - 5.0 - 19.05];
    let larger = svg_line("hole.1", |line| redrawn(line, centre, (8.7312 + 0.05) / 8.7312, [0.0; 2]));
    found(heron(), BRACKET_SVG, "diameter", larger);
}

#[test]
fn a_corner_moved_a_hundredth_of_a_millimetre_is_named() {
    let moved = svg_line("outline", |line| line.replacen("L 144.7 132", "L 144.7 132.01", 1));
    found(heron(), BRACKET_SVG, "outline", moved);
    let moved = svg_line("outline", |line| line.replacen("L 157.4 17.7 ", "L 157.41 17.7 ", 1));
    found(heron(), BRACKET_SVG, "outline", moved);
}

#[test]
fn an_opening_off_by_little_is_named() {
    let moved = svg_line("opening.1", |line| redrawn(line, [0.0; 2], 1.0, [0.003, 0.0]));
    found(heron(), FIREWALL_SVG, "opening firewall opening", moved);
}

#[test]
fn a_drawing_scaled_by_a_fifth_of_a_percent_is_named() {
    found(heron(), BRACKET_SVG, "SVG", |bytes| swapped(bytes, "width=\"162.4mm\"", "width=\"162.7248mm\""));
    found(heron(), BRACKET_SVG, "SVG", |bytes| {
        swapped(bytes, "viewBox=\"0 0 162.4 137\"", "viewBox=\"0 0 162.7248 137.274\"")
    });
    found(heron(), BRACKET_SVG, "SVG", |bytes| swapped(bytes, "162.4mm", "162.4"));
    found(heron(), BRACKET_SVG, "SVG", |bytes| {
        swapped(bytes, "<g class=\"cut\"", "<g transform=\"scale(1.002)\" class=\"cut\"")
    });
    found(heron(), "drawings/shaft-intermediate.svg", "SVG", |bytes| {
        swapped(bytes, "height=\"279.4mm\"", "height=\"278.8mm\"")
    });
}

#[test]
fn a_hole_taken_out_is_named() {
    found(heron(), BRACKET_SVG, "hole mount", svg_line("hole.3", |_| String::new()));
    found(heron(), BRACKET_SVG, "opening column opening", svg_line("opening.1", |_| String::new()));
    found(heron(), NOTCH_SVG, "notch.shop.1", svg_line("notch.shop.1", |_| String::new()));
    found(heron(), NOTCH_SVG, "datum", svg_line("datum.215.9000", |_| String::new()));
}

#[test]
fn a_cut_too_many_is_named() {
    let more = |group: &'static str, path: &'static str| {
        move |bytes: Vec<u8>| {
            let text = String::from_utf8(bytes).unwrap();
            let at = text.find(group).unwrap();
            let at = at + text[at..].find('>').unwrap() + 1;
            format!("{}\n{path}{}", &text[..at], &text[at..]).into_bytes()
        }
    };
    let name = "a curve without a name";
    found(heron(), BRACKET_SVG, name, more("class=\"cut\"", "<path d=\"M 30 30 L 60 30\"/>"));
    found(heron(), BRACKET_SVG, name, more("class=\"drill\"", "<path d=\"M 30 30 L 60 30\"/>"));
    found(heron(), BRACKET_SVG, name, more("<desc", "x</desc><path d=\"M 30 30 L 60 30\"/><desc>"));
    found(heron(), BRACKET_SVG, "slit", more("class=\"cut\"", "<path id=\"slit\" d=\"M 30 30 L 60 30\"/>"));
    found(heron(), BRACKET_SVG, "hole.9", more("class=\"score\"", "<path id=\"hole.9\" d=\"M 30 30 L 60 30\"/>"));
    // Named like words, but stroked like a cut.
    found(heron(), BRACKET_SVG, name, more("class=\"cut\"", "<path aria-label=\"A\" d=\"M 30 30 L 60 30\"/>"));
    found(heron(), BRACKET_SVG, "SVG", more("class=\"cut\"", "<line x1=\"1\" x2=\"9\"/>"));
    found(heron(), BRACKET_SVG, "SVG", more("class=\"cut\"", "<circle r=\"3\"/>"));
}

#[test]
fn a_hole_among_the_scored_lines_is_named() {
    found(heron(), BRACKET_SVG, "hole mount", |bytes| {
        let text = String::from_utf8(bytes).unwrap();
        let hole = text.lines().find(|line| line.contains("id=\"hole.1\"")).unwrap().to_owned() + "\n";
        let datum = text.lines().find(|line| line.contains("id=\"datum\"")).unwrap().to_owned();
        text.replace(&hole, "").replace(&datum, &format!("{hole}{datum}")).into_bytes()
    });
}

#[test]
fn a_point_of_a_notch_moved_a_twentieth_of_a_millimetre_is_named() {
    let moved = svg_line("notch.shop.1", |line| {
        let (head, rest) = line.split_once("L ").unwrap();
        let (x, rest) = rest.split_once(' ').unwrap();
        format!("{head}L {} {rest}", x.parse::<f64>().unwrap() - 0.05)
    });
    found(heron(), NOTCH_SVG, "notch.shop.1", moved);
    let shifted = svg_line("datum.215.9000", |line| line.replace("datum.215.9000", "datum.216.0000"));
    found(heron(), NOTCH_SVG, "notch.shop.1", shifted);
}

/// Changes a PDF over a general-purpose library.
pub(super) fn pdf(change: impl FnOnce(&mut Document)) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    |bytes| {
        let mut document = Document::load_mem(&bytes).unwrap();
        change(&mut document);
        let mut out = Vec::new();
        document.save_to(&mut out).unwrap();
        out
    }
}

/// Changes the content stream of a page, counted from 1.
pub(super) fn content(page: u32, change: impl FnOnce(String) -> String) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    pdf(move |document| {
        let id = document.get_pages()[&page];
        let text = String::from_utf8(document.get_page_content(id)).unwrap();
        let changed = change(text.clone());
        assert!(changed != text, "nothing was damaged");
        document.change_page_content(id, changed.into_bytes()).unwrap();
    })
}

/// Moves the curve with this marker (sheet millimetres).
pub(super) fn curve(text: &str, key: &str, shift: [f64; 2]) -> String {
    let (head, rest) = text.split_once(&format!("/{key} MP\n")).unwrap();
    let (path, tail) = rest.split_once("S\n").unwrap();
    let moved: String = path
        .lines()
        .map(|line| {
            let mut axis = 0;
            let words = line.split(' ').map(|word| {
                let Ok(value) = word.parse::<f64>() else { return word.to_owned() };
                axis = 1 - axis;
                (value + shift[1 - axis]).to_string()
            });
            words.collect::<Vec<_>>().join(" ") + "\n"
        })
        .collect();
    format!("{head}/{key} MP\n{moved}S\n{tail}")
}

#[test]
fn a_pdf_saved_by_another_writer_is_clean() {
    let mut package: Package = heron();
    let files = [BRACKET_PDF, NOTCH_PDF, "record/build-record.pdf"];
    for file in files {
        let bytes = content(1, |text| text + "\n")(package[file].clone());
        assert!(package.insert(file.to_owned(), bytes.clone()).unwrap() != bytes);
    }
    seal(&mut package);
    clean_but_for_bytes(&package, &files);
}

#[test]
fn a_page_scaled_by_a_fifth_of_a_percent_is_named() {
    for file in [BRACKET_PDF, NOTCH_PDF] {
        found(heron(), file, "page 1, ruler.x", content(1, |text| format!("1.002 0 0 1.002 0 0 cm\n{text}")));
        found(heron(), file, "page 1, ruler.y", content(1, |text| format!("1 0 0 0.998 0 0 cm\n{text}")));
        found(heron(), file, "squareness", content(1, |text| format!("1 0.001 0 1 0 0 cm\n{text}")));
    }
}

#[test]
fn a_circle_moved_a_tenth_of_a_millimetre_is_named() {
    found(heron(), BRACKET_PDF, "hole mount", content(1, |text| curve(&text, "hole.2", [0.1, 0.0])));
    found(heron(), BRACKET_PDF, "opening", content(1, |text| curve(&text, "opening.1", [0.0, 0.1])));
    found(heron(), BRACKET_PDF, "outline", content(1, |text| curve(&text, "outline", [0.02, 0.0])));
    found(heron(), NOTCH_PDF, "notch.shop.1", content(1, |text| curve(&text, "notch.shop.1", [0.05, 0.0])));
    found(heron(), NOTCH_PDF, "notch.true.1", content(1, |text| curve(&text, "notch.true.1", [0.0, 0.05])));
}

#[test]
fn a_curve_without_its_name_or_too_many_is_named() {
    found(heron(), BRACKET_PDF, "hole mount", content(1, |text| text.replacen("/hole.1 MP\n", "", 1)));
    let cut = |text: String| text.replacen("/outline MP\n", "30 30 m\n60 30 l\nS\n/outline MP\n", 1);
    found(heron(), BRACKET_PDF, "a curve without a name", content(1, cut));
    let outside = |text: String| text + "\n30 30 m\n60 30 l\nS\n";
    found(heron(), BRACKET_PDF, "a curve without a name", content(1, outside));
}

#[test]
fn what_could_move_ink_unmeasured_is_refused() {
    for operator in ["/x Do", "/x gs", "30 30 10 10 re", "0 0 m 9 9 l W n", "q Q Q", "1 0 0 1 0 cm"] {
        found(heron(), BRACKET_PDF, "PDF", content(1, |text| format!("{text}\n{operator}\n")));
    }
}

pub(super) fn catalog(document: &mut Document) -> &mut Dictionary {
    document.catalog_mut().unwrap()
}

#[test]
fn printing_hints_taken_out_are_named() {
    for file in [BRACKET_PDF, "record/build-record.pdf"] {
        let all = pdf(|document| drop(catalog(document).remove(b"ViewerPreferences")));
        found(heron(), file, "printing without scaling", all);
    }
    let one = pdf(|document| {
        let hints = catalog(document).get_mut(b"ViewerPreferences").unwrap().as_dict_mut().unwrap();
        hints.remove(b"PrintScaling").unwrap();
    });
    found(heron(), BRACKET_PDF, "printing without scaling", one);
}

#[test]
fn a_layer_switched_off_is_named() {
    let off = pdf(|document| {
        let layers = catalog(document).get(b"OCProperties").unwrap().clone();
        let mut layers = match layers {
            Object::Reference(id) => document.get_dictionary(id).unwrap().clone(),
            other => other.as_dict().unwrap().clone(),
        };
        let all = layers.get(b"OCGs").unwrap().clone();
        layers.get_mut(b"D").unwrap().as_dict_mut().unwrap().set("OFF", all);
        catalog(document).set("OCProperties", layers);
    });
    found(heron(), BRACKET_PDF, "PDF", off);
}

#[test]
fn another_document_title_is_named() {
    let title = pdf(|document| {
        let id = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
        document.get_dictionary_mut(id).unwrap().set("Title", Object::string_literal("Other"));
    });
    found(heron(), "drawings/shaft-intermediate.pdf", "title", title);
}

pub(super) fn page(document: &mut Document, number: u32) -> &mut Dictionary {
    let id: ObjectId = document.get_pages()[&number];
    document.get_dictionary_mut(id).unwrap()
}

pub(super) fn page_box(low: i64, width: f32) -> Object {
    Object::Array(vec![low.into(), low.into(), width.into(), 792.into()])
}

#[test]
fn another_page_box_is_named() {
    let file = "record/build-record.pdf";
    let both = pdf(|document| {
        let page = page(document, 1);
        for name in ["MediaBox", "CropBox", "TrimBox"] {
            page.set(name, page_box(0, 613.0));
        }
    });
    found(heron(), file, "page 1, width", both);
    found(heron(), file, "PDF", pdf(|document| page(document, 1).set("CropBox", page_box(0, 600.0))));
    found(heron(), file, "PDF", pdf(|document| page(document, 1).set("MediaBox", page_box(9, 612.0))));
    found(heron(), file, "PDF", pdf(|document| page(document, 1).set("Rotate", 90)));
    found(heron(), file, "PDF", pdf(|document| page(document, 1).set("UserUnit", 2)));
}

#[test]
fn a_font_that_is_not_in_the_file_is_named() {
    for file in [BRACKET_PDF, "drawings/shaft-intermediate.pdf"] {
        let without = pdf(|document| {
            for object in document.objects.values_mut() {
                if let Ok(font) = object.as_dict_mut() {
                    font.remove(b"FontFile2");
                }
            }
        });
        found(heron(), file, "fonts", without);
    }
}

/// Takes what stands on the layer of warnings out of a page.
fn without_band(text: &str) -> String {
    let start = text.rfind("/OC /layer-12 BDC").unwrap();
    let end = start + text[start..].rfind("EMC").unwrap();
    format!("{}{}", &text[..start], &text[end + 3..])
}

#[test]
fn a_band_taken_out_is_named() {
    for file in [BRACKET_PDF, NOTCH_PDF, "record/build-record.pdf", "drawings/shaft-intermediate.pdf"] {
        found(banded(), file, "page 1, band", content(1, |text| without_band(&text)));
    }
    for file in [BRACKET_SVG, NOTCH_SVG, "drawings/shaft-intermediate.svg"] {
        found(banded(), file, "drawing, band", |bytes| {
            let text = String::from_utf8(bytes).unwrap();
            let kept = text.lines().filter(|line| !line.contains("DO NOT CUT"));
            kept.map(|line| format!("{line}\n")).collect::<String>().into_bytes()
        });
    }
    found(banded(), BRACKET_SVG, "drawing, band", |bytes| {
        String::from_utf8(bytes).unwrap().replace("DO NOT CUT: 1 check fails", "DO NOT CUT: 0 check fails").into_bytes()
    });
}

#[test]
fn a_banded_sheet_among_good_ones_is_named() {
    let other = banded();
    for file in [BRACKET_SVG, "drawings/shaft-intermediate.svg"] {
        let band = other[file].clone();
        found(heron(), file, "band", |_| band);
    }
}

#[test]
fn other_words_on_a_shaft_drawing_are_named() {
    found(heron(), "drawings/shaft-intermediate.svg", "finished length", |bytes| {
        String::from_utf8(bytes).unwrap().replace("485.07", "485.08").into_bytes()
    });
}

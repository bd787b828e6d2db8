//! Damage to tiles and to the print book.

use lopdf::{Document, Object, ObjectId};

use super::paper::{content, pdf};
use super::{clean, found, heron, made, seal};
use crate::common::HERON;

const FIREWALL: &str = "print/plate-firewall.pdf";
const BOOK: &str = "print/all.pdf";

/// Page of the book that repeats a page of the firewall's template: contents, notch, liner, tiled doublers, two of the bracket and its strips before
/// it.
pub(super) const fn bound(page: u32) -> u32 {
    14 + page
}

/// Changes the line that puts the drawing on a tile, `1 0 0 1 x y cm`.
pub(super) fn placed(change: impl FnOnce([f64; 6]) -> [f64; 6]) -> impl FnOnce(String) -> String {
    |text| {
        let (head, rest) = text.split_once("re W n\n").unwrap();
        let (line, tail) = rest.split_once("cm\n").unwrap();
        let numbers: Vec<f64> = line.split_whitespace().map(|word| word.parse().unwrap()).collect();
        let line: String = change(numbers.try_into().unwrap()).map(|number| format!("{number} ")).concat();
        format!("{head}re W n\n{line}cm\n{tail}")
    }
}

/// Changes the window of a tile, `x y w h re`.
pub(super) fn window(change: impl FnOnce([f64; 4]) -> [f64; 4]) -> impl FnOnce(String) -> String {
    |text| {
        let (head, tail) = text.split_once(" re W n\n").unwrap();
        let (head, line) = head.rsplit_once('\n').unwrap();
        let numbers: Vec<f64> = line.split_whitespace().map(|word| word.parse().unwrap()).collect();
        let line: String = change(numbers.try_into().unwrap()).map(|number| format!("{number} ")).concat();
        format!("{head}\n{line}re W n\n{tail}")
    }
}

#[test]
fn a_shifted_tile_is_named() {
    for page in 2..=5 {
        let right = content(page, placed(|[a, b, c, d, x, y]| [a, b, c, d, x + 0.02, y]));
        found(heron(), FIREWALL, "mark.", right);
        let up = content(page, placed(|[a, b, c, d, x, y]| [a, b, c, d, x, y - 0.02]));
        found(heron(), FIREWALL, "mark.", up);
    }
}

#[test]
fn a_scaled_or_turned_tile_is_named() {
    let scaled = content(2, placed(|[_, b, c, _, x, y]| [1.002, b, c, 1.002, x, y]));
    found(heron(), FIREWALL, "outline", scaled);
    let turned = content(3, placed(|[a, _, _, d, x, y]| [a, 0.001, -0.001, d, x, y]));
    found(heron(), FIREWALL, "outline", turned);
    let page = content(4, |text| format!("1.002 0 0 1.002 0 0 cm\n{text}"));
    found(heron(), FIREWALL, "page 4, ruler.x", page);
}

#[test]
fn a_tile_that_hides_part_of_the_outline_is_named() {
    for page in 2..=5 {
        found(heron(), FIREWALL, "outline, cover", content(page, window(|[x, y, w, h]| [x + 70.0, y, w - 140.0, h])));
    }
}

#[test]
fn ink_under_a_window_is_refused() {
    for ink in ["30 30 m 60 30 l S", "BT ET", "10 10 20 20 re W n"] {
        let more = content(2, |text| text.replacen("re W n\n", &format!("re W n\n{ink}\n"), 1));
        found(heron(), FIREWALL, "PDF", more);
    }
}

/// The one form of a document.
pub(super) fn form(document: &Document) -> ObjectId {
    let mut forms = document.objects.iter().filter(|(_, object)| {
        let kind = object.as_stream().ok().and_then(|stream| stream.dict.get(b"Subtype").ok()?.as_name().ok());
        kind == Some(b"Form")
    });
    let id = *forms.next().unwrap().0;
    assert!(forms.next().is_none(), "the drawing is in the file once");
    id
}

#[test]
fn a_hole_moved_in_the_shared_drawing_is_named() {
    let moved = pdf(|document| {
        let id = form(document);
        let stream = document.objects.get_mut(&id).unwrap().as_stream_mut().unwrap();
        stream.decompress().unwrap();
        let text = String::from_utf8(stream.content.clone()).unwrap();
        let moved = super::paper::curve(&text, "hole.2", [0.1, 0.0]);
        stream.set_plain_content(moved.into_bytes());
    });
    found(heron(), FIREWALL, "hole seal plate 2", moved);
}

#[test]
fn a_form_that_could_move_or_hide_its_ink_is_refused() {
    for (key, value) in [
        ("Matrix", Object::Array([1, 0, 0, 1, 1, 0].map(Object::from).into())),
        ("BBox", Object::Array([10, 10, 100, 100].map(Object::from).into())),
        ("Subtype", Object::Name(b"Image".to_vec())),
    ] {
        let changed = pdf(|document| {
            let id = form(document);
            document.objects.get_mut(&id).unwrap().as_stream_mut().unwrap().dict.set(key, value);
        });
        found(heron(), FIREWALL, "PDF", changed);
    }
    let small = pdf(|document| {
        let id = form(document);
        let half = Object::Array([0, 0, 150, 150].map(Object::from).into());
        document.objects.get_mut(&id).unwrap().as_stream_mut().unwrap().dict.set("BBox", half);
    });
    found(heron(), FIREWALL, "outline, cover", small);
}

#[test]
fn a_page_of_the_book_that_differs_is_named() {
    let shifted = content(bound(2), placed(|[a, b, c, d, x, y]| [a, b, c, d, x + 0.02, y]));
    found(heron(), BOOK, "farthest from page 2 of print/plate-firewall.pdf", shifted);
    let scaled = content(2, |text| format!("1.002 0 0 1.002 0 0 cm\n{text}"));
    found(heron(), BOOK, "farthest from page 1 of print/notch-left-rail-notch.pdf", scaled);
    // The bracket's template.
    let nameless = content(12, |text| text.replacen("/hole.1 MP\n", "", 1));
    found(heron(), BOOK, "page 12", nameless);
}

#[test]
fn pages_of_the_book_out_of_order_are_named() {
    let swapped = pdf(|document| {
        let pages = document.get_pages();
        let (a, b) = (pages[&3], pages[&11]);
        let (first, second) = (document.objects[&a].clone(), document.objects[&b].clone());
        document.objects.insert(a, second);
        document.objects.insert(b, first);
    });
    found(heron(), BOOK, "page 3", swapped);
    let fewer = pdf(|document| document.delete_pages(&[11]));
    found(heron(), BOOK, "pages bound", fewer);
}

#[test]
fn a_corrected_print_and_its_tiles_are_clean() {
    let spec = HERON.replace("print_correction = [1.0, 1.0]", "print_correction = [0.9984, 1.0012]");
    assert!(spec != HERON);
    let mut package = made(&spec);
    seal(&mut package);
    clean(&package);
    let shifted = content(2, placed(|[a, b, c, d, x, y]| [a, b, c, d, x + 0.02, y]));
    found(package, FIREWALL, "mark.", shifted);
}

#[test]
fn holes_too_small_for_the_cutter_are_marked_on_their_centres() {
    // The bracket is 3/16 in thick (4.7625 mm), its mounting holes 11/32 in (8.73 mm): under twice the thickness.
    let spec = HERON.replace("print_correction = [1.0, 1.0]", "print_correction = [1.0, 1.0]\nleast_hole = 2.0");
    let package = made(&spec);
    clean(&package);
    let file = "cut/plate-column-bracket.svg";
    let text = String::from_utf8(package[file].clone()).unwrap();
    assert!(!text.contains("id=\"hole.1\"") && text.contains("id=\"centre.1.1.u\""));
    assert!(
        text.contains("Blind holes, and holes under 2.00 thicknesses (0.375 in (9.53 mm)), are centre marks"),
        "{}",
        &text[..900]
    );
    found(package, file, "centre.1.1.u", |bytes| {
        let text = String::from_utf8(bytes).unwrap();
        let line = text.lines().find(|line| line.contains("centre.1.1.u")).unwrap().to_owned();
        text.replacen(&line, &line.replacen("L 2", "L 3", 1), 1).into_bytes()
    });
}

//! Drawings larger than the sheet: one form, tiles, tags, bookmarks, and the page model in readable form.
//!
//! Overlap, margin: common practice, no source. Structure and outline: ISO 32000-1:2008, 12.3.3 and 14.7 (from memory).

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use lopdf::{Dictionary, Document, Object};
use yokeline::audit::pdf as pdf_reader;
use yokeline::drawing::collision::collisions;
use yokeline::drawing::contents::{self, Part};
use yokeline::drawing::sheet::{Item, Line};
use yokeline::drawing::tile::{self, Grid, Job};
use yokeline::drawing::title_block::Heading;
use yokeline::drawing::{Anchor, Role, Sheet, font, notch, plate, print_test, shaft};
use yokeline::export::{pdf, svg};
use yokeline::geometry::{Path, Piece, Vec2};

use super::{at, close, meta};

/// A frame of that size with a cross in it, on tiles of the roadster's paper.
fn tiled(size: [f64; 2]) -> Vec<Sheet> {
    let spec = crate::common::heron();
    let mut drawing = Sheet::new("Frame", size, true);
    drawing.keyed(Role::Cut, "outline", Path::rectangle(at(5.0, 5.0), size[0] - 10.0, size[1] - 10.0, 8.0));
    drawing.keyed(Role::Score, "slant", Path::line(at(5.0, 5.0), at(size[0] - 5.0, size[1] - 5.0)));
    let heading = Heading { document: "plate template".into(), scale: "1:1".into() };
    let job = Job { title: "Frame", alt: "A frame.", heading: &heading, told: None, after: 0 };
    tile::sheets(&spec, &Grid::of(spec.output.sheet, size), drawing, &job).sheets
}

#[test]
fn the_fewest_tiles_cover_a_drawing_with_the_overlap_spread_evenly() {
    // Letter: 215.9 - 24 - 13 = 178.9 across, 279.4 - 24 - 36 = 219.4 up; each further tile adds 15 mm less.
    for (need, count) in
        [([178.9, 219.4], [1, 1]), ([179.0, 219.5], [2, 2]), ([342.8, 423.8], [2, 2]), ([342.9, 424.0], [3, 3])]
    {
        let grid = Grid::of([215.9, 279.4], need);
        assert_eq!(grid.count, count, "{need:?}");
        for (axis, live) in [178.9, 219.4].into_iter().enumerate() {
            let steps = (count[axis] - 1) as f64;
            if steps > 0.0 {
                close(grid.pitch[axis] * steps + live, need[axis], 1e-9);
                assert!(live - grid.pitch[axis] >= 15.0 - 1e-9);
            }
        }
    }
}

#[test]
fn neighbours_show_the_same_marks_at_the_same_place_of_the_drawing() {
    let sheets = tiled([700.0, 500.0]);
    let mut seen: std::collections::BTreeMap<String, Vec<Vec2>> = std::collections::BTreeMap::new();
    for sheet in &sheets[1..] {
        let view = sheet.view.as_ref().unwrap();
        let mut own = 0;
        for item in &sheet.items {
            let Item::Line(Line { key: Some(key), path, .. }) = item else { continue };
            if key.starts_with("mark.") {
                let (low, high) = path.bounds();
                seen.entry(key.clone()).or_default().push((low + high) * 0.5 - view.at);
                own += 1;
            }
        }
        assert!(own >= 2, "{}", sheet.title);
    }
    for (key, places) in seen {
        assert!(places.len() >= 2, "{key}");
        assert!(places.iter().all(|place| (*place - places[0]).length() < 1e-9), "{key} {places:?}");
    }
}

/// A drawing on tiles of the roadster's paper, with lines that run along it from side to side at those heights.
fn lined(size: [f64; 2], heights: &[f64]) -> Vec<Sheet> {
    let spec = crate::common::heron();
    let mut drawing = Sheet::new("Wrap", size, true);
    drawing.keyed(Role::Cut, "outline", Path::rectangle(at(1.0, 1.0), size[0] - 2.0, size[1] - 2.0, 0.0));
    for &height in heights {
        drawing.line(Role::Score, Path::line(at(1.0, height), at(size[0] - 1.0, height)));
    }
    let heading = Heading { document: "wrap template".into(), scale: "1:1".into() };
    let job = Job { title: "Wrap", alt: "A wrap.", heading: &heading, told: None, after: 0 };
    tile::sheets(&spec, &Grid::of(spec.output.sheet, size), drawing, &job).sheets
}

/// A seam's place in the drawing (mm) by a tile that has it.
fn seam(sheets: &[Sheet], key: &str) -> Option<Vec2> {
    sheets.iter().find_map(|sheet| {
        let view = sheet.view.as_ref()?;
        sheet.items.iter().find_map(|item| match item {
            Item::Line(Line { key: Some(name), path, .. }) if name == key => Some(path.bounds().0 - view.at),
            _ => None,
        })
    })
}

#[test]
fn a_fold_line_along_a_seam_moves_the_seam() {
    // Two rows: 170 by 400 on windows of 219.4 up share 38.8, middle at 200. The trim line may move by 13.9.
    let free = lined([170.0, 400.0], &[]);
    assert_eq!(free.len(), 3);
    close(seam(&free, "seam.4").unwrap().y, 200.0, 1e-9);
    for heights in [&[200.0][..], &[195.2, 204.8], &[194.0, 200.0, 206.0]] {
        let sheets = lined([170.0, 400.0], heights);
        assert_eq!(sheets.len(), 3);
        let moved = seam(&sheets, "seam.4").unwrap().y;
        assert!(heights.iter().all(|height| (height - moved).abs() >= 7.0), "{moved} {heights:?}");
        close(seam(&sheets, "seam.3").unwrap().y, moved, 1e-9);
        for sheet in &sheets {
            assert_eq!(collisions(sheet), [], "{}", sheet.title);
        }
    }
}

/// The value of a dimension stands in the middle of its line, where seams are wanted too.
#[test]
fn a_seam_goes_round_words_where_it_can() {
    let spec = crate::common::heron();
    // Two columns: 300 on windows of 178.9 share 57.8 about the middle, 150. The trim line may move by 23.
    let seam_with = |value: &str| {
        let mut drawing = Sheet::new("Frame", [300.0, 150.0], true);
        drawing.keyed(Role::Cut, "outline", Path::rectangle(at(5.0, 20.0), 290.0, 120.0, 0.0));
        drawing.words(at(150.0, 8.0), Anchor::Middle, 2.5, value);
        let heading = Heading { document: "plate template".into(), scale: "1:1".into() };
        let job = Job { title: "Frame", alt: "A frame.", heading: &heading, told: None, after: 0 };
        let sheets = tile::sheets(&spec, &Grid::of([215.9, 279.4], drawing.size), drawing, &job).sheets;
        assert_eq!(sheets.len(), 3);
        seam(&sheets, "seam.2").unwrap().x
    };
    close(seam_with(""), 150.0, 1e-9);
    let half = 0.5 * font::width("11.811 in", 2.5, false);
    let moved = (seam_with("11.811 in") - 150.0).abs();
    assert!(moved >= half + 2.0 && moved < half + 3.0, "{moved}, words reach {half}");
    // Words wider than the overlap are cut in the middle, and shown whole once the tiles are joined.
    assert!((seam_with(&"wide ".repeat(12)) - 150.0).abs() < 3.0);
}

#[test]
fn a_row_more_is_taken_where_a_least_overlap_is_full() {
    // 423.7 up leaves the least overlap, 15.1 mm, to two rows, and a fold line fills it.
    let sheets = lined([170.0, 423.7], &[211.85]);
    assert_eq!(sheets.len(), 4);
    for sheet in &sheets {
        assert_eq!(collisions(sheet), [], "{}", sheet.title);
    }
    assert_eq!(lined([170.0, 423.7], &[]).len(), 3);
}

#[test]
fn a_shared_drawing_is_in_the_file_once() {
    let few = pdf::write(&tiled([350.0, 250.0]), &meta()).unwrap();
    let sheets = tiled([1500.0, 1100.0]);
    let many = pdf::write(&sheets, &meta()).unwrap();
    let document = Document::load_mem(&many).unwrap();
    let forms = document.objects.values().filter(|object| {
        object.as_stream().is_ok_and(|stream| {
            stream.dict.get(b"Subtype").is_ok_and(|kind| kind.as_name().is_ok_and(|name| name == b"Form"))
        })
    });
    assert_eq!(forms.count(), 1);
    assert!(sheets.len() > 30);
    // Bytes a sheet: rulers and words alone.
    let each = (many.len() - few.len()) / sheets.len();
    assert!(each < 6000, "{each} bytes a sheet");
    assert_eq!(many, pdf::write(&sheets, &meta()).unwrap());
    // Each page puts the whole drawing where its view says.
    let pages = pdf_reader::read(&many).unwrap().pages;
    for (page, sheet) in pages.iter().zip(&sheets).skip(1) {
        let (seen, view) = (page.view.as_ref().unwrap(), sheet.view.as_ref().unwrap());
        let outline = seen.items.iter().find(|item| item.key.as_deref() == Some("outline")).unwrap();
        let (low, high) = outline.bounds().unwrap();
        close((low - view.at - at(5.0, 5.0)).length(), 0.0, 2e-5);
        close((high - view.at - at(1495.0, 1095.0)).length(), 0.0, 2e-5);
    }
}

/// What a sheet adds in a large book is no more than in a small one.
#[test]
fn bytes_grow_with_the_sheets_and_no_faster() {
    let books: Vec<[f64; 2]> = [[350.0, 420.0], [1000.0, 800.0], [1650.0, 1500.0]]
        .into_iter()
        .map(|size| {
            let sheets = tiled(size);
            [sheets.len() as f64, pdf::write(&sheets, &meta()).unwrap().len() as f64]
        })
        .collect();
    let each: Vec<f64> = books.windows(2).map(|pair| (pair[1][1] - pair[0][1]) / (pair[1][0] - pair[0][0])).collect();
    println!("sheets and bytes {books:?}, bytes a sheet more {each:?}");
    assert!(books[2][0] > 40.0 && books[0][0] < 10.0, "{books:?}");
    assert!(each.iter().all(|bytes| (1000.0..6000.0).contains(bytes)), "{each:?}");
    assert!(each[1] <= 1.1 * each[0], "{each:?}");
}

#[test]
fn a_tile_is_for_paper_only_and_a_tile_of_a_tile_is_refused() {
    let tile = tiled([350.0, 250.0]).remove(1);
    assert!(svg::write(&tile, &meta()).is_err());
    let mut nested = tile.clone();
    nested.view.as_mut().unwrap().drawing = std::sync::Arc::new(tile);
    assert!(pdf::write(&[nested], &meta()).is_err());
}

fn follow<'a>(document: &'a Document, dictionary: &'a Dictionary, key: &[u8]) -> &'a Object {
    document.dereference(dictionary.get(key).unwrap()).unwrap().1
}

#[test]
fn every_page_is_a_tagged_figure_with_words_for_who_cannot_see_it() {
    let mut drawn = super::trial(super::LETTER);
    drawn.alt = "A plate ⌀ with two holes.".into();
    let mut words = Sheet::new("Words", super::LETTER, false);
    words.words(at(40.0, 200.0), Anchor::Start, 2.5, "only words");
    let document = Document::load_mem(&pdf::write(&[drawn, words], &meta()).unwrap()).unwrap();
    let catalog = document.catalog().unwrap();
    assert!(follow(&document, catalog, b"MarkInfo").as_dict().unwrap().get(b"Marked").unwrap().as_bool().unwrap());
    let root = follow(&document, catalog, b"StructTreeRoot").as_dict().unwrap();
    let whole = follow(&document, root, b"K").as_dict().unwrap();
    let kinds: Vec<(Vec<u8>, Option<String>)> = whole
        .get(b"K")
        .unwrap()
        .as_array()
        .unwrap()
        .iter()
        .map(|id| document.get_dictionary(id.as_reference().unwrap()).unwrap())
        .map(|element| {
            let alt = element.get(b"Alt").ok().map(|alt| lopdf::decode_text_string(alt).unwrap());
            (element.get(b"S").unwrap().as_name().unwrap().to_vec(), alt)
        })
        .collect();
    let figure = Some("A plate ⌀ with two holes.".to_owned());
    assert_eq!(kinds, [(b"Figure".to_vec(), figure), (b"P".to_vec(), None), (b"P".to_vec(), None)]);
}

#[test]
fn a_bound_book_has_bookmarks_in_two_levels() {
    let sheet = |title: &str| Sheet::new(title, super::LETTER, false);
    let sheets = [sheet("Contents"), sheet("Plate: a"), sheet("Plate: a, words"), sheet("Shaft: b")];
    let bound = yokeline::export::PaperMeta { parts: vec![("plate a".into(), 1), ("shaft b".into(), 3)], ..meta() };
    let document = Document::load_mem(&pdf::write(&sheets, &bound).unwrap()).unwrap();
    let mut names = Vec::new();
    let outlines = follow(&document, document.catalog().unwrap(), b"Outlines").as_dict().unwrap();
    list(&document, outlines, 0, &mut names);
    assert_eq!(names, ["0 Contents", "0 plate a", "1 Plate: a", "1 Plate: a, words", "0 shaft b"]);
}

fn list(document: &Document, parent: &Dictionary, depth: usize, names: &mut Vec<String>) {
    let mut next = parent.get(b"First").ok().map(|id| id.as_reference().unwrap());
    while let Some(id) = next {
        let item = document.get_dictionary(id).unwrap();
        names.push(format!("{depth} {}", lopdf::decode_text_string(item.get(b"Title").unwrap()).unwrap()));
        list(document, item, depth + 1, names);
        next = item.get(b"Next").ok().map(|id| id.as_reference().unwrap());
    }
}

#[test]
fn the_print_test_has_its_lengths_and_every_sign() {
    for size in [[215.9, 279.4], [210.0, 297.0], [297.0, 420.0]] {
        let sheet = print_test::sheet(size);
        let bytes = pdf::write(std::slice::from_ref(&sheet), &meta()).unwrap();
        let page = pdf_reader::read(&bytes).unwrap().pages.remove(0);
        let root = 100.0 * std::f64::consts::SQRT_2;
        for (key, length) in [("rule.x", 150.0), ("rule.y", 200.0), ("diagonal", root), ("diagonal.2", root)] {
            let (a, b) = page.find(key).unwrap().straight().unwrap();
            close((b - a).length(), length, 1e-4);
        }
        for signs in print_test::SIGNS {
            assert!(page.texts.iter().any(|text| text == signs));
            assert_eq!(font::missing(signs), []);
        }
    }
}

/// A page of the model, one thing a line: role, name, what it is.
fn readable(sheet: &Sheet) -> String {
    let n = |value: f64| {
        let text = format!("{value:.2}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if text == "-0" { "0".to_owned() } else { text.to_owned() }
    };
    let p = |point: Vec2| format!("{} {}", n(point.x), n(point.y));
    let [width, height] = sheet.size;
    let scale = if sheet.full_scale { "1:1" } else { "not to scale" };
    let mut out = format!("{}, {} x {} mm, {scale}\n{}\n", sheet.title, n(width), n(height), sheet.alt);
    if let Some(view) = &sheet.view {
        let [low, high] = view.window;
        let _ = writeln!(out, "view      at {}, seen from {} to {}", p(view.at), p(low), p(high));
    }
    for item in &sheet.items {
        let line = match item {
            Item::Line(Line { role, key, path, filled }) => {
                let kinds: BTreeSet<&str> = path
                    .pieces
                    .iter()
                    .map(|piece| match piece {
                        Piece::Line { .. } => "straight",
                        Piece::Arc { .. } => "arc",
                        Piece::Cubic { .. } => "cubic",
                    })
                    .collect();
                let kinds = kinds.into_iter().collect::<Vec<_>>().join(" and ");
                let (low, high) = path.bounds();
                let filled = if *filled { ", filled" } else { "" };
                let name = key.as_deref().unwrap_or("-");
                format!("{:<9} {name}: {kinds}, {} to {}{filled}", role.style().group, p(low), p(high))
            }
            Item::Text(text) => {
                let turn =
                    if text.angle == 0.0 { String::new() } else { format!(" turned {}", n(text.angle.to_degrees())) };
                let bold = if text.bold { " bold" } else { "" };
                format!(
                    "{:<9} \"{}\" {} mm{bold} at {}{turn}",
                    text.role.style().group,
                    text.words,
                    n(text.height),
                    p(text.at)
                )
            }
        };
        let _ = writeln!(out, "{line}");
    }
    out
}

/// `YOKELINE_BLESS=1` writes the readable pages anew, after looking at what moved.
#[test]
fn pages_read_as_they_did() {
    let spec = crate::common::heron();
    let solution = yokeline::solve::solve(&spec).unwrap().0;
    let firewall = plate::sheets(&spec, &solution, 1);
    let part = Part {
        what: "full-scale template of \"firewall\"".into(),
        path: "print/plate-firewall.pdf".into(),
        sheets: firewall.clone(),
    };
    let mut book = contents::sheets(&spec, &[part]);
    contents::number(&mut book);
    let pages = [
        ("map", &firewall[0]),
        ("tile", &firewall[1]),
        ("contents", &book[0]),
        ("print-test", &print_test::sheet([210.0, 297.0])),
        ("shaft", &shaft::sheets(&spec, &solution, 0)[0]),
        ("notch", &notch::sheets(&spec, &solution, 0)[0]),
    ];
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/paper/pages");
    for (name, sheet) in pages {
        let file = folder.join(format!("{name}.txt"));
        let hash: String = spec.sha256.chars().take(12).collect();
        let found = readable(sheet).replace(&hash, "<hash>");
        if std::env::var_os("YOKELINE_BLESS").is_some() {
            fs::create_dir_all(&folder).unwrap();
            fs::write(&file, &found).unwrap();
            continue;
        }
        let kept = fs::read_to_string(&file).unwrap_or_default();
        let moved = found.lines().zip(kept.lines()).find(|(found, kept)| found != kept);
        assert!(found == kept, "{name}: first that moved, now and before: {moved:?}");
    }
}

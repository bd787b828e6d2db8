//! That a print of any full-scale page can be proved before it is cut from, that a drawing of any length up to a roll's
//! is drawn whole, and that the book's contents say where things are.
//!
//! Rulers of 100 mm and an inch of 25.4 mm: exact by definition (ISO 80000-3; the inch since 1959). The diagonal is the
//! side by the root of two.

use yokeline::drawing::collision::collisions;
use yokeline::drawing::{Item, Sheet, plate};
use yokeline::export::{PaperMeta, pdf};
use yokeline::geometry::{Path, Vec2};
use yokeline::solve::solution::Vertex;

use super::{every_page, keyed, texts, variant};

fn across(path: &Path) -> Vec2 {
    path.end() - path.start
}

fn close(found: f64, expected: f64) -> bool {
    (found - expected).abs() < 1e-9
}

#[test]
fn every_full_scale_page_of_every_example_can_be_measured() {
    let (mut whole, mut tiles) = (0, 0);
    for (name, sheets) in every_page().iter().filter(|(name, _)| !name.contains("/cut/")) {
        for (number, sheet) in sheets.iter().enumerate().filter(|(_, sheet)| sheet.full_scale) {
            let name = format!("{name} page {}", number + 1);
            let tile = sheet.view.is_some();
            *if tile { &mut tiles } else { &mut whole } += 1;
            let (side, diagonal) = if tile { (30.0, "42.43 mm") } else { (50.0, "70.71 mm") };
            let find = |key| keyed(sheet, key).unwrap_or_else(|| panic!("{name}: no {key}"));
            let (x, y, inch) = (across(find("ruler.x")), across(find("ruler.y")), across(find("scale.inch")));
            assert!(close(x.x, 100.0) && close(x.y, 0.0) && close(y.x, 0.0) && close(y.y, 100.0), "{name}");
            assert!(close(inch.x, 4.0 * 25.4) && close(inch.y, 0.0), "{name}");
            let (low, high) = find("square").bounds();
            assert!(close(high.x - low.x, side) && close(high.y - low.y, side), "{name}");
            assert!(close(across(find("diagonal")).length(), side * std::f64::consts::SQRT_2), "{name}");
            let words = texts(sheet).iter().map(|text| text.words.as_str()).collect::<Vec<_>>().join(" ");
            let go = format!(
                "Go: rulers 100 mm, diagonal {diagonal}, each within 0.3 mm. No go: any is off by more. Then do not cut."
            );
            let square = format!("{side} mm square");
            for wanted in [go.as_str(), diagonal, &square, "100 mm", "4 in"] {
                assert!(words.contains(wanted), "{name}: {wanted}");
            }
            if tile {
                assert!(words.contains("column ") && words.contains(", row "), "{name}: which tile it is");
                let first = sheets.iter().position(|sheet| sheet.view.is_some()).unwrap();
                assert!(first > 0 && sheets[first - 1].title.ends_with(", map"), "{name}: a map comes first");
            }
        }
    }
    assert!(whole > 60 && tiles > 60, "{whole} whole, {tiles} tiles");
}

/// Full scale alone is corrected, and says so; the writers' part is proved in `paper.rs`.
#[test]
fn a_print_correction_is_stated_where_it_acts() {
    let mut stated = 0;
    for (name, sheet) in super::every_sheet().into_iter().filter(|(name, _)| name.starts_with("wordy-")) {
        let words = texts(&sheet).iter().map(|text| text.words.as_str()).collect::<Vec<_>>().join(" ");
        assert_eq!(words.contains("print x ÷0.9984 y ÷1.0012"), sheet.full_scale, "{name}");
        stated += usize::from(sheet.full_scale);
    }
    assert!(stated > 1, "{stated}");
}

/// A plate of that length and 127 mm width on sheets of a size.
fn long_plate(length: f64, sheet: [f64; 2]) -> Vec<Sheet> {
    let (_, mut spec, mut solution) = variant("inch");
    spec.output.sheet = sheet;
    let corner = |x, y| Vertex::straight(Vec2::new(x, y));
    solution.plates[0].outline = vec![corner(0.0, 0.0), corner(length, 0.0), corner(length, 127.0), corner(0.0, 127.0)];
    plate::sheets(&spec, &solution, 0)
}

fn meta() -> PaperMeta {
    PaperMeta {
        title: "Long plate".into(),
        author: String::new(),
        subject: String::new(),
        date: String::new(),
        language: "en".into(),
        print_correction: [1.0, 1.0],
        parts: Vec::new(),
    }
}

/// 5080 mm are the 14400 points of ISO 32000-1:2008, annex C (from memory).
#[test]
fn five_metres_go_on_a_roll_or_on_tiles_and_more_is_refused() {
    let roll = long_plate(4900.0, [610.0, 5080.0]);
    let sheet = roll.iter().find(|sheet| sheet.full_scale).unwrap();
    assert!(sheet.view.is_none(), "one sheet of the roll");
    assert!(close(sheet.size[0].max(sheet.size[1]), 5080.0));
    assert_eq!(collisions(sheet), []);
    assert!(pdf::write(&roll, &meta()).is_ok());

    let tiles = long_plate(4900.0, [215.9, 279.4]);
    let count = tiles.iter().filter(|sheet| sheet.view.is_some()).count();
    // 4900 mm and what stands round them, on windows of 219.4 or 242.4 mm less the overlap of 15.
    assert!((21..=26).contains(&count), "{count}");
    assert!(pdf::write(&tiles, &meta()).is_ok());

    let long = pdf::write(&long_plate(5200.0, [215.9, 279.4]), &meta()).unwrap_err();
    assert!(long.message.contains("5080 mm"), "{}", long.message);
}

/// Words of a column of the contents, from its head's left edge to the next one's, each with its height on the page.
fn column(sheet: &Sheet, head: &str, next: Option<&str>) -> Vec<(f64, String)> {
    let texts = texts(sheet);
    let left = |words: &str| texts.iter().find(|text| text.bold && text.words == words).map(|text| text.at.x);
    let top = texts.iter().find(|text| text.bold && text.words == "page").unwrap().at.y;
    let (from, to) = (left(head).unwrap(), next.and_then(left).unwrap_or(f64::INFINITY));
    // Over the title block, which reaches to 46 mm.
    let inside = |x: f64, y: f64| x > from - 0.5 && x < to - 0.5 && y < top - 1.0 && y > 47.0;
    texts.iter().filter(|text| inside(text.at.x, text.at.y)).map(|text| (text.at.y, text.words.clone())).collect()
}

#[test]
fn the_contents_say_on_which_page_everything_is() {
    let mut books = 0;
    for (name, book) in every_page().iter().filter(|(name, _)| name.ends_with("print/all.pdf")) {
        books += 1;
        let example = name.split('/').next().unwrap();
        let mut listed: Vec<(usize, usize, String)> = Vec::new();
        let contents = book.iter().take_while(|sheet| sheet.title.starts_with("Contents"));
        let before = contents.clone().count();
        for sheet in contents {
            let rows = column(sheet, "page", Some("what"));
            let counts = column(sheet, "sheets", Some("scale"));
            let files = column(sheet, "file", None);
            for (i, (y, page)) in rows.iter().enumerate() {
                let end = rows.get(i + 1).map_or(f64::NEG_INFINITY, |row| row.0);
                let within = |at: f64| at <= y + 0.1 && at > end + 0.1;
                let count = counts.iter().find(|row| within(row.0)).unwrap().1.parse().unwrap();
                let file = files.iter().filter(|row| within(row.0)).map(|row| row.1.as_str()).collect::<String>();
                listed.push((page.parse().unwrap(), count, file));
            }
        }
        let mut next = before + 1;
        for (page, count, file) in &listed {
            assert_eq!(*page, next, "{name}: {file} follows what is listed before it");
            next += count;
            let own = &every_page().iter().find(|(path, _)| *path == format!("{example}/{file}")).unwrap().1;
            assert_eq!(own.len(), *count, "{name}: {file}");
            for (sheet, bound) in own.iter().zip(&book[page - 1..]) {
                assert_eq!(sheet.title, bound.title, "{name}: {file}");
                // The page number alone is more.
                let same = sheet.items.iter().all(|item| bound.items.contains(item));
                assert!(same && bound.items.len() == sheet.items.len() + 1, "{name}: {file} {}", sheet.title);
            }
        }
        assert_eq!(next, book.len() + 1, "{name}: everything is listed");
        let paper = |path: &str| path.starts_with(&format!("{example}/")) && path.split('.').next_back() == Some("pdf");
        let files = every_page().iter().filter(|(path, _)| paper(path)).count();
        assert_eq!(listed.len(), files - 1, "{name}: every file of paper but the book itself");
        for (index, sheet) in book.iter().enumerate() {
            let number = format!("page {} of {}", index + 1, book.len());
            assert!(
                sheet.items.iter().any(|item| matches!(item, Item::Text(text) if text.words == number)),
                "{number}"
            );
        }
        // Templates first, then drawings, then the record.
        let kinds: Vec<&str> = listed.iter().map(|(_, _, file)| file.split('/').next().unwrap()).collect();
        let mut order = kinds.clone();
        order.dedup();
        let wanted: Vec<&str> =
            ["print", "drawings", "record"].into_iter().filter(|kind| kinds.contains(kind)).collect();
        assert_eq!(order, wanted, "{name}");
    }
    assert!(books > 9, "{books}");
}

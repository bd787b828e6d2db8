//! That nothing on any sheet of any example lies on what it must not, and that the check can fail.
//!
//! The rules stand in `drawing::collision`. Cases are drawn by hand here, with distances that are plain sums.

use std::fmt::Write;
use std::sync::Arc;

use yokeline::catalog::sheets;
use yokeline::drawing::collision::{Collision, Fault, collisions};
use yokeline::drawing::layout::text_box;
use yokeline::drawing::sheet::{Line, Text};
use yokeline::drawing::{Anchor, Item, Role, Sheet, View, band, print_test, record_curves};
use yokeline::geometry::{Path, Vec2};
use yokeline::pipeline;
use yokeline::solve::curves::{figures, graph};

fn said(name: &str, page: usize, found: &[Collision]) -> String {
    found.iter().fold(String::new(), |mut all, c| {
        let _ = writeln!(
            all,
            "{name} page {}: {:?}: {} with {} at ({:.1}, {:.1})",
            page + 1,
            c.fault,
            c.what,
            c.with,
            c.at.x,
            c.at.y
        );
        all
    })
}

/// Every page of every file of every example, the book with its contents and page numbers too.
#[test]
fn no_sheet_of_any_example_has_a_collision() {
    let (mut faults, mut pages) = (String::new(), 0);
    for (name, sheets) in super::every_page() {
        for (page, sheet) in sheets.iter().enumerate() {
            pages += 1;
            faults += &said(name, page, &collisions(sheet));
        }
    }
    assert!(faults.is_empty(), "{faults}");
    assert!(pages > 100, "{pages}");
}

/// The same on hard cases: long words, crowded shafts, turned and tiled templates, measuring sheets.
#[test]
fn no_hard_sheet_has_a_collision() {
    let faults: String = super::every_sheet().iter().map(|(name, sheet)| said(name, 0, &collisions(sheet))).collect();
    assert!(faults.is_empty(), "{faults}");
}

/// End of the hub above the rack's.
const HUB: &str = "ears   = \"parallel\"\nscrews = [{ at = \"0.50 in\", thread = \"5/16-18\", point = \"cone\", jam = true }]\n\
                   [joint.lower]                          # on the rack";

/// Round bar with flats at its upper end and measured teeth at its lower.
const BAR: &str = "stock = { round = { diameter = \"0.75 in\" } }\nends = { upper = { form = \"dd-3/4\", length = \"1.5 in\" }, \
                   lower = { form = { serrated = { teeth = 36, diameter = \"0.75 in\" } }, length = \"1.5 in\", tooth = \"1 deg\" } }";

/// Pictures of the record with every row of names there can be: four curves and a mark, a title of two lines.
#[test]
fn no_picture_has_a_collision() {
    let text = crate::common::HERON
        .replace("name      = \"intermediate\"", &format!("name = \"{}\"", "WIDE INTERMEDIATE BAR ".repeat(2).trim()))
        .replace(
            "[joint.upper]                          # on the intermediate shaft\nfits   = \"dd-3/4\"",
            "[joint.upper]\nfits = { serrated = { teeth = 36, diameter = \"0.75 in\" } }\ntooth = \"2 deg\"",
        )
        .replace(HUB, "pinch = { at = \"0.40 in\", bolt = \"5/16-18\", offset = \"0.47 in\" }\n[joint.lower]                          # on the rack")
        .replace("stock     = \"dd-3/4\"", BAR);
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ());
    let solved = solved.unwrap_or_else(|errors| panic!("{errors:#?}"));
    let (mut faults, mut most) = (String::new(), 0);
    for figure in figures(&solved.solution) {
        let graph = graph(&solved.spec, &solved.solution, figure).unwrap();
        most = most.max(graph.curves.len() + usize::from(!graph.marks.1.is_empty()));
        let sheet = record_curves::sheet(&solved.spec, &solved.solution, figure).unwrap();
        let mut banded = [sheet.clone()];
        band(&mut banded, 12);
        faults += &said(&sheet.title, 0, &collisions(&sheet));
        faults += &said(&sheet.title, 0, &collisions(&banded[0]));
        for item in &sheet.items {
            if let Item::Text(text) = item {
                let [width, height] = sheet.size;
                let inside = |p: &Vec2| (0.0..=width).contains(&p.x) && (0.0..=height).contains(&p.y);
                assert!(text_box(text).iter().all(inside), "{} runs off", text.words);
            }
        }
    }
    assert_eq!(faults, "");
    assert_eq!(most, 5, "as set, as best, a tooth back, a tooth on, straight ahead");
}

#[test]
fn no_print_test_has_a_collision() {
    for size in ["letter", "a4", "tabloid", "a3"] {
        let sheet = print_test::sheet(sheets::find(size).unwrap().size);
        assert_eq!(said(size, 0, &collisions(&sheet)), "");
    }
}

/// A banded sheet has its letters over everything and its margin words nowhere near the border's marks.
#[test]
fn the_band_lies_over_everything_and_collides_with_nothing() {
    let mut sheets: Vec<Sheet> = super::every_sheet().into_iter().map(|(_, sheet)| sheet).collect();
    band(&mut sheets, 12);
    let faults: String = sheets.iter().map(|sheet| said(&sheet.title, 0, &collisions(sheet))).collect();
    assert!(faults.is_empty(), "{faults}");
}

/// A bare sheet with a border of 20 to 180 and a title block below 60, as the writers of sheets draw them: last.
fn framed(items: impl IntoIterator<Item = Item>) -> Sheet {
    let mut sheet = Sheet::new("case", [200.0, 200.0], false);
    sheet.items.extend(items);
    sheet.keyed(Role::Frame, "frame", Path::rectangle(Vec2::new(20.0, 20.0), 160.0, 160.0, 0.0));
    sheet.keyed(Role::Frame, "block", Path::rectangle(Vec2::new(20.0, 20.0), 160.0, 40.0, 0.0));
    sheet
}

fn words(x: f64, y: f64, words: &str) -> Item {
    let (at, words) = (Vec2::new(x, y), words.to_owned());
    Item::Text(Text {
        role: Role::Text,
        key: None,
        at,
        anchor: Anchor::Start,
        angle: 0.0,
        height: 2.5,
        bold: false,
        words,
    })
}

fn line(role: Role, from: [f64; 2], to: [f64; 2]) -> Item {
    let path = Path::line(Vec2::new(from[0], from[1]), Vec2::new(to[0], to[1]));
    Item::Line(Line { role, key: None, path, filled: false })
}

fn arrow(x: f64, y: f64) -> Item {
    let points = [Vec2::new(x, y), Vec2::new(x - 2.8, y + 0.37), Vec2::new(x - 2.8, y - 0.37)];
    let path = Path::polyline(&points, true).unwrap();
    Item::Line(Line { role: Role::Dimension, key: None, path, filled: true })
}

fn faults(items: impl IntoIterator<Item = Item>) -> Vec<Fault> {
    collisions(&framed(items)).into_iter().map(|c| c.fault).collect()
}

#[test]
fn words_on_words_are_found_and_words_beside_are_not() {
    // A capital of 2.5 mm: base lines 2.4 mm apart overlap by 0.1, 2.6 mm apart do not.
    assert_eq!(faults([words(100.0, 100.0, "HH"), words(100.0, 102.4, "HH")]), [Fault::WordsOnWords]);
    assert_eq!(faults([words(100.0, 100.0, "HH"), words(100.0, 102.6, "HH")]), []);
    // A descender reaches down where a capital does not.
    assert_eq!(faults([words(100.0, 100.0, "HH"), words(100.0, 102.9, "gg")]), [Fault::WordsOnWords]);
}

#[test]
fn a_line_of_any_role_through_words_is_found() {
    for role in Role::ALL {
        let found = faults([words(100.0, 100.0, "word"), line(role, [90.0, 101.0], [130.0, 101.0])]);
        let wanted: &[Fault] = if role == Role::Band { &[] } else { &[Fault::LineOnWords] };
        assert_eq!(found, wanted, "{role:?}");
    }
    // Under the base line by 0.3 mm: a line 0.25 wide ends 0.175 below it, one 0.7 wide would touch.
    assert_eq!(faults([words(100.0, 100.0, "HH"), line(Role::Dimension, [90.0, 99.7], [130.0, 99.7])]), []);
    assert_eq!(
        faults([words(100.0, 100.0, "HH"), line(Role::Frame, [90.0, 99.7], [130.0, 99.7])]),
        [Fault::LineOnWords]
    );
    // A leader across, a hatch line across, an arc across, a turned word.
    assert_eq!(
        faults([words(100.0, 100.0, "word"), line(Role::Dimension, [103.0, 90.0], [104.0, 110.0])]),
        [Fault::LineOnWords]
    );
    let ring = Path::circle(Vec2::new(104.0, 106.0), 5.0);
    let ring = Item::Line(Line { role: Role::Drill, key: None, path: ring, filled: false });
    assert_eq!(faults([words(100.0, 100.0, "word"), ring]), [Fault::LineOnWords]);
    let Item::Text(mut upright) = words(100.0, 100.0, "word") else { unreachable!() };
    upright.angle = std::f64::consts::FRAC_PI_2;
    let across = line(Role::Cut, [90.0, 104.0], [110.0, 104.0]);
    assert_eq!(faults([Item::Text(upright), across]), [Fault::LineOnWords]);
}

#[test]
fn an_arrow_head_on_words_or_on_another_is_found() {
    assert_eq!(faults([words(100.0, 100.0, "HH"), arrow(101.5, 101.0)]), [Fault::LineOnWords]);
    assert_eq!(faults([arrow(100.0, 100.0), arrow(101.0, 100.1)]), [Fault::ArrowOnArrow]);
    assert_eq!(faults([arrow(100.0, 100.0), arrow(103.0, 100.0)]), []);
    // An arrow ends on its line.
    assert_eq!(faults([arrow(100.0, 100.0), line(Role::Outline, [100.0, 90.0], [100.0, 110.0])]), []);
}

#[test]
fn shading_is_a_ground_but_its_edge_is_not() {
    let shade = |low: f64| {
        let path = Path::rectangle(Vec2::new(95.0, low), 40.0, 10.0, 0.0);
        Item::Line(Line { role: Role::Shade, key: None, path, filled: true })
    };
    assert_eq!(faults([shade(96.0), words(100.0, 100.0, "word")]), []);
    assert_eq!(faults([shade(101.0), words(100.0, 100.0, "word")]), [Fault::LineOnWords]);
}

#[test]
fn what_leaves_the_border_or_enters_the_title_block_is_found() {
    // The border's line is 0.7 wide.
    assert_eq!(faults([words(175.0, 100.0, "far out")]), [Fault::OutsideBorder, Fault::LineOnWords]);
    assert_eq!(faults([line(Role::Cut, [100.0, 100.0], [181.0, 100.0])]), [Fault::OutsideBorder]);
    assert_eq!(faults([line(Role::Outline, [100.0, 100.0], [100.0, 59.0])]), [Fault::InTitleBlock]);
    assert_eq!(faults([words(100.0, 40.0, "not the block's")]), [Fault::InTitleBlock]);
    // What the title block draws comes after its outline.
    let mut sheet = framed([]);
    sheet.items.push(words(100.0, 40.0, "the block's own"));
    assert_eq!(collisions(&sheet), []);
    // Without border and block the sheet itself is the limit.
    let mut bare = Sheet::new("cut", [50.0, 50.0], true);
    bare.items.push(line(Role::Cut, [10.0, 10.0], [10.0, 51.0]));
    assert_eq!(collisions(&bare)[0].fault, Fault::OutsideBorder);
}

#[test]
fn a_ruler_over_a_drawing_is_found() {
    for role in
        [Role::Hatch, Role::Hidden, Role::Centre, Role::Score, Role::Outline, Role::Cut, Role::Drill, Role::Dimension]
    {
        let ruler = line(Role::Check, [100.0, 100.0], [160.0, 100.0]);
        let found = faults([ruler, line(role, [120.0, 80.0], [120.0, 120.0])]);
        assert_eq!(found, [Fault::CheckOnDrawing], "{role:?}");
    }
    let ticks = [line(Role::Check, [100.0, 100.0], [160.0, 100.0]), line(Role::Check, [110.0, 100.0], [110.0, 104.0])];
    assert_eq!(faults(ticks), []);
    // Lines of the drawing cross one another freely.
    let crossing =
        [line(Role::Cut, [100.0, 100.0], [160.0, 100.0]), line(Role::Dimension, [110.0, 90.0], [110.0, 104.0])];
    assert_eq!(faults(crossing), []);
}

#[test]
fn a_tile_is_judged_by_what_its_window_shows() {
    let drawing = |item: Item| {
        let mut whole = Sheet::new("whole", [500.0, 500.0], true);
        whole.items.push(item);
        Arc::new(whole)
    };
    let tile = |item: Item, own: Item| {
        let mut sheet = Sheet::new("tile", [200.0, 200.0], true);
        sheet.items.push(own);
        let window = [Vec2::new(20.0, 60.0), Vec2::new(180.0, 180.0)];
        sheet.view = Some(View { drawing: drawing(item), at: Vec2::new(-100.0, -100.0), window });
        collisions(&sheet).into_iter().map(|c| c.fault).collect::<Vec<_>>()
    };
    let mark = || line(Role::Check, [95.0, 100.0], [105.0, 100.0]);
    // At 200, 200 of the drawing lies 100, 100 of the tile.
    assert_eq!(tile(line(Role::Cut, [200.0, 0.0], [200.0, 400.0]), mark()), [Fault::CheckOnDrawing]);
    assert_eq!(tile(words(198.0, 199.0, "word"), mark()), [Fault::LineOnWords]);
    // Under the window's edge the drawing is not seen: the strip at the foot is free.
    let below = line(Role::Check, [95.0, 40.0], [105.0, 40.0]);
    assert_eq!(tile(line(Role::Cut, [200.0, 0.0], [200.0, 400.0]), below), []);
    // The chain line of a seam runs over what the next tile shows again; over words of the tile's own it does not.
    let seam = || {
        let path = Path::line(Vec2::new(100.0, 60.0), Vec2::new(100.0, 180.0));
        Item::Line(Line { role: Role::Centre, key: Some("seam.1".into()), path, filled: false })
    };
    assert_eq!(tile(words(198.0, 199.0, "word"), seam()), []);
    assert_eq!(faults([seam(), words(98.0, 99.0, "word")]), [Fault::LineOnWords]);
}

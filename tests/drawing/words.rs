//! What every sheet says and how it is drawn: datum and sense in words, heights, widths, margins.
//!
//! Heights: ISO 3098; widths: ISO 128-2, ratio 2 : 1; frame and margins: ISO 5457; title block: ISO 7200; all from
//! memory. What a template must say: common practice, no source.

use yokeline::drawing::{Item, Role, Sheet};

/// All words of a file, lines joined as they follow one another.
fn said(sheets: &[Sheet]) -> String {
    let texts = sheets.iter().flat_map(|sheet| {
        let view = sheet.view.iter().flat_map(|view| &view.drawing.items);
        sheet.items.iter().chain(view).filter_map(|item| match item {
            Item::Text(text) => Some(text.words.as_str()),
            Item::Line(_) => None,
        })
    });
    texts.collect::<Vec<_>>().join(" ")
}

#[test]
fn every_template_says_where_zero_is_and_which_way_is_which() {
    let mut counts = std::collections::BTreeMap::<String, usize>::new();
    let mut count = |kind: &str| *counts.entry(kind.to_owned()).or_default() += 1;
    for (name, sheets) in super::every_page() {
        let Some(file) = name.split("/print/").nth(1) else { continue };
        // Strips prove what is drilled already, the book binds the others.
        if file.starts_with("strips-") || file.starts_with("all.") || !sheets.iter().any(|sheet| sheet.full_scale) {
            continue;
        }
        let mut wanted = vec!["Zero, the L", "Go: rulers 100 mm", "Then do not cut", "Scale 1:1"];
        let words = said(sheets);
        let kind = file.split('-').next().unwrap();
        count(kind);
        wanted.extend(match kind {
            "plate" => {
                vec!["Seen from the side", "this way", "inside edge of the line, the outline to its outside edge"]
            }
            "notch" => vec![
                "Seen from outside",
                "toward the front",
                "toward the rear",
                "outboard",
                "to the inside edge of the solid line",
            ],
            "doubler" => vec![
                "Seen from outside",
                "u runs along the rail to the front",
                "On the rail it stands",
                "board)",
                "outline to its outside edge, an opening to the inside edge",
            ],
            // Nothing is cut.
            "drill" => {
                vec!["Seen from outside", "toward the front", "toward the rear", "outboard", "Punch the crosses"]
            }
            "liner" | "sleeve" => {
                vec!["seen from outside", "this end", "on the side that faces", "outside edge of the solid line"]
            }
            other => panic!("{name}: what must a {other} say?"),
        });
        if words.contains("Wrap fully round") {
            count("wrap");
            // A sleeve closes on its own tube.
            let [marks, again] = if kind == "sleeve" {
                ["straight sides meet", "measure the tube"]
            } else {
                ["closing marks", "re-measure"]
            };
            wanted.extend([marks, "by over 1/16 in", again]);
        }
        let missing: Vec<_> = wanted.into_iter().filter(|phrase| !words.contains(phrase)).collect();
        assert!(missing.is_empty(), "{name}: {missing:?} not in {words}");
    }
    for (kind, least) in
        [("plate", 10), ("notch", 4), ("doubler", 6), ("liner", 2), ("sleeve", 1), ("drill", 1), ("wrap", 2)]
    {
        assert!(counts.get(kind).is_some_and(|&count| count >= least), "{kind}: {counts:?}");
    }
}

#[test]
fn every_sheet_has_a_whole_title_block() {
    let mut owners = 0;
    for (name, sheets) in super::every_page() {
        for sheet in sheets.iter().filter(|sheet| sheet.view.is_none()) {
            let block = |item: &Item| matches!(item, Item::Line(line) if line.key.as_deref() == Some("block"));
            if !sheet.items.iter().any(block) {
                let bare = name.contains("/cut/") || name.contains("/record/") && !name.contains("build-record");
                assert!(bare, "{name} has no title block");
                continue;
            }
            let words = said(std::slice::from_ref(sheet));
            for field in [
                "document type",
                "title",
                "vehicle",
                "job",
                "general tolerance",
                "ISO 2768",
                "drawn by",
                "date of issue",
                "approved",
                "scale",
                "units",
                "identification number",
                "revision",
                "sheet",
                "projection",
            ] {
                assert!(words.contains(field), "{name}: {field}");
            }
            owners += usize::from(words.contains("legal owner"));
        }
    }
    assert!(owners > 10, "{owners}");
}

#[test]
fn heights_widths_and_margins_are_those_of_the_standards() {
    for (name, sheets) in super::every_page() {
        for sheet in sheets {
            for item in &sheet.items {
                match item {
                    Item::Text(text) if text.role != Role::Band => {
                        assert!([1.8, 2.5, 3.5, 5.0, 7.0, 10.0].contains(&text.height), "{name}: {}", text.words);
                    }
                    // Four millimetres are what most printers cannot reach.
                    Item::Line(line) if line.role != Role::Band && !name.contains("/cut/") => {
                        let (low, high) = line.path.bounds();
                        let [width, height] = sheet.size;
                        let inside = low.x >= 4.0 && low.y >= 4.0 && high.x <= width - 4.0 && high.y <= height - 4.0;
                        assert!(inside, "{name}: {:?} {:?}", line.role, line.key);
                    }
                    _ => {}
                }
            }
        }
    }
    let width = |role: Role| role.style().width;
    for role in Role::ALL {
        assert!([0.18, 0.25, 0.35, 0.5, 0.7].iter().any(|w| (w - width(role)).abs() < 1e-9), "{role:?}");
    }
    assert!((width(Role::Outline) - 2.0 * width(Role::Dimension)).abs() < 1e-9);
    for narrow in [Role::Hidden, Role::Centre, Role::Dimension, Role::Check, Role::Score] {
        assert!((width(narrow) - 0.25).abs() < 1e-9, "{narrow:?}");
    }
    assert!((width(Role::Frame) - 0.7).abs() < 1e-9);
}

#[test]
fn every_check_strip_says_how_it_is_laid() {
    let mut strips = 0;
    for (name, sheets) in super::every_page() {
        if !name.contains("/print/strips-") {
            continue;
        }
        strips += 1;
        let words = said(sheets);
        let wanted =
            ["Check strips, 1:1", "lay it on its row", "in the middle of its hole", "row at", "Go: rulers 100 mm"];
        let missing: Vec<_> = wanted.into_iter().filter(|phrase| !words.contains(phrase)).collect();
        assert!(missing.is_empty(), "{name}: {missing:?} not in {words}");
    }
    assert!(strips >= 4, "{strips} files of strips");
}

/// ISO 128-3 (from memory): what a view's scale leaves too small to read is ringed there and drawn again larger, with
/// its scale. Here a mouth under 5 mm on paper: the upper shaft of the forward van is drawn at 1:2, its spot at 3.3 mm.
#[test]
fn a_spot_too_small_to_read_has_a_detail() {
    let mut details = 0;
    for (name, sheets) in super::every_page() {
        if !name.contains("drawings/shaft-") {
            continue;
        }
        let words = said(sheets);
        let reduced = words.contains("1:2; do not measure it") || words.contains("1:5; do not measure it");
        let section = words.contains(", section ");
        details += usize::from(section);
        assert_eq!(section, reduced && words.contains("D1"), "{name}: {words}");
    }
    assert_eq!(details, 1);
}

/// A drawing of a shaft that needs no second sheet has none: only a list of what is not measured may run on.
#[test]
fn a_shaft_goes_on_one_sheet() {
    for (name, sheets) in super::every_page() {
        if name.contains("drawings/shaft-") {
            assert_eq!(sheets.len(), 1, "{name}");
        }
    }
}

/// No page ends with a heading, and none holds the signatures alone.
#[test]
fn headings_stay_with_what_they_head() {
    for (name, sheets) in super::every_page() {
        if !name.ends_with("build-record.pdf") {
            continue;
        }
        for sheet in sheets {
            let texts =
                sheet.items.iter().filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None });
            // Over the title block, which reaches to 46 mm.
            let body: Vec<_> = texts.filter(|text| text.at.y > 46.0 && text.role == Role::Text).collect();
            let lowest = body.iter().min_by(|a, b| a.at.y.total_cmp(&b.at.y)).unwrap();
            assert!(lowest.height < 3.0 || !lowest.bold, "{name} ends a page with {}", lowest.words);
            let headings: Vec<_> = body.iter().filter(|text| text.height > 3.0 && text.bold).collect();
            let alone = headings.len() == 1 && headings[0].words == "Signatures";
            assert!(!alone, "{name} has the signatures alone");
        }
    }
}

//! The drilling drawing and the check strips.

use yokeline::audit;
use yokeline::drawing::{Item, Sheet, drilling, strip};
use yokeline::pipeline::{self, Solved};
use yokeline::solve::strip::strips;

use super::near;

const MOUNTS: &str = include_str!("../../examples/heron-mounts/linkage.toml");

fn mounts() -> Solved {
    pipeline::solve("linkage.toml", MOUNTS.as_bytes(), &mut |_| ()).unwrap()
}

fn texts(sheets: &[Sheet]) -> Vec<String> {
    let items = sheets.iter().flat_map(|sheet| &sheet.items);
    let words = items.filter_map(|item| if let Item::Text(text) = item { Some(text.words.clone()) } else { None });
    words.collect()
}

/// Worked out by hand from the spec: mirrored mounts at 0.75 and 5.25 in, and the millimetres of both.
#[test]
fn ordinates_and_table() {
    let solved = mounts();
    let sheets = drilling::sheets(&solved.spec, &solved.solution, 0);
    let words = texts(&sheets);
    let has = |wanted: &str| assert!(words.iter().any(|text| text.contains(wanted)), "{wanted}: {words:#?}");
    for ordinate in ["0", "0.750 in [19.05 mm]", "5.250 in [133.35 mm]", "4.500 in [114.3 mm]", "6.000 in [152.4 mm]"] {
        has(ordinate);
    }
    for cell in
        ["pilot", "depth", "through", "mount 1", "cover 2", "tap 1/4-20", "drill #7", "countersink 82", "1/8 in"]
    {
        has(cell);
    }
    // A section of the countersunk holes and one of the tapped, each naming its holes.
    has("holes 5, 6, section 2:1");
    has("hole 7, section 2:1");
    assert_eq!(words.iter().filter(|text| *text == "drilling drawing").count(), sheets.len());
}

/// Values of one axis keep 3.8 mm apart, whatever the holes do; none is lost.
#[test]
fn ordinates_keep_apart() {
    let at: Vec<String> =
        (0..12).map(|i| format!("[{}, {}]", 1.0 + 0.13 * f64::from(i), 0.75 + 0.05 * f64::from(i))).collect();
    let text = MOUNTS.replacen(
        "at     = [[0.75, 0.75], [0.75, 2]]\nmirror = { u = 3 }",
        &format!("at = [{}]\n", at.join(", ")),
        1,
    );
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let sheets = drilling::sheets(&solved.spec, &solved.solution, 0);
    let mut columns: Vec<f64> = sheets[0]
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Text(text) if text.angle > 1.0 && text.words.contains('[') => Some(text.at.x),
            _ => None,
        })
        .collect();
    columns.sort_by(f64::total_cmp);
    assert!(columns.len() >= 14, "{columns:?}");
    assert!(columns.windows(2).all(|two| two[1] - two[0] > 3.79), "{columns:?}");
}

/// Where one axis has more places than fit, none of it is dimensioned, the other is, and the sheet says which.
#[test]
fn what_finds_no_room_is_told() {
    let text = |count: u32| {
        let at: Vec<String> = (0..count).map(|i| format!("[{}, 0.75]", 0.8 + 0.07 * f64::from(i))).collect();
        let old = "at     = [[0.75, 0.75], [0.75, 2]]\nmirror = { u = 3 }";
        let text = MOUNTS.replacen(old, &format!("at = [{}]\n", at.join(", ")), 1);
        assert_ne!(text, MOUNTS);
        let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
        let sheets = drilling::sheets(&solved.spec, &solved.solution, 0);
        let upright = |item: &&Item| matches!(item, Item::Text(text) if text.angle > 1.0 && text.words.contains('['));
        let level = |item: &&Item| matches!(item, Item::Text(text) if text.angle < 1.0 && text.words.contains('['));
        let items = &sheets[0].items;
        let told = texts(&sheets).join(" ").contains("Along u there are more places than this sheet has room");
        (told, items.iter().filter(upright).count(), items.iter().filter(level).count())
    };
    let (told, columns, rows) = text(20);
    assert!(!told && columns >= 20 && rows > 2, "{columns} {rows}");
    let (told, columns, rows) = text(60);
    assert!(told && columns == 0 && rows > 2, "{columns} {rows}");
}

/// Level rows first; a hole without a neighbour on its level goes with one over it.
#[test]
fn rows_of_holes() {
    let solved = mounts();
    let rows = strips(&solved.solution.plates[0]);
    let holes: Vec<(bool, Vec<usize>)> = rows.iter().map(|row| (row.upright, row.holes.clone())).collect();
    assert_eq!(holes, [(false, vec![0, 2]), (false, vec![1, 3]), (false, vec![4, 5])]);
    for row in &rows {
        let plate = &solved.solution.plates[0];
        let apart = plate.holes[row.holes[1]].centre.x - plate.holes[row.holes[0]].centre.x;
        near((row.centres[1] - row.centres[0]).x, apart, 1e-12, "spacing on the strip");
        near(row.centres[1].y, row.centres[0].y, 0.0, "level");
    }
    // Strips lie one under the other.
    assert!(rows.windows(2).all(|two| two[1].bounds[1].y < two[0].bounds[0].y));
    let sheets = strip::sheets(&solved.spec, &solved.solution, 0);
    assert!(texts(&sheets).iter().any(|text| text == "row at v 0.750 in [19.05 mm]"));
}

/// A drawing of a bracket bent otherwise, put into the package: refused at the bend.
#[test]
fn a_bend_drawn_otherwise_is_found() {
    const FILE: &str = "drawings/drilling-dash-drop-bracket.pdf";
    for (other, what) in [("angle  = \"89 deg\"", "bend foot, turn"), ("angle  = \"90 deg\"", "bend foot, way")] {
        let way = if other.contains("90") { "up" } else { "down" };
        let text =
            MOUNTS.replacen("angle  = \"90 deg\"\nway    = \"down\"", &format!("{other}\nway    = \"{way}\""), 1);
        assert_ne!(text, MOUNTS);
        let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
        let made = pipeline::make(text.as_bytes(), &solved, &mut |_| ()).unwrap();
        let drawing = made.into_iter().find(|file| file.path == FILE).unwrap().bytes;
        let files = [("linkage.toml".to_owned(), MOUNTS.as_bytes().to_vec()), (FILE.to_owned(), drawing)];
        let report = audit::audit(&files.into_iter().collect());
        let found = report.lines.iter().any(|line| !line.good && line.file == FILE && line.what.contains(what));
        assert!(found, "{what}");
    }
}

/// ISO 128-3 (from memory): what the view's scale leaves too small is ringed and drawn again, larger. Of every size of
/// plain hole under 2 mm on paper there is one detail, and of no other.
#[test]
fn a_hole_too_small_to_read_has_a_detail() {
    let solved = mounts();
    let mut details = 0;
    for (index, plate) in solved.solution.plates.iter().enumerate() {
        let sheets = drilling::sheets(&solved.spec, &solved.solution, index);
        let words = texts(&sheets);
        let over: f64 = words.iter().find_map(|text| text.strip_prefix("1:")?.split(',').next()?.parse().ok()).unwrap();
        let plain = plate.holes.iter().filter(|hole| {
            hole.countersink.is_none() && hole.depth.is_none() && hole.tap.is_none() && hole.slot.is_none()
        });
        let mut small: Vec<f64> = plain.map(|hole| hole.diameter).filter(|across| across / over < 2.0).collect();
        let rings = small.len();
        small.sort_by(f64::total_cmp);
        small.dedup();
        let told = words.iter().filter(|text| text.starts_with("hole") && text.contains(", detail")).count();
        assert_eq!(told, small.len(), "{}: {words:#?}", plate.name);
        // Each ring is 1.4 mm off its hole's rim.
        let ringed = sheets[0].items.iter().filter(|item| {
            let Item::Line(line) = item else { return false };
            let (low, high) = line.path.bounds();
            let across = high - low;
            line.key.is_none()
                && (across.x - across.y).abs() < 1e-9
                && plate.holes.iter().any(|hole| (across.x - hole.diameter / over - 2.8).abs() < 1e-9)
                && line.path.pieces.len() == 2
        });
        assert_eq!(ringed.count(), rings, "{}", plate.name);
        details += told;
    }
    assert!(details >= 2);
}

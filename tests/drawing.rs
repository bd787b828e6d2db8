//! Sheets: what is on them, where, and that nothing lies on anything else.
//!
//! Sizes: margins ISO 5457, cap heights ISO 3098, both from memory.

mod collision;
mod scale;
mod solved;
mod words;

use std::fs;
use std::path::PathBuf;
use std::sync::LazyLock;

use yokeline::drawing::layout::text_box;
use yokeline::drawing::record::FileLine;
use yokeline::drawing::sheet::{Line, Text};
use yokeline::drawing::survey_sheet::{self, Subject};
use yokeline::drawing::{Item, Role, Sheet, band, notch, plate, record, shaft};
use yokeline::geometry::{Path, Vec2};
use yokeline::pipeline;
use yokeline::solve::Solution;
use yokeline::solve::solution::{End, Groove, SpotWhen};
use yokeline::spec::types::{Projection, Unit, Unmeasured};
use yokeline::spec::{Draft, Source, Spec};

/// Every file of every example with its pages; solved once for all that look at them.
fn every_page() -> &'static [(String, Vec<Sheet>)] {
    static PAGES: LazyLock<Vec<(String, Vec<Sheet>)>> = LazyLock::new(|| {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples");
        let mut folders: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        folders.sort();
        let mut all = Vec::new();
        for folder in folders {
            let Ok(text) = fs::read(folder.join("linkage.toml")) else { continue };
            let example = folder.file_name().unwrap().to_str().unwrap().to_owned();
            let solved = pipeline::solve("linkage.toml", &text, &mut |_| ()).unwrap();
            let pages = pipeline::pages(&solved).into_iter();
            all.extend(pages.map(|(path, sheets)| (format!("{example}/{path}"), sheets)));
        }
        all
    });
    &PAGES
}

fn texts(sheet: &Sheet) -> Vec<&Text> {
    sheet.items.iter().filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None }).collect()
}

fn lines(sheet: &Sheet) -> Vec<&Line> {
    sheet.items.iter().filter_map(|item| if let Item::Line(line) = item { Some(line) } else { None }).collect()
}

fn keyed<'a>(sheet: &'a Sheet, key: &str) -> Option<&'a Path> {
    lines(sheet).into_iter().find(|line| line.key.as_deref() == Some(key)).map(|line| &line.path)
}

/// Two convex polygons share more than a hair (separating axis theorem).
fn overlap(a: &[Vec2], b: &[Vec2]) -> bool {
    const HAIR: f64 = 0.01;
    [a, b].iter().all(|polygon| {
        (0..polygon.len()).all(|i| {
            let axis = (polygon[(i + 1) % polygon.len()] - polygon[i]).left();
            let Some(axis) = axis.unit() else { return true };
            let span = |points: &[Vec2]| {
                points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
                    (low.min(p.dot(axis)), high.max(p.dot(axis)))
                })
            };
            let ((a0, a1), (b0, b1)) = (span(a), span(b));
            a1 - HAIR > b0 && b1 - HAIR > a0
        })
    })
}

fn variants() -> Vec<(&'static str, Spec, Solution)> {
    let spec = crate::common::heron();
    let solution = solved::heron();
    let mut metric = spec.clone();
    metric.build.units = Unit::Millimetre;
    metric.output.sheet = [210.0, 297.0];
    metric.output.projection = Projection::First;
    let mut wordy = spec.clone();
    wordy.build.title = "a long title of many words ".repeat(37);
    wordy.build.vehicle = "W".repeat(900);
    wordy.build.revision = "AB-17-final".into();
    wordy.output.print_correction = [0.9984, 1.0012];
    wordy.output.sheet = [279.4, 431.8];
    wordy.unmeasured = (0..4)
        .map(|i| Unmeasured {
            key: format!("joint.{}.lower.depth", i % 2),
            what: format!("joint {i}, depth of the column-side hub"),
        })
        .collect();
    let mut large = solution.clone();
    let plate = &mut large.plates[0];
    for vertex in &mut plate.outline {
        vertex.at = vertex.at * 4.0;
        vertex.centre = vertex.centre.map(|c| c * 4.0);
    }
    let mut busy = solution.clone();
    busy.shafts[0].cut_length = 95.0;
    let mut extra = busy.shafts[0].dimples[0].clone();
    (extra.station, extra.z, extra.clock) = (22.0, 22.0, 180.0);
    busy.shafts[0].dimples.push(extra);
    for dimple in &mut busy.shafts[0].dimples {
        dimple.z = if dimple.end == End::Upper { dimple.station } else { 95.0 - dimple.station };
    }
    let mut turned = metric.clone();
    // Its words take so much room along the rail that the template is turned.
    turned.rails[0].marks[0].name = "rear edge of the crossmember under the radiator, left side, at the punch".into();
    let mut pinned = solution.clone();
    pinned.shafts[0].dimples[0].spot = SpotWhen::Fit;
    pinned.shafts[0].dimples[1].spot = SpotWhen::None;
    pinned.shafts[0].grooves.push(Groove {
        end: End::Lower,
        station: 15.24,
        offset: 10.16,
        diameter: 7.94,
        clock: 0.0,
    });
    vec![
        ("turned", turned, solution.clone()),
        ("pinned", spec.clone(), pinned),
        ("inch", spec.clone(), solution.clone()),
        ("metric", metric, solution.clone()),
        ("wordy", wordy, solution),
        ("large", spec.clone(), large),
        ("busy", spec, busy),
    ]
}

fn variant(name: &str) -> (&'static str, Spec, Solution) {
    variants().into_iter().find(|variant| variant.0 == name).unwrap()
}

fn every_sheet() -> Vec<(String, Sheet)> {
    let file = |path: &str, sha256: Option<String>| FileLine { path: path.into(), what: "a file".into(), sha256 };
    let files = [file("record/build-record.pdf", None), file("results.json", Some("0123456789abcdef".repeat(4)))];
    let mut all = Vec::new();
    for (name, spec, solution) in variants() {
        let documents = [
            ("shaft", shaft::sheets(&spec, &solution, 0)),
            ("plate", plate::sheets(&spec, &solution, 0)),
            ("notch", notch::sheets(&spec, &solution, 0)),
            ("record", record::record(&spec, &solution, &solved::findings(), &files).0),
        ];
        for (document, sheets) in documents {
            assert!(!sheets.is_empty(), "{name} {document}");
            for (number, sheet) in sheets.into_iter().enumerate() {
                all.push((format!("{name}-{document}-{}", number + 1), sheet));
            }
        }
    }
    let limits = yokeline::check::rules::limits();
    for (name, text) in [("survey", HARD_SURVEY), ("mock-up", include_str!("../examples/bench-mockup/linkage.toml"))] {
        let draft = Draft::read(Source { name: "linkage.toml", text }, &limits).unwrap();
        let subject = Subject {
            build: draft.build().unwrap(),
            output: draft.output().unwrap(),
            sha256: draft.sha256(),
            survey: draft.survey(),
            mock_ups: draft.mock_ups(),
        };
        let sheets = survey_sheet::sheets(&subject);
        assert!(sheets.len() > 1, "{name}");
        all.extend(sheets.into_iter().enumerate().map(|(i, sheet)| (format!("measuring-{name}-{}", i + 1), sheet)));
    }
    all
}

/// Every kind of reading, points with and without rough places, points near one another, and names of every length.
const HARD_SURVEY: &str = r#"
format = 1
build = { title = "Heron roadster", vehicle = "Heron", units = "in" }
[survey]
mark = [
  { name = "A", at = [0, 0, 0] },
  { name = "B", at = [30, 0, 0] },
  { name = "left rail, rear end of the upper face by the cab mount", at = [12, -14, 2] },
  { name = "C", at = [30.5, 0.3, 0.2] },
]
tape = [
  { from = "A", to = "column end" },
  { from = "B", to = "column end" },
  { from = "B", to = "C" },
  { from = "left rail, rear end of the upper face by the cab mount", to = "column upper", skin = "2 in" },
  { from = "left rail, rear end of the upper face by the cab mount", to = "column upper" },
  { from = "column end", to = "left rail, rear end of the upper face by the cab mount" },
  { from = "A", to = "tip of the straight tube slipped over the input shaft here" },
  { from = "left rail, rear end of the upper face by the cab mount", to = "tip of the straight tube slipped over the input shaft here" },
  { from = "A", to = "far", skin = "1 in" },
]
offset = [
  { of = "column end", along = "z" },
  { of = "column end", along = "y" },
  { of = "column end", along = "x" },
  { of = "tip of the straight tube slipped over the input shaft here", along = "x" },
  { of = "tip of the straight tube slipped over the input shaft here", along = "y" },
  { of = "tip of the straight tube slipped over the input shaft here", along = "z" },
]
slope = [
  { from = "column end", to = "column upper", view = "side" },
  { from = "column end", to = "column upper", view = "plan" },
  { from = "column upper", to = "column end", view = "side" },
  { from = "column end", to = "column upper", view = "true" },
  { from = "A", to = "B", view = "side" },
  { from = "A", to = "far", view = "plan" },
  { from = "left rail, rear end of the upper face by the cab mount", to = "tip of the straight tube slipped over the input shaft here", view = "true" },
]
start = [{ of = "column end", near = [24, -15, 11] }, { of = "column upper", near = [54, -16.7, 24.7] }]
[column]
end = "column end"
toward = "column upper"
form = "dd-3/4"
exposed = "2 in"
[gear]
end = "tip of the straight tube slipped over the input shaft here"
beyond = "far"
form = "3/4-36"
exposed = "1 in"
[[joint]]
name = "upper"
part = "single-3/4"
[[joint]]
name = "lower joint at the gear, under the alternator bracket"
part = "single-3/4-36"
[[shaft]]
name = "bar"
stock = "dd-3/4"
material = "1018-cold-drawn"
mockup = {}
"#;

/// Every reading of a survey has its row with both names whole, and as many blanks.
#[test]
fn a_measuring_sheet_has_every_reading() {
    let sheets: Vec<Sheet> =
        every_sheet().into_iter().filter(|(name, _)| name.starts_with("measuring-survey")).map(|(_, s)| s).collect();
    let all: Vec<String> = sheets.iter().flat_map(texts).map(|text| text.words.clone()).collect();
    let count = |start: &str| all.iter().filter(|words| words.starts_with(start)).count();
    assert_eq!((count("tape "), count("offset "), count("slope ")), (9, 6, 7));
    // Two of the frame's level, 22 of the survey, four of the mock-up.
    assert_eq!(count("reads, "), 2 + 22 + 4);
    let same = |word: &str| all.iter().filter(|words| *words == word).count();
    assert_eq!((same("again"), same("initials")), (28, 28));
    assert_eq!(count("reads, inches, to 1/32 in"), 9 + 6 + 1);
    let flowing = all.join(" ");
    for words in ["near skin of the round of 2.000 in (50.8 mm) at \"column upper\"", "lay it level in V-blocks"] {
        assert!(flowing.contains(words), "{words}");
    }
}

/// The border: the widest rectangle drawn as frame.
fn border(sheet: &Sheet) -> (Vec2, Vec2) {
    lines(sheet)
        .iter()
        .filter(|line| line.role == Role::Frame)
        .map(|line| line.path.bounds())
        .max_by(|a, b| (a.1.x - a.0.x).total_cmp(&(b.1.x - b.0.x)).then((a.1.y - a.0.y).total_cmp(&(b.1.y - b.0.y))))
        .unwrap()
}

#[test]
fn no_words_lie_on_others_or_cross_the_border() {
    let mut faults = Vec::new();
    for (name, sheet) in every_sheet() {
        let (low, high) = border(&sheet);
        let boxes: Vec<_> = texts(&sheet).into_iter().map(|text| (text, text_box(text))).collect();
        for (i, (text, corners)) in boxes.iter().enumerate() {
            if corners.iter().any(|p| p.x < low.x || p.x > high.x || p.y < low.y || p.y > high.y) {
                faults.push(format!("{name}: {:?} crosses the border", text.words));
            }
            for (other, theirs) in &boxes[..i] {
                if overlap(corners, theirs) {
                    faults.push(format!("{name}: {:?} on {:?}", text.words, other.words));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn no_heavy_line_runs_through_words() {
    let heavy = [Role::Frame, Role::Cut, Role::Drill, Role::Outline, Role::Check, Role::Score];
    let mut faults = Vec::new();
    for (name, sheet) in every_sheet() {
        for text in texts(&sheet) {
            let corners = text_box(text);
            for line in lines(&sheet).into_iter().filter(|line| heavy.contains(&line.role)) {
                let points = line.path.flattened(0.05);
                let ends = points.windows(2).any(|pair| overlap(&corners, &[pair[0], pair[1]]));
                if ends {
                    faults.push(format!("{name}: {:?} under {:?} {:?}", text.words, line.role, line.key));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn everything_lies_on_the_sheet_and_keys_are_unique() {
    for (name, sheet) in every_sheet() {
        let mut keys = Vec::new();
        for line in lines(&sheet) {
            let (low, high) = line.path.bounds();
            let inside = low.x >= 0.0 && low.y >= 0.0 && high.x <= sheet.size[0] && high.y <= sheet.size[1];
            assert!(inside, "{name}: {:?} {:?} {low:?} {high:?}", line.role, line.key);
            keys.extend(line.key.clone());
        }
        let all = keys.len();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), all, "{name}");
    }
}

#[test]
fn heights_are_those_of_iso_3098() {
    for (name, sheet) in every_sheet() {
        for text in texts(&sheet) {
            assert!([1.8, 2.5, 3.5, 5.0, 7.0, 10.0].contains(&text.height), "{name}: {} {}", text.height, text.words);
        }
    }
}

#[test]
fn templates_carry_two_rulers_of_100_mm_and_a_square() {
    let mut templates = 0;
    for (name, sheet) in every_sheet().into_iter().filter(|(_, sheet)| sheet.full_scale) {
        templates += 1;
        let (side, words) = if sheet.view.is_some() { (30.0, "42.43 mm") } else { (50.0, "70.71 mm") };
        for (key, across, up) in [("ruler.x", 100.0, 0.0), ("ruler.y", 0.0, 100.0), ("diagonal", side, side)] {
            let path = keyed(&sheet, key).unwrap();
            assert_eq!(path.pieces.len(), 1, "{name}");
            let way = path.end() - path.start;
            assert!((way.x - across).abs() < 1e-9 && (way.y - up).abs() < 1e-9, "{name} {key} {way:?}");
        }
        assert!(texts(&sheet).iter().any(|text| text.words == words), "{name}");
    }
    assert!(templates >= 10);
}

/// Part coordinates of sheet points by the L marked `datum`, as a reader of the file would find them.
fn by_datum(sheet: &Sheet) -> impl Fn(Vec2) -> Vec2 {
    let path = lines(sheet)
        .into_iter()
        .find(|line| line.key.as_deref().is_some_and(|key| key == "datum" || key.starts_with("datum.")))
        .map(|line| line.path.clone())
        .unwrap();
    let points = path.flattened(0.1);
    let [a, zero, b] = points[..] else { panic!("the datum is an L") };
    assert!(((a - zero).length() - 10.0).abs() < 1e-9 && ((b - zero).length() - 10.0).abs() < 1e-9);
    assert!((a - zero).dot(b - zero).abs() < 1e-9);
    move |p| Vec2::new((p - zero).dot(a - zero) / 10.0, (p - zero).dot(b - zero) / 10.0)
}

fn middle(path: &Path) -> Vec2 {
    let (low, high) = path.bounds();
    (low + high) * 0.5
}

/// The drawing of a template: on its one sheet, or what its tiles show parts of.
fn whole(sheets: &[Sheet]) -> Sheet {
    let sheet = sheets.iter().find(|sheet| sheet.full_scale).unwrap();
    sheet.view.as_ref().map_or_else(|| sheet.clone(), |view| (*view.drawing).clone())
}

#[test]
fn holes_stand_where_the_solution_has_them() {
    for (name, spec, solution) in variants() {
        let template = whole(&plate::sheets(&spec, &solution, 0));
        let cut = plate::cut_sheet(&spec, &solution, 0).unwrap();
        for sheet in [template, cut] {
            let part = by_datum(&sheet);
            for (number, hole) in solution.plates[0].holes.iter().enumerate() {
                let path = keyed(&sheet, &format!("hole.{}", number + 1)).unwrap();
                let found = part(middle(path));
                assert!((found - hole.centre).length() < 1e-9, "{name} {found:?}");
                let (low, high) = path.bounds();
                assert!((high.x - low.x - hole.diameter).abs() < 1e-9);
            }
            assert!(keyed(&sheet, "outline").is_some() && keyed(&sheet, "opening.1").is_some());
        }
    }
}

#[test]
fn a_notch_is_turned_but_never_mirrored() {
    for (name, spec, solution) in variants() {
        let template = notch::sheets(&spec, &solution, 0).remove(0);
        let cut = notch::cut_sheet(&spec, &solution, 0).unwrap();
        // Zero lies in the rail's u at the datum mark, 6.5 in, or off it by what the key says.
        for sheet in [template, cut] {
            let key = lines(&sheet).into_iter().find_map(|l| l.key.clone().filter(|k| k.starts_with("datum"))).unwrap();
            let off: f64 = key.strip_prefix("datum.").map_or(0.0, |mm| mm.parse().unwrap());
            let part = by_datum(&sheet);
            let path = keyed(&sheet, "notch.shop.1").unwrap();
            let points = path.flattened(0.1);
            for (found, plan) in points.iter().zip(&solution.notches[0].shop[0]) {
                let found = part(*found) + Vec2::new(6.5 * 25.4 + off, 0.0);
                assert!((found - *plan).length() < 1e-9, "{name} {key} {found:?} {plan:?}");
            }
            // v runs down where u runs right: seen from outside, the loop's sense is turned over.
            let solved = Path::polyline(&solution.notches[0].shop[0], true).unwrap().area();
            assert!((path.area() + solved).abs() < 1e-6, "{name}");
        }
    }
}

#[test]
fn a_left_rail_says_which_way_is_inboard_and_front() {
    // By the axes (ISO 4130): a rail left of the middle has its inboard face toward +y, and +u here runs to −x, the front.
    let (_, spec, solution) = variant("inch");
    let sheet = notch::sheets(&spec, &solution, 0).remove(0);
    let find = |words: &str| texts(&sheet).into_iter().find(|text| text.words.contains(words)).unwrap().at;
    let (front, rear) = (find("toward the front"), find("toward the rear"));
    let path = keyed(&sheet, "notch.shop.1").unwrap();
    let along = Vec2::new(1.0, 0.0);
    assert!(front.dot(along) > rear.dot(along) || front.y > rear.y);
    find("top face");
    find("right face");
    find("(inboard)");
    find("outboard");
    assert!(path.closed);
}

#[test]
fn a_plate_too_large_for_the_paper_goes_on_tiles_unscaled() {
    let (_, spec, solution) = variant("large");
    let sheets = plate::sheets(&spec, &solution, 0);
    assert!(sheets.iter().all(|sheet| (sheet.size[0].min(sheet.size[1]) - spec.output.sheet[0]).abs() < 1e-9));
    assert!(texts(&sheets[0]).iter().any(|text| text.words.contains("tiles to be joined")));
    let (low, high) = keyed(&whole(&sheets), "outline").unwrap().bounds();
    // Six inches made four times as long, on whichever side the drawing lies.
    let long = (high.x - low.x).max(high.y - low.y);
    assert!((long - 609.6).abs() < 1e-9);
}

#[test]
fn the_shaft_drawing_states_lengths_in_both_units() {
    let (_, spec, solution) = variant("inch");
    let sheet = shaft::sheets(&spec, &solution, 0).remove(0);
    let words: Vec<&str> = texts(&sheet).iter().map(|text| text.words.as_str()).collect();
    // 482 / 25.4 = 18.9764, 12.7 / 25.4 = 0.5.
    for wanted in ["18.976 ±0.020 in", "[482 ±0.5 mm]", "0.500 ±0.010 in", "[12.7 ±0.25 mm]", "flat A"] {
        assert!(words.contains(&wanted), "{wanted} in {words:?}");
    }
}

#[test]
fn a_failed_check_bands_every_sheet_and_leaves_its_lines() {
    let (_, spec, solution) = variant("inch");
    let before = plate::sheets(&spec, &solution, 0);
    let mut after = before.clone();
    band(&mut after, 0);
    assert_eq!(before, after);
    band(&mut after, 2);
    for (before, after) in before.iter().zip(&after) {
        assert_eq!(before.items[..], after.items[..before.items.len()]);
        assert!(texts(after).iter().any(|text| text.words == "DO NOT CUT: 2 checks fail" && text.role == Role::Band));
        assert!(lines(after).iter().all(|line| line.role != Role::Band || !line.filled));
    }
}

#[test]
fn a_long_record_is_headed_on_every_page_and_loses_nothing() {
    let (_, spec, solution) = variant("wordy");
    let mut findings = solved::findings();
    findings[0].message = "word ".repeat(200);
    let many: Vec<_> = (0..30).flat_map(|_| findings.clone()).collect();
    let sheets = record::record(&spec, &solution, &many, &[]).0;
    assert!(sheets.len() > 10);
    let words: usize =
        sheets.iter().flat_map(texts).map(|text| text.words.split(' ').filter(|word| *word == "word").count()).sum();
    assert_eq!(words, 30 * 200);
    for sheet in &sheets {
        assert!(texts(sheet).iter().any(|text| text.height > 2.5 && text.bold && text.at.y > sheet.size[1] - 30.0));
    }
}

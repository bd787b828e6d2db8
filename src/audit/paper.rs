//! PDF and SVG sheets against the solution.

use super::measured::{Measured, Segment};
use super::package::Plan;
use super::template::{self, Loop, Template};
use super::{AuditReport, drilling, layout, pdf, repair, svg, tiles};
use crate::geometry::{Path, Piece, Vec2};
use crate::quantity;
use crate::solve::files::{FileKind, PackageFile, RepairPart, package_files};
use crate::solve::notch::taped;
use crate::solve::plate::{centre_marks, hole_outline, path};
use crate::solve::rail_hole::{self, RailHole};
use crate::solve::solution::AxisCrossing;
use crate::solve::{member, rail_part};

/// Largest difference allowed on a PDF page (mm).
pub(super) const PDF: f64 = 0.01;
/// Largest difference allowed in an SVG file (mm).
pub(super) const SVG: f64 = 0.002;
/// Page boxes are stated in points to many digits (mm).
const BOX: f64 = 1e-3;

/// A paper that is bound in the print book, with its pages as read where it could be.
pub(super) fn pdf(
    file: &PackageFile,
    bytes: &[u8],
    plan: &Plan,
    report: &mut AuditReport,
) -> Option<Vec<pdf::PdfPage>> {
    let pages = open_pdf(&file.path, bytes, plan, report)?;
    measure(file, &pages, plan, report);
    Some(pages)
}

/// The pages of a paper against the solution.
pub(super) fn measure(file: &PackageFile, pages: &[pdf::PdfPage], plan: &Plan, report: &mut AuditReport) {
    let path = file.path.as_str();
    match file.kind {
        FileKind::Record => record(path, pages, plan, report),
        FileKind::ShaftDrawing(i, m) => {
            shaft_words(path, &words(pages), plan, (i, m), report);
            heading(path, pages, "shaft drawing", report);
        }
        FileKind::LayoutDrawing => layout::measure(path, pages, plan, report),
        FileKind::PlatePrint(i) => {
            heading(path, pages, "plate template", report);
            outlines(path, pages, &plate_loops(plan, i), 0.0, report);
            for page in pages {
                let seen = page.view.as_ref().map(|view| view.items.iter());
                let items: Vec<Measured> = page.items.iter().chain(seen.into_iter().flatten()).cloned().collect();
                drilling::bends(path, &items, &plan.solution.plates[i], PDF, report);
            }
        }
        FileKind::PlateStrips(i) => {
            heading(path, pages, "check strips", report);
            outlines(path, pages, &drilling::strip_loops(plan, i), 0.0, report);
        }
        FileKind::PlateDrawing(i) => drilling::measure(path, pages, plan, i, report),
        FileKind::NotchPrint(i) => {
            heading(path, pages, "notch template", report);
            let mut loops = notch_loops("notch.shop", &rail_part::paths(&plan.solution.notches[i]));
            loops.extend(notch_loops("notch.true", &rail_part::true_paths(&plan.solution.notches[i])));
            loops.extend(crossings(plan, i));
            loops.extend(notch_holes(plan, i));
            outlines(path, pages, &loops, mark(plan, i), report);
            notch_views(path, pages, plan, i, report);
        }
        FileKind::RailPrint(i, paper) => {
            heading(path, pages, "rail drilling template", report);
            let rail = &plan.solution.rails[i];
            let Some(holes) = rail_hole::papers(&plan.solution, rail).into_iter().nth(paper) else { return };
            let (_, mark) = rail_hole::mark(&plan.spec, rail, &holes);
            outlines(path, pages, &holes.iter().map(hole_loop).collect::<Vec<_>>(), mark, report);
            let words = words(pages);
            for hole in &holes {
                says(
                    path,
                    &words,
                    &format!("drill of hole {}", hole.number),
                    std::slice::from_ref(&hole.drill),
                    report,
                );
            }
        }
        FileKind::RepairPrint(i, part) => {
            heading(path, pages, repair::document(part), report);
            let (loops, from) = repair::loops(plan, (i, part), report, path);
            outlines(path, pages, &loops, from, report);
        }
        _ => {}
    }
}

/// The build record: readable, of this spec, banded as it must be.
fn record(file: &str, pages: &[pdf::PdfPage], plan: &Plan, report: &mut AuditReport) {
    let words = words(pages);
    for shaft in &plan.solution.shafts {
        says(file, &words, &format!("finished length of {}", shaft.name), &length_words(shaft.cut_length), report);
    }
    // A long one is wrapped, where there is room for it in the middle of a word.
    let solid = |text: &str| text.split_whitespace().collect::<String>();
    says(file, &solid(&words), "build-record number", &[solid(&plan.spec.build.record)], report);
    heading(file, pages, "build record", report);
    layout::on_record(file, pages, plan, report);
}

/// The same as SVG.
pub(super) fn shaft_svg(
    file: &str,
    bytes: &[u8],
    plan: &Plan,
    at: (usize, usize),
    report: &mut AuditReport,
) -> Option<svg::SvgDrawing> {
    let found = open_svg(file, bytes, plan, report)?;
    page_box(file, "sheet", [found.width_mm, found.height_mm], plan, report);
    shaft_words(file, &found.texts.join("\n"), plan, at, report);
    Some(found)
}

fn shaft_words(file: &str, words: &str, plan: &Plan, (i, m): (usize, usize), report: &mut AuditReport) {
    let Some(shaft) = member::members(&plan.spec, &plan.solution, i).into_iter().nth(m) else { return };
    says(file, words, "finished length", &length_words(shaft.length), report);
    for (name, end) in ["upper", "lower"].into_iter().zip(&shaft.ends) {
        let Some(end) = end else { continue };
        says(file, words, &format!("length of the {name} end"), &length_words(end.length), report);
    }
    if shaft.is_twisted() {
        let twist = quantity::degrees(shaft.twist().unwrap_or(0.0), 1);
        says(file, words, "twist between the flats", &[twist], report);
    }
    for (n, dimple) in shaft.dimples.iter().enumerate() {
        says(file, words, &format!("station of dimple {}", n + 1), &length_words(dimple.station), report);
    }
    for (n, groove) in shaft.grooves.iter().enumerate() {
        says(file, words, &format!("station of groove {}", n + 1), &length_words(groove.station), report);
    }
}

/// Every page says what kind of document it is.
pub(super) fn heading(file: &str, pages: &[pdf::PdfPage], document: &str, report: &mut AuditReport) {
    for (n, page) in pages.iter().enumerate() {
        let found = page.texts.iter().find(|text| *text == document).map_or("another", String::as_str);
        report.equal(file, format!("page {}, document type", n + 1), document, found);
    }
}

/// The page that shows where a notch is says every length that is taped.
fn notch_views(file: &str, pages: &[pdf::PdfPage], plan: &Plan, i: usize, report: &mut AuditReport) {
    let notch = &plan.solution.notches[i];
    let Some(rail) = plan.solution.rails.iter().find(|rail| rail.name == notch.rail) else { return };
    let title = format!("{}: where it is", notch.name);
    // A long name is wrapped.
    let solid = |text: &str| text.split_whitespace().collect::<String>();
    let Some(page) = pages.iter().find(|page| solid(&page.texts.join("")).contains(&solid(&title))) else {
        report.wrong(file, "three views of the notch", title, "missing");
        return;
    };
    let text = page.texts.join("\n");
    let taped = taped::taped(notch, rail, mark(plan, i));
    let ways = [("along the rail", &taped.along), ("down its side", &taped.down), ("over its top", &taped.across)];
    for (way, lengths) in ways {
        for (n, length) in lengths.iter().enumerate() {
            let tape = quantity::tape(length.abs(), plan.spec.build.tape_step).to_string();
            let wanted = [tape, format!("[{}]", quantity::millimetres(length.abs(), 2))];
            says(file, &text, &format!("taped {way}, {}", n + 1), &wanted, report);
        }
    }
}

/// A plate's outline for a cutter.
pub(super) fn plate_svg(file: &str, bytes: &[u8], plan: &Plan, i: usize, report: &mut AuditReport) {
    let Some(found) = open_svg(file, bytes, plan, report) else { return };
    let (plate, least) = (&plan.solution.plates[i], plan.spec.output.least_hole);
    let mut loops = plate_loops(plan, i);
    for (n, hole) in plate.holes.iter().enumerate() {
        let centres = centre_marks(hole, plate.thick, least);
        if !centres.is_empty() {
            loops.retain(|planned| planned.key != format!("hole.{}", n + 1));
            marked(file, &found.items, n + 1, &centres, report);
        }
    }
    drilling::bends(file, &found.items, plate, SVG, report);
    template::check(file, &Template { items: found.items }, &loops, 0.0, SVG, report);
}

/// Crosses in place of a hole that is too small for the cutter: scored, on its centre.
fn marked(file: &str, items: &[Measured], number: usize, centres: &[Vec2], report: &mut AuditReport) {
    // Without a zero the file is named already.
    let Some(datum) = template::datum(items) else { return };
    for (end, &centre) in centres.iter().enumerate() {
        for axis in ["u", "v"] {
            let key = format!("centre.{number}.{}.{axis}", end + 1);
            let found = items.iter().find(|item| item.key.as_deref() == Some(key.as_str()));
            let Some((a, b)) = found.filter(|item| item.group == "score").and_then(Measured::straight) else {
                report.wrong(file, key, "a scored line", "missing");
                continue;
            };
            let off = (datum.part((a + b) * 0.5) - centre).length();
            report.number(file, key, 0.0, off, SVG, "mm");
        }
    }
}

/// A notch's outline for a cutter.
pub(super) fn notch_svg(file: &str, bytes: &[u8], plan: &Plan, i: usize, report: &mut AuditReport) {
    let Some(found) = open_svg(file, bytes, plan, report) else { return };
    let mut loops = notch_loops("notch.shop", &rail_part::paths(&plan.solution.notches[i]));
    loops.extend(notch_holes(plan, i));
    template::check(file, &Template { items: found.items }, &loops, mark(plan, i), SVG, report);
}

/// Outline of a liner, sleeve or doubler for a cutter.
pub(super) fn repair_svg(file: &str, bytes: &[u8], plan: &Plan, at: (usize, RepairPart), report: &mut AuditReport) {
    let Some(found) = open_svg(file, bytes, plan, report) else { return };
    let (loops, from) = repair::loops(plan, at, report, file);
    template::check(file, &Template { items: found.items }, &loops, from, SVG, report);
}

/// Station (mm) of the mark a notch counts from; the rail's first point without one.
pub(super) fn mark(plan: &Plan, i: usize) -> f64 {
    let notch = &plan.spec.notches[i];
    notch.datum.and_then(|datum| plan.spec.rails[notch.rail].marks.get(datum)).map_or(0.0, |mark| mark.at)
}

/// The rings where axes pass the outside: 3 mm across.
fn crossings(plan: &Plan, i: usize) -> Vec<Loop> {
    let one = |(n, crossing): (usize, &AxisCrossing)| {
        let name = format!("axis.{}", n + 1);
        Loop {
            key: name.clone(),
            what: name,
            curve: curve(&Path::circle(crossing.at, 1.5)),
            round: Some((crossing.at, 3.0)),
            cut: false,
        }
    };
    plan.solution.notches[i].axes.iter().enumerate().map(one).collect()
}

/// The bolt holes a notch's template shows.
fn notch_holes(plan: &Plan, i: usize) -> Vec<Loop> {
    let (solution, notch) = (&plan.solution, &plan.solution.notches[i]);
    let rail = solution.rails.iter().find(|rail| rail.name == notch.rail);
    rail.map_or_else(Vec::new, |rail| {
        let all = rail_hole::holes(solution, rail);
        let shown = rail_hole::on_notch(rail, &all, notch);
        shown.iter().map(hole_loop).collect()
    })
}

fn hole_loop(hole: &RailHole) -> Loop {
    let round = Some((hole.at, hole.diameter));
    let curve = curve(&Path::circle(hole.at, 0.5 * hole.diameter));
    let (key, what) = (format!("hole.{}", hole.number), format!("hole {}, bolt {}", hole.number, hole.bolt));
    Loop { key, what, curve, round, cut: true }
}

fn notch_loops(key: &str, loops: &[Path]) -> Vec<Loop> {
    let name = |n| format!("{key}.{}", n + 1);
    let cut = key == "notch.shop";
    let one = |(n, path)| Loop { key: name(n), what: name(n), curve: curve(path), round: None, cut };
    loops.iter().enumerate().map(one).collect()
}

fn plate_loops(plan: &Plan, i: usize) -> Vec<Loop> {
    let plate = &plan.solution.plates[i];
    let mut loops = Vec::new();
    let mut add = |key: String, what: String, vertices: &[_], round| {
        if let Some(path) = path(vertices) {
            loops.push(Loop { key, what, curve: curve(&path), round, cut: true });
        }
    };
    add("outline".to_owned(), "outline".to_owned(), &plate.outline, None);
    for (n, opening) in plate.openings.iter().enumerate() {
        add(format!("opening.{}", n + 1), format!("opening {}", opening.name), &opening.outline, None);
    }
    for (n, hole) in plate.holes.iter().enumerate() {
        let round = hole.slot.is_none().then_some((hole.centre, hole.diameter));
        add(format!("hole.{}", n + 1), format!("hole {}", hole.name), &hole_outline(hole), round);
    }
    loops
}

/// A path of the solution as a curve to measure against.
pub(super) fn curve(path: &Path) -> Measured {
    let mut segments: Vec<Segment> = path
        .runs()
        .map(|(from, piece)| match *piece {
            Piece::Line { to } => Segment::Line { from, to },
            Piece::Cubic { c1, c2, to } => Segment::Cubic { from, c1, c2, to },
            Piece::Arc { centre, major, minor, start, sweep } => Segment::Arc { centre, major, minor, start, sweep },
        })
        .collect();
    if path.closed && (path.end() - path.start).length() > 1e-9 {
        segments.push(Segment::Line { from: path.end(), to: path.start });
    }
    Measured { key: None, group: String::new(), filled: false, closed: path.closed, runs: 1, segments }
}

/// Reads a PDF and checks what every PDF of the package has in common.
pub(super) fn open_pdf(file: &str, bytes: &[u8], plan: &Plan, report: &mut AuditReport) -> Option<Vec<pdf::PdfPage>> {
    let mut found = match pdf::read(bytes) {
        Ok(found) => found,
        Err(error) => {
            report.wrong(file, "PDF", "readable", error.to_string());
            return None;
        }
    };
    let asked = |yes: bool| if yes { "asked for" } else { "not asked for" };
    report.equal(file, "printing without scaling", asked(true), asked(found.unscaled));
    if found.pages.is_empty() {
        report.wrong(file, "pages", "one or more", "none");
    }
    // A drawing of another shaft of the same size would have all the words but these.
    let what = package_files(&plan.solution).into_iter().find(|planned| planned.path == file);
    let what = what.map_or_else(String::new, |planned| planned.what);
    report.equal(file, "title", format!("{}: {what}", plan.spec.build.title), found.title.as_str());
    let correction = plan.spec.output.print_correction;
    for (n, page) in found.pages.iter_mut().enumerate() {
        let text = page.texts.join("\n");
        let what = format!("page {}", n + 1);
        page_box(file, &what, [page.width_mm, page.height_mm], plan, report);
        let embedded = |yes: bool| if yes { "in the file" } else { "missing" };
        report.equal(file, format!("{what}, fonts"), embedded(true), embedded(page.fonts_embedded));
        says(file, &text, &format!("{what}, hash of the spec"), &[plan.spec.sha256[..12].to_owned()], report);
        band(file, &what, &page.warnings, plan, report);
        // The writer divided full-scale pages by the print correction about the middle of the page.
        if page.find("ruler.x").is_some() {
            let middle = Vec2::new(page.width_mm / 2.0, page.height_mm / 2.0);
            let view = page.view.as_mut();
            let seen = view.map(|view| {
                for corner in &mut view.window {
                    let off = *corner - middle;
                    *corner = middle + Vec2::new(off.x * correction[0], off.y * correction[1]);
                }
                &mut view.items
            });
            for item in page.items.iter_mut().chain(seen.into_iter().flatten()) {
                item.stretch(middle, correction);
            }
        }
    }
    Some(found.pages)
}

pub(super) fn open_svg(file: &str, bytes: &[u8], plan: &Plan, report: &mut AuditReport) -> Option<svg::SvgDrawing> {
    match svg::read(bytes) {
        Ok(found) => {
            band(file, "drawing", &found.warnings, plan, report);
            let other = found.misspelt.first().map_or("none", String::as_str);
            report.equal(file, "labels whose letters show something else", "none", other);
            Some(found)
        }
        Err(error) => {
            report.wrong(file, "SVG", "readable", error.to_string());
            None
        }
    }
}

/// Where a rule fails, every sheet says so and how many do; where none does, no sheet does.
fn band(file: &str, what: &str, warnings: &[String], plan: &Plan, report: &mut AuditReport) {
    let expected = match plan.failed() {
        0 => "none".to_owned(),
        1 => "DO NOT CUT: 1 check fails".to_owned(),
        n => format!("DO NOT CUT: {n} checks fail"),
    };
    // On the layer of warnings alone: anyone may give a part the same words as a title.
    let found = warnings.iter().find(|text| text.starts_with("DO NOT CUT")).map_or("none", String::as_str);
    report.equal(file, format!("{what}, band"), expected, found);
}

/// The paper is the one asked for, upright or turned.
pub(super) fn page_box(file: &str, what: &str, size: [f64; 2], plan: &Plan, report: &mut AuditReport) {
    let [a, b] = plan.spec.output.sheet;
    let turned = (size[0] - a).abs() > BOX && (size[0] - b).abs() <= BOX;
    let [w, h] = if turned { [b, a] } else { [a, b] };
    report.number(file, format!("{what}, width"), w, size[0], BOX, "mm");
    report.number(file, format!("{what}, height"), h, size[1], BOX, "mm");
}

/// Every page with rulers, and the template on it; every other page must say that it is not to scale.
///
/// A template is on one page, or on tiles that each show a part of it.
fn outlines(file: &str, pages: &[pdf::PdfPage], loops: &[Loop], mark: f64, report: &mut AuditReport) {
    let mut any = false;
    for (n, page) in pages.iter().enumerate() {
        let what = format!("page {}", n + 1);
        if page.find("ruler.x").is_none() && page.find("ruler.y").is_none() {
            let text = page.texts.join("\n").to_lowercase();
            let word = |yes: bool| if yes { "not to scale" } else { "neither rulers nor these words" };
            report.equal(file, format!("{what}, scale"), word(true), word(text.contains("not to scale")));
            let seen = if page.view.is_some() { "some" } else { "none" };
            report.equal(file, format!("{what}, part of a drawing"), "none", seen);
            continue;
        }
        scales(file, &what, page, report);
        let own = page.items.iter();
        let seen = page.view.as_ref().map(|view| view.items.iter());
        let template = Template { items: own.chain(seen.into_iter().flatten()).cloned().collect() };
        any |= template::datum(&template.items).is_some();
        template::check(file, &template, loops, mark, PDF, report);
    }
    if !any {
        report.wrong(file, "template", "a page with a datum", "missing");
    }
    tiles::check(file, pages, (loops, mark), PDF, report);
}

/// Side of the square that proves a page against skew (mm), and of the smaller one on a tile.
const SQUARE: [f64; 2] = [50.0, 30.0];

/// Rulers, square and diagonal of a full-scale page.
fn scales(file: &str, what: &str, page: &pdf::PdfPage, report: &mut AuditReport) {
    for key in ["ruler.x", "ruler.y"] {
        let Some((a, b)) = page.find(key).and_then(Measured::straight) else {
            report.wrong(file, format!("{what}, {key}"), "a straight line", "missing");
            continue;
        };
        let across = if key == "ruler.x" { b - a } else { Vec2::new((b - a).y, (b - a).x) };
        report.number(file, format!("{what}, {key}"), 100.0, across.x.abs(), PDF, "mm");
        report.number(file, format!("{what}, {key}, squareness"), 0.0, across.y, PDF, "mm");
    }
    let side = if page.view.is_some() { SQUARE[1] } else { SQUARE[0] };
    match page.find("diagonal").and_then(Measured::straight) {
        Some((a, b)) => {
            let long = (b - a).length();
            report.number(file, format!("{what}, diagonal"), side * std::f64::consts::SQRT_2, long, PDF, "mm");
        }
        None => report.wrong(file, format!("{what}, diagonal"), "a straight line", "missing"),
    }
}

pub(super) fn words(pages: &[pdf::PdfPage]) -> String {
    pages.iter().flat_map(|page| page.texts.iter()).map(String::as_str).collect::<Vec<_>>().join("\n")
}

/// A length as numbers in both units, as any drawing of ours writes them.
pub(super) fn length_words(mm: f64) -> [String; 2] {
    let number = |text: String| text.split(' ').next().unwrap_or_default().to_owned();
    [number(quantity::decimal_inch(mm)), number(quantity::millimetres(mm, 2))]
}

/// Every one of the words stands somewhere in a text.
pub(super) fn says(file: &str, text: &str, what: &str, wanted: &[String], report: &mut AuditReport) {
    for word in wanted {
        let found = if text.contains(word.as_str()) { word.as_str() } else { "not on the sheet" };
        report.equal(file, format!("{what}, in words"), word.as_str(), found);
    }
}

//! Pages of the build record: everything the package rests on, in plain tables.

use super::block::Block;
use super::layout::Note;
use super::layout_sheet;
use super::mock_up;
use super::plate::wide_table;
use super::record_built as built;
use super::record_curves;
use super::record_job as job;
use super::record_mounts;
use super::record_notch;
use super::record_origin;
use super::record_steer as steer;
use super::record_tables as tables;
use super::sheet::Sheet;
use super::table::{Pages, Table};
use super::title_block::{self, Heading};
use super::value;
use crate::check::{Finding, Status};
use crate::quantity;
use crate::solve::Solution;
use crate::solve::files::{FileKind, package_files};
use crate::spec::Spec;
use crate::spec::types::Axes;

/// What every reader must know first.
const CAUTIONS: [&str; 9] = [
    "A steering failure kills. This program certifies nothing: local codes and a licensed engineer or certifier decide.",
    "The column must still collapse as made after brackets and clamps are on.",
    "Never drill or heat a hardened gear shaft.",
    "Welding on steering parts is not advised and often unlawful.",
    "Make the airbag and the steering lock safe before any other work.",
    "Support the frame and move fuel and brake lines before welding near it.",
    "Use new lock nuts. Check that nothing can work loose, bind or touch over the whole turn and travel.",
    "Prove every print with its rulers before cutting; measure the vehicle again before cutting.",
    "No road test before inspection.",
];

/// A file of the package as the record lists it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileLine {
    /// Path in the package.
    pub path: String,
    /// What it is.
    pub what: String,
    /// SHA-256 of its bytes; `None` of a file that is made after the record, or holds it.
    pub sha256: Option<String>,
}

/// The build record, on sheets and as the blocks it is made of.
pub fn record(spec: &Spec, solution: &Solution, findings: &[Finding], files: &[FileLine]) -> (Vec<Sheet>, Vec<Block>) {
    let size = title_block::upright(spec);
    let area = title_block::room(size).body.without(3.0, 3.0, 3.0, 2.0);
    let mut pages = Pages::new("Build record", size, area);
    identity(&mut pages, spec, findings);
    for (path, title) in pictures(solution, |kind| matches!(kind, FileKind::LayoutPicture)) {
        layout_sheet::picture(&mut pages, spec, solution, path, title);
    }
    pages.section("Cautions");
    pages.notes(&CAUTIONS.map(Note::body));
    checks(&mut pages, spec, findings);
    job::steps(&mut pages, spec, solution);
    built::section(&mut pages, spec, solution);
    pages.section("Joints");
    pages.table(&tables::joints(spec, solution));
    pages.section("Shafts");
    pages.table(&tables::shafts(spec, solution));
    for (path, title) in pictures(solution, |kind| matches!(kind, FileKind::ShaftPicture(..))) {
        pages.picture(path, title);
    }
    let bearings = tables::bearings(spec, solution);
    if !bearings.rows.is_empty() {
        pages.heading("Support bearings");
        pages.table(&bearings);
    }
    pages.heading("Dimples, grooves and spots");
    pages.table(&tables::spots(spec, solution));
    mock_up::section(&mut pages, spec);
    motion(&mut pages, spec, solution);
    let words = format!(
        "Lost against the best phase: {} of error, {} % of swing in the speed ratio.",
        quantity::degrees(solution.phase.loss, 2),
        quantity::significant(solution.phase.loss_percent, 3)
    );
    pages.notes(&[Note::body(words)]);
    if !solution.phase.advice.is_empty() {
        pages.table(&steer::advice(solution));
    }
    if !solution.tilt.is_empty() {
        pages.section("Column tilt");
        pages.table(&steer::tilt(spec, solution));
    }
    if let Some(found) = &solution.clocking {
        pages.section("Straight ahead");
        pages.table(&steer::clocking(spec, found));
    }
    if !solution.strength.shafts.is_empty() || !solution.strength.joints.is_empty() {
        pages.section("Strength");
        pages.table(&tables::strength(solution));
        record_curves::strength(&mut pages, spec, solution);
        pages.table(&steer::sections(solution));
        pages.table(&tables::joint_loads(solution));
        pages.table(&steer::reactions(solution));
        if let Some(windup) = solution.strength.windup_at_wheel {
            let words =
                format!("Wind-up of the shafts at the wheel, gear held: at most {}.", quantity::degrees(windup, 1));
            pages.notes(&[Note::body(words)]);
        }
        pages.notes(&[Note::body(steer::not_included())]);
    }
    if !solution.strength.screws.is_empty() {
        pages.heading("Set screws: they hold the hubs on along the shaft, and carry no torque");
        pages.table(&steer::screws(solution));
    }
    if !solution.free_play.fits.is_empty() {
        pages.section("Free play");
        pages.table(&steer::free_play(spec, solution));
    }
    if !solution.clearances.is_empty() {
        pages.section("Clearances");
        pages.table(&tables::clearances(spec, solution));
        record_curves::gaps(&mut pages, spec, solution);
    }
    if !solution.rails.is_empty() {
        pages.section("Rails and notches");
        pages.table(&tables::rails(spec, solution));
        pages.table(&tables::notches(spec, solution));
        for (path, title) in pictures(solution, |kind| matches!(kind, FileKind::NotchCut(_))) {
            pages.picture(path, title);
        }
        if solution.notches.iter().any(|notch| !notch.shop.is_empty()) {
            pages.table(&record_notch::sections(spec, solution));
            pages.notes(&record_notch::notes(spec, solution));
        }
        for notch in solution.notches.iter().filter(|notch| !notch.section.stations.is_empty()) {
            pages.section(format!("Rail along {}", notch.name));
            pages.table(&record_notch::stations(spec, notch));
        }
    }
    if !solution.bolts.is_empty() {
        pages.section("Bolts through several parts");
        pages.table(&tables::bolts(spec, solution));
    }
    for (title, table) in record_mounts::tables(spec, solution) {
        pages.section(title);
        pages.table(&table);
    }
    for (i, plate) in solution.plates.iter().enumerate() {
        pages.section(format!("Plate: {}", plate.name));
        for (path, title) in pictures(solution, |kind| kind == FileKind::PlateCut(i)) {
            pages.picture(path, title);
        }
        pages.table(&tables::plate(spec, plate));
        pages.table(&wide_table(spec, plate));
    }
    if !solution.order.is_empty() {
        pages.section("Order list");
        pages.table(&tables::order(spec, solution));
    }
    if !spec.unmeasured.is_empty() {
        pages.section("Measure and confirm");
        let mut table = Table::new(&[("taken from the catalogue, not yet measured", 100.0), ("measured", 50.0)]);
        for value in &spec.unmeasured {
            table.row([value.what.clone(), String::new()]);
        }
        pages.table(&table);
    }
    pages.section("Where each number came from");
    pages.table(&record_origin::table(spec, solution));
    sources(&mut pages, findings);
    job::tests(&mut pages, spec);
    job::certificates(&mut pages, spec, solution);
    job::photos(&mut pages, solution);
    pages.section("Signatures");
    pages.signatures(&["builder", "checker", "certifier"]);
    if !files.is_empty() {
        pages.section("Files of this package");
        // Half a hash on a line: two lines a file.
        let mut table = Table::new(&[("file, and what it is", 110.0), ("SHA-256", 76.0)]);
        for file in files {
            let hash = file.sha256.as_ref().map_or_else(
                || "see manifest.json".to_owned(),
                |hash| match hash.split_at_checked(hash.len() / 2) {
                    Some((first, second)) => format!("{first}\n{second}"),
                    None => hash.clone(),
                },
            );
            table.row([format!("{}\n{}", file.path, file.what), hash]);
        }
        pages.files(&table);
    }
    let (mut sheets, blocks) = pages.finish_both();
    title_block::draw(&mut sheets, spec, &Heading { document: "build record".into(), scale: "none".into() });
    (sheets, blocks)
}

/// Drawings of the package that its record shows, by path and what they are.
fn pictures(solution: &Solution, wanted: impl Fn(FileKind) -> bool) -> Vec<(String, String)> {
    let files = package_files(solution).into_iter();
    files.filter(|file| wanted(file.kind)).map(|file| (file.path, file.what)).collect()
}

/// The frame of every point of the record.
fn axes(spec: &Spec) -> &'static str {
    match spec.axes {
        Axes::Vehicle => "x rearward, y to the vehicle's right, z up",
        Axes::MockUp => spec.axes.frame(),
    }
}

fn identity(pages: &mut Pages, spec: &Spec, findings: &[Finding]) {
    pages.section("Build record");
    let build = &spec.build;
    let mut table = Table::new(&[("of", 30.0), ("is", 120.0)]);
    if !build.owner.is_empty() {
        table.row(["legal owner".to_owned(), build.owner.clone()]);
    }
    for (of, is) in [
        ("job", build.title.as_str()),
        ("vehicle", &build.vehicle),
        ("record", &build.record),
        ("revision", &build.revision),
        ("drawn by", &build.drawn_by),
        ("date", &build.date),
        ("general tolerance", build.general.name()),
        ("spec SHA-256", &spec.sha256),
        ("written by", concat!("yokeline ", env!("CARGO_PKG_VERSION"))),
        ("axes", axes(spec)),
        ("angles about a shaft", "looking from the column toward the gear, clockwise is positive"),
    ] {
        table.row([of.to_owned(), if is.is_empty() { "not stated".into() } else { is.to_owned() }]);
    }
    pages.table(&table);
    let count = |status| findings.iter().filter(|finding| finding.status == status).count();
    let failed = count(Status::Fail);
    let verdict = format!(
        "{failed} beyond limit, {} near limit, {} within limit, {} not judged.",
        count(Status::Warn),
        count(Status::Pass),
        count(Status::Open)
    );
    let words = if failed > 0 { format!("Do not cut: {verdict}") } else { verdict };
    pages.notes(&[Note::strong(words)]);
}

fn number(spec: &Spec, value: Option<f64>, unit: &str) -> String {
    let Some(number) = value else { return String::new() };
    match unit {
        "mm" => value::two_lines(&spec.build, number),
        "deg" => quantity::degrees(number, 1),
        "MPa" => quantity::stress(number),
        "" if number.fract() == 0.0 => quantity::fixed(number, 0),
        "" => quantity::significant(number, 3),
        _ => format!("{} {unit}", quantity::significant(number, 3)),
    }
}

fn checks(pages: &mut Pages, spec: &Spec, findings: &[Finding]) {
    let group = |status: Status| {
        let mut table = Table::new(&[
            ("rule and verdict", 32.0),
            ("of", 34.0),
            ("found", 26.0),
            ("limit", 26.0),
            ("what and what to do", 68.0),
        ]);
        for finding in findings.iter().filter(|finding| finding.status == status) {
            table.row([
                format!("{}\n{}", finding.rule, status.words()),
                finding.subject.clone(),
                number(spec, finding.value, &finding.unit),
                number(spec, finding.limit, &finding.unit),
                finding.message.clone(),
            ]);
        }
        table
    };
    for (title, status) in [
        ("Checks beyond limit", Status::Fail),
        ("Checks near limit", Status::Warn),
        ("Not judged: something is not known", Status::Open),
        ("Checks within limit", Status::Pass),
    ] {
        let table = group(status);
        if !table.rows.is_empty() {
            if status == Status::Open {
                pages.apart(title);
            } else {
                pages.section(title);
            }
            pages.table(&table);
        }
    }
}

/// Where each rule's limit is from, once a rule and source.
fn sources(pages: &mut Pages, findings: &[Finding]) {
    let mut table = Table::new(&[("rule", 32.0), ("where its limit is from", 154.0)]);
    for finding in findings {
        let row = vec![finding.rule.clone(), finding.source.clone()];
        if !table.rows.contains(&row) {
            table.rows.push(row);
        }
    }
    if !table.rows.is_empty() {
        pages.section("Where the limits are from");
        pages.table(&table);
    }
}

fn motion(pages: &mut Pages, spec: &Spec, solution: &Solution) {
    pages.section("Motion over one turn");
    pages.table(&tables::motion(solution));
    record_curves::motion(pages, spec, solution);
}

//! What must be in a package, and what is.

use std::collections::BTreeMap;

use super::pdf::PdfPage;
use super::svg::SvgDrawing;
use super::{
    AuditReport, book, figure, html, layout, manifest, paper, results, step, step_assembly, step_liner, step_plate,
    step_rail, twins,
};
use crate::check::{self, Finding, Status};
use crate::solve::files::{FileKind, PackageFile, package_files};
use crate::solve::identity;
use crate::solve::{self, Solution};
use crate::solve::{doubler_part, liner_part, member, rail_part};
use crate::spec::{Draft, Spec};
use crate::survey;

/// The plan a package is measured against: its own spec, solved anew.
pub(super) struct Plan {
    /// What the user stated.
    pub(super) spec: Spec,
    /// What follows from it.
    pub(super) solution: Solution,
    /// What the rules say.
    pub(super) findings: Vec<Finding>,
}

impl Plan {
    /// How many rules fail: with any, every sheet is banded.
    pub(super) fn failed(&self) -> usize {
        self.findings.iter().filter(|finding| finding.status == Status::Fail).count()
    }
}

/// Pages of every paper that could be read, by path: the print book is compared with them.
pub(super) type Papers = BTreeMap<String, Vec<PdfPage>>;

/// Measures a whole package, given as its files' bytes by path.
///
/// Nothing of the code that wrote the files is called: the spec in the package is read and solved anew, and every
/// file is parsed by another reader and compared with that. Whatever is off stands in the report with its file.
pub fn audit(files: &BTreeMap<String, Vec<u8>>) -> AuditReport {
    let mut report = AuditReport::default();
    let manifest = manifest::check(files, &mut report);
    let Some(plan) = plan(files, &mut report) else { return report };
    let expected = package_files(&plan.solution);
    let mut papers = Papers::new();
    for file in &expected {
        if let Some(found) = manifest.as_ref().and_then(|manifest| manifest.what(&file.path)) {
            report.equal(manifest::PATH, format!("what {} is", file.path), file.what.as_str(), found);
        }
        match files.get(&file.path) {
            Some(bytes) if file.kind == FileKind::RecordPage => {
                let record = expected.iter().find(|file| file.kind == FileKind::Record);
                let paper = record.and_then(|record| papers.get(&record.path)).map(Vec::as_slice);
                let beside = html::Beside { files, expected: &expected, paper };
                html::check(&file.path, bytes, &plan, &beside, &mut report);
            }
            Some(bytes) => measure(file, bytes, &plan, &mut papers, &mut report),
            None => report.wrong(&file.path, "file", file.what.as_str(), "missing"),
        }
    }
    for path in files.keys() {
        if !expected.iter().any(|file| file.path == *path) {
            report.wrong(path, "file", "part of the package", "a stranger");
        }
    }
    report
}

pub(super) fn plan(files: &BTreeMap<String, Vec<u8>>, report: &mut AuditReport) -> Option<Plan> {
    let path = "linkage.toml";
    let Some(bytes) = files.get(path) else {
        report.wrong(path, "spec", "a file", "missing");
        return None;
    };
    let solved = Draft::read_bytes(path, bytes, &check::rules::limits()).and_then(|draft| {
        let layout = survey::place(&draft)?;
        let (solution, _) = solve::solve_placed(&layout)?;
        Ok((layout.spec, solution))
    });
    match solved {
        Ok((spec, solution)) => {
            let findings = check::run(&spec, &solution);
            Some(Plan { spec, solution, findings })
        }
        Err(errors) => {
            let first = errors.first().map_or("no reason given", |error| error.message.as_str());
            report.wrong(path, "spec", "one that solves", first);
            None
        }
    }
}

fn measure(file: &PackageFile, bytes: &[u8], plan: &Plan, papers: &mut Papers, report: &mut AuditReport) {
    let Plan { spec, solution, findings } = plan;
    let path = file.path.as_str();
    match file.kind {
        // Read already, or with all others beside it.
        FileKind::Linkage | FileKind::Manifest | FileKind::RecordPage => {}
        FileKind::Results => results::check(path, bytes, spec, solution, findings, report),
        FileKind::ShaftSolid(i, m) => {
            let Some(member) = member::members(spec, solution, i).into_iter().nth(m) else { return };
            let identity = identity::shaft(spec, i, &member);
            let plan = step::ShaftPlan { file: path, unit: spec.output.step_unit, identity, member };
            step::check(&plan, bytes, report);
        }
        FileKind::Assembly => step_assembly::check(path, bytes, spec, solution, report),
        FileKind::PlateSolid(i) => {
            let Some(result) = solution.plates.get(i) else { return };
            let identity = identity::plate(spec, result);
            let plan = step_plate::PlatePlan { file: path, unit: spec.output.step_unit, identity, result };
            step_plate::check(&plan, bytes, report);
        }
        FileKind::DoublerSolid(i) => {
            let Some(result) = doubler_part::plates(solution).into_iter().nth(i) else { return };
            let identity = identity::plate(spec, &result);
            let plan = step_plate::PlatePlan { file: path, unit: spec.output.step_unit, identity, result: &result };
            step_plate::check(&plan, bytes, report);
        }
        FileKind::LinerSolid(i) => {
            let Some(part) = liner_part::of(solution, i) else { return };
            let identity = identity::liner(spec, &part);
            step_liner::check(
                &step_liner::LinerPlan { file: path, unit: spec.output.step_unit, identity, part },
                bytes,
                report,
            );
        }
        FileKind::RailSolid(i) => {
            let Some(rail) = solution.rails.get(i) else { return };
            let (identity, cuts) = (identity::rail(spec, rail), rail_part::cuts(solution, rail));
            let plan = step_rail::RailPlan { file: path, unit: spec.output.step_unit, identity, rail, cuts };
            step_rail::check(&plan, bytes, report);
        }
        FileKind::Record
        | FileKind::ShaftDrawing(..)
        | FileKind::LayoutDrawing
        | FileKind::NotchPrint(_)
        | FileKind::RepairPrint(..)
        | FileKind::RailPrint(..)
        | FileKind::PlatePrint(_)
        | FileKind::PlateStrips(_)
        | FileKind::PlateDrawing(_) => {
            if let Some(pages) = paper::pdf(file, bytes, plan, report) {
                papers.insert(path.to_owned(), pages);
            }
        }
        FileKind::Figure(shown) => figure::check(path, bytes, plan, shown, report),
        FileKind::Book => book::check(path, bytes, plan, papers, report),
        FileKind::ShaftPicture(i, m) => {
            let found = paper::shaft_svg(path, bytes, plan, (i, m), report);
            twin(path, found, FileKind::ShaftDrawing(i, m), papers, plan, report);
        }
        FileKind::LayoutPicture => {
            let found = layout::svg(path, bytes, plan, report);
            twin(path, found, FileKind::LayoutDrawing, papers, plan, report);
        }
        FileKind::NotchCut(i) => paper::notch_svg(path, bytes, plan, i, report),
        FileKind::RepairCut(i, part) => paper::repair_svg(path, bytes, plan, (i, part), report),
        FileKind::PlateCut(i) => paper::plate_svg(path, bytes, plan, i, report),
    }
}

/// A picture beside its paper, where both could be read.
fn twin(
    path: &str,
    picture: Option<SvgDrawing>,
    paper: FileKind,
    papers: &Papers,
    plan: &Plan,
    report: &mut AuditReport,
) {
    let files = package_files(&plan.solution);
    let Some(paper) = files.iter().find(|file| file.kind == paper) else { return };
    // A paper that is damaged itself is named already.
    let sound = report.lines.iter().all(|line| line.good || line.file != paper.path);
    let (Some(picture), Some(pages), true) = (picture, papers.get(&paper.path), sound) else { return };
    twins::check(path, &picture, (&paper.path, pages), report);
}

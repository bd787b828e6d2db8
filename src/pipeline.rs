//! The only caller of all stages: text and named bytes in, artifacts and findings out. No files, no clock.

mod solids;

use std::collections::BTreeMap;

use crate::audit::AuditReport;
use crate::catalog::sheets::SheetSize;
use crate::check::{self, Finding, Status};
use crate::diagnostic::Diagnostic;
use crate::digest::sha256;
use crate::drawing::contents::Part;
use crate::drawing::record::FileLine;
use crate::drawing::survey_sheet::{self, Subject};
use crate::drawing::{self, Sheet};
use crate::export::html::{Listed, RecordPage};
use crate::export::{Artifact, ExportError, PaperMeta, html, manifest, pdf, results as results_file, svg};
use crate::solve::files::{FileKind, PackageFile, package_files};
use crate::solve::{self, Solution};
use crate::spec::types::Build;
use crate::spec::{self, Draft, Spec};
use crate::survey::{self, Layout, SurveyResult};
use solids::Solids;

/// Largest spec read (bytes).
pub const LARGEST_SPEC: usize = spec::LARGEST;

/// Called with the name of a stage when it has ended; the program reads its clock there.
pub type Watch<'a> = dyn FnMut(&'static str) + 'a;

/// A linkage read, solved and judged.
#[derive(Debug, Clone)]
pub struct Solved {
    /// What the user stated.
    pub spec: Spec,
    /// What follows from it.
    pub solution: Solution,
    /// What the rules say.
    pub findings: Vec<Finding>,
    /// What the user should look at.
    pub warnings: Vec<Diagnostic>,
}

impl Solved {
    /// How many rules fail: with any, nothing is to be cut.
    pub fn failed(&self) -> usize {
        self.count(Status::Fail)
    }

    /// How many judgements have that verdict.
    pub fn count(&self, status: Status) -> usize {
        self.findings.iter().filter(|finding| finding.status == status).count()
    }
}

/// Reads, solves and judges a spec; `name` is how the user calls the file.
pub fn solve(name: &str, bytes: &[u8], watch: &mut Watch<'_>) -> Result<Solved, Vec<Diagnostic>> {
    let draft = Draft::read_bytes(name, bytes, &check::rules::limits())?;
    watch("spec");
    let layout = survey::place(&draft)?;
    watch("survey");
    let (solution, more) = solve::solve_placed(&layout)?;
    let Layout { spec, mut warnings, .. } = layout;
    warnings.extend(more);
    watch("solve");
    let findings = check::run(&spec, &solution);
    watch("check");
    Ok(Solved { spec, solution, findings, warnings })
}

/// A survey adjusted, and how its spec writes lengths.
#[derive(Debug, Clone)]
pub struct Surveyed {
    /// What the sheets are headed with.
    pub build: Build,
    /// Points, readings, suspects, advice.
    pub result: SurveyResult,
    /// What the linkage comes to, or why it cannot be solved yet.
    pub linkage: Result<Solution, Vec<Diagnostic>>,
}

/// Adjusts the survey of a spec; the linkage may still be unfinished, but then there is no advice.
pub fn survey(name: &str, bytes: &[u8], watch: &mut Watch<'_>) -> Result<Surveyed, Vec<Diagnostic>> {
    let draft = Draft::read_bytes(name, bytes, &check::rules::limits())?;
    watch("spec");
    let adjustment = survey::adjusted(&draft)?;
    watch("survey");
    let result = SurveyResult::of(&adjustment);
    let linkage = survey::place(&draft).and_then(|layout| Ok(solve::solve_placed(&layout)?.0));
    watch("solve");
    // With the linkage solved the same survey comes with its advice.
    let result = linkage.as_ref().ok().and_then(|solution| solution.survey.clone()).unwrap_or(result);
    let build = draft.build().cloned().ok_or_else(|| draft.refused(Vec::new()))?;
    Ok(Surveyed { build, result, linkage })
}

/// A survey as JSON text.
pub fn survey_results(surveyed: &Surveyed) -> Result<String, ExportError> {
    results_file::survey_text(&surveyed.result)
}

/// The answer as JSON text.
pub fn results(solved: &Solved) -> Result<String, ExportError> {
    results_file::text(&solved.spec, &solved.solution, &solved.findings)
}

/// The sheet to take to the vehicle: every reading of a survey or mock-up with a blank, as PDF. No number need exist.
pub fn measuring_sheet(name: &str, bytes: &[u8]) -> Result<Vec<u8>, MakeError> {
    let draft = Draft::read_bytes(name, bytes, &check::rules::limits()).map_err(MakeError::Spec)?;
    let (Some(build), Some(output)) = (draft.build(), draft.output()) else {
        return Err(MakeError::Spec(draft.refused(Vec::new())));
    };
    let survey = draft.survey().filter(|survey| !survey.readings.is_empty());
    if survey.is_none() && draft.mock_ups().is_empty() {
        let nothing = Diagnostic::error("nothing-to-measure", "the spec has no reading to take")
            .at(Some(draft.start()))
            .help("add [[survey.tape]] tables without `reads`, or `mockup = {}` to a shaft");
        return Err(MakeError::Spec(vec![nothing]));
    }
    let subject = Subject { build, output, sha256: draft.sha256(), survey, mock_ups: draft.mock_ups() };
    let meta = PaperMeta {
        title: format!("{}: measuring sheet", build.title),
        author: build.drawn_by.clone(),
        subject: build.vehicle.clone(),
        date: build.date.clone(),
        language: "en".to_owned(),
        print_correction: output.print_correction,
        parts: Vec::new(),
    };
    pdf::write(&survey_sheet::sheets(&subject), &meta).map_err(|error| MakeError::Files(vec![error]))
}

/// Why a package cannot be made.
#[derive(Debug, Clone)]
pub enum MakeError {
    /// The spec asks for a part that cannot be built.
    Spec(Vec<Diagnostic>),
    /// A file cannot be written.
    Files(Vec<ExportError>),
}

/// Every file of the package, or every reason why one cannot be made.
pub fn make(text: &[u8], solved: &Solved, watch: &mut Watch<'_>) -> Result<Vec<Artifact>, MakeError> {
    let solids = Solids::build(solved).map_err(MakeError::Spec)?;
    watch("solid");
    let files = package_files(&solved.solution);
    let mut artifacts: Vec<Artifact> = Vec::with_capacity(files.len());
    let mut papers: Vec<Paper<'_>> = Vec::new();
    let mut errors = Vec::new();
    let mut order: Vec<&PackageFile> = files.iter().collect();
    order.sort_by_key(|file| file.kind.turn());
    let place = |path: &str| files.iter().position(|file| file.path == path);
    for file in order {
        artifacts.sort_by_key(|done| place(&done.path));
        let made = if let Some(sheets) = drawn(file.kind, &listed(&files, &artifacts), solved) {
            let paper = Paper { file, sheets: banded(sheets, solved) };
            let bytes = pdf::write(&paper.sheets, &meta(file, &solved.spec));
            papers.push(paper);
            bytes
        } else {
            bytes(file, (&artifacts, &papers), (text, &solids), solved)
        };
        match made {
            Ok(bytes) => artifacts.push(Artifact { path: file.path.clone(), what: file.what.clone(), bytes }),
            Err(error) => errors.push(ExportError { path: file.path.clone(), ..error }),
        }
        watch(stage(file.kind));
    }
    artifacts.sort_by_key(|done| place(&done.path));
    if errors.is_empty() { Ok(artifacts) } else { Err(MakeError::Files(errors)) }
}

/// The solids of a package alone, each part's and the assembly.
pub fn solids(solved: &Solved) -> Result<Vec<Artifact>, MakeError> {
    let solids = Solids::build(solved).map_err(MakeError::Spec)?;
    let files = package_files(&solved.solution);
    let made = files.iter().filter_map(|file| Some((file, solids.file(file, solved)?)));
    let made = made.map(|(PackageFile { path, what, .. }, bytes)| {
        bytes.map(|bytes| Artifact { path: path.clone(), what: what.clone(), bytes })
    });
    made.collect::<Result<_, _>>().map_err(|error| MakeError::Files(vec![error]))
}

/// Every sheet of a package as it is drawn, before any writer sees it: the path of its file and its pages in order.
pub fn pages(solved: &Solved) -> Vec<(String, Vec<Sheet>)> {
    let Solved { spec, solution, .. } = solved;
    let files = package_files(solution);
    let bare = |kind| match kind {
        FileKind::NotchCut(i) => drawing::notch::cut_sheet(spec, solution, i),
        FileKind::RepairCut(i, part) => drawing::repair::cut_sheet(spec, solution, i, part),
        FileKind::PlateCut(i) => drawing::plate::cut_sheet(spec, solution, i),
        FileKind::Figure(figure) => drawing::record_curves::sheet(spec, solution, figure),
        _ => None,
    };
    let mut papers = Vec::new();
    let mut pages = Vec::new();
    for file in &files {
        if let Some(sheets) = drawn(file.kind, &listed(&files, &[]), solved) {
            papers.push(Paper { file, sheets: banded(sheets, solved) });
        } else if let Some(sheet) = bare(file.kind) {
            pages.push((file.path.clone(), banded(vec![sheet], solved)));
        }
    }
    for file in files.iter().filter(|file| file.kind == FileKind::Book) {
        pages.push((file.path.clone(), bound(&papers, solved).0));
    }
    pages.extend(papers.into_iter().map(|paper| (paper.file.path.clone(), paper.sheets)));
    pages
}

/// One paper of the package, as drawn.
struct Paper<'a> {
    file: &'a PackageFile,
    sheets: Vec<Sheet>,
}

/// Every file as the record lists it, with the hashes of those made already.
fn listed(files: &[PackageFile], done: &[Artifact]) -> Vec<FileLine> {
    let hash = |path: &str| done.iter().find(|file| file.path == path).map(|file| sha256(&file.bytes));
    let line = |file: &PackageFile| FileLine {
        path: file.path.clone(),
        what: file.what.clone(),
        sha256: hash(&file.path).filter(|_| file.kind.turn() == 0),
    };
    files.iter().map(line).collect()
}

/// The sheets of a file that is paper and bound in the book; `None` for any other.
fn drawn(kind: FileKind, files: &[FileLine], solved: &Solved) -> Option<Vec<Sheet>> {
    let Solved { spec, solution, findings, .. } = solved;
    match kind {
        FileKind::Record => Some(drawing::record::record(spec, solution, findings, files).0),
        FileKind::ShaftDrawing(i, m) => Some(drawing::shaft_member::sheets(spec, solution, i, m)),
        FileKind::LayoutDrawing => Some(drawing::layout_sheet::sheets(spec, solution)),
        FileKind::NotchPrint(i) => Some(drawing::notch::sheets(spec, solution, i)),
        FileKind::RailPrint(i, paper) => Some(drawing::rail_drill::sheets(spec, solution, i, paper)),
        FileKind::RepairPrint(i, part) => Some(drawing::repair::sheets(spec, solution, i, part)),
        FileKind::PlatePrint(i) => Some(drawing::plate::sheets(spec, solution, i)),
        FileKind::PlateStrips(i) => Some(drawing::strip::sheets(spec, solution, i)),
        FileKind::PlateDrawing(i) => Some(drawing::drilling::sheets(spec, solution, i)),
        _ => None,
    }
}

const fn stage(kind: FileKind) -> &'static str {
    match kind {
        FileKind::Linkage | FileKind::Results | FileKind::Manifest => "json",
        FileKind::Record | FileKind::RecordPage | FileKind::Figure(_) => "record",
        FileKind::ShaftSolid(..)
        | FileKind::PlateSolid(_)
        | FileKind::DoublerSolid(_)
        | FileKind::LinerSolid(_)
        | FileKind::RailSolid(_)
        | FileKind::Assembly => "solid",
        FileKind::ShaftDrawing(..) | FileKind::ShaftPicture(..) => "shaft drawing",
        FileKind::LayoutDrawing | FileKind::LayoutPicture => "layout sheet",
        FileKind::NotchPrint(_) | FileKind::NotchCut(_) | FileKind::RepairPrint(..) | FileKind::RepairCut(..) => {
            "notch template"
        }
        FileKind::RailPrint(..) => "rail template",
        FileKind::PlatePrint(_) | FileKind::PlateCut(_) | FileKind::PlateStrips(_) => "plate template",
        FileKind::PlateDrawing(_) => "drilling drawing",
        FileKind::Book => "book",
    }
}

/// The bytes of one file that is not a paper; `done` and `papers` are the files before it.
fn bytes(
    file: &PackageFile,
    (done, papers): (&[Artifact], &[Paper<'_>]),
    (text, solids): (&[u8], &Solids),
    solved: &Solved,
) -> Result<Vec<u8>, ExportError> {
    let Solved { spec, solution, .. } = solved;
    let missing = || ExportError { path: String::new(), message: "there is nothing to draw".to_owned() };
    match file.kind {
        FileKind::Linkage => Ok(text.to_vec()),
        FileKind::Results => results(solved).map(String::into_bytes),
        FileKind::Manifest => manifest::text(spec, done).map(String::into_bytes),
        FileKind::ShaftSolid(..)
        | FileKind::PlateSolid(_)
        | FileKind::DoublerSolid(_)
        | FileKind::LinerSolid(_)
        | FileKind::RailSolid(_)
        | FileKind::Assembly => solids.file(file, solved).unwrap_or_else(|| Err(missing())),
        FileKind::ShaftPicture(i, m) => {
            let paper = papers.iter().find(|paper| paper.file.kind == FileKind::ShaftDrawing(i, m));
            let sheet = paper.and_then(|paper| paper.sheets.first()).ok_or_else(missing)?;
            svg::write(sheet, &meta(file, spec))
        }
        FileKind::NotchCut(i) => cut(drawing::notch::cut_sheet(spec, solution, i).ok_or_else(missing)?, file, solved),
        FileKind::RepairCut(i, part) => {
            cut(drawing::repair::cut_sheet(spec, solution, i, part).ok_or_else(missing)?, file, solved)
        }
        FileKind::PlateCut(i) => cut(drawing::plate::cut_sheet(spec, solution, i).ok_or_else(missing)?, file, solved),
        FileKind::Figure(figure) => {
            let sheet = drawing::record_curves::sheet(spec, solution, figure).ok_or_else(missing)?;
            let sheets = banded(vec![sheet], solved);
            svg::write(&sheets[0], &meta(file, spec))
        }
        FileKind::Book => book(file, papers, solved),
        FileKind::RecordPage => record_page(file, done, papers, solved),
        // Papers were drawn and written already.
        FileKind::Record
        | FileKind::ShaftDrawing(..)
        | FileKind::LayoutDrawing
        | FileKind::NotchPrint(_)
        | FileKind::RepairPrint(..)
        | FileKind::RailPrint(..)
        | FileKind::PlatePrint(_)
        | FileKind::PlateStrips(_)
        | FileKind::PlateDrawing(_) => Err(missing()),
        FileKind::LayoutPicture => {
            let paper = papers.iter().find(|paper| paper.file.kind == FileKind::LayoutDrawing);
            let sheet = paper.and_then(|paper| paper.sheets.first()).ok_or_else(missing)?;
            svg::write(sheet, &meta(file, spec))
        }
    }
}

/// The record as a web page, with the drawings it shows and the hashes of all files before it.
fn record_page(
    file: &PackageFile,
    done: &[Artifact],
    papers: &[Paper<'_>],
    solved: &Solved,
) -> Result<Vec<u8>, ExportError> {
    let Solved { spec, solution, findings, .. } = solved;
    let files = package_files(solution);
    let (_, blocks) = drawing::record::record(spec, solution, findings, &listed(&files, done));
    let banded_one = |sheet| banded(vec![sheet], solved).remove(0);
    let shown = |kind: FileKind| match kind {
        FileKind::LayoutPicture => first(papers, FileKind::LayoutDrawing),
        FileKind::ShaftPicture(i, m) => first(papers, FileKind::ShaftDrawing(i, m)),
        FileKind::NotchCut(i) => drawing::notch::cut_sheet(spec, solution, i).map(banded_one),
        FileKind::PlateCut(i) => drawing::plate::cut_sheet(spec, solution, i).map(banded_one),
        _ => None,
    };
    let pictures: Vec<(String, Sheet)> =
        files.iter().filter_map(|file| Some((file.path.clone(), shown(file.kind)?))).collect();
    let list = |file: &Artifact| Listed {
        path: file.path.clone(),
        what: file.what.clone(),
        bytes: file.bytes.len(),
        sha256: sha256(&file.bytes),
    };
    let page = RecordPage {
        spec,
        failed: solved.failed(),
        blocks: &blocks,
        figures: &drawing::record_figures::figures(spec, solution),
        pictures: &pictures,
        files: &done.iter().map(list).collect::<Vec<_>>(),
    };
    html::write(&page, &meta(file, spec))
}

/// The first sheet of a paper as it was drawn.
fn first(papers: &[Paper<'_>], kind: FileKind) -> Option<Sheet> {
    papers.iter().find(|paper| paper.file.kind == kind)?.sheets.first().cloned()
}

/// All papers in one file, behind their contents.
fn book(file: &PackageFile, papers: &[Paper<'_>], solved: &Solved) -> Result<Vec<u8>, ExportError> {
    let (sheets, parts) = bound(papers, solved);
    pdf::write(&sheets, &PaperMeta { parts, ..meta(file, &solved.spec) })
}

/// The sheets of the book, and on which each paper begins.
fn bound(papers: &[Paper<'_>], solved: &Solved) -> (Vec<Sheet>, Vec<(String, usize)>) {
    let mut bound: Vec<&Paper<'_>> = papers.iter().collect();
    bound.sort_by_key(|paper| paper.file.kind.bound());
    let parts: Vec<Part> = bound
        .into_iter()
        .map(|paper| Part {
            what: paper.file.what.clone(),
            path: paper.file.path.clone(),
            sheets: paper.sheets.clone(),
        })
        .collect();
    let mut sheets = banded(drawing::contents::sheets(&solved.spec, &parts), solved);
    let mut starts = Vec::new();
    for part in parts {
        starts.push((part.what, sheets.len()));
        sheets.extend(part.sheets);
    }
    drawing::contents::number(&mut sheets);
    (sheets, starts)
}

fn banded(mut sheets: Vec<Sheet>, solved: &Solved) -> Vec<Sheet> {
    if solved.failed() > 0 {
        drawing::band::band(&mut sheets, solved.failed());
    }
    sheets
}

fn cut(sheet: Sheet, file: &PackageFile, solved: &Solved) -> Result<Vec<u8>, ExportError> {
    let mut sheets = banded(vec![sheet], solved);
    let sheet = sheets.remove(0);
    svg::write_cut(&sheet, &meta(file, &solved.spec))
}

fn meta(file: &PackageFile, spec: &Spec) -> PaperMeta {
    PaperMeta {
        title: format!("{}: {}", spec.build.title, file.what),
        author: spec.build.drawn_by.clone(),
        subject: spec.build.vehicle.clone(),
        date: spec.build.date.clone(),
        language: "en".to_owned(),
        print_correction: spec.output.print_correction,
        parts: Vec::new(),
    }
}

/// The sheet by which a printer is measured, as PDF.
pub fn print_test(paper: &SheetSize) -> Result<Vec<u8>, ExportError> {
    let meta = PaperMeta {
        title: format!("Print test, {}", paper.title),
        author: String::new(),
        subject: "lengths, angles, edges, lines and signs of one printer".to_owned(),
        date: String::new(),
        language: "en".to_owned(),
        print_correction: [1.0, 1.0],
        parts: Vec::new(),
    };
    pdf::write(&[drawing::print_test::sheet(paper.size)], &meta)
}

/// Makes a package anew from its own spec and adds to the report which bytes differ.
pub fn rebuild(package: &BTreeMap<String, Vec<u8>>, report: &mut AuditReport) {
    let Some(text) = package.get("linkage.toml") else {
        report.wrong("linkage.toml", "rebuild", "a spec", "missing");
        return;
    };
    let made = match solve("linkage.toml", text, &mut |_| ()) {
        Ok(solved) => make(text, &solved, &mut |_| ()),
        Err(errors) => Err(MakeError::Spec(errors)),
    };
    match made {
        Ok(artifacts) => {
            for Artifact { path, bytes, .. } in artifacts {
                let found = package.get(&path).map_or("missing", |old| if *old == bytes { "same" } else { "other" });
                report.equal(&path, "bytes made anew", "same", found);
            }
        }
        Err(MakeError::Spec(errors)) => {
            let first = errors.first().map_or("", |error| error.message.as_str());
            report.wrong("linkage.toml", "rebuild", "a spec that can be made", first);
        }
        Err(MakeError::Files(errors)) => {
            for error in errors {
                report.wrong(&error.path, "rebuild", "a file", error.message);
            }
        }
    }
}

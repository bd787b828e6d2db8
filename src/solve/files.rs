//! Which files a package holds: it follows from the solution alone.
//!
//! The maker writes this list and the audit demands it, so neither can forget a file.

use super::curves::{Figure, figures};
use super::strip::strips;
use super::{Solution, apart, doubler_part, liner_part, rail_hole, rail_part};
use crate::spec::types::stem;

/// A part that makes a notched rail good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RepairPart {
    /// Its liner or sleeve.
    Liner,
    /// One of its doublers.
    Doubler(usize),
}

/// What a file of the package is. Indices are those of the solution's lists, which are the spec's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// The spec, byte for byte.
    Linkage,
    /// Everything solved and judged.
    Results,
    /// The build record.
    Record,
    /// A picture of the record, SVG.
    Figure(Figure),
    /// The build record as a web page.
    RecordPage,
    /// Solid of a shaft, or of a member of a slip shaft.
    ShaftSolid(usize, usize),
    /// Dimensioned drawing of it, PDF.
    ShaftDrawing(usize, usize),
    /// The same, SVG.
    ShaftPicture(usize, usize),
    /// The linkage in three views, and what to order, PDF.
    LayoutDrawing,
    /// Its first sheet, SVG.
    LayoutPicture,
    /// Full-scale notch template.
    NotchPrint(usize),
    /// Notch outline for a cutter.
    NotchCut(usize),
    /// Full-scale template of what makes a notched rail good.
    RepairPrint(usize, RepairPart),
    /// Its outline for a cutter.
    RepairCut(usize, RepairPart),
    /// All solids placed.
    Assembly,
    /// Solid of a plate.
    PlateSolid(usize),
    /// Full-scale plate template.
    PlatePrint(usize),
    /// Its rows of holes, full scale, each on a strip.
    PlateStrips(usize),
    /// Its drilling drawing.
    PlateDrawing(usize),
    /// Plate outline for a cutter.
    PlateCut(usize),
    /// Solid of a doubler, by the list of all of them as plates.
    DoublerSolid(usize),
    /// Solid of a notch's liner or sleeve.
    LinerSolid(usize),
    /// Full-scale template of holes in a rail that no notch's template shows: rail and paper.
    RailPrint(usize, usize),
    /// Solid of a rail with its notches and holes.
    RailSolid(usize),
    /// All paper of the package in one file.
    Book,
    /// Every other file with its hash.
    Manifest,
}

impl FileKind {
    /// Place among the papers of the print book: templates, drawings, record; `None` for what is not bound in it.
    pub const fn bound(self) -> Option<u8> {
        match self {
            Self::NotchPrint(_)
            | Self::RepairPrint(..)
            | Self::RailPrint(..)
            | Self::PlatePrint(_)
            | Self::PlateStrips(_) => Some(0),
            Self::ShaftDrawing(..) | Self::LayoutDrawing | Self::PlateDrawing(_) => Some(1),
            Self::Record => Some(2),
            _ => None,
        }
    }

    /// When it is made: the record lists what was made before it, the book binds the record, the manifest lists all.
    pub const fn turn(self) -> u8 {
        match self {
            Self::Record => 1,
            Self::Book => 2,
            Self::RecordPage => 3,
            Self::Manifest => 4,
            _ => 0,
        }
    }
}

/// One file of the package.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackageFile {
    /// Path in the package, `/` between folders.
    pub path: String,
    /// What it is.
    pub kind: FileKind,
    /// What it is in words.
    pub what: String,
}

/// The papers of the print book in its order, among the files of a package.
pub fn book_files(files: &[PackageFile]) -> Vec<&PackageFile> {
    let mut papers: Vec<&PackageFile> = files.iter().filter(|file| file.kind.bound().is_some()).collect();
    papers.sort_by_key(|file| file.kind.bound());
    papers
}

/// All files of a package, the manifest last. A notch that needs no cut has no template, a plate whose
/// cuts run into each other or over its edge no solid, nor has a rail whose notches do.
pub fn package_files(solution: &Solution) -> Vec<PackageFile> {
    let mut files = Vec::new();
    let mut add = |path: String, kind: FileKind, what: String| files.push(PackageFile { path, kind, what });
    add("linkage.toml".into(), FileKind::Linkage, "the spec this package was made from".into());
    add("results.json".into(), FileKind::Results, "everything solved and judged, for programs".into());
    add("record/build-record.pdf".into(), FileKind::Record, "build record: all tables and checks".into());
    for figure in figures(solution) {
        let (name, what) = match figure {
            Figure::Lead => ("turn-error".to_owned(), "picture: gear less column over a turn".to_owned()),
            Figure::Ratio => ("turn-ratio".to_owned(), "picture: speed ratio over a turn".to_owned()),
            Figure::Phase(i) => {
                let name = &solution.shafts[i].name;
                let what = format!("picture: error against the yoke phase of the shaft \"{name}\"");
                (format!("phase-{}", stem(name)), what)
            }
            Figure::Torque => ("torque".to_owned(), "picture: torque along the chain".to_owned()),
            Figure::Shear => ("shear".to_owned(), "picture: shear along the chain".to_owned()),
            Figure::Gap(i) => (format!("gap-{}", i + 1), "picture: one of the tightest gaps as things move".to_owned()),
        };
        add(format!("record/{name}.svg"), FileKind::Figure(figure), what);
    }
    let page = "build record as a web page: pictures, boxes to tick, blanks to fill in";
    add("record/build-record.html".into(), FileKind::RecordPage, page.into());
    for (i, shaft) in solution.shafts.iter().enumerate() {
        let stem = stem(&shaft.name);
        let whole = (stem.clone(), format!("the shaft \"{}\"", shaft.name));
        let members = shaft.members.iter().map(|member| {
            (format!("{stem}-{}", member.name), format!("the {} member of the shaft \"{}\"", member.name, shaft.name))
        });
        let pieces: Vec<_> = if shaft.members.is_empty() { vec![whole] } else { members.collect() };
        for (m, (stem, name)) in pieces.into_iter().enumerate() {
            add(format!("solids/shaft-{stem}.step"), FileKind::ShaftSolid(i, m), format!("solid of {name}"));
            let drawing = format!("drawing of {name}");
            add(format!("drawings/shaft-{stem}.pdf"), FileKind::ShaftDrawing(i, m), drawing.clone());
            add(format!("drawings/shaft-{stem}.svg"), FileKind::ShaftPicture(i, m), drawing);
        }
    }
    let what = "every part in its place, with what stands round it";
    add("solids/assembly.step".into(), FileKind::Assembly, what.into());
    add("drawings/layout.pdf".into(), FileKind::LayoutDrawing, "layout of the linkage and order list".into());
    add("drawings/layout.svg".into(), FileKind::LayoutPicture, "layout of the linkage".into());
    for (i, notch) in solution.notches.iter().enumerate().filter(|(_, notch)| !notch.shop.is_empty()) {
        let (name, stem) = (&notch.name, stem(&notch.name));
        add(format!("print/notch-{stem}.pdf"), FileKind::NotchPrint(i), format!("full-scale template of \"{name}\""));
        add(format!("cut/notch-{stem}.svg"), FileKind::NotchCut(i), format!("full-scale outline of \"{name}\""));
        let tube = notch.liner.iter().map(|liner| (RepairPart::Liner, liner.kind.word().to_owned(), String::new()));
        let plates = notch
            .doublers
            .iter()
            .enumerate()
            .map(|(d, doubler)| (RepairPart::Doubler(d), "doubler".to_owned(), format!("-{}", doubler.face)));
        for (part, word, face) in tube.chain(plates) {
            let what = format!("the {word}{} of \"{name}\"", face.replace('-', " on the "));
            let print = format!("print/{word}-{stem}{face}.pdf");
            add(print, FileKind::RepairPrint(i, part), format!("full-scale template of {what}"));
            let cut = format!("cut/{word}-{stem}{face}.svg");
            add(cut, FileKind::RepairCut(i, part), format!("full-scale outline of {what}"));
        }
    }
    for (i, rail) in solution.rails.iter().enumerate() {
        let (name, stem) = (&rail.name, stem(&rail.name));
        let papers = rail_hole::papers(solution, rail).len();
        for paper in 0..papers {
            let number = if papers > 1 { format!("-{}", paper + 1) } else { String::new() };
            let what = format!("full-scale drilling template of \"{name}\"{}", number.replace('-', ", paper "));
            add(format!("print/drill-{stem}{number}.pdf"), FileKind::RailPrint(i, paper), what);
        }
        if rail_part::is_made(solution, rail) {
            let notched = solution.notches.iter().any(|notch| notch.rail == *name && !notch.shop.is_empty());
            let holed = !rail_hole::holes(solution, rail).is_empty();
            let with = match (notched, holed) {
                (true, true) => "notches and holes",
                (false, true) => "holes",
                _ => "notches",
            };
            add(
                format!("solids/rail-{stem}.step"),
                FileKind::RailSolid(i),
                format!("solid of \"{name}\" with its {with}"),
            );
        }
    }
    for part in liner_part::notches(solution).filter_map(|i| Some((i, liner_part::of(solution, i)?))) {
        let (i, name) = (part.0, part.1.name);
        add(format!("solids/{}.step", stem(&name)), FileKind::LinerSolid(i), format!("solid of \"{name}\""));
    }
    for (i, plate) in doubler_part::plates(solution).iter().enumerate().filter(|(_, plate)| apart::stand_apart(plate)) {
        let what = format!("solid of \"{}\"", plate.name);
        add(format!("solids/{}.step", stem(&plate.name)), FileKind::DoublerSolid(i), what);
    }
    for (i, plate) in solution.plates.iter().enumerate() {
        let (name, stem) = (&plate.name, stem(&plate.name));
        if apart::stand_apart(plate) {
            add(format!("solids/plate-{stem}.step"), FileKind::PlateSolid(i), format!("solid of \"{name}\""));
        }
        add(format!("print/plate-{stem}.pdf"), FileKind::PlatePrint(i), format!("full-scale template of \"{name}\""));
        if !strips(plate).is_empty() {
            let what = format!("check strips of \"{name}\"");
            add(format!("print/strips-{stem}.pdf"), FileKind::PlateStrips(i), what);
        }
        let what = format!("drilling drawing of \"{name}\"");
        add(format!("drawings/drilling-{stem}.pdf"), FileKind::PlateDrawing(i), what);
        add(format!("cut/plate-{stem}.svg"), FileKind::PlateCut(i), format!("full-scale outline of \"{name}\""));
    }
    add("print/all.pdf".into(), FileKind::Book, "print book: every template, drawing and sheet in order".into());
    add("manifest.json".into(), FileKind::Manifest, "every other file with its hash".into());
    files
}

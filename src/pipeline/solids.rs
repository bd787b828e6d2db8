//! The solids of a package and the files they go into.

use crate::diagnostic::Diagnostic;
use crate::export::step::StepMeta;
use crate::export::{ExportError, step};
use crate::model::{self, Solid};
use crate::solve::apart;
use crate::solve::files::{FileKind, PackageFile};
use crate::solve::member::{self, Member};

use super::Solved;

/// A piece of bar and its solid.
struct Bar {
    member: Member,
    solid: Solid,
}

/// Every solid of a package, by the solution's lists.
pub(super) struct Solids {
    /// The pieces of each shaft.
    shafts: Vec<Vec<Bar>>,
    /// `None` for a plate whose cuts run into each other.
    plates: Vec<Option<Solid>>,
}

impl Solids {
    /// Builds them all, or says of every feature that cannot be built why, with its part's place in the spec.
    pub(super) fn build(solved: &Solved) -> Result<Self, Vec<Diagnostic>> {
        let Solved { spec, solution, .. } = solved;
        let mut errors = Vec::new();
        let mut shafts = Vec::new();
        for i in 0..spec.shafts.len() {
            let mut pieces = Vec::new();
            for member in member::members(spec, solution, i) {
                match model::shaft::member(&member) {
                    Ok(solid) => pieces.push(Bar { member, solid }),
                    Err(error) => errors.push(
                        Diagnostic::error(
                            "solid",
                            format!("shaft \"{}\" cannot be built as a solid: {error}", member.name),
                        )
                        .at(spec.place(&format!("shaft.{i}")))
                        .help("check the screws, pinch bolts, chamfer and cut ends at its two ends"),
                    ),
                }
            }
            shafts.push(pieces);
        }
        let mut plates = Vec::new();
        for (i, plate) in solution.plates.iter().enumerate() {
            if !apart::stand_apart(plate) {
                plates.push(None);
                continue;
            }
            match model::plate::solid(plate) {
                Ok(solid) => plates.push(Some(solid)),
                Err(error) => errors.push(
                    Diagnostic::error("solid", format!("plate \"{}\" cannot be built as a solid: {error}", plate.name))
                        .at(spec.place(&format!("plate.{i}")))
                        .help("check its outline, holes and openings"),
                ),
            }
        }
        if errors.is_empty() { Ok(Self { shafts, plates }) } else { Err(errors) }
    }

    /// The bytes of one solid's file; `None` where the file is no solid or has none.
    pub(super) fn file(&self, file: &PackageFile, solved: &Solved) -> Option<Result<Vec<u8>, ExportError>> {
        match file.kind {
            FileKind::ShaftSolid(i, m) => {
                let Bar { member, solid } = self.shafts.get(i)?.get(m)?;
                let toothed =
                    if member.has_teeth() { ", teeth as a plain cylinder of their outside diameter" } else { "" };
                let material = &solved.spec.shafts.get(i)?.material.title;
                let description = format!("{}, {material}{toothed}", member.stock);
                Some(step::write(solid, &meta(file, &member.name, description, solved)))
            }
            FileKind::PlateSolid(i) => {
                let (plate, solid) = (solved.solution.plates.get(i)?, self.plates.get(i)?.as_ref()?);
                let description = format!("plate {:.3} mm thick", plate.thick);
                Some(step::write(solid, &meta(file, &plate.name, description, solved)))
            }
            _ => None,
        }
    }
}

fn meta(file: &PackageFile, name: &str, description: String, solved: &Solved) -> StepMeta {
    let spec = &solved.spec;
    let build = &spec.build;
    StepMeta {
        path: file.path.clone(),
        name: name.to_owned(),
        part_number: format!("{} {name}", build.record).trim().to_owned(),
        description,
        revision: build.revision.clone(),
        author: build.drawn_by.clone(),
        date: build.date.clone(),
        schema: spec.output.step_schema,
        unit: spec.output.step_unit,
    }
}

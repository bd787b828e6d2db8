//! The solids of a package and the files they go into.

use crate::diagnostic::Diagnostic;
use crate::export::step::StepMeta;
use crate::export::step_assembly::{self, AssemblyPart, Instance};
use crate::export::{ExportError, step};
use crate::model::{self, ModelError, Solid};
use crate::solve::assembly::{self, Definition, Piece, Placed};
use crate::solve::files::{FileKind, PackageFile};
use crate::solve::identity::{self, Identity};
use crate::solve::member::{self, Member};
use crate::solve::solution::PlateResult;
use crate::solve::{apart, doubler_part, liner_part, rail_part};
use crate::spec::Spec;
use crate::spec::types::ObstacleShape;

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
    /// Doublers, `None` where their openings run into each other or the edge.
    doublers: Vec<Option<Solid>>,
    /// By notch; `None` for one without.
    liners: Vec<Option<Solid>>,
    /// `None` for a rail whose notches run into each other.
    rails: Vec<Option<Solid>>,
    placed: Vec<Placed>,
    /// The products of the assembly, each with what stands for it where it is no shaft and no plate.
    products: Vec<(Definition, Vec<Solid>)>,
    /// For each thing placed the number of its product.
    product_of: Vec<usize>,
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
        let plates = self::plates(&solution.plates, &|i| format!("plate.{i}"), spec, &mut errors);
        let doubled = doubler_part::plates(solution);
        let doublers = self::plates(&doubled, &|_| "notch.0".to_owned(), spec, &mut errors);
        let liners = self::liners(solved, &mut errors);
        let mut rails = Vec::new();
        for (i, rail) in solution.rails.iter().enumerate() {
            let cuts = rail_part::cuts(solution, rail);
            if !rail_part::has_solid(rail, &cuts) {
                rails.push(None);
                continue;
            }
            match model::rail::solid(rail, &cuts) {
                Ok(solid) => rails.push(Some(solid)),
                Err(error) => errors.push(
                    Diagnostic::error("solid", format!("rail \"{}\" cannot be built as a solid: {error}", rail.name))
                        .at(spec.place(&format!("rail.{i}")))
                        .help("check its section and its notches"),
                ),
            }
        }
        let placed = assembly::placed(spec, solution);
        let (definitions, product_of) = assembly::definitions(spec, solution, &placed);
        let mut products = Vec::with_capacity(definitions.len());
        for definition in definitions {
            match stand_in(spec, &definition) {
                Ok(solids) => products.push((definition, solids)),
                Err((key, error)) => errors.push(
                    Diagnostic::error("solid", format!("{} cannot be built: {error}", definition.identity.name))
                        .at(spec.place(&key))
                        .help("check its sizes"),
                ),
            }
        }
        if errors.is_empty() {
            Ok(Self { shafts, plates, doublers, liners, rails, placed, products, product_of })
        } else {
            Err(errors)
        }
    }

    /// The bytes of one solid's file; `None` where the file is no solid or has none.
    pub(super) fn file(&self, file: &PackageFile, solved: &Solved) -> Option<Result<Vec<u8>, ExportError>> {
        match file.kind {
            FileKind::ShaftSolid(i, m) => {
                let Bar { member, solid } = self.shafts.get(i)?.get(m)?;
                let identity = identity::shaft(&solved.spec, i, member);
                Some(step::write(solid, &meta(file, identity, solved)))
            }
            FileKind::PlateSolid(i) => {
                let (plate, solid) = (solved.solution.plates.get(i)?, self.plates.get(i)?.as_ref()?);
                let identity = identity::plate(&solved.spec, plate);
                Some(step::write(solid, &meta(file, identity, solved)))
            }
            FileKind::DoublerSolid(i) => {
                let solid = self.doublers.get(i)?.as_ref()?;
                let plate = doubler_part::plates(&solved.solution).into_iter().nth(i)?;
                Some(step::write(solid, &meta(file, identity::plate(&solved.spec, &plate), solved)))
            }
            FileKind::LinerSolid(i) => {
                let solid = self.liners.get(i)?.as_ref()?;
                let part = liner_part::of(&solved.solution, i)?;
                Some(step::write(solid, &meta(file, identity::liner(&solved.spec, &part), solved)))
            }
            FileKind::RailSolid(i) => {
                let (rail, solid) = (solved.solution.rails.get(i)?, self.rails.get(i)?.as_ref()?);
                Some(step::write(solid, &meta(file, identity::rail(&solved.spec, rail), solved)))
            }
            FileKind::Assembly => Some(self.assembly(file, solved)),
            _ => None,
        }
    }

    fn assembly(&self, file: &PackageFile, solved: &Solved) -> Result<Vec<u8>, ExportError> {
        let parts: Vec<AssemblyPart<'_>> = self
            .products
            .iter()
            .map(|(Definition { piece, identity, colour }, own)| AssemblyPart {
                name: &identity.name,
                part_number: &identity.part_number,
                description: &identity.description,
                texts: &identity.texts,
                solids: match *piece {
                    Piece::Member { shaft, member } => {
                        let bar = self.shafts.get(shaft).and_then(|pieces| pieces.get(member));
                        bar.map(|bar| &bar.solid).into_iter().collect()
                    }
                    Piece::Plate(i) => self.plates.get(i).and_then(Option::as_ref).into_iter().collect(),
                    Piece::Doubler(i) => self.doublers.get(i).and_then(Option::as_ref).into_iter().collect(),
                    Piece::Liner(i) => self.liners.get(i).and_then(Option::as_ref).into_iter().collect(),
                    Piece::Rail(i) => self.rails.get(i).and_then(Option::as_ref).into_iter().collect(),
                    _ => own.iter().collect(),
                },
                colour: *colour,
            })
            .collect();
        let instances: Vec<Instance<'_>> = self
            .placed
            .iter()
            .zip(&self.product_of)
            .map(|(thing, &part)| Instance { name: &thing.name, part, frame: thing.frame })
            .collect();
        step_assembly::write(&parts, &instances, &meta(file, assembly::whole(&solved.spec), solved))
    }
}

/// The solids of plates, `None` for one whose cuts run into each other; `key` names its table in the spec.
fn plates(
    plates: &[PlateResult],
    key: &dyn Fn(usize) -> String,
    spec: &Spec,
    errors: &mut Vec<Diagnostic>,
) -> Vec<Option<Solid>> {
    let mut solids = Vec::with_capacity(plates.len());
    for (i, plate) in plates.iter().enumerate() {
        if !apart::stand_apart(plate) {
            solids.push(None);
            continue;
        }
        match model::plate::solid(plate) {
            Ok(solid) => solids.push(Some(solid)),
            Err(error) => errors.push(
                Diagnostic::error("solid", format!("plate \"{}\" cannot be built as a solid: {error}", plate.name))
                    .at(spec.place(&key(i)))
                    .help("check its outline, holes and openings"),
            ),
        }
    }
    solids
}

/// The solid of every notch's liner or sleeve.
fn liners(solved: &Solved, errors: &mut Vec<Diagnostic>) -> Vec<Option<Solid>> {
    let Solved { spec, solution, .. } = solved;
    let mut solids = Vec::with_capacity(solution.notches.len());
    for i in 0..solution.notches.len() {
        let made = liner_part::of(solution, i).map(|part| (model::liner::solid(&part), part));
        solids.push(match made {
            Some((Ok(solid), _)) => Some(solid),
            Some((Err(error), part)) => {
                errors.push(
                    Diagnostic::error("solid", format!("{} cannot be built as a solid: {}", part.name, error.message))
                        .at(spec.place(&format!("notch.{i}.{}", part.liner.kind.word())))
                        .help("state `outside` of the tube a little larger"),
                );
                None
            }
            None => None,
        });
    }
    solids
}

/// What stands in the assembly for a piece that has no file of its own; else the key of its table and the reason.
fn stand_in(spec: &Spec, definition: &Definition) -> Result<Vec<Solid>, (String, ModelError)> {
    match definition.piece {
        Piece::Member { .. } | Piece::Plate(_) | Piece::Doubler(_) | Piece::Liner(_) | Piece::Rail(_) => Ok(Vec::new()),
        Piece::Yoke(yoke) => model::joint::yoke(&yoke).map_err(|error| ("joint.0".to_owned(), error)),
        Piece::Cross { swing } => {
            model::joint::cross(swing).map(|solid| vec![solid]).map_err(|e| ("joint.0".to_owned(), e))
        }
        Piece::Housing { swing, span } => model::joint::housing(swing, span).map_err(|e| ("joint.0".to_owned(), e)),
        Piece::Stub { form, length } => {
            model::shaft::stub(form, length).map(|solid| vec![solid]).map_err(|error| ("column".to_owned(), error))
        }
        Piece::Obstacle(i) => match spec.obstacles.get(i).map(|obstacle| (&obstacle.name, &obstacle.shape)) {
            Some((name, shape)) => obstacle(name, shape)
                .map(|solid| solid.into_iter().collect())
                .map_err(|error| (format!("obstacle.{i}"), error)),
            None => Ok(Vec::new()),
        },
    }
}

/// An obstacle's solid; `None` where one point of it is known.
fn obstacle(name: &str, shape: &ObstacleShape) -> Result<Option<Solid>, ModelError> {
    match shape {
        ObstacleShape::Box { corner, edges } => model::block::block(name, *corner, *edges).map(Some),
        ObstacleShape::Ball { centre, diameter } => model::obstacle::ball(name, *centre, diameter / 2.0).map(Some),
        ObstacleShape::Tube { path, diameter, bend } => {
            model::obstacle::tube(name, path, diameter / 2.0, *bend).map(Some)
        }
        ObstacleShape::Beside { .. } => Ok(None),
    }
}

fn meta(file: &PackageFile, identity: Identity, solved: &Solved) -> StepMeta {
    let Identity { name, part_number, description, texts } = identity;
    let spec = &solved.spec;
    let build = &spec.build;
    StepMeta {
        path: file.path.clone(),
        name,
        part_number,
        description,
        revision: build.revision.clone(),
        author: build.drawn_by.clone(),
        date: build.date.clone(),
        schema: spec.output.step_schema,
        unit: spec.output.step_unit,
        texts,
    }
}

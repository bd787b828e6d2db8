//! The STEP file of the whole linkage measured against the solution.

use super::AuditReport;
use super::step::{self, ALLOWED, VOLUME};
use super::step_file::{self, Reader, StepMeasure};
use super::step_plate;
use super::step_records::{Part, RawFile, StepReadError, damaged, decode, reference, references, wrong};
use super::step_shell::{self, written};
use super::step_stated;
use crate::geometry::{Frame, Vec3};
use crate::solve::assembly::{self, Definition, Piece, Placed};
use crate::solve::{Solution, doubler_part, liner_part, member, rail_part};
use crate::spec::Spec;
use crate::spec::types::ObstacleShape;
use std::f64::consts::PI;
use truck_stepio::r#in::ruststep::ast::Parameter;

/// Distance (mm) from a part's origin at which its turn is judged; few parts are longer.
const ARM: f64 = 500.0;

/// Measures the file of the assembly: every product with what it states and measures, every instance in its place.
pub fn check(file: &str, bytes: &[u8], spec: &Spec, solution: &Solution, report: &mut AuditReport) {
    let found = match read(bytes) {
        Ok(found) => found,
        Err(error) => {
            report.wrong(file, error.what, "readable", error.found);
            return;
        }
    };
    let placed = assembly::placed(spec, solution);
    let (definitions, of) = assembly::definitions(spec, solution, &placed);
    report.equal(file, "product name", written(&assembly::whole(spec).name), &found.name);
    let faces: usize = found.parts.iter().map(|part| part.faces[1]).sum();
    report.equal(file, "faces in the shells", found.faces.to_string(), faces.to_string());
    report.equal(file, "solids without a colour", "0", found.plain.to_string());
    let named = |all: Vec<&str>| all.join("; ");
    let wanted = written(&named(definitions.iter().map(|definition| definition.identity.name.as_str()).collect()));
    report.equal(file, "products", wanted, named(found.parts.iter().map(|part| part.product.as_str()).collect()));
    for (definition, part) in definitions.iter().zip(&found.parts) {
        part_lines(file, definition, part, (spec, solution), report);
    }
    report.equal(file, "instances", placed.len().to_string(), found.instances.len().to_string());
    for ((thing, part), instance) in placed.iter().zip(of).zip(&found.instances) {
        let product = definitions.get(part).map_or("", |definition| definition.identity.name.as_str());
        instance_lines(file, (thing, product), instance, report);
    }
}

fn part_lines(
    file: &str,
    definition: &Definition,
    part: &StepMeasure,
    (spec, solution): (&Spec, &Solution),
    report: &mut AuditReport,
) {
    let name = &definition.identity.name;
    report.equal(file, format!("{name}, part number"), written(&definition.identity.part_number), &part.part_number);
    report.equal(file, format!("{name}, edges not met once each way"), "0", part.open_edges.to_string());
    report.number(file, format!("{name}, edges off their faces"), 0.0, part.edge_off, ALLOWED, "mm");
    step_shell::stated(file, &format!("{name}, "), part, report);
    step_shell::texts(file, &format!("{name}, "), &definition.identity, part, report);
    let planned = match definition.piece {
        Piece::Member { shaft, member } => member::members(spec, solution, shaft).get(member).map(step::volume),
        Piece::Plate(i) => solution.plates.get(i).map(step_plate::volume),
        Piece::Doubler(i) => doubler_part::plates(solution).get(i).map(step_plate::volume),
        Piece::Liner(i) => liner_part::of(solution, i).map(|part| part.volume()),
        Piece::Rail(i) => solution.rails.get(i).map(|rail| rail_part::volume(rail, &rail_part::cuts(solution, rail))),
        Piece::Obstacle(i) => spec.obstacles.get(i).and_then(|obstacle| obstacle_volume(&obstacle.shape)),
        _ => None,
    };
    if let Some(volume) = planned {
        report.number(file, format!("{name}, volume"), volume, part.volume, VOLUME * volume, "mm³");
    }
}

/// Volume (mm³) of an obstacle without any bore; that of a tube is its section along its centre line (Pappus).
fn obstacle_volume(shape: &ObstacleShape) -> Option<f64> {
    let disc = |diameter: f64| PI / 4.0 * diameter * diameter;
    Some(match shape {
        ObstacleShape::Box { edges: [a, b, c], .. } => a.cross(*b).dot(*c).abs(),
        ObstacleShape::Ball { diameter, .. } => disc(*diameter) * diameter / 1.5,
        ObstacleShape::Tube { path, diameter, bend } => {
            let legs: Vec<Vec3> = path.windows(2).filter_map(|pair| Some(*pair.last()? - *pair.first()?)).collect();
            let turns = legs.windows(2).filter_map(|pair| Some(pair.first()?.angle_to(*pair.last()?)));
            let saved = |turn: f64| bend.map_or(0.0, |bend| bend * (2.0 * libm::tan(turn / 2.0) - turn));
            disc(*diameter) * (legs.iter().map(|leg| leg.length()).sum::<f64>() - turns.map(saved).sum::<f64>())
        }
        ObstacleShape::Beside { .. } => return None,
    })
}

fn instance_lines(file: &str, (thing, product): (&Placed, &str), found: &Instance, report: &mut AuditReport) {
    report.equal(file, "instance", written(&thing.name), &found.name);
    report.equal(file, format!("{}, product", thing.name), written(product), &found.product);
    let arms = [Vec3::default(), Vec3::new(ARM, 0.0, 0.0), Vec3::new(0.0, ARM, 0.0), Vec3::new(0.0, 0.0, ARM)];
    let off = arms.into_iter().map(|arm| (thing.frame.out(arm) - found.frame.out(arm)).length()).fold(0.0, f64::max);
    report.number(file, format!("{}, off its place", thing.name), 0.0, off, ALLOWED, "mm");
}

/// What the file holds.
struct Found {
    name: String,
    parts: Vec<StepMeasure>,
    instances: Vec<Instance>,
    /// Faces in the file.
    faces: usize,
    /// Solids without a colour.
    plain: usize,
}

struct Instance {
    name: String,
    product: String,
    frame: Frame,
}

fn read(bytes: &[u8]) -> Result<Found, StepReadError> {
    let exchange = step_file::exchange(bytes)?;
    let file = RawFile::new(&exchange);
    let all = file.parts()?;
    let mut parts = Vec::with_capacity(all.len());
    for part in &all {
        let stated = step_stated::read(&file, part.unit, Some([part.definition, part.definition_shape]))?;
        parts.push(step_file::solids(&file, part, stated)?);
    }
    let instances = file
        .named("NEXT_ASSEMBLY_USAGE_OCCURRENCE")
        .map(|(id, parameters)| instance(&file, id, parameters, &all))
        .collect::<Result<Vec<_>, _>>()?;
    let styled: Vec<u64> =
        file.named("STYLED_ITEM").filter_map(|(_, parameters)| parameters.get(2).map(references)).flatten().collect();
    let plain = file.named("MANIFOLD_SOLID_BREP").filter(|(id, _)| !styled.contains(id)).count();
    Ok(Found { name: whole(&file, &all)?, parts, instances, faces: file.count("ADVANCED_FACE"), plain })
}

/// Name of the product that is no part.
fn whole(file: &RawFile<'_>, parts: &[Part]) -> Result<String, StepReadError> {
    let mut names = file.named("PRODUCT").filter(|(id, _)| parts.iter().all(|part| part.product != *id));
    match (names.next(), names.next()) {
        (Some((_, [_, Parameter::String(name), ..])), None) => Ok(decode(name)),
        _ => Err(wrong("assembly", "not one product that is made of the others")),
    }
}

fn instance(file: &RawFile<'_>, id: u64, parameters: &[Parameter], parts: &[Part]) -> Result<Instance, StepReadError> {
    let [_, Parameter::String(name), _, _, used, _] = parameters else { return Err(damaged(id)) };
    let used = reference(used, id)?;
    let part = parts.iter().find(|part| part.definition == used).ok_or_else(|| damaged(id))?;
    // From the usage to its placement: its shape, the pair of that with a relation, the relation's transformation.
    let shape = file
        .named("PRODUCT_DEFINITION_SHAPE")
        .find(|(_, of)| of.get(2).is_some_and(|of| references(of) == [id]))
        .ok_or_else(|| damaged(id))?
        .0;
    let relation = file
        .named("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION")
        .find(|(_, of)| of.get(1).is_some_and(|of| references(of) == [shape]))
        .and_then(|(_, of)| of.first().map(references))
        .and_then(|of| of.first().copied())
        .ok_or_else(|| damaged(shape))?;
    let own =
        |name| file.named(name).find(|(at, _)| *at == relation).map(|(_, of)| of).ok_or_else(|| damaged(relation));
    let [_, _, from, _] = own("REPRESENTATION_RELATIONSHIP")? else { return Err(damaged(relation)) };
    let [moved] = own("REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION")? else { return Err(damaged(relation)) };
    if reference(from, relation)? != part.representation {
        return Err(wrong("placement", format!("#{relation} moves another part than #{id} uses")));
    }
    let moved = reference(moved, relation)?;
    let [_, _, origin, target] = file.expect(moved, "ITEM_DEFINED_TRANSFORMATION")? else { return Err(damaged(moved)) };
    let reader = Reader { file, unit: part.unit };
    let origin = reader.placement(reference(origin, moved)?)?;
    let target = reader.placement(reference(target, moved)?)?;
    // What carries the one frame to the other, as the place of the part's own origin.
    let back = Frame {
        origin: origin.local(Vec3::default()),
        x: Vec3::new(origin.x.x, origin.y.x, origin.z.x),
        y: Vec3::new(origin.x.y, origin.y.y, origin.z.y),
        z: Vec3::new(origin.x.z, origin.y.z, origin.z.z),
    };
    Ok(Instance { name: decode(name), product: part.name.clone(), frame: target.carried(&back) })
}

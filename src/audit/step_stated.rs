//! What a STEP file states of its part beside the shape: measures to check the transfer by, and texts.

use truck_stepio::r#in::ruststep::ast::Parameter;

use super::step_records::{RawFile, StepReadError, damaged, decode, real, reference, references};
use crate::geometry::Vec3;

/// Geometric validation properties (in mm, whatever the file's unit) and texts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stated {
    /// mm³.
    pub volume: Option<f64>,
    /// mm².
    pub area: Option<f64>,
    /// mm.
    pub centroid: Option<Vec3>,
    /// Names and texts, in the order of the file.
    pub texts: Vec<(String, String)>,
    /// The material, where programs look for it.
    pub material: Option<String>,
}

/// Reads every property of the file's one part, or those that hang on one of two records.
pub(super) fn read(file: &RawFile<'_>, unit: f64, on: Option<[u64; 2]>) -> Result<Stated, StepReadError> {
    let mut stated = Stated::default();
    for (id, parameters) in file.named("PROPERTY_DEFINITION_REPRESENTATION") {
        let [definition, representation] = parameters else { return Err(damaged(id)) };
        let (definition, representation) = (reference(definition, id)?, reference(representation, id)?);
        let [Parameter::String(name), Parameter::String(what), of] = file.expect(definition, "PROPERTY_DEFINITION")?
        else {
            return Err(damaged(definition));
        };
        let of = reference(of, definition)?;
        if on.is_some_and(|on| !on.contains(&of)) {
            continue;
        }
        let [_, items, _] = file.expect(representation, "REPRESENTATION")? else { return Err(damaged(representation)) };
        for item in references(items) {
            match (name.as_str(), what.as_str(), file.get(item)?) {
                (
                    VALIDATION,
                    "volume",
                    ("MEASURE_REPRESENTATION_ITEM", [_, Parameter::Typed { parameter, .. }, power]),
                ) => {
                    exponent(file, reference(power, item)?, 3.0)?;
                    stated.volume = real(parameter).map(|volume| volume * unit * unit * unit);
                }
                (
                    VALIDATION,
                    "surface area",
                    ("MEASURE_REPRESENTATION_ITEM", [_, Parameter::Typed { parameter, .. }, power]),
                ) => {
                    exponent(file, reference(power, item)?, 2.0)?;
                    stated.area = real(parameter).map(|area| area * unit * unit);
                }
                (VALIDATION, "centroid", ("CARTESIAN_POINT", [_, Parameter::List(at)])) => {
                    let at: Vec<f64> = at.iter().filter_map(real).collect();
                    let [x, y, z] = at[..] else { return Err(damaged(item)) };
                    stated.centroid = Some(Vec3::new(x, y, z) * unit);
                }
                (kind, _, ("DESCRIPTIVE_REPRESENTATION_ITEM", [Parameter::String(name), Parameter::String(text)])) => {
                    if kind == "material property" {
                        stated.material = Some(decode(text));
                    } else {
                        stated.texts.push((decode(name), decode(text)));
                    }
                }
                _ => return Err(damaged(item)),
            }
        }
    }
    Ok(stated)
}

/// Name of the properties a transfer is checked by.
const VALIDATION: &str = "geometric validation property";

/// An error unless a derived unit is a length to this power.
fn exponent(file: &RawFile<'_>, id: u64, wanted: f64) -> Result<(), StepReadError> {
    let [elements] = file.expect(id, "DERIVED_UNIT")? else { return Err(damaged(id)) };
    let element = reference(elements, id)?;
    let [length, power] = file.expect(element, "DERIVED_UNIT_ELEMENT")? else { return Err(damaged(element)) };
    let length = reference(length, element)?;
    // The length unit in force, not the one it is converted from.
    let is_length = file.named("LENGTH_UNIT").any(|(unit, _)| unit == length)
        && file
            .named("GLOBAL_UNIT_ASSIGNED_CONTEXT")
            .any(|(_, units)| units.iter().any(|u| references(u).contains(&length)));
    if is_length && real(power) == Some(wanted) { Ok(()) } else { Err(damaged(id)) }
}

//! The records of a STEP file: what the syntax says, before any geometry.

use std::collections::BTreeMap;
use std::fmt;

use truck_stepio::r#in::ruststep::ast::{EntityInstance, Exchange, Name, Parameter, Record};

/// Why a STEP file could not be measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepReadError {
    /// What was looked for: `product`, `length unit`, `closed shell` ...
    pub what: &'static str,
    /// What was found.
    pub found: String,
}

impl fmt::Display for StepReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.what, self.found)
    }
}

impl std::error::Error for StepReadError {}

/// Says what was looked for and what was found.
pub(super) fn wrong(what: &'static str, found: impl Into<String>) -> StepReadError {
    StepReadError { what, found: found.into() }
}

/// What the file says of a part.
pub(super) struct Part {
    /// Its `PRODUCT`, `PRODUCT_DEFINITION`, `PRODUCT_DEFINITION_SHAPE` and representation.
    pub(super) product: u64,
    pub(super) definition: u64,
    pub(super) definition_shape: u64,
    pub(super) representation: u64,
    /// Product identifier.
    pub(super) number: String,
    /// Product name.
    pub(super) name: String,
    /// Records of its closed shells.
    pub(super) shells: Vec<u64>,
    /// Millimetres in its length unit.
    pub(super) unit: f64,
}

/// The records as they stand in the file, by number.
pub(super) struct RawFile<'a> {
    /// A complex record stands once for each of its parts.
    records: BTreeMap<u64, Vec<&'a Record>>,
}

impl<'a> RawFile<'a> {
    pub(super) fn new(exchange: &'a Exchange) -> Self {
        let mut records = BTreeMap::new();
        for entity in exchange.data.iter().flat_map(|section| &section.entities) {
            match entity {
                EntityInstance::Simple { id, record } => records.insert(*id, vec![record]),
                EntityInstance::Complex { id, subsuper } => records.insert(*id, subsuper.0.iter().collect()),
            };
        }
        Self { records }
    }

    /// Every record of a name, with its number and parameters.
    pub(super) fn named(&self, name: &'a str) -> impl Iterator<Item = (u64, &'a [Parameter])> {
        self.records
            .iter()
            .flat_map(|(id, parts)| parts.iter().map(move |record| (*id, *record)))
            .filter(move |(_, record)| record.name == name)
            .map(|(id, record)| (id, parameters(record)))
    }

    pub(super) fn count(&self, name: &'a str) -> usize {
        self.named(name).count()
    }

    /// Name and parameters of a plain record.
    pub(super) fn get(&self, id: u64) -> Result<(&'a str, &'a [Parameter]), StepReadError> {
        match self.records.get(&id).map(Vec::as_slice) {
            Some([record]) => Ok((&record.name, parameters(record))),
            _ => Err(wrong("record", format!("no plain record #{id}"))),
        }
    }

    /// The name of a face, where it has one.
    pub(super) fn face_name(&self, id: u64) -> Option<String> {
        let ("ADVANCED_FACE", [Parameter::String(name), ..]) = self.get(id).ok()? else { return None };
        Some(decode(name)).filter(|name| !name.is_empty())
    }

    /// Parameters of a plain record of this name.
    pub(super) fn expect(&self, id: u64, name: &'static str) -> Result<&'a [Parameter], StepReadError> {
        match self.get(id)? {
            (found, parameters) if found == name => Ok(parameters),
            (found, _) => Err(wrong(name, format!("#{id} is {found}"))),
        }
    }

    /// The one product with the one solid that is its own.
    pub(super) fn part(&self) -> Result<Part, StepReadError> {
        let id = self.only("SHAPE_DEFINITION_REPRESENTATION")?;
        let product = self.only("PRODUCT")?;
        self.only("MANIFOLD_SOLID_BREP")?;
        let part = self.part_of(id)?;
        if part.product != product {
            return Err(wrong("product", format!("the shape belongs to #{}, not to #{product}", part.product)));
        }
        Ok(part)
    }

    /// Every product that has solids.
    pub(super) fn parts(&self) -> Result<Vec<Part>, StepReadError> {
        let mut parts = Vec::new();
        for (id, parameters) in self.named("SHAPE_DEFINITION_REPRESENTATION") {
            let representation = parameters.get(1).and_then(|of| references(of).first().copied());
            let representation = representation.ok_or_else(|| damaged(id))?;
            if self.get(representation)?.0 == "ADVANCED_BREP_SHAPE_REPRESENTATION" {
                parts.push(self.part_of(id)?);
            }
        }
        Ok(parts)
    }

    /// From a shape's definition both ways: to the product over its definition and formation, and to the shells over
    /// its representation.
    fn part_of(&self, id: u64) -> Result<Part, StepReadError> {
        let [shape, representation] = self.references(id, "SHAPE_DEFINITION_REPRESENTATION")?[..] else {
            return Err(damaged(id));
        };
        let first = |at: u64, name| self.references(at, name)?.first().copied().ok_or_else(|| damaged(at));
        let definition = first(shape, "PRODUCT_DEFINITION_SHAPE")?;
        let formation = first(definition, "PRODUCT_DEFINITION")?;
        let product = first(formation, "PRODUCT_DEFINITION_FORMATION")?;
        let [Parameter::String(number), Parameter::String(name), ..] = self.expect(product, "PRODUCT")? else {
            return Err(damaged(product));
        };
        let [_, items, context] = self.expect(representation, "ADVANCED_BREP_SHAPE_REPRESENTATION")? else {
            return Err(damaged(representation));
        };
        let mut shells = Vec::new();
        for item in references(items) {
            if let ("MANIFOLD_SOLID_BREP", [_, shell]) = self.get(item)? {
                shells.push(reference(shell, item)?);
            }
        }
        if shells.is_empty() {
            return Err(wrong("solid", format!("none in the shape of #{product}")));
        }
        let unit = self.unit(reference(context, representation)?)?;
        let (number, name) = (decode(number), decode(name));
        Ok(Part { product, definition, definition_shape: shape, representation, number, name, shells, unit })
    }

    /// The number of the one record of a name.
    fn only(&self, name: &'static str) -> Result<u64, StepReadError> {
        let mut all = self.named(name);
        match (all.next(), all.next()) {
            (Some((id, _)), None) => Ok(id),
            _ => Err(wrong(name, format!("{} records, where one is allowed", self.count(name)))),
        }
    }

    /// Every record number in a plain record of this name.
    fn references(&self, id: u64, name: &'static str) -> Result<Vec<u64>, StepReadError> {
        Ok(self.expect(id, name)?.iter().flat_map(references).collect())
    }

    /// Millimetres in the length unit that a representation context names.
    fn unit(&self, context: u64) -> Result<f64, StepReadError> {
        let assigned: Vec<u64> = self
            .named("GLOBAL_UNIT_ASSIGNED_CONTEXT")
            .filter(|(id, _)| *id == context)
            .flat_map(|(_, parameters)| parameters)
            .flat_map(references)
            .filter(|id| self.named("LENGTH_UNIT").any(|(unit, _)| unit == *id))
            .collect();
        let [unit] = assigned[..] else {
            return Err(wrong("length unit", format!("{} in force, where one is allowed", assigned.len())));
        };
        let converted = self.named("CONVERSION_BASED_UNIT").find(|(id, _)| *id == unit);
        let (factor, base) = match converted {
            None => (1.0, unit),
            Some((_, parameters)) => {
                let measure = parameters.get(1).and_then(|p| references(p).first().copied());
                self.named("LENGTH_MEASURE_WITH_UNIT")
                    .find(|(id, _)| Some(*id) == measure)
                    .and_then(|(_, parameters)| match parameters {
                        [Parameter::Typed { parameter, .. }, base] => {
                            Some((real(parameter)?, references(base).first().copied()?))
                        }
                        _ => None,
                    })
                    .ok_or_else(|| wrong("length unit", "a conversion without its measure"))?
            }
        };
        let scale = self.named("SI_UNIT").find(|(id, _)| *id == base).map(|(_, parameters)| parameters);
        match scale {
            Some([Parameter::Enumeration(prefix), Parameter::Enumeration(name)])
                if prefix == "MILLI" && name == "METRE" =>
            {
                Ok(factor)
            }
            Some([_, Parameter::Enumeration(name)]) if name == "METRE" => {
                Err(wrong("length unit", "metres with a prefix other than milli"))
            }
            _ => Err(wrong("length unit", "not in metres")),
        }
    }
}

fn parameters(record: &Record) -> &[Parameter] {
    match &record.parameter {
        Parameter::List(list) => list,
        other => std::slice::from_ref(other),
    }
}

/// A number, where the parameter is one.
pub(super) fn real(parameter: &Parameter) -> Option<f64> {
    match parameter {
        Parameter::Real(x) => Some(*x),
        Parameter::Integer(x) => Some(*x as f64),
        Parameter::List(list) => list.first().and_then(real),
        _ => None,
    }
}

/// Every record number in a parameter, in order.
pub(super) fn references(parameter: &Parameter) -> Vec<u64> {
    match parameter {
        Parameter::Ref(Name::Entity(id)) => vec![*id],
        Parameter::List(list) => list.iter().flat_map(references).collect(),
        _ => Vec::new(),
    }
}

/// A record that does not say what it should.
pub(super) fn damaged(id: u64) -> StepReadError {
    wrong("record", format!("#{id} is damaged"))
}

/// The one record number in a parameter of record `id`.
pub(super) fn reference(parameter: &Parameter, id: u64) -> Result<u64, StepReadError> {
    match references(parameter)[..] {
        [one] => Ok(one),
        _ => Err(damaged(id)),
    }
}

/// A string without the escapes of Part 21: `\X2\....\X0\`, `\X4\........\X0\` and the doubled backslash.
pub(super) fn decode(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('\\') {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        let hexadecimal = [("\\X2\\", 4), ("\\X4\\", 8)].into_iter().find_map(|(start, width)| {
            let (digits, after) = rest.strip_prefix(start)?.split_once("\\X0\\")?;
            let letters: Option<String> = digits
                .as_bytes()
                .chunks(width)
                .map(|chunk| {
                    let code = u32::from_str_radix(std::str::from_utf8(chunk).ok()?, 16).ok()?;
                    char::from_u32(code)
                })
                .collect();
            Some((letters?, after))
        });
        if let Some((letters, after)) = hexadecimal {
            out.push_str(&letters);
            rest = after;
        } else {
            out.push('\\');
            rest = rest.strip_prefix("\\\\").unwrap_or(&rest[1..]);
        }
    }
    out + rest
}

//! What a receiver of a STEP file reads beside the shape: measures to check the transfer by, and what it is.

use std::fmt::Display;

use truck_stepio::out::FloatDisplay;

use super::part21::{Records, Refs, Text};

/// The records that properties of one part hang on.
pub(super) struct Subject {
    /// Its `PRODUCT_DEFINITION`.
    pub(super) definition: usize,
    /// Its `PRODUCT_DEFINITION_SHAPE`.
    pub(super) shape: usize,
    /// Representation context with the units in force.
    pub(super) context: usize,
    /// Length unit of that context.
    pub(super) length: usize,
}

/// Volume, area and centroid in the file's unit.
pub(super) struct Measures {
    pub(super) volume: f64,
    pub(super) area: f64,
    pub(super) centroid: [f64; 3],
}

/// Geometric validation properties: a reader that measures something else has read another part.
///
/// Names as in the recommended practices for geometric validation properties, from memory.
pub(super) fn validation(records: &mut Records, subject: &Subject, measures: &Measures) {
    let power = |records: &mut Records, exponent: &str| {
        let element = records.add(format!("DERIVED_UNIT_ELEMENT(#{}, {exponent})", subject.length));
        records.add(format!("DERIVED_UNIT((#{element}))"))
    };
    let cubic = power(records, "3.");
    let square = power(records, "2.");
    let volume = records.add(format!(
        "MEASURE_REPRESENTATION_ITEM('volume measure', VOLUME_MEASURE({}), #{cubic})",
        FloatDisplay(measures.volume)
    ));
    property(records, subject, "volume", volume);
    let area = records.add(format!(
        "MEASURE_REPRESENTATION_ITEM('surface area measure', AREA_MEASURE({}), #{square})",
        FloatDisplay(measures.area)
    ));
    property(records, subject, "surface area", area);
    let [x, y, z] = measures.centroid.map(FloatDisplay);
    let centroid = records.add(format!("CARTESIAN_POINT('centre point', ({x}, {y}, {z}))"));
    property(records, subject, "centroid", centroid);
}

fn property(records: &mut Records, subject: &Subject, what: &str, item: usize) {
    let name = "geometric validation property";
    hang(records, [name, what, what], subject.shape, &[item], subject.context);
}

/// Texts about the part by name: part number, material, notes. Empty ones are left out.
pub(super) fn described(records: &mut Records, subject: &Subject, texts: &[(&'static str, String)]) {
    let item = |records: &mut Records, name: &str, text: &str| {
        records.add(format!("DESCRIPTIVE_REPRESENTATION_ITEM({}, {})", Text(name), Text(text)))
    };
    let told = texts.iter().filter(|(_, text)| !text.is_empty());
    let items: Vec<usize> = told.map(|(name, text)| item(records, name, text)).collect();
    if !items.is_empty() {
        hang(records, ["user defined attribute", "", ""], subject.definition, &items, subject.context);
    }
    // The material once more where programs look for it.
    if let Some((_, material)) = texts.iter().find(|(name, text)| *name == "material" && !text.is_empty()) {
        let material = item(records, material, material);
        let names = ["material property", "material name", "material name"];
        hang(records, names, subject.definition, &[material], subject.context);
    }
}

/// A property of something: its name and description, and the name of the representation that holds the items.
fn hang(records: &mut Records, [name, what, kind]: [&str; 3], of: impl Display, items: &[usize], context: usize) {
    let definition = records.add(format!("PROPERTY_DEFINITION({}, {}, #{of})", Text(name), Text(what)));
    let representation = records.add(format!("REPRESENTATION({}, {}, #{context})", Text(kind), Refs(items)));
    records.add(format!("PROPERTY_DEFINITION_REPRESENTATION(#{definition}, #{representation})"));
}

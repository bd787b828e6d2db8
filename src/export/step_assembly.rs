//! Assemblies as STEP: products once, instances placed.

use std::fmt::Write as _;

use super::ExportError;
use super::part21::{Refs, Text};
use super::step::{File, OWN, Part, Product, StepMeta};
use crate::geometry::Frame;
use crate::model::Solid;

/// A product of an assembly.
#[derive(Debug, Clone)]
pub struct AssemblyPart<'a> {
    /// Product name.
    pub name: &'a str,
    /// Product identifier.
    pub part_number: &'a str,
    /// Product description.
    pub description: &'a str,
    /// More texts by name.
    pub texts: &'a [(&'static str, String)],
    /// One or more.
    pub solids: Vec<&'a Solid>,
    /// Red, green and blue, 0 to 1.
    pub colour: [f64; 3],
}

/// A product in its place.
#[derive(Debug, Clone)]
pub struct Instance<'a> {
    /// What it is called there.
    pub name: &'a str,
    /// Number of its product.
    pub part: usize,
    /// Where its own frame lies.
    pub frame: Frame,
}

/// Parts and where they are used, under one product named by `meta`.
///
/// # Errors
/// As [`super::step::write`].
pub fn write(parts: &[AssemblyPart<'_>], instances: &[Instance<'_>], meta: &StepMeta) -> Result<Vec<u8>, ExportError> {
    let mut file = File::begin(meta);
    let whole = file.product([&meta.part_number, &meta.name, &meta.description]);
    let mut made: Vec<(Product, Part)> = Vec::with_capacity(parts.len());
    let mut styled = Vec::new();
    for part in parts {
        let product = file.product([part.part_number, part.name, part.description]);
        let shape = file.part(part.name, &part.solids)?;
        let Product { definition, shape: of } = product;
        file.records.add(format!("SHAPE_DEFINITION_REPRESENTATION(#{of}, #{})", shape.representation));
        file.measured(definition, of, &part.solids, part.texts)?;
        let style = style(&mut file, part.colour);
        for brep in &shape.breps {
            styled.push(file.records.add(format!("STYLED_ITEM('colour', (#{style}), #{brep})")));
        }
        made.push((product, shape));
    }
    let context = file.context;
    let mut items = vec![file.shapes().placement(&OWN)?];
    for instance in instances {
        items.push(file.shapes().placement(&instance.frame)?);
    }
    let name = Text(&meta.name);
    let representation = file.records.add(format!("SHAPE_REPRESENTATION({name}, {}, #{context})", Refs(&items)));
    file.records.add(format!("SHAPE_DEFINITION_REPRESENTATION(#{}, #{representation})", whole.shape));
    for (i, (instance, placement)) in instances.iter().zip(items.iter().skip(1)).enumerate() {
        let Some((product, shape)) = made.get(instance.part) else { continue };
        let usage = file.records.add(format!(
            "NEXT_ASSEMBLY_USAGE_OCCURRENCE('{}', {}, '', #{}, #{}, $)",
            i + 1,
            Text(instance.name),
            whole.definition,
            product.definition
        ));
        let placed = file.records.add(format!("PRODUCT_DEFINITION_SHAPE('', '', #{usage})"));
        let moved = file.records.add(format!("ITEM_DEFINED_TRANSFORMATION('', '', #{}, #{placement})", shape.origin));
        let related = file.records.add(format!(
            "(REPRESENTATION_RELATIONSHIP('', '', #{}, #{representation}) \
             REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#{moved}) SHAPE_REPRESENTATION_RELATIONSHIP())",
            shape.representation
        ));
        file.records.add(format!("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#{related}, #{placed})"));
    }
    file.records
        .add(format!("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('', {}, #{context})", Refs(&styled)));
    Ok(file.finish())
}

/// A colour for both sides of a solid's faces.
fn style(file: &mut File<'_>, colour: [f64; 3]) -> usize {
    let mut parts = String::new();
    for part in colour {
        // Two decimals; a string cannot fail to be written.
        let _ = write!(parts, ", {part:.2}");
    }
    let records = &mut file.records;
    let colour = records.add(format!("COLOUR_RGB(''{parts})"));
    let fill = records.add(format!("FILL_AREA_STYLE_COLOUR('', #{colour})"));
    let area = records.add(format!("FILL_AREA_STYLE('', (#{fill}))"));
    let surface = records.add(format!("SURFACE_STYLE_FILL_AREA(#{area})"));
    let side = records.add(format!("SURFACE_SIDE_STYLE('', (#{surface}))"));
    let usage = records.add(format!("SURFACE_STYLE_USAGE(.BOTH., #{side})"));
    records.add(format!("PRESENTATION_STYLE_ASSIGNMENT((#{usage}))"))
}

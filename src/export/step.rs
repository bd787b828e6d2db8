//! Solids as STEP.

use truck_stepio::out::FloatDisplay;

use super::ExportError;
use super::part21::{Header, Records, Refs, Text};
use super::step_properties::{self, Measures, Subject};
use super::step_shape::ShapeWriter;
use crate::geometry::{Frame, Vec3};
use crate::model::Solid;
use crate::spec::types::{StepSchema, Unit};

/// What the file says of the part beside its shape.
#[derive(Debug, Clone)]
pub struct StepMeta {
    /// Path in the package; its last part is the file's name.
    pub path: String,
    /// Product name.
    pub name: String,
    /// Product identifier, such as the build-record number and the part.
    pub part_number: String,
    /// Product description.
    pub description: String,
    /// Revision index.
    pub revision: String,
    /// Who drew it.
    pub author: String,
    /// Date of the spec, `2026-03-14`, or empty; never the clock.
    pub date: String,
    /// Application protocol.
    pub schema: StepSchema,
    /// Length unit of the file.
    pub unit: Unit,
    /// Texts by name: material, notes; empty ones are left out.
    pub texts: Vec<(&'static str, String)>,
}

/// How far apart (mm) edges and surfaces that meet may be read: over the fit of
/// the rims (1e-10 of the diameter), under what the audit allows of a length.
const UNCERTAINTY: f64 = 1e-7;

/// Largest volume or area (in the file's unit): above, numbers would be printed as Part 21 does not allow.
const LARGEST_MEASURE: f64 = 1e15;

/// One solid as one named product, in the file's unit.
///
/// Planes, cylinders, cones and elliptic cylinders, with straight, circular, elliptic and hyperbolic edges
/// and fitted splines where no closed form exists; one closed shell.
///
/// # Errors
/// A number that is not finite or is over 100 m.
pub fn write(solid: &Solid, meta: &StepMeta) -> Result<Vec<u8>, ExportError> {
    let mut file = File::begin(meta);
    let texts = &meta.texts;
    let Product { definition, shape } = file.product([&meta.part_number, &meta.name, &meta.description]);
    let part = file.part(&meta.name, &[solid])?;
    file.records.add(format!("SHAPE_DEFINITION_REPRESENTATION(#{shape}, #{})", part.representation));
    file.measured(definition, shape, &[solid], texts)?;
    Ok(file.finish())
}

/// A file being written.
pub(super) struct File<'a> {
    pub(super) records: Records,
    pub(super) meta: &'a StepMeta,
    /// Millimetres in the file's unit.
    pub(super) scale: f64,
    /// Contexts of products and of their definitions.
    contexts: [usize; 2],
    /// Representation context and its length unit.
    pub(super) context: usize,
    length: usize,
}

/// Numbers of a product's records.
pub(super) struct Product {
    /// `PRODUCT_DEFINITION`.
    pub(super) definition: usize,
    /// `PRODUCT_DEFINITION_SHAPE`.
    pub(super) shape: usize,
}

/// Numbers of a part's shape.
pub(super) struct Part {
    /// Its representation.
    pub(super) representation: usize,
    /// The placement that is its own frame.
    pub(super) origin: usize,
    /// Its solids.
    pub(super) breps: Vec<usize>,
}

/// The frame a part is written in.
pub(super) const OWN: Frame = Frame {
    origin: Vec3::new(0.0, 0.0, 0.0),
    x: Vec3::new(1.0, 0.0, 0.0),
    y: Vec3::new(0.0, 1.0, 0.0),
    z: Vec3::new(0.0, 0.0, 1.0),
};

impl<'a> File<'a> {
    pub(super) fn begin(meta: &'a StepMeta) -> Self {
        let scale = match meta.unit {
            Unit::Millimetre => 1.0,
            Unit::Inch => 25.4,
        };
        let mut records = Records::default();
        let contexts = contexts(&mut records, meta.schema);
        let (context, length) = context(&mut records, meta.unit, scale);
        Self { records, meta, scale, contexts, context, length }
    }

    /// A product of this identifier, name and description with its one definition.
    pub(super) fn product(&mut self, [id, name, description]: [&str; 3]) -> Product {
        let ([context, definition_context], records) = (self.contexts, &mut self.records);
        let product =
            records.add(format!("PRODUCT({}, {}, {}, (#{context}))", Text(id), Text(name), Text(description)));
        records.add(format!("PRODUCT_RELATED_PRODUCT_CATEGORY('part', $, (#{product}))"));
        let revision = Text(&self.meta.revision);
        let formation = records.add(format!("PRODUCT_DEFINITION_FORMATION({revision}, '', #{product})"));
        let definition = records.add(format!("PRODUCT_DEFINITION('design', '', #{formation}, #{definition_context})"));
        let shape = records.add(format!("PRODUCT_DEFINITION_SHAPE('', '', #{definition})"));
        Product { definition, shape }
    }

    /// The shape of a part.
    pub(super) fn part(&mut self, name: &str, solids: &[&Solid]) -> Result<Part, ExportError> {
        let context = self.context;
        let mut shape = self.shapes();
        let origin = shape.placement(&OWN)?;
        let mut breps = Vec::new();
        for solid in solids {
            breps.extend(shape.solid(solid, name)?);
        }
        let items: Vec<usize> = std::iter::once(origin).chain(breps.iter().copied()).collect();
        let name = Text(name);
        let representation =
            self.records.add(format!("ADVANCED_BREP_SHAPE_REPRESENTATION({name}, {}, #{context})", Refs(&items)));
        Ok(Part { representation, origin, breps })
    }

    pub(super) fn shapes(&mut self) -> ShapeWriter<'_> {
        ShapeWriter { records: &mut self.records, path: &self.meta.path, scale: self.scale }
    }

    /// What a part measures, its solids together, and what is said of it.
    pub(super) fn measured(
        &mut self,
        definition: usize,
        shape: usize,
        solids: &[&Solid],
        texts: &[(&'static str, String)],
    ) -> Result<(), ExportError> {
        let (mut volume, mut area, mut moment) = (0.0, 0.0, Vec3::default());
        for measure in solids.iter().map(|solid| solid.measure()) {
            volume += measure.volume;
            area += measure.area;
            moment = moment + measure.centroid * measure.volume;
        }
        let (scale, Vec3 { x, y, z }) = (self.scale, moment * (1.0 / volume));
        let sizes = [volume / (scale * scale * scale), area / (scale * scale), x / scale, y / scale, z / scale];
        if let Some(wrong) = sizes.iter().find(|size| !(size.is_finite() && size.abs() < LARGEST_MEASURE)) {
            return Err(ExportError { path: self.meta.path.clone(), message: format!("a solid measures {wrong}") });
        }
        let subject = Subject { definition, shape, context: self.context, length: self.length };
        let [volume, area, centroid @ ..] = sizes;
        let measures = Measures { volume, area, centroid: centroid.map(|at| at + 0.0) };
        step_properties::validation(&mut self.records, &subject, &measures);
        step_properties::described(&mut self.records, &subject, texts);
        Ok(())
    }

    pub(super) fn finish(self) -> Vec<u8> {
        let meta = self.meta;
        let name = meta.path.rsplit('/').next().unwrap_or_default();
        let time = if meta.date.is_empty() { String::new() } else { format!("{}T00:00:00", meta.date) };
        let header = Header {
            description: &meta.description,
            name,
            time: &time,
            author: &meta.author,
            system: concat!("yokeline ", env!("CARGO_PKG_VERSION")),
            schema: match meta.schema {
                // Object identifiers of ISO 10303-242 edition 3 and of ISO 10303-214; from memory.
                StepSchema::Ap242 => "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 3 1 4 }",
                StepSchema::Ap214 => "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }",
            },
        };
        self.records.finish(&header).into_bytes()
    }
}

/// Contexts of products and of their definitions.
fn contexts(records: &mut Records, schema: StepSchema) -> [usize; 2] {
    let (application, protocol) = match schema {
        StepSchema::Ap242 => ("managed model based 3d engineering", "'ap242_managed_model_based_3d_engineering', 2022"),
        StepSchema::Ap214 => ("core data for automotive mechanical design processes", "'automotive_design', 2003"),
    };
    let application = records.add(format!("APPLICATION_CONTEXT('{application}')"));
    records.add(format!("APPLICATION_PROTOCOL_DEFINITION('international standard', {protocol}, #{application})"));
    let product = records.add(format!("PRODUCT_CONTEXT('', #{application}, 'mechanical')"));
    [product, records.add(format!("PRODUCT_DEFINITION_CONTEXT('part definition', #{application}, 'design')"))]
}

/// The representation context with its units and its uncertainty, and its length unit.
fn context(records: &mut Records, unit: Unit, scale: f64) -> (usize, usize) {
    let millimetre = records.add("(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI., .METRE.))");
    let length = match unit {
        Unit::Millimetre => millimetre,
        Unit::Inch => {
            let measure = records.add(format!("LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4), #{millimetre})"));
            let exponents = records.add("DIMENSIONAL_EXPONENTS(1., 0., 0., 0., 0., 0., 0.)");
            records.add(format!("(CONVERSION_BASED_UNIT('INCH', #{measure}) LENGTH_UNIT() NAMED_UNIT(#{exponents}))"))
        }
    };
    let angle = records.add("(NAMED_UNIT(*) PLANE_ANGLE_UNIT() SI_UNIT($, .RADIAN.))");
    let solid_angle = records.add("(NAMED_UNIT(*) SI_UNIT($, .STERADIAN.) SOLID_ANGLE_UNIT())");
    let uncertainty = records.add(format!(
        "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({}), #{length}, 'distance_accuracy_value', 'edges and surfaces')",
        FloatDisplay(UNCERTAINTY / scale)
    ));
    let context = records.add(format!(
        "(GEOMETRIC_REPRESENTATION_CONTEXT(3) GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{uncertainty})) \
         GLOBAL_UNIT_ASSIGNED_CONTEXT((#{length}, #{angle}, #{solid_angle})) REPRESENTATION_CONTEXT('', '3D'))"
    ));
    (context, length)
}

//! STEP files read: what is in one, measured on its faces and edges.
//!
//! The syntax is read by truck's parser, the geometry here, record by record
//! and strictly: a record that is missing or of a kind no shaft has is an
//! error with its number, never left out.

use std::collections::BTreeMap;

use truck_stepio::r#in::ruststep::ast::{Exchange, Parameter};
use truck_stepio::r#in::ruststep::parser;

use super::step_curve::Curve;
use super::step_form::Form;
use super::step_records::{Part, RawFile, StepReadError, damaged, real, reference, references, wrong};
use super::step_stated::{self, Stated};
use crate::geometry::{Frame, Vec3};

/// A plane face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaneFace {
    /// Out of the solid.
    pub normal: Vec3,
    /// From the file's origin along the normal (mm).
    pub distance: f64,
    /// A point of its boundary.
    pub edge: Vec3,
}

/// A cylindrical face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CylinderFace {
    /// A point of the axis.
    pub origin: Vec3,
    /// Unit vector along the axis.
    pub axis: Vec3,
    /// mm.
    pub radius: f64,
    /// A hole: the material is outside the radius.
    pub hollow: bool,
}

/// A conical face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConeFace {
    /// Tip.
    pub apex: Vec3,
    /// Unit vector from the tip into the wide end.
    pub axis: Vec3,
    /// Between axis and wall (rad).
    pub half_angle: f64,
    /// A hole: the material is outside the cone.
    pub hollow: bool,
}

/// A face along an ellipse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EllipticFace {
    /// A point of the axis.
    pub origin: Vec3,
    /// Unit vector along the axis.
    pub axis: Vec3,
    /// First semi-axis (mm).
    pub major: Vec3,
    /// Length of the second (mm).
    pub minor: f64,
    /// A hole: the material is outside the ellipse.
    pub hollow: bool,
}

/// What was measured in one file with one product and one solid. Lengths in mm, whatever the file's unit.
#[derive(Debug, Clone, PartialEq)]
pub struct StepMeasure {
    /// Product name.
    pub product: String,
    /// Product identifier.
    pub part_number: String,
    /// Millimetres in the file's length unit: 1 or 25.4.
    pub unit: f64,
    /// Volume (mm³) by contour integrals over the edges.
    pub volume: f64,
    /// Area of the whole outside (mm²).
    pub area: f64,
    /// Centroid of the volume.
    pub centroid: Vec3,
    /// What the file itself says of the part.
    pub stated: Stated,
    /// Plane faces.
    pub planes: Vec<PlaneFace>,
    /// Cylindrical faces.
    pub cylinders: Vec<CylinderFace>,
    /// Conical faces.
    pub cones: Vec<ConeFace>,
    /// Elliptic cylinders.
    pub elliptic: Vec<EllipticFace>,
    /// Kinds of the faces that are none of these.
    pub others: Vec<&'static str>,
    /// Faces in the file and faces of the shell.
    pub faces: [usize; 2],
    /// Edges not met once each way, and places where a loop's next edge does not begin where the last one ended.
    pub open_edges: usize,
    /// Largest distance (mm) of an edge from a face it bounds, or of its end from its vertex.
    pub edge_off: f64,
    /// Names of the faces that have one, in the order of the shell.
    pub named: Vec<String>,
    /// Ends of all edges.
    pub corners: Vec<Vec3>,
    /// Start, middle and end of every edge of those faces.
    pub seams: Vec<[Vec3; 3]>,
}

/// Abscissas over 0 and weights of the ten-point Gauss-Legendre rule
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4).
pub(super) const GAUSS: [(f64, f64); 5] = [
    (0.148_874_338_981_631_22, 0.295_524_224_714_752_9),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

/// 1 less the cosine between an ellipse's normal and the way it is carried: square to the file's digits.
const SQUARE_CARRIED: f64 = 1e-14;

/// Highest degree of a spline that is read.
const HIGHEST_DEGREE: usize = 25;

/// Reads and measures one file.
///
/// # Errors
/// Bytes that are no exchange structure; not exactly one product, one length
/// unit of millimetres or inches, and one closed shell; a record that is
/// missing, damaged, or no plane, cylinder, cone, elliptic cylinder, line, circle,
/// ellipse, hyperbola or plain spline.
pub fn measure(bytes: &[u8]) -> Result<StepMeasure, StepReadError> {
    let exchange = exchange(bytes)?;
    let file = RawFile::new(&exchange);
    let part = file.part()?;
    let stated = step_stated::read(&file, part.unit, None)?;
    solids(&file, &part, stated)
}

/// The syntax of a file.
pub(super) fn exchange(bytes: &[u8]) -> Result<Exchange, StepReadError> {
    let text = std::str::from_utf8(bytes).map_err(|error| wrong("text", error.to_string()))?;
    parser::parse(text).map_err(|_| wrong("exchange structure", "not an ISO 10303-21 file"))
}

/// The solids of one part together.
pub(super) fn solids(file: &RawFile<'_>, part: &Part, stated: Stated) -> Result<StepMeasure, StepReadError> {
    let mut measure = StepMeasure {
        product: part.name.clone(),
        part_number: part.number.clone(),
        unit: part.unit,
        volume: 0.0,
        area: 0.0,
        centroid: Vec3::default(),
        stated,
        planes: Vec::new(),
        cylinders: Vec::new(),
        cones: Vec::new(),
        elliptic: Vec::new(),
        others: Vec::new(),
        faces: [file.count("ADVANCED_FACE"), 0],
        open_edges: 0,
        edge_off: 0.0,
        named: Vec::new(),
        corners: Vec::new(),
        seams: Vec::new(),
    };
    let reader = Reader { file, unit: part.unit };
    let mut ways = BTreeMap::<u64, [usize; 2]>::new();
    for &shell in &part.shells {
        let [_, faces] = file.expect(shell, "CLOSED_SHELL")? else { return Err(damaged(shell)) };
        for face in references(faces) {
            measure.faces[1] += 1;
            let name = file.face_name(face);
            let face = reader.face(face)?;
            if let Some(name) = name {
                measure.named.push(name);
                measure.seams.extend(face.loops.iter().flatten().map(|edge| {
                    let middle = f64::midpoint(edge.range[0], edge.range[1]);
                    [edge.ends[0].1, edge.curve.at(middle).0, edge.ends[1].1]
                }));
            }
            for edge in face.loops.iter().flatten() {
                measure.corners.push(edge.ends[0].1);
                ways.entry(edge.id).or_default()[usize::from(edge.forward)] += 1;
            }
            measure.add(&face);
        }
    }
    measure.open_edges += ways.values().filter(|ways| **ways != [1, 1]).count();
    measure.volume /= 3.0;
    measure.centroid = measure.centroid * (0.25 / measure.volume);
    Ok(measure)
}

impl StepMeasure {
    /// Lists a face and adds its share of volume and area: divergence theorem over the solid, Green's theorem over
    /// the face.
    fn add(&mut self, face: &Face) {
        let patch = face.form.patch();
        self.volume += patch.volume;
        self.area += patch.area;
        self.centroid = self.centroid + patch.moment;
        match face.form {
            Form::Swept { .. } => self.others.push("carried curve"),
            Form::Ruled { .. } => self.others.push("ruled face"),
            Form::Torus { .. } => self.others.push("torus"),
            Form::Sphere { .. } => self.others.push("sphere"),
            Form::Plane { origin, normal } => {
                let edge = face.loops.iter().flatten().next().map_or(Vec3::default(), |edge| edge.ends[0].1);
                self.planes.push(PlaneFace { normal, distance: origin.dot(normal), edge });
            }
            Form::Revolved { place, radius, half_angle: 0.0, hollow, .. } => {
                self.cylinders.push(CylinderFace { origin: place.origin, axis: place.z, radius, hollow });
            }
            Form::Revolved { place, radius, slope, half_angle, hollow } => {
                let apex = place.origin + place.z * (-radius / slope);
                self.cones.push(ConeFace { apex, axis: place.z, half_angle, hollow });
            }
            Form::Elliptic { place, radii: [a, b], hollow } => {
                let (origin, axis) = (place.origin, place.z);
                self.elliptic.push(EllipticFace { origin, axis, major: place.x * a, minor: b, hollow });
            }
        }
        for chain in &face.loops {
            let next = chain.iter().cycle().skip(1);
            self.open_edges += chain.iter().zip(next).filter(|(a, b)| a.last().0 != b.first().0).count();
            for edge in chain {
                self.follow(&face.form, edge);
            }
        }
    }

    fn follow(&mut self, form: &Form, edge: &Edge) {
        for (t, (_, vertex)) in edge.range.into_iter().zip(edge.ends) {
            self.edge_off = (edge.curve.at(t).0 - vertex).length().max(self.edge_off);
        }
        let way = if edge.forward { 1.0 } else { -1.0 };
        let [first, last] = edge.range;
        let panels = edge.curve.panels();
        let step = (last - first) / panels as f64;
        for panel in 0..panels {
            for (at, weight) in GAUSS.iter().flat_map(|&(a, w)| [(-a, w), (a, w)]) {
                let share = (panel as f64 + 0.5 + 0.5 * at) / panels as f64;
                let (point, derivative) = edge.curve.at(first + (last - first) * share);
                let part = form.boundary_step(point, derivative, share);
                let share = way * weight * 0.5 * step;
                self.volume += share * part.volume;
                self.area += share * part.area;
                self.centroid = self.centroid + part.moment * share;
                self.edge_off = part.off.max(self.edge_off);
            }
        }
    }
}

struct Face {
    form: Form,
    loops: Vec<Vec<Edge>>,
}

/// An edge as one loop runs it.
struct Edge {
    id: u64,
    /// Whether the loop runs it from its start to its end.
    forward: bool,
    /// Start and end: vertex number and place.
    ends: [(u64, Vec3); 2],
    curve: Curve,
    /// Parameters of start and end.
    range: [f64; 2],
}

impl Edge {
    const fn first(&self) -> (u64, Vec3) {
        if self.forward { self.ends[0] } else { self.ends[1] }
    }

    const fn last(&self) -> (u64, Vec3) {
        if self.forward { self.ends[1] } else { self.ends[0] }
    }
}

/// Geometry from the records, in mm.
pub(super) struct Reader<'a> {
    pub(super) file: &'a RawFile<'a>,
    /// Millimetres in the file's length unit.
    pub(super) unit: f64,
}

impl Reader<'_> {
    fn face(&self, id: u64) -> Result<Face, StepReadError> {
        let [_, bounds, surface, sense] = self.file.expect(id, "ADVANCED_FACE")? else { return Err(damaged(id)) };
        let form = self.surface(reference(surface, id)?, flag(sense, id)?)?;
        let mut loops = Vec::new();
        for bound in references(bounds) {
            let ("FACE_BOUND" | "FACE_OUTER_BOUND", [_, chain, sense]) = self.file.get(bound)? else {
                return Err(damaged(bound));
            };
            let [_, edges] = self.file.expect(reference(chain, bound)?, "EDGE_LOOP")? else {
                return Err(damaged(bound));
            };
            let sense = flag(sense, bound)?;
            let mut edges =
                references(edges).into_iter().map(|edge| self.edge(edge, sense)).collect::<Result<Vec<_>, _>>()?;
            if !sense {
                edges.reverse();
            }
            loops.push(edges);
        }
        Ok(Face { form, loops })
    }

    fn edge(&self, id: u64, along_bound: bool) -> Result<Edge, StepReadError> {
        let [_, _, _, edge, along] = self.file.expect(id, "ORIENTED_EDGE")? else { return Err(damaged(id)) };
        let (edge, along) = (reference(edge, id)?, flag(along, id)?);
        let [_, from, to, curve, sense] = self.file.expect(edge, "EDGE_CURVE")? else { return Err(damaged(edge)) };
        let ends = [self.vertex(reference(from, edge)?)?, self.vertex(reference(to, edge)?)?];
        let curve = self.curve(reference(curve, edge)?, ends.map(|end| end.1))?;
        let range = curve.range(ends[0].1, ends[1].1, flag(sense, edge)?);
        Ok(Edge { id: edge, forward: along == along_bound, ends, curve, range })
    }

    fn vertex(&self, id: u64) -> Result<(u64, Vec3), StepReadError> {
        let [_, point] = self.file.expect(id, "VERTEX_POINT")? else { return Err(damaged(id)) };
        Ok((id, self.point(reference(point, id)?)?))
    }

    fn curve(&self, id: u64, [from, to]: [Vec3; 2]) -> Result<Curve, StepReadError> {
        Ok(match self.file.get(id)? {
            ("LINE", [_, point, vector]) => {
                // The line must be the one through the edge's two vertices.
                let point = self.point(reference(point, id)?)?;
                let vector = reference(vector, id)?;
                let [_, way, _] = self.file.expect(vector, "VECTOR")? else { return Err(damaged(vector)) };
                let way = self.direction(reference(way, vector)?)?;
                let at = |p: Vec3| point + way * (p - point).dot(way);
                Curve::Line { from: at(from), to: at(to) }
            }
            ("CIRCLE", [_, place, radius]) => {
                let radius = self.size(radius, id)?;
                Curve::Ellipse { place: self.placement(reference(place, id)?)?, radii: [radius; 2] }
            }
            ("ELLIPSE", [_, place, a, b]) => {
                let radii = [self.size(a, id)?, self.size(b, id)?];
                Curve::Ellipse { place: self.placement(reference(place, id)?)?, radii }
            }
            ("HYPERBOLA", [_, place, a, b]) => {
                let radii = [self.size(a, id)?, self.size(b, id)?];
                Curve::Hyperbola { place: self.placement(reference(place, id)?)?, radii }
            }
            ("B_SPLINE_CURVE_WITH_KNOTS", [_, degree, points, _, _, _, times, knots, _]) => {
                self.spline(id, degree, points, times, knots)?
            }
            (name, _) => return Err(wrong("edge's curve", format!("#{id} is {name}"))),
        })
    }

    fn spline(
        &self,
        id: u64,
        degree: &Parameter,
        points: &Parameter,
        times: &Parameter,
        knots: &Parameter,
    ) -> Result<Curve, StepReadError> {
        let points = references(points).into_iter().map(|point| self.point(point)).collect::<Result<Vec<_>, _>>()?;
        knotted(id, degree, points, times, knots)
    }

    fn surface(&self, id: u64, same_sense: bool) -> Result<Form, StepReadError> {
        Ok(match self.file.get(id)? {
            ("PLANE", [_, place]) => {
                let place = self.placement(reference(place, id)?)?;
                Form::Plane { origin: place.origin, normal: if same_sense { place.z } else { -place.z } }
            }
            ("CYLINDRICAL_SURFACE", [_, place, radius]) => Form::Revolved {
                place: self.placement(reference(place, id)?)?,
                radius: self.size(radius, id)?,
                slope: 0.0,
                half_angle: 0.0,
                hollow: !same_sense,
            },
            ("CONICAL_SURFACE", [_, place, radius, half_angle]) => {
                let half_angle = finite(half_angle, id)?;
                if !(half_angle > 0.0 && half_angle < std::f64::consts::FRAC_PI_2) {
                    return Err(damaged(id));
                }
                Form::Revolved {
                    place: self.placement(reference(place, id)?)?,
                    radius: finite(radius, id)? * self.unit,
                    slope: libm::tan(half_angle),
                    half_angle,
                    hollow: !same_sense,
                }
            }
            ("TOROIDAL_SURFACE", [_, place, radius, tube]) if same_sense => {
                let radii = [self.size(radius, id)?, self.size(tube, id)?];
                Form::Torus { place: self.placement(reference(place, id)?)?, radii }
            }
            ("SPHERICAL_SURFACE", [_, place, radius]) if same_sense => {
                let centre = self.placement(reference(place, id)?)?.origin;
                Form::Sphere { centre, radius: self.size(radius, id)? }
            }
            ("SURFACE_OF_LINEAR_EXTRUSION", [_, curve, vector]) => {
                let (curve, vector) = (reference(curve, id)?, reference(vector, id)?);
                let [_, way, _] = self.file.expect(vector, "VECTOR")? else { return Err(damaged(vector)) };
                let way = self.direction(reference(way, vector)?)?;
                let ("ELLIPSE", [_, place, a, b]) = self.file.get(curve)? else {
                    let foot = self.curve(curve, [Vec3::default(); 2])?;
                    if !matches!(foot, Curve::Spline { .. }) {
                        return Err(damaged(id));
                    }
                    return Ok(Form::Swept { foot, along: way, same_sense });
                };
                let place = self.placement(reference(place, curve)?)?;
                // Only an ellipse carried square to its own plane.
                if way.dot(place.z) < 1.0 - SQUARE_CARRIED {
                    return Err(damaged(id));
                }
                Form::Elliptic { place, radii: [self.size(a, curve)?, self.size(b, curve)?], hollow: !same_sense }
            }
            ("B_SPLINE_SURFACE_WITH_KNOTS", [_, degree, across, rows, _, _, _, _, times, _, knots, _, _])
                if real(across) == Some(1.0) =>
            {
                let Parameter::List(rows) = rows else { return Err(damaged(id)) };
                let mut sides = [Vec::new(), Vec::new()];
                for row in rows {
                    let [a, b] = references(row)[..] else { return Err(damaged(id)) };
                    sides[0].push(self.point(a)?);
                    sides[1].push(self.point(b)?);
                }
                let [a, b] = sides.map(|points| knotted(id, degree, points, times, knots));
                Form::Ruled { sides: [a?, b?], same_sense }
            }
            (name, _) => return Err(wrong("face's surface", format!("#{id} is {name}"))),
        })
    }

    pub(super) fn placement(&self, id: u64) -> Result<Frame, StepReadError> {
        let [_, origin, axis, near_x] = self.file.expect(id, "AXIS2_PLACEMENT_3D")? else { return Err(damaged(id)) };
        let origin = self.point(reference(origin, id)?)?;
        let (z, x) = (self.direction(reference(axis, id)?)?, self.direction(reference(near_x, id)?)?);
        Frame::from_z_x(origin, z, x).ok_or_else(|| damaged(id))
    }

    fn point(&self, id: u64) -> Result<Vec3, StepReadError> {
        let [_, at] = self.file.expect(id, "CARTESIAN_POINT")? else { return Err(damaged(id)) };
        Ok(triple(at, id)? * self.unit)
    }

    fn direction(&self, id: u64) -> Result<Vec3, StepReadError> {
        let [_, ratios] = self.file.expect(id, "DIRECTION")? else { return Err(damaged(id)) };
        triple(ratios, id)?.unit().ok_or_else(|| damaged(id))
    }

    /// A length over 0.
    fn size(&self, parameter: &Parameter, id: u64) -> Result<f64, StepReadError> {
        let size = finite(parameter, id)?;
        if size > 0.0 { Ok(size * self.unit) } else { Err(damaged(id)) }
    }
}

/// A spline clamped at both ends, of record `id`.
fn knotted(
    id: u64,
    degree: &Parameter,
    points: Vec<Vec3>,
    times: &Parameter,
    knots: &Parameter,
) -> Result<Curve, StepReadError> {
    let (single, times) = (numbers(knots, id)?, numbers(times, id)?);
    let degree = real(degree).map_or(0, |degree| degree as usize);
    let growing = single.windows(2).all(|pair| matches!(pair, [a, b] if a < b));
    let known = times.iter().all(|times| *times >= 1.0 && *times <= HIGHEST_DEGREE as f64 + 1.0);
    if !(growing && known && single.len() == times.len() && (1..=HIGHEST_DEGREE).contains(&degree)) {
        return Err(damaged(id));
    }
    let knots: Vec<f64> = single.iter().zip(&times).flat_map(|(knot, times)| vec![*knot; *times as usize]).collect();
    let whole = |times: Option<&f64>| times.is_some_and(|times| *times as usize == degree + 1);
    if knots.len() != points.len() + degree + 1 || !whole(times.first()) || !whole(times.last()) {
        return Err(damaged(id));
    }
    Ok(Curve::Spline { degree, points, knots, spans: single.len() - 1 })
}

fn flag(parameter: &Parameter, id: u64) -> Result<bool, StepReadError> {
    match parameter {
        Parameter::Enumeration(word) if word == "T" => Ok(true),
        Parameter::Enumeration(word) if word == "F" => Ok(false),
        _ => Err(damaged(id)),
    }
}

fn finite(parameter: &Parameter, id: u64) -> Result<f64, StepReadError> {
    real(parameter).filter(|number| number.is_finite()).ok_or_else(|| damaged(id))
}

fn numbers(parameter: &Parameter, id: u64) -> Result<Vec<f64>, StepReadError> {
    match parameter {
        Parameter::List(list) => list.iter().map(|number| finite(number, id)).collect(),
        _ => Err(damaged(id)),
    }
}

fn triple(parameter: &Parameter, id: u64) -> Result<Vec3, StepReadError> {
    match numbers(parameter, id)?[..] {
        [x, y, z] => Ok(Vec3::new(x, y, z)),
        _ => Err(damaged(id)),
    }
}

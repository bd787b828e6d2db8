//! Geometry and topology of solids as STEP records.

use std::fmt;

use truck_geometry::prelude::{
    BSplineCurve, KnotVec, Line, Matrix4, Point3, Processor, Transformed, TrimmedCurve, UnitCircle, UnitHyperbola,
    Vector3,
};
use truck_stepio::out::{DisplayByStep, FloatDisplay, StepDisplay, StepLength, VectorAsDirection};

use super::ExportError;
use super::part21::{Records, Refs, Text, flag};
use crate::geometry::{Frame, Vec3};
use crate::model::spline::Spline;
use crate::model::{Curve, Shape, Solid, Surface};

/// Largest coordinate (mm), as for the spec's own lengths; also keeps numbers from being printed with an
/// exponent but no point, which Part 21 does not allow.
const LARGEST: f64 = 100_000.0;

/// How often a fitted curve has each of its inner knots: it is twice continuously differentiable there.
const INNER_KNOT: usize = 3;

/// Writes geometry and topology into a file's records.
pub(super) struct ShapeWriter<'a> {
    pub(super) records: &'a mut Records,
    /// File, for the error.
    pub(super) path: &'a str,
    /// Millimetres in the file's unit.
    pub(super) scale: f64,
}

impl ShapeWriter<'_> {
    /// The records of its solids.
    pub(super) fn solid(&mut self, solid: &Solid, name: &str) -> Result<Vec<usize>, ExportError> {
        let mut breps = Vec::new();
        for shell in solid.boundary().compress().boundaries {
            let mut vertices = Vec::with_capacity(shell.vertices.len());
            for &at in &shell.vertices {
                let point = self.point(at)?;
                let point = self.records.geometry(point);
                vertices.push(self.records.add(format!("VERTEX_POINT('', #{point})")));
            }
            let corner = |i: usize| vertices.get(i).copied().unwrap_or_default();
            let mut edges = Vec::with_capacity(shell.edges.len());
            for edge in &shell.edges {
                let curve = self.curve(&edge.curve)?;
                let (from, to) = (corner(edge.vertices.0), corner(edge.vertices.1));
                edges.push(self.records.add(format!("EDGE_CURVE('', #{from}, #{to}, #{curve}, .T.)")));
            }
            let mut faces = Vec::with_capacity(shell.faces.len());
            for (index, face) in shell.faces.iter().enumerate() {
                let mut bounds = Vec::with_capacity(face.boundaries.len());
                for (i, wire) in face.boundaries.iter().enumerate() {
                    let oriented: Vec<usize> = wire
                        .iter()
                        .map(|edge| {
                            let curve = edges.get(edge.index).copied().unwrap_or_default();
                            self.records.add(format!("ORIENTED_EDGE('', *, *, #{curve}, {})", flag(edge.orientation)))
                        })
                        .collect();
                    let chain = self.records.add(format!("EDGE_LOOP('', {})", Refs(&oriented)));
                    let kind = if i == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
                    bounds.push(self.records.add(format!("{kind}('', #{chain}, .T.)")));
                }
                let surface = self.surface(&face.surface)?;
                let sense = flag(face.surface.same_sense);
                let name = Text(solid.face_name(index));
                faces.push(self.records.add(format!("ADVANCED_FACE({name}, {}, #{surface}, {sense})", Refs(&bounds))));
            }
            let shell = self.records.add(format!("CLOSED_SHELL('', {})", Refs(&faces)));
            breps.push(self.records.add(format!("MANIFOLD_SOLID_BREP({}, #{shell})", Text(name))));
        }
        Ok(breps)
    }

    /// A frame as a placement.
    pub(super) fn placement(&mut self, frame: &Frame) -> Result<usize, ExportError> {
        let placement = self.placed("", Vec::new(), frame)?;
        Ok(self.records.geometry(placement))
    }

    fn curve(&mut self, curve: &Curve) -> Result<usize, ExportError> {
        Ok(match curve {
            Curve::Line { from, to } => {
                let line = Line(self.point(*from)?, self.point(*to)?);
                self.records.geometry(line)
            }
            // Truck takes an ellipse within 1e-6 of a circle for one.
            Curve::Arc { frame, radii: [a, b], .. } if (a - b).abs() > 0.0 => self.ellipse(frame, [*a, *b])?,
            Curve::Arc { frame, radii, range } => {
                let unit = TrimmedCurve::new(UnitCircle::<Point3>::new(), (range[0], range[1]));
                let arc = Processor::new(unit).transformed(self.stretched(frame, radii)?);
                self.records.geometry(arc)
            }
            Curve::Hyperbola { frame, radii, range } => {
                let unit = TrimmedCurve::new(UnitHyperbola::<Point3>::new(), (range[0], range[1]));
                let branch = Processor::new(unit).transformed(self.stretched(frame, radii)?);
                self.records.geometry(branch)
            }
            Curve::Spline(spline) => {
                let spline = self.spline(spline)?;
                self.records.geometry(spline)
            }
        })
    }

    fn spline(&self, spline: &Spline) -> Result<BSplineCurve<Point3>, ExportError> {
        let mut knots = vec![0.0; Spline::DEGREE + 1];
        knots.extend((1..spline.len()).flat_map(|i| [i as f64; INNER_KNOT]));
        knots.extend([spline.len() as f64; Spline::DEGREE + 1]);
        let points = spline.control_points().into_iter().map(|p| self.point(p)).collect::<Result<Vec<_>, _>>()?;
        BSplineCurve::try_new(KnotVec::from(knots), points).map_err(|error| self.wrong(error.to_string()))
    }

    fn ellipse(&mut self, frame: &Frame, [a, b]: [f64; 2]) -> Result<usize, ExportError> {
        let ellipse = self.placed("ELLIPSE", vec![self.length(a)?, self.length(b)?], frame)?;
        Ok(self.records.geometry(ellipse))
    }

    fn surface(&mut self, surface: &Surface) -> Result<usize, ExportError> {
        let (kind, sizes) = match surface.shape {
            Shape::Elliptic { radii } => {
                let ellipse = self.ellipse(&surface.frame, radii)?;
                return self.extrusion(ellipse, surface.frame.z);
            }
            Shape::Swept { ref foot, way } => {
                let foot = self.spline(foot)?;
                let foot = self.records.geometry(foot);
                return self.extrusion(foot, way.unit().unwrap_or(surface.frame.z));
            }
            Shape::Torus { radius, tube } => ("TOROIDAL_SURFACE", vec![self.length(radius)?, self.length(tube)?]),
            Shape::Sphere { radius } => ("SPHERICAL_SURFACE", vec![self.length(radius)?]),
            Shape::Ruled { ref from, ref to } => return self.ruled(from, to),
            Shape::Plane => ("PLANE", vec![]),
            Shape::Cylinder { radius } => ("CYLINDRICAL_SURFACE", vec![self.length(radius)?]),
            Shape::Cone { radius, half_angle } => {
                ("CONICAL_SURFACE", vec![self.length(radius)?, self.number(half_angle)?])
            }
        };
        let surface = self.placed(kind, sizes, &surface.frame)?;
        Ok(self.records.geometry(surface))
    }

    /// A curve carried along a direction.
    fn extrusion(&mut self, curve: usize, along: Vec3) -> Result<usize, ExportError> {
        let way = self.records.geometry(VectorAsDirection(self.direction(along)?));
        let vector = self.records.add(format!("VECTOR('', #{way}, 1.)"));
        Ok(self.records.add(format!("SURFACE_OF_LINEAR_EXTRUSION('', #{curve}, #{vector})")))
    }

    /// Straight from curve to curve, their spans side by side.
    fn ruled(&mut self, from: &Spline, to: &Spline) -> Result<usize, ExportError> {
        let mut rows = Vec::new();
        for pair in from.control_points().into_iter().zip(to.control_points()) {
            let ends = [self.point(pair.0)?, self.point(pair.1)?].map(|point| self.records.geometry(point));
            rows.push(Refs(&ends).to_string());
        }
        let whole = Spline::DEGREE + 1;
        let inner = from.len() - 1;
        let times: Vec<String> = std::iter::once(whole)
            .chain(std::iter::repeat_n(INNER_KNOT, inner))
            .chain([whole])
            .map(|times| times.to_string())
            .collect();
        let knots: Vec<String> = (0..=from.len()).map(|knot| format!("{knot}.")).collect();
        Ok(self.records.add(format!(
            "B_SPLINE_SURFACE_WITH_KNOTS('', {}, 1, ({}), .RULED_SURF., .F., .F., .F., ({}), (2, 2), ({}), (0., 1.), \
             .UNSPECIFIED.)",
            Spline::DEGREE,
            rows.join(", "),
            times.join(", "),
            knots.join(", ")
        )))
    }

    fn placed(&self, kind: &'static str, sizes: Vec<f64>, frame: &Frame) -> Result<Placement, ExportError> {
        let origin = self.point(frame.origin)?;
        let [z, x] = [self.direction(frame.z)?, self.direction(frame.x)?].map(VectorAsDirection);
        Ok(Placement { kind, sizes, origin, z, x })
    }

    /// A frame with its x and y stretched by the semi-axes of a conic.
    fn stretched(&self, frame: &Frame, radii: &[f64; 2]) -> Result<Matrix4, ExportError> {
        let (x, y, z) = (self.direction(frame.x)?, self.direction(frame.y)?, self.direction(frame.z)?);
        let (x, y) = (x * self.length(radii[0])?, y * self.length(radii[1])?);
        let origin = self.point(frame.origin)?;
        Ok(Matrix4::from_cols(x.extend(0.0), y.extend(0.0), z.extend(0.0), origin.to_homogeneous()))
    }

    fn point(&self, at: Vec3) -> Result<Point3, ExportError> {
        Ok(Point3::new(self.length(at.x)?, self.length(at.y)?, self.length(at.z)?))
    }

    fn direction(&self, v: Vec3) -> Result<Vector3, ExportError> {
        Ok(Vector3::new(self.number(v.x)?, self.number(v.y)?, self.number(v.z)?))
    }

    fn length(&self, millimetres: f64) -> Result<f64, ExportError> {
        self.number(millimetres).map(|number| number / self.scale)
    }

    /// The number itself, without minus zero, where Part 21 can hold it.
    fn number(&self, number: f64) -> Result<f64, ExportError> {
        if number.is_finite() && number.abs() <= LARGEST {
            Ok(number + 0.0)
        } else {
            Err(self.wrong(format!("a coordinate of {number} mm is not within 100 m")))
        }
    }

    fn wrong(&self, message: String) -> ExportError {
        ExportError { path: self.path.to_owned(), message }
    }
}

/// A surface or curve of this kind about its placement; without a kind, the placement alone.
struct Placement {
    kind: &'static str,
    sizes: Vec<f64>,
    origin: Point3,
    z: VectorAsDirection<Vector3>,
    x: VectorAsDirection<Vector3>,
}

impl DisplayByStep for Placement {
    fn fmt(&self, first: usize, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut placement = first;
        if !self.kind.is_empty() {
            placement += 1;
            write!(f, "#{first} = {}('', #{placement}", self.kind)?;
            for &size in &self.sizes {
                write!(f, ", {}", FloatDisplay(size))?;
            }
            writeln!(f, ");")?;
        }
        let (origin, z, x) = (placement + 1, placement + 2, placement + 3);
        writeln!(f, "#{placement} = AXIS2_PLACEMENT_3D('', #{origin}, #{z}, #{x});")?;
        write!(
            f,
            "{}{}{}",
            StepDisplay::new(self.origin, origin),
            StepDisplay::new(self.z, z),
            StepDisplay::new(self.x, x)
        )
    }
}

impl StepLength for Placement {
    fn step_length(&self) -> usize {
        if self.kind.is_empty() { 4 } else { 5 }
    }
}

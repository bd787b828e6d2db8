//! Flats and bends of a sheet: where the places of a development lie once it is folded.

use super::super::spline::{Jet, Spline};
use super::super::{Curve, ModelError, Shape, Surface, feature, prism};
use crate::geometry::split::{self, point, tangent};
use crate::geometry::{Frame, Piece, Vec2, Vec3};

/// A stretch along or across a bend within this (mm) is straight along it or runs square round it.
const STRAIGHT: f64 = 1e-9;

/// A flat or a bend of a sheet. The drawn face is at depth 0, the metal under it.
#[derive(Debug, Clone)]
pub(in super::super) struct Panel {
    pub(in super::super) form: Form,
    /// Where it ends toward its neighbours.
    pub(in super::super) borders: Vec<Border>,
}

/// A straight line of the development at which a panel ends.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct Border {
    pub(in super::super) at: Vec2,
    /// Unit vector into the panel.
    pub(in super::super) inward: Vec2,
    /// How far (mm) a flat's back ends short of its drawn face here: 0, but at a corner tighter than the sheet is thick.
    pub(in super::super) pull: f64,
}

#[derive(Debug, Clone)]
pub(in super::super) enum Form {
    /// Place (x, y) of the development at (x, y, −depth) of the frame.
    Flat(Frame),
    /// Round an axis.
    Bend(Bend),
}

/// A bend: the development's direction `across` runs round its axis.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct Bend {
    /// z along the axis, x from it to the drawn face where `across` counts 0.
    pub(in super::super) axis: Frame,
    /// Radius of the drawn face (mm).
    pub(in super::super) radius: f64,
    /// Whether the drawn face is the inside of the bend.
    pub(in super::super) hollow: bool,
    /// Turn (rad) for each mm of the development.
    pub(in super::super) rate: f64,
    /// Place of the development at the frame's x.
    pub(in super::super) at: Vec2,
    /// Unit vector round the axis; a quarter turn to its left is along it.
    pub(in super::super) across: Vec2,
}

impl Bend {
    /// How far round and how far along a place of the development is (mm).
    fn own(&self, p: Vec2) -> Vec2 {
        let p = p - self.at;
        Vec2::new(p.dot(self.across), p.dot(self.across.left()))
    }

    /// Angle (rad) about the axis at a distance round it (mm of the development).
    fn angle(&self, round: f64) -> f64 {
        if self.hollow { -round * self.rate } else { round * self.rate }
    }

    /// Radius at a depth; under 0 past the axis.
    fn radius_at(&self, depth: f64) -> f64 {
        if self.hollow { self.radius + depth } else { self.radius - depth }
    }

    /// Away from the axis at a place of the development.
    fn radial(&self, p: Vec2) -> Vec3 {
        let (s, c) = libm::sincos(self.angle(self.own(p).x));
        self.axis.x * c + self.axis.y * s
    }

    /// Whether a depth lies at its axis or beyond, so that the faces beside it meet there.
    fn is_tight(&self, depth: f64) -> bool {
        self.radius_at(depth) <= STRAIGHT
    }
}

impl Panel {
    /// Where a place of the development lies at a depth.
    pub(super) fn place(&self, p: Vec2, depth: f64) -> Vec3 {
        match &self.form {
            Form::Flat(frame) => {
                let pulls = self.borders.iter().filter(|border| border.pull > 0.0 && border.meets(p));
                let p = if depth > 0.0 { pulls.fold(p, |p, border| p + border.inward * border.pull) } else { p };
                frame.out(Vec3::new(p.x, p.y, -depth))
            }
            Form::Bend(bend) => {
                let own = bend.own(p);
                let foot = bend.axis.origin + bend.axis.z * own.y;
                if bend.is_tight(depth) {
                    // The corner that the backs of the faces beside it make.
                    let over = depth - bend.radius;
                    return foot - bend.middle() * (over * std::f64::consts::SQRT_2);
                }
                foot + bend.radial(p) * bend.radius_at(depth)
            }
        }
    }

    /// Out of the drawn face at a place.
    pub(super) fn normal(&self, p: Vec2) -> Vec3 {
        match &self.form {
            Form::Flat(frame) => frame.z,
            Form::Bend(bend) if bend.hollow => -bend.radial(p),
            Form::Bend(bend) => bend.radial(p),
        }
    }

    /// A direction of the development on the drawn face; of no particular length.
    fn way(&self, p: Vec2, v: Vec2) -> Vec3 {
        match &self.form {
            Form::Flat(frame) => frame.x * v.x + frame.y * v.y,
            Form::Bend(bend) => {
                let round = self.normal(p);
                let along = bend.axis.z;
                along.cross(round) * (v.dot(bend.across) * bend.radius * bend.rate) + along * v.dot(bend.across.left())
            }
        }
    }

    /// Whether its back has no face of its own.
    pub(super) fn is_tight(&self, thick: f64) -> bool {
        matches!(&self.form, Form::Bend(bend) if bend.is_tight(thick))
    }

    /// Whether a piece that ends at a tight corner, or crosses it, does so otherwise than square to the corner.
    pub(super) fn is_skew(&self, from: Vec2, piece: &Piece, thick: f64) -> bool {
        match &self.form {
            Form::Bend(bend) => {
                let (a, b) = (bend.own(from), bend.own(piece.end()));
                let square = matches!(piece, Piece::Line { .. }) && (a.y - b.y).abs() <= STRAIGHT;
                bend.is_tight(thick) && !square
            }
            Form::Flat(_) => self.borders.iter().filter(|border| border.pull > 0.0).any(|border| {
                let (a, b) = (border.meets(from), border.meets(piece.end()));
                let along = border.inward.left().dot(piece.end() - from).abs();
                (a || b) && !(matches!(piece, Piece::Line { .. }) && along <= STRAIGHT)
            }),
        }
    }

    /// Surface of the drawn face, or of the back.
    pub(super) fn surface(&self, back: bool, thick: f64) -> Surface {
        match &self.form {
            Form::Flat(frame) if back => {
                let Frame { origin, x, y, z } = *frame;
                Surface::plane(Frame { origin: origin - z * thick, x, y: -y, z: -z })
            }
            Form::Flat(frame) => Surface::plane(*frame),
            Form::Bend(bend) => {
                let radius = bend.radius_at(if back { thick } else { 0.0 });
                Surface { frame: bend.axis, shape: Shape::Cylinder { radius }, same_sense: back == bend.hollow }
            }
        }
    }

    /// A piece's curves on the back and on the drawn face; `None` for straight ones.
    pub(super) fn curves(&self, from: Vec2, piece: &Piece, thick: f64) -> Result<Option<[Curve; 2]>, ModelError> {
        let bend = match &self.form {
            Form::Flat(frame) => {
                return Ok(match piece {
                    Piece::Line { .. } => None,
                    Piece::Arc { .. } => {
                        let arc = |depth: f64| {
                            prism::arc(frame, piece, -depth).map(|(frame, radii, range)| Curve::Arc {
                                frame,
                                radii,
                                range,
                            })
                        };
                        arc(thick).zip(arc(0.0)).map(Into::into)
                    }
                    Piece::Cubic { c1, c2, to } => {
                        let spline = |depth: f64| {
                            Curve::Spline(Spline::cubic(
                                [from, *c1, *c2, *to].map(|p| frame.out(Vec3::new(p.x, p.y, -depth))),
                            ))
                        };
                        Some([spline(thick), spline(0.0)])
                    }
                });
            }
            Form::Bend(bend) => bend,
        };
        let (a, b) = (bend.own(from), bend.own(piece.end()));
        if matches!(piece, Piece::Line { .. }) {
            if (a.x - b.x).abs() <= STRAIGHT {
                return Ok(None);
            }
            if (a.y - b.y).abs() <= STRAIGHT {
                let (from, to) = (bend.angle(a.x), bend.angle(b.x));
                let Frame { origin, x, y, z } = bend.axis;
                let origin = origin + z * a.y;
                let (frame, range) = if from < to {
                    (Frame { origin, x, y, z }, [from, to])
                } else {
                    (Frame { origin, x, y: -y, z: -z }, [-from, -to])
                };
                let round = |depth: f64| {
                    let radius = bend.radius_at(depth);
                    Curve::Arc { frame, radii: [radius, radius], range }
                };
                return Ok(Some([round(thick), round(0.0)]));
            }
        }
        let turned = |depth: f64| {
            let radius = bend.radius_at(depth);
            move |f: Jet| {
                let [x, y] = development(from, piece, f);
                let p = [x - Jet::constant(bend.at.x), y - Jet::constant(bend.at.y)];
                let along = bend.across.left();
                let round = p[0] * bend.across.x + p[1] * bend.across.y;
                let height = p[0] * along.x + p[1] * along.y;
                let (sin, cos) = (round * bend.angle(1.0)).sincos();
                let Frame { origin, x, y, z } = bend.axis;
                let at = |origin: f64, x: f64, y: f64, z: f64| {
                    Jet::constant(origin) + cos * (radius * x) + sin * (radius * y) + height * z
                };
                [at(origin.x, x.x, y.x, z.x), at(origin.y, x.y, y.y, z.y), at(origin.z, x.z, y.z, z.z)]
            }
        };
        let tolerance = feature::FIT * 2.0 * bend.radius_at(0.0).max(bend.radius_at(thick));
        let unfit = || ModelError::new("outline in a bend", "a piece of it cannot be fitted; change the outline there");
        let [back, front] =
            Spline::fit_both([0.0, 1.0], tolerance, [&turned(thick), &turned(0.0)]).ok_or_else(unfit)?;
        Ok(Some([Curve::Spline(back), Curve::Spline(front)]))
    }

    /// The wall under a piece, with the metal to the left of it and seen from the other side; from its edges' curves.
    pub(super) fn wall(&self, from: Vec2, piece: &Piece, curves: Option<&[Curve; 2]>, thick: f64) -> Surface {
        match (&self.form, curves, piece) {
            (Form::Flat(frame), _, Piece::Arc { sweep, .. }) => {
                if let Some((frame, [a, b], _)) = prism::arc(frame, piece, 0.0) {
                    let shape = if (a - b).abs() > 0.0 {
                        Shape::Elliptic { radii: [a, b] }
                    } else {
                        Shape::Cylinder { radius: a }
                    };
                    return Surface { frame, shape, same_sense: *sweep > 0.0 };
                }
            }
            (Form::Flat(frame), Some([Curve::Spline(back), _]), _) => {
                return Surface::swept(*frame, back.clone(), frame.z * thick);
            }
            (Form::Bend(bend), Some([Curve::Spline(back), Curve::Spline(front)]), _) => {
                return Surface::ruled(bend.axis, back.clone(), front.clone());
            }
            _ => {}
        }
        // Straight, or round a bend square to its axis: a plane that looks to the piece's right.
        let middle = point(from, piece, 0.5);
        let normal = self.normal(middle);
        let way = self.way(middle, tangent(from, piece, 0.5));
        let out = way.cross(normal).unit().unwrap_or(normal);
        Surface::plane(Frame { origin: self.place(from, 0.0), x: normal, y: out.cross(normal), z: out })
    }
}

impl Bend {
    /// From the axis to the middle of the drawn face; only of a quarter turn, as the corners of rails are.
    fn middle(&self) -> Vec3 {
        let (s, c) = libm::sincos(self.angle(std::f64::consts::FRAC_PI_4 / self.rate));
        self.axis.x * c + self.axis.y * s
    }
}

impl Border {
    /// Distance (mm) of a place into the panel.
    pub(super) fn depth(&self, p: Vec2) -> f64 {
        (p - self.at).dot(self.inward)
    }

    /// Whether a place lies on it.
    pub(super) fn meets(&self, p: Vec2) -> bool {
        self.depth(p).abs() <= split::SAME
    }
}

/// A piece's place in the development, with its derivatives.
fn development(from: Vec2, piece: &Piece, f: Jet) -> [Jet; 2] {
    let both = |p: Vec2, x: Jet| [x * p.x, x * p.y];
    let sum = |parts: &[[Jet; 2]]| {
        parts.iter().fold([Jet::constant(0.0); 2], |sum, part| [sum[0] + part[0], sum[1] + part[1]])
    };
    let one = Jet::constant(1.0);
    match *piece {
        Piece::Line { to } => sum(&[both(from, one - f), both(to, f)]),
        Piece::Arc { centre, major, minor, start, sweep } => {
            let (sin, cos) = (f * sweep + Jet::constant(start)).sincos();
            sum(&[both(centre, one), both(major, cos), both(minor, sin)])
        }
        Piece::Cubic { c1, c2, to } => {
            let g = one - f;
            sum(&[both(from, g * g * g), both(c1, g * g * f * 3.0), both(c2, g * f * f * 3.0), both(to, f * f * f)])
        }
    }
}

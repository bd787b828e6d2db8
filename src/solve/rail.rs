//! Frames and unrolled outsides of rails.
//!
//! The line `along` is where two named outer faces, extended flat, would
//! meet, so on a rounded corner it runs in the air. In the section the rail
//! is looked at along +u: `right` to the right, `up` up, and v grows
//! clockwise. The named faces are told by the vehicle, not by the order of
//! the two points: swapping the points turns the frame half round about `up`
//! and leaves the metal where it is.

use crate::diagnostic::Diagnostic;
use crate::geometry::{Frame, Vec2, Vec3};
use crate::spec::Spec;
use crate::spec::types::{Edge, Face, Rail, Section};

use super::solution::{RailFrame, RailResult, RailVertex};

/// Least angle (rad, 5 degrees) from a rail to the vertical, and from a named side to the line of sight along it.
///
/// Nearer than that a taped line no longer tells which face is meant. Common practice, no source.
const LEAST_LEAN: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Pieces of a section shorter than this (mm) are left out: a corner of radius 0, the flats of a pipe.
const NO_LENGTH: f64 = 1e-9;

const VEHICLE_UP: Vec3 = Vec3::new(0.0, 0.0, 1.0);

/// A rail as the solver sees it: where it lies and its outside unrolled.
///
/// u (mm) runs along the rail from its first point; v (mm) round the outside,
/// 0 where the bisector of the named corner meets it (`centre`: in the middle
/// of the top face; a channel that is open at the top: of its web).
#[derive(Debug, Clone, PartialEq)]
pub struct RailShape {
    /// x along the rail, y up, z right = along × up; its origin is the spec's first point.
    pub frame: Frame,
    /// The spec's first point, the origin of `frame`.
    pub origin: Vec3,
    /// Between the spec's two points (mm): the rail is taken to end square at both.
    pub length: f64,
    /// Outside of the section, clockwise seen along +u.
    ///
    /// A closed section starts at v = 0 (in the middle of the corner's arc, which is
    /// split there) and its last piece returns to the first vertex at v = `girth`.
    /// A channel runs from lip to lip, its first lip at a negative v.
    pub path: Vec<RailVertex>,
    /// Whether the last vertex is joined to the first.
    pub closed: bool,
    /// Length of the outside path (mm).
    pub girth: f64,
    /// Wall (mm).
    pub wall: f64,
}

/// One straight or round piece of the outside of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutsidePiece {
    /// v where it starts (mm).
    pub v: f64,
    /// Its length (mm).
    pub length: f64,
    /// Start (right, up).
    pub from: Vec2,
    /// End (right, up).
    pub to: Vec2,
    /// Centre of the arc, of at most half a turn and always clockwise; `None`: straight.
    pub centre: Option<Vec2>,
}

/// The wall under a point of the outside: metal from `outside` to `outside + inward·thick`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallRay {
    /// On the outside (vehicle axes, mm).
    pub outside: Vec3,
    /// Unit vector into the metal, square to the outside.
    pub inward: Vec3,
    /// Wall (mm).
    pub thick: f64,
}

/// Works out where a rail lies and unrolls its outside.
///
/// `index` is the rail's place in the spec, for the diagnostic.
pub fn shape(rail: &Rail, index: usize, spec: &Spec) -> Result<RailShape, Diagnostic> {
    let fault = |code, key: &str, message: String, help: &str| {
        Diagnostic::error(code, message).at(spec.place(&format!("rail.{index}.{key}"))).help(help)
    };
    let name = &rail.name;
    let [first, second] = rail.along;
    let Some(along) = (second - first).unit() else {
        let message = format!("rail \"{name}\": both points of `along` are the same, a rail needs two points apart");
        return Err(fault("rail-no-length", "along", message, "tape two points on the named edge, far apart"));
    };
    let lean = along.angle_to(VEHICLE_UP).min(along.angle_to(-VEHICLE_UP));
    let upright = || {
        let message = format!(
            "rail \"{name}\" stands {:.1}° from the vertical, at least {:.0}° is needed to tell its top",
            lean.to_degrees(),
            LEAST_LEAN.to_degrees()
        );
        fault("rail-upright", "along", message, "give an upright post as an obstacle of the form `box` or `tube`")
    };
    if lean < LEAST_LEAN {
        return Err(upright());
    }
    let Some(frame) = Frame::from_x_y(first, along, VEHICLE_UP) else { return Err(upright()) };

    let sides = Sides { up: frame.y, right: frame.z };
    let unclear = |key: &str, face: Face| {
        let message = format!(
            "rail \"{name}\" has no {} face: it runs along ({:.3}, {:.3}, {:.3})",
            face.word(),
            along.x,
            along.y,
            along.z
        );
        fault("rail-face", key, message, "name `left` or `right` on a rail, `front` or `rear` on a crossmember")
    };
    let (size, corner, wall, open) = match rail.section {
        Section::Tube { height, width, wall, corner } => (Vec2::new(width, height), corner, wall, None),
        // A pipe is a square tube that is all corner.
        Section::Pipe { diameter, wall } => (Vec2::new(diameter, diameter), diameter / 2.0, wall, None),
        Section::Channel { height, width, wall, corner, open } => {
            let side = sides.of(open).ok_or_else(|| unclear("channel", open))?;
            (Vec2::new(width, height), corner, wall, Some(side))
        }
    };
    let room = size.x.min(size.y) / 2.0;
    let fits = size.x > 0.0 && size.y > 0.0 && wall > 0.0 && wall < room && (0.0..=room + NO_LENGTH).contains(&corner);
    if !fits {
        let message = format!(
            "rail \"{name}\": wall {wall:.2} mm and corner {corner:.2} mm do not fit a section of {:.2} × {:.2} mm, \
             at most {room:.2} mm is left for either",
            size.x, size.y
        );
        return Err(fault("rail-section", "", message, "measure the section again, outside corner radius included"));
    }

    // The named corner as signs (right, up) seen from the section's middle, and that middle.
    let (named, middle) = match rail.edge {
        Edge::Centre => (None, Vec2::default()),
        Edge::Corner(a, b) => {
            let (sa, sb) =
                (sides.of(a).ok_or_else(|| unclear("edge", a))?, sides.of(b).ok_or_else(|| unclear("edge", b))?);
            let at = sa.direction() + sb.direction();
            if at.x == 0.0 || at.y == 0.0 {
                let message = format!(
                    "rail \"{name}\": `{} {}` name no corner, one of top and bottom and one side do",
                    a.word(),
                    b.word()
                );
                return Err(fault("rail-corner", "edge", message, "name the corner as in `top right`"));
            }
            if open.is_some_and(|open| open == sa || open == sb) {
                let message = format!("rail \"{name}\": the named edge lies on the channel's open side, without metal");
                return Err(fault("rail-open-side", "edge", message, "name a corner of the channel's web"));
            }
            (Some(at), Vec2::new(-at.x * size.x / 2.0, -at.y * size.y / 2.0))
        }
    };
    let outline = Outline { half: size * 0.5, corner, middle };
    let (path, girth) = match open {
        None => outline.closed(named),
        Some(open) => outline.channel(open, named),
    };
    Ok(RailShape { frame, origin: first, length: (second - first).length(), path, closed: open.is_none(), girth, wall })
}

impl RailShape {
    /// The pieces of the outside in order of v.
    pub fn pieces(&self) -> impl Iterator<Item = OutsidePiece> {
        let starts = self.path.iter();
        let ends = self.path.iter().skip(1).map(|next| (next.at, next.v));
        let back = self.path.first().filter(|_| self.closed).map(|first| (first.at, self.girth));
        starts.zip(ends.chain(back)).map(|(start, (to, end))| OutsidePiece {
            v: start.v,
            length: end - start.v,
            from: start.at,
            to,
            centre: start.centre,
        })
    }

    /// Point (right, up) of the outside at v, and its outward normal.
    ///
    /// A closed section is met again every `girth`; past a channel's lips the flanges run on
    /// straight (check [`Self::on_metal`]). At a sharp corner the normal is that of the face after it.
    pub fn section_point(&self, v: f64) -> (Vec2, Vec2) {
        let v = if self.closed { v.rem_euclid(self.girth) } else { v };
        let Some(piece) = self.pieces().take_while(|p| p.v <= v).last().or_else(|| self.pieces().next()) else {
            return (Vec2::default(), Vec2::new(0.0, 1.0));
        };
        piece.point(v - piece.v)
    }

    /// Point of the outside at (u, v) in vehicle axes, and its outward normal.
    pub fn outside(&self, u: f64, v: f64) -> (Vec3, Vec3) {
        let (at, normal) = self.section_point(v);
        (self.place(u, at), self.direction(normal))
    }

    /// The wall under the outside at (u, v).
    pub fn wall_ray(&self, u: f64, v: f64) -> WallRay {
        let (outside, normal) = self.outside(u, v);
        WallRay { outside, inward: -normal, thick: self.wall }
    }

    /// Whether there is metal at v: always on a closed section, between the lips on a channel.
    pub fn on_metal(&self, v: f64) -> bool {
        let (first, last) = self.v_range();
        self.closed || (first..=last).contains(&v)
    }

    /// Least and greatest v of the path: 0 to girth, or lip to lip.
    pub fn v_range(&self) -> (f64, f64) {
        let first = self.path.first().map_or(0.0, |vertex| vertex.v);
        (first, first + self.girth)
    }

    /// v of the lines where corner arcs begin and end, in order; none on a pipe or with sharp corners.
    pub fn fold_lines(&self) -> Vec<f64> {
        // An arc begins or ends where a straight piece meets it; the split at v = 0 is no fold.
        let mut lines: Vec<f64> = self
            .pieces()
            .filter(|piece| piece.centre.is_none())
            .flat_map(|piece| {
                let end = piece.v + piece.length;
                [piece.v, if self.closed && end >= self.girth { end - self.girth } else { end }]
            })
            .filter(|&v| self.meets_arc(v))
            .collect();
        lines.sort_by(f64::total_cmp);
        lines
    }

    /// Whether an arc starts or ends at the vertex at v.
    fn meets_arc(&self, v: f64) -> bool {
        let near = |a: f64| (a - v).abs() < NO_LENGTH || (self.closed && (a - self.girth - v).abs() < NO_LENGTH);
        self.pieces().any(|piece| piece.centre.is_some() && (near(piece.v) || near(piece.v + piece.length)))
    }

    /// Vehicle coordinates of the section's point (right, up) at station u.
    pub fn place(&self, u: f64, at: Vec2) -> Vec3 {
        self.frame.out(Vec3::new(u, at.y, at.x))
    }

    /// Direction in vehicle axes of a direction (right, up) of the section.
    pub fn direction(&self, at: Vec2) -> Vec3 {
        self.frame.y * at.y + self.frame.z * at.x
    }

    /// Station u and place (right, up) in the section of a point in vehicle axes.
    pub fn local(&self, p: Vec3) -> (f64, Vec2) {
        let p = self.frame.local(p);
        (p.x, Vec2::new(p.z, p.y))
    }

    /// The rail's row of the results.
    pub fn result(&self, name: &str) -> RailResult {
        RailResult {
            name: name.into(),
            frame: RailFrame { origin: self.origin, along: self.frame.x, right: self.frame.z, up: self.frame.y },
            path: self.path.clone(),
            length: self.length,
            wall: self.wall,
            girth: self.closed.then_some(self.girth),
        }
    }
}

impl OutsidePiece {
    /// Point at `s` (mm) from its start, and the outward normal there.
    pub fn point(&self, s: f64) -> (Vec2, Vec2) {
        match self.centre {
            None => {
                let ahead = (self.to - self.from).unit().unwrap_or(Vec2::new(1.0, 0.0));
                (self.from + ahead * s, ahead.left())
            }
            Some(centre) => {
                let arm = self.from - centre;
                let radius = arm.length();
                let arm = arm.turned(-s / radius);
                (centre + arm, arm * (1.0 / radius))
            }
        }
    }
}

/// One side of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Up,
    Right,
    Down,
    Left,
}

impl Side {
    const fn direction(self) -> Vec2 {
        match self {
            Self::Up => Vec2::new(0.0, 1.0),
            Self::Right => Vec2::new(1.0, 0.0),
            Self::Down => Vec2::new(0.0, -1.0),
            Self::Left => Vec2::new(-1.0, 0.0),
        }
    }
}

/// Directions of a rail's section in vehicle axes.
struct Sides {
    up: Vec3,
    right: Vec3,
}

impl Sides {
    /// The side whose outward direction is nearest to the face's; `None` where none is near enough to tell.
    fn of(&self, face: Face) -> Option<Side> {
        let (up, right) = (face.direction().dot(self.up), face.direction().dot(self.right));
        if up.abs().max(right.abs()) < libm::sin(LEAST_LEAN) {
            return None;
        }
        Some(match (up.abs() > right.abs(), up > 0.0, right > 0.0) {
            (true, true, _) => Side::Up,
            (true, false, _) => Side::Down,
            (false, _, true) => Side::Right,
            (false, _, false) => Side::Left,
        })
    }
}

/// A rectangle with round corners in the section's plane.
struct Outline {
    half: Vec2,
    corner: f64,
    middle: Vec2,
}

/// The corners clockwise from the one between up and right, each with the side before it.
const CORNERS: [(Vec2, Side); 4] = [
    (Vec2::new(1.0, 1.0), Side::Up),
    (Vec2::new(1.0, -1.0), Side::Right),
    (Vec2::new(-1.0, -1.0), Side::Down),
    (Vec2::new(-1.0, 1.0), Side::Left),
];

impl Outline {
    /// Centre of the arc of a corner.
    fn centre(&self, at: Vec2) -> Vec2 {
        self.middle + Vec2::new(at.x * (self.half.x - self.corner), at.y * (self.half.y - self.corner))
    }

    /// Middle of a side.
    fn middle_of(&self, side: Side) -> Vec2 {
        let d = side.direction();
        self.middle + Vec2::new(d.x * self.half.x, d.y * self.half.y)
    }

    /// The corner's arc as three points: start, middle and end, clockwise.
    fn arc(&self, index: usize) -> [Vec2; 3] {
        let (at, before) = CORNERS[index % 4];
        let (_, after) = CORNERS[(index + 1) % 4];
        let centre = self.centre(at);
        let out = |d: Vec2| centre + d * self.corner;
        [out(before.direction()), out(at * std::f64::consts::FRAC_1_SQRT_2), out(after.direction())]
    }

    /// The whole outside, from the middle of the named corner's arc or the middle of the top.
    fn closed(&self, named: Option<Vec2>) -> (Vec<RailVertex>, f64) {
        let mut run = Run::new(0.0);
        let eighth = self.corner * std::f64::consts::FRAC_PI_4;
        if let Some(index) = named.and_then(|at| CORNERS.iter().position(|(corner, _)| *corner == at)) {
            let centre = self.centre(CORNERS[index].0);
            let [start, middle, end] = self.arc(index);
            run.arc(middle, centre, eighth);
            let mut at = end;
            for next in index + 1..index + 4 {
                at = self.side_and_corner(&mut run, at, next);
            }
            run.line(at, start);
            run.arc(start, centre, eighth);
        } else {
            let top = self.middle_of(Side::Up);
            let mut at = top;
            for next in 0..4 {
                at = self.side_and_corner(&mut run, at, next);
            }
            run.line(at, top);
        }
        (run.path, run.v)
    }

    /// A channel's outside from lip to lip: its web is the side across from `open`.
    fn channel(&self, open: Side, named: Option<Vec2>) -> (Vec<RailVertex>, f64) {
        // The side `open` lies between corner `i` and the one after it; the metal starts after that.
        let i = match open {
            Side::Right => 0,
            Side::Down => 1,
            Side::Left => 2,
            Side::Up => 3,
        };
        let lip = |corner: Vec2| self.middle + Vec2::new(corner.x * self.half.x, corner.y * self.half.y);
        let (first, last) = (lip(CORNERS[(i + 1) % 4].0), lip(CORNERS[i].0));
        let web = [(i + 2) % 4, (i + 3) % 4];
        let mut run = Run::new(0.0);
        let at = self.side_and_corner(&mut run, first, web[0]);
        let at = self.side_and_corner(&mut run, at, web[1]);
        run.line(at, last);
        let girth = run.v;
        run.path.push(RailVertex { v: girth, at: last, centre: None });

        let quarter = self.corner * std::f64::consts::FRAC_PI_2;
        let flange = |corner: Vec2, end: Vec2| (self.centre(corner) - end).dot(open.direction()).abs();
        let first_corner = flange(CORNERS[web[0]].0, first) + quarter / 2.0;
        let last_corner = girth - flange(CORNERS[web[1]].0, last) - quarter / 2.0;
        let zero = match named {
            Some(at) if at == CORNERS[web[0]].0 => first_corner,
            Some(_) => last_corner,
            None => {
                // The middle of the top face, or of the web where that is the top or the top is open.
                let width = if matches!(open, Side::Left | Side::Right) { self.half.x } else { 0.0 };
                match open {
                    Side::Right => girth - width,
                    Side::Left => width,
                    Side::Up | Side::Down => girth / 2.0,
                }
            }
        };
        for vertex in &mut run.path {
            vertex.v -= zero;
        }
        (run.path, girth)
    }

    /// Straight from `at` to a corner's arc, then round it; hands back where it ends.
    fn side_and_corner(&self, run: &mut Run, at: Vec2, corner: usize) -> Vec2 {
        let [start, _, end] = self.arc(corner);
        run.line(at, start);
        run.arc(start, self.centre(CORNERS[corner % 4].0), self.corner * std::f64::consts::FRAC_PI_2);
        end
    }
}

/// A path under construction.
struct Run {
    path: Vec<RailVertex>,
    v: f64,
}

impl Run {
    const fn new(v: f64) -> Self {
        Self { path: Vec::new(), v }
    }

    fn line(&mut self, from: Vec2, to: Vec2) {
        self.piece(from, None, (to - from).length());
    }

    fn arc(&mut self, from: Vec2, centre: Vec2, length: f64) {
        self.piece(from, Some(centre), length);
    }

    fn piece(&mut self, at: Vec2, centre: Option<Vec2>, length: f64) {
        if length > NO_LENGTH {
            self.path.push(RailVertex { v: self.v, at, centre });
            self.v += length;
        }
    }
}

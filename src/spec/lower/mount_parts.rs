//! The parts of a mount, from the column's axis and the face it stands on.
//!
//! Axes at the clamp: `a` up the column, `s` square to it toward the face, `b` = a × s across both; `n` out of the face
//! toward the column. The tab stands in the plane of a and s, so the face is square to it and one bend of 90 degrees
//! makes the foot, however the column leans; its outline takes the angle up. The two halves of the clamp are alike: an
//! ear, a bend, the tube's round, a bend, an ear. The upper ears hold the tab between them.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::catalog::fasteners;
use crate::geometry::{Vec2, Vec3};
use crate::spec::types::{
    Bend, Body, Bolt, Hole, HolePlace, HoleSize, Mount, Opening, OpeningShape, Outline, Plate, PlatePlace, Wedge,
};

/// Centre of a hole to the edge, in diameters (common practice, no source), and what is added so that rounding keeps it.
const EDGE: f64 = 1.5;
/// Flat metal between a hole and a bend, in thicknesses (common practice, no source).
const FLAT: f64 = 2.0;
/// Added to both (mm).
const SPARE: f64 = 0.2;

/// Room between tab and tube (mm).
const OFF_TUBE: f64 = 2.0;

/// By how much the ears stand apart when the tube and the tab fill the clamp (mm): what the bolts draw together. A tube
/// of 2 in then lies tight long before the ears meet (common practice, no source).
const SQUEEZE: f64 = 1.0;

/// Straight metal between two bends of a strap (mm), at least.
const BETWEEN: f64 = 1.0;

/// Half of what a half of the clamp wraps (deg), the most first. A press brake bends up to 150 in all.
const WRAPS: [f64; 7] = [75.0, 70.0, 65.0, 60.0, 55.0, 50.0, 45.0];

/// Radius of the tab's corners (mm), the largest that has room.
const CORNERS: [f64; 6] = [6.0, 4.0, 3.0, 2.0, 1.0, 0.0];

/// Metal between an opening and the foot (mm).
const BESIDE: f64 = 8.0;

/// A column that leans less than this to the face of a plate it passes has no opening worth the name (rad).
const LEAST_LEAN: f64 = 20.0 * PI / 180.0;

/// Nearer to square than this the column has no side toward the face (rad).
const SQUARE: f64 = 0.002;

/// What is wanted of a mount; lengths in mm.
pub(super) struct Bracket {
    /// Of the shaft.
    pub(super) end: Vec3,
    /// Up the column.
    pub(super) axis: Vec3,
    /// Radius.
    pub(super) tube: f64,
    pub(super) at: f64,
    /// A point of the face, a direction in it, one on the side of up.
    pub(super) face: [Vec3; 3],
    pub(super) thick: f64,
    pub(super) strap: f64,
    pub(super) inside: f64,
    pub(super) width: f64,
    pub(super) reach: f64,
    pub(super) k: f64,
    /// A clearance hole.
    pub(super) bolt: HoleSize,
    /// What lengths are rounded up to.
    pub(super) step: f64,
    pub(super) plate: Option<FloorPlate>,
}

/// The plate of a floor mount.
pub(super) struct FloorPlate {
    pub(super) thick: f64,
    pub(super) clearance: f64,
    pub(super) size: Option<Vec2>,
    pub(super) corner: f64,
}

/// Why there is no such mount.
pub(super) enum Fault {
    /// The clamp comes too near to the face.
    TooNear { found: f64, least: f64 },
    /// The column runs along the plate it should pass.
    Along { lean: f64 },
    /// Sheet too thick for the tube.
    Strap,
    /// No room for bolts across the clamp's width.
    Narrow { least: f64 },
    /// A stated size does not hold opening and foot.
    Small { least: Vec2 },
    /// No place for the foot.
    Far,
}

/// What is laid out before any part is made.
struct Layout {
    /// On the axis, at the clamp's middle.
    centre: Vec3,
    a: Vec3,
    s: Vec3,
    b: Vec3,
    /// Out of the face.
    n: Vec3,
    /// From the face to the axis at the clamp.
    drop: f64,
    lean: f64,
    /// Hole diameter.
    hole: f64,
    /// Radius of a socket on the bolt's head.
    socket: f64,
    /// Corner of the ears from the axis, hole from the axis, end from the axis.
    ear: [f64; 3],
    /// Bolts along the width of an ear.
    along: Vec<f64>,
}

/// The parts of a mount.
pub(super) fn parts(name: &str, bracket: &Bracket) -> Result<(Mount, Vec<Plate>, Vec<Bolt>), Fault> {
    let strap = Strap::of(bracket)?;
    let layout = layout(bracket, &strap)?;
    let mut plates = Vec::new();
    let foot = Foot::of(bracket, &layout)?;
    if let Some(plate) = &bracket.plate {
        plates.push(floor_plate(name, bracket, plate, &layout, &foot)?);
    }
    plates.push(tab(name, bracket, &layout, &foot));
    for half in [1, 2] {
        plates.push(strap.plate(name, bracket, &layout, half));
    }
    let bolts = bolts(name, bracket, &layout, &foot, &strap);
    let mount = Mount {
        name: name.to_owned(),
        at: bracket.at,
        width: bracket.width,
        bore: 2.0 * bracket.tube,
        lean: layout.lean,
        drop: layout.drop,
        wedge: wedge(&layout),
        wrap: 2.0 * strap.wrap,
        squeeze: SQUEEZE,
        plates: plates.iter().map(|plate| plate.name.clone()).collect(),
        bolts: bolts.iter().map(|bolt| bolt.name.clone()).collect(),
    };
    Ok((mount, plates, bolts))
}

fn rounded_up(length: f64, step: f64) -> f64 {
    (length / step - 1e-6).ceil() * step
}

fn layout(bracket: &Bracket, strap: &Strap) -> Result<Layout, Fault> {
    let [origin, right, up] = bracket.face;
    let a = bracket.axis;
    let centre = bracket.end + a * bracket.at;
    let normal = right.cross(up).unit().unwrap_or(Vec3::new(0.0, 0.0, 1.0));
    let signed = (centre - origin).dot(normal);
    let n = if signed < 0.0 { -normal } else { normal };
    let drop = signed.abs();
    let lean = libm::asin(n.dot(a).abs().min(1.0));
    if bracket.plate.is_some() && lean < LEAST_LEAN {
        return Err(Fault::Along { lean });
    }
    // Square to the face no side is nearer to it: the plate's up is taken.
    let toward = if FRAC_PI_2 - lean < SQUARE { up } else { -n };
    let s = (toward - a * toward.dot(a)).unit().unwrap_or(up);
    let hole = bracket.bolt.diameter();
    let flats = match &bracket.bolt {
        HoleSize::Clearance { bolt, .. } => fasteners::head(bolt).map_or(1.6 * hole, |head| head.flats),
        _ => 1.6 * hole,
    };
    let edge = EDGE * hole + SPARE;
    if bracket.width < 2.0 * edge {
        return Err(Fault::Narrow { least: rounded_up(2.0 * edge, bracket.step) });
    }
    let along = if bracket.width >= 8.0 * hole {
        vec![-bracket.width / 2.0 + edge, bracket.width / 2.0 - edge]
    } else {
        vec![0.0]
    };
    let corner = strap.corner;
    let from_bend = strap.setback + FLAT * bracket.strap + hole / 2.0 + SPARE;
    let from_tube = bracket.tube + OFF_TUBE + edge - corner;
    let at = corner + rounded_up(from_bend.max(from_tube), bracket.step);
    let end = at + rounded_up(edge, bracket.step);
    Ok(Layout {
        centre,
        a,
        s,
        b: a.cross(s),
        n,
        drop,
        lean,
        hole,
        // As the rule on wrenches has it: 1.25 times the hexagon and 2 mm across.
        socket: f64::midpoint(1.25 * flats, 2.0),
        ear: [corner, at, end],
        along,
    })
}

impl Layout {
    /// A point of the plane of a and s.
    fn at(&self, x: f64, y: f64) -> Vec3 {
        self.centre + self.a * x + self.s * y
    }

    /// Height of a point over the face, given the face's point under the clamp.
    fn height(&self, p: Vec3) -> f64 {
        self.drop + (p - self.centre).dot(self.n)
    }
}

/// What a clamp without an angle of its own wants under it.
fn wedge(layout: &Layout) -> Wedge {
    let square = layout.lean > FRAC_PI_2 / 2.0;
    let angle = if square { FRAC_PI_2 - layout.lean } else { layout.lean };
    // Up the column, in the face: there a leaning column rises from it, and the base of a square clamp falls to it.
    let rise = layout.a - layout.n * layout.a.dot(layout.n);
    let rise = rise * layout.a.dot(layout.n).signum();
    let thick_toward = rise.unit().filter(|_| angle > SQUARE).map(|way| if square { -way } else { way });
    Wedge { angle, square, thick_toward }
}

/// The profile of a half of the clamp, square to the column.
struct Strap {
    /// Half of what it wraps (rad).
    wrap: f64,
    /// Of an ear's bend, on its drawn face.
    setback: f64,
    /// From the axis along an ear to where ear and wall, extended, would meet.
    corner: f64,
    /// From that corner to where both walls, extended, would meet.
    wall: f64,
    /// From the plane of tab and axis to an ear's face.
    off: f64,
}

impl Strap {
    fn of(bracket: &Bracket) -> Result<Self, Fault> {
        let (radius, thick) = (bracket.tube, bracket.strap);
        let off = f64::midpoint(bracket.thick, SQUEEZE);
        let of = |degrees: f64| {
            let wrap = degrees.to_radians();
            let (sine, cosine) = libm::sincos(wrap);
            // Along the tangent from the tube to the ear's plane.
            let tangent = (radius * cosine - off) / sine;
            // The ear's bend has the thickness as its inside radius, on the back of the drawn face.
            let setback = 2.0 * thick * libm::tan(wrap / 2.0);
            (tangent >= setback + BETWEEN).then(|| Self {
                wrap,
                setback,
                corner: radius * sine + tangent * cosine,
                wall: radius * libm::tan(wrap) + tangent,
                off,
            })
        };
        WRAPS.into_iter().find_map(of).ok_or(Fault::Strap)
    }

    /// One half: (0, 0) on the end of its first ear, u up the column, v from ear to ear, the drawn face on the tube.
    fn plate(&self, name: &str, bracket: &Bracket, layout: &Layout, half: u8) -> Plate {
        let [corner, _, end] = layout.ear;
        // The first half lies on the side of b with its first ear toward the face; the second is the same turned over.
        let side = if half == 1 { 1.0 } else { -1.0 };
        let origin = layout.at(-bracket.width / 2.0, side * end) + layout.b * (side * self.off);
        let v = layout.s * -side;
        let ear = end - corner;
        let line = |v: f64| [Vec2::new(0.0, v), Vec2::new(bracket.width, v)];
        let bend = |name: &str, v: f64, angle: f64, up: bool, inside: f64| Bend {
            name: name.to_owned(),
            line: line(v),
            angle,
            up,
            inside,
            k: bracket.k,
        };
        let thick = bracket.strap;
        let radius = (bracket.width / 4.0).min(ear / 2.0).min(4.0);
        Plate {
            name: format!("{name} clamp half {half}"),
            place: PlatePlace::Points { origin, right: origin + layout.a * 100.0, up: origin + v * 100.0 },
            outline: Outline::rectangle([bracket.width, 2.0 * (ear + self.wall)], radius),
            thick,
            holes: Vec::new(),
            openings: Vec::new(),
            need: None,
            bends: vec![
                bend("ear 1", ear, self.wrap, false, thick),
                bend("round", ear + self.wall, 2.0 * self.wrap, true, bracket.tube),
                bend("ear 2", ear + 2.0 * self.wall, self.wrap, false, thick),
            ],
        }
    }
}

/// Where the foot stands: along the line in which the tab meets the face.
struct Foot {
    /// On that line, at the tab's left end seen with b toward the viewer.
    start: Vec3,
    /// Along it (unit), square to n and b.
    along: Vec3,
    /// Length.
    length: f64,
    /// Holes from `start`.
    holes: [f64; 2],
    /// From the bend's line (drawn faces extended) to the holes' row, and to the foot's end.
    out: [f64; 2],
    /// From the face up to where the tab may leave the foot's width.
    rise: f64,
    /// Corners of the tab above that, anticlockwise seen with b toward the viewer, from the right end of the rise; from
    /// `start` raised by `rise`.
    corners: Vec<Vec2>,
    /// Radius of the tab's corners.
    radius: f64,
}

impl Foot {
    fn of(bracket: &Bracket, layout: &Layout) -> Result<Self, Fault> {
        let Layout { n, b, hole, .. } = *layout;
        let edge = rounded_up(EDGE * hole + SPARE, bracket.step);
        let apart = rounded_up((0.6 * bracket.width).max(4.0 * hole), bracket.step);
        let length = apart + 2.0 * edge;
        let along = n.cross(b);
        let to_hole = bracket.inside + (FLAT * bracket.thick + hole / 2.0 + SPARE).max(layout.socket + 1.0);
        let row = rounded_up(to_hole, bracket.step);
        // Straight down under the middle of the ear.
        let over = layout.at(0.0, layout.ear[1]);
        let under = over - n * layout.height(over);
        let clamp = [(-1.0, 0), (1.0, 0), (1.0, 1), (-1.0, 1)].map(|(side, top)| {
            let y = if top == 1 { layout.ear[2] } else { bracket.tube + OFF_TUBE };
            layout.at(side * bracket.width / 2.0, y)
        });
        let lowest = clamp.iter().map(|&p| layout.height(p)).fold(f64::INFINITY, f64::min);
        for radius in CORNERS {
            let rise = bracket.thick + bracket.inside + radius + 1.0;
            if lowest < rise {
                if radius > 0.0 {
                    continue;
                }
                return Err(Fault::TooNear { found: lowest, least: rise });
            }
            let Some(start) = Self::beside(bracket, layout, (under, along, length, rise)) else {
                return Err(Fault::Far);
            };
            let zero = start + n * rise;
            let flat = |p: Vec3| Vec2::new((p - zero).dot(along), (p - zero).dot(n));
            let mut points: Vec<Vec2> = clamp.iter().map(|&p| flat(p)).collect();
            points.extend([Vec2::default(), Vec2::new(length, 0.0)]);
            let corners = hull(points);
            let foot = Self {
                start,
                along,
                length,
                holes: [edge, edge + apart],
                out: [row, row + edge],
                rise,
                corners,
                radius,
            };
            if radius <= 0.0 || has_room(&foot.outline(bracket)) {
                return Ok(foot);
            }
        }
        Err(Fault::Far)
    }

    /// The foot's start as near as can be to straight under the clamp, with tab and foot clear of tube and opening.
    fn beside(
        bracket: &Bracket,
        layout: &Layout,
        (under, along, length, rise): (Vec3, Vec3, f64, f64),
    ) -> Option<Vec3> {
        let fall = layout.a.dot(layout.n);
        // Where the axis passes the face, and how much of the line it takes to both sides.
        let taken = (fall.abs() > libm::sin(LEAST_LEAN)).then(|| {
            let passes = layout.centre - layout.a * (layout.drop / fall);
            let (clearance, thick) = bracket.plate.as_ref().map_or((OFF_TUBE, 0.0), |p| (p.clearance, p.thick));
            let through = thick * libm::tan(FRAC_PI_2 - layout.lean);
            ((passes - under).dot(along), (bracket.tube + clearance) / fall.abs() + through + BESIDE)
        });
        let free = |from: f64| {
            let clear = taken.is_none_or(|(at, half)| from >= at + half || from + length <= at - half);
            let off = |u: f64| {
                let p = under + along * u + layout.n * rise;
                (p - layout.centre).dot(layout.s) >= bracket.tube + OFF_TUBE
            };
            clear && off(from) && off(from + length)
        };
        let middle = -length / 2.0;
        (0..1000).map(f64::from).find_map(|step| {
            let by = [step, -step].into_iter().find(|&by| free(middle + by * 0.5))?;
            Some(under + along * (middle + by * 0.5))
        })
    }

    /// The tab's outline opened, zero at the start of the rise.
    fn outline(&self, bracket: &Bracket) -> Outline {
        let bottom = self.line(bracket) - self.out[1];
        let mut corners = vec![Vec2::new(0.0, bottom), Vec2::new(self.length, bottom)];
        corners.extend(&self.corners);
        let count = corners.len();
        let bent = |i: usize| {
            let (before, at, after) = (corners[(i + count - 1) % count], corners[i], corners[(i + 1) % count]);
            let (x, y) = (at - before, after - at);
            x.cross(y).abs() > 1e-6 * x.length() * y.length()
        };
        let corners = (0..count).filter(|&i| bent(i)).map(|i| corners[i]).collect();
        Outline { corners, radius: self.radius }
    }

    /// v of the bend's line.
    fn line(&self, bracket: &Bracket) -> f64 {
        bracket.thick - self.rise
    }
}

/// Corners of the least convex polygon round points, anticlockwise, from the right end of its lowest side.
fn hull(mut points: Vec<Vec2>) -> Vec<Vec2> {
    points.sort_by(|p, q| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)));
    let chain = |points: &mut dyn Iterator<Item = Vec2>| {
        let mut kept: Vec<Vec2> = Vec::new();
        for p in points {
            while kept.len() > 1
                && (kept[kept.len() - 1] - kept[kept.len() - 2]).cross(p - kept[kept.len() - 1]) <= 1e-9
            {
                kept.pop();
            }
            kept.push(p);
        }
        kept.pop();
        kept
    };
    let mut all = chain(&mut points.iter().copied());
    all.extend(chain(&mut points.iter().rev().copied()));
    // Anticlockwise, the side from (0, 0) to (length, 0) is the lowest: begin at its right end.
    let left = all.iter().position(|p| p.x.abs() < 1e-9 && p.y.abs() < 1e-9).unwrap_or(0);
    let count = all.len();
    all.rotate_left((left + 1) % count);
    all
}

/// Whether a rounding of every corner leaves something of every edge.
fn has_room(outline: &Outline) -> bool {
    let takes: Vec<f64> = outline.turns().iter().map(|turn| outline.radius * libm::tan(turn.abs() / 2.0)).collect();
    let count = takes.len();
    (0..count).all(|i| {
        let next = (i + 1) % count;
        (outline.corners[next] - outline.corners[i]).length() >= takes[i] + takes[next]
    })
}

/// The tab: (0, 0) over the foot's end, v away from the face, the drawn face toward b.
fn tab(name: &str, bracket: &Bracket, layout: &Layout, foot: &Foot) -> Plate {
    let origin = foot.start + layout.n * foot.rise + layout.b * (bracket.thick / 2.0);
    let v = foot.line(bracket);
    Plate {
        name: format!("{name} tab"),
        place: PlatePlace::Points { origin, right: origin + foot.along * 100.0, up: origin + layout.n * 100.0 },
        outline: foot.outline(bracket),
        thick: bracket.thick,
        holes: Vec::new(),
        openings: Vec::new(),
        need: None,
        bends: vec![Bend {
            name: "foot".to_owned(),
            line: [Vec2::new(0.0, v), Vec2::new(foot.length, v)],
            angle: FRAC_PI_2,
            up: true,
            inside: bracket.inside,
            k: bracket.k,
        }],
    }
}

fn bolts(name: &str, bracket: &Bracket, layout: &Layout, foot: &Foot, strap: &Strap) -> Vec<Bolt> {
    let HoleSize::Clearance { bolt: size, diameter, drill, .. } = &bracket.bolt else { return Vec::new() };
    let mut all = Vec::new();
    let mut add = |what: &str, from: Vec3, to: Vec3| {
        let number = all.iter().filter(|bolt: &&Bolt| bolt.name.starts_with(&format!("{name} {what}"))).count() + 1;
        all.push(Bolt {
            name: format!("{name} {what} {number}"),
            from,
            to,
            size: size.clone(),
            diameter: *diameter,
            drill: drill.clone(),
        });
    };
    // Past the outer faces of the ears.
    let out = layout.b * (strap.off + bracket.strap + 5.0);
    for side in [1.0, -1.0] {
        for &x in &layout.along {
            let at = layout.at(x, side * layout.ear[1]);
            add("clamp bolt", at + out, at - out);
        }
    }
    let row = layout.b * (bracket.thick / 2.0 + foot.out[0]);
    for u in foot.holes {
        let at = foot.start + foot.along * u + row;
        add("foot bolt", at + layout.n * (bracket.thick + 5.0), at - layout.n * bracket.reach);
    }
    all
}

/// The plate on the face: drawn from the column's side, up as the face was measured.
fn floor_plate(
    name: &str,
    bracket: &Bracket,
    plate: &FloorPlate,
    layout: &Layout,
    foot: &Foot,
) -> Result<Plate, Fault> {
    let [_, right, up] = bracket.face;
    let u = right.unit().unwrap_or(layout.along_face());
    let u = if u.cross(up).dot(layout.n) > 0.0 { u } else { -u };
    let v = layout.n.cross(u);
    // The opening's ends, through the thickness too.
    let fall = layout.a.dot(layout.n);
    let passes = layout.centre - layout.a * (layout.drop / fall);
    let major = (layout.a - layout.n * fall).unit().unwrap_or(u);
    let minor = layout.n.cross(major);
    let radius = bracket.tube + plate.clearance;
    let long = radius / fall.abs() + plate.thick * libm::tan(FRAC_PI_2 - layout.lean);
    let mut points: Vec<Vec3> = [(long, 0.0), (-long, 0.0), (0.0, radius), (0.0, -radius)]
        .map(|(x, y)| passes + major * x + minor * y)
        .to_vec();
    // An ellipse's greatest reach along any direction is under the corners of its box; its four ends and those do.
    for (x, y) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
        points.push(passes + (major * (long * x) + minor * (radius * y)) * std::f64::consts::FRAC_1_SQRT_2);
    }
    let out = layout.b * (bracket.thick / 2.0 + foot.out[1]);
    for x in [0.0, foot.length] {
        let at = foot.start + foot.along * x;
        points.extend([at - layout.b * (bracket.thick / 2.0), at + out]);
    }
    let flat = |p: Vec3| Vec2::new((p - passes).dot(u), (p - passes).dot(v));
    let (mut low, mut high) = (flat(points[0]), flat(points[0]));
    for p in points.into_iter().map(flat) {
        low = Vec2::new(low.x.min(p.x), low.y.min(p.y));
        high = Vec2::new(high.x.max(p.x), high.y.max(p.y));
    }
    // A bolt in each corner, and metal between it and what the plate is for.
    let inset = rounded_up(EDGE * layout.hole + SPARE, bracket.step).max(plate.corner);
    let rim = inset + layout.hole / 2.0 + BESIDE;
    let least = Vec2::new(
        rounded_up(high.x - low.x + 2.0 * rim, bracket.step),
        rounded_up(high.y - low.y + 2.0 * rim, bracket.step),
    );
    let size = plate.size.unwrap_or(least);
    if size.x < least.x - 1e-6 || size.y < least.y - 1e-6 {
        return Err(Fault::Small { least });
    }
    let middle = (low + high) * 0.5;
    let corner = middle - size * 0.5;
    let origin = passes + u * corner.x + v * corner.y;
    let at = [(inset, inset), (size.x - inset, inset), (size.x - inset, size.y - inset), (inset, size.y - inset)];
    Ok(Plate {
        name: format!("{name} plate"),
        place: PlatePlace::Points { origin, right: origin + u * 100.0, up: origin + v * 100.0 },
        outline: Outline::rectangle([size.x, size.y], plate.corner),
        thick: plate.thick,
        holes: vec![Hole {
            name: "mount".to_owned(),
            at: at.map(|(x, y)| HolePlace { centre: Vec2::new(x, y), angle: 0.0 }).to_vec(),
            size: bracket.bolt.clone(),
            slot: None,
            depth: None,
            countersink: None,
        }],
        openings: vec![Opening {
            name: "column".to_owned(),
            around: Body::Column,
            clearance: plate.clearance,
            shape: Some(OpeningShape::Ellipse),
        }],
        need: None,
        bends: Vec::new(),
    })
}

impl Layout {
    /// Any direction in the face.
    fn along_face(&self) -> Vec3 {
        self.n.cross(self.b)
    }
}

//! STEP files of plates measured against the solution.

use std::f64::consts::PI;

use super::AuditReport;
use super::step::{ALLOWED, VOLUME};
use super::step_bracket;
use super::step_file::StepMeasure;
use super::step_shell::{self, Said};
use crate::geometry::{Piece, Vec2, Vec3};
use crate::solve::identity::Identity;
use crate::solve::solution::PlateResult;
use crate::solve::{folded, outline};
use crate::spec::types::Unit;

/// A wall is looked for within this (mm) of its plan; beyond, it is missing.
const REACH: f64 = 10.0;

/// Largest sine between a wall and the square of the plate.
const SQUARE: f64 = 1e-9;

/// What the file of a plate should hold.
#[derive(Debug, Clone)]
pub struct PlatePlan<'a> {
    /// File in the package.
    pub file: &'a str,
    /// Length unit of the file.
    pub unit: Unit,
    /// What it is called and what is said of it.
    pub identity: Identity,
    /// The plate.
    pub result: &'a PlateResult,
}

/// Measures a plate's file and compares it with its plan, line by line.
///
/// Product, unit, that the shell closes, thickness, volume, and of every hole, slot, opening and side of the outline
/// its place and size; of a bent plate also its flanges and bends. What is missing and what is too much is named.
pub fn check(plan: &PlatePlan<'_>, bytes: &[u8], report: &mut AuditReport) {
    let plate = plan.result;
    let said = Said { file: plan.file, unit: plan.unit, identity: &plan.identity };
    let Some(found) = step_shell::read(&said, bytes, report) else { return };
    let (mut names, mut named) = (names(plate), found.named.clone());
    if !plate.bends.is_empty() {
        // They stand flange by flange, and what is cut through a bend has more walls than on the flat.
        for all in [&mut names, &mut named] {
            all.sort();
            all.dedup();
        }
    }
    report.equal(plan.file, "named walls", names.join(", "), named.join(", "));
    let volume = volume(plate);
    report.number(plan.file, "volume", volume, found.volume, VOLUME * volume, "mm³");
    if !plate.bends.is_empty() {
        step_bracket::compare(plan.file, plate, &found, report);
        return;
    }
    let (low, high) = outline::path(&plate.outline).map_or_else(Default::default, |path| path.bounds());
    let arm = (high - low).length();
    let mut walls = Vec::new();
    let mut levels = Vec::new();
    for face in sorted(&found) {
        match face {
            Found::Wall(wall) => walls.push(wall),
            Found::Level { up, at } => levels.push((up, at)),
            Found::Stray(what) => report.wrong(plan.file, what, "none", "one"),
        }
    }
    for (name, up, at) in [("drawn face", true, 0.0), ("back", false, -plate.thick)] {
        match levels.iter().position(|level| level.0 == up) {
            Some(i) => report.number(plan.file, name, at, levels.remove(i).1, ALLOWED, "mm"),
            None => report.wrong(plan.file, name, "one", "none"),
        }
    }
    for (_, at) in levels {
        report.wrong(plan.file, "face along the plate", "none", format!("one at {at:.3} mm"));
    }
    compare(plan.file, &planned(plate), walls, arm, report);
}

/// Volume (mm³): the area left all through, less the cones of countersinks, plus what stands under blind holes and what
/// bending adds.
pub(super) fn volume(plate: &PlateResult) -> f64 {
    let mut volume = plate.area * plate.thick + folded::stretch(plate);
    for hole in &plate.holes {
        let radius = hole.diameter / 2.0;
        if let Some(depth) = hole.depth {
            let point = radius / libm::tan(DRILL_POINT);
            volume += PI * radius * radius * (plate.thick - depth - point / 3.0);
        }
        if let Some(cone) = &hole.countersink {
            let wide = cone.diameter / 2.0;
            volume -= PI * cone.depth * ((wide * wide + wide * radius + radius * radius) / 3.0 - radius * radius);
        }
    }
    volume
}

/// Half of the included angle (rad) of a drill's point.
pub(super) const DRILL_POINT: f64 = 59.0 * PI / 180.0;

/// The names of the walls that have one, in the order of the file: holes, then openings.
fn names(plate: &PlateResult) -> Vec<String> {
    let holes = plate.holes.iter().map(|hole| {
        let cones = usize::from(hole.countersink.is_some()) + usize::from(hole.depth.is_some());
        (hole.wall_name(), if hole.slot.is_some() { 4 } else { 1 + cones })
    });
    let openings = plate.openings.iter().map(|opening| {
        let vertices = &opening.outline;
        let round = vertices.len() == 2 && vertices.iter().all(|vertex| vertex.axes.is_none());
        (opening.name.clone(), if round { 1 } else { vertices.len() })
    });
    holes.chain(openings).flat_map(|(name, walls)| vec![name; walls]).collect()
}

/// A wall square to the plate.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Wall {
    /// Looks along `normal`, `distance` (mm) from (0, 0).
    Plane { normal: Vec2, distance: f64 },
    /// mm; `hollow` where the metal is outside of it.
    Round { centre: Vec2, radius: f64, hollow: bool },
    /// `major` semi-axis, length of the `minor` one (mm).
    Ellipse { centre: Vec2, major: Vec2, minor: f64, hollow: bool },
    /// A cone into the metal: where its tip lies, half its angle (rad), and whether it opens toward the drawn face.
    Cone { centre: Vec2, tip: f64, half_angle: f64, up: bool },
}

impl Wall {
    /// How far (mm) two walls of one kind are off each other at most, within `arm` of (0, 0).
    fn off(&self, other: &Self, arm: f64) -> f64 {
        match (*self, *other) {
            (Self::Plane { normal, distance }, Self::Plane { normal: n, distance: d }) => {
                (normal - n).length() * arm + (distance - d).abs()
            }
            (Self::Round { centre, radius, hollow }, Self::Round { centre: c, radius: r, hollow: h })
                if h == hollow =>
            {
                (centre - c).length() + (radius - r).abs()
            }
            (
                Self::Ellipse { centre, major, minor, hollow },
                Self::Ellipse { centre: c, major: m, minor: b, hollow: h },
            ) if h == hollow => {
                let turned = (major - m).length().min((major + m).length());
                (centre - c).length() + turned + (minor - b).abs()
            }
            (Self::Cone { centre, tip, half_angle, up }, Self::Cone { centre: c, tip: t, half_angle: h, up: u })
                if u == up =>
            {
                (centre - c).length() + (tip - t).abs() + (half_angle - h).abs() * arm
            }
            _ => f64::INFINITY,
        }
    }
}

/// The walls as planned, each with the name of what it belongs to.
fn planned(plate: &PlateResult) -> Vec<(String, Wall)> {
    let mut walls: Vec<(String, Wall)> = Vec::new();
    let edges = std::iter::once(("outline".to_owned(), plate.outline.clone(), false));
    let holes = plate.holes.iter().map(|hole| (format!("hole {}", hole.name), outline::hole(hole), true));
    let openings = plate.openings.iter().map(|o| (format!("opening {}", o.name), o.outline.clone(), true));
    for (name, vertices, hollow) in edges.chain(holes).chain(openings) {
        let Some(path) = outline::path(&vertices) else { continue };
        for (from, piece) in path.runs() {
            let wall = match *piece {
                Piece::Line { to } | Piece::Cubic { to, .. } => {
                    let Some(along) = (to - from).unit() else { continue };
                    let normal = if hollow { along.left() } else { -along.left() };
                    Wall::Plane { normal, distance: normal.dot(from) }
                }
                Piece::Arc { centre, major, minor, sweep, .. } => {
                    let (radius, minor) = (major.length(), minor.length());
                    let hollow = hollow != (sweep < 0.0);
                    if (radius - minor).abs() <= ALLOWED / 10.0 {
                        Wall::Round { centre, radius, hollow }
                    } else {
                        Wall::Ellipse { centre, major, minor, hollow }
                    }
                }
            };
            // Sides in one line, and halves of one round, are one wall to a reader.
            if walls.iter().all(|(_, other)| wall.off(other, 1e3) > ALLOWED) {
                walls.push((name.clone(), wall));
            }
        }
    }
    for hole in &plate.holes {
        let (name, centre) = (format!("hole {}", hole.name), hole.centre);
        if let Some(cone) = &hole.countersink {
            let half_angle = cone.angle.to_radians() / 2.0;
            let up = cone.side == "face";
            let deep = cone.diameter / 2.0 / libm::tan(half_angle);
            let tip = if up { -deep } else { deep - plate.thick };
            walls.push((format!("{name}, countersink"), Wall::Cone { centre, tip, half_angle, up }));
        }
        if let Some(depth) = hole.depth {
            let tip = -depth - hole.diameter / 2.0 / libm::tan(DRILL_POINT);
            walls.push((format!("{name}, bottom"), Wall::Cone { centre, tip, half_angle: DRILL_POINT, up: true }));
        }
    }
    walls
}

/// A face by what it is on a plate.
enum Found {
    Wall(Wall),
    Level { up: bool, at: f64 },
    Stray(String),
}

fn sorted(found: &StepMeasure) -> Vec<Found> {
    let flat = |v: Vec3| Vec2::new(v.x, v.y);
    let upright = |axis: Vec3| flat(axis).length() <= SQUARE;
    let planes = found.planes.iter().map(|face| {
        if upright(face.normal) {
            let up = face.normal.z > 0.0;
            return Found::Level { up, at: if up { face.distance } else { -face.distance } };
        }
        if face.normal.z.abs() > SQUARE {
            return Found::Stray(format!("plane askew, {:.3} mm off", face.distance));
        }
        Found::Wall(Wall::Plane { normal: flat(face.normal), distance: face.distance })
    });
    let rounds = found.cylinders.iter().map(|face| {
        if upright(face.axis) {
            Found::Wall(Wall::Round { centre: flat(face.origin), radius: face.radius, hollow: face.hollow })
        } else {
            Found::Stray(format!("cylinder askew, {:.3} mm of radius", face.radius))
        }
    });
    let ellipses = found.elliptic.iter().map(|face| {
        let (centre, major) = (flat(face.origin), flat(face.major));
        if upright(face.axis) {
            Found::Wall(Wall::Ellipse { centre, major, minor: face.minor, hollow: face.hollow })
        } else {
            Found::Stray("elliptic wall askew".to_owned())
        }
    });
    let cones = found.cones.iter().map(|face| {
        if upright(face.axis) && face.hollow {
            let (up, half_angle) = (face.axis.z > 0.0, face.half_angle);
            Found::Wall(Wall::Cone { centre: flat(face.apex), tip: face.apex.z, half_angle, up })
        } else {
            Found::Stray(format!("cone at ({:.3}, {:.3})", face.apex.x, face.apex.y))
        }
    });
    let others = found.others.iter().map(|kind| Found::Stray((*kind).to_owned()));
    planes.chain(rounds).chain(ellipses).chain(cones).chain(others).collect()
}

/// Gives every found wall to the nearest planned one and says of each how far it is off.
fn compare(file: &str, planned: &[(String, Wall)], found: Vec<Wall>, arm: f64, report: &mut AuditReport) {
    let mut own: Vec<Vec<Wall>> = vec![Vec::new(); planned.len()];
    for wall in found {
        let off = |i: usize| planned.get(i).map_or(f64::INFINITY, |(_, plan)| plan.off(&wall, arm));
        let nearest = (0..planned.len()).min_by(|a, b| off(*a).total_cmp(&off(*b))).filter(|i| off(*i) <= REACH);
        match nearest.and_then(|i| own.get_mut(i)) {
            Some(own) => own.push(wall),
            None => report.wrong(file, "wall", "none", format!("{wall:?}")),
        }
    }
    for ((name, plan), own) in planned.iter().zip(own) {
        let Some(worst) = own.iter().max_by(|a, b| plan.off(a, arm).total_cmp(&plan.off(b, arm))) else {
            report.wrong(file, format!("{name}, wall"), "one", "none");
            continue;
        };
        let mut number = |what: &str, expected: f64, found: f64| {
            report.number(file, format!("{name}, {what}"), expected, found, ALLOWED, "mm");
        };
        match (*plan, *worst) {
            (Wall::Plane { normal, distance }, Wall::Plane { normal: n, distance: d }) => {
                number("side from the origin", distance, d);
                number("side out of its direction", 0.0, (normal - n).length() * arm);
            }
            (Wall::Round { centre, radius, .. }, Wall::Round { centre: c, radius: r, .. }) => {
                number("distance from plan", 0.0, (centre - c).length());
                number("diameter", 2.0 * radius, 2.0 * r);
            }
            (Wall::Ellipse { centre, major, minor, .. }, Wall::Ellipse { centre: c, major: m, minor: b, .. }) => {
                number("distance from plan", 0.0, (centre - c).length());
                number("minor axis", 2.0 * minor, 2.0 * b);
                number("major axis", 2.0 * major.length(), 2.0 * m.length());
                number("major axis out of its direction", 0.0, (major - m).length().min((major + m).length()));
            }
            (Wall::Cone { centre, tip, half_angle, .. }, Wall::Cone { centre: c, tip: t, half_angle: h, .. }) => {
                number("distance from plan", 0.0, (centre - c).length());
                number("tip of its cone from the drawn face", tip, t);
                let (plan, seen) = (half_angle.to_degrees() * 2.0, h.to_degrees() * 2.0);
                report.number(file, format!("{name}, angle"), plan, seen, ALLOWED, "deg");
            }
            // A wall is given to a plan of its own kind.
            _ => {}
        }
    }
}

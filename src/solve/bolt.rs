//! Bolts through several parts: one axis, and a hole where it passes each plate and each wall of a rail.

use super::bend::Folds;
use super::outline::{path, rounded};
use super::plate::pilot;
use super::rail::RailShape;
use super::rail_part;
use super::solution::{BoltPass, BoltResult, FoldedPlace, HoleResult, NotchResult, PlateResult};
use crate::catalog::fasteners;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Frame, Vec2, Vec3};
use crate::spec::Spec;
use crate::spec::types::{Bolt, Plate};

/// Greatest angle (rad) between a bolt and the normal of what it passes: beyond it runs along the plate, not through it.
const GRAZING: f64 = 1.4;

/// Chords of an outline stray by at most this (mm) where it is asked whether a bolt passes inside.
const STRAY: f64 = 0.01;

/// Standard lengths of metric bolts (mm): ISO 888 (from memory).
const METRIC: [f64; 27] = [
    10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 80.0, 90.0, 100.0, 110.0,
    120.0, 130.0, 140.0, 150.0, 160.0, 180.0, 200.0, 220.0, 240.0,
];

/// Where a bolt passes one plate.
struct Met {
    hole: HoleResult,
    pass: BoltPass,
    /// Along the bolt (mm): into the metal and out of it.
    span: [f64; 2],
}

/// Every bolt, its holes added to the plates.
///
/// A wall that a notch takes away gets no hole. Fails for a bolt that meets nothing between its two ends.
pub fn bolts(
    spec: &Spec,
    rails: &[RailShape],
    notches: &[NotchResult],
    plates: &mut [PlateResult],
) -> Result<Vec<BoltResult>, Vec<Diagnostic>> {
    let mut wrong = Vec::new();
    let mut all = Vec::new();
    for (i, bolt) in spec.bolts.iter().enumerate() {
        let mut passes = Vec::new();
        let mut spans: Vec<[f64; 2]> = Vec::new();
        for (plate, solved) in spec.plates.iter().zip(plates.iter_mut()) {
            for met in through_plate(spec, bolt, plate, solved) {
                solved.holes.push(met.hole);
                passes.push((met.span[0], met.pass));
                spans.push(met.span);
            }
        }
        for (rail, shape) in spec.rails.iter().zip(rails) {
            let mut walls = through_rail(bolt, &rail.name, shape);
            walls.retain(|(_, _, pass)| !is_cut_away(shape, notches, pass));
            spans.extend(walls.iter().map(|(_, span, _)| *span));
            passes.extend(walls.into_iter().map(|(at, _, pass)| (at, pass)));
        }
        if passes.is_empty() {
            let message = format!("bolt {:?} meets no plate and no rail between its two ends", bolt.name);
            let error = Diagnostic::error("bolt-meets-nothing", message);
            wrong.push(
                error
                    .at(spec.place(&format!("bolt.{i}")))
                    .help("put `from` on one side of all it holds and `to` on the other"),
            );
            continue;
        }
        passes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let first = spans.iter().map(|span| span[0]).fold(f64::INFINITY, f64::min);
        let last = spans.iter().map(|span| span[1]).fold(f64::NEG_INFINITY, f64::max);
        let grip = last - first;
        all.push(BoltResult {
            name: bolt.name.clone(),
            bolt: bolt.size.clone(),
            diameter: bolt.diameter,
            drill: bolt.drill.clone(),
            pilot: pilot(bolt.diameter, spec.build.units),
            axis: bolt.axis(),
            from: bolt.from,
            grip,
            length: length(&bolt.size, grip),
            passes: passes.into_iter().map(|(_, pass)| pass).collect(),
        });
    }
    for solved in plates.iter_mut() {
        super::plate::measure(solved);
    }
    if wrong.is_empty() { Ok(all) } else { Err(wrong) }
}

/// The least standard length (mm) for a grip: grip, two washers, a nut and two threads past it (common practice, no
/// source). `None` where the catalogue does not know the size, or none is long enough.
fn length(size: &str, grip: f64) -> Option<f64> {
    let head = fasteners::head(size)?;
    let pitch = fasteners::threads().iter().find(|entry| entry.size == size)?.thread.pitch;
    let least = grip + 2.0 * head.washer + head.nut + 2.0 * pitch;
    if size.starts_with('M') {
        return METRIC.into_iter().find(|length| *length >= least - 1e-9);
    }
    // Quarter inches to 6 in, half inches above (common practice, no source).
    let step = if least > 152.4 { 12.7 } else { 6.35 };
    let length = ((least - 1e-9) / step).ceil().max(2.0) * step;
    (length <= 12.0 * 25.4).then_some(length)
}

/// Every flange of a plate that a bolt passes inside the outline, clear of its openings.
fn through_plate(spec: &Spec, bolt: &Bolt, plate: &Plate, solved: &PlateResult) -> Vec<Met> {
    let opened = rounded(&plate.outline);
    let Ok(folds) = Folds::new(plate, &opened) else { return Vec::new() };
    let Some(edge) = path(&opened).map(|path| path.flattened(STRAY)) else { return Vec::new() };
    let base = Frame { origin: solved.frame.origin, x: solved.frame.u, y: solved.frame.v, z: solved.frame.w };
    let axis = bolt.axis();
    let flanges = folds.flanges(opened.iter().map(|vertex| vertex.at));
    let mut all = Vec::new();
    for carrying in flanges {
        let frame = folds.frame(&base, &carrying);
        let fall = axis.dot(frame.z);
        let slant = libm::acos(fall.abs().min(1.0));
        if slant > GRAZING {
            continue;
        }
        // A drill goes square into the plate: its hole is where the axis passes the middle of the thickness.
        let height = (bolt.from - frame.origin).dot(frame.z);
        let middle = (-plate.thick / 2.0 - height) / fall;
        let half = plate.thick / 2.0 / fall.abs();
        if middle + half < 0.0 || middle - half > bolt.reach() {
            continue;
        }
        let d = bolt.from + axis * middle - frame.origin;
        let at = Vec2::new(d.dot(frame.x), d.dot(frame.y));
        let flat = folds.flat(at);
        let free = solved
            .openings
            .iter()
            .any(|opening| path(&opening.outline).is_some_and(|path| contains(&path.flattened(STRAY), flat)));
        if !contains(&edge, at) || folds.carrying(at) != carrying || free {
            continue;
        }
        let face = frame.origin + frame.x * at.x + frame.y * at.y;
        let hole = HoleResult {
            name: bolt.name.clone(),
            kind: "bolt".into(),
            centre: flat,
            diameter: bolt.diameter,
            pilot: pilot(bolt.diameter, spec.build.units),
            drill: bolt.drill.clone(),
            folded: (!folds.is_empty()).then_some(FoldedPlace { at: face, normal: frame.z }),
            ..HoleResult::default()
        };
        let pass = BoltPass {
            part: plate.name.clone(),
            kind: "plate".into(),
            at: face,
            u: flat.x,
            v: flat.y,
            slant: slant.to_degrees(),
        };
        all.push(Met { hole, pass, span: [middle - half, middle + half] });
    }
    all
}

/// Every wall of a rail that a bolt passes between the rail's two ends, with its place along the bolt and where that enters
/// and leaves the metal.
fn through_rail(bolt: &Bolt, name: &str, rail: &RailShape) -> Vec<(f64, [f64; 2], BoltPass)> {
    let axis = bolt.axis();
    let (start, from) = rail.local(bolt.from);
    let (end, to) = rail.local(bolt.from + axis);
    let (along, run) = (end - start, to - from);
    let mut all = Vec::new();
    for piece in rail.pieces() {
        let mut meet = |t: f64, s: f64| {
            let u = start + along * t;
            let inside = s >= 0.0 && s < piece.length && t >= 0.0 && t <= bolt.reach() && u >= 0.0 && u <= rail.length;
            if inside {
                let (at, normal) = piece.point(s);
                let fall = rail.direction(normal).dot(axis);
                let slant = libm::acos(fall.abs().min(1.0));
                // Along the wall a bolt is never through.
                let inside = t - rail.wall / fall;
                let span = if slant > GRAZING { [t, t] } else { [t.min(inside), t.max(inside)] };
                let v = piece.v + s;
                let at = rail.place(u, at);
                all.push((
                    t,
                    span,
                    BoltPass { part: name.into(), kind: "rail".into(), at, u, v, slant: slant.to_degrees() },
                ));
            }
        };
        match piece.centre {
            None => {
                let Some(ahead) = (piece.to - piece.from).unit() else { continue };
                let cross = run.cross(ahead);
                if cross.abs() > 1e-9 {
                    let off = piece.from - from;
                    meet(off.cross(ahead) / cross, off.cross(run) / cross);
                }
            }
            Some(centre) => {
                let radius = (piece.from - centre).length();
                let off = from - centre;
                let (a, b, c) = (run.dot(run), off.dot(run), off.dot(off) - radius * radius);
                let root = b * b - a * c;
                if a > 1e-12 && root >= 0.0 {
                    for t in [(-b - root.sqrt()) / a, (-b + root.sqrt()) / a] {
                        // Arcs run clockwise.
                        let arm = off + run * t;
                        let start = piece.from - centre;
                        let turn = libm::atan2(arm.cross(start), arm.dot(start)).rem_euclid(std::f64::consts::TAU);
                        meet(t, turn * radius);
                    }
                }
            }
        }
    }
    all
}

/// Whether the middle of a hole lies in a notch.
fn is_cut_away(rail: &RailShape, notches: &[NotchResult], pass: &BoltPass) -> bool {
    let own = notches.iter().filter(|notch| notch.rail == pass.part);
    let turns = if rail.closed { -2..=2 } else { 0..=0 };
    own.flat_map(rail_part::paths).any(|path| {
        let outline = path.flattened(STRAY);
        turns.clone().any(|turn| contains(&outline, Vec2::new(pass.u, pass.v + f64::from(turn) * rail.girth)))
    })
}

/// Whether a point lies inside a polygon (even-odd).
fn contains(polygon: &[Vec2], p: Vec2) -> bool {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).fold(false, |inside, (a, b)| {
        let crosses = (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x;
        inside != crosses
    })
}

impl Bolt {
    /// Unit vector from one end of its axis toward the other.
    pub(super) fn axis(&self) -> Vec3 {
        (self.to - self.from).unit().unwrap_or(Vec3::new(1.0, 0.0, 0.0))
    }

    /// How far apart its two ends are (mm).
    pub(super) fn reach(&self) -> f64 {
        (self.to - self.from).length()
    }
}

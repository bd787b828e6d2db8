//! STEP files measured against the solution.

use std::f64::consts::{FRAC_PI_4, TAU};

use super::AuditReport;
use super::step_file::{ConeFace, CylinderFace, PlaneFace, StepMeasure, measure};
use crate::catalog::forms::FormShape;
use crate::geometry::mass::{self, CrossBolt};
use crate::geometry::{Vec2, Vec3};
use crate::solve::solution::{Dimple, End, Groove, On, ShaftResult, SpotWhen};
use crate::spec::types::Unit;

/// Largest difference (mm) allowed of any length in a STEP file.
pub const ALLOWED: f64 = 1e-6;

/// Directions within this (rad) of square or parallel are taken for it: a
/// thousandth of what the allowed length makes at a shaft's radius would be
/// finer than the file's own digits.
const SQUARE: f64 = 1e-9;

/// A feature is looked for within this (mm) of its plan; beyond, it is missing.
const REACH: f64 = 10.0;

/// A chamfer under this (mm) is a broken edge and not in the solid.
const LEAST_CHAMFER: f64 = 0.01;

/// Largest difference of the volume, for each mm³ of it: fitted edges and both
/// integrals leave 1e-11, and the least dimple takes 1e-6 of a shaft.
const VOLUME: f64 = 1e-9;

/// What a shaft's file should hold.
#[derive(Debug, Clone, Copy)]
pub struct ShaftPlan<'a> {
    /// File in the package.
    pub file: &'a str,
    /// Product name.
    pub product: &'a str,
    /// Length unit of the file.
    pub unit: Unit,
    /// The bar.
    pub form: FormShape,
    /// Of both ends (mm, 45 degrees).
    pub chamfer: Option<f64>,
    /// The shaft solved.
    pub shaft: &'a ShaftResult,
}

/// Measures a shaft's file and compares it with its plan, line by line.
///
/// Product, unit, that the shell closes and its edges lie on its faces, length,
/// diameter, flats, bore, chamfers, volume, and of every dimple and groove its station,
/// clock, depth and size. What is missing and what is too much is named.
pub fn check(plan: &ShaftPlan<'_>, bytes: &[u8], report: &mut AuditReport) {
    let found = match measure(bytes) {
        Ok(found) => found,
        Err(error) => {
            report.wrong(plan.file, error.what, "readable", error.found);
            return;
        }
    };
    let mut lines = Lines { file: plan.file, report };
    lines.report.equal(plan.file, "product name", plan.product, &found.product);
    lines.report.equal(plan.file, "length unit", unit_name(unit_size(plan.unit)), unit_name(found.unit));
    lines.report.equal(plan.file, "faces in the shell", found.faces[0].to_string(), found.faces[1].to_string());
    lines.report.equal(plan.file, "edges not met once each way", "0", found.open_edges.to_string());
    lines.length("edges off their faces", 0.0, found.edge_off);
    let mut faces = Sorted::new(&found);
    lines.bar(plan, &faces);
    lines.ends(plan, &faces);
    lines.dimples(plan, &mut faces);
    lines.grooves(plan, &mut faces);
    let volume = volume(plan);
    lines.report.number(plan.file, "volume", volume, found.volume, VOLUME * volume, "mm³");
    for what in faces.strays() {
        lines.report.wrong(plan.file, what, "none", "one");
    }
}

fn unit_size(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre => 1.0,
        Unit::Inch => 25.4,
    }
}

fn unit_name(size: f64) -> String {
    match size {
        1.0 => "mm".to_owned(),
        25.4 => "inch".to_owned(),
        other => format!("{other} mm"),
    }
}

/// A hole toward the shaft's axis, put together from its faces.
#[derive(Debug, Clone, Copy)]
struct Hole {
    toward: Vec2,
    z: f64,
    /// From the shaft's axis to its tip or floor.
    bottom: f64,
    /// Included angle (deg).
    angle: f64,
    /// Radius of its straight wall.
    wall: Option<f64>,
    /// How far its axis passes beside the shaft's.
    aside: f64,
}

/// A file's faces by what they are on a shaft.
struct Sorted {
    ends: [Option<f64>; 2],
    flats: Vec<PlaneFace>,
    rounds: Vec<f64>,
    bores: Vec<f64>,
    chamfers: Vec<ConeFace>,
    holes: Vec<Hole>,
    grooves: Vec<CylinderFace>,
    strays: Vec<String>,
}

impl Sorted {
    fn new(found: &StepMeasure) -> Self {
        let mut sorted = Self {
            ends: [None; 2],
            flats: Vec::new(),
            rounds: Vec::new(),
            bores: Vec::new(),
            chamfers: Vec::new(),
            holes: Vec::new(),
            grooves: Vec::new(),
            strays: Vec::new(),
        };
        let mut walls = Vec::new();
        for face in &found.cylinders {
            let along = along(face.axis);
            let beside = across(face.origin).length();
            match (along, face.hollow) {
                (Some(true), hollow) if beside <= ALLOWED => {
                    if hollow { &mut sorted.bores } else { &mut sorted.rounds }.push(face.radius);
                }
                // A wall's axis meets the shaft's, a pinch bolt's passes it by.
                (Some(false), true) => {
                    if aside(face.origin, face.axis) <= face.radius / 10.0 {
                        walls.push(*face);
                    } else {
                        sorted.grooves.push(*face);
                    }
                }
                _ => sorted.strays.push(format!("cylinder of {:.3} mm radius", face.radius)),
            }
        }
        for face in &found.cones {
            match (along(face.axis), face.hollow) {
                (Some(true), false) => sorted.chamfers.push(*face),
                (Some(false), true) => {
                    let toward = across(face.axis);
                    let angle = 2.0 * face.half_angle.to_degrees();
                    let hole = Hole {
                        toward,
                        z: face.apex.z,
                        bottom: across(face.apex).dot(toward),
                        angle,
                        wall: take_wall(&mut walls, face.apex, face.axis),
                        aside: aside(face.apex, face.axis),
                    };
                    sorted.holes.push(hole);
                }
                _ => sorted.strays.push(format!("cone at {:.3} mm", face.apex.z)),
            }
        }
        for face in &found.planes {
            match along(face.normal) {
                Some(true) => sorted.end(face.normal.z, face.distance),
                Some(false) => sorted.flats.push(*face),
                None => sorted.strays.push(format!("plane {:.3} mm from the origin", face.distance)),
            }
        }
        sorted.floor(walls);
        sorted
    }

    fn end(&mut self, up: f64, distance: f64) {
        let (slot, at) = if up < 0.0 { (&mut self.ends[0], -distance) } else { (&mut self.ends[1], distance) };
        if slot.replace(at).is_some() {
            self.strays.push(format!("end face at {at:.3} mm"));
        }
    }

    /// Walls without a cone stand on a floor: a plane across their axis whose edge is the wall's own circle.
    fn floor(&mut self, walls: Vec<CylinderFace>) {
        for wall in walls {
            let floor = self.flats.iter().position(|plane| {
                let beside = plane.edge - wall.origin;
                let radius = (beside - wall.axis * beside.dot(wall.axis)).length();
                plane.normal.cross(wall.axis).length() <= SQUARE && (radius - wall.radius).abs() <= ALLOWED
            });
            let Some(index) = floor else {
                self.strays.push(format!("wall without a bottom at {:.3} mm", wall.origin.z));
                continue;
            };
            let floor = self.flats.remove(index);
            self.holes.push(Hole {
                toward: across(floor.normal),
                z: wall.origin.z,
                bottom: floor.distance,
                angle: 180.0,
                wall: Some(wall.radius),
                aside: aside(wall.origin, wall.axis),
            });
        }
    }

    fn strays(self) -> Vec<String> {
        let Self { holes, grooves, mut strays, .. } = self;
        strays.extend(
            holes
                .iter()
                .map(|hole| format!("dimple too many, at {:.3} mm, clock {:.1} deg", hole.z, clock(hole.toward))),
        );
        strays.extend(grooves.iter().map(|groove| format!("pinch groove too many, at {:.3} mm", groove.origin.z)));
        strays
    }
}

/// Along the shaft, or square to it, or neither.
fn along(axis: Vec3) -> Option<bool> {
    if across(axis).length() <= SQUARE { Some(true) } else { (axis.z.abs() <= SQUARE).then_some(false) }
}

/// The part of a vector across the shaft.
const fn across(v: Vec3) -> Vec2 {
    Vec2::new(v.x, v.y)
}

/// How far a line square to the shaft passes beside the shaft's axis.
fn aside(origin: Vec3, axis: Vec3) -> f64 {
    across(origin).cross(across(axis)).abs()
}

/// The straight wall on the same axis as a cone, and on its side of the shaft.
fn take_wall(walls: &mut Vec<CylinderFace>, apex: Vec3, axis: Vec3) -> Option<f64> {
    let index = walls.iter().position(|wall| {
        let beside = wall.origin - apex;
        let off = beside - axis * beside.dot(axis);
        wall.axis.cross(axis).length() <= SQUARE && off.length() <= ALLOWED && beside.dot(axis) >= 0.0
    })?;
    Some(walls.swap_remove(index).radius)
}

/// Degrees from +x about +z, 0 to 360.
fn clock(toward: Vec2) -> f64 {
    toward.angle().rem_euclid(TAU).to_degrees()
}

/// The report's lines for one file.
struct Lines<'a> {
    file: &'a str,
    report: &'a mut AuditReport,
}

impl Lines<'_> {
    fn length(&mut self, what: impl Into<String>, expected: f64, found: f64) {
        self.report.number(self.file, what, expected, found, ALLOWED, "mm");
    }

    /// An angle (deg) that moves a point at `arm` (mm) by no more than the allowed length; full turns do not count.
    fn angle(&mut self, what: impl Into<String>, expected: f64, found: f64, arm: f64) {
        let turns = ((expected - found) / 360.0).round();
        let allowed = (ALLOWED / arm).to_degrees();
        self.report.number(self.file, what, expected, found + 360.0 * turns, allowed, "deg");
    }

    fn missing(&mut self, what: impl Into<String>) {
        self.report.wrong(self.file, what, "one", "none");
    }

    fn bar(&mut self, plan: &ShaftPlan<'_>, faces: &Sorted) {
        let (diameter, flats, bore) = sizes(plan.form);
        match faces.ends {
            [Some(upper), Some(lower)] => {
                self.length("upper end face from the origin", 0.0, upper);
                self.length("cut length", plan.shaft.cut_length, lower - upper);
            }
            _ => self.missing("end face"),
        }
        if faces.rounds.is_empty() {
            self.missing("round of the bar");
        }
        if let Some(worst) = furthest(&faces.rounds, diameter / 2.0) {
            self.length("diameter", diameter, 2.0 * worst);
        }
        match (bore, furthest(&faces.bores, bore.unwrap_or(0.0) / 2.0)) {
            (Some(bore), Some(radius)) => self.length("bore", bore, 2.0 * radius),
            (Some(_), None) => self.missing("bore"),
            (None, Some(radius)) => self.length("bore", 0.0, 2.0 * radius),
            (None, None) => {}
        }
        let Some(flats) = flats else {
            for flat in &faces.flats {
                self.report.wrong(self.file, "flat", "none", format!("one {:.3} mm from the axis", flat.distance));
            }
            return;
        };
        for (name, sign) in [("flat A from the axis", 1.0), ("flat B from the axis", -1.0)] {
            let side: Vec<f64> = faces
                .flats
                .iter()
                .filter(|flat| flat.normal.y.abs() <= SQUARE && flat.normal.x * sign > 0.0)
                .map(|flat| flat.distance)
                .collect();
            match furthest(&side, flats / 2.0) {
                Some(distance) => self.length(name, flats / 2.0, distance),
                None => self.missing(name),
            }
        }
        for flat in faces.flats.iter().filter(|flat| flat.normal.y.abs() > SQUARE) {
            let found = format!("one at clock {:.6} deg", clock(across(flat.normal)));
            self.report.wrong(self.file, "flat", "square to x", found);
        }
    }

    fn ends(&mut self, plan: &ShaftPlan<'_>, faces: &Sorted) {
        let (diameter, ..) = sizes(plan.form);
        let chamfer = plan.chamfer.filter(|chamfer| *chamfer >= LEAST_CHAMFER).unwrap_or(0.0);
        for (name, way, end) in [("upper", 1.0, 0.0), ("lower", -1.0, plan.shaft.cut_length)] {
            let cones: Vec<&ConeFace> = faces.chamfers.iter().filter(|cone| cone.axis.z * way > 0.0).collect();
            let sizes: Vec<f64> = cones
                .iter()
                .map(|cone| diameter / 2.0 - (end - cone.apex.z).abs() * libm::tan(cone.half_angle))
                .collect();
            match furthest(&sizes, chamfer) {
                Some(found) => self.length(format!("{name} chamfer"), chamfer, found),
                None if chamfer > 0.0 => self.missing(format!("{name} chamfer")),
                None => {}
            }
            let angles: Vec<f64> = cones.iter().map(|cone| cone.half_angle).collect();
            if let Some(found) = furthest(&angles, FRAC_PI_4) {
                self.angle(format!("{name} chamfer's angle"), 45.0, found.to_degrees(), diameter / 2.0);
            }
        }
    }

    fn dimples(&mut self, plan: &ShaftPlan<'_>, faces: &mut Sorted) {
        let (diameter, flats, _) = sizes(plan.form);
        let drilled: Vec<&Dimple> = plan.shaft.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Drill).collect();
        self.report.equal(self.file, "dimples", drilled.len().to_string(), faces.holes.len().to_string());
        let crest = |dimple: &Dimple| match (flats, dimple.on) {
            (Some(flats), On::Flat) => flats / 2.0,
            _ => diameter / 2.0,
        };
        let distance = |dimple: &Dimple, hole: &Hole| {
            let planned = Vec2::polar(dimple.clock.to_radians());
            (planned + -hole.toward).length() * diameter / 2.0 + (dimple.z - hole.z).abs()
        };
        let pairs = pair(&drilled, &mut faces.holes, distance);
        for (dimple, hole) in pairs {
            let name = format!("{} dimple on the {}", end_name(dimple.end), on_name(dimple));
            let Some(hole) = hole else {
                self.missing(format!("{name} at {:.3} mm, clock {:.1} deg", dimple.z, dimple.clock));
                continue;
            };
            let depth = crest(dimple) - hole.bottom;
            let rise = libm::tan((hole.angle / 2.0).to_radians());
            // A cone without a wall opens to its mouth at the surface.
            let mouth = 2.0 * hole.wall.unwrap_or(depth * rise);
            let station = from_end(dimple.end, hole.z, faces.ends, plan);
            self.length(format!("{name}, station"), dimple.station, station);
            self.angle(format!("{name}, clock"), dimple.clock, clock(hole.toward), crest(dimple));
            self.length(format!("{name}, axis beside the shaft's"), 0.0, hole.aside);
            self.length(format!("{name}, depth"), dimple.depth, depth);
            self.length(format!("{name}, mouth"), dimple.diameter, mouth);
            self.angle(format!("{name}, drill angle"), dimple.drill, hole.angle, dimple.depth.max(1.0));
        }
    }

    fn grooves(&mut self, plan: &ShaftPlan<'_>, faces: &mut Sorted) {
        let planned: Vec<&Groove> = plan.shaft.grooves.iter().collect();
        self.report.equal(self.file, "pinch grooves", planned.len().to_string(), faces.grooves.len().to_string());
        let (diameter, ..) = sizes(plan.form);
        let place = |groove: &CylinderFace| {
            let origin = across(groove.origin);
            let line = across(groove.axis);
            origin + line * -origin.dot(line)
        };
        let distance = |groove: &Groove, found: &CylinderFace| {
            let z = match groove.end {
                End::Upper => groove.station,
                End::Lower => plan.shaft.cut_length - groove.station,
            };
            let planned = Vec2::polar(groove.clock.to_radians()) * groove.offset;
            (planned + -place(found)).length() + (z - found.origin.z).abs()
        };
        for (groove, found) in pair(&planned, &mut faces.grooves, distance) {
            let name = format!("{} pinch groove", end_name(groove.end));
            let Some(found) = found else {
                self.missing(format!("{name}, station {:.3} mm, clock {:.1} deg", groove.station, groove.clock));
                continue;
            };
            let at = place(&found);
            let station = from_end(groove.end, found.origin.z, faces.ends, plan);
            self.length(format!("{name}, station"), groove.station, station);
            self.length(format!("{name}, offset"), groove.offset, at.length());
            self.length(format!("{name}, diameter"), groove.diameter, 2.0 * found.radius);
            self.angle(format!("{name}, clock"), groove.clock, clock(at), diameter / 2.0);
        }
    }
}

/// Pairs each planned thing with the nearest found one, the nearest pair first; the found ones left over stay.
fn pair<'p, P, F: Copy>(
    planned: &[&'p P],
    found: &mut Vec<F>,
    distance: impl Fn(&P, &F) -> f64,
) -> Vec<(&'p P, Option<F>)> {
    let mut pairs: Vec<(&P, Option<F>)> = planned.iter().map(|plan| (*plan, None)).collect();
    loop {
        let mut best: Option<(usize, usize, f64)> = None;
        for (p, (plan, _)) in pairs.iter().enumerate().filter(|(_, pair)| pair.1.is_none()) {
            for (f, found) in found.iter().enumerate() {
                let apart = distance(plan, found);
                if apart <= REACH && best.is_none_or(|(.., least)| apart < least) {
                    best = Some((p, f, apart));
                }
            }
        }
        let Some((p, f, _)) = best else { return pairs };
        let taken = found.remove(f);
        if let Some(pair) = pairs.get_mut(p) {
            pair.1 = Some(taken);
        }
    }
}

/// Volume (mm³) of the shaft as planned, feature by feature.
fn volume(plan: &ShaftPlan<'_>) -> f64 {
    let (diameter, flats, bore) = sizes(plan.form);
    let (across, bore) = (flats.unwrap_or(diameter), bore.unwrap_or(0.0));
    let chamfer = plan.chamfer.filter(|chamfer| *chamfer >= LEAST_CHAMFER).unwrap_or(0.0);
    let bar = mass::double_d(diameter, across, bore).area * plan.shaft.cut_length;
    let chamfers = 2.0 * mass::turned_chamfer(diameter, across, chamfer);
    let drilled = plan.shaft.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Drill);
    let dimples: f64 = drilled
        .map(|dimple| {
            let drill = dimple.drill.to_radians();
            match (flats, dimple.on) {
                (Some(_), On::Flat) => mass::dimple_in_flat(drill, dimple.depth, dimple.diameter),
                _ => mass::dimple_in_round(diameter / 2.0, drill, dimple.depth, dimple.diameter),
            }
        })
        .sum();
    let grooves: f64 = plan
        .shaft
        .grooves
        .iter()
        .map(|groove| {
            let clock = groove.clock.to_radians();
            let bolt = groove.diameter;
            CrossBolt { diameter, flats: across, bore, bolt, offset: groove.offset, clock }.volume()
        })
        .sum();
    bar - chamfers - dimples - grooves
}

/// Station from an end as the file has it.
fn from_end(end: End, z: f64, ends: [Option<f64>; 2], plan: &ShaftPlan<'_>) -> f64 {
    match end {
        End::Upper => z - ends[0].unwrap_or(0.0),
        End::Lower => ends[1].unwrap_or(plan.shaft.cut_length) - z,
    }
}

/// Diameter, across flats, bore.
fn sizes(form: FormShape) -> (f64, Option<f64>, Option<f64>) {
    match form {
        FormShape::DoubleD { diameter, flats, bore } => (diameter, Some(flats), bore),
        FormShape::Round { diameter, bore } => (diameter, None, bore),
        FormShape::Serrated { diameter, .. } => (diameter, None, None),
    }
}

/// The value furthest from the plan.
fn furthest(values: &[f64], plan: f64) -> Option<f64> {
    values.iter().copied().max_by(|a, b| (a - plan).abs().total_cmp(&(b - plan).abs()))
}

const fn end_name(end: End) -> &'static str {
    match end {
        End::Upper => "upper",
        End::Lower => "lower",
    }
}

const fn on_name(dimple: &Dimple) -> &'static str {
    match dimple.on {
        On::Flat => "flat",
        On::Round => "round",
    }
}

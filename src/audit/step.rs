//! STEP files measured against the solution.

use std::f64::consts::FRAC_PI_4;

use super::AuditReport;
use super::step_faces::{Hole, Sorted, across, clock};
use super::step_file::{ConeFace, CylinderFace};
use super::step_shell::{self, Said};
use crate::catalog::forms::FormShape;
use crate::geometry::Vec2;
use crate::geometry::mass::{self, CrossBolt};
use crate::solve::identity::Identity;
use crate::solve::member::{CutEnd, Member};
use crate::solve::solution::{Dimple, End, Groove, On, SpotWhen};
use crate::spec::types::Unit;

/// Largest difference (mm) allowed of any length in a STEP file.
pub const ALLOWED: f64 = 1e-6;

/// Directions within this (rad) of square or parallel are taken for it: a
/// thousandth of what the allowed length makes at a shaft's radius would be
/// finer than the file's own digits.
pub(super) const SQUARE: f64 = 1e-9;

/// A feature is looked for within this (mm) of its plan; beyond, it is missing.
const REACH: f64 = 10.0;

/// A chamfer under this (mm) is a broken edge and not in the solid.
const LEAST_CHAMFER: f64 = 0.01;

/// Largest difference of the volume, for each mm³ of it: fitted edges and both
/// integrals leave 1e-11, and the least dimple takes 1e-6 of a shaft.
pub(super) const VOLUME: f64 = 1e-9;

/// What the file of a shaft, or of a member of one, should hold.
#[derive(Debug, Clone)]
pub struct ShaftPlan<'a> {
    /// File in the package.
    pub file: &'a str,
    /// Length unit of the file.
    pub unit: Unit,
    /// What it is called and what is said of it.
    pub identity: Identity,
    /// The piece of bar.
    pub member: Member,
}

/// Measures a shaft's file and compares it with its plan, line by line.
///
/// Product, unit, that the shell closes and its edges lie on its faces, length,
/// diameter, flats, bore, chamfers, volume, and of every dimple and groove its station,
/// clock, depth and size. What is missing and what is too much is named.
pub fn check(plan: &ShaftPlan<'_>, bytes: &[u8], report: &mut AuditReport) {
    let said = Said { file: plan.file, unit: plan.unit, identity: &plan.identity };
    let Some(found) = step_shell::read(&said, bytes, report) else { return };
    let mut lines = Lines { file: plan.file, report };
    let named = envelopes(&plan.member).join(", ");
    lines.report.equal(plan.file, "faces that stand for teeth", named, found.named.join(", "));
    let mut faces = Sorted::new(&found);
    let member = &plan.member;
    lines.bar(member, &faces);
    lines.flats(member, &faces);
    lines.hole(member, &faces);
    lines.ends(member, &faces);
    lines.dimples(member, &mut faces);
    lines.grooves(member, &mut faces);
    let volume = volume(member);
    lines.report.number(plan.file, "volume", volume, found.volume, VOLUME * volume, "mm³");
    for what in faces.strays() {
        lines.report.wrong(plan.file, what, "none", "one");
    }
}

/// What the toothed faces of a piece are called, from the upper end to the lower.
fn envelopes(member: &Member) -> Vec<String> {
    let [upper, lower] = member.ends;
    let forms = [upper.map(|end| end.form), Some(member.bar), lower.map(|end| end.form)];
    let teeth = |form: FormShape| if let FormShape::Serrated { teeth, .. } = form { Some(teeth) } else { None };
    forms.into_iter().flatten().filter_map(teeth).map(|teeth| format!("envelope of {teeth} teeth")).collect()
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

    fn bar(&mut self, member: &Member, faces: &Sorted) {
        match faces.ends {
            [Some(upper), Some(lower)] => {
                self.length("upper end face from the origin", 0.0, upper);
                self.length("cut length", member.length, lower - upper);
            }
            _ => self.missing("end face"),
        }
        // Every stretch has a round of its own; one found that belongs to none is told beside the bar's own.
        let (diameter, ..) = sizes(member.bar);
        let mut named = vec![("diameter", diameter)];
        let ends = ["diameter of a cut end", "diameter of the other cut end"].into_iter();
        named.extend(ends.zip(member.ends.iter().flatten().map(|end| sizes(end.form).0)));
        named.extend(member.journal.map(|journal| ("diameter of the journal", journal.diameter)));
        let planned: Vec<f64> = named.iter().map(|(_, plan)| *plan).collect();
        let nearest = |radius: &f64| {
            let off = |plan: &f64| (plan / 2.0 - radius).abs();
            planned.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(diameter)
        };
        let same = |a: f64, b: f64| (a - b).abs() <= ALLOWED;
        for (i, (name, plan)) in named.into_iter().enumerate() {
            if planned.iter().take(i).any(|before| same(*before, plan)) {
                continue;
            }
            let own: Vec<f64> = faces.rounds.iter().copied().filter(|radius| same(nearest(radius), plan)).collect();
            match furthest(&own, plan / 2.0) {
                Some(worst) => self.length(name, plan, 2.0 * worst),
                None => self.missing(format!("round of {plan:.3} mm")),
            }
        }
    }

    /// The flats of each end, or of the whole bar, and the twist between them.
    fn flats(&mut self, member: &Member, faces: &Sorted) {
        let mut planned = Vec::new();
        let whole = sizes(member.bar).1.map(|flats| ("", flats, member.bar_clock, [0.0, member.length]));
        planned.extend(whole);
        let [upper, lower] = member.ends;
        let upper = upper.and_then(|end| Some(("upper end, ", sizes(end.form).1?, end.clock, [0.0, end.length])));
        let lower = lower.and_then(|end| {
            Some(("lower end, ", sizes(end.form).1?, end.clock, [member.length - end.length, member.length]))
        });
        planned.extend(upper.into_iter().chain(lower));
        let mut used = vec![false; faces.flats.len()];
        let mut first = Vec::new();
        for (name, flats, turn, [from, to]) in planned {
            for (side, clock) in [("flat A", turn), ("flat B", turn + 180.0)] {
                let toward = Vec2::polar(clock.to_radians());
                let own: Vec<usize> = (0..faces.flats.len())
                    .filter(|&i| {
                        let flat = &faces.flats[i];
                        let inside = flat.edge.z > from - ALLOWED && flat.edge.z < to + ALLOWED;
                        // The nearer of the two normals, whatever its error.
                        inside && across(flat.normal).dot(toward) > 0.0
                    })
                    .collect();
                let distances: Vec<f64> = own.iter().map(|&i| faces.flats[i].distance).collect();
                let Some(distance) = furthest(&distances, flats / 2.0) else {
                    self.missing(format!("{name}{side}"));
                    continue;
                };
                self.length(format!("{name}{side} from the axis"), flats / 2.0, distance);
                let normals: Vec<f64> = own.iter().map(|&i| clock_near(across(faces.flats[i].normal), clock)).collect();
                if let Some(found) = furthest(&normals, clock) {
                    self.angle(format!("{name}{side}, clock"), clock, found, sizes(member.bar).0 / 2.0);
                    if side == "flat A" {
                        first.push(found);
                    }
                }
                for i in own {
                    used[i] = true;
                }
            }
        }
        if let (true, Some(twist), [above, below]) = (member.is_twisted(), member.twist(), &first[..]) {
            // Flats look the same after half a turn.
            let found = twist + (below - above - twist + 90.0).rem_euclid(180.0) - 90.0;
            self.angle("twist between the flats", twist, found, sizes(member.bar).0 / 2.0);
        }
        for (flat, _) in faces.flats.iter().zip(used).filter(|(_, used)| !used) {
            let found =
                format!("one {:.3} mm from the axis, clock {:.6} deg", flat.distance, clock(across(flat.normal)));
            self.report.wrong(self.file, "flat", "none", found);
        }
    }

    /// The bore, or the hole another member slides in.
    fn hole(&mut self, member: &Member, faces: &Sorted) {
        let planned = match member.hole {
            Some(hole) => Some((hole.form, hole.clock)),
            None => sizes(member.bar).2.map(|bore| (FormShape::Round { diameter: bore, bore: None }, 0.0)),
        };
        let Some((form, turn)) = planned else {
            for radius in &faces.bores {
                self.length("bore", 0.0, 2.0 * radius);
            }
            for flat in &faces.hole_flats {
                self.report.wrong(self.file, "flat of a hole", "none", format!("one {:.3} mm off", -flat.distance));
            }
            return;
        };
        let (diameter, flats, _) = sizes(form);
        match furthest(&faces.bores, diameter / 2.0) {
            Some(radius) => self.length("bore", diameter, 2.0 * radius),
            None => self.missing("bore"),
        }
        let Some(flats) = flats else {
            for flat in &faces.hole_flats {
                self.report.wrong(self.file, "flat of a hole", "none", format!("one {:.3} mm off", -flat.distance));
            }
            return;
        };
        for (side, at) in [("hole's flat A", turn), ("hole's flat B", turn + 180.0)] {
            let toward = Vec2::polar(at.to_radians());
            let own = faces.hole_flats.iter().filter(|flat| across(flat.normal).dot(toward) < 0.0);
            let (mut distances, mut clocks) = (Vec::new(), Vec::new());
            for flat in own {
                distances.push(-flat.distance);
                clocks.push(clock_near(-across(flat.normal), at));
            }
            match (furthest(&distances, flats / 2.0), furthest(&clocks, at)) {
                (Some(distance), Some(found)) => {
                    self.length(format!("{side} from the axis"), flats / 2.0, distance);
                    self.angle(format!("{side}, clock"), at, found, diameter / 2.0);
                }
                _ => self.missing(side),
            }
        }
    }

    /// Chamfers and shoulders.
    fn ends(&mut self, member: &Member, faces: &Sorted) {
        let chamfer = member.chamfer.filter(|chamfer| *chamfer >= LEAST_CHAMFER).unwrap_or(0.0);
        for (name, way, end, at) in [("upper", 1.0, End::Upper, 0.0), ("lower", -1.0, End::Lower, member.length)] {
            let (diameter, ..) = sizes(member.section_at(end).0);
            let cones: Vec<&ConeFace> = faces.chamfers.iter().filter(|cone| cone.axis.z * way > 0.0).collect();
            let sizes: Vec<f64> = cones
                .iter()
                .map(|cone| diameter / 2.0 - (at - cone.apex.z).abs() * libm::tan(cone.half_angle))
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
        self.shoulders(member, faces);
    }

    /// Planes across the bar between its end faces: where an end is cut, and on both sides of a bearing's seat.
    fn shoulders(&mut self, member: &Member, faces: &Sorted) {
        // Teeth on the bar's own diameter run out into it without a step.
        let stepped = |end: &CutEnd| {
            let (diameter, flats, _) = sizes(end.form);
            flats.is_some() || sizes(member.bar).0 - diameter > ALLOWED
        };
        let [upper, lower] = member.ends.map(|end| end.filter(stepped));
        // Those that look toward the column, then those that look toward the gear.
        let planned = [
            [
                upper.map(|end| ("upper shoulder", end.length)),
                member.journal.map(|journal| ("journal's lower shoulder", journal.to)),
            ],
            [
                lower.map(|end| ("lower shoulder", member.length - end.length)),
                member.journal.map(|journal| ("journal's upper shoulder", journal.from)),
            ],
        ];
        for (planned, found) in planned.into_iter().zip(&faces.shoulders) {
            let planned: Vec<(&str, f64)> = planned.into_iter().flatten().collect();
            let off = |at: f64, plan: &(&str, f64)| (plan.1 - at).abs();
            let nearest = |at: f64| planned.iter().copied().min_by(|a, b| off(at, a).total_cmp(&off(at, b)));
            for &(name, plan) in &planned {
                let own: Vec<f64> =
                    found.iter().copied().filter(|&at| nearest(at).is_some_and(|near| near.0 == name)).collect();
                match furthest(&own, plan) {
                    Some(worst) => self.length(name, plan, worst),
                    None => self.missing(name),
                }
            }
            if planned.is_empty()
                && let Some(at) = found.first()
            {
                self.report.wrong(self.file, "shoulder", "none", format!("a plane at {at:.3} mm"));
            }
        }
    }

    fn dimples(&mut self, member: &Member, faces: &mut Sorted) {
        let drilled: Vec<&Dimple> = member.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Drill).collect();
        self.report.equal(self.file, "dimples", drilled.len().to_string(), faces.holes.len().to_string());
        let crest = |dimple: &Dimple| {
            let (diameter, flats, _) = sizes(member.section_at(dimple.end).0);
            match (flats, dimple.on) {
                (Some(flats), On::Flat) => flats / 2.0,
                _ => diameter / 2.0,
            }
        };
        let distance = |dimple: &Dimple, hole: &Hole| {
            let planned = Vec2::polar(dimple.clock.to_radians());
            (planned + -hole.toward).length() * crest(dimple) + (dimple.z - hole.z).abs()
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
            let station = from_end(dimple.end, hole.z, faces.ends, member.length);
            self.length(format!("{name}, station"), dimple.station, station);
            self.angle(format!("{name}, clock"), dimple.clock, clock(hole.toward), crest(dimple));
            self.length(format!("{name}, axis beside the shaft's"), 0.0, hole.aside);
            self.length(format!("{name}, depth"), dimple.depth, depth);
            self.length(format!("{name}, mouth"), dimple.diameter, mouth);
            self.angle(format!("{name}, drill angle"), dimple.drill, hole.angle, dimple.depth.max(1.0));
        }
    }

    fn grooves(&mut self, member: &Member, faces: &mut Sorted) {
        let planned: Vec<&Groove> = member.grooves.iter().collect();
        self.report.equal(self.file, "pinch grooves", planned.len().to_string(), faces.grooves.len().to_string());
        let (diameter, ..) = sizes(member.bar);
        let place = |groove: &CylinderFace| {
            let origin = across(groove.origin);
            let line = across(groove.axis);
            origin + line * -origin.dot(line)
        };
        let distance = |groove: &Groove, found: &CylinderFace| {
            let z = match groove.end {
                End::Upper => groove.station,
                End::Lower => member.length - groove.station,
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
            let station = from_end(groove.end, found.origin.z, faces.ends, member.length);
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

/// Volume (mm³) of the piece as planned, stretch by stretch and feature by feature.
pub(super) fn volume(member: &Member) -> f64 {
    let area = |form: FormShape| {
        let (diameter, flats, _) = sizes(form);
        mass::double_d(diameter, flats.unwrap_or(diameter), 0.0).area
    };
    let cut: f64 = member.ends.iter().flatten().map(|end| (area(member.bar) - area(end.form)) * end.length).sum();
    let seat = member
        .journal
        .map_or(0.0, |journal| (area(member.bar) - mass::round(journal.diameter, 0.0).area) * journal.length());
    let hole = match member.hole {
        Some(hole) => area(hole.form),
        None => mass::round(sizes(member.bar).2.unwrap_or(0.0), 0.0).area,
    };
    let chamfer = member.chamfer.filter(|chamfer| *chamfer >= LEAST_CHAMFER).unwrap_or(0.0);
    let chamfers: f64 = [End::Upper, End::Lower]
        .into_iter()
        .map(|end| {
            let (diameter, flats, _) = sizes(member.section_at(end).0);
            mass::turned_chamfer(diameter, flats.unwrap_or(diameter), chamfer)
        })
        .sum();
    let drilled = member.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Drill);
    let dimples: f64 = drilled
        .map(|dimple| {
            let drill = dimple.drill.to_radians();
            let (diameter, flats, _) = sizes(member.section_at(dimple.end).0);
            match (flats, dimple.on) {
                (Some(_), On::Flat) => mass::dimple_in_flat(drill, dimple.depth, dimple.diameter),
                _ => mass::dimple_in_round(diameter / 2.0, drill, dimple.depth, dimple.diameter),
            }
        })
        .sum();
    // A groove stops short of any hole: the wall between them is left whole.
    let grooves: f64 = member
        .grooves
        .iter()
        .map(|groove| {
            let (section, turn) = member.section_at(groove.end);
            let (diameter, flats, _) = sizes(section);
            let (flats, clock) = (flats.unwrap_or(diameter), (groove.clock - turn).to_radians());
            CrossBolt { diameter, flats, bore: 0.0, bolt: groove.diameter, offset: groove.offset, clock }.volume()
        })
        .sum();
    (area(member.bar) - hole) * member.length - cut - seat - chamfers - dimples - grooves
}

/// Station from an end as the file has it.
fn from_end(end: End, z: f64, ends: [Option<f64>; 2], length: f64) -> f64 {
    match end {
        End::Upper => z - ends[0].unwrap_or(0.0),
        End::Lower => ends[1].unwrap_or(length) - z,
    }
}

/// The clock (deg) of a direction, counted from the turn nearest another.
fn clock_near(toward: Vec2, other: f64) -> f64 {
    let found = clock(toward);
    found + 360.0 * ((other - found) / 360.0).round()
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

//! Gaps, engagements, end clearance, captive check, cut length, dimples and grooves.

use super::bearing;
use super::chain::Chain;
use super::ears::{flats_on_lower_alone, turn_from_trunnion};
use super::ends::{end_clearance, least_setback};
use super::phase::half_turn;
use super::solution::{
    BothUnits, Captive, CutEndResult, Dimple, End, EndResult, EndSpot, Groove, JointResult, MemberResult, On,
    ShaftFrame, ShaftResult, SpotWhen, Twist,
};
use super::{journal, slip};
use crate::catalog::tolerances;
use crate::diagnostic::Diagnostic;
use crate::quantity;
use crate::spec::Spec;
use crate::spec::types::{
    DimpleSize, DriveEnd, Form, FormShape, Hold, Hub, Pinch, Screw, Shaft, ShaftEnd, Side, Spot, setback,
};

/// The taped groove that seats a hub of joint `i`: only column and gear shafts come with one.
fn groove_of(spec: &Spec, i: usize, end: End) -> Option<f64> {
    match end {
        End::Upper if i == 0 => spec.column.groove,
        End::Lower if i + 1 == spec.joints.len() => spec.gear.groove,
        _ => None,
    }
}

/// Radius (mm) of the shaft in a hub of joint `i`.
fn shaft_radius(spec: &Spec, i: usize, end: End) -> f64 {
    let diameter = match end {
        End::Upper if i == 0 => spec.column.form.diameter(),
        End::Upper => spec.shafts[i - 1].form_at(ShaftEnd::Lower).diameter(),
        End::Lower if i + 1 == spec.joints.len() => spec.gear.form.diameter(),
        End::Lower => spec.shafts[i].form_at(ShaftEnd::Upper).diameter(),
    };
    diameter / 2.0
}

/// Every joint with its gaps, engagements, end clearance and captive check.
pub fn joints(spec: &Spec, chain: &Chain, shafts: &[ShaftResult]) -> Vec<JointResult> {
    let fitted: Vec<Fitted> = (0..spec.joints.len()).map(|i| Fitted::of(spec, chain, i)).collect();
    spec.joints
        .iter()
        .enumerate()
        .map(|(i, joint)| {
            let here = &fitted[i];
            JointResult {
                name: joint.name.clone(),
                centre: chain.centres[i],
                crosses: if joint.double.is_some() {
                    vec![chain.upper_cross(i), chain.lower_cross(i)]
                } else {
                    vec![chain.centres[i]]
                },
                angle: here.angle.to_degrees(),
                angle_sigma: None,
                limit: joint.limit.to_degrees(),
                upper_gap: here.gap[0],
                lower_gap: here.gap[1],
                upper_engagement: here.engagement[0],
                lower_engagement: here.engagement[1],
                end_clearance: here.ends_apart(here.angle),
                captive: Captive {
                    upper: bite_left(chain, shafts, &fitted, i, End::Upper),
                    lower: bite_left(chain, shafts, &fitted, i, End::Lower),
                },
            }
        })
        .collect()
}

/// A joint with its two shafts in it; index 0 the column's side, 1 the gear's.
pub(super) struct Fitted {
    angle: f64,
    /// Between the crosses of a double joint (mm), else 0.
    span: f64,
    gap: [f64; 2],
    engagement: [f64; 2],
    radius: [f64; 2],
}

/// Index of a side of a joint, then of the other.
const fn sides(end: End) -> (usize, usize) {
    match end {
        End::Upper => (0, 1),
        End::Lower => (1, 0),
    }
}

impl Fitted {
    pub(super) fn of(spec: &Spec, chain: &Chain, i: usize) -> Self {
        let joint = &spec.joints[i];
        let grooves = [groove_of(spec, i, End::Upper), groove_of(spec, i, End::Lower)];
        Self {
            angle: chain.angles[i],
            span: joint.double.unwrap_or(0.0),
            gap: [joint.upper.gap(grooves[0]), joint.lower.gap(grooves[1])],
            engagement: [joint.upper.engagement(grooves[0]), joint.lower.engagement(grooves[1])],
            radius: [shaft_radius(spec, i, End::Upper), shaft_radius(spec, i, End::Lower)],
        }
    }

    /// How far apart (mm) the two shaft ends are with the joint bent by `angle` (rad).
    pub(super) fn ends_apart(&self, angle: f64) -> f64 {
        let back = setback(self.span, angle);
        end_clearance(self.gap.map(|gap| gap + back), self.radius, angle)
    }

    /// Shaft ends to where the two axes meet (mm).
    fn to_centre(&self) -> [f64; 2] {
        let back = setback(self.span, self.angle);
        self.gap.map(|gap| gap + back)
    }

    /// How far (mm) the shaft on one side can go on into the joint before it meets the other.
    fn slack(&self, end: End) -> f64 {
        let (own, other) = sides(end);
        let gap = self.to_centre();
        gap[own] - least_setback(gap[other], [self.radius[own], self.radius[other]], self.angle, gap[own])
    }
}

/// How far (mm) a row of shafts can give way with every screw lost: each goes on, at its joint's `side`, until it meets
/// the next, and a slip shaft gets as short as it can. All added up, which is the most that can happen.
fn give(joints: Option<&[Fitted]>, side: End, shafts: Option<&[ShaftResult]>) -> f64 {
    let slack = |joint: &Fitted| joint.slack(side);
    let shorter = |shaft: &ShaftResult| shaft.slip.as_ref().map_or(0.0, |slip| slip.collapse_room);
    joints.into_iter().flatten().map(slack).sum::<f64>() + shafts.into_iter().flatten().map(shorter).sum::<f64>()
}

/// Bite (mm) left on one hub with every screw lost.
///
/// A hub on a shaft between joints: that shaft slides away until it meets the next one inside the joint at its far
/// end, and that one the next. A hub on the column or gear shaft: the joint slides off along that axis, and the
/// crosses close up, until the shaft between them meets both its neighbours.
fn bite_left(chain: &Chain, shafts: &[ShaftResult], joints: &[Fitted], i: usize, end: End) -> f64 {
    let last = joints.len() - 1;
    match end {
        End::Lower if i < last => {
            let beyond = give(joints.get(i + 1..), End::Upper, shafts.get(i + 1..));
            joints[i].engagement[1] - slide(shafts.get(i), End::Upper, beyond)
        }
        End::Upper if i > 0 => {
            let beyond = give(joints.get(..i), End::Lower, shafts.get(..i - 1));
            joints[i].engagement[0] - slide(shafts.get(i - 1), End::Lower, beyond)
        }
        End::Upper => slid_off(chain, joints, shafts, End::Upper),
        End::Lower => slid_off(chain, joints, shafts, End::Lower),
    }
}

/// How far (mm) a shaft, or the member of it at that end, can slide away from its hub there; `slack` is how far it
/// then goes on into the joint at its far end.
///
/// The outer member of a slip shaft stops at the far hub's face; the inner one goes on through the outer.
fn slide(shaft: Option<&ShaftResult>, end: End, slack: f64) -> f64 {
    let slip = shaft.and_then(|shaft| Some((shaft, shaft.slip.as_ref()?)));
    let Some((shaft, slip)) = slip else { return slack };
    match shaft.members.iter().find(|member| member.end == end) {
        Some(member) if member.name == "inner" => shaft.cut_length - member.cut_length + slack,
        _ => slip.collapse_room,
    }
}

/// Bite left when the first joint slides off the column (`End::Upper`) or the last off the gear shaft. The joint next
/// to it goes on as far as the shafts beyond can give way, along the one it stays on.
fn slid_off(chain: &Chain, joints: &[Fitted], shafts: &[ShaftResult], end: End) -> f64 {
    let last = joints.len() - 1;
    let (i, far, shaft) = match end {
        End::Upper => (0, 1, shafts.first()),
        End::Lower => (last, last - 1, shafts.last()),
    };
    let Some(shaft) = shaft else { return 0.0 };
    let shortest = shaft.cut_length - shaft.slip.as_ref().map_or(0.0, |slip| slip.collapse_room);
    let (own, other) = sides(end);
    let (here, there) = (&joints[i], &joints[far]);
    // Away from the shaft that the joint slides off; then the axis beyond the far joint, which keeps its direction.
    let (outward, beyond, far_cross, room) = match end {
        End::Upper => {
            let room = give(joints.get(far + 1..), End::Upper, shafts.get(far..));
            (chain.axes[0], chain.axes[far + 1], chain.lower_cross(far), room)
        }
        End::Lower => {
            let room = give(joints.get(..far), End::Lower, shafts.get(..far));
            (-chain.axes[last + 1], -chain.axes[far], chain.upper_cross(far), room)
        }
    };
    let far_cross = far_cross + beyond * room;
    let near_cross = match end {
        End::Upper => chain.upper_cross(i),
        End::Lower => chain.lower_cross(i),
    };
    let fits = |slide: f64| {
        // Where the axes meet hangs on the angles, and they on where the axes meet; three turns settle both.
        let (mut near_back, mut far_back) = (setback(here.span, here.angle), setback(there.span, there.angle));
        let (mut axis, mut length) = (outward, 0.0);
        for _ in 0..3 {
            let span = (far_cross - beyond * far_back) - (near_cross + outward * (slide + near_back));
            let Some(unit) = span.unit() else { return false };
            (axis, length) = (unit, span.length());
            near_back = setback(here.span, outward.angle_to(axis));
            far_back = setback(there.span, axis.angle_to(beyond));
        }
        let near = least_setback(
            here.gap[own] + slide + near_back,
            [here.radius[other], here.radius[own]],
            outward.angle_to(axis),
            here.gap[other] + near_back,
        );
        let away = least_setback(
            there.gap[other] + far_back,
            [there.radius[own], there.radius[other]],
            axis.angle_to(beyond),
            there.gap[own] + far_back,
        );
        length - near - away >= shortest
    };
    // Twice the engagement is well off the shaft: no need to look further.
    let bite = here.engagement[own];
    let (mut held, mut met) = (0.0, 2.0 * bite);
    if fits(met) {
        return -bite;
    }
    // Halving 2 bite fifty times is below a femtometre.
    for _ in 0..50 {
        let middle = f64::midpoint(held, met);
        if fits(middle) { held = middle } else { met = middle }
    }
    bite - held
}

/// Every shaft: length, frame, dimples and grooves.
///
/// Fails where a shaft is shorter than what its hubs cover, or a screw or bolt misses it.
pub fn shafts(spec: &Spec, chain: &Chain, twists: Vec<Twist>) -> Result<Vec<ShaftResult>, Vec<Diagnostic>> {
    let mut errors = Vec::new();
    let mut done = Vec::with_capacity(spec.shafts.len());
    for ((i, shaft), twist) in spec.shafts.iter().enumerate().zip(twists) {
        let (upper, lower) = (&spec.joints[i].lower, &spec.joints[i + 1].upper);
        let centre_distance = chain.span(i);
        let cut_length = centre_distance - upper.gap(None) - lower.gap(None);
        let covered = upper.engagement(None) + lower.engagement(None);
        if cut_length < covered {
            let text = |mm: f64| quantity::both_units(mm, spec.build.units);
            let found = format!(
                "shaft \"{}\" would be {} long, but its two hubs cover {}",
                shaft.name,
                text(cut_length),
                text(covered)
            );
            errors.push(
                Diagnostic::error("shaft-too-short", found)
                    .at(spec.place(&format!("shaft.{i}")))
                    .help("move column or gear apart, or use hubs with less reach"),
            );
            continue;
        }
        let clocks = clocks(shaft, [upper, lower], &twist);
        let mut dimples = Vec::new();
        let mut grooves = Vec::new();
        for (hub, end, clock) in [(upper, End::Upper, clocks[0]), (lower, End::Lower, clocks[1])] {
            let side = match end {
                End::Upper => format!("joint.{i}.lower"),
                End::Lower => format!("joint.{}.upper", i + 1),
            };
            let along = |station: f64| match end {
                End::Upper => station,
                End::Lower => cut_length - station,
            };
            for (n, screw) in hub.screws().iter().enumerate() {
                match spot(spec, hub.engagement(None), screw, &format!("{side}.screws.{n}")) {
                    Ok(spot) => dimples.push(Dimple {
                        end,
                        station: spot.station,
                        z: along(spot.station),
                        clock: (clock + round_side(screw)).rem_euclid(360.0),
                        on: spot.on,
                        drill: spot.drill,
                        diameter: spot.diameter,
                        depth: spot.depth,
                        spot: spot.spot,
                    }),
                    Err(error) => errors.push(error),
                }
            }
            if let Hold::Pinch(pinch) = &hub.hold {
                let station = hub.engagement(None) - pinch.at;
                if station <= 0.0 {
                    errors.push(misses(spec, "pinch bolt", pinch.at, hub.engagement(None), &format!("{side}.pinch")));
                } else if pinch.offset - pinch.bolt.diameter / 2.0 >= across(shaft.form_at(shaft_end(end))) {
                    let side_at = across(shaft.form_at(shaft_end(end)));
                    errors.push(clears(spec, pinch, side_at, &format!("{side}.pinch")));
                } else {
                    grooves.push(Groove { end, station, offset: pinch.offset, diameter: pinch.bolt.diameter, clock });
                }
            }
        }
        let engaged = [upper.engagement(None), lower.engagement(None)];
        let split = match shaft.slip.as_ref().map(|slip| slip::split(spec, i, slip, cut_length, engaged)) {
            Some(Err(error)) => {
                errors.push(error);
                continue;
            }
            Some(Ok(split)) => Some(split),
            None => None,
        };
        if let Some(error) = shoulders_meet(spec, i, cut_length, split.as_ref()) {
            errors.push(error);
            continue;
        }
        let bearing = bearing::result(spec, chain, i);
        let journal = bearing
            .as_ref()
            .and_then(|bearing| journal::result(spec, i, (bearing, split.as_ref()), cut_length, [upper, lower]));
        let journal = match journal.transpose() {
            Ok(journal) => journal,
            Err(error) => {
                errors.push(error);
                continue;
            }
        };
        let Lengths { min, max, long, text } = lengths(spec, shaft, cut_length);
        let mut result = ShaftResult {
            name: shaft.name.clone(),
            stock: stock_words(spec, i),
            material: shaft.material.name.clone(),
            frame: frame(chain, i, shaft, [upper, lower], &twist),
            centre_distance,
            centre_distance_sigma: None,
            cut_length,
            cut_length_min: min,
            cut_length_max: max,
            cut_length_sigma: None,
            cut_long: long,
            cut_length_text: text,
            ends: cut_ends(spec, shaft, clocks),
            twist,
            dimples,
            grooves,
            members: Vec::new(),
            slip: None,
            bearing,
            journal,
        };
        if let (Some(slip), Some(split)) = (&shaft.slip, split) {
            result.members = [End::Upper, End::Lower]
                .into_iter()
                .zip(split.lengths)
                .map(|(end, length)| member(spec, shaft, &result, slip::member_name(slip, end), end, length))
                .collect();
            result.slip = Some(split.result);
            let walls: Vec<_> = super::member::of_shaft(shaft, &result).iter().map(super::member::least_wall).collect();
            for (member, wall) in result.members.iter_mut().zip(walls) {
                member.least_wall = wall;
            }
        }
        done.push(result);
    }
    if errors.is_empty() { Ok(done) } else { Err(errors) }
}

const fn shaft_end(end: End) -> ShaftEnd {
    match end {
        End::Upper => ShaftEnd::Upper,
        End::Lower => ShaftEnd::Lower,
    }
}

/// Clock (deg) of flat A at the upper end and of the flat on the same side of the lower hub.
///
/// Flat A lies at 0. Where the lower end alone has flats, one of those is flat A, and the upper end counts from its
/// yoke's trunnion axis.
fn clocks(shaft: &Shaft, [upper, lower]: [&Hub; 2], twist: &Twist) -> [f64; 2] {
    let turned = if upper.turned == lower.turned { 0.0 } else { 180.0 };
    match flats_on_lower_alone(shaft, lower, twist) {
        Some(flat_from_trunnion) => [(-flat_from_trunnion + turned).rem_euclid(360.0), 0.0],
        None => [0.0, (twist.flats + turned).rem_euclid(360.0)],
    }
}

/// The ends cut on a shaft, each with the clock of its first flat.
fn cut_ends(spec: &Spec, shaft: &Shaft, clocks: [f64; 2]) -> Vec<CutEndResult> {
    let one = |end: End| {
        let index = shaft_end(end).index();
        let cut = shaft.ends.get(index)?.as_ref()?;
        Some(CutEndResult {
            end,
            form: cut.form.words(spec.build.units),
            length: cut.length,
            clock: cut.form.is_double_d().then(|| half_turn(clocks[index])),
        })
    };
    [End::Upper, End::Lower].into_iter().filter_map(one).collect()
}

/// Least length (mm) of whole bar between two shoulders, or between a shoulder and the far end: a parting tool's
/// width. Common practice, no source.
const LEAST_BODY: f64 = 3.0;

/// The cut ends must leave bar between them.
fn shoulders_meet(spec: &Spec, i: usize, length: f64, split: Option<&slip::Split>) -> Option<Diagnostic> {
    let shaft = &spec.shafts[i];
    let cut: Vec<(ShaftEnd, f64)> = ShaftEnd::BOTH
        .into_iter()
        .filter_map(|end| Some((end, shaft.ends.get(end.index())?.as_ref()?.length)))
        .collect();
    let text = |mm: f64| quantity::both_units(mm, spec.build.units);
    let bars: Vec<(f64, f64)> = match split {
        Some(split) => cut.iter().map(|&(end, taken)| (taken, split.lengths[end.index()])).collect(),
        None => vec![(cut.iter().map(|&(_, taken)| taken).sum(), length)],
    };
    let (taken, bar) = bars.into_iter().find(|&(taken, bar)| taken > 0.0 && taken > bar - LEAST_BODY)?;
    let found = format!(
        "the cut ends of shaft \"{}\" take {} of its {}; {} of whole bar must be left",
        shaft.name,
        text(taken),
        text(bar),
        text(LEAST_BODY)
    );
    Some(
        Diagnostic::error("ends-too-long", found)
            .at(spec.place(&format!("shaft.{i}.ends")))
            .help("an end needs little more than what its hub covers: cut them shorter"),
    )
}

/// A length as it is cut.
struct Lengths {
    min: f64,
    max: f64,
    long: f64,
    text: BothUnits,
}

fn lengths(spec: &Spec, shaft: &Shaft, length: f64) -> Lengths {
    let tolerance = shaft.length_tolerance.unwrap_or_else(|| general_tolerance(spec, length));
    Lengths {
        min: length - tolerance,
        max: length + tolerance,
        long: round_up(length + shaft.leave, spec.build.tape_step),
        text: BothUnits {
            inch: quantity::inch_and_tape(length, spec.build.tape_step),
            mm: quantity::millimetres(length, 2),
        },
    }
}

/// One member of a slip shaft with the spots of its own hub.
fn member(spec: &Spec, shaft: &Shaft, whole: &ShaftResult, name: &str, end: End, length: f64) -> MemberResult {
    let Lengths { min, max, long, text } = lengths(spec, shaft, length);
    let from = match end {
        End::Upper => 0.0,
        End::Lower => whole.cut_length - length,
    };
    let dimples = whole.dimples.iter().filter(|dimple| dimple.end == end);
    MemberResult {
        name: name.to_owned(),
        end,
        stock: shaft.bar_at(shaft_end(end)).words(spec.build.units),
        from,
        cut_length: length,
        cut_length_min: min,
        cut_length_max: max,
        cut_long: long,
        cut_length_text: text,
        dimples: dimples.map(|dimple| Dimple { z: dimple.z - from, ..dimple.clone() }).collect(),
        grooves: whole.grooves.iter().filter(|groove| groove.end == end).cloned().collect(),
        least_wall: None,
    }
}

/// Next tape mark at or above a length (mm).
///
/// A length within a billionth of a step of a mark stands on it.
pub(super) fn round_up(length: f64, step: f64) -> f64 {
    (length / step - 1e-9).ceil() * step
}

/// ± of the spec's general class (mm). A class has no figure past 4 m (very coarse 4 m too); no shaft comes near, and
/// one that does is judged by the last step of the table.
fn general_tolerance(spec: &Spec, length: f64) -> f64 {
    let of = |length| tolerances::linear(spec.build.general, length);
    of(length).or_else(|| of(1500.0)).unwrap_or(1.0)
}

fn stock_words(spec: &Spec, i: usize) -> String {
    spec.shafts[i].stock.words(spec.build.units)
}

/// Frame of shaft `i` with the column yoke's trunnion axis on n₁.
///
/// From there the trunnion axis of a shaft's upper yoke is followed joint by joint; the straight edges of its
/// hub's hole stand `ears` before it, and flat A faces a quarter turn on. Without flats x is the trunnion axis.
/// Flats on the lower end alone carry flat A: their normal is found past the yokes' phase.
fn frame(chain: &Chain, i: usize, shaft: &Shaft, [upper, lower]: [&Hub; 2], twist: &Twist) -> ShaftFrame {
    let axis = chain.axes[i + 1];
    // At joint 1 with θ = 0 the driven yoke stands at 90 degrees from n₁, that of a double a quarter turn on; later
    // shafts take the same start on their own joint's normal, since only their own flats are drawn.
    let normal = chain.normals[i];
    let trunnion = if chain.is_double(i) { normal } else { normal.turned(axis, std::f64::consts::FRAC_PI_2) };
    let x = trunnion.turned(axis, turn_from_trunnion(shaft, [upper, lower], twist));
    ShaftFrame { origin: chain.lower_cross(i) + axis * upper.gap(None), x, z: axis }
}

/// Clock of a screw (deg) against the flat side of its hub.
const fn round_side(screw: &Screw) -> f64 {
    match screw.on {
        Side::Flat => 0.0,
        Side::Round => 90.0,
    }
}

fn misses(spec: &Spec, what: &str, at: f64, engagement: f64, key: &str) -> Diagnostic {
    let text = |mm: f64| quantity::both_units(mm, spec.build.units);
    let found = format!(
        "the {what} at {} from the hub's outer face misses the shaft, which ends {} inside it",
        text(at),
        text(engagement)
    );
    Diagnostic::error("misses-the-shaft", found)
        .at(spec.place(key))
        .help("measure `at` from the outer face, and check depth and seat")
}

/// From the shaft's axis (mm) to the side a pinch bolt lies on: a flat, else the round.
fn across(stock: &Form) -> f64 {
    match stock.shape {
        FormShape::DoubleD { flats, .. } => flats / 2.0,
        FormShape::Serrated { diameter, .. } | FormShape::Round { diameter, .. } => diameter / 2.0,
    }
}

/// A pinch bolt that leaves the shaft whole holds nothing.
fn clears(spec: &Spec, pinch: &Pinch, side: f64, key: &str) -> Diagnostic {
    let text = |mm: f64| quantity::both_units(mm, spec.build.units);
    let found = format!(
        "the pinch bolt passes {} off the shaft's axis and does not reach its side, {} off; a bolt must cut a groove",
        text(pinch.offset - pinch.bolt.diameter / 2.0),
        text(side)
    );
    Diagnostic::error("bolt-clears-the-shaft", found)
        .at(spec.place(key))
        .help("measure `offset` from the middle of the bore to the middle of the bolt hole")
}

fn spot(spec: &Spec, engagement: f64, screw: &Screw, key: &str) -> Result<EndSpot, Diagnostic> {
    let station = engagement - screw.at;
    if station <= 0.0 {
        return Err(misses(spec, "set screw", screw.at, engagement, key));
    }
    let DimpleSize { drill, depth, diameter } = screw.dimple;
    // The cone's own mouth at that depth, never wider than the drill. A flat-bottomed hole is as wide as its drill.
    let half = drill / 2.0;
    let cone = if libm::cos(half) > 1e-9 { 2.0 * depth * libm::tan(half) } else { diameter };
    Ok(EndSpot {
        station,
        on: match screw.on {
            Side::Flat => On::Flat,
            Side::Round => On::Round,
        },
        drill: drill.to_degrees(),
        diameter: diameter.min(cone),
        depth,
        spot: match screw.spot {
            Spot::Drill => SpotWhen::Drill,
            Spot::Fit => SpotWhen::Fit,
            Spot::None => SpotWhen::None,
        },
    })
}

/// The column's and the gear's shaft ends in their hubs.
pub fn drive_ends(spec: &Spec) -> Result<[EndResult; 2], Vec<Diagnostic>> {
    let last = spec.joints.len() - 1;
    let mut errors = Vec::new();
    let mut one = |end: &DriveEnd, hub: &Hub, side: String| {
        let insertion = hub.engagement(end.groove);
        let mut spots = Vec::new();
        for (n, screw) in hub.screws().iter().enumerate() {
            match spot(spec, insertion, screw, &format!("{side}.screws.{n}")) {
                Ok(spot) => spots.push(spot),
                Err(error) => errors.push(error),
            }
        }
        EndResult { insertion, spots, axis_sigma: None }
    };
    let column = one(&spec.column, &spec.joints[0].upper, "joint.0.upper".to_owned());
    let gear = one(&spec.gear, &spec.joints[last].lower, format!("joint.{last}.lower"));
    if errors.is_empty() { Ok([column, gear]) } else { Err(errors) }
}

/// Twist δ (rad) of each shaft as set.
pub fn set_phases(twists: &[Twist]) -> Vec<f64> {
    twists.iter().map(|twist| half_turn(twist.set).to_radians()).collect()
}

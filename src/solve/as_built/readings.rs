//! Every reading beside its plan.

use crate::catalog::tolerances;
use crate::quantity::{self, both_units};
use crate::solve::Solution;
use crate::solve::phase::half_turn;
use crate::solve::solution::{BuiltReading, End, ShaftResult, SpotWhen};
use crate::spec::Spec;
use crate::spec::types::{AsBuilt, MadeShaft, ShaftEnd, Signed, Spot};

/// An angle finder laid on twice by hand (deg): common practice, no source.
const ANGLE: f64 = 2.0;
/// Flats milled at an angle to one another (deg): common practice, no source.
const TWIST: f64 = 1.0;
/// Of a tightening torque: ten in a hundred; common practice, no source. A torque wrench itself is good to four
/// (ISO 6789-1, from memory).
const TORQUE: f64 = 0.1;
/// Of a plate's thickness, ten in a hundred: wider than the mills' tolerances; common practice, no source.
const THICK: f64 = 0.1;
/// A ruler of a printed sheet (mm), and how far off it may be before nothing is cut from the sheet: as every sheet says.
const RULER: [f64; 2] = [100.0, 0.3];
/// Of a dimple's mouth: a screw further off its middle rides up the side. Common practice, no source.
const OFF_DIMPLE: f64 = 0.25;

const HABIT: &str = "common practice, no source";

/// What a reading is compared with.
struct Against {
    plan: Option<f64>,
    allowed: Option<f64>,
    least: Option<f64>,
    source: String,
    habit: bool,
    remedy: String,
}

impl Against {
    fn firm(plan: f64, allowed: f64, source: &str, remedy: &str) -> Self {
        Self {
            plan: Some(plan),
            allowed: Some(allowed),
            least: None,
            source: source.into(),
            habit: false,
            remedy: remedy.into(),
        }
    }

    fn habit(plan: Option<f64>, allowed: Option<f64>, remedy: &str) -> Self {
        Self { plan, allowed, least: None, source: HABIT.into(), habit: true, remedy: remedy.into() }
    }
}

struct Rows(Vec<BuiltReading>);

impl Rows {
    fn add(&mut self, subject: &str, what: &str, unit: &str, made: f64, against: Against, signed: &Signed) {
        let Against { plan, allowed, least, source, habit, remedy } = against;
        let difference = plan.map(|plan| made - plan);
        let slack = super::SAME;
        let within = match (least, difference, allowed) {
            (Some(least), ..) => Some(made >= least - slack),
            (None, Some(difference), Some(allowed)) => Some(difference.abs() <= allowed + slack),
            _ => None,
        };
        self.0.push(BuiltReading {
            subject: subject.to_owned(),
            what: what.to_owned(),
            unit: unit.to_owned(),
            plan,
            made,
            difference,
            allowed,
            least,
            within,
            habit,
            source,
            remedy,
            date: signed.date.clone(),
            initials: signed.initials.clone(),
        });
    }
}

/// Every reading of the spec, from column to gear, then plates, gaps, prints.
pub(super) fn readings(spec: &Spec, built: &AsBuilt, plan: &Solution, solved: Option<&Solution>) -> Vec<BuiltReading> {
    let mut rows = Rows(Vec::new());
    for i in 0..spec.joints.len() {
        joint(&mut rows, spec, built, plan, i);
        if let Some(row) = built.shafts.iter().find(|row| row.shaft == i) {
            shaft(&mut rows, spec, plan, row);
        }
        if let (Some(_), Some(solved)) = (spec.shafts.get(i), solved) {
            off_dimples(&mut rows, spec, built, solved, i);
        }
    }
    for row in &built.plates {
        let plate = &spec.plates[row.plate];
        let remedy = "the plan's thickness is not what was bought: change it and make the package again";
        let against = Against::habit(Some(plate.thick), Some(THICK * plate.thick), remedy);
        rows.add(&format!("plate {}", plate.name), "thickness", "mm", row.thick, against, &row.signed);
    }
    for row in &built.gaps {
        let part = spec.body_name(row.part);
        let pair = plan.clearances.iter().filter(|pair| pair.part == part && pair.obstacle == row.obstacle);
        let pair = pair.min_by(|a, b| a.judged().total_cmp(&b.judged()));
        let against = Against {
            plan: pair.map(|pair| pair.gap),
            allowed: None,
            least: pair.map(|pair| pair.need),
            source: "the need of that pair in the spec".to_owned(),
            habit: false,
            remedy: "make room, or move the part that is in the way; look over the whole turn and travel".to_owned(),
        };
        rows.add(&format!("{part} to {}", row.obstacle), "gap", "mm", row.gap, against, &row.signed);
    }
    for row in &built.prints {
        for (what, read) in ["level ruler", "upright ruler"].into_iter().zip(row.rulers) {
            let Some(read) = read else { continue };
            let remedy =
                "do not cut from this print: print it again at 100 %, or measure the printer with `print-test`";
            let against = Against::firm(RULER[0], RULER[1], "as every printed sheet says", remedy);
            rows.add(&format!("sheet {}", row.sheet), what, "mm", read, against, &row.signed);
        }
    }
    rows.0
}

fn joint(rows: &mut Rows, spec: &Spec, built: &AsBuilt, plan: &Solution, i: usize) {
    let Some(row) = built.joints.iter().find(|row| row.joint == i) else { return };
    let (stated, planned) = (&spec.joints[i], &plan.joints[i]);
    let subject = format!("joint {}", stated.name);
    let engaged = [planned.upper_engagement, planned.lower_engagement];
    for (side, word) in ["column", "gear"].into_iter().enumerate() {
        let hub = format!("{subject}, {word}-side hub");
        if let Some(read) = row.in_hub[side] {
            // The tape cannot tell less; the class of ISO 2768-1 at that length where it is wider.
            let class = tolerances::linear(spec.build.general, engaged[side]).unwrap_or(0.0);
            let allowed = class.max(spec.build.tape_step);
            let source = format!("{}, or one mark of the tape", spec.build.general.name());
            let against = Against::firm(engaged[side], allowed, &source, "set the hub to its mark again");
            rows.add(&hub, "shaft in the hub", "mm", read, against, &row.signed);
        }
        if let Some(read) = row.torque[side] {
            let end = if side == 0 { End::Upper } else { End::Lower };
            let screws = plan.strength.screws.iter().find(|s| s.joint == stated.name && s.hub == end);
            let torque = screws.and_then(|screws| screws.seating);
            let mut against = Against::habit(torque, torque.map(|t| TORQUE * t), "tighten again with a torque wrench");
            if let Some(screws) = screws.filter(|_| torque.is_some()) {
                against.source = format!("{}, within a tenth: {HABIT}", screws.source);
            }
            rows.add(&hub, "tightened to", "N m", read, against, &row.signed);
        }
    }
    if let Some(read) = row.angle {
        let remedy = "the linkage does not hang as it was measured: take the points again before it is driven";
        let against = Against::habit(Some(planned.angle), Some(ANGLE), remedy);
        rows.add(&subject, "working angle", "deg", read.to_degrees(), against, &row.signed);
    }
}

fn shaft(rows: &mut Rows, spec: &Spec, plan: &Solution, row: &MadeShaft) {
    let (stated, planned) = (&spec.shafts[row.shaft], &plan.shafts[row.shaft]);
    let subject = format!("shaft {}", stated.name);
    let tolerance = if stated.length_tolerance.is_some() {
        "shaft.tolerance in the spec".to_owned()
    } else {
        spec.build.general.name().to_owned()
    };
    if let Some(read) = row.length {
        let remedy = if read > planned.cut_length {
            format!("face {} off", both_units(read - planned.cut_length, spec.build.units))
        } else {
            "see what its hubs still hold, and which joint could be moved".to_owned()
        };
        let against =
            Against::firm(planned.cut_length, planned.cut_length_max - planned.cut_length, &tolerance, &remedy);
        rows.add(&subject, "length", "mm", read, against, &row.signed);
    }
    for (name, read) in ["outer", "inner"].into_iter().zip(row.members) {
        let member = planned.members.iter().find(|member| member.name == name);
        let (Some(read), Some(member)) = (read, member) else { continue };
        let remedy = "see the overlap and the room that are left";
        let against = Against::firm(member.cut_length, member.cut_length_max - member.cut_length, &tolerance, remedy);
        rows.add(&format!("{subject}, {name} member"), "length", "mm", read, against, &row.signed);
    }
    for (end, read) in [End::Upper, End::Lower].into_iter().zip(&row.stations) {
        let word = if end == End::Upper { "upper" } else { "lower" };
        let plans = planned_stations(planned, end);
        for (n, (&read, (what, plan))) in read.iter().flatten().zip(plans).enumerate() {
            let remedy = "see how far its screw then stands from it";
            let source = "shaft.tolerance in the spec, or the general tolerance";
            let against = Against::firm(plan, stated.station_tolerance, source, remedy);
            rows.add(&format!("{subject}, {word} end"), &format!("{what} {}", n + 1), "mm", read, against, &row.signed);
        }
    }
    if let Some(read) = row.twist {
        // As near to the plan as half turns allow: flats look the same after one.
        let flats = planned.twist.flats;
        let off = half_turn(read.to_degrees() - flats + 90.0) - 90.0;
        let against = Against::habit(Some(flats), Some(TWIST), "see what the yoke phase comes to");
        rows.add(&subject, "twist between its flats", "deg", flats + off, against, &row.signed);
    }
}

/// What is struck or cut at an end, with its station, in the order of the hub's screws.
fn planned_stations(shaft: &ShaftResult, end: End) -> Vec<(&'static str, f64)> {
    let dimples = shaft.dimples.iter().filter(|dimple| dimple.end == end && dimple.spot != SpotWhen::None);
    let grooves = shaft.grooves.iter().filter(|groove| groove.end == end);
    dimples.map(|dimple| ("dimple", dimple.station)).chain(grooves.map(|groove| ("groove", groove.station))).collect()
}

/// How far each screw stands from the dimple drilled for it, where hub or dimple is not where it was planned.
fn off_dimples(rows: &mut Rows, spec: &Spec, built: &AsBuilt, solved: &Solution, i: usize) {
    let made = &solved.shafts[i];
    let signed = built.shafts.iter().find(|row| row.shaft == i).map(|row| row.signed.clone()).unwrap_or_default();
    let read = built.shafts.iter().find(|row| row.shaft == i);
    for end in ShaftEnd::BOTH {
        let (plan_joint, index, solved_end) = match end {
            ShaftEnd::Upper => (&spec.joints[i].lower, i, End::Upper),
            ShaftEnd::Lower => (&spec.joints[i + 1].upper, i + 1, End::Lower),
        };
        let engaged = match end {
            ShaftEnd::Upper => solved.joints[index].lower_engagement,
            ShaftEnd::Lower => solved.joints[index].upper_engagement,
        };
        let drilled = plan_joint.screws().iter().filter(|screw| screw.spot != Spot::None);
        let dimples = made.dimples.iter().filter(|d| d.end == solved_end && d.spot != SpotWhen::None);
        let stations = read.and_then(|row| row.stations[end.index()].as_deref());
        for (n, (screw, dimple)) in drilled.zip(dimples).enumerate() {
            // One spotted through its hub is where its screw is.
            if screw.spot == Spot::Fit {
                continue;
            }
            // Drilled to the drawing where nothing was read.
            let planned = plan_joint.engagement(None) - screw.at;
            let at = stations.and_then(|read| read.get(n)).copied().unwrap_or(planned);
            let off = (engaged - screw.at) - at;
            if off.abs() <= super::SAME && stations.is_none() {
                continue;
            }
            let word = if end == ShaftEnd::Upper { "upper" } else { "lower" };
            let remedy = format!(
                "spot it anew where the screw stands, {} from the end, clear of the old one",
                quantity::both_units(engaged - screw.at, spec.build.units)
            );
            let mut against = Against::habit(Some(0.0), Some(OFF_DIMPLE * dimple.diameter), &remedy);
            against.source = format!("a quarter of the dimple's mouth: {HABIT}");
            let subject = format!("shaft {}, {word} end", spec.shafts[i].name);
            rows.add(&subject, &format!("screw {} off its dimple", n + 1), "mm", off, against, &signed);
        }
    }
}

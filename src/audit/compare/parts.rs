//! Which parts fit the newer plan as they are, and which must be made again.

use serde::Serialize;

use super::{Plan, rails};
use crate::geometry::Vec2;
use crate::quantity::both_units;
use crate::solve::member::{Member, members};
use crate::solve::rail_hole::{self, RailHole};
use crate::solve::solution::{HoleResult, LinerResult, NotchResult, PlateResult, ShaftResult, Vertex};
use crate::solve::{doubler_part, liner_part};
use crate::spec::Spec;
use crate::spec::types::Shaft;

/// Differences (mm or deg) under this are rounding.
pub(super) const SAME: f64 = 1e-6;
/// A hole or an edge of a plate that moves by less (mm) is made as well as before: a centre punch's own error.
/// Common practice, no source.
const DRILLED: f64 = 0.25;
/// Two clocks or twists this near (deg) are one: what an angle block sets. Common practice, no source.
const TURNED: f64 = 0.5;

/// What is to be done with a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// As before.
    Same,
    /// Changed, but one made to the older plan is within the newer one's tolerance.
    Fits,
    /// To be made again.
    Again,
    /// Not in the older plan.
    New,
    /// No longer in the plan.
    Gone,
}

impl Verdict {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Same => "as before",
            Self::Fits => "fits as made",
            Self::Again => "make again",
            Self::New => "new",
            Self::Gone => "no longer used",
        }
    }
}

/// A part and what is to be done with it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartChange {
    /// Such as `shaft intermediate`.
    pub part: String,
    /// What is to be done.
    pub verdict: Verdict,
    /// Why; empty where it is as before.
    pub why: String,
}

/// Every part of both plans, the newer one's first.
pub(super) fn parts(old: &Plan, new: &Plan) -> Vec<PartChange> {
    let mut all = Vec::new();
    let spec = &new.spec;
    let shafts = |plan: &Plan| plan.solution.shafts.iter().map(|shaft| shaft.name.clone()).collect::<Vec<_>>();
    each(&mut all, "shaft", &shafts(old), &shafts(new), |i, j| {
        let bars = (&old.spec.shafts[i], &new.spec.shafts[j]);
        let results = (&old.solution.shafts[i], &new.solution.shafts[j]);
        let pieces = (members(&old.spec, &old.solution, i), members(&new.spec, &new.solution, j));
        shaft(spec, bars, results, (&pieces.0, &pieces.1))
    });
    let plates = |plan: &Plan| plan.solution.plates.iter().map(|plate| plate.name.clone()).collect::<Vec<_>>();
    each(&mut all, "plate", &plates(old), &plates(new), |i, j| {
        plate(spec, &old.solution.plates[i], &new.solution.plates[j])
    });
    let notches = |plan: &Plan| plan.solution.notches.iter().map(|notch| notch.name.clone()).collect::<Vec<_>>();
    each(&mut all, "notch", &notches(old), &notches(new), |i, j| {
        notch(spec, &old.solution.notches[i], &new.solution.notches[j])
    });
    let liners = |plan: &Plan| -> Vec<(String, LinerResult)> {
        let all = (0..plan.solution.notches.len()).filter_map(|i| liner_part::of(&plan.solution, i));
        all.map(|part| (part.name, part.liner.clone())).collect()
    };
    let (was, is) = (liners(old), liners(new));
    let names = |all: &[(String, LinerResult)]| all.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
    each(&mut all, "", &names(&was), &names(&is), |i, j| rails::liner(spec, &was[i].1, &is[j].1));
    let (was, is) = (doubler_part::plates(&old.solution), doubler_part::plates(&new.solution));
    let names = |all: &[PlateResult]| all.iter().map(|plate| plate.name.clone()).collect::<Vec<_>>();
    each(&mut all, "", &names(&was), &names(&is), |i, j| plate(spec, &was[i], &is[j]));
    let drilled = |plan: &Plan| -> Vec<(String, Vec<RailHole>)> {
        let rails = plan.solution.rails.iter();
        let holes = rails.map(|rail| (rail.name.clone(), rail_hole::holes(&plan.solution, rail)));
        holes.filter(|(_, holes)| !holes.is_empty()).collect()
    };
    let (was, is) = (drilled(old), drilled(new));
    let names = |all: &[(String, Vec<RailHole>)]| all.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
    each(&mut all, "holes in", &names(&was), &names(&is), |i, j| rails::holes(spec, &was[i].1, &is[j].1));
    let joints = |plan: &Plan| plan.spec.joints.iter().map(|joint| joint.name.clone()).collect::<Vec<_>>();
    each(&mut all, "joint", &joints(old), &joints(new), |i, j| {
        let words = |plan: &Plan, i: usize| {
            let joint = &plan.spec.joints[i];
            let hubs = [&joint.upper, &joint.lower];
            let hubs = hubs
                .map(|hub| format!("{:?} {} {} {:?} {:?}", hub.fits.shape, hub.reach, hub.depth, hub.ears, hub.hold));
            format!("{:?} {} {}", hubs, joint.swing, joint.double.unwrap_or(0.0))
        };
        if words(old, i) == words(new, j) {
            (Verdict::Same, String::new())
        } else {
            (
                Verdict::Again,
                "it is another joint now, by its hubs, holes or screws: buy that one, or measure yours again"
                    .to_owned(),
            )
        }
    });
    all
}

fn each(
    all: &mut Vec<PartChange>,
    kind: &str,
    old: &[String],
    new: &[String],
    judge: impl Fn(usize, usize) -> (Verdict, String),
) {
    for (j, name) in new.iter().enumerate() {
        let (verdict, why) = match old.iter().position(|known| known == name) {
            Some(i) => judge(i, j),
            None => (Verdict::New, "not in the older package".to_owned()),
        };
        all.push(PartChange { part: format!("{kind} {name}").trim().to_owned(), verdict, why });
    }
    for name in old.iter().filter(|name| !new.contains(name)) {
        let why = "not in the newer package".to_owned();
        all.push(PartChange { part: format!("{kind} {name}").trim().to_owned(), verdict: Verdict::Gone, why });
    }
}

/// Whether something moved by this (mm) is made as well as before.
pub(super) fn within_punch(by: f64) -> bool {
    by <= DRILLED
}

/// What differs, and whether the older part is within tolerance all the same.
#[derive(Default)]
pub(super) struct Why {
    again: Vec<String>,
    fits: Vec<String>,
}

impl Why {
    pub(super) fn add(&mut self, within: bool, words: String) {
        if within { self.fits.push(words) } else { self.again.push(words) }
    }

    pub(super) fn verdict(self) -> (Verdict, String) {
        match (self.again.is_empty(), self.fits.is_empty()) {
            (true, true) => (Verdict::Same, String::new()),
            (true, false) => (Verdict::Fits, format!("{}; within tolerance", self.fits.join("; "))),
            (false, _) => (Verdict::Again, self.again.join("; ")),
        }
    }
}

fn shaft(
    spec: &Spec,
    (was, is): (&Shaft, &Shaft),
    (before, after): (&ShaftResult, &ShaftResult),
    (old, new): (&[Member], &[Member]),
) -> (Verdict, String) {
    let text = |mm: f64| both_units(mm, spec.build.units);
    let mut why = Why::default();
    if before.stock != after.stock || was.stock.shape != is.stock.shape {
        why.add(false, format!("cut from {}, was {}", after.stock, before.stock));
    }
    if before.material != after.material {
        why.add(false, format!("of {}, was {}", is.material.title, was.material.title));
    }
    if old.len() != new.len() {
        why.add(false, format!("made of {} pieces, was {}", new.len(), old.len()));
    }
    let tolerance = after.cut_length_max - after.cut_length;
    for (a, b) in old.iter().zip(new) {
        let by = b.length - a.length;
        if by.abs() > SAME {
            let piece = if new.len() > 1 { format!("{}: ", b.name) } else { String::new() };
            let cure = match by {
                _ if by.abs() <= tolerance => "",
                by if by > 0.0 => ": the one made is too short",
                _ => ": the one made can be faced to it, and its dimples spotted anew from that end",
            };
            let way = if by > 0.0 { "longer" } else { "shorter" };
            why.add(by.abs() <= tolerance, format!("{piece}{} {way}, {} now{cure}", text(by.abs()), text(b.length)));
        }
        if a.ends != b.ends || a.hole != b.hole || a.journal != b.journal || a.chamfer != b.chamfer {
            let turned = a.ends.iter().zip(&b.ends).all(|ends| match ends {
                (Some(a), Some(b)) => {
                    a.form == b.form && (a.length - b.length).abs() <= SAME && (a.clock - b.clock).abs() <= TURNED
                }
                (None, None) => true,
                _ => false,
            });
            let rest = a.hole == b.hole && a.journal == b.journal && a.chamfer == b.chamfer;
            why.add(turned && rest, "its ends, hole, seat or chamfer are cut otherwise".to_owned());
        }
        if a.dimples.len() != b.dimples.len() || a.grooves.len() != b.grooves.len() {
            why.add(false, "it has another number of dimples or grooves".to_owned());
        }
        for (n, (a, b)) in a.dimples.iter().zip(&b.dimples).enumerate() {
            let by = (b.station - a.station).abs();
            let alike = (a.clock - b.clock).abs() <= TURNED
                && (a.depth - b.depth).abs() <= SAME
                && (a.diameter - b.diameter).abs() <= SAME;
            if by > SAME || a != b {
                let words = format!("dimple {} {} from its end, was {}", n + 1, text(b.station), text(a.station));
                why.add(alike && by <= is.station_tolerance, words);
            }
        }
        for (n, (a, b)) in a.grooves.iter().zip(&b.grooves).enumerate() {
            if a != b {
                let by = (b.station - a.station).abs();
                let alike = (a.offset - b.offset).abs() <= SAME && (a.diameter - b.diameter).abs() <= SAME;
                let words = format!("groove {} {} from its end, was {}", n + 1, text(b.station), text(a.station));
                why.add(alike && by <= is.station_tolerance, words);
            }
        }
    }
    why.verdict()
}

fn plate(spec: &Spec, before: &PlateResult, after: &PlateResult) -> (Verdict, String) {
    let text = |mm: f64| both_units(mm, spec.build.units);
    let mut why = Why::default();
    if (before.thick - after.thick).abs() > SAME {
        why.add(false, format!("{} thick, was {}", text(after.thick), text(before.thick)));
    }
    match apart(&before.outline, &after.outline) {
        Some(by) if by <= SAME => {}
        Some(by) => why.add(by <= DRILLED, format!("its outline moves by up to {}", text(by))),
        None => why.add(false, "its outline has another shape".to_owned()),
    }
    let mut left: Vec<&HoleResult> = before.holes.iter().collect();
    for hole in &after.holes {
        // The nearest of that name; two holes are never in one place.
        let near = left
            .iter()
            .enumerate()
            .filter(|(_, old)| old.name == hole.name)
            .min_by(|(_, a), (_, b)| (a.centre - hole.centre).length().total_cmp(&(b.centre - hole.centre).length()))
            .map(|(at, _)| at);
        let Some(old) = near.map(|at| left.remove(at)) else {
            why.add(false, format!("hole {} is new", hole.name));
            continue;
        };
        let by = (hole.centre - old.centre).length();
        if by > SAME {
            why.add(by <= DRILLED, format!("hole {} moves by {}", hole.name, text(by)));
        }
        let alike = HoleResult { centre: old.centre, ..hole.clone() };
        if alike != *old {
            why.add(false, format!("hole {} has another size or kind", hole.name));
        }
    }
    for hole in left {
        why.add(false, format!("hole {} is gone", hole.name));
    }
    for opening in &after.openings {
        let old = before.openings.iter().find(|old| old.name == opening.name);
        match old.map(|old| apart(&old.outline, &opening.outline)) {
            Some(Some(by)) if by <= SAME => {}
            Some(Some(by)) => why.add(by <= DRILLED, format!("opening {} moves by up to {}", opening.name, text(by))),
            Some(None) => why.add(false, format!("opening {} has another shape", opening.name)),
            None => why.add(false, format!("opening {} is new", opening.name)),
        }
    }
    for old in before.openings.iter().filter(|old| after.openings.iter().all(|new| new.name != old.name)) {
        why.add(false, format!("opening {} is gone", old.name));
    }
    if before.bends != after.bends {
        why.add(false, "its bends are others".to_owned());
    }
    why.verdict()
}

/// Farthest that a vertex or a centre moves; `None` where the outlines are of other pieces.
fn apart(old: &[Vertex], new: &[Vertex]) -> Option<f64> {
    if old.len() != new.len() {
        return None;
    }
    let mut most: f64 = 0.0;
    for (a, b) in old.iter().zip(new) {
        if a.clockwise != b.clockwise
            || a.centre.is_some() != b.centre.is_some()
            || a.axes.is_some() != b.axes.is_some()
        {
            return None;
        }
        let far = |a: Vec2, b: Vec2| (b - a).length();
        most = most.max(far(a.at, b.at));
        if let Some((a, b)) = a.centre.zip(b.centre) {
            most = most.max(far(a, b));
        }
        if let Some((a, b)) = a.axes.zip(b.axes) {
            most = most.max(far(a[0], b[0])).max(far(a[1], b[1]));
        }
    }
    Some(most)
}

fn notch(spec: &Spec, before: &NotchResult, after: &NotchResult) -> (Verdict, String) {
    let text = |mm: f64| both_units(mm, spec.build.units);
    if before.rail != after.rail {
        return (Verdict::Again, format!("it is in {}, was in {}", after.rail, before.rail));
    }
    if before.shop == after.shop {
        return (Verdict::Same, String::new());
    }
    let reach = |notch: &NotchResult| {
        let points = notch.shop.iter().flatten();
        points.fold([f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY], |r, p| {
            [r[0].min(p.x), r[1].max(p.x), r[2].min(p.y), r[3].max(p.y)]
        })
    };
    if before.shop.is_empty() || after.shop.is_empty() {
        let why = if after.shop.is_empty() { "no cut is needed any more" } else { "it was not needed before" };
        let verdict = if after.shop.is_empty() { Verdict::Gone } else { Verdict::New };
        return (verdict, why.to_owned());
    }
    let (a, b) = (reach(before), reach(after));
    let by = a.iter().zip(&b).map(|(a, b)| (b - a).abs()).fold(0.0, f64::max);
    if by <= DRILLED && (before.area - after.area).abs() <= 0.005 * after.area {
        return (Verdict::Fits, format!("its edges move by up to {}; within a scriber's line", text(by)));
    }
    let wider = b[0] < a[0] - SAME || b[1] > a[1] + SAME || b[2] < a[2] - SAME || b[3] > a[3] + SAME;
    let metal = if wider {
        "more metal comes out"
    } else {
        "less metal comes out: what is cut already has to be put back by a licensed hand, or the rail replaced"
    };
    (Verdict::Again, format!("its edges move by up to {}: {metal}", text(by)))
}

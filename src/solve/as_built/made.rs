//! The spec and the solution of what was made.

use super::length_read;
use crate::solve::chain;
use crate::solve::solution::{End, MemberResult, ShaftResult};
use crate::solve::{Solution, solve};
use crate::spec::Spec;
use crate::spec::types::{DriveEnd, Hold, Hub, MadeShaft, TwistWish};

/// The linkage as made: a spec with the readings in it, and its solution; or why it cannot be solved.
pub fn made(spec: &Spec, plan: &Solution) -> Result<(Spec, Solution), String> {
    let words = |errors: Vec<crate::diagnostic::Diagnostic>| {
        errors.into_iter().next().map_or_else(|| "no reason given".to_owned(), |error| error.message)
    };
    let (made, rows) = read_into(spec, plan).map_err(words)?;
    let (mut solution, _) = solve(&made).map_err(words)?;
    for row in &rows {
        let Some(shaft) = solution.shafts.get_mut(row.shaft) else { continue };
        stations(shaft, row);
        members(shaft, row);
    }
    Ok((made, solution))
}

/// The spec with every reading in place of its plan, and the readings of shafts that no key of a spec can hold.
fn read_into(spec: &Spec, plan: &Solution) -> Result<(Spec, Vec<MadeShaft>), Vec<crate::diagnostic::Diagnostic>> {
    let mut made = spec.clone();
    let Some(built) = made.as_built.take() else { return Ok((made, Vec::new())) };
    let read = |joint: usize, side: usize| built.joints.iter().find(|row| row.joint == joint)?.in_hub[side];
    let last = made.joints.len() - 1;
    if let Some(engaged) = read(0, 0) {
        seat(&mut made.joints[0].upper, Some(&mut made.column), engaged);
    }
    if let Some(engaged) = read(last, 1) {
        seat(&mut made.joints[last].lower, Some(&mut made.gear), engaged);
    }
    for row in &built.plates {
        made.plates[row.plate].thick = row.thick;
    }
    for row in &built.shafts {
        let planned = &plan.shafts[row.shaft].twist;
        if let Some(twist) = row.twist {
            let set = planned.set + twist.to_degrees() - planned.flats;
            made.shafts[row.shaft].twist = Some(TwistWish::Angle(set.to_radians()));
        }
    }
    // Where the crosses stand hangs on column, gear and bearings alone, not on how the shafts between them lie.
    let chain = chain::chain(&made)?;
    for i in 0..made.shafts.len() {
        let planned = [spec.joints[i].lower.engagement(None), spec.joints[i + 1].upper.engagement(None)];
        let reach = made.joints[i].lower.reach + made.joints[i + 1].upper.reach;
        let length = length_read(spec, plan, i).unwrap_or(plan.shafts[i].cut_length);
        let slips = made.shafts[i].slip.is_some();
        let both = reach + length - chain.span(i);
        let [upper, lower] = match [read(i, 1), read(i + 1, 0)] {
            [Some(upper), Some(lower)] => [upper, lower],
            // A slip shaft takes up the rest in its own overlap.
            [upper, lower] if slips => [upper.unwrap_or(planned[0]), lower.unwrap_or(planned[1])],
            [Some(upper), None] => [upper, both - upper],
            [None, Some(lower)] => [both - lower, lower],
            [None, None] => {
                let short = planned[0] + planned[1] - both;
                planned.map(|engaged| engaged - short / 2.0)
            }
        };
        seat(&mut made.joints[i].lower, None, upper);
        seat(&mut made.joints[i + 1].upper, None, lower);
    }
    Ok((made, built.shafts))
}

/// Lets a hub hold that much of its shaft (mm).
pub(super) fn seat(hub: &mut Hub, drive: Option<&mut DriveEnd>, engaged: f64) {
    match (&hub.hold, drive.and_then(|drive| drive.groove.as_mut())) {
        (Hold::Pinch(pinch), Some(groove)) => *groove = engaged - pinch.at,
        _ => hub.seat = hub.depth - engaged,
    }
}

/// Dimples and grooves where they were made.
fn stations(shaft: &mut ShaftResult, row: &MadeShaft) {
    for (end, read) in [End::Upper, End::Lower].into_iter().zip(&row.stations) {
        let Some(read) = read else { continue };
        let along = |station: f64| if end == End::Upper { station } else { shaft.cut_length - station };
        let spotted = |spot| spot != crate::solve::solution::SpotWhen::None;
        let dimples = shaft.dimples.iter_mut().filter(|dimple| dimple.end == end && spotted(dimple.spot));
        for (dimple, &station) in dimples.zip(read) {
            (dimple.station, dimple.z) = (station, along(station));
        }
        for (groove, &station) in shaft.grooves.iter_mut().filter(|groove| groove.end == end).zip(read) {
            groove.station = station;
        }
    }
}

/// Members of a slip shaft as long as they were cut: their overlap and their room follow.
fn members(shaft: &mut ShaftResult, row: &MadeShaft) {
    let mut longer = [0.0; 2];
    for (i, name) in ["outer", "inner"].into_iter().enumerate() {
        let member = shaft.members.iter_mut().find(|member| member.name == name);
        if let (Some(member), Some(read)) = (member, row.members[i]) {
            longer[i] = read - member.cut_length;
            cut(member, read);
        }
    }
    if let Some(slip) = &mut shaft.slip {
        slip.overlap += longer[0] + longer[1];
        slip.overlap_extended += longer[0] + longer[1];
        // The one that stops first.
        slip.collapse_room -= longer[0].max(longer[1]);
    }
}

fn cut(member: &mut MemberResult, length: f64) {
    let by = length - member.cut_length;
    member.cut_length = length;
    member.cut_length_min += by;
    member.cut_length_max += by;
}

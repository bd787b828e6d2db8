//! What was made beside what was planned: the linkage solved again with the readings, the differences, what can be done.
//!
//! The crosses stand where column, gear and bearings hold them, so a shaft of another length takes up what it can in
//! its two hubs: their bites add up to reach + reach + length − distance between the crosses. Where no reading says
//! how it lies, the difference is shared evenly. What was not read is taken to be as planned.

mod made;
mod moves;
mod readings;

pub use made::made;

use super::Solution;
use super::solution::{AsBuiltResult, BuiltShaft, HubLeft};
use crate::spec::Spec;
use crate::spec::types::{Hub, ShaftEnd};

/// Differences (mm) under this are rounding.
const SAME: f64 = 1e-6;

/// Sets what was read beside the plan; `None` where nothing was.
pub fn compare(spec: &Spec, plan: &Solution) -> Option<AsBuiltResult> {
    let built = spec.as_built.as_ref()?;
    let (solved, unsolved) = match made(spec, plan) {
        Ok((_, solution)) => (Some(solution), None),
        Err(message) => (None, Some(message)),
    };
    Some(AsBuiltResult {
        readings: readings::readings(spec, built, plan, solved.as_ref()),
        shafts: (0..spec.shafts.len()).filter_map(|i| shaft(spec, plan, solved.as_ref(), i)).collect(),
        solved: solved.map(Box::new),
        unsolved,
    })
}

/// Bite (mm) wanted of a shaft in its hub: the spec's own limit, else one diameter of the shaft.
pub(super) fn wanted_bite(spec: &Spec, diameter: f64) -> f64 {
    spec.limits.get("engagement").copied().unwrap_or(diameter)
}

/// The length a rigid shaft was made with, where that was read and is not the planned one.
fn length_read(spec: &Spec, plan: &Solution, i: usize) -> Option<f64> {
    let read = spec.as_built.as_ref()?.shafts.iter().find(|row| row.shaft == i)?.length?;
    ((read - plan.shafts.get(i)?.cut_length).abs() > SAME).then_some(read)
}

fn shaft(spec: &Spec, plan: &Solution, solved: Option<&Solution>, i: usize) -> Option<BuiltShaft> {
    let made = length_read(spec, plan, i)?;
    let (stated, planned) = (spec.shafts.get(i)?, plan.shafts.get(i)?);
    let short = planned.cut_length - made;
    let [above, below] = [spec.joints.get(i)?, spec.joints.get(i + 1)?];
    let now = |joint: usize, end: ShaftEnd| {
        let joint = solved?.joints.get(joint)?;
        Some(if end == ShaftEnd::Upper { joint.lower_engagement } else { joint.upper_engagement })
    };
    let hubs = [(above, &above.lower, i, ShaftEnd::Upper), (below, &below.upper, i + 1, ShaftEnd::Lower)];
    let hubs = hubs.map(|(joint, hub, index, end): (_, &Hub, _, _)| {
        let side = if end == ShaftEnd::Upper { "gear" } else { "column" };
        let engaged = hub.engagement(None);
        let left = |engaged: f64| engaged.min(hub.bite);
        HubLeft {
            hub: format!("joint {}, {side}-side hub", joint.name),
            planned: left(engaged),
            bite: left(now(index, end).unwrap_or(engaged - short / 2.0)),
            least: left(engaged - short),
            wanted: wanted_bite(spec, stated.form_at(end).diameter()),
            depth: hub.depth,
        }
    });
    Some(BuiltShaft {
        name: stated.name.clone(),
        plan: planned.cut_length,
        made,
        short,
        hubs: hubs.to_vec(),
        moves: moves::moves(spec, i, made),
    })
}

//! From a spec to every number the shop needs.

pub mod solution;

pub mod advice;
pub mod apart;
pub mod as_built;
pub mod assembly;
pub mod bearing;
pub mod bend;
pub mod beside;
pub mod bodies;
pub mod bolt;
pub mod chain;
pub mod clearance;
pub mod clocking;
pub mod curves;
pub mod doubler_part;
mod ears;
pub mod ends;
pub mod facing;
pub mod files;
pub mod fit;
pub mod folded;
pub mod gap_curve;
pub mod identity;
pub mod journal;
pub mod liner_part;
pub mod member;
pub mod motion;
mod mount;
pub mod notch;
mod opening;
pub mod order;
pub mod outline;
pub mod phase;
pub mod plate;
pub mod plate_metal;
pub mod play;
pub mod profile;
pub mod rail;
pub mod rail_hole;
pub mod rail_part;
pub mod reaction;
mod rim;
mod seating;
pub mod section;
pub mod sigma;
mod slip;
pub mod stance;
pub mod strength;
pub mod strip;
mod sweep;
mod teeth;
pub mod tilt;
pub mod travel;
pub mod twin;

pub use solution::Solution;

use crate::diagnostic::Diagnostic;
use crate::spec::Spec;
use crate::survey::Layout;
use clearance::{Around, NotchGap};
use motion::{Unevenness, relative_phases};
use solution::Strength;
use travel::Linkage;

/// Solves the whole linkage: with its warnings, or every error that stands in the way.
///
/// Errors carry the place in the spec that causes them: crosses that coincide, a joint that folds back, a shaft
/// shorter than its hubs, a screw that misses its shaft, a rail cut through, an opening along its plate.
pub fn solve(spec: &Spec) -> Result<(Solution, Vec<Diagnostic>), Vec<Diagnostic>> {
    let chain = chain::chain(spec)?;
    let (uneven, psi) = (chain.uneven_angles(), chain.uneven_psi());
    let best = phase::best_phases(&uneven, &psi);
    let twists = phase::twists(spec, &chain, &best);
    let best = phase::wanted_phases(&twists, &best);
    let set = fit::set_phases(&twists);

    let linkage = Linkage::new(spec, &chain);
    // The rest hangs on the chain alone in these four, so all of their errors are told together.
    let mut errors = Vec::new();
    let shafts = keep(fit::shafts(spec, &chain, twists), &mut errors);
    let ends = keep(fit::drive_ends(spec), &mut errors);
    let rails: Vec<_> = spec
        .rails
        .iter()
        .enumerate()
        .filter_map(|(i, rail)| keep(rail::shape(rail, i, spec).map_err(|error| vec![error]), &mut errors))
        .collect();
    let mut plates: Vec<_> = spec
        .plates
        .iter()
        .filter_map(|plate| keep(plate::plate(spec, (&chain, linkage.as_ref()), plate), &mut errors))
        .collect();
    let (Some(shafts), Some([column, gear]), true) = (shafts, ends, errors.is_empty()) else {
        return Err(errors);
    };

    let rooms = bodies::rooms(spec, &chain, &shafts);
    let over_motions =
        linkage.as_ref().and_then(|linkage| keep(travel::over_motions(spec, &chain, linkage), &mut errors));
    if !errors.is_empty() {
        return Err(errors);
    }
    let mut warnings = Vec::new();
    let mut notches = Vec::new();
    let mut notch_gaps = Vec::new();
    for (i, row) in spec.notches.iter().enumerate() {
        let Some(trace) = keep(notch::notch_over(spec, linkage.as_ref(), i, &rails[row.rail], &rooms), &mut errors)
        else {
            continue;
        };
        notches.extend(notch::result(spec, i, &trace));
        notch_gaps.extend(trace.gaps.iter().map(|gap| NotchGap {
            rail: row.rail,
            body: gap.body,
            gap: gap.gap,
            point: gap.point,
        }));
        warnings.extend(trace.warnings);
    }
    let bolts = keep(bolt::bolts(spec, &rails, &notches, &mut plates), &mut errors).unwrap_or_default();
    let around = Around { rails: &rails, plates: &plates };
    let mut clearances = clearance::clearances(spec, &rooms, around, &notch_gaps, linkage.as_ref());
    keep(beside::add(spec, &chain, &rooms, &mut clearances), &mut errors);
    if !errors.is_empty() {
        return Err(errors);
    }

    let alpha = relative_phases(&set, &psi);
    let ratios: Vec<f64> = (0..uneven.len())
        .map(|i| Unevenness::of_chain(&uneven[..=i], &alpha[..i.min(alpha.len())]).ratio_max())
        .collect();
    let (reactions, bearings) = reaction::reactions(spec, &chain, &shafts, &set);
    let certain = shafts.iter().all(|shaft| shaft.twist.certain || shaft.twist.wanted.is_none());
    let motion = motion::motion(&uneven, &psi, &set, &best);
    let tilt = tilt::tilt(spec, &shafts, around, &notches)?;
    rim::over_motions(spec, &rooms, linkage.as_ref(), &mut plates);
    let order = order::order(spec, &shafts, &bolts, &notches);
    let solution = Solution {
        phase: advice::phases(spec, &motion),
        tilt,
        clocking: clocking::clocking(spec, &chain, &set, certain, &rails),
        joints: fit::joints(spec, &chain, &shafts),
        column,
        gear,
        motion,
        free_play: play::free_play(spec, &ratios),
        strength: Strength { bearings, reactions, ..strength::strength(spec, &chain, &shafts, &ratios)? },
        clearances,
        rails: rails.iter().zip(&spec.rails).map(|(shape, rail)| shape.result(&rail.name)).collect(),
        notches,
        plates,
        order,
        bolts,
        mounts: mount::mounts(spec),
        shafts,
        survey: None,
        over_motions,
        as_built: None,
    };
    Ok((solution, warnings))
}

/// Solves a linkage in its place; with a survey, its errors travel to what they touch.
pub fn solve_placed(layout: &Layout<'_>) -> Result<(Solution, Vec<Diagnostic>), Vec<Diagnostic>> {
    let (mut solution, warnings) = solve(&layout.spec)?;
    sigma::travel(layout, &mut solution);
    solution.as_built = as_built::compare(&layout.spec, &solution);
    Ok((solution, warnings))
}

/// The value, or nothing and its errors kept.
fn keep<T>(done: Result<T, Vec<Diagnostic>>, errors: &mut Vec<Diagnostic>) -> Option<T> {
    done.map_err(|found| errors.extend(found)).ok()
}

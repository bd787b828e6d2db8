//! What to change so that the linkage turns more evenly, each change with the figure it promises.
//!
//! Every change is made on a copy of the spec and the phases are solved anew, so a promise is what the program itself
//! would answer once the change is made. Where the teeth of a new hub sit is not known, so their worst place is promised.

use serde::{Deserialize, Serialize};

use super::chain::{self, Chain};
use super::motion::{Unevenness, relative_phases};
use super::teeth::Joints;
use super::{fit, phase};
use crate::catalog::forms::FormShape;
use crate::geometry::Vec3;
use crate::solve::solution::Motion;
use crate::spec::Spec;
use crate::spec::types::{Form, Hold, ShaftEnd, TwistWish};

/// How much is lost against the best phases, and what wins some of it back.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct PhaseResult {
    /// Error as set less error at best (deg); the worst case where a phase is not certain.
    pub loss: f64,
    /// Swing of the speed ratio (greatest less least, %) as set less at best.
    pub loss_percent: f64,
    /// Changes that help, best first.
    #[serde(default)]
    pub advice: Vec<Advice>,
}

/// A change that makes the linkage turn more evenly.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Advice {
    /// `ears`, `twist`, `teeth` or `centre`.
    pub kind: String,
    /// Key of the spec that changes, with indices, such as `joint.1.upper.ears`.
    pub key: String,
    /// Its new value: degrees, teeth, or how far a centre moves (mm, vehicle axes).
    pub to: Vec<f64>,
    /// What to do, in words.
    pub what: String,
    /// Error then (deg), at worst.
    pub error: f64,
    /// Greatest speed ratio then, at worst.
    pub ratio_max: f64,
}

/// A change worth telling wins at least this (deg): less is not felt at the wheel.
const LEAST_GAIN: f64 = 0.05;

/// And at least this share of the error.
const LEAST_SHARE: f64 = 0.05;

/// Changes told at the most.
const MOST: usize = 5;

/// Teeth of the serrated hub that is advised: the commonest on 3/4 in (common practice, no source).
const TEETH: u32 = 36;

/// How far a joint is moved (mm): an inch, which most brackets can be shifted by.
const SHIFT: f64 = 25.4;

/// Error (rad) and greatest ratio of a spec with its phases as they are set.
fn evenness(spec: &Spec) -> Option<(Chain, Vec<f64>, Unevenness)> {
    let chain = chain::chain(spec).ok()?;
    let (uneven, psi) = (chain.uneven_angles(), chain.uneven_psi());
    let best = phase::best_phases(&uneven, &psi);
    let set = fit::set_phases(&phase::twists(spec, &chain, &best));
    let whole = Unevenness::of_chain(&uneven, &relative_phases(&set, &psi));
    Some((chain, set, whole))
}

/// The loss, and the changes that help most.
pub(super) fn phases(spec: &Spec, motion: &Motion) -> PhaseResult {
    let swing = |ratio: f64| (ratio - 1.0 / ratio) * 100.0;
    let loss = motion.error - motion.best.error;
    let mut found = PhaseResult {
        loss: loss.max(0.0),
        loss_percent: (swing(motion.ratio_max) - swing(motion.best.ratio_max)).max(0.0),
        advice: Vec::new(),
    };
    let Some((chain, set, _)) = evenness(spec) else { return found };
    let mut changes = Vec::new();
    for i in (0..spec.shafts.len()).filter(|&i| chain.is_phased(i)) {
        ears(spec, i, &mut changes);
        twist(spec, &chain, &set, i, &mut changes);
        teeth(spec, i, &mut changes);
    }
    for i in 1..spec.joints.len() - 1 {
        centre(spec, i, &mut changes);
    }
    for (changed, mut advice) in changes {
        let Some((chain, _, whole)) = evenness(&changed) else { continue };
        // A place that bends a joint past its limit is no advice.
        let bends = changed.joints.iter().zip(&chain.angles).any(|(joint, &angle)| angle > joint.limit);
        (advice.error, advice.ratio_max) = (whole.error().to_degrees(), whole.ratio_max());
        let gain = motion.error - advice.error;
        if gain >= LEAST_GAIN && gain >= LEAST_SHARE * motion.error && (advice.kind != "centre" || !bends) {
            found.advice.push(advice);
        }
    }
    found.advice.sort_by(|a, b| a.error.total_cmp(&b.error));
    let mut kept: Vec<Advice> = Vec::new();
    for advice in found.advice {
        // Of the ways to move one joint the best is enough.
        if kept.len() < MOST && !kept.iter().any(|other| other.key == advice.key) {
            kept.push(advice);
        }
    }
    found.advice = kept;
    found
}

fn advice(kind: &str, key: String, to: Vec<f64>, what: String) -> Advice {
    Advice { kind: kind.into(), key, to, what, error: f64::NAN, ratio_max: f64::NAN }
}

type Changes = Vec<(Spec, Advice)>;

/// A hub with its ears a quarter turn on against its flats.
fn ears(spec: &Spec, i: usize, changes: &mut Changes) {
    for (j, side) in [(i, "lower"), (i + 1, "upper")] {
        let mut changed = spec.clone();
        let hub = if side == "lower" { &mut changed.joints[j].lower } else { &mut changed.joints[j].upper };
        let Some(ears) = hub.ears.filter(|_| hub.fits.is_double_d()) else { continue };
        let to = phase::half_turn(ears.to_degrees() + 90.0);
        hub.ears = Some(to.to_radians());
        let words = if to < 1e-6 {
            "parallel to the flats' edges".to_owned()
        } else {
            format!("at {to:.0}° to the flats' edges")
        };
        let words = if (to - 90.0).abs() < 1e-6 { "across, the flats facing them".to_owned() } else { words };
        let what = format!(
            "joint {}, hub on shaft {}: use one with its ears {words}",
            spec.joints[j].name, spec.shafts[i].name
        );
        changes.push((changed, advice("ears", format!("joint.{j}.{side}.ears"), vec![to], what)));
    }
}

/// Flats milled at the phase that is best with all other shafts left as they are.
fn twist(spec: &Spec, chain: &Chain, set: &[f64], i: usize, changes: &mut Changes) {
    let joints = Joints { angles: &chain.uneven_angles(), psi: &chain.uneven_psi() };
    let to = phase::half_turn(joints.best_of(set, i));
    let mut changed = spec.clone();
    let hubs = [&spec.joints[i].lower, &spec.joints[i + 1].upper];
    let free =
        hubs.iter().any(|hub| matches!(hub.hold, Hold::Weld) || matches!(hub.fits.shape, FormShape::Round { .. }));
    let flats = hubs.iter().all(|hub| hub.fits.is_double_d());
    // What the trade makes: flats milled on round bar, or an end that takes any angle.
    if spec.shafts[i].slip.is_some() || !(free || flats) {
        return;
    }
    changed.shafts[i].twist = Some(TwistWish::Angle(to.to_radians()));
    let how = if free { "set its yokes" } else { "mill its ends from round bar with the yokes" };
    let what = format!("shaft {}: {how} at {to:.1}° to each other", spec.shafts[i].name);
    changes.push((changed, advice("twist", format!("shaft.{i}.twist"), vec![to], what)));
}

/// Teeth in place of flats at the lower end of a shaft, on whichever tooth is best.
fn teeth(spec: &Spec, i: usize, changes: &mut Changes) {
    let hub = &spec.joints[i + 1].upper;
    if !hub.fits.is_double_d() || spec.shafts[i].twist.is_some() || spec.shafts[i].slip.is_some() {
        return;
    }
    let diameter = spec.shafts[i].form_at(ShaftEnd::Lower).diameter();
    let mut changed = spec.clone();
    let hub = &mut changed.joints[i + 1].upper;
    hub.fits = Form { name: None, shape: FormShape::Serrated { teeth: TEETH, diameter, master: false } };
    (hub.ears, hub.tooth) = (None, None);
    let what = format!(
        "shaft {}: a serrated end and hub of {TEETH} teeth at joint {}, on the best tooth",
        spec.shafts[i].name,
        spec.joints[i + 1].name
    );
    changes.push((changed, advice("teeth", format!("joint.{}.upper.fits", i + 1), vec![f64::from(TEETH)], what)));
}

/// An inner joint an inch along each axis.
fn centre(spec: &Spec, i: usize, changes: &mut Changes) {
    let Some(at) = spec.joints[i].centre else { return };
    let ways = [
        (Vec3::new(1.0, 0.0, 0.0), "rearward", "forward"),
        (Vec3::new(0.0, 1.0, 0.0), "to the right", "to the left"),
        (Vec3::new(0.0, 0.0, 1.0), "up", "down"),
    ];
    for (axis, ahead, back) in ways {
        for (sign, word) in [(1.0, ahead), (-1.0, back)] {
            let by = axis * (sign * SHIFT);
            let mut changed = spec.clone();
            changed.joints[i].centre = Some(at + by);
            let what = format!("joint {}: move its cross an inch {word}", spec.joints[i].name);
            changes.push((changed, advice("centre", format!("joint.{i}.centre"), vec![by.x, by.y, by.z], what)));
        }
    }
}

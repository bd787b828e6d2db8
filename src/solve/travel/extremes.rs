//! The linkage over all motions: how far its joints bend, how long and short its shafts get.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::linkage::{Linkage, Spread};
use super::queue::Queue;
use super::side::{Steps, apart};
use super::{tolerance, values};
use crate::diagnostic::Diagnostic;
use crate::solve::chain::Chain;
use crate::solve::fit::Fitted;
use crate::spec::Spec;
use crate::spec::types::{Body, Motion};

/// Places looked at before giving up on one figure.
const BUDGET: usize = 10_000;

/// Corners of the whole box are solved first for up to this many motions.
const CORNERS: usize = 6;

/// What the chain does over all motions, where any moves column, gear or a bearing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OverMotions {
    /// From column to gear.
    pub joints: Vec<JointOver>,
    /// From column to gear.
    pub shafts: Vec<ShaftOver>,
}

/// A joint over all motions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JointOver {
    /// As in the spec.
    pub name: String,
    /// Greatest working angle (deg).
    pub angle_max: Extreme,
    /// How near (mm) its two shaft ends come, at the bound of that angle: the more it bends, the nearer they are.
    pub ends_apart: f64,
}

/// A shaft over all motions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShaftOver {
    /// As in the spec.
    pub name: String,
    /// Distance of its crosses as taped (mm).
    pub taped: f64,
    /// Where its crosses are farthest apart (mm).
    pub longest: Extreme,
    /// Where they are nearest (mm).
    pub shortest: Extreme,
}

/// The greatest or least value of a figure over all motions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Extreme {
    /// Attained.
    pub value: f64,
    /// Proved: it is never past this.
    pub bound: f64,
    /// Value of every motion where it is attained: degrees of a turn, mm otherwise.
    pub at: BTreeMap<String, f64>,
}

impl OverMotions {
    /// That of a shaft.
    pub fn shaft(&self, name: &str) -> Option<&ShaftOver> {
        self.shafts.iter().find(|shaft| shaft.name == name)
    }
}

/// Joints and shafts of a linkage over all motions.
///
/// # Errors
/// A corner of the motions at which the chain has no place, such as a joint that would fold back.
pub fn over_motions(spec: &Spec, chain: &Chain, linkage: &Linkage) -> Result<OverMotions, Vec<Diagnostic>> {
    let search = Search::new(spec, linkage)?;
    let joints = spec.joints.iter().enumerate().map(|(i, joint)| {
        let figure = |chain: &Chain, spread: Option<&Spread>| {
            (chain.angles[i].to_degrees(), spread.map(|s| (s.axes[i] + s.axes[i + 1]).to_degrees()))
        };
        let angle_max = search.greatest(Body::Joint(i), &figure);
        let ends_apart = ends_apart(&Fitted::of(spec, chain, i), angle_max.bound.to_radians());
        JointOver { name: joint.name.clone(), angle_max, ends_apart }
    });
    let shafts = spec.shafts.iter().enumerate().map(|(i, shaft)| {
        let taped = chain.span(i);
        if linkage.keeps_length(i) {
            let same = || Extreme { value: taped, bound: taped, at: BTreeMap::new() };
            return ShaftOver { name: shaft.name.clone(), taped, longest: same(), shortest: same() };
        }
        let figure = |sign: f64| {
            move |chain: &Chain, spread: Option<&Spread>| {
                let slides = |s: &Spread| s.centres[i] + s.centres[i + 1] + s.setbacks[i] + s.setbacks[i + 1];
                (sign * chain.span(i), spread.map(slides))
            }
        };
        let shortest = search.greatest(Body::Shaft(i), &figure(-1.0));
        ShaftOver {
            name: shaft.name.clone(),
            taped,
            longest: search.greatest(Body::Shaft(i), &figure(1.0)),
            shortest: Extreme { value: -shortest.value, bound: -shortest.bound, ..shortest },
        }
    });
    Ok(OverMotions { joints: joints.collect(), shafts: shafts.collect() })
}

/// The nearest (mm) that a joint's shaft ends come at any bend up to `most` (rad).
///
/// Of a single joint they come nearer the more it bends. The crosses of a double one lie the farther from the point
/// where its axes meet, so the bends between are looked at too.
fn ends_apart(joint: &Fitted, most: f64) -> f64 {
    const STEPS: u32 = 32;
    // Past a right angle no joint goes; a bound without an end is one of those.
    let most = most.min(std::f64::consts::FRAC_PI_2);
    (0..=STEPS).map(|i| joint.ends_apart(most * f64::from(i) / f64::from(STEPS))).fold(f64::INFINITY, f64::min)
}

/// A figure of the chain at a place, and how far it can be off over a range about it.
type Figure<'f> = dyn Fn(&Chain, Option<&Spread>) -> (f64, Option<f64>) + 'f;

/// A part of the box.
struct Part {
    range: Steps,
    upper: f64,
}

struct Search<'a> {
    motions: &'a [Motion],
    linkage: &'a Linkage,
    relevant: Vec<usize>,
    range: Steps,
    /// Corners of the box and the chain there.
    corners: Vec<(Vec<f64>, Chain)>,
}

impl<'a> Search<'a> {
    fn new(spec: &'a Spec, linkage: &'a Linkage) -> Result<Self, Vec<Diagnostic>> {
        let motions = &spec.motions;
        let relevant = apart(motions.len(), &linkage.moves());
        let range: Steps = motions
            .iter()
            .enumerate()
            .map(|(m, motion)| if relevant.contains(&m) { motion.steps() } else { [0.0; 2] })
            .collect();
        let mut corners = Vec::new();
        let mut moved = linkage.scratch();
        let bits = relevant.len().min(CORNERS);
        for corner in 0..1_usize << bits {
            let mut steps: Vec<f64> = range.iter().map(|[low, high]| f64::midpoint(*low, *high)).collect();
            for (bit, &m) in relevant.iter().take(bits).enumerate() {
                steps[m] = range[m][corner >> bit & 1];
            }
            let solved = linkage.chain(motions, &steps, &mut moved).map_err(|errors| {
                let at = spec.motions_at(&values(motions, &relevant, &steps)).join(", ");
                let place = relevant.first().and_then(|m| spec.place(&format!("motion.{m}")));
                let told = |error: Diagnostic| Diagnostic {
                    message: format!("with {at}: {}", error.message),
                    ..error.at(place.clone())
                };
                errors.into_iter().map(told).collect::<Vec<_>>()
            })?;
            corners.push((steps, solved));
        }
        Ok(Self { motions, linkage, relevant, range, corners })
    }

    /// The greatest value of a figure of a joint or shaft.
    fn greatest(&self, of: Body, figure: &Figure<'_>) -> Extreme {
        // A motion that carries all the figure hangs on leaves it as it is.
        let relevant = apart(self.motions.len(), &self.linkage.hangs_on(of));
        let still = |m: usize, span: [f64; 2]| if relevant.contains(&m) { span } else { [0.0; 2] };
        let range: Steps = self.range.iter().enumerate().map(|(m, span)| still(m, *span)).collect();
        let mut best = (f64::NEG_INFINITY, Vec::new());
        for (steps, chain) in &self.corners {
            let (value, _) = figure(chain, None);
            if value > best.0 {
                best = (value, steps.clone());
            }
        }
        let wanted = tolerance(relevant.len());
        let mut moved = self.linkage.scratch();
        let mut open = Queue::new();
        open.push(f64::INFINITY, Part { range, upper: f64::INFINITY });
        let mut let_go = f64::NEG_INFINITY;
        while let Some(part) = open.pop() {
            if part.upper <= best.0 + wanted || open.pushed() >= BUDGET {
                let_go = let_go.max(part.upper);
                break;
            }
            let middle: Vec<f64> = part.range.iter().map(|[low, high]| f64::midpoint(*low, *high)).collect();
            let mut upper = part.upper;
            if let Ok(chain) = self.linkage.chain(self.motions, &middle, &mut moved) {
                let spread = self.linkage.spread(self.motions, &part.range, &chain);
                let (value, off) = figure(&chain, spread.as_ref());
                if value > best.0 {
                    best = (value, middle.clone());
                }
                upper = upper.min(value + off.unwrap_or(f64::INFINITY));
            }
            if upper <= best.0 + wanted {
                let_go = let_go.max(upper);
                continue;
            }
            let mut shares = vec![0.0; self.motions.len()];
            self.linkage.shares(self.motions, &part.range, &mut shares);
            let widest =
                (0..shares.len()).filter(|&m| shares[m] > 0.0).max_by(|&a, &b| shares[a].total_cmp(&shares[b]));
            let Some(m) = widest else {
                let_go = let_go.max(upper);
                continue;
            };
            let [low, high] = part.range[m];
            for half in [[low, f64::midpoint(low, high)], [f64::midpoint(low, high), high]] {
                let mut range = part.range.clone();
                range[m] = half;
                open.push(upper, Part { range, upper });
            }
        }
        let rest = open.rest().map(|part| part.upper).fold(let_go, f64::max);
        let bound = rest.max(best.0);
        // A bound without an end has no place in a file; it is far past any limit as it is.
        let bound = if bound.is_finite() { bound } else { best.0 + FAR };
        Extreme { value: best.0, bound, at: values(self.motions, &self.relevant, &best.1) }
    }
}

/// Past any angle in degrees and any change of length in mm.
const FAR: f64 = 1e6;

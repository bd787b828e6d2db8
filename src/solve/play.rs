//! Free play from the fits of bars in their holes, summed at the wheel.
//!
//! A double-D bar in a wider double-D hole turns one way by asin((AF + c)/2r) − asin(AF/2r), AF across the bar's flats,
//! c the hole's clearance across them, r the bar's radius (geometry of the section; derived, verified numerically).

use serde::{Deserialize, Serialize};

use super::solution::End;
use crate::catalog::forms::FormShape::{self, DoubleD};
use crate::spec::Spec;
use crate::spec::types::{Hold, ShaftEnd};

/// Free play at the wheel with the gear held and every screw loose: what hubs and bars alone give.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct FreePlay {
    /// Every fit with flats, from column to gear.
    pub fits: Vec<FitPlay>,
    /// Fits whose play the spec does not tell, in words.
    pub not_known: Vec<String>,
    /// Sum of both ways at the wheel (deg), each fit through the greatest ratio up to it.
    pub at_wheel: f64,
    /// The same along the rim (mm), where the spec gives the wheel's diameter.
    pub at_rim: Option<f64>,
    /// What is allowed along the rim (mm) of a wheel of that size.
    pub rim_allowed: Option<f64>,
}

/// Play of one fit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FitPlay {
    /// In words, such as `joint upper, column-side hub`.
    pub at: String,
    /// One way (deg).
    pub one_way: f64,
    /// Both ways, at the wheel (deg).
    pub at_wheel: f64,
}

/// Inch in mm.
const INCH: f64 = 25.4;

/// Free play (mm) allowed along the rim of a wheel of this diameter (mm): 2 in up to 16 in, 2 1/4 in at 18 in,
/// 2 1/2 in at 20 in and above; between them the lesser. RCW 46.37.375, as quoted in guidance to inspectors.
pub fn rim_allowed(diameter: f64) -> f64 {
    let inches = diameter / INCH;
    INCH * if inches >= 20.0 {
        2.5
    } else if inches >= 18.0 {
        2.25
    } else {
        2.0
    }
}

/// Play one way (deg) of a double-D bar in a double-D hole.
pub fn one_way(hole: FormShape, bar: FormShape) -> Option<f64> {
    let (DoubleD { flats: hole, .. }, DoubleD { diameter, flats, .. }) = (hole, bar) else { return None };
    // A hole as wide as the round turns freely: the arcsine stops at a quarter turn.
    let reach = |across: f64| libm::asin((across / diameter).clamp(-1.0, 1.0)).to_degrees();
    Some(reach(hole.max(flats)) - reach(flats))
}

/// Every fit from column to gear; `ratios` is the greatest speed ratio up to each joint's output.
pub(super) fn free_play(spec: &Spec, ratios: &[f64]) -> FreePlay {
    let mut found = FreePlay::default();
    let mut add = |at: String, play: Option<f64>, clamped: bool, ratio: f64| match play {
        // What turns by a degree beyond a ratio of 1/r asks the wheel for r degrees.
        Some(one_way) => found.fits.push(FitPlay { at, one_way, at_wheel: 2.0 * one_way * ratio }),
        None if clamped => {}
        None => found.not_known.push(at),
    };
    for (i, joint) in spec.joints.iter().enumerate() {
        let above = i.checked_sub(1).and_then(|i| ratios.get(i)).copied().unwrap_or(1.0);
        let below = ratios.get(i).copied().unwrap_or(1.0);
        for (end, hub, ratio) in [(End::Upper, &joint.upper, above), (End::Lower, &joint.lower, below)] {
            let bar = match end {
                End::Upper => i.checked_sub(1).and_then(|i| spec.shafts.get(i)).map(|s| s.form_at(ShaftEnd::Lower)),
                End::Lower => spec.shafts.get(i).map(|shaft| shaft.form_at(ShaftEnd::Upper)),
            };
            let drive = if end == End::Upper { &spec.column.form } else { &spec.gear.form };
            let side = if end == End::Upper { "column" } else { "gear" };
            // Welded or squeezed on teeth: nothing is left to move.
            let clamped = matches!(hub.hold, Hold::Weld | Hold::Pinch(_));
            let play = one_way(hub.fits.shape, bar.unwrap_or(drive).shape);
            add(format!("joint {}, {side}-side hub", joint.name), play, clamped, ratio);
        }
        if let Some(shaft) = spec.shafts.get(i)
            && let Some(slip) = &shaft.slip
        {
            let play = one_way(slip.hole.shape, shaft.stock.shape).filter(|_| slip.hole_stated);
            add(format!("shaft {}, inner member in the outer", shaft.name), play, false, below);
        }
    }
    found.at_wheel = found.fits.iter().map(|fit| fit.at_wheel).sum();
    let wheel = spec.clocking.as_ref().and_then(|clocking| clocking.wheel_diameter);
    found.at_rim = wheel.map(|diameter| diameter / 2.0 * found.at_wheel.to_radians());
    found.rim_allowed = wheel.map(rim_allowed);
    found
}

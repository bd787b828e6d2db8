//! Whether sliding a joint along the column's or the gear's shaft makes up for a shaft that is too short or too long.

use super::made::seat;
use super::wanted_bite;
use crate::geometry::root;
use crate::quantity::{both_units, degrees};
use crate::solve::chain::{self, Chain};
use crate::solve::solution::JointMove;
use crate::spec::Spec;
use crate::spec::types::{DriveEnd, Hold, Hub, Spot};

/// How closely a slide is found (mm): a tenth of a micrometre.
const FOUND: f64 = 1e-4;

/// Which end of the linkage a joint slides on.
#[derive(Clone, Copy, PartialEq)]
enum On {
    Column,
    Gear,
}

impl On {
    const fn word(self) -> &'static str {
        match self {
            Self::Column => "column",
            Self::Gear => "gear",
        }
    }
}

/// Every joint beside shaft `i` that sits on the column's or the gear's own shaft; `made` is the shaft's length.
pub(super) fn moves(spec: &Spec, i: usize, made: f64) -> Vec<JointMove> {
    let mut moves = Vec::new();
    if i == 0 {
        moves.push(slide(spec, i, made, On::Column));
    }
    if i + 1 == spec.shafts.len() {
        moves.push(slide(spec, i, made, On::Gear));
    }
    moves
}

fn hub_on(spec: &Spec, on: On) -> (&Hub, &DriveEnd) {
    match on {
        On::Column => (&spec.joints[0].upper, &spec.column),
        On::Gear => (&spec.joints[spec.joints.len() - 1].lower, &spec.gear),
    }
}

/// The crosses with the joint slid toward the shaft by that much (mm).
fn slid(spec: &Spec, on: On, by: f64) -> Option<Chain> {
    let mut moved = spec.clone();
    let (hub, drive) = hub_on(spec, on);
    let engaged = hub.engagement(drive.groove) - by;
    let last = moved.joints.len() - 1;
    match on {
        On::Column => seat(&mut moved.joints[0].upper, Some(&mut moved.column), engaged),
        On::Gear => seat(&mut moved.joints[last].lower, Some(&mut moved.gear), engaged),
    }
    chain::chain(&moved).ok()
}

fn slide(spec: &Spec, i: usize, made: f64, on: On) -> JointMove {
    let text = |mm: f64| both_units(mm, spec.build.units);
    let (hub, drive) = hub_on(spec, on);
    let joint = if on == On::Column { &spec.joints[0] } else { &spec.joints[spec.joints.len() - 1] };
    let engaged = hub.engagement(drive.groove);
    let wanted = wanted_bite(spec, drive.form.diameter());
    let gaps = spec.joints[i].lower.gap(None) + spec.joints[i + 1].upper.gap(None);
    // Length that the shaft would need with the joint slid by that much, over what it has.
    let lacks = |by: f64| slid(spec, on, by).map_or(f64::NAN, |chain| chain.span(i) - gaps - made);
    let none = |why: String| JointMove {
        joint: joint.name.clone(),
        on: on.word().to_owned(),
        slide: None,
        bite: None,
        wanted,
        angles: Vec::new(),
        saves: false,
        why,
    };
    if matches!(hub.hold, Hold::Pinch(_)) && drive.groove.is_some() {
        return none(format!("its pinch bolt lies in the groove of the {} shaft, so it has one place only", on.word()));
    }
    // Toward the shaft until it comes off; away from it until its shaft meets the cavity or the hub meets the housing.
    let deepest = hub.depth.min(drive.exposed).max(engaged);
    let (low, high) = if lacks(0.0) > 0.0 { (0.0, engaged) } else { (engaged - deepest, 0.0) };
    let Ok(by) = root::find(lacks, low, high, FOUND) else {
        return none(if high > 0.0 {
            format!("sliding it off the {} shaft altogether would not make it up", on.word())
        } else {
            format!("it can go no further than {} up the {} shaft, which is not enough", text(-low), on.word())
        });
    };
    let bite = (engaged - by).min(hub.bite);
    let chain = slid(spec, on, by);
    let angle = |j: usize| chain.as_ref().and_then(|chain| chain.angles.get(j)).copied().unwrap_or(f64::NAN);
    let over = [i, i + 1].into_iter().find(|&j| angle(j) > spec.joints[j].limit);
    let drilled = hub.screws().iter().any(|screw| screw.spot == Spot::Drill);
    let way = if by > 0.0 { "out along" } else { "further onto" };
    let does = format!("slid {} {way} the {} shaft it holds {}", text(by.abs()), on.word(), text(bite));
    let (saves, why) = if bite < wanted {
        (false, format!("{does}, and {} is wanted", text(wanted)))
    } else if let Some(j) = over {
        let name = &spec.joints[j].name;
        (false, format!("{does}, but joint \"{name}\" would work at {}", degrees(angle(j).to_degrees(), 1)))
    } else {
        let spot = if drilled {
            format!("; spot the {} shaft anew under its screws, never through an old dimple's edge", on.word())
        } else {
            String::new()
        };
        // The spec's own key for it, from where the hub is flush.
        let seat = hub.depth - (engaged - by);
        (true, format!("{does}; write `seat = \"{}\"` in its hub and make the package again{spot}", seat_text(seat)))
    };
    JointMove {
        joint: joint.name.clone(),
        on: on.word().to_owned(),
        slide: Some(by),
        bite: Some(bite),
        wanted,
        angles: vec![angle(i).to_degrees(), angle(i + 1).to_degrees()],
        saves,
        why,
    }
}

/// A seat as the spec writes it: hundredths of a millimetre, and never under zero by a rounding.
fn seat_text(mm: f64) -> String {
    crate::quantity::millimetres(mm.max(0.0), 2)
}

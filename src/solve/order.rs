//! The order list: what to buy and what bar to cut.

use std::collections::BTreeMap;

use super::solution::{BoltResult, NotchResult, OrderLine, ShaftResult};
use crate::geometry::Vec2;
use crate::quantity::{Unit, both_units};
use crate::spec::Spec;
use crate::spec::types::{Hold, HoleSize, Joint, LinerKind};

/// Joints by their bores, bar by its sawing length, bearings, tube and plate that make a notched rail good, screws, lock
/// nuts, pinch bolts and plate bolts; like with like.
pub fn order(spec: &Spec, shafts: &[ShaftResult], bolts: &[BoltResult], notches: &[NotchResult]) -> Vec<OrderLine> {
    let units = spec.build.units;
    let mut lines = Vec::new();
    let mut joints: BTreeMap<(&str, String), u32> = BTreeMap::new();
    let mut fasteners: BTreeMap<(&str, String), u32> = BTreeMap::new();
    for Joint { upper, lower, double, .. } in &spec.joints {
        let bores = format!("{} by {}", upper.fits.words(units), lower.fits.words(units));
        let single_or_double = match double {
            Some(span) => ("double joint", format!("{bores}, {} between crosses", both_units(*span, units))),
            None => ("joint", bores),
        };
        *joints.entry(single_or_double).or_default() += 1;
        for hub in [upper, lower] {
            for screw in hub.screws() {
                let words = format!("{} {} point", screw.thread.name, screw.point.word());
                *fasteners.entry(("set screw", words)).or_default() += 1;
                if screw.jam {
                    *fasteners.entry(("lock nut", screw.thread.name.clone())).or_default() += 1;
                }
            }
            if let Hold::Pinch(pinch) = &hub.hold {
                *fasteners.entry(("pinch bolt", pinch.bolt.name.clone())).or_default() += 1;
            }
        }
    }
    for plate in &spec.plates {
        for hole in &plate.holes {
            if let HoleSize::Clearance { bolt, .. } = &hole.size {
                *fasteners.entry(("bolt", bolt.clone())).or_default() += u32::try_from(hole.at.len()).unwrap_or(0);
            }
        }
    }
    for ((item, what), quantity) in joints {
        lines.push(OrderLine { item: item.to_owned(), what, quantity, length: None });
    }
    for (shaft, result) in spec.shafts.iter().zip(shafts) {
        for member in &result.members {
            let what = format!("{}, {}", member.stock, shaft.material.title);
            lines.push(OrderLine { item: "bar".to_owned(), what, quantity: 1, length: Some(member.cut_long) });
        }
        if !result.members.is_empty() {
            continue;
        }
        let what = format!("{}, {}", result.stock, shaft.material.title);
        lines.push(OrderLine { item: "bar".to_owned(), what, quantity: 1, length: Some(result.cut_long) });
    }
    for shaft in &spec.shafts {
        let Some(bearing) = &shaft.bearing else { continue };
        let what = match bearing.bore {
            Some(bore) => format!("bore {}, for {}", both_units(bore, units), shaft.stock.words(units)),
            None => format!("for {}", shaft.stock.words(units)),
        };
        lines.push(OrderLine { item: "bearing".to_owned(), what, quantity: 1, length: None });
    }
    lines.extend(repair(notches, units));
    for bolt in bolts {
        let what = format!("{}, \"{}\", grip {}", bolt.bolt, bolt.name, both_units(bolt.grip, units));
        lines.push(OrderLine { item: "bolt".to_owned(), what, quantity: 1, length: bolt.length });
    }
    for ((item, what), quantity) in fasteners {
        lines.push(OrderLine { item: item.to_owned(), what, quantity, length: None });
    }
    lines
}

/// Material of what is welded to a rail, whose own the spec does not say.
const AS_RAIL: &str = "weldable steel like the rail's";

/// Tube for liners and sleeves by its sawing length, plate for doublers by what a rectangle of it must hold.
fn repair(notches: &[NotchResult], units: Unit) -> Vec<OrderLine> {
    let mut lines: Vec<OrderLine> = Vec::new();
    let mut add = |line: OrderLine| {
        let same =
            |other: &&mut OrderLine| other.item == line.item && other.what == line.what && line.length == other.length;
        match lines.iter_mut().find(same) {
            Some(other) => other.quantity += line.quantity,
            None => lines.push(line),
        }
    };
    // A notch that needs no cut needs nothing set into it.
    for notch in notches.iter().filter(|notch| !notch.shop.is_empty()) {
        if let Some(liner) = &notch.liner {
            let kind = match liner.kind {
                LinerKind::Liner => "liner",
                LinerKind::Sleeve => "sleeve",
            };
            let (outside, wall) = (both_units(liner.outside, units), both_units(liner.wall, units));
            let what = format!("{outside} outside, {wall} wall, {AS_RAIL}, {kind} of \"{}\"", notch.name);
            add(OrderLine { item: "tube".to_owned(), what, quantity: 1, length: Some(liner.length) });
        }
        for doubler in &notch.doublers {
            let far = Vec2::new(f64::INFINITY, f64::INFINITY);
            let (low, high) = doubler.outline.iter().flatten().fold((far, -far), |(low, high), p| {
                (Vec2::new(low.x.min(p.x), low.y.min(p.y)), Vec2::new(high.x.max(p.x), high.y.max(p.y)))
            });
            let size = high - low;
            let (thick, wide) = (both_units(doubler.thick, units), both_units(size.x.min(size.y), units));
            let what = format!("{thick} thick, {wide} wide, {AS_RAIL}, doubler of \"{}\"", notch.name);
            add(OrderLine { item: "plate".to_owned(), what, quantity: 1, length: Some(size.x.max(size.y)) });
        }
    }
    lines
}

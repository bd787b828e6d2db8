//! The order list: what to buy and what bar to cut.

use std::collections::BTreeMap;

use super::solution::{BoltResult, OrderLine, ShaftResult};
use crate::quantity::both_units;
use crate::spec::Spec;
use crate::spec::types::{Hold, HoleSize, Joint};

/// Joints by their bores, bar by its sawing length, bearings, screws, lock nuts, pinch bolts and plate bolts; like with
/// like.
pub fn order(spec: &Spec, shafts: &[ShaftResult], bolts: &[BoltResult]) -> Vec<OrderLine> {
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
    for bolt in bolts {
        let what = format!("{}, \"{}\", grip {}", bolt.bolt, bolt.name, both_units(bolt.grip, units));
        lines.push(OrderLine { item: "bolt".to_owned(), what, quantity: 1, length: bolt.length });
    }
    for ((item, what), quantity) in fasteners {
        lines.push(OrderLine { item: item.to_owned(), what, quantity, length: None });
    }
    lines
}

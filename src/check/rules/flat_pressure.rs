//! Pressure of the flats in a double-D hole against yield.

use super::{Confidence, Rule, number};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "flat-pressure",
    title: "pressure on the flats (share of the shaft's yield)",
    limit: Some(number(0.9)),
    confidence: Confidence::D,
    source: "pressure 6T/(Lw²), linear from middle to edge of a flat; 0.9 of yield: common practice, no source",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let share = case.limit();
    for row in &case.solution.strength.shafts {
        let material = case.spec.shafts.iter().find(|shaft| shaft.name == row.name).map(|shaft| &shaft.material);
        let (Some(pressure), Some(material)) = (row.flat_pressure, material) else { continue };
        let subject = format!("shaft {}", row.name);
        let remedy = "lengthen the bite or use a stronger steel; the hub's own steel is not known here";
        case.at_most(&subject, "pressure on the flats", pressure, share * material.yield_strength, "MPa", remedy);
    }
}

//! Where each number came from and how sure it is.

use super::table::Table;
use super::value;
use crate::quantity;
use crate::solve::Solution;
use crate::spec::Spec;
use crate::spec::types::{Axes, Build};

/// Of a figure nobody measured twice.
const NOT_KNOWN: &str = "not known";

/// One row: what, its value, where from, one standard deviation or what stands in for it.
pub(super) fn table(spec: &Spec, solution: &Solution) -> Table {
    let mut table = Table::new(&[("figure", 52.0), ("value", 44.0), ("where from", 50.0), ("how sure", 40.0)]);
    points(&mut table, spec, solution);
    for (joint, result) in spec.joints.iter().zip(&solution.joints) {
        for (side, key, hub) in [("column", "upper", &joint.upper), ("gear", "lower", &joint.lower)] {
            for (what, name, mm) in [("reach", "reach", hub.reach), ("depth", "depth", hub.depth)] {
                let i = spec.joints.iter().position(|other| other.name == joint.name).unwrap_or(0);
                let (from, sure) = stated(spec, &format!("joint.{i}.{key}.{name}"));
                table.row([
                    format!("joint {}, {side}-side hub, {what}", joint.name),
                    value::both(&spec.build, mm),
                    from,
                    sure,
                ]);
            }
        }
        table.row([
            format!("joint {}, working angle", joint.name),
            quantity::degrees(result.angle, 1),
            "solved from the places of column, gear and bearings".to_owned(),
            result.angle_sigma.map_or_else(|| NOT_KNOWN.to_owned(), |s| format!("± {}", quantity::degrees(s, 2))),
        ]);
    }
    for (i, (shaft, result)) in spec.shafts.iter().zip(&solution.shafts).enumerate() {
        let (from, sure) = stated(spec, &format!("shaft.{i}.stock"));
        table.row([format!("shaft {}, bar", shaft.name), result.stock.clone(), from, sure]);
        table.row([
            format!("shaft {}, yield of {}", shaft.name, shaft.material.title),
            quantity::stress(shaft.material.yield_strength),
            shaft.material.source.clone(),
            "assumed until a certificate says so".to_owned(),
        ]);
        table.row([
            format!("shaft {}, finished length", shaft.name),
            value::both(&spec.build, result.cut_length),
            "solved".to_owned(),
            sigma(&spec.build, result.cut_length_sigma),
        ]);
    }
    if let Some(torque) = spec.wheel_torque {
        table.row([
            "design torque at the wheel".to_owned(),
            quantity::torque(torque),
            "assumed: stated in the spec".to_owned(),
            "a choice, not a measurement".to_owned(),
        ]);
    }
    for row in &solution.clearances {
        table.row([
            format!("gap, {} to {}", row.part, row.obstacle),
            value::both(&spec.build, row.gap),
            "solved from the places of both".to_owned(),
            sigma(&spec.build, row.gap_sigma),
        ]);
    }
    for value in &spec.unmeasured {
        table.row([
            value.what.clone(),
            String::new(),
            "catalogue: common practice, no standard".to_owned(),
            "measure and confirm".to_owned(),
        ]);
    }
    table
}

fn sigma(build: &Build, mm: Option<f64>) -> String {
    mm.map_or_else(|| NOT_KNOWN.to_owned(), |mm| format!("± {}, one standard deviation", value::both(build, mm)))
}

/// Whether a key was stated or filled in from the catalogue.
fn stated(spec: &Spec, key: &str) -> (String, String) {
    let unmeasured = spec.unmeasured.iter().any(|value| value.key == key || value.key.starts_with(&format!("{key}.")));
    if unmeasured {
        ("catalogue".to_owned(), "measure and confirm".to_owned())
    } else {
        ("measured: stated in the spec".to_owned(), NOT_KNOWN.to_owned())
    }
}

/// The points that column and gear hang on.
fn points(table: &mut Table, spec: &Spec, solution: &Solution) {
    let build = &spec.build;
    let step = format!("tape read to {}", value::both(build, build.tape_step));
    if spec.axes == Axes::MockUp {
        table.row([
            "place of the linkage".to_owned(),
            String::new(),
            "mock-up: measured on the vehicle with a trial bar".to_owned(),
            step,
        ]);
        return;
    }
    if let Some(survey) = &solution.survey {
        for point in &survey.points {
            table.row([
                format!("point {}", point.name),
                format!(
                    "x {}\ny {}\nz {}",
                    value::both(build, point.at.x),
                    value::both(build, point.at.y),
                    value::both(build, point.at.z)
                ),
                "survey: tapes, heights and slopes adjusted together".to_owned(),
                format!("± {} at worst, one standard deviation", value::both(build, point.sigma_max)),
            ]);
        }
        return;
    }
    for (name, end) in [("column", spec.column.end), ("gear", spec.gear.end)] {
        table.row([
            format!("{name}, end of its shaft"),
            format!(
                "x {}\ny {}\nz {}",
                value::both(build, end.x),
                value::both(build, end.y),
                value::both(build, end.z)
            ),
            "measured: coordinates in the spec".to_owned(),
            format!("{NOT_KNOWN}; {step}"),
        ]);
    }
}

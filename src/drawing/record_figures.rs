//! The figures that matter most, each with its place in `results.json`.

use crate::quantity;
use crate::solve::Solution;
use crate::spec::Spec;
use crate::spec::types::Unit;

/// One figure.
#[derive(Debug, Clone, PartialEq)]
pub struct KeyFigure {
    /// JSON pointer (RFC 6901) into `results.json`.
    pub pointer: String,
    /// What it is.
    pub label: String,
    /// As solved, in `unit`.
    pub value: f64,
    /// `mm` or `deg`.
    pub unit: &'static str,
    /// As people read it.
    pub text: String,
}

/// Lengths, angles, stations and gaps, from column to gear.
pub fn figures(spec: &Spec, solution: &Solution) -> Vec<KeyFigure> {
    let mut list = List { units: spec.build.units, figures: Vec::new() };
    for (i, shaft) in solution.shafts.iter().enumerate() {
        let name = &shaft.name;
        let at = |key: &str| format!("/shafts/{i}/{key}");
        list.length(at("cut_length"), format!("shaft {name}, finished length"), shaft.cut_length);
        if shaft.members.is_empty() {
            list.length(at("cut_long"), format!("shaft {name}, sawing length"), shaft.cut_long);
        }
        for (m, member) in shaft.members.iter().enumerate() {
            let label = format!("shaft {name}, {} member, finished length", member.name);
            list.length(at(&format!("members/{m}/cut_length")), label, member.cut_length);
        }
        for (n, dimple) in shaft.dimples.iter().enumerate() {
            let label = format!("shaft {name}, dimple {}, from its end", n + 1);
            list.length(at(&format!("dimples/{n}/station")), label, dimple.station);
        }
        list.angle(at("twist/off_max"), format!("shaft {name}, yoke phase off its best"), shaft.twist.off_max);
    }
    for (i, joint) in solution.joints.iter().enumerate() {
        let name = &joint.name;
        let at = |key: &str| format!("/joints/{i}/{key}");
        list.angle(at("angle"), format!("joint {name}, working angle"), joint.angle);
        list.length(
            at("upper_engagement"),
            format!("joint {name}, shaft in its column-side hub"),
            joint.upper_engagement,
        );
        list.length(
            at("lower_engagement"),
            format!("joint {name}, shaft in its gear-side hub"),
            joint.lower_engagement,
        );
        list.length(at("end_clearance"), format!("joint {name}, between shaft ends"), joint.end_clearance);
    }
    for (i, row) in solution.clearances.iter().enumerate() {
        list.length(format!("/clearances/{i}/gap"), format!("gap, {} to {}", row.part, row.obstacle), row.gap);
    }
    list.angle("/motion/error".into(), "gear ahead and behind the wheel".into(), solution.motion.error);
    list.figures
}

struct List {
    units: Unit,
    figures: Vec<KeyFigure>,
}

impl List {
    fn length(&mut self, pointer: String, label: String, mm: f64) {
        let text = quantity::both_units(mm, self.units);
        self.figures.push(KeyFigure { pointer, label, value: mm, unit: "mm", text });
    }

    fn angle(&mut self, pointer: String, label: String, degrees: f64) {
        let text = quantity::degrees(degrees, 2);
        self.figures.push(KeyFigure { pointer, label, value: degrees, unit: "deg", text });
    }
}

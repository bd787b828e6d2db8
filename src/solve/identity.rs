//! What a part is called and what is said of it beside its shape, in its STEP file.

use super::liner_part::LinerPart;
use super::member::Member;
use super::solution::{PlateResult, RailResult, SpotWhen};
use crate::spec::Spec;
use crate::spec::types::{Build, Section};

/// A part in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    /// Product name.
    pub name: String,
    /// Build-record number and name.
    pub part_number: String,
    /// What it is made of.
    pub description: String,
    /// More texts by name; none is empty.
    pub texts: Vec<(&'static str, String)>,
}

/// A shaft, or a member of one.
pub fn shaft(spec: &Spec, i: usize, member: &Member) -> Identity {
    let material = spec.shafts.get(i).map(|shaft| shaft.material.title.clone()).unwrap_or_default();
    let mut notes = vec![edges(&spec.build)];
    let mut toothed = "";
    if member.has_teeth() {
        toothed = ", teeth as a plain cylinder of their outside diameter";
        notes.push(
            "Teeth stand as a plain cylinder of their outside diameter: cut them to their own standard.".to_owned(),
        );
    }
    let fitted = member.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Fit).count();
    if fitted > 0 {
        notes.push(format!("Not in the solid: {fitted} dimples spotted through the hub on assembly."));
    }
    let description = format!("{}, {material}{toothed}", member.stock);
    identity(spec, &member.name, description, &material, &notes)
}

/// A plate.
pub fn plate(spec: &Spec, plate: &PlateResult) -> Identity {
    let description = format!("plate {:.3} mm thick", plate.thick);
    let mut notes = vec![edges(&spec.build)];
    notes.extend(plate.bends.iter().map(|bend| {
        let way = if bend.up { "toward" } else { "away from" };
        format!("Bend {}: {:.1} deg {way} the viewer, inside radius {:.3} mm.", bend.name, bend.angle, bend.inside)
    }));
    identity(spec, &plate.name, description, "", &notes)
}

/// A rail with its notches.
pub fn rail(spec: &Spec, rail: &RailResult) -> Identity {
    let shape = spec.rails.iter().find(|other| other.name == rail.name).map(|rail| match rail.section {
        Section::Tube { height, width, wall, .. } => format!("tube {height:.3} × {width:.3} × {wall:.3} mm"),
        Section::Channel { height, width, wall, .. } => format!("channel {height:.3} × {width:.3} × {wall:.3} mm"),
        Section::Pipe { diameter, wall } => format!("pipe {diameter:.3} × {wall:.3} mm"),
    });
    let ends = "Its ends are the two points of the spec, not those of the rail in the vehicle.".to_owned();
    identity(spec, &rail.name, shape.unwrap_or_default(), "", &[edges(&spec.build), ends])
}

/// A liner or sleeve.
pub fn liner(spec: &Spec, part: &LinerPart<'_>) -> Identity {
    let liner = part.liner;
    let description = format!("round tube {:.3} × {:.3} mm, {:.1} mm of it", liner.outside, liner.wall, liner.length);
    let ends = "Both ends are cut flush with the outside of the rail.".to_owned();
    identity(spec, &part.name, description, "", &[edges(&spec.build), ends])
}

/// What stands for a part that is not made from this spec.
pub fn stand_in(spec: &Spec, name: &str) -> Identity {
    identity(spec, name, String::new(), "", &[])
}

/// What every product of the linkage says of where it is from: revision, tolerances, and the hash of its spec.
fn identity(spec: &Spec, name: &str, description: String, material: &str, notes: &[String]) -> Identity {
    let build = &spec.build;
    let part_number = format!("{} {name}", build.record).trim().to_owned();
    let mut texts = vec![("part number", part_number.clone())];
    let mut say = |name, text: &str| {
        if !text.is_empty() {
            texts.push((name, text.to_owned()));
        }
    };
    say("revision", &build.revision);
    say("vehicle", &build.vehicle);
    say("material", material);
    for note in notes {
        say("note", note);
    }
    say("spec SHA-256", &spec.sha256);
    Identity { name: name.to_owned(), part_number, description, texts }
}

fn edges(build: &Build) -> String {
    format!("Break all sharp edges. General tolerances {}.", build.general.name())
}

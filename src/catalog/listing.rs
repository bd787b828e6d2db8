//! The catalogue as one table, for people.

use serde::Serialize;

use super::forms::{FormEntry, FormShape};
use super::{fasteners, forms, joints, materials, sheets};
use crate::quantity::{Unit, both_units, millimetres, stress, torque};

/// A row of the catalogue.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Row {
    /// `form`, `stock`, `joint`, `thread`, `set screw`, `clearance hole`, `material` or `sheet`.
    pub kind: &'static str,
    /// The name a spec writes.
    pub name: String,
    /// In words.
    pub title: String,
    /// Its sizes, in both units.
    pub sizes: String,
    /// A standard, or "common practice, measure yours".
    pub source: String,
}

/// Every entry, in the order of the files.
pub fn listing() -> Vec<Row> {
    let form = |kind| {
        move |entry: &FormEntry| Row {
            kind,
            name: entry.name.clone(),
            title: entry.title.clone(),
            sizes: form_sizes(entry.shape),
            source: entry.source.clone(),
        }
    };
    let mut rows: Vec<Row> = forms::forms().iter().map(form("form")).collect();
    rows.extend(forms::stock().iter().map(form("stock")));
    rows.extend(joints::joints().iter().map(|joint| Row {
        kind: "joint",
        name: joint.part.clone(),
        title: joint.title.clone(),
        sizes: joint_sizes(&joint.keys),
        source: joint.source.clone(),
    }));
    rows.extend(fasteners::threads().iter().map(|entry| Row {
        kind: "thread",
        name: entry.thread.name.clone(),
        title: format!("tap drill {}", entry.tap_drill),
        sizes: format!(
            "diameter {}, pitch {}",
            both_units(entry.thread.diameter, Unit::Inch),
            millimetres(entry.thread.pitch, 3)
        ),
        source: entry.source.clone(),
    }));
    rows.extend(fasteners::set_screws().iter().map(|screw| Row {
        kind: "set screw",
        name: screw.size.clone(),
        title: match screw.seating {
            Some(seating) => format!("seating torque {}", torque(seating)),
            None => "seating torque not known".into(),
        },
        sizes: format!(
            "cup {}, dog {}, dog length {}, hexagon key {}",
            both_units(screw.cup, Unit::Inch),
            both_units(screw.dog, Unit::Inch),
            both_units(screw.dog_length, Unit::Inch),
            both_units(screw.hex, Unit::Inch)
        ),
        source: screw.source.clone(),
    }));
    rows.extend(fasteners::clearance_holes().iter().map(|hole| Row {
        kind: "clearance hole",
        name: hole.name(),
        title: format!("hole for a {} bolt, {} fit", hole.bolt, hole.fit),
        sizes: hole.size(),
        source: hole.source.clone(),
    }));
    rows.extend(materials::materials().iter().map(|material| Row {
        kind: "material",
        name: material.name.clone(),
        title: material.title.clone(),
        sizes: format!(
            "yield {}, shear modulus {} GPa",
            stress(material.yield_strength),
            material.shear_modulus / 1000.0
        ),
        source: material.source.clone(),
    }));
    rows.extend(sheets::sheets().iter().map(|sheet| Row {
        kind: "sheet",
        name: sheet.name.clone(),
        title: sheet.title.clone(),
        sizes: sheet.size.map(|side| both_units(side, Unit::Inch)).join(" by "),
        source: sheet.source.clone(),
    }));
    rows
}

fn form_sizes(shape: FormShape) -> String {
    let both = |mm| both_units(mm, Unit::Inch);
    let bored = |bore: Option<f64>| bore.map_or_else(String::new, |bore| format!(", bore {}", both(bore)));
    match shape {
        FormShape::DoubleD { diameter, flats, bore } => {
            format!("diameter {}, across flats {}{}", both(diameter), both(flats), bored(bore))
        }
        FormShape::Serrated { teeth, diameter, .. } => format!("{teeth} teeth, diameter {}", both(diameter)),
        FormShape::Round { diameter, bore } => format!("diameter {}{}", both(diameter), bored(bore)),
    }
}

/// The keys a joint's file states once for both hubs, then those of each hub.
fn joint_sizes(keys: &toml::Table) -> String {
    let sized = |table: &toml::Table, key: &str| {
        let text = table.get(key)?.as_str()?;
        let mm = crate::quantity::parse_length(text, Unit::Millimetre).ok()?;
        Some(format!("{key} {}", both_units(mm, Unit::Inch)))
    };
    let mut parts: Vec<String> = ["swing", "hub"].iter().filter_map(|key| sized(keys, key)).collect();
    for side in ["upper", "lower"] {
        let Some(hub) = keys.get(side).and_then(toml::Value::as_table) else { continue };
        let fits = hub.get("fits").and_then(toml::Value::as_str).unwrap_or("its own form");
        let sizes: Vec<String> = ["reach", "depth"].iter().filter_map(|key| sized(hub, key)).collect();
        parts.push(format!("{side} hub for {fits}: {}", sizes.join(", ")));
    }
    parts.join("; ")
}

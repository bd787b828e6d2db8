//! What the drawing of a shaft says beside its views: the table of spots, the order of work, the cautions.

use super::layout::Note;
use super::shaft::mark;
use super::table::Table;
use super::value;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::solution::{Dimple, End, EndSpot, On, ShaftResult, SpotWhen};
use crate::spec::Spec;
use crate::spec::types::{Axes, Hold, Hub};

/// A scale as ISO 5455 writes it.
pub(super) fn scale(scale: f64) -> String {
    if scale > 1.0 {
        format!("{}:1", quantity::fixed(scale, 0))
    } else {
        format!("1:{}", quantity::fixed(1.0 / scale, 0))
    }
}

/// Words and angle (rad, clockwise in the end view from the flats' edges) of the ears at each end, one where they agree.
pub(super) fn ears(spec: &Spec, index: usize, result: &ShaftResult) -> Vec<(&'static str, f64)> {
    /// Two ears lines nearer than this (rad) are drawn as one.
    const SAME: f64 = 0.01;
    let quarter = std::f64::consts::FRAC_PI_2;
    let upper = spec.joints.get(index).map(|joint| joint.lower.ears);
    let lower = spec.joints.get(index + 1).map(|joint| joint.upper.ears);
    // Without flats +x is the upper yoke's trunnion axis, a quarter turn from the level line of the view.
    let upper = upper.map(|ears| ears.unwrap_or(quarter));
    let lower = lower.flatten().map(|ears| ears + result.twist.flats.to_radians());
    match (upper, lower) {
        (Some(upper), Some(lower)) => {
            let apart = libm::sin(upper - lower).abs();
            if apart < SAME { vec![("ears", upper)] } else { vec![("upper ears", upper), ("lower ears", lower)] }
        }
        (Some(upper), None) => vec![("upper ears", upper)],
        (None, Some(lower)) => vec![("lower ears", lower)],
        (None, None) => Vec::new(),
    }
}

pub(super) fn drill_words(drill: f64) -> String {
    if (drill - 180.0).abs() < 1e-6 { "flat bottom".into() } else { quantity::degrees(drill, 0) }
}

const fn when(spot: SpotWhen) -> &'static str {
    match spot {
        SpotWhen::Drill => "on the bench",
        SpotWhen::Fit => "through the hub, on assembly",
        SpotWhen::None => "no spot",
    }
}

/// A size of a spot: in brackets where the hub gives it on assembly, none where nothing is made.
pub(super) fn size(spec: &Spec, spot: SpotWhen, mm: f64) -> String {
    let [first, second] = value::pair(&spec.build, mm);
    match spot {
        SpotWhen::Drill => format!("{first}\n{second}"),
        SpotWhen::Fit => format!("({first})\n({second})"),
        SpotWhen::None => "none".into(),
    }
}

fn end_rows(table: &mut Table, spec: &Spec, spots: &[EndSpot], shaft: &str, letter: char) {
    for (number, spot) in spots.iter().enumerate() {
        table.row([
            format!("{letter}{}", number + 1),
            shaft.to_owned(),
            if spot.on == On::Flat { "flat".into() } else { "round".into() },
            value::two_lines(&spec.build, spot.station),
            "at screw".into(),
            size(spec, spot.spot, spot.diameter),
            size(spec, spot.spot, spot.depth),
            if spot.spot == SpotWhen::None { "none".into() } else { drill_words(spot.drill) },
            when(spot.spot).into(),
        ]);
    }
}

/// Every spot under a set screw on this shaft, and on the column's and the gear's where they meet it.
pub(super) fn spots(spec: &Spec, solution: &Solution, index: usize) -> Table {
    let mut table = Table::new(&[
        ("mark", 12.0),
        ("from", 33.0),
        ("on", 13.0),
        ("station", 20.0),
        ("clock", 16.0),
        ("mouth ⌀", 20.0),
        ("depth", 20.0),
        ("drill", 14.0),
        ("made", 25.0),
    ]);
    let Some(result) = solution.shafts.get(index) else { return table };
    for (number, dimple) in result.dimples.iter().enumerate() {
        table.row([
            mark(number),
            if dimple.end == End::Upper { "column end".into() } else { "gear end".into() },
            if dimple.on == On::Round {
                "round".into()
            } else if dimple.clock.to_radians().abs() < 0.01 {
                "flat A".into()
            } else {
                "flat".into()
            },
            value::two_lines(&spec.build, dimple.station),
            quantity::degrees(dimple.clock, 1).replace(".0°", "°"),
            size(spec, dimple.spot, dimple.diameter),
            size(spec, dimple.spot, dimple.depth),
            if dimple.spot == SpotWhen::None { "none".into() } else { drill_words(dimple.drill) },
            when(dimple.spot).into(),
        ]);
    }
    if index == 0 {
        end_rows(&mut table, spec, &solution.column.spots, "column shaft, its end", 'C');
    }
    if index + 1 == solution.shafts.len() {
        end_rows(&mut table, spec, &solution.gear.spots, "gear shaft, its end", 'G');
    }
    table
}

pub(super) fn phase(result: &ShaftResult) -> String {
    let twist = &result.twist;
    let set = quantity::degrees(twist.set, 1);
    let Some(wanted) = twist.wanted else {
        return format!("Yoke phase: no bend of a single joint to even out, so any phase does; these ends give {set}.");
    };
    let wanted = quantity::degrees(wanted, 1);
    let off = quantity::degrees(twist.off_max, 1);
    if twist.certain {
        format!(
            "Yoke phase, upper yoke to lower, seen from the column, clockwise: wanted {wanted}, these ends give {set}, off by {off}."
        )
    } else {
        format!(
            "Yoke phase: wanted {wanted}; where a tooth sits against ears and flats is not measured, so it can be off by up to {off}: turn to the nearest tooth and measure."
        )
    }
}

fn hold(hub: &Hub, name: &str) -> String {
    match &hub.hold {
        Hold::Screws(screws) => {
            let jam = screws.iter().any(|screw| screw.jam);
            match (screws.len(), jam) {
                (1, true) => format!("{name}: 1 set screw with a new lock nut"),
                (1, false) => format!("{name}: 1 set screw"),
                (count, true) => format!("{name}: {count} set screws with new lock nuts"),
                (count, false) => format!("{name}: {count} set screws"),
            }
        }
        Hold::Pinch(pinch) => format!("{name}: pinch bolt {} through the groove, with a new lock nut", pinch.bolt.name),
        Hold::Weld => format!("{name}: welded; see the build record"),
        Hold::Nothing => format!("{name}: nothing stated that holds it"),
    }
}

/// The order of work.
pub(super) fn order(spec: &Spec, index: usize, result: &ShaftResult) -> Vec<Note> {
    let Some(shaft) = spec.shafts.get(index) else { return Vec::new() };
    let build = &spec.build;
    let face = value::toleranced(build, result.cut_length, result.cut_length_max - result.cut_length);
    let face = format!("{} {}", face.first, face.second);
    let [first, second] = value::pair(build, result.cut_long);
    let tape = value::taped(build, result.cut_long);
    let saw = if tape == first { format!("{first} [{second}]") } else { format!("{tape}, {first} [{second}]") };
    let mut notes = Vec::new();
    let first = if near_unmeasured(spec, index).is_empty() {
        String::new()
    } else {
        "Measure and confirm what the notes name. ".to_owned()
    };
    let edges = match shaft.chamfer {
        Some(chamfer) => format!("Chamfer both ends {} × 45°.", value::both(build, chamfer)),
        None => "Break all sharp edges.".into(),
    };
    let sure = result.cut_length_sigma.map(|sigma| {
        let sigma = value::both(build, sigma);
        format!(" The survey is sure to ± {sigma}, one standard deviation; twice that is left on for fitting.")
    });
    let sure = sure.unwrap_or_default();
    notes.push(Note::strong(format!("1. {first}Saw to {saw}. Fit, then face to {face}.{sure}")));
    let dot = if shaft.stock.is_double_d() {
        "2. Punch one dot on flat A at the column end. Clock angles count from flat A, stations each from its own end."
    } else {
        "2. Punch one dot at the column end, in line with the upper yoke's ears. Clock angles count from it, stations each from its own end."
    };
    notes.push(Note::strong(dot));
    notes.push(Note::body(format!(
        "3. {edges} Mark the stations, slide both hubs home and look through the screw holes: each mark must lie under its screw."
    )));
    notes.push(Note::body(format!(
        "4. Punch and drill the spots to the table, stations ±{}. D marks are on this shaft.",
        value::both(build, shaft.station_tolerance)
    )));
    for (number, groove) in result.grooves.iter().enumerate() {
        let end = if groove.end == End::Upper { "column end" } else { "gear end" };
        notes.push(Note::body(format!(
            "{}. Cut the groove for the pinch bolt: {} from the {end} to the bolt's axis, {} off the shaft's axis, ⌀{}, clock {}. The hub's own bolt hole decides.",
            number + 5,
            value::both(build, groove.station),
            value::both(build, groove.offset),
            value::both(build, groove.diameter),
            quantity::degrees(groove.clock, 1).replace(".0°", "°"),
        )));
    }
    let holds: Vec<String> = [
        spec.joints.get(index).map(|joint| hold(&joint.lower, "column end")),
        spec.joints.get(index + 1).map(|joint| hold(&joint.upper, "gear end")),
    ]
    .into_iter()
    .flatten()
    .collect();
    notes.push(Note::body(format!("{}. Assemble; {}.", result.grooves.len() + 5, holds.join("; "))));
    notes
}

/// Catalogue values of this shaft and its two joints that nobody has measured.
fn near_unmeasured(spec: &Spec, index: usize) -> Vec<&str> {
    let near = [format!("joint.{index}."), format!("joint.{}.", index + 1), format!("shaft.{index}.")];
    spec.unmeasured
        .iter()
        .filter(|value| near.iter().any(|key| value.key.starts_with(key.as_str())))
        .map(|value| value.what.as_str())
        .collect()
}

/// Catalogue values to be confirmed before cutting, in one paragraph; nothing where all were measured.
pub(super) fn unmeasured_notes(spec: &Spec, index: usize) -> Vec<Note> {
    /// Most values of a part that are named one by one: more are counted, and the record names them.
    const NAMED: usize = 3;
    // `joint "upper": swing; ..` of `joint "upper", swing`.
    let mut parts: Vec<(&str, Vec<&str>)> = Vec::new();
    for value in near_unmeasured(spec, index) {
        let (part, what) = value.split_once([',', ':']).unwrap_or((value, ""));
        match parts.iter_mut().find(|(known, _)| *known == part) {
            Some((_, whats)) => whats.push(what.trim()),
            None => parts.push((part, vec![what.trim()])),
        }
    }
    if parts.is_empty() {
        return Vec::new();
    }
    let counted = parts.iter().any(|(_, whats)| whats.len() > NAMED);
    let told = parts.iter().map(|(part, whats)| match whats.len() {
        count if count > NAMED => format!("{part}: {count} sizes"),
        _ => format!("{part}: {}", whats.join(", ")),
    });
    let told: Vec<String> = told.collect();
    let list = if counted { " The build record lists each of them." } else { "" };
    vec![Note::strong(format!(
        "Measure and confirm before cutting, these come from the catalogue: {}.{list}",
        told.join("; ")
    ))]
}

/// What else must be known.
pub(super) fn notes(spec: &Spec, solution: &Solution, index: usize, result: &ShaftResult) -> Vec<Note> {
    let Some(shaft) = spec.shafts.get(index) else { return Vec::new() };
    let stock = shaft.stock.name.as_deref().unwrap_or(&result.stock);
    let mut notes = unmeasured_notes(spec, index);
    if index + 1 == solution.shafts.len() {
        notes.push(Note::strong("Never drill or heat a hardened gear shaft."));
    }
    if let Some(mock_up) = shaft.mock_up.filter(|_| spec.axes == Axes::MockUp) {
        notes.push(Note::body(format!(
            "By a mock-up: {} between the hubs' outer faces, bends {} and {}, planes {} apart. Tape the faces again \
             before sawing.",
            value::both(&spec.build, mock_up.faces),
            quantity::degrees(mock_up.upper_angle.to_degrees(), 1),
            quantity::degrees(mock_up.lower_angle.to_degrees(), 1),
            quantity::degrees(mock_up.planes.to_degrees(), 1),
        )));
    }
    notes.push(Note::body(format!("Stock {stock}, {}. {}", shaft.material.title, phase(result))));
    if let Some(bearing) = &result.bearing {
        notes.push(Note::body(format!(
            "A support bearing runs on this bar, its middle {} from the column end; keep that place round and smooth.",
            value::both(&spec.build, bearing.z)
        )));
    }
    notes.push(Note::body(
        "A failed steering shaft kills. This drawing certifies nothing: local codes and a licensed engineer or certifier decide; no road test before inspection.",
    ));
    notes
}

/// What a leader to a dimple says: its mark, then its mouth and drill.
pub(super) fn call(spec: &Spec, number: usize, dimple: &Dimple, behind: bool) -> Vec<String> {
    let [size, _] = value::pair(&spec.build, dimple.diameter);
    let far = if behind { ", far side" } else { "" };
    let shape = if dimple.spot == SpotWhen::Fit {
        format!("(⌀{size}), spot on assembly")
    } else if (dimple.drill - 180.0).abs() < 1e-6 {
        format!("⌀{size}, flat")
    } else {
        format!("⌀{size} × {}", crate::quantity::degrees(dimple.drill, 0))
    };
    vec![format!("{}{far}", mark(number)), shape]
}

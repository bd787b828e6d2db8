//! Tables of the build record.

use super::plate::direction_words;
use super::shaft_words::{drill_words, size};
use super::table::Table;
use super::value;
use crate::geometry::Vec3;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::member::members;
use crate::solve::solution::{End, JointResult, PlateResult, SpotWhen};
use crate::spec::Spec;
use crate::spec::types::Build;

fn point(spec: &Spec, p: Vec3) -> String {
    [("x", p.x), ("y", p.y), ("z", p.z)].map(|(axis, mm)| format!("{axis} {}", value::both(&spec.build, mm))).join("\n")
}

/// The cross centre of a joint, or both.
pub(super) fn crosses(spec: &Spec, joint: &JointResult) -> String {
    joint.crosses.iter().map(|&cross| point(spec, cross)).collect::<Vec<_>>().join("\nand\n")
}

fn degrees(value: f64) -> String {
    quantity::degrees(value, 1)
}

pub(super) fn joints(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[
        ("joint", 22.0),
        ("cross centre", 60.0),
        ("angle, limit", 19.0),
        ("gap, column, gear side", 27.0),
        ("in hub, column, gear side", 27.0),
        ("between shaft ends", 25.0),
        ("bite left, screws lost", 27.0),
    ]);
    for joint in &solution.joints {
        table.row([
            joint.name.clone(),
            crosses(spec, joint),
            format!("{}\n{}", degrees(joint.angle), degrees(joint.limit)),
            format!("{}\n{}", value::two_lines(build, joint.upper_gap), value::two_lines(build, joint.lower_gap)),
            format!(
                "{}\n{}",
                value::two_lines(build, joint.upper_engagement),
                value::two_lines(build, joint.lower_engagement)
            ),
            value::two_lines(build, joint.end_clearance),
            format!(
                "{}\n{}",
                value::two_lines(build, joint.captive.upper),
                value::two_lines(build, joint.captive.lower)
            ),
        ]);
    }
    table
}

/// A length in the first unit.
fn first(build: &Build, mm: f64) -> String {
    let [first, _] = value::pair(build, mm);
    first
}

pub(super) fn shafts(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[
        ("shaft", 28.0),
        ("stock", 36.0),
        ("between crosses", 24.0),
        ("finished length", 38.0),
        ("sawing length", 24.0),
        ("yoke phase", 36.0),
    ]);
    for (index, shaft) in solution.shafts.iter().enumerate() {
        let material = spec.shafts.get(index).map_or(shaft.material.as_str(), |shaft| shaft.material.title.as_str());
        let tolerance = shaft.cut_length_max - shaft.cut_length;
        let length = value::toleranced(build, shaft.cut_length, tolerance);
        let twist = &shaft.twist;
        let wanted = twist.wanted.map_or_else(|| "any".into(), degrees);
        let certain = if twist.certain { "" } else { "\nnot certain: teeth not measured" };
        table.row([
            shaft.name.clone(),
            format!("{}\n{material}", shaft.stock),
            value::two_lines(build, shaft.centre_distance),
            format!("{}\n{}\n{}", length.first, length.second, value::taped(build, shaft.cut_length)),
            if shaft.members.is_empty() { value::two_lines(build, shaft.cut_long) } else { "two members".into() },
            format!("wanted {wanted}\nset {}\noff by {}{certain}", degrees(twist.set), degrees(twist.off_max)),
        ]);
        for member in &shaft.members {
            let length = value::toleranced(build, member.cut_length, member.cut_length_max - member.cut_length);
            table.row([
                format!("{}, {} member", shaft.name, member.name),
                format!("{}\n{material}", member.stock),
                String::new(),
                format!("{}\n{}\n{}", length.first, length.second, value::taped(build, member.cut_length)),
                value::two_lines(build, member.cut_long),
                shaft.slip.as_ref().map_or_else(String::new, |slip| {
                    format!("overlap {}\nextended {}", first(build, slip.overlap), first(build, slip.overlap_extended))
                }),
            ]);
        }
    }
    table
}

/// Support bearings, numbered as their shafts.
pub(super) fn bearings(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[
        ("", 9.0),
        ("on shaft", 27.0),
        ("from upper cross", 24.0),
        ("from upper end of bar", 26.0),
        ("middle", 56.0),
        ("bore", 22.0),
        ("side force", 26.0),
    ]);
    for (i, shaft) in solution.shafts.iter().enumerate() {
        let Some(bearing) = &shaft.bearing else { continue };
        let force = solution.strength.bearings.iter().find(|row| row.shaft == shaft.name);
        table.row([
            format!("B{}", i + 1),
            shaft.name.clone(),
            value::two_lines(build, bearing.station),
            value::two_lines(build, bearing.z),
            point(spec, bearing.centre),
            bearing.bore.map_or_else(|| "not given".into(), |bore| value::two_lines(build, bore)),
            force.map_or_else(|| "not known".into(), |row| quantity::force(row.force_max)),
        ]);
    }
    table
}

pub(super) fn spots(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[
        ("on", 42.0),
        ("from", 28.0),
        ("station", 24.0),
        ("clock", 22.0),
        ("mouth or bolt ⌀", 24.0),
        ("depth or offset", 24.0),
        ("drill", 18.0),
    ]);
    let drill = |spot: SpotWhen, angle: f64| match spot {
        SpotWhen::None => "no spot".to_owned(),
        _ => drill_words(angle),
    };
    let end_words = |end: End| if end == End::Upper { "column end" } else { "gear end" }.to_owned();
    let pieces = (0..solution.shafts.len()).flat_map(|index| members(spec, solution, index));
    for shaft in pieces {
        for (number, dimple) in shaft.dimples.iter().enumerate() {
            table.row([
                format!("{}, D{}", shaft.name, number + 1),
                end_words(dimple.end),
                value::two_lines(build, dimple.station),
                degrees(dimple.clock),
                size(spec, dimple.spot, dimple.diameter),
                size(spec, dimple.spot, dimple.depth),
                drill(dimple.spot, dimple.drill),
            ]);
        }
        for groove in &shaft.grooves {
            table.row([
                format!("{}, groove", shaft.name),
                end_words(groove.end),
                value::two_lines(build, groove.station),
                degrees(groove.clock),
                value::two_lines(build, groove.diameter),
                value::two_lines(build, groove.offset),
                String::new(),
            ]);
        }
    }
    for (shaft, end) in [("column shaft", &solution.column), ("gear shaft", &solution.gear)] {
        for spot in &end.spots {
            table.row([
                shaft.to_owned(),
                "its end".into(),
                value::two_lines(build, spot.station),
                "at screw".into(),
                size(spec, spot.spot, spot.diameter),
                size(spec, spot.spot, spot.depth),
                drill(spot.spot, spot.drill),
            ]);
        }
    }
    table
}

pub(super) fn motion(solution: &Solution) -> Table {
    let motion = &solution.motion;
    let mut table = Table::new(&[
        ("", 40.0),
        ("error, half of peak to peak", 40.0),
        ("greatest ratio", 30.0),
        ("least ratio", 30.0),
        ("as one joint of", 30.0),
    ]);
    table.row([
        "as built".into(),
        quantity::degrees(motion.error, 2),
        quantity::fixed(motion.ratio_max, 3),
        quantity::fixed(motion.ratio_min, 3),
        degrees(motion.equivalent_angle),
    ]);
    let twists: Vec<String> = motion.best.twists.iter().map(|&twist| degrees(twist)).collect();
    table.row([
        format!("best phase, {}", twists.join(", ")),
        quantity::degrees(motion.best.error, 2),
        quantity::fixed(motion.best.ratio_max, 3),
        String::new(),
        String::new(),
    ]);
    table
}

pub(super) fn strength(solution: &Solution) -> Table {
    let mut table = Table::new(&[
        ("shaft", 36.0),
        ("greatest torque", 42.0),
        ("shear", 24.0),
        ("pressure on flats", 28.0),
        ("wind-up", 22.0),
        ("yield margin", 26.0),
    ]);
    for shaft in &solution.strength.shafts {
        table.row([
            shaft.name.clone(),
            quantity::torque(shaft.torque_max),
            quantity::stress(shaft.shear),
            shaft.flat_pressure.map_or_else(|| "no flats".into(), quantity::stress),
            quantity::degrees(shaft.windup, 2),
            quantity::significant(shaft.yield_margin, 3),
        ]);
    }
    table
}

pub(super) fn joint_loads(solution: &Solution) -> Table {
    let mut table = Table::new(&[
        ("joint", 40.0),
        ("greatest moment in the cross", 50.0),
        ("on a trunnion", 46.0),
        ("rated torque", 50.0),
    ]);
    for joint in &solution.strength.joints {
        table.row([
            joint.name.clone(),
            quantity::torque(joint.torque_max),
            joint.trunnion_force.map_or_else(|| "measure `trunnions`".into(), quantity::force),
            joint.rating.map_or_else(|| "not stated: not judged".into(), quantity::torque),
        ]);
    }
    table
}

pub(super) fn clearances(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[("part", 34.0), ("obstacle", 42.0), ("gap", 24.0), ("needed", 24.0), ("where", 54.0)]);
    for clearance in &solution.clearances {
        let motions = spec.motions_at(&clearance.at);
        let at: Vec<String> = std::iter::once(point(spec, clearance.point)).chain(motions).collect();
        table.row([
            clearance.part.clone(),
            clearance.obstacle.clone(),
            value::two_lines(build, clearance.gap),
            value::two_lines(build, clearance.need),
            at.join("\n"),
        ]);
    }
    table
}

pub(super) fn rails(spec: &Spec, solution: &Solution) -> Table {
    let mut table = Table::new(&[("rail", 40.0), ("first point", 60.0), ("runs along", 60.0)]);
    for rail in &solution.rails {
        let along = rail.frame.along;
        let cosines = [("x", along.x), ("y", along.y), ("z", along.z)]
            .map(|(axis, c)| format!("{axis} {}", quantity::fixed(c, 4)));
        let along = format!("{}\n{}", direction_words(along), cosines.join(", "));
        table.row([rail.name.clone(), point(spec, rail.frame.origin), along]);
    }
    table
}

/// A property of the rail's section, whole and as the notch leaves it.
fn whole_and_left(build: &Build, [whole, left]: [f64; 2], power: u32) -> String {
    let share = if whole > 0.0 { quantity::percent(left / whole) } else { quantity::NOT_KNOWN.into() };
    format!(
        "whole {}\nleft {}\n{share} left",
        value::powered(build, whole, power).replace('\n', ", "),
        value::powered(build, left, power).replace('\n', ", ")
    )
}

pub(super) fn notches(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[
        ("notch", 24.0),
        ("along × round", 26.0),
        ("area", 21.0),
        ("gap left", 21.0),
        ("second moment of the rail", 47.0),
        ("section modulus of the rail", 47.0),
    ]);
    for notch in &solution.notches {
        if notch.shop.is_empty() {
            let none = String::new;
            table.row([notch.name.clone(), "no cut needed".into(), none(), none(), none(), none()]);
            continue;
        }
        let (full, left) = (&notch.section.full, &notch.section.left);
        table.row([
            notch.name.clone(),
            format!("{}\n× {}", value::two_lines(build, notch.width), value::two_lines(build, notch.depth)),
            value::powered(build, notch.area, 2),
            value::two_lines(build, notch.gap_left),
            whole_and_left(build, [full.ixx, left.ixx], 4),
            whole_and_left(build, [full.s_min, left.s_min], 3),
        ]);
    }
    table
}

pub(super) fn plate(spec: &Spec, plate: &PlateResult) -> Table {
    let mut table = Table::new(&[("thickness", 40.0), ("zero at", 60.0), ("net area of one face", 60.0)]);
    table.row([
        value::both(&spec.build, plate.thick),
        point(spec, plate.frame.origin),
        value::powered(&spec.build, plate.area, 2),
    ]);
    table
}

/// Every hole of every bolt: a plate's by its sheet, a rail's along it and round it.
pub(super) fn bolts(spec: &Spec, solution: &Solution) -> Table {
    let columns = [("bolt", 34.0), ("size, grip, length", 40.0), ("through", 44.0), ("u", 24.0), ("v", 24.0)];
    let mut table = Table::new(&columns);
    let build = &spec.build;
    for bolt in &solution.bolts {
        let length = bolt.length.map_or_else(|| quantity::NOT_KNOWN.into(), |length| value::both(build, length));
        let size = format!("{}\ngrip {}\nlength {length}", bolt.bolt, value::both(build, bolt.grip));
        for (n, pass) in bolt.passes.iter().enumerate() {
            let first = n == 0;
            table.row([
                if first { bolt.name.clone() } else { String::new() },
                if first { size.clone() } else { String::new() },
                format!("{} {}", pass.kind, pass.part),
                value::two_lines(build, pass.u),
                value::two_lines(build, pass.v),
            ]);
        }
    }
    table
}

pub(super) fn order(spec: &Spec, solution: &Solution) -> Table {
    let mut table = Table::new(&[("item", 27.0), ("what", 88.0), ("quantity", 21.0), ("length", 46.0)]);
    for line in &solution.order {
        table.row([
            line.item.clone(),
            line.what.clone(),
            line.quantity.to_string(),
            line.length.map_or_else(String::new, |length| value::both(&spec.build, length)),
        ]);
    }
    table
}

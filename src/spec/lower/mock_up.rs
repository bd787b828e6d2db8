//! Mock-ups: their readings, and where a mock-up alone lays the linkage out.

use std::ops::Range;

use super::joint::JointRead;
use super::shaft::ShaftRead;
use crate::geometry::Vec3;
use crate::quantity::degrees;
use crate::spec::raw::{Node, Reader, Table};
use crate::spec::types::{Axes, DriveEnd, Hung, Joint, MockUp};

/// A joint bends by less than this (rad): a quarter turn.
const QUARTER: f64 = std::f64::consts::FRAC_PI_2;

/// Two readings of one joint's angle agree within this (rad): 2 degrees, an angle finder laid on twice by hand;
/// common practice, no source.
const SAME_ANGLE: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// A mock-up alone, where a shaft has one and neither column nor gear says anything of its place.
pub(super) fn axes(root: &Table<'_>) -> Axes {
    let has = |name: &str, keys: &[&str]| {
        let node = root.node(name);
        let table = node.as_ref().and_then(|node| node.value.as_table());
        table.is_some_and(|table| keys.iter().any(|key| table.contains_key(*key)))
    };
    let places = ["end", "toward", "beyond"];
    let shafts = root.node("shaft").map(|node| node.items()).unwrap_or_default();
    let mocked = shafts.iter().any(|shaft| shaft.value.as_table().is_some_and(|table| table.contains_key("mockup")));
    if mocked && !has("column", &places) && !has("gear", &places) { Axes::MockUp } else { Axes::Vehicle }
}

/// Characters of a name that stand on a sheet: as many as a name may have.
const NAME: usize = 64;

/// The shafts with a mock-up by name; a shaft or joint whose name is not a text is called by its number.
pub(super) fn hung(root: &Table<'_>) -> Vec<Hung> {
    let items = |list: &str| root.node(list).map(|node| node.items()).unwrap_or_default();
    let name = |list: &str, node: Option<&Node<'_>>, i: usize| {
        let own = node.and_then(|node| node.value.as_table()?.get("name")?.get_ref().as_str());
        let clean = |own: &str| own.chars().filter(|c| !c.is_control()).take(NAME).collect();
        own.map_or_else(|| format!("{list} {}", i + 1), clean)
    };
    let joints = items("joint");
    let shafts = items("shaft");
    let mocked = |node: &Node<'_>| node.value.as_table().is_some_and(|table| table.contains_key("mockup"));
    shafts
        .iter()
        .enumerate()
        .filter(|(_, shaft)| mocked(shaft))
        .map(|(i, shaft)| Hung {
            shaft: name("shaft", Some(shaft), i),
            upper: name("joint", joints.get(i), i),
            lower: name("joint", joints.get(i + 1), i + 1),
        })
        .collect()
}

/// The four readings.
pub(super) fn mock_up(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<MockUp> {
    let faces = reader.length(table, "faces");
    let mut bend = |key: &str| {
        let angle = reader.angle(table, key)?;
        if angle < QUARTER {
            return Some(angle);
        }
        let message = format!("`{key}` is {}; less than 90 deg is allowed", degrees(angle.to_degrees(), 1));
        reader.error(
            "bad-value",
            table.span_of(key),
            message,
            "give the angle by which the joint is bent from straight",
        );
        None
    };
    let (upper_angle, lower_angle) = (bend("upper_angle"), bend("lower_angle"));
    let planes = reader.angle(table, "planes");
    Some(MockUp { faces: faces?, upper_angle: upper_angle?, lower_angle: lower_angle?, planes: planes? })
}

/// Reports something that only vehicle coordinates can place.
pub(super) fn needs_places(reader: &mut Reader<'_>, span: Range<usize>, what: &str) {
    let message = format!("{what} needs positions: a mock-up alone does not say where in the vehicle the linkage lies");
    let help = "give `end` and `toward` of column and gear as well, or take it out";
    reader.error("needs-positions", span, message, help);
}

/// Reports every table whose coordinates would mean nothing.
pub(super) fn refuse_coordinates(reader: &mut Reader<'_>, root: &Table<'_>) {
    for (list, what) in [
        ("rail", "a rail"),
        ("notch", "a notch"),
        ("plate", "a plate"),
        ("obstacle", "an obstacle"),
        ("motion", "a motion"),
        ("bolt", "a bolt"),
    ] {
        let Some(node) = root.node(list) else { continue };
        for item in node.items() {
            let beside = item.value.as_table().is_some_and(|table| table.contains_key("beside"));
            if !beside {
                needs_places(reader, item.span.clone(), what);
            }
        }
    }
}

/// Working angle (rad) of every joint; one between two shafts was read twice and gets the mean.
fn bends(readings: &[MockUp]) -> Vec<f64> {
    let first = readings.first().map(|mock_up| mock_up.upper_angle);
    let others = readings.iter().enumerate().map(|(i, mock_up)| match readings.get(i + 1) {
        Some(next) => f64::midpoint(mock_up.lower_angle, next.upper_angle),
        None => mock_up.lower_angle,
    });
    first.into_iter().chain(others).collect()
}

/// Places crosses and both ends in the mock-up's own frame, shaft by shaft.
///
/// The first cross is the origin and the first shaft runs along +z; the column leans to +x. With n the unit normal
/// of a bend (axis above × axis below), the axis below is the axis above turned about n by the joint's angle, and
/// the next n is n turned about the shaft by `planes`. A double joint stands where its two axes meet.
pub(super) fn place(
    reader: &mut Reader<'_>,
    column: &mut DriveEnd,
    gear: &mut DriveEnd,
    joints: &mut [JointRead],
    shafts: &[ShaftRead],
) {
    let mut readings = Vec::with_capacity(shafts.len());
    for (i, read) in shafts.iter().enumerate() {
        let Some(shaft) = &read.whole else { return };
        if shaft.mock_up.is_none() {
            let message = format!("shaft {} has no `mockup`, and column and gear have no places", i + 1);
            let help = "mock it up as the other shafts, or give `end` and `toward` of column and gear";
            reader.error("missing-key", reader.span(&format!("shaft.{i}")), message, help);
        }
        readings.extend(shaft.mock_up);
    }
    let mut whole: Vec<&mut Joint> = joints.iter_mut().filter_map(|joint| joint.whole.as_mut()).collect();
    if readings.len() != shafts.len() || whole.len() != shafts.len() + 1 {
        return;
    }
    agree(reader, &readings);

    let mut normal = Vec3::new(0.0, 1.0, 0.0);
    let mut axis = Vec3::new(0.0, 0.0, 1.0);
    let mut cross = Vec3::default();
    let above = axis.turned(normal, -readings.first().map_or(0.0, |mock_up| mock_up.upper_angle));
    let bends: Vec<f64> = bends(&readings);
    if let Some((first, &bend)) = whole.first().zip(bends.first()) {
        (column.end, column.axis) = (cross - above * (first.setback(bend) + first.upper.gap(column.groove)), above);
    }
    for (i, mock_up) in readings.iter().enumerate() {
        let [upper, lower] = &mut whole[i..=i + 1] else { return };
        if i > 0 {
            upper.centre = Some(cross);
        }
        let between = upper.lower.reach + mock_up.faces + lower.upper.reach;
        let bend = bends[i + 1];
        cross = cross + axis * (upper.setback(bends[i]) + between + lower.setback(bend));
        normal = normal.turned(axis, mock_up.planes);
        axis = axis.turned(normal, bend);
    }
    if let Some((last, &bend)) = whole.last().zip(bends.last()) {
        (gear.end, gear.axis) = (cross + axis * (last.setback(bend) + last.lower.gap(gear.groove)), axis);
    }
}

/// A joint between two shafts is read once with each; both readings must tell of one joint.
fn agree(reader: &mut Reader<'_>, readings: &[MockUp]) {
    for (i, pair) in readings.windows(2).enumerate() {
        let [above, below] = pair else { continue };
        if (above.lower_angle - below.upper_angle).abs() <= SAME_ANGLE {
            continue;
        }
        let message = format!(
            "`upper_angle` is {}, but shaft {} has {} as its `lower_angle`: they are one joint",
            degrees(below.upper_angle.to_degrees(), 1),
            i + 1,
            degrees(above.lower_angle.to_degrees(), 1),
        );
        let span = reader.span(&format!("shaft.{}.mockup.upper_angle", i + 1));
        let help = format!("read that joint again; {} apart is allowed", degrees(SAME_ANGLE.to_degrees(), 0));
        reader.error("bad-value", span, message, help);
    }
}

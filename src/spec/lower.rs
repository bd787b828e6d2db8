//! From the document to checked values, all errors at once.

mod as_built;
mod bend;
mod bolt;
mod build;
mod clocking;
mod column;
mod fit;
mod form;
mod hole;
mod joint;
mod mock_up;
mod motion;
mod mount;
mod mount_parts;
mod names;
mod notch;
mod obstacle;
mod outline;
mod plate;
mod rail;
mod screw;
mod shaft;
mod shaft_end;
mod slip;
mod survey;

use std::collections::BTreeMap;
use std::ops::Range;

use toml::de::DeValue;

use super::grammar::ROOT;
use super::keys::{Kind, Sign};
use super::raw::{Node, Reader, Table, describe};
use super::types::{Axes, Build, Hung, Moved, Output, Spec, Survey, Unmeasured};
use super::{LimitKey, LimitKind};
use names::Names;

/// Largest plain number taken as a limit: more is a slip of the keyboard.
const LIMIT_MAX: f64 = 1e6;

/// What stands before the linkage itself: it needs no point that is still to be found.
pub(super) struct Head {
    pub(super) build: Option<Build>,
    pub(super) output: Option<Output>,
    pub(super) survey: Option<Survey>,
    /// Shafts to be mocked up.
    pub(super) mock_ups: Vec<Hung>,
}

/// Units and points first: everything after is read with them.
pub(super) fn head(reader: &mut Reader<'_>, root: &Node<'_>) -> Head {
    // What the whole lacks is looked at later: a sheet for the survey can be drawn before there is a linkage.
    let Some(root) = Reader::peek(&ROOT, root) else {
        return Head { build: None, output: None, survey: None, mock_ups: Vec::new() };
    };
    format(reader, &root);
    reader.axes = mock_up::axes(&root);
    let build = build::build(reader, &root);
    points(reader, &root);
    let survey = survey::survey(reader, &root);
    let output = build::output(reader, &root);
    Head { build, output, survey, mock_ups: mock_up::hung(&root) }
}

/// The whole document after its head; `None` where anything in it is wrong, which is then reported, or where a point
/// is still to be found.
pub(super) fn lower(
    reader: &mut Reader<'_>,
    root: &Node<'_>,
    head: &Head,
    sha256: &str,
    limits: &[LimitKey],
) -> Option<Spec> {
    let Head { build, output, .. } = head;
    let root = reader.open(&ROOT, root)?;
    let mut unmeasured = Vec::new();
    let mut column = column::column(reader, &root, &mut unmeasured);
    let mut gear = column::gear(reader, &root, &mut unmeasured);
    let shafts = shaft::shafts(reader, &root, &mut unmeasured);
    let ends = joint::Ends { column: column.as_ref(), gear: gear.as_ref(), shafts: &shafts };
    let mut joints = joint::joints(reader, &root, &ends, &mut unmeasured);
    let shafts = shaft::with_tolerances(shafts, &joints, build.as_ref());
    shaft_end::against_hubs(reader, &shafts, &joints);
    let names = Names::new(reader, &joints, &shafts);
    let load = reader.table(&root, "load");
    let wheel_torque = load.as_ref().and_then(|load| reader.torque(load, "wheel_torque"));
    let dimple_factor = load.and_then(|load| clocking::dimple_factor(reader, &load));
    let clocking = clocking::clocking(reader, &root);
    let rails = rail::rails(reader, &root);
    let notches = notch::notches(reader, &root, &rails, &names);
    let mut plates = plate::plates(reader, &root, &names, column.as_ref(), gear.as_ref());
    let mut bolts = bolt::bolts(reader, &root);
    let among = plates.as_mut().zip(bolts.as_mut()).map(|(plates, bolts)| mount::Among { plates, bolts });
    let mounts = mount::mounts(reader, &root, column.as_ref(), among);
    let obstacles = obstacle::obstacles(reader, &root, &names);
    let mut movables = motion::Movables::new();
    movables.add(rails.iter().enumerate().map(|(i, rail)| (rail.name(), Moved::Rail(i))));
    match &plates {
        Some(plates) => movables.add(plates.iter().enumerate().map(|(i, plate)| (Some(&*plate.name), Moved::Plate(i)))),
        None => movables.not_whole(),
    }
    match &obstacles {
        Some(obstacles) => movables.add(obstacle::movable(obstacles)),
        None => movables.not_whole(),
    }
    movables.add(shafts.iter().enumerate().filter(|(_, shaft)| shaft.may_have_bearing()).map(|(i, shaft)| {
        let name = shaft.whole.as_ref().map(|whole| whole.name.as_str());
        (name, Moved::Bearing(i))
    }));
    let motions = motion::motions(reader, &root, &movables);
    if reader.axes == Axes::MockUp {
        mock_up::refuse_coordinates(reader, &root);
        if let (Some(column), Some(gear)) = (&mut column, &mut gear) {
            mock_up::place(reader, column, gear, &mut joints, &shafts);
        }
    }
    let built = as_built::as_built(
        reader,
        &root,
        &as_built::Parts {
            joints: &joints,
            shafts: &shafts,
            plates: plates.as_deref(),
            rails: &rails,
            obstacles: obstacles.as_deref(),
            names: &names,
        },
    );
    let limits = limits_of(reader, &root, limits);

    Some(Spec {
        sha256: sha256.to_string(),
        build: build.clone()?,
        output: output.clone()?,
        axes: reader.axes,
        column: column?,
        gear: gear?,
        joints: joints.into_iter().map(|joint| joint.whole).collect::<Option<_>>()?,
        shafts: shafts.into_iter().map(|shaft| shaft.whole).collect::<Option<_>>()?,
        wheel_torque,
        dimple_factor,
        clocking,
        rails: rails.into_iter().map(|rail| rail.whole).collect::<Option<_>>()?,
        notches: notches?,
        plates: plates?,
        bolts: bolts?,
        mounts: mounts?,
        obstacles: obstacles?,
        motions: motions?,
        as_built: built?,
        limits,
        unmeasured,
        file: reader.file().to_string(),
        named_points: std::mem::take(&mut reader.named),
        places: std::mem::take(&mut reader.places),
    })
}

/// The version of the format, which is 1.
fn format(reader: &mut Reader<'_>, root: &Table<'_>) {
    let Some(node) = root.node("format") else { return };
    if !matches!(node.value, DeValue::Integer(number) if number.as_str() == "1") {
        let message = format!("the format is {}; 1 is allowed", describe(node.value));
        reader.error(
            "bad-format",
            node.span,
            message,
            "write `format = 1`, or use the version this spec was written for",
        );
    }
}

/// The user's own names under a table, each with the place of the name.
fn entries<'d>(reader: &mut Reader<'_>, root: &Table<'d>, name: &'static str) -> Vec<(String, Range<usize>, Node<'d>)> {
    let Some(node) = root.node(name) else { return Vec::new() };
    let Some(table) = node.value.as_table() else {
        reader.wrong_type(&node, Kind::Open(""));
        return Vec::new();
    };
    let entry = |(key, value): (&toml::Spanned<toml::de::DeString<'d>>, &'d toml::Spanned<DeValue<'d>>)| {
        let path = format!("{}.{}", node.path, key.get_ref());
        let item = Node { path, span: value.span(), value: value.get_ref(), from_part: false };
        (key.get_ref().to_string(), key.span(), item)
    };
    let all: Vec<_> = table.iter().map(entry).collect();
    for (_, _, item) in &all {
        reader.places.insert(item.path.clone(), item.span.clone());
    }
    all
}

fn points(reader: &mut Reader<'_>, root: &Table<'_>) {
    for (name, _, node) in entries(reader, root, "points") {
        let point = reader.three_at(&node, Kind::Point);
        reader.points.insert(name, point);
    }
}

fn limits_of(reader: &mut Reader<'_>, root: &Table<'_>, known: &[LimitKey]) -> BTreeMap<String, f64> {
    let mut limits = BTreeMap::new();
    for (code, span, node) in entries(reader, root, "limits") {
        let value = match known.iter().find(|key| key.code == code).map(|key| key.kind) {
            Some(LimitKind::Length) => reader.length_at(&node, Sign::NotNegative),
            Some(LimitKind::Angle) => reader.angle_at(&node, Sign::NotNegative),
            Some(LimitKind::Number) => reader.number_at(&node, 0.0, LIMIT_MAX),
            None => {
                let codes: Vec<_> = known.iter().map(|key| key.code).collect();
                let name = Node { span, ..node };
                reader.no_such(&name, &code, "rule with a limit", &codes);
                None
            }
        };
        limits.extend(value.map(|value| (code, value)));
    }
    limits
}

/// Notes a catalogue value that was never measured.
fn note_unmeasured(list: &mut Vec<Unmeasured>, key: String, what: String) {
    list.push(Unmeasured { key, what });
}

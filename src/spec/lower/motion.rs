//! Motions, and the names of what they move.

use std::f64::consts::PI;

use toml::de::DeValue;

use super::names::{Named, unique};
use crate::geometry::Vec3;
use crate::quantity::{both_units, degrees};
use crate::spec::keys::{Kind, Sign};
use crate::spec::raw::{Node, Reader, Table, shown};
use crate::spec::types::{Body, Lift, Motion, MotionPath, Moved};

/// Two points of an axis are never nearer than this (mm).
const SAME_POINT: f64 = 1.0;

/// A point nearer to the axis of its arm is on it (mm).
const ON_AXIS: f64 = 1.0;

/// Least share of its reach by which an arm rises with its turn where it was taped: under 1 degree from straight up or
/// down the travel does not tell which way it turns.
const LEAST_RISE: f64 = 0.0175;

/// Most that a turn goes through (rad): a turn and more passes the same places again.
const FULL_TURN: f64 = 2.0 * PI;

/// Most motions: every one more multiplies the positions to be looked at.
const MOST: usize = 8;

/// What motions can move, by name.
pub(super) struct Movables {
    known: Vec<(String, Moved)>,
    /// Whether all names were read.
    whole: bool,
}

impl Movables {
    pub(super) fn new() -> Self {
        let ends = [("column", Body::Column), ("gear", Body::Gear)];
        Self { known: ends.map(|(name, end)| (name.to_owned(), Moved::End(end))).to_vec(), whole: true }
    }

    /// Adds one list; a part without a name that was read leaves open what it was called.
    pub(super) fn add<'n>(&mut self, names: impl IntoIterator<Item = (Option<&'n str>, Moved)>) {
        for (name, moved) in names {
            match name {
                Some(name) => self.known.push((name.to_owned(), moved)),
                None => self.whole = false,
            }
        }
    }

    /// Some parts could not be read, so a name may be theirs.
    pub(super) fn not_whole(&mut self) {
        self.whole = false;
    }

    fn find(&self, reader: &mut Reader<'_>, node: &Node<'_>, name: &str) -> Option<Moved> {
        let found: Vec<Moved> = self.known.iter().filter(|(known, _)| known == name).map(|(_, moved)| *moved).collect();
        match found[..] {
            [one] => Some(one),
            [] => {
                if self.whole {
                    let names: Vec<&str> = self.known.iter().map(|(name, _)| name.as_str()).collect();
                    reader.no_such(node, name, "thing that can move", &names);
                }
                None
            }
            _ => {
                let message = format!("\"{}\" is the name of {} things that can move", shown(name), found.len());
                reader.error("ambiguous-name", node.span.clone(), message, "rename one of them");
                None
            }
        }
    }
}

/// A motion's path and range, before its measured value is known.
struct Course {
    path: MotionPath,
    range: [f64; 2],
}

pub(super) fn motions(reader: &mut Reader<'_>, root: &Table<'_>, movables: &Movables) -> Option<Vec<Motion>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(root, "motion") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let chosen = table.chosen(&["turn", "shift", "travel"]);
        let course = match chosen {
            Some("turn") => turn(reader, &table),
            Some("shift") => shift(reader, &table),
            Some("travel") => travel(reader, &table),
            _ => None,
        };
        let measured = match table.node("measured") {
            Some(node) if chosen == Some("turn") => reader.angle_at(&node, Sign::Any),
            Some(node) => reader.length_at(&node, Sign::Any),
            None => Some(0.0),
        };
        if let (Some(Course { path: MotionPath::Travel { lift, .. }, range }), Some(measured)) = (&course, measured) {
            within_reach(reader, &table, *lift, *range, measured);
        }
        let moves = moves(reader, &table, movables);
        let whole = || {
            let Course { path, range } = course?;
            Some(Motion { name: name?, path, range, measured: measured?, moves: moves? })
        };
        all.push(whole());
    }
    if all.len() > MOST {
        let span = root.node("motion").map_or(0..0, |node| node.span);
        let message = format!("there are {} motions; at most {MOST} are allowed", all.len());
        reader.error("bad-count", span, message, "let one motion move all that moves together");
    }
    unique(reader, &named, "motions");
    all.into_iter().collect()
}

fn moves(reader: &mut Reader<'_>, table: &Table<'_>, movables: &Movables) -> Option<Vec<Moved>> {
    let nodes = reader.list(table, "moves");
    let node = table.node("moves")?;
    node.value.as_array()?;
    if nodes.is_empty() {
        let message = "`moves` is an empty list; the motion would do nothing";
        reader.error("bad-count", node.span, message, "name what it moves, or take the motion out");
        return None;
    }
    let mut moves = Vec::new();
    let mut sound = true;
    for node in nodes {
        let DeValue::String(text) = node.value else {
            reader.wrong_type(&node, Kind::Reference("an obstacle, rail, plate or bearing"));
            sound = false;
            continue;
        };
        let Some(moved) = movables.find(reader, &node, text) else {
            sound = false;
            continue;
        };
        if moves.contains(&moved) {
            let message = format!("\"{}\" stands twice in `moves`", shown(text));
            reader.error("duplicate-name", node.span, message, "take one of them out");
        }
        moves.push(moved);
    }
    sound.then_some(moves)
}

/// A point and the unit vector of an axis through two points.
fn axis(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<(Vec3, Vec3)> {
    let points = reader.points(table, "about")?;
    let [(_, first), (node, second)] = &points[..] else { return None };
    let along = *second - *first;
    if along.length() < SAME_POINT {
        let message = "the two points of the axis are the same";
        reader.error("duplicate", node.span.clone(), message, "give two points well apart on it");
        return None;
    }
    Some((*first, along.unit()?))
}

/// Least and greatest value, the first under the second.
fn interval(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    range: [Option<f64>; 2],
    text: impl Fn(f64) -> String,
) -> Option<[f64; 2]> {
    let [from, to] = [range[0]?, range[1]?];
    if from < to {
        return Some([from, to]);
    }
    let message = format!("`from` is {} and `to` is {}; `to` must be greater", text(from), text(to));
    reader.error("empty-interval", table.span_of("to"), message, "give the least value first, or take the motion out");
    None
}

fn turn(reader: &mut Reader<'_>, motion: &Table<'_>) -> Option<Course> {
    let table = reader.table(motion, "turn")?;
    let axis = axis(reader, &table);
    let range = [reader.angle(&table, "from"), reader.angle(&table, "to")];
    let text = |angle: f64| degrees(angle.to_degrees(), 1);
    let range = interval(reader, &table, range, text)?;
    if range[1] - range[0] > FULL_TURN {
        let message = format!("the turn goes through {}; at most 360° is allowed", text(range[1] - range[0]));
        reader.error("bad-value", table.span_of("to"), message, "give the angles between its two stops");
        return None;
    }
    let (about, axis) = axis?;
    Some(Course { path: MotionPath::Turn { about, axis }, range })
}

fn shift(reader: &mut Reader<'_>, motion: &Table<'_>) -> Option<Course> {
    let table = reader.table(motion, "shift")?;
    let along = reader.direction(&table, "along");
    let range = [reader.length(&table, "from"), reader.length(&table, "to")];
    let units = reader.units;
    let range = interval(reader, &table, range, |mm| both_units(mm, units))?;
    Some(Course { path: MotionPath::Shift { along: along? }, range })
}

fn travel(reader: &mut Reader<'_>, motion: &Table<'_>) -> Option<Course> {
    let table = reader.table(motion, "travel")?;
    let axis = axis(reader, &table);
    let at = reader.point(&table, "at");
    let (up, down) = (reader.length(&table, "up"), reader.length(&table, "down"));
    let range = [-down?, up?];
    if range[0] >= range[1] {
        let message = "`up` and `down` are both 0; the arm would not move";
        reader.error("empty-interval", table.span_of("up"), message, "give its travel, or take the motion out");
        return None;
    }
    let ((about, axis), at) = (axis?, at?);
    let off = at - about;
    let radius = (off - axis * off.dot(axis)).length();
    if radius < ON_AXIS {
        let message = format!(
            "`at` lies {} from the axis through the two pivots; it would not move",
            both_units(radius, reader.units)
        );
        reader.error("on-the-axis", table.span_of("at"), message, "give the ball joint at the arm's outer end");
        return None;
    }
    let lift = Lift::new(about, axis, at);
    if lift.rise().abs() < LEAST_RISE * radius {
        let message = "the arm stands straight up or down from its pivots, or its axis is upright: `at` would not rise";
        reader.error(
            "degenerate",
            table.span_of("at"),
            message,
            "check the two pivots and `at`, or write it as a turn",
        );
        return None;
    }
    Some(Course { path: MotionPath::Travel { about, axis, lift }, range })
}

/// The arm must reach both ends of its travel.
fn within_reach(reader: &mut Reader<'_>, motion: &Table<'_>, lift: Lift, range: [f64; 2], measured: f64) {
    let [low, high] = lift.ends().map(|end| end + measured);
    let text = |mm: f64| both_units(mm, reader.units);
    let found = if range[1] > high {
        ("up", text(range[1]), text(high.max(0.0)), "rises")
    } else if range[0] < low {
        ("down", text(-range[0]), text((-low).max(0.0)), "falls")
    } else {
        return;
    };
    let (key, wanted, most, goes) = found;
    let message = format!("`{key}` is {wanted}; on its arm the point {goes} by {most} at most");
    let span = reader.table(motion, "travel").map_or_else(|| motion.span_of("travel"), |table| table.span_of(key));
    reader.error("out-of-reach", span, message, "check the pivots, `at`, and the value it was measured at");
}

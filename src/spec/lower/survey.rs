//! `[survey]`: marks, readings, rough places.

use std::collections::BTreeMap;

use crate::diagnostic::Place;
use crate::quantity::{INCH, degrees};
use crate::spec::raw::{Node, Reader, Table, shown};
use crate::spec::types::{Along, Measure, Reading, Survey, SurveyPoint, View};

/// One standard deviation (mm) of a tape held by hand: 1 to 2 mm (common practice, no source).
const TAPE_SIGMA: f64 = 1.5;

/// One standard deviation (rad) of a digital angle finder away from level and plumb (common practice, no source).
const LEVEL_SIGMA: f64 = 0.2 * std::f64::consts::PI / 180.0;

/// Most a frame stands off level (rad): past it the frame is about to fall off its stands.
const MOST_TILT: f64 = 30.0 * std::f64::consts::PI / 180.0;

/// Tape sigmas (mm) outside these are a slip of the unit: finer than a caliper, coarser than a pace.
const TAPE_SIGMAS: [f64; 2] = [0.01, 4.0 * INCH];

/// Points by name while the readings are walked.
struct Points {
    all: Vec<SurveyPoint>,
    by_name: BTreeMap<String, usize>,
}

impl Points {
    /// The point of that name; a name not seen before is an entry of `[points]`, else a new point to be found.
    fn find(&mut self, reader: &Reader<'_>, node: &Node<'_>, name: &str) -> Option<usize> {
        if let Some(&known) = self.by_name.get(name) {
            return Some(known);
        }
        let fixed = match reader.points.get(name) {
            // Its place could not be read, which is reported there.
            Some(None) => return None,
            Some(place) => *place,
            None => None,
        };
        let place = reader.placed(node.span.clone());
        self.by_name.insert(name.to_string(), self.all.len());
        self.all.push(SurveyPoint { name: name.to_string(), fixed, near: None, place });
        Some(self.all.len() - 1)
    }
}

pub(super) fn survey(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<Survey> {
    let table = reader.table(root, "survey")?;
    let tape_sigma = tape_sigma(reader, &table).unwrap_or(TAPE_SIGMA);
    let level_sigma = reader.angle(&table, "level_sigma").unwrap_or(LEVEL_SIGMA);
    let (rake, roll) = (tilt(reader, &table, "rake"), tilt(reader, &table, "roll"));
    let mut points = Points { all: Vec::new(), by_name: BTreeMap::new() };
    let mut whole = true;
    for mark in reader.tables(&table, "mark").into_iter().flatten() {
        let name = reader.point_name(&mark, "name");
        let at = reader.point(&mark, "at");
        let Some((node, name)) = name else { continue };
        if points.by_name.contains_key(name) || reader.points.contains_key(name) {
            let message = format!("two points have the name \"{}\"; each has its own", shown(name));
            reader.error("duplicate-name", node.span, message, "rename one of them");
            continue;
        }
        whole &= at.is_some();
        let place = reader.placed(node.span);
        points.by_name.insert(name.to_string(), points.all.len());
        points.all.push(SurveyPoint { name: name.to_string(), fixed: at, near: None, place });
    }
    let mut readings = Vec::new();
    for tape in reader.tables(&table, "tape").into_iter().flatten() {
        let ends = ends(reader, &tape, &mut points);
        let skin = reader.length(&tape, "skin").unwrap_or(0.0);
        let reads = reader.length(&tape, "reads");
        let sigma = tape_sigma_of(reader, &tape).unwrap_or(tape_sigma);
        let place = reader.placed(tape.span_of("reads"));
        let Some([from, to]) = ends else { continue };
        readings.push(Reading { what: Measure::Tape { from, to, skin }, reads, sigma, place });
    }
    for offset in reader.tables(&table, "offset").into_iter().flatten() {
        let of = end(reader, &offset, "of", &mut points);
        let along = reader.word(&offset, "along").map(|word| match word {
            "x" => Along::X,
            "y" => Along::Y,
            _ => Along::Z,
        });
        let reads = reader.length(&offset, "reads");
        let sigma = tape_sigma_of(reader, &offset).unwrap_or(tape_sigma);
        let place = reader.placed(offset.span_of("reads"));
        let (Some(of), Some(along)) = (of, along) else { continue };
        readings.push(Reading { what: Measure::Offset { of, along }, reads, sigma, place });
    }
    for slope in reader.tables(&table, "slope").into_iter().flatten() {
        let ends = ends(reader, &slope, &mut points);
        let view = reader.word(&slope, "view").map(|word| match word {
            "side" => View::Side,
            "plan" => View::Plan,
            _ => View::True,
        });
        let reads = acute(reader, &slope);
        let sigma = reader.angle(&slope, "sigma").unwrap_or(level_sigma);
        let place = reader.placed(slope.span_of("reads"));
        let (Some([from, to]), Some(view)) = (ends, view) else { continue };
        readings.push(Reading { what: Measure::Slope { from, to, view }, reads, sigma, place });
    }
    starts(reader, &table, &mut points);
    let place = reader.placed(table.span.clone());
    whole.then_some(Survey { place, rake, roll, points: points.all, readings })
}

fn tape_sigma(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<f64> {
    sane_sigma(reader, table, "tape_sigma")
}

fn tape_sigma_of(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<f64> {
    sane_sigma(reader, table, "sigma")
}

fn sane_sigma(reader: &mut Reader<'_>, table: &Table<'_>, key: &str) -> Option<f64> {
    let sigma = reader.length(table, key)?;
    let [least, most] = TAPE_SIGMAS;
    if sigma < least || sigma > most {
        let text = |mm| crate::quantity::both_units(mm, reader.units);
        let message = format!("`{key}` is {}; {} to {} is allowed", text(sigma), text(least), text(most));
        let help = "give how far two readings of one length lie apart, as a rule: about 1/16 in by hand";
        reader.error("bad-value", table.span_of(key), message, help);
        return None;
    }
    Some(sigma)
}

/// An angle the frame stands off level by; 0 where none is given.
fn tilt(reader: &mut Reader<'_>, table: &Table<'_>, key: &str) -> f64 {
    let Some(angle) = reader.angle(table, key) else { return 0.0 };
    if angle.abs() > MOST_TILT {
        let most = degrees(MOST_TILT.to_degrees(), 0);
        let message = format!("`{key}` is {}; up to {most} is allowed", degrees(angle.to_degrees(), 1));
        reader.error("bad-value", table.span_of(key), message, "lay the level on the frame itself");
    }
    angle
}

/// What an angle finder shows: 0 to 90 deg.
fn acute(reader: &mut Reader<'_>, slope: &Table<'_>) -> Option<f64> {
    let angle = reader.angle(slope, "reads")?;
    // A reading of 90 deg may come out a rounding above it.
    if angle > std::f64::consts::FRAC_PI_2 + 1e-9 {
        let message = format!("`reads` is {}; 0 to 90 deg is allowed", degrees(angle.to_degrees(), 1));
        let help = "give the acute angle: 180 deg less what it shows";
        reader.error("bad-value", slope.span_of("reads"), message, help);
        return None;
    }
    Some(angle)
}

fn end(reader: &mut Reader<'_>, table: &Table<'_>, key: &str, points: &mut Points) -> Option<usize> {
    let (node, name) = reader.point_name(table, key)?;
    points.find(reader, &node, name)
}

/// The two ends of a reading, which are two points.
fn ends(reader: &mut Reader<'_>, table: &Table<'_>, points: &mut Points) -> Option<[usize; 2]> {
    let from = reader.point_name(table, "from");
    let to = reader.point_name(table, "to");
    let ((from_node, from), (to_node, to)) = (from?, to?);
    if from == to {
        let message = format!("the reading runs from \"{0}\" to \"{0}\"; two points are wanted", shown(from));
        reader.error("degenerate", to_node.span, message, "name the point at the other end");
        return None;
    }
    let from = points.find(reader, &from_node, from);
    let to = points.find(reader, &to_node, to);
    Some([from?, to?])
}

fn starts(reader: &mut Reader<'_>, table: &Table<'_>, points: &mut Points) {
    for start in reader.tables(table, "start").into_iter().flatten() {
        let near = reader.point(&start, "near");
        let Some((node, name)) = reader.point_name(&start, "of") else { continue };
        let found = points.by_name.get(name).and_then(|&i| points.all.get_mut(i));
        match found {
            None => {
                let known: Vec<String> = points.by_name.keys().cloned().collect();
                let known: Vec<&str> = known.iter().map(String::as_str).collect();
                reader.no_such(&node, name, "point of the survey", &known);
            }
            Some(SurveyPoint { fixed: Some(_), .. }) => {
                let message = format!("\"{}\" is laid down already; a start is for a point to be found", shown(name));
                reader.error("one-too-many", node.span, message, "take this start out");
            }
            Some(SurveyPoint { near: Some(_), .. }) => {
                let message = format!("\"{}\" has two starts; one is allowed", shown(name));
                reader.error("one-too-many", node.span, message, "take one of them out");
            }
            Some(point) => point.near = near,
        }
    }
}

impl Reader<'_> {
    /// A stretch of the file that is read.
    fn placed(&self, span: std::ops::Range<usize>) -> Place {
        Place { file: self.file().to_string(), span }
    }
}

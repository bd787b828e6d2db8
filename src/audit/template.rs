//! A full-scale outline found in a file against the one solved.

use super::AuditReport;
use super::measured::Measured;
use super::nearby::Nearby;
use crate::geometry::Vec2;

/// Curves of one page or file, on the sheet.
pub(super) struct Template {
    /// As read.
    pub(super) items: Vec<Measured>,
}

/// A closed curve that must be in the file.
pub(super) struct Loop {
    /// Its name in the file.
    pub(super) key: String,
    /// Its name for people.
    pub(super) what: String,
    /// As solved, in part coordinates.
    pub(super) curve: Measured,
    /// Centre and diameter, where it is a round hole.
    pub(super) round: Option<(Vec2, f64)>,
    /// Whether it is cut or drilled, and not only shown.
    pub(super) cut: bool,
}

/// How the part lies on the sheet: where its zero is, and the directions of its two coordinates.
#[derive(Debug, Clone, Copy)]
pub(super) struct Datum {
    zero: Vec2,
    x: Vec2,
    y: Vec2,
    /// Distance (mm) of the L from the datum mark along the first coordinate.
    pub(super) away: f64,
    /// How far (mm) the ends of the L are from their places.
    off: f64,
}

/// Arm of the L (mm): 10 along the first coordinate, the zero, 10 along the second.
const ARM: f64 = 10.0;

impl Datum {
    /// Part coordinates of a point of the sheet, from the L.
    pub(super) fn part(&self, p: Vec2) -> Vec2 {
        let d = p - self.zero;
        Vec2::new(d.dot(self.x), d.dot(self.y))
    }
}

/// The L of a template, by its key `datum` or `datum.` and its distance from the mark.
pub(super) fn datum(items: &[Measured]) -> Option<Datum> {
    let (away, found) = items.iter().find_map(|item| {
        let key = item.key.as_deref()?;
        let away = if key == "datum" { 0.0 } else { key.strip_prefix("datum.")?.parse().ok()? };
        Some((away, item))
    })?;
    let [a, zero, b] = found.vertices()[..] else { return None };
    // Parts lie square on their sheets: the nearest axis is the direction, and what is left over is an error.
    let axis = |d: Vec2| {
        if d.x.abs() > d.y.abs() { Vec2::new(d.x.signum(), 0.0) } else { Vec2::new(0.0, d.y.signum()) }
    };
    let (x, y) = (axis(a - zero), axis(b - zero));
    if x.dot(y).abs() > 0.5 {
        return None;
    }
    let off = (a - zero - x * ARM).length().max((b - zero - y * ARM).length());
    Some(Datum { zero, x, y, away, off })
}

/// Names of curves that are part of an outline; any more of them than planned is one too many.
const OUTLINES: [&str; 5] = ["outline", "opening.", "hole.", "notch.shop.", "notch.true."];

/// Layers (PDF) and groups (SVG) whose every curve is cut through.
const CUT: [&str; 2] = ["cut", "Cut lines"];
/// Of holes: in SVG all of it is cut, in PDF ticks beside a hole are open.
const DRILL: [&str; 2] = ["drill", "Drilled holes"];

/// The name of a curve that someone would cut and nobody planned.
fn stray<'a>(item: &'a Measured, loops: &[Loop]) -> Option<&'a str> {
    let group = item.group.as_str();
    let key = item.key.as_deref().unwrap_or("");
    let cut = CUT.contains(&group) || group == DRILL[0] || (group == DRILL[1] && item.closed) || group.is_empty();
    let outline = OUTLINES.iter().any(|name| key.starts_with(name));
    let planned = loops.iter().any(|planned| planned.key == key);
    let name = if key.is_empty() { "a curve without a name" } else { key };
    ((cut || outline) && !planned).then_some(name)
}

/// Compares every planned curve with the file, and finds those that are too many.
///
/// `mark` is the first coordinate (mm) the datum counts from, `allowed` the largest difference (mm).
pub(super) fn check(
    file: &str,
    template: &Template,
    loops: &[Loop],
    mark: f64,
    allowed: f64,
    report: &mut AuditReport,
) {
    let Some(datum) = datum(&template.items) else {
        report.wrong(file, "datum", "an L of 10 mm arms", "missing");
        return;
    };
    report.number(file, "datum, ends of its arms", 0.0, datum.off, allowed, "mm");
    let shift = Vec2::new(mark + datum.away, 0.0);
    for planned in loops {
        let mut named = template.items.iter().filter(|item| item.key.as_deref() == Some(&planned.key));
        let Some(found) = named.next() else {
            report.wrong(file, &planned.what, "a curve", "missing");
            continue;
        };
        if named.next().is_some() {
            report.wrong(file, &planned.what, "one curve", "several");
        }
        let group = found.group.as_str();
        if planned.cut && !CUT.contains(&group) && !DRILL.contains(&group) {
            report.wrong(file, &planned.what, "among the lines to cut or drill", format!("in \"{group}\""));
        }
        let mut found = found.clone();
        found.place(|p| datum.part(p) + shift, |d| Vec2::new(d.dot(datum.x), d.dot(datum.y)));
        one(file, planned, &found, allowed, report);
    }
    for name in template.items.iter().filter_map(|item| stray(item, loops)) {
        report.wrong(file, name, "not in the solution", "a curve to cut");
    }
}

fn one(file: &str, planned: &Loop, found: &Measured, allowed: f64, report: &mut AuditReport) {
    let what = &planned.what;
    if !found.closed || found.runs != 1 {
        report.wrong(file, what, "one closed curve", "open, or in pieces");
        return;
    }
    if let Some((centre, diameter)) = planned.round {
        let Some(circle) = found.circle() else {
            report.wrong(file, what, "a circle", "out of round");
            return;
        };
        report.number(file, format!("{what}, centre across"), centre.x, circle.centre.x, allowed, "mm");
        report.number(file, format!("{what}, centre up"), centre.y, circle.centre.y, allowed, "mm");
        report.number(file, format!("{what}, diameter"), diameter, circle.diameter, allowed, "mm");
        return;
    }
    // Each curve is followed, and its farthest place from the other is the difference.
    let apart = farthest(found, &planned.curve).max(farthest(&planned.curve, found));
    report.number(file, format!("{what}, farthest from plan"), 0.0, apart, allowed, "mm");
    // A loop run the other way round would be a hole where the plan has an island.
    let area = |curve: &Measured| curve.area().abs();
    let reach = perimeter(&planned.curve) * allowed;
    report.number(file, format!("{what}, area"), area(&planned.curve), area(found), reach, "mm2");
}

/// Places looked at on each piece.
const PLACES: u32 = 4;

/// Greatest distance (mm) of places on `a` from `b`.
fn farthest(a: &Measured, b: &Measured) -> f64 {
    let near = Nearby::of(b);
    a.segments
        .iter()
        .flat_map(|segment| (0..PLACES).map(|i| segment.point(f64::from(i) / f64::from(PLACES))))
        .map(|p| near.distance(p))
        .fold(0.0, f64::max)
}

fn perimeter(curve: &Measured) -> f64 {
    curve.segments.iter().map(|segment| (segment.to() - segment.from()).length()).sum()
}

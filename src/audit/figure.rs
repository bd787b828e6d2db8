//! Pictures of the record: every curve and mark read back by the scales printed beside it.

use super::AuditReport;
use super::measured::{Measured, Segment};
use super::package::Plan;
use super::paper::{SVG, open_svg};
use super::svg::SvgDrawing;
use crate::geometry::Vec2;
use crate::solve::curves::{Figure, Points, graph};

/// One scale: where (mm) on the sheet a value lies.
struct Scale {
    at: f64,
    per_unit: f64,
}

impl Scale {
    /// From the lines of the scale, each with its value in its key; every line must lie on it and have its number
    /// printed.
    fn read(
        found: &SvgDrawing,
        along: &str,
        pick: fn(Vec2) -> f64,
        file: &str,
        report: &mut AuditReport,
    ) -> Option<Self> {
        let prefix = format!("{along}.");
        let mut lines = Vec::new();
        for item in &found.items {
            let Some(text) = item.key.as_deref().and_then(|key| key.strip_prefix(&prefix)) else { continue };
            let value: Option<f64> = text.parse().ok();
            let (Some(value), Some((a, b))) = (value, item.straight()) else {
                report.wrong(file, format!("scale {along}, {text}"), "a straight line at a number", "another");
                continue;
            };
            let printed = found.texts.iter().any(|words| words.trim_end_matches('°') == text);
            let word = |yes: bool| if yes { "printed" } else { "missing" };
            report.equal(file, format!("scale {along}, number {text}"), word(true), word(printed));
            report.number(file, format!("scale {along}, line {text} level"), pick(a), pick(b), SVG, "mm");
            lines.push((value, pick(a)));
        }
        let (&(v0, p0), &(v1, p1)) = (lines.first()?, lines.last()?);
        let scale = Self { at: p0 - v0 * (p1 - p0) / (v1 - v0), per_unit: (p1 - p0) / (v1 - v0) };
        if !scale.per_unit.is_finite() || scale.per_unit <= 0.0 {
            return None;
        }
        for (value, place) in lines {
            report.number(file, format!("scale {along}, place of {value}"), scale.place(value), place, SVG, "mm");
        }
        Some(scale)
    }

    fn place(&self, value: f64) -> f64 {
        self.at + self.per_unit * value
    }
}

/// A picture against the solution.
pub(super) fn check(file: &str, bytes: &[u8], plan: &Plan, figure: Figure, report: &mut AuditReport) {
    let Some(found) = open_svg(file, bytes, plan, report) else { return };
    let Some(planned) = graph(&plan.spec, &plan.solution, figure) else { return };
    let says = |words: &str| if found.texts.iter().any(|text| text == words) { "printed" } else { "missing" };
    // A long title is wrapped.
    let solid = |words: &str| words.split_whitespace().collect::<String>();
    let title = solid(&found.texts.concat()).contains(&solid(&planned.title));
    report.equal(file, "title", "printed", if title { "printed" } else { "missing" });
    report.equal(file, "what runs across", "printed", says(&planned.across));
    report.equal(file, "hash of the spec", "printed", says(&format!("spec {}", &plan.spec.sha256[..12])));
    let across = Scale::read(&found, "across", |p| p.x, file, report);
    let up = Scale::read(&found, "up", |p| p.y, file, report);
    let (Some(across), Some(up)) = (across, up) else {
        report.wrong(file, "scales", "two, each with two numbers or more", "missing");
        return;
    };
    let place = |&(x, y): &(f64, f64)| Vec2::new(across.place(x), up.place(y));
    for (n, (name, points)) in planned.curves.iter().enumerate() {
        let what = if name.is_empty() { format!("curve {}", n + 1) } else { format!("curve {name}") };
        if !name.is_empty() && planned.curves.len() > 1 {
            report.equal(file, format!("{what}, name"), "printed", says(name));
        }
        let Some(item) = found.find(&format!("curve.{}", n + 1)) else {
            report.wrong(file, what, "a curve", "missing");
            continue;
        };
        along(file, &what, item, points, place, report);
    }
    let (name, marks) = &planned.marks;
    if !marks.is_empty() {
        report.equal(file, format!("name of the marks, {name}"), "printed", says(name));
    }
    let drawn =
        found.items.iter().filter(|item| item.key.as_deref().is_some_and(|key| key.starts_with("mark."))).count();
    report.equal(file, "marks", marks.len().to_string(), drawn.to_string());
    for (n, mark) in marks.iter().enumerate() {
        let what = format!("mark {}", n + 1);
        match found.find(&format!("mark.{}", n + 1)).and_then(Measured::straight) {
            Some((a, b)) => report.number(file, what, 0.0, ((a + b) * 0.5 - place(mark)).length(), SVG, "mm"),
            None => report.wrong(file, what, "a cross", "missing"),
        }
    }
}

/// The corners of a curve, one after another.
fn along(
    file: &str,
    what: &str,
    item: &Measured,
    points: &Points,
    place: impl Fn(&(f64, f64)) -> Vec2,
    report: &mut AuditReport,
) {
    let straight = item.segments.iter().all(|segment| matches!(segment, Segment::Line { .. }));
    let word = |yes: bool| if yes { "straight from point to point" } else { "otherwise" };
    report.equal(file, format!("{what}, pieces"), word(true), word(straight && item.runs == 1));
    let corners = item.vertices();
    report.equal(file, format!("{what}, points"), points.len().to_string(), corners.len().to_string());
    let off = corners.iter().zip(points).map(|(corner, point)| (*corner - place(point)).length()).fold(0.0, f64::max);
    report.number(file, format!("{what}, farthest off"), 0.0, off, SVG, "mm");
}

//! The layout sheet: its words, and its three views at their scale.

use super::AuditReport;
use super::measured::Measured;
use super::package::Plan;
use super::paper::{PDF, SVG, heading, length_words, open_svg, page_box, says, words};
use super::pdf::PdfPage;
use super::svg::SvgDrawing;
use crate::geometry::{Vec2, Vec3};
use crate::quantity;
use crate::solve::gap_curve::marked;

/// What a view shows of a point.
type Flat = fn(Vec3) -> Vec2;

/// Views by their keys, with the two vehicle coordinates they show.
const VIEWS: [(&str, Flat); 3] =
    [("side", |p| Vec2::new(p.x, p.z)), ("plan", |p| Vec2::new(p.x, p.y)), ("rear", |p| Vec2::new(p.y, p.z))];

/// The pages of the layout sheet.
pub(super) fn measure(file: &str, found: &[PdfPage], plan: &Plan, report: &mut AuditReport) {
    heading(file, found, "layout sheet", report);
    let text = words(found);
    numbers(file, &text, plan, report);
    for row in marked(&plan.solution) {
        let what = format!("gap of {} to {}", row.part, row.obstacle);
        says(file, &text, &what, &length_words(row.judged()), report);
    }
    for line in &plan.solution.order {
        let what = format!("order of {}", line.item);
        // Long rows are wrapped: the first word and the length find them.
        let first = line.what.split_whitespace().next().unwrap_or_default().to_owned();
        says(file, &text, &what, &[line.item.clone(), first], report);
        if let Some(length) = line.length {
            says(file, &text, &what, &length_words(length), report);
        }
    }
    if let Some(page) = found.first() {
        views(file, |key| page.find(key), &page.texts, PDF, plan, report);
    }
}

/// The same views on a page of the record.
pub(super) fn on_record(file: &str, found: &[PdfPage], plan: &Plan, report: &mut AuditReport) {
    match found.iter().find(|page| VIEWS.iter().any(|(view, _)| page.find(&format!("{view}.axis.1")).is_some())) {
        Some(page) => views(file, |key| page.find(key), &page.texts, PDF, plan, report),
        None => report.wrong(file, "layout", "three views", "missing"),
    }
}

/// Its first page as SVG.
pub(super) fn svg(file: &str, bytes: &[u8], plan: &Plan, report: &mut AuditReport) -> Option<SvgDrawing> {
    let found = open_svg(file, bytes, plan, report)?;
    page_box(file, "sheet", [found.width_mm, found.height_mm], plan, report);
    views(file, |key| found.find(key), &found.texts, SVG, plan, report);
    Some(found)
}

/// Angles, lengths and bearings stand in its tables.
fn numbers(file: &str, text: &str, plan: &Plan, report: &mut AuditReport) {
    for joint in &plan.solution.joints {
        let angle = quantity::degrees(joint.angle, 1);
        says(file, text, &format!("angle of {}", joint.name), &[angle], report);
    }
    for shaft in &plan.solution.shafts {
        let name = &shaft.name;
        says(file, text, &format!("between crosses of {name}"), &length_words(shaft.centre_distance), report);
        says(file, text, &format!("finished length of {name}"), &length_words(shaft.cut_length), report);
        if let Some(bearing) = &shaft.bearing {
            says(file, text, &format!("station of the bearing of {name}"), &length_words(bearing.station), report);
        }
    }
}

/// Every shaft from cross to cross, and every housing, in each view: true to the scale the sheet states, and the views
/// in line with each other.
fn views<'a>(
    file: &str,
    find: impl Fn(&str) -> Option<&'a Measured>,
    texts: &[String],
    allowed: f64,
    plan: &Plan,
    report: &mut AuditReport,
) {
    let stated = texts.iter().find_map(|text| text.strip_prefix("1:")?.parse::<f64>().ok());
    let Some(scale) = stated.filter(|scale| *scale > 0.0) else {
        report.wrong(file, "scale", "1 to a number", "none stated");
        return;
    };
    let joints = &plan.solution.joints;
    let mut wanted: Vec<(String, String, [Vec3; 2])> = Vec::new();
    for (i, (joint, next)) in joints.iter().zip(joints.iter().skip(1)).enumerate() {
        if let (Some(from), Some(to)) = (joint.crosses.last(), next.crosses.first()) {
            let name = plan.solution.shafts.get(i).map_or("", |shaft| shaft.name.as_str());
            wanted.push((format!("axis.{}", i + 1), format!("axis of {name}"), [*from, *to]));
        }
    }
    for (i, joint) in joints.iter().enumerate() {
        if let [from, to] = joint.crosses[..] {
            wanted.push((format!("housing.{}", i + 1), format!("housing of {}", joint.name), [from, to]));
        }
    }
    let mut starts = [None; 3];
    for ((view, flat), start) in VIEWS.into_iter().zip(&mut starts) {
        for (key, what, [from, to]) in &wanted {
            let what = format!("{view} view, {what}");
            let Some((a, b)) = find(&format!("{view}.{key}")).and_then(Measured::straight) else {
                report.wrong(file, what, "a straight line", "missing");
                continue;
            };
            start.get_or_insert(a);
            let expected = flat(*to - *from) * (1.0 / scale);
            report.number(file, format!("{what}, across"), expected.x, (b - a).x, allowed, "mm");
            report.number(file, format!("{what}, up"), expected.y, (b - a).y, allowed, "mm");
        }
        let (Some(start), Some(origin)) = (*start, joints.first().and_then(|joint| joint.crosses.last())) else {
            continue;
        };
        for (i, row) in marked(&plan.solution).into_iter().enumerate() {
            let what = format!("{view} view, tightest gap {}", i + 1);
            let Some((a, b)) = find(&format!("{view}.gap.{}", i + 1)).and_then(Measured::straight) else {
                report.wrong(file, what, "a cross", "missing");
                continue;
            };
            let expected = flat(row.point - *origin) * (1.0 / scale);
            let at = (a + b) * 0.5 - start;
            report.number(file, format!("{what}, across"), expected.x, at.x, allowed, "mm");
            report.number(file, format!("{what}, up"), expected.y, at.y, allowed, "mm");
        }
    }
    if let [Some(side), Some(plan), Some(rear)] = starts {
        report.number(file, "side view under plan", 0.0, side.x - plan.x, allowed, "mm");
        report.number(file, "side view level with rear view", 0.0, side.y - rear.y, allowed, "mm");
    }
}

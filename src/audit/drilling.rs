//! Drilling drawings and check strips against the solution.

use super::AuditReport;
use super::measured::Measured;
use super::package::Plan;
use super::paper::{PDF, curve, heading, length_words, says, words};
use super::pdf::PdfPage;
use super::template::{self, Loop};
use crate::geometry::Vec2;
use crate::quantity;
use crate::solve::plate::{hole_outline, path};
use crate::solve::solution::PlateResult;
use crate::solve::strip::strips;
use crate::solve::{folded, profile};

/// Every hole of every strip.
pub(super) fn strip_loops(plan: &Plan, i: usize) -> Vec<Loop> {
    let plate = &plan.solution.plates[i];
    let mut loops = Vec::new();
    for (number, row) in strips(plate).iter().enumerate() {
        for (&hole, &centre) in row.holes.iter().zip(&row.centres) {
            let mut shown = plate.holes[hole].clone();
            shown.centre = centre;
            if let (true, Some(slot)) = (row.upright, &mut shown.slot) {
                slot.angle = 90.0 - slot.angle;
            }
            let Some(edge) = path(&hole_outline(&shown)) else { continue };
            let round = shown.slot.is_none().then_some((centre, shown.diameter));
            let key = format!("strip.{}.{}", number + 1, hole + 1);
            let what = format!("strip {}, hole {}", number + 1, shown.name);
            loops.push(Loop { key, what, curve: curve(&edge), round, cut: true });
        }
    }
    loops
}

/// Holes and openings of a drilling drawing from its zero, at the scale it states; its table in words.
pub(super) fn measure(file: &str, pages: &[PdfPage], plan: &Plan, i: usize, report: &mut AuditReport) {
    heading(file, pages, "drilling drawing", report);
    let plate = &plan.solution.plates[i];
    let text = words(pages);
    for hole in &plate.holes {
        let what = format!("hole {}", hole.name);
        for (axis, place) in [("u", hole.centre.x), ("v", hole.centre.y)] {
            says(file, &text, &format!("{what}, {axis}"), &length_words(place), report);
        }
        says(file, &text, &format!("{what}, size"), &length_words(hole.diameter), report);
        says(file, &text, &format!("{what}, drill"), std::slice::from_ref(&hole.drill), report);
        for depth in [hole.depth, hole.thread_depth].into_iter().flatten() {
            says(file, &text, &format!("{what}, depth"), &length_words(depth)[..1], report);
        }
        if let Some(tap) = &hole.tap {
            says(file, &text, &format!("{what}, tap"), std::slice::from_ref(tap), report);
        }
        if let Some(cone) = &hole.countersink {
            says(file, &text, &format!("{what}, countersink"), &[quantity::degrees(cone.angle, 0)], report);
        }
    }
    for bend in &plate.bends {
        let what = format!("bend {}", bend.name);
        let way = if bend.up { "up" } else { "down" };
        let words = format!("{way} {}", quantity::degrees(bend.angle, 1));
        says(file, &text, &what, &[words], report);
        says(file, &text, &format!("{what}, allowance"), &length_words(bend.allowance), report);
    }
    for place in plate.holes.iter().filter_map(|hole| hole.folded) {
        for (axis, at) in [("x", place.at.x), ("y", place.at.y), ("z", place.at.z)] {
            says(file, &text, &format!("a hole once bent, {axis}"), &length_words(at), report);
        }
    }
    folded(file, pages, plate, report);
    let Some(page) = pages.first() else { return };
    let number = |text: &str| text.chars().take_while(char::is_ascii_digit).collect::<String>().parse::<f64>().ok();
    let stated = page.texts.iter().find_map(|text| number(text.strip_prefix("1:")?));
    let zero = page.find("zero").map(Measured::vertices).and_then(|points| points.get(1).copied());
    let (Some(scale), Some(zero)) = (stated.filter(|scale| *scale > 0.0), zero) else {
        report.wrong(file, "view", "a scale and the zero mark", "missing");
        return;
    };
    for (n, hole) in plate.holes.iter().enumerate() {
        let what = format!("view, hole {}", hole.name);
        let Some((low, high)) = page.find(&format!("hole.{}", n + 1)).and_then(Measured::bounds) else {
            report.wrong(file, what, "a curve", "missing");
            continue;
        };
        let centre = (low + high) * 0.5 - zero;
        place(file, &what, (hole.centre * (1.0 / scale), centre), report);
        if hole.slot.is_none() {
            let (wanted, found) = (hole.diameter / scale, (high - low).x);
            report.number(file, format!("{what}, diameter on paper"), wanted, found, PDF, "mm");
        }
    }
    for (n, opening) in plate.openings.iter().enumerate() {
        let what = format!("view, opening {}", opening.name);
        let found = page.find(&format!("opening.{}", n + 1)).and_then(Measured::bounds);
        let (Some((low, high)), Some(edge)) = (found, path(&opening.outline)) else {
            report.wrong(file, what, "a curve", "missing");
            continue;
        };
        let (least, greatest) = edge.bounds();
        let middle = (least + greatest) * (0.5 / scale);
        place(file, &what, (middle, (low + high) * 0.5 - zero), report);
    }
}

/// Views of a bent plate: flanges as long as they are, and turned out of one another by the bends, each its way.
///
/// Lengths and turns are taken from the lines on paper, drawn with the drawn face of the first flange up.
fn folded(file: &str, pages: &[PdfPage], plate: &PlateResult, report: &mut AuditReport) {
    let Some(stands) = folded::folded(plate).filter(|folded| !folded.bends.is_empty()) else { return };
    let lengths = profile::lengths(plate);
    let views = profile::profiles(plate);
    for (number, view) in views.iter().enumerate() {
        let number = number + 1;
        let key = |flange: usize| format!("folded.{number}.{}", flange + 1);
        let page =
            view.flanges.first().and_then(|first| pages.iter().find(|page| page.find(&key(first.flange)).is_some()));
        let heading = if views.len() > 1 { format!("Folded view {number}, 1:") } else { "Folded view, 1:".to_owned() };
        let stated = page.and_then(|page| page.texts.iter().find_map(|text| text.strip_prefix(&heading)));
        let scale = stated.and_then(|text| text.split(',').next()?.parse::<f64>().ok()).filter(|scale| *scale > 0.0);
        let (Some(page), Some(scale)) = (page, scale) else {
            report.wrong(file, format!("folded view {number}"), "a scale and its lines", "missing");
            continue;
        };
        let line = |flange: usize| page.find(&key(flange)).and_then(Measured::straight);
        for edge in &view.flanges {
            let what = format!("folded view {number}, flange {}", edge.flange + 1);
            let Some((a, b)) = line(edge.flange) else {
                report.wrong(file, what, "a straight line", "missing");
                continue;
            };
            let (wanted, found) = (lengths[edge.flange].straight / scale, (b - a).length());
            report.number(file, format!("{what}, length on paper"), wanted, found, PDF, "mm");
        }
        for arc in &view.bends {
            let what = format!("folded view {number}, bend {}", plate.bends[arc.bend].name);
            let near = stands.flanges.iter().position(|flange| flange.before.contains(&arc.bend));
            let both = near.and_then(|near| Some((line(near)?, line(arc.bend + 1)?)));
            let Some(((a, b), (c, d))) = both else {
                report.wrong(file, what, "two flanges", "missing");
                continue;
            };
            let cut = page.find(&format!("folded.{number}.bend.{}", arc.bend + 1)).and_then(Measured::bounds);
            report.equal(file, format!("{what}, curve"), "there", if cut.is_some() { "there" } else { "missing" });
            // From the end far from the bend to the near one, and on from there.
            let far = |p: Vec2, q: Vec2, other: Vec2| {
                if (p - other).length() > (q - other).length() { (p, q) } else { (q, p) }
            };
            let ((from, to), (end, start)) = (far(a, b, (c + d) * 0.5), far(c, d, (a + b) * 0.5));
            let (one, next) = (to - from, end - start);
            let turn = libm::atan2(one.cross(next), one.dot(next)).abs().to_degrees();
            let reach = PDF * (1.0 / one.length() + 1.0 / next.length()).to_degrees();
            report.number(file, format!("{what}, turn"), plate.bends[arc.bend].angle, turn, reach, "deg");
            if near == Some(0) {
                let way = |up: bool| if up { "up" } else { "down" };
                report.equal(
                    file,
                    format!("{what}, way"),
                    way(plate.bends[arc.bend].up),
                    way(next.y > 0.0 || (end - to).y > 0.0),
                );
            }
        }
    }
}

fn place(file: &str, what: &str, (wanted, found): (Vec2, Vec2), report: &mut AuditReport) {
    report.number(file, format!("{what}, across on paper"), wanted.x, found.x, PDF, "mm");
    report.number(file, format!("{what}, up on paper"), wanted.y, found.y, PDF, "mm");
}

/// The middle line of every bend on a cut file or template, from its datum.
pub(super) fn bends(file: &str, items: &[Measured], plate: &PlateResult, allowed: f64, report: &mut AuditReport) {
    let Some(datum) = template::datum(items) else { return };
    for (n, bend) in plate.bends.iter().enumerate() {
        let what = format!("bend {}", bend.name);
        let key = format!("bend.{}", n + 1);
        let found = items.iter().find(|item| item.key.as_deref() == Some(key.as_str())).and_then(Measured::straight);
        let Some((a, b)) = found else {
            report.wrong(file, what, "a straight line", "missing");
            continue;
        };
        for (end, (wanted, found)) in ["start", "end"].into_iter().zip(bend.line.into_iter().zip([a, b])) {
            let off = (datum.part(found) - wanted).length();
            report.number(file, format!("{what}, {end}"), 0.0, off, allowed, "mm");
        }
    }
}

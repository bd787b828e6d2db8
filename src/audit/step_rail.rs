//! STEP files of rails measured against the solution.

use super::AuditReport;
use super::step::{ALLOWED, SQUARE, VOLUME};
use super::step_file::StepMeasure;
use super::step_shell::{self, Said};
use crate::geometry::split::distance;
use crate::geometry::{Vec2, Vec3};
use crate::solve::identity::Identity;
use crate::solve::rail_part::{self, Cut, Strip};
use crate::solve::solution::RailResult;
use crate::spec::types::Unit;

/// How far (mm) a strip is taken to reach beyond its ends, so that no point falls between two.
const SLACK: f64 = 1e-4;

/// What the file of a rail should hold.
#[derive(Debug, Clone)]
pub struct RailPlan<'a> {
    /// File in the package.
    pub file: &'a str,
    /// Length unit of the file.
    pub unit: Unit,
    /// What it is called and what is said of it.
    pub identity: Identity,
    /// The rail.
    pub rail: &'a RailResult,
    /// What is cut out of it.
    pub cuts: Vec<Cut<'a>>,
}

/// Measures a rail's file and compares it with its plan, line by line.
///
/// Product, unit, that the shell closes, both ends, every side and corner outside and inside, volume; and of every
/// notch that its edges lie on the outline to cut, at whatever depth of the wall, and reach every corner of it.
pub fn check(plan: &RailPlan<'_>, bytes: &[u8], report: &mut AuditReport) {
    let said = Said { file: plan.file, unit: plan.unit, identity: &plan.identity };
    let Some(found) = step_shell::read(&said, bytes, report) else { return };
    let RailPlan { file, rail, .. } = *plan;
    let mut names: Vec<&str> = found.named.iter().map(String::as_str).collect();
    names.sort_unstable();
    names.dedup();
    let mut wanted: Vec<&str> = plan.cuts.iter().map(|cut| cut.name).collect();
    wanted.sort_unstable();
    wanted.dedup();
    let wanted = step_shell::written(&wanted.join(", "));
    report.equal(file, "named walls", wanted, names.join(", "));
    ends(file, rail, &found, report);
    for (i, strip) in rail_part::strips(rail).iter().enumerate() {
        for (side, depth) in [("outside", 0.0), ("inside", rail.wall)] {
            if depth > 0.0 && strip.tight(rail.wall) {
                continue;
            }
            let what = format!("{} {}, {side}", if strip.0.centre.is_some() { "corner" } else { "side" }, i + 1);
            match off_strip(&found, strip, depth) {
                Some(off) => report.number(file, format!("{what}, off its place"), 0.0, off, ALLOWED, "mm"),
                None => report.wrong(file, what, "one", "none"),
            }
        }
    }
    let volume = rail_part::volume(rail, &plan.cuts);
    report.number(file, "volume", volume, found.volume, VOLUME * volume, "mm³");
    outlines(plan, &found, report);
}

fn ends(file: &str, rail: &RailResult, found: &StepMeasure, report: &mut AuditReport) {
    for (name, way, at) in [("first end", -1.0, 0.0), ("second end", 1.0, rail.length)] {
        let across = |normal: Vec3| (normal.x - way).abs() <= SQUARE;
        let planes = found.planes.iter().filter(|plane| across(plane.normal)).map(|plane| plane.distance * way);
        match planes.min_by(|a, b| (a - at).abs().total_cmp(&(b - at).abs())) {
            Some(end) => report.number(file, name, at, end, ALLOWED, "mm"),
            None => report.wrong(file, name, "one", "none"),
        }
    }
}

/// How far (mm) the nearest face of a strip's kind is off it.
fn off_strip(found: &StepMeasure, strip: &Strip, depth: f64) -> Option<f64> {
    let section = |v: Vec3| Vec2::new(v.z, v.y);
    let out = if depth > 0.0 { -1.0 } else { 1.0 };
    let all: Vec<f64> = if let (Some(centre), Some(radius)) = (strip.0.centre, strip.radius()) {
        let along = |axis: Vec3| axis.y.abs().max(axis.z.abs()) <= SQUARE;
        let own = found.cylinders.iter().filter(|face| along(face.axis) && face.hollow == (depth > 0.0));
        own.map(|face| (section(face.origin) - centre).length() + (face.radius - radius + depth).abs()).collect()
    } else {
        let normal = (strip.0.to - strip.0.from).unit()?.left();
        let level = normal.dot(strip.0.from) - depth;
        let arm = strip.0.length;
        let own = found.planes.iter().filter(|plane| plane.normal.x.abs() <= SQUARE);
        own.map(|plane| (section(plane.normal) * out - normal).length() * arm + (plane.distance * out - level).abs())
            .collect()
    };
    all.into_iter().min_by(f64::total_cmp)
}

/// Both ways: the edges of the notches' walls lie on the outlines, and every corner of these on metal has an edge's end.
fn outlines(plan: &RailPlan<'_>, found: &StepMeasure, report: &mut AuditReport) {
    let RailPlan { file, rail, .. } = *plan;
    let strips = rail_part::strips(rail);
    let unrolled = |p: Vec3| {
        let at = Vec2::new(p.z, p.y);
        let under =
            |strip: &Strip| strip.under(at, SLACK).filter(|under| under.1 > -SLACK && under.1 < rail.wall + SLACK);
        strips.iter().find_map(under).map(|(v, _)| Vec2::new(p.x, v))
    };
    let (mut worst, mut strays) = (0.0f64, 0);
    let mut ends = Vec::new();
    for seam in &found.seams {
        for (i, p) in seam.iter().enumerate() {
            let Some(at) = unrolled(*p) else {
                strays += 1;
                continue;
            };
            worst = worst.max(off_outlines(plan, at));
            if i != 1 {
                ends.push(at);
            }
        }
    }
    report.number(file, "edges of notches, off the outline to cut", 0.0, worst, ALLOWED, "mm");
    report.equal(file, "edges of notches outside of the wall", "0", strays.to_string());
    let is_channel = rail.girth.is_none();
    for cut in &plan.cuts {
        let mut missed = 0.0f64;
        for path in &cut.paths {
            for (corner, _) in path.runs() {
                // Along an end or a lip the outline is no edge.
                let first = strips.first().map_or(0.0, Strip::low);
                let last = strips.last().map_or(0.0, Strip::high);
                let bare = corner.x <= ALLOWED
                    || corner.x >= rail.length - ALLOWED
                    || is_channel && (corner.y <= first + ALLOWED || corner.y >= last - ALLOWED);
                if bare {
                    continue;
                }
                let near = ends.iter().map(|end| {
                    let turned = rail_part::turns(rail).map(|by| (*end + Vec2::new(0.0, by) - corner).length());
                    turned.fold(f64::INFINITY, f64::min)
                });
                missed = missed.max(near.fold(f64::INFINITY, f64::min));
            }
        }
        report.number(file, format!("{}, corners of the outline missed by", cut.name), 0.0, missed, ALLOWED, "mm");
    }
}

/// Distance (mm) of a place of the unrolled outside from the nearest outline.
fn off_outlines(plan: &RailPlan<'_>, at: Vec2) -> f64 {
    let mut least = f64::INFINITY;
    for path in plan.cuts.iter().flat_map(|cut| &cut.paths) {
        let (low, high) = path.bounds();
        for by in rail_part::turns(plan.rail) {
            let p = at - Vec2::new(0.0, by);
            if p.y < low.y - SLACK || p.y > high.y + SLACK {
                continue;
            }
            for (from, piece) in path.runs() {
                least = least.min(distance(from, piece, p));
            }
        }
    }
    least
}

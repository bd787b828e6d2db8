//! From the written SVG: the wall left standing keeps the clearance, on rails of all kinds.

use yokeline::drawing;
use yokeline::export::{PaperMeta, svg};
use yokeline::geometry::Vec2;
use yokeline::geometry::contour::{holds, sides};
use yokeline::pipeline;
use yokeline::solve::notch::{notch, result};
use yokeline::spec::types::{Body, Edge, Face, Section};

use super::{cylinder, p, rail_of, spec_with, wall_distance};

/// Small numbers that look random and are the same every time (a linear congruence, Knuth, from memory).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// Places along a path, 64 on every curve of it; arcs are made cubics by the reader.
fn points(data: &str) -> Vec<Vec2> {
    use svgtypes::SimplePathSegment as Segment;
    let mut points: Vec<Vec2> = Vec::new();
    for segment in svgtypes::SimplifyingPathParser::from(data) {
        match segment.unwrap() {
            Segment::MoveTo { x, y } | Segment::LineTo { x, y } => points.push(Vec2::new(x, y)),
            Segment::CurveTo { x1, y1, x2, y2, x, y } => {
                let (a, b, c, d) = (*points.last().unwrap(), Vec2::new(x1, y1), Vec2::new(x2, y2), Vec2::new(x, y));
                points.extend((1..=64).map(|k| {
                    let t = f64::from(k) / 64.0;
                    let s = 1.0 - t;
                    a * (s * s * s) + b * (3.0 * s * s * t) + c * (3.0 * s * t * t) + d * (t * t * t)
                }));
            }
            Segment::Quadratic { .. } => panic!("no quadratic curve is written"),
            Segment::ClosePath => {
                points.pop_if(|last| (*last - points_start(data)).length() < 1e-9);
            }
        }
    }
    points
}

/// Where a path begins.
fn points_start(data: &str) -> Vec2 {
    match svgtypes::SimplifyingPathParser::from(data).next() {
        Some(Ok(svgtypes::SimplePathSegment::MoveTo { x, y })) => Vec2::new(x, y),
        other => panic!("{other:?}"),
    }
}

/// The loops to cut in the rail's (u, v), by the L and its name; the datum is the rail's first point.
fn parsed(bytes: &[u8]) -> Vec<Vec<Vec2>> {
    let text = std::str::from_utf8(bytes).unwrap();
    let document = roxmltree::Document::parse(text).unwrap();
    let path = |start: &str| {
        let of = move |node: &roxmltree::Node<'_, '_>| node.attribute("id").is_some_and(|id| id.starts_with(start));
        let found: Vec<_> = document.descendants().filter(of).collect();
        found.into_iter().map(|node| (node.attribute("id").unwrap().to_owned(), points(node.attribute("d").unwrap())))
    };
    let (name, arms) = path("datum").next().unwrap();
    let away: f64 = name.strip_prefix("datum.").map_or(0.0, |away| away.parse().unwrap());
    let [along, zero, round] = arms[..] else { panic!("an L has two arms") };
    let (x, y) = ((along - zero) * 0.1, (round - zero) * 0.1);
    path("notch.shop")
        .map(|(_, points)| points.into_iter().map(|q| Vec2::new(away + (q - zero).dot(x), (q - zero).dot(y))).collect())
        .collect()
}

fn look(rails: u32, shots: u32) -> (u32, u32) {
    let text = include_bytes!("../../examples/heron-roadster/linkage.toml");
    let mut solution = pipeline::solve("linkage.toml", text, &mut |_| ()).unwrap().solution;
    let mut dice = Dice(20_261_128);
    let (mut cut, mut standing) = (0, 0);
    for number in 0..rails {
        let mut size = |low, high| dice.between(low, high);
        let (height, width, wall) = (size(60.0, 150.0), size(50.0, 90.0), size(1.5, 6.0));
        let corner = wall * size(0.0, 3.0);
        let section = match number % 3 {
            0 => Section::Tube { height, width, wall, corner },
            1 => Section::Channel { height, width, wall, corner, open: Face::Left },
            _ => Section::Pipe { diameter: height, wall },
        };
        let edge = if number % 3 == 2 { Edge::Centre } else { Edge::Corner(Face::Top, Face::Right) };
        let (clearance, radius) = (size(3.0, 12.0), size(6.0, 14.0));
        let mut spec = spec_with([p(-300.0, 0.0, 0.0), p(300.0, 0.0, 0.0)], edge, section, clearance, size(3.0, 14.0));
        let above = if number % 3 == 2 { 0.5 * height } else { 0.0 };
        let from = p(size(-20.0, 20.0), size(-10.0, 10.0), above + size(-6.0, 14.0));
        let Some(way) = p(size(-1.0, 1.0), size(0.4, 1.0), size(-0.6, 0.6)).unit() else { continue };
        let rooms = [cylinder(Body::Shaft(0), from - way * 250.0, from + way * 250.0, radius)];
        let rail = rail_of(&spec);
        let Ok(trace) = notch(&spec, 0, &rail, &rooms) else { continue };
        spec.notches[0].datum = None;
        solution.notches = result(&spec, 0, &trace).into_iter().collect();
        solution.rails = vec![rail.result("rail")];
        let Some(sheet) = drawing::notch::cut_sheet(&spec, &solution, 0) else { continue };
        let meta = PaperMeta {
            title: "notch".into(),
            author: String::new(),
            subject: String::new(),
            date: String::new(),
            language: "en".into(),
            print_correction: [1.0, 1.0],
            parts: Vec::new(),
        };
        let loops = parsed(&svg::write_cut(&sheet, &meta).unwrap());
        assert!(!loops.is_empty());
        cut += 1;
        // What is cut holds what the clearance takes.
        let off = |q: Vec2| {
            loops
                .iter()
                .flat_map(|points| sides(points))
                .map(|(a, b)| super::off_side(q, a, b))
                .fold(f64::MAX, f64::min)
        };
        for &q in trace.traced.iter().flatten() {
            assert!(holds(&loops, q) || off(q) < 2e-4, "({}, {}) stands", q.x, q.y);
        }
        let all = || loops.iter().flatten();
        let span = |f: fn(&Vec2) -> f64| all().map(f).fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
        let (u, v) = (span(|q| q.x), span(|q| q.y));
        let turn = if rail.closed { rail.girth } else { 0.0 };
        for _ in 0..shots {
            let q = Vec2::new(dice.between(u.0 - 8.0, u.1 + 8.0), dice.between(v.0 - 8.0, v.1 + 8.0));
            let taken = [-turn, 0.0, turn].iter().any(|&by| holds(&loops, q + Vec2::new(0.0, by)));
            if taken || !rail.on_metal(q.y) {
                continue;
            }
            standing += 1;
            let gap = wall_distance(&rail, q.x, q.y, &rooms, 6);
            assert!(gap >= clearance - 1e-3, "rail {number}: {gap} of {clearance} left at ({}, {})", q.x, q.y);
        }
    }
    (cut, standing)
}

#[test]
fn the_written_outline_keeps_the_clearance() {
    let (cut, standing) = look(6, 400);
    assert!(cut >= 4 && standing > 500, "{cut} {standing}");
}

/// 100 000 places of wall left standing on 50 rails.
#[test]
#[ignore = "fifty rails: run once by the gate"]
fn the_written_outline_keeps_the_clearance_everywhere() {
    let (cut, standing) = look(75, 5000);
    assert!(cut >= 50 && standing >= 100_000, "{cut} {standing}");
}

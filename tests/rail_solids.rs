//! Rails with their notches as solids: volumes against integrals over the section, their files read back.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use yokeline::audit::AuditReport;
use yokeline::audit::step_file::measure;
use yokeline::audit::step_rail::{RailPlan, check};
use yokeline::export::step::{self, StepMeta};
use yokeline::geometry::{Path, Piece, Vec2, Vec3};
use yokeline::model;
use yokeline::solve::identity::Identity;
use yokeline::solve::rail;
use yokeline::solve::rail_part::{Cut, has_solid};
use yokeline::solve::solution::RailResult;
use yokeline::spec::types::{Edge, Face, Rail, Section, StepSchema, Unit};

use crate::common::heron;

const LENGTH: f64 = 400.0;

/// The rail of a section as the solver lays it out.
fn railed(section: Section, edge: Edge) -> RailResult {
    // Forward, so that the section is seen with the vehicle's right on its right.
    let along = [Vec3::new(LENGTH, 0.0, 0.0), Vec3::new(0.0, 0.0, 0.0)];
    let rail = Rail { name: "rail".into(), along, edge, section, marks: Vec::new() };
    rail::shape(&rail, 0, &heron()).unwrap().result("rail")
}

fn tube(wall: f64, corner: f64) -> RailResult {
    railed(Section::Tube { height: 100.0, width: 50.0, wall, corner }, Edge::Corner(Face::Top, Face::Right))
}

fn channel(wall: f64, corner: f64) -> RailResult {
    let section = Section::Channel { height: 120.0, width: 60.0, wall, corner, open: Face::Left };
    railed(section, Edge::Corner(Face::Top, Face::Right))
}

fn pipe(wall: f64) -> RailResult {
    railed(Section::Pipe { diameter: 80.0, wall }, Edge::Centre)
}

/// Area of a section's metal: straights, and quarters of a ring.
fn metal(straight: f64, corners: f64, wall: f64, corner: f64) -> f64 {
    straight * wall + corners * PI / 4.0 * (corner * corner - (corner - wall) * (corner - wall))
}

fn cut(path: Path) -> Cut<'static> {
    Cut { name: "notch", paths: vec![path], drilled: false }
}

/// A stretch of the outside from one corner to the other, anticlockwise.
fn window(u: [f64; 2], v: [f64; 2]) -> Path {
    Path::rectangle(Vec2::new(u[0], v[0]), u[1] - u[0], v[1] - v[0], 0.0)
}

fn meta(unit: Unit) -> StepMeta {
    StepMeta {
        path: "solids/rail-rail.step".into(),
        name: "rail".into(),
        part_number: "HR-017 rail".into(),
        description: "tube".into(),
        revision: "A".into(),
        author: "Bench 4".into(),
        date: "2026-03-14".into(),
        schema: StepSchema::Ap242,
        unit,
        texts: Vec::new(),
    }
}

fn audited(rail: &RailResult, cuts: &[Cut<'_>], unit: Unit, bytes: &[u8]) -> Vec<String> {
    let StepMeta { name, part_number, description, texts, .. } = meta(unit);
    let identity = Identity { name, part_number, description, texts };
    let mut report = AuditReport::default();
    check(&RailPlan { file: "solids/rail-rail.step", unit, identity, rail, cuts: cuts.to_vec() }, bytes, &mut report);
    let bad = report.lines.iter().filter(|line| !line.good);
    bad.map(|line| format!("{}: expected {}, found {}", line.what, line.expected, line.found)).collect()
}

/// Asserts that a rail has this volume, and that its file is what it is.
#[track_caller]
fn holds(rail: &RailResult, cuts: &[Cut<'_>], volume: f64) {
    assert!(has_solid(rail, cuts));
    let solid = model::rail::solid(rail, cuts).unwrap();
    assert!((solid.volume() / volume - 1.0).abs() < 1e-11, "{} for {volume}", solid.volume());
    let bytes = step::write(&solid, &meta(Unit::Millimetre)).unwrap();
    let lines = audited(rail, cuts, Unit::Millimetre, &bytes);
    assert!(lines.is_empty(), "{lines:#?}");
}

#[test]
fn whole_rails_have_the_volume_of_their_section() {
    holds(&tube(3.0, 6.0), &[], LENGTH * metal(2.0 * 150.0 - 8.0 * 6.0, 4.0, 3.0, 6.0));
    holds(&channel(5.0, 10.0), &[], LENGTH * metal(100.0 + 2.0 * 50.0, 2.0, 5.0, 10.0));
    holds(&pipe(4.0), &[], LENGTH * PI * (40.0 * 40.0 - 36.0 * 36.0));
}

/// Inside a corner tighter than the wall two flats meet in an edge: a rectangle less a rectangle, less what the
/// outside corners round off.
#[test]
fn a_tight_corner_is_sharp_inside() {
    for corner in [0.0, 1.0, 3.0] {
        let area = 100.0 * 50.0 - 94.0 * 44.0 - (4.0 - PI) * corner * corner;
        holds(&tube(3.0, corner), &[], LENGTH * area);
    }
}

/// What is cut out is a block of the flats and quarters of a ring.
#[test]
fn windows_take_what_lies_under_them() {
    let (wall, corner) = (3.0, 6.0);
    let whole = LENGTH * metal(2.0 * 150.0 - 8.0 * 6.0, 4.0, wall, corner);
    let quarter = FRAC_PI_2 * corner;
    let ring = PI / 4.0 * (corner * corner - (corner - wall) * (corner - wall));
    // v = 0 is the middle of the corner between top and right side; its arc reaches half a quarter to both sides.
    holds(&tube(wall, corner), &[cut(window([100.0, 150.0], [20.0, 50.0]))], whole - 50.0 * 30.0 * wall);
    let over = cut(window([100.0, 150.0], [-0.5 * quarter - 10.0, 0.5 * quarter + 20.0]));
    holds(&tube(wall, corner), &[over], whole - 50.0 * (30.0 * wall + ring));
    // From one end, and along a fold.
    let end = cut(window([0.0, 50.0], [-0.5 * quarter, 0.5 * quarter + 20.0]));
    holds(&tube(wall, corner), &[end], whole - 50.0 * (20.0 * wall + ring));
    // A whole flange with both its corners: two faces are left of no side.
    let flange = cut(window([100.0, 150.0], [-0.5 * quarter - 38.0 - quarter - 5.0, 0.5 * quarter + 5.0]));
    holds(&tube(wall, corner), &[flange], whole - 50.0 * (48.0 * wall + 2.0 * ring));
    // Two apart.
    let two = [cut(window([20.0, 60.0], [10.0, 40.0])), cut(window([100.0, 150.0], [10.0, 40.0]))];
    holds(&tube(wall, corner), &two, whole - 90.0 * 30.0 * wall);
    // From a channel's lip.
    let rail = channel(5.0, 10.0);
    let whole = LENGTH * metal(100.0 + 2.0 * 50.0, 2.0, 5.0, 10.0);
    let lip = rail.path[0].v;
    holds(&rail, &[cut(window([100.0, 150.0], [lip, lip + 30.0]))], whole - 50.0 * 30.0 * 5.0);
}

/// Depth of metal under the outside at v of the tube or pipe (mm³ for each mm²).
fn deep(v: f64, folds: &[(f64, f64)], girth: f64, wall: f64, corner: f64) -> f64 {
    let round = folds.iter().any(|(low, high)| (-2..=2).any(|k| (*low..*high).contains(&(v + f64::from(k) * girth))));
    if round { wall * (1.0 - wall / (2.0 * corner)) } else { wall }
}

/// What a round notch takes: its chord times the depth, over v; Simpson's rule between the folds in the angle round it,
/// where the chord is smooth.
fn taken(centre: Vec2, radius: f64, folds: &[(f64, f64)], girth: f64, wall: f64, corner: f64) -> f64 {
    let mut stops = vec![0.0, PI];
    for v in folds.iter().flat_map(|(low, high)| [*low, *high]) {
        for k in -2..=2 {
            let share = (v + f64::from(k) * girth - centre.y) / radius;
            if share.abs() < 1.0 {
                stops.push((-share).acos());
            }
        }
    }
    stops.sort_by(f64::total_cmp);
    let mut sum = 0.0;
    for pair in stops.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let middle = centre.y - radius * f64::midpoint(a, b).cos();
        let depth = deep(middle, folds, girth, wall, corner);
        let steps = 200;
        for i in 0..=steps {
            let t = a + (b - a) * f64::from(i) / f64::from(steps);
            let weight = if i == 0 || i == steps {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            // dv = r sin t dt, chord 2 r sin t.
            sum += weight * (b - a) / (3.0 * f64::from(steps)) * 2.0 * radius * radius * t.sin() * t.sin() * depth;
        }
    }
    sum
}

/// A circle in arcs of a few pieces, or in cubics that are not one: those are told by their own area.
fn round(centre: Vec2, radius: f64, pieces: u32) -> Path {
    let sweep = TAU / f64::from(pieces);
    let arcs = (0..pieces).map(|i| Piece::circle_arc(centre, radius, 0.3 + sweep * f64::from(i), sweep)).collect();
    Path { start: centre + Vec2::polar(0.3) * radius, pieces: arcs, closed: true }
}

/// Random round notches anywhere on tubes and pipes: volume by Simpson's rule, files read back clean, in both units.
fn random_rails(count: u32) {
    let mut runner = TestRunner::new_with_rng(
        Config { cases: count, failure_persistence: None, ..Config::default() },
        TestRng::deterministic_rng(RngAlgorithm::ChaCha),
    );
    let rails = (1.5..5.0, 5.5..20.0, any::<bool>(), 60.0..340.0, -200.0..200.0, 3.0..45.0, 2..6_u32, any::<bool>());
    let outcome = runner.run(&rails, |(wall, corner, is_pipe, u, v, radius, pieces, inch)| {
        let corner = if is_pipe { 40.0 } else { corner };
        let rail = if is_pipe { pipe(wall) } else { tube(wall, corner) };
        let girth = rail.girth.unwrap();
        let mut folds = Vec::new();
        for (i, vertex) in rail.path.iter().enumerate() {
            if vertex.centre.is_some() {
                folds.push((vertex.v, rail.path.get(i + 1).map_or(girth, |next| next.v)));
            }
        }
        let straight = if is_pipe { 0.0 } else { 2.0 * 150.0 - 8.0 * corner };
        let centre = Vec2::new(u, v);
        let volume = LENGTH * metal(straight, 4.0, wall, corner) - taken(centre, radius, &folds, girth, wall, corner);
        let cuts = [cut(round(centre, radius, pieces))];
        prop_assert!(has_solid(&rail, &cuts));
        let solid = model::rail::solid(&rail, &cuts).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!((solid.volume() / volume - 1.0).abs() < 1e-10, "{} for {volume}", solid.volume());
        let unit = if inch { Unit::Inch } else { Unit::Millimetre };
        let bytes = step::write(&solid, &meta(unit)).unwrap();
        let lines = audited(&rail, &cuts, unit, &bytes);
        prop_assert!(lines.is_empty(), "{lines:#?}");
        Ok(())
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
}

#[test]
fn random_notches_take_what_lies_under_them() {
    random_rails(60);
}

#[test]
#[ignore = "the same many times over; run with --ignored"]
fn two_thousand_random_notches() {
    random_rails(2000);
}

/// Walls on flats are planes, cylinders and carried curves; over a corner radius they are ruled.
#[test]
fn every_wall_is_a_surface_of_its_own_kind() {
    let count = |path: Path| {
        let rail = tube(3.0, 6.0);
        let bytes = step::write(&model::rail::solid(&rail, &[cut(path)]).unwrap(), &meta(Unit::Millimetre)).unwrap();
        let found = measure(&bytes).unwrap();
        (found.planes.len(), found.cylinders.len(), found.others.len())
    };
    // Two ends, four sides twice, four corners twice.
    let (planes, rounds) = (2 + 8, 8);
    // On a flat: four walls of a window; a circle in two halves.
    assert_eq!(count(window([100.0, 150.0], [20.0, 50.0])), (planes + 4, rounds, 0));
    assert_eq!(count(round(Vec2::new(150.0, 40.0), 15.0, 2)), (planes, rounds + 2, 0));
    // Over the corner, which is left in two: two planes square to the rail in each of three strips, two along it.
    let over = count(window([100.0, 150.0], [-20.0, 30.0]));
    assert_eq!(over, (planes + 8, rounds + 2, 0));
    // A cubic on a flat is carried straight.
    let [a, b, c] = [Vec2::new(100.0, 20.0), Vec2::new(140.0, 20.0), Vec2::new(120.0, 45.0)];
    let bulge = Piece::Cubic { c1: Vec2::new(138.0, 35.0), c2: Vec2::new(130.0, 44.0), to: c };
    let pieces = vec![Piece::Line { to: b }, bulge, Piece::Line { to: a }];
    assert_eq!(count(Path { start: a, pieces, closed: true }), (planes + 2, rounds, 1));
    // Askew over the corner: ruled there on one side, planes on the two flats and square to the rail.
    let [a, b, c] = [Vec2::new(100.0, -20.0), Vec2::new(150.0, 30.0), Vec2::new(100.0, 30.0)];
    let pieces = [b, c, a].map(|to| Piece::Line { to }).to_vec();
    assert_eq!(count(Path { start: a, pieces, closed: true }), (planes + 6, rounds + 2, 1));
}

/// Each change to the plan, and the line that must name it.
#[test]
fn the_culprit_is_named() {
    let rail = tube(3.0, 6.0);
    let cuts = [cut(round(Vec2::new(150.0, 5.0), 20.0, 4))];
    let bytes = step::write(&model::rail::solid(&rail, &cuts).unwrap(), &meta(Unit::Millimetre)).unwrap();
    assert_eq!(audited(&rail, &cuts, Unit::Millimetre, &bytes), Vec::<String>::new());
    let named = |rail: &RailResult, cuts: &[Cut<'_>], what: &str| {
        let lines = audited(rail, cuts, Unit::Millimetre, &bytes);
        assert!(lines.iter().any(|line| line.contains(what)), "{what}: {lines:#?}");
    };
    named(&RailResult { length: LENGTH + 2e-6, ..rail.clone() }, &cuts, "second end");
    named(&RailResult { wall: 3.0 + 2e-6, ..rail.clone() }, &cuts, "inside, off its place");
    named(&tube(3.0, 6.0 + 2e-6), &cuts, "corner 1, outside");
    named(&rail, &[cut(round(Vec2::new(150.0 + 2e-6, 5.0), 20.0, 4))], "off the outline to cut");
    named(&rail, &[cut(round(Vec2::new(150.0, 5.0), 20.0 + 2e-6, 4))], "volume");
    named(&rail, &[cut(round(Vec2::new(150.0, 5.0), 20.0, 5))], "corners of the outline");
    named(&rail, &[], "named walls");
}

#[test]
fn notches_that_meet_or_cross_a_tight_corner_have_no_solid() {
    let at = |u: f64, v: f64| cut(round(Vec2::new(u, v), 15.0, 2));
    assert!(!has_solid(&tube(3.0, 6.0), &[at(100.0, 30.0), at(120.0, 30.0)]));
    assert!(has_solid(&tube(3.0, 6.0), &[at(100.0, 30.0), at(140.0, 30.0)]));
    let girth = tube(3.0, 6.0).girth.unwrap();
    assert!(!has_solid(&tube(3.0, 6.0), &[at(100.0, 30.0), at(120.0, 30.0 - girth)]), "one turn on is the same place");
    assert!(!has_solid(&tube(3.0, 2.0), &[at(100.0, 0.0)]));
    assert!(has_solid(&tube(3.0, 2.0), &[at(100.0, 40.0)]));
}

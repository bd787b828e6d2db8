//! Plates as solids: their volumes and areas against closed forms, their files read back.

use std::f64::consts::{FRAC_PI_2, PI};

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use yokeline::audit::AuditReport;
use yokeline::audit::step_file::measure;
use yokeline::audit::step_plate::{PlatePlan, check};
use yokeline::export::step::{self, StepMeta};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::model::plate;
use yokeline::solve::apart::stand_apart;
use yokeline::solve::identity::Identity;
use yokeline::solve::solution::{CountersinkResult, HoleResult, OpeningResult, PlateFrame, PlateResult, Slot, Vertex};
use yokeline::spec::types::{StepSchema, Unit};

/// Side of one square of the random plates (mm).
const CELL: f64 = 60.0;

/// What is cut in the middle of a square.
#[derive(Debug, Clone, Copy)]
enum Cut {
    Nothing,
    Round {
        diameter: f64,
    },
    /// A countersink of this angle and share of the thickness, on the back or not.
    Sunk {
        diameter: f64,
        angle: f64,
        share: f64,
        back: bool,
    },
    /// Blind with a 118 degree point, to this share of what a floor leaves.
    Blind {
        diameter: f64,
        share: f64,
    },
    Slot {
        diameter: f64,
        length: f64,
        angle: f64,
    },
    Opening {
        minor: f64,
        stretch: f64,
        drift: f64,
        angle: f64,
    },
}

fn vertex(at: Vec2, centre: Option<Vec2>, axes: Option<[Vec2; 2]>) -> Vertex {
    Vertex { at, centre, axes, clockwise: false, controls: None }
}

fn rectangle(width: f64, height: f64, corner: f64) -> Vec<Vertex> {
    let at = Vec2::new;
    if corner == 0.0 {
        return [at(0.0, 0.0), at(width, 0.0), at(width, height), at(0.0, height)]
            .map(|p| vertex(p, None, None))
            .to_vec();
    }
    let (right, top) = (width - corner, height - corner);
    vec![
        vertex(at(corner, 0.0), None, None),
        vertex(at(right, 0.0), Some(at(right, corner)), None),
        vertex(at(width, corner), None, None),
        vertex(at(width, top), Some(at(right, top)), None),
        vertex(at(right, height), None, None),
        vertex(at(corner, height), Some(at(corner, top)), None),
        vertex(at(0.0, top), None, None),
        vertex(at(0.0, corner), Some(at(corner, corner)), None),
    ]
}

fn hole(name: String, centre: Vec2, diameter: f64, slot: Option<Slot>) -> HoleResult {
    HoleResult { name, kind: "drill".into(), centre, diameter, slot, ..HoleResult::default() }
}

/// Two half ellipses `drift` apart along the long axis, and the straights between.
fn opening(name: String, centre: Vec2, [a, b]: [f64; 2], drift: f64, angle: f64) -> OpeningResult {
    let along = Vec2::polar(angle);
    let (major, minor) = (along * a, along.left() * b);
    let (near, far) = (centre - along * (drift / 2.0), centre + along * (drift / 2.0));
    let axes = (a > b).then_some([major, minor]);
    let mut outline = vec![vertex(far - minor, Some(far), axes)];
    if drift > 0.0 {
        outline.push(vertex(far + minor, None, None));
    }
    outline.push(vertex(near + minor, Some(near), axes));
    if drift > 0.0 {
        outline.push(vertex(near - minor, None, None));
    }
    OpeningResult {
        over_motions: None,
        motion_spread: None,
        name,
        centre: near,
        major: 2.0 * a,
        minor: 2.0 * b,
        angle: angle.to_degrees(),
        outline,
        shape: None,
    }
}

/// The plate and its volume, its area less the cuts by the handbook's formulas of circle, rectangle and ellipse.
fn planned(columns: usize, corner: f64, thick: f64, cuts: &[Cut]) -> (PlateResult, f64) {
    let rows = cuts.len().div_ceil(columns);
    let (width, height) = (CELL * columns as f64, CELL * rows as f64);
    let mut area = width * height - (4.0 - PI) * corner * corner;
    let (mut holes, mut openings) = (Vec::new(), Vec::new());
    // What cones take, and what stands under blind holes.
    let mut cones = 0.0;
    for (i, cut) in cuts.iter().enumerate() {
        let at = Vec2::new(CELL * ((i % columns) as f64 + 0.5), CELL * ((i / columns) as f64 + 0.5));
        match *cut {
            Cut::Nothing => {}
            Cut::Round { diameter } => {
                area -= PI / 4.0 * diameter * diameter;
                holes.push(hole(format!("h{i}"), at, diameter, None));
            }
            Cut::Sunk { diameter, angle, share, back } => {
                area -= PI / 4.0 * diameter * diameter;
                let depth = share * thick;
                let wide = diameter + 2.0 * depth * (angle / 2.0).to_radians().tan();
                let side = if back { "back" } else { "face" }.to_owned();
                let countersink = Some(CountersinkResult { angle, diameter: wide, depth, side });
                holes.push(HoleResult { countersink, ..hole(format!("h{i}"), at, diameter, None) });
                // Frustum less cylinder.
                let (r, w) = (diameter / 2.0, wide / 2.0);
                cones -= PI * depth / 3.0 * (w * w + w * r + r * r) - PI * r * r * depth;
            }
            Cut::Blind { diameter, share } => {
                area -= PI / 4.0 * diameter * diameter;
                let point = diameter / 2.0 / 59_f64.to_radians().tan();
                let depth = share * (thick - point);
                holes.push(HoleResult { depth: Some(depth), ..hole(format!("h{i}"), at, diameter, None) });
                let r = diameter / 2.0;
                cones += PI * r * r * (thick - depth) - PI * r * r * point / 3.0;
            }
            Cut::Slot { diameter, length, angle } => {
                area -= PI / 4.0 * diameter * diameter + diameter * length;
                holes.push(hole(format!("h{i}"), at, diameter, Some(Slot { length, angle })));
            }
            Cut::Opening { minor, stretch, drift, angle } => {
                let (a, b) = (minor * stretch / 2.0, minor / 2.0);
                area -= PI * a * b + 2.0 * b * drift;
                openings.push(opening(format!("o{i}"), at, [a, b], drift, angle.to_radians()));
            }
        }
    }
    let frame = PlateFrame {
        origin: Vec3::default(),
        u: Vec3::new(1.0, 0.0, 0.0),
        v: Vec3::new(0.0, 1.0, 0.0),
        w: Vec3::new(0.0, 0.0, 1.0),
    };
    let outline = rectangle(width, height, corner);
    let plate = PlateResult { name: "bracket".into(), thick, frame, outline, holes, openings, bends: Vec::new(), area };
    (plate, area * thick + cones)
}

fn meta(unit: Unit, schema: StepSchema) -> StepMeta {
    StepMeta {
        path: "solids/plate-bracket.step".into(),
        name: "bracket".into(),
        part_number: "HR-017 bracket".into(),
        description: "plate".into(),
        revision: "A".into(),
        author: "Bench 4".into(),
        date: "2026-03-14".into(),
        schema,
        unit,
        texts: Vec::new(),
    }
}

fn identity() -> Identity {
    let StepMeta { name, part_number, description, texts, .. } = meta(Unit::Millimetre, StepSchema::Ap242);
    Identity { name, part_number, description, texts }
}

fn wrong(report: &AuditReport) -> Vec<String> {
    let bad = report.lines.iter().filter(|line| !line.good);
    bad.map(|line| format!("{}: expected {}, found {}", line.what, line.expected, line.found)).collect()
}

fn audited(plate: &PlateResult, unit: Unit, bytes: &[u8]) -> Vec<String> {
    let mut report = AuditReport::default();
    check(
        &PlatePlan { file: "solids/plate-bracket.step", unit, identity: identity(), result: plate },
        bytes,
        &mut report,
    );
    wrong(&report)
}

fn cut() -> impl Strategy<Value = Cut> {
    prop_oneof![
        Just(Cut::Nothing),
        (1.0..40.0).prop_map(|diameter| Cut::Round { diameter }),
        (3.0..10.0, 60.0..100.0, 0.1..0.5, any::<bool>()).prop_map(|(diameter, angle, share, back)| Cut::Sunk {
            diameter,
            angle,
            share,
            back
        }),
        (0.5..2.0, 0.1..0.8).prop_map(|(diameter, share)| Cut::Blind { diameter, share }),
        (2.0..20.0, 0.5..30.0, 0.0..180.0).prop_map(|(diameter, length, angle)| Cut::Slot { diameter, length, angle }),
        (5.0..20.0, 1.0..2.0, prop_oneof![Just(0.0), 0.1..8.0], 0.0..180.0)
            .prop_map(|(minor, stretch, drift, angle)| Cut::Opening { minor, stretch, drift, angle }),
    ]
}

/// Random plates close, have the area and volume of their formulas, and audit without a wrong line.
fn random_plates(count: u32) {
    let mut runner = TestRunner::new_with_rng(
        Config { cases: count, failure_persistence: None, ..Config::default() },
        proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha),
    );
    let corners = prop_oneof![Just(0.0), 0.5..8.0];
    let plates = (1..4_usize, corners, 1.5..20.0, prop::collection::vec(cut(), 1..9), any::<bool>());
    let outcome = runner.run(&plates, |(columns, corner, thick, cuts, inch)| {
        let (planned, volume) = planned(columns, corner, thick, &cuts);
        prop_assert!(stand_apart(&planned));
        let solid = plate::solid(&planned).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!((solid.volume() / volume - 1.0).abs() < 1e-11, "{} for {volume}", solid.volume());
        let unit = if inch { Unit::Inch } else { Unit::Millimetre };
        let bytes = step::write(&solid, &meta(unit, StepSchema::Ap242)).unwrap();
        let lines = audited(&planned, unit, &bytes);
        prop_assert!(lines.is_empty(), "{lines:#?}");
        let found = measure(&bytes).unwrap();
        prop_assert!((found.area / solid.area() - 1.0).abs() < 1e-11);
        Ok(())
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
}

#[test]
fn random_plates_have_their_volume() {
    random_plates(200);
}

#[test]
#[ignore = "the same ten times over; run with --ignored"]
fn two_thousand_random_plates_have_their_volume() {
    random_plates(2000);
}

/// One of everything.
fn busy() -> PlateResult {
    let cuts = [
        Cut::Round { diameter: 9.0 },
        Cut::Slot { diameter: 8.0, length: 20.0, angle: 30.0 },
        Cut::Opening { minor: 24.0, stretch: 1.4, drift: 5.0, angle: 75.0 },
        Cut::Opening { minor: 30.0, stretch: 1.0, drift: 0.0, angle: 0.0 },
    ];
    planned(2, 6.0, 6.35, &cuts).0
}

/// Faces counted by hand: two sides of the plate, its outline of 4 straights and 4 corners, a hole, a slot of 4
/// walls, an opening of 4 walls, a round one. Straights and circles have closed forms for the area of the walls.
#[test]
fn every_wall_is_a_surface_of_its_own_kind() {
    let plate = busy();
    let bytes = step::write(&plate::solid(&plate).unwrap(), &meta(Unit::Millimetre, StepSchema::Ap214)).unwrap();
    let found = measure(&bytes).unwrap();
    let counts = [found.planes.len(), found.cylinders.len(), found.elliptic.len(), found.cones.len()];
    assert_eq!(counts, [2 + 4 + 2 + 2, 4 + 1 + 2 + 1, 2, 0]);
    assert_eq!(found.named.len(), 1 + 4 + 4 + 1);
    // Perimeter of an ellipse by Ramanujan's second formula (from memory; relative error 2e-11 at this ratio).
    let (a, b) = (16.8, 12.0);
    let h = ((a - b) / (a + b)) * ((a - b) / (a + b));
    let ellipse = PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
    let walls = 4.0 * (120.0 - 12.0) + 4.0 * FRAC_PI_2 * 6.0 + PI * 9.0 + PI * 8.0 + 40.0 + ellipse + 10.0 + PI * 30.0;
    let area = 2.0 * plate.area + walls * plate.thick;
    assert!((found.area / area - 1.0).abs() < 1e-9, "{} for {area}", found.area);
}

/// Each change to the plan, and the line that must name it.
#[test]
fn the_culprit_is_named() {
    let plate = busy();
    let bytes = step::write(&plate::solid(&plate).unwrap(), &meta(Unit::Millimetre, StepSchema::Ap242)).unwrap();
    assert_eq!(audited(&plate, Unit::Millimetre, &bytes), Vec::<String>::new());
    let named = |change: &dyn Fn(&mut PlateResult), what: &str| {
        let mut changed = plate.clone();
        change(&mut changed);
        let lines = audited(&changed, Unit::Millimetre, &bytes);
        assert!(lines.iter().any(|line| line.contains(what)), "{what}: {lines:#?}");
    };
    named(&|p| p.holes[0].centre.x += 2e-6, "hole h0, distance from plan");
    named(&|p| p.holes[0].diameter += 2e-6, "hole h0, diameter");
    named(&|p| p.holes[1].diameter += 2e-6, "hole h1, side from the origin");
    named(&|p| p.openings[0].outline[0].centre = Some(Vec2::new(1.0, 1.0)), "opening o2");
    named(&|p| p.thick += 2e-6, "back");
    named(&|p| p.area += 1e-3, "volume");
    named(&|p| drop(p.holes.remove(0)), "wall");
}

/// Cuts that meet each other or the edge leave no solid to write.
#[test]
fn cuts_that_meet_have_no_solid() {
    let at = |x: f64, y: f64, diameter: f64| hole("h".into(), Vec2::new(x, y), diameter, None);
    let with = |holes: Vec<HoleResult>| {
        let (mut plate, _) = planned(2, 6.0, 5.0, &[Cut::Nothing; 4]);
        plate.holes = holes;
        stand_apart(&plate)
    };
    assert!(with(vec![at(30.0, 30.0, 10.0), at(40.1, 30.0, 10.0)]));
    assert!(!with(vec![at(30.0, 30.0, 10.0), at(39.0, 30.0, 10.0)]));
    assert!(!with(vec![at(30.0, 30.0, 20.0), at(30.0, 30.0, 10.0)]));
    assert!(!with(vec![at(3.0, 30.0, 10.0)]));
    assert!(!with(vec![at(-30.0, 30.0, 10.0)]));
    assert!(!with(vec![at(2.0, 2.0, 1.0)]), "the corner is round");
}

//! Balls and bent tubes as solids: volume, area and middle against closed forms, their file read back.

use std::f64::consts::PI;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use yokeline::audit::step_file::measure;
use yokeline::export::step::{self, StepMeta};
use yokeline::geometry::Vec3;
use yokeline::model::{Solid, obstacle};
use yokeline::spec::types::{StepSchema, Unit};

fn written(solid: &Solid) -> Vec<u8> {
    let meta = StepMeta {
        path: "solids/obstacle.step".into(),
        name: "obstacle".into(),
        part_number: "obstacle".into(),
        description: String::new(),
        revision: String::new(),
        author: String::new(),
        date: String::new(),
        schema: StepSchema::Ap242,
        unit: Unit::Millimetre,
        texts: Vec::new(),
    };
    step::write(solid, &meta).unwrap()
}

/// The model's own measure and that of its file, volume (mm³) and area (mm²) within 1e-10 of closed forms.
fn holds(solid: &Solid, volume: f64, area: f64, middle: Option<Vec3>, kinds: &[&str]) -> Result<(), TestCaseError> {
    let own = solid.measure();
    let found = measure(&written(solid)).unwrap();
    for (what, got, wanted) in [
        ("volume", own.volume, volume),
        ("volume read", found.volume, volume),
        ("area", own.area, area),
        ("area read", found.area, area),
    ] {
        prop_assert!((got / wanted - 1.0).abs() < 1e-10, "{what}: {got} for {wanted}");
    }
    prop_assert!((own.centroid - found.centroid).length() < 1e-7);
    if let Some(middle) = middle {
        prop_assert!((own.centroid - middle).length() < 1e-9, "{:?} for {middle:?}", own.centroid);
    }
    prop_assert_eq!(found.open_edges, 0);
    prop_assert!(found.edge_off < 1e-9, "{}", found.edge_off);
    prop_assert_eq!(&found.others[..], kinds);
    Ok(())
}

#[test]
fn a_ball_is_one_sphere() {
    let centre = Vec3::new(120.0, -40.0, 15.0);
    let solid = obstacle::ball("ball", centre, 25.0).unwrap();
    holds(&solid, 4.0 / 3.0 * PI * 25.0 * 25.0 * 25.0, 4.0 * PI * 625.0, Some(centre), &["sphere"]).unwrap();
}

/// Half of a ring: its middle lies (R² + r²/4) 2/(π R) from the axis (Pappus; Machinery's Handbook has it for the
/// half circle, from memory).
#[test]
fn a_right_angle_bends_round_a_torus() {
    let path = [Vec3::new(0.0, 0.0, 0.0), Vec3::new(100.0, 0.0, 0.0), Vec3::new(100.0, 80.0, 0.0)];
    let solid = obstacle::tube("tube", &path, 10.0, Some(30.0)).unwrap();
    let length = 70.0 + 50.0 + PI / 2.0 * 30.0;
    holds(&solid, PI * 100.0 * length, 20.0 * PI * length + 200.0 * PI, None, &["torus"]).unwrap();
}

/// Random paths, bent and mitred: the section along the centre line (Pappus, true of bends and of mitres alike).
#[test]
fn random_tubes_have_the_volume_of_their_path() {
    let mut runner = TestRunner::new_with_rng(
        Config { cases: 200, failure_persistence: None, ..Config::default() },
        TestRng::deterministic_rng(RngAlgorithm::ChaCha),
    );
    let way = (-1.0..1.0, -1.0..1.0, -1.0..1.0).prop_map(|(x, y, z)| Vec3::new(x, y, z));
    let tubes = (prop::collection::vec((way, 100.0..300.0), 2..6), 3.0..12.0, 1.0..2.0, any::<bool>());
    let outcome = runner.run(&tubes, |(steps, radius, wide, bent)| {
        let mut path = vec![Vec3::new(50.0, 20.0, -10.0)];
        let mut ways: Vec<Vec3> = Vec::new();
        for (way, length) in steps {
            let Some(way) = way.unit() else { continue };
            // Sharper turns than 120 degrees would want longer legs than these.
            if ways.last().is_some_and(|last| last.angle_to(way) > 2.0) {
                continue;
            }
            path.push(*path.last().unwrap() + way * length);
            ways.push(way);
        }
        let bend = bent.then_some(radius * wide * 1.1);
        let solid = obstacle::tube("tube", &path, radius, bend).map_err(|e| TestCaseError::fail(e.to_string()))?;
        let (mut length, mut turns) = (0.0, 0);
        for (i, pair) in path.windows(2).enumerate() {
            length += (pair[1] - pair[0]).length();
            let Some(before) = i.checked_sub(1).map(|i| ways[i]) else { continue };
            let turn = before.angle_to(ways[i]);
            turns += usize::from(bent);
            length -= bend.map_or(0.0, |bend| bend * (2.0 * (turn / 2.0).tan() - turn));
        }
        let area = 2.0 * PI * radius * length + 2.0 * PI * radius * radius;
        holds(&solid, PI * radius * radius * length, area, None, &vec!["torus"; turns])
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
}

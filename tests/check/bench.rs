//! A linkage and a solution written by hand, on which nothing warns or fails.

use std::collections::BTreeMap;

use yokeline::catalog::forms::FormShape;
use yokeline::check::{self, Finding, Status};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::solve::Solution;
use yokeline::solve::clocking::ToothPair;
use yokeline::solve::play::FitPlay;
use yokeline::solve::solution::*;
use yokeline::spec::Spec;
use yokeline::spec::types::{DimpleFactor, Form, Hold, Rating, Unit};

/// A linkage and a solution on which nothing warns or fails.
pub(super) struct Bench {
    pub(super) spec: Spec,
    pub(super) solution: Solution,
}

pub(super) fn rectangle(width: f64, height: f64) -> Vec<Vertex> {
    [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(|(u, v)| Vertex::straight(Vec2::new(u, v))).to_vec()
}

pub(super) fn section(s_min: f64) -> SectionProperties {
    SectionProperties { area: 800.0, ixx: 1e6, iyy: 3e5, s_min, s_bending: s_min, closed: true, ..Default::default() }
}

pub(super) fn hole(name: &str, u: f64, v: f64, diameter: f64) -> HoleResult {
    HoleResult { name: name.into(), kind: "drill".into(), centre: Vec2::new(u, v), diameter, ..HoleResult::default() }
}

/// Straight ahead with nothing to complain of.
fn straight() -> ClockingResult {
    ClockingResult {
        calm: Some(10.0),
        quick: Some(100.0),
        yoke: Some(12.0),
        left_right: Some(0.5),
        left_right_worst: 2.0,
        gear_step: Some(10.0),
        wheel_step: Some(10.0),
        wheel_left_worst: 5.0,
        best: Some(ToothPair {
            gear_steps: 0,
            yoke_turn: 0.0,
            yoke: 12.0,
            wheel_turn: 0.0,
            wheel_left: 1.0,
            left_right: 0.5,
        }),
        rods: None,
        locks: None,
        screws: Vec::new(),
    }
}

/// Half an inch at the rim.
fn play() -> FreePlay {
    FreePlay {
        fits: vec![FitPlay { at: "joint upper, column-side hub".into(), one_way: 0.2, at_wheel: 0.4 }],
        not_known: Vec::new(),
        at_wheel: 4.0,
        at_rim: Some(12.7),
        rim_allowed: Some(50.8),
    }
}

pub(super) fn bench() -> Bench {
    let mut spec = crate::common::heron();
    spec.build.units = Unit::Millimetre;
    spec.limits = BTreeMap::new();
    spec.unmeasured = Vec::new();
    spec.wheel_torque = Some(60.0);
    spec.dimple_factor = Some(DimpleFactor { value: 2.0, source: "invented".into() });
    for (end, form) in [(&mut spec.column, dd(19.05, 13.97)), (&mut spec.gear, dd(19.05, 13.97))] {
        end.form = form;
        end.end = Vec3::default();
        end.second = Some(Vec3::new(300.0, 0.0, 0.0));
        end.exposed = 60.0;
        end.groove = None;
    }
    let screwed = spec.joints[0].upper.clone();
    assert!(matches!(&screwed.hold, Hold::Screws(screws) if screws.len() == 1 && screws[0].jam));
    for joint in &mut spec.joints {
        joint.rating = Some(Rating { torque: 300.0, source: "data sheet".into() });
        for hub in [&mut joint.upper, &mut joint.lower] {
            *hub = screwed.clone();
            hub.fits = dd(19.05, 13.97);
            hub.depth = 25.4;
            hub.bite = 25.4;
        }
    }
    spec.shafts[0].stock = dd(19.05, 13.97);
    spec.shafts[0].material.yield_strength = 370.0;
    spec.notches[0].clearance = 9.5;
    spec.notches[0].corner = 9.6;
    spec.notches[0].doubler = None;
    let joint = |name: &str| JointResult {
        angle_sigma: None,
        name: name.into(),
        centre: Vec3::default(),
        crosses: vec![Vec3::default()],
        angle: 20.0,
        limit: 30.0,
        upper_gap: 15.24,
        lower_gap: 15.24,
        upper_engagement: 25.4,
        lower_engagement: 25.4,
        end_clearance: 12.0,
        captive: Captive { upper: 10.0, lower: 10.0 },
    };
    let dimple = |end, station| Dimple {
        end,
        station,
        z: station,
        clock: 0.0,
        on: On::Flat,
        drill: 90.0,
        diameter: 6.4,
        depth: 3.2,
        spot: SpotWhen::Drill,
    };
    let solution = Solution {
        survey: None,
        tilt: Vec::new(),
        phase: PhaseResult::default(),
        clocking: Some(straight()),
        free_play: play(),
        over_motions: None,
        as_built: None,
        joints: spec.joints.iter().map(|j| joint(&j.name)).collect(),
        shafts: vec![ShaftResult {
            centre_distance_sigma: None,
            cut_length_sigma: None,
            name: spec.shafts[0].name.clone(),
            stock: "dd-3/4".into(),
            material: "1018-cold-drawn".into(),
            frame: ShaftFrame { origin: Vec3::default(), x: Vec3::default(), z: Vec3::default() },
            centre_distance: 480.0,
            cut_length: 449.0,
            cut_length_min: 448.5,
            cut_length_max: 449.5,
            cut_long: 452.0,
            cut_length_text: BothUnits { inch: String::new(), mm: String::new() },
            twist: Twist { wanted: Some(10.0), set: 0.0, step: Some(180.0), certain: true, off_max: 10.0, flats: 0.0 },
            dimples: vec![dimple(End::Upper, 12.7), dimple(End::Lower, 12.7)],
            grooves: Vec::new(),
            ends: Vec::new(),
            members: Vec::new(),
            slip: None,
            bearing: None,
            journal: None,
        }],
        column: EndResult { axis_sigma: None, insertion: 25.4, spots: Vec::new() },
        gear: EndResult { axis_sigma: None, insertion: 25.4, spots: Vec::new() },
        motion: Motion {
            error: 1.0,
            ratio_max: 1.05,
            ratio_min: 0.95,
            equivalent_angle: 10.0,
            best: BestMotion { error: 0.0, ratio_max: 1.0, twists: vec![10.0] },
            curve: Vec::new(),
        },
        strength: Strength {
            shafts: vec![ShaftStrength {
                name: spec.shafts[0].name.clone(),
                torque_max: 64.0,
                shear: 82.0,
                flat_pressure: Some(90.0),
                windup: 1.0,
                yield_margin: 2.6,
                sections: Vec::new(),
                dimple_margin: Some(1.3),
            }],
            joints: spec
                .joints
                .iter()
                .map(|j| JointStrength {
                    name: j.name.clone(),
                    torque_max: 64.0,
                    rating: Some(300.0),
                    trunnion_force: None,
                })
                .collect(),
            ..Strength::default()
        },
        clearances: vec![Clearance {
            gap_sigma: None,
            part: "upper".into(),
            obstacle: "left rail".into(),
            gap: 8.0,
            need: 6.0,
            at: BTreeMap::new(),
            point: Vec3::default(),
            lower: None,
            taped: None,
        }],
        rails: Vec::new(),
        notches: vec![NotchResult {
            place_sigma: None,
            name: spec.notches[0].name.clone(),
            rail: spec.rails[spec.notches[0].rail].name.clone(),
            traced: Vec::new(),
            axes: Vec::new(),
            true_curves: Vec::new(),
            shop_curves: Vec::new(),
            shop: vec![vec![Vec2::new(100.0, 0.0), Vec2::new(150.0, 0.0), Vec2::new(150.0, 30.0)]],
            area: 750.0,
            depth: 30.0,
            width: 50.0,
            gap_left: 9.6,
            certified: 0.01,
            section: NotchSection {
                full: section(20_000.0),
                left: section(9_000.0),
                restored: Some(section(21_000.0)),
                worst_u: 200.0,
                restored_u: Some(200.0),
                closed_again: true,
                stations: Vec::new(),
            },
            extra_area: 0.0,
            motion_spread: None,
            stress: None,
            liner: None,
            doublers: Vec::new(),
            proposal: None,
        }],
        bolts: Vec::new(),
        mounts: Vec::new(),
        plates: vec![PlateResult {
            name: "bracket".into(),
            thick: 5.0,
            frame: PlateFrame { origin: Vec3::default(), u: Vec3::default(), v: Vec3::default(), w: Vec3::default() },
            outline: rectangle(150.0, 120.0),
            holes: vec![hole("mount 1", 20.0, 20.0, 9.0), hole("mount 2", 130.0, 20.0, 9.0)],
            openings: vec![OpeningResult {
                over_motions: None,
                motion_spread: None,
                name: "column".into(),
                shape: None,
                centre: Vec2::new(75.0, 65.0),
                major: 60.0,
                minor: 60.0,
                angle: 0.0,
                // One vertex, one arc: a full round.
                outline: vec![Vertex::arc(Vec2::new(105.0, 65.0), Vec2::new(75.0, 65.0))],
            }],
            bends: Vec::new(),
            area: 15_000.0,
        }],
        order: Vec::new(),
    };
    Bench { spec, solution }
}

pub(super) fn dd(diameter: f64, flats: f64) -> Form {
    Form { name: None, shape: FormShape::DoubleD { diameter, flats, bore: None } }
}

pub(super) fn serrated(teeth: u32) -> Form {
    Form { name: None, shape: FormShape::Serrated { teeth, diameter: 19.05, master: false } }
}

pub(super) fn round(diameter: f64) -> Form {
    Form { name: None, shape: FormShape::Round { diameter, bore: None } }
}

impl Bench {
    pub(super) fn of(change: impl FnOnce(&mut Spec, &mut Solution)) -> Self {
        let mut bench = bench();
        change(&mut bench.spec, &mut bench.solution);
        bench
    }

    pub(super) fn rows(&self, code: &str) -> Vec<Finding> {
        check::run(&self.spec, &self.solution).into_iter().filter(|finding| finding.rule == code).collect()
    }

    /// The worst verdict of a rule.
    #[track_caller]
    pub(super) fn says(&self, code: &str, status: Status) -> Finding {
        let rows = self.rows(code);
        let rank = |s: Status| match s {
            Status::Pass => 0,
            Status::Open => 1,
            Status::Warn => 2,
            Status::Fail => 3,
        };
        let worst =
            rows.into_iter().max_by_key(|row| rank(row.status)).unwrap_or_else(|| panic!("{code} says nothing"));
        assert_eq!(worst.status, status, "{worst:?}");
        worst
    }
}

/// The rule warns on this change, and fails on it where the spec sets the limit.
#[track_caller]
pub(super) fn habit(code: &str, limit: f64, change: impl Fn(&mut Spec, &mut Solution)) {
    Bench::of(&change).says(code, Status::Warn);
    let stated = Bench::of(|spec, solution| {
        change(spec, solution);
        spec.limits.insert(code.into(), limit);
    })
    .says(code, Status::Fail);
    assert_eq!(stated.source, format!("stated in the spec, limits.{code}"));
}

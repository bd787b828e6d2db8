//! A solution of the roadster by hand: plausible figures, nothing computed by the solver.

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, TAU};

use yokeline::check::{Finding, Status};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::solve::solution::{
    BestMotion, BothUnits, Captive, Clearance, Dimple, End, EndResult, EndSpot, HoleResult, JointResult, JointStrength,
    Motion, NotchResult, NotchSection, On, OpeningResult, OrderLine, PlateFrame, PlateResult, RailFrame, RailResult,
    RailVertex, SectionProperties, ShaftFrame, ShaftResult, ShaftStrength, Solution, SpotWhen, Strength, Twist, Vertex,
};

const IN: f64 = 25.4;

fn v2(x: f64, y: f64) -> Vec2 {
    Vec2::new(x, y)
}

/// The outside of a 2 in × 4 in tube with 0.24 in corners, v = 0 in the middle of the top right corner.
pub(super) fn rail_path() -> Vec<RailVertex> {
    let (w, h, r) = (2.0 * IN, 4.0 * IN, 0.24 * IN);
    let arc = r * FRAC_PI_2;
    let (flat, side) = (w - 2.0 * r, h - 2.0 * r);
    let rows = [
        (v2(-w + r, 0.0), None, flat),
        (v2(-r, 0.0), Some(v2(-r, -r)), arc),
        (v2(0.0, -r), None, side),
        (v2(0.0, -h + r), Some(v2(-r, -h + r)), arc),
        (v2(-r, -h), None, flat),
        (v2(-w + r, -h), Some(v2(-w + r, -h + r)), arc),
        (v2(-w, -h + r), None, side),
        (v2(-w, -r), Some(v2(-w + r, -r)), arc),
    ];
    let mut v = -0.5 * arc - flat;
    rows.map(|(at, centre, length)| {
        let vertex = RailVertex { v, at, centre };
        v += length;
        vertex
    })
    .to_vec()
}

fn oval(centre: Vec2, a: f64, b: f64) -> Vec<Vec2> {
    // Seen with v down, anticlockwise in (u, v) as the contract has it.
    (0..180)
        .map(|i| {
            let t = TAU * f64::from(i) / 180.0;
            let lean = 0.35 * b * t.sin();
            v2(centre.x + a * t.cos() + lean, centre.y + b * t.sin())
        })
        .collect()
}

fn rectangle(w: f64, h: f64, r: f64) -> Vec<Vertex> {
    let straight = |x, y| Vertex::straight(v2(x, y));
    let round = |x, y, cx, cy| Vertex::arc(v2(x, y), v2(cx, cy));
    vec![
        straight(r, 0.0),
        round(w - r, 0.0, w - r, r),
        straight(w, r),
        round(w, h - r, w - r, h - r),
        straight(w - r, h),
        round(r, h, r, h - r),
        straight(0.0, h - r),
        round(0.0, r, r, r),
    ]
}

fn dimple(end: End, station: f64, length: f64) -> Dimple {
    let z = if end == End::Upper { station } else { length - station };
    Dimple {
        end,
        station,
        z,
        clock: 0.0,
        on: On::Flat,
        drill: 90.0,
        diameter: 6.41,
        depth: 3.205,
        spot: SpotWhen::Drill,
    }
}

fn curve() -> Vec<[f64; 3]> {
    (0..=360)
        .map(|i| {
            let t = f64::from(i).to_radians();
            [f64::from(i), 2.1 * (2.0 * t).sin(), 1.0 + 0.074 * (2.0 * t).cos()]
        })
        .collect()
}

pub(super) fn heron() -> Solution {
    let length = 482.0;
    let joint = |name: &str, angle: f64, centre: Vec3| JointResult {
        angle_sigma: None,
        name: name.into(),
        centre,
        crosses: vec![centre],
        angle,
        limit: 30.0,
        upper_gap: 15.24,
        lower_gap: 15.24,
        upper_engagement: 25.4,
        lower_engagement: 25.4,
        end_clearance: 19.3,
        captive: Captive { upper: 6.1, lower: 4.9 },
    };
    let section = |area: f64| SectionProperties {
        area,
        centroid: v2(-25.4, -50.8),
        ixx: 1.21e6,
        iyy: 4.07e5,
        ixy: 0.0,
        s_min: 23_800.0,
        ..SectionProperties::default()
    };
    Solution {
        survey: None,
        tilt: Vec::new(),
        phase: yokeline::solve::solution::PhaseResult::default(),
        clocking: None,
        free_play: yokeline::solve::solution::FreePlay::default(),
        over_motions: None,
        as_built: None,
        joints: vec![
            joint("upper", 16.2, Vec3::new(609.0, -380.0, 266.0)),
            joint("lower", 23.4, Vec3::new(160.0, -215.6, 97.0)),
        ],
        shafts: vec![ShaftResult {
            centre_distance_sigma: None,
            cut_length_sigma: None,
            name: "intermediate".into(),
            stock: "dd-3/4".into(),
            material: "1018-cold-drawn".into(),
            frame: ShaftFrame {
                origin: Vec3::new(596.0, -375.0, 261.0),
                x: Vec3::new(0.3, 0.0, -0.95),
                z: Vec3::new(-0.88, 0.33, -0.33),
            },
            centre_distance: 512.48,
            cut_length: length,
            cut_length_min: 481.5,
            cut_length_max: 482.5,
            cut_long: length + IN / 8.0,
            cut_length_text: BothUnits { inch: "18.976 in (~18 31/32 in)".into(), mm: "482 mm".into() },
            twist: Twist { wanted: Some(12.4), set: 10.0, step: Some(10.0), certain: true, off_max: 2.4, flats: 0.0 },
            dimples: vec![dimple(End::Upper, 12.7, length), dimple(End::Lower, 12.7, length)],
            grooves: Vec::new(),
            ends: Vec::new(),
            members: Vec::new(),
            slip: None,
            bearing: None,
            journal: None,
        }],
        column: EndResult {
            axis_sigma: None,
            insertion: 25.4,
            spots: vec![EndSpot {
                station: 12.7,
                on: On::Flat,
                drill: 90.0,
                diameter: 6.41,
                depth: 3.205,
                spot: SpotWhen::Drill,
            }],
        },
        gear: EndResult { axis_sigma: None, insertion: 24.13, spots: Vec::new() },
        motion: Motion {
            error: 2.1,
            ratio_max: 1.074,
            ratio_min: 0.931,
            equivalent_angle: 21.4,
            best: BestMotion { error: 1.06, ratio_max: 1.037, twists: vec![12.4] },
            curve: curve(),
        },
        strength: Strength {
            shafts: vec![ShaftStrength {
                name: "intermediate".into(),
                torque_max: 62.5,
                shear: 73.62,
                flat_pressure: Some(81.9),
                windup: 2.03,
                yield_margin: 2.9,
                sections: Vec::new(),
                dimple_margin: None,
            }],
            joints: vec![
                JointStrength { name: "upper".into(), torque_max: 62.5, rating: None, trunnion_force: None },
                JointStrength { name: "lower".into(), torque_max: 68.1, rating: None, trunnion_force: None },
            ],
            ..Strength::default()
        },
        clearances: vec![
            Clearance {
                gap_sigma: None,
                part: "intermediate".into(),
                obstacle: "header, third tube".into(),
                gap: 31.8,
                need: IN,
                at: BTreeMap::new(),
                point: Vec3::new(320.0, -190.0, 215.0),
                lower: None,
                taped: None,
            },
            Clearance {
                gap_sigma: None,
                part: "lower".into(),
                obstacle: "left rail".into(),
                gap: 26.9,
                need: 9.525,
                at: BTreeMap::new(),
                point: Vec3::new(160.0, -279.0, 97.0),
                lower: None,
                taped: None,
            },
        ],
        rails: vec![RailResult {
            name: "left rail".into(),
            frame: RailFrame {
                origin: Vec3::new(30.0 * IN, -11.0 * IN, 6.0 * IN),
                along: Vec3::new(-1.0, 0.0, 0.0),
                right: Vec3::new(0.0, 1.0, 0.0),
                up: Vec3::new(0.0, 0.0, 1.0),
            },
            path: rail_path(),
            length: 762.0,
            wall: 3.048,
            girth: None,
        }],
        notches: vec![NotchResult {
            place_sigma: None,
            name: "left rail notch".into(),
            rail: "left rail".into(),
            traced: vec![oval(v2(17.5 * IN, 6.0), 66.0, 34.0)],
            shop: vec![oval(v2(17.5 * IN, 6.0), 68.0, 36.5)],
            axes: Vec::new(),
            true_curves: Vec::new(),
            shop_curves: Vec::new(),
            area: 7_800.0,
            depth: 73.0,
            width: 136.0,
            gap_left: 9.6,
            certified: 0.01,
            section: NotchSection {
                full: section(890.0),
                left: SectionProperties { ixx: 6.9e5, s_min: 14_100.0, ..section(640.0) },
                restored: None,
                worst_u: 17.5 * IN,
                restored_u: None,
                closed_again: false,
                stations: Vec::new(),
            },
            extra_area: 120.0,
            motion_spread: None,
            stress: None,
            liner: None,
            doublers: Vec::new(),
            proposal: None,
        }],
        bolts: Vec::new(),
        mounts: Vec::new(),
        plates: vec![PlateResult {
            name: "column bracket".into(),
            thick: 0.1875 * IN,
            frame: PlateFrame {
                origin: Vec3::new(1080.0, -470.0, 420.0),
                u: Vec3::new(0.05, 0.998, 0.0),
                v: Vec3::new(-0.42, 0.02, 0.907),
                w: Vec3::new(0.905, -0.05, 0.42),
            },
            outline: rectangle(6.0 * IN, 5.0 * IN, 0.5 * IN),
            holes: [[0.75, 0.75], [5.25, 0.75], [5.25, 4.25], [0.75, 4.25]]
                .iter()
                .enumerate()
                .map(|(i, [u, v])| HoleResult {
                    name: format!("mount {}", i + 1),
                    kind: "clearance".into(),
                    centre: v2(u * IN, v * IN),
                    diameter: 0.34375 * IN,
                    pilot: Some(0.125 * IN),
                    drill: "11/32 in".into(),
                    ..HoleResult::default()
                })
                .collect(),
            openings: vec![OpeningResult {
                over_motions: None,
                motion_spread: None,
                name: "column opening".into(),
                shape: None,
                centre: v2(3.0 * IN, 2.5 * IN),
                major: 57.15,
                minor: 57.15,
                angle: 0.0,
                outline: vec![
                    Vertex::arc(v2(3.0 * IN + 28.575, 2.5 * IN), v2(3.0 * IN, 2.5 * IN)),
                    Vertex::arc(v2(3.0 * IN - 28.575, 2.5 * IN), v2(3.0 * IN, 2.5 * IN)),
                ],
            }],
            bends: Vec::new(),
            area: 16_300.0,
        }],
        order: vec![
            OrderLine {
                item: "joint".into(),
                what: "single joint, dd-3/4 both sides".into(),
                quantity: 1,
                length: None,
            },
            OrderLine {
                item: "bar".into(),
                what: "dd-3/4, 1018 steel, cold drawn".into(),
                quantity: 1,
                length: Some(485.2),
            },
            OrderLine { item: "set screw".into(), what: "5/16-18 cone point".into(), quantity: 3, length: None },
        ],
    }
}

pub(super) fn findings() -> Vec<Finding> {
    let row = |rule: &str, status, subject: &str, value, limit, unit: &str, message: &str, source: &str| Finding {
        rule: rule.into(),
        status,
        subject: subject.into(),
        value,
        limit,
        unit: unit.into(),
        message: message.into(),
        source: source.into(),
    };
    vec![
        row(
            "joint-angle",
            Status::Pass,
            "upper",
            Some(16.2),
            Some(30.0),
            "deg",
            "working angle 16.2°, at most 30°",
            "stated in the spec",
        ),
        row(
            "joint-angle",
            Status::Warn,
            "lower",
            Some(23.4),
            Some(25.0),
            "deg",
            "working angle 23.4°, habit stays under 25°; move the column end to share the angles",
            "common practice, no source",
        ),
        row(
            "joint-rating",
            Status::Open,
            "lower",
            None,
            None,
            "",
            "no rated torque is stated; ask the maker and state it as rating",
            "UN R79, 5.3.1 (from memory)",
        ),
        row(
            "clearance",
            Status::Fail,
            "intermediate to header, third tube",
            Some(21.8),
            Some(25.4),
            "mm",
            "gap 21.8 mm, at least 25.4 mm; move the tube or the joint",
            "stated in the spec",
        ),
    ]
}

//! How shafts fit in their joints.

use proptest::prelude::*;
use yokeline::solve::ends::{end_clearance, least_setback};
use yokeline::solve::solution::{End, On, Solution};
use yokeline::spec::Spec;
use yokeline::spec::types::{Edge, Face, ObstacleShape, PlatePlace};

use crate::common::{HERON, heron, read};

fn solved(spec: &Spec) -> Solution {
    match yokeline::solve::solve(spec) {
        Ok((solution, _)) => solution,
        Err(errors) => panic!("{errors:#?}"),
    }
}

fn near(found: f64, expected: f64, allowed: f64, what: &str) {
    assert!((found - expected).abs() <= allowed, "{what}: found {found}, expected {expected}");
}

/// The roadster worked by hand: with the spec's coordinates the crosses are column end + 0.60 in and gear end
/// − 0.65 in along their axes. Figures computed apart from this project, with numpy, from those definitions.
#[test]
fn roadster_by_hand() {
    let solution = solved(&heron());
    let [upper, lower] = &solution.joints[..] else { panic!("two joints") };
    near(upper.angle, 16.285_060_424_233, 1e-9, "upper angle");
    near(lower.angle, 23.338_869_997_787, 1e-9, "lower angle");
    let shaft = &solution.shafts[0];
    near(shaft.centre_distance, 20.297_344_157_443_71 * 25.4, 1e-9, "between crosses");
    // Each gap on the shaft is 1.60 − 1.00 in.
    near(shaft.cut_length, 19.097_344_157_443_71 * 25.4, 1e-9, "cut length");
    near(shaft.twist.wanted.unwrap(), 145.222_067_947_569, 1e-9, "wanted twist is the angle between the planes");
    near(shaft.twist.set, 0.0, 0.0, "ears stand alike on one pair of flats");
    near(shaft.twist.off_max, 34.777_932_052_431, 1e-9, "off");
    // 19.097 + 1/8 in = 19.222, the next 1/32 above is 19 1/4.
    near(shaft.cut_long, 19.25 * 25.4, 1e-9, "sawing length");
    // Screws stand 0.50 in from the outer face of hubs 1.00 in deep: 0.50 in from each end, in the flat.
    let [first, second] = &shaft.dimples[..] else { panic!("two dimples") };
    assert_eq!((first.end, second.end, first.on, second.on), (End::Upper, End::Lower, On::Flat, On::Flat));
    near(first.station, 12.7, 1e-9, "station");
    near(second.z, shaft.cut_length - 12.7, 1e-9, "z of the lower dimple");
    near(solution.gear.insertion, 0.95 * 25.4, 1e-9, "bolt meets groove: 0.40 + 0.55 in");
    // Two joints in phase: sine of the error is the difference of the cosines over their sum (Fischer and Paul, 1991;
    // derived).
    let k = |a: f64| a.to_radians().cos();
    let best = ((k(upper.angle) - k(lower.angle)) / (k(upper.angle) + k(lower.angle))).abs().asin().to_degrees();
    near(solution.motion.best.error, best, 1e-9, "best error");
}

/// The vehicle moved, and the vehicle mirrored left for right, as the spec would be written for it.
fn carried(spec: &Spec, by: [f64; 3], mirrored: bool) -> Spec {
    let mut spec = spec.clone();
    let sign = if mirrored { -1.0 } else { 1.0 };
    let way = |v: yokeline::geometry::Vec3| yokeline::geometry::Vec3::new(v.x, sign * v.y, v.z);
    let put = |p| way(p) + yokeline::geometry::Vec3::from(by);
    for end in [&mut spec.column, &mut spec.gear] {
        (end.end, end.second, end.axis) = (put(end.end), end.second.map(put), way(end.axis));
    }
    for rail in &mut spec.rails {
        rail.along = rail.along.map(put);
        if let (Edge::Corner(flange, side), true) = (rail.edge, mirrored) {
            let other = match side {
                Face::Left => Face::Right,
                Face::Right => Face::Left,
                face => face,
            };
            rail.edge = Edge::Corner(flange, other);
        }
    }
    for plate in &mut spec.plates {
        // Rectangles all.
        let wide = plate.outline.corners[1].x;
        match &mut plate.place {
            PlatePlace::Points { origin, right, up } => {
                // Seen from the same side, right and left change over: the rectangle is drawn from its other corner.
                let far = (*right - *origin).unit().unwrap() * wide;
                let (o, r, u) = (*origin, *right, *up);
                (*origin, *right, *up) = (put(o), put(r), put(u));
                if mirrored {
                    let side = put(o + far);
                    (*right, *up) = (side + (*origin - *right), *up + (side - *origin));
                    *origin = side;
                    for hole in &mut plate.holes {
                        for at in &mut hole.at {
                            at.centre.x = wide - at.centre.x;
                        }
                    }
                }
            }
            PlatePlace::SquareTo { up, zero, .. } => {
                *up = way(*up);
                if mirrored {
                    zero.x = wide - zero.x;
                    for hole in &mut plate.holes {
                        for at in &mut hole.at {
                            at.centre.x = wide - at.centre.x;
                        }
                    }
                }
            }
        }
    }
    for obstacle in &mut spec.obstacles {
        match &mut obstacle.shape {
            ObstacleShape::Tube { path, .. } => path.iter_mut().for_each(|p| *p = put(*p)),
            ObstacleShape::Ball { centre, .. } => *centre = put(*centre),
            ObstacleShape::Box { corner, edges } => {
                *corner = put(*corner);
                *edges = edges.map(way);
            }
            ObstacleShape::Beside { clock, .. } => {
                if mirrored {
                    *clock = -*clock;
                }
            }
        }
    }
    spec
}

fn same(a: &Solution, b: &Solution, mirrored: bool, allowed: f64) {
    for (x, y) in a.joints.iter().zip(&b.joints) {
        near(y.angle, x.angle, allowed, "angle");
        near(y.end_clearance, x.end_clearance, allowed, "end clearance");
        near(y.captive.upper, x.captive.upper, allowed, "captive");
    }
    for (x, y) in a.shafts.iter().zip(&b.shafts) {
        near(y.cut_length, x.cut_length, allowed, "cut length");
        let wanted = x.twist.wanted.unwrap();
        let expected = if mirrored { 180.0 - wanted } else { wanted };
        near(y.twist.wanted.unwrap(), expected, allowed, "wanted twist");
    }
    near(b.motion.error, a.motion.error, allowed, "error");
    near(b.motion.ratio_max, a.motion.ratio_max, allowed, "ratio");
    let gap = |s: &Solution, part: &str, obstacle: &str| {
        s.clearances.iter().find(|c| c.part == part && c.obstacle == obstacle).unwrap().gap
    };
    assert_eq!(a.clearances.len(), b.clearances.len());
    for row in &a.clearances {
        near(gap(b, &row.part, &row.obstacle), row.gap, 1e-6, &row.obstacle);
    }
    for (x, y) in a.notches.iter().zip(&b.notches) {
        // The outline is proved to within `certified`; its steps may fall otherwise.
        let reach = x.certified + y.certified;
        near(y.depth, x.depth, 2.0 * reach, "notch depth");
        near(y.width, x.width, 2.0 * reach, "notch width");
        near(y.area, x.area, reach * 2.0 * (x.depth + x.width), "notch area");
        near(y.section.full.area, x.section.full.area, allowed * 1e3, "section");
    }
    for (x, y) in a.plates.iter().zip(&b.plates) {
        near(y.area, x.area, allowed * 1e3, "plate area");
        for (p, q) in x.openings.iter().zip(&y.openings) {
            near(q.major, p.major, allowed, "opening");
        }
    }
}

/// Inches against millimetres: the same numbers times 25.4 (international inch, 1959) give the same linkage.
#[test]
fn inches_against_millimetres() {
    fn scaled(key: &str, value: &mut toml::Value) {
        match value {
            toml::Value::Table(table) => table.iter_mut().for_each(|(key, value)| scaled(key, value)),
            toml::Value::Array(items) if key != "print_correction" => items.iter_mut().for_each(|v| scaled(key, v)),
            toml::Value::Float(number) if key != "lock_to_lock" => *number *= 25.4,
            toml::Value::Integer(number) if !["teeth", "wheel_teeth", "format", "count"].contains(&key) => {
                *value = toml::Value::Float(*number as f64 * 25.4);
            }
            _ => {}
        }
    }
    let mut table: toml::Table = HERON.parse().unwrap();
    table.iter_mut().for_each(|(key, value)| scaled(key, value));
    table["build"]["units"] = "mm".into();
    let text = toml::to_string(&table).unwrap();
    let (inch, metric) = (heron(), read(&text));
    assert_ne!(inch.build.units, metric.build.units);
    same(&solved(&inch), &solved(&metric), false, 1e-9);
}

/// Radius of a 3/4 in shaft (mm).
const R: f64 = 9.525;

/// Setback at which two equal round ends touch, s = r tan(β/2), at r = 9.525: 20 degrees 1.679514, 30 degrees
/// 2.552216 (derived; verified numerically).
#[test]
fn ends_touch_at_the_setback_of_the_formula() {
    for (degrees, setback) in [(20.0f64, 1.679_514), (30.0, 2.552_216)] {
        let angle = degrees.to_radians();
        assert!(end_clearance([setback - 1e-5; 2], [R; 2], angle) <= 0.0);
        let just = end_clearance([setback + 1e-5; 2], [R; 2], angle);
        assert!(just > 0.0 && just < 4e-5, "{just}");
        let met = least_setback(setback, [R; 2], angle, 15.0);
        assert!((met - setback).abs() < 1e-6, "{met}");
    }
}

/// In line the ends stand face to face: the clearance is the sum of the gaps, and one can go on by just that.
#[test]
fn ends_in_line() {
    assert!((end_clearance([15.24, 16.51], [R; 2], 0.0) - 31.75).abs() < 1e-12);
    assert!((least_setback(16.51, [R; 2], 0.0, 15.24) + 16.51).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Moving the whole vehicle changes nothing; mirroring it turns the sign of the twist alone.
    #[test]
    fn moved_and_mirrored(x in -9000.0f64..9000.0, y in -9000.0f64..9000.0, z in -9000.0f64..9000.0, mirrored: bool) {
        let spec = heron();
        same(&solved(&spec), &solved(&carried(&spec, [x, y, z], mirrored)), mirrored, 1e-7);
    }
}

proptest! {
    /// The handbook form of the gap: s = r tan(β/2) + g / (2 cos(β/2)) gives clearance g for equal ends.
    #[test]
    fn clearance_of_equal_ends(degrees in 1.0f64..60.0, gap in 0.01f64..20.0, radius in 5.0f64..15.0) {
        let half = (degrees / 2.0).to_radians();
        let setback = radius * half.tan() + gap / (2.0 * half.cos());
        prop_assert!((end_clearance([setback; 2], [radius; 2], 2.0 * half) - gap).abs() < 1e-9);
    }

    /// Sampled points of the two rectangles are never nearer than the clearance says.
    #[test]
    fn clearance_is_a_lower_bound(degrees in 0.0f64..80.0, a in 0.0f64..20.0, b in 0.0f64..20.0, ra in 5.0f64..15.0, rb in 5.0f64..15.0) {
        let angle = degrees.to_radians();
        let said = end_clearance([a, b], [ra, rb], angle);
        let (s, c) = angle.sin_cos();
        for i in 0..=40 {
            for j in 0..=40 {
                let (u, v) = (f64::from(i) / 20.0 - 1.0, f64::from(j) / 20.0 - 1.0);
                let p = (-a, u * ra);
                let q = (b * c - v * rb * s, b * s + v * rb * c);
                prop_assert!(((p.0 - q.0).powi(2) + (p.1 - q.1).powi(2)).sqrt() >= said - 1e-9);
            }
        }
    }
}

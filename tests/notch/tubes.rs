//! Liners and sleeves: size, fish mouths, the cut they need; doublers.

use std::f64::consts::PI;

use super::{check_case, cylinder, heron, heron_rooms, long_cylinder, near, p, rail_of, spec_with};
use yokeline::geometry::contour::{holds, sides};
use yokeline::geometry::{Vec2, Vec3, segment};
use yokeline::solve::bodies::Room;
use yokeline::solve::doubler_part;
use yokeline::solve::notch::{NotchTrace, notch, result};
use yokeline::solve::rail::RailShape;
use yokeline::solve::solution::LinerResult;
use yokeline::spec::Spec;
use yokeline::spec::types::{Body, Doubler, Edge, Face, Liner, LinerKind, Section};

fn tube(kind: LinerKind, outside: Option<f64>, wall: f64) -> Liner {
    Liner { kind, outside, wall, square: false }
}

/// Distance of a point from a line.
fn off(q: Vec3, on: Vec3, along: Vec3) -> f64 {
    let d = q - on;
    (d - along * d.dot(along)).length()
}

/// A point of a liner's laid-out outside, in space.
fn wrapped(liner: &LinerResult, at: Vec2) -> Vec3 {
    let frame = liner.frame;
    let angle = at.x / (liner.outside / 2.0);
    let (s, c) = angle.sin_cos();
    frame.origin + frame.axis * at.y + (frame.x * c + frame.axis.cross(frame.x) * s) * (liner.outside / 2.0)
}

/// Branch radius 25 on run radius 50, axes at γ, offset e (parallel-line development; derived, verified numerically):
/// from the axis crossing to the cut end, θ from the run-axis plane in steps of 30 degrees.
#[test]
fn the_fish_mouths_of_a_sleeve_in_a_pipe() {
    let rows: [(f64, f64, [f64; 12]); 3] = [
        (
            90.0,
            0.0,
            [
                50.0, 48.412_292, 45.069_391, 43.301_270, 45.069_391, 48.412_292, 50.0, 48.412_292, 45.069_391,
                43.301_270, 45.069_391, 48.412_292,
            ],
        ),
        (
            60.0,
            0.0,
            [
                72.168_784, 68.401_699, 59.258_528, 50.0, 44.824_772, 43.401_699, 43.301_270, 43.401_699, 44.824_772,
                50.0, 59.258_528, 68.401_699,
            ],
        ),
        (
            60.0,
            10.0,
            [
                71.002_299, 64.059_028, 51.911_953, 41.231_056, 37.478_197, 39.059_028, 42.134_786, 45.162_813,
                48.928_916, 55.075_705, 63.362_673, 70.162_813,
            ],
        ),
    ];
    for (gamma, e, ends) in rows {
        let section = Section::Pipe { diameter: 100.0, wall: 3.0 };
        let mut spec = spec_with([p(0.0, 0.0, 0.0), p(400.0, 0.0, 0.0)], Edge::Centre, section, 5.0, 10.0);
        spec.notches[0].liner = Some(tube(LinerKind::Sleeve, Some(50.0), 3.0));
        let rail = rail_of(&spec);
        // Run along +x; the branch in the plane y = e, leaning toward +x.
        let (sine, cosine) = f64::to_radians(gamma).sin_cos();
        let (on, along) = (p(200.0, e, 0.0), p(cosine, 0.0, sine));
        let trace = notch(&spec, 0, &rail, &[long_cylinder(on, along, 5.0)]).unwrap();
        let liner = trace.liner.unwrap().result;
        // Every point of the outline lies on both tubes' outsides.
        let cut = |q: &&Vec2| q.x.abs() < PI * 25.0 - 1e-6;
        for q in liner.outline.iter().filter(cut).map(|&q| wrapped(&liner, q)) {
            near(off(q, on, along), 25.0, 1e-9);
            near(f64::hypot(q.y, q.z), 50.0, 1e-9);
        }
        // The end toward the branch, at the angles of the table; the run-axis plane holds +x.
        let side = Vec3::new(0.0, 1.0, 0.0);
        let way = if liner.frame.axis.dot(along) > 0.0 { 1.0 } else { -1.0 };
        for (k, wanted) in ends.into_iter().enumerate() {
            let (s, c) = (PI / 6.0 * k as f64).sin_cos();
            let spoke = side.cross(along) * c + side * s;
            let angle = liner.frame.x.signed_angle_to(spoke, liner.frame.axis);
            // Between the two nearest points of that end: 720 of them make chords of 0.2 mm.
            let origin = (liner.frame.origin - on).dot(along);
            let found = sides(&liner.outline)
                .filter(|(a, b)| (a.x - b.x).abs() < 1.0)
                .filter_map(|(a, b)| {
                    let x = angle * 25.0;
                    let share = (x - a.x) / (b.x - a.x);
                    (-1e-9..=1.0 + 1e-9).contains(&share).then_some(origin + way * (a.y + (b.y - a.y) * share))
                })
                .fold(f64::NEG_INFINITY, f64::max);
            near(found, wanted, 2e-3);
        }
    }
}

/// Cut-off cylinder unrolled, y(s) = r tan γ (1 − cos(s/r)): r 50, γ 45 degrees, in steps of 15 degrees (parallel-line
/// development, NAVEDTRA 14119, from memory; verified numerically).
#[test]
fn the_mitre_of_a_sleeve_in_a_flat_web() {
    let rows = [
        0.0, 1.703_709, 6.698_730, 14.644_661, 25.0, 37.059_048, 50.0, 62.940_952, 75.0, 85.355_339, 93.301_270,
        98.296_291, 100.0,
    ];
    let section = Section::Tube { height: 300.0, width: 100.0, wall: 3.0, corner: 6.0 };
    let mut spec = spec_with([p(0.0, 0.0, 0.0), p(900.0, 0.0, 0.0)], Edge::Centre, section, 5.0, 10.0);
    spec.notches[0].liner = Some(tube(LinerKind::Sleeve, Some(100.0), 4.0));
    let rail = rail_of(&spec);
    let trace = notch(&spec, 0, &rail, &[long_cylinder(p(450.0, 0.0, 0.0), p(1.0, 1.0, 0.0), 10.0)]).unwrap();
    let liner = trace.liner.unwrap().result;
    let x = Vec3::new(0.5f64.sqrt(), -(0.5f64.sqrt()), 0.0);
    let from = liner.frame.x.signed_angle_to(x, liner.frame.axis) * 50.0;
    let ends: Vec<f64> = (0..=12)
        .map(|k| {
            let turn = 2.0 * PI * 50.0;
            let s = (from + PI / 12.0 * f64::from(k) * 50.0 + turn / 2.0).rem_euclid(turn) - turn / 2.0;
            let at = liner.outline.iter().filter(|q| (q.x - s).abs() < 1e-6).map(|q| q.y);
            at.fold(f64::NEG_INFINITY, f64::max)
        })
        .collect();
    let rise: Vec<f64> = ends.iter().map(|end| (end - ends[0]).abs()).collect();
    for (found, wanted) in rise.into_iter().zip(rows) {
        near(found, wanted, 1e-6);
    }
    near(liner.length, 100.0 * 2.0f64.sqrt() + 100.0, 1e-9);
}

/// The least size: a shaft on the sleeve's own axis wants its radius and the clearance; one beside it as much more.
#[test]
fn the_least_sleeve_holds_shaft_and_clearance() {
    let section = Section::Tube { height: 150.0, width: 60.0, wall: 3.0, corner: 6.0 };
    let mut spec = spec_with([p(0.0, 0.0, 0.0), p(600.0, 0.0, 0.0)], Edge::Centre, section, 8.0, 10.0);
    spec.build.tape_step = 1.0;
    spec.notches[0].liner = Some(tube(LinerKind::Sleeve, None, 3.0));
    let rail = rail_of(&spec);
    let shaft = long_cylinder(p(300.0, 0.0, 0.0), p(0.2, 1.0, 0.1), 9.5);
    let beside = cylinder(Body::Joint(0), p(297.0, -10.0, 4.0), p(301.0, 10.0, 6.0), 12.0);
    for (rooms, least) in [(vec![shaft], 2.0 * (9.5 + 8.0 + 3.0)), (vec![shaft, beside], 0.0)] {
        let trace = notch(&spec, 0, &rail, &rooms).unwrap();
        let row = result(&spec, 0, &trace).unwrap();
        let liner = row.liner.unwrap();
        if least > 0.0 {
            near(liner.outside_least, least, 1e-5);
            near(liner.outside, least.ceil(), 1e-9);
        }
        assert!(liner.outside >= liner.outside_least - 1e-5 && liner.outside < liner.outside_least + 1.0);
        assert!(liner.gap >= 8.0 - 1e-5 && row.gap_left >= 8.0 - 1e-4, "{} {}", liner.gap, row.gap_left);
        assert!(row.section.closed_again && row.section.restored.unwrap().torsion > row.section.left.torsion);
        // The bore measured by its own points: none nearer to a room, by the test's own distance.
        let bore = liner.outside / 2.0 - liner.wall;
        let least = (0..720)
            .flat_map(|k| (-20..=20).map(move |t| (f64::from(k) * PI / 360.0, f64::from(t) * 1.5)))
            .map(|(angle, t)| {
                let (s, c) = angle.sin_cos();
                let frame = liner.frame;
                frame.origin + frame.axis * t + (frame.x * c + frame.axis.cross(frame.x) * s) * bore
            })
            .filter(|q| q.y.abs() <= 30.0)
            .flat_map(|q| rooms.iter().map(move |room| super::distance(q, room)))
            .fold(f64::INFINITY, f64::min);
        assert!(liner.gap <= least + 1e-9, "{} over {least}", liner.gap);
        assert!(liner.gap > least - 0.05, "{} far under {least}", liner.gap);
    }
}

/// Unrolled place of a point on a rail's outside, by looking along v.
fn unrolled(rail: &RailShape, q: Vec3) -> Vec2 {
    let (u, at) = rail.local(q);
    let (low, high) = rail.v_range();
    let steps = 20_000;
    let v = (0..steps)
        .map(|k| low + (high - low) * f64::from(k) / f64::from(steps))
        .min_by(|a, b| {
            let far = |v: f64| (rail.section_point(v).0 - at).length();
            far(*a).total_cmp(&far(*b))
        })
        .unwrap();
    Vec2::new(u, v)
}

fn lined(spec: &mut Spec) -> (RailShape, Vec<Room>, NotchTrace) {
    spec.notches[0].liner = Some(tube(LinerKind::Liner, Some(1.75 * 25.4), 0.12 * 25.4));
    spec.notches[0].doubler = Some(Doubler { wall: 3.175, overrun: None, height: None, all_faces: false });
    let (rail, rooms) = (rail_of(spec), heron_rooms(spec));
    let trace = notch(spec, 0, &rail, &rooms).unwrap();
    (rail, rooms, trace)
}

/// The liner's edge in space is the cut line on the rail: tube and hole fit.
#[test]
fn the_roadsters_liner_fits_its_cut() {
    let mut spec = heron();
    let (rail, _, trace) = lined(&mut spec);
    let liner = &trace.liner.as_ref().unwrap().result;
    let shop = &trace.shop[0];
    let girth = rail.girth;
    for &q in liner.outline.iter().step_by(37) {
        let place = unrolled(&rail, wrapped(liner, q));
        let far = |shift: f64| {
            let at = place + Vec2::new(0.0, shift);
            sides(shop)
                .map(|(a, b)| {
                    let d = b - a;
                    let share = ((at - a).dot(d) / d.dot(d)).clamp(0.0, 1.0);
                    (at - a - d * share).length()
                })
                .fold(f64::INFINITY, f64::min)
        };
        let found = [-girth, 0.0, girth].map(far).into_iter().fold(f64::INFINITY, f64::min);
        // The cut also takes what the tube needs deeper in the wall; never less than the tube's outside.
        assert!(found < 2.2, "{found} mm between the tube's edge and the cut");
        let within =
            [-girth, 0.0, girth].iter().any(|shift| found < 0.02 || holds(&trace.shop, place + Vec2::new(0.0, *shift)));
        assert!(within, "the tube's edge at {place:?} stands on metal");
    }
}

/// A doubler lies on its face's flat, keeps the clearance through its thickness, and leaves the cut open.
#[test]
fn the_roadsters_doublers_are_clear() {
    let mut spec = heron();
    let (rail, rooms, trace) = lined(&mut spec);
    let repair = trace.repair.as_ref().unwrap();
    assert_eq!(repair.doublers.iter().map(|d| d.face.as_str()).collect::<Vec<_>>(), ["right", "left"]);
    let (first, last) = trace.stations().unwrap();
    for doubler in &repair.doublers {
        let points: Vec<Vec2> = doubler.on_rail.iter().flatten().copied().collect();
        let span = points.iter().fold((f64::MAX, f64::MIN), |(a, b), q| (a.min(q.x), b.max(q.x)));
        near(span.0, first - 101.6, 1e-6);
        near(span.1, last + 101.6, 1e-6);
        for (drawn, &on) in doubler.outline.iter().zip(&doubler.on_rail).flat_map(|(a, b)| a.iter().zip(b.iter().rev()))
        {
            let frame = &doubler.frame;
            let seen = frame.origin + frame.u * drawn.x + frame.v * drawn.y;
            let (at, out) = rail.outside(on.x, on.y);
            near((seen - at - out * doubler.thick).length(), 0.0, 1e-9);
            near(out.dot(frame.w), 1.0, 1e-12);
        }
        // What is cut lies in the plate, and hardly less than it.
        assert_eq!(doubler.curves.len(), doubler.outline.len());
        for path in doubler_part::paths(doubler) {
            let off = |at: Vec2| {
                let near = doubler.outline.iter().flat_map(|points| points.iter().zip(points.iter().cycle().skip(1)));
                near.map(|(a, b)| segment::off(at, *a, *b)).fold(f64::INFINITY, f64::min)
            };
            for at in path.flattened(1e-4) {
                assert!(off(at) < 0.0142 && (holds(&doubler.outline, at) || off(at) < 1e-6), "{at:?}: {}", off(at));
            }
        }
        // A grid over the plate, at both of its faces.
        let mut looked = 0;
        for i in 0..120 {
            for j in 0..40 {
                let q = Vec2::new(span.0 + (span.1 - span.0) * f64::from(i) / 120.0, f64::from(j) * 2.6 - 130.0);
                for q in [q, q + Vec2::new(0.0, rail.girth / 2.0), q + Vec2::new(0.0, rail.girth)] {
                    if !holds(&doubler.on_rail, q) {
                        continue;
                    }
                    looked += 1;
                    assert!(!holds(&trace.shop, q));
                    let (at, out) = rail.outside(q.x, q.y);
                    for depth in [0.0, 0.5, 1.0] {
                        let r = at + out * (doubler.thick * depth);
                        let least = rooms.iter().map(|room| super::distance(r, room)).fold(f64::INFINITY, f64::min);
                        assert!(least >= spec.notches[0].clearance - 1e-6, "{least} at {q:?}");
                    }
                }
            }
        }
        assert!(looked > 500, "{looked}");
    }
    assert!(repair.section.closed_again);
    assert!(repair.section.restored.unwrap().share_of(&repair.section.full) > 1.0);
}

/// What cannot be built says so: a tube that stands out, one inside all round, one that misses, one as large as the rail.
#[test]
fn tubes_that_do_not_fit_are_refused() {
    let (mut spec, rail, room) = check_case();
    let mut code = |kind, outside| {
        spec.notches[0].liner = Some(tube(kind, Some(outside), 2.0));
        notch(&spec, 0, &rail, &[room]).map_err(|errors| errors[0].code).err()
    };
    assert_eq!(code(LinerKind::Sleeve, 60.0), Some("sleeve-open"));
    assert_eq!(code(LinerKind::Liner, 260.0), Some("rail-cut-through"));
    assert_eq!(code(LinerKind::Liner, 60.0), None);
    let section = Section::Tube { height: 150.0, width: 60.0, wall: 3.0, corner: 6.0 };
    let mut spec =
        spec_with([p(0.0, 0.0, 0.0), p(600.0, 0.0, 0.0)], Edge::Corner(Face::Top, Face::Right), section, 8.0, 10.0);
    let rail = rail_of(&spec);
    let mut code = |z: f64, along: Vec3| {
        spec.notches[0].liner = Some(tube(LinerKind::Liner, Some(40.0), 2.0));
        let room = long_cylinder(p(300.0, -30.0, z), along, 5.0);
        notch(&spec, 0, &rail, &[room]).map_err(|errors| errors[0].code).err()
    };
    assert_eq!(code(-75.0, p(0.0, 1.0, 0.0)), Some("liner-whole"));
    assert_eq!(code(60.0, p(0.0, 1.0, 0.0)), Some("liner-misses"));
    assert_eq!(code(0.0, p(1.0, 0.1, 0.0)), Some("liner-axis"));
}

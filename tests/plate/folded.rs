//! Bent plates as solids: volumes by Pappus, holes where the solver folds them to, files read back.

use std::f64::consts::{FRAC_PI_2, PI};

use yokeline::audit::AuditReport;
use yokeline::audit::step_file::measure;
use yokeline::audit::step_plate::{PlatePlan, check};
use yokeline::export::step::{self, StepMeta};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::model::plate;
use yokeline::solve::apart::stand_apart;
use yokeline::solve::identity::Identity;
use yokeline::solve::profile;
use yokeline::solve::solution::{OpeningResult, PlateResult, Vertex};
use yokeline::spec::types::{Outline, StepSchema, Unit};

use super::bends::{Numbers, bend, bent};
use super::{near, solve};

fn meta(unit: Unit) -> StepMeta {
    StepMeta {
        path: "solids/plate-bracket.step".into(),
        name: "bracket".into(),
        part_number: "bracket".into(),
        description: String::new(),
        revision: String::new(),
        author: String::new(),
        date: String::new(),
        schema: StepSchema::Ap242,
        unit,
        texts: Vec::new(),
    }
}

fn audited(result: &PlateResult, unit: Unit, bytes: &[u8]) -> Vec<String> {
    let StepMeta { name, part_number, description, texts, .. } = meta(unit);
    let identity = Identity { name, part_number, description, texts };
    let mut report = AuditReport::default();
    check(&PlatePlan { file: "solids/plate-bracket.step", unit, identity, result }, bytes, &mut report);
    let bad = report.lines.iter().filter(|line| !line.good);
    bad.map(|line| format!("{}: expected {}, found {}", line.what, line.expected, line.found)).collect()
}

/// The file of a bracket, after its solid is found to have this volume.
#[track_caller]
fn built(result: &PlateResult, volume: f64) -> Vec<u8> {
    assert!(stand_apart(result));
    let solid = plate::solid(result).unwrap();
    near(solid.volume() / volume, 1.0, 1e-11, "volume");
    let bytes = step::write(&solid, &meta(Unit::Millimetre)).unwrap();
    assert_eq!(audited(result, Unit::Millimetre, &bytes), Vec::<String>::new());
    bytes
}

/// Straights between the bends, and of each bend the sheet's middle: angle × (R + t/2) (Pappus).
#[test]
fn random_brackets_have_their_volume() {
    let mut numbers = Numbers(11);
    for _ in 0..60 {
        let thick = numbers.between(0.8, 6.0);
        let count = 1 + numbers.between(0.0, 2.999) as usize;
        let (mut u, mut middle) = (0.0, 0.0);
        let (mut bends, mut holes) = (Vec::new(), Vec::new());
        for _ in 0..count {
            u += numbers.between(90.0, 140.0);
            let (angle, up) = (numbers.between(0.1, 1.7), numbers.between(0.0, 1.0) < 0.5);
            let (inside, k) = (numbers.between(1.0, 8.0), numbers.between(0.3, 0.5));
            let face = if up { inside } else { inside + thick };
            middle += angle * (inside + thick / 2.0) - 2.0 * face * (angle / 2.0).tan();
            bends.push(bend(u, angle, up, inside, k));
            holes.push([u - 45.0, numbers.between(10.0, 40.0)]);
        }
        let solved = solve(&bent([u + 90.0, 50.0], thick, bends, &holes));
        let drilled = PI / 4.0 * 25.0 * thick * holes.len() as f64;
        let bytes = built(&solved, (u + 90.0 + middle) * 50.0 * thick - drilled);
        // Every hole where the solver folds it to, square to its flange.
        let found = measure(&bytes).unwrap();
        let frame = &solved.frame;
        let own = |v: Vec3| Vec3::new(v.dot(frame.u), v.dot(frame.v), v.dot(frame.w));
        for hole in &solved.holes {
            let folded = hole.folded.unwrap();
            let (at, way) = (own(folded.at - frame.origin), own(folded.normal));
            let off = found.cylinders.iter().filter(|face| (face.radius - 2.5).abs() < 1e-9).map(|face| {
                let beside = face.origin - at;
                (beside - way * beside.dot(way)).length() + face.axis.cross(way).length()
            });
            near(off.fold(f64::INFINITY, f64::min), 0.0, 1e-9, "axis of a hole");
        }
    }
}

/// Faces counted by hand: two sides of two flanges and of a bend between, two ends, and two sides of three walls each;
/// a hole in each flange.
#[test]
fn bends_are_cylinders_of_both_radii() {
    let bends = vec![bend(80.0, FRAC_PI_2, true, 6.0, 0.41)];
    let solved = solve(&bent([200.0, 50.0], 4.0, bends, &[[30.0, 25.0], [150.0, 25.0]]));
    let found = measure(&built(&solved, ((200.0 - 12.0 + FRAC_PI_2 * 8.0) * 50.0 - PI / 2.0 * 25.0) * 4.0)).unwrap();
    let mut radii: Vec<f64> = found.cylinders.iter().map(|face| face.radius).collect();
    radii.sort_by(f64::total_cmp);
    assert_eq!((found.planes.len(), radii, found.others.len()), (4 + 2 + 6, vec![2.5, 2.5, 6.0, 10.0], 0));
}

/// A flange on each of two neighbouring sides, and one beyond the first: each turns with the bends that carry it alone.
#[test]
fn flanges_on_two_sides_and_one_beyond() {
    let mut spec = bent([1.0, 1.0], 3.0, Vec::new(), &[]);
    let corners = [[0.0, 0.0], [300.0, 0.0], [300.0, 60.0], [100.0, 60.0], [100.0, 150.0], [0.0, 150.0]];
    spec.plates[0].outline = Outline { corners: corners.map(|[x, y]| Vec2::new(x, y)).to_vec(), radius: 0.0 };
    let level = [Vec2::new(-1.0, 110.0), Vec2::new(101.0, 110.0)];
    let mut up = bend(0.0, FRAC_PI_2, true, 3.0, 0.41);
    (up.name, up.line) = ("level".into(), level);
    spec.plates[0].bends = vec![bend(130.0, 1.0, true, 3.0, 0.41), bend(220.0, 0.7, false, 5.0, 0.41), up];
    let solved = solve(&spec);
    let bent = |angle: f64, face: f64, inside: f64| angle * (inside + 1.5) - 2.0 * face * (angle / 2.0).tan();
    let area = 300.0 * 60.0 + 100.0 * 90.0 + 60.0 * (bent(1.0, 3.0, 3.0) + bent(0.7, 8.0, 5.0));
    built(&solved, 3.0 * (area + 100.0 * bent(FRAC_PI_2, 3.0, 3.0)));
}

/// Sides that run askew through the bend are ruled there; what the bend stretches is its area on the flat pattern.
#[test]
fn a_tapered_flange_is_ruled_through_its_bend() {
    let mut spec = bent([1.0, 1.0], 3.0, Vec::new(), &[]);
    let corners = [[0.0, 0.0], [150.0, 20.0], [150.0, 60.0], [0.0, 90.0]];
    spec.plates[0].outline = Outline { corners: corners.map(|[x, y]| Vec2::new(x, y)).to_vec(), radius: 0.0 };
    spec.plates[0].bends = vec![bend(80.0, 1.2, true, 5.0, 0.41)];
    let solved = solve(&spec);
    let bend = &solved.bends[0];
    let wide = |[p, q]: [Vec2; 2]| (q - p).length();
    let strip = f64::midpoint(wide(bend.tangents[0]), wide(bend.tangents[1])) * bend.allowance;
    let volume = 3.0 * (solved.area - strip) + 3.0 * strip / bend.allowance * 1.2 * 6.5;
    let found = measure(&built(&solved, volume)).unwrap();
    assert_eq!(found.others, ["ruled face", "ruled face"]);
}

/// A slot right through the bend is ruled where its ends are; it takes what lies under it.
#[test]
fn an_opening_may_lie_in_a_bend() {
    let mut solved = solve(&bent([200.0, 60.0], 3.0, vec![bend(80.0, FRAC_PI_2, true, 5.0, 0.41)], &[]));
    let (begins, ends) = (solved.bends[0].tangents[0][0].x, solved.bends[0].tangents[1][0].x);
    let (low, high) = (begins - 10.0, ends + 10.0);
    let corners = [[low, 20.0], [high, 20.0], [high, 40.0], [low, 40.0]];
    let outline = corners.map(|[x, y]| Vertex::straight(Vec2::new(x, y))).to_vec();
    let centre = Vec2::new(f64::midpoint(low, high), 30.0);
    solved.openings.push(OpeningResult { name: "window".into(), centre, outline, ..OpeningResult::default() });
    solved.area -= 20.0 * (high - low);
    built(&solved, 3.0 * (60.0 * (200.0 - 10.0 + FRAC_PI_2 * 6.5) - 20.0 * (20.0 + FRAC_PI_2 * 6.5)));
}

/// Each change to the plan, and the line that must name it.
#[test]
fn the_culprit_is_named() {
    let bends = vec![bend(80.0, FRAC_PI_2, true, 6.0, 0.41)];
    let solved = solve(&bent([200.0, 50.0], 4.0, bends, &[[30.0, 25.0], [150.0, 25.0]]));
    let bytes = step::write(&plate::solid(&solved).unwrap(), &meta(Unit::Inch)).unwrap();
    assert_eq!(audited(&solved, Unit::Inch, &bytes), Vec::<String>::new());
    let named = |change: &dyn Fn(&mut PlateResult), what: &str| {
        let mut changed = solved.clone();
        change(&mut changed);
        let lines = audited(&changed, Unit::Inch, &bytes);
        assert!(lines.iter().any(|line| line.contains(what)), "{what}: {lines:#?}");
    };
    named(&|p| p.bends[0].angle += 1e-6, "flange at 80, drawn face");
    named(&|p| p.bends[0].inside += 2e-6, "bend at 80, inside");
    named(&|p| p.bends[0].up = false, "bend at 80, outside");
    named(&|p| p.holes[1].centre.x += 2e-6, "hole");
    named(&|p| p.outline[0].at.x += 2e-6, "outline, corners missed");
    named(&|p| p.thick += 2e-6, "back");
}

/// The handbook's channel of `bends.rs` (FAA-H-8083-31, from memory) has legs of 1.00 in and a base of 2.00 in over the
/// outside, and straights 0.80, 1.60 and 0.80 in; bent down from the drawn face the legs end 1.00 in under it. Bent up,
/// the stated lengths are those inside, and the outside is one thickness longer a bend (plane geometry).
#[test]
fn seen_along_its_bends() {
    const INCH: f64 = 25.4;
    let (r, t) = (0.16 * INCH, 0.040 * INCH);
    for (up, outside, inner) in [(false, [1.0, 2.0, 1.0], t), (true, [1.04, 2.08, 1.04], 0.0)] {
        let bends = vec![bend(INCH, FRAC_PI_2, up, r, 0.44), bend(3.0 * INCH, FRAC_PI_2, up, r, 0.44)];
        let solved = solve(&bent([4.0 * INCH, 2.0 * INCH], t, bends, &[[3.5 * INCH, INCH]]));
        let lengths = profile::lengths(&solved);
        // A stays, B and C begin at the bends: leg, base, leg.
        for ((length, drawn), outside) in lengths.iter().zip([1.0, 2.0, 1.0]).zip(outside) {
            near(length.drawn.unwrap(), drawn * INCH, 1e-9, "drawn face");
            near(length.outside.unwrap(), outside * INCH, 1e-9, "outside");
        }
        near(lengths[0].straight, INCH - r - inner, 1e-9, "straight of the first leg");
        near(lengths[1].straight, 2.0 * (INCH - r - inner), 1e-9, "straight of the base");
        let [view] = &profile::profiles(&solved)[..] else { panic!("one view") };
        assert_eq!((view.flanges.len(), view.bends.len(), view.others.len()), (3, 2, 0));
        // With the first leg level and its drawn face up, the base stands upright and the last leg lies over it.
        let [leg, base, last] = &view.flanges[..] else { panic!("three flanges") };
        let run = |ends: [Vec2; 2]| ends[1] - ends[0];
        near(run(leg.ends).y, 0.0, 1e-9, "first leg level");
        near(run(base.ends).x, 0.0, 1e-9, "base upright");
        let way = if up { 1.0 } else { -1.0 };
        let level = leg.ends[0].y;
        near((last.ends[0].y - level) * way, 2.0 * INCH, 1e-9, "from leg to leg on the drawn face");
        assert_eq!(last.holes.len(), 1);
    }
}

/// A tray's two bends run two ways: a view along each, in which the other's flange is seen from its face.
#[test]
fn bends_two_ways_have_two_views() {
    let mut other = bend(0.0, FRAC_PI_2, true, 3.0, 0.41);
    other.line = [Vec2::new(-1.0, 50.0), Vec2::new(1000.0, 50.0)];
    other.name = "upper".into();
    let mut spec = bent([60.0, 60.0], 2.0, vec![bend(50.0, FRAC_PI_2, true, 3.0, 0.41), other], &[]);
    let corners = [[0.0, 0.0], [60.0, 0.0], [60.0, 40.0], [40.0, 40.0], [40.0, 60.0], [0.0, 60.0]];
    spec.plates[0].outline = Outline { corners: corners.map(Vec2::from).to_vec(), radius: 0.0 };
    let solved = solve(&spec);
    let views = profile::profiles(&solved);
    let seen: Vec<_> = views.iter().map(|view| (view.bends.len(), view.flanges.len(), view.others.len())).collect();
    assert_eq!(seen, [(1, 2, 1), (1, 2, 1)]);
}

//! Plates as sheets with their openings cut, flat and bent.
//!
//! Places and distances are worked out by hand beside each check.

use yokeline::check::Status;
use yokeline::geometry::distance::{Convex, Solid, closest_of};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::pipeline;
use yokeline::solve::outline::path;
use yokeline::solve::plate_metal::{STRAY, plate_solids};
use yokeline::solve::solve;

use super::p;
use crate::common::{HERON, read};

fn gap(solids: &[Solid], at: Vec3) -> f64 {
    closest_of(&Convex::Ball { centre: at, radius: 0.0 }, solids).unwrap().gap
}

/// What is wanted, or up to what chords and their cover take off it.
#[track_caller]
fn holds(solids: &[Solid], at: Vec3, wanted: f64) {
    let found = gap(solids, at);
    assert!(found <= wanted + 1e-6 && found >= wanted - 2.0 * STRAY - 1e-6, "found {found}, expected {wanted}");
}

#[test]
fn a_plate_is_metal_but_for_its_openings() {
    let spec = read(HERON);
    let (solution, _) = solve(&spec).unwrap();
    let index = spec.plates.iter().position(|plate| plate.name == "firewall").unwrap();
    let result = &solution.plates[index];
    let solids = plate_solids(result);
    let frame = &result.frame;
    let at = |q: Vec2, w: f64| frame.origin + frame.u * q.x + frame.v * q.y + frame.w * w;
    let edge = path(&result.openings[0].outline).unwrap().flattened(0.001);
    let outer = path(&result.outline).unwrap().flattened(0.001);
    let within = |loop_: &[Vec2], q: Vec2| {
        let sides = loop_.iter().zip(loop_.iter().cycle().skip(1));
        let crossed = sides
            .filter(|(a, b)| (a.y > q.y) != (b.y > q.y))
            .filter(|(a, b)| a.x + (b.x - a.x) * (q.y - a.y) / (b.y - a.y) > q.x);
        crossed.count() % 2 == 1
    };
    let to_chord = |q: Vec2, a: Vec2, b: Vec2| {
        let t = ((q - a).dot(b - a) / (b - a).dot(b - a)).clamp(0.0, 1.0);
        (q - a - (b - a) * t).length()
    };
    let from_edge = |q: Vec2| {
        let sides = edge.iter().zip(edge.iter().cycle().skip(1));
        sides.map(|(a, b)| to_chord(q, *a, *b)).fold(f64::INFINITY, f64::min)
    };
    let (mut metal, mut open) = (0, 0);
    for i in 0..30 {
        for k in 0..30 {
            let (low, high) = path(&result.outline).unwrap().bounds();
            let q = low
                + Vec2::new(
                    (high.x - low.x) * (f64::from(i) + 0.5) / 30.0,
                    (high.y - low.y) * (f64::from(k) + 0.5) / 30.0,
                );
            let middle = at(q, -0.5 * result.thick);
            if within(&edge, q) {
                open += 1;
                let (found, wanted) = (gap(&solids, middle), from_edge(q));
                assert!(found <= wanted + 0.002 && found >= wanted - 2.0 * STRAY - 0.002, "{q:?}: {found} {wanted}");
            } else if within(&outer, q) {
                metal += 1;
                assert!(gap(&solids, middle) <= 1e-9, "{q:?}");
                holds(&solids, at(q, 7.0), 7.0);
                holds(&solids, at(q, -result.thick - 7.0), 7.0);
            }
        }
    }
    assert!(metal > 250 && open > 8, "{metal} {open}");
}

/// A plate in the plane y = 0, u along x, v along z, w toward -y; bent up by 90 degrees at u = 70, inside radius 5, 4 thick.
///
/// The drawn face is the inside: flat to u = 65, round (65, w 5), then the face u = 70 from w = 5 up to 30.
#[test]
fn a_bent_plate_is_its_flanges_and_its_curve() {
    let text = format!(
        "{HERON}\n[[plate]]\nname = \"angle\"\norigin = [\"0 mm\", \"0 mm\", \"0 mm\"]\nright = [\"100 mm\", \"0 mm\", \"0 mm\"]\nup = [\"0 mm\", \"0 mm\", \"100 mm\"]\n\
         outline = {{ rectangle = [\"100 mm\", \"60 mm\"] }}\nthick = \"4 mm\"\n\
         [[plate.bend]]\nname = \"knee\"\nline = [[\"70 mm\", 0], [\"70 mm\", \"60 mm\"]]\nangle = \"90 deg\"\nway = \"up\"\ninside = \"5 mm\"\n"
    );
    let spec = read(&text);
    let (solution, _) = solve(&spec).unwrap();
    let index = spec.plates.iter().position(|plate| plate.name == "angle").unwrap();
    let solids = plate_solids(&solution.plates[index]);
    let w = solution.plates[index].frame.w;
    let at = |u: f64, up: f64| p(u, 0.0, 30.0) + w * up;
    // Over the flat, before the flange, in the curve's centre, and outside it at 45 degrees.
    holds(&solids, at(40.0, 10.0), 10.0);
    holds(&solids, at(40.0, -14.0), 10.0);
    holds(&solids, at(62.0, 22.0), 8.0);
    holds(&solids, at(84.0, 22.0), 10.0);
    holds(&solids, at(65.0, 5.0), 5.0);
    let slant = 20.0 / 2.0_f64.sqrt();
    holds(&solids, at(65.0 + slant, 5.0 - slant), 20.0 - 9.0);
    // Past the flange's end: 25 past the curve at w = 30.
    holds(&solids, at(72.0, 41.0), 11.0);
}

#[test]
fn a_shaft_too_near_a_plate_is_told_and_its_own_opening_is_not() {
    let at = |y: &str| {
        format!(
            "{HERON}\n[[plate]]\nname = \"heat shield\"\norigin = [8, {y}, 8]\nright = [14, {y}, 8]\nup = [8, {y}, 12]\n\
             outline = {{ rectangle = [5, 4] }}\nthick = \"1/16 in\"\nneed = \"1/2 in\"\n"
        )
    };
    let judged = |text: &str| pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let near = judged(&at("-10.0"));
    let row =
        near.solution.clearances.iter().find(|r| r.obstacle == "heat shield" && r.part == "intermediate").unwrap();
    let finding = near.findings.iter().find(|f| f.subject == "intermediate to heat shield").unwrap();
    assert_eq!(finding.status, if row.gap < 12.7 { Status::Fail } else { Status::Pass }, "{finding:?}");
    assert_eq!(finding.source, "the plate's need in the spec");
    // The firewall is open round the shaft: the opening's own clearance is what counts there.
    let firewall = near.spec.plates.iter().find(|plate| plate.name == "firewall").unwrap();
    for opening in &firewall.openings {
        let name = near.spec.body_name(opening.around);
        assert!(!near.solution.clearances.iter().any(|r| r.obstacle == "firewall" && r.part == name));
    }
}

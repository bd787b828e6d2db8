//! Column mounts: every part of bracket and clamp against the tube, the face and the bolts it is for.
//!
//! The flat patterns are folded here again, by walking along each from straight to arc; the tube, the face and the bolts'
//! axes must then be where the spec has them. Nothing of the program's own folding is used.

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use yokeline::check::{self, Finding, Status};
use yokeline::geometry::{Vec2, Vec3};
use yokeline::pipeline::{self, Solved};
use yokeline::solve::solution::{MountResult, PlateResult};
use yokeline::solve::twin;

use crate::common::HERON;

const END: Vec3 = Vec3::new(24.543 * 25.4, -15.030 * 25.4, 10.753 * 25.4);
const TOWARD: Vec3 = Vec3::new(54.410 * 25.4, -16.690 * 25.4, 24.690 * 25.4);
const TUBE: f64 = 25.4;

fn up_the_column() -> Vec3 {
    (TOWARD - END).unit().unwrap()
}

/// The roadster's linkage alone, with this under its column.
fn text(mount: &str) -> String {
    let alone = HERON.split("# Left rail, taped").next().unwrap();
    let with = alone.replacen("tube    = \"2 in\"", &format!("tube    = \"2 in\"\n{mount}\n#"), 1);
    // The rest of the column's table stands before the mount's tables.
    assert_ne!(with, alone);
    with
}

fn solve(mount: &str) -> Solved {
    let text = text(mount);
    match pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) {
        Ok(solved) => solved,
        Err(errors) => panic!("{errors:#?}\n{mount}"),
    }
}

fn refused(mount: &str) -> Vec<String> {
    let text = text(mount);
    let Err(errors) = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) else { return Vec::new() };
    errors.into_iter().map(|error| format!("{}: {}", error.code, error.message)).collect()
}

fn point(p: Vec3) -> String {
    format!("[\"{:?} mm\", \"{:?} mm\", \"{:?} mm\"]", p.x, p.y, p.z)
}

/// A face by a point and its normal, and the mount's other keys.
struct Face {
    origin: Vec3,
    normal: Vec3,
}

impl Face {
    /// Under or beside the column at a place of it: `lean` (deg) between axis and face, turned about the axis by `spin`
    /// (deg), the axis `drop` off it.
    fn beside(at: f64, lean: f64, spin: f64, drop: f64) -> Self {
        let a = up_the_column();
        let any = a.cross(Vec3::new(0.3, -0.9, 0.2)).unit().unwrap().turned(a, spin.to_radians());
        let (s, c) = lean.to_radians().sin_cos();
        let normal = a * s + any * c;
        Self { origin: END + a * at - normal * drop, normal }
    }

    fn keys(&self) -> String {
        let u = self.normal.cross(Vec3::new(0.11, 0.23, -0.97)).unit().unwrap();
        let v = self.normal.cross(u);
        let origin = self.origin + u * 37.0 - v * 11.0;
        format!("origin = {}\nright = {}\nup = {}", point(origin), point(origin + u * 200.0), point(origin + v * 150.0))
    }

    fn height(&self, p: Vec3) -> f64 {
        (p - self.origin).dot(self.normal)
    }
}

fn mount<'a>(solved: &'a Solved, name: &str) -> &'a MountResult {
    solved.solution.mounts.iter().find(|mount| mount.name == name).unwrap()
}

fn plate<'a>(solved: &'a Solved, name: &str) -> &'a PlateResult {
    solved.solution.plates.iter().find(|plate| plate.name == name).unwrap()
}

/// One piece of a folded profile: where it starts, its direction, the drawn face's normal there.
#[derive(Clone, Copy, Debug)]
struct Step {
    at: Vec3,
    ahead: Vec3,
    normal: Vec3,
}

/// Where a flange begins on the flat (v), and folded.
type Flange = (f64, Step);

/// Walks along +v of a flat pattern at u: on from straight to arc. Answers where each flange begins, with its v on the flat,
/// and each arc's centre and the drawn face's radius.
fn walk(plate: &PlateResult, u: f64) -> (Vec<Flange>, Vec<(Vec3, f64)>) {
    let lowest = plate.outline.iter().map(|vertex| vertex.at.y).fold(f64::INFINITY, f64::min);
    assert!(lowest > -1e-9, "a pattern that starts at zero");
    let mut here = Step { at: plate.frame.origin + plate.frame.u * u, ahead: plate.frame.v, normal: plate.frame.w };
    let (mut flanges, mut arcs) = (vec![(0.0, here)], Vec::new());
    let mut v = 0.0;
    for bend in &plate.bends {
        let [low, high] = bend.tangents.map(|[p, q]| {
            assert!((p.y - q.y).abs() < 1e-9, "a bend across");
            p.y
        });
        let straight = here.at + here.ahead * (low - v);
        let turn = bend.angle.to_radians();
        // Length of the neutral line, the usual formula.
        assert!((high - low - turn * (bend.inside + bend.k * plate.thick)).abs() < 1e-9, "bend allowance");
        // The drawn face is the inside of a bend toward the viewer.
        let radius = if bend.up { bend.inside } else { bend.inside + plate.thick };
        let out = if bend.up { here.normal } else { -here.normal };
        let centre = straight + out * radius;
        let hinge = here.ahead.cross(out);
        let turned = |v: Vec3| v.turned(hinge, turn);
        here = Step { at: centre + turned(straight - centre), ahead: turned(here.ahead), normal: turned(here.normal) };
        v = high;
        flanges.push((v, here));
        arcs.push((centre, radius));
    }
    (flanges, arcs)
}

fn from_axis(p: Vec3) -> f64 {
    let a = up_the_column();
    let d = p - END;
    (d - a * d.dot(a)).length()
}

fn near(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() < 1e-6, "{what}: found {found}, wanted {wanted}");
}

/// Every part of one mount.
fn proved(solved: &Solved, face: &Face, name: &str, sheet: [f64; 2]) {
    let [thick, strap] = sheet;
    let a = up_the_column();
    let found = mount(solved, name);
    let tab = plate(solved, &format!("{name} tab"));
    let bolts: Vec<_> = solved.solution.bolts.iter().filter(|bolt| found.bolts.contains(&bolt.name)).collect();
    let on_axis = |name: &str, p: Vec3| {
        let bolt = bolts.iter().find(|bolt| bolt.name == name).unwrap_or_else(|| panic!("no bolt {name}"));
        let d = p - bolt.from;
        (d - bolt.axis * d.dot(bolt.axis)).length()
    };
    // The clamp: its round is the tube, its ears lie apart by tab and squeeze, its holes on the bolts.
    let mut ears = Vec::new();
    for half in [1, 2] {
        let strip = plate(solved, &format!("{name} clamp half {half}"));
        near(strip.thick, strap, "sheet of the clamp");
        let (flanges, arcs) = walk(strip, 0.0);
        let (centre, radius) = arcs[1];
        near(from_axis(centre), 0.0, "the round's centre on the column's axis");
        near(radius, TUBE, "the round's radius");
        near((centre - END).dot(a), found.at - found.width / 2.0, "the clamp's edge along the column");
        near(strip.bends[1].angle, found.wrap, "wrap");
        assert_eq!(strip.holes.len() % 2, 0);
        for hole in &strip.holes {
            let (start, flange) = flanges.iter().rev().find(|(v, _)| *v <= hole.centre.y).unwrap();
            let at = flange.at + flange.ahead * (hole.centre.y - start) + a * hole.centre.x;
            near(on_axis(&hole.name, at), 0.0, &format!("{} of half {half} on its bolt", hole.name));
            let folded = hole.folded.as_ref().unwrap();
            near((folded.at - at).length(), 0.0, "where the program says it is once bent");
            near(flange.normal.cross(bolts[0].axis).length(), 0.0, "ear square to its bolt");
            ears.push((at, flange.normal));
        }
    }
    let across = bolts[0].axis;
    let offsets: Vec<f64> = ears.iter().map(|(at, _)| (*at - END).dot(across).abs()).collect();
    for offset in offsets {
        near(2.0 * offset, thick + found.squeeze, "between the ears");
    }
    // The tab: in the plane of the axis, off the tube, its foot flat on the face.
    near(tab.frame.w.cross(across).length(), 0.0, "the tab square to the clamp's bolts");
    near((tab.frame.origin - END).dot(tab.frame.w), thick / 2.0, "the tab in the middle");
    let bend = &tab.bends[0];
    near(bend.angle, 90.0, "foot");
    let high = bend.tangents.iter().flatten().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
    for vertex in tab.outline.iter().filter(|vertex| vertex.at.y >= high - 1e-6) {
        let at = tab.frame.origin + tab.frame.u * vertex.at.x + tab.frame.v * vertex.at.y;
        assert!(from_axis(at - tab.frame.w * (thick / 2.0)) > TUBE + 2.0 - 1e-6, "the tab off the tube: {at:?}");
        assert!(face.height(at) > 0.0);
    }
    near(tab.frame.v.cross(face.normal).length(), 0.0, "the tab upright on the face");
    let mut feet = 0;
    for hole in &tab.holes {
        let folded = hole.folded.as_ref().unwrap();
        near(on_axis(&hole.name, folded.at), 0.0, &hole.name);
        if hole.name.contains("foot") {
            feet += 1;
            // Fold the foot here: a quarter turn toward the viewer about the inside radius.
            let low = bend.tangents.iter().flatten().map(|p| p.y).fold(f64::INFINITY, f64::min);
            let start = tab.frame.origin + tab.frame.u * hole.centre.x + tab.frame.v * high;
            let centre = start + tab.frame.w * bend.inside;
            let at = centre - tab.frame.v * bend.inside + tab.frame.w * (low - hole.centre.y);
            near((folded.at - at).length(), 0.0, "the foot's hole");
            near(face.height(at), thick, "the foot on the face");
            near((folded.normal - face.normal).length(), 0.0, "the foot flat");
        }
    }
    assert_eq!(feet, 2);
    near(found.drop, face.height(END + a * found.at), "drop");
    near(found.lean, a.dot(face.normal).abs().asin().to_degrees(), "lean");
    if let Some(toward) = found.wedge_toward {
        near(toward.dot(face.normal), 0.0, "the wedge's thick side in the face");
        // Put the wedge on the face: its upper side must be square to the column, or along it.
        let (s, c) = found.wedge.to_radians().sin_cos();
        let top = face.normal * c - toward * s;
        let off = if found.wedge_for == "square" { top.cross(a).length() } else { top.dot(a) };
        near(off, 0.0, "the wedge's upper side");
    }
    if name == "floor" {
        let plate = plate(solved, "floor plate");
        near((plate.frame.w - face.normal).length(), 0.0, "the plate drawn from the column's side");
        near(face.height(plate.frame.origin), 0.0, "the plate on the face");
        for foot in 1..=2 {
            let name = format!("floor foot bolt {foot}");
            let hole = plate.holes.iter().find(|hole| hole.name == name).unwrap();
            let at = plate.frame.origin + plate.frame.u * hole.centre.x + plate.frame.v * hole.centre.y;
            near(on_axis(&name, at), 0.0, "the plate's hole under the foot's");
        }
        // The foot stands on metal: its corners lie on the plate, clear of the opening.
        let opening = &plate.openings[0];
        let uv = |p: Vec3| {
            let d = p - plate.frame.origin;
            Vec2::new(d.dot(plate.frame.u), d.dot(plate.frame.v))
        };
        let size = plate
            .outline
            .iter()
            .map(|vertex| vertex.at)
            .fold(Vec2::default(), |m, p| Vec2::new(m.x.max(p.x), m.y.max(p.y)));
        let lowest = tab.outline.iter().map(|vertex| vertex.at.y).fold(f64::INFINITY, f64::min);
        let long = tab.outline.iter().map(|vertex| vertex.at).filter(|p| p.y < high).map(|p| p.x).fold(0.0, f64::max);
        let low = bend.tangents.iter().flatten().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let start = tab.frame.origin + tab.frame.v * (high - bend.inside - thick) - tab.frame.w * thick;
        let out = thick + bend.inside + (low - lowest);
        for (x, y) in [(0.0, 0.0), (long, 0.0), (long, out), (0.0, out)] {
            let p = uv(start + tab.frame.u * x + tab.frame.w * y);
            assert!(p.x > 0.0 && p.y > 0.0 && p.x < size.x && p.y < size.y, "the foot on the plate: {p:?} in {size:?}");
            let d = (p - opening.centre).turned(-opening.angle.to_radians());
            let inside = (d.x / (opening.major / 2.0)).powi(2) + (d.y / (opening.minor / 2.0)).powi(2);
            assert!(inside > 1.0, "the foot off the opening");
        }
    }
    // Where the face is drawn a joint may stand in its plate's way: that is told, and is not what is looked at here.
    let other = ["mount-clear", "clearance"];
    let own = |row: &&Finding| row.subject.contains(&format!("{name} ")) && !other.contains(&row.rule.as_str());
    let rows = check::run(&solved.spec, &solved.solution);
    let bad: Vec<_> = rows.iter().filter(own).filter(|row| row.status != Status::Pass).collect();
    assert!(bad.is_empty(), "{bad:#?}");
}

const DASH: &str = "[column.mount]\nkeep_clear = { from = \"6 in\", to = \"12 in\" }\n[column.mount.dash]\nthick = \"3/16 in\"\nstrap = \"1/8 in\"\nbolt = \"5/16 normal\"\n";

#[test]
fn a_dash_bracket_and_clamp_fit_tube_and_face() {
    for (lean, spin, drop) in
        [(0.0, 90.0, 120.0), (25.0, 90.0, 130.0), (25.0, 200.0, 90.0), (60.0, 10.0, 140.0), (90.0, 0.0, 80.0)]
    {
        let face = Face::beside(508.0, lean, spin, drop);
        let solved = solve(&format!("{DASH}at = \"20 in\"\n{}", face.keys()));
        proved(&solved, &face, "dash", [4.7625, 3.175]);
        let found = mount(&solved, "dash");
        near(found.wedge, if lean > 45.0 { 90.0 - lean } else { lean }, "wedge");
        assert_eq!(found.wedge_toward.is_some(), lean > 0.0 && lean < 90.0);
        near(found.clear_by.unwrap(), 508.0 - 19.05 - 304.8, "free tube");
        // One drawing does for both halves, and none for tab and half.
        let twins: Vec<Vec<&str>> =
            (0..solved.solution.plates.len()).map(|i| twin::twins(&solved.solution, i)).collect();
        assert_eq!(twins, [vec![], vec!["dash clamp half 2"], vec!["dash clamp half 1"]]);
    }
}

/// Mounts drawn at random: columns to any face, tubes' sheets and bolts of many sizes.
#[test]
fn mounts_drawn_at_random_fit() {
    let mut rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[23; 32]);
    let mut unit = move || (rng.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
    let mut made = 0;
    for round in 0..32 {
        let floor = round % 2 == 1;
        let lean = if floor { 25.0 + 65.0 * unit() } else { 90.0 * unit() };
        let at = 300.0 + 200.0 * unit();
        let face = Face::beside(at, lean, 360.0 * unit(), 60.0 + 150.0 * unit());
        let thick = 3.0 + 3.0 * unit();
        let strap = 2.0 + 1.5 * unit();
        let width = 34.0 + 50.0 * unit();
        let bolt = ["M6 medium", "M8 medium", "5/16 normal", "1/4 close"][round % 4];
        let name = if floor { "floor" } else { "dash" };
        let plate = if floor { "plate = { thick = \"3 mm\", clearance = \"6 mm\" }\n" } else { "" };
        let keys = format!(
            "[column.mount.{name}]\nat = \"{at:?} mm\"\nthick = \"{thick:?} mm\"\nstrap = \"{strap:?} mm\"\nwidth = \"{width:?} mm\"\nbolt = \"{bolt}\"\n{plate}{}",
            face.keys()
        );
        let text = text(&keys);
        match pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) {
            Ok(solved) => {
                proved(&solved, &face, name, [thick, strap]);
                made += 1;
            }
            Err(errors) => {
                let all: Vec<_> = errors.iter().map(|error| error.code).collect();
                assert_eq!(all, ["bad-mount"], "{errors:#?}");
                assert!(errors[0].message.contains("the face"), "only a clamp too near is refused here: {errors:#?}");
            }
        }
    }
    assert!(made >= 24, "{made} of 32");
}

/// The clamp's place is judged against the tube that must stay free.
#[test]
fn a_clamp_on_tube_that_slides_fails() {
    let face = Face::beside(508.0, 20.0, 90.0, 120.0);
    let judged = |clear: &str| {
        let solved = solve(&format!(
            "{clear}\n[column.mount.dash]\nthick = \"3/16 in\"\nstrap = \"1/8 in\"\nbolt = \"5/16 normal\"\nat = \"20 in\"\n{}",
            face.keys()
        ));
        let rows = check::run(&solved.spec, &solved.solution);
        rows.into_iter().find(|row| row.rule == "mount-clear").unwrap().status
    };
    let clear =
        |from: &str, to: &str| judged(&format!("[column.mount]\nkeep_clear = {{ from = \"{from}\", to = \"{to}\" }}"));
    // The clamp takes 19.25 to 20.75 in.
    assert_eq!(clear("6 in", "19 in"), Status::Pass);
    assert_eq!(clear("6 in", "19.2 in"), Status::Warn);
    assert_eq!(clear("6 in", "19.3 in"), Status::Fail);
    assert_eq!(clear("20.7 in", "25 in"), Status::Fail);
    assert_eq!(clear("20 in", "20.1 in"), Status::Fail);
    assert_eq!(clear("21 in", "25 in"), Status::Pass);
    assert_eq!(judged("[column.mount]"), Status::Open);
}

/// One bolt is drilled through foot, plate and whatever else lies behind the face.
#[test]
fn the_foot_bolts_go_through_what_is_behind_the_face() {
    let face = Face::beside(330.0, 62.0, 90.0, 150.0);
    let keys = |reach: &str| {
        format!(
            "[column.mount.floor]\nat = \"330 mm\"\nthick = \"4 mm\"\nstrap = \"3 mm\"\nbolt = \"M8 medium\"\n{reach}plate = {{ thick = \"3 mm\", clearance = \"6 mm\" }}\n{}",
            face.keys()
        )
    };
    let grips = |reach: &str| {
        let solved = solve(&keys(reach));
        let bolt = solved.solution.bolts.iter().find(|bolt| bolt.name == "floor foot bolt 1").unwrap().clone();
        (bolt.passes.len(), bolt.grip)
    };
    let (passes, grip) = grips("");
    assert_eq!(passes, 2);
    near(grip, 7.0, "foot and plate");
}

#[test]
fn what_cannot_be_made_is_told() {
    let face = Face::beside(508.0, 20.0, 90.0, 120.0);
    let dash = |keys: &str| {
        refused(&format!("[column.mount.dash]\nthick = \"3/16 in\"\nbolt = \"5/16 normal\"\n{keys}\n{}", face.keys()))
    };
    let one = |found: Vec<String>, wanted: &str| {
        assert!(found.len() == 1 && found[0].contains(wanted), "{wanted}: {found:?}");
    };
    one(dash("at = \"2 in\""), "the tube begins at 2.250 in");
    one(dash("at = \"40 in\""), "`toward` is");
    one(dash("at = \"20 in\"\nstrap = \"1 in\""), "too thick to be bent round this tube");
    one(dash("at = \"20 in\"\nwidth = \"3/4 in\""), "too narrow for its bolts");
    let close = Face::beside(508.0, 20.0, 90.0, 45.0);
    one(
        refused(&format!(
            "[column.mount.dash]\nat = \"20 in\"\nthick = \"3/16 in\"\nbolt = \"5/16 normal\"\n{}",
            close.keys()
        )),
        "through the face",
    );
    one(refused("[column.mount]\nkeep_clear = { from = 1, to = 2 }"), "neither `dash` nor `floor`");
    one(
        refused(&format!(
            "[column.mount.floor]\nat = \"20 in\"\nthick = \"3/16 in\"\nstrap = \"1/8 in\"\nbolt = \"5/16 normal\"\nplate = {{ thick = 0.1, clearance = 0.25 }}\n{}",
            Face::beside(508.0, 10.0, 90.0, 150.0).keys()
        )),
        "20 deg or more is wanted",
    );
    one(
        refused(&format!(
            "[column.mount.floor]\nat = \"20 in\"\nthick = \"3/16 in\"\nstrap = \"1/8 in\"\nbolt = \"5/16 normal\"\nplate = {{ thick = 0.1, clearance = 0.25, size = [3, 3] }}\n{}",
            Face::beside(508.0, 60.0, 90.0, 150.0).keys()
        )),
        "`size` is too small",
    );
}

//! Bolts through several plates and rails.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use yokeline::audit::{self, AuditReport};
use yokeline::check::{Finding, Status};
use yokeline::drawing::{Item, Role, Sheet, notch, rail_drill};
use yokeline::geometry::Vec2;
use yokeline::model;
use yokeline::pipeline::{self, Solved};
use yokeline::solve::solution::BoltResult;
use yokeline::solve::{rail_hole, rail_part};

use crate::common::HERON;

const INCH: f64 = 25.4;

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}");
}

/// The roadster with two upright plates across the car, 1/4 and 1/2 in thick, faces at x = 10 and x = 9, and a bolt.
fn with(bolt: &str) -> Solved {
    pipeline::solve("linkage.toml", text(bolt).as_bytes(), &mut |_| ()).unwrap()
}

fn text(bolt: &str) -> String {
    let plates = r#"
[[plate]]
name    = "near"
origin  = [10, 0, 10]
right   = [10, 5, 10]
up      = [10, 0, 15]
outline = { rectangle = [5, 5] }
thick   = 0.25
[[plate]]
name    = "far"
origin  = [9, 0.5, 10.25]
right   = [9, 5, 10.25]
up      = [9, 0.5, 15]
outline = { rectangle = [5, 5] }
thick   = 0.5
[[bolt]]
name = "long bolt"
bolt = "5/16 normal"
"#;
    format!("{HERON}{plates}{bolt}\n")
}

/// Every file of the package as the audit finds it.
fn audited(bolt: &str) -> AuditReport {
    let made = pipeline::make(text(bolt).as_bytes(), &with(bolt), &mut |_| ()).unwrap();
    audit::audit(&made.into_iter().map(|file| (file.path, file.bytes)).collect())
}

fn only(solved: &Solved) -> &BoltResult {
    let [bolt] = &solved.solution.bolts[..] else { panic!("one bolt") };
    bolt
}

fn square(findings: &[Finding]) -> Status {
    findings.iter().find(|row| row.rule == "bolt-square").unwrap().status
}

/// Worked out by hand: holes at (2, 2) and (1.5, 1.75) in, from x = 10 to x = 8.5 a grip of 1.5 in; with two washers of
/// 0.083, a nut of 0.273 and two threads of 1/18 in that wants 2.05 in: a bolt of 2 1/4 in.
#[test]
fn two_plates() {
    let solved = with("from = [12, 2, 12]\nto = [5, 2, 12]");
    let bolt = only(&solved);
    let found: Vec<(&str, f64, f64)> = bolt.passes.iter().map(|pass| (pass.part.as_str(), pass.u, pass.v)).collect();
    assert_eq!(found.len(), 2);
    for ((part, u, v), (name, wanted)) in found.into_iter().zip([("near", [2.0, 2.0]), ("far", [1.5, 1.75])]) {
        assert_eq!(part, name);
        near(u, wanted[0] * INCH, 1e-9, "u");
        near(v, wanted[1] * INCH, 1e-9, "v");
    }
    near(bolt.grip, 1.5 * INCH, 1e-9, "grip");
    near(bolt.length.unwrap(), 2.25 * INCH, 1e-9, "length");
    for plate in &solved.solution.plates[2..] {
        let hole = plate.holes.last().unwrap();
        assert_eq!((hole.name.as_str(), hole.kind.as_str(), hole.drill.as_str()), ("long bolt", "bolt", "11/32 in"));
        near(hole.diameter, 11.0 / 32.0 * INCH, 1e-12, "clearance hole");
        let circle = PI / 4.0 * hole.diameter * hole.diameter;
        near(plate.area, 25.0 * INCH * INCH - circle, 1e-6, "net area");
    }
    let order = solved.solution.order.iter().find(|line| line.what.contains("long bolt")).unwrap();
    assert_eq!((order.item.as_str(), order.quantity), ("bolt", 1));
    near(order.length.unwrap(), 2.25 * INCH, 1e-9, "length in the order list");
    assert_eq!(square(&solved.findings), Status::Pass);
    // By a direction it is the same bolt; short of the far plate it passes the near one alone.
    let same = with("from = [12, 2, 12]\nalong = [-1, 0, 0]\nreach = 7");
    assert_eq!(only(&same).passes, bolt.passes);
    let short = with("from = [12, 2, 12]\nto = [9.3, 2, 12]");
    assert_eq!(only(&short).passes.len(), 1);
}

/// A drill goes in square, so the hole lies where the axis passes the middle of the thickness.
#[test]
fn a_leaning_bolt() {
    let lean = 3_f64.to_radians();
    let solved = with(&format!("from = [12, 2, 12]\nalong = [-1, {}, 0]\nreach = 7", lean.tan()));
    let bolt = only(&solved);
    for (pass, (middle, zero)) in bolt.passes.iter().zip([(9.875, 0.0), (8.75, 0.5)]) {
        near(pass.u, (2.0 + (12.0 - middle) * lean.tan() - zero) * INCH, 1e-9, "u");
        near(pass.slant, 3.0, 1e-9, "slant");
    }
    near(bolt.grip, 1.5 * INCH / lean.cos(), 1e-9, "grip");
    assert_eq!(square(&solved.findings), Status::Warn);
}

/// Across the left rail, 4 by 2 in with 0.24 in corners, 2 in under its top: its first point lies at x = 30 in, and v
/// counts clockwise from the middle of the top right corner's arc (plane geometry).
#[test]
fn both_walls_of_a_rail() {
    let solved = with("from = [20, -9, 4]\nto = [20, -15, 4]");
    let bolt = only(&solved);
    let (r, half_arc) = (0.24, 0.24 * PI / 4.0);
    let girth = 2.0 * (4.0 + 2.0) - 8.0 * r + 2.0 * PI * r;
    let wanted = [half_arc + 2.0 - r, girth - (half_arc + (2.0 - 2.0 * r) + 2.0 * half_arc + 2.0 - r)];
    assert_eq!(bolt.passes.len(), 2);
    for (pass, v) in bolt.passes.iter().zip(wanted) {
        assert_eq!((pass.kind.as_str(), pass.part.as_str()), ("rail", "left rail"));
        near(pass.u, 10.0 * INCH, 1e-9, "along the rail");
        near(pass.v, v * INCH, 1e-9, "round the rail");
    }
    near(bolt.grip, 2.0 * INCH, 1e-9, "grip");
    near(bolt.length.unwrap(), 2.75 * INCH, 1e-9, "length");
    // Into one wall alone: the wall's 0.120 in, and a fourth more from a plate beside the rail counts with the gap.
    let one = with("from = [20, -9, 4]\nto = [20, -11, 4]");
    near(only(&one).grip, 0.120 * INCH, 1e-9, "grip of one wall");
}

/// A bolt through both walls, far from the notch, one through a wall beside it, and one through what the notch leaves
/// of a wall on one side alone.
const IN_THE_RAIL: &str = r#"
from = [20, -9, 4]
to   = [20, -15, 4]
[[bolt]]
name = "beside the notch"
bolt = "1/4 normal"
from = [16.2, -9, 4.9]
to   = [16.2, -11.5, 4.9]
[[bolt]]
name = "where the notch is"
bolt = "1/4 normal"
from = [12.5, -9, 5.5]
to   = [12.5, -15, 5.5]
"#;

/// Where keyed paths of a sheet stand (mm), by their key.
fn places(sheets: &[Sheet], role: Role) -> Vec<(String, Vec2, Vec2)> {
    let items = sheets.iter().flat_map(|sheet| &sheet.items);
    let keyed = items.filter_map(|item| match item {
        Item::Line(line) if line.role == role => Some((line.key.clone()?, line.path.bounds())),
        _ => None,
    });
    keyed.map(|(key, (low, high))| (key, (low + high) * 0.5, high - low)).collect()
}

/// Which paper shows which hole; its centre from the L against the place worked out by hand.
#[test]
fn holes_of_a_rail_on_paper() {
    let solved = with(IN_THE_RAIL);
    let Solved { spec, solution, .. } = &solved;
    let rail = &solution.rails[0];
    let holes: Vec<(String, f64)> =
        rail_hole::holes(solution, rail).into_iter().map(|hole| (hole.bolt, hole.at.x / INCH)).collect();
    let names: Vec<&str> = holes.iter().map(|(name, _)| name.as_str()).collect();
    // The notch takes the right wall where the last bolt comes in.
    assert_eq!(names, ["long bolt", "long bolt", "beside the notch", "where the notch is"]);
    let shown = |sheets: &[Sheet]| -> Vec<String> {
        let drilled = places(sheets, Role::Drill).into_iter().map(|(key, ..)| key);
        drilled.filter(|key| key.starts_with("hole.")).collect()
    };
    let notch = notch::sheets(spec, solution, 0);
    assert_eq!(shown(&notch[..1]), ["hole.3"]);
    let [far, by] = [0, 1].map(|paper| rail_drill::sheets(spec, solution, 0, paper));
    assert_eq!(shown(&far[..1]), ["hole.1", "hole.2"]);
    assert_eq!(shown(&by[..1]), ["hole.4"]);
    assert!(rail_drill::sheets(spec, solution, 0, 2).is_empty());
    // Cut file: u right, v down, zero 7 in along from the mark at 6.5 in; 5.1 in and the corner's half arc round.
    let cut = notch::cut_sheet(spec, solution, 0).unwrap();
    let found = places(std::slice::from_ref(&cut), Role::Drill);
    let [(key, centre, size)] = &found[..] else { panic!("{found:?}") };
    assert_eq!(key, "hole.3");
    near(size.x, 9.0 / 32.0 * INCH, 1e-9, "1/4 in, normal fit, ASME B18.2.8 (from memory)");
    let zero = cut.items.iter().find_map(|item| match item {
        Item::Line(line) if line.key.as_ref().is_some_and(|key| key.starts_with("datum")) => {
            Some((line.key.clone()?, line.path.runs().nth(1)?.0))
        }
        _ => None,
    });
    let (key, zero) = zero.unwrap();
    let away: f64 = key.strip_prefix("datum.").unwrap().parse().unwrap();
    near(centre.x - zero.x + away, (30.0 - 16.2 - 6.5) * INCH, 1e-3, "along from the mark");
    near(zero.y - centre.y, (0.24 * PI / 4.0 + 6.0 - 4.9 - 0.24) * INCH, 1e-9, "round from zero");
}

/// The rail's volume falls by a cylinder for each hole; every file of the package is as solved.
#[test]
fn holes_of_a_rail_in_its_solid() {
    let solved = with(IN_THE_RAIL);
    let rail = &solved.solution.rails[0];
    let cuts = rail_part::cuts(&solved.solution, rail);
    let undrilled: Vec<_> = cuts.iter().filter(|cut| !cut.drilled).cloned().collect();
    let [with, without] = [&cuts, &undrilled].map(|cuts| model::rail::solid(rail, cuts).unwrap().volume());
    let circle = |inch: f64| PI / 4.0 * inch * inch * INCH * INCH * 0.120 * INCH;
    let drilled = 2.0 * circle(11.0 / 32.0) + 2.0 * circle(9.0 / 32.0);
    near(without - with, drilled, 1e-6, "what the drills take");
    let report = audited(IN_THE_RAIL);
    assert!(report.good(), "{:#?}", report.lines.iter().filter(|line| !line.good).collect::<Vec<_>>());
    let measured = |part: &str| report.lines.iter().filter(|line| line.what.contains(part)).count();
    assert!(measured("hole 3, bolt beside the notch, centre across") >= 2, "template and cut file");
    assert!(measured("hole 2, bolt long bolt, centre up") >= 1, "drilling template");
}

/// Near an end, into a corner, into another hole.
#[test]
fn holes_of_a_rail_are_judged() {
    let of = |bolt: &str| with(bolt).findings.into_iter().find(|row| row.rule == "rail-hole").unwrap();
    assert_eq!(of("from = [20, -9, 4]\nto = [20, -11.5, 4]").status, Status::Pass);
    // 11/32 in: half an inch wants 1.5 diameters, 0.516 in.
    assert_eq!(of("from = [29.5, -9, 4]\nto = [29.5, -11.5, 4]").status, Status::Warn);
    assert_eq!(of("from = [29.9, -9, 4]\nto = [29.9, -11.5, 4]").status, Status::Fail);
    let corner = with("from = [20, -9, 5.8]\nto = [20, -11.5, 5.8]");
    let says = corner.findings.iter().any(|row| row.rule == "rail-hole" && row.message.contains("wholly on a flat"));
    assert!(says && !rail_part::is_made(&corner.solution, &corner.solution.rails[0]));
    let crossed = "\n[[bolt]]\nname = \"second\"\nbolt = \"5/16 normal\"\nfrom = [20, -9, 4.2]\nto = [20, -11.5, 4.2]";
    assert_eq!(of(&format!("from = [20, -9, 4]\nto = [20, -11.5, 4]{crossed}")).status, Status::Fail);
}

/// Under a doubler the hole goes through that too, and the rule says so.
#[test]
fn a_hole_under_a_doubler_is_told() {
    // The doublers reach one depth of the rail, 4 in, past the notch on either side; the notch begins 15.3 in along.
    let solved = with("from = [17, -9, 3.5]\nto = [17, -11.5, 3.5]");
    let says: Vec<&str> =
        solved.findings.iter().filter(|row| row.rule == "rail-hole").map(|row| row.message.as_str()).collect();
    assert!(says.iter().any(|message| message.contains("doubler of \"left rail notch\" on the right")), "{says:?}");
}

/// Papers and solid of a rail drilled elsewhere, put into the package: each is refused at the hole.
#[test]
fn a_hole_moved_is_found() {
    let [right, wrong] = ["4", "3.996"].map(|z| format!("from = [20, -9, {z}]\nto = [20, -11.5, {z}]"));
    let other = pipeline::make(text(&wrong).as_bytes(), &with(&wrong), &mut |_| ()).unwrap();
    let spoiled = ["print/drill-left-rail.pdf", "solids/rail-left-rail.step"];
    let mut files: BTreeMap<String, Vec<u8>> = other
        .into_iter()
        .filter(|file| spoiled.contains(&file.path.as_str()))
        .map(|file| (file.path, file.bytes))
        .collect();
    files.insert("linkage.toml".into(), text(&right).into_bytes());
    let report = audit::audit(&files);
    let named = |file: &str, what: &str| {
        report.lines.iter().any(|line| !line.good && line.file == file && line.what.contains(what))
    };
    assert!(named(spoiled[0], "hole 1, bolt long bolt, centre up"));
    assert!(named(spoiled[1], "edges of notches, off the outline to cut"));
}

//! Reading a spec: the roadster, bad specs with their whole output, and what must hold for any text.

use std::fmt::Write as _;
use std::path::Path;

use yokeline::check::{self, Status};
use yokeline::cli::diagnose;
use yokeline::diagnostic::Diagnostic;
use yokeline::pipeline;
use yokeline::spec::types::*;
use yokeline::spec::{self, LimitKey, LimitKind, Source, Spec};

/// The roadster's spec, as the examples have it.
const HERON: &str = include_str!("../examples/heron-roadster/linkage.toml");

/// Rules whose limits a spec may set, as the table of rules would hand them in.
const LIMITS: &[LimitKey] = &[
    LimitKey { code: "end-clearance", kind: LimitKind::Length },
    LimitKey { code: "phase", kind: LimitKind::Angle },
    LimitKey { code: "yield-margin", kind: LimitKind::Number },
];

fn read(text: &str) -> Result<(Spec, Vec<Diagnostic>), Vec<Diagnostic>> {
    spec::read(Source { name: "linkage.toml", text }, LIMITS)
}

/// The roadster with one stretch of its text replaced.
fn heron_with(old: &str, new: &str) -> String {
    assert!(HERON.contains(old), "{old}");
    HERON.replacen(old, new, 1)
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9 * (1.0 + b.abs())
}

/// Numbers worked out by hand from the text: an inch is 25.4 mm exactly.
#[test]
fn the_roadster_reads_without_warnings() {
    let (spec, warnings) = read(HERON).unwrap();
    assert_eq!(warnings, []);
    assert_eq!(spec.build.units, Unit::Inch);
    assert_eq!(spec.build.date, "2026-03-14");
    assert!(close(spec.column.end.x, 623.3922) && close(spec.column.exposed, 57.15));
    assert!(close(spec.column.axis.length(), 1.0));
    // Down the column: forward, to the right, down.
    assert!(spec.column.axis.x < 0.0 && spec.column.axis.y > 0.0 && spec.column.axis.z < 0.0);
    // Into the gear: forward, to the right, down.
    assert!(spec.gear.axis.x < 0.0 && spec.gear.axis.y > 0.0 && spec.gear.axis.z < 0.0);
    assert_eq!(spec.joints.iter().map(|joint| joint.name.as_str()).collect::<Vec<_>>(), ["upper", "lower"]);
    assert!(close(spec.joints[0].limit, std::f64::consts::PI / 6.0));
    assert!(close(spec.joints[1].lower.gap(spec.gear.groove), (1.6 - 0.95) * 25.4));
    assert_eq!(spec.shafts[0].length_tolerance, Some(0.5));
    assert_eq!(spec.wheel_torque, Some(60.0));
    assert_eq!(spec.rails[0].edge, Edge::Corner(Face::Top, Face::Right));
    assert_eq!(spec.notches[0].datum, Some(0));
    assert_eq!(spec.plates.len(), 2);
    // Four holes on 3 3/8 in, the first at 45 degrees.
    let r = 3.375 * 25.4 / 2.0 / 2f64.sqrt();
    let at = spec.plates[1].holes[0].at[0].centre;
    assert!(close(at.x, 4.72 * 25.4 + r) && close(at.y, 6.33 * 25.4 + r));
    assert!(spec.unmeasured.iter().all(|value| value.what.contains("flats of \"dd-3/4\"")), "{:?}", spec.unmeasured);
}

/// What `check` would say of a spec: every error, or its warnings and every judgement beyond limit.
fn said(name: &str, bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let lookup = |_: &str| Some(&*text);
    match pipeline::solve(name, bytes, &mut |_| ()) {
        Ok(solved) => {
            let mut output = diagnose::render(&solved.warnings, &lookup, false);
            for finding in solved.findings.iter().filter(|finding| finding.status == Status::Fail) {
                writeln!(output, "FAIL  {}: {}\n      [{}]", finding.subject, finding.message, finding.rule).unwrap();
            }
            output
        }
        Err(errors) => diagnose::render(&errors, &lookup, false),
    }
}

/// Every file of `tests/spec_errors/` with its whole output beside it: what reading finds, else solving, else the
/// rules. `YOKELINE_BLESS=1` writes the outputs anew.
#[test]
fn bad_specs_say_what_is_wrong() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/spec_errors");
    let bless = std::env::var_os("YOKELINE_BLESS").is_some();
    let mut files: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    files.sort();
    assert!(files.len() >= 60);
    let mut wrong = Vec::new();
    for path in files {
        let name = path.file_name().unwrap().to_str().unwrap();
        let output = said(name, &std::fs::read(&path).unwrap());
        assert!(!output.is_empty(), "{name} says nothing");
        let expected = path.with_extension("txt");
        if bless {
            std::fs::write(&expected, &output).unwrap();
        } else if std::fs::read_to_string(&expected).unwrap_or_default() != output {
            wrong.push(format!("{name} now says:\n{output}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What later tests build by hand is what the example says.
#[test]
fn the_roadster_is_the_one_the_other_tests_use() {
    let (read, _) = read(HERON).unwrap();
    let hand = crate::common::heron();
    let near = |a: yokeline::geometry::Vec3, b: yokeline::geometry::Vec3| (a - b).length() < 1e-9;
    for (a, b) in [(&read.column, &hand.column), (&read.gear, &hand.gear)] {
        assert!(near(a.end, b.end) && near(a.axis, b.axis));
        assert!(close(a.form.diameter(), b.form.diameter()) && a.form.is_double_d() == b.form.is_double_d());
        assert_eq!((a.groove.is_some(), a.tube.is_some()), (b.groove.is_some(), b.tube.is_some()));
    }
    for (a, b) in read.joints.iter().zip(&hand.joints) {
        for (a, b) in [(&a.upper, &b.upper), (&a.lower, &b.lower)] {
            assert!(close(a.reach, b.reach) && close(a.depth, b.depth) && a.ears == b.ears);
            assert_eq!(a.screws().len(), b.screws().len());
            for (a, b) in a.screws().iter().zip(b.screws()) {
                assert!(
                    close(a.at, b.at) && close(a.dimple.depth, b.dimple.depth) && close(a.dimple.drill, b.dimple.drill)
                );
                assert_eq!((a.point, a.on, a.spot, a.jam), (b.point, b.on, b.spot, b.jam));
            }
        }
    }
    assert_eq!(read.notches[0].bodies, hand.notches[0].bodies);
    assert!(near(read.rails[0].along[0], hand.rails[0].along[0]) && read.rails[0].edge == hand.rails[0].edge);
}

/// The keys of `[limits]`, from the table of rules.
fn limits_in_words() -> String {
    let mut text = "### `[limits]`\n\nA limit of your own in place of a rule's, by the rule's code. A rule of habit \
        only warns; with a limit of your own it fails.\n\n\
        | key | value | without it | meaning |\n| --- | --- | --- | --- |\n"
        .to_string();
    for rule in check::rules::RULES {
        let Some(limit) = rule.limit else { continue };
        let (kind, unit) = match limit.kind {
            LimitKind::Length => ("a length", " mm"),
            LimitKind::Angle => ("an angle", " deg"),
            LimitKind::Number => ("a number", ""),
        };
        let default = limit.default.map_or("depends on the part".to_string(), |value| format!("{value}{unit}"));
        writeln!(text, "| `{}` | {kind} | {default} | {} |", rule.code, rule.title).unwrap();
    }
    text
}

/// The page users read is written from the tables that decode.
#[test]
fn the_grammar_page_is_what_is_decoded() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/README.md");
    let page = std::fs::read_to_string(&path).unwrap();
    let (words, _) = page.split_once("### `the spec`").expect("the page has its tables");
    let whole = format!("{words}{}{}", spec::keys::markdown(), limits_in_words());
    if std::env::var_os("YOKELINE_BLESS").is_some() {
        std::fs::write(&path, whole).unwrap();
    } else {
        assert!(page == whole, "templates/README.md is not what the key tables say; YOKELINE_BLESS=1 writes it anew");
    }
}

#[test]
fn the_starter_reads_without_warnings() {
    let (spec, warnings) = read(include_str!("../templates/rack.toml")).unwrap();
    assert_eq!(warnings, []);
    assert_eq!(spec.joints.len(), 2);
}

/// A part's keys lie under the user's; what of them was never measured is listed.
#[test]
fn a_catalogue_part_fills_in_what_the_user_leaves_out() {
    let start = HERON.find("name  = \"lower\"").unwrap();
    let end = HERON.find("[[shaft]]").unwrap();
    let part = "name = \"lower\"\npart = \"single-3/4\"\nswing = \"1.6 in\"\n[joint.lower]\n\
        fits = { serrated = { teeth = 36, diameter = \"0.75 in\" } }\n\
        pinch = { at = \"0.40 in\", bolt = \"5/16-18\", offset = \"0.47 in\" }\n\n";
    let text = format!("{}{part}{}", &HERON[..start], &HERON[end..]);
    let (spec, _) = read(&text).unwrap();
    let lower = &spec.joints[1];
    assert!(close(lower.swing, 1.6 * 25.4) && close(lower.hub, 1.75 * 25.4));
    // The user's pinch bolt takes the place of the part's screw, the serrated hole that of the double-D and its ears.
    assert!(matches!(lower.lower.hold, Hold::Pinch(_)));
    assert_eq!(lower.lower.ears, None);
    assert_eq!(lower.upper.ears, Some(0.0));
    let keys: Vec<&str> =
        spec.unmeasured.iter().map(|value| value.key.as_str()).filter(|key| key.starts_with("joint.1")).collect();
    assert_eq!(
        keys,
        [
            "joint.1.hub",
            "joint.1.upper.fits",
            "joint.1.upper.reach",
            "joint.1.upper.depth",
            "joint.1.upper.ears",
            "joint.1.upper.screws",
            "joint.1.lower.reach",
            "joint.1.lower.depth",
        ]
    );
    // The place of a value taken from a part is the part's name.
    let place = spec.place("joint.1.lower.depth").unwrap();
    assert_eq!(&text[place.span], "\"single-3/4\"");
}

/// Four quarter arcs in place of eight legs: girth = 2(h + w) − (8 − 2π) r, plain geometry.
#[test]
fn a_girth_gives_the_corner_radius() {
    let girth = 2.0 * (4.0 + 2.0) - (8.0 - 2.0 * std::f64::consts::PI) * 0.24;
    let text = heron_with("corner = \"0.24 in\"", &format!("girth = \"{girth:.9} in\""));
    let (spec, _) = read(&text).unwrap();
    let Section::Tube { corner, .. } = spec.rails[0].section else { panic!("no tube") };
    assert!((corner - 0.24 * 25.4).abs() < 1e-6, "{corner}");
}

/// The order of the two faces, and of the points of a rail, mean nothing.
#[test]
fn an_edge_may_be_named_in_either_order() {
    let (spec, _) = read(&heron_with("\"top right\"", "\"right top\"")).unwrap();
    assert_eq!(spec.rails[0].edge, Edge::Corner(Face::Top, Face::Right));
}

#[test]
fn inner_joints_have_a_centre_and_their_own_shafts() {
    let start = HERON.find("[[joint]]").unwrap();
    let middle = HERON[start..].find("\n[[joint]]").unwrap() + start;
    let joint = HERON[start..middle]
        .replace("\"upper\"", "\"middle\"")
        .replace("[joint.upper]", "centre = [16, -12, 7]\n[joint.upper]");
    let shaft = "[[shaft]]\nname = \"second\"\nstock = \"dd-3/4\"\nmaterial = \"1018-cold-drawn\"\n\n";
    let text =
        format!("{}\n{joint}{}", &HERON[..middle], &HERON[middle..]).replace("[load]", &format!("{shaft}[load]"));
    let (spec, _) = read(&text).unwrap();
    assert_eq!((spec.joints.len(), spec.shafts.len()), (3, 2));
    assert!(close(spec.joints[1].centre.unwrap().x, 16.0 * 25.4));
    // 12.7 mm from either end, class m: 0.2 mm. ISO 2768-1, Table 1 (from memory).
    assert!(close(spec.shafts[1].station_tolerance, 0.2));
    assert_eq!(spec.shafts[1].length_tolerance, None);
}

/// Spot sizes: depth = (d/2) / tan(A/2), plain geometry; at 118 degrees 0.30043031 d.
#[test]
fn a_drill_of_its_own_goes_to_its_full_mouth() {
    let screw = "thread = \"5/16-18\", point = \"cone\", jam = true }]";
    let own = "thread = \"5/16-18\", point = \"cone\", jam = true, dimple = { drill = \"118 deg\" } }]";
    let text = heron_with(screw, own) + "\n[dimple]\ndiameter = \"6 mm\"\n";
    let (spec, _) = read(&text).unwrap();
    let first = spec.joints[0].upper.screws()[0].dimple;
    assert!((first.depth - 0.300_430_31 * 6.0).abs() < 1e-6 && close(first.diameter, 6.0));
    let second = spec.joints[0].lower.screws()[0].dimple;
    assert!(close(second.depth, 3.0) && close(second.drill, std::f64::consts::FRAC_PI_2));
}

#[test]
fn a_grooved_serrated_shaft_is_never_dimpled_unasked() {
    let text = heron_with(
        "pinch = { at = \"0.40 in\", bolt = \"5/16-18\", offset = \"0.47 in\" }",
        "screws = [{ at = \"0.5 in\", thread = \"5/16-18\", point = \"cup\" }]",
    );
    let (spec, _) = read(&text).unwrap();
    let screw = &spec.joints[1].lower.screws()[0];
    assert_eq!((screw.spot, screw.on), (Spot::None, Side::Round));
}

#[test]
fn limits_are_kept_in_the_units_inside() {
    let (spec, _) =
        read(&format!("{HERON}\n[limits]\nend-clearance = \"1/8 in\"\nphase = 90\nyield-margin = 2\n")).unwrap();
    assert!(close(spec.limits["end-clearance"], 3.175));
    assert!(close(spec.limits["phase"], std::f64::consts::FRAC_PI_2));
    assert!(close(spec.limits["yield-margin"], 2.0));
}

#[test]
fn a_bearing_cap_gives_the_reach() {
    let (spec, _) = read(&heron_with("reach  = \"1.60 in\"", "reach = { cap = [\"1.35 in\", \"1.85 in\"] }")).unwrap();
    assert!(close(spec.joints[0].upper.reach, 1.6 * 25.4));
}

#[test]
fn either_second_point_makes_the_same_axis() {
    let (a, _) = read(HERON).unwrap();
    // As far down the axis as `toward` lies up it, without the tube that runs up to `toward`.
    let down = "beyond = [-5.324, -13.370, -3.184]";
    let text = heron_with("toward  = [54.410, -16.690, 24.690]", down).replacen("tube    = \"2 in\"", "", 1);
    let (b, _) = read(&text).unwrap();
    assert!((a.column.axis - b.column.axis).length() < 1e-12);
}

#[test]
fn a_file_over_a_mebibyte_is_refused_unread() {
    let errors = read(&"#".repeat(spec::LARGEST + 1)).unwrap_err();
    assert_eq!(errors[0].code, "too-large");
    assert_eq!(spec::read_bytes("x", &vec![b'#'; spec::LARGEST + 1], LIMITS).unwrap_err()[0].code, "too-large");
}

#[test]
fn a_flood_of_errors_is_counted_not_shown() {
    let text = (0..1000).map(|i| format!("wrong{i} = 1")).collect::<Vec<_>>().join("\n");
    let errors = read(&text).unwrap_err();
    let shown = diagnose::render(&errors, &|_| Some(text.as_str()), false);
    assert!(shown.contains(&format!("{} more are not shown", errors.len() - 200)));
    assert_eq!(diagnose::rows(&errors, &|_| Some(text.as_str())).len(), errors.len());
}

/// A line no hand wrote is named, not copied out for every error on it.
#[test]
fn an_endless_line_is_not_shown() {
    let text = format!("{HERON}\n[limits]\nwrong = [{}]\n", "1, ".repeat(3000));
    let errors = read(&text).unwrap_err();
    let shown = diagnose::render(&errors, &|_| Some(text.as_str()), false);
    assert!(shown.contains("linkage.toml:") && shown.len() < 2000, "{shown}");
}

#[test]
fn stems_are_fit_for_files() {
    assert_eq!(stem("Left rail, upper (1/2 in)"), "left-rail-upper-1-2-in");
    assert_eq!(stem("../../etc/passwd"), "etc-passwd");
    assert_eq!(stem("--"), "");
}

#[test]
fn json_rows_count_lines_and_columns_in_characters() {
    let text = heron_with("title     = \"Heron roadster: steering linkage\"", "title = \"é\"\nvehicel = \"é\"");
    let errors = read(&text).unwrap_err();
    let rows = diagnose::rows(&errors, &|_| Some(text.as_str()));
    let line = text.lines().position(|line| line.starts_with("vehicel")).unwrap() + 1;
    assert_eq!((rows[0].line, rows[0].column, rows[0].code), (Some(line), Some(1), "unknown-key"));
    assert!(serde_json::to_string(&rows).unwrap().contains("\"file\":\"linkage.toml\""));
}

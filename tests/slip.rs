//! Slip shafts: how their members are cut, built and judged.

use std::f64::consts::PI;

use proptest::prelude::*;
use yokeline::audit;
use yokeline::check::{self, Status, rules};
use yokeline::pipeline;
use yokeline::solve::solution::Solution;
use yokeline::spec::{self, Source};

use crate::common::read;

const SLIP: &str = r#"
format = 1
build = { title = "slip", units = "mm" }
[column]
end = [700, 300, 500]
toward = [1000, 300, 620]
form = { dd = { diameter = 19.05, flats = 14.0 } }
exposed = 60
[gear]
end = [200, 360, 180]
beyond = [450, 300, 340]
form = { serrated = { teeth = 36, diameter = 20.6 } }
exposed = 40
[[joint]]
name = "upper"
swing = 40
hub = 46
limit = "45 deg"
upper = { fits = { dd = { diameter = 19.05, flats = 14.0 } }, reach = 41, depth = 25, ears = "parallel" }
lower = { fits = { dd = { diameter = 19.05, flats = 14.0 } }, reach = 41, depth = 25, ears = "parallel", screws = [{ at = 12, thread = "M8x1.25", point = "cone" }] }
[[joint]]
name = "lower"
swing = 44
hub = 52
limit = "45 deg"
upper = { fits = { dd = { diameter = 27.0, flats = 22.0 } }, reach = 44, depth = 28, ears = "parallel", screws = [{ at = 14, thread = "M8x1.25", point = "cup", dimple = { drill = "118 deg", diameter = 6, depth = 1.5 } }] }
lower = { fits = { serrated = { teeth = 36, diameter = 20.6 } }, reach = 41, depth = 25 }
[[shaft]]
name = "slide"
stock = { dd = { diameter = 19.05, flats = 14.0 } }
material = "1045-cold-drawn"
slip = { outer = { dd = { diameter = 27.0, flats = 22.0 } }, fits = { dd = { diameter = 19.1, flats = 14.1 } }, outer_end = "lower", extend = 20, collapse = 60, least_overlap = 50 }
[load]
wheel_torque = "70 N m"
"#;

fn solved(text: &str) -> Solution {
    yokeline::solve::solve(&read(text)).unwrap_or_else(|errors| panic!("{errors:#?}")).0
}

/// A member's lengths from the two conditions alone: at full extension the stated overlap is left, and both members
/// have the same room to collapse.
#[test]
fn members_meet_what_is_asked() {
    let solution = solved(SLIP);
    let shaft = &solution.shafts[0];
    let [upper, lower] = &shaft.members[..] else { panic!("two members") };
    assert_eq!((upper.name.as_str(), lower.name.as_str()), ("inner", "outer"));
    let slip = shaft.slip.as_ref().unwrap();
    let extended = shaft.cut_length + 20.0;
    assert!((upper.cut_length + lower.cut_length - extended - 50.0).abs() < 1e-9);
    // The inner member stops at the 28 mm the outer one's hub clamps, the outer at the inner one's hub of 25 mm.
    let inner_room = shaft.cut_length - upper.cut_length - 28.0;
    let outer_room = shaft.cut_length - lower.cut_length - 25.0;
    assert!((inner_room - outer_room).abs() < 1e-9 && (inner_room - slip.collapse_room).abs() < 1e-9);
    assert!(slip.collapse_room >= 60.0);
    assert!((lower.from + lower.cut_length - shaft.cut_length).abs() < 1e-9);
    // Spots count from the end they are at.
    assert!((upper.dimples[0].z - 13.0).abs() < 1e-9 && (lower.dimples[0].z - (lower.cut_length - 14.0)).abs() < 1e-9);
    // Flat of the tube 11 mm off the axis, flat of the hole 7.05, the spot 1.5 deep.
    assert!((lower.least_wall.unwrap() - (11.0 - 1.5 - 7.05)).abs() < 1e-9);
    assert_eq!(upper.least_wall, None);
}

/// The same shaft with its outer member at the column's end.
#[test]
fn the_outer_member_may_be_at_either_end() {
    let swapped = SLIP
        .replacen(
            "lower = { fits = { dd = { diameter = 19.05, flats = 14.0 } }",
            "lower = { fits = { dd = { diameter = 27.0, flats = 22.0 } }",
            1,
        )
        .replacen(
            "screws = [{ at = 12, thread = \"M8x1.25\", point = \"cone\" }]",
            "pinch = { at = 12, bolt = \"M8x1.25\", offset = 13.2 }",
            1,
        )
        .replacen(
            "upper = { fits = { dd = { diameter = 27.0, flats = 22.0 } }",
            "upper = { fits = { dd = { diameter = 19.05, flats = 14.0 } }",
            1,
        )
        .replace("outer_end = \"lower\"", "outer_end = \"upper\"");
    let solution = solved(&swapped);
    let names: Vec<_> = solution.shafts[0].members.iter().map(|member| member.name.as_str()).collect();
    assert_eq!(names, ["outer", "inner"]);
    packaged(&swapped);
}

fn packaged(text: &str) {
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let made = pipeline::make(text.as_bytes(), &solved, &mut |_| ()).unwrap_or_else(|error| panic!("{error:#?}"));
    let files = made.into_iter().map(|file| (file.path, file.bytes)).collect();
    let proof = audit::audit(&files);
    let bad: Vec<_> = proof.lines.iter().filter(|line| !line.good).collect();
    assert!(bad.is_empty(), "{bad:#?}");
    for member in ["inner", "outer"] {
        for path in [format!("solids/shaft-slide-{member}.step"), format!("drawings/shaft-slide-{member}.pdf")] {
            assert!(files.contains_key(&path), "{path}");
        }
    }
}

/// One solid and one drawing a member, and the audit measures both; volumes from the sections (two circular segments
/// off a circle, any handbook of geometry).
#[test]
fn each_member_has_its_own_files() {
    packaged(SLIP);
    let spec = read(SLIP);
    let solution = solved(SLIP);
    let area = |d: f64, f: f64| {
        let (r, a) = (d / 2.0, (f / d).acos());
        PI * r * r - r * r * (2.0 * a - (2.0 * a).sin())
    };
    let members = yokeline::solve::member::members(&spec, &solution, 0);
    let volume = |i: usize| yokeline::model::shaft::member(&members[i]).unwrap().volume();
    // A spot is a cone, π d² depth / 12: cone point to its seat, and 118 deg to 1.5 mm.
    let cone = |dimple: &yokeline::solve::solution::Dimple| PI * dimple.diameter.powi(2) * dimple.depth / 12.0;
    let inner = area(19.05, 14.0) * members[0].length - cone(&members[0].dimples[0]);
    let outer = (area(27.0, 22.0) - area(19.1, 14.1)) * members[1].length - cone(&members[1].dimples[0]);
    assert!((volume(0) / inner - 1.0).abs() < 1e-12 && (volume(1) / outer - 1.0).abs() < 1e-12);
}

#[test]
fn a_slip_is_judged() {
    let status = |text: &str, rule: &str| {
        let spec = read(text);
        let (solution, _) = yokeline::solve::solve(&spec).unwrap();
        let findings = check::run(&spec, &solution);
        let found: Vec<_> = findings.into_iter().filter(|f| f.rule == rule).map(|f| (f.status, f.message)).collect();
        assert!(!found.is_empty(), "{rule}");
        found
    };
    assert!(status(SLIP, "slip").iter().all(|(status, _)| *status == Status::Pass));
    // 2.45 mm of wall is enough, 0.45 mm is thin.
    assert!(status(SLIP, "dimple-wall").iter().all(|(status, _)| *status == Status::Pass));
    let deep = SLIP.replace("diameter = 6, depth = 1.5", "diameter = 6, depth = 3.5");
    assert_eq!(status(&deep, "dimple-wall")[0].0, Status::Warn);
    // With its screw lost a member slides out of its hub: the advice is a groove.
    let captive = status(SLIP, "captive");
    let advised =
        |(status, message): &(Status, String)| *status == Status::Warn && message.contains("pinch bolt in a groove");
    assert!(captive.iter().filter(|row| advised(row)).count() >= 2, "{captive:#?}");
    // The play of the slide is judged where its hole was measured, and open where it was not.
    let slides = |text: &str| status(text, "free-play").into_iter().last().unwrap().0;
    assert_eq!(slides(SLIP), Status::Pass);
    assert_eq!(slides(&SLIP.replace("fits = { dd = { diameter = 19.1, flats = 14.1 } }, ", "")), Status::Open);
    // asin(15.1 / 19.05) − asin(14 / 19.05) = 5.1 deg (geometry of the section).
    assert_eq!(slides(&SLIP.replace("flats = 14.1", "flats = 15.1")), Status::Warn);
    // Without a slip there is nothing to say.
    let spec = crate::common::heron();
    let (solution, _) = yokeline::solve::solve(&spec).unwrap();
    assert!(check::run(&spec, &solution).iter().all(|finding| finding.rule != "slip"));
}

fn errors(text: &str) -> Vec<(String, String)> {
    let found = spec::read(Source { name: "linkage.toml", text }, &rules::limits())
        .and_then(|(spec, _)| yokeline::solve::solve(&spec));
    let errors = found.expect_err("a spec that is refused");
    errors.iter().map(|error| (error.code.to_string(), error.message.clone())).collect()
}

#[test]
fn what_cannot_slip_is_said() {
    let refused = |from: &str, to: &str, code: &str, words: &str| {
        assert!(SLIP.contains(from), "{from}");
        let found = errors(&SLIP.replace(from, to));
        assert!(found.iter().any(|(c, m)| c == code && m.contains(words)), "{words}: {found:#?}");
    };
    refused("collapse = 60", "collapse = 300", "slip-without-room", "between its hubs; its slip needs");
    refused("least_overlap = 50", "least_overlap = 600", "slip-without-room", "least overlap 600 mm");
    refused(
        "fits = { dd = { diameter = 19.1, flats = 14.1 } }",
        "fits = { round = { diameter = 19.1 } }",
        "no-fit",
        "turns freely",
    );
    refused(
        "fits = { dd = { diameter = 19.1, flats = 14.1 } }",
        "fits = { dd = { diameter = 19.1, flats = 13.0 } }",
        "no-fit",
        "too tight",
    );
    refused(
        "fits = { dd = { diameter = 19.1, flats = 14.1 } }",
        "fits = { serrated = { teeth = 36, diameter = 19.1 } }",
        "no-fit",
        "does not fit",
    );
    refused(
        "outer = { dd = { diameter = 27.0, flats = 22.0 } }",
        "outer = { dd = { diameter = 27.0, flats = 22.0, bore = 20 } }",
        "bad-form",
        "round bore",
    );
    refused(
        "outer = { dd = { diameter = 27.0, flats = 22.0 } }",
        "outer = { dd = { diameter = 19.1, flats = 14.1 } }",
        "bad-form",
        "no wall",
    );
    refused("outer_end = \"lower\"", "outer_end = \"upper\"", "no-fit", "too tight");
    refused("outer_end = \"lower\"", "outer_end = \"middle\"", "bad-value", "\"upper\" or \"lower\"");
    refused("extend = 20, ", "", "missing-key", "no `extend`");
}

/// Flats milled on a round outer member: how they lie to the hole's is on its drawing, and in its solid.
#[test]
fn a_milled_outer_member_says_how_its_flats_lie() {
    let milled = SLIP
        .replace("outer = { dd = { diameter = 27.0, flats = 22.0 } }, fits", "outer = { round = { diameter = 28.0 } }, fits")
        .replace(
            "material = \"1045-cold-drawn\"",
            "material = \"1045-cold-drawn\"\nends = { lower = { form = { dd = { diameter = 27.0, flats = 22.0 } }, length = 34 } }\ntwist = \"30 deg\"",
        );
    packaged(&milled);
    let spec = read(&milled);
    let sheets = yokeline::drawing::shaft_member::sheets(&spec, &solved(&milled), 0, 1);
    let words: Vec<String> = sheets
        .iter()
        .flat_map(|sheet| &sheet.items)
        .filter_map(|item| if let yokeline::drawing::Item::Text(text) = item { Some(text.words.clone()) } else { None })
        .collect();
    let words = words.join(" ");
    assert!(words.contains("they lie 30.0° clockwise of the flats of the hole"), "{words}");
}

/// A splined slide: its teeth are rounds in the solids, and the phase is known to half a step only.
#[test]
fn a_splined_slide_is_certain_to_half_a_step() {
    let splined = SLIP
        .replace("stock = { dd = { diameter = 19.05, flats = 14.0 } }", "stock = { serrated = { teeth = 24, diameter = 19.05 } }")
        .replace("diameter = 6, depth = 1.5", "diameter = 6, depth = 0.8")
        .replace("fits = { dd = { diameter = 19.1, flats = 14.1 } }", "fits = { serrated = { teeth = 24, diameter = 19.1 } }")
        .replace(
            "lower = { fits = { dd = { diameter = 19.05, flats = 14.0 } }, reach = 41, depth = 25, ears = \"parallel\", screws = [{ at = 12, thread = \"M8x1.25\", point = \"cone\" }] }",
            "lower = { fits = { serrated = { teeth = 24, diameter = 19.05 } }, reach = 41, depth = 25, pinch = { at = 12, bolt = \"M8x1.25\", offset = 11.0 } }",
        );
    let twist = solved(&splined).shafts[0].twist.clone();
    assert!(!twist.certain && twist.step == Some(15.0) && (twist.off_max - 7.5).abs() < 1e-9, "{twist:?}");
    packaged(&splined);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    /// Whatever is asked: either it is refused for want of room, or overlap and travel are there.
    #[test]
    fn any_slip_holds_what_it_promises(
        extend in 0.0..80.0_f64, collapse in 0.0..200.0_f64, overlap in 10.0..200.0_f64,
    ) {
        let stated = format!("extend = {extend:?}, collapse = {collapse:?}, least_overlap = {overlap:?}");
        let text = SLIP.replace("extend = 20, collapse = 60, least_overlap = 50", &stated);
        let spec = read(&text);
        match yokeline::solve::solve(&spec) {
            Ok((solution, _)) => {
                let shaft = &solution.shafts[0];
                let total: f64 = shaft.members.iter().map(|member| member.cut_length).sum();
                prop_assert!((total - shaft.cut_length - extend - overlap).abs() < 1e-9);
                let shortest = shaft.cut_length - collapse;
                // Fully collapsed, the inner member's tip and the outer one's mouth clear the hubs.
                prop_assert!(shaft.members[0].cut_length <= shortest - 28.0 + 1e-9);
                prop_assert!(shaft.members[1].cut_length <= shortest - 25.0 + 1e-9);
            }
            Err(errors) => {
                prop_assert!(errors.iter().all(|error| error.code == "slip-without-room"), "{errors:#?}");
                let free = 533.0;
                prop_assert!(overlap + extend + 2.0 * collapse > free - 100.0);
            }
        }
    }
}

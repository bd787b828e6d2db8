//! Ends cut on round bar: the twist between their flats, their solids, what is refused.

use std::f64::consts::PI;

use proptest::prelude::*;
use yokeline::audit::AuditReport;
use yokeline::audit::step::{ShaftPlan, check};
use yokeline::audit::step_file::measure;
use yokeline::catalog::forms::FormShape;
use yokeline::export::step::{self, StepMeta};
use yokeline::geometry::Vec3;
use yokeline::model::shaft;
use yokeline::solve::identity::Identity;
use yokeline::solve::member::{CutEnd, Hole, Member};
use yokeline::solve::solution::{Dimple, End, On, Solution, SpotWhen};
use yokeline::spec::types::{StepSchema, Unit};
use yokeline::spec::{self, Source};

use crate::common::read;

const DD: FormShape = FormShape::DoubleD { diameter: 19.05, flats: 13.97, bore: None };

/// A two-joint linkage through given crosses and axes, its shaft a round bar with both ends milled.
///
/// `[p0, p1, p2, p3]`: a point up the column, both crosses, a point in the gear. Both gaps are 15 mm everywhere.
fn linkage([p0, p1, p2, p3]: [Vec3; 4], shaft: &str, hubs: [&str; 2], lower_fits: &str) -> String {
    let at = |p: Vec3| format!("[{:?}, {:?}, {:?}]", p.x, p.y, p.z);
    let (into, out) = ((p1 - p0).unit().unwrap(), (p3 - p2).unit().unwrap());
    let (end, toward) = (p1 - into * 15.0, p1 - into * 400.0);
    let (gear, beyond) = (p2 + out * 15.0, p2 - out * 400.0);
    let [upper, lower] = hubs;
    let dd = "{ dd = { diameter = 19.05, flats = 13.97 } }";
    format!(
        r#"
format = 1
build = {{ title = "milled", units = "mm" }}
[column]
end = {}
toward = {}
form = {dd}
exposed = 60
[gear]
end = {}
beyond = {}
form = {dd}
exposed = 60
[[joint]]
name = "upper"
swing = 40
limit = "45 deg"
upper = {{ fits = {dd}, reach = 40, depth = 25, ears = "parallel" }}
lower = {{ fits = {dd}, reach = 40, depth = 25, {upper} }}
[[joint]]
name = "lower"
swing = 40
limit = "45 deg"
upper = {{ fits = {lower_fits}, reach = 40, depth = 25, {lower} }}
lower = {{ fits = {dd}, reach = 40, depth = 25, ears = "parallel" }}
[[shaft]]
name = "bar"
material = "1018-cold-drawn"
{shaft}
"#,
        at(end),
        at(toward),
        at(gear),
        at(beyond)
    )
}

/// Crosses of a layout named by its angles, as the reference builds them: first shaft +x, first normal +z, each
/// following normal turned by the dihedral about the shaft (reference, section 2.6). The middle segment is 300 mm.
fn layout(angles: [f64; 2], dihedral: f64) -> [Vec3; 4] {
    let a0 = Vec3::new(1.0, 0.0, 0.0);
    let n1 = Vec3::new(0.0, 0.0, 1.0);
    let a1 = a0.turned(n1, angles[0].to_radians());
    let n2 = n1.turned(a1, dihedral.to_radians());
    let a2 = a1.turned(n2, angles[1].to_radians());
    let p1 = a0 * 100.0;
    let p2 = p1 + a1 * 300.0;
    [Vec3::default(), p1, p2, p2 + a2 * 100.0]
}

const MILLED: &str = "stock = { round = { diameter = 19.05 } }
ends = { upper = { form = { dd = { diameter = 19.05, flats = 13.97 } }, length = 30 }, lower = { form = { dd = { diameter = 19.05, flats = 13.97 } }, length = 34 } }";
const FLATTED: &str = "{ dd = { diameter = 19.05, flats = 13.97 } }";

fn solved(text: &str) -> Solution {
    let (solution, _) = yokeline::solve::solve(&read(text)).unwrap_or_else(|errors| panic!("{errors:#?}"));
    solution
}

fn errors(text: &str) -> Vec<(String, String)> {
    let found = spec::read(Source { name: "linkage.toml", text }, &yokeline::check::rules::limits())
        .and_then(|(spec, _)| yokeline::solve::solve(&spec));
    let errors = found.expect_err("a spec that is refused");
    errors.iter().map(|error| (error.code.to_string(), error.message.clone())).collect()
}

/// Reference, section 2.6: half of peak to peak with a stated dihedral and yoke phase, for a milled twist.
#[test]
fn a_milled_twist_gives_the_motion_of_its_layout() {
    let rows: [([f64; 2], f64, f64, f64); 6] = [
        ([25.0, 25.0], 40.0, 40.0, 0.0),
        ([25.0, 25.0], 40.0, 0.0, 3.624_108_661_505),
        ([30.0, 20.0], 65.0, 65.0, 2.338_123_823_455),
        ([30.0, 20.0], 65.0, 60.0, 2.385_444_365_297),
        ([30.0, 20.0], 65.0, -25.0, 5.892_297_495_465),
        ([22.0, 33.0], -110.0, 70.0, 2.873_149_543_936),
    ];
    for (angles, dihedral, phase, error) in rows {
        let shaft = format!("{MILLED}\ntwist = \"{phase} deg\"");
        let text = linkage(layout(angles, dihedral), &shaft, ["ears = \"parallel\""; 2], FLATTED);
        let solution = solved(&text);
        assert!((solution.motion.error - error).abs() < 1e-9, "{angles:?} {dihedral}: {}", solution.motion.error);
        let twist = &solution.shafts[0].twist;
        assert!(twist.certain && (twist.flats - phase.rem_euclid(180.0)).abs() < 1e-9, "{twist:?}");
    }
}

/// The best twist of two joints is the dihedral between their planes (Fischer and Paul, 1991; reference 2.3), and
/// the flats stand at it less what the hubs' own ears make of it.
#[test]
fn the_best_twist_is_the_dihedral_less_the_ears() {
    let ears = [("parallel", 0.0), ("across", 90.0), ("25 deg", 25.0)];
    for dihedral in [40.0, 65.0, -110.0, 178.0] {
        for (upper, at_upper) in ears {
            for (lower, at_lower) in ears {
                let shaft = format!("{MILLED}\ntwist = \"best\"");
                let hubs = [format!("ears = \"{upper}\""), format!("ears = \"{lower}\"")];
                let text = linkage(layout([24.0, 21.0], dihedral), &shaft, [&hubs[0], &hubs[1]], FLATTED);
                let solution = solved(&text);
                let twist = &solution.shafts[0].twist;
                let near = |found: f64, wanted: f64| {
                    let off = (found - wanted).rem_euclid(180.0);
                    assert!(off.min(180.0 - off) < 1e-9, "{found} for {wanted}");
                };
                near(twist.set, dihedral);
                near(twist.flats, dihedral - (at_lower - at_upper));
                assert!(twist.off_max < 1e-9);
                // The lower flats' clock in the shaft's own frame, which everything else counts in.
                near(solution.shafts[0].ends[1].clock.unwrap(), twist.flats);
            }
        }
    }
}

/// From the solution to the metal by another way: the ears of both yokes are laid out in space from the flats of
/// the finished solid, and the angle between them about the shaft is the phase that was asked for.
#[test]
fn the_flats_of_the_file_carry_the_yokes_to_their_phase() {
    let shaft = format!("{MILLED}\ntwist = \"52 deg\"");
    let hubs = ["ears = \"20 deg\"", "ears = \"across\""];
    let text = linkage(layout([28.0, 19.0], 75.0), &shaft, hubs, FLATTED);
    let spec = read(&text);
    let solution = solved(&text);
    let member = yokeline::solve::member::members(&spec, &solution, 0).remove(0);
    let bytes = step::write(&shaft::member(&member).unwrap(), &meta()).unwrap();
    let flats = measure(&bytes).unwrap().planes;
    let normal = |upper: bool| {
        let inside = |z: f64| if upper { z < 31.0 } else { z > member.length - 35.0 };
        let flat = flats.iter().find(|f| f.normal.z.abs() < 1e-9 && inside(f.edge.z)).unwrap();
        libm::atan2(flat.normal.y, flat.normal.x).to_degrees()
    };
    // Edges of the flats lie a quarter turn before their normal; the ears follow from the edges.
    let upper_ears = normal(true) - 90.0 + 20.0;
    let lower_ears = normal(false) - 90.0 + 90.0;
    let off = (lower_ears - upper_ears - 52.0).rem_euclid(180.0);
    assert!(off.min(180.0 - off) < 1e-9, "{off}");
}

/// With teeth measured on hub and shaft end, the best tooth is found, and it is at most half a step off.
#[test]
fn measured_teeth_make_the_twist_certain() {
    let serrated = "{ serrated = { teeth = 36, diameter = 19.05 } }";
    let shaft = |tooth: &str| {
        format!(
            "stock = {{ round = {{ diameter = 19.05 }} }}\nends = {{ upper = {{ form = {FLATTED}, length = 30 }}, \
             lower = {{ form = {serrated}, length = 34{tooth} }} }}"
        )
    };
    let upper = "ears = \"parallel\"";
    let points = layout([24.0, 21.0], 43.0);
    let unknown = solved(&linkage(points, &shaft(""), [upper, "seat = 0"], serrated));
    let twist = &unknown.shafts[0].twist;
    assert!(!twist.certain && twist.step == Some(10.0) && (twist.off_max - 5.0).abs() < 1e-9, "{twist:?}");
    // Ears stand at 3 + 1 deg from the flats' edges, give or take whole teeth: 4, 14, 24, 34, 44 is the nearest to 43.
    let known = solved(&linkage(points, &shaft(", tooth = \"3 deg\""), [upper, "tooth = \"1 deg\""], serrated));
    let twist = &known.shafts[0].twist;
    assert!(twist.certain && (twist.set - 44.0).abs() < 1e-9 && (twist.off_max - 1.0).abs() < 1e-9, "{twist:?}");
    // One wide tooth: one position only.
    let master = serrated.replace("19.05", "19.05, master = true");
    let only = shaft(", tooth = \"3 deg\"").replace(serrated, &master);
    let only = solved(&linkage(points, &only, [upper, "tooth = \"1 deg\""], &master));
    assert!((only.shafts[0].twist.set - 4.0).abs() < 1e-9 && only.shafts[0].twist.step == Some(180.0));
}

/// A welded end takes any phase.
#[test]
fn a_welded_end_is_set_as_wished() {
    let points = layout([24.0, 21.0], 43.0);
    let round = "{ round = { diameter = 19.05 } }";
    let shaft =
        |twist: &str| format!("stock = {round}\nends = {{ upper = {{ form = {FLATTED}, length = 30 }} }}\n{twist}");
    let hubs = ["ears = \"parallel\"", "weld = true"];
    let best = solved(&linkage(points, &shaft("twist = \"best\""), hubs, round));
    assert!((best.shafts[0].twist.set - 43.0).abs() < 1e-9);
    let stated = solved(&linkage(points, &shaft("twist = \"10 deg\""), hubs, round));
    assert!((stated.shafts[0].twist.off_max - 33.0).abs() < 1e-9);
}

/// What cannot be cut is refused with its reason.
#[test]
fn what_cannot_be_cut_is_said() {
    let points = layout([24.0, 21.0], 43.0);
    let refused = |shaft: &str, lower_fits: &str, code: &str, words: &str| {
        let hubs = ["ears = \"parallel\"", if lower_fits == FLATTED { "ears = \"parallel\"" } else { "seat = 0" }];
        let found = errors(&linkage(points, shaft, hubs, lower_fits));
        assert!(found.iter().any(|(c, m)| c == code && m.contains(words)), "{words}: {found:#?}");
    };
    let with = |from: &str, to: &str| MILLED.replacen(from, to, 1);
    refused(&with("diameter = 19.05 } }\nends", "diameter = 18 } }\nends"), FLATTED, "bad-form", "at most the bar's");
    refused(&with("length = 30", "length = 20"), FLATTED, "too-short", "what its hub covers");
    refused(&with("length = 34", "length = 240"), FLATTED, "ends-too-long", "whole bar must be left");
    refused(&format!("stock = {FLATTED}\ntwist = \"best\""), FLATTED, "no-meaning", "full-length double-D");
    refused(
        &format!("stock = {FLATTED}\nends = {{ lower = {{ form = {FLATTED}, length = 30 }} }}"),
        FLATTED,
        "bad-form",
        "ends are cut on round bar",
    );
    refused(&with("flats = 13.97 }", "flats = 13.97, bore = 5 }"), FLATTED, "bad-form", "bore of its own");
    refused(&with("diameter = 19.05 }", "diameter = 19.05, bore = 14 }"), FLATTED, "bad-form", "bar's bore");
    refused(&with("length = 30", "length = 30, tooth = \"3 deg\""), FLATTED, "no-meaning", "without teeth");
    refused(&format!("{MILLED}\ntwist = \"worst\""), FLATTED, "wrong-type", "\"best\" or an angle");
    let thinner = MILLED.replacen("{ dd = { diameter = 19.05,", "{ dd = { diameter = 19.04,", 1);
    refused(&thinner, FLATTED, "bad-form", "under the bar's diameter");
    let serrated = "{ serrated = { teeth = 36, diameter = 19.05 } }";
    let toothed = MILLED.replace(
        "lower = { form = { dd = { diameter = 19.05, flats = 13.97 } }",
        &format!("lower = {{ form = {serrated}"),
    );
    refused(&format!("{toothed}\ntwist = \"best\""), serrated, "no-meaning", "has teeth");
}

fn meta() -> StepMeta {
    StepMeta {
        path: "solids/bar.step".into(),
        name: "bar".into(),
        part_number: "bar".into(),
        description: "bar".into(),
        revision: String::new(),
        author: String::new(),
        date: String::new(),
        schema: StepSchema::Ap242,
        unit: Unit::Millimetre,
        texts: vec![("material", "1018 cold drawn".into()), ("note", "Break all sharp edges.".into())],
    }
}

fn identity() -> Identity {
    let StepMeta { name, part_number, description, texts, .. } = meta();
    Identity { name, part_number, description, texts }
}

fn bar(ends: [Option<CutEnd>; 2], bore: Option<f64>, length: f64, chamfer: Option<f64>) -> Member {
    Member {
        name: "bar".into(),
        stem: "bar".into(),
        stock: "round".into(),
        bar: FormShape::Round { diameter: 25.4, bore },
        bar_clock: 0.0,
        hole: None,
        ends,
        journal: None,
        length,
        chamfer,
        dimples: Vec::new(),
        grooves: Vec::new(),
    }
}

/// Area of a section, two circular segments off a circle (any handbook of geometry), and the length of its outline.
fn section(form: FormShape) -> [f64; 2] {
    let (diameter, flats) = match form {
        FormShape::DoubleD { diameter, flats, .. } => (diameter, flats),
        FormShape::Round { diameter, .. } | FormShape::Serrated { diameter, .. } => (diameter, diameter),
    };
    let r = diameter / 2.0;
    let a = (flats / diameter).acos();
    [PI * r * r - r * r * (2.0 * a - (2.0 * a).sin()), 2.0 * r * (PI - 2.0 * a) + 4.0 * r * a.sin()]
}

fn close(found: f64, expected: f64, relative: f64) {
    assert!((found - expected).abs() <= relative * expected.abs(), "{found:.12} for {expected:.12}");
}

fn wrong(member: &Member, bytes: &[u8]) -> Vec<String> {
    let mut report = AuditReport::default();
    check(
        &ShaftPlan { file: "bar.step", unit: Unit::Millimetre, identity: identity(), member: member.clone() },
        bytes,
        &mut report,
    );
    report.lines.iter().filter(|line| !line.good).map(|line| format!("{}: {}", line.what, line.found)).collect()
}

/// Volume and area from the sections alone.
fn measured_by_sections(member: &Member) {
    let solid = shaft::member(member).unwrap_or_else(|error| panic!("{error}\n{member:#?}"));
    let [bar_area, bar_round] = section(member.bar);
    let bore = match (member.bar, member.hole) {
        (_, Some(hole)) => section(hole.form),
        (FormShape::Round { bore: Some(bore), .. } | FormShape::DoubleD { bore: Some(bore), .. }, _) => {
            [PI * bore * bore / 4.0, PI * bore]
        }
        _ => [0.0, 0.0],
    };
    let cut: f64 = member.ends.iter().flatten().map(|end| end.length).sum();
    let mut volume = bar_area * (member.length - cut) - bore[0] * member.length;
    let mut area = bar_round * (member.length - cut) + bore[1] * member.length - 2.0 * bore[0];
    for (end, at) in member.ends.iter().zip([End::Upper, End::Lower]) {
        let [own, round] = section(member.section_at(at).0);
        volume += end.map_or(0.0, |end| own * end.length);
        area += end.map_or(0.0, |end| round * end.length) + own + (bar_area - own);
    }
    close(solid.volume(), volume, 1e-12);
    close(solid.area(), area, 1e-12);
    let bytes = step::write(&solid, &meta()).unwrap();
    assert_eq!(wrong(member, &bytes), Vec::<String>::new(), "{member:#?}");
    close(measure(&bytes).unwrap().area, area, 1e-12);
}

fn flatted(diameter: f64, flats: f64, bore: Option<f64>) -> FormShape {
    FormShape::DoubleD { diameter, flats, bore }
}

#[test]
fn every_kind_of_end_has_its_sections_volume_and_area() {
    let tooth = FormShape::Serrated { teeth: 36, diameter: 20.0, master: false };
    let flush = FormShape::Serrated { teeth: 48, diameter: 25.4, master: false };
    let kinds = [
        None,
        Some(flatted(25.4, 20.0, None)),
        Some(flatted(22.0, 17.0, None)),
        Some(tooth),
        Some(flush),
        Some(FormShape::Round { diameter: 19.0, bore: None }),
    ];
    for upper in kinds {
        for lower in kinds {
            let cut = |form: Option<FormShape>, length, clock| form.map(|form| CutEnd { form, length, clock });
            measured_by_sections(&bar([cut(upper, 31.0, 0.0), cut(lower, 27.0, 37.3)], None, 260.0, None));
        }
    }
    // Over a bore, and with a hole of two flats.
    let ends = [Some(CutEnd { form: flatted(25.4, 21.0, Some(9.0)), length: 30.0, clock: 0.0 }), None];
    measured_by_sections(&bar(ends, Some(9.0), 200.0, None));
    let holed =
        Member { hole: Some(Hole { form: flatted(16.0, 12.0, None), clock: 61.0 }), ..bar(ends, None, 200.0, None) };
    measured_by_sections(&holed);
}

/// Teeth are one named round of their outside diameter.
#[test]
fn teeth_are_a_named_envelope() {
    let tooth = FormShape::Serrated { teeth: 36, diameter: 20.0, master: false };
    let member = bar([None, Some(CutEnd { form: tooth, length: 30.0, clock: 0.0 })], None, 200.0, Some(0.5));
    let bytes = step::write(&shaft::member(&member).unwrap(), &meta()).unwrap();
    let text = String::from_utf8(bytes).unwrap();
    assert_eq!(text.matches("ADVANCED_FACE('envelope of 36 teeth'").count(), 1);
}

/// Each change to the file's plan, and the line that names it.
#[test]
fn the_culprit_is_named() {
    let ends = [
        Some(CutEnd { form: DD_ON_INCH, length: 30.0, clock: 0.0 }),
        Some(CutEnd { form: DD_ON_INCH, length: 34.0, clock: 52.0 }),
    ];
    let made = bar(ends, None, 300.0, Some(0.5));
    let bytes = step::write(&shaft::member(&made).unwrap(), &meta()).unwrap();
    assert_eq!(wrong(&made, &bytes), Vec::<String>::new());
    let named = |change: &dyn Fn(&mut Member), what: &str| {
        let mut plan = made.clone();
        change(&mut plan);
        let found = wrong(&plan, &bytes);
        assert!(found.iter().any(|line| line.starts_with(what)), "{what}: {found:#?}");
    };
    let end = |plan: &mut Member, i: usize, change: &dyn Fn(&mut CutEnd)| change(plan.ends[i].as_mut().unwrap());
    named(&|p| end(p, 0, &|e| e.length += 2e-6), "upper shoulder");
    named(&|p| end(p, 1, &|e| e.length += 2e-6), "lower shoulder");
    named(&|p| end(p, 1, &|e| e.clock += 2e-5), "twist between the flats");
    named(&|p| end(p, 1, &|e| e.clock = -52.0), "twist between the flats");
    named(&|p| end(p, 1, &|e| e.form = flatted(25.4, 20.32 + 5e-6, None)), "lower end, flat A");
    named(&|p| p.ends[0] = None, "flat");
    named(&|p| p.hole = Some(Hole { form: DD, clock: 0.0 }), "bore");
}

const DD_ON_INCH: FormShape = FormShape::DoubleD { diameter: 25.4, flats: 20.32, bore: None };

fn an_end() -> impl Strategy<Value = Option<FormShape>> {
    let dd = (0.6..1.0_f64, 0.6..0.95_f64, any::<bool>()).prop_map(|(size, flats, flush)| {
        let diameter = if flush { 25.4 } else { 25.3 * size };
        flatted(diameter, diameter * flats, None)
    });
    let tooth = (0.6..1.0_f64).prop_map(|size| FormShape::Serrated { teeth: 36, diameter: 25.3 * size, master: false });
    let round = (0.6..1.0_f64).prop_map(|size| FormShape::Round { diameter: 25.3 * size, bore: None });
    prop_oneof![1 => Just(None), 4 => dd.prop_map(Some), 1 => tooth.prop_map(Some), 1 => round.prop_map(Some)]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Any bar with any ends closes, has the volume and area of its sections, and audits well; with chamfers and
    /// dimples it still closes and the audit's own closed forms agree.
    #[test]
    fn any_bar_with_cut_ends_closes(
        upper in an_end(),
        lower in an_end(),
        lengths in (10.0..60.0_f64, 10.0..60.0_f64),
        clock in 0.0..180.0_f64,
        body in 4.0..300.0_f64,
        bore in prop::option::of(2.0..8.0_f64),
        chamfer in prop::option::of(0.1..0.6_f64),
        dimpled in (any::<bool>(), any::<bool>()),
    ) {
        let cut = |form: Option<FormShape>, length: f64, clock: f64| form.map(|form| CutEnd { form, length, clock });
        let ends = [cut(upper, lengths.0, 0.0), cut(lower, lengths.1, clock)];
        let length = body + lengths.0 + lengths.1;
        let member = bar(ends, bore, length, None);
        measured_by_sections(&member);
        let mut member = Member { chamfer, ..member };
        for (end, there) in [(End::Upper, dimpled.0), (End::Lower, dimpled.1)] {
            let (section, turn) = member.section_at(end);
            let z = if end == End::Upper { 5.5 } else { length - 5.5 };
            let on = if matches!(section, FormShape::DoubleD { .. }) { On::Flat } else { On::Round };
            let dimple = Dimple {
                end, station: 5.5, z, clock: turn, on, drill: 90.0, diameter: 4.0, depth: 2.0, spot: SpotWhen::Drill,
            };
            member.dimples.extend(there.then_some(dimple));
        }
        if let Ok(solid) = shaft::member(&member) {
            let bytes = step::write(&solid, &meta()).unwrap();
            prop_assert_eq!(wrong(&member, &bytes), Vec::<String>::new());
        }
    }
}

//! Surveys: readings to places, how sure they are, what is wrong with them.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use yokeline::check::rules;
use yokeline::diagnostic::Diagnostic;
use yokeline::geometry::Vec3;
use yokeline::quantity::Unit;
use yokeline::spec::Draft;
use yokeline::spec::types::Survey;
use yokeline::survey::words::Words;
use yokeline::survey::{Adjustment, SurveyResult, adjust};
use yokeline::{pipeline, solve, survey};

mod errors;
mod random;

const WORDS: Words = Words { units: Unit::Millimetre, step: 1.0 };

/// The surveyed roadster's spec.
const HERON: &str = include_str!("../examples/heron-surveyed/linkage.toml");

/// A survey alone, in mm.
fn read(survey: &str) -> Result<Survey, Vec<Diagnostic>> {
    let text = format!("format = 1\n[build]\ntitle = \"survey\"\nunits = \"mm\"\n{survey}");
    let draft = Draft::read_bytes("linkage.toml", text.as_bytes(), &rules::limits())?;
    Ok(draft.survey().unwrap().clone())
}

fn mark(name: &str, at: [f64; 3]) -> String {
    format!("[[survey.mark]]\nname = \"{name}\"\nat = {at:?}\n")
}

fn tape(from: &str, to: &str, reads: f64) -> String {
    format!("[[survey.tape]]\nfrom = \"{from}\"\nto = \"{to}\"\nreads = {reads:?}\n")
}

fn offset(of: &str, along: &str, reads: f64) -> String {
    format!("[[survey.offset]]\nof = \"{of}\"\nalong = \"{along}\"\nreads = {reads:?}\n")
}

fn start(of: &str, near: [f64; 3]) -> String {
    format!("[[survey.start]]\nof = \"{of}\"\nnear = {near:?}\n")
}

fn place(adjustment: &Adjustment<'_>, name: &str) -> Vec3 {
    let i = adjustment.survey.points.iter().position(|point| point.name == name).unwrap();
    adjustment.places[i]
}

fn sigma(adjustment: &Adjustment<'_>, name: &str) -> [f64; 3] {
    let result = SurveyResult::of(adjustment);
    result.points.iter().find(|point| point.name == name).unwrap().sigma.into()
}

/// The reference's trilateration: A (0,0,0), B (800,0,0), C (300,600,0).
fn three_marks() -> String {
    let marks = [("A", [0.0; 3]), ("B", [800.0, 0.0, 0.0]), ("C", [300.0, 600.0, 0.0])];
    let mut text = "[survey]\ntape_sigma = \"1 mm\"\n".to_owned();
    for (name, at) in marks {
        text += &mark(name, at);
    }
    text
}

/// Derived closed form, verified numerically: three distances to (350, 220, 410), and their errors per 1 mm of tape.
#[test]
fn trilateration_and_its_errors() {
    let mut text = three_marks();
    for (name, reads) in [("A", 582.237_065_120), ("B", 647.302_093_307), ("C", 561.248_608_016)] {
        text += &tape(name, "X", reads);
    }
    let three = text.clone() + &start("X", [300.0, 200.0, 300.0]);
    let survey = read(&three).unwrap();
    let found = adjust(&survey, WORDS).unwrap();
    assert!((place(&found, "X") - Vec3::new(350.0, 220.0, 410.0)).length() < 1e-7);
    for (sigma, wanted) in sigma(&found, "X").into_iter().zip([1.08829, 1.18596, 0.83686]) {
        assert!((sigma - wanted).abs() < 5e-6, "{sigma} for {wanted}");
    }
    // Three readings, three unknowns: nothing checks anything.
    assert!(found.checked.iter().all(|checked| checked.standardised.is_none()));
    // The other side, where the start says so.
    let below = text.clone() + &start("X", [300.0, 200.0, -300.0]);
    let survey = read(&below).unwrap();
    let found = adjust(&survey, WORDS).unwrap();
    assert!((place(&found, "X") - Vec3::new(350.0, 220.0, -410.0)).length() < 1e-7);

    // With a fourth mark no side has to be told.
    let four = text + &mark("D", [500.0, 300.0, -150.0]) + &tape("D", "X", 585.234_995_536);
    let survey = read(&four).unwrap();
    let found = adjust(&survey, WORDS).unwrap();
    assert!((place(&found, "X") - Vec3::new(350.0, 220.0, 410.0)).length() < 1e-7);
    for (sigma, wanted) in sigma(&found, "X").into_iter().zip([1.05484, 1.17514, 0.66332]) {
        assert!((sigma - wanted).abs() < 5e-6, "{sigma} for {wanted}");
    }
    let shares: f64 = found.checked.iter().map(|checked| checked.redundancy).sum();
    assert!((shares - 1.0).abs() < 1e-9, "redundancies add up to the one reading too many, not {shares}");
}

/// Three distances to one point: Ghilani, *Adjustment Computations*, ch. 14, the example of stations A, B, C and U (in
/// feet there, read as mm here). Data as printed; the answer is recomputed with scipy in `tests/conformance`.
#[test]
fn a_textbooks_trilateration() {
    let mut text = "[survey]\ntape_sigma = \"1 mm\"\n".to_owned();
    for (name, x, y, reads) in
        [("A", 865.40, 4527.15, 6049.00), ("B", 2432.55, 2047.25, 4736.83), ("C", 2865.22, 27.15, 5446.49)]
    {
        text += &(mark(name, [x, y, 0.0]) + &tape(name, "U", reads));
    }
    text += &(offset("U", "z", 0.0) + &start("U", [6000.0, 4000.0, 0.0]));
    let survey = read(&text).unwrap();
    let found = adjust(&survey, WORDS).unwrap();
    let u = place(&found, "U");
    assert!((u.x - 6_861.316_788).abs() < 2e-6 && (u.y - 3_727.818_566).abs() < 2e-6, "{u:?}");
    let [sx, sy, _] = sigma(&found, "U");
    assert!((sx - 0.793_845).abs() < 2e-6 && (sy - 1.579_458).abs() < 2e-6, "{sx} {sy}");
}

/// The reference's target near the plane of its marks, z = 60: sigma of z is 4.1676 per 1 mm of tape.
#[test]
fn near_the_plane_of_the_marks_the_height_is_loose() {
    let target = Vec3::new(350.0, 220.0, 60.0);
    let mut text = three_marks();
    for (name, at) in [("A", [0.0, 0.0]), ("B", [800.0, 0.0]), ("C", [300.0, 600.0])] {
        text += &tape(name, "X", (target - Vec3::new(at[0], at[1], 0.0)).length());
    }
    let survey = read(&(text + &start("X", [350.0, 220.0, 100.0]))).unwrap();
    let found = adjust(&survey, WORDS).unwrap();
    assert!((sigma(&found, "X")[2] - 4.1676).abs() < 5e-5);
    assert!(SurveyResult::of(&found).points[0].loosened > 3.0);
}

/// MID 2014/32/EU Annex X: ± (a + b L), L rounded up to a whole metre. A default sigma of hand reading stands over
/// what class II adds within 5 m, so the class is no matter beside the hand.
#[test]
fn a_tape_of_class_two_is_surer_than_the_hand() {
    let most = |a: f64, b: f64, length: f64| a + b * length.ceil();
    for (length, wanted) in [(0.8, 0.5), (1.5, 0.7), (2.4, 0.9), (5.0, 1.3)] {
        let error = most(0.3, 0.2, length);
        assert!((error - wanted).abs() < 1e-12);
        let survey = read(&(three_marks().replace("tape_sigma = \"1 mm\"\n", "") + &tape("A", "X", length * 1000.0)));
        // Even the whole permissible error, taken as one deviation, is within the default.
        assert!(survey.unwrap().readings[0].sigma >= error);
    }
}

/// A reading taken to the near skin of a round reaches half of it farther (common practice, no source).
#[test]
fn a_tape_to_the_skin_reaches_the_centre() {
    let mut text = three_marks();
    let target = Vec3::new(350.0, 220.0, 410.0);
    for (name, at) in [("A", [0.0, 0.0]), ("B", [800.0, 0.0]), ("C", [300.0, 600.0])] {
        let reads = (target - Vec3::new(at[0], at[1], 0.0)).length() - 25.0;
        text += &tape(name, "X", reads);
        text += "skin = 50\n";
    }
    let survey = read(&(text + &start("X", [300.0, 200.0, 300.0]))).unwrap();
    assert!((place(&adjust(&survey, WORDS).unwrap(), "X") - target).length() < 1e-7);
}

/// On a frame that stands tail high, heights from the floor are not the frame's own z.
#[test]
fn rake_and_roll_turn_the_level_readings() {
    let (rake, roll) = (2.0_f64.to_radians(), -1.0_f64.to_radians());
    let up = Vec3::new(rake.sin(), -roll.sin(), (1.0 - rake.sin().powi(2) - roll.sin().powi(2)).sqrt());
    let target = Vec3::new(1400.0, -380.0, 620.0);
    let mut text = "[survey]\nrake = 2\nroll = -1\n".to_owned();
    let marks = [("A", [0.0; 3]), ("B", [800.0, 0.0, 0.0]), ("C", [300.0, 600.0, 0.0])];
    for (name, at) in marks {
        text += &mark(name, at);
        text += &tape(name, "X", (target - Vec3::from(at)).length());
    }
    text += &offset("X", "z", target.dot(up));
    let survey = read(&text).unwrap();
    let found = adjust(&survey, WORDS).unwrap();
    assert!((place(&found, "X") - target).length() < 1e-6);
    assert!(found.checked.iter().all(|checked| checked.residual.abs() < 1e-6));
}

/// The surveyed roadster comes out where the roadster stated by coordinates stands, within three of its own sigmas.
#[test]
fn the_surveyed_roadster_is_the_roadster() {
    let surveyed = pipeline::solve("linkage.toml", HERON.as_bytes(), &mut |_| ()).unwrap();
    let stated = pipeline::solve("linkage.toml", crate::common::HERON.as_bytes(), &mut |_| ()).unwrap();
    let (found, truth) = (&surveyed.solution, &stated.solution);
    for (a, b) in found.joints.iter().zip(&truth.joints) {
        assert!((a.angle - b.angle).abs() < 3.0 * a.angle_sigma.unwrap());
    }
    let (a, b) = (&found.shafts[0], &truth.shafts[0]);
    assert!((a.cut_length - b.cut_length).abs() < 3.0 * a.cut_length_sigma.unwrap());
    // Finished + leave + two sigma, up to the next 1/32 in.
    let step = 25.4 / 32.0;
    let long = a.cut_length + 25.4 / 8.0 + 2.0 * a.cut_length_sigma.unwrap();
    assert!(a.cut_long >= long && a.cut_long < long + step);
    assert!(((a.cut_long / step).round() - a.cut_long / step).abs() < 1e-9);
    assert!(found.clearances.iter().any(|row| row.gap_sigma.is_some_and(|sigma| sigma > 0.1)));
    assert!(found.notches[0].place_sigma.is_some());
    assert!(truth.survey.is_none() && truth.shafts[0].cut_length_sigma.is_none());
    let advice = &found.survey.as_ref().unwrap().advice;
    assert!(!advice.is_empty() && advice.windows(2).all(|pair| pair[0].sigma_after <= pair[1].sigma_after));
}

/// What advice promises comes true when the reading is added.
#[test]
fn advice_keeps_its_word() {
    let before = pipeline::survey("linkage.toml", HERON.as_bytes(), &mut |_| ()).unwrap();
    let first = &before.result.advice[0];
    assert_eq!(first.kind, "tape");
    let at = |name: &str| before.result.points.iter().find(|point| point.name == name).map(|point| point.at);
    let (from, to) = (first.between.from.as_ref().unwrap(), first.between.to.as_ref().unwrap());
    let reads = (at(from).unwrap() - at(to).unwrap()).length();
    let more = format!("[[survey.tape]]\nfrom = \"{from}\"\nto = \"{to}\"\nreads = \"{reads} mm\"\n\n[column]");
    let text = HERON.replacen("[column]", &more, 1);
    let after = pipeline::survey("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let sigma = after.linkage.unwrap().shafts[0].cut_length_sigma.unwrap();
    assert!((sigma / first.sigma_after - 1.0).abs() < 0.01, "{sigma} for {}", first.sigma_after);
}

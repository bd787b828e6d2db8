//! Seats turned for bearings: where they lie, their solids, what is refused, how strong they are.

use std::f64::consts::PI;

use yokeline::audit::AuditReport;
use yokeline::audit::step::{ShaftPlan, check};
use yokeline::audit::step_file::measure;
use yokeline::catalog::forms::FormShape;
use yokeline::export::step::{self, StepMeta};
use yokeline::model::shaft;
use yokeline::solve::identity::Identity;
use yokeline::solve::member::{self, CutEnd, Member, Seat};
use yokeline::solve::solution::Solution;
use yokeline::spec::types::{StepSchema, Unit};

use crate::common::read;

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
        texts: Vec::new(),
    }
}

fn identity() -> Identity {
    let StepMeta { name, part_number, description, texts, .. } = meta();
    Identity { name, part_number, description, texts }
}

fn bar(form: FormShape, seat: Seat, ends: [Option<CutEnd>; 2], chamfer: Option<f64>) -> Member {
    Member {
        name: "bar".into(),
        stem: "bar".into(),
        stock: "bar".into(),
        bar: form,
        bar_clock: 0.0,
        hole: None,
        ends,
        journal: Some(seat),
        length: 300.0,
        chamfer,
        dimples: Vec::new(),
        grooves: Vec::new(),
    }
}

const DD: FormShape = FormShape::DoubleD { diameter: 19.05, flats: 13.97, bore: None };
const TUBE: FormShape = FormShape::DoubleD { diameter: 25.4, flats: 20.32, bore: Some(12.0) };
const ROUND: FormShape = FormShape::Round { diameter: 22.0, bore: None };
const MILLED: CutEnd = CutEnd { form: DD, length: 40.0, clock: 33.0 };
const FLUSH: CutEnd =
    CutEnd { form: FormShape::DoubleD { diameter: 22.0, flats: 16.0, bore: None }, length: 35.0, clock: 120.0 };

/// Area of a bar's section: a circle less two segments (any handbook of geometry), less its bore.
fn area(form: FormShape) -> f64 {
    let (diameter, flats, bore) = match form {
        FormShape::DoubleD { diameter, flats, bore } => (diameter, flats, bore),
        FormShape::Round { diameter, bore } => (diameter, diameter, bore),
        FormShape::Serrated { diameter, .. } => (diameter, diameter, None),
    };
    let (r, a) = (diameter / 2.0, (flats / diameter).acos());
    PI * r * r - r * r * (2.0 * a - (2.0 * a).sin()) - PI * bore.unwrap_or(0.0).powi(2) / 4.0
}

fn wrong(member: &Member, bytes: &[u8]) -> Vec<String> {
    let mut report = AuditReport::default();
    check(
        &ShaftPlan { file: "bar.step", unit: Unit::Millimetre, identity: identity(), member: member.clone() },
        bytes,
        &mut report,
    );
    assert!(report.lines.len() > 8);
    report.lines.iter().filter(|line| !line.good).map(|line| line.what.clone()).collect()
}

/// Volume by closed form, the seat's round and shoulders where they belong, on every kind of bar a seat is turned on.
#[test]
fn a_seat_is_turned_out_of_the_bar() {
    let seat = Seat { diameter: 13.0, from: 120.0, to: 150.0 };
    let wide = Seat { diameter: 18.0, ..seat };
    let cases = [
        bar(DD, seat, [None, None], None),
        bar(DD, seat, [None, None], Some(0.5)),
        bar(TUBE, wide, [None, None], None),
        bar(ROUND, wide, [None, None], None),
        bar(ROUND, wide, [Some(MILLED), None], None),
        bar(ROUND, wide, [Some(FLUSH), Some(MILLED)], None),
        bar(ROUND, wide, [Some(FLUSH), Some(FLUSH)], None),
    ];
    for member in cases {
        let solid = shaft::member(&member).unwrap_or_else(|error| panic!("{error}"));
        let bytes = step::write(&solid, &meta()).unwrap();
        assert_eq!(wrong(&member, &bytes), Vec::<String>::new());
        let seat = member.journal.unwrap();
        let round = PI * seat.diameter.powi(2) / 4.0;
        let found = measure(&bytes).unwrap();
        let bore = match member.bar {
            FormShape::DoubleD { bore, .. } | FormShape::Round { bore, .. } => bore.unwrap_or(0.0),
            FormShape::Serrated { .. } => 0.0,
        };
        let cut: f64 = member.ends.iter().flatten().map(|end| (area(member.bar) - area(end.form)) * end.length).sum();
        let solid = area(member.bar) * 300.0 - (area(member.bar) - (round - PI * bore * bore / 4.0)) * 30.0 - cut;
        if member.chamfer.is_none() {
            assert!((found.volume / solid - 1.0).abs() < 1e-9, "{} for {solid}", found.volume);
        }
        assert!(found.cylinders.iter().any(|face| (face.radius - seat.diameter / 2.0).abs() < 1e-9));
        // A seat that was to lie elsewhere, or to be larger, is named.
        let moved = Member { journal: Some(Seat { from: 120.001, to: 150.001, ..seat }), ..member.clone() };
        assert_eq!(wrong(&moved, &bytes), ["journal's lower shoulder", "journal's upper shoulder"]);
        let larger = Member { journal: Some(Seat { diameter: seat.diameter + 0.001, ..seat }), ..member.clone() };
        assert!(wrong(&larger, &bytes).contains(&"diameter of the journal".to_owned()));
        let without = Member { journal: None, ..member };
        assert!(!wrong(&without, &bytes).is_empty());
    }
}

#[test]
fn a_seat_as_thick_as_its_bar_has_no_solid() {
    let member = bar(DD, Seat { diameter: 13.97, from: 100.0, to: 120.0 }, [None, None], None);
    assert!(shaft::member(&member).unwrap_err().to_string().contains("under the bar's least thickness"));
}

/// The roadster's shaft with a bearing on it, 150 mm down from its upper cross.
const ROADSTER: &str = include_str!("../examples/heron-roadster/linkage.toml");

fn with_bearing(more: &str) -> String {
    let bar = "name      = \"intermediate\"";
    let text = ROADSTER;
    assert!(text.contains(bar));
    text.replace(bar, &format!("{bar}\nbearing = {{ at = \"150 mm\", bore = \"13.1 mm\" }}\n{more}"))
}

fn solved(text: &str) -> Solution {
    let (solution, _) = yokeline::solve::solve(&read(text)).unwrap_or_else(|errors| panic!("{errors:#?}"));
    solution
}

#[test]
fn a_seat_lies_in_the_middle_of_its_bearing() {
    let text = with_bearing("journal = { diameter = \"13 mm\", length = \"24 mm\" }");
    let solution = solved(&text);
    let shaft = &solution.shafts[0];
    let (seat, bearing) = (shaft.journal.unwrap(), shaft.bearing.as_ref().unwrap());
    assert!((seat.to - seat.from - 24.0).abs() < 1e-9);
    assert!((f64::midpoint(seat.from, seat.to) - bearing.z).abs() < 1e-9);
    // From the cross to the shaft's end there is the gap of the upper joint's lower hub.
    assert!((bearing.z - (150.0 - solution.joints[0].lower_gap)).abs() < 1e-9);
    let member = member::members(&read(&text), &solution, 0).remove(0);
    assert_eq!(member.journal, Some(Seat { diameter: 13.0, from: seat.from, to: seat.to }));
    // Without `length` a seat is as long as it is thick.
    let seat = solved(&with_bearing("journal = { diameter = \"13 mm\" }")).shafts[0].journal.unwrap();
    assert!((seat.to - seat.from - 13.0).abs() < 1e-9);
}

/// Shear of a round section, 16 T / (pi d^3), and its twist, 32 T L / (pi d^4 G) (any handbook of strength): the seat
/// is the weakest section, and the shaft winds up more by what the seat is softer than the bar it replaces.
#[test]
fn a_seat_is_the_weakest_section() {
    let plain = solved(&with_bearing("")).strength.shafts[0].clone();
    let turned =
        solved(&with_bearing("journal = { diameter = \"13 mm\", length = \"24 mm\" }")).strength.shafts[0].clone();
    let torque = plain.torque_max * 1000.0;
    assert!((turned.torque_max - plain.torque_max).abs() < 1e-12);
    assert!((turned.shear - 16.0 * torque / (PI * 13f64.powi(3))).abs() < 1e-9 * turned.shear);
    assert!(turned.shear > plain.shear && turned.yield_margin < plain.yield_margin);
    // Double-D 3/4 in, 0.55 in across: K = 8487.567 mm^4 (reference, section 5.2).
    let (seat, bar) = (PI * 13f64.powi(4) / 32.0, 8487.567);
    let more = (torque * 24.0 / 79_300.0 * (1.0 / seat - 1.0 / bar)).to_degrees();
    assert!((turned.windup - plain.windup - more).abs() < 1e-6, "{} for {more}", turned.windup - plain.windup);
}

fn errors(more: &str) -> Vec<(&'static str, String)> {
    let Err(found) = yokeline::pipeline::solve("linkage.toml", with_bearing(more).as_bytes(), &mut |_| ()) else {
        panic!("solved: {more}")
    };
    found.iter().map(|error| (error.code, error.message.clone())).collect()
}

#[test]
fn a_seat_without_bar_for_it_is_refused() {
    let found = errors("journal = { diameter = \"13.97 mm\" }");
    assert_eq!(found[0].0, "journal-size", "{found:?}");
    assert!(found[0].1.contains("13.77 mm"), "{found:?}");
    let found = errors("journal = { diameter = \"13 mm\", length = \"280 mm\" }");
    assert_eq!(found[0].0, "journal-place", "{found:?}");
    let text =
        ROADSTER.replace("name      = \"intermediate\"", "name = \"intermediate\"\njournal = { diameter = \"13 mm\" }");
    let Err(found) = yokeline::pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) else { panic!("solved") };
    assert!(found.iter().any(|error| error.code == "no-meaning" && error.message.contains("bearing")), "{found:?}");
}

/// The bearing's bore is judged against the seat, not against the bar it would not go over.
#[test]
fn the_bore_is_judged_against_the_seat() {
    let text = with_bearing("journal = { diameter = \"13 mm\" }");
    let solved = yokeline::pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let rows: Vec<_> = solved.findings.iter().filter(|row| row.rule == "bearing-bore").collect();
    assert_eq!(rows.len(), 1);
    assert!((rows[0].value.unwrap() - 0.1).abs() < 1e-9 && rows[0].message.contains("journal"), "{rows:?}");
}

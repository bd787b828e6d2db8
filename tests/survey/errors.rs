//! What is said of a survey that is unfinished, at odds or ambiguous.

use super::*;

fn refused(text: &str) -> Vec<Diagnostic> {
    match read(text) {
        Err(errors) => errors,
        Ok(survey) => adjust(&survey, WORDS).err().unwrap_or_default(),
    }
}

/// The one with that code, its words and help in one line.
fn said(text: &str, code: &str) -> String {
    let errors = refused(text);
    let error = errors.iter().find(|error| error.code == code).unwrap_or_else(|| {
        panic!("{code} is not in {:?}", errors.iter().map(|e| (e.code, &e.message)).collect::<Vec<_>>())
    });
    assert!(error.place.is_some());
    format!("{}; {}", error.message, error.help.clone().unwrap_or_default())
}

const TAPES: [(&str, f64); 3] = [("A", 582.237), ("B", 647.302), ("C", 561.249)];

fn taped(reads: &[(&str, f64)]) -> String {
    let tapes: String = reads.iter().map(|(from, reads)| tape(from, "X", *reads)).collect();
    three_marks() + &tapes
}

#[test]
fn two_sides_are_refused_without_a_start() {
    let words = said(&taped(&TAPES), "two-sided");
    assert!(words.contains("\"X\"") && words.contains("[[survey.start]]"), "{words}");
    assert!(words.contains("410.0") && words.contains("-410.0"), "{words}");
    assert!(refused(&(taped(&TAPES) + &start("X", [0.0, 0.0, 500.0]))).is_empty());
}

#[test]
fn a_missing_reading_is_named() {
    let words = said(&taped(&TAPES[..2]), "point-not-held");
    assert!(words.contains("2 readings reach \"X\"") && words.contains("tape from \"C\" to \"X\""), "{words}");
    // A slip of the pen makes a new point.
    let words = said(&(taped(&TAPES) + &offset("XX", "z", 400.0) + &tape("A", "column end", 500.0)), "point-not-held");
    assert!(words.contains("1 reading reaches"), "{words}");
    let slip = taped(&TAPES).replace("to = \"X\"", "to = \"column end\"") + &offset("colum end", "z", 400.0);
    assert!(said(&slip, "point-not-held").contains("did you mean \"column end\"?"));
}

#[test]
fn marks_in_one_line_are_named() {
    let marks = mark("A", [0.0; 3]) + &mark("B", [500.0, 0.0, 0.0]) + &mark("C", [1000.0, 0.0, 0.0]);
    let target = Vec3::new(350.0, 220.0, 410.0);
    let tapes: String = [("A", 0.0), ("B", 500.0), ("C", 1000.0)]
        .map(|(n, x)| tape(n, "X", (target - Vec3::new(x, 0.0, 0.0)).length()))
        .concat();
    let words = said(&format!("[survey]\n{marks}{tapes}"), "marks-in-line");
    assert!(words.contains("one line") && words.contains("\"A\", \"B\" and \"C\""), "{words}");
}

#[test]
fn a_frame_that_can_shift_or_turn_is_found() {
    // Four points taped among themselves, hung on heights alone: free to shift and turn on the floor.
    let points = [
        ("P", [0.0, 0.0, 100.0]),
        ("Q", [700.0, 40.0, 300.0]),
        ("R", [300.0, 600.0, 200.0]),
        ("S", [400.0, 200.0, 800.0]),
    ];
    let mut text = "[survey]\n".to_owned();
    for (n, (name, at)) in points.iter().enumerate() {
        text += &offset(name, "z", at[2]);
        for (other, there) in &points[..n] {
            text += &tape(name, other, (Vec3::from(*at) - Vec3::from(*there)).length());
        }
    }
    let errors = refused(&text);
    // A shift along x, one along y, one turn: three readings are missing, and each is named.
    assert_eq!(errors.len(), 3, "{errors:#?}");
    assert!(
        errors.iter().all(|error| error.code == "not-held" && error.help.as_ref().unwrap().starts_with("add the "))
    );
}

#[test]
fn a_point_in_the_plane_of_its_marks_is_found() {
    let target = Vec3::new(350.0, 220.0, 0.0);
    let tapes: String = [("A", [0.0, 0.0]), ("B", [800.0, 0.0]), ("C", [300.0, 600.0])]
        .map(|(n, at)| tape(n, "X", (target - Vec3::new(at[0], at[1], 0.0)).length()))
        .concat();
    let words = said(&(three_marks() + &tapes + &start("X", [350.0, 220.0, 0.0])), "not-held");
    assert!(words.contains("up and down") && words.contains("offset along z of \"X\""), "{words}");
}

#[test]
fn a_forgotten_unit_is_said() {
    // 582 mm taken as 22.92 in and written without its unit.
    let words = said(&taped(&[("A", 22.923), ("B", 647.302), ("C", 561.249)]), "unit-forgotten");
    assert!(words.contains("tape \"A\" to \"X\"") && words.contains("22.92 mm") && words.contains("inches"), "{words}");
    let words = said(&taped(&[("A", 582.237), ("B", 64.7302), ("C", 561.249)]), "unit-forgotten");
    assert!(words.contains("centimetres"), "{words}");
}

#[test]
fn readings_that_cannot_be_are_refused() {
    assert!(said(&taped(&[("A", 0.0)]), "bad-value").contains("`reads` is 0"));
    assert!(said(&(three_marks() + &tape("A", "A", 5.0)), "degenerate").contains("\"A\" to \"A\""));
    let twice = taped(&TAPES) + &tape("X", "A", 601.3);
    assert!(said(&twice, "contradiction").contains("19 mm apart"));
    assert!(said(&taped(&[("A", 250.0), ("B", 300.0), ("C", 561.0)]), "no-triangle").contains("makes no triangle"));
    let blank = three_marks() + "[[survey.tape]]\nfrom = \"A\"\nto = \"X\"\n";
    assert!(said(&blank, "not-read-yet").contains("has no `reads` yet"));
    assert!(said(&(three_marks() + &mark("A", [1.0; 3])), "duplicate-name").contains("\"A\""));
    let steep = three_marks() + "[[survey.slope]]\nfrom = \"A\"\nto = \"X\"\nview = \"true\"\nreads = 95\n";
    assert!(said(&steep, "bad-value").contains("0 to 90 deg"));
}

/// Errors of the survey come with those of the rest of the file.
#[test]
fn all_errors_of_the_file_come_together() {
    let text =
        HERON.replace("stock     = \"dd-3/4\"", "stock     = \"dd-3/5\"").replacen("reads = \"25 3/16 in\"\n", "", 1);
    let errors = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap_err();
    let codes: Vec<_> = errors.iter().map(|error| error.code).collect();
    assert!(codes.contains(&"not-read-yet") && codes.contains(&"unknown-name"), "{codes:?}");
}

/// A wrong reading of the surveyed roadster is named in check's own words.
#[test]
fn a_suspect_warns_in_check() {
    let text = HERON.replacen("reads = \"25 3/16 in\"", "reads = \"25 15/16 in\"", 1);
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let finding = solved.findings.iter().find(|finding| finding.rule == "survey-reading").unwrap();
    assert_eq!(finding.subject, "tape left front to column end");
    assert!(finding.message.contains("25 15/16 in does not fit its neighbours by"), "{}", finding.message);
}

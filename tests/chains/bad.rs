//! Chains that cannot be built, and what is said of them.

use yokeline::check::Status;
use yokeline::pipeline;

use super::linkage::Linkage;
use super::solve;

/// Codes and places (line of the spec) of the errors in a text.
fn errors(text: &str) -> Vec<(&'static str, String)> {
    let Err(found) = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()) else { panic!("solved:\n{text}") };
    let line = |at: usize| text[..at].lines().count().max(1);
    let line = |at: usize| text.lines().nth(line(at) - 1).unwrap_or_default().to_owned();
    found.iter().map(|error| (error.code, line(error.place.as_ref().unwrap().span.end))).collect()
}

fn three() -> Linkage {
    Linkage::planar(&[(0.3, None), (0.2, None), (0.3, None)], 300.0)
}

#[test]
fn a_place_twice_or_not_at_all() {
    let text = three().text();
    let centre = text.lines().find(|line| line.starts_with("centre")).unwrap();
    let without = text.replace(&format!("{centre}\n"), "");
    assert_eq!(errors(&without)[0].0, "missing-key");
    let mut drawn = three();
    drawn.shafts[0].eye = Some(120.0);
    let by_bearing = drawn.text();
    let both = by_bearing.replace("name = \"j1\"\n", &format!("name = \"j1\"\n{centre}\n"));
    assert_eq!(errors(&both), [("one-too-many", centre.to_owned())]);
    let neither = by_bearing.replace(", to = 300.0", "");
    assert_eq!(errors(&neither)[0].0, "missing-key");
}

/// On the last shaft a bearing with `to` places the joint above, from the gear's.
#[test]
fn the_last_shaft_counts_from_the_gear() {
    let drawn = three();
    let text = drawn.text();
    let centre = text.lines().find(|line| line.starts_with("centre")).unwrap();
    let on = drawn.centres()[1] + drawn.axes()[2] * 180.0;
    let text = text.replace(&format!("{centre}\n"), "")
        + &format!("bearing = {{ at = [{:?}, {:?}, {:?}], to = 300.0 }}\n", on.x, on.y, on.z);
    let joint = &solve(&text).solution.joints[1];
    assert!((joint.centre - drawn.centres()[1]).length() < 1e-9);
}

#[test]
fn a_bearing_beyond_its_shaft() {
    // The hubs cover 40 mm from each cross.
    for station in [39.0, 261.0, 400.0] {
        let mut drawn = three();
        drawn.shafts[1].along = Some(station);
        let found = errors(&drawn.text());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].0, "bearing-beyond-the-shaft");
        assert!(found[0].1.starts_with("bearing"), "{found:?}");
    }
}

#[test]
fn distance_that_places_nothing() {
    let two = Linkage::planar(&[(0.3, None), (0.3, None)], 300.0);
    let eye = two.centres()[0] + two.axes()[1] * 150.0;
    let text = two.text() + &format!("bearing = {{ at = [{:?}, {:?}, {:?}], to = 300 }}\n", eye.x, eye.y, eye.z);
    assert_eq!(errors(&text)[0].0, "no-meaning");
    let mut drawn = three();
    drawn.shafts[1].along = Some(150.0);
    let text = drawn.text().replace("at = 150.0", "at = 150.0, to = 300");
    assert_eq!(errors(&text)[0].0, "no-meaning");
}

/// Past its own limit a double fails the check; past what two crosses can do it has no solution.
#[test]
fn a_double_that_folds_too_far() {
    let bent = |degrees: f64| Linkage::planar(&[(degrees.to_radians(), Some(45.0)), (0.2, None)], 300.0).text();
    let usual = bent(65.0).replacen("limit = \"80 deg\"\n", "", 1);
    let solved = solve(&usual);
    let joint = solved.findings.iter().find(|finding| finding.rule == "joint-angle").unwrap();
    assert_eq!(joint.status, Status::Fail, "{joint:?}");
    assert!((joint.limit.unwrap() - 60.0).abs() < 1e-9);
    assert_eq!(errors(&bent(179.5))[0].0, "joint-folds-back");
    assert_eq!(solve(&bent(150.0)).findings[0].status, Status::Fail);
}

#[test]
fn a_floating_double() {
    let text = Linkage::planar(&[(0.3, Some(45.0)), (0.2, None)], 300.0).text();
    let text = text.replace("span = 45.0", "span = 45.0, centred = false");
    assert_eq!(errors(&text)[0].0, "not-centred");
}

#[test]
fn nine_joints() {
    let text = Linkage::planar(&[(0.1, None); 9], 300.0).text();
    assert_eq!(errors(&text)[0].0, "bad-count");
    solve(&Linkage::planar(&[(0.1, None); 8], 300.0).text());
}

/// Two doubles with a shaft between them no longer than their spans.
#[test]
fn no_room_between_doubles() {
    let drawn = Linkage::planar(&[(0.9, Some(200.0)), (0.9, Some(200.0))], 85.0);
    let solved = solve(&drawn.text());
    assert!((solved.solution.shafts[0].cut_length - 55.0).abs() < 1e-9);
    let drawn = Linkage::planar(&[(0.9, Some(200.0)), (0.9, Some(200.0))], 40.0);
    assert_eq!(errors(&drawn.text())[0].0, "shaft-too-short");
}

/// A double joint of the catalogue has its own limit, and its span is to be measured; one made of a single part has the
/// usual limit of a double.
#[test]
fn a_double_from_the_catalogue() {
    let with = |joint: &str| {
        let text = format!(
            "format = 1\n[build]\ntitle = \"t\"\nunits = \"in\"\n\
             [column]\nend = [0, 0, 0]\nbeyond = [12, 0, 0]\nform = \"dd-3/4\"\nexposed = 2\n\
             [gear]\nend = [12, 0, -10]\ntoward = [22, 0, -20]\nform = \"dd-3/4\"\nexposed = 2\n\
             [[joint]]\nname = \"first\"\n{joint}\n[[joint]]\nname = \"last\"\npart = \"single-3/4\"\n\
             [[shaft]]\nname = \"bar\"\nstock = \"dd-3/4\"\nmaterial = \"1018-cold-drawn\"\n"
        );
        solve(&text)
    };
    let part = with("part = \"double-3/4\"");
    let made = with("part = \"single-3/4\"\ndouble = { span = \"1.75 in\" }");
    for solved in [&part, &made] {
        let joint = &solved.solution.joints[0];
        assert!((joint.limit - 60.0).abs() < 1e-9);
        assert!(((joint.crosses[1] - joint.crosses[0]).length() - 44.45).abs() < 1e-9);
    }
    let asks = |solved: &yokeline::pipeline::Solved| {
        solved.spec.unmeasured.iter().any(|value| value.what.contains("distance between its crosses"))
    };
    assert!(asks(&part) && !asks(&made));
}

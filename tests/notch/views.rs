//! Three views of a rail with its notch: where they stand, and what a tape reads.

use yokeline::drawing::sheet::{Item, Sheet};
use yokeline::drawing::{Role, notch};
use yokeline::geometry::Vec2;
use yokeline::pipeline;
use yokeline::spec::types::Projection;

const THROUGH: &str = include_str!("../../examples/heron-through/linkage.toml");

fn views(text: &str, projection: Projection) -> (Sheet, Vec<Vec<Vec2>>, f64) {
    let mut solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    solved.spec.output.projection = projection;
    let sheet = notch::sheets(&solved.spec, &solved.solution, 0).pop().unwrap();
    let loops = solved.solution.notches[0].shop.clone();
    let own = &solved.spec.notches[0];
    (sheet, loops, solved.spec.rails[own.rail].marks[own.datum.unwrap()].at)
}

fn texts(sheet: &Sheet) -> Vec<(String, Vec2)> {
    let texts = sheet.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some((text.words.clone(), text.at)),
        Item::Line(_) => None,
    });
    texts.collect()
}

fn at(sheet: &Sheet, words: &str) -> Vec2 {
    let found: Vec<_> = texts(sheet).into_iter().filter(|text| text.0 == words).collect();
    assert_eq!(found.len(), 1, "{words}: {:?}", texts(sheet));
    found[0].1
}

/// ISO 128-3 (from memory): in first angle the view from above stands below and what is seen from the right side of the
/// sheet's main view at its left; in third angle above and at the right.
#[test]
fn views_stand_as_the_projection_angle_asks() {
    let place = |projection| {
        let (sheet, ..) = views(crate::common::HERON, projection);
        let main = at(&sheet, "seen from the right");
        (at(&sheet, "seen from above") - main, at(&sheet, "seen from the front") - main)
    };
    let (above, end) = place(Projection::Third);
    assert!(above.y > 20.0 && above.x.abs() < 1.0 && end.x > 20.0, "{above:?} {end:?}");
    let (above, end) = place(Projection::First);
    assert!(above.y < -20.0 && above.x.abs() < 1.0 && end.x < -20.0, "{above:?} {end:?}");
}

/// Both ends of each opening along the rail, from the mark: of the outline's points, which stray from its curves by
/// 0.02 mm at most.
#[test]
fn a_tape_finds_both_ends_of_every_opening() {
    for text in [crate::common::HERON, THROUGH] {
        let (sheet, loops, mark) = views(text, Projection::Third);
        let printed: Vec<f64> = texts(&sheet)
            .iter()
            .filter_map(|text| text.0.strip_prefix('[')?.strip_suffix(" mm]")?.parse().ok())
            .collect();
        for points in &loops {
            let ends = points.iter().fold([f64::MAX, f64::MIN], |[a, b], q| [a.min(q.x), b.max(q.x)]);
            for end in ends.map(|u| (u - mark).abs()) {
                assert!(printed.iter().any(|length| (length - end).abs() < 0.025), "{end} of {printed:?}");
            }
        }
    }
}

/// ISO 128-2: hidden edges are dashed. Of a passage through both webs the far one is behind the near one.
#[test]
fn the_far_opening_of_a_passage_is_dashed() {
    let (sheet, loops, _) = views(THROUGH, Projection::Third);
    assert_eq!(loops.len(), 2);
    let of = |role| {
        let lines = sheet.items.iter().filter_map(move |item| match item {
            Item::Line(line) if line.role == role => Some(line),
            Item::Line(_) | Item::Text(_) => None,
        });
        lines.filter(|line| line.path.flattened(0.1).len() > 8).count()
    };
    assert_eq!(
        (of(Role::Hidden), of(Role::Outline)),
        (1, 4),
        "far, near, the section and the two circles of the projection symbol"
    );
    let (sheet, ..) = views(crate::common::HERON, Projection::Third);
    assert!(!sheet.items.iter().any(|item| matches!(item, Item::Line(line) if line.role == Role::Hidden)));
}

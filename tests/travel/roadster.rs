//! The roadster with its arms, tie rod and engine in motion.

use yokeline::check::Status;
use yokeline::pipeline::{self, Solved};

const TRAVEL: &str = include_str!("../../examples/heron-travel/linkage.toml");

fn solved(text: &str) -> Solved {
    pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap()
}

#[test]
fn a_gap_over_motions_is_proved_and_says_where() {
    let solved = solved(TRAVEL);
    assert_eq!(solved.failed(), 0);
    let rows = &solved.solution.clearances;
    for row in rows {
        let moved = !row.at.is_empty();
        assert_eq!(moved, row.lower.is_some() && row.taped.is_some(), "{row:?}");
        if let (Some(lower), Some(taped)) = (row.lower, row.taped) {
            assert!(lower <= row.gap && row.gap <= taped.gap && row.gap - lower <= 0.05 + 1e-6, "{row:?}");
        }
    }
    let arm = rows.iter().find(|row| row.part == "intermediate" && row.obstacle == "upper arm").unwrap();
    assert_eq!(arm.at.keys().collect::<Vec<_>>(), ["upper arm travel"]);
    // Full bump: 3 in.
    super::near(arm.at["upper arm travel"], 76.2, 1e-9);
    let rod = rows.iter().find(|row| row.part == "lower" && row.obstacle == "tie rod").unwrap();
    assert_eq!(rod.at.len(), 2);
}

#[test]
fn half_an_inch_nearer_fails_and_says_where() {
    let near = TRAVEL.replace("[10.5, -9.0, 8.5]", "[10.5, -9.0, 8.0]");
    assert_ne!(near, TRAVEL);
    let solved = solved(&near);
    let failed: Vec<_> = solved.findings.iter().filter(|finding| finding.status == Status::Fail).collect();
    let [finding] = failed[..] else { panic!("{failed:#?}") };
    assert_eq!((&*finding.rule, &*finding.subject), ("clearance", "intermediate to upper arm"));
    assert!(finding.message.contains("with upper arm travel at 3.000 in (76.2 mm)"), "{}", finding.message);
    // At ride height it would clear.
    let row = solved.solution.clearances.iter().find(|row| row.part == "intermediate" && row.obstacle == "upper arm");
    assert!(row.unwrap().taped.unwrap().gap > row.unwrap().need);
}

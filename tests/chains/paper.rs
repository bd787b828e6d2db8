//! Packages of chains, and what the audit finds on their layout sheets.

use std::collections::BTreeMap;

use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use yokeline::{audit, pipeline};

use super::linkage::Linkage;
use super::solve;

fn package(text: &str) -> BTreeMap<String, Vec<u8>> {
    let solved = solve(text);
    let files = pipeline::make(text.as_bytes(), &solved, &mut |_| ()).unwrap();
    files.into_iter().map(|file| (file.path, file.bytes)).collect()
}

fn wrong(package: &BTreeMap<String, Vec<u8>>) -> Vec<String> {
    let lines = audit::audit(package).lines;
    lines.iter().filter(|line| !line.good).map(|line| format!("{} {}", line.file, line.what)).collect()
}

/// Two to eight joints, drawn at random, in both projections: written, read back and measured, all three views.
#[test]
fn packages_of_chains_are_clean() {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[23; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    for count in [2, 3, 5, 8] {
        let text = Linkage::draw(count, runner.rng()).text();
        for projection in ["first", "third"] {
            let text = text.replacen("[column]", &format!("[output]\nprojection = \"{projection}\"\n[column]"), 1);
            let package = package(&text);
            assert_eq!(wrong(&package), Vec::<String>::new());
            let measured = audit::audit(&package).lines;
            let views =
                measured.iter().filter(|line| line.file.contains("layout.") && line.what.contains("view, axis"));
            // Across and up, in three views, in PDF and SVG.
            assert_eq!(views.count(), 12 * (count - 1));
        }
    }
}

/// A view moved by a tenth of a millimetre, an axis bent, a page at another scale than it says.
#[test]
fn a_spoiled_layout_is_found() {
    let good = package(&Linkage::planar(&[(0.3, None), (0.9, Some(45.0)), (0.3, None)], 300.0).text());
    assert_eq!(wrong(&good), Vec::<String>::new());
    let svg = String::from_utf8(good["drawings/layout.svg"].clone()).unwrap();
    let spoiled = |text: String| {
        assert_ne!(text, svg);
        let mut package = good.clone();
        package.insert("drawings/layout.svg".into(), text.into_bytes());
        wrong(&package)
    };
    // Every package has the hash of each file: that is found too, once.
    let places = |found: &[String]| found.iter().filter(|line| !line.contains("sha256")).cloned().collect::<Vec<_>>();
    let line = svg.lines().find(|line| line.contains("id=\"plan.axis.1\"")).unwrap();
    let start = line.find("d=\"M ").unwrap() + 5;
    let end = start + line[start..].find(' ').unwrap();
    let x: f64 = line[start..end].parse().unwrap();
    let moved = line.replacen(&line[start..end], &format!("{:.4}", x + 0.1), 1);
    let found = places(&spoiled(svg.replace(line, &moved)));
    assert!(found.iter().any(|line| line.contains("plan view, axis of s0, across")), "{found:?}");
    assert!(found.iter().any(|line| line.contains("side view under plan")), "{found:?}");
    let lost = places(&spoiled(svg.replace("id=\"rear.housing.2\"", "id=\"rear.house\"")));
    assert!(lost.iter().any(|line| line.contains("rear view, housing of j1")), "{lost:?}");
    let scale = svg.split("aria-label=\"1:").nth(1).and_then(|rest| rest.split('"').next()).unwrap();
    let other = places(&spoiled(svg.replace(&format!("\"1:{scale}\""), "\"1:7\"")));
    assert!(other.len() > 6, "{other:?}");
}

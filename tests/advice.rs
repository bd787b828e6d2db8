//! Every recommended change, made in the spec, gives what it promises.

use proptest::prelude::Rng;
use proptest::test_runner::{Config, RngAlgorithm, TestRng};
use yokeline::catalog::forms::FormShape;
use yokeline::geometry::Vec3;
use yokeline::pipeline;
use yokeline::solve::solution::Advice;
use yokeline::solve::solve;
use yokeline::spec::Spec;
use yokeline::spec::types::TwistWish;

use crate::common::{heron, read};

const LONG: &str = include_str!("../examples/otter-van-forward/linkage.toml");

fn indices(key: &str) -> (usize, &str) {
    let mut parts = key.split('.');
    let index = parts.nth(1).unwrap().parse().unwrap();
    (index, parts.next().unwrap())
}

/// The change as a person would make it in the spec, from the key and the value alone.
fn changed(spec: &Spec, advice: &Advice) -> Spec {
    let mut spec = spec.clone();
    let (i, part) = indices(&advice.key);
    match advice.kind.as_str() {
        "ears" => {
            let hub = if part == "upper" { &mut spec.joints[i].upper } else { &mut spec.joints[i].lower };
            hub.ears = Some(advice.to[0].to_radians());
        }
        "twist" => spec.shafts[i].twist = Some(TwistWish::Angle(advice.to[0].to_radians())),
        "teeth" => {
            let hub = &mut spec.joints[i].upper;
            let diameter = hub.fits.diameter();
            hub.fits.shape = FormShape::Serrated { teeth: advice.to[0] as u32, diameter, master: false };
            (hub.ears, hub.tooth) = (None, None);
        }
        "centre" => {
            let by = Vec3::new(advice.to[0], advice.to[1], advice.to[2]);
            spec.joints[i].centre = spec.joints[i].centre.map(|centre| centre + by);
        }
        other => panic!("{other}"),
    }
    spec
}

/// Promised and found agree, and the best comes first.
fn keeps_its_promises(spec: &Spec) -> usize {
    let (before, _) = solve(spec).unwrap();
    let mut last = 0.0;
    for advice in &before.phase.advice {
        let (after, _) = solve(&changed(spec, advice)).unwrap_or_else(|errors| panic!("{}: {errors:#?}", advice.what));
        let found = &after.motion;
        assert!(
            (found.error - advice.error).abs() < 1e-9,
            "{}: promised {}, found {}",
            advice.what,
            advice.error,
            found.error
        );
        assert!((found.ratio_max - advice.ratio_max).abs() < 1e-9, "{}", advice.what);
        assert!(advice.error < before.motion.error - 0.049, "{}: no gain", advice.what);
        assert!(advice.error >= last, "{}: out of order", advice.what);
        assert!(advice.error >= after.motion.best.error - 1e-9, "{}: better than the best", advice.what);
        last = advice.error;
    }
    let loss = before.motion.error - before.motion.best.error;
    assert!((before.phase.loss - loss).abs() < 1e-9);
    before.phase.advice.len()
}

#[test]
fn the_roadsters_changes_keep_their_promises() {
    let spec = heron();
    assert!(keeps_its_promises(&spec) >= 2);
    // Milled at the best twist nothing is lost and nothing is left to advise.
    let (before, _) = solve(&spec).unwrap();
    let milled = before.phase.advice.iter().find(|advice| advice.kind == "twist").unwrap();
    let after = changed(&spec, milled);
    assert_eq!(keeps_its_promises(&after), 0);
    assert!(solve(&after).unwrap().0.phase.loss < 1e-9);
}

/// A hub turned a quarter turn at both ends in turn, every tooth count a hub may have, and an inner joint moved about.
#[test]
fn changes_keep_their_promises_on_linkages_drawn_at_random() {
    let mut rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let mut unit = move || (rng.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
    let _ = Config::default();
    let (two, more) = (heron(), read(LONG));
    let mut told = 0;
    for _ in 0..25 {
        for base in [&two, &more] {
            let mut spec = base.clone();
            for joint in &mut spec.joints {
                let shift = Vec3::new(unit() - 0.5, unit() - 0.5, unit() - 0.5) * 60.0;
                joint.centre = joint.centre.map(|centre| centre + shift);
                for hub in [&mut joint.upper, &mut joint.lower] {
                    hub.ears = hub.ears.map(|_| if unit() < 0.5 { 0.0 } else { std::f64::consts::FRAC_PI_2 });
                }
            }
            spec.column.axis =
                (spec.column.axis + Vec3::new(unit() - 0.5, unit() - 0.5, unit() - 0.5) * 0.3).unit().unwrap();
            // A place the joints cannot reach is no linkage.
            if solve(&spec).is_ok() {
                told += keeps_its_promises(&spec);
            }
        }
    }
    assert!(told > 20, "{told} changes looked at");
}

/// In the text of the roadster: a hub with its ears across.
#[test]
fn a_change_of_the_text() {
    let text = crate::common::HERON;
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let Some(advice) = solved.solution.phase.advice.iter().find(|a| a.kind == "ears") else {
        // Parallel ears are the better half where none is told: across must then be worse.
        let worse = text.replacen("ears   = \"parallel\"\nscrews = [{ at = \"0.50 in\", thread = \"5/16-18\", point = \"cone\", jam = true }]\n\n[[joint]]", "ears   = \"across\"\nscrews = [{ at = \"0.50 in\", thread = \"5/16-18\", point = \"cone\", jam = true }]\n\n[[joint]]", 1);
        assert_ne!(worse, text);
        let after = pipeline::solve("linkage.toml", worse.as_bytes(), &mut |_| ()).unwrap();
        assert!(after.solution.motion.error > solved.solution.motion.error);
        let told = after.solution.phase.advice.iter().find(|a| a.kind == "ears").unwrap();
        assert!((told.error - solved.solution.motion.error).abs() < 1e-9, "back again is what is told");
        return;
    };
    panic!("the roadster's ears are across already: {}", advice.what);
}

//! Teeth of several shafts chosen together, against every tooth of every shaft counted out.
//!
//! The error of a setting is worked here from the product of the joints' maps (two by two, by its singular values; Fischer
//! and Paul, J. Mech. Des. 113, 263 (1991), and its extension to any chain: derived, verified numerically).

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use yokeline::catalog::forms::FormShape;
use yokeline::geometry::Vec3;
use yokeline::solve::chain::chain;
use yokeline::solve::solve;
use yokeline::spec::Spec;

use crate::common::read;

const LONG: &str = include_str!("../examples/otter-van-forward/linkage.toml");

/// Half of peak to peak (deg): asin((s₁ − s₂)/(s₁ + s₂)) of D(βₙ) R(αₙ₋₁) … D(β₁), α = 90° + δ − ψ.
fn error(angles: &[f64], psi: &[f64], delta: &[f64]) -> f64 {
    let mut m = [[1.0, 0.0], [0.0, angles[0].cos()]];
    for i in 1..angles.len() {
        let (s, c) = (std::f64::consts::FRAC_PI_2 + delta[i - 1] - psi[i - 1]).sin_cos();
        let row = |a: f64, b: f64| [a * m[0][0] + b * m[1][0], a * m[0][1] + b * m[1][1]];
        let (first, second) = (row(c, -s), row(s, c));
        m = [first, second.map(|x| x * angles[i].cos())];
    }
    let (sum, difference) =
        (f64::hypot(m[0][0] + m[1][1], m[0][1] - m[1][0]), f64::hypot(m[0][0] - m[1][1], m[0][1] + m[1][0]));
    // s₁ + s₂ and s₁ − s₂ of a two by two matrix.
    (difference.min(sum) / sum.max(difference)).asin().to_degrees()
}

/// Both shafts toothed from end to end, every hub's tooth measured at these angles (deg).
fn toothed(teeth: [u32; 2], at: [f64; 4], nudge: Vec3) -> Spec {
    let mut spec = read(LONG);
    spec.shafts[1].slip = None;
    spec.shafts[1].chamfer = None;
    spec.joints[0].centre = spec.joints[0].centre.map(|c| c + nudge);
    for (i, teeth) in teeth.into_iter().enumerate() {
        let form = FormShape::Serrated { teeth, diameter: 19.05, master: false };
        spec.shafts[i].stock.shape = form;
        for (side, tooth) in [(0, at[2 * i]), (1, at[2 * i + 1])] {
            let hub = if side == 0 { &mut spec.joints[i].lower } else { &mut spec.joints[i + 1].upper };
            hub.fits.shape = form;
            hub.ears = None;
            hub.tooth = Some(tooth.to_radians());
        }
    }
    spec
}

#[test]
fn no_pair_of_teeth_is_better_than_the_one_chosen() {
    let mut rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[11; 32]);
    let mut unit = move || (rng.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
    let mut better_together = 0;
    for round in 0..40 {
        let teeth = [[36, 36], [26, 30], [36, 48], [30, 36]][round % 4];
        let at = [unit() * 10.0, unit() * 10.0, unit() * 10.0, unit() * 10.0];
        let mut spec = toothed(teeth, at, Vec3::default());
        let lean = Vec3::new(unit() - 0.5, unit() - 0.5, unit() - 0.5) * 0.4;
        spec.column.axis = (spec.column.axis + lean).unit().unwrap();
        let Ok(chain) = chain(&spec) else { continue };
        let Ok((solution, _)) = solve(&spec) else { continue };
        let (angles, psi) = (chain.uneven_angles(), chain.uneven_psi());
        assert_eq!(angles.len(), 3);
        let steps = teeth.map(|n| 360.0 / f64::from(n));
        let straight = [at[1] - at[0], at[3] - at[2]];
        let mut least = f64::INFINITY;
        for a in 0..teeth[0] {
            for b in 0..teeth[1] {
                let delta = [straight[0] + f64::from(a) * steps[0], straight[1] + f64::from(b) * steps[1]];
                least = least.min(error(&angles, &psi, &delta.map(f64::to_radians)));
            }
        }
        // Half a turn of a yoke is the same yoke, so an odd count of teeth would have finer places; these are even.
        let found = solution.motion.error;
        assert!((found - least).abs() < 1e-9, "round {round}: chosen {found}, best {least}");
        let nearest = |i: usize| {
            let wanted = solution.shafts[i].twist.wanted.unwrap();
            straight[i] + ((wanted - straight[i]) / steps[i]).round() * steps[i]
        };
        let alone = error(&angles, &psi, &[nearest(0), nearest(1)].map(f64::to_radians));
        better_together += usize::from(alone > found + 1e-6);
        for (i, shaft) in solution.shafts.iter().enumerate() {
            assert!(shaft.twist.certain);
            assert!((shaft.twist.step.unwrap() - steps[i]).abs() < 1e-9);
        }
    }
    assert!(better_together > 0, "choosing together made no difference in any round: the test proves nothing");
}

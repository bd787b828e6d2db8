//! Torsion of the bar, and the solvers under it.

use std::f64::consts::PI;

use yokeline::geometry::torsion::{self, TorsionError, double_d, round};
use yokeline::geometry::{least_squares, root};

use crate::reference::check_values;

fn rows(table: &str) -> Vec<serde_json::Value> {
    check_values()[table].as_array().unwrap().clone()
}

fn number(row: &serde_json::Value, key: &str) -> f64 {
    row[key].as_f64().unwrap()
}

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}, allowed {allowed:e}");
}

/// Prandtl's function by a least-squares harmonic basis at three resolutions, cross-checked by finite
/// differences and by the finite elements of the open-source sectionproperties: see `about` in the file.
#[test]
fn solid_double_d_to_1e_8() {
    for row in rows("dd_solid_torsion") {
        let x = number(&row, "h_over_r");
        // The row of 0.75 over 0.55 in is printed with twelve decimals.
        let x = if (x - 4.0 / 15.0).abs() < 1e-11 { 4.0 / 15.0 } else { x };
        let bar = double_d(2.0, 2.0 * (1.0 - x), None).unwrap();
        near(bar.k, number(&row, "k_over_r4"), 1e-8, &format!("K at {x}"));
        near(bar.shear_per_torque, number(&row, "b"), 1e-8, &format!("B at {x}"));
        assert_eq!(bar.shear_per_torque_bore, None);
    }
}

/// As above, two resolutions agreeing to nine digits.
#[test]
fn bored_double_d_to_1e_8() {
    for row in rows("dd_hollow_torsion") {
        let (x, c) = (number(&row, "h_over_r"), number(&row, "bore_over_r"));
        let bar = double_d(2.0, 2.0 * (1.0 - x), Some(2.0 * c)).unwrap();
        near(bar.k, number(&row, "k_over_r4"), 1e-8, &format!("K at {x}, {c}"));
        near(bar.shear_per_torque, number(&row, "b_mid_flat"), 1e-8, &format!("B at {x}, {c}"));
        near(bar.shear_per_torque_bore.unwrap(), number(&row, "b_bore"), 1e-8, &format!("B in the bore at {x}, {c}"));
    }
}

/// Roark's Formulas for Stress and Strain, 7th ed., Table 10.1, circular shaft with opposite sides flattened
/// (coefficients from memory), within the departures known of the printed polynomials.
#[expect(clippy::approx_constant, reason = "the coefficients as printed")]
#[test]
fn roark_within_his_accuracy() {
    for (from, to, in_k, in_b) in [(0.1, 0.3, 0.008, 0.003), (0.3, 0.6, 0.022, 0.018)] {
        for i in 0..=20 {
            let x = from + (to - from) * f64::from(i) / 20.0;
            let k = 2.0 * (0.7854 + x * (-0.4053 + x * (-3.5810 + x * (5.2708 - 2.0772 * x))));
            let b = 0.6366 + x * (2.5303 + x * (-11.157 + x * (49.568 + x * (-85.886 + x * 69.849))));
            let bar = double_d(2.0, 2.0 * (1.0 - x), None).unwrap();
            near(bar.k / k, 1.0, in_k, &format!("K against Roark at {x}"));
            near(bar.shear_per_torque / b, 1.0, in_b, &format!("B against Roark at {x}"));
        }
    }
}

/// Closed form: K = π r⁴/2, B = 2/π (any strength of materials). A vanishing flat must come to it.
#[test]
fn a_round_bar_is_the_limit_of_vanishing_flats() {
    let bar = round(2.0, None).unwrap();
    near(bar.k, PI / 2.0, 1e-15, "K");
    near(bar.shear_per_torque, 2.0 / PI, 1e-15, "B");
    let tube = round(2.0, Some(1.0)).unwrap();
    near(tube.k, PI / 2.0 * (1.0 - 1.0 / 16.0), 1e-15, "K of the tube");
    near(tube.worst_shear_per_torque() * tube.k, 1.0, 1e-15, "shear outside");
    near(tube.shear_per_torque_bore.unwrap() * tube.k, 0.5, 1e-15, "shear in the bore");
    let nearly = double_d(2.0, 2.0 * 0.9999, None).unwrap();
    near(nearly.k / bar.k, 1.0, 1e-3, "K of nearly round");
    let nearly = double_d(2.0, 2.0 * 0.9999, Some(1.0)).unwrap();
    near(nearly.k / tube.k, 1.0, 1e-3, "K of a nearly round tube");
}

/// K goes with the fourth power of the size and the stress with the inverse cube.
#[test]
fn size_scales_as_it_must() {
    let (small, large) = (double_d(0.75, 0.55, Some(0.2)).unwrap(), double_d(19.05, 13.97, Some(5.08)).unwrap());
    near(large.k / small.k, 25.4f64.powi(4), 1e-6, "K");
    let bore = |bar: torsion::Torsion| bar.shear_per_torque_bore.unwrap();
    near(small.shear_per_torque / large.shear_per_torque, 25.4f64.powi(3), 1e-7, "mid-flat");
    near(bore(small) / bore(large), 25.4f64.powi(3), 1e-6, "bore");
}

/// Every bar a shop could cut has an answer; what cannot be a bar, or cannot be trusted, has none.
#[test]
fn the_stated_range_is_met_and_nonsense_refused() {
    for i in 0..=70 {
        let flats = 0.3 + 0.6999 * f64::from(i) / 70.0;
        assert!(double_d(1.0, flats, None).is_ok(), "solid, flats {flats}");
        for bore in [0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.97] {
            let least = [(0.1, 0.3), (0.7, 0.35), (0.8, 0.45), (0.9, 0.5), (0.95, 0.65), (0.97, 0.75)];
            if least.iter().find(|(up_to, _)| bore <= *up_to).is_some_and(|(_, least)| flats >= *least) {
                let found = double_d(1.0, flats, Some(flats * bore));
                assert!(found.is_ok(), "flats {flats}, bore {bore} of them: {found:?}");
            }
        }
    }
    for (diameter, flats, bore) in [(1.0, 1.0, None), (1.0, 0.5, Some(0.5)), (1.0, -0.1, None), (f64::NAN, 0.5, None)] {
        assert_eq!(double_d(diameter, flats, bore), Err(TorsionError::Shape));
    }
    assert_eq!(round(1.0, Some(1.0)), Err(TorsionError::Shape));
    // A bore that all but cuts the web of a deep double-D through.
    assert!(matches!(double_d(1.0, 0.3, Some(0.3 * 0.98)), Err(TorsionError::Residual { .. })));
}

/// NIST Statistical Reference Datasets, linear regression, Longley (1967), data and certified values (from memory).
#[test]
fn least_squares_on_longley() {
    let rows: [[f64; 7]; 16] = [
        [60323.0, 83.0, 234_289.0, 2356.0, 1590.0, 107_608.0, 1947.0],
        [61122.0, 88.5, 259_426.0, 2325.0, 1456.0, 108_632.0, 1948.0],
        [60171.0, 88.2, 258_054.0, 3682.0, 1616.0, 109_773.0, 1949.0],
        [61187.0, 89.5, 284_599.0, 3351.0, 1650.0, 110_929.0, 1950.0],
        [63221.0, 96.2, 328_975.0, 2099.0, 3099.0, 112_075.0, 1951.0],
        [63639.0, 98.1, 346_999.0, 1932.0, 3594.0, 113_270.0, 1952.0],
        [64989.0, 99.0, 365_385.0, 1870.0, 3547.0, 115_094.0, 1953.0],
        [63761.0, 100.0, 363_112.0, 3578.0, 3350.0, 116_219.0, 1954.0],
        [66019.0, 101.2, 397_469.0, 2904.0, 3048.0, 117_388.0, 1955.0],
        [67857.0, 104.6, 419_180.0, 2822.0, 2857.0, 118_734.0, 1956.0],
        [68169.0, 108.4, 442_769.0, 2936.0, 2798.0, 120_445.0, 1957.0],
        [66513.0, 110.8, 444_546.0, 4681.0, 2637.0, 121_950.0, 1958.0],
        [68655.0, 112.6, 482_704.0, 3813.0, 2552.0, 123_366.0, 1959.0],
        [69564.0, 114.2, 502_601.0, 3931.0, 2514.0, 125_368.0, 1960.0],
        [69331.0, 115.7, 518_173.0, 4806.0, 2572.0, 127_852.0, 1961.0],
        [70551.0, 116.9, 554_894.0, 4007.0, 2827.0, 130_081.0, 1962.0],
    ];
    let certified = [
        -3_482_258.634_595_82,
        15.061_872_271_373_3,
        -0.035_819_179_292_591_0,
        -2.020_229_803_816_83,
        -1.033_226_867_173_59,
        -0.051_104_105_653_580_7,
        1_829.151_464_613_55,
    ];
    let columns: Vec<Vec<f64>> =
        (0..7).map(|k| rows.iter().map(|row| if k == 0 { 1.0 } else { row[k] }).collect()).collect();
    let right: Vec<f64> = rows.iter().map(|row| row[0]).collect();
    let found = least_squares::solve(columns, &right).unwrap();
    for (found, wanted) in found.iter().zip(certified) {
        // Condition about 5e9 unscaled: nine digits are what doubles hold.
        near(found / wanted, 1.0, 1e-9, "Longley");
    }
}

#[test]
fn least_squares_says_what_is_wrong() {
    use least_squares::LeastSquaresError::{Dependent, NotFinite, Shape};
    let right = [1.0, 2.0, 4.0];
    let (one, x) = (vec![1.0; 3], vec![0.0, 1.0, 2.0]);
    let twice = |k: f64| x.iter().map(|x| 1.0 + k * x).collect::<Vec<_>>();
    let solve = |columns: Vec<Vec<f64>>| least_squares::solve(columns, &right);
    assert_eq!(solve(vec![one.clone(), x.clone(), twice(3.0)]), Err(Dependent { column: 2 }));
    assert_eq!(solve(vec![vec![0.0; 3]]), Err(Dependent { column: 0 }));
    assert_eq!(solve(vec![vec![f64::NAN; 3]]), Err(NotFinite));
    assert_eq!(solve(vec![vec![1.0; 2]]), Err(Shape));
    assert_eq!(solve(vec![one.clone(); 4]), Err(Shape));
    // The line through (0, 1), (1, 2), (2, 4): slope 3/2, intercept 5/6; a doubled column changes nothing.
    let fitted = least_squares::fit(vec![one.clone(), one, x], &right).unwrap();
    near(fitted[0], 5.0 / 6.0, 1e-14, "intercept");
    near(fitted[1], 0.0, 0.0, "doubled column");
    near(fitted[2], 1.5, 1e-14, "slope");
}

/// Wallis's cubic x³ − 2x − 5 (OEIS A007493) and cos x = x (OEIS A003957).
#[test]
fn roots_of_two_old_equations() {
    let cubic = |x: f64| x * x * x - 2.0 * x - 5.0;
    let mut calls = 0;
    let counted = |x: f64| {
        calls += 1;
        cubic(x)
    };
    near(root::find(counted, 2.0, 3.0, 1e-14).unwrap(), 2.094_551_481_542_326_6, 1e-14, "Wallis");
    // Bisection alone takes 49.
    assert!(calls <= 15, "{calls} evaluations");
    near(root::find(|x| x - x.cos(), 0.0, 1.0, 1e-14).unwrap(), 0.739_085_133_215_160_6, 1e-14, "Dottie");
    near(root::find(|x| x.cos() - x, 0.0, 1.0, 1e-14).unwrap(), 0.739_085_133_215_160_6, 1e-14, "falling");
    // A step has no slope to follow.
    near(root::find(|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0, 1e-12).unwrap(), 0.3, 1e-12, "step");
    assert_eq!(root::find(|x| x, 0.0, 1.0, 1e-9), Ok(0.0));
    assert_eq!(root::find(|x| x + 1.0, 0.0, 1.0, 1e-9), Err(root::RootError::NotBracketed));
    assert_eq!(root::find(|x| x, 1.0, -1.0, 1e-9), Err(root::RootError::Interval));
    assert_eq!(root::find(|_| f64::NAN, 0.0, 1.0, 1e-9), Err(root::RootError::NotANumber { at: 0.0 }));
}

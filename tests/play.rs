//! Free play at the wheel.

use yokeline::catalog::forms::FormShape;
use yokeline::pipeline;
use yokeline::solve::play::{one_way, rim_allowed};

use crate::common::HERON;

fn near(found: f64, wanted: f64, allowed: f64, what: &str) {
    assert!((found - wanted).abs() <= allowed, "{what}: found {found}, wanted {wanted}");
}

const fn double_d(flats: f64) -> FormShape {
    FormShape::DoubleD { diameter: 19.05, flats, bore: None }
}

/// 3/4 in over 14.2875 mm with 0.05, 0.1 and 0.2 mm too much across the flats (derived; verified numerically).
#[test]
fn play_of_a_wide_hole() {
    for (wide, degrees) in [(0.05, 0.227_872), (0.1, 0.456_784), (0.2, 0.917_803)] {
        near(one_way(double_d(14.2875 + wide), double_d(14.2875)).unwrap(), degrees, 5e-7, "one way");
    }
    assert_eq!(one_way(FormShape::Round { diameter: 19.05, bore: None }, double_d(14.0)), None);
}

/// RCW 46.37.375: 2 in for wheels up to 16 in, 2 1/4 in at 18 in, 2 1/2 in at 20 in.
#[test]
fn what_is_allowed_at_the_rim() {
    for (wheel, inches) in [(13.0, 2.0), (16.0, 2.0), (18.0, 2.25), (20.0, 2.5), (22.0, 2.5)] {
        near(rim_allowed(wheel * 25.4), inches * 25.4, 1e-12, "rim");
    }
}

/// Three holes 0.004 in wider than their bars: the column's hub counts as it is, the two below through the ratio.
#[test]
fn the_sum_at_the_wheel() {
    let wide = "fits   = { dd = { diameter = \"0.75 in\", flats = \"0.554 in\" } }";
    let text = HERON.replace("fits   = \"dd-3/4\"", wide).replace("= \"14 in\"", "= \"15 in\"");
    let solved = pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).unwrap();
    let play = &solved.solution.free_play;
    let one = (0.554f64 / 0.75).asin().to_degrees() - (0.55f64 / 0.75).asin().to_degrees();
    let ratio = 1.0 / solved.solution.joints[0].angle.to_radians().cos();
    assert_eq!(play.fits.len(), 3);
    for fit in &play.fits {
        near(fit.one_way, one, 1e-9, &fit.at);
    }
    near(play.at_wheel, 2.0 * one * (1.0 + 2.0 * ratio), 1e-9, "at the wheel");
    near(play.at_rim.unwrap(), 190.5 * play.at_wheel.to_radians(), 1e-9, "at the rim");
    assert!(play.not_known.is_empty(), "teeth squeezed by a pinch bolt have no play: {:?}", play.not_known);
}

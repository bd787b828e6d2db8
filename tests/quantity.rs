//! What people write becomes millimetres, radians, newton metres; what people read comes back.
#![expect(clippy::float_cmp, reason = "exactness is what is tested")]

use proptest::prelude::*;
use yokeline::quantity::{
    self, Fault, INCH, NOT_KNOWN, Unit, length_of_number, parse_angle, parse_length, parse_torque,
};

fn inch(text: &str) -> f64 {
    parse_length(text, Unit::Inch).unwrap_or_else(|e| panic!("{text}: {e}"))
}

/// 12 3/8 in is 314.325 mm: international inch of 25.4 mm exactly (yard and pound agreement, 1959).
#[test]
fn every_written_form_of_twelve_and_three_eighths_is_the_nearest_f64() {
    for text in [
        "12.375 in",
        "12 3/8 in",
        "12-3/8 in",
        "12 - 3/8 in",
        "12–3/8 in",
        "12⅜ in",
        "12 ⅜ in",
        "12 3/8\"",
        "12 3/8″",
        "12 3/8”",
        "12 3⁄8 inch",
        "12 3/8",
        "12.375",
        "  12 3/8 IN ",
        "12 3/8in",
        "12 3/8 in.",
        "+12.3750 in",
        "1 ft 3/8 in",
        "1' 3/8\"",
        "1'-3/8\"",
        "1′ 0 3/8″",
        "99/8 in",
        "314.325 mm",
        "31.4325 cm",
        "0.314325 m",
    ] {
        assert_eq!(inch(text).to_bits(), 314.325_f64.to_bits(), "{text}");
    }
    assert_eq!(parse_length("12 3/8", Unit::Millimetre), Ok(12.375));
    assert_eq!(length_of_number(12.375, Unit::Inch), Ok(314.325));
    assert_eq!(length_of_number(1e-300, Unit::Inch), Ok(1e-300 * 25.4));
}

#[test]
fn other_lengths() {
    for (text, mm) in [
        ("330 mm", 330.0),
        ("33 cm", 330.0),
        ("0.33 m", 330.0),
        ("1 ft 2 1/2 in", 368.3),
        ("1' 2 1/2\"", 368.3),
        ("2 feet", 609.6),
        ("-1/4 in", -6.35),
        ("−1/4 in", -6.35),
        ("-12-3/8 in", -314.325),
        ("-1 ft 2 in", -355.6),
        (".5 in", 12.7),
        ("0", 0.0),
        ("-0 mm", 0.0),
        ("100 m", 100_000.0),
    ] {
        let found = inch(text);
        assert_eq!(found.to_bits(), f64::to_bits(mm), "{text}: {found}");
    }
}

/// Factors of NIST SP 811, App. B (from memory): 1 ft lbf = 1.355 818 N m, 1 in lbf = 0.112 984 8 N m.
#[test]
fn torques_and_angles() {
    for text in ["60 N m", "60 Nm", "60 N·m", "60 N⋅m", "60 N-m", "60nm"] {
        assert_eq!(parse_torque(text), Ok(60.0), "{text}");
    }
    for text in ["44 ft lbf", "44 ft-lb", "44 lbf ft", "44 ft·lbf", "44 lb-ft", "44 ft. lbs."] {
        let found = parse_torque(text).unwrap();
        assert!((found - 44.0 * 1.355_817_948_3).abs() < 1e-8, "{text}: {found}");
    }
    let found = parse_torque("530 in lbf").unwrap();
    assert!((found - 530.0 * 0.112_984_829).abs() < 1e-6, "{found}");

    for text in ["30 deg", "30°", "30 °", "30", "30.0 degrees"] {
        assert!((parse_angle(text).unwrap() - std::f64::consts::FRAC_PI_6).abs() < 1e-15, "{text}");
    }
    assert_eq!(parse_angle("22 1/2 deg").unwrap(), 22.5_f64.to_radians());
    assert!((parse_angle("0.5 rad").unwrap() - 0.5).abs() < 1e-15);
    assert!((parse_angle("-90°").unwrap() + std::f64::consts::FRAC_PI_2).abs() < 1e-15);
}

#[test]
fn what_is_refused_says_what_to_do() {
    let of = |text: &str| {
        let error = parse_length(text, Unit::Inch).expect_err(text);
        format!("{error} / {}", error.help())
    };
    assert_eq!(
        of("12,5 in"),
        "`12,5 in` has a comma; a length takes a decimal point / write a decimal point, as in 12.5"
    );
    assert_eq!(
        of("12 furlong"),
        "`12 furlong` has the unknown unit `furlong`; a length is in mm, cm, m, in (or \"), ft (or ') / use one of mm, cm, m, in (or \"), ft (or ')"
    );
    assert_eq!(
        of("12 3/0 in"),
        "`12 3/0 in` has a fraction over zero / write the fraction over 2, 4, 8, 16, 32 or 64, as in 3/8"
    );
    assert_eq!(
        of(" "),
        "empty text where a length must stand / write a length such as \"12 3/8 in\", \"12.375 in\" or \"314.3 mm\""
    );
    assert_eq!(
        of("100.001 m"),
        "`100.001 m` is larger than the largest length, 100 m (3937 in) / check the decimal point and the unit"
    );
    let fault = |text: &str| parse_length(text, Unit::Inch).expect_err(text).fault;
    assert_eq!(fault("in"), Fault::NoNumber("in".into()));
    assert_eq!(fault("3/"), Fault::NoNumber(String::new()));
    assert_eq!(fault("12-"), Fault::NoNumber(String::new()));
    assert_eq!(fault("12 11/8 in"), Fault::ImproperFraction("11/8".into()));
    assert_eq!(fault("12 5 in"), Fault::Mixed("5 in".into()));
    assert_eq!(fault("12-0.5 in"), Fault::Mixed("0.5 in".into()));
    assert_eq!(fault("1 ft 2 mm"), Fault::Mixed("2 mm".into()));
    assert_eq!(fault("1 ft 2"), Fault::Mixed("2".into()));
    assert_eq!(fault("1 in 2 in"), Fault::Mixed("2 in".into()));
    assert_eq!(fault("nan"), Fault::NoNumber("nan".into()));
    assert_eq!(fault("1e3 in"), Fault::UnknownUnit("e".into()));
    assert_eq!(fault(&"1".repeat(61)), Fault::TooLong);
    assert_eq!(fault(&"9".repeat(60)), Fault::TooLarge);
    assert_eq!(parse_torque("60").expect_err("bare").fault, Fault::NoUnit);
    assert_eq!(parse_torque("60 kg").expect_err("mass").fault, Fault::UnknownUnit("kg".into()));
    assert_eq!(parse_angle("361").expect_err("over").fault, Fault::TooLarge);
    assert_eq!(parse_angle("30 grad").expect_err("gon").fault, Fault::UnknownUnit("grad".into()));
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(length_of_number(number, Unit::Inch).expect_err("not finite").fault, Fault::NotFinite);
        assert_eq!(quantity::angle_of_number(number).expect_err("not finite").fault, Fault::NotFinite);
    }
    assert_eq!(length_of_number(4000.0, Unit::Inch).expect_err("101.6 m").fault, Fault::TooLarge);
}

#[test]
fn what_people_read() {
    assert_eq!(quantity::millimetres(19.05, 2), "19.05 mm");
    assert_eq!(quantity::millimetres(20.0, 2), "20 mm");
    assert_eq!(quantity::millimetres(100.0, 0), "100 mm");
    assert_eq!(quantity::millimetres(-0.001, 2), "0 mm");
    assert_eq!(quantity::decimal_inch(19.05), "0.750 in");
    assert_eq!(quantity::decimal_inch(-0.001), "0.000 in");
    assert_eq!(quantity::both_units(19.05, Unit::Inch), "0.750 in (19.05 mm)");
    assert_eq!(quantity::both_units(19.05, Unit::Millimetre), "19.05 mm (0.750 in)");
    assert_eq!(quantity::degrees(22.66, 1), "22.7°");
    assert_eq!(quantity::degrees(-0.01, 1), "0.0°");
    assert_eq!(quantity::torque(60.0), "60 N m (44.3 ft lbf)");
    assert_eq!(quantity::stress(213.49), "213 MPa");
    assert_eq!(quantity::stress(73.642), "73.6 MPa");
    assert_eq!(quantity::stress(9996.0), "10000 MPa");
    assert_eq!(quantity::significant(0.002_742_811, 3), "0.00274");
    assert_eq!(quantity::significant(0.0, 3), "0.00");
    assert_eq!(quantity::percent(0.125), "12.5 %");
    assert_eq!(quantity::factor(2.9), "2.90");
    for printed in [
        quantity::millimetres(f64::NAN, 2),
        quantity::decimal_inch(f64::INFINITY),
        quantity::both_units(f64::NAN, Unit::Inch),
        quantity::degrees(f64::NAN, 1),
        quantity::torque(f64::NAN),
        quantity::stress(f64::NAN),
        quantity::percent(f64::NAN),
        quantity::tape(f64::NAN, 1.0).to_string(),
        quantity::inch_and_tape(f64::NAN, 1.0),
    ] {
        assert_eq!(printed, NOT_KNOWN);
    }
}

#[test]
fn tape_marks() {
    let mark = |mm: f64, step: f64| quantity::tape(mm, step).to_string();
    assert_eq!(mark(19.09375 * INCH, INCH / 32.0), "19 3/32 in");
    assert_eq!(mark(485.1, INCH / 32.0), "~19 3/32 in");
    assert_eq!(mark(12.7, INCH / 16.0), "1/2 in");
    assert_eq!(mark(25.4, INCH / 16.0), "1 in");
    assert_eq!(mark(25.3, INCH / 32.0), "~1 in");
    assert_eq!(mark(-6.35, INCH / 32.0), "-1/4 in");
    assert_eq!(mark(0.1, INCH / 16.0), "~0 in");
    assert_eq!(mark(-0.1, INCH / 16.0), "~0 in");
    assert_eq!(mark(2.54, INCH / 10.0), "1/10 in");
    assert_eq!(mark(484.98, 1.0), "~485 mm");
    assert_eq!(mark(484.3, 0.5), "~484.5 mm");
    assert_eq!(quantity::inch_and_tape(485.1, INCH / 32.0), "19.098 in (~19 3/32 in)");
    assert_eq!(quantity::inch_and_tape(314.325, 1.0), "12.375 in (12 3/8 in)");
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC*") {
        let _ = parse_length(&text, Unit::Inch).map_err(|e| (e.to_string(), e.help()));
        let _ = parse_angle(&text).map_err(|e| (e.to_string(), e.help()));
        let _ = parse_torque(&text).map_err(|e| (e.to_string(), e.help()));
    }

    #[test]
    fn no_near_miss_panics(text in "[-+ −0-9./,⅜½'\"°″a-z]{0,20}") {
        if let Ok(mm) = parse_length(&text, Unit::Millimetre) {
            prop_assert!(mm.is_finite() && mm.abs() <= quantity::LENGTH_MAX);
        }
        let _ = parse_angle(&text);
        let _ = parse_torque(&text);
    }

    /// A count of 1/64 in is exact in every way of writing it.
    #[test]
    fn inches_agree_with_millimetres(n in 0_u32..200_000) {
        let (whole, part) = (n / 64, n % 64);
        let mixed = inch(&format!("{whole} {part}/64 in"));
        let decimal = inch(&format!("{} in", f64::from(n) / 64.0));
        let bare = length_of_number(f64::from(n) / 64.0, Unit::Inch).unwrap();
        // n × 25.4 / 64 = n × 254 / 640: whole numbers, one rounding.
        let exact = f64::from(n) * 254.0 / 640.0;
        prop_assert_eq!(mixed.to_bits(), exact.to_bits());
        prop_assert_eq!(decimal.to_bits(), exact.to_bits());
        prop_assert_eq!(bare.to_bits(), exact.to_bits());
        prop_assert_eq!(inch(&format!("{n}/64")).to_bits(), exact.to_bits());
    }

    #[test]
    fn feet_are_twelve_inches(feet in 0_u32..300, eighths in 0_u32..96) {
        let text = format!("{feet} ft {} {}/8 in", eighths / 8, eighths % 8);
        prop_assert_eq!(inch(&text), inch(&format!("{}/8 in", feet * 96 + eighths)));
    }

    #[test]
    fn a_sign_mirrors(n in 0_u32..100_000) {
        prop_assert_eq!(inch(&format!("-{n}/32 in")), -inch(&format!("{n}/32 in")));
    }

    #[test]
    fn a_tape_mark_reads_back_within_half_a_step(mm in -99_000.0_f64..99_000.0, n in 1_u32..=64) {
        for step in [INCH / f64::from(n), 1.0, 0.5] {
            let mark = quantity::tape(mm, step);
            let back = inch(&mark.text);
            prop_assert!((back - mm).abs() <= step / 2.0 + 1e-6, "{} against {}", mark.text, mm);
            prop_assert!((back - mm - mark.off).abs() < 1e-6);
        }
    }

    #[test]
    fn printed_lengths_read_back(mm in -99_000.0_f64..99_000.0) {
        prop_assert!((inch(&quantity::millimetres(mm, 2)) - mm).abs() <= 0.005 + 1e-9);
        prop_assert!((inch(&quantity::decimal_inch(mm)) - mm).abs() <= 0.0005 * INCH + 1e-9);
    }

    #[test]
    fn three_digits_are_within_half_a_per_cent(value in 1e-6_f64..1e9) {
        let back: f64 = quantity::significant(value, 3).parse().unwrap();
        prop_assert!((back - value).abs() <= 0.005 * value * (1.0 + 1e-9));
    }
}

//! The catalogue against the printed tables it is taken from.
#![expect(clippy::float_cmp, reason = "a catalogue value is the nearest f64 to the printed one")]

use std::collections::BTreeSet;
use std::f64::consts::{FRAC_PI_2, PI};

use yokeline::catalog::fasteners::{ScrewPoint, Thread, clearance, dimple, set_screw, thread};
use yokeline::catalog::forms::{self, FormShape};
use yokeline::catalog::tolerances::{GeneralClass, linear};
use yokeline::catalog::{self, fasteners, joints, materials, sheets};
use yokeline::quantity::{FOOT_POUND, INCH};

#[track_caller]
fn close(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} against {wanted}");
}

fn known(name: &str) -> Thread {
    thread(name).unwrap_or_else(|| panic!("{name}")).thread.clone()
}

#[test]
fn every_file_decodes_and_every_entry_names_its_source() {
    assert_eq!(catalog::faults(), Vec::<String>::new());
    let rows = catalog::listing();
    let mut names = BTreeSet::new();
    for row in &rows {
        assert!(!row.source.trim().is_empty() && !row.title.trim().is_empty() && !row.sizes.is_empty(), "{row:?}");
        let kind = if row.kind == "stock" { "form" } else { row.kind };
        assert!(names.insert((kind, row.name.clone())), "{} {} stands twice", row.kind, row.name);
    }
    let kinds: BTreeSet<&str> = rows.iter().map(|row| row.kind).collect();
    assert_eq!(kinds.len(), 8, "{kinds:?}");
    assert!(serde_json::to_string(&rows).unwrap().contains("\"dd-3/4\""));
}

/// Trade sizes; common practice, no source: no standard gives a double-D.
#[test]
fn double_d_forms_ask_to_be_measured() {
    for (name, diameter, flats) in [
        ("dd-3/4", 0.750 * INCH, 0.550 * INCH),
        ("dd-3/4-wide", 0.750 * INCH, 0.575 * INCH),
        ("dd-1", INCH, 0.8 * INCH),
        ("dd-17mm", 17.0, 14.5),
    ] {
        let entry = forms::find(name).unwrap_or_else(|| panic!("{name}"));
        let FormShape::DoubleD { diameter: d, flats: f, bore: None } = entry.shape else { panic!("{entry:?}") };
        close(d, diameter, 1e-9);
        close(f, flats, 1e-9);
    }
    for entry in forms::forms() {
        let special = !matches!(entry.shape, FormShape::Round { .. });
        assert_eq!(entry.measure, special, "{}", entry.name);
        if matches!(entry.shape, FormShape::DoubleD { .. }) {
            assert!(entry.source.contains("no standard"), "{}", entry.name);
        }
    }
}

/// A serration's name is its diameter and its teeth (common practice, no source).
#[test]
fn serrations_are_what_their_names_say() {
    let mut seen = 0;
    for entry in forms::forms() {
        let FormShape::Serrated { teeth, diameter, .. } = entry.shape else { continue };
        let (size, count) = entry.name.rsplit_once('-').unwrap();
        assert_eq!(teeth.to_string(), count);
        let mut parts = size.split('/').map(|part| part.parse::<f64>().unwrap());
        let inches = parts.next().unwrap() / parts.next().unwrap_or(1.0);
        close(diameter, inches * INCH, 1e-9);
        seen += 1;
    }
    assert_eq!(seen, 8);
}

#[test]
fn tubes_are_outside_diameter_by_wall() {
    for entry in forms::stock() {
        let FormShape::Round { diameter, bore: Some(bore) } = entry.shape else { panic!("{entry:?}") };
        let wall: f64 = entry.name.rsplit_once('x').unwrap().1.parse().unwrap();
        close((diameter - bore) / 2.0, wall * INCH, 1e-9);
    }
}

/// ASME B18.3-2012, in Machinery's Handbook, 31st ed., p. 1825, Table 15. Inches: hex, cup max, dog max,
/// half-dog length max, cone step.
#[test]
fn inch_set_screws() {
    for (name, row) in [
        ("1/4-20", [1.0 / 8.0, 0.132, 0.156, 0.067, 0.31]),
        ("5/16-18", [5.0 / 32.0, 0.172, 0.203, 0.082, 0.38]),
        ("3/8-16", [3.0 / 16.0, 0.212, 0.250, 0.099, 0.44]),
        ("7/16-14", [7.0 / 32.0, 0.252, 0.297, 0.114, 0.50]),
        ("1/2-13", [1.0 / 4.0, 0.291, 0.344, 0.130, 0.57]),
    ] {
        let screw = set_screw(&known(name)).unwrap();
        let found = [screw.hex, screw.cup, screw.dog, screw.dog_length, screw.cone_full.unwrap()];
        for (found, wanted) in found.into_iter().zip(row) {
            close(found, wanted * INCH, 1e-9);
        }
    }
    // Shigley, 9th ed., Table 7-4, p. 389 (from memory): lbf in.
    for (name, seating) in [("1/4-28", 87.0), ("5/16-24", 165.0), ("3/8-24", 290.0), ("1/2-13", 620.0)] {
        close(set_screw(&known(name)).unwrap().seating.unwrap(), seating * FOOT_POUND / 12.0, 1e-9);
    }
    assert!(set_screw(&known("#10-24")).is_none());
}

/// ISO 4026 to 4029 (from memory): hex, cup max, dog max, long dog max (mm).
#[test]
fn metric_set_screws() {
    for (name, row) in [
        ("M5x0.8", [2.5, 2.5, 3.5, 2.75]),
        ("M6x1", [3.0, 3.0, 4.0, 3.25]),
        ("M8x1.25", [4.0, 5.0, 5.5, 4.3]),
        ("M10x1.5", [5.0, 6.0, 7.0, 5.3]),
    ] {
        let screw = set_screw(&known(name)).unwrap();
        assert_eq!([screw.hex, screw.cup, screw.dog, screw.dog_length], row, "{name}");
    }
}

/// ASME B18.2.8-1999 (R2017), in Machinery's Handbook, 31st ed., pp. 1741-1743. The loose drill lies inside
/// the loose hole limits printed there; close column and 1/2 normal from memory.
#[test]
fn inch_clearance_holes() {
    for (bolt, close_drill, normal, loose, limits) in [
        ("1/4", 17.0 / 64.0, 9.0 / 32.0, 19.0 / 64.0, [0.297, 0.311]),
        ("5/16", 21.0 / 64.0, 11.0 / 32.0, 23.0 / 64.0, [0.359, 0.373]),
        ("3/8", 25.0 / 64.0, 13.0 / 32.0, 27.0 / 64.0, [0.422, 0.438]),
        ("7/16", 29.0 / 64.0, 15.0 / 32.0, 31.0 / 64.0, [0.484, 0.500]),
        ("1/2", 17.0 / 32.0, 9.0 / 16.0, 39.0 / 64.0, [0.609, 0.625]),
    ] {
        for (fit, wanted) in [("close", close_drill), ("normal", normal), ("loose", loose)] {
            let hole = clearance(&format!("{bolt} {fit}")).unwrap();
            close(hole.diameter, wanted * INCH, 1e-9);
        }
        let loose = clearance(&format!("{bolt} loose")).unwrap().diameter / INCH;
        // The printed limits are rounded to three places.
        assert!(loose >= limits[0] - 0.0005 && loose <= limits[1], "{bolt}: {loose}");
    }
    let hole = clearance("5/16 normal").unwrap();
    assert_eq!((hole.drill.as_str(), hole.bolt.as_str(), hole.fit.as_str()), ("11/32 in", "5/16", "normal"));
    assert_eq!(hole.size(), "11/32 in (8.73 mm)");
}

/// ISO 273 (from memory); BS 4186 in Machinery's Handbook, 31st ed., p. 2173, agrees up to M10.
#[test]
fn metric_clearance_holes() {
    for (bolt, row) in [
        ("M5", [5.3, 5.5, 5.8]),
        ("M6", [6.4, 6.6, 7.0]),
        ("M8", [8.4, 9.0, 10.0]),
        ("M10", [10.5, 11.0, 12.0]),
        ("M12", [13.0, 13.5, 14.5]),
    ] {
        for (fit, wanted) in ["fine", "medium", "coarse"].into_iter().zip(row) {
            assert_eq!(clearance(&format!("{bolt}  {fit}")).unwrap().diameter, wanted);
        }
    }
}

#[test]
fn an_unknown_bolt_or_fit_says_what_there_is() {
    let error = clearance("5/17 normal").expect_err("no such bolt");
    assert_eq!(error.to_string(), "bolt `5/17` is not in the catalogue");
    assert_eq!(error.help(), "use one of 1/4, 5/16, 3/8, 7/16, 1/2, M5, M6, M8, M10, M12");
    let error = clearance("M8 normal").expect_err("an inch fit");
    assert_eq!(error.to_string(), "fit of the bolt `normal` is not in the catalogue");
    assert_eq!(error.help(), "use one of coarse, fine, medium");
    assert_eq!(clearance("M8").expect_err("no fit").to_string(), "no fit of the bolt given");
    assert!(clearance("").is_err());
}

/// ISO 2306 (from memory) and trade tables; inch drills in inches. The rule behind them is D − P.
#[test]
fn tap_drills() {
    for (name, drill, wanted) in [
        ("M5x0.8", "4.2 mm", 4.2),
        ("M6x1", "5 mm", 5.0),
        ("M8x1.25", "6.8 mm", 6.8),
        ("M10x1.5", "8.5 mm", 8.5),
        ("M12x1.75", "10.2 mm", 10.2),
        ("1/4-20", "#7", 0.2010 * INCH),
        ("1/4-28", "#3", 0.2130 * INCH),
        ("5/16-18", "F", 0.2570 * INCH),
        ("5/16-24", "I", 0.2720 * INCH),
        ("3/8-16", "5/16 in", 0.3125 * INCH),
        ("3/8-24", "Q", 0.3320 * INCH),
        ("1/2-13", "27/64 in", 27.0 / 64.0 * INCH),
    ] {
        let entry = thread(name).unwrap();
        assert_eq!(entry.tap_drill, drill);
        close(entry.tap_diameter, wanted, 1e-9);
    }
    for entry in fasteners::threads() {
        let Thread { name, diameter, pitch } = &entry.thread;
        // Drills come in steps, so D − P is met to 3.5 % of the diameter.
        close(entry.tap_diameter, diameter - pitch, 0.035 * diameter);
        assert!(entry.tap_diameter > entry.thread.minor_diameter() && entry.tap_diameter < *diameter, "{name}");
    }
}

/// Basic minor diameters printed in ASME B1.1 and ISO 724 (from memory): inches, then mm.
#[test]
fn basic_minor_diameters() {
    for (name, inches) in [("1/4-20", 0.1959), ("5/16-18", 0.2524), ("3/8-16", 0.3073), ("1/2-13", 0.4167)] {
        close(known(name).minor_diameter() / INCH, inches, 0.000_06);
    }
    for (name, mm) in [("M5x0.8", 4.134), ("M6x1", 4.917), ("M8x1.25", 6.647), ("M10x1.5", 8.376)] {
        close(known(name).minor_diameter(), mm, 0.000_6);
    }
}

/// Depth of a cone to its mouth: 90 degrees d/2, 118 degrees 0.300 430 31 d (trigonometry; solved by hand).
#[test]
fn dimples_by_point() {
    let thread = known("5/16-18");
    let cone = dimple(&thread, ScrewPoint::Cone).unwrap();
    close(cone.drill, FRAC_PI_2, 1e-15);
    close(cone.diameter, (0.3125 - 1.082_532 / 18.0) * INCH, 1e-5);
    close(cone.depth, cone.diameter / 2.0, 1e-12);

    let cup = dimple(&thread, ScrewPoint::Cup).unwrap();
    close(cup.drill.to_degrees(), 118.0, 1e-12);
    close(cup.diameter, 0.172 * INCH, 1e-9);
    close(cup.depth, 0.300_430_31 * 0.172 * INCH, 1e-7);

    let dog = dimple(&thread, ScrewPoint::Dog).unwrap();
    assert_eq!(dog.drill, PI);
    close(dog.diameter, 0.203 * INCH, 1e-9);
    close(dog.depth, 0.082 * INCH, 1e-9);

    let flat = dimple(&thread, ScrewPoint::Flat).unwrap();
    assert_eq!((flat.depth, flat.diameter), (0.0, 0.0));

    // No table here gives the point of these sizes.
    assert!(dimple(&known("#10-24"), ScrewPoint::Cup).is_none());
    assert!(dimple(&known("M12x1.75"), ScrewPoint::Dog).is_none());
}

/// Shigley, Table A-20 (1986 SAE Handbook, p. 2.15), in MPa; 4130 and 304 from memory (ASM handbook, ASTM A276).
#[test]
fn yield_strengths() {
    for (name, wanted) in [
        ("1018-hot-rolled", 220.0),
        ("1018-cold-drawn", 370.0),
        ("1020-hot-rolled", 210.0),
        ("1020-cold-drawn", 390.0),
        ("1045-hot-rolled", 310.0),
        ("1045-cold-drawn", 530.0),
        ("4130-normalised", 435.0),
        ("304-annealed", 205.0),
    ] {
        let material = materials::find(name).unwrap();
        assert_eq!(material.yield_strength, wanted, "{name}");
        assert_eq!(material.shear_modulus, if name.starts_with('3') { 77_000.0 } else { 79_300.0 });
    }
    assert_eq!(materials::names().len(), 8);
}

/// ASME Y14.1 sizes A and B; ISO 216 A4 and A3.
#[test]
fn sheet_sizes() {
    for (name, title, size) in [
        ("letter", "Letter", [8.5 * INCH, 11.0 * INCH]),
        ("tabloid", "Tabloid", [11.0 * INCH, 17.0 * INCH]),
        ("a4", "A4", [210.0, 297.0]),
        ("a3", "A3", [297.0, 420.0]),
    ] {
        let sheet = sheets::find(name).unwrap();
        assert_eq!(sheet.title, title);
        close(sheet.size[0], size[0], 1e-9);
        close(sheet.size[1], size[1], 1e-9);
    }
}

/// ISO 2768-1:1989, Table 1 (from memory): one length inside each column, and the columns' edges.
#[test]
fn general_tolerances() {
    let lengths = [2.0, 5.0, 20.0, 100.0, 250.0, 700.0, 1500.0, 3000.0];
    for (class, row) in [
        (GeneralClass::Medium, [0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0]),
        (GeneralClass::Coarse, [0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 4.0]),
    ] {
        for (length, wanted) in lengths.into_iter().zip(row) {
            assert_eq!(linear(class, length), Some(wanted));
        }
    }
    for (length, wanted) in lengths.into_iter().zip([0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5]) {
        assert_eq!(linear(GeneralClass::Fine, length), Some(wanted));
    }
    for (length, wanted) in lengths[1..].iter().zip([0.5, 1.0, 1.5, 2.5, 4.0, 6.0, 8.0]) {
        assert_eq!(linear(GeneralClass::VeryCoarse, *length), Some(wanted));
    }
    assert_eq!(linear(GeneralClass::Fine, 3000.0), None);
    assert_eq!(linear(GeneralClass::VeryCoarse, 2.0), None);
    // "Over 30 up to 120": the edge belongs to the lower column.
    assert_eq!(linear(GeneralClass::Medium, 30.0), Some(0.2));
    assert_eq!(linear(GeneralClass::Medium, 30.01), Some(0.3));
    assert_eq!(linear(GeneralClass::Medium, 0.4), None);
    assert_eq!(linear(GeneralClass::Medium, 4001.0), None);
    assert_eq!(linear(GeneralClass::Medium, f64::NAN), None);
    for class in GeneralClass::ALL {
        assert_eq!(GeneralClass::find(class.name()), Some(class));
    }
    assert_eq!(GeneralClass::find("iso 2768-M"), Some(GeneralClass::Medium));
    assert_eq!(GeneralClass::find("ISO 2768-mK"), None);
}

#[test]
fn joints_name_forms_and_threads_of_the_catalogue() {
    assert_eq!(joints::names(), ["single-3/4", "single-3/4-36", "single-1", "single-17mm", "double-3/4"]);
    for joint in joints::joints() {
        assert!(joint.source.contains("measure yours"), "{}", joint.part);
        for side in ["upper", "lower"] {
            let hub = joint.keys[side].as_table().unwrap();
            assert!(forms::find(hub["fits"].as_str().unwrap()).is_some(), "{}", joint.part);
            for screw in hub["screws"].as_array().unwrap() {
                assert!(thread(screw["thread"].as_str().unwrap()).is_some(), "{}", joint.part);
            }
        }
    }
    let single = joints::find("single-3/4").unwrap();
    assert_eq!(single.keys["swing"].as_str(), Some("1.50 in"));
    assert_eq!(single.keys["upper"]["reach"].as_str(), Some("1.60 in"));
}

//! Damage to a shaft's STEP file: as text, and as another solid that is whole in itself.

use yokeline::export::step::{self, StepMeta};
use yokeline::model;
use yokeline::pipeline;
use yokeline::solve::identity::{self, Identity};
use yokeline::solve::member::Member;
use yokeline::solve::solution::ShaftResult;
use yokeline::spec::types::Unit;

use super::{found, heron, swapped};
use crate::common::HERON;

const FILE: &str = "solids/shaft-intermediate.step";

/// The file of a shaft that differs from the solved one in a size, its chamfer (mm) or what is said of it.
pub(super) fn another(
    change: impl FnOnce(&mut ShaftResult, &mut Option<f64>, &mut StepMeta),
) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    |_| {
        let solved = pipeline::solve("linkage.toml", HERON.as_bytes(), &mut |_| ()).unwrap();
        let (spec, mut result) = (&solved.spec, solved.solution.shafts[0].clone());
        let shaft = &spec.shafts[0];
        let mut chamfer = shaft.chamfer;
        let member = Member::plain(shaft.stock.shape, &result, chamfer);
        let Identity { name, part_number, texts, .. } = identity::shaft(spec, 0, &member);
        let mut meta = StepMeta {
            path: FILE.to_owned(),
            name,
            part_number,
            description: String::new(),
            revision: "A".to_owned(),
            author: String::new(),
            date: String::new(),
            schema: spec.output.step_schema,
            unit: spec.output.step_unit,
            texts,
        };
        change(&mut result, &mut chamfer, &mut meta);
        let solid = model::shaft::solid(shaft.stock.shape, &result, chamfer).unwrap();
        step::write(&solid, &meta).unwrap()
    }
}

#[test]
fn the_same_shaft_written_again_is_clean() {
    let mut package = heron();
    let bytes = another(|_, _, meta| meta.description = "the same".to_owned())(Vec::new());
    assert!(package.insert(FILE.to_owned(), bytes.clone()).unwrap() != bytes);
    super::seal(&mut package);
    super::clean_but_for_bytes(&package, &[FILE]);
}

#[test]
fn a_shaft_a_hundredth_of_a_millimetre_longer_is_named() {
    found(heron(), FILE, "cut length", another(|shaft, _, _| shaft.cut_length += 0.01));
    found(heron(), FILE, "cut length", another(|shaft, _, _| shaft.cut_length -= 5e-6));
}

#[test]
fn a_dimple_moved_a_tenth_of_a_millimetre_is_named() {
    found(
        heron(),
        FILE,
        "dimple on the flat, station",
        another(|shaft, _, _| {
            shaft.dimples[0].z += 0.1;
            shaft.dimples[0].station += 0.1;
        }),
    );
}

#[test]
fn a_dimple_turned_to_the_other_flat_is_named() {
    found(heron(), FILE, "dimple", another(|shaft, _, _| shaft.dimples[1].clock = 180.0));
}

#[test]
fn a_dimple_of_another_size_is_named() {
    found(
        heron(),
        FILE,
        "depth",
        another(|shaft, _, _| {
            shaft.dimples[0].depth += 0.01;
            shaft.dimples[0].diameter += 0.02;
        }),
    );
}

#[test]
fn a_missing_dimple_is_named() {
    found(
        heron(),
        FILE,
        "upper dimple on the flat at 12.700 mm",
        another(|shaft, _, _| {
            shaft.dimples.remove(0);
        }),
    );
}

#[test]
fn a_dimple_too_many_is_named() {
    found(
        heron(),
        FILE,
        "dimples",
        another(|shaft, _, _| {
            let mut more = shaft.dimples[0].clone();
            more.z += 40.0;
            more.station += 40.0;
            shaft.dimples.push(more);
        }),
    );
}

#[test]
fn another_chamfer_is_named() {
    found(heron(), FILE, "chamfer", another(|_, chamfer, _| *chamfer = Some(chamfer.unwrap_or(0.0) + 0.3)));
}

#[test]
fn another_unit_is_named() {
    found(heron(), FILE, "length unit", another(|_, _, meta| meta.unit = Unit::Inch));
    // The same numbers in another unit: 25.4 times the shaft, or none that is a length.
    found(heron(), FILE, "length unit", |bytes| {
        swapped(bytes, "SI_UNIT(.MILLI., .METRE.)", "SI_UNIT(.CENTI., .METRE.)")
    });
    found(heron(), FILE, "length unit", |bytes| swapped(bytes, "SI_UNIT(.MILLI., .METRE.)", "SI_UNIT($, .METRE.)"));
}

#[test]
fn another_product_name_is_named() {
    found(heron(), FILE, "product name", |bytes| {
        swapped(bytes, "PRODUCT('HR-017 intermediate', 'intermediate'", "PRODUCT('HR-017 intermediate', 'Intermediate'")
    });
}

/// Records by name, each with its line.
pub(super) fn records(text: &str, name: &str) -> Vec<String> {
    let start = format!(" = {name}(");
    text.lines().filter(|line| line.contains(&start)).map(str::to_owned).collect()
}

#[test]
fn a_record_taken_out_is_named() {
    let text = String::from_utf8(heron()[FILE].clone()).unwrap();
    for name in [
        "ADVANCED_FACE",
        "EDGE_CURVE",
        "CONICAL_SURFACE",
        "CYLINDRICAL_SURFACE",
        "VERTEX_POINT",
        "CLOSED_SHELL",
        "PRODUCT",
    ] {
        let line = records(&text, name).pop().unwrap();
        found(heron(), FILE, "", |bytes| swapped(bytes, &format!("{line}\n"), ""));
    }
}

#[test]
fn a_cone_moved_by_its_text_alone_is_named() {
    let text = String::from_utf8(heron()[FILE].clone()).unwrap();
    // CONICAL_SURFACE('', #place, ..), AXIS2_PLACEMENT_3D('', #point, ..), CARTESIAN_POINT('', (x, y, z)).
    let cones = records(&text, "CONICAL_SURFACE");
    assert_eq!(cones.len(), 2);
    let second = |line: &str| line.split('#').nth(2).unwrap().split([',', ')']).next().unwrap().to_owned();
    let record = |id: &str| text.lines().find(|line| line.starts_with(&format!("#{id} = "))).unwrap().to_owned();
    let point = record(&second(&record(&second(&cones[0]))));
    let (head, z) = point.rsplit_once(", ").unwrap();
    let moved = z.trim_end_matches("));").parse::<f64>().unwrap() + 0.1;
    found(heron(), FILE, "edges off their faces", |bytes| swapped(bytes, &point, &format!("{head}, {moved:?}));")));
    found(heron(), FILE, "station", |bytes| swapped(bytes, &point, &format!("{head}, {moved:?}));")));
}

#[test]
fn a_radius_changed_by_its_text_alone_is_named() {
    let text = String::from_utf8(heron()[FILE].clone()).unwrap();
    let bar = records(&text, "CYLINDRICAL_SURFACE").remove(0);
    found(heron(), FILE, "diameter", |bytes| swapped(bytes, &bar, &bar.replace("9.525", "9.5251")));
}

#[test]
fn a_face_turned_inside_out_is_named() {
    let text = String::from_utf8(heron()[FILE].clone()).unwrap();
    for face in records(&text, "ADVANCED_FACE") {
        let turned =
            if face.ends_with(".T.);") { face.replace(".T.);", ".F.);") } else { face.replace(".F.);", ".T.);") };
        found(heron(), FILE, "", |bytes| swapped(bytes, &face, &turned));
    }
}

//! What is bought to make a notched rail good.

use yokeline::pipeline;

#[test]
fn tube_and_plate_for_a_notch_are_on_the_order_list() {
    let solved = pipeline::solve("linkage.toml", crate::common::HERON.as_bytes(), &mut |_| ()).unwrap();
    let notch = &solved.solution.notches[0];
    let line = |item: &str| {
        let own: Vec<_> = solved.solution.order.iter().filter(|line| line.item == item).collect();
        assert_eq!(own.len(), 1, "{own:?}");
        own[0]
    };
    let tube = line("tube");
    assert!(tube.what.starts_with("1.750 in (44.45 mm) outside, 0.120 in (3.05 mm) wall"), "{}", tube.what);
    assert!(tube.what.ends_with("liner of \"left rail notch\"") && tube.what.contains("weldable steel"));
    assert_eq!((tube.quantity, tube.length), (1, Some(notch.liner.as_ref().unwrap().length)));
    // Both doublers are of one size, so they are one line; the longer side is sawn, the shorter is the stock's width.
    let plate = line("plate");
    assert_eq!((plate.quantity as usize, notch.doublers.len()), (2, 2));
    let u: Vec<f64> = notch.doublers[0].outline.iter().flatten().map(|p| p.x).collect();
    let long = u.iter().fold(f64::MIN, |a, b| a.max(*b)) - u.iter().fold(f64::MAX, |a, b| a.min(*b));
    assert!((plate.length.unwrap() - long).abs() < 1e-9, "{plate:?}");
    assert!(plate.what.starts_with("0.125 in (3.17 mm) thick, "), "{}", plate.what);
}

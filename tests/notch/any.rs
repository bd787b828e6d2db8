//! What holds for any notch.

use proptest::prelude::*;
use yokeline::geometry::Vec2;
use yokeline::geometry::contour::{holds, sides};
use yokeline::solve::bodies::{Room, RoomShape};
use yokeline::solve::notch::notch;
use yokeline::spec::types::{Body, Edge, Face, Section};

use super::{cylinder, off_side, p, rail_of, spec_with, wall_distance};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn any_wall_left_standing_is_clear(
        on in prop::array::uniform3(-20.0..20.0_f64),
        way in prop::array::uniform3(-1.0..1.0_f64),
        radius in 3.0..15.0_f64,
        clearance in 0.5..12.0_f64,
        corner in 0.0..9.0_f64,
        wall in 1.0..6.0_f64,
        kind in 0..3,
    ) {
        let section = match kind {
            0 => Section::Tube { height: 90.0, width: 60.0, wall, corner },
            1 => Section::Channel { height: 90.0, width: 60.0, wall, corner, open: Face::Left },
            _ => Section::Pipe { diameter: 80.0, wall },
        };
        let edge = if kind == 2 { Edge::Centre } else { Edge::Corner(Face::Top, Face::Right) };
        let spec = spec_with([p(-200.0, 0.0, 0.0), p(200.0, 0.0, 0.0)], edge, section, clearance, 6.0);
        let rail = rail_of(&spec);
        let [x, y, z] = on;
        let above = if kind == 2 { 40.0 } else { 0.0 };
        let [a, b, c] = way;
        let Some(way) = p(a, b, c).unit() else { return Ok(()) };
        let from = p(x, y, z + above);
        let rooms = [
            cylinder(Body::Shaft(0), from, from + way * 70.0, radius),
            Room { body: Body::Joint(0), shape: RoomShape::Ball { centre: from, radius: 1.3 * radius } },
        ];
        // On an arc a hundredth of a millimetre of outside can move the far end of the wall by more.
        let quick = if corner > 0.0 { (wall / corner - 1.0).max(1.0) } else { 1.0 };
        if let Ok(trace) = notch(&spec, 0, &rail, &rooms) {
            prop_assert!(trace.certified < 0.02, "certified {}", trace.certified);
            prop_assert!(trace.gap_left >= clearance - 2e-5, "gap {} of {clearance}", trace.gap_left);
            let edge: Vec<(Vec2, Vec2)> = trace.shop.iter().flat_map(|l| sides(l)).collect();
            for q in trace.traced.iter().flatten() {
                let off = edge.iter().map(|&(a, b)| off_side(*q, a, b)).fold(f64::MAX, f64::min);
                prop_assert!(off < 1e-6 || holds(&trace.shop, *q), "({}, {}) is {off} outside", q.x, q.y);
            }
            let (low, high) = rail.v_range();
            for i in 0..400 {
                let (u, v) = (100.0 + 200.0 * f64::from(i % 20) / 20.0, low + (high - low) * f64::from(i / 20) / 20.0);
                let gone = (-1..=1).any(|k| holds(&trace.traced, Vec2::new(u, v + f64::from(k) * rail.girth)));
                let found = wall_distance(&rail, u, v, &rooms, 200);
                let right = if gone { found <= clearance + 0.012 * quick } else { found >= clearance - 1e-6 };
                if (-1..=1).all(|k| !holds(&trace.shop, Vec2::new(u, v + f64::from(k) * rail.girth))) {
                    prop_assert!(trace.gap_left <= found + 1e-9, "gap {} over {found}", trace.gap_left);
                }
                prop_assert!(right, "({u}, {v}) gone: {gone}, {found} of {clearance}");
            }
            for (a, b) in trace.traced.iter().flat_map(|l| sides(l)).step_by(3) {
                // On a sharp corner's own line the wall turns at once, and an edge along it has two walls.
                if corner == 0.0 && (a.y - b.y).abs() < 1e-9 {
                    continue;
                }
                let q = (a + b) * 0.5;
                let bare = rail.v_range();
                if !rail.closed && (q.y <= bare.0 + 1e-6 || q.y >= bare.1 - 1e-6) || q.x <= 1e-6 || q.x >= 400.0 - 1e-6 {
                    continue;
                }
                let found = wall_distance(&rail, q.x, q.y, &rooms, 400);
                prop_assert!(found >= clearance - 2e-7, "edge at ({}, {}): {found} of {clearance}", q.x, q.y);
                prop_assert!(found <= clearance + 0.021 * quick, "edge at ({}, {}): {found} of {clearance}", q.x, q.y);
            }
        }
    }
}

/// Found by the random notches above: the true notch lies to one side of the seam of the wrap and the one to cut, wider,
/// to the other. Both are one place of the rail and must be drawn as one.
#[test]
fn the_notch_to_cut_holds_the_true_one_where_both_lie_across_the_seam() {
    let section = Section::Pipe { diameter: 80.0, wall: 5.822_825_945_910_92 };
    let spec = spec_with([p(-200.0, 0.0, 0.0), p(200.0, 0.0, 0.0)], Edge::Centre, section, 1.195_390_329_896_774, 6.0);
    let from = p(0.0, -10.825_145_221_182_002, 20.285_329_419_375_38);
    let way = p(0.164_300_188_383_372_57, 0.026_051_564_554_180_34, -0.161_886_738_775_448_15).unit().unwrap();
    let radius = 7.520_895_019_458_184;
    let rooms = [
        cylinder(Body::Shaft(0), from, from + way * 70.0, radius),
        Room { body: Body::Joint(0), shape: RoomShape::Ball { centre: from, radius: 1.3 * radius } },
    ];
    let trace = notch(&spec, 0, &rail_of(&spec), &rooms).unwrap();
    let across = trace.shop.iter().flatten().any(|q| q.y.abs() > 0.5 * 80.0 * std::f64::consts::PI);
    assert!(across, "not across the seam");
    assert!(trace.traced.iter().flatten().all(|q| {
        let near = trace.shop.iter().flatten().map(|s| (*s - *q).length()).fold(f64::MAX, f64::min);
        near < 6.0
    }));
}

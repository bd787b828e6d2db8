//! What a tape reads of a notch's outline on its rail, from the mark and from the rail's own faces.

use super::super::rail_part;
use super::super::solution::{NotchResult, RailResult};
use crate::geometry::Vec2;

/// Curves are followed to this (mm).
const FINE: f64 = 1e-3;
/// What is less (mm) is no length of its own.
const SAME: f64 = 1.0;

/// Lengths (mm) in the order a tape meets them, none twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Taped {
    /// Both ends of each loop along the rail, from the mark; negative before it.
    pub along: Vec<f64>,
    /// Both ends of each loop down from the rail's highest face.
    pub down: Vec<f64>,
    /// Both ends of each loop in from its rightmost face, where the loop goes over a corner.
    pub across: Vec<f64>,
}

/// The loops of a notch on the section: along the rail (mm), and where on the outside (rightward, up; mm).
pub fn on_section(notch: &NotchResult, rail: &RailResult, fine: f64) -> Vec<Vec<(f64, Vec2)>> {
    let strips = rail_part::strips(rail);
    let girth = rail.girth.unwrap_or(0.0);
    let place = |v: f64| {
        [0.0, girth, -girth].into_iter().find_map(|turn| {
            let strip = strips.iter().find(|strip| (strip.low()..=strip.high()).contains(&(v + turn)))?;
            Some(strip.0.point(v + turn - strip.low()).0)
        })
    };
    let on = |q: Vec2| place(q.y).map(|at| (q.x, at));
    rail_part::paths(notch).iter().map(|path| path.flattened(fine).into_iter().filter_map(on).collect()).collect()
}

/// The outside of a rail's section as a polyline (mm, rightward and up), closed where the rail is.
pub fn section(rail: &RailResult) -> Vec<Vec2> {
    let strips = rail_part::strips(rail);
    let points = |strip: &rail_part::Strip| {
        let (piece, length) = (strip.0, strip.0.length);
        (0..=12).map(move |k| piece.point(length * f64::from(k) / 12.0).0).collect::<Vec<_>>()
    };
    strips.iter().flat_map(points).collect()
}

/// What is taped of a notch whose lengths count from `mark` (mm along the rail).
pub fn taped(notch: &NotchResult, rail: &RailResult, mark: f64) -> Taped {
    let loops = on_section(notch, rail, FINE);
    let ends = |of: &dyn Fn(&(f64, Vec2)) -> f64, least: f64| {
        let both = loops.iter().map(|points| {
            let values = points.iter().map(of);
            values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| [low.min(value), high.max(value)])
        });
        let mut ends: Vec<f64> = both.filter(|[low, high]| high - low > least).flatten().collect();
        ends.sort_by(f64::total_cmp);
        ends.dedup_by(|a, b| (*a - *b).abs() < SAME);
        ends
    };
    let outside = section(rail);
    let most = |of: fn(&Vec2) -> f64| outside.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    let (right, top) = (most(|q| q.x), most(|q| q.y));
    let off_faces = |lengths: Vec<f64>| lengths.into_iter().filter(|length| *length > SAME).collect();
    Taped {
        along: ends(&|q| q.0 - mark, 0.0),
        down: off_faces(ends(&|q| top - q.1.y, 0.0)),
        across: off_faces(ends(&|q| right - q.1.x, SAME)),
    }
}

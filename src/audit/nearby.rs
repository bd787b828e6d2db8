//! Distance from one curve to many points, quickly.

use super::measured::{Measured, Segment};
use crate::geometry::Vec2;

/// Segments in one box; a notch of thousands of short lines then costs a few hundred box looks a point.
const IN_BOX: usize = 16;

/// A curve's segments in boxes.
pub(super) struct Nearby<'a> {
    boxes: Vec<(Vec2, Vec2, &'a [Segment])>,
}

impl<'a> Nearby<'a> {
    /// Boxes the segments as they follow one another.
    pub(super) fn of(curve: &'a Measured) -> Self {
        let boxed = |part: &'a [Segment]| {
            let start = part.first().map_or(Vec2::default(), Segment::from);
            let (low, high) = part.iter().flat_map(corners).fold((start, start), |(low, high), p| {
                (Vec2::new(low.x.min(p.x), low.y.min(p.y)), Vec2::new(high.x.max(p.x), high.y.max(p.y)))
            });
            (low, high, part)
        };
        Self { boxes: curve.segments.chunks(IN_BOX).map(boxed).collect() }
    }

    /// Distance (mm) of a point from the curve; infinite for no segments.
    pub(super) fn distance(&self, p: Vec2) -> f64 {
        let outside = |&(low, high, _): &(Vec2, Vec2, &[Segment])| {
            let off = |low: f64, at: f64, high: f64| (low - at).max(at - high).max(0.0);
            Vec2::new(off(low.x, p.x, high.x), off(low.y, p.y, high.y)).length()
        };
        // The nearest box first, so that most others are left out.
        let first = self.boxes.iter().min_by(|a, b| outside(a).total_cmp(&outside(b)));
        let inside = |part: &[Segment]| part.iter().map(|segment| segment.distance(p)).fold(f64::INFINITY, f64::min);
        let mut least = first.map_or(f64::INFINITY, |(_, _, part)| inside(part));
        for one in &self.boxes {
            if outside(one) < least {
                least = least.min(inside(one.2));
            }
        }
        least
    }
}

/// Points whose box holds a segment.
fn corners(segment: &Segment) -> Vec<Vec2> {
    match *segment {
        Segment::Line { from, to } => vec![from, to],
        Segment::Cubic { from, c1, c2, to } => vec![from, c1, c2, to],
        Segment::Arc { centre, major, minor, .. } => {
            let reach = Vec2::new(major.x.abs() + minor.x.abs(), major.y.abs() + minor.y.abs());
            vec![centre - reach, centre + reach]
        }
    }
}

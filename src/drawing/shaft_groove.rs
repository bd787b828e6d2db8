//! Pinch grooves on the drawing of a shaft.
//!
//! The bolt's cylinder lies square to the shaft, its axis `offset` off the
//! shaft's along the groove's clock. Seen along the bolt it cuts the bar's
//! edge; seen square on the side it is in, its rim shows.

use super::shaft::{Bar, Views};
use crate::geometry::{Path, Piece, Vec2};
use crate::solve::solution::{End, Groove};

/// A cut of a bolt in an upper or lower edge of the bar, on paper.
pub(super) struct Cut {
    /// The bolt's axis.
    pub centre: Vec2,
    /// The bolt's radius.
    radius: f64,
    /// Into the bar: +1 up, −1 down the paper.
    inward: f64,
    /// Half of the angle it takes of the bolt's round.
    half_angle: f64,
}

impl Cut {
    /// Half of what it takes of the edge.
    fn half(&self) -> f64 {
        self.radius * libm::sin(self.half_angle)
    }
}

/// Station from the upper end.
pub(super) fn station(groove: &Groove, length: f64) -> f64 {
    if groove.end == End::Upper { groove.station } else { length - groove.station }
}

/// The cut in a view with its axis at `y` whose upward direction on paper is `up` (cosine to the groove's clock),
/// `edge` from the axis; `None` where the bolt is not seen along its axis or misses the edge.
pub(super) fn cut(groove: &Groove, views: &Views, y: f64, up: f64, edge: f64) -> Option<Cut> {
    /// Cosine above which the bolt counts as seen along its axis: 11 degrees, where its round still looks round.
    const ALONG: f64 = 0.98;
    if up.abs() < ALONG {
        return None;
    }
    let side = up.signum();
    let radius = 0.5 * groove.diameter;
    let over = groove.offset - edge;
    (over.abs() < radius).then(|| Cut {
        centre: Vec2::new(views.x(station(groove, views.length)), y + side * groove.offset * views.scale),
        radius: radius * views.scale,
        inward: -side,
        half_angle: libm::acos(over / radius),
    })
}

/// Pieces along a level edge from one point to another, with the cuts on the way taken out.
pub(super) fn edge(from: Vec2, to: Vec2, inward: f64, cuts: &[Cut]) -> Vec<Piece> {
    let dir = if to.x < from.x { -1.0 } else { 1.0 };
    let (low, high) = (from.x.min(to.x), from.x.max(to.x));
    let mut here: Vec<&Cut> = cuts
        .iter()
        .filter(|cut| cut.inward * inward > 0.0)
        .filter(|cut| cut.centre.x - cut.half() > low && cut.centre.x + cut.half() < high)
        .collect();
    here.sort_by(|a, b| (a.centre.x * dir).total_cmp(&(b.centre.x * dir)));
    let mut pieces = Vec::new();
    for cut in here {
        pieces.push(Piece::Line { to: Vec2::new(cut.centre.x - dir * cut.half(), from.y) });
        let deepest = Vec2::new(0.0, inward).angle();
        // Travelling along +x over a cut that goes down, the bolt's round is run anticlockwise.
        let sense = -dir * inward;
        pieces.push(Piece::circle_arc(
            cut.centre,
            cut.radius,
            deepest - sense * cut.half_angle,
            2.0 * sense * cut.half_angle,
        ));
    }
    pieces.push(Piece::Line { to });
    pieces
}

/// Half of what the groove takes of flat A along the shaft (mm); `None` where it is not in flat A.
pub(super) fn on_flat(groove: &Groove, bar: Bar) -> Option<f64> {
    let over = groove.offset - bar.half_flats;
    let radius = 0.5 * groove.diameter;
    let faces = libm::cos(groove.clock.to_radians()) > 0.98;
    (bar.has_flats() && faces && over.abs() < radius).then(|| (radius * radius - over * over).sqrt())
}

/// The groove's rim seen square on the side it is in, about the axis at `y`; `top` is the height of that side
/// above the shaft's axis, `widest` half the bar's width there (mm).
pub(super) fn rim(groove: &Groove, views: &Views, bar: Bar, y: f64, [top, widest]: [f64; 2]) -> Option<Path> {
    /// Points on a quarter of the rim.
    const POINTS: u32 = 16;
    let radius = 0.5 * groove.diameter;
    let bottom = groove.offset - radius;
    // A bolt whose axis lies inside the bar makes a hole, not a groove: its rim is two lines at most.
    if bottom >= top || groove.offset < top || bottom < 0.0 {
        return None;
    }
    let centre = Vec2::new(views.x(station(groove, views.length)), y);
    let quarter: Vec<Vec2> = (0..=POINTS)
        .map(|i| {
            let h = top + (bottom - top) * f64::from(i) / f64::from(POINTS);
            let along = (radius * radius - (groove.offset - h) * (groove.offset - h)).max(0.0).sqrt();
            let across = (bar.radius * bar.radius - h * h).max(0.0).sqrt().min(widest);
            Vec2::new(along, across) * views.scale
        })
        .collect();
    let back = || quarter.iter().rev();
    let points: Vec<Vec2> = quarter
        .iter()
        .copied()
        .chain(back().map(|p| Vec2::new(-p.x, p.y)))
        .chain(quarter.iter().map(|p| Vec2::new(-p.x, -p.y)))
        .chain(back().map(|p| Vec2::new(p.x, -p.y)))
        .map(|p| centre + p)
        .collect();
    Path::polyline(&points, true)
}

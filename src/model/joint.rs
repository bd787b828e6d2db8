//! Joints as envelopes: what room a hub with its ears, a cross, and a double's housing take.
//!
//! Sizes the spec does not have follow from the diameter swept by the ears, R = half of it: ears from 0.55 R to
//! 0.8 R off the axis and R wide, pins of 0.18 R, so that all stays inside the ball swept and ears a quarter turn
//! apart pass each other. Common practice, no source; not for manufacture.

use std::f64::consts::{PI, TAU};

use super::block::{self, Pin};
use super::prism;
use super::stretch::level;
use super::{ModelError, Solid};
use crate::catalog::forms::FormShape;
use crate::geometry::{Frame, Path, Piece, Vec2, Vec3};
use crate::solve::assembly::Yoke;

/// Inside and outside of the ears, their half width, and the radius of the pins, in R.
const EARS: [f64; 2] = [0.55, 0.8];
const HALF_WIDTH: f64 = 0.5;
const PIN: f64 = 0.18;

/// Half an edge of the cross's middle, in R.
const HEART: f64 = 0.25;

/// Least wall (mm) drawn round a hub's hole.
const LEAST_WALL: f64 = 1.0;

/// A hub with its hole, and its two ears: three solids that touch.
///
/// # Errors
/// Sizes that leave no hub.
pub fn yoke(yoke: &Yoke) -> Result<Vec<Solid>, ModelError> {
    let radius = yoke.swing / 2.0;
    let inner = (yoke.reach - yoke.depth).max(0.0);
    let (hole, bore) = hole(yoke.fits, yoke.clock.to_radians());
    let outside = Path::circle(Vec2::default(), (yoke.hub / 2.0).max(bore + LEAST_WALL));
    let hub = prism::solid("hub", &level(0.0), &outside, &[("hole for the shaft", hole)], [inner, yoke.reach])?;
    let mut all = vec![hub];
    all.extend(ears(radius, &ear(radius * HALF_WIDTH, inner), &[Vec2::default()])?);
    Ok(all)
}

/// The housing of a double joint: two plates with a hole for each cross, in the frame of [`Yoke`] at the upper cross.
///
/// # Errors
/// None known.
pub fn housing(swing: f64, span: f64) -> Result<Vec<Solid>, ModelError> {
    let radius = swing / 2.0;
    let half = radius * HALF_WIDTH;
    let far = Vec2::new(0.0, span);
    let arc = |centre, start| Piece::circle_arc(centre, half, start, PI);
    let to = |x: f64, y: f64| Piece::Line { to: Vec2::new(x, y) };
    let start = Vec2::new(-half, 0.0);
    let pieces = vec![arc(Vec2::default(), PI), to(half, span), arc(far, 0.0), to(-half, 0.0)];
    ears(radius, &Path { start, pieces, closed: true }, &[Vec2::default(), far])
}

/// A cross: a block with four pins, along x and y.
///
/// # Errors
/// A swept diameter of nothing.
pub fn cross(swing: f64) -> Result<Solid, ModelError> {
    let radius = swing / 2.0;
    let (half, edge) = (radius * HEART, radius * HEART * 2.0);
    let axis = Vec3::new;
    let edges = [axis(edge, 0.0, 0.0), axis(0.0, edge, 0.0), axis(0.0, 0.0, edge)];
    let pin = |along| Pin { along, radius: radius * PIN, length: radius * (EARS[1] - HEART) };
    block::with_pins("cross", axis(-half, -half, -half), edges, &[pin(0), pin(1)])
}

/// Both ears of an outline whose x runs along the yoke's y and whose y along its z, with holes for pins.
fn ears(radius: f64, outline: &Path, holes: &[Vec2]) -> Result<Vec<Solid>, ModelError> {
    let axis = Vec3::new;
    let place =
        Frame { origin: Vec3::default(), x: axis(0.0, 1.0, 0.0), y: axis(0.0, 0.0, 1.0), z: axis(1.0, 0.0, 0.0) };
    let cuts: Vec<(&str, Path)> =
        holes.iter().map(|&centre| ("trunnion", Path::circle(centre, radius * PIN))).collect();
    let [inside, outside] = EARS.map(|part| part * radius);
    let at = |levels| prism::solid("ear", &place, outline, &cuts, levels);
    Ok(vec![at([inside, outside])?, at([-outside, -inside])?])
}

/// An ear about its trunnion at (0, 0), up to the hub's face at `to`.
fn ear(half: f64, to: f64) -> Path {
    // Without a neck worth a face the ear is round.
    if to < half / 10.0 {
        return Path::circle(Vec2::default(), half);
    }
    let line = |x: f64, y: f64| Piece::Line { to: Vec2::new(x, y) };
    let pieces =
        vec![Piece::circle_arc(Vec2::default(), half, PI, PI), line(half, to), line(-half, to), line(-half, 0.0)];
    Path { start: Vec2::new(-half, 0.0), pieces, closed: true }
}

/// A hole's outline and its greatest radius; teeth are a round of their outside diameter.
fn hole(form: FormShape, clock: f64) -> (Path, f64) {
    let (radius, half) = match form {
        FormShape::DoubleD { diameter, flats, .. } => (diameter / 2.0, flats / 2.0),
        FormShape::Serrated { diameter, .. } | FormShape::Round { diameter, .. } => (diameter / 2.0, diameter / 2.0),
    };
    if half > radius - 1e-6 {
        return (Path::circle(Vec2::default(), radius), radius);
    }
    // Flats face the clock and its opposite: rounds from one flat's edge to the other's.
    let edge = libm::acos(half / radius);
    let at = |angle: f64| Vec2::polar(angle) * radius;
    let round = |start: f64| Piece::circle_arc(Vec2::default(), radius, start, PI - 2.0 * edge);
    let pieces = vec![
        round(clock + edge),
        Piece::Line { to: at(clock + PI + edge) },
        round(clock + PI + edge),
        Piece::Line { to: at(clock + TAU + edge) },
    ];
    (Path { start: at(clock + edge), pieces, closed: true }, radius)
}

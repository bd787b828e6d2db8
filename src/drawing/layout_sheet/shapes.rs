//! Outlines of round bodies in a view.

use super::View;
use crate::geometry::{Path, Piece, Vec2, Vec3};
use std::f64::consts::PI;

/// A round body with flat ends, in vehicle coordinates (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cylinder {
    pub(super) from: Vec3,
    pub(super) to: Vec3,
    pub(super) radius: f64,
}

/// Half width (mm on paper) under which an end is drawn as a straight line, and length under which a body is seen from
/// its end.
const FLAT: f64 = 0.02;

/// Visible outline of a cylinder: its sides, the end toward the viewer whole, the other where it shows.
///
/// `over` is the scale's divisor and `place` puts points on paper.
pub(super) fn cylinder(view: View, body: &Cylinder, over: f64, place: impl Fn(Vec3) -> Vec2) -> Vec<Path> {
    let (a, b) = (place(body.from), place(body.to));
    let radius = body.radius / over;
    let Some(axis) = (body.to - body.from).unit() else { return Vec::new() };
    let seen = b - a;
    let Some(way) = seen.unit().filter(|_| seen.length() > FLAT) else { return vec![Path::circle(b, radius)] };
    let depth = axis.dot(view.toward_viewer());
    let (major, minor) = (way.left() * radius, way * (radius * depth.abs()));
    let flat = radius * depth.abs() < FLAT;
    // From one side of an end to the other, bulging along `way` for a start of 0, against it for one of π.
    let end = |centre: Vec2, start: f64| {
        if flat {
            Piece::Line { to: centre + major * if start > 0.0 { 1.0 } else { -1.0 } }
        } else {
            Piece::Arc { centre, major, minor, start, sweep: PI }
        }
    };
    let outline = Path {
        start: a + major,
        pieces: vec![Piece::Line { to: b + major }, end(b, 0.0), Piece::Line { to: a - major }, end(a, PI)],
        closed: true,
    };
    let mut paths = vec![outline];
    if !flat {
        let (near, start) = if depth > 0.0 { (b, PI) } else { (a, 0.0) };
        let from = if start > 0.0 { near - major } else { near + major };
        paths.push(Path { start: from, pieces: vec![end(near, start)], closed: false });
    }
    paths
}

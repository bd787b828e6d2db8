//! Round holes of a plate: straight through, countersunk, or blind with a drill's point.

use super::prism::Walls;
use super::solid::{face, line, ring, vertex};
use super::stretch::{level, level_up};
use super::{Curve, Edge, Face, Shape, Surface, Vertex, Wire};
use crate::geometry::{Frame, Vec2, Vec3};
use crate::solve::plate::drill_tip;
use crate::solve::solution::HoleResult;

/// A circle of a hole, or the tip of its drill.
struct Rim {
    radius: f64,
    z: f64,
    corner: Vertex,
    edge: Option<Edge>,
}

/// Levels and radii of a hole from the drawn face down.
fn profile(hole: &HoleResult, thick: f64) -> Vec<(f64, f64)> {
    let radius = hole.diameter / 2.0;
    let mut profile = Vec::new();
    let cone = |side: &str| hole.countersink.as_ref().filter(|cone| cone.side == side);
    match cone("face") {
        Some(cone) => profile.extend([(0.0, cone.diameter / 2.0), (-cone.depth, radius)]),
        None => profile.push((0.0, radius)),
    }
    match (hole.depth, cone("back")) {
        (Some(depth), _) => profile.extend([(-depth, radius), (-depth - drill_tip(hole.diameter), 0.0)]),
        (None, Some(cone)) => profile.extend([(cone.depth - thick, radius), (-thick, cone.diameter / 2.0)]),
        (None, None) => profile.push((-thick, radius)),
    }
    profile
}

/// The walls of a round hole, and its rims on the drawn face and on the back; a blind one has none there.
///
/// `place` has the drawn face in its x-y plane and its viewer at +z.
pub(super) fn walls(place: &Frame, hole: &HoleResult, thick: f64) -> Walls {
    let about = |z: f64| place.carried(&Frame { origin: Vec3::new(hole.centre.x, hole.centre.y, z), ..level(z) });
    let rim = |(z, radius): (f64, f64)| {
        if radius > 0.0 {
            let (corner, edge) = ring(Curve::circle(about(z), radius));
            return Rim { radius, z, corner, edge: Some(edge) };
        }
        let Vec2 { x, y } = hole.centre;
        Rim { radius, z, corner: vertex(place.out(Vec3::new(x, y, z))), edge: None }
    };
    let rims: Vec<Rim> = profile(hole, thick).into_iter().map(rim).collect();
    let faces =
        rims.windows(2).filter_map(|pair| Some(wall(place, pair.first()?, pair.get(1)?, hole.centre))).collect();
    let edge = |rim: Option<&Rim>| rim.and_then(|rim| rim.edge.clone());
    let high = edge(rims.first()).into_iter().map(|edge| edge.inverse()).collect();
    Walls { faces, high, low: edge(rims.last()).into_iter().collect() }
}

/// The wall between two rims, the upper first.
fn wall(place: &Frame, high: &Rim, low: &Rim, centre: Vec2) -> Face {
    let seam = line(&low.corner, &high.corner);
    let mut wire: Vec<Edge> = low.edge.iter().map(Edge::inverse).collect();
    wire.push(seam.clone());
    wire.extend(high.edge.clone());
    wire.push(seam.inverse());
    let at = |frame: Frame| {
        let origin = Vec3::new(centre.x, centre.y, frame.origin.z);
        place.carried(&Frame { origin, ..frame })
    };
    let rise = high.z - low.z;
    let half_angle = libm::atan2((high.radius - low.radius).abs(), rise);
    let surface = if high.radius > low.radius {
        Surface::hollow(at(level(low.z)), Shape::Cone { radius: low.radius, half_angle })
    } else if high.radius < low.radius {
        Surface::hollow(at(level_up(high.z)), Shape::Cone { radius: high.radius, half_angle })
    } else {
        Surface::hollow(at(level(0.0)), Shape::Cylinder { radius: high.radius })
    };
    face(vec![Wire::from(wire)], surface)
}

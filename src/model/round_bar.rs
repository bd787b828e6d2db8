//! The faces of a round stretch of bar.

use super::feature::{self, Cut};
use super::room::Block;
use super::solid::{face, line, ring};
use super::stretch::{Outside, Stretch, chamfer_surface, cut_into, level};
use super::{Curve, Edge, ModelError, Shape, Surface, Vertex, Wire};
use crate::geometry::{Frame, Vec2};
use crate::solve::solution::{End, Groove};

/// Everything cut into a round stretch: each has one closed rim.
pub(super) fn cuts(
    bar: &Stretch,
    dimples: Vec<Cut>,
    grooves: &[(&Groove, f64, Block)],
) -> Result<Vec<Cut>, ModelError> {
    let mut cuts = dimples;
    for (groove, z, block) in grooves {
        cuts.push(feature::round_groove(groove, *z, bar.radius, block.clone())?);
    }
    Ok(cuts)
}

/// The outside of a round stretch with its seam in a direction.
///
/// `rings` are the edges of its ends where the next stretch has them already, from the seam anticlockwise about +z.
pub(super) fn outside(bar: &Stretch, cuts: Vec<Cut>, seam: Vec2, rings: [Option<Vec<Edge>>; 2]) -> Outside {
    let turned = |z: f64| {
        let flat = level(z);
        let out = flat.x * seam.x + flat.y * seam.y;
        Frame { x: out, y: flat.z.cross(out), ..flat }
    };
    let circle = |z: f64, radius: f64| Rim::alone(Curve::circle(turned(z), radius));
    let [near, far] = rings;
    let [from, to] = bar.whole();
    let first = near.and_then(Rim::of).unwrap_or_else(|| circle(from, bar.radius));
    let last = far.and_then(Rim::of).unwrap_or_else(|| circle(to, bar.radius));

    let mut wires = vec![band(&first, &last)];
    let mut all = Vec::new();
    cut_into(&mut wires, &mut all, cuts);
    all.insert(0, face(wires, Surface::convex(turned(0.0), Shape::Cylinder { radius: bar.radius })));
    let mut outlines = [first.edges.clone(), last.edges.clone()];
    if bar.chamfers[0] > 0.0 {
        let rim = circle(bar.from, bar.radius - bar.chamfers[0]);
        all.push(face(vec![band(&rim, &first)], chamfer_surface(bar, End::Upper)));
        outlines[0] = rim.edges;
    }
    if bar.chamfers[1] > 0.0 {
        let rim = circle(bar.to, bar.radius - bar.chamfers[1]);
        all.push(face(vec![band(&last, &rim)], chamfer_surface(bar, End::Lower)));
        outlines[1] = rim.edges;
    }
    Outside { faces: all, outlines }
}

/// A circle round the bar, from the corner on the seam anticlockwise about +z.
struct Rim {
    corner: Vertex,
    edges: Vec<Edge>,
}

impl Rim {
    fn alone(curve: Curve) -> Self {
        let (corner, edge) = ring(curve);
        Self { corner, edges: vec![edge] }
    }

    fn of(edges: Vec<Edge>) -> Option<Self> {
        let corner = edges.first()?.front().clone();
        Some(Self { corner, edges })
    }
}

/// The wire of a face once round the bar from one circle to the next, with its seam.
fn band(from: &Rim, to: &Rim) -> Wire {
    let seam = line(&from.corner, &to.corner);
    let mut edges = from.edges.clone();
    edges.push(seam.clone());
    edges.extend(to.edges.iter().rev().map(Edge::inverse));
    edges.push(seam.inverse());
    Wire::from(edges)
}

/// The direction in the middle of the widest gap between the features and the `corners` (rad) of neighbouring
/// stretches, seen along the shaft.
pub(super) fn seam_clear_of(cuts: &[Cut], corners: &[f64], radius: f64) -> Result<Vec2, ModelError> {
    let mut taken: Vec<(f64, f64)> = cuts
        .iter()
        .map(|cut| {
            let middle = cut.block.toward.angle();
            let half =
                libm::atan2(cut.block.half_width, (radius * radius - cut.block.half_width.powi(2)).max(0.0).sqrt());
            // A cut past the axis wraps more than half of the round.
            let half = if cut.block.floor < 0.0 {
                std::f64::consts::PI - libm::asin((-cut.block.floor / radius).min(1.0))
            } else {
                half
            };
            (middle - half, middle + half)
        })
        .chain(corners.iter().map(|&corner| (corner, corner)))
        .collect();
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let Some(&(first, _)) = taken.first() else { return Ok(Vec2::new(1.0, 0.0)) };
    let mut best = (0.0, 0.0);
    let mut end = f64::NEG_INFINITY;
    let next = taken.iter().map(|t| t.0).skip(1).chain([first + std::f64::consts::TAU]);
    for (&(_, to), from) in taken.iter().zip(next) {
        end = to.max(end);
        if from - end > best.0 {
            best = (from - end, f64::midpoint(from, end));
        }
    }
    // Under a degree the seam would graze a rim.
    if best.0 < 1f64.to_radians() {
        return Err(ModelError::new(
            "round bar",
            "its dimples and grooves leave no line along the bar free of them; leave out or turn one",
        ));
    }
    Ok(Vec2::polar(best.1))
}

//! The faces of a round bar.

use super::feature::{self, Cut};
use super::room::Block;
use super::shaft::{Bar, chamfer_surface, cut_into, end_faces, level};
use super::solid::{face, line, ring};
use super::{Curve, Edge, Face, ModelError, Shape, Surface, Vertex, Wire};
use crate::geometry::{Frame, Vec2};
use crate::solve::solution::{End, Groove};

/// Every face of a round bar with its dimples and grooves.
pub(super) fn faces(bar: &Bar, dimples: Vec<Cut>, grooves: &[(&Groove, f64, Block)]) -> Result<Vec<Face>, ModelError> {
    let mut cuts = dimples;
    for (groove, z, block) in grooves {
        cuts.push(feature::round_groove(groove, *z, bar.radius, block.clone())?);
    }
    let seam = seam_clear_of(&cuts, bar.radius)?;
    let turned = |z: f64| {
        let flat = level(z);
        let out = flat.x * seam.x + flat.y * seam.y;
        Frame { x: out, y: flat.z.cross(out), ..flat }
    };
    let circle = |z: f64, radius: f64| ring(Curve::circle(turned(z), radius));
    let (first, last) = (circle(bar.chamfer, bar.radius), circle(bar.length - bar.chamfer, bar.radius));

    let mut wires = vec![band(&first, &last)];
    let mut all = Vec::new();
    cut_into(&mut wires, &mut all, cuts);
    all.insert(0, face(wires, Surface::convex(turned(0.0), Shape::Cylinder { radius: bar.radius })));
    if bar.chamfer == 0.0 {
        all.extend(end_faces(bar, vec![first.1], vec![last.1]));
        return Ok(all);
    }
    let rim = bar.radius - bar.chamfer;
    let (upper, lower) = (circle(0.0, rim), circle(bar.length, rim));
    all.push(face(vec![band(&upper, &first)], chamfer_surface(bar, End::Upper)));
    all.push(face(vec![band(&last, &lower)], chamfer_surface(bar, End::Lower)));
    all.extend(end_faces(bar, vec![upper.1], vec![lower.1]));
    Ok(all)
}

/// The wire of a face once round the bar from one circle to the next, with its seam.
fn band(from: &(Vertex, Edge), to: &(Vertex, Edge)) -> Wire {
    let seam = line(&from.0, &to.0);
    Wire::from(vec![from.1.clone(), seam.clone(), to.1.inverse(), seam.inverse()])
}

/// The direction in the middle of the widest gap between the features, seen along the shaft.
fn seam_clear_of(cuts: &[Cut], radius: f64) -> Result<Vec2, ModelError> {
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

//! The shaft as a solid.

use super::double_d;
use super::feature::{self, Cut, Into};
use super::room::{self, Block, LEAST_WALL};
use super::round_bar;
use super::solid::{face, line, ring};
use super::{Edge, Face, ModelError, Shape, Solid, Surface, Wire};
use crate::catalog::forms::FormShape;
use crate::geometry::{Frame, Vec3};
use crate::solve::solution::{End, Groove, On, ShaftResult, SpotWhen};

/// Sizes of a bar (mm), checked.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bar {
    /// Of the round.
    pub(super) radius: f64,
    /// Half the distance across the flats; `None` on a round bar.
    pub(super) half_flats: Option<f64>,
    /// Of the bore.
    pub(super) bore: Option<f64>,
    /// Between the end faces.
    pub(super) length: f64,
    /// Of both ends, 45 degrees; 0 for none.
    pub(super) chamfer: f64,
}

/// The finished shaft, dimpled and grooved, in its own frame.
///
/// Origin at the centre of the upper end's face, +z toward the gear, +x the
/// outward normal of flat A: the flats lie at x = ± flats / 2. Chamfers are
/// turned at 45 degrees, so on a double-D they cut only the round. A dimple is
/// a cone of the drill's included angle up to its mouth, then a straight wall;
/// one of 180 degrees has a flat floor. Dimples spotted on assembly are not in
/// the solid. A groove is what a bolt of its diameter takes, its axis square to
/// the shaft.
///
/// # Errors
/// Features that run into each other, an end, an edge or the bore; dimples and
/// grooves not square to a double-D's sides; a wall that does not go all round
/// a dimple in the round; a serrated bar, which has no solid.
pub fn solid(form: FormShape, result: &ShaftResult, chamfer: Option<f64>) -> Result<Solid, ModelError> {
    let bar = bar(form, result, chamfer)?;
    let (mut dimples, grooves) = (Vec::new(), grooves(&bar, result)?);
    let mut blocks: Vec<Block> = grooves.iter().map(|(_, _, block)| block.clone()).collect();
    for dimple in result.dimples.iter().filter(|dimple| dimple.spot == SpotWhen::Drill) {
        let (into, half_width) = side(&bar, dimple.clock, dimple.on, &feature::name_dimple(dimple))?;
        let cut = feature::dimple(dimple, into, half_width)?;
        blocks.push(cut.block.clone());
        dimples.push(cut);
    }
    let ends = [bar.chamfer, bar.length - bar.chamfer];
    room::check(&blocks, ends, bar.half_flats.unwrap_or(bar.radius), bar.bore)?;
    let faces = match bar.half_flats {
        Some(half_flats) => double_d::faces(&bar, half_flats, dimples, &grooves)?,
        None => round_bar::faces(&bar, dimples, &grooves)?,
    };
    Solid::close(&format!("shaft {}", result.name), faces)
}

fn bar(form: FormShape, result: &ShaftResult, chamfer: Option<f64>) -> Result<Bar, ModelError> {
    let fail = |message: String| Err(ModelError::new(format!("shaft {}", result.name), message));
    let (diameter, flats, bore) = match form {
        FormShape::DoubleD { diameter, flats, bore } => (diameter, Some(flats), bore),
        FormShape::Round { diameter, bore } => (diameter, None, bore),
        FormShape::Serrated { .. } => {
            return fail(
                "a bar serrated over its whole length has no solid; state its stock as double-D or round".to_owned(),
            );
        }
    };
    let chamfer = chamfer.unwrap_or(0.0);
    let length = result.cut_length;
    let sizes = [diameter, length, flats.unwrap_or(1.0), bore.unwrap_or(1.0)];
    if !sizes.iter().all(|size| size.is_finite() && *size > LEAST_WALL) {
        return fail(format!("diameter, length, flats and bore must be over {LEAST_WALL} mm"));
    }
    let across = flats.unwrap_or(diameter);
    if flats.is_some_and(|flats| flats > diameter - LEAST_WALL) {
        return fail(format!("{across:.3} mm across the flats must be under the diameter of {diameter:.3} mm"));
    }
    if let Some(bore) = bore.filter(|bore| *bore > across - 2.0 * LEAST_WALL) {
        return fail(format!("a bore of {bore:.3} mm leaves no wall in {across:.3} mm; use a smaller bore"));
    }
    let room = match flats {
        Some(flats) => (diameter - flats) / 2.0,
        None => (diameter - bore.unwrap_or(0.0)) / 2.0,
    };
    if !(chamfer >= 0.0 && chamfer < room - LEAST_WALL && 2.0 * chamfer < length - LEAST_WALL) {
        return fail(format!(
            "a chamfer of {chamfer:.3} mm must be under {room:.3} mm, which is {}, and under half the length; \
             use a smaller chamfer",
            if flats.is_some() { "how far the round stands over the flats" } else { "the wall of the bar" }
        ));
    }
    // A chamfer under the least wall is a broken edge, not a face.
    let chamfer = if chamfer < LEAST_WALL { 0.0 } else { chamfer };
    Ok(Bar { radius: diameter / 2.0, half_flats: flats.map(|flats| flats / 2.0), bore, length, chamfer })
}

/// The side of the bar at a clock, and half the width of it.
fn side(bar: &Bar, clock: f64, on: On, what: &str) -> Result<(Into, f64), ModelError> {
    let Some(half_flats) = bar.half_flats else { return Ok((Into::Round(bar.radius), bar.radius)) };
    let half_chord = (bar.radius * bar.radius - half_flats * half_flats).sqrt();
    match (feature::quarter(clock), on) {
        (Some(0 | 2), On::Flat) => Ok((Into::Flat(half_flats), half_chord)),
        (Some(1 | 3), On::Round) => Ok((Into::Round(bar.radius), half_flats)),
        _ => Err(ModelError::new(
            what,
            "on a double-D a dimple lies in the middle of a flat, clock 0 or 180 deg, or of a round side, clock 90 or \
             270 deg; turn the screw to one of them",
        )),
    }
}

/// Every groove with the station of its bolt from the upper end and the room it takes.
fn grooves<'a>(bar: &Bar, result: &'a ShaftResult) -> Result<Vec<(&'a Groove, f64, Block)>, ModelError> {
    result
        .grooves
        .iter()
        .map(|groove| {
            let z = match groove.end {
                End::Upper => groove.station,
                End::Lower => bar.length - groove.station,
            };
            Ok((groove, z, groove_block(bar, groove, z)?))
        })
        .collect()
}

fn groove_block(bar: &Bar, groove: &Groove, z: f64) -> Result<Block, ModelError> {
    let what = feature::name_groove(groove, z);
    let fail = |message: String| Err(ModelError::new(&what, message));
    let bolt = groove.diameter / 2.0;
    let crest = match (bar.half_flats, feature::quarter(groove.clock)) {
        (Some(half_flats), Some(0 | 2)) => half_flats,
        (Some(_), None) => {
            return fail(
                "on a double-D a bolt runs along a flat, clock 0 or 180 deg, or square to the flats, clock 90 or 270 \
                 deg; turn the hub to one of them"
                    .to_owned(),
            );
        }
        _ => bar.radius,
    };
    let placed = [z, bolt, groove.offset, groove.clock].iter().all(|number| number.is_finite());
    if !(placed && bolt > LEAST_WALL) {
        return fail(format!("a bolt of {:.3} mm must be over {LEAST_WALL} mm", groove.diameter));
    }
    let floor = groove.offset - bolt;
    if floor > crest - LEAST_WALL {
        return fail(format!(
            "the bolt passes {floor:.3} mm from the shaft's axis and the bar ends at {crest:.3} mm, so it cuts no \
             groove; check the bolt's offset"
        ));
    }
    if groove.offset + bolt < crest + LEAST_WALL {
        return fail(format!(
            "the bolt lies wholly inside the bar, {:.3} mm from its axis: that is a cross hole, which has no solid; \
             check the bolt's offset",
            groove.offset
        ));
    }
    // Where the bolt's axis lies under the surface the groove is as wide as the bolt.
    let over = (groove.offset - crest).max(0.0);
    let half_along = (bolt * bolt - over * over).sqrt();
    let deepest = floor.max(0.0);
    let half_width = (bar.radius * bar.radius - deepest * deepest).sqrt();
    let toward = feature::direction(groove.clock);
    Ok(Block { what, toward, floor, crest, half_width, along: [z - half_along, z + half_along] })
}

/// A frame square to the shaft at a station, x toward flat A, +z toward the gear.
pub(super) fn level(z: f64) -> Frame {
    Frame {
        origin: Vec3::new(0.0, 0.0, z),
        x: Vec3::new(1.0, 0.0, 0.0),
        y: Vec3::new(0.0, 1.0, 0.0),
        z: Vec3::new(0.0, 0.0, 1.0),
    }
}

/// The same looking toward the column: x stays, y and z turn round.
pub(super) fn level_up(z: f64) -> Frame {
    let Frame { origin, x, y, z } = level(z);
    Frame { origin, x, y: -y, z: -z }
}

/// Surface of the end's chamfer: its cone grows into the bar.
pub(super) fn chamfer_surface(bar: &Bar, end: End) -> Surface {
    let frame = match end {
        End::Upper => level(0.0),
        End::Lower => level_up(bar.length),
    };
    let shape = Shape::Cone { radius: bar.radius - bar.chamfer, half_angle: std::f64::consts::FRAC_PI_4 };
    Surface::convex(frame, shape)
}

/// Both end faces from their outlines (anticlockwise about +z), and the bore's face.
pub(super) fn end_faces(bar: &Bar, upper: Vec<Edge>, lower: Vec<Edge>) -> Vec<Face> {
    let upper: Wire = upper.into_iter().collect();
    let mut wires = [vec![upper.inverse()], vec![lower.into_iter().collect()]];
    let mut faces = Vec::new();
    if let Some(bore) = bar.bore {
        let radius = bore / 2.0;
        let (near, first) = ring(super::Curve::circle(level(0.0), radius));
        let (far, last) = ring(super::Curve::circle(level(bar.length), radius));
        let seam = line(&near, &far);
        let wire = Wire::from(vec![first.inverse(), seam.clone(), last.clone(), seam.inverse()]);
        faces.push(face(vec![wire], Surface::hollow(level(0.0), Shape::Cylinder { radius })));
        wires[0].push(Wire::from(vec![first]));
        wires[1].push(Wire::from(vec![last.inverse()]));
    }
    let [upper, lower] = wires;
    faces.push(face(upper, Surface::plane(level_up(0.0))));
    faces.push(face(lower, Surface::plane(level(bar.length))));
    faces
}

/// Adds to a face's wires the rims of the dimples it holds, and to the faces their insides.
pub(super) fn cut_into(wires: &mut Vec<Wire>, faces: &mut Vec<Face>, cuts: impl IntoIterator<Item = Cut>) {
    for cut in cuts {
        wires.push(Wire::from(vec![cut.rim.inverse()]));
        faces.extend(cut.faces);
    }
}

//! Walls square to a plane along an outline: what saws, drills and cutters leave of flat stock.

use std::f64::consts::TAU;

use super::solid::{face, line, ring, vertex};
use super::stretch::{level, level_up};
use super::{Curve, Edge, Face, ModelError, Shape, Solid, Surface, Vertex, Wire};
use crate::geometry::{Frame, Path, Piece, Vec2, Vec3};

/// Semi-axes (mm) nearer than this are one radius: a tenth of what the audit allows.
const SAME_RADIUS: f64 = 1e-7;

/// Walls along a closed outline between two levels, and its edges there.
pub(super) struct Walls {
    pub(super) faces: Vec<Face>,
    /// As a face at the upper level, looking along +z, takes it.
    pub(super) high: Wire,
    /// As a face at the lower level, looking along −z, takes it.
    pub(super) low: Wire,
}

/// The walls along an anticlockwise outline from the level `low` to `high` (mm).
///
/// The outline lies in the x-y plane of `place`. `hollow`: the material is outside of it. Straight pieces stand as planes, arcs as cylinders, elliptic arcs as
/// elliptic cylinders; a whole circle is one cylinder with a seam.
///
/// # Errors
/// An outline that is open or has a cubic piece.
pub(super) fn walls(place: &Frame, outline: &Path, [low, high]: [f64; 2], hollow: bool) -> Result<Walls, ModelError> {
    if let Some((centre, radius)) = circle(outline) {
        return Ok(round(place, (centre, radius), [low, high], hollow));
    }
    let starts: Vec<Vec2> = outline.runs().map(|(from, _)| from).collect();
    let corners = |z: f64| starts.iter().map(|at| vertex(place.out(Vec3::new(at.x, at.y, z)))).collect::<Vec<_>>();
    let (below, above) = (corners(low), corners(high));
    let next = |all: &[Vertex], i: usize| all.get((i + 1) % all.len()).cloned();
    let posts: Vec<Edge> = below.iter().zip(&above).map(|(low, high)| line(low, high)).collect();
    let (mut faces, mut first, mut last) = (Vec::new(), Vec::new(), Vec::new());
    for (i, (_, piece)) in outline.runs().enumerate() {
        let (Some(post), Some(low_from), Some(high_from)) = (posts.get(i), below.get(i), above.get(i)) else {
            continue;
        };
        let (Some(low_to), Some(high_to), Some(next_post)) =
            (next(&below, i), next(&above, i), posts.get((i + 1) % posts.len()))
        else {
            continue;
        };
        let foot = edge(place, piece, [low_from, &low_to], low)?;
        let head = edge(place, piece, [high_from, &high_to], high)?;
        let way = low_to.point() - low_from.point();
        let wire = if hollow {
            vec![post.clone(), head.clone(), next_post.inverse(), foot.inverse()]
        } else {
            vec![foot.clone(), next_post.clone(), head.inverse(), post.inverse()]
        };
        faces.push(face(vec![Wire::from(wire)], surface(place, piece, low_from.point(), way, hollow)));
        first.push(foot);
        last.push(head);
    }
    let back = |edges: &[Edge]| edges.iter().rev().map(Edge::inverse).collect::<Wire>();
    let (high, low) = if hollow {
        (back(&last), first.into_iter().collect())
    } else {
        (last.iter().cloned().collect(), back(&first))
    };
    Ok(Walls { faces, high, low })
}

/// A prism between two levels of a frame, less what its cuts take from one level to the other; each wall of a cut has
/// the cut's name.
///
/// # Errors
/// As [`walls`]; an outline that is not anticlockwise or is met by a cut.
pub(super) fn solid(
    subject: &str,
    place: &Frame,
    outline: &Path,
    cuts: &[(&str, Path)],
    levels: [f64; 2],
) -> Result<Solid, ModelError> {
    let mut insides = Vec::with_capacity(cuts.len());
    for (name, cut) in cuts {
        insides.push(((*name).to_owned(), walls(place, cut, levels, true)?));
    }
    with_insides(subject, place, outline, insides, levels)
}

/// The same with the walls of the cuts; one that does not reach a level has no wire there.
pub(super) fn with_insides(
    subject: &str,
    place: &Frame,
    outline: &Path,
    insides: Vec<(String, Walls)>,
    levels: [f64; 2],
) -> Result<Solid, ModelError> {
    let Walls { mut faces, high, low } = walls(place, outline, levels, false)?;
    let (mut highs, mut lows, mut names) = (vec![high], vec![low], Vec::new());
    for (name, Walls { faces: own, high, low }) in insides {
        names.extend((faces.len()..faces.len() + own.len()).map(|at| (at, name.clone())));
        faces.extend(own);
        highs.extend(Some(high).filter(|wire| !wire.is_empty()));
        lows.extend(Some(low).filter(|wire| !wire.is_empty()));
    }
    faces.push(face(highs, Surface::plane(place.carried(&level(levels[1])))));
    faces.push(face(lows, Surface::plane(place.carried(&level_up(levels[0])))));
    Ok(Solid::close(subject, faces)?.named(names))
}

/// Centre and radius of an outline that is one whole circle.
fn circle(outline: &Path) -> Option<(Vec2, f64)> {
    let mut whole = 0.0;
    let mut one: Option<(Vec2, f64)> = None;
    for (_, piece) in outline.runs() {
        let Piece::Arc { centre, major, minor, sweep, .. } = *piece else { return None };
        let radius = major.length();
        let other = one.is_some_and(|(c, r)| (c - centre).length() + (r - radius).abs() > SAME_RADIUS);
        if other || (radius - minor.length()).abs() > SAME_RADIUS {
            return None;
        }
        one = Some((centre, radius));
        whole += sweep;
    }
    // Outlines run anticlockwise.
    one.filter(|_| (whole - TAU).abs() < SAME_RADIUS)
}

/// A frame square to the plane at a level about a point of it.
fn about(place: &Frame, centre: Vec2, z: f64) -> Frame {
    place.carried(&Frame { origin: Vec3::new(centre.x, centre.y, z), ..level(z) })
}

fn round(place: &Frame, (centre, radius): (Vec2, f64), [low, high]: [f64; 2], hollow: bool) -> Walls {
    let (below, first) = ring(Curve::circle(about(place, centre, low), radius));
    let (above, last) = ring(Curve::circle(about(place, centre, high), radius));
    let seam = line(&below, &above);
    let shape = Shape::Cylinder { radius };
    let wire = |foot: &Edge, head: &Edge| Wire::from(vec![foot.clone(), seam.clone(), head.clone(), seam.inverse()]);
    let one = |edge: &Edge| Wire::from(vec![edge.clone()]);
    if hollow {
        let wall = face(vec![wire(&first.inverse(), &last)], Surface::hollow(about(place, centre, 0.0), shape));
        return Walls { faces: vec![wall], high: one(&last.inverse()), low: one(&first) };
    }
    let wall = face(vec![wire(&first, &last.inverse())], Surface::convex(about(place, centre, 0.0), shape));
    Walls { faces: vec![wall], high: one(&last), low: one(&first.inverse()) }
}

/// Frame, semi-axes and growing range of an arc; a clockwise one looks along −z.
pub(super) fn arc(place: &Frame, piece: &Piece, z: f64) -> Option<(Frame, [f64; 2], [f64; 2])> {
    let Piece::Arc { centre, major, minor, start, sweep } = *piece else { return None };
    let (along, across) = (major.unit()?, minor.unit()?);
    let (x, y) = (Vec3::new(along.x, along.y, 0.0), Vec3::new(across.x, across.y, 0.0));
    let up = place.carried(&Frame { origin: Vec3::new(centre.x, centre.y, z), x, y, z: Vec3::new(0.0, 0.0, 1.0) });
    let (a, b) = (major.length(), minor.length());
    let radii = if (a - b).abs() <= SAME_RADIUS { [a, a] } else { [a, b] };
    Some(if sweep >= 0.0 {
        (up, radii, [start, start + sweep])
    } else {
        (Frame { y: -up.y, z: -up.z, ..up }, radii, [-start, -start - sweep])
    })
}

fn edge(place: &Frame, piece: &Piece, [from, to]: [&Vertex; 2], z: f64) -> Result<Edge, ModelError> {
    match piece {
        Piece::Line { .. } => Ok(line(from, to)),
        Piece::Arc { .. } => {
            let (frame, radii, range) =
                arc(place, piece, z).ok_or_else(|| ModelError::new("outline", "an arc without size"))?;
            Ok(Edge::new_unchecked(from, to, Curve::Arc { frame, radii, range }))
        }
        Piece::Cubic { .. } => Err(ModelError::new("outline", "a cubic piece has no wall")),
    }
}

fn surface(place: &Frame, piece: &Piece, from: Vec3, way: Vec3, hollow: bool) -> Surface {
    let turned = matches!(piece, Piece::Arc { sweep, .. } if *sweep < 0.0);
    if let Some((frame, [a, b], _)) = arc(place, piece, 0.0) {
        let shape = if (a - b).abs() > 0.0 { Shape::Elliptic { radii: [a, b] } } else { Shape::Cylinder { radius: a } };
        return Surface { frame, shape, same_sense: turned == hollow };
    }
    let along = way.unit().unwrap_or(way);
    let right = along.cross(place.z);
    let out = if hollow { -right } else { right };
    Surface::plane(Frame { origin: from, x: along, y: out.cross(along), z: out })
}

//! Bent plates seen along their bends: what stands at the press brake.

use super::folded::{Flange, Folded, folded};
use super::outline;
use super::solution::PlateResult;
use crate::geometry::{Frame, Vec2, Vec3};

/// Axes within this sine of one another are seen in one view.
const ALIKE: f64 = 1e-6;
/// Chords of an outline stray by at most this (mm).
const STRAY: f64 = 0.005;
/// Past this turn (rad, 120 degrees) the place where two faces would meet lies far off and says nothing at the bench.
const MEETING: f64 = 2.0 * std::f64::consts::FRAC_PI_3;

/// A view along bends that run one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// x to the right, y up, z toward the viewer, in the plate's own frame. Up is out of the drawn face of the flange
    /// that carries the first of its bends.
    pub frame: Frame,
    /// On which side of the flat pattern the viewer stands (unit).
    pub from: Vec2,
    /// The bends seen end on, by the plate's order.
    pub bends: Vec<Arc>,
    /// The flanges seen edge on.
    pub flanges: Vec<Edge>,
    /// Outlines on the drawn face of flanges that stand otherwise.
    pub others: Vec<Vec<Vec2>>,
}

/// A flange seen edge on.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// By [`Folded::flanges`].
    pub flange: usize,
    /// Ends of its drawn face in the view.
    pub ends: [Vec2; 2],
    /// Unit vector from the drawn face to the back.
    pub back: Vec2,
    /// Where holes pass the drawn face.
    pub holes: Vec<Vec2>,
}

/// A bend seen end on.
#[derive(Debug, Clone, PartialEq)]
pub struct Arc {
    /// By the plate's order.
    pub bend: usize,
    /// Its axis in the view.
    pub centre: Vec2,
    /// Of drawn face and back (mm).
    pub radii: [f64; 2],
    /// Where it begins, and how far it runs on (rad, anticlockwise).
    pub turn: [f64; 2],
}

/// Lengths of a flange across its bends (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lengths {
    /// From end or bend to end or bend.
    pub straight: f64,
    /// On the drawn face to where it and the next would meet; `None` at a sharper bend than 120 degrees.
    pub drawn: Option<f64>,
    /// The same on the outsides of its bends.
    pub outside: Option<f64>,
}

/// The views that show every bend end on, in the order of the bends; none for a flat plate.
pub fn profiles(plate: &PlateResult) -> Vec<Profile> {
    let Some(folded) = folded(plate).filter(|folded| !folded.bends.is_empty()) else { return Vec::new() };
    let mut profiles: Vec<Profile> = Vec::new();
    for (i, bend) in folded.bends.iter().enumerate() {
        let known = profiles.iter_mut().find(|known| known.frame.z.cross(bend.axis.z).length() < ALIKE);
        let Some(carrying) = folded.flanges.iter().find(|flange| flange.before.contains(&i)) else { continue };
        let right = if bend.across.x + bend.across.y < -1e-9 { -bend.across } else { bend.across };
        let frame = known.as_ref().map_or_else(|| looking(&carrying.frame, right), |known| known.frame);
        let arc = arc(&folded, plate, i, &frame);
        if let Some(known) = known {
            known.bends.push(arc);
        } else {
            let (flanges, others) = (Vec::new(), Vec::new());
            profiles.push(Profile { frame, from: -right.left(), bends: vec![arc], flanges, others });
        }
    }
    let outline = drawn(plate);
    for profile in &mut profiles {
        for i in 0..folded.flanges.len() {
            let Some(flange) = folded.flanges.get(i) else { continue };
            let points = folded.stretch(flange, &outline);
            if points.len() < 3 {
                continue;
            }
            if flange.frame.z.dot(profile.frame.z).abs() < ALIKE {
                profile.flanges.push(edge(&profile.frame, (i, flange), &points, &folded, plate));
            } else {
                profile.others.push(points.iter().map(|&p| seen(&profile.frame, flange.frame.on_plane(p))).collect());
            }
        }
    }
    profiles
}

/// Lengths of every flange of a plate, in the order of [`Folded::flanges`].
pub fn lengths(plate: &PlateResult) -> Vec<Lengths> {
    let Some(folded) = folded(plate) else { return Vec::new() };
    let outline = drawn(plate);
    let of = |flange: &Flange| {
        let across = flange.after.or_else(|| flange.before.first().copied()).and_then(|bend| folded.bends.get(bend));
        let across = across.map_or(Vec2::new(0.0, 1.0), |bend| bend.across);
        let points = folded.stretch(flange, &outline);
        let along = points.iter().map(|p| p.dot(across));
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        let own = flange.after.iter().chain(&flange.before).filter_map(|&bend| folded.bends.get(bend));
        let mut lengths = Lengths { straight: high - low, drawn: Some(high - low), outside: Some(high - low) };
        for bend in own.filter(|bend| bend.across.cross(across).abs() < ALIKE) {
            let half = libm::tan(bend.turn[0] / 2.0);
            let add = |length: Option<f64>, radius: f64| {
                length.filter(|_| bend.turn[0] <= MEETING).map(|length| length + radius * half)
            };
            lengths.drawn = add(lengths.drawn, bend.radius);
            lengths.outside = add(lengths.outside, if bend.up { bend.radius + plate.thick } else { bend.radius });
        }
        lengths
    };
    folded.flanges.iter().map(of).collect()
}

/// Along a bend, with the drawn face of the flange that carries it up; `right` is a way of the pattern.
fn looking(carrying: &Frame, right: Vec2) -> Frame {
    let x = carrying.x * right.x + carrying.y * right.y;
    Frame { origin: Vec3::default(), x, y: carrying.z, z: x.cross(carrying.z) }
}

fn seen(view: &Frame, p: Vec3) -> Vec2 {
    let p = view.local(p);
    Vec2::new(p.x, p.y)
}

fn arc(folded: &Folded, plate: &PlateResult, i: usize, view: &Frame) -> Arc {
    let bend = &folded.bends[i];
    let start = view.local(view.origin + bend.axis.x);
    let start = Vec2::new(start.x, start.y).angle();
    // The frame's z is the axis of the turn, right-handed where the bend's drawn face is the outside.
    let same = bend.axis.z.dot(view.z) > 0.0;
    let way = if same == bend.up { -1.0 } else { 1.0 };
    let back = if bend.up { bend.radius + plate.thick } else { bend.radius - plate.thick };
    Arc { bend: i, centre: seen(view, bend.axis.origin), radii: [bend.radius, back], turn: [start, way * bend.turn[0]] }
}

fn edge(view: &Frame, (i, flange): (usize, &Flange), points: &[Vec2], folded: &Folded, plate: &PlateResult) -> Edge {
    let normal = view.local(view.origin + flange.frame.z);
    let back = -Vec2::new(normal.x, normal.y);
    let along = back.left();
    let on_view = |p: Vec2| seen(view, flange.frame.on_plane(p));
    let places = points.iter().map(|&p| on_view(p));
    let first = on_view(points[0]);
    let (low, high) = places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
        let at = (p - first).dot(along);
        (low.min(at), high.max(at))
    });
    let own = plate.holes.iter().filter(|hole| folded.flange(hole.centre).is_some_and(|own| own == flange));
    let holes = own.map(|hole| on_view(hole.centre)).collect();
    Edge { flange: i, ends: [first + along * low, first + along * high], back, holes }
}

/// A plate's outline on the flat pattern, by chords.
fn drawn(plate: &PlateResult) -> Vec<Vec2> {
    outline::path(&plate.outline).map_or_else(Vec::new, |path| path.flattened(STRAY))
}

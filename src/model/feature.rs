//! What is cut into a bar: dimples for set screws and grooves for pinch bolts.

use super::room::{Block, LEAST_WALL};
use super::solid::{face, line, ring, vertex};
use super::spline::{Jet, Spline};
use super::{Curve, Edge, Face, ModelError, Shape, Surface, Wire};
use crate::geometry::{Frame, Vec2, Vec3};
use crate::solve::solution::{Dimple, Groove};

/// How far (mm) a fitted edge may lie from its true curve, for each mm of the
/// bar's diameter: a hundredth of what the audit allows of a length.
pub(super) const FIT: f64 = 1e-9;

/// Within this (deg) an included angle is a flat floor, and a clock is square to a flat: at a
/// shaft's radius a hundredth of what the audit allows of a length.
const SQUARE: f64 = 1e-7;

/// Within this (mm) a cone's own mouth at the surface is the stated mouth: a tenth of what the audit allows.
const SAME_MOUTH: f64 = 1e-7;

/// The surface a feature is cut into.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Into {
    /// A flat at this distance from the axis.
    Flat(f64),
    /// The round of this radius.
    Round(f64),
}

/// The frame of a feature: origin on the shaft's axis, x across (anticlockwise about the shaft's +z), y
/// along the shaft toward the gear, z outward. Seen from outside with the gear end up, x points right.
pub(super) fn outward_frame(clock: f64, station: f64) -> Frame {
    let e = direction(clock);
    let out = Vec3::new(e.x, e.y, 0.0);
    let y = Vec3::new(0.0, 0.0, 1.0);
    Frame { origin: y * station, x: y.cross(out), y, z: out }
}

/// Unit vector across the shaft at a clock (deg); exact at the quarters.
pub(super) fn direction(clock: f64) -> Vec2 {
    match quarter(clock) {
        Some(0) => Vec2::new(1.0, 0.0),
        Some(1) => Vec2::new(0.0, 1.0),
        Some(2) => Vec2::new(-1.0, 0.0),
        Some(_) => Vec2::new(0.0, -1.0),
        None => Vec2::polar(clock.to_radians()),
    }
}

/// 0 to 3 where a clock (deg) is a quarter of a turn.
pub(super) fn quarter(clock: f64) -> Option<usize> {
    let turned = clock.rem_euclid(360.0);
    let nearest = (turned / 90.0).round();
    ((turned - 90.0 * nearest).abs() <= SQUARE).then_some(nearest as usize % 4)
}

/// The bottom of a dimple.
#[derive(Debug, Clone, Copy)]
enum Bottom {
    /// A cone up to the surface.
    Cone { half_angle: f64 },
    /// A cone up to `rise` over its tip, then a straight wall.
    Drilled { half_angle: f64, rise: f64 },
    /// A flat floor and a straight wall.
    Floor,
}

/// A dimple ready to be cut.
#[derive(Debug, Clone)]
pub(super) struct Cut {
    /// Room it takes.
    pub(super) block: Block,
    /// Its rim, anticlockwise seen from outside.
    pub(super) rim: Edge,
    /// The faces that replace the metal inside the rim.
    pub(super) faces: Vec<Face>,
}

/// The dimple in words.
pub(super) fn name_dimple(dimple: &Dimple) -> String {
    format!("dimple at {:.3} mm, clock {:.1} deg", dimple.z, dimple.clock)
}

/// The groove in words.
pub(super) fn name_groove(groove: &Groove, z: f64) -> String {
    format!("pinch groove at {z:.3} mm, clock {:.1} deg", groove.clock)
}

/// A dimple in a flat or in the round; `half_width` is half the width of the surface it must stay within.
pub(super) fn dimple(dimple: &Dimple, into: Into, half_width: f64) -> Result<Cut, ModelError> {
    let what = name_dimple(dimple);
    let fail = |message: String| ModelError::new(&what, message);
    let mouth = dimple.diameter / 2.0;
    let placed = [dimple.z, dimple.clock, mouth, dimple.depth].iter().all(|number| number.is_finite());
    if !(placed && mouth > LEAST_WALL && dimple.depth > LEAST_WALL && dimple.drill > 1.0 && dimple.drill <= 180.0) {
        return Err(fail(format!(
            "mouth {:.3} mm, depth {:.3} mm and angle {:.1} deg must be over {LEAST_WALL} mm, {LEAST_WALL} mm and 1 deg, \
             and the angle at most 180 deg",
            dimple.diameter, dimple.depth, dimple.drill
        )));
    }
    let bottom = bottom(dimple).ok_or_else(|| {
        fail(format!(
            "a mouth of {:.3} mm at {:.1} deg is deeper than the depth of {:.3} mm; state the mouth the drill leaves",
            dimple.diameter, dimple.drill, dimple.depth
        ))
    })?;
    let crest = match into {
        Into::Flat(at) | Into::Round(at) => at,
    };
    let floor = crest - dimple.depth;
    let frame = outward_frame(dimple.clock, dimple.z);
    let (rim, half_across) = match into {
        Into::Flat(at) => {
            let rim = Frame { origin: frame.origin + frame.z * at, ..frame };
            (Curve::circle(rim, mouth), mouth)
        }
        Into::Round(radius) => round_rim(&frame, radius, floor, mouth, bottom)
            .ok_or_else(|| fail("its rim on the round cannot be fitted; make it smaller or shallower".to_owned()))??,
    };
    if half_across > half_width - LEAST_WALL {
        return Err(fail(format!(
            "it is {:.3} mm wide across the shaft, where there is room for {:.3} mm; use a smaller point",
            2.0 * half_across,
            2.0 * half_width
        )));
    }
    let toward = direction(dimple.clock);
    let block = Block {
        what,
        toward,
        floor,
        crest,
        half_width: mouth.min(half_width),
        along: [dimple.z - mouth, dimple.z + mouth],
    };
    let (rim, faces) = bottom_faces(&frame, rim, crest, floor, mouth, bottom);
    Ok(Cut { block, rim, faces })
}

fn bottom(dimple: &Dimple) -> Option<Bottom> {
    if dimple.drill >= 180.0 - SQUARE {
        return Some(Bottom::Floor);
    }
    let half_angle = (dimple.drill / 2.0).to_radians();
    let (mouth, slope) = (dimple.diameter / 2.0, libm::tan(half_angle));
    let wider = dimple.depth * slope - mouth;
    if wider.abs() <= SAME_MOUTH {
        Some(Bottom::Cone { half_angle })
    } else {
        (wider > 0.0).then_some(Bottom::Drilled { half_angle, rise: mouth / slope })
    }
}

/// Where the cone or wall of a dimple comes out of the round, and half its width across; `None` where it cannot be fitted.
///
/// Cone with its tip at distance h from the axis, t = tan(half angle): the point at
/// height s over the tip and angle p round the dimple's axis lies on the round
/// where (h + s)² + (s t cos p)² = R². Wall of radius m: height √(R² - (m cos p)²).
fn round_rim(
    frame: &Frame,
    radius: f64,
    floor: f64,
    mouth: f64,
    bottom: Bottom,
) -> Option<Result<(Curve, f64), ModelError>> {
    let place = |across: Jet, along: Jet, up: Jet| on_frame(frame, across, along, up);
    let range = [0.0, std::f64::consts::TAU];
    let spline = match bottom {
        Bottom::Cone { half_angle } => {
            let t = libm::tan(half_angle);
            Spline::fit(range, FIT * 2.0 * radius, |p| {
                let (sin, cos) = p.sincos();
                let k = cos * cos * (t * t) + Jet::constant(1.0);
                let root =
                    Jet::constant(radius * radius) + (k - Jet::constant(1.0)) * (radius * radius - floor * floor);
                let s = (root.sqrt() - Jet::constant(floor)) * k.recip();
                place(s * cos * t, s * sin * t, s + Jet::constant(floor))
            })?
        }
        Bottom::Drilled { .. } | Bottom::Floor => {
            let rise = if let Bottom::Drilled { rise, .. } = bottom { rise } else { 0.0 };
            let lowest = (radius * radius - mouth * mouth).max(0.0).sqrt();
            if lowest < floor + rise + LEAST_WALL {
                return Some(Err(ModelError::new(
                    format!("dimple of {:.3} mm in the round", 2.0 * mouth),
                    format!(
                        "its straight wall begins {:.3} mm from the shaft's axis and the round falls to {lowest:.3} mm \
                         beside it: a wall that does not go all round is not built; make it deeper, or a plain cone",
                        floor + rise
                    ),
                )));
            }
            Spline::fit(range, FIT * 2.0 * radius, |p| {
                let (sin, cos) = p.sincos();
                let (across, along) = (cos * mouth, sin * mouth);
                place(across, along, (Jet::constant(radius * radius) - across * across).sqrt())
            })?
        }
    };
    let half_across = (spline.at(0.0).0 - frame.origin).dot(frame.x);
    Some(Ok((Curve::Spline(spline.closed()), half_across)))
}

pub(super) fn on_frame(frame: &Frame, x: Jet, y: Jet, z: Jet) -> [Jet; 3] {
    let o = frame.origin;
    [
        x * frame.x.x + y * frame.y.x + z * frame.z.x + Jet::constant(o.x),
        x * frame.x.y + y * frame.y.y + z * frame.z.y + Jet::constant(o.y),
        x * frame.x.z + y * frame.y.z + z * frame.z.z + Jet::constant(o.z),
    ]
}

/// The faces inside a dimple's rim, each a single face with one seam.
fn bottom_faces(frame: &Frame, rim: Curve, crest: f64, floor: f64, mouth: f64, bottom: Bottom) -> (Edge, Vec<Face>) {
    let at = |height: f64| Frame { origin: frame.origin + frame.z * height, ..*frame };
    let (corner, rim) = ring(rim);
    let tip = |from: &super::Vertex, edge: &Edge, surface: Surface| {
        let seam = line(from, &vertex(at(floor).origin));
        face(vec![Wire::from(vec![edge.clone(), seam.clone(), seam.inverse()])], surface)
    };
    let wall = |height: f64| {
        let (low, circle) = ring(Curve::circle(at(height), mouth));
        let seam = line(&low, &corner);
        let wire = Wire::from(vec![rim.clone(), seam.inverse(), circle.inverse(), seam]);
        let surface = Surface::hollow(at(height), Shape::Cylinder { radius: mouth });
        (low, circle, face(vec![wire], surface))
    };
    let faces = match bottom {
        Bottom::Cone { half_angle } => {
            let shape = Shape::Cone { radius: (crest - floor) * libm::tan(half_angle), half_angle };
            vec![tip(&corner, &rim, Surface::hollow(at(crest), shape))]
        }
        Bottom::Drilled { half_angle, rise } => {
            let (low, circle, wall) = wall(floor + rise);
            let shape = Shape::Cone { radius: mouth, half_angle };
            vec![wall, tip(&low, &circle, Surface::hollow(at(floor + rise), shape))]
        }
        Bottom::Floor => {
            let (_, circle, wall) = wall(floor);
            vec![wall, face(vec![Wire::from(vec![circle])], Surface::plane(at(floor)))]
        }
    };
    (rim, faces)
}

/// The surface of a pinch groove: round the bolt's axis, its seam on the side away from the shaft.
pub(super) fn groove_surface(groove: &Groove, z: f64) -> Surface {
    let out = outward_frame(groove.clock, z);
    let frame = Frame { origin: out.origin + out.z * groove.offset, x: out.z, y: -out.y, z: out.x };
    Surface::hollow(frame, Shape::Cylinder { radius: groove.diameter / 2.0 })
}

/// A groove whose mouth lies wholly in the round, as on a round bar: one face with one closed rim.
///
/// With p the depth under the crest, P the greatest, and a turn q: p = P cos² q gives
/// across √p √(2R - p), along √(P - p) √(2b - (P - p)), b the bolt's radius.
pub(super) fn round_groove(groove: &Groove, z: f64, radius: f64, block: Block) -> Result<Cut, ModelError> {
    let bolt = groove.diameter / 2.0;
    let greatest = radius - (groove.offset - bolt);
    let frame = outward_frame(groove.clock, z);
    let root = greatest.sqrt();
    let rim = Spline::fit([0.0, std::f64::consts::TAU], FIT * 2.0 * radius, |q| {
        let (sin, cos) = q.sincos();
        let (p, rest) = (cos * cos * greatest, sin * sin * greatest);
        let across = cos * root * (Jet::constant(2.0 * radius) - p).sqrt();
        let along = sin * root * (Jet::constant(2.0 * bolt) - rest).sqrt();
        on_frame(&frame, across, along, Jet::constant(radius) - p)
    })
    .ok_or_else(|| {
        ModelError::new(
            &block.what,
            "its rim on the round cannot be fitted: the bolt only just leaves the shaft; change its offset",
        )
    })?;
    let (_, rim) = ring(Curve::Spline(rim.closed()));
    let faces = vec![face(vec![Wire::from(vec![rim.clone()])], groove_surface(groove, z))];
    Ok(Cut { block, rim, faces })
}

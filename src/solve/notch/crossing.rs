//! Where the axes of what passes a rail meet its outside: a mark to drill from, and to sight along.

use crate::geometry::contour;
use crate::geometry::{Frame, Vec2, Vec3};
use crate::solve::bodies::{Room, RoomShape};
use crate::solve::rail::{OutsidePiece, RailShape};
use crate::spec::types::Body;

/// Crossings of one part nearer than this (mm) are one: where two pieces of the outside meet.
const SAME: f64 = 1e-6;

/// Every place of the unrolled outside, inside an outline, at which the axis of a shaft, the column or the gear passes.
pub(super) fn crossings(rail: &RailShape, rooms: &[Room], shop: &[Vec<Vec2>]) -> Vec<(Body, Vec2)> {
    let turns: &[f64] = if rail.closed { &[0.0, -1.0, 1.0] } else { &[0.0] };
    let mut found: Vec<(Body, Vec2)> = Vec::new();
    for room in rooms.iter().filter(|room| !matches!(room.body, Body::Joint(_))) {
        let RoomShape::Cylinder { from, to, .. } = room.shape else { continue };
        for piece in rail.pieces() {
            for at in meetings(&piece, &rail.frame, [from, to]) {
                let turned = turns.iter().map(|turn| at + Vec2::new(0.0, turn * rail.girth));
                let Some(at) = turned.into_iter().find(|&at| contour::holds(shop, at)) else { continue };
                if !found.iter().any(|(body, other)| *body == room.body && (*other - at).length() <= SAME) {
                    found.push((room.body, at));
                }
            }
        }
    }
    found
}

/// Places (u, v) at which a line between two points passes a piece of the outside.
fn meetings(piece: &OutsidePiece, frame: &Frame, line: [Vec3; 2]) -> Vec<Vec2> {
    let [a, b] = line.map(|p| frame.local(p));
    // Across the rail: right, up.
    let (p, way) = (Vec2::new(a.z, a.y), Vec2::new(b.z - a.z, b.y - a.y));
    let shares = match piece.centre {
        None => {
            let along = piece.to - piece.from;
            vec![(piece.from - p).cross(along) / way.cross(along)]
        }
        Some(centre) => {
            let (off, radius) = (p - centre, (piece.from - centre).length());
            let (square, half, rest) = (way.dot(way), off.dot(way), off.dot(off) - radius * radius);
            let root = (half * half - square * rest).sqrt();
            vec![(-half - root) / square, (-half + root) / square]
        }
    };
    let on = |share: f64| {
        let at = p + way * share;
        let s = match piece.centre {
            None => (at - piece.from).dot((piece.to - piece.from).unit()?),
            Some(centre) => {
                let (arm, own) = (piece.from - centre, at - centre);
                let turn = libm::atan2(-arm.cross(own), arm.dot(own));
                // A hair before its start is not a turn behind it.
                let turn = if turn < -SAME { turn + std::f64::consts::TAU } else { turn };
                turn * arm.length()
            }
        };
        let inside = (-SAME..=piece.length + SAME).contains(&s) && (0.0..=1.0).contains(&share);
        inside.then(|| Vec2::new(a.x + (b.x - a.x) * share, piece.v + s))
    };
    shares.into_iter().filter(|share| share.is_finite()).filter_map(on).collect()
}

//! The rooms of parts over all motions, as what they pass through sees them.
//!
//! The box of all motions is halved until over a part of it no point of a
//! room is farther than a little from where it is in the middle of that part.
//! The room in the middle, with that little added to the clearance, then holds
//! every place the room goes through. Parts in which it cannot come near are
//! left out. What is cut so takes all that must go, and at most twice that
//! little more.

use super::bodies::{self, Room, RoomShape};
use super::clearance::solid;
use super::travel::{Carried, Linkage, Steps, moving};
use crate::geometry::Vec3;
use crate::geometry::distance::Solid;
use crate::spec::Spec;
use crate::spec::types::{Body, Motion, Moved};

/// How far (mm) a room may be from its middle place, by how many motions move it.
const SLIDES: [f64; 3] = [0.25, 0.75, 1.5];

/// Parts of the box looked at for one body before what is left is taken as it is.
const BUDGET: usize = 4000;

/// A room at one place, and how far its points can be from there (mm).
pub type Slid = (Room, f64);

/// What is passed through, and by what.
pub(super) struct Sweep<'a> {
    pub(super) spec: &'a Spec,
    /// The linkage, where motions move column, gear or a bearing.
    pub(super) linkage: Option<&'a Linkage>,
    /// What is passed through, and what moves it.
    pub(super) carrier: Carried,
    /// Whether a room, its points so far (mm) from where it is, cannot come near.
    pub(super) far: &'a dyn Fn(&Room, f64) -> bool,
}

impl Sweep<'_> {
    /// Every place that rooms of some parts go through, seen from what they pass as it was taped; `None` where no motion
    /// moves any of them against it.
    pub(super) fn places(&self, bodies: &[Body], rooms: &[Room]) -> Option<Vec<Slid>> {
        let mut all = Vec::new();
        let mut moves = false;
        for &body in bodies {
            let own: Vec<Room> = rooms.iter().filter(|room| room.body == body).copied().collect();
            let relevant = self.relevant(body);
            if !relevant.is_empty() {
                moves = true;
                self.body(body, &own, &relevant, &mut all);
            }
        }
        moves.then_some(all)
    }

    /// Motions that move a body or what it passes, but not both alike.
    fn relevant(&self, body: Body) -> Vec<usize> {
        let lists: Vec<Vec<usize>> = match (body, self.linkage) {
            (Body::Column | Body::Gear, _) => vec![moving(&self.spec.motions, Moved::End(body))],
            (_, Some(linkage)) => linkage.hangs_on(body).into_iter().map(<[usize]>::to_vec).collect(),
            (_, None) => vec![Vec::new()],
        };
        let passed = self.carrier.moves();
        let alike = lists.iter().all(|list| list == passed);
        let mut all: Vec<usize> = if alike { Vec::new() } else { lists.concat() };
        if !alike {
            all.extend(passed);
        }
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Adds every place of one body.
    fn body(&self, body: Body, taped: &[Room], relevant: &[usize], all: &mut Vec<Slid>) {
        let motions = &self.spec.motions;
        let still = |m: usize, motion: &Motion| if relevant.contains(&m) { motion.steps() } else { [0.0; 2] };
        let range: Steps = motions.iter().enumerate().map(|(m, motion)| still(m, motion)).collect();
        let own = moving(motions, Moved::End(body));
        let carried = Carried::new(taped.iter().map(|room| Solid::Convex(solid(room.shape))).collect(), own);
        let wanted = SLIDES[relevant.len().clamp(1, SLIDES.len()) - 1];
        let mut open = vec![range];
        let mut looked = 0;
        while let Some(range) = open.pop() {
            looked += 1;
            let middle: Vec<f64> = range.iter().map(|[low, high]| f64::midpoint(*low, *high)).collect();
            let mut slides = vec![0.0; motions.len()];
            let found = match (body, self.linkage) {
                (Body::Joint(_) | Body::Shaft(_), Some(linkage)) => {
                    let mut moved = linkage.scratch();
                    linkage.shares(motions, &range, &mut slides);
                    linkage.chain(motions, &middle, &mut moved).ok().and_then(|chain| {
                        let spread = linkage.spread(motions, &range, &chain)?;
                        let slide = linkage.slide(&spread, &chain, body);
                        let rooms = bodies::moved_rooms(&moved, &chain);
                        Some((rooms.into_iter().filter(|room| room.body == body).collect::<Vec<_>>(), slide))
                    })
                }
                (Body::Joint(_) | Body::Shaft(_), None) => Some((taped.to_vec(), 0.0)),
                (Body::Column | Body::Gear, _) => {
                    let slide = (0..carried.len()).map(|i| {
                        let mut own = vec![0.0; motions.len()];
                        carried.slides(i, motions, &range, &mut own);
                        slides.iter_mut().zip(&own).for_each(|(all, one)| *all = all.max(*one));
                        own.iter().sum::<f64>()
                    });
                    let slide = slide.fold(0.0, f64::max);
                    let place = carried.place(motions, &middle);
                    let rooms = taped.iter().map(|room| moved(room, |p| place.point(p))).collect();
                    Some((rooms, slide))
                }
            };
            let mut of_passed = vec![0.0; motions.len()];
            self.carrier.slides(0, motions, &range, &mut of_passed);
            let passed_slide: f64 = of_passed.iter().sum();
            let back = self.carrier.place(motions, &middle).back();
            if let Some((rooms, slide)) = found {
                let slide = slide + passed_slide;
                let rooms: Vec<Room> = rooms.iter().map(|room| moved(room, |p| back.point(p))).collect();
                if rooms.iter().all(|room| (self.far)(room, slide)) {
                    continue;
                }
                if slide <= wanted || looked + open.len() >= BUDGET {
                    all.extend(rooms.into_iter().filter(|room| !(self.far)(room, slide)).map(|room| (room, slide)));
                    continue;
                }
            } else if looked + open.len() >= BUDGET {
                continue;
            }
            let share = |m: usize| slides[m] + of_passed[m];
            let widest = relevant.iter().copied().max_by(|&a, &b| share(a).total_cmp(&share(b)));
            let Some(m) = widest.filter(|&m| range[m][1] > range[m][0]) else { continue };
            let [low, high] = range[m];
            for half in [[low, f64::midpoint(low, high)], [f64::midpoint(low, high), high]] {
                let mut part = range.clone();
                part[m] = half;
                open.push(part);
            }
        }
    }
}

fn moved(room: &Room, place: impl Fn(Vec3) -> Vec3) -> Room {
    let shape = match room.shape {
        RoomShape::Cylinder { from, to, radius } => RoomShape::Cylinder { from: place(from), to: place(to), radius },
        RoomShape::Ball { centre, radius } => RoomShape::Ball { centre: place(centre), radius },
    };
    Room { shape, ..*room }
}

//! The linkage when its ends and bearings move: solved anew at a place of the box, and how far its parts can be from
//! there over a part of the box.

use super::side::{Carried, Steps, apart};
use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::geometry::distance::{Convex, Solid};
use crate::solve::bodies::{self, RoomShape};
use crate::solve::chain::{self, Chain};
use crate::solve::clearance::solid;
use crate::spec::Spec;
use crate::spec::types::{Bearing, BearingAt, Body, Motion, Moved, setback};

/// Rounds in which the bounds of all crosses settle; one a joint and a few for double joints do.
const ROUNDS: usize = 60;

/// What the bounds are widened by (mm and rad, and as a share) so that they can be proved: over rounding, far under what
/// matters.
const WIDEN: f64 = 1e-9;

/// A linkage whose column, gear or bearings move.
///
/// A shaft with a bearing passes its eye, and keeps the distance between its crosses; the one shaft without gives
/// way in its length. An inner joint whose place is stated and that no row of bearings reaches stays where it was taped.
#[derive(Debug, Clone)]
pub struct Linkage {
    /// As taped, every bearing that places a joint an eye in space.
    taped: Spec,
    column: Carried,
    gear: Carried,
    /// Of every shaft whose bearing places a joint.
    eyes: Vec<Option<Eye>>,
}

/// A bearing that places the joint at one end of its shaft.
#[derive(Debug, Clone)]
struct Eye {
    /// Its centre.
    place: Carried,
    /// The joint whose place is known, and the one that follows from it.
    from: usize,
    to: usize,
}

/// How far parts of the linkage can be from where they are with every motion in the middle of its range.
#[derive(Debug, Clone)]
pub struct Spread {
    /// Of the place where a joint's axes meet (mm).
    pub centres: Vec<f64>,
    /// Turn of every axis, column first and gear last (rad).
    pub axes: Vec<f64>,
    /// Change of a double joint's setback (mm).
    pub setbacks: Vec<f64>,
    /// Of the eye that each shaft passes (mm); 0 where it passes none.
    pub eyes: Vec<f64>,
}

impl Linkage {
    /// Of a spec with its chain as taped; `None` where no motion moves it.
    pub fn new(spec: &Spec, chain: &Chain) -> Option<Self> {
        let of = |what| super::moving(&spec.motions, what);
        let [column, gear] = [Body::Column, Body::Gear].map(|end| of(Moved::End(end)));
        let bearings: Vec<Vec<usize>> = (0..spec.shafts.len()).map(|i| of(Moved::Bearing(i))).collect();
        if column.is_empty() && gear.is_empty() && bearings.iter().all(Vec::is_empty) {
            return None;
        }
        let mut taped = spec.linkage_alone();
        let last = spec.joints.len() - 1;
        let has = |i: usize| spec.shafts[i].bearing.is_some();
        let mut eyes = vec![None; spec.shafts.len()];
        // Whether a joint has its place without those below it.
        let mut known = vec![true; last + 1];
        for i in 1..last {
            // From above while every shaft up to it has a bearing, else from below likewise; else as the spec has it.
            let stated = spec.joints[i].centre.is_some();
            let by_eye = known[i - 1] && spec.shafts[i - 1].placing().is_some();
            let (shaft, from) = if (0..i).all(has) || (!(i..last).all(has) && !stated && by_eye) {
                (i - 1, i - 1)
            } else if (i..last).all(has) || !stated {
                known[i] = false;
                (i, i + 1)
            } else {
                taped.joints[i].centre = Some(chain.centres[i]);
                continue;
            };
            taped.joints[i].centre = None;
            let Some(bearing) = &mut taped.shafts[shaft].bearing else { continue };
            let station = chain.bearing_station(shaft, bearing.at);
            let centre = chain.lower_cross(shaft) + chain.axes[shaft + 1] * station;
            bearing.at = BearingAt::Eye { centre, to: Some(chain.span(shaft)) };
            eyes[shaft] = Some(Eye { place: point(centre, bearings[shaft].clone()), from, to: i });
        }
        // The others place nothing: they stay where they stand along their shafts.
        for (i, eye) in eyes.iter().enumerate() {
            if let (None, Some(bearing)) = (eye, &mut taped.shafts[i].bearing) {
                bearing.at = BearingAt::Along(chain.bearing_station(i, bearing.at));
            }
        }
        let (first, end) = (chain.centres[0], chain.centres[last]);
        Some(Self { taped, column: point(first, column), gear: point(end, gear), eyes })
    }

    /// Whether a shaft's crosses keep their distance: its bearing and that distance place one of them.
    pub fn keeps_length(&self, shaft: usize) -> bool {
        self.eyes.get(shaft).is_some_and(Option::is_some)
    }

    /// The motions that move column, gear and eyes, one list each.
    pub fn moves(&self) -> Vec<&[usize]> {
        let eyes = self.eyes.iter().flatten().map(|eye| eye.place.moves());
        [self.column.moves(), self.gear.moves()].into_iter().chain(eyes).collect()
    }

    /// The chain with every motion at a step; `moved`, from [`Self::scratch`], is left with its ends and eyes there.
    ///
    /// # Errors
    /// As those of [`chain::chain`].
    pub fn chain(&self, motions: &[Motion], steps: &[f64], moved: &mut Spec) -> Result<Chain, Vec<Diagnostic>> {
        let ends = [(&mut moved.column, &self.taped.column), (&mut moved.gear, &self.taped.gear)];
        for ((end, taped), carried) in ends.into_iter().zip([&self.column, &self.gear]) {
            let place = carried.place(motions, steps);
            (end.end, end.axis) = (place.point(taped.end), place.direction(taped.axis));
            end.second = taped.second.map(|second| place.point(second));
        }
        for (shaft, eye) in moved.shafts.iter_mut().zip(&self.eyes) {
            let (Some(bearing), Some(eye)) = (&mut shaft.bearing, eye) else { continue };
            if let BearingAt::Eye { centre, .. } = &mut bearing.at {
                *centre = eye.place.ball(0, &eye.place.place(motions, steps)).0;
            }
        }
        chain::chain(moved)
    }

    /// The linkage as taped, to be moved by [`Self::chain`].
    pub fn scratch(&self) -> Spec {
        self.taped.clone()
    }

    /// The solids of a joint or shaft in a chain so solved.
    pub fn solids(spec: &Spec, chain: &Chain, body: Body) -> Vec<Convex> {
        let rooms = bodies::moved_rooms(spec, chain);
        rooms.iter().filter(|room| room.body == body).map(|room| solid(room.shape)).collect()
    }

    /// Bounds over a range about the chain solved in its middle; `None` where it is too wide for any.
    ///
    /// Every bound follows from the others: an axis turns no more than the ends of its shaft let it, a cross placed by
    /// an eye moves no more than the shaft's other cross, the eye and the turn of the axis between let it. Bounds that
    /// follow from themselves hold, since the chain moves without a jump from the middle, where all are 0.
    pub fn spread(&self, motions: &[Motion], range: &Steps, chain: &Chain) -> Option<Spread> {
        let count = chain.centres.len();
        let slide = |carried: &Carried| {
            let mut slides = vec![0.0; motions.len()];
            carried.slides(0, motions, range, &mut slides);
            slides.iter().sum::<f64>()
        };
        let turn = |carried: &Carried| -> f64 {
            let turns = carried.moves().iter().filter(|&&m| motions[m].turns());
            turns.map(|&m| 0.5 * (range[m][1] - range[m][0])).sum()
        };
        let middle: Vec<f64> = range.iter().map(|[low, high]| f64::midpoint(*low, *high)).collect();
        let ends = [slide(&self.column), slide(&self.gear)];
        let turns = [turn(&self.column), turn(&self.gear)];
        let mut still = Spread {
            centres: vec![0.0; count],
            axes: vec![0.0; count + 1],
            setbacks: vec![0.0; count],
            eyes: self.eyes.iter().map(|eye| eye.as_ref().map_or(0.0, |eye| slide(&eye.place))).collect(),
        };
        (still.axes[0], still.axes[count]) = (turns[0], turns[1]);
        let mut bounds = still.clone();
        let eye_at = |i: usize| {
            let eye = &self.eyes.get(i)?.as_ref()?.place;
            Some((eye.ball(0, &eye.place(motions, &middle)).0, slide(eye)))
        };
        let eyes: Vec<Option<(Vec3, f64)>> = (0..self.eyes.len()).map(eye_at).collect();
        // Column or gear and the first eye beyond it: the turn of what carries both, and what else parts them.
        let beside = |end: &Carried, eye: Option<&Option<Eye>>| {
            let eye = &eye?.as_ref()?.place;
            let both = end.moves().iter().zip(eye.moves()).take_while(|(a, b)| a == b).count();
            let carrier = turn(end) - turn(&end.within(both));
            Some((carrier, slide(&end.within(both)) + slide(&eye.within(both))))
        };
        let by_end = [beside(&self.column, self.eyes.first()), beside(&self.gear, self.eyes.last())];
        let follow = |now: &Spread| -> Option<Spread> {
            let mut next = still.clone();
            for i in 0..count {
                let (angle, wide) = (chain.angles[i], now.axes[i] + now.axes[i + 1]);
                let span = self.taped.joints[i].double.unwrap_or(0.0);
                if span > 0.0 {
                    if angle + wide >= 0.9 * std::f64::consts::PI {
                        return None;
                    }
                    let at = |angle: f64| setback(span, angle);
                    next.setbacks[i] = (at(angle + wide) - at(angle)).max(at(angle) - at((angle - wide).max(0.0)));
                }
            }
            next.centres[0] = ends[0] + next.setbacks[0];
            next.centres[count - 1] = ends[1] + next.setbacks[count - 1];
            for (shaft, at) in eyes.iter().enumerate().take(count - 1) {
                let length = (chain.centres[shaft + 1] - chain.centres[shaft]).length();
                let between = now.centres[shaft] + now.centres[shaft + 1];
                next.axes[shaft + 1] = turned(between, length).unwrap_or(std::f64::consts::PI);
                let (Some((eye, slide)), Some(row)) = (*at, &self.eyes[shaft]) else { continue };
                let (from, to) = (row.from, row.to);
                let arm = (eye - chain.centres[from]).length();
                let end = if from == 0 { by_end[0] } else { by_end[1].filter(|_| from == count - 1) };
                let with_end = end.and_then(|(carrier, rest)| Some(carrier + turned(rest + now.setbacks[from], arm)?));
                let alone = turned(now.centres[from] + slide, arm);
                let turn = with_end.into_iter().chain(alone).min_by(f64::total_cmp)?;
                next.axes[shaft + 1] = turn;
                let setbacks = now.setbacks[from] + now.setbacks[to];
                next.centres[to] = now.centres[from] + chord(turn) * (length + setbacks) + setbacks;
            }
            let sound = next.centres.iter().chain(&next.axes).all(|bound| bound.is_finite());
            sound.then_some(next)
        };
        for _ in 0..ROUNDS {
            let next = follow(&bounds)?;
            if next.over(&bounds) <= 0.0 {
                return Some(bounds);
            }
            bounds = next.widened();
        }
        None
    }

    /// How far (mm) a point of a joint or shaft can be from where it is in the middle.
    pub fn slide(&self, spread: &Spread, chain: &Chain, body: Body) -> f64 {
        let cross = |i: usize| spread.centres[i] + spread.setbacks[i];
        match body {
            Body::Joint(i) => {
                let joint = &self.taped.joints[i];
                let turns = [spread.axes[i], spread.axes[i + 1]];
                // The room between the crosses of a double turns with both.
                let turn = if joint.double.is_some() { turns[0] + turns[1] } else { turns[0].max(turns[1]) };
                let arm = chain.setbacks[i] + joint.upper.reach.max(joint.lower.reach) + 0.5 * joint.hub;
                cross(i) + arm * chord(turn)
            }
            Body::Shaft(i) => {
                let gaps = self.taped.joints[i].lower.gap(None).max(self.taped.joints[i + 1].upper.gap(None));
                let back = chain.setbacks[i].max(chain.setbacks[i + 1]);
                let arm = back + gaps.abs() + 0.5 * self.taped.shafts[i].diameter();
                let bar = cross(i).max(cross(i + 1)) + arm * chord(spread.axes[i + 1]);
                self.taped.shafts[i].bearing.as_ref().map_or(bar, |bearing| bar.max(housing(spread, i, bearing)))
            }
            Body::Column | Body::Gear => f64::INFINITY,
        }
    }

    /// Adds to `shares` how much each motion moves what the linkage hangs on, to choose which range to halve.
    pub fn shares(&self, motions: &[Motion], range: &Steps, shares: &mut [f64]) {
        let eyes = self.eyes.iter().flatten().map(|eye| &eye.place);
        for carried in [&self.column, &self.gear].into_iter().chain(eyes) {
            carried.slides(0, motions, range, shares);
        }
    }

    /// The motions that change how a joint or shaft stands to something that others move.
    pub fn apart(&self, count: usize, body: Body, other: &[usize]) -> Vec<usize> {
        let mut lists = self.hangs_on(body);
        lists.push(other);
        apart(count, &lists)
    }

    /// The motions of all that places a joint and its two axes, or a shaft and its two joints, one list each.
    pub fn hangs_on(&self, body: Body) -> Vec<&[usize]> {
        let last = self.taped.joints.len() - 1;
        let joints = match body {
            // Its axes run on to the joints beside it.
            Body::Joint(i) => i.saturating_sub(1)..=(i + 1).min(last),
            Body::Shaft(i) => i..=i + 1,
            Body::Column => 0..=0,
            Body::Gear => last..=last,
        };
        let mut all: Vec<usize> = joints.collect();
        let mut looked = 0;
        while let Some(&joint) = all.get(looked) {
            looked += 1;
            let placed_by = self.placing(joint).map(|eye| eye.from);
            // How far the crosses of a double joint stand from its centre goes with its angle.
            let double = self.taped.joints[joint].double.is_some();
            let beside = [joint.saturating_sub(1), (joint + 1).min(last)].into_iter().filter(|_| double);
            for next in placed_by.into_iter().chain(beside) {
                if !all.contains(&next) {
                    all.push(next);
                }
            }
        }
        all.into_iter().map(|joint| self.own(joint)).collect()
    }

    fn placing(&self, joint: usize) -> Option<&Eye> {
        self.eyes.iter().flatten().find(|eye| eye.to == joint)
    }

    /// The motions that move what a joint's centre is measured from; none where it stays as taped.
    fn own(&self, joint: usize) -> &[usize] {
        if joint == 0 {
            self.column.moves()
        } else if joint + 1 == self.taped.joints.len() {
            self.gear.moves()
        } else {
            self.placing(joint).map_or(&[], |eye| eye.place.moves())
        }
    }
}

impl Spread {
    /// How far any bound is over the other's.
    fn over(&self, other: &Self) -> f64 {
        let pairs = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a - b).fold(f64::NEG_INFINITY, f64::max);
        pairs(&self.centres, &other.centres)
            .max(pairs(&self.axes, &other.axes))
            .max(pairs(&self.setbacks, &other.setbacks))
    }

    fn widened(&self) -> Self {
        let wide = |bounds: &[f64]| bounds.iter().map(|bound| bound * (1.0 + WIDEN) + WIDEN).collect();
        Self {
            centres: wide(&self.centres),
            axes: wide(&self.axes),
            setbacks: wide(&self.setbacks),
            eyes: self.eyes.clone(),
        }
    }
}

/// How far (mm) a point of a bearing's housing can be from where it is in the middle.
fn housing(spread: &Spread, shaft: usize, bearing: &Bearing) -> f64 {
    let Some(housing) = bearing.housing else { return 0.0 };
    let arm = 0.5 * libm::hypot(housing.outside, housing.width);
    let turn = chord(spread.axes[shaft + 1]);
    match bearing.at {
        BearingAt::Eye { .. } => spread.eyes[shaft] + arm * turn,
        BearingAt::Along(station) => spread.centres[shaft] + spread.setbacks[shaft] + (station + arm) * turn,
    }
}

/// A point, and what moves it.
fn point(centre: Vec3, moves: Vec<usize>) -> Carried {
    Carried::new(vec![Solid::Convex(solid(RoomShape::Ball { centre, radius: 0.0 }))], moves)
}

/// Turn (rad) of a line of that length whose ends come apart by that much in all; `None` where it can turn anywhere.
fn turned(apart: f64, length: f64) -> Option<f64> {
    (apart < length).then(|| libm::asin(apart / length))
}

/// How far the end of a line of length 1 goes when it turns.
fn chord(turn: f64) -> f64 {
    2.0 * libm::sin(0.5 * turn.min(std::f64::consts::PI))
}

//! Branch and bound over the box of all motions.
//!
//! A part of the box is looked at with every motion at its middle. The gap there is attained, a bound from above. From
//! below the gap over the part is bounded twice: the gap less how far both sides can slide from the middle, and the
//! room between the two planes square to the shortest line at the middle that neither side passes. The first always
//! holds; the second is right to second order, which settles a least gap inside the box. The part with the lowest
//! bound is halved until both bounds meet.

use super::linkage::Linkage;
use super::queue::Queue;
use super::side::{Carried, Steps, apart};
use crate::geometry::Vec3;
use crate::geometry::distance::{Closest, Convex, Revolved, Solid, Support, ball, closest, closest_below};
use crate::spec::Spec;
use crate::spec::types::{Body, Motion};

/// Rounding of the bounds, as a share of the size of the scene.
const ROUNDING: f64 = 1e-9;

/// Bounds of a gap this near (mm) are one, for one or two motions and for more: far under what a tape reads, and under
/// any need by a hundred times.
const MEET: [f64; 2] = [0.05, 0.2];

/// Places looked at before giving up on one gap. The worst of thousands of random scenes needed a fifth of it.
pub const BUDGET: usize = 40_000;

/// Corners of the whole box are looked at first for up to this many motions; a least gap is often there.
const CORNERS: usize = 4;

/// The least gap of two sides over all motions.
#[derive(Debug, Clone, PartialEq)]
pub struct Least {
    /// Attained (mm).
    pub gap: f64,
    /// Proved: it is never less (mm).
    pub lower: f64,
    /// Step of every motion where the gap is attained.
    pub steps: Vec<f64>,
    /// On the second side there.
    pub point: Vec3,
    /// Places looked at.
    pub looked: usize,
}

/// How near the bounds are to be brought (mm) with that many motions.
pub const fn tolerance(motions: usize) -> f64 {
    if motions <= 2 { MEET[0] } else { MEET[1] }
}

/// A part of the box for one pair of solids.
#[derive(Debug, Clone)]
struct Part {
    pair: [usize; 2],
    /// The part of a bent second solid, as taped.
    slice: Option<Revolved>,
    range: Steps,
    lower: f64,
    /// Which halving is likeliest to help: a motion, or the bent solid.
    halve: Halve,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Halve {
    Motion(usize),
    Slice,
    Nothing,
}

/// The side of the linkage: convex solids that move as one, or a joint or shaft between ends that move.
#[derive(Debug, Clone, Copy)]
pub enum First<'a> {
    /// They move as one, or not at all.
    Carried(&'a Carried),
    /// Solved anew at every place.
    Linked(&'a Linkage, Body),
}

/// The first side at one place, and how far it can be from there.
struct Placed {
    solids: Vec<Convex>,
    slide: f64,
}

impl First<'_> {
    fn apart(&self, count: usize, other: &[usize]) -> Vec<usize> {
        match self {
            Self::Carried(carried) => apart(count, &[carried.moves(), other]),
            Self::Linked(linkage, body) => linkage.apart(count, *body, other),
        }
    }
}

/// A search at work.
struct Search<'a> {
    motions: &'a [Motion],
    first: First<'a>,
    second: &'a Carried,
    /// The linkage where it was solved last.
    moved: Option<Spec>,
    best: Option<Least>,
    looked: usize,
}

/// The least gap of two sides over all motions in their ranges, looking at no more than `budget` places; `None` where
/// either has no solid.
///
/// The solids of `first` are convex. Motions that move neither stay at their taped position.
pub fn least(motions: &[Motion], first: First<'_>, second: &Carried, budget: usize) -> Option<Least> {
    let relevant = first.apart(motions.len(), second.moves());
    // What carries neither, or both alike, stays as taped.
    let still = 0.0;
    let range: Steps = motions
        .iter()
        .enumerate()
        .map(|(m, motion)| if relevant.contains(&m) { motion.steps() } else { [still; 2] })
        .collect();
    let wanted = tolerance(relevant.len());
    let moved = match first {
        First::Linked(linkage, _) => Some(linkage.scratch()),
        First::Carried(_) => None,
    };
    let mut search = Search { motions, first, second, moved, best: None, looked: 0 };
    let middle: Vec<f64> = range.iter().map(|[low, high]| f64::midpoint(*low, *high)).collect();
    search.attain(&middle);
    if relevant.len() <= CORNERS {
        for corner in 0..1_usize << relevant.len() {
            let mut steps = middle.clone();
            for (bit, &m) in relevant.iter().enumerate() {
                steps[m] = range[m][corner >> bit & 1];
            }
            search.attain(&steps);
        }
    }
    let upper = |search: &Search<'_>| search.best.as_ref().map_or(f64::INFINITY, |best| best.gap);
    // The least bound of all parts that were let go.
    let mut lower = f64::INFINITY;
    // The lowest bound first.
    let mut open = Queue::new();
    let keep = |search: &Search<'_>, open: &mut Queue<Part>, part: Part, lower: &mut f64| {
        if part.lower >= upper(search) - wanted || part.halve == Halve::Nothing {
            *lower = lower.min(part.lower);
        } else {
            open.push(-part.lower, part);
        }
    };
    for i in 0..search.solids(&middle).len() {
        for j in 0..second.len() {
            let slice = match second.solid(j) {
                Solid::Revolved(revolved) => Some(*revolved),
                Solid::Convex(_) => None,
            };
            let whole = Part { pair: [i, j], slice, range: range.clone(), lower: 0.0, halve: Halve::Nothing };
            if let Some(part) = search.look(whole) {
                keep(&search, &mut open, part, &mut lower);
            }
        }
    }
    while let Some(part) = open.pop() {
        if part.lower >= upper(&search) - wanted || search.looked >= budget || upper(&search) <= 0.0 {
            lower = lower.min(part.lower);
            break;
        }
        for half in part.halves() {
            if let Some(half) = search.look(half) {
                keep(&search, &mut open, half, &mut lower);
            }
        }
    }
    let reach = |solid: &Convex| ball(solid).0.length() + ball(solid).1;
    let size = search.solids(&middle).iter().map(reach).fold(second.size(), f64::max);
    let looked = search.looked;
    let best = search.best?;
    let lower = (lower.min(best.gap) - ROUNDING * size).max(0.0);
    Some(Least { lower, looked, ..best })
}

impl Part {
    fn halves(&self) -> Vec<Self> {
        match (self.halve, &self.slice) {
            (Halve::Motion(m), _) => {
                let [low, high] = self.range[m];
                let middle = f64::midpoint(low, high);
                let part = |span| {
                    let mut half = self.clone();
                    half.range[m] = span;
                    half
                };
                vec![part([low, middle]), part([middle, high])]
            }
            (Halve::Slice, Some(slice)) => {
                slice.halves().into_iter().map(|slice| Self { slice: Some(slice), ..self.clone() }).collect()
            }
            _ => Vec::new(),
        }
    }
}

impl Search<'_> {
    /// The solids of the first side at one place; none where the linkage finds no place.
    fn solids(&mut self, steps: &[f64]) -> Vec<Convex> {
        match self.first {
            First::Carried(carried) => {
                let place = carried.place(self.motions, steps);
                let convex = |solid: &Solid| if let Solid::Convex(convex) = solid { Some(*convex) } else { None };
                (0..carried.len()).filter_map(|i| convex(carried.solid(i))).map(|solid| solid.moved(&place)).collect()
            }
            First::Linked(linkage, body) => {
                let Some(moved) = &mut self.moved else { return Vec::new() };
                match linkage.chain(self.motions, steps, moved) {
                    Ok(chain) => Linkage::solids(moved, &chain, body),
                    Err(_) => Vec::new(),
                }
            }
        }
    }

    /// The first side in the middle of a range, and how far it slides; adds to `slides` motion by motion.
    fn placed(&mut self, index: usize, range: &Steps, middle: &[f64], slides: &mut [f64]) -> Placed {
        match self.first {
            First::Carried(carried) => {
                carried.slides(index, self.motions, range, slides);
                Placed { slide: slides.iter().sum(), solids: self.solids(middle) }
            }
            First::Linked(linkage, body) => {
                linkage.shares(self.motions, range, slides);
                let Some(moved) = &mut self.moved else { return Placed { solids: Vec::new(), slide: f64::INFINITY } };
                let Ok(chain) = linkage.chain(self.motions, middle, moved) else {
                    return Placed { solids: Vec::new(), slide: f64::INFINITY };
                };
                let spread = linkage.spread(self.motions, range, &chain);
                let slide = spread.map_or(f64::INFINITY, |spread| linkage.slide(&spread, &chain, body));
                Placed { solids: Linkage::solids(moved, &chain, body), slide }
            }
        }
    }

    /// The gap of all solids at one place of the box.
    fn attain(&mut self, steps: &[f64]) {
        let second = self.second.place(self.motions, steps);
        for solid in self.solids(steps) {
            let (p, r) = ball(&solid);
            for j in 0..self.second.len() {
                let enough = self.best.as_ref().map_or(f64::INFINITY, |best| best.gap);
                let (q, s) = self.second.ball(j, &second);
                if (p - q).length() - r - s >= enough {
                    continue;
                }
                self.looked += 1;
                if let Some(found) = closest_below(&solid, &self.second.solid(j).moved(&second), enough) {
                    self.note(found.gap, found.on_second, steps);
                }
            }
        }
    }

    fn note(&mut self, gap: f64, point: Vec3, steps: &[f64]) {
        if self.best.as_ref().is_none_or(|best| gap < best.gap) {
            self.best = Some(Least { gap, lower: 0.0, steps: steps.to_vec(), point, looked: 0 });
        }
    }

    /// Looks at a part: its bound, what is attained in its middle, and what to halve next. `None` where it cannot hold
    /// the least gap and its bound need not be kept.
    fn look(&mut self, mut part: Part) -> Option<Part> {
        let [i, j] = part.pair;
        let motions = self.motions;
        let middle: Vec<f64> = part.range.iter().map(|[low, high]| f64::midpoint(*low, *high)).collect();
        let mut slides = vec![0.0; motions.len()];
        let first = self.placed(i, &part.range, &middle, &mut slides);
        let mut of_second = vec![0.0; motions.len()];
        self.second.slides(j, motions, &part.range, &mut of_second);
        let slide = first.slide + of_second.iter().sum::<f64>();
        for (all, own) in slides.iter_mut().zip(&of_second) {
            *all += own;
        }
        let widest = slides.iter().enumerate().filter(|(_, slide)| **slide > 0.0);
        let widest = widest.max_by(|a, b| a.1.total_cmp(b.1));
        part.halve = widest.map_or(Halve::Nothing, |(m, _)| Halve::Motion(m));
        self.looked += 1;
        // Where the linkage finds no place nothing is proved: the bound stays what it was.
        let Some(near) = first.solids.get(i) else { return Some(part) };
        let second = self.second.place(motions, &middle);
        let upper = self.best.as_ref().map_or(f64::INFINITY, |best| best.gap);
        let ((p, r), (q, s)) = (ball(near), self.second.ball(j, &second));
        if (p - q).length() - r - s - slide >= upper {
            return None;
        }
        // As taped; of a bent solid its part.
        let far = part.slice.map_or(*self.second.solid(j), Solid::Revolved);
        let found = match far.moved(&second) {
            Solid::Convex(solid) => {
                let found = closest(near, &solid);
                self.note(found.gap, found.on_second, &middle);
                found
            }
            Solid::Revolved(slice) => {
                let hull = closest(near, &slice);
                let point = slice.near(hull.on_second);
                let attained = closest(near, &Convex::Ball { centre: point, radius: 0.0 });
                self.note(attained.gap, point, &middle);
                if attained.gap - hull.gap > hull.gap - self.bound(&part, &hull, slide, (near, first.slide), &far) {
                    part.halve = Halve::Slice;
                }
                hull
            }
        };
        part.lower = part.lower.max(self.bound(&part, &found, slide, (near, first.slide), &far));
        Some(part)
    }

    /// What the gap over a part is at least, from the nearest points at its middle; the first solid is where it is there,
    /// with how far it slides, the second as taped.
    fn bound(
        &self,
        part: &Part,
        found: &Closest,
        slide: f64,
        (first, first_slide): (&Convex, f64),
        second: &Solid,
    ) -> f64 {
        let by_slide = found.gap - found.slack - slide;
        if slide <= 0.0 {
            return by_slide;
        }
        let Some(across) = (found.on_second - found.on_first).unit().filter(|_| found.gap > 0.0) else {
            return by_slide;
        };
        let by_first_slide = across.dot(first.farthest(across)) + first.round() + first_slide;
        let near = match self.first {
            First::Carried(carried) => match carried.solid(part.pair[0]) {
                Solid::Convex(taped) => carried.reach(taped, self.motions, &part.range, across).min(by_first_slide),
                Solid::Revolved(_) => by_first_slide,
            },
            First::Linked(..) => by_first_slide,
        };
        let far = self.second.reach(second, self.motions, &part.range, -across);
        by_slide.max(-far - near)
    }
}

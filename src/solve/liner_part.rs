//! Liners and sleeves as parts: the tube of each, and the outside of the rail that both its ends are cut flush with.
//!
//! Seen along the rail, the tube's axis runs one way across the section. Coordinates here are f, across that way, and
//! q, along it, both from the axis; with g, square to f and to the axis, f² + g² = R² on a tube of radius R. A place
//! lies (q cos τ + g) / sin τ along the rail, τ the angle of the axis to the rail. Then f alone says how the outline of
//! the section is met, and all measures are integrals over f.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::rail_part::{self, Strip};
use super::solution::{LinerResult, RailResult, Solution};
use crate::geometry::quadrature::{gauss_legendre, integrate};
use crate::geometry::{Vec2, Vec3};

/// A side or corner of the rail's outside, in (f, q), anticlockwise round the section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Where it begins.
    pub from: Vec2,
    /// Where it ends.
    pub to: Vec2,
    /// Middle of a corner.
    pub centre: Option<Vec2>,
}

impl Side {
    /// Radius of a corner, and the angles from +f (rad, growing) between which it runs.
    pub fn corner(&self) -> Option<(f64, [f64; 2])> {
        let arm = self.from - self.centre?;
        let start = libm::atan2(arm.y, arm.x);
        let end = self.to - self.centre?;
        let mut turn = (libm::atan2(end.y, end.x) - start).rem_euclid(TAU);
        // Two ends that all but meet are no whole turn.
        if turn > TAU - 1e-9 {
            turn = 0.0;
        }
        Some((arm.length(), [start, start + turn]))
    }
}

/// A liner or sleeve with the rail's outside round it.
#[derive(Debug, Clone, PartialEq)]
pub struct LinerPart<'a> {
    /// What the part is called.
    pub name: String,
    /// As solved.
    pub liner: &'a LinerResult,
    /// f, q and the way along the rail, in the tube's own frame: z its axis, x as of the result, origin as there.
    pub axes: [Vec3; 3],
    /// Cosine and sine of the angle of the tube's axis to the rail.
    pub slope: [f64; 2],
    /// The rail's outside, closed; a channel's open side is a side from lip to lip.
    pub sides: Vec<Side>,
}

/// The liner or sleeve of one notch; `None` where it has none.
pub fn of(solution: &Solution, notch: usize) -> Option<LinerPart<'_>> {
    let notch = solution.notches.get(notch).filter(|notch| !notch.shop.is_empty())?;
    let liner = notch.liner.as_ref()?;
    let rail = solution.rails.iter().find(|rail| rail.name == notch.rail)?;
    part(format!("{} {}", liner.kind.word(), notch.name), liner, rail)
}

/// The indices of the notches that have one.
pub fn notches(solution: &Solution) -> impl Iterator<Item = usize> + '_ {
    (0..solution.notches.len()).filter(|&i| of(solution, i).is_some())
}

/// The part of a tube in a rail; `None` where the tube runs along it.
pub fn part<'a>(name: String, liner: &'a LinerResult, rail: &RailResult) -> Option<LinerPart<'a>> {
    let axis = liner.frame.axis;
    let along = rail.frame.along;
    let across = along.cross(axis).unit()?;
    let onward = across.cross(along);
    let section = |p: Vec2| {
        let place = rail.frame.origin + rail.frame.right * p.x + rail.frame.up * p.y - liner.frame.origin;
        Vec2::new(place.dot(across), place.dot(onward))
    };
    let mut sides: Vec<Side> = rail_part::strips(rail)
        .iter()
        .map(|Strip(piece)| Side {
            from: section(piece.from),
            to: section(piece.to),
            centre: piece.centre.map(section),
        })
        .collect();
    if rail.girth.is_none() {
        let (from, to) = (sides.last()?.to, sides.first()?.from);
        sides.push(Side { from, to, centre: None });
    }
    if sides.iter().map(|side| side.from.cross(side.to)).sum::<f64>() < 0.0 {
        sides.reverse();
        for side in &mut sides {
            (side.from, side.to) = (side.to, side.from);
        }
    }
    let (x, y) = (liner.frame.x, axis.cross(liner.frame.x));
    let own = |v: Vec3| Vec3::new(v.dot(x), v.dot(y), v.dot(axis));
    let slope = [along.dot(axis), onward.dot(axis)];
    Some(LinerPart { name, liner, axes: [own(across), own(onward), own(along)], slope, sides })
}

/// Points of Gauss's rule; with the parts met here smooth but for square roots at their ends, exact to rounding.
const POINTS: usize = 64;

/// Integral of `f` between each two neighbours of some stops, by the angle of a sine: square roots at either end of a
/// part are smooth in it.
fn between(mut stops: Vec<f64>, f: impl Fn(f64) -> f64) -> f64 {
    let rule = gauss_legendre(POINTS);
    stops.sort_by(f64::total_cmp);
    let spans = stops.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.last()?)));
    let over = |(a, b): (f64, f64)| {
        let (middle, half) = (f64::midpoint(a, b), (b - a) / 2.0);
        integrate(&rule, -FRAC_PI_2, FRAC_PI_2, |angle| {
            let (s, c) = libm::sincos(angle);
            half * c * f(middle + half * s)
        })
    };
    spans.map(over).sum()
}

impl LinerPart<'_> {
    /// Outside and inside radius (mm).
    pub fn radii(&self) -> [f64; 2] {
        let outside = self.liner.outside / 2.0;
        [outside, outside - self.liner.wall]
    }

    /// Least and greatest f of the rail's outside.
    pub fn reach(&self) -> [f64; 2] {
        self.breaks().into_iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], f| [a.min(f), b.max(f)])
    }

    /// Whether a tube of a radius lies inside the rail all round.
    pub fn is_whole(&self, radius: f64) -> bool {
        let [low, high] = self.reach();
        low <= -radius && high >= radius
    }

    /// Every f at which the outline of the section goes on otherwise: ends and crests of its sides.
    pub fn breaks(&self) -> Vec<f64> {
        let mut all: Vec<f64> = self.sides.iter().map(|side| side.from.x).collect();
        for side in &self.sides {
            let (Some(centre), Some((radius, [start, end]))) = (side.centre, side.corner()) else { continue };
            let crests = (-2..=4).map(|half| PI * f64::from(half)).filter(|at| (start..end).contains(at));
            all.extend(crests.map(|at| centre.x + radius * libm::cos(at)));
        }
        all
    }

    /// Length (mm) of the line at f inside the section.
    fn chord(&self, f: f64) -> f64 {
        let mut met = [f64::INFINITY, f64::NEG_INFINITY];
        let mut add = |q: f64| met = [met[0].min(q), met[1].max(q)];
        for side in &self.sides {
            let (Some(centre), Some((radius, [start, end]))) = (side.centre, side.corner()) else {
                let run = side.to.x - side.from.x;
                let share = (f - side.from.x) / run;
                if (0.0..=1.0).contains(&share) {
                    add(side.from.y + (side.to.y - side.from.y) * share);
                }
                continue;
            };
            let cosine = (f - centre.x) / radius;
            if cosine.abs() <= 1.0 {
                let half = libm::acos(cosine);
                for angle in [half, -half] {
                    let turned = (angle - start).rem_euclid(TAU);
                    if turned <= end - start {
                        add(centre.y + radius * libm::sin(angle));
                    }
                }
            }
        }
        (met[1] - met[0]).max(0.0)
    }

    /// Width (mm) of the tube's ring at f, across it.
    fn ring(&self, f: f64) -> f64 {
        let [outer, inner] = self.radii().map(|radius| (radius * radius - f * f).max(0.0).sqrt());
        2.0 * (outer - inner)
    }

    /// Volume (mm³): over the ring's section, the length of every line along the axis inside the rail.
    pub fn volume(&self) -> f64 {
        let [outer, inner] = self.radii();
        let [low, high] = self.reach();
        let mut stops = self.breaks();
        stops.extend([-outer, -inner, inner, outer]);
        stops.retain(|f| (low..=high).contains(f) && f.abs() <= outer);
        between(stops, |f| self.chord(f) * self.ring(f)) / self.slope[1]
    }

    /// Area (mm²) of the cylinder at a radius inside the rail.
    pub fn cylinder(&self, radius: f64) -> f64 {
        let [low, high] = self.reach();
        let mut stops = self.breaks();
        stops.extend([-radius, radius]);
        stops.retain(|f| (low..=high).contains(f) && f.abs() <= radius);
        let turns = stops.into_iter().map(|f| libm::acos((f / radius).clamp(-1.0, 1.0))).collect();
        2.0 * radius * between(turns, |turn| self.chord(radius * libm::cos(turn))) / self.slope[1]
    }

    /// Area (mm²) of both ends: along the outline of the section, the width of the ring seen along the rail.
    pub fn ends(&self) -> f64 {
        let [outer, inner] = self.radii();
        let levels = [-outer, -inner, inner, outer];
        let mut sum = 0.0;
        for side in &self.sides {
            let Some((centre, (radius, [start, end]))) = side.centre.zip(side.corner()) else {
                let run = side.to.x - side.from.x;
                let mut stops: Vec<f64> = levels.iter().map(|f| (f - side.from.x) / run).collect();
                stops.retain(|share| (0.0..=1.0).contains(share));
                stops.extend([0.0, 1.0]);
                sum += (side.to - side.from).length() * between(stops, |share| self.ring(side.from.x + run * share));
                continue;
            };
            // At a crest that all but touches a radius the width all but has a corner.
            let mut stops = vec![start, end];
            stops.extend((-2..=4).map(|half| PI * f64::from(half)));
            for f in levels.iter().filter(|f| (*f - centre.x).abs() <= radius) {
                let half = libm::acos((f - centre.x) / radius);
                stops.extend([half, -half].into_iter().flat_map(|at| [at - TAU, at, at + TAU]));
            }
            stops.retain(|at| (start..=end).contains(at));
            sum += radius * between(stops, |at| self.ring(centre.x + radius * libm::cos(at)));
        }
        sum / self.slope[1]
    }

    /// A place of the tube's own frame by f, q and g.
    pub fn place(&self, f: f64, q: f64, g: f64) -> Vec3 {
        let [across, onward, along] = self.axes;
        let [cos, sin] = self.slope;
        across * f + onward * q + along * ((q * cos + g) / sin)
    }
}

//! The notch a rail needs: traced by the wall-depth rule, and the outline to cut.
//!
//! A point (u, v) of the unrolled outside goes where its wall, from outside to
//! inside along the wall's normal, comes within the clearance of a room. See
//! `trace` for how the traced outline is proved, `shop` for the outline to cut
//! and `gap` for what is left.

mod crossing;
mod curves;
pub mod doubler;
mod gap;
mod liner;
pub mod repair;
mod shape;
mod shop;
mod sweep;
pub mod taped;
mod trace;
mod wall;

use crate::diagnostic::Diagnostic;
use crate::geometry::contour::{self, Loop};
use crate::geometry::{Path, Vec2, Vec3};
use crate::quantity;
use crate::spec::Spec;
use crate::spec::types::{Body, Notch, ShopShape};

use super::bodies::Room;
use super::outline;
use super::rail::RailShape;
use super::section::cells::Tube;
use super::solution::{AxisCrossing, NotchResult};
use super::travel::Linkage;

use super::sweep::Slid;
use doubler::Cutters;
use gap::{Least, Standing};
pub use liner::Fitted;
pub use repair::Repair;
use shop::Bounds;
use wall::{Solid, Strip};

/// Least clearance worked with (mm): where none is asked for, the contact itself gives no direction to steer by.
///
/// A ten-thousandth of a micrometre; it moves an outline by no more.
const LEAST_CLEARANCE: f64 = 1e-7;

/// The wall-depth rule for one rail, a set of rooms and a clearance.
#[derive(Debug, Clone)]
pub struct WallRule {
    strips: Vec<Strip>,
    solids: Vec<Solid>,
    /// Other places of the same rooms, and how far their points can be from there.
    swept: Vec<(Solid, f64)>,
    clearance: f64,
    length: f64,
    girth: Option<f64>,
    range: (f64, f64),
}

/// Least distance from the wall left standing to a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyGap {
    /// The body.
    pub body: Body,
    /// Distance (mm), at most 1e-5 under the true one and never over it.
    pub gap: f64,
    /// Point of the wall (vehicle axes).
    pub point: Vec3,
    /// Where that wall is on the unrolled outside.
    pub at: Vec2,
}

/// A notch as traced and as cut.
#[derive(Debug, Clone, PartialEq)]
pub struct NotchTrace {
    /// The traced outline: loops of (u, v), first point not repeated, anticlockwise = removed.
    ///
    /// A loop is never split at a seam: on a closed section it lies about the
    /// turn next to v = 0, so v may be negative. Every edge lies where the
    /// clearance holds.
    pub traced: Vec<Vec<Vec2>>,
    /// The outline to cut, likewise; it has no islands.
    pub shop: Vec<Vec<Vec2>>,
    /// The traced outline as arcs and cubics close along its outside.
    pub traced_curves: Vec<Path>,
    /// The outline to cut likewise: this is what is drawn and cut.
    pub shop_curves: Vec<Path>,
    /// Of the outline to cut, on metal (mm²).
    pub area: f64,
    /// What of it the clearance alone would not take (mm²).
    pub extra_area: f64,
    /// Its extent in v (mm).
    pub depth: f64,
    /// Its extent in u (mm).
    pub width: f64,
    /// Least distance from the wall left standing to any of the bodies (mm), over all motions: no less than it is there.
    pub gap_left: f64,
    /// The same body by body, in their order, as taped.
    pub gaps: Vec<BodyGap>,
    /// How far (mm) a point of the traced outline can lie from the edge of what must go.
    ///
    /// On flats the height of the triangle between chord and tangents, which a
    /// convex region cannot leave. On corner arcs, where no region is convex, the
    /// clearance is widened by half a micrometre and the outline walked along;
    /// should the walk find less than the clearance, that counts too, with the
    /// most that can hide between two of its steps.
    pub certified: f64,
    /// The tube set into it.
    pub liner: Option<Fitted>,
    /// What it leaves of the rail, and what is given back; `None` until that is looked at.
    pub repair: Option<Repair>,
    /// Greatest part (mm) of what is traced over all motions that need not go; `None` where nothing moves.
    pub spread: Option<f64>,
    /// Where axes of what passes meet the outside, within the outline to cut.
    pub crossings: Vec<(Body, Vec2)>,
    /// What the user must be told though the notch could be traced.
    pub warnings: Vec<Diagnostic>,
}

impl NotchTrace {
    /// The stretches of v removed at station u by the outline to cut, in order.
    pub fn removed_at(&self, u: f64) -> Vec<(f64, f64)> {
        contour::slice(&self.shop, u)
    }

    /// Least and greatest u of the outline to cut; `None` where nothing is cut.
    pub fn stations(&self) -> Option<(f64, f64)> {
        extent(&self.shop, |p| p.x)
    }
}

/// Traces the notch of that index in the spec on its rail.
///
/// `rooms` are those of all bodies; the notch's own list chooses. Errors: the
/// rail is cut through, or none of the bodies has a room.
pub fn notch(spec: &Spec, index: usize, rail: &RailShape, rooms: &[Room]) -> Result<NotchTrace, Vec<Diagnostic>> {
    notch_over(spec, None, index, rail, rooms)
}

/// The same over all motions; `linkage` is the one they carry, where they move column, gear or a bearing.
pub fn notch_over(
    spec: &Spec,
    linkage: Option<&Linkage>,
    index: usize,
    rail: &RailShape,
    rooms: &[Room],
) -> Result<NotchTrace, Vec<Diagnostic>> {
    let place = |key: &str| spec.place(&format!("notch.{index}{key}"));
    let Some(row) = spec.notches.get(index) else {
        return Err(vec![Diagnostic::error("notch-missing", format!("there is no notch {index}"))]);
    };
    let chosen: Vec<Room> = rooms.iter().filter(|room| row.bodies.contains(&room.body)).copied().collect();
    if chosen.is_empty() {
        let message = format!("notch \"{}\" names no part that takes room", row.name);
        let error = Diagnostic::error("notch-no-body", message).at(place(".for"));
        return Err(vec![error.help("leave `for` out to clear every part")]);
    }
    let swept = sweep::swept(spec, linkage, row, rail, &chosen);
    let places = swept.as_deref().unwrap_or_default();
    let rule = WallRule { swept: slid(places, rail), ..WallRule::new(rail, &chosen, row.clearance) };
    let cut_through = || {
        let message = format!(
            "notch \"{}\": the rail is cut through, a clearance of {} leaves no metal between its two ends",
            row.name,
            quantity::both_units(row.clearance, spec.build.units)
        );
        let error = Diagnostic::error("rail-cut-through", message).at(place(""));
        vec![error.help("move the shaft away from the rail, or reroute the rail")]
    };
    let liner = row
        .liner
        .map(|asked| liner::fitted(spec, index, row, &asked, rail, (&chosen, places)))
        .transpose()
        .map_err(|error| vec![error])?;
    let tube = liner.as_ref().map(|fitted| fitted.tube);
    let mut trace = rule.trace_for(rail, (row.corner, row.shape), tube.as_ref()).ok_or_else(cut_through)?;
    let cutters = Cutters { rail, rooms: &chosen, swept: places, clearance: row.clearance, tube, shop: &trace.shop };
    trace.repair = Some(repair::repair(row, &cutters, spec.build.units));
    trace.crossings = crossing::crossings(rail, &chosen, &trace.shop);
    trace.liner = liner;
    trace.spread = swept.as_ref().map(|places| places.iter().map(|(_, slide)| 2.0 * slide).fold(0.0, f64::max));
    let ends = trace.stations().is_some_and(|(low, high)| low <= contour::SAME || high >= rail.length - contour::SAME);
    if ends {
        let message = format!(
            "notch \"{}\" reaches an end of the rail, which is {:.1} mm long in the spec; the outline stops there",
            row.name, rail.length
        );
        let warning = Diagnostic::warning("notch-at-rail-end", message).at(place(""));
        trace.warnings.push(warning.help("give `along` points farther out if the rail goes on"));
    }
    Ok(trace)
}

/// Gaps from rooms that lie otherwise than the notch was traced for to the wall its outline `shop` leaves standing; none
/// where the notch names none of their bodies.
pub fn gaps_left(row: &Notch, rail: &RailShape, rooms: &[Room], shop: &[Vec<Vec2>]) -> Vec<BodyGap> {
    let chosen: Vec<Room> = rooms.iter().filter(|room| row.bodies.contains(&room.body)).copied().collect();
    let rule = WallRule::new(rail, &chosen, row.clearance);
    rule.gaps(rail, shop, &rule.bounds())
}

/// The row of the results for a traced notch: outlines, liner, doublers, and the section along it.
pub fn result(spec: &Spec, index: usize, trace: &NotchTrace) -> Option<NotchResult> {
    let row = spec.notches.get(index)?;
    let repair = trace.repair.clone()?;
    let gap_left = trace.liner.as_ref().map_or(trace.gap_left, |fitted| trace.gap_left.min(fitted.result.gap));
    Some(NotchResult {
        name: row.name.clone(),
        rail: spec.rails.get(row.rail)?.name.clone(),
        traced: trace.traced.clone(),
        shop: trace.shop.clone(),
        true_curves: trace.traced_curves.iter().map(outline::vertices).collect(),
        shop_curves: trace.shop_curves.iter().map(outline::vertices).collect(),
        area: trace.area,
        extra_area: trace.extra_area,
        depth: trace.depth,
        width: trace.width,
        place_sigma: None,
        gap_left,
        certified: trace.certified,
        motion_spread: trace.spread,
        axes: trace
            .crossings
            .iter()
            .map(|&(body, at)| AxisCrossing { part: spec.body_name(body).to_owned(), at })
            .collect(),
        section: repair.section,
        stress: repair.stress,
        liner: trace.liner.as_ref().map(|fitted| fitted.result.clone()),
        doublers: repair.doublers,
        proposal: repair.proposal,
    })
}

impl WallRule {
    /// For the rooms given, in vehicle axes (mm).
    pub fn new(rail: &RailShape, rooms: &[Room], clearance: f64) -> Self {
        Self {
            strips: Strip::all(rail),
            solids: rooms.iter().map(|room| Solid::new(room, rail)).collect(),
            swept: Vec::new(),
            clearance: clearance.max(LEAST_CLEARANCE),
            length: rail.length,
            girth: rail.closed.then_some(rail.girth),
            range: rail.v_range(),
        }
    }

    /// v within the path's own range: on a closed section points `girth` apart are one.
    fn turned(&self, v: f64) -> f64 {
        let (low, high) = self.range;
        match self.girth {
            Some(girth) if !(low..=high).contains(&v) => v - girth * ((v - low) / girth).floor(),
            _ => v.clamp(low, high),
        }
    }

    /// v brought to a strip it lies on, borders included.
    fn on_strip(&self, strip: &Strip, v: f64) -> f64 {
        let shift = self.girth.map_or(0.0, |girth| girth * ((0.5 * (strip.low + strip.high) - v) / girth).round());
        (v + shift).clamp(strip.low, strip.high)
    }

    fn strip(&self, v: f64) -> Option<&Strip> {
        let v = self.turned(v);
        self.strips.iter().find(|strip| v <= strip.high)
    }

    /// Distance (mm) from the wall under (u, v) to the nearest room; 0 inside one. `None` without rooms.
    pub fn distance(&self, u: f64, v: f64) -> Option<f64> {
        let station = self.strip(v)?.station(self.turned(v));
        self.solids.iter().map(|solid| station.sound(u, solid).distance).min_by(f64::total_cmp)
    }

    /// The stretches of u that go at v, in order, however long the rail.
    ///
    /// Exact to rounding: at one v each room takes one interval, and its ends
    /// are roots of a convex function.
    pub fn crossings(&self, v: f64) -> Vec<(f64, f64)> {
        let Some(strip) = self.strip(v) else { return Vec::new() };
        let station = strip.station(self.turned(v));
        let end = |solid: &Solid, side: f64| station.edge(solid, self.clearance, side, None).map(|(u, _)| u);
        let mut taken: Vec<(f64, f64)> =
            self.solids.iter().filter_map(|s| Some((end(s, -1.0)?, end(s, 1.0)?))).filter(|(a, b)| a < b).collect();
        taken.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut merged: Vec<(f64, f64)> = Vec::new();
        for (low, high) in taken {
            match merged.last_mut() {
                Some(last) if low <= last.1 => last.1 = last.1.max(high),
                _ => merged.push((low, high)),
            }
        }
        merged
    }

    /// All wall within a tube's outside.
    fn of_tube(rail: &RailShape, tube: &Tube) -> Self {
        // Half of the radius as the room's, half as its clearance: its ends lie far beyond the rail.
        let far = tube.axis * (2.0 * (rail.girth + tube.outside) + middle_far(rail, tube));
        let half = 0.5 * tube.outside;
        Self {
            strips: Strip::all(rail),
            solids: vec![Solid::cylinder(tube.base - far, tube.base + far, half)],
            swept: Vec::new(),
            clearance: half,
            length: rail.length,
            girth: rail.closed.then_some(rail.girth),
            range: rail.v_range(),
        }
    }

    /// Polygons that together hold all that goes, and the greatest stand-off of their edges (mm).
    fn taken(&self, bounds: &Bounds) -> (Vec<Vec<Vec2>>, f64) {
        let mut off = 0.0f64;
        let mut polygons = Vec::new();
        for strip in &self.strips {
            let own = self.solids.iter().map(|solid| (solid, 0.0));
            let mut places = Vec::new();
            for (solid, slide) in own.chain(self.swept.iter().map(|(solid, slide)| (solid, *slide))) {
                let taken = trace::taken(strip, solid, self.clearance + slide);
                off = off.max(taken.off);
                places.extend(taken.polygons.iter().map(|polygon| bounds.clipped(polygon)));
            }
            polygons.extend(if self.swept.is_empty() { places } else { joined(places) });
        }
        (polygons, off)
    }

    /// The traced outline and the one to cut with inside corners of at least `corner`; `None` where the rail is severed.
    pub fn trace(&self, rail: &RailShape, corner: f64) -> Option<NotchTrace> {
        self.trace_for(rail, (corner, ShopShape::True), None)
    }

    /// The same; with a tube set in, the outline to cut is the tube's outside, whose edge is welded to it all round.
    fn trace_for(
        &self,
        rail: &RailShape,
        (corner, shape): (f64, ShopShape),
        tube: Option<&Tube>,
    ) -> Option<NotchTrace> {
        let bounds = self.bounds();
        let (polygons, off) = self.taken(&bounds);
        let traced = self.whole(contour::union(&polygons, self.girth))?;
        let mut wide = corner;
        let shop = match tube {
            None => shop::rounded(&self.shaped(&traced, corner, shape, &bounds)?, corner, bounds),
            Some(tube) => {
                let mut both = traced.clone();
                both.extend(Self::of_tube(rail, tube).taken(&bounds).0);
                let loops = contour::union(&both, self.girth);
                if loops.iter().any(|l| l.turns != 0) {
                    return None;
                }
                let edge: Vec<Vec<Vec2>> =
                    loops.into_iter().map(|l| l.points).filter(|l| contour::area(l) > 0.0).collect();
                let (rounded, radius) = shop::rounded_under(&edge, corner, bounds);
                wide = radius;
                rounded
            }
        };
        let shop = self.whole(shop)?;
        // Cut wide of a notch across the rail's far side, it may be nearer the other end of the girth.
        let traced: Vec<Vec<Vec2>> = traced.iter().map(|points| self.turned_into(&shop, points)).collect();
        let area = shop.iter().map(|points| contour::area(points)).sum::<f64>();
        let extra_area = area - traced.iter().map(|points| contour::area(points)).sum::<f64>();
        let span = |f: fn(&Vec2) -> f64| extent(&shop, f).map_or(0.0, |(low, high)| high - low);
        let (depth, width) = (span(|p| p.y), span(|p| p.x));
        let gaps = self.gaps(rail, &shop, &bounds);
        let taped = gaps.iter().map(|g| g.gap).min_by(f64::total_cmp).unwrap_or(0.0);
        let gap_left = self.gap_over_motions(&shop, &bounds, taped);
        let certified = off.max(self.checked(&traced, &bounds));
        Some(NotchTrace {
            traced_curves: curves::fitted(&traced, &bounds, 0.0),
            shop_curves: curves::fitted(&shop, &bounds, wide),
            traced,
            shop,
            area,
            extra_area,
            depth,
            width,
            gap_left,
            gaps,
            certified,
            liner: None,
            repair: None,
            spread: None,
            crossings: Vec::new(),
            warnings: Vec::new(),
        })
    }

    /// What bounds an outline on the rail.
    fn bounds(&self) -> Bounds {
        Bounds { length: self.length, lips: self.girth.is_none().then_some(self.range), girth: self.girth }
    }

    /// The traced outline with each of its loops held by the shape asked for.
    fn shaped(&self, traced: &[Vec<Vec2>], corner: f64, shape: ShopShape, bounds: &Bounds) -> Option<Vec<Vec<Vec2>>> {
        let held = |points: &[Vec2]| match shape {
            ShopShape::True => None,
            ShopShape::Round => Some(shape::slot(points, corner)),
            ShopShape::Straight => Some(shape::rectangle(points, corner)),
        };
        let outer = traced.iter().filter(|points| contour::area(points) > 0.0);
        let shapes: Vec<Vec<Vec2>> = outer.filter_map(|points| Some(bounds.clipped(&held(points)?))).collect();
        if shapes.is_empty() {
            return Some(traced.to_vec());
        }
        self.whole(contour::union(&[traced.to_vec(), shapes].concat(), self.girth))
    }

    /// The loops placed about v = 0; `None` where they sever the rail.
    fn whole(&self, loops: Vec<Loop>) -> Option<Vec<Vec<Vec2>>> {
        if loops.iter().any(|l| l.turns != 0) {
            return None;
        }
        let Some(girth) = self.girth else {
            let (low, high) = self.range;
            let severed = loops.iter().any(|l| {
                let meets = |lip: f64| l.points.iter().any(|p| (p.y - lip).abs() <= contour::SAME);
                contour::area(&l.points) > 0.0 && meets(low) && meets(high)
            });
            return (!severed).then(|| loops.into_iter().map(|l| l.points).collect());
        };
        let (outer, islands): (Vec<Loop>, Vec<Loop>) = loops.into_iter().partition(|l| contour::area(&l.points) > 0.0);
        let mut placed: Vec<Vec<Vec2>> = outer
            .iter()
            .map(|l| {
                let (low, high) = extent(std::slice::from_ref(&l.points), |p| p.y).unwrap_or_default();
                moved(&l.points, -girth * (0.5 * (low + high) / girth).round())
            })
            .collect();
        let outer = placed.clone();
        placed.extend(islands.iter().map(|island| self.turned_into(&outer, &island.points)));
        Some(placed)
    }

    /// A loop moved round the rail to where `outer` holds it.
    fn turned_into(&self, outer: &[Vec<Vec2>], points: &[Vec2]) -> Vec<Vec2> {
        let Some(girth) = self.girth else { return points.to_vec() };
        let turns = [0.0, -1.0, 1.0, -2.0, 2.0].map(|turns| moved(points, turns * girth));
        let held = |points: &&Vec<Vec2>| points.iter().any(|&p| contour::holds(outer, p) || touches(outer, p));
        turns.iter().find(held).map_or_else(|| points.to_vec(), Clone::clone)
    }

    fn gaps(&self, rail: &RailShape, shop: &[Vec<Vec2>], bounds: &Bounds) -> Vec<BodyGap> {
        let mut bodies: Vec<Body> = self.solids.iter().map(|solid| solid.body).collect();
        bodies.sort();
        bodies.dedup();
        let v_extent = extent(shop, |p| p.y).unwrap_or_default();
        bodies
            .into_iter()
            .filter_map(|body| {
                let least = self.solids.iter().filter(|solid| solid.body == body).fold(None, |best, solid| {
                    Standing { rule: self, shop, extent: v_extent, bounds, solid }.least(best)
                })?;
                Some(BodyGap { body, gap: least.gap, point: rail.frame.out(least.point), at: least.at })
            })
            .collect()
    }

    /// The least gap over all motions, from below: at every place of a room it is less by how far its points may be off.
    fn gap_over_motions(&self, shop: &[Vec<Vec2>], bounds: &Bounds, taped: f64) -> f64 {
        let v_extent = extent(shop, |p| p.y).unwrap_or_default();
        self.swept.iter().fold(taped, |best, (solid, slide)| {
            let nearer = Least { gap: best + slide, at: Vec2::default(), point: Vec3::default() };
            let found = Standing { rule: self, shop, extent: v_extent, bounds, solid }.least(Some(nearer));
            found.map_or(best, |found| best.min(found.gap - slide))
        })
    }

    /// How far the clearance can be short on corner arcs, where no tangent is proof.
    ///
    /// The outline is walked in steps; [`Strip::dip`] bounds what a step can hide.
    fn checked(&self, traced: &[Vec<Vec2>], bounds: &Bounds) -> f64 {
        let mut short = 0.0f64;
        for (a, b) in traced.iter().flat_map(|points| contour::sides(points)).filter(|&(a, b)| !bounds.bare(a, b)) {
            for (strip, from, to) in self.stretches(a, b).into_iter().filter(|(strip, ..)| !strip.is_flat()) {
                let length = (b - a).length() * (to - from);
                let sound = |share: f64, solid: &Solid| {
                    let p = a + (b - a) * share;
                    strip.station(self.on_strip(strip, p.y)).sound(p.x, solid).distance
                };
                let step = strip.step(self.clearance, 0.5 * trace::ROUND).max(trace::RESOLUTION / strip.quickness());
                let steps = (length / step).ceil().max(1.0);
                let reach = self.clearance + strip.quickness() * length;
                for solid in self.solids.iter().filter(|solid| sound(0.5 * (from + to), solid) <= reach) {
                    for k in 0..=steps as usize {
                        let distance = sound(from + (to - from) * (k as f64 / steps), solid);
                        let missing = self.clearance - distance;
                        short = short.max(missing + strip.dip(distance, length / steps));
                    }
                }
            }
        }
        short
    }

    /// The parts of a side of an outline by strip, each with its share of the side, from and to in 0..=1.
    fn stretches(&self, a: Vec2, b: Vec2) -> Vec<(&Strip, f64, f64)> {
        let mut cuts = vec![0.0, 1.0];
        let rise = b.y - a.y;
        // The metal lies to the right; along a border its strip is the one that counts.
        let metal = if b.x > a.x { -contour::SAME } else { contour::SAME };
        let turns = self.girth.map_or(0.0..=0.0, |_| -2.0..=2.0);
        let mut turn = *turns.start();
        while turn <= *turns.end() && rise != 0.0 {
            let shift = turn * self.girth.unwrap_or(0.0);
            let shares = self.strips.iter().map(|strip| (strip.low + shift - a.y) / rise);
            cuts.extend(shares.filter(|share| (0.0..=1.0).contains(share)));
            turn += 1.0;
        }
        cuts.sort_by(f64::total_cmp);
        cuts.windows(2)
            .filter_map(|pair| {
                let &[from, to] = pair else { return None };
                let strip = self.strip(a.y + rise * 0.5 * (from + to) + metal)?;
                (to > from).then_some((strip, from, to))
            })
            .collect()
    }
}

/// Places that rooms go through, in the rail's frame.
fn slid(places: &[Slid], rail: &RailShape) -> Vec<(Solid, f64)> {
    places.iter().map(|(room, slide)| (Solid::new(room, rail), *slide)).collect()
}

/// The union of many polygons on one strip, two and two: neighbours hold most of each other, so little is left of each
/// pair.
fn joined(polygons: Vec<Vec<Vec2>>) -> Vec<Vec<Vec2>> {
    let mut groups: Vec<Vec<Vec<Vec2>>> = polygons.into_iter().map(|polygon| vec![polygon]).collect();
    while groups.len() > 1 {
        let pair = |pair: &[Vec<Vec<Vec2>>]| {
            let all = pair.concat();
            if pair.len() == 1 { all } else { contour::union(&all, None).into_iter().map(|l| l.points).collect() }
        };
        groups = groups.chunks(2).map(pair).collect();
    }
    groups.pop().unwrap_or_default()
}

/// How far a tube's base lies from the rail's section (mm).
fn middle_far(rail: &RailShape, tube: &Tube) -> f64 {
    let first = rail.path.first().map_or(Vec2::default(), |vertex| vertex.at);
    (Vec2::new(tube.base.z, tube.base.y) - first).length()
}

/// A loop moved round the rail.
fn moved(points: &[Vec2], by: f64) -> Vec<Vec2> {
    points.iter().map(|&p| p + Vec2::new(0.0, by)).collect()
}

/// Whether a point is a corner of an outline.
fn touches(loops: &[Vec<Vec2>], p: Vec2) -> bool {
    loops.iter().flatten().any(|&q| (p - q).length() <= contour::SAME)
}

fn extent(loops: &[Vec<Vec2>], f: fn(&Vec2) -> f64) -> Option<(f64, f64)> {
    let mut values = loops.iter().flatten().map(f);
    let first = values.next()?;
    Some(values.fold((first, first), |(low, high), x| (low.min(x), high.max(x))))
}

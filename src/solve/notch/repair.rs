//! What a notch leaves of its rail, and what liner and doublers give back.
//!
//! The rail is looked at station by station along the notch. What is judged
//! is its section modulus in vertical bending, by the lesser of two figures:
//! about the horizontal axis, and with the product of inertia counted, which
//! is no longer zero once one web is cut; and whether a closed section is
//! closed again.

use crate::geometry::Vec2;
use crate::quantity::{INCH, Unit};
use crate::solve::rail::RailShape;
use crate::solve::section::cells::{Cell, Tube};
use crate::solve::solution::{
    DoublerProposal, DoublerResult, NotchSection, SectionAt, SectionProperties, StressRaiser,
};
use crate::spec::types::Notch;

use super::doubler::{self, Cutters, Flat, LEAST_HEIGHT, Size, plates_at};

/// Stations told of every notch.
const STATIONS: usize = 40;

/// How far apart stations are looked at for the weakest (mm), and how many at most.
const APART: f64 = 1.0;
const MOST: f64 = 400.0;

/// Stations at which doublers are tried before they are looked at along the whole notch.
const TRIED: usize = 6;

/// Steps in which the height of a proposed plate is lessened.
const HEIGHTS: usize = 8;

/// Plate thicknesses usual in trade (mm). Common practice, no source.
const fn usual_plates(units: Unit) -> [f64; 6] {
    match units {
        Unit::Millimetre => [3.0, 4.0, 5.0, 6.0, 8.0, 10.0],
        Unit::Inch => [0.125 * INCH, 0.1875 * INCH, 0.25 * INCH, 0.3125 * INCH, 0.375 * INCH, 0.5 * INCH],
    }
}

/// What a notch does to its rail.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// Station by station.
    pub section: NotchSection,
    /// At the corner.
    pub stress: Option<StressRaiser>,
    /// As the spec asks.
    pub doublers: Vec<DoublerResult>,
    /// As it could.
    pub proposal: Option<DoublerProposal>,
}

/// The rail with its notch and its tube, to be looked at.
struct Worksite<'a> {
    rail: &'a RailShape,
    cell: Cell<'a>,
    cutters: &'a Cutters<'a>,
}

impl Worksite<'_> {
    fn removed(&self, u: f64) -> Vec<(f64, f64)> {
        crate::geometry::contour::slice(self.cutters.shop, u)
    }

    fn left(&self, u: f64) -> SectionProperties {
        let rail = self.rail;
        crate::solve::section::section(&rail.path, rail.closed, rail.girth, rail.wall, &self.removed(u))
    }

    fn restored(&self, u: f64, doublers: &[DoublerResult]) -> SectionProperties {
        let tube: Option<&Tube> = self.cutters.tube.as_ref();
        self.cell.made_good(u, &self.removed(u), tube, &plates_at(doublers, u))
    }

    /// The worst of some stations, with its place, and whether all are closed.
    fn worst(
        &self,
        stations: &[f64],
        doublers: &[DoublerResult],
        whole: &SectionProperties,
    ) -> Option<(f64, SectionProperties, bool)> {
        let mut closed = true;
        let worst = stations
            .iter()
            .map(|&u| {
                let found = self.restored(u, doublers);
                closed &= found.closed;
                (u, found)
            })
            .min_by(|a, b| a.1.share_of(whole).total_cmp(&b.1.share_of(whole)))?;
        Some((worst.0, worst.1, closed))
    }
}

/// Looks at a notch along its length; `units` are those plates are bought in.
pub(super) fn repair(row: &Notch, cutters: &Cutters<'_>, units: Unit) -> Repair {
    let rail = cutters.rail;
    let site = Worksite { rail, cell: Cell::new(rail), cutters };
    let full = crate::solve::section::section(&rail.path, rail.closed, rail.girth, rail.wall, &[]);
    let Some((low, high)) = super::extent(cutters.shop, |p| p.x) else {
        let section = NotchSection {
            full,
            left: full,
            restored: None,
            worst_u: 0.0,
            restored_u: None,
            closed_again: rail.closed,
            stations: Vec::new(),
        };
        return Repair { section, stress: None, doublers: Vec::new(), proposal: None };
    };
    // Between two corners of the outline what is removed changes steadily.
    let evenly = |count: f64| (0..=count as usize).map(move |k| low + (high - low) * (k as f64 / count));
    let corners = cutters.shop.iter().flatten().map(|p| p.x);
    let fine: Vec<f64> = evenly(((high - low) / APART).ceil().clamp(1.0, MOST)).chain(corners).collect();
    let mut left: Vec<(f64, SectionProperties)> = fine.into_iter().map(|u| (u, site.left(u))).collect();
    left.sort_by(|a, b| a.1.s_min.total_cmp(&b.1.s_min).then(a.0.total_cmp(&b.0)));
    let (worst_u, worst) = left.first().copied().unwrap_or((low, full));

    let doublers: Vec<DoublerResult> = row
        .doubler
        .map(|asked| {
            let overrun = asked.overrun.unwrap_or_else(|| doubler::height(rail));
            let size = Size { thick: asked.wall, overrun, height: asked.height };
            Flat::all(rail, asked.all_faces).iter().filter_map(|face| face.plate(cutters, size)).collect()
        })
        .unwrap_or_default();
    let mended = cutters.tube.is_some() || !doublers.is_empty();
    let mut told: Vec<f64> = evenly(STATIONS as f64).collect();
    let stations = told
        .iter()
        .map(|&u| SectionAt { u, left: site.left(u), restored: mended.then(|| site.restored(u, &doublers)) })
        .collect();
    told.push(worst_u);
    let restored = if mended { site.worst(&told, &doublers, &full) } else { None };
    let short = restored.is_none_or(|(_, worst, _)| worst.share_of(&full) < 1.0);
    let proposal = if row.doubler.is_none() && short {
        let tried: Vec<f64> = spread(&left, TRIED);
        propose(&site, &full, (&tried, &told), units)
    } else {
        None
    };
    Repair {
        section: NotchSection {
            full,
            left: worst,
            restored: restored.map(|(_, worst, _)| worst),
            worst_u,
            restored_u: restored.map(|(u, ..)| u),
            closed_again: restored.is_some_and(|(.., closed)| closed),
            stations,
        },
        stress: if cutters.tube.is_some() { None } else { stress(rail, cutters.shop, row.corner) },
        doublers,
        proposal,
    }
}

/// Some of the weakest stations and some between, weakest first.
fn spread(left: &[(f64, SectionProperties)], count: usize) -> Vec<f64> {
    let step = (left.len() / (2 * count)).max(1);
    left.iter().step_by(step).take(count).map(|(u, _)| *u).collect()
}

/// The thinnest usual plate, then the lowest of it, that makes the section modulus good.
fn propose(
    site: &Worksite<'_>,
    full: &SectionProperties,
    (tried, all): (&[f64], &[f64]),
    units: Unit,
) -> Option<DoublerProposal> {
    [false, true]
        .into_iter()
        .find_map(|level| propose_on(&Flat::all(site.rail, level), site, full, (tried, all), units))
}

fn propose_on(
    faces: &[Flat],
    site: &Worksite<'_>,
    full: &SectionProperties,
    (tried, all): (&[f64], &[f64]),
    units: Unit,
) -> Option<DoublerProposal> {
    let overrun = doubler::height(site.rail);
    let plates = |thick: f64, height: Option<f64>| -> Vec<DoublerResult> {
        let size = Size { thick, overrun, height };
        faces.iter().filter_map(|face| face.plate(site.cutters, size)).collect()
    };
    let enough = |doublers: &[DoublerResult], stations: &[f64]| {
        site.worst(stations, doublers, full).filter(|(_, worst, _)| !doublers.is_empty() && worst.share_of(full) >= 1.0)
    };
    for thick in usual_plates(units) {
        let whole = plates(thick, None);
        if enough(&whole, tried).is_none() {
            continue;
        }
        let Some(mut found) = enough(&whole, all) else { continue };
        let room = faces.iter().map(|face| face.room(site.rail, thick)).fold(f64::INFINITY, f64::min);
        let (mut best, mut height) = (whole, room);
        for step in 1..HEIGHTS {
            let lower = room - (room - LEAST_HEIGHT) * step as f64 / HEIGHTS as f64;
            let doublers = plates(thick, Some(lower));
            let Some(good) = enough(&doublers, tried).and_then(|_| enough(&doublers, all)) else { break };
            (best, height, found) = (doublers, lower, good);
        }
        return Some(DoublerProposal {
            faces: best.iter().map(|doubler| doubler.face.clone()).collect(),
            thick,
            height,
            overrun,
            restored: found.1,
            closed: found.2,
        });
    }
    None
}

/// The rise of stress where the notch ends in a web: an edge notch in in-plane bending, of what is left of the web.
///
/// `None` where no web is cut from its edge. A flange cut right through is not this case: there the section that is
/// left governs.
fn stress(rail: &RailShape, shop: &[Vec<Vec2>], radius: f64) -> Option<StressRaiser> {
    let height = doubler::height(rail);
    let (low, high) = super::extent(shop, |p| p.y)?;
    let turns: &[f64] = if rail.closed { &[-1.0, 0.0, 1.0] } else { &[0.0] };
    let depths = Flat::all(rail, false).into_iter().flat_map(|face| {
        turns.iter().filter_map(move |turn| {
            let (low, high) = (low + turn * rail.girth, high + turn * rail.girth);
            // From one edge only; a hole in a web's middle and a web cut right through are no edge notch.
            match (low < face.low, high > face.high) {
                (true, false) if high > face.low => Some(high - face.low),
                (false, true) if low < face.high => Some(face.high - low),
                _ => None,
            }
        })
    });
    let corner = corner_radius(rail);
    let depth = depths.map(|flat| flat + corner).max_by(f64::total_cmp)?;
    let factor = |radius: f64| edge_notch(depth / height, depth / radius);
    Some(StressRaiser { depth, height, radius, factor: factor(radius), factor_round: factor(depth.max(radius)) })
}

fn corner_radius(rail: &RailShape) -> f64 {
    rail.pieces().filter_map(|piece| piece.centre.map(|c| (piece.from - c).length())).fold(0.0, f64::max)
}

/// Stress at an edge notch of depth t and root radius r in a strip of height H, bent in its plane, over the nominal
/// stress 6 M / (H − t)² of a strip of thickness 1: `share` = t/H, `sharpness` = t/r.
///
/// Peterson's polynomial (from memory), which lies 6 to 13 % over finite elements of the same shape. It is used for t/r
/// from 0.5 to 4 and t/H up to 0.5; past that, blunter and deeper notches count as these, and sharper ones as a notch
/// in a half plane, 0.855 + 2.21 √(t/r) (Peterson, chart 2.2, from memory), which no strip exceeds.
pub fn edge_notch(share: f64, sharpness: f64) -> f64 {
    let (x, q) = (share.clamp(0.0, 0.5), sharpness.max(0.5));
    if q > 4.0 {
        return 0.855 + 2.21 * q.sqrt();
    }
    let c1 = 1.795 + 1.481 * q - 0.211 * q * q;
    let c2 = -3.544 - 3.677 * q + 0.578 * q * q;
    let c3 = 5.459 + 3.691 * q - 0.565 * q * q;
    let c4 = -2.678 - 1.531 * q + 0.205 * q * q;
    c1 + x * (c2 + x * (c3 + x * c4))
}

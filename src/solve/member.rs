//! Every piece of bar a shaft is made of, as it is built, drawn and measured.

use super::Solution;
use super::solution::{Dimple, End, Groove, ShaftResult};
use crate::catalog::forms::FormShape;
use crate::spec::Spec;
use crate::spec::types::{Shaft, ShaftEnd, stem};

/// One piece of bar: a whole shaft, or a member of a slip shaft. Millimetres and degrees, in its own frame.
///
/// Origin at the centre of its upper end's face, +z toward the gear, +x as the shaft's.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// As the shaft, with the member's own name where there are two.
    pub name: String,
    /// Part of its file names.
    pub stem: String,
    /// Catalogue name of its bar, or its sizes.
    pub stock: String,
    /// Outside of the bar, with its round bore.
    pub bar: FormShape,
    /// Clock of the bar's own first flat.
    pub bar_clock: f64,
    /// Hole through the whole length in which another member slides.
    pub hole: Option<Hole>,
    /// Ends cut otherwise than the bar: upper, then lower.
    pub ends: [Option<CutEnd>; 2],
    /// Seat turned for a bearing.
    pub journal: Option<Seat>,
    /// Between the end faces.
    pub length: f64,
    /// Of both ends, 45 degrees.
    pub chamfer: Option<f64>,
    /// Dimples.
    pub dimples: Vec<Dimple>,
    /// Grooves.
    pub grooves: Vec<Groove>,
}

/// The hole of an outer member.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// Its form.
    pub form: FormShape,
    /// Clock of its first flat (deg).
    pub clock: f64,
}

/// An end cut on a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutEnd {
    /// Its form.
    pub form: FormShape,
    /// From the end face to the shoulder.
    pub length: f64,
    /// Clock of its first flat (deg).
    pub clock: f64,
}

/// A seat turned between two stretches of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Of the seat.
    pub diameter: f64,
    /// Its shoulder toward the column, from the upper end face.
    pub from: f64,
    /// Its shoulder toward the gear.
    pub to: f64,
}

impl Seat {
    /// From shoulder to shoulder.
    pub fn length(&self) -> f64 {
        self.to - self.from
    }

    /// The seat of a shaft where it lies within a piece of it that begins at `from` and has this length.
    fn within(result: &ShaftResult, from: f64, length: f64) -> Option<Self> {
        let seat = result.journal?;
        let seat = Self { diameter: seat.diameter, from: seat.from - from, to: seat.to - from };
        (seat.from > 0.0 && seat.to < length).then_some(seat)
    }
}

impl Member {
    /// A bar of one section from end to end.
    pub fn plain(bar: FormShape, result: &ShaftResult, chamfer: Option<f64>) -> Self {
        Self {
            name: result.name.clone(),
            stem: stem(&result.name),
            stock: result.stock.clone(),
            bar,
            bar_clock: 0.0,
            hole: None,
            ends: [None, None],
            journal: Seat::within(result, 0.0, result.cut_length),
            length: result.cut_length,
            chamfer,
            dimples: result.dimples.clone(),
            grooves: result.grooves.clone(),
        }
    }

    /// The section at an end, and the clock of its first flat.
    pub fn section_at(&self, end: End) -> (FormShape, f64) {
        let cut = match end {
            End::Upper => self.ends[0],
            End::Lower => self.ends[1],
        };
        cut.map_or((self.bar, self.bar_clock), |cut| (cut.form, cut.clock))
    }

    /// Whether any part of it has teeth.
    pub fn has_teeth(&self) -> bool {
        let toothed = |form: FormShape| matches!(form, FormShape::Serrated { .. });
        toothed(self.bar)
            || self.hole.is_some_and(|hole| toothed(hole.form))
            || self.ends.iter().flatten().any(|end| toothed(end.form))
    }

    /// Whether it is one section from end to end and has no hole but a round bore.
    pub fn is_plain(&self) -> bool {
        self.ends.iter().all(Option::is_none) && self.hole.is_none() && self.journal.is_none()
    }

    /// Twist between the flats of its two ends, in [0, 180) (deg); `None` unless both ends have flats.
    pub fn twist(&self) -> Option<f64> {
        let [upper, lower] = [End::Upper, End::Lower].map(|end| self.section_at(end));
        let flat = |shape| matches!(shape, FormShape::DoubleD { .. });
        (flat(upper.0) && flat(lower.0)).then(|| super::phase::half_turn(lower.1 - upper.1))
    }

    /// Whether the twist between its ends is milled.
    pub fn is_twisted(&self) -> bool {
        self.ends.iter().any(Option::is_some) && self.twist().is_some()
    }
}

/// The one piece of a rigid shaft, or both members of a slip shaft, upper first.
pub fn members(spec: &Spec, solution: &Solution, i: usize) -> Vec<Member> {
    let (Some(shaft), Some(result)) = (spec.shafts.get(i), solution.shafts.get(i)) else { return Vec::new() };
    of_shaft(shaft, result)
}

/// The same from a shaft and its result.
pub fn of_shaft(shaft: &Shaft, result: &ShaftResult) -> Vec<Member> {
    let cut = |end: End| {
        let (index, side) = match end {
            End::Upper => (0, ShaftEnd::Upper),
            End::Lower => (1, ShaftEnd::Lower),
        };
        let stated = shaft.ends.get(index)?.as_ref()?;
        let found = result.ends.iter().find(|found| found.end == end)?;
        let bored = shaft.bar_at(side).bore();
        let form = match stated.form.shape {
            FormShape::DoubleD { diameter, flats, .. } => FormShape::DoubleD { diameter, flats, bore: bored },
            FormShape::Round { diameter, .. } => FormShape::Round { diameter, bore: bored },
            serrated @ FormShape::Serrated { .. } => serrated,
        };
        Some(CutEnd { form, length: stated.length, clock: found.clock.unwrap_or(0.0) })
    };
    let Some(slip) = &shaft.slip else {
        let mut whole = Member::plain(shaft.stock.shape, result, shaft.chamfer);
        whole.ends = [cut(End::Upper), cut(End::Lower)];
        return vec![whole];
    };
    let on_outer = seat_on_outer(result);
    // The inner member's flats and the hole's are those of the shaft's inner end.
    let slide_clock = if slip.outer_end == ShaftEnd::Upper { result.twist.flats } else { 0.0 };
    result
        .members
        .iter()
        .map(|member| {
            let outer = member.name == "outer";
            let ends = match member.end {
                End::Upper => [cut(End::Upper), None],
                End::Lower => [None, cut(End::Lower)],
            };
            // Without milled flats the outside of the outer member lies as its hole does.
            Member {
                name: format!("{}, {} member", result.name, member.name),
                stem: format!("{}-{}", stem(&result.name), member.name),
                stock: member.stock.clone(),
                bar: if outer { slip.outer.shape } else { shaft.stock.shape },
                bar_clock: slide_clock,
                hole: outer.then_some(Hole { form: slip.hole.shape, clock: slide_clock }),
                ends,
                journal: Seat::within(result, member.from, member.cut_length).filter(|_| outer == on_outer),
                length: member.cut_length,
                chamfer: shaft.chamfer,
                dimples: member.dimples.clone(),
                grooves: member.grooves.clone(),
            }
        })
        .collect()
}

/// Whether a bearing's seat is turned on the outer member of a slip shaft: there, where both members lie under it.
pub(crate) fn seat_on_outer(result: &ShaftResult) -> bool {
    let outer = result.members.iter().find(|member| member.name == "outer");
    outer.is_some_and(|outer| Seat::within(result, outer.from, outer.cut_length).is_some())
}

impl Hole {
    /// How far it reaches from the axis toward a clock (deg), `aside` (mm) of the line there.
    ///
    /// The lesser of the round and of the flat on that side, both concave in `aside`.
    fn height(&self, clock: f64, aside: f64) -> f64 {
        let radius = diameter(self.form) / 2.0;
        let round = (radius * radius - aside * aside).max(0.0).sqrt();
        let FormShape::DoubleD { flats, .. } = self.form else { return round };
        // Toward the nearer of the two flats.
        let from_flat = (clock - self.clock + 90.0).rem_euclid(180.0) - 90.0;
        let (sine, cosine) = libm::sincos(from_flat.to_radians());
        if cosine < 1e-9 {
            return round;
        }
        round.min((flats / 2.0 + aside * sine) / cosine)
    }

    /// The farthest it reaches toward a clock (deg) within `half_width` (mm) of the line there.
    pub(crate) fn highest(&self, clock: f64, half_width: f64) -> f64 {
        -least(half_width, |aside| -self.height(clock, aside))
    }
}

/// Least value of a convex function within `half_width` of 0, by thirds to 1e-9 of it.
fn least(half_width: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (-half_width, half_width);
    for _ in 0..60 {
        let third = (high - low) / 3.0;
        if f(low + third) < f(high - third) { high -= third } else { low += third }
    }
    f(f64::midpoint(low, high)).min(f(0.0))
}

/// Least wall (mm) left under a dimple in a tube; `None` on a solid bar or without dimples.
///
/// Along the drill, from its cone or floor to the bore or hole under it.
pub fn least_wall(member: &Member) -> Option<f64> {
    let walls = member.dimples.iter().filter(|dimple| dimple.depth > 0.0).filter_map(|dimple| {
        let hole = hole_under(member)?;
        let (section, _) = member.section_at(dimple.end);
        let crest = match (section, dimple.on) {
            (FormShape::DoubleD { flats, .. }, super::solution::On::Flat) => flats / 2.0,
            (section, _) => diameter(section) / 2.0,
        };
        let half = (dimple.drill / 2.0).to_radians();
        let rise = if dimple.drill >= 180.0 { 0.0 } else { 1.0 / libm::tan(half) };
        let wall = |aside: f64| aside.abs() * rise - hole.height(dimple.clock, aside);
        Some(crest - dimple.depth + least(dimple.diameter / 2.0, wall))
    });
    walls.reduce(f64::min)
}

/// The hole or bore from end to end.
pub(crate) fn hole_under(member: &Member) -> Option<Hole> {
    let bored = match member.bar {
        FormShape::DoubleD { bore, .. } | FormShape::Round { bore, .. } => bore,
        FormShape::Serrated { .. } => None,
    };
    let round = bored.map(|bore| Hole { form: FormShape::Round { diameter: bore, bore: None }, clock: 0.0 });
    member.hole.or(round)
}

pub(crate) const fn diameter(shape: FormShape) -> f64 {
    match shape {
        FormShape::DoubleD { diameter, .. }
        | FormShape::Serrated { diameter, .. }
        | FormShape::Round { diameter, .. } => diameter,
    }
}

//! Plain plots of several curves on one pair of axes, named in a row above them, clear of every curve.

use super::layout::{Area, BODY, SMALL, label};
use super::sheet::{Anchor, Role, Sheet};
use crate::geometry::{Path, Vec2};
use crate::quantity;

/// Room left of a plot, under it, right of it and above it (mm).
const ROOM: [f64; 4] = [13.0, 9.0, 3.0, 11.0];

/// Half the width of a mark (mm).
const MARK: f64 = 0.9;

/// Length of the piece of line before a curve's name (mm), and the gap after it.
const SWATCH: [f64; 2] = [7.0, 1.5];

/// Lines that are told apart without colour, in the order of the curves.
const LINES: [Role; 4] = [Role::Outline, Role::Hidden, Role::Centre, Role::Dimension];

/// One curve.
pub(super) struct Curve<'a> {
    pub(super) name: &'a str,
    pub(super) points: &'a [(f64, f64)],
}

/// A plot of up to four curves.
pub(super) struct Plot<'a> {
    pub(super) title: &'a str,
    /// What runs across.
    pub(super) across: &'a str,
    /// From and to.
    pub(super) range: (f64, f64),
    /// The value that is always shown, such as 0.
    pub(super) floor: Option<f64>,
    pub(super) curves: Vec<Curve<'a>>,
    /// Points marked with a cross, and their name.
    pub(super) marks: (&'a str, &'a [(f64, f64)]),
}

/// The step of 1, 2 or 5 times a power of ten that is next above `least`.
fn round_step(least: f64) -> f64 {
    let mut step = 1e-9;
    while step < least {
        for factor in [2.0, 2.5, 2.0] {
            if step < least {
                step *= factor;
            }
        }
    }
    step
}

/// Decimals that steps of this size need.
fn decimals(step: f64) -> usize {
    let (mut decimals, mut scaled) = (0, step);
    while scaled < 0.999 && decimals < 9 {
        (scaled, decimals) = (scaled * 10.0, decimals + 1);
    }
    decimals
}

impl Plot<'_> {
    /// Draws it into an area.
    pub(super) fn draw(&self, sheet: &mut Sheet, area: Area) {
        let [left, below, right, above] = ROOM;
        let inner = area.without(left, below, right, above);
        let title = Vec2::new(inner.low.x, area.high.y - BODY - 1.0);
        sheet.text(label(title, Anchor::Start, BODY, true, self.title));
        let all = self.curves.iter().flat_map(|curve| curve.points).chain(self.marks.1);
        let values = all.map(|&(_, y)| y).chain(self.floor).filter(|y| y.is_finite());
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
        let (from, to) = self.range;
        if low > high || to <= from {
            return;
        }
        let step = round_step((high - low).max(1e-6) / 4.0);
        let low = (low / step).floor() * step;
        let rows = (((high - low) / step).ceil()).max(1.0);
        let high = low + rows * step;
        let place = |x: f64, y: f64| {
            let across = ((x - from) / (to - from)).clamp(0.0, 1.0);
            inner.low + Vec2::new(across * inner.width(), (y - low) / (high - low) * inner.height())
        };
        self.grid(sheet, area, (place(from, low), place(to, high)), (low, step, rows as u32));
        self.names(sheet, inner);
        for (curve, role) in self.curves.iter().zip(LINES) {
            let points: Vec<Vec2> = curve
                .points
                .iter()
                .filter(|(x, y)| x.is_finite() && y.is_finite())
                .map(|&(x, y)| place(x, y))
                .collect();
            if let Some(path) = Path::polyline(&points, false) {
                sheet.line(role, path);
            }
        }
        for &(x, y) in self.marks.1 {
            cross(sheet, place(x, y));
        }
    }

    /// Lines of the scales with their numbers outside the plot.
    fn grid(&self, sheet: &mut Sheet, area: Area, (low, high): (Vec2, Vec2), (least, step, rows): (f64, f64, u32)) {
        let (from, to) = self.range;
        let degrees = self.across.ends_with("degrees");
        let stride = if degrees { (to - from) / 4.0 } else { round_step((to - from) / 5.0) };
        let count = ((to - from) / stride + 1e-9).floor() as u32;
        for i in 0..=count {
            let value = from + stride * f64::from(i);
            let x = low.x + (value - from) / (to - from) * (high.x - low.x);
            sheet.line(Role::Hatch, Path::line(Vec2::new(x, low.y), Vec2::new(x, high.y)));
            let text = quantity::fixed(value, decimals(stride)) + if degrees { "°" } else { "" };
            sheet.text(label(Vec2::new(x, low.y - 1.5 - SMALL), Anchor::Middle, SMALL, false, text));
        }
        for i in 0..=rows {
            let y = low.y + f64::from(i) / f64::from(rows) * (high.y - low.y);
            sheet.line(Role::Hatch, Path::line(Vec2::new(low.x, y), Vec2::new(high.x, y)));
            let text = quantity::fixed(least + step * f64::from(i), decimals(step));
            sheet.text(label(Vec2::new(low.x - 1.2, y - 0.5 * SMALL), Anchor::End, SMALL, false, text));
        }
        let middle = Vec2::new(f64::midpoint(low.x, high.x), area.low.y + 1.0);
        sheet.text(label(middle, Anchor::Middle, SMALL, false, self.across));
    }

    /// A row above the plot: each curve's line and its name, then the mark's.
    fn names(&self, sheet: &mut Sheet, inner: Area) {
        let [swatch, gap] = SWATCH;
        let marked = !self.marks.1.is_empty();
        let rows = self.curves.len() + usize::from(marked);
        if rows < 2 {
            return;
        }
        let share = inner.width() / rows as f64;
        let y = inner.high.y + 2.0;
        let middle = y + 0.4 * SMALL;
        let at = |i: usize| inner.low.x + share * i as f64;
        for (i, (curve, role)) in self.curves.iter().zip(LINES).enumerate() {
            sheet.line(role, Path::line(Vec2::new(at(i), middle), Vec2::new(at(i) + swatch, middle)));
            sheet.text(label(Vec2::new(at(i) + swatch + gap, y), Anchor::Start, SMALL, false, curve.name));
        }
        if marked {
            let x = at(rows - 1);
            cross(sheet, Vec2::new(x + MARK, middle));
            sheet.text(label(Vec2::new(x + 2.0 * MARK + gap, y), Anchor::Start, SMALL, false, self.marks.0));
        }
    }
}

fn cross(sheet: &mut Sheet, at: Vec2) {
    for (x, y) in [(MARK, MARK), (MARK, -MARK)] {
        sheet.line(Role::Outline, Path::line(at - Vec2::new(x, y), at + Vec2::new(x, y)));
    }
}

//! Plain plots of several curves on one pair of axes, named in a row above them, clear of every curve.

use super::layout::{Area, BODY, SMALL, label, lines_height, set_lines, wrap};
use super::sheet::{Anchor, Role, Sheet};
use crate::geometry::{Path, Vec2};
use crate::quantity;
use crate::solve::curves::Graph;

/// Room left of a plot, under it, right of it and above it (mm).
const ROOM: [f64; 4] = [13.0, 9.0, 3.0, 11.0];

/// Half the width of a mark (mm).
const MARK: f64 = 0.9;

/// Length of the piece of line before a curve's name (mm), and the gap after it.
const SWATCH: [f64; 2] = [7.0, 1.5];

/// Lines that are told apart without colour, in the order of the curves.
const LINES: [Role; 4] = [Role::Outline, Role::Hidden, Role::Centre, Role::Dimension];

/// A graph and how it is drawn.
pub(super) struct Plot<'a> {
    pub(super) graph: &'a Graph,
    /// Names for the audit on curves, marks and scales; one plot a sheet can have them.
    pub(super) keyed: bool,
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
        let title = wrap(&self.graph.title, BODY, true, area.width() - left - right);
        let inner = area.without(left, below, right, above + lines_height(title.len().saturating_sub(1), BODY));
        set_lines(sheet, Vec2::new(inner.low.x, area.high.y), &title, BODY, true);
        let graph = self.graph;
        let all = graph.curves.iter().flat_map(|(_, points)| points).chain(&graph.marks.1);
        let values = all.map(|&(_, y)| y).chain(graph.floor).filter(|y| y.is_finite());
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
        let (from, to) = graph.range;
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
        for (n, ((_, points), role)) in graph.curves.iter().zip(LINES).enumerate() {
            let points = points.iter().filter(|(x, y)| x.is_finite() && y.is_finite());
            let points: Vec<Vec2> = points.map(|&(x, y)| place(x, y)).collect();
            if let Some(path) = Path::polyline(&points, false) {
                self.line(sheet, role, || format!("curve.{}", n + 1), path);
            }
        }
        for (n, &(x, y)) in graph.marks.1.iter().enumerate() {
            let key = self.keyed.then(|| format!("mark.{}", n + 1));
            cross(sheet, key, place(x, y));
        }
    }

    fn line(&self, sheet: &mut Sheet, role: Role, key: impl FnOnce() -> String, path: Path) {
        if self.keyed {
            sheet.keyed(role, key(), path);
        } else {
            sheet.line(role, path);
        }
    }

    /// Lines of the scales with their numbers outside the plot.
    fn grid(&self, sheet: &mut Sheet, area: Area, (low, high): (Vec2, Vec2), (least, step, rows): (f64, f64, u32)) {
        let (from, to) = self.graph.range;
        let degrees = self.graph.across.ends_with("degrees");
        // Whole turns are quartered; any other scale has round numbers.
        let quarters = degrees && to - from > 100.0;
        let stride = if quarters { (to - from) / 4.0 } else { round_step((to - from) / 5.0) };
        let first = (from / stride - 1e-9).ceil() * stride;
        let count = ((to - first) / stride + 1e-9).floor().max(0.0) as u32;
        for i in 0..=count {
            let value = first + stride * f64::from(i);
            let x = low.x + (value - from) / (to - from) * (high.x - low.x);
            let text = quantity::fixed(value, decimals(stride));
            let line = Path::line(Vec2::new(x, low.y), Vec2::new(x, high.y));
            self.line(sheet, Role::Hatch, || format!("across.{text}"), line);
            let text = text.clone() + if degrees { "°" } else { "" };
            sheet.text(label(Vec2::new(x, low.y - 1.5 - SMALL), Anchor::Middle, SMALL, false, text));
        }
        for i in 0..=rows {
            let y = low.y + f64::from(i) / f64::from(rows) * (high.y - low.y);
            let text = quantity::fixed(least + step * f64::from(i), decimals(step));
            let line = Path::line(Vec2::new(low.x, y), Vec2::new(high.x, y));
            self.line(sheet, Role::Hatch, || format!("up.{text}"), line);
            sheet.text(label(Vec2::new(low.x - 1.2, y - 0.5 * SMALL), Anchor::End, SMALL, false, text));
        }
        let middle = Vec2::new(f64::midpoint(low.x, high.x), area.low.y + 1.0);
        sheet.text(label(middle, Anchor::Middle, SMALL, false, self.graph.across.as_str()));
    }

    /// A row above the plot: each curve's line and its name, then the mark's.
    fn names(&self, sheet: &mut Sheet, inner: Area) {
        let [swatch, gap] = SWATCH;
        let graph = self.graph;
        let marked = !graph.marks.1.is_empty();
        let rows = graph.curves.len() + usize::from(marked);
        if rows < 2 {
            return;
        }
        let share = inner.width() / rows as f64;
        let y = inner.high.y + 2.0;
        let middle = y + 0.4 * SMALL;
        let at = |i: usize| inner.low.x + share * i as f64;
        for (i, ((name, _), role)) in graph.curves.iter().zip(LINES).enumerate() {
            sheet.line(role, Path::line(Vec2::new(at(i), middle), Vec2::new(at(i) + swatch, middle)));
            sheet.text(label(Vec2::new(at(i) + swatch + gap, y), Anchor::Start, SMALL, false, name));
        }
        if marked {
            let x = at(rows - 1);
            cross(sheet, None, Vec2::new(x + MARK, middle));
            sheet.text(label(Vec2::new(x + 2.0 * MARK + gap, y), Anchor::Start, SMALL, false, graph.marks.0));
        }
    }
}

/// Two strokes; the key is on the first, whose middle is the point.
fn cross(sheet: &mut Sheet, key: Option<String>, at: Vec2) {
    let stroke = |x: f64, y: f64| Path::line(at - Vec2::new(x, y), at + Vec2::new(x, y));
    match key {
        Some(key) => sheet.keyed(Role::Outline, key, stroke(MARK, MARK)),
        None => sheet.line(Role::Outline, stroke(MARK, MARK)),
    }
    sheet.line(Role::Outline, stroke(MARK, -MARK));
}

//! Plots for the build record.

use super::layout::{Area, BODY, SMALL, label};
use super::sheet::{Anchor, Role, Sheet, Text};
use crate::geometry::{Path, Vec2};
use crate::quantity;

/// Room for the numbers left of a plot and under it (mm).
const LEFT: f64 = 13.0;
const BELOW: f64 = 9.0;
const ABOVE: f64 = 6.0;

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

/// One curve over a turn of the column: degrees from 0 to 360 across, values up.
pub(super) fn turn(sheet: &mut Sheet, area: Area, title: &str, points: &[(f64, f64)]) {
    let inner = area.without(LEFT, BELOW, 3.0, ABOVE);
    let finite = points.iter().filter(|(x, y)| x.is_finite() && y.is_finite());
    let (low, high) =
        finite.clone().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &(_, y)| (low.min(y), high.max(y)));
    sheet.text(label(Vec2::new(inner.low.x, area.high.y - BODY - 1.0), Anchor::Start, BODY, true, title));
    if low > high {
        return;
    }
    // A flat curve still gets a scale about it.
    let spread = (high - low).max(1e-9);
    let step = round_step(spread / 4.0);
    let (low, high) = ((low / step).floor() * step, (high / step).ceil() * step);
    // Digits that the step needs.
    let mut decimals = 0;
    let mut scaled = step;
    while scaled < 0.999 && decimals < 9 {
        (scaled, decimals) = (scaled * 10.0, decimals + 1);
    }
    let steps = ((high - low) / step).round().max(1.0) as u32;
    let place = |x: f64, y: f64| {
        Vec2::new(inner.low.x + x / 360.0 * inner.width(), inner.low.y + (y - low) / (high - low) * inner.height())
    };
    for quarter in 0..=4u32 {
        let degrees = f64::from(quarter) * 90.0;
        sheet.line(Role::Hatch, Path::line(place(degrees, low), place(degrees, high)));
        let at = place(degrees, low) - Vec2::new(0.0, 1.5 + SMALL);
        sheet.text(label(at, Anchor::Middle, SMALL, false, format!("{degrees}°")));
    }
    for count in 0..=steps {
        let value = low + step * f64::from(count);
        sheet.line(Role::Hatch, Path::line(place(0.0, value), place(360.0, value)));
        let at = place(0.0, value) - Vec2::new(1.2, 0.5 * SMALL);
        sheet.text(label(at, Anchor::End, SMALL, false, quantity::fixed(value, decimals)));
    }
    let middle = Vec2::new(inner.centre().x, area.low.y + 1.0);
    sheet.text(Text { ..label(middle, Anchor::Middle, SMALL, false, "column, degrees") });
    let curve: Vec<Vec2> = finite.map(|&(x, y)| place(x.clamp(0.0, 360.0), y)).collect();
    if let Some(path) = Path::polyline(&curve, false) {
        sheet.line(Role::Outline, path);
    }
}

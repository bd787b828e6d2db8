//! The end view of a shaft, from the column: flat A, ears, clock angles.

use std::f64::consts::PI;

use super::dimension::{arrow, centre_mark, linear};
use super::layout::{BODY, label};
use super::shaft::{Bar, Views, mark};
use super::shaft_words;
use super::sheet::{Anchor, Role, Sheet};
use super::value;
use crate::geometry::{Path, Piece, Vec2};
use crate::quantity;
use crate::solve::solution::{ShaftResult, SpotWhen};
use crate::spec::Spec;

/// From the section to the ends of an ears line (mm).
const EARS: [f64; 2] = [2.5, 7.0];

/// Outline of the bar's section, +x up and +y to the right: seen along +z.
fn section(bar: Bar, centre: Vec2, scale: f64) -> Path {
    let radius = bar.radius * scale;
    if !bar.has_flats() {
        return Path::circle(centre, radius);
    }
    let (half, chord) = (bar.half_flats * scale, bar.half_chord() * scale);
    let start = libm::atan2(half, chord);
    let corner = |x: f64, y: f64| centre + Vec2::new(x, y);
    Path {
        start: corner(chord, half),
        pieces: vec![
            Piece::Line { to: corner(-chord, half) },
            Piece::circle_arc(centre, radius, PI - start, 2.0 * start),
            Piece::Line { to: corner(chord, -half) },
            Piece::circle_arc(centre, radius, -start, 2.0 * start),
        ],
        closed: true,
    }
}

/// The end view.
pub(super) fn draw(sheet: &mut Sheet, spec: &Spec, index: usize, result: &ShaftResult, bar: Bar, views: &Views) {
    let (scale, c) = (views.scale, views.end);
    let radius = bar.radius * scale;
    sheet.line(Role::Outline, section(bar, c, scale));
    if bar.bore > 0.0 {
        sheet.line(Role::Outline, Path::circle(c, bar.bore * scale));
    }
    centre_mark(sheet, c, radius);
    for groove in &result.grooves {
        // The bottom of the groove, behind the end's face.
        let (s, cos) = libm::sincos(groove.clock.to_radians());
        let way = Vec2::new(s, cos);
        let deep = groove.offset - 0.5 * groove.diameter;
        let across = (bar.radius * bar.radius - deep * deep).max(0.0).sqrt();
        let across = if s.abs() > 0.98 { across.min(bar.half_flats) } else { across };
        let (middle, side) = (c + way * (deep * scale), way.left() * (across * scale));
        sheet.line(Role::Hidden, Path::line(middle - side, middle + side));
    }
    let steep = draw_ears(sheet, spec, index, result, c, radius);
    draw_clocks(sheet, result, bar, c, radius, steep);
    if views.single && bar.has_flats() {
        /// From the round to the dimension line (mm): past the arrows of the ears.
        const PAST: f64 = 12.0;
        let (x, half) = (bar.half_chord() * scale, bar.half_flats * scale);
        let ends = [c + Vec2::new(x, half), c + Vec2::new(x, -half)];
        let words = value::stacked(&spec.build, 2.0 * bar.half_flats, "");
        linear(sheet, ends, Vec2::new(0.0, -1.0), radius - x + PAST, &words, BODY);
    }
    let mut y = c.y - radius - 11.0;
    for words in ["seen from the", "column end;", "clockwise is +"] {
        sheet.text(label(Vec2::new(c.x, y), Anchor::Middle, BODY, false, words));
        y -= 1.6 * BODY;
    }
}

/// The lines through the ears; whether one of them stands upright.
fn draw_ears(sheet: &mut Sheet, spec: &Spec, index: usize, result: &ShaftResult, c: Vec2, radius: f64) -> bool {
    let mut any_steep = false;
    for (words, angle) in shaft_words::ears(spec, index, result) {
        // Clockwise from the flats' edges, which lie level; the lower end of the line.
        let (s, cos) = libm::sincos(angle);
        let way = Vec2::new(cos, -s);
        let level = way.y.abs() < 1e-9;
        let way = if way.y > 1e-9 || (level && way.x > 0.0) { -way } else { way };
        for way in [way, -way] {
            let [from, to] = EARS.map(|reach| c + way * (radius + reach));
            sheet.line(Role::Dimension, Path::line(from, to));
            arrow(sheet, to, way);
        }
        let tip = c + way * (radius + EARS[1]);
        if way.y.abs() > 0.7 {
            any_steep = true;
            let at = Vec2::new(tip.x + 1.5, tip.y + 1.5);
            sheet.text(label(at, Anchor::Start, BODY, false, words));
        } else {
            // One word over the line, the other under it.
            let left = c.x + way.x.signum() * (radius + 1.0);
            let anchor = if way.x > 0.0 { Anchor::Start } else { Anchor::End };
            let lift = tip.y - 2.25 * way.y.abs();
            for (word, y) in words.split(' ').zip([lift + 1.2, lift - 1.2 - BODY]) {
                sheet.text(label(Vec2::new(left, y), anchor, BODY, false, word));
            }
        }
    }
    any_steep
}

/// Clock angles of spots and grooves, those that agree together; flat A.
fn draw_clocks(sheet: &mut Sheet, result: &ShaftResult, bar: Bar, c: Vec2, radius: f64, steep: bool) {
    let mut groups: Vec<(f64, Vec<String>)> = Vec::new();
    let dimples = result.dimples.iter().enumerate().filter(|(_, dimple)| dimple.spot != SpotWhen::None);
    let marks = dimples.map(|(number, dimple)| (dimple.clock, mark(number)));
    for (clock, mark) in marks.chain(result.grooves.iter().map(|groove| (groove.clock, "groove".to_owned()))) {
        match groups.iter_mut().find(|(other, _)| (other - clock).abs() < 0.05) {
            Some((_, marks)) => marks.push(mark),
            None => groups.push((clock, vec![mark])),
        }
    }
    // Words over the section stand clear of an upright ears line.
    let mut above = c.y + radius + if steep { EARS[1] + 1.5 } else { 3.5 };
    for (clock, marks) in &groups {
        let (s, cos) = libm::sincos(clock.to_radians());
        let way = Vec2::new(s, cos);
        sheet.line(Role::Centre, Path::line(c, c + way * (radius + 2.5)));
        let words = format!("{} {}", marks.join(" "), quantity::degrees(*clock, 1).replace(".0°", "°"));
        let beside = c + way * (radius + 3.5);
        let (at, anchor) = if cos > 0.9 {
            let at = Vec2::new(c.x, above);
            above += 1.6 * BODY;
            (at, Anchor::Middle)
        } else if cos < -0.9 && steep {
            (Vec2::new(beside.x - 1.5, beside.y - 1.5 - BODY), Anchor::End)
        } else if cos < -0.9 {
            (beside - Vec2::new(0.0, BODY), Anchor::Middle)
        } else {
            (beside - Vec2::new(0.0, 7.0), if s > 0.0 { Anchor::Start } else { Anchor::End })
        };
        sheet.text(label(at, anchor, BODY, false, words));
    }
    if bar.has_flats() {
        sheet.text(label(Vec2::new(c.x, above), Anchor::Middle, BODY, true, "flat A"));
    }
}

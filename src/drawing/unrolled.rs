//! A rail's outside laid flat: its faces, its folds, their names.

use std::f64::consts::TAU;

use super::plate::direction_words;
use crate::geometry::{Vec2, Vec3};
use crate::solve::solution::{RailFrame, RailResult, RailVertex};
use crate::spec::types::Section;

/// One face or corner of the outside.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// Unrolled coordinate where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// In words: `top face`, `right face (inboard)`, `corner`.
    pub words: String,
    /// What lies toward +v on it (true) or −v (false), in words; `None` on corners.
    pub arrow: Option<(bool, &'static str)>,
}

/// The outside between two unrolled coordinates.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Unrolled {
    /// In order of v, cut off at the ends.
    pub strips: Vec<Strip>,
    /// Where strips meet inside the stretch: the lines to fold on, or to set a pipe by.
    pub folds: Vec<f64>,
    /// What each fold of a pipe is called; empty on rails with faces.
    pub names: Vec<String>,
}

/// Length round the outside of a closed section; `None` where the section is open.
pub(super) fn girth(rail: &RailResult, section: &Section) -> Option<f64> {
    if matches!(section, Section::Channel { .. }) {
        return None;
    }
    let (first, last) = (rail.path.first()?, rail.path.last()?);
    Some(last.v + piece_length(last, first) - first.v)
}

fn sweep(vertex: &RailVertex, next: &RailVertex, centre: Vec2) -> f64 {
    let (a, b) = (vertex.at - centre, next.at - centre);
    // Clockwise in the section seen along the rail; a vertex that meets itself is the whole round.
    let turn = libm::atan2(b.cross(a), b.dot(a));
    if turn <= 1e-12 { turn + TAU } else { turn }
}

fn piece_length(vertex: &RailVertex, next: &RailVertex) -> f64 {
    match vertex.centre {
        None => (next.at - vertex.at).length(),
        Some(centre) => (vertex.at - centre).length() * sweep(vertex, next, centre),
    }
}

fn face_words(frame: &RailFrame, normal: Vec3) -> String {
    let side = |face: &str, toward_right: bool| match inboard(frame, toward_right) {
        Some(inboard) => format!("{face} face ({inboard})"),
        None => format!("{face} face"),
    };
    match direction_words(normal) {
        "up" => "top face".into(),
        "down" => "bottom face".into(),
        "to the right" => side("right", true),
        "to the left" => side("left", false),
        "to the rear" => "rear face".into(),
        _ => "front face".into(),
    }
}

/// The line along a pipe whose outward normal it is.
fn line_words(frame: &RailFrame, normal: Vec3) -> String {
    match direction_words(normal) {
        "up" => "top of the pipe".into(),
        "down" => "bottom of the pipe".into(),
        "to the rear" => "rear of the pipe".into(),
        "to the front" => "front of the pipe".into(),
        words => {
            let side = if words == "to the right" { "right" } else { "left" };
            match inboard(frame, words == "to the right") {
                Some(inboard) => format!("{side} side ({inboard})"),
                None => format!("{side} side"),
            }
        }
    }
}

/// Whether a side toward the vehicle's right or left is inboard; `None` for a rail on the vehicle's middle, y = 0.
pub(super) fn inboard(frame: &RailFrame, toward_right: bool) -> Option<&'static str> {
    /// A rail nearer the middle than this (mm) is on it.
    const MIDDLE: f64 = 1.0;
    let inboard = toward_right == (frame.origin.y < 0.0);
    (frame.origin.y.abs() >= MIDDLE).then_some(if inboard { "inboard" } else { "outboard" })
}

/// The arrow worth drawing on a face whose +v runs along `way`.
fn face_arrow(frame: &RailFrame, way: Vec3) -> (bool, &'static str) {
    match direction_words(way) {
        "up" => (true, "up"),
        "down" => (false, "up"),
        "to the front" => (true, "front"),
        "to the rear" => (false, "front"),
        words => {
            let to_right = words == "to the right";
            match inboard(frame, to_right) {
                None => (to_right, "right"),
                Some(inboard) => (inboard == "outboard", "outboard"),
            }
        }
    }
}

/// The stretch of the outside from `low` to `high` in v.
pub(super) fn unroll(rail: &RailResult, section: &Section, low: f64, high: f64) -> Unrolled {
    let frame = &rail.frame;
    let world = |d: Vec2| frame.right * d.x + frame.up * d.y;
    let girth = girth(rail, section);
    let count = rail.path.len();
    let pieces = if girth.is_some() { count } else { count.saturating_sub(1) };
    let all_round = rail.path.iter().all(|vertex| vertex.centre.is_some());
    // Turns of a closed section that reach the stretch.
    let turns = match girth {
        Some(girth) if girth > 0.0 => {
            let first = rail.path.first().map_or(0.0, |vertex| vertex.v);
            (((low - first) / girth).floor() as i64)..=(((high - first) / girth).floor() as i64)
        }
        _ => 0..=0,
    };
    let mut strips: Vec<Strip> = Vec::new();
    for turn in turns {
        let shift = turn as f64 * girth.unwrap_or(0.0);
        for (vertex, next) in rail.path.iter().zip(rail.path.iter().cycle().skip(1)).take(pieces) {
            let from = vertex.v + shift;
            let to = from + piece_length(vertex, next);
            let (from, to) = (from.max(low), to.min(high));
            if to - from <= 1e-9 {
                continue;
            }
            let strip = match vertex.centre {
                None => {
                    let way = (next.at - vertex.at).unit().unwrap_or_default();
                    // Clockwise round the section: outside lies on the left.
                    let words = face_words(frame, world(way.left()));
                    Strip { from, to, words, arrow: Some(face_arrow(frame, world(way))) }
                }
                Some(centre) if all_round => {
                    let words = line_words(frame, world((vertex.at - centre).unit().unwrap_or_default()));
                    Strip { from, to, words, arrow: None }
                }
                Some(_) => Strip { from, to, words: "corner".into(), arrow: None },
            };
            // A corner that the path divides is still one corner.
            match strips.last_mut() {
                Some(last) if last.arrow.is_none() && !all_round && last.words == strip.words => last.to = to,
                _ => strips.push(strip),
            }
        }
    }
    let folds = strips.iter().skip(1).map(|strip| strip.from).collect();
    if !all_round {
        return Unrolled { strips, folds, names: Vec::new() };
    }
    // A pipe has no faces, only lines along it.
    let names = strips.into_iter().skip(1).map(|strip| strip.words).collect();
    Unrolled { strips: Vec::new(), folds, names }
}

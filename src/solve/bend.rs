//! Bent plates: from the shape as made, laid open, to the flat pattern, and to every place on the folded part.
//!
//! The spec's (u, v) are those of the *opened* plate: each flange measured on the drawn face to the line where that
//! face and its neighbour's, extended, would meet. Folding turns a flange about that line. The flat pattern is shorter:
//! of the two setbacks of a bend, (face radius) × tan(angle / 2) each, only the bend allowance is metal.

use super::solution::{BendResult, Vertex};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Frame, Vec2, Vec3};
use crate::spec::types::{Bend, Plate};

/// Points nearer than this (mm) are one.
const SAME: f64 = 1e-7;

/// Length (mm) along the neutral line of a bend: A (R + K t).
///
/// Angle A (rad) turned out of flat, inside radius R and thickness t (mm), K the neutral line's depth from the inside
/// as a share of t. Any sheet-metal text; Machinery's Handbook has the 90 degree case as 0.64 t + 1.57 R for soft
/// steel and aluminium, which is K = 0.41 (from memory).
pub fn allowance(angle: f64, inside: f64, thick: f64, k: f64) -> f64 {
    angle * (inside + k * thick)
}

/// One bend, ready to be laid flat or folded.
#[derive(Debug, Clone)]
struct Fold {
    /// A point of the line on which the drawn faces would meet.
    at: Vec2,
    /// Unit vector across it, toward the side that turns.
    across: Vec2,
    /// From that line to where each face begins to curve (mm).
    setback: f64,
    /// Bend allowance (mm).
    allowance: f64,
    /// Turn (rad), positive toward the viewer.
    turn: f64,
    /// How many other bends carry this one.
    carried: usize,
}

/// All bends of a plate.
#[derive(Debug, Clone, Default)]
pub(super) struct Folds {
    folds: Vec<Fold>,
}

/// What cannot be bent, by the number of the bend.
pub(super) type Wrong = (usize, &'static str, String, &'static str);

impl Folds {
    /// The bends of a plate; `outline` is its outline opened.
    pub(super) fn new(plate: &Plate, outline: &[Vertex]) -> Result<Self, Vec<Wrong>> {
        let mut wrong = Vec::new();
        let mut folds = Vec::new();
        let mut lines = Vec::new();
        for (i, bend) in plate.bends.iter().enumerate() {
            let Some(mut fold) = fold(bend, plate.thick) else { continue };
            // (0, 0) stays where it is.
            let zero = fold.offset(Vec2::default());
            if zero > 0.0 {
                fold.across = -fold.across;
            }
            if zero.abs() < fold.setback + SAME {
                let message = "the bend lies on the plate's zero, so nothing says which side stays".to_string();
                wrong.push((i, "bend-on-zero", message, "put (0, 0) on the flange that stays"));
                continue;
            }
            let chord = met(&fold, outline);
            let [from, to] = chord[..] else {
                let message = format!("the bend's line, extended, meets the outline {} times", chord.len());
                wrong.push((i, "bend-line", message, "a bend runs right across the plate once: move its line"));
                continue;
            };
            lines.push((i, [from, to]));
            folds.push((i, fold));
        }
        for (i, fold) in &folds {
            for (j, [p, q]) in &lines {
                if i == j {
                    continue;
                }
                let (x, y) = (fold.offset(*p), fold.offset(*q));
                let other = folds.iter().find(|(k, _)| k == j).map_or(0.0, |(_, fold)| fold.setback);
                // The other's own curve reaches `other` to both sides of its line.
                if i < j && (x * y <= 0.0 || x.abs().min(y.abs()) < fold.setback + other - SAME) {
                    let message = format!("this bend and bend {} run into each other", i + 1);
                    wrong.push((*j, "bends-meet", message, "leave flat metal between two bends"));
                }
            }
            for vertex in outline {
                let reach = fold.setback - SAME;
                let rounds = vertex.centre.is_some_and(|centre| {
                    let radius = (vertex.at - centre).length();
                    fold.offset(vertex.at).abs() < reach || fold.offset(centre).abs() < reach.min(reach - radius)
                });
                if rounds {
                    let message = "a rounded corner lies in the bend".to_string();
                    wrong.push((
                        *i,
                        "bend-in-corner",
                        message,
                        "move the bend off the corner, or give a smaller radius",
                    ));
                    break;
                }
            }
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let carried: Vec<usize> = lines
            .iter()
            .map(|(i, [p, q])| folds.iter().filter(|(j, fold)| i != j && fold.offset((*p + *q) * 0.5) > 0.0).count())
            .collect();
        for ((_, fold), carried) in folds.iter_mut().zip(carried) {
            fold.carried = carried;
        }
        Ok(Self { folds: folds.into_iter().map(|(_, fold)| fold).collect() })
    }

    /// Flat pattern of a point of the opened plate; inside a curve the opened width is drawn together evenly.
    pub(super) fn flat(&self, p: Vec2) -> Vec2 {
        self.folds.iter().fold(p, |at, fold| {
            let x = fold.offset(p);
            let lost = 2.0 * fold.setback - fold.allowance;
            let share = ((x + fold.setback) / (2.0 * fold.setback)).clamp(0.0, 1.0);
            at - fold.across * (lost * share)
        })
    }

    /// Outline opened to outline flat: straights are broken where a curve begins and ends.
    pub(super) fn flat_outline(&self, outline: &[Vertex]) -> Vec<Vertex> {
        let next = outline.iter().cycle().skip(1).map(|vertex| vertex.at);
        let mut flat = Vec::new();
        for (vertex, to) in outline.iter().zip(next) {
            let from = vertex.at;
            let moved = Vertex {
                at: self.flat(from),
                centre: vertex.centre.map(|centre| centre + (self.flat(from) - from)),
                ..*vertex
            };
            flat.push(moved);
            if vertex.centre.is_some() {
                continue;
            }
            let mut breaks: Vec<f64> = Vec::new();
            for fold in &self.folds {
                let (a, b) = (fold.offset(from), fold.offset(to));
                for level in [-fold.setback, fold.setback] {
                    let f = (level - a) / (b - a);
                    if f.is_finite() && f > 1e-9 && f < 1.0 - 1e-9 {
                        breaks.push(f);
                    }
                }
            }
            breaks.sort_by(f64::total_cmp);
            flat.extend(breaks.into_iter().map(|f| Vertex::straight(self.flat(from + (to - from) * f))));
        }
        straightened(flat)
    }

    /// The bends for the drawing, on the flat pattern.
    pub(super) fn results(&self, plate: &Plate, outline: &[Vertex]) -> Vec<BendResult> {
        let all = plate.bends.iter().zip(&self.folds);
        all.map(|(bend, fold)| {
            let at = |x: f64| {
                let moved = Fold { at: fold.at + fold.across * x, ..fold.clone() };
                let ends = met(&moved, outline);
                let end = |i: usize| ends.get(i).map_or(moved.at, |p| self.flat(*p));
                [end(0), end(1)]
            };
            BendResult {
                name: bend.name.clone(),
                line: at(0.0),
                tangents: [at(-fold.setback), at(fold.setback)],
                angle: bend.angle.to_degrees(),
                up: bend.up,
                inside: bend.inside,
                k: bend.k,
                allowance: fold.allowance,
                deduction: 2.0 * fold.setback - fold.allowance,
            }
        })
        .collect()
    }

    /// Which bends carry a point of the opened plate.
    pub(super) fn carrying(&self, p: Vec2) -> Vec<bool> {
        self.folds.iter().map(|fold| fold.offset(p) > 0.0).collect()
    }

    /// The frame of the flange those bends carry, from that of the plate: its (u, v) are the opened plate's.
    pub(super) fn frame(&self, base: &Frame, carrying: &[bool]) -> Frame {
        let mut order: Vec<&Fold> =
            self.folds.iter().zip(carrying).filter(|(_, carries)| **carries).map(|(fold, _)| fold).collect();
        // The bend nearest the point turns first, while the rest of the plate is still flat.
        order.sort_by_key(|fold| std::cmp::Reverse(fold.carried));
        let (mut origin, mut x, mut y, mut z) =
            (Vec3::default(), Vec3::new(1.0, 0.0, 0.0), Vec3::new(0.0, 1.0, 0.0), Vec3::new(0.0, 0.0, 1.0));
        for fold in order {
            let at = Vec3::new(fold.at.x, fold.at.y, 0.0);
            // Right-handed about this axis, `across` turns toward +w.
            let axis = Vec3::new(fold.across.y, -fold.across.x, 0.0);
            let turn = |v: Vec3| v.turned(axis, fold.turn);
            origin = at + turn(origin - at);
            (x, y, z) = (turn(x), turn(y), turn(z));
        }
        let out = |v: Vec3| base.x * v.x + base.y * v.y + base.z * v.z;
        Frame { origin: base.origin + out(origin), x: out(x), y: out(y), z: out(z) }
    }

    /// Whether there is none.
    pub(super) fn is_empty(&self) -> bool {
        self.folds.is_empty()
    }

    /// Every flange, as the bends that carry it: those of some points of the opened plate.
    pub(super) fn flanges(&self, points: impl Iterator<Item = Vec2>) -> Vec<Vec<bool>> {
        let mut all = vec![vec![false; self.folds.len()]];
        for carrying in points.map(|p| self.carrying(p)) {
            if !all.contains(&carrying) {
                all.push(carrying);
            }
        }
        all
    }
}

impl Fold {
    /// Distance of a point of the opened plate from the line, positive on the side that turns.
    fn offset(&self, p: Vec2) -> f64 {
        (p - self.at).dot(self.across)
    }
}

fn fold(bend: &Bend, thick: f64) -> Option<Fold> {
    let [from, to] = bend.line;
    let across = (to - from).unit()?.left();
    // Up, the drawn face is the inside of the bend.
    let face = if bend.up { bend.inside } else { bend.inside + thick };
    Some(Fold {
        at: (from + to) * 0.5,
        across,
        setback: face * libm::tan(bend.angle / 2.0),
        allowance: allowance(bend.angle, bend.inside, thick, bend.k),
        turn: if bend.up { bend.angle } else { -bend.angle },
        carried: 0,
    })
}

/// Where a bend's line, extended, meets an outline, in order along it.
fn met(fold: &Fold, outline: &[Vertex]) -> Vec<Vec2> {
    let along = fold.across.left();
    let next = outline.iter().cycle().skip(1).map(|vertex| vertex.at);
    let mut points = Vec::new();
    for (vertex, to) in outline.iter().zip(next) {
        let (a, b) = (fold.offset(vertex.at), fold.offset(to));
        match vertex.centre {
            None if (a > 0.0) != (b > 0.0) => points.push(vertex.at + (to - vertex.at) * (a / (a - b))),
            Some(centre) if (a > 0.0) != (b > 0.0) => {
                // On the arc between two ends on either side of the line; the nearer of the two crossings of its circle.
                let (radius, off) = ((vertex.at - centre).length(), -fold.offset(centre));
                let half = (radius * radius - off * off).max(0.0).sqrt();
                let foot = centre + fold.across * off;
                let middle = (vertex.at + to) * 0.5;
                let ends = [foot + along * half, foot - along * half];
                points
                    .extend(ends.into_iter().min_by(|p, q| (*p - middle).length().total_cmp(&(*q - middle).length())));
            }
            _ => {}
        }
    }
    points.sort_by(|p, q| p.dot(along).total_cmp(&q.dot(along)));
    points
}

/// Vertices without those on the straight between their neighbours.
fn straightened(vertices: Vec<Vertex>) -> Vec<Vertex> {
    let count = vertices.len();
    let keep: Vec<bool> = (0..count)
        .map(|i| {
            let (before, here, after) = (&vertices[(i + count - 1) % count], &vertices[i], &vertices[(i + 1) % count]);
            if before.centre.is_some() || here.centre.is_some() {
                return true;
            }
            let (a, b) = (here.at - before.at, after.at - here.at);
            a.cross(b).abs() > SAME * (a.length() + b.length()) || a.dot(b) < 0.0
        })
        .collect();
    vertices.into_iter().zip(keep).filter(|(_, keep)| *keep).map(|(vertex, _)| vertex).collect()
}

/// What a bend that cannot be is told as.
pub(super) fn told((bend, code, message, help): Wrong, plate: &Plate) -> (usize, Diagnostic) {
    let name = plate.bends.get(bend).map_or("", |bend| bend.name.as_str());
    (bend, Diagnostic::error(code, format!("bend {name:?}: {message}")).help(help))
}

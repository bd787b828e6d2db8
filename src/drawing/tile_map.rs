//! The first sheet of a drawing on tiles: which tile goes where, how they are joined, and the template's words.
//!
//! The words stand under the map where it stays large enough to read; else they follow the tiles on pages of their own.

use super::layout::{Area, LARGE, Note, SMALL, label, notes_height, set_notes, text_box, text_width};
use super::seam::{CLEAR, Mark, Seams, clearest, crosses};
use super::sheet::{Anchor, Item, Role, Sheet};
use super::tile::{Job, Tile, Told, zone};
use super::title_block::{self, room};
use super::value;
use crate::geometry::{Path, Vec2};
use crate::spec::Spec;

/// Space round map and words (mm).
const ROUND: f64 = 4.0;
/// Radius of a mark's dot (mm): one that is still seen as a ring.
const DOT: f64 = 0.9;
/// Least side (mm) along which several tiles follow one another on a map with words, where the drawing would fill more:
/// names and marks stay clear.
const LEAST: f64 = 45.0;
/// The same of a drawing on one tile, which is only to be known again.
const LEAST_ALONE: f64 = 30.0;
/// Greatest part of the width that a map beside words takes: more leaves lines too short to read well.
const BESIDE: f64 = 0.42;

/// A map before it is drawn.
pub(super) struct Map<'a> {
    size: [f64; 2],
    area: Area,
    notes: Vec<Note>,
    /// What all tiles show (mm, in the drawing).
    whole: Area,
    /// What is said beside or under it, and the room (mm) for the map and for the words.
    told: Option<(&'a Told<'a>, [Area; 2])>,
}

impl<'a> Map<'a> {
    /// The map of some tiles, with the words beside or under it where they find room.
    pub(super) fn of(spec: &Spec, tiles: &[Tile], marks: &[Mark], job: &'a Job<'_>) -> Option<Self> {
        let size = title_block::upright(spec);
        let area = room(size).body.without(ROUND, ROUND, ROUND, ROUND);
        let notes = map_notes(spec, tiles, marks, job);
        let mut all = tiles.iter().map(|tile| tile.part);
        let first = all.next()?;
        let whole = all.fold(first, |sum, part| Area {
            low: Vec2::new(sum.low.x.min(part.low.x), sum.low.y.min(part.low.y)),
            high: Vec2::new(sum.high.x.max(part.high.x), sum.high.y.max(part.high.y)),
        });
        let under = area.without(0.0, 0.0, 0.0, notes_height(&notes, area.width()) + ROUND);
        let least = if tiles.len() > 1 { LEAST } else { LEAST_ALONE };
        let told = job.told.as_ref().and_then(|told| {
            let ways = [below(told, under, whole), beside(told, under, whole)];
            let best = ways.into_iter().flatten().max_by(|a, b| scale(a[0], whole).total_cmp(&scale(b[0], whole)))?;
            let long = whole.width().max(whole.height());
            // As large as without words, or large enough, and the dots of the marks stand off the drawing as the marks do.
            let dots = if tiles.len() > 1 { (DOT + 0.5) / CLEAR } else { 0.0 };
            let enough = (least / long).max(dots).min(scale(under, whole) - 1e-9);
            (scale(best[0], whole) >= enough).then_some((told, best))
        });
        Some(Self { size, area, notes, whole, told })
    }

    /// Whether the words stand on it.
    pub(super) const fn tells(&self) -> bool {
        self.told.is_some()
    }

    /// The sheet.
    pub(super) fn draw(
        &self,
        tiles: &[Tile],
        seams: &Seams,
        drawing: &Sheet,
        ink: &[[Vec2; 2]],
        job: &Job<'_>,
    ) -> Sheet {
        let mut sheet = Sheet::new(format!("{}, map", job.title), self.size, false);
        sheet.alt = format!("{} Map of its {} tiles.", job.alt, tiles.len());
        let reach = set_notes(&mut sheet, self.area, &self.notes);
        let mut area = Area::new(self.area.low, Vec2::new(self.area.high.x, reach - ROUND));
        if let Some((told, [map, words])) = self.told {
            told.set(&mut sheet, words);
            area = map;
        }
        let whole = self.whole;
        let scale = scale(area, whole);
        let origin = Vec2::new(area.centre().x, area.high.y - 0.5 * scale * whole.height()) - whole.centre() * scale;
        let (x, y) = (Vec2::new(scale, 0.0), Vec2::new(0.0, scale));
        for item in &drawing.items {
            let Item::Line(line) = item else { continue };
            if matches!(line.role, Role::Cut | Role::Drill | Role::Outline) && !line.filled {
                sheet.line(Role::Outline, line.path.carried(origin, x, y));
            }
        }
        for (index, tile) in tiles.iter().enumerate() {
            let zone = zone(tile, tiles, seams);
            let (low, high) = (origin + zone.low * scale, origin + zone.high * scale);
            let edge = Path::rectangle(low, high.x - low.x, high.y - low.y, 0.0);
            sheet.keyed(Role::Dimension, format!("tile.{}", index + 1), edge);
            let name = tile.name();
            let large = zone.width().min(zone.height()) * scale > 4.0 * LARGE;
            let height = if large { LARGE } else { SMALL };
            let wide = 0.5 * text_width(&name, height, true);
            // In the middle of the tile, or as near as the drawing leaves room.
            let reach = zone.high - zone.low;
            let rings = (0..6).flat_map(|ring| (0..8).map(move |turn| (f64::from(ring) * 0.07, f64::from(turn))));
            let places = rings.map(|(far, turn)| {
                let way = Vec2::polar(turn * std::f64::consts::FRAC_PI_4);
                zone.centre() + Vec2::new(way.x * reach.x, way.y * reach.y) * far
            });
            let Some(place) = clearest(places, (wide + 2.0) / scale, ink) else { continue };
            let middle = origin + place * scale;
            sheet.text(label(middle - Vec2::new(0.0, 0.5 * height), Anchor::Middle, height, true, name));
        }
        let ink: Vec<[Vec2; 2]> = ink.iter().map(|segment| segment.map(|p| origin + p * scale)).collect();
        map_marks(&mut sheet, &seams.marks, |p| origin + p * scale, &ink);
        sheet
    }
}

/// Scale of a map of `whole` that fills an area.
fn scale(area: Area, whole: Area) -> f64 {
    (area.width() / whole.width()).min(area.height() / whole.height())
}

/// Map over words: the room of each.
fn below(told: &Told<'_>, area: Area, whole: Area) -> Option<[Area; 2]> {
    let words = told.height(area.width());
    let left = area.height() - words - ROUND;
    let map = area.top(left.min(whole.height() * area.width() / whole.width()));
    // The words follow the map at once, wherever it ends.
    (left > 0.0).then(|| [map, area.without(0.0, 0.0, 0.0, map.height() + ROUND)])
}

/// Map to the right of words, which have no table: the room of each.
fn beside(told: &Told<'_>, area: Area, whole: Area) -> Option<[Area; 2]> {
    let width = (BESIDE * area.width()).min(area.height() * whole.width() / whole.height());
    let words = area.left(area.width() - width - 2.0 * ROUND);
    (told.table.is_none() && told.height(words.width()) <= area.height()).then(|| [area.right(width), words])
}

/// Marks as dots, each with its number where that has room; `ink` is what is drawn.
fn map_marks(sheet: &mut Sheet, marks: &[Mark], put: impl Fn(Vec2) -> Vec2, ink: &[[Vec2; 2]]) {
    let mut taken: Vec<[Vec2; 2]> = ink.to_vec();
    for mark in marks {
        let at = put(mark.at);
        sheet.line(Role::Check, Path::circle(at, DOT));
        let (x, y) = (Vec2::new(DOT, 0.0), Vec2::new(0.0, DOT));
        taken.extend([[at - x, at + x], [at - y, at + y]]);
    }
    for item in &sheet.items {
        match item {
            Item::Text(text) => {
                let [a, b, c, d] = text_box(text);
                taken.extend([[a, b], [b, c], [c, d], [d, a]]);
            }
            // The tiles' edges.
            Item::Line(line) if line.role == Role::Dimension => {
                taken.extend(line.path.runs().map(|(from, piece)| [from, piece.end()]));
            }
            Item::Line(_) => {}
        }
    }
    for mark in marks {
        let at = put(mark.at);
        let words = mark.number.to_string();
        let wide = text_width(&words, SMALL, false);
        let off = DOT + 0.5;
        let places = [(off, 0.5), (-off - wide, 0.5), (off, -0.5 - SMALL), (-off - wide, -0.5 - SMALL)];
        let free = places.into_iter().map(|(x, y)| at + Vec2::new(x, y)).find(|&low| {
            let room = Area::new(low - Vec2::new(0.3, 0.3), low + Vec2::new(wide + 0.3, SMALL + 0.3));
            !taken.iter().any(|&segment| crosses(segment, room))
        });
        if let Some(low) = free {
            sheet.text(label(low, Anchor::Start, SMALL, false, words));
            taken.push([low, low + Vec2::new(wide, SMALL)]);
        }
    }
}

fn map_notes(spec: &Spec, tiles: &[Tile], marks: &[Mark], job: &Job<'_>) -> Vec<Note> {
    let last = tiles.len() + 1;
    if tiles.len() == 1 {
        return vec![
            Note::heading(format!("{}: on a sheet of its own", job.title)),
            Note::strong(
                "Map, not to scale. Print sheet 2 at 100 %. Measure its rulers and diagonal before you use it.",
            ),
        ];
    }
    let mut notes = vec![
        Note::heading(format!("{}: {} tiles to be joined", job.title, tiles.len())),
        Note::strong(format!(
            "Map, not to scale. Print sheets 2 to {last} at 100 %, all on one printer. Measure rulers and diagonal on every one before it is trimmed.",
        )),
        Note::body(
            "Each chain line on a tile is a seam. Trim on it the left edge of every tile that has one on its left, and the lower edge of every tile that has one below.",
        ),
        Note::body(
            "Lay the trimmed edge on the chain line of the tile beside or below, so that the two halves of each numbered mark meet; tape it flat. Work from the lower left tile.",
        ),
    ];
    // The two marks farthest apart prove the joined sheets, as the rulers prove each.
    let pairs = marks.iter().enumerate().flat_map(|(i, a)| marks.iter().skip(i + 1).map(move |b| (a, b)));
    let far = pairs.max_by(|p, q| (p.0.at - p.1.at).length().total_cmp(&(q.0.at - q.1.at).length()));
    if let Some((a, b)) = far {
        notes.push(Note::strong(format!(
            "Joined: mark {} to mark {} must measure {} from centre to centre. If it is off by more than 0.04 in (1 mm), join again.",
            a.number,
            b.number,
            value::both(&spec.build, (a.at - b.at).length()),
        )));
    }
    notes
}

//! What may touch on a sheet, and what may not.
//!
//! A drawing is read at arm's length in poor light: a word with a line through
//! it, or two numbers on one another, is read wrong. So on a finished sheet
//!
//! 1. no words lie on other words;
//! 2. no line of any kind runs through words, and no arrow head or dot lies on them;
//! 3. nothing lies on or outside the border but the border's own words and marks, and nothing else in the title block;
//! 4. no ruler, square or registration mark touches anything that is drawn;
//! 5. no arrow head lies on another.
//!
//! What may touch: lines of the drawing cross and meet one another (edges,
//! axes, hatching, extension and dimension lines, leaders; an arrow ends on
//! its line). Shading is a ground: words stand wholly on it or wholly off it.
//! The "DO NOT CUT" band runs over everything but what a print is measured
//! by, in hollow letters. On a tile the chain line of a seam runs over the
//! drawing, which the tile beside it shows again; what a tile's window cuts off is checked on the whole drawing.
//! On the map of the tiles the dots of their marks lie on the tiles' edges.
//!
//! Words count with the ink of their letters, by the font's own metrics;
//! lines with their width from the style table.

use super::font;
use super::sheet::{Anchor, Item, Line, Role, Sheet, Text};
use crate::geometry::{Piece, Vec2};

/// Key of the border.
pub(super) const FRAME: &str = "frame";
/// Key of the title block's outline.
pub(super) const BLOCK: &str = "block";
/// First part of the keys of the tiles' edges on their map.
pub(super) const TILE: &str = "tile.";
/// Key of a page number in the margin, and of a centring mark, with what follows it.
pub(super) const MARGIN: &str = "margin.";
/// First part of the keys of the chain lines on a tile.
pub(super) const SEAM: &str = "seam.";

/// Curves are followed to this (mm): a fifth of the thinnest line.
const FINE: f64 = 0.03;
/// Things that share less than this (mm) touch and do not overlap: no printer shows it.
const HAIR: f64 = 0.01;

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fault {
    /// Words on words.
    WordsOnWords,
    /// A line, an arrow head or a dot on words.
    LineOnWords,
    /// Something on the border or outside it.
    OutsideBorder,
    /// Something else in the title block.
    InTitleBlock,
    /// A ruler, a square or a mark on what is drawn.
    CheckOnDrawing,
    /// An arrow head on another.
    ArrowOnArrow,
}

/// Two things that must not touch and do.
#[derive(Debug, Clone, PartialEq)]
pub struct Collision {
    /// What is wrong.
    pub fault: Fault,
    /// The one thing: its words, or its role and key.
    pub what: String,
    /// The other.
    pub with: String,
    /// Where (mm on the sheet).
    pub at: Vec2,
}

/// A convex patch of ink.
#[derive(Debug, Clone)]
struct Patch {
    corners: Vec<Vec2>,
    low: Vec2,
    high: Vec2,
}

impl Patch {
    fn new(corners: Vec<Vec2>) -> Self {
        let fold = |pick: fn(f64, f64) -> f64, from: f64| {
            corners.iter().fold(Vec2::new(from, from), |sum, p| Vec2::new(pick(sum.x, p.x), pick(sum.y, p.y)))
        };
        let (low, high) = (fold(f64::min, f64::INFINITY), fold(f64::max, f64::NEG_INFINITY));
        Self { corners, low, high }
    }

    /// A straight stroke of that width.
    fn stroke(a: Vec2, b: Vec2, width: f64) -> Self {
        let side = (b - a).unit().unwrap_or(Vec2::new(1.0, 0.0)).left() * (0.5 * width);
        Self::new(vec![a - side, b - side, b + side, a + side])
    }

    fn middle(&self) -> Vec2 {
        (self.low + self.high) * 0.5
    }

    /// The upright rectangle round some; `None` round none.
    fn round(patches: &[Self]) -> Option<Self> {
        let first = patches.first()?;
        let [low, high] = patches.iter().fold([first.low, first.high], |[low, high], patch| {
            [
                Vec2::new(low.x.min(patch.low.x), low.y.min(patch.low.y)),
                Vec2::new(high.x.max(patch.high.x), high.y.max(patch.high.y)),
            ]
        });
        Some(Self::new(vec![low, Vec2::new(high.x, low.y), high, Vec2::new(low.x, high.y)]))
    }

    /// Separating axis theorem for convex polygons; they overlap where they share more than a hair and come nearer
    /// than `clear` (mm).
    fn overlaps(&self, other: &Self, clear: f64) -> bool {
        let apart = clear - HAIR;
        if self.low.x - apart > other.high.x
            || other.low.x - apart > self.high.x
            || self.low.y - apart > other.high.y
            || other.low.y - apart > self.high.y
        {
            return false;
        }
        [self, other].iter().all(|patch| {
            let next = patch.corners.iter().cycle().skip(1);
            patch.corners.iter().zip(next).all(|(a, b)| {
                let Some(axis) = (*b - *a).left().unit() else { return true };
                let ((a0, a1), (b0, b1)) = (self.span(axis), other.span(axis));
                a1 + apart > b0 && b1 + apart > a0
            })
        })
    }

    fn span(&self, axis: Vec2) -> (f64, f64) {
        self.corners.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
            let d = p.dot(axis);
            (low.min(d), high.max(d))
        })
    }

    /// Whether it lies inside an upright rectangle.
    fn inside(&self, low: Vec2, high: Vec2) -> bool {
        self.low.x >= low.x - HAIR
            && self.low.y >= low.y - HAIR
            && self.high.x <= high.x + HAIR
            && self.high.y <= high.y + HAIR
    }

    /// What an upright window shows of it (Sutherland and Hodgman 1974, doi:10.1145/360767.360802, from memory).
    fn seen(&self, low: Vec2, high: Vec2) -> Option<Self> {
        let mut corners = self.corners.clone();
        for (axis, edge) in [
            (Vec2::new(1.0, 0.0), low.x),
            (Vec2::new(-1.0, 0.0), -high.x),
            (Vec2::new(0.0, 1.0), low.y),
            (Vec2::new(0.0, -1.0), -high.y),
        ] {
            let mut kept = Vec::with_capacity(corners.len() + 1);
            let next: Vec<Vec2> = corners.iter().copied().cycle().skip(1).take(corners.len()).collect();
            for (a, b) in corners.into_iter().zip(next) {
                let (da, db) = (a.dot(axis) - edge, b.dot(axis) - edge);
                if da >= 0.0 {
                    kept.push(a);
                }
                if (da < 0.0) != (db < 0.0) {
                    kept.push(a + (b - a) * (da / (da - db)));
                }
            }
            corners = kept;
        }
        (corners.len() > 2).then(|| Self::new(corners))
    }
}

/// The four corners of the ink of a text; `None` where it has none.
fn words_patch(text: &Text) -> Option<Patch> {
    let [low, high] = font::ink(&text.words, text.height, text.bold)?;
    let width = font::width(&text.words, text.height, text.bold);
    let back = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => 0.5 * width,
        Anchor::End => width,
    };
    let corner = |x: f64, y: f64| text.at + Vec2::new(x - back, y).turned(text.angle);
    Some(Patch::new(vec![corner(low.x, low.y), corner(high.x, low.y), corner(high.x, high.y), corner(low.x, high.y)]))
}

/// The strokes of a line, or the one patch it fills.
fn line_patches(line: &Line) -> Vec<Patch> {
    let points = line.path.flattened(FINE);
    if line.filled {
        return vec![Patch::new(points)];
    }
    let width = line.role.style().width;
    let mut patches: Vec<Patch> = points
        .windows(2)
        .filter_map(|pair| if let [a, b] = *pair { Some(Patch::stroke(a, b, width)) } else { None })
        .collect();
    if let (true, Some(&a), Some(&b)) = (line.path.closed, points.last(), points.first())
        && (a - b).length() > HAIR
    {
        patches.push(Patch::stroke(a, b, width));
    }
    patches
}

/// One thing of the sheet as ink.
struct Thing<'a> {
    item: &'a Item,
    patches: Vec<Patch>,
    /// Upright rectangle round all of them: most things of a sheet are nowhere near one another.
    round: Option<Patch>,
    /// Part of the drawing under a tile's window.
    under: bool,
}

impl<'a> Thing<'a> {
    fn of(item: &'a Item) -> Self {
        let patches = match item {
            Item::Line(line) => line_patches(line),
            Item::Text(text) => words_patch(text).into_iter().collect(),
        };
        Self { item, round: Patch::round(&patches), patches, under: false }
    }

    /// What a window shows of a thing moved there.
    fn seen(item: &'a Item, by: Vec2, [low, high]: [Vec2; 2]) -> Self {
        let whole = Self::of(item);
        let moved = |patch: Patch| Patch::new(patch.corners.into_iter().map(|p| p + by).collect());
        let patches: Vec<Patch> = whole.patches.into_iter().filter_map(|patch| moved(patch).seen(low, high)).collect();
        Self { item, round: Patch::round(&patches), patches, under: true }
    }

    const fn role(&self) -> Role {
        match self.item {
            Item::Line(line) => line.role,
            Item::Text(text) => text.role,
        }
    }

    fn key(&self) -> &str {
        let key = match self.item {
            Item::Line(line) => &line.key,
            Item::Text(text) => &text.key,
        };
        key.as_deref().unwrap_or_default()
    }

    const fn is_text(&self) -> bool {
        matches!(self.item, Item::Text(_))
    }

    const fn is_filled(&self) -> bool {
        matches!(self.item, Item::Line(line) if line.filled)
    }

    /// A filled triangle; dots are round and mark points that may coincide.
    fn is_arrow(&self) -> bool {
        let straight = |line: &Line| line.path.pieces.iter().all(|piece| matches!(piece, Piece::Line { .. }));
        self.role() == Role::Dimension && matches!(self.item, Item::Line(line) if line.filled && straight(line))
    }

    fn name(&self) -> String {
        match self.item {
            Item::Text(text) => format!("\"{}\"", text.words),
            Item::Line(line) => {
                let kind = if line.filled { "filled " } else { "" };
                let key = line.key.as_deref().map(|key| format!(" {key}")).unwrap_or_default();
                format!("{kind}{}{key}", line.role.style().group)
            }
        }
    }

    /// Where it first overlaps another.
    fn meets(&self, other: &Self) -> Option<Vec2> {
        let near = self.round.as_ref().zip(other.round.as_ref()).is_some_and(|(a, b)| a.overlaps(b, 0.0));
        if !near {
            return None;
        }
        let mut pairs = self.patches.iter().flat_map(|a| other.patches.iter().map(move |b| (a, b)));
        pairs.find(|(a, b)| a.overlaps(b, 0.0)).map(|(a, _)| a.middle())
    }

    /// Rule 3: by itself against border and title block; `own` where the title block itself drew it.
    fn against(&self, page: &Page, own: bool) -> Option<(Fault, Vec2)> {
        if self.under || self.role() == Role::Band {
            return None;
        }
        let free = self.role() == Role::Frame || self.key().starts_with(MARGIN);
        let [low, high] = page.border.filter(|_| !free).unwrap_or(page.whole);
        if let Some(patch) = self.patches.iter().find(|patch| !patch.inside(low, high)) {
            return Some((Fault::OutsideBorder, patch.middle()));
        }
        let [low, high] = page.block.filter(|_| !own)?;
        let block = Patch::new(vec![low, Vec2::new(high.x, low.y), high, Vec2::new(low.x, high.y)]);
        // The border stands round the block.
        let bad = self.patches.iter().find(|patch| self.role() != Role::Frame && patch.overlaps(&block, 0.0));
        bad.map(|patch| (Fault::InTitleBlock, patch.middle()))
    }

    /// Rules 1, 2, 4, 5: against another thing.
    fn fault_with(&self, other: &Self) -> Option<Fault> {
        let both = [self, other];
        let band = |thing: &&Self| thing.role() == Role::Band && !thing.is_text();
        if both.iter().any(band) {
            let measured = |thing: &&Self| thing.role() == Role::Check && !thing.is_text();
            return both.iter().any(measured).then_some(Fault::CheckOnDrawing);
        }
        // Two things of the drawing under a window were judged as such.
        if self.under && other.under {
            return None;
        }
        match (self.is_text(), other.is_text()) {
            (true, true) => Some(Fault::WordsOnWords),
            (true, false) => Self::line_fault(other, self),
            (false, true) => Self::line_fault(self, other),
            (false, false) => {
                let check = both.iter().filter(|thing| thing.role() == Role::Check).count();
                let ground = |thing: &&Self| {
                    matches!(thing.role(), Role::Frame | Role::Shade)
                        || [SEAM, TILE].iter().any(|first| thing.key().starts_with(first))
                };
                if check == 1 && !both.iter().any(ground) {
                    return Some(Fault::CheckOnDrawing);
                }
                both.iter().all(|thing| thing.is_arrow()).then_some(Fault::ArrowOnArrow)
            }
        }
    }

    fn line_fault(line: &Self, words: &Self) -> Option<Fault> {
        // Wholly on its ground or wholly off it.
        let on = |ground: &Patch| words.patches.iter().all(|patch| patch.inside(ground.low, ground.high));
        let ground = line.role() == Role::Shade && line.is_filled() && line.patches.iter().all(on);
        // The window's edge and the seams cut what the next tile shows again.
        let cut = words.under && (line.key().starts_with(SEAM) || line.role() == Role::Frame);
        (!ground && !cut).then_some(Fault::LineOnWords)
    }
}

/// What a sheet shows already, for placing more of it where nothing is touched.
#[derive(Debug, Clone, Default)]
pub struct Taken {
    patches: Vec<Patch>,
}

impl Taken {
    /// All ink of a sheet but its shading.
    pub fn of(sheet: &Sheet) -> Self {
        let things = sheet.items.iter().map(Thing::of).filter(|thing| thing.role() != Role::Shade);
        Self { patches: things.flat_map(|thing| thing.patches).collect() }
    }

    /// The lines of one role.
    pub fn of_role(sheet: &Sheet, role: Role) -> Self {
        let things = sheet.items.iter().map(Thing::of).filter(|thing| thing.role() == role && !thing.is_text());
        Self { patches: things.flat_map(|thing| thing.patches).collect() }
    }

    /// Whether a convex area keeps `clear` (mm) off everything.
    pub fn spares_area(&self, corners: Vec<Vec2>, clear: f64) -> bool {
        let area = Patch::new(corners);
        !self.patches.iter().any(|other| other.overlaps(&area, clear))
    }

    /// Whether words keep `clear` (mm) off everything.
    pub fn free(&self, text: &Text, clear: f64) -> bool {
        words_patch(text).is_none_or(|words| !self.patches.iter().any(|other| other.overlaps(&words, clear)))
    }

    /// Whether a line of a role would run through none of these words.
    pub fn spares(line: [Vec2; 2], role: Role, words: &[Text]) -> bool {
        let stroke = Patch::stroke(line[0], line[1], role.style().width);
        words.iter().filter_map(words_patch).all(|patch| !patch.overlaps(&stroke, 0.0))
    }

    /// Takes the place of words.
    pub fn take(&mut self, text: &Text) {
        self.patches.extend(words_patch(text));
    }

    /// Takes the place of a straight line.
    pub fn take_line(&mut self, [a, b]: [Vec2; 2], role: Role) {
        self.patches.push(Patch::stroke(a, b, role.style().width));
    }
}

/// Where a sheet's things may stand.
struct Page {
    whole: [Vec2; 2],
    border: Option<[Vec2; 2]>,
    block: Option<[Vec2; 2]>,
    /// Place among the items from which on they are the title block's own.
    own: usize,
}

impl Page {
    fn of(sheet: &Sheet) -> Self {
        let keyed = |key: &str| {
            sheet.items.iter().enumerate().find_map(|(place, item)| match item {
                Item::Line(line) if line.key.as_deref() == Some(key) => Some((place, line.path.bounds())),
                _ => None,
            })
        };
        let block = keyed(BLOCK);
        Self {
            whole: [Vec2::default(), Vec2::new(sheet.size[0], sheet.size[1])],
            border: keyed(FRAME).map(|(_, (low, high))| [low, high]),
            block: block.map(|(_, (low, high))| [low, high]),
            own: block.map_or(usize::MAX, |(place, _)| place),
        }
    }
}

/// Everything on a sheet that touches what it must not, in the order of drawing.
pub fn collisions(sheet: &Sheet) -> Vec<Collision> {
    let mut things: Vec<Thing<'_>> = sheet.items.iter().map(Thing::of).collect();
    if let Some(view) = &sheet.view {
        things.extend(view.drawing.items.iter().map(|item| Thing::seen(item, view.at, view.window)));
    }
    let page = Page::of(sheet);
    let mut found = Vec::new();
    for (i, thing) in things.iter().enumerate() {
        if let Some((fault, at)) = thing.against(&page, i >= page.own) {
            let with = if fault == Fault::InTitleBlock { BLOCK } else { FRAME };
            found.push(Collision { fault, what: thing.name(), with: with.into(), at });
        }
        for other in things.iter().take(i) {
            if let Some(fault) = thing.fault_with(other)
                && let Some(at) = thing.meets(other)
            {
                found.push(Collision { fault, what: thing.name(), with: other.name(), at });
            }
        }
    }
    found
}

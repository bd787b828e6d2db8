//! The drawing font: widths, outlines, coverage.
//!
//! One family in two faces, compiled in, so that a drawing looks the same on
//! every machine. Text is laid out left to right by advance widths alone: no
//! kerning, no shaping, no reordering. That is right for the scripts the font
//! holds. Letters it lacks (any other script, emoji) are drawn as [`STAND_IN`]
//! and named by [`missing`], so nothing is lost in silence.

use std::sync::LazyLock;

use ttf_parser::{Face as Parsed, GlyphId, OutlineBuilder};

use super::Anchor;
use crate::geometry::Vec2;

/// What is drawn for a letter the font lacks: a white square.
pub const STAND_IN: char = '\u{25a1}';

/// Regular or bold. Both hold the same characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// For all text but headings.
    Regular,
    /// For headings and warnings.
    Bold,
}

/// One glyph of a laid out text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glyph {
    /// Index in the face.
    pub index: u16,
    /// What it was asked to show; not what is drawn where the font lacks it.
    pub letter: char,
    /// Whether [`STAND_IN`] is drawn for it.
    pub missing: bool,
    /// Width (parts of the em).
    pub advance: f64,
}

/// A closed outline of straight lines and quadratic curves, as TrueType keeps it.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// First point.
    pub start: Vec2,
    /// In order; the last one is joined to the start.
    pub curves: Vec<Curve>,
}

/// One piece of a [`Contour`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Curve {
    /// Straight to a point.
    Line(Vec2),
    /// Quadratic Bézier curve: control point, end point.
    Quadratic(Vec2, Vec2),
}

struct Loaded {
    face: Parsed<'static>,
    /// Font units in one em.
    em: f64,
    /// Height of a capital H (parts of the em).
    cap: f64,
    stand_in: GlyphId,
    /// Glyphs of U+0020 to U+007F, looked up once.
    latin: Vec<Glyph>,
}

static REGULAR: LazyLock<Loaded> = LazyLock::new(|| Loaded::new(Face::Regular.bytes()));
static BOLD: LazyLock<Loaded> = LazyLock::new(|| Loaded::new(Face::Bold.bytes()));

impl Loaded {
    #[expect(clippy::expect_used, reason = "the bytes are part of the program; the tests read both faces")]
    fn new(bytes: &'static [u8]) -> Self {
        let face = Parsed::parse(bytes, 0).expect("the compiled-in font is whole");
        let em = f64::from(face.units_per_em());
        let glyph = |letter| face.glyph_index(letter).expect("the compiled-in font has H and the stand-in");
        let cap = f64::from(face.glyph_bounding_box(glyph('H')).expect("H has an outline").y_max) / em;
        let stand_in = glyph(STAND_IN);
        let mut loaded = Self { face, em, cap, stand_in, latin: Vec::new() };
        loaded.latin = (' '..'\u{80}').map(|letter| loaded.look_up(letter)).collect();
        loaded
    }

    /// The glyph of a letter from the font's own tables.
    fn look_up(&self, letter: char) -> Glyph {
        let found = self.face.glyph_index(letter).filter(|id| id.0 != 0);
        let id = found.unwrap_or(self.stand_in);
        let advance = f64::from(self.face.glyph_hor_advance(id).unwrap_or(0)) / self.em;
        Glyph { index: id.0, letter, missing: found.is_none(), advance }
    }

    /// The same, at once for the letters most words are made of.
    fn glyph(&self, letter: char) -> Glyph {
        let at = (letter as usize).wrapping_sub(' ' as usize);
        self.latin.get(at).copied().unwrap_or_else(|| self.look_up(letter))
    }
}

impl Face {
    /// The face for bold text or not.
    pub const fn of(bold: bool) -> Self {
        if bold { Self::Bold } else { Self::Regular }
    }

    /// The font file, for embedding.
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../templates/fonts/yokeline-drawing-regular.ttf"),
            Self::Bold => include_bytes!("../../templates/fonts/yokeline-drawing-bold.ttf"),
        }
    }

    fn loaded(self) -> &'static Loaded {
        match self {
            Self::Regular => &REGULAR,
            Self::Bold => &BOLD,
        }
    }

    /// Height of a capital letter (parts of the em).
    pub fn cap_height(self) -> f64 {
        self.loaded().cap
    }

    /// Size of the em (mm) at which capitals have a height (mm).
    pub fn em(self, height: f64) -> f64 {
        height / self.cap_height()
    }

    /// The glyphs that show `words`, in order.
    ///
    /// A control character counts as a space; marks without a shape of their own
    /// (joiners, direction marks, variation selectors) give no glyph.
    pub fn glyphs(self, words: &str) -> Vec<Glyph> {
        let loaded = self.loaded();
        words
            .chars()
            .map(|letter| if letter.is_control() { ' ' } else { letter })
            .filter(|&letter| !shapeless(letter))
            .map(|letter| loaded.glyph(letter))
            .collect()
    }

    /// The outline of one glyph (parts of the em, y up, base line at 0); empty for a space.
    pub fn outline(self, index: u16) -> Vec<Contour> {
        let loaded = self.loaded();
        let mut pen = Pen { scale: 1.0 / loaded.em, contours: Vec::new() };
        loaded.face.outline_glyph(GlyphId(index), &mut pen);
        pen.contours
    }

    /// Width of `words` (mm) at a cap height (mm).
    pub fn width(self, words: &str, height: f64) -> f64 {
        self.glyphs(words).iter().map(|glyph| glyph.advance).sum::<f64>() * self.em(height)
    }
}

/// Lower left and upper right corner of the ink of `words` (mm), from the start of their base line, at a cap height
/// (mm); `None` where nothing is inked.
pub fn ink(words: &str, height: f64, bold: bool) -> Option<[Vec2; 2]> {
    let face = Face::of(bold);
    let loaded = face.loaded();
    let (size, mut at) = (face.em(height), 0.0);
    let mut ink: Option<[Vec2; 2]> = None;
    for glyph in face.glyphs(words) {
        if let Some(rect) = loaded.face.glyph_bounding_box(GlyphId(glyph.index)) {
            let point = |x: i16, y: i16| Vec2::new(at + f64::from(x) / loaded.em, f64::from(y) / loaded.em) * size;
            let (low, high) = (point(rect.x_min, rect.y_min), point(rect.x_max, rect.y_max));
            ink = Some(ink.map_or([low, high], |[a, b]| {
                [Vec2::new(a.x.min(low.x), a.y.min(low.y)), Vec2::new(b.x.max(high.x), b.y.max(high.y))]
            }));
        }
        at += glyph.advance;
    }
    ink
}

/// Width of `words` (mm) at a cap height (mm).
pub fn width(words: &str, height: f64, bold: bool) -> f64 {
    Face::of(bold).width(words, height)
}

/// The letters of `words` the font lacks, each once, in order of appearance.
pub fn missing(words: &str) -> Vec<char> {
    let mut letters = Vec::new();
    for glyph in Face::Regular.glyphs(words) {
        if glyph.missing && !letters.contains(&glyph.letter) {
            letters.push(glyph.letter);
        }
    }
    letters
}

/// How far (mm) the start of a text of a width (mm) lies behind its point, along the base line.
pub fn set_back(anchor: Anchor, width: f64) -> f64 {
    match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    }
}

/// `words` cut with an ellipsis so that they are at most `room` (mm) wide; unchanged where they fit.
pub fn fitted(words: &str, height: f64, bold: bool, room: f64) -> String {
    if width(words, height, bold) <= room {
        return words.to_owned();
    }
    let face = Face::of(bold);
    let em = face.em(height);
    let mut left = room - face.width("…", height);
    let mut kept = String::new();
    for letter in words.chars() {
        let mut buffer = [0; 4];
        left -= face.glyphs(letter.encode_utf8(&mut buffer)).iter().map(|glyph| glyph.advance).sum::<f64>() * em;
        if left < 0.0 {
            break;
        }
        kept.push(letter);
    }
    kept.truncate(kept.trim_end().len());
    kept.push('…');
    kept
}

/// `words` broken at spaces into lines at most `room` (mm) wide; a longer word has its own line, cut.
pub fn wrapped(words: &str, height: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, height, bold) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = fitted(word, height, bold, room);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Characters that ask for no shape: soft hyphen, joiners, direction marks, variation selectors
/// (the common ones of Unicode's `Default_Ignorable_Code_Point`; from memory).
fn shapeless(letter: char) -> bool {
    matches!(letter,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}'
        | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
        | '\u{e0000}'..='\u{e0fff}')
}

struct Pen {
    scale: f64,
    contours: Vec<Contour>,
}

impl Pen {
    fn point(&self, x: f32, y: f32) -> Vec2 {
        Vec2::new(f64::from(x), f64::from(y)) * self.scale
    }

    fn push(&mut self, curve: Curve) {
        if let Some(contour) = self.contours.last_mut() {
            contour.curves.push(curve);
        }
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        let start = self.point(x, y);
        self.contours.push(Contour { start, curves: Vec::new() });
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let to = self.point(x, y);
        self.push(Curve::Line(to));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (control, to) = (self.point(x1, y1), self.point(x, y));
        self.push(Curve::Quadratic(control, to));
    }

    /// TrueType outlines have no cubics; the chord keeps a damaged font harmless.
    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, x: f32, y: f32) {
        self.line_to(x, y);
    }

    fn close(&mut self) {}
}

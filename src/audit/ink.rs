//! What words look like on a sheet, whatever a reader copies from it.
//!
//! An SVG file shows letters as outlines and says beside them what they spell; a PDF page shows codes of a font and
//! maps them to letters. Either could show one thing and say another, so the outlines are laid over those of the font.

use std::sync::LazyLock;

use ttf_parser::{Face, OutlineBuilder};

use crate::geometry::Vec2;

/// The two faces every sheet is lettered in.
const FACES: [&[u8]; 2] = [
    include_bytes!("../../templates/fonts/yokeline-drawing-regular.ttf"),
    include_bytes!("../../templates/fonts/yokeline-drawing-bold.ttf"),
];

static READ: LazyLock<Vec<Face<'static>>> =
    LazyLock::new(|| FACES.iter().filter_map(|bytes| Face::parse(bytes, 0).ok()).collect());

/// Farthest (mm) a point of a letter may be from its outline: files carry hundredths.
const OFF: f64 = 0.02;

/// Lightest line or letter (parts of white): a shade over that is read with pains on white paper.
pub(super) const FAINT: f64 = 0.65;
/// Thinnest line (mm): a laser printer's dot.
pub(super) const THIN: f64 = 0.04;

/// Lightness of a colour, 0 to 1 (ITU-R BT.709, luma).
pub(super) fn lightness([r, g, b]: [f64; 3]) -> f64 {
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// Words where they are shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Inked {
    /// What is shown.
    pub words: String,
    /// Start of the base line (mm on the sheet).
    pub at: Vec2,
    /// One em (mm) along the base line.
    pub em: Vec2,
}

impl Inked {
    /// Greatest distance (mm) of the two ends, each an em along, of two that show the same; infinite for others.
    pub(super) fn apart(&self, other: &Self) -> f64 {
        if self.words != other.words {
            return f64::INFINITY;
        }
        let off = other.at - self.at;
        off.length().max((off + other.em - self.em).length())
    }
}

/// Whether a font program is one of the two.
pub(super) fn is_ours(program: &[u8]) -> bool {
    FACES.contains(&program)
}

/// Whether the font has every letter of some words.
pub(super) fn has(words: &str) -> bool {
    let shown = |face: &Face<'_>, letter: char| face.glyph_index(letter).is_some_and(|glyph| glyph.0 != 0);
    words.chars().all(|letter| READ.iter().all(|face| shown(face, letter)))
}

/// Soft hyphens, joiners, marks of direction and of variants.
const fn shapeless(letter: char) -> bool {
    matches!(letter, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        | '\u{fe00}'..='\u{fe0f}' | '\u{feff}')
}

/// Whether a code of either face shows a letter.
pub(super) fn shows(code: u16, letter: char) -> bool {
    READ.iter().any(|face| face.glyph_index(letter).is_some_and(|glyph| glyph.0 == code))
}

/// Words by the points of their outlines (mm, y up, as drawn: starts, ends and control points); an error says how far
/// (mm) a point is off where they spell something else. Letters the font lacks are not judged: `None`.
pub(super) fn spelt(words: &str, points: &[Vec2]) -> Option<Result<Inked, f64>> {
    let words: String = words.chars().filter(|&letter| !shapeless(letter)).collect();
    let mut least = f64::INFINITY;
    for face in READ.iter() {
        let letters = outlines(face, &words)?;
        if letters.is_empty() {
            return None;
        }
        let Some((at, em, off)) = laid_over(&letters, points) else { continue };
        if off <= OFF {
            return Some(Ok(Inked { words, at, em }));
        }
        least = least.min(off);
    }
    Some(Err(least))
}

/// Outlines of words in parts of the em, from the start of their base line; `None` with a letter the font lacks.
fn outlines(face: &Face<'_>, words: &str) -> Option<Vec<Vec2>> {
    let em = f64::from(face.units_per_em());
    let mut pen = Pen { at: 0.0, points: Vec::new() };
    for letter in words.chars() {
        let glyph = face.glyph_index(letter).filter(|glyph| glyph.0 != 0)?;
        face.outline_glyph(glyph, &mut pen);
        pen.at += f64::from(face.glyph_hor_advance(glyph)?);
    }
    Some(pen.points.into_iter().map(|p| p * (1.0 / em)).collect())
}

/// Place, em and farthest miss of the turned and stretched outline that lies best over some points (least squares over
/// complex numbers); `None` where there are more or fewer points.
fn laid_over(letters: &[Vec2], points: &[Vec2]) -> Option<(Vec2, Vec2, f64)> {
    if letters.len() != points.len() {
        return None;
    }
    let mean = |all: &[Vec2]| all.iter().fold(Vec2::default(), |sum, &p| sum + p) * (1.0 / all.len() as f64);
    let (from, to) = (mean(letters), mean(points));
    let (mut along, mut left, mut size) = (0.0, 0.0, 0.0);
    for (&a, &b) in letters.iter().zip(points) {
        let (a, b) = (a - from, b - to);
        along += a.dot(b);
        left += a.cross(b);
        size += a.dot(a);
    }
    let em = Vec2::new(along, left) * (1.0 / size);
    let put = |p: Vec2| to + em * (p - from).x + em.left() * (p - from).y;
    let off = letters.iter().zip(points).map(|(&a, &b)| (put(a) - b).length()).fold(0.0, f64::max);
    off.is_finite().then_some((put(Vec2::default()), em, off))
}

struct Pen {
    at: f64,
    points: Vec<Vec2>,
}

impl Pen {
    fn add(&mut self, x: f32, y: f32) {
        self.points.push(Vec2::new(self.at + f64::from(x), f64::from(y)));
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.add(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.add(x, y);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.add(x1, y1);
        self.add(x, y);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.add(x1, y1);
        self.add(x2, y2);
        self.add(x, y);
    }
    fn close(&mut self) {}
}

//! PDF files measured.
//!
//! Walks every page's content stream, follows the matrix, and takes each curve
//! with the marker (`/key MP`) before it. A page may show part of one form under
//! a rectangular window; what is in the form is measured where it lands. What
//! else could put ink elsewhere than it was measured (images, other clips,
//! rotation, user units, skewed boxes) is refused.

use std::collections::BTreeMap;
use std::rc::Rc;

use hayro_syntax::Pdf;
use hayro_syntax::content::{Instruction, UntypedIter};
use hayro_syntax::object::{Array, Dict, Name, Object, ObjectIdentifier, Stream};
use hayro_syntax::page::{Page, Resources, Rotation};

use super::ink::{self, Inked};
use super::measured::{Measured, Segment, Tracer};
use crate::geometry::Vec2;

mod form;
mod letters;
mod pen;

use form::{Clip, Forms};
use letters::Letters;
use pen::Pen;

/// Millimetres in a point: 25.4 to the inch of 72.
const MM: f64 = 25.4 / 72.0;

/// A PDF file as found.
#[derive(Debug, Clone, PartialEq)]
pub struct PdfDrawing {
    /// Whether the file asks viewers to print it unscaled, and says that this is to be kept to.
    pub unscaled: bool,
    /// Title of the document.
    pub title: String,
    /// Language of the words (BCP 47).
    pub language: Option<String>,
    /// In order.
    pub pages: Vec<PdfPage>,
}

/// One page as found.
#[derive(Debug, Clone, PartialEq)]
pub struct PdfPage {
    /// Width of the page box (mm).
    pub width_mm: f64,
    /// Height of the page box (mm).
    pub height_mm: f64,
    /// Whether every font it shows is in the file, is the one all sheets are lettered in, and says truly what its codes show.
    pub fonts_embedded: bool,
    /// Curves, in order.
    pub items: Vec<Measured>,
    /// Words as a reader copies them, in order, one for each piece of text.
    pub texts: Vec<String>,
    /// Letters as shown, in order, with their places.
    pub inked: Vec<Inked>,
    /// Those of them on the layer of warnings.
    pub warnings: Vec<String>,
    /// Part of a drawing that other pages show too.
    pub view: Option<PdfView>,
}

/// Part of a larger drawing as a page shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct PdfView {
    /// Which drawing of the file, counted in the order the pages show them.
    pub drawing: usize,
    /// Lower left and upper right corner (mm) of what is seen of it on the page.
    pub window: [Vec2; 2],
    /// All of its curves where the page puts them (mm), seen or not.
    pub items: Vec<Measured>,
    /// All of its letters likewise.
    pub inked: Vec<Inked>,
}

/// Why a PDF file cannot be measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PdfReadError {
    /// Not a PDF, or broken.
    NotPdf,
    /// A layer that is not shown, or not printed.
    Hidden,
    /// A page whose boxes, rotation or unit would move the drawing.
    Page {
        /// Number from 1.
        page: usize,
        /// What is wrong with it.
        what: String,
    },
    /// Lines or letters that are too light or too thin to be seen.
    Faint {
        /// Number from 1.
        page: usize,
    },
    /// An operator the measuring does not follow, or one with operands it cannot have.
    Operator {
        /// Number from 1.
        page: usize,
        /// The operator.
        operator: String,
    },
}

impl std::fmt::Display for PdfReadError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotPdf => write!(f, "not a PDF file, or a broken one"),
            Self::Hidden => write!(f, "a layer is switched off"),
            Self::Page { page, what } => write!(f, "page {page}: {what}"),
            Self::Faint { page } => write!(f, "page {page}: lines or letters too faint or thin to be seen"),
            Self::Operator { page, operator } => {
                write!(f, "page {page}: operator `{operator}` is not followed here, or has wrong operands")
            }
        }
    }
}

impl std::error::Error for PdfReadError {}

impl PdfPage {
    /// The curve of a name.
    pub fn find(&self, key: &str) -> Option<&Measured> {
        self.items.iter().find(|item| item.key.as_deref() == Some(key))
    }
}

/// Reads a file.
///
/// # Errors
/// Bytes that are no PDF, and whatever could put ink elsewhere than it is measured.
pub fn read(bytes: &[u8]) -> Result<PdfDrawing, PdfReadError> {
    let pdf = Pdf::new(bytes.to_vec()).map_err(|_| PdfReadError::NotPdf)?;
    let root_id: ObjectIdentifier = pdf.xref().root_id();
    let root: Dict<'_> = pdf.xref().get(root_id).ok_or(PdfReadError::NotPdf)?;
    let is = |name: Option<Name<'_>>, value: &[u8]| name.is_some_and(|name| name.as_ref() == value);
    let unscaled = root.get::<Dict<'_>>("ViewerPreferences").is_some_and(|hints| {
        let kept = hints
            .get::<Array<'_>>("Enforce")
            .is_some_and(|names| names.iter::<Name<'_>>().any(|name| name.as_ref() == b"PrintScaling"));
        is(hints.get("PrintScaling"), b"None") && kept
    });
    let language = root
        .get::<hayro_syntax::object::String<'_>>("Lang")
        .map(|words| String::from_utf8_lossy(words.as_bytes()).into_owned());
    if hides(&root) {
        return Err(PdfReadError::Hidden);
    }
    let mut known = Known::default();
    let pages =
        pdf.pages().iter().enumerate().map(|(i, page)| read_page(page, i + 1, &mut known)).collect::<Result<_, _>>()?;
    let title = pdf.metadata().title.as_deref().map(words).unwrap_or_default();
    Ok(PdfDrawing { unscaled, title, language, pages })
}

/// Whether a layer is off as the file is opened or printed (ISO 32000-1, 8.11.4.3; from memory).
fn hides(root: &Dict<'_>) -> bool {
    let Some(layers) = root.get::<Dict<'_>>("OCProperties").and_then(|all| all.get::<Dict<'_>>("D")) else {
        return false;
    };
    let some = |key: &str| layers.get::<Array<'_>>(key).is_some_and(|list| list.raw_iter().next().is_some());
    let other = layers.get::<Name<'_>>("BaseState").is_some_and(|state| state.as_ref() != b"ON");
    other || some("OFF") || some("AS")
}

/// Layer of what must not be overlooked.
const WARNINGS: &str = "Warning";

/// Boxes may differ by this (points): a reader's rounding, far under a printer's.
const BOX: f64 = 1e-4;

fn read_page(page: &Page<'_>, number: usize, known: &mut Known) -> Result<PdfPage, PdfReadError> {
    let wrong = |what: &str| PdfReadError::Page { page: number, what: what.to_owned() };
    let (media, crop) = (page.media_box(), page.crop_box());
    if media.x0.abs() > BOX || media.y0.abs() > BOX {
        return Err(wrong("the page box does not start at zero"));
    }
    let apart = [crop.x0 - media.x0, crop.y0 - media.y0, crop.x1 - media.x1, crop.y1 - media.y1];
    if apart.into_iter().any(|d| d.abs() > BOX) {
        return Err(wrong("the crop box differs from the page box"));
    }
    if !matches!(page.rotation(), Rotation::None) {
        return Err(wrong("the page is turned"));
    }
    if page.raw().contains_key("UserUnit") {
        return Err(wrong("the page has a user unit of its own"));
    }
    let mut walk = Walk::new(number, page.resources(), known, false);
    walk.all(page.operations())?;
    Ok(PdfPage {
        width_mm: (media.x1 - media.x0) * MM,
        height_mm: (media.y1 - media.y0) * MM,
        fonts_embedded: walk.fonts_embedded,
        items: walk.items,
        texts: walk.texts,
        inked: walk.inked,
        warnings: walk.warnings,
        view: walk.view,
    })
}

/// A stretch of marked content.
enum Mark {
    /// Of a layer, with its name.
    Layer(String),
    /// Whose words are said in full; the glyphs inside are not copied.
    Words,
    /// Of no meaning here.
    Other,
}

/// A font as far as it is measured.
struct Font {
    letters: Letters,
    /// Whether its program is in the file.
    embedded: bool,
}

/// Fonts already read, by object number and generation: unpacking one costs more than reading a page.
type Fonts = BTreeMap<(u32, i32), Rc<Font>>;

/// What several pages of a file share, read once.
#[derive(Default)]
struct Known {
    fonts: Fonts,
    forms: Forms,
}

struct Walk<'p, 'a> {
    page: usize,
    resources: &'p Resources<'a>,
    /// Whether this is the content of a form: no further form is followed.
    inside: bool,
    /// a b c d e f of the current matrix, page points.
    matrix: [f64; 6],
    clip: Clip,
    pen: Pen,
    saved: Vec<([f64; 6], Clip, Pen)>,
    tracer: Tracer,
    key: Option<String>,
    marks: Vec<Mark>,
    font: Option<Rc<Font>>,
    known: &'p mut Known,
    fonts_embedded: bool,
    items: Vec<Measured>,
    texts: Vec<String>,
    inked: Vec<Inked>,
    warnings: Vec<String>,
    view: Option<PdfView>,
}

impl<'p, 'a> Walk<'p, 'a> {
    fn new(page: usize, resources: &'p Resources<'a>, known: &'p mut Known, inside: bool) -> Self {
        Self {
            page,
            resources,
            inside,
            matrix: [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
            clip: Clip::None,
            pen: Pen::default(),
            saved: Vec::new(),
            tracer: Tracer::default(),
            key: None,
            marks: Vec::new(),
            font: None,
            known,
            fonts_embedded: true,
            items: Vec::new(),
            texts: Vec::new(),
            inked: Vec::new(),
            warnings: Vec::new(),
            view: None,
        }
    }

    /// Follows a whole content stream.
    fn all(&mut self, mut operations: UntypedIter<'_>) -> Result<(), PdfReadError> {
        while let Some(instruction) = operations.next() {
            self.step(&instruction)?;
        }
        if self.clip.begun() {
            return Err(PdfReadError::Operator { page: self.page, operator: "re".to_owned() });
        }
        Ok(())
    }

    /// The font of that name on this page.
    fn font(&mut self, name: &[u8]) -> Option<Rc<Font>> {
        let id = self.resources.fonts.get_ref(name).map(|id| (id.obj_number, id.gen_number));
        if let Some(known) = id.and_then(|id| self.known.fonts.get(&id)) {
            return Some(Rc::clone(known));
        }
        let font: Dict<'_> = self.resources.fonts.get(name)?;
        let letters = Letters::read(font.get::<Stream<'_>>("ToUnicode").as_ref());
        let embedded = embedded(&font) && letters.true_to_font();
        let read = Rc::new(Font { letters, embedded });
        if let Some(id) = id {
            self.known.fonts.insert(id, Rc::clone(&read));
        }
        Some(read)
    }

    fn step(&mut self, instruction: &Instruction<'_, '_>) -> Result<(), PdfReadError> {
        let operator: &[u8] = instruction.operator;
        let page = self.page;
        let refuse = || PdfReadError::Operator { page, operator: String::from_utf8_lossy(operator).into_owned() };
        let operands: Vec<Object<'_>> = instruction.operands().cloned().collect();
        let numbers: Vec<f64> = operands.iter().filter_map(number).collect();
        let points = || -> Vec<Vec2> { numbers.chunks_exact(2).map(|xy| self.put(xy[0], xy[1])).collect() };
        self.clip.allows(operator).then_some(()).ok_or_else(refuse)?;
        match operator {
            b"q" => self.saved.push((self.matrix, self.clip, self.pen)),
            b"Q" => (self.matrix, self.clip, self.pen) = self.saved.pop().ok_or_else(refuse)?,
            b"re" => {
                let [x, y, w, h] = <[f64; 4]>::try_from(numbers).map_err(|_| refuse())?;
                let free = self.tracer.at().is_none() && !self.inside;
                self.clip =
                    free.then(|| Clip::Rectangle([self.put(x, y), self.put(x + w, y + h)])).ok_or_else(refuse)?;
            }
            b"W" => self.clip = self.clip.marked().ok_or_else(refuse)?,
            b"n" => self.clip = self.clip.set().ok_or_else(refuse)?,
            b"Do" => {
                let name = operands.into_iter().next().and_then(Object::into_name).ok_or_else(refuse)?;
                let shown = self.show(&name)?;
                shown.ok_or_else(refuse)?;
            }
            b"cm" => {
                let [a, b, c, d, e, f] = <[f64; 6]>::try_from(numbers).map_err(|_| refuse())?;
                let m = self.matrix;
                self.matrix = [
                    a * m[0] + b * m[2],
                    a * m[1] + b * m[3],
                    c * m[0] + d * m[2],
                    c * m[1] + d * m[3],
                    e * m[0] + f * m[2] + m[4],
                    e * m[1] + f * m[3] + m[5],
                ];
            }
            b"m" => {
                let [to] = <[Vec2; 1]>::try_from(points()).map_err(|_| refuse())?;
                self.tracer.lift(to);
            }
            b"l" => {
                let [to] = <[Vec2; 1]>::try_from(points()).map_err(|_| refuse())?;
                self.tracer.at().ok_or_else(refuse)?;
                self.tracer.line(to);
            }
            b"c" => {
                let [c1, c2, to] = <[Vec2; 3]>::try_from(points()).map_err(|_| refuse())?;
                let from = self.tracer.at().ok_or_else(refuse)?;
                self.tracer.draw(Segment::Cubic { from, c1, c2, to });
            }
            b"h" => self.tracer.close(),
            b"S" | b"f" => {
                if operator == b"S" && !self.pen.draws(self.scale()) {
                    return Err(PdfReadError::Faint { page });
                }
                let group = self.layer().to_owned();
                let curve = self.tracer.finish(self.key.take(), &group, operator == b"f");
                self.items.push(curve);
            }
            b"MP" => self.key = operands.into_iter().next().and_then(Object::into_name).map(|name| text(&name)),
            b"BDC" => {
                let mark = self.mark(operands).ok_or_else(refuse)?;
                self.marks.push(mark);
            }
            b"BMC" => self.marks.push(Mark::Other),
            b"EMC" => {
                self.marks.pop().ok_or_else(refuse)?;
            }
            b"Tf" => {
                let name = operands.into_iter().next().and_then(Object::into_name).ok_or_else(refuse)?;
                let font = self.font(&name).ok_or_else(refuse)?;
                self.fonts_embedded &= font.embedded;
                let [size] = <[f64; 1]>::try_from(numbers).map_err(|_| refuse())?;
                self.pen.size = size;
                self.font = Some(font);
            }
            b"Tj" => {
                self.key = None;
                let shown = operands.into_iter().next().and_then(Object::into_string).ok_or_else(refuse)?;
                let font = Rc::clone(self.font.as_ref().ok_or_else(refuse)?);
                if !self.pen.letters() {
                    return Err(PdfReadError::Faint { page });
                }
                let [a, b, .., e, f] = self.pen.text;
                let at = self.put(e, f);
                let em = self.put(e + a * self.pen.size, f + b * self.pen.size) - at;
                self.inked.push(Inked { words: font.letters.decode(shown.as_bytes()), at, em });
                if !self.marks.iter().any(|mark| matches!(mark, Mark::Words)) {
                    let words = font.letters.decode(shown.as_bytes());
                    self.say(words);
                }
            }
            // Of looks, or of the place of letters alone.
            b"w" | b"RG" | b"rg" | b"G" | b"g" | b"BT" | b"Tm" => {
                self.pen.set(operator, &numbers).ok_or_else(refuse)?;
            }
            b"J" | b"j" | b"M" | b"d" | b"ET" => {}
            _ => return Err(refuse()),
        }
        Ok(())
    }

    /// How much (mm) the current matrix makes of one unit, at least.
    fn scale(&self) -> f64 {
        let [a, b, c, d, ..] = self.matrix;
        Vec2::new(a, b).length().min(Vec2::new(c, d).length()) * MM
    }

    /// A point of the content stream on the sheet (mm).
    fn put(&self, x: f64, y: f64) -> Vec2 {
        let [a, b, c, d, e, f] = self.matrix;
        Vec2::new(a * x + c * y + e, b * x + d * y + f) * MM
    }

    fn layer(&self) -> &str {
        let name = self.marks.iter().rev().find_map(|mark| match mark {
            Mark::Layer(name) => Some(name.as_str()),
            _ => None,
        });
        name.unwrap_or("")
    }

    fn mark(&mut self, operands: Vec<Object<'_>>) -> Option<Mark> {
        let mut operands = operands.into_iter();
        let (tag, of) = (operands.next()?.into_name()?, operands.next()?);
        let properties: Dict<'_> = match of {
            Object::Name(name) => self.resources.properties.get(&*name)?,
            Object::Dict(dict) => dict,
            _ => return None,
        };
        if tag.as_ref() == b"OC" {
            let name = properties.get::<hayro_syntax::object::String<'_>>("Name")?;
            return Some(Mark::Layer(words(name.as_bytes())));
        }
        let Some(said) = properties.get::<hayro_syntax::object::String<'_>>("ActualText") else {
            return Some(Mark::Other);
        };
        self.say(words(said.as_bytes()));
        Some(Mark::Words)
    }

    fn say(&mut self, words: String) {
        if self.layer() == WARNINGS {
            self.warnings.push(words.clone());
        }
        self.texts.push(words);
    }
}

fn number(object: &Object<'_>) -> Option<f64> {
    match object {
        Object::Number(number) => Some(number.as_f64()),
        _ => None,
    }
}

fn text(name: &Name<'_>) -> String {
    String::from_utf8_lossy(name.as_ref()).into_owned()
}

/// A text string: UTF-16 behind its byte order mark, else taken as ASCII (ISO 32000-1, 7.9.2.2).
fn words(bytes: &[u8]) -> String {
    match bytes.strip_prefix(&[0xfe, 0xff]) {
        Some(wide) => letters::wide(wide),
        None => String::from_utf8_lossy(bytes).into_owned(),
    }
}

/// Whether the font's program is in the file (ISO 32000-1, 9.9).
fn embedded(font: &Dict<'_>) -> bool {
    let program = |font: &Dict<'_>| {
        font.get::<Dict<'_>>("FontDescriptor").is_some_and(|descriptor| {
            ["FontFile", "FontFile2", "FontFile3"]
                .into_iter()
                .filter_map(|key| descriptor.get::<Stream<'_>>(key))
                .any(|program| program.decoded().is_ok_and(|bytes| ink::is_ours(&bytes)))
        })
    };
    match font.get::<Array<'_>>("DescendantFonts") {
        Some(parts) => parts.iter::<Dict<'_>>().all(|part| program(&part)) && parts.iter::<Dict<'_>>().next().is_some(),
        None => program(font),
    }
}

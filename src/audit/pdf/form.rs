//! A drawing that several pages show parts of: the one form that is followed.

use std::collections::BTreeMap;
use std::rc::Rc;

use hayro_syntax::content::UntypedIter;
use hayro_syntax::object::{Array, Dict, Name, Number, Stream};
use hayro_syntax::page::Resources;

use super::{MM, PdfReadError, PdfView, Walk};
use crate::audit::ink::Inked;
use crate::audit::measured::Measured;
use crate::geometry::Vec2;

/// The clip in force: none, or the rectangle of one window, which is made by `re W n` and nothing between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Clip {
    None,
    /// Drawn, with two corners on the sheet (mm).
    Rectangle([Vec2; 2]),
    /// And marked as a clip.
    Marked([Vec2; 2]),
    /// In force.
    Window([Vec2; 2]),
}

impl Clip {
    /// Whether a window is half made.
    pub(super) fn begun(self) -> bool {
        matches!(self, Self::Rectangle(_) | Self::Marked(_))
    }

    /// Whether an operator may follow. Nothing but a form is drawn under a window: its ink could be cut off unseen.
    pub(super) fn allows(self, operator: &[u8]) -> bool {
        match self {
            Self::None => true,
            Self::Rectangle(_) => operator == b"W",
            Self::Marked(_) => operator == b"n",
            Self::Window(_) => matches!(operator, b"cm" | b"Do" | b"q" | b"Q" | b"BDC" | b"BMC" | b"EMC"),
        }
    }

    pub(super) fn marked(self) -> Option<Self> {
        if let Self::Rectangle(corners) = self { Some(Self::Marked(corners)) } else { None }
    }

    pub(super) fn set(self) -> Option<Self> {
        if let Self::Marked(corners) = self { Some(Self::Window(corners)) } else { None }
    }
}

/// What a form holds, measured as if it were a page of its own.
pub(super) struct Form {
    /// Its place among the forms of the file.
    place: usize,
    /// Width and height of its box (mm of its own).
    size: Vec2,
    items: Vec<Measured>,
    texts: Vec<String>,
    inked: Vec<Inked>,
    warnings: Vec<String>,
    fonts_embedded: bool,
}

/// Forms already read, by object number and generation.
pub(super) type Forms = BTreeMap<(u32, i32), Rc<Form>>;

impl Walk<'_, '_> {
    /// Puts the form of that name on the page; `None` where it is not one to be followed.
    pub(super) fn show(&mut self, name: &Name<'_>) -> Result<Option<()>, PdfReadError> {
        let Clip::Window(corners) = self.clip else { return Ok(None) };
        if self.inside || self.view.is_some() {
            return Ok(None);
        }
        let Some(form) = self.form(name)? else { return Ok(None) };
        let [a, b, c, d, e, f] = self.matrix;
        let way = |p: Vec2| Vec2::new(a * p.x + c * p.y, b * p.x + d * p.y);
        let at = Vec2::new(e, f) * MM;
        let mut items = form.items.clone();
        for item in &mut items {
            item.place(|p| at + way(p), way);
        }
        // The form's own box cuts off as well.
        let (window, own) = (ordered(corners), ordered([at, at + way(form.size)]));
        let low = Vec2::new(window[0].x.max(own[0].x), window[0].y.max(own[0].y));
        let high = Vec2::new(window[1].x.min(own[1].x), window[1].y.min(own[1].y));
        let placed = |one: &Inked| Inked { words: one.words.clone(), at: at + way(one.at), em: way(one.em) };
        let inked = form.inked.iter().map(placed).collect();
        self.view = Some(PdfView { drawing: form.place, window: [low, high], items, inked });
        self.texts.extend(form.texts.iter().cloned());
        self.warnings.extend(form.warnings.iter().cloned());
        self.fonts_embedded &= form.fonts_embedded;
        Ok(Some(()))
    }

    fn form(&mut self, name: &Name<'_>) -> Result<Option<Rc<Form>>, PdfReadError> {
        let objects = &self.resources.x_objects;
        let id = objects.get_ref(name.as_ref()).map(|id| (id.obj_number, id.gen_number));
        if let Some(known) = id.and_then(|id| self.known.forms.get(&id)) {
            return Ok(Some(Rc::clone(known)));
        }
        let (Some(id), Some(stream)) = (id, objects.get::<Stream<'_>>(name.as_ref())) else { return Ok(None) };
        let dict = stream.dict();
        let form = dict.get::<Name<'_>>("Subtype").is_some_and(|kind| kind.as_ref() == b"Form");
        // A matrix of its own, or a group blended over the page, is nothing we draw.
        let plain = ["Matrix", "Group", "Ref", "OC"].into_iter().all(|key| !dict.contains_key(key));
        let corners: Vec<f64> = dict
            .get::<Array<'_>>("BBox")
            .map(|corners| corners.iter::<Number>().map(|number| number.as_f64()).collect())
            .unwrap_or_default();
        let ([0.0, 0.0, width, height], true, true) = (corners.as_slice(), form, plain) else { return Ok(None) };
        let (Ok(content), Some(resources)) = (stream.decoded(), dict.get::<Dict<'_>>("Resources")) else {
            return Ok(None);
        };
        let resources = Resources::new(resources);
        let mut walk = Walk::new(self.page, &resources, self.known, true);
        walk.all(UntypedIter::new(&content))?;
        let Walk { items, texts, inked, warnings, fonts_embedded, .. } = walk;
        let place = self.known.forms.len();
        let size = Vec2::new(*width, *height) * MM;
        let read = Rc::new(Form { place, size, items, texts, inked, warnings, fonts_embedded });
        self.known.forms.insert(id, Rc::clone(&read));
        Ok(Some(read))
    }
}

/// Lower left and upper right corner of a rectangle given by two opposite ones.
fn ordered([a, b]: [Vec2; 2]) -> [Vec2; 2] {
    [Vec2::new(a.x.min(b.x), a.y.min(b.y)), Vec2::new(a.x.max(b.x), a.y.max(b.y))]
}

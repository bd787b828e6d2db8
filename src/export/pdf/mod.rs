//! Sheets as PDF.
//!
//! printpdf makes the document: pages, embedded fonts with their way back to
//! letters, layers. It counts in f32 and knows nothing of printing
//! hints, so `content` writes what is on each page, in millimetres and f64,
//! and `mend` sets boxes, names, dates and the catalogue before lopdf saves.
//! A drawing that several sheets show parts of is in the file once, as a form.
//! The same sheets give the same bytes.

mod bookmarks;
mod content;
mod mend;
mod tags;

use std::collections::BTreeMap;
use std::sync::Arc;

use printpdf as pp;

use super::ExportError;
use super::paper::{PaperMeta, guard, plain};
use crate::drawing::font::Face;
use crate::drawing::{Item, Role, Sheet};

/// Points in a millimetre: 72 to an inch of 25.4 mm.
const POINTS: f64 = 72.0 / 25.4;

/// Allowed print corrections: a printer further off than this is set wrong, not worn.
const CORRECTIONS: std::ops::RangeInclusive<f64> = 0.9..=1.1;

/// What a glyph stands for and how wide it is (parts of the em).
type Letters = BTreeMap<u16, (char, f64)>;

/// The glyphs of each face that the document shows.
type Used = BTreeMap<Face, Letters>;

/// One PDF of the sheets, a page a sheet, with bookmarks where there is more than one.
///
/// The pages have the exact size of the sheets. The drawing of a full-scale sheet is divided by the
/// print correction about the middle of its page.
///
/// # Errors
/// No sheet, a number that is not finite, a key that is used twice on a sheet or has other letters
/// than allowed, a sheet side, a date or a print correction out of range.
pub fn write(sheets: &[Sheet], meta: &PaperMeta) -> Result<Vec<u8>, ExportError> {
    if sheets.is_empty() {
        return Err(meta.error("there is no sheet to write; a document has one at least"));
    }
    if let Some(found) = meta.print_correction.into_iter().find(|value| !CORRECTIONS.contains(value)) {
        return Err(meta.error(format!(
            "print correction is {found}; allowed are {} to {}, measured length over drawn length",
            CORRECTIONS.start(),
            CORRECTIONS.end()
        )));
    }
    for sheet in sheets {
        guard(sheet, meta)?;
    }
    let drawings = shared_drawings(sheets);
    let used = used_letters(sheets, &drawings);
    let wrong = |sheet: &Sheet, error| meta.error(format!("sheet `{}`: {error}", sheet.title));
    let forms = drawings
        .iter()
        .map(|drawing| content::form(drawing, &used).map_err(|error| wrong(drawing, error)))
        .collect::<Result<Vec<_>, _>>()?;
    let pages = sheets
        .iter()
        .map(|sheet| {
            let form = sheet.view.as_ref().and_then(|view| place_of(&drawings, &view.drawing));
            content::page(sheet, form, meta.print_correction, &used).map_err(|error| wrong(sheet, error))
        })
        .collect::<Result<Vec<_>, _>>()?;
    let mut warnings = Vec::new();
    let document = skeleton(sheets, meta, &used).to_lopdf_document(&pp::PdfSaveOptions::default(), &mut warnings);
    if let Some(warning) = warnings.first() {
        return Err(meta.error(format!("the document cannot be put together: {}", warning.msg)));
    }
    mend::finish(document, meta, &mend::Parts { sheets, drawings: &drawings, used: &used }, pages, forms)
}

/// Name of a face as a page resource.
fn resource(face: Face) -> &'static str {
    match face {
        Face::Regular => "regular",
        Face::Bold => "bold",
    }
}

/// Every drawing that sheets show parts of, once.
fn shared_drawings(sheets: &[Sheet]) -> Vec<Arc<Sheet>> {
    let mut drawings: Vec<Arc<Sheet>> = Vec::new();
    for view in sheets.iter().filter_map(|sheet| sheet.view.as_ref()) {
        if place_of(&drawings, &view.drawing).is_none() {
            drawings.push(Arc::clone(&view.drawing));
        }
    }
    drawings
}

fn place_of(drawings: &[Arc<Sheet>], drawing: &Arc<Sheet>) -> Option<usize> {
    drawings.iter().position(|known| Arc::ptr_eq(known, drawing))
}

/// Name of a shared drawing as a page resource.
fn form_name(place: usize) -> String {
    format!("drawing-{}", place + 1)
}

fn used_letters(sheets: &[Sheet], drawings: &[Arc<Sheet>]) -> Used {
    let mut used = Used::new();
    let all = sheets.iter().chain(drawings.iter().map(Arc::as_ref));
    for item in all.flat_map(|sheet| &sheet.items) {
        let Item::Text(text) = item else { continue };
        let face = Face::of(text.bold);
        let letters = used.entry(face).or_default();
        for glyph in face.glyphs(&text.words) {
            let letter = if glyph.missing { crate::drawing::font::STAND_IN } else { glyph.letter };
            letters.entry(glyph.index).or_insert((letter, glyph.advance));
        }
    }
    used.retain(|_, letters| !letters.is_empty());
    used
}

/// Roles that a sheet holds or shows part of, in order of drawing.
fn shown_roles(sheet: &Sheet) -> Vec<Role> {
    let mut all = roles(sheet);
    if let Some(view) = &sheet.view {
        all.extend(roles(&view.drawing));
        all.sort_unstable();
        all.dedup();
    }
    all
}

/// Roles that a sheet holds, in order of drawing.
fn roles(sheet: &Sheet) -> Vec<Role> {
    let has = |role| {
        sheet.items.iter().any(|item| match item {
            Item::Line(line) => line.role == role,
            Item::Text(text) => text.role == role,
        })
    };
    Role::ALL.into_iter().filter(|&role| has(role)).collect()
}

/// The document as printpdf knows it: each page only tells which glyphs and layers it uses.
///
/// Ids are our own, because printpdf's come from a counter of the whole process.
fn skeleton(sheets: &[Sheet], meta: &PaperMeta, used: &Used) -> pp::PdfDocument {
    let mut document = pp::PdfDocument::new(&plain(&meta.title));
    // The default conformance brings a colour profile of half a megabyte and claims what the file does not keep.
    document.metadata.info.conformance = pp::PdfConformance::Custom(pp::CustomPdfConformance {
        requires_icc_profile: false,
        requires_xmp_metadata: false,
        ..pp::CustomPdfConformance::default()
    });
    for &face in used.keys() {
        if let Some(font) = pp::ParsedFont::from_bytes(face.bytes(), 0, &mut Vec::new()) {
            document.resources.fonts.map.insert(pp::FontId(resource(face).into()), pp::PdfFont::new(font));
        }
    }
    let shown: Vec<Vec<Role>> = sheets.iter().map(shown_roles).collect();
    for role in Role::ALL {
        if shown.iter().any(|roles| roles.contains(&role)) {
            let style = role.style();
            let layer = pp::Layer {
                name: style.layer.into(),
                creator: "yokeline".into(),
                intent: pp::LayerIntent::View,
                usage: pp::LayerSubtype::Artwork,
            };
            document.resources.layers.map.insert(layer_id(role), layer);
        }
    }
    for (i, (sheet, roles)) in sheets.iter().zip(shown).enumerate() {
        let [width, height] = sheet.size.map(|side| pp::Mm(side as f32));
        let mut ops = Vec::new();
        if i == 0 {
            ops.push(pp::Op::StartTextSection);
            for (&face, letters) in used {
                let font = pp::PdfFontHandle::External(pp::FontId(resource(face).into()));
                let shown = letters
                    .iter()
                    .map(|(&index, &(letter, _))| pp::Codepoint::with_cid(index, 0.0, letter.to_string()));
                ops.push(pp::Op::SetFont { font, size: pp::Pt(1.0) });
                ops.push(pp::Op::ShowText { items: vec![pp::TextItem::GlyphIds(shown.collect())] });
            }
            ops.push(pp::Op::EndTextSection);
        }
        ops.extend(
            roles.into_iter().flat_map(|role| [pp::Op::BeginLayer { layer_id: layer_id(role) }, pp::Op::EndLayer]),
        );
        document.pages.push(pp::PdfPage::new(width, height, ops));
    }
    document
}

/// Number of a role's layer: printpdf lists layers in the order of their ids.
fn layer_name(role: Role) -> String {
    let place = Role::ALL.iter().position(|&other| other == role).unwrap_or(Role::ALL.len());
    format!("layer-{place:02}")
}

fn layer_id(role: Role) -> pp::LayerInternalId {
    pp::LayerInternalId(layer_name(role))
}

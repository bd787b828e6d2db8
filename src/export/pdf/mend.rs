//! The last hand on the document: exact boxes, printing hints, names, dates, and the same bytes every time.

use std::io::Write as _;
use std::sync::Arc;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat};
use sha2::{Digest, Sha256};

use super::super::ExportError;
use super::super::paper::{PaperMeta, plain};
use super::content::PageContent;
use super::{POINTS, Used, bookmarks, form_name, resource, tags};
use crate::drawing::Sheet;
use crate::drawing::font::Face;

/// What made the file, for its properties.
const PRODUCER: &str = concat!("yokeline ", env!("CARGO_PKG_VERSION"));

/// What the document shows.
pub(super) struct Parts<'a> {
    /// A sheet a page.
    pub(super) sheets: &'a [Sheet],
    /// Drawings that sheets show parts of.
    pub(super) drawings: &'a [Arc<Sheet>],
    /// Glyphs of every face.
    pub(super) used: &'a Used,
}

/// Mends the document, puts the contents on its pages and saves it; `forms` are the streams of the drawings.
pub(super) fn finish(
    mut document: Document,
    meta: &PaperMeta,
    parts: &Parts<'_>,
    pages: Vec<PageContent>,
    forms: Vec<Vec<u8>>,
) -> Result<Vec<u8>, ExportError> {
    let date = Date::read(&meta.date);
    if date.is_none() && !meta.date.is_empty() {
        let found = plain(&meta.date);
        return Err(meta.error(format!("the date is `{found}`; allowed is YYYY-MM-DD, such as 2026-03-14, or none")));
    }
    let broken = |error: lopdf::Error| meta.error(format!("the document cannot be put together: {error}"));
    mend(&mut document, meta, parts, (pages, forms), date).map_err(broken)?;
    save(document).map_err(broken)
}

fn mend(
    document: &mut Document,
    meta: &PaperMeta,
    parts: &Parts<'_>,
    (contents, forms): (Vec<PageContent>, Vec<Vec<u8>>),
    date: Option<Date>,
) -> lopdf::Result<()> {
    let &Parts { sheets, used, .. } = parts;
    // Layers, fonts and optional content need 1.5; the printing hint in force, `/Enforce`, needs ISO 32000.
    document.version = "1.7".into();
    let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
    let mut tagged = Vec::with_capacity(pages.len());
    for ((&id, sheet), content) in pages.iter().zip(sheets).zip(contents) {
        let stream = document.add_object(Stream::new(Dictionary::new(), content.stream));
        tagged.push(tags::Page { id, sheet, tags: content.tags });
        let [width, height] = sheet.size.map(|side| number(side * POINTS));
        let page = document.get_dictionary_mut(id)?;
        for name in ["MediaBox", "CropBox", "TrimBox"] {
            page.set(name, vec![0.into(), 0.into(), width.clone(), height.clone()]);
        }
        page.set("Contents", stream);
        page.remove(b"Annots");
        // Numbers of the parent tree go from page to structure.
        page.set("StructParents", count(tagged.len()) - 1);
        page.set("Tabs", name("S"));
    }
    place_forms(document, &pages, parts, forms)?;
    let structure = tags::tree(document, &tagged);
    let outline = bookmarks::outline(document, sheets, &pages, &meta.parts);
    for (&face, letters) in used {
        mend_font(document, face, letters)?;
    }
    mend_layers(document);
    let xmp = Stream::new(
        Dictionary::from_iter([("Type", name("Metadata")), ("Subtype", name("XML"))]),
        packet(meta, date).into_bytes(),
    );
    // Left plain, so that file systems and search tools read it without knowing PDF.
    let xmp = document.add_object(xmp.with_compression(false));
    let catalog = document.catalog_mut()?;
    catalog.set("Metadata", xmp);
    catalog.set("Lang", text(&meta.language));
    catalog.set("PageLayout", name("SinglePage"));
    catalog.set("PageMode", name(if outline.is_some() { "UseOutlines" } else { "UseNone" }));
    catalog.remove(b"Outlines");
    if let Some(outline) = outline {
        catalog.set("Outlines", outline);
    }
    catalog.set("StructTreeRoot", structure);
    catalog.set("MarkInfo", Dictionary::from_iter([("Marked", true.into())]));
    // A hint that many viewers and printers honour, not all: the ruler on the print decides.
    catalog.set(
        "ViewerPreferences",
        Dictionary::from_iter([
            ("PrintScaling", name("None")),
            ("Enforce", Object::Array(vec![name("PrintScaling")])),
            ("PickTrayByPDFSize", true.into()),
            ("Duplex", name("Simplex")),
            ("DisplayDocTitle", true.into()),
        ]),
    );
    let mut info = Dictionary::from_iter([
        ("Title", text(&meta.title)),
        ("Author", text(&meta.author)),
        ("Subject", text(&meta.subject)),
        ("Creator", text(PRODUCER)),
        ("Producer", text(PRODUCER)),
    ]);
    if let Some(date) = date {
        info.set("CreationDate", Object::string_literal(date.pdf()));
        info.set("ModDate", Object::string_literal(date.pdf()));
    }
    let info = document.add_object(info);
    document.trailer.set("Info", info);
    Ok(())
}

/// Every shared drawing once, as a form in millimetres, named on the pages that show part of it.
///
/// The pages that show it tell which fonts and layers it needs, so it takes their resources.
fn place_forms(
    document: &mut Document,
    pages: &[ObjectId],
    &Parts { sheets, drawings, .. }: &Parts<'_>,
    forms: Vec<Vec<u8>>,
) -> lopdf::Result<()> {
    for (place, (drawing, content)) in drawings.iter().zip(forms).enumerate() {
        let shows = |sheet: &Sheet| sheet.view.as_ref().is_some_and(|view| Arc::ptr_eq(&view.drawing, drawing));
        let showing: Vec<ObjectId> =
            pages.iter().zip(sheets).filter(|(_, sheet)| shows(sheet)).map(|(&id, _)| id).collect();
        let Some(&first) = showing.first() else { continue };
        let own = resources(document, first)?;
        let [width, height] = drawing.size.map(number);
        let form = document.add_object(Stream::new(
            Dictionary::from_iter([
                ("Type", name("XObject")),
                ("Subtype", name("Form")),
                ("BBox", Object::Array(vec![0.into(), 0.into(), width, height])),
                ("Resources", Object::Dictionary(own)),
            ]),
            content,
        ));
        for id in showing {
            let mut all = resources(document, id)?;
            all.set("XObject", Dictionary::from_iter([(form_name(place), Object::Reference(form))]));
            document.get_dictionary_mut(id)?.set("Resources", all);
        }
    }
    Ok(())
}

/// A page's resources, wherever they stand.
fn resources(document: &Document, page: ObjectId) -> lopdf::Result<Dictionary> {
    let resources = document.get_dictionary(page)?.get(b"Resources")?;
    document.dereference(resources)?.1.as_dict().cloned()
}

/// Widths to a ten-thousandth in place of cut to whole ones (half a millimetre over a long line), and
/// one name for the face wherever it stands.
fn mend_font(document: &mut Document, face: Face, letters: &super::Letters) -> lopdf::Result<()> {
    let key = resource(face).as_bytes();
    let holders: Vec<ObjectId> = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok()?.get(key).ok()?.as_reference().ok())
        .collect();
    let widths = letters
        .iter()
        .flat_map(|(&index, &(_, advance))| {
            [Object::Integer(i64::from(index)), Object::Array(vec![number(advance * 1000.0)])]
        })
        .collect::<Vec<_>>();
    let title = name(match face {
        Face::Regular => "YokelineDrawing-Regular",
        Face::Bold => "YokelineDrawing-Bold",
    });
    for id in holders {
        let font = document.get_dictionary_mut(id)?;
        font.set("BaseFont", title.clone());
        let descendant = font.get_mut(b"DescendantFonts")?.as_array_mut()?;
        let Some(descendant) = descendant.first_mut() else { continue };
        let descendant = descendant.as_dict_mut()?;
        descendant.set("BaseFont", title.clone());
        descendant.set("W", widths.clone());
        descendant.set("CIDToGIDMap", name("Identity"));
        let descriptor = descendant.get(b"FontDescriptor")?.as_reference()?;
        let descriptor = document.get_dictionary_mut(descriptor)?;
        descriptor.set("FontName", title.clone());
        descriptor.set("CapHeight", number(face.cap_height() * 1000.0));
    }
    Ok(())
}

/// Layers without the usage dictionary, whose kind of artwork is none of ours.
fn mend_layers(document: &mut Document) {
    for object in document.objects.values_mut() {
        if let Ok(layer) = object.as_dict_mut()
            && layer.has_type(b"OCG")
        {
            layer.remove(b"Usage");
            layer.set("Intent", name("View"));
        }
    }
}

/// Packs every stream that gains by it.
///
/// At the middle level: the last one takes a good part of the time of a large book, for files 0.1 % smaller.
fn compress(document: &mut Document) -> lopdf::Result<()> {
    /// What naming the filter takes in a stream's dictionary (bytes).
    const NAMED: usize = 20;
    for object in document.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        if !stream.allows_compression || stream.dict.has(b"Filter") {
            continue;
        }
        let mut packer = ZlibEncoder::new(Vec::new(), Compression::default());
        packer.write_all(&stream.content)?;
        let packed = packer.finish()?;
        if packed.len() + NAMED < stream.content.len() {
            stream.dict.set("Filter", name("FlateDecode"));
            stream.set_content(packed);
        }
    }
    Ok(())
}

/// Saves with an id that is a hash of the rest, so that same means same.
fn save(mut document: Document) -> lopdf::Result<Vec<u8>> {
    document.trailer.remove(b"ID");
    document.prune_objects();
    document.renumber_objects();
    compress(&mut document)?;
    let mut bytes = Vec::new();
    document.save_to(&mut bytes)?;
    let digest = Sha256::digest(&bytes);
    // Sixteen bytes, as the MD5 of the standard's example would have.
    let id = Object::String(digest.iter().take(16).copied().collect(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    bytes.clear();
    document.save_to(&mut bytes)?;
    Ok(bytes)
}

/// A count as PDF writes it.
pub(super) fn count(number: usize) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

pub(super) fn name(words: &str) -> Object {
    Object::Name(words.as_bytes().to_vec())
}

/// A number of the document's frame (boxes, widths): whole where it is whole.
pub(super) fn number(value: f64) -> Object {
    let rounded = value.round();
    if (value - rounded).abs() < 1e-9 { Object::Integer(rounded as i64) } else { Object::Real(value as f32) }
}

/// A text string: UTF-16 with its byte order mark where ASCII does not do (ISO 32000-1, 7.9.2.2).
pub(super) fn text(words: &str) -> Object {
    let words = plain(words);
    if words.is_ascii() {
        return Object::string_literal(words);
    }
    let mut bytes = vec![0xfe, 0xff];
    bytes.extend(words.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, StringFormat::Hexadecimal)
}

/// A day of the calendar, as the spec gives it.
#[derive(Debug, Clone, Copy)]
struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    fn read(words: &str) -> Option<Self> {
        let mut parts = words.splitn(3, '-');
        let mut part = |digits: usize| {
            let part = parts.next()?;
            (part.len() == digits && part.bytes().all(|b| b.is_ascii_digit())).then_some(part)
        };
        let date = Self { year: part(4)?.parse().ok()?, month: part(2)?.parse().ok()?, day: part(2)?.parse().ok()? };
        ((1..=12).contains(&date.month) && (1..=31).contains(&date.day)).then_some(date)
    }

    fn pdf(self) -> String {
        format!("D:{:04}{:02}{:02}000000Z", self.year, self.month, self.day)
    }

    fn iso(self) -> String {
        format!("{:04}-{:02}-{:02}T00:00:00Z", self.year, self.month, self.day)
    }
}

/// The properties as an XMP packet (ISO 16684-1), which says the same as the document information.
fn packet(meta: &PaperMeta, date: Option<Date>) -> String {
    let escape = |words: &str| plain(words).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    let localised =
        |words: &str| format!("<rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt>", escape(words));
    let dates = date.map(Date::iso).map_or_else(String::new, |date| {
        format!("<xmp:CreateDate>{date}</xmp:CreateDate>\n<xmp:ModifyDate>{date}</xmp:ModifyDate>\n")
    });
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
         xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n\
         <dc:format>application/pdf</dc:format>\n\
         <dc:title>{title}</dc:title>\n\
         <dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>\n\
         <dc:description>{subject}</dc:description>\n\
         <dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>\n\
         {dates}\
         <xmp:CreatorTool>{PRODUCER}</xmp:CreatorTool>\n\
         <pdf:Producer>{PRODUCER}</pdf:Producer>\n\
         </rdf:Description>\n\
         </rdf:RDF>\n\
         </x:xmpmeta>\n\
         <?xpacket end=\"r\"?>",
        title = localised(&meta.title),
        author = escape(&meta.author),
        subject = localised(&meta.subject),
        language = escape(&meta.language),
    )
}

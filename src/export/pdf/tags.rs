//! Structure for people who have the pages read to them: each page's figure with its alternative text, then its words.
//!
//! ISO 32000-1:2008, 14.7 and 14.8 (from memory). No claim to PDF/UA is made.

use lopdf::{Dictionary, Document, Object, ObjectId};

use super::POINTS;
use super::content::Tag;
use super::mend::{count, name, number, text};
use crate::drawing::Sheet;

/// A page and what its marked stretches are.
pub(super) struct Page<'a> {
    /// The page.
    pub(super) id: ObjectId,
    /// What it shows.
    pub(super) sheet: &'a Sheet,
    /// By marked-content number.
    pub(super) tags: Vec<Tag>,
}

/// The structure tree; the number of a page in the parent tree is its place.
pub(super) fn tree(document: &mut Document, pages: &[Page<'_>]) -> ObjectId {
    let (root, whole) = (document.new_object_id(), document.new_object_id());
    let mut elements: Vec<Object> = Vec::new();
    let mut parents: Vec<Object> = Vec::new();
    for (place, page) in pages.iter().enumerate() {
        let mut add = |tag: Tag, kind: &str| {
            let numbers = page.tags.iter().enumerate().filter(|&(_, &other)| other == tag);
            let numbers: Vec<Object> = numbers.map(|(number, _)| Object::Integer(count(number))).collect();
            let mut element = Dictionary::from_iter([
                ("Type", name("StructElem")),
                ("S", name(kind)),
                ("P", whole.into()),
                ("Pg", page.id.into()),
            ]);
            let some = !numbers.is_empty();
            element.set("K", numbers);
            if tag == Tag::Figure {
                let Sheet { title, alt, size, .. } = page.sheet;
                element.set("Alt", text(if alt.is_empty() { title } else { alt }));
                let [width, height] = size.map(|side| number(side * POINTS));
                let place = vec![0.into(), 0.into(), width, height];
                element.set("A", Dictionary::from_iter([("O", name("Layout")), ("BBox", place.into())]));
            }
            some.then(|| document.add_object(element))
        };
        let (figure, words) = (add(Tag::Figure, "Figure"), add(Tag::Words, "P"));
        elements.extend(figure.into_iter().chain(words).map(Object::Reference));
        let of = |tag: &Tag| if *tag == Tag::Figure { figure } else { words };
        let list: Vec<Object> = page.tags.iter().filter_map(of).map(Object::Reference).collect();
        parents.extend([Object::Integer(count(place)), Object::Array(list)]);
    }
    document.set_object(
        whole,
        Dictionary::from_iter([
            ("Type", name("StructElem")),
            ("S", name("Document")),
            ("P", root.into()),
            ("K", Object::Array(elements)),
        ]),
    );
    let parents = document.add_object(Dictionary::from_iter([("Nums", Object::Array(parents))]));
    document.set_object(
        root,
        Dictionary::from_iter([
            ("Type", name("StructTreeRoot")),
            ("K", whole.into()),
            ("ParentTree", parents.into()),
            ("ParentTreeNextKey", Object::Integer(count(pages.len()))),
        ]),
    );
    root
}

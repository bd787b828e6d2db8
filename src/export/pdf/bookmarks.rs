//! The list of pages that a viewer shows beside them.

use lopdf::{Dictionary, Document, Object, ObjectId};

use super::mend::{count, name, text};
use crate::drawing::Sheet;

/// One bookmark.
struct Entry<'a> {
    title: &'a str,
    page: ObjectId,
    below: Vec<Entry<'a>>,
}

/// The outline of a document: a bookmark a sheet; in a bound book one a part, with its sheets below where it has
/// several. `None` for a single page.
pub(super) fn outline(
    document: &mut Document,
    sheets: &[Sheet],
    pages: &[ObjectId],
    parts: &[(String, usize)],
) -> Option<ObjectId> {
    if sheets.len() < 2 {
        return None;
    }
    let single = |from: usize, to: usize| {
        let named = sheets.iter().zip(pages).take(to).skip(from);
        named.map(|(sheet, &page)| Entry { title: &sheet.title, page, below: Vec::new() }).collect::<Vec<_>>()
    };
    let mut entries = single(0, parts.first().map_or(sheets.len(), |&(_, first)| first));
    for (i, (title, first)) in parts.iter().enumerate() {
        let next = parts.get(i + 1).map_or(sheets.len(), |&(_, next)| next);
        let below = if next > first + 1 { single(*first, next) } else { Vec::new() };
        entries.extend(pages.get(*first).map(|&page| Entry { title, page, below }));
    }
    let root = document.new_object_id();
    let list = level(document, root, &entries);
    let mut outline = Dictionary::from_iter([("Type", name("Outlines"))]);
    ends(&mut outline, &list, count(entries.len()));
    document.set_object(root, outline);
    Some(root)
}

/// First and last of a list, and how many of it are shown; fewer than none while it is closed.
fn ends(of: &mut Dictionary, list: &[ObjectId], shown: i64) {
    if let (Some(&first), Some(&last)) = (list.first(), list.last()) {
        of.set("First", first);
        of.set("Last", last);
        of.set("Count", shown);
    }
}

fn level(document: &mut Document, parent: ObjectId, entries: &[Entry<'_>]) -> Vec<ObjectId> {
    let ids: Vec<ObjectId> = entries.iter().map(|_| document.new_object_id()).collect();
    for (i, entry) in entries.iter().enumerate() {
        let below = level(document, ids[i], &entry.below);
        let to: Vec<Object> = vec![entry.page.into(), name("Fit")];
        let mut item =
            Dictionary::from_iter([("Title", text(entry.title)), ("Parent", parent.into()), ("Dest", to.into())]);
        if let Some(&before) = i.checked_sub(1).and_then(|before| ids.get(before)) {
            item.set("Prev", before);
        }
        if let Some(&next) = ids.get(i + 1) {
            item.set("Next", next);
        }
        ends(&mut item, &below, -count(below.len()));
        document.set_object(ids[i], item);
    }
    ids
}

//! The nested outline.

use lopdf::{Dictionary, Document, Object, ObjectId};

use super::{destination, points, text_object};
use crate::sheet::page::{Bookmark, Sheet};

/// Writes the outline; `None` if there is nothing in it.
pub(super) fn write(document: &mut Document, sheet: &Sheet, pages: &[ObjectId]) -> Option<Object> {
    let root = document.new_object_id();
    let (_, height) = sheet.paper.size();
    let level = write_level(document, &sheet.outline, root, &Place { pages, height })?;
    let outline = Dictionary::from_iter([
        ("Type", Object::Name(b"Outlines".to_vec())),
        ("First", Object::Reference(level.first)),
        ("Last", Object::Reference(level.last)),
        ("Count", Object::Integer(level.count)),
    ]);
    document.set_object(root, outline);
    Some(Object::Reference(root))
}

struct Place<'a> {
    pages: &'a [ObjectId],
    height: f32,
}

struct Level {
    first: ObjectId,
    last: ObjectId,
    /// Lines of this level and below, all shown open.
    count: i64,
}

fn write_level(document: &mut Document, bookmarks: &[Bookmark], parent: ObjectId, place: &Place<'_>) -> Option<Level> {
    let lines: Vec<_> =
        bookmarks.iter().filter_map(|bookmark| Some((bookmark, *place.pages.get(bookmark.page)?))).collect();
    let ids: Vec<ObjectId> = lines.iter().map(|_| document.new_object_id()).collect();
    let mut count = lines.len() as i64;
    for (index, ((bookmark, page), id)) in lines.iter().zip(&ids).enumerate() {
        let top = points(place.height - bookmark.y);
        let mut line = Dictionary::from_iter([
            ("Title", text_object(&bookmark.title)),
            ("Parent", Object::Reference(parent)),
            ("Dest", destination(*page, top)),
        ]);
        if let Some(before) = index.checked_sub(1).and_then(|index| ids.get(index)) {
            line.set("Prev", Object::Reference(*before));
        }
        if let Some(after) = ids.get(index + 1) {
            line.set("Next", Object::Reference(*after));
        }
        if let Some(below) = write_level(document, &bookmark.children, *id, place) {
            line.set("First", Object::Reference(below.first));
            line.set("Last", Object::Reference(below.last));
            line.set("Count", Object::Integer(below.count));
            count += below.count;
        }
        document.set_object(*id, line);
    }
    Some(Level { first: *ids.first()?, last: *ids.last()?, count })
}
